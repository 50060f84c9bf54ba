#!/bin/sh
# The tests of open standards are held against packages of npm: each folder below exchange/ with a
# package-lock.json has what it names installed into its node_modules, once. As root on Debian
# node and npm are installed where they are missing; elsewhere you are told how.
cd "$(dirname "$0")" || exit 2
missing=""
for lock in $(find exchange -name package-lock.json -not -path '*/node_modules/*' | sort); do
  folder=$(dirname "$lock")
  if ! cmp -s "$lock" "$folder/node_modules/.installed-from"; then missing="$missing $folder"; fi
done
if [ -z "$missing" ]; then exit 0; fi
if ! command -v npm >/dev/null 2>&1 || ! command -v node >/dev/null 2>&1; then
  if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
    export DEBIAN_FRONTEND=noninteractive
    apt-get update -qq && apt-get install -y -qq nodejs npm >/dev/null || exit $?
  else
    echo "The tests of open standards need node and npm." >&2
    echo "Debian or Ubuntu: sudo apt-get install nodejs npm" >&2
    exit 2
  fi
fi
for folder in $missing; do
  (cd "$folder" && npm ci --silent --ignore-scripts --no-audit --no-fund && cp package-lock.json node_modules/.installed-from) || exit $?
done
