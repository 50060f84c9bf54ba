#!/bin/sh
# The page tests need a Chromium, pdftoppm and nginx. As root on Debian they are installed;
# elsewhere you are told how.
PATH="$PATH:/usr/sbin:/usr/local/sbin"
for name in "${SEATWORK_BROWSER:-}" chromium chromium-browser google-chrome; do
  if [ -n "$name" ] && command -v "$name" >/dev/null 2>&1; then
    need=""
    break
  fi
  need=yes
done
command -v pdftoppm >/dev/null 2>&1 || need_pdf=yes
command -v nginx >/dev/null 2>&1 || need_server=yes
if [ -z "$need" ] && [ -z "$need_pdf" ] && [ -z "$need_server" ]; then exit 0; fi
if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
  export DEBIAN_FRONTEND=noninteractive
  # the tests start an nginx of their own; the system's must not start and take port 80
  policy=/usr/sbin/policy-rc.d
  if [ -n "$need_server" ] && [ ! -e "$policy" ]; then
    printf '#!/bin/sh\nexit 101\n' >"$policy" && chmod 755 "$policy" && trap 'rm -f "$policy"' EXIT
  fi
  apt-get update -qq &&
    apt-get install -y -qq ${need:+chromium} ${need_pdf:+poppler-utils} ${need_server:+nginx-light} >/dev/null
  exit $?
fi
echo "The page tests need a Chromium browser, pdftoppm and nginx." >&2
echo "Debian or Ubuntu: sudo apt-get install chromium poppler-utils nginx-light" >&2
echo "Other systems: install them; a Chromium on PATH or named in SEATWORK_BROWSER." >&2
exit 2
