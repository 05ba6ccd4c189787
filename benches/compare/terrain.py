"""The steps of terrain.sh that need Python: make the raster, run the library, hold the two runs together.

Usage: terrain.py make WHEEL OUT.tif | terrain.py run IN.tif | terrain.py report OURS THEIRS
"""

import json
import sys
import zipfile

# Rough ground: a 1 m lidar hillside interpolated to 0.1 m, with noise of 2 cm on every cell.
MAGNIFIED = 10
NOISE_M = 0.02
SEED = 20240601
# What the comparison is for: at most half the time and 0.35 of the memory.
MOST_TIME = 0.5
MOST_MEMORY = 0.35


def make(wheel, target):
    import numpy as np
    import rasterio
    from rasterio.io import MemoryFile
    from rasterio.transform import Affine
    from scipy.ndimage import zoom

    with zipfile.ZipFile(wheel) as packed:
        tif = packed.read("lidar/data/dem.tif")
    with MemoryFile(tif) as memory, memory.open() as source:
        heights, transform, crs = source.read(1), source.transform, source.crs
    fine = zoom(heights, MAGNIFIED, order=3, mode="nearest", grid_mode=True)
    rough = (fine + np.random.default_rng(SEED).normal(0.0, NOISE_M, fine.shape)).astype("float32")
    profile = {
        "driver": "GTiff", "dtype": "float32", "count": 1, "height": rough.shape[0], "width": rough.shape[1],
        "crs": crs, "transform": transform @ Affine.scale(1 / MAGNIFIED),
    }
    with rasterio.open(target, "w", **profile) as out:
        out.write(rough, 1)


def run(source):
    import time

    import numpy as np
    import rasterio
    import richdem

    started_cpu_s = time.process_time()
    start = time.perf_counter()
    with rasterio.open(source) as opened:
        heights = opened.read(1)
        cell_m2 = abs(opened.transform.a * opened.transform.e)
    read_s = time.perf_counter() - start
    ground = richdem.rdarray(heights, no_data=-9999.0)
    ground.geotransform = (0.0, 1.0, 0.0, 0.0, 0.0, -1.0)
    start = time.perf_counter()
    # In place, so that its memory is the least it can do with; the sum needs the heights before it.
    before = float(heights.sum(dtype=np.float64))
    kept = heights.copy() if "--count" in sys.argv else None
    richdem.FillDepressions(ground, epsilon=False, in_place=True)
    fill_s = time.perf_counter() - start
    volume_m3 = (float(np.asarray(ground).sum(dtype=np.float64)) - before) * cell_m2
    start = time.perf_counter()
    richdem.FlowAccumulation(ground, method="D8")
    route_s = time.perf_counter() - start
    # Without what Python and its libraries take to start.
    steps_cpu_s = time.process_time() - started_cpu_s
    found = {"steps_cpu_s": steps_cpu_s, "volume_m3": volume_m3, "read_s": read_s, "fill_s": fill_s, "route_s": route_s}
    if kept is not None:
        found["raised_cells"] = int((np.asarray(ground) > kept).sum())
    print(json.dumps(found))


def measured(path):
    """A run's answer and what GNU time says of it: the last lines of its output and of its error output."""
    with open(path) as out, open(path + ".time") as timed:
        answer = json.loads(out.read().strip().splitlines()[-1])
        user, system, wall, peak_kb = timed.read().strip().splitlines()[-1].split()
    return answer, float(user) + float(system), float(wall), int(peak_kb) / 1024


def report(ours_path, theirs_path, counted_path):
    ours, our_cpu_s, our_wall_s, our_mb = measured(ours_path)
    theirs, whole_cpu_s, their_wall_s, their_mb = measured(theirs_path)
    their_cpu_s = theirs["steps_cpu_s"]
    counted, *_ = measured(counted_path)
    print("| 4000 × 4000, read + fill + D8 | processor s | wall s | peak MB | cells raised | volume m³ |")
    print("|---|---|---|---|---|---|")
    row = "| {} | {:.2f} | {:.2f} | {:.0f} | {} | {:.3f} |".format
    print(row("Hillsip", our_cpu_s, our_wall_s, our_mb, ours["raised_cells"], ours["volume_m3"]))
    print(row("rasterio + py-richdem", their_cpu_s, their_wall_s, their_mb, counted["raised_cells"], theirs["volume_m3"]))
    time, memory = our_cpu_s / their_cpu_s, our_mb / their_mb
    print(f"(py-richdem with the start of Python: {whole_cpu_s:.2f} processor s)", file=sys.stderr)
    print(f"| ratio | {time:.2f} | {our_wall_s / their_wall_s:.2f} | {memory:.2f} | | |")
    same = ours["raised_cells"] == counted["raised_cells"]
    if not same:
        print("the two do not raise the same cells")
    if time > MOST_TIME or memory > MOST_MEMORY:
        print(f"more than {MOST_TIME} of the time or {MOST_MEMORY} of the memory")
    # Time depends on what else the machine does, so only the answers decide how this ends.
    sys.exit(0 if same else 1)


if __name__ == "__main__":
    {"make": make, "run": run, "report": report}[sys.argv[1]](*[a for a in sys.argv[2:] if a != "--count"])
