"""Pegs as they were handed on, read by other libraries, against the pegs as the program tells them."""

import json
import math
import struct
import sys
import xml.etree.ElementTree as tree
from pathlib import Path

import pyogrio.raw
import shapefile
from ezdxf import recover

WITHIN_M = 0.001
work = Path(sys.argv[1])
out = work / "quarry-bank" / "out"
told = json.loads((work / "pegs.json").read_text())
pegs = {
    f"{line['line']} {peg['peg']}": (peg["x_m"], peg["y_m"], peg["z_m"])
    for line in told["lines"]
    for peg in line["pegs"]
}


def check(what, found):
    assert found.keys() == pegs.keys(), (what, found.keys() ^ pegs.keys())
    off = max(abs(a - b) for name in pegs for a, b in zip(found[name], pegs[name]))
    assert off <= WITHIN_M, (what, off)
    print(f"{what}: {len(found)} pegs within {1000 * off:.3f} mm")


def from_degrees(longitude, latitude):
    """Metres east and north of the anchor, by the radii of WGS 84 at the middle latitude: to 1e-5 over 100 m."""
    a, e2 = 6378137.0, 0.00669437999014
    w = 1 - e2 * math.sin(math.radians((latitude + 38.7) / 2)) ** 2
    north = math.radians(latitude - 38.7) * a * (1 - e2) / w**1.5
    v = 1 - e2 * math.sin(math.radians(latitude)) ** 2
    east = math.radians(longitude + 5.2) * a / math.sqrt(v) * math.cos(math.radians(latitude))
    # A parallel bends north away from the anchor's meridian by x² tan φ / 2R.
    return east, north + east**2 * math.tan(math.radians(latitude)) / (2 * a)


drawing, audit = recover.readfile(out / "works.dxf")
assert not audit.errors and not audit.fixes, (audit.errors, audit.fixes)
check(
    "dxf",
    {
        point.get_xdata("HILLSIP")[0].value.removeprefix("name="): tuple(point.dxf.location)
        for point in drawing.modelspace().query('POINT[layer=="PEGS"]')
    },
)
shapes = shapefile.Reader(out / "works-pegs.shp")
check("shp", {r.record["name"]: (*r.shape.points[0], r.shape.z[0]) for r in shapes.shapeRecords()})

# The header of the package is 8 bytes and four numbers of envelope; pyogrio hands out well-known binary without it.
meta, _, shapes_wkb, fields = pyogrio.raw.read(out / "works.gpkg", layer="pegs")
names = fields[list(meta["fields"]).index("name")]
check("gpkg", {name: struct.unpack_from("<3d", wkb, 5) for name, wkb in zip(names, shapes_wkb)})

gpx = tree.parse(out / "works.gpx").getroot()
ns = {"g": "http://www.topografix.com/GPX/1/1"}
points = [p for p in gpx.findall("g:wpt", ns) if p.findtext("g:type", None, ns) == "peg"]
check(
    "gpx",
    {
        p.findtext("g:name", None, ns): (
            *from_degrees(float(p.get("lon")), float(p.get("lat"))),
            float(p.findtext("g:ele", None, ns)),
        )
        for p in points
    },
)
features = json.loads((out / "works.geojson").read_text())["features"]
positions = {f["properties"]["name"]: f["geometry"]["coordinates"] for f in features if f["properties"]["layer"] == "pegs"}
check("geojson", {name: (*from_degrees(x, y), z) for name, (x, y, z) in positions.items()})
