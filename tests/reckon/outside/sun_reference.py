# Writes the reference data of tests/sun.rs with an independent program for the sun's position. Run once; the data is kept beside it.
#
#   pip install pvlib==0.16.1 && python3 tests/outside/sun_reference.py
#
# sun_positions.csv: 720 instants (universal time), 24 places, 1972 to 2049: azimuth, elevation with and without air (1010 mbar, 10 degrees C).
# sun_windows.csv: for seven receivers and a whole year, the minutes of each local day at which the sun is inside of the cone and up.
# The places are not real sites: they are spread over the globe with a fixed seed.
import csv
import os
import random

import numpy as np
import pandas as pd
import pvlib

HERE = os.path.dirname(os.path.abspath(__file__))
AIR = {"pressure": 101000, "temperature": 10, "atmos_refract": 0.5667}


def position(times, latitude, longitude, height):
    return pvlib.solarposition.spa_python(times, latitude, longitude, altitude=height, delta_t=None, **AIR)


def instants():
    dice = random.Random(20031017)
    rows = []
    for place in range(24):
        latitude = round(dice.uniform(-66, 70), 4)
        longitude = round(dice.uniform(-180, 180), 4)
        height = round(dice.uniform(0, 2500), 1)
        seconds = sorted(dice.randrange(0, 78 * 365 * 86400) for _ in range(30))
        times = pd.DatetimeIndex([pd.Timestamp("1972-01-01", tz="UTC") + pd.Timedelta(seconds=s) for s in seconds])
        found = position(times, latitude, longitude, height)
        for time, (_, sun) in zip(times, found.iterrows()):
            rows.append(
                [time.year, time.month, time.day, time.hour * 3600 + time.minute * 60 + time.second, latitude, longitude, height]
                + [f"{sun[name]:.6f}" for name in ("azimuth", "apparent_elevation", "elevation")]
            )
    with open(os.path.join(HERE, "sun_positions.csv"), "w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow("year month day seconds latitude longitude height azimuth apparent_elevation elevation".split())
        writer.writerows(rows)


# name, year, latitude, longitude, hours ahead of universal time, bearing, tilt, half angle (degrees)
RECEIVERS = [
    ("low-west", 2026, 39.1, -101.2, -7, 265, 0, 10),
    ("low-east", 2026, 39.1, -101.2, -7, 85, 0, 10),
    ("high-south", 2027, 52.3, 4.9, 1, 180, 30, 5),
    ("north-of-the-circle", 2028, 68.5, 17.4, 1, 10, 1, 8),
    ("south-of-the-equator", 2026, -33.9, 151.2, 10, 300, 2, 12),
    ("near-the-equator", 2025, 0.5, 36.8, 3, 90, 0, 4),
    ("by-the-date-line", 2026, -16.5, 179.9, 12, 250, 5, 15),
]


def windows():
    rows = []
    for name, year, latitude, longitude, hours, bearing, tilt, half in RECEIVERS:
        local = pd.date_range(f"{year}-01-01 00:00", f"{year}-12-31 23:59", freq="min")
        found = position((local - pd.Timedelta(hours=hours)).tz_localize("UTC"), latitude, longitude, 0)
        up = np.radians(found["apparent_elevation"].to_numpy())
        turn = np.radians(found["azimuth"].to_numpy() - bearing)
        along = np.sin(up) * np.sin(np.radians(tilt)) + np.cos(up) * np.cos(np.radians(tilt)) * np.cos(turn)
        lit = (along >= np.cos(np.radians(half))) & (up > 0)
        edges = np.flatnonzero(np.diff(np.concatenate(([0], lit.astype(int), [0]))))
        for first, past in zip(edges[::2], edges[1::2]):
            while first < past:
                last = min(past - 1, first - first % 1440 + 1439)
                rows.append([name, first // 1440 + 1, first % 1440, last % 1440])
                first = last + 1
    with open(os.path.join(HERE, "sun_windows.csv"), "w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow("receiver day_of_year first_minute last_minute".split())
        writer.writerows(rows)


instants()
windows()
