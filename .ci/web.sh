#!/usr/bin/env bash
# Tests of the front end. Without Node, and without a Chromium for the part in the browser, it says what it left out;
# with REQUIRE_BROWSER=1 it fails instead.
set -euo pipefail
cd "$(dirname "$0")/../web"

left_out() {
  printf 'web: LEFT OUT %s\n' "$1" >&2
  [ -z "${REQUIRE_BROWSER:-}" ] || exit 1
  exit 0
}

command -v npm >/dev/null || left_out "all tests of the front end: no npm on the path (apt-get install nodejs npm)"
stamp=node_modules/.package-lock.json
if [ ! -f "$stamp" ] || [ package-lock.json -nt "$stamp" ]; then
  npm ci --no-fund --no-audit
fi
npm run --silent typecheck
npm run --silent lint
npm run --silent test

[ -d e2e ] || exit 0
chromium=${CHROMIUM:-$(command -v chromium || command -v chromium-browser || command -v google-chrome || true)}
[ -n "$chromium" ] || left_out "the tests in the browser: no chromium on the path (apt-get install chromium)"
cargo build --quiet --bin hillsip
npm run --silent e2e
