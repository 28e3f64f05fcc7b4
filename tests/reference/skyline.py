#!/usr/bin/env python3
"""Makes skyline_cases.json, ground.tif and ground_float.tif; README.md tells how.

Run by hand:  python skyline.py jacksboro_fault_dem.npz
Needs numpy, scipy, pyproj and rasterio. None of the program's code or formulas for places is used.
"""
import json
import sys
from pathlib import Path

import numpy as np
import pyproj
import rasterio
import scipy
from rasterio.transform import from_origin
from scipy.interpolate import RegularGridInterpolator

HERE = Path(__file__).parent
STEP_DEG = 3 / 3600
RADIUS_M = 6_371_000.0
# fine near the eye, where a step past a crest is seen
WALK_M = np.concatenate([np.arange(1.0, 2000.0, 0.1), np.arange(2000.0, 30_000.0, 2.0)])
# rows and columns of the cut, and the sites: row, column (not whole), height of the eye or None
CUT = (slice(60, 260), slice(100, 340))
SITES = [
    ("valley", 120.3, 131.6, None, 0.13),
    ("high ground", 61.85, 70.4, None, 0.13),
    ("high ground, a tower, light not bent", 61.85, 70.4, 900.0, 0.0),
]
GEOD = pyproj.Geod(ellps="WGS84")


def write(path, heights, north, west, **how):
    profile = dict(driver="GTiff", width=heights.shape[1], height=heights.shape[0], count=1,
                   dtype=heights.dtype, crs="EPSG:4326",
                   transform=from_origin(west, north, STEP_DEG, STEP_DEG), **how)
    with rasterio.open(path, "w", **profile) as out:
        out.write(heights, 1)


def skyline(ground, lats, lons, lat, lon, eye_m, bend):
    inside = RegularGridInterpolator((lats[::-1], lons), ground[::-1].astype(float), method="linear",
                                     bounds_error=False, fill_value=np.nan)
    if eye_m is None:
        eye_m = float(inside((lat, lon))) + 1.7
    ways = WALK_M
    bent = RADIUS_M / (1 - bend)
    theta = ways / bent
    heights, distances = [], []
    for bearing in np.arange(0, 360, 0.5):
        same = np.full_like(ways, 1.0)
        to_lon, to_lat, _ = GEOD.fwd(same * lon, same * lat, same * bearing, ways)
        h = inside((to_lat, to_lon))
        seen = np.arctan2((bent + h) * np.cos(theta) - (bent + eye_m), (bent + h) * np.sin(theta))
        best = int(np.nanargmax(seen))
        heights.append(round(float(np.degrees(seen[best])), 5))
        distances.append(round(float(ways[best])))
    return eye_m, heights, distances


def main():
    dem = np.load(sys.argv[1])
    # the file calls its northern edge ymin
    north = float(dem["ymin"]) - CUT[0].start * STEP_DEG
    west = float(dem["xmin"]) + CUT[1].start * STEP_DEG
    ground = np.ascontiguousarray(dem["elevation"][CUT])
    write(HERE / "ground.tif", ground, north, west, nodata=-32768, tiled=True, blockxsize=64,
          blockysize=64, compress="deflate", predictor=2, zlevel=9)
    part = ground[100:150, 100:170].astype(np.float32) + np.float32(0.25)
    part[3, 4] = -9999
    write(HERE / "ground_float.tif", part, north - 100 * STEP_DEG, west + 100 * STEP_DEG,
          nodata=-9999, tiled=True, blockxsize=32, blockysize=16, compress="lzw", predictor=3)

    lats = north - (np.arange(ground.shape[0]) + 0.5) * STEP_DEG
    lons = west + (np.arange(ground.shape[1]) + 0.5) * STEP_DEG
    cases = []
    for name, row, column, eye_m, bend in SITES:
        lat, lon = lats[0] - row * STEP_DEG, lons[0] + column * STEP_DEG
        lat, lon = round(lat, 6), round(lon, 6)
        used, heights, distances = skyline(ground, lats, lons, lat, lon, eye_m, bend)
        cases.append(dict(name=name, lat_deg=lat, lon_deg=lon, eye_m=eye_m, k=bend,
                          eye_used_m=round(used, 4), alt_deg=heights, distance_m=distances))
    places = []
    for lat in [0.0, 12.5, -33.0, 46.5, 60.0, 70.0, -70.0, 80.0]:
        for bearing in [0.0, 33.0, 90.0, 171.0, 260.0]:
            for way in [500.0, 20_000.0, 60_000.0]:
                to_lon, to_lat, _ = GEOD.fwd(9.0, lat, bearing, way)
                places.append([lat, bearing, way, round(to_lat, 9), round(to_lon, 9)])
    ran = dict(numpy=np.__version__, scipy=scipy.__version__, pyproj=pyproj.__version__,
               proj=pyproj.proj_version_str, rasterio=rasterio.__version__,
               gdal=rasterio.__gdal_version__)
    told = dict(made_with=ran, every_deg=0.5, places_from_lon_deg=9.0,
                places=places, skylines=cases)
    text = json.dumps(told, separators=(",", ":"))
    (HERE / "skyline_cases.json").write_text(text.replace("[[", "[\n[").replace("],[", "],\n[") + "\n")


main()
