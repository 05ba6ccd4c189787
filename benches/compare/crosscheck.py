"""Filling, D8 and D-infinity held cell by cell against independent libraries.

Usage: crosscheck.py PATH-TO-layers

Directions and areas: pysheds. Filling: py-richdem and pysheds. py-richdem is not asked for directions: its D8
takes the lowest neighbour without dividing corners by the square root of two, and its D-infinity swaps the two
shares. Ends with a non-zero status on any difference.
"""

import contextlib
import heapq
import os
import subprocess
import sys
import tempfile
import warnings
from pathlib import Path

import numpy as np
import richdem
from affine import Affine
from pysheds.grid import Grid
from pysheds.view import Raster, ViewFinder

# Counter-clockwise from east, as the kernels count; pysheds takes them clockwise from north.
EIGHTHS_FROM_NORTH = (2, 1, 0, 7, 6, 5, 4, 3)
# pysheds wants positive numbers for directions.
DIRMAP = tuple(1 + eighth for eighth in EIGHTHS_FROM_NORTH)
NO_DATA = -9999.0
# Angles: a few roundings of numbers up to 2 pi. Areas: sums of some thousand shares.
ANGLE_TOLERANCE = 1e-12
AREA_TOLERANCE = 1e-9


def ours(program, z):
    """The six layers of a raster, as `layers` writes them."""
    rows, columns = z.shape
    with tempfile.TemporaryDirectory() as folder:
        source, target = Path(folder, "in"), Path(folder, "out")
        z.astype("<f8").tofile(source)
        subprocess.run([program, str(columns), str(rows), source, target], check=True)
        layers = np.fromfile(target, "<f8").reshape(6, rows, columns)
    return dict(zip(("filled", "draining", "d8", "d8_area", "angle", "angle_area"), layers))


def sheds(z):
    frame = ViewFinder(affine=Affine(1, 0, 0, 0, -1, z.shape[0]), shape=z.shape, nodata=np.float64(NO_DATA))
    return Grid(viewfinder=frame), Raster(np.array(z, dtype=np.float64), viewfinder=frame)


def drained(z, rng):
    """The raster raised where needed so that each cell falls to some neighbour, by steps of random height: no
    level place and no two equal falls. A plain priority flood, written apart from the kernels."""
    rows, columns = z.shape
    z = z.astype(np.float64).copy()
    done = np.zeros(z.shape, bool)
    queue = []
    for row in range(rows):
        for column in range(columns):
            if row in (0, rows - 1) or column in (0, columns - 1):
                done[row, column] = True
                heapq.heappush(queue, (z[row, column], row, column))
    while queue:
        level, row, column = heapq.heappop(queue)
        for r in (row - 1, row, row + 1):
            for c in (column - 1, column, column + 1):
                if 0 <= r < rows and 0 <= c < columns and not done[r, c]:
                    done[r, c] = True
                    if z[r, c] <= level:
                        z[r, c] = level + rng.uniform(1e-4, 2e-4)
                    heapq.heappush(queue, (z[r, c], r, c))
    return z


def with_low_rim(z):
    """pysheds lets no water run inwards from the outermost cells, where the kernels do; a rim below all else
    has none that would."""
    z = z.copy()
    for side in (z[0], z[-1], z[:, 0], z[:, -1]):
        side[:] = z.min() - 100.0
    return z


def surfaces():
    """Name and heights of the rasters whose directions are compared."""
    for seed in range(6):
        rng = np.random.default_rng(seed)
        rough = rng.normal(0.0, 1.0, (50 + 7 * seed, 61))
        yield f"rough {seed}, hollows left", rough
        yield f"rough {seed}, drained", drained(rough, rng)
    y, x = np.mgrid[0:61, 0:61] - 30.0
    # Off the middle of a cell by odd amounts, so that no two falls are equal.
    r = np.hypot(x - 0.137, y + 0.291)
    yield "cone", -0.1 * r
    yield "cone upside down", 0.1 * r
    yield "paraboloid", 0.003 * ((x - 0.137) ** 2 + 2 * (y + 0.291) ** 2)
    yield "plane", 0.037 * x - 0.083 * y
    yield "waves on a slope", 0.12 * y + 0.9 * np.sin(x / 4.3) + 0.4 * np.cos((x + 2.0 * y) / 7.1)


def compare(name, what, found, expected, tolerance=0.0):
    """Number of cells that differ, told on one line."""
    differ = ~(np.abs(found - expected) <= tolerance * np.maximum(1.0, np.abs(expected)))
    count = int(differ.sum())
    if count:
        at = tuple(int(i) for i in np.argwhere(differ)[0])
        print(f"DIFFERS {name}: {what}: {count} of {found.size}, first at {at}: {found[at]} against {expected[at]}")
    return count


def check_directions(program, name, z):
    z = with_low_rim(z)
    us = ours(program, z)
    grid, raster = sheds(z)
    inner = (slice(1, -1), slice(1, -1))
    d8 = grid.flowdir(raster, routing="d8", dirmap=DIRMAP)
    direction = np.where(np.asarray(d8) > 0, np.asarray(d8) - 1, -1)
    wrong = compare(name, "D8 direction", us["d8"][inner], direction[inner])
    area = np.asarray(grid.accumulation(d8, routing="d8", dirmap=DIRMAP))
    wrong += compare(name, "D8 area", us["d8_area"][inner], area[inner])
    angles = grid.flowdir(raster, routing="dinf")
    angle = np.where(np.asarray(angles) >= 0, np.asarray(angles), -1)
    # A turn and no turn are the same direction.
    turned = np.where(us["angle"] - angle > 6.28, us["angle"] - 2 * np.pi, us["angle"])
    wrong += compare(name, "D-infinity angle", turned[inner], angle[inner], ANGLE_TOLERANCE)
    area = np.asarray(grid.accumulation(angles, routing="dinf"))
    wrong += compare(name, "D-infinity area", us["angle_area"][inner], area[inner], AREA_TOLERANCE)
    return wrong, 4 * (z.shape[0] - 2) * (z.shape[1] - 2)


@contextlib.contextmanager
def quiet():
    """Keeps py-richdem's reports, written past Python, out of the log."""
    sys.stdout.flush()
    sys.stderr.flush()
    kept = [os.dup(1), os.dup(2)]
    with open(os.devnull, "w") as nowhere, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        os.dup2(nowhere.fileno(), 1)
        os.dup2(nowhere.fileno(), 2)
        try:
            yield
        finally:
            sys.stdout.flush()
            os.dup2(kept[0], 1)
            os.dup2(kept[1], 2)
            os.close(kept[0])
            os.close(kept[1])


def check_filling(program, name, z):
    us = ours(program, z)
    with quiet():
        array = richdem.rdarray(np.array(z, dtype=np.float64), no_data=NO_DATA)
        filled = np.array(richdem.FillDepressions(array, epsilon=False, in_place=False))
    wrong = compare(name, "filling, py-richdem", us["filled"], filled)
    grid, raster = sheds(z)
    wrong += compare(name, "filling, pysheds", us["filled"], np.asarray(grid.fill_depressions(raster)))
    # The draining surface is the level one but for least steps, and falls everywhere.
    wrong += compare(name, "draining surface", us["draining"], us["filled"], 1e-9)
    windows = [np.roll(np.roll(us["draining"], r, 0), c, 1) for r in (-1, 0, 1) for c in (-1, 0, 1) if r or c]
    falls = np.min(windows, axis=0) < us["draining"]
    wrong += compare(name, "draining falls", falls[1:-1, 1:-1].astype(float), np.ones_like(falls[1:-1, 1:-1], float))
    return wrong, 4 * z.size


def main():
    program = sys.argv[1]
    wrong = cells = rasters = 0
    for name, z in surfaces():
        w, n = check_directions(program, name, z)
        wrong, cells, rasters = wrong + w, cells + n, rasters + 1
    for seed in range(20):
        rng = np.random.default_rng(100 + seed)
        shape = (12 + 3 * seed, 14 + 2 * seed)
        for name, z in (
            (f"whole heights {seed}", rng.integers(0, 9, shape).astype(float)),
            (f"rough {seed}", rng.normal(0.0, 1.0, shape)),
        ):
            w, n = check_filling(program, name, z)
            wrong, cells, rasters = wrong + w, cells + n, rasters + 1
    print(f"{rasters} rasters, {cells} cells compared, {wrong} differ")
    if rasters == 0 or wrong:
        sys.exit(1)


if __name__ == "__main__":
    main()
