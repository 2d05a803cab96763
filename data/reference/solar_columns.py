#!/usr/bin/env python3
"""Four clear June days as pandas writes them with the column names of the library pvlib, and their light by single minutes.

pvlib 0.16.1, pandas. Clear sky after Ineichen with a Linke turbidity of 3; air and wind are made up (units as in the
library's glossary: W/m2, degC, m/s, cm). Writes solar_columns.csv beside this script and prints kWh/m2 of each day.
"""
import pathlib
import numpy as np
import pandas as pd
import pvlib

PLACE = pvlib.location.Location(40.0, -105.0, "Etc/GMT+7", 1600)


def sky(step):
    times = pd.date_range("2021-06-01", "2021-06-05", freq=step, tz=PLACE.tz, inclusive="left")
    return PLACE.get_clearsky(times, linke_turbidity=3.0)


hours = sky("h")
hours["temp_air"] = 15.0 - 8.0 * np.cos(2 * np.pi * (hours.index.hour - 3) / 24)
hours["wind_speed"] = 3.0
hours["precipitable_water"] = 1.4
hours.round(2).to_csv(pathlib.Path(__file__).with_suffix(".csv"))
minutes = sky("min")["ghi"]
print((minutes.groupby(minutes.index.date).sum() / 60000).round(4))
