#!/bin/sh
# The page tests need a Chromium, pdftoppm, nginx and Apache, those of recordings espeak-ng and opusenc. As root on Debian they are installed;
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
command -v apache2 >/dev/null 2>&1 || command -v httpd >/dev/null 2>&1 || need_apache=yes
command -v espeak-ng >/dev/null 2>&1 || need_voice=yes
command -v opusenc >/dev/null 2>&1 && command -v opusdec >/dev/null 2>&1 || need_opus=yes
if [ -z "$need" ] && [ -z "$need_pdf$need_voice$need_opus" ] && [ -z "$need_server$need_apache" ]; then exit 0; fi
if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
  export DEBIAN_FRONTEND=noninteractive
  # the tests start servers of their own; the system's must not start and take port 80
  policy=/usr/sbin/policy-rc.d
  if [ -n "$need_server$need_apache" ] && [ ! -e "$policy" ]; then
    printf '#!/bin/sh\nexit 101\n' >"$policy" && chmod 755 "$policy" && trap 'rm -f "$policy"' EXIT
  fi
  apt-get update -qq &&
    apt-get install -y -qq ${need:+chromium} ${need_pdf:+poppler-utils} ${need_server:+nginx-light} ${need_apache:+apache2} \
      ${need_voice:+espeak-ng} ${need_opus:+opus-tools} >/dev/null
  exit $?
fi
echo "The page tests need a Chromium browser, pdftoppm, nginx, Apache, espeak-ng and opus-tools." >&2
echo "Debian or Ubuntu: sudo apt-get install chromium poppler-utils nginx-light apache2 espeak-ng opus-tools" >&2
echo "Other systems: install them; a Chromium on PATH or named in SEATWORK_BROWSER." >&2
exit 2
