"""Sums, means and best time shift of the weather files in data/weather, by pvlib's own readers.

Run from the project's top folder: python3 data/reference/weather_files.py
"""

import sys

import numpy as np
import pandas as pd
import pvlib

OUT = "data/reference/weather_files.csv"
DATA = "data/weather/"
COLORADO = (40.53, -108.54, 2168.0)


def tmy3(name):
    data, meta = pvlib.iotools.read_tmy3(DATA + name, map_variables=True)
    site = (meta["latitude"], meta["longitude"], meta["altitude"])
    return data, site


def psm(name):
    with open(DATA + name) as file:
        first = file.readline()
    if first.startswith("Source"):
        data, meta = pvlib.iotools.read_nsrdb_psm4(DATA + name, map_variables=True)
        return data, (meta["latitude"], meta["longitude"], meta["altitude"])
    data = pd.read_csv(DATA + name, index_col=0)
    time = pd.to_datetime(data[["Year", "Month", "Day", "Hour", "Minute"]])
    data.index = pd.DatetimeIndex(time).tz_localize("Etc/GMT+7")
    data = data.rename(columns={"GHI": "ghi", "DNI": "dni", "DHI": "dhi", "Temperature": "temp_air"})
    return data, COLORADO


def pvgis(name):
    data, meta = pvlib.iotools.read_pvgis_tmy(DATA + name, map_variables=True)
    return data, (45.0, 8.0, 250.0)


def epw(name):
    data, meta = pvlib.iotools.read_epw(DATA + name)
    # The reader takes the rows for local time and moves them to the hour's start: they are UTC, an hour earlier.
    data.index = data.index.tz_localize(None).tz_localize("UTC")
    return data, (meta["latitude"], meta["longitude"], meta["altitude"])


def best_shift(data, site):
    """Minutes from the stamp at which global, direct and diffuse radiation agree best, and the residual there."""
    lit = data[data["dni"] > 100]
    best = (np.nan, np.inf)
    for shift in range(-45, 46):
        sun = pvlib.solarposition.get_solarposition(
            lit.index + pd.Timedelta(minutes=shift), site[0], site[1], altitude=site[2])
        high = sun["elevation"].to_numpy()
        used = (high > 10) & (high < 60)
        left = (lit["ghi"] - lit["dhi"]).to_numpy() - lit["dni"].to_numpy() * np.sin(np.radians(high))
        rms = np.sqrt(np.mean(left[used] ** 2))
        if rms < best[1]:
            best = (shift, rms)
    return best


FILES = [
    ("723170TYA.CSV", tmy3),
    ("703165TY.csv", tmy3),
    ("test_psm3_tmy-2017.csv", psm),
    ("test_psm4_tmy-2023.csv", psm),
    ("test_psm4_full_disc_2023.csv", psm),
    ("psm3_2017_march_30min.csv", psm),
    ("psm4_2023_june_30min.csv", psm),
    ("tmy_45.000_8.000_2005_2023.csv", pvgis),
    ("tmy_45.000_8.000_2005_2023_january.epw", epw),
]

with open(OUT, "w", newline="\n") as out:
    out.write("# source: the files of data/weather, see the README there\n")
    out.write(f"# generator: data/reference/weather_files.py, pvlib {pvlib.__version__}\n")
    out.write("# tolerance: sums and means of the same numbers: rel 1e-9; snapshots made into hours: rel 1e-3; "
              "best shift 1 min, since it is searched in whole minutes\n")
    out.write("file,rows,ghi_mean_w_per_m2,dni_mean_w_per_m2,dhi_mean_w_per_m2,air_mean_degc,best_shift_min,"
              "residual_w_per_m2\n")
    for name, read in FILES:
        data, site = read(name)
        shift, rms = best_shift(data, site)
        means = ",".join(repr(float(data[c].mean())) for c in ["ghi", "dni", "dhi", "temp_air"])
        out.write(f"{name},{len(data)},{means},{shift},{rms:.3f}\n")
        print(name, len(data), means, shift, rms, file=sys.stderr)
