#!/usr/bin/env bash
# Reference evapotranspiration, day by day over years, against general-purpose libraries from the Python package index
# (benches/compare/requirements-crosscheck-et.txt). Needs Python 3.11 or later and, once, the network.
set -euo pipefail
cd "$(dirname "$0")/.."
wanted=benches/compare/requirements-crosscheck-et.txt
python=${PYTHON:-python3}

# Apart from the terrain libraries, which need an older numpy.
if ! cmp -s "$wanted" .venv-et/installed.txt; then
  "$python" -m venv .venv-et
  .venv-et/bin/pip install --quiet --disable-pip-version-check -r "$wanted"
  cp "$wanted" .venv-et/installed.txt
fi
cargo build --quiet -p hillsip-benches --bin lawn
.venv-et/bin/python benches/compare/crosscheck_et.py "${CARGO_TARGET_DIR:-target}/debug/lawn"
