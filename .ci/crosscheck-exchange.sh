#!/usr/bin/env bash
# What is handed on, opened by general-purpose readers from the Python package index
# (benches/compare/requirements-exchange.txt) and held against the pegs. Needs Python 3 and, once, the network.
set -euo pipefail
cd "$(dirname "$0")/.."
wanted=benches/compare/requirements-exchange.txt
target=${CARGO_TARGET_DIR:-target}
venv=$target/venv-exchange

if ! cmp -s "$wanted" "$venv/installed.txt"; then
  "${PYTHON:-python3}" -m venv "$venv"
  "$venv/bin/pip" install --quiet --disable-pip-version-check -r "$wanted"
  cp "$wanted" "$venv/installed.txt"
fi
cargo build --quiet --bin hillsip
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"$target/debug/hillsip" demo "$work/quarry-bank" > "$work/told"
for format in gpx kml geojson csv dxf shp gpkg; do
  "$target/debug/hillsip" hand-on "$work/quarry-bank" --as "$format" > "$work/told"
done
"$target/debug/hillsip" pegs "$work/quarry-bank" --json > "$work/pegs.json"
"$venv/bin/python" benches/compare/crosscheck_exchange.py "$work"
