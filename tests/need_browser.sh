#!/bin/sh
# The page tests need a Chromium. As root on Debian it is installed; elsewhere you are told how.
for name in "${SEATWORK_BROWSER:-}" chromium chromium-browser google-chrome; do
  if [ -n "$name" ] && command -v "$name" >/dev/null 2>&1; then
    need=""
    break
  fi
  need=yes
done
command -v pdftoppm >/dev/null 2>&1 || need_pdf=yes
if [ -z "$need" ] && [ -z "$need_pdf" ]; then exit 0; fi
if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
  export DEBIAN_FRONTEND=noninteractive
  apt-get update -qq && apt-get install -y -qq ${need:+chromium} ${need_pdf:+poppler-utils} >/dev/null
  exit $?
fi
echo "The page tests need a Chromium browser and pdftoppm." >&2
echo "Debian or Ubuntu: sudo apt-get install chromium poppler-utils" >&2
echo "Other systems: install a Chromium, put it on PATH or name it in SEATWORK_BROWSER." >&2
exit 2
