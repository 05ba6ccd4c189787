#!/usr/bin/env bash
# Filling and flow directions, cell by cell, against general-purpose terrain libraries from the Python package
# index (benches/compare/requirements-crosscheck.txt). Needs Python 3.11 or 3.12 and, once, the network.
set -euo pipefail
cd "$(dirname "$0")/.."
wanted=benches/compare/requirements-crosscheck.txt
python=${PYTHON:-python3}

if ! cmp -s "$wanted" .venv/installed-crosscheck.txt; then
  "$python" -m venv .venv
  .venv/bin/pip install --quiet --disable-pip-version-check -r "$wanted"
  cp "$wanted" .venv/installed-crosscheck.txt
fi
cargo build --quiet -p hillsip-benches --bin layers
.venv/bin/python benches/compare/crosscheck.py "${CARGO_TARGET_DIR:-target}/debug/layers"
