#!/usr/bin/env python3
"""Writes shot_windows.json: every shot window of 2027 at four sites, worked out by Skyfield over DE421.

    python3 -m venv /tmp/windows
    /tmp/windows/bin/pip install --require-hashes \
        -r tests/reference/requirements/shot_windows.txt
    /tmp/windows/bin/python tests/reference/shot_windows.py

README.md beside this file tells what is done and why. It runs for some minutes.
"""

import datetime
import json
from importlib.metadata import version
from pathlib import Path

import de421
import numpy as np
from jplephem.ephem import Ephemeris
from skyfield.api import Star, load, wgs84
from skyfield.constants import AU_KM
from skyfield.vectorlib import VectorFunction

OUT = Path(__file__).resolve().parent / "shot_windows.json"
NIGHT_S = 86_400
FIRST, NIGHTS = datetime.date(2027, 1, 1), 365
# Julian date of 2027-01-01 12:00 UTC; the Julian day begins at noon.
FIRST_NOON_JD = FIRST.toordinal() + 1_721_425
TT_MINUS_UTC_S = 69.184

SITES = [
    dict(name="high desert in the north", lat_deg=36.0, lon_deg=-112.0, elev_m=2100.0,
         darkness_deg=18, least_core_deg=5, ridge_level_deg=0),
    dict(name="alpine valley under a ridge", lat_deg=46.5, lon_deg=9.9, elev_m=2240.0,
         darkness_deg=18, least_core_deg=0, ridge_level_deg=8),
    dict(name="hill in the far north", lat_deg=57.0, lon_deg=-4.0, elev_m=300.0,
         darkness_deg=12, least_core_deg=0, ridge_level_deg=0),
    dict(name="high desert in the south", lat_deg=-23.0, lon_deg=-68.0, elev_m=2400.0,
         darkness_deg=15, least_core_deg=10, ridge_level_deg=0),
]

MOON_RADIUS_KM = 1737.4
LIFT_AT_HORIZON_DEG = 34 / 60
SHORTEST_S = 300.0
NEAR_SHORTEST_S = 10.0

STEP_S = 240.0
# Halvings that leave two milliseconds of a step.
HALVINGS = 17
# A turning point this near its line is looked at as well; within a step of it a height changes by
# less than a tenth of this.
NEAR_TURN_DEG = 0.25
CHUNK = 20_000


class Body(VectorFunction):
    """A body of DE421 as Skyfield wants it: from the barycentre of the solar system, au and au a day."""

    center = 0

    def __init__(self, target, parts, ephemeris):
        self.target, self.parts, self.ephemeris = target, parts, ephemeris

    def _at(self, t):
        place, motion = 0.0, 0.0
        for name, share in self.parts:
            at = EPHEMERIS.position_and_velocity(name, t.whole, t.tdb_fraction)
            place, motion = place + share * at[0], motion + share * at[1]
        return place / AU_KM, motion / AU_KM, None, None


EPHEMERIS = Ephemeris(de421)
# Light is bent by the Sun alone: Jupiter's part is under 0.02″.
DEFLECTORS = (10,)
BODIES = {}
BODIES[10] = SUN = Body(10, [("sun", 1.0)], BODIES)
EARTH = Body(399, [("earthmoon", 1.0), ("moon", -EPHEMERIS.earth_share)], BODIES)
MOON = Body(301, [("earthmoon", 1.0), ("moon", EPHEMERIS.moon_share)], BODIES)
CORE = Star(ra_hours=(17, 45, 40.04), dec_degrees=(-29, 0, 28.1))
# UT1 is UTC: terrestrial time is ahead of both by the same.
TIMES = load.timescale(delta_t=TT_MINUS_UTC_S, builtin=True)


def place(site, body, at_s):
    """True altitude, degrees, and distance, km, so many seconds after the first night's noon."""
    observer = EARTH + wgs84.latlon(site["lat_deg"], site["lon_deg"], elevation_m=site["elev_m"])
    start_s = -site["lon_deg"] / 360 * NIGHT_S + TT_MINUS_UTC_S
    found = []
    for part in np.array_split(at_s, len(at_s) // CHUNK + 1):
        t = TIMES.tt_jd(FIRST_NOON_JD, (part + start_s) / NIGHT_S)
        altitude, _, distance = observer.at(t).observe(body).apparent(DEFLECTORS).altaz()
        found.append((altitude.degrees, distance.km))
    return [np.concatenate(column) for column in zip(*found)]


def lift_deg(true_deg):
    """Refraction by Sæmundsson (1986) at 1010 hPa and 10 °C."""
    h = np.maximum(true_deg, -1.0)
    return 1.02 / np.tan(np.radians(h + 10.3 / (h + 5.11))) / 60


def sun_is_down(site):
    return lambda at_s: -site["darkness_deg"] - place(site, SUN, at_s)[0]


def core_is_up(site):
    line = max(site["least_core_deg"], site["ridge_level_deg"])

    def over(at_s):
        altitude = place(site, CORE, at_s)[0]
        return altitude + lift_deg(altitude) - line

    return over


def moon_is_down(site):
    def under(at_s):
        altitude, distance = place(site, MOON, at_s)
        return -LIFT_AT_HORIZON_DEG - np.degrees(np.arcsin(MOON_RADIUS_KM / distance)) - altitude

    return under


def spans(holds):
    """When a function is above zero in the year: rows of start and end, s, and how near to zero
    it turns back, degrees."""
    at = np.arange(0.0, NIGHTS * NIGHT_S + STEP_S / 2, STEP_S)
    value = holds(at)
    before, middle, after = value[:-2], value[1:-1], value[2:]
    turns = (middle - before) * (after - middle) <= 0
    near = np.flatnonzero(turns & (np.abs(middle) < NEAR_TURN_DEG))
    margin = None
    if len(near):
        bend = before[near] - 2 * middle[near] + after[near]
        turn = at[near + 1] + STEP_S * (before[near] - after[near]) / (2 * bend)
        there = holds(turn)
        margin = float(np.abs(there).min())
        at, value = np.append(at, turn), np.append(value, there)
        order = np.argsort(at)
        at, value = at[order], value[order]

    change = np.flatnonzero((value[:-1] > 0) != (value[1:] > 0))
    low, high, opens = at[change], at[change + 1], value[change] <= 0
    for _ in range(HALVINGS):
        half = (low + high) / 2
        past = (holds(half) > 0) == opens
        low, high = np.where(past, low, half), np.where(past, half, high)
    ends = list((low + high) / 2)
    if value[0] > 0:
        ends.insert(0, at[0])
    if len(ends) % 2:
        ends.append(at[-1])
    return np.reshape(ends, (-1, 2)), margin


def both(one, two):
    """Where rows of both overlap."""
    start = np.maximum(one[:, None, 0], two[None, :, 0])
    end = np.minimum(one[:, None, 1], two[None, :, 1])
    there = start < end
    return np.stack([start[there], end[there]], axis=1)


def of_night(open_spans, night):
    """A night's rows, s from its start."""
    start_s = night * NIGHT_S
    return both(open_spans, np.array([[start_s, start_s + NIGHT_S]])) - start_s


def written(rows):
    return [[round(float(end), 1) for end in row] for row in rows]


def year(site):
    dark, dark_margin = spans(sun_is_down(site))
    core, core_margin = spans(core_is_up(site))
    moonless, moon_margin = spans(moon_is_down(site))
    any_moon = both(dark, core)
    open_spans = {"any": any_moon, "none": both(any_moon, moonless)}
    rows, all_s = [], []
    with_windows, too_short = dict.fromkeys(open_spans, 0), dict.fromkeys(open_spans, 0)
    for night in range(NIGHTS):
        row = {"date_lmt": str(FIRST + datetime.timedelta(days=night))}
        for limit, found in open_spans.items():
            stretches = of_night(found, night)
            length_s = stretches[:, 1] - stretches[:, 0]
            long = length_s >= SHORTEST_S
            row[limit] = written(stretches[long])
            with_windows[limit] += bool(long.any())
            too_short[limit] += int((~long).sum())
            close = np.abs(length_s - SHORTEST_S) <= NEAR_SHORTEST_S
            if close.any():
                row.setdefault("near_limit", {})[limit] = written(stretches[close])
            all_s.extend(length_s)
        rows.append(row)
    nearest = min(all_s, key=lambda length_s: abs(length_s - SHORTEST_S))
    print(site["name"], "nights with windows", with_windows, "too short", too_short,
          f"nearest to the shortest {nearest:.1f} s; nearest turns, degrees:",
          "Sun", dark_margin, "core", core_margin, "Moon", moon_margin)
    return dict(site, nights_with_windows=with_windows, too_short=too_short, nights=rows)


def main():
    header = dict(
        made_with={name: version(name) for name in ["skyfield", "jplephem", "de421", "numpy"]},
        ephemeris="JPL DE421 (Folkner, Williams & Boggs 2009), from the package de421",
        time="UT1 = UTC by convention, TT = UTC + 69.184 s: a timescale of constant delta T, 69.184 s",
        night="86400 s from mean solar noon of date_lmt at the site's longitude; start_s and end_s "
              "count from it",
        horizon="perpendicular to the WGS84 normal, no dip; apparent places seen from the site, "
                "true altitudes without refraction; no polar motion",
        dark="true altitude of the Sun's centre below -darkness_deg",
        core_up="J2000 17h45m40.04s -29d00'28.1\", its apparent place; apparent altitude by "
                "Saemundsson (1986) at 1010 hPa and 10 C above max(ridge_level_deg, least_core_deg)",
        moon_down="true altitude of the Moon's centre below -34' less its topocentric semidiameter, "
                  "asin(1737.4 km / distance)",
        any="dark and core_up, clipped to the night, 300 s or longer: [start_s, end_s]",
        none="the same and moon_down",
        too_short="how many stretches of the year are shorter",
        near_limit="stretches of 290 to 310 s, those that are windows and those too short to be",
    )
    sites = [year(site) for site in SITES]
    text = json.dumps(dict(header=header, sites=sites), separators=(",", ":"), ensure_ascii=False)
    for start in ['"sites":[', '{"date_lmt"', '{"name"']:
        text = text.replace(start, "\n" + start)
    OUT.write_text(text + "\n", encoding="utf-8")


main()
