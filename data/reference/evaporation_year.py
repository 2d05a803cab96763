"""Reference evapotranspiration and open-water evaporation of a whole real year with refet 0.5.0 and pyet 1.5.0.

Reads ../weather/723170TYA.CSV (Greensboro, TMY3). Each day: greatest and least hour of air temperature and of relative
humidity, mean wind brought from 10 m to 2 m by FAO-56 equation 47, global radiation as the sum of its hours. The day of
the year is that of the row's own year (months of different years are joined). Writes evaporation_year.csv beside itself.

  refet_mm       ASCE short reference, daily (its constants differ a little from FAO-56's)
  pyet_mm        FAO-56 Penman-Monteith, daily
  hargreaves_mm  pyet's Hargreaves, brought from pyet's latent heat (which falls with temperature) to 2.45 MJ/kg
  open_water_mm  pyet's Penman with albedo 0.08 and the wind function 1.313 + 1.381 u; its latent heat falls with
                 temperature where McMahon et al. hold it at 2.45 MJ/kg

Usage: python3 evaporation_year.py
"""
import pathlib

import numpy as np
import pandas as pd
import pyet
import refet

assert (pyet.__version__, refet.__version__) == ("1.5.0", "0.5.0")
HERE = pathlib.Path(__file__).resolve().parent
FILE = HERE / "../weather/723170TYA.CSV"
site = FILE.read_text().splitlines()[0].split(",")
offset, lat, lon, z = (float(x) for x in site[-4:])
raw = pd.read_csv(FILE, skiprows=1)
date = pd.to_datetime(raw["Date (MM/DD/YYYY)"], format="%m/%d/%Y").to_numpy()[::24]
doy = pd.DatetimeIndex(date).dayofyear.to_numpy()


def day(name, how):
    return how(raw[name].to_numpy(float).reshape(-1, 24), axis=1)


tmax, tmin = day("Dry-bulb (C)", np.max), day("Dry-bulb (C)", np.min)
rhmax, rhmin = day("RHum (%)", np.max), day("RHum (%)", np.min)
u2 = day("Wspd (m/s)", np.mean) * 4.87 / np.log(67.8 * 10 - 5.42)
rs = day("GHI (W/m^2)", np.sum) * 3600 / 1e6
e0 = lambda t: 0.6108 * np.exp(17.27 * t / (t + 237.3))
ea = (e0(tmin) * rhmax + e0(tmax) * rhmin) / 200

by_refet = refet.Daily(tmin=tmin, tmax=tmax, ea=ea, rs=rs, uz=u2, zw=2.0, elev=z, lat=lat, doy=doy, method="asce",
                       rso_type="simple").eto()

# pyet takes the day of the year from its index: one call a day with a date that has it.
index = [pd.DatetimeIndex([pd.Timestamp(d)]) for d in date]
one = lambda values, i: pd.Series([values[i]], index=index[i])
rows = []
phi = np.radians(lat)
for i in range(365):
    a = dict(tmax=one(tmax, i), tmin=one(tmin, i), rhmax=one(rhmax, i), rhmin=one(rhmin, i), rs=one(rs, i), elevation=z,
             lat=phi)
    tmean = one((tmax + tmin) / 2, i)
    fao = float(pyet.pm_fao56(tmean, one(u2, i), clip_zero=False, **a).iloc[0])
    har = float(pyet.hargreaves(tmean, one(tmax, i), one(tmin, i), phi, clip_zero=False).iloc[0])
    water = float(pyet.penman(tmean, one(u2, i), albedo=0.08, aw=1.313, bw=1.381, clip_zero=False, **a).iloc[0])
    latent = 2.501 - 0.002361 * float(tmean.iloc[0])
    rows.append((fao, har * latent / 2.45, water))
rows = np.array(rows)
HEAD = """# source: refet 0.5.0 (ASCE 2005 short reference), pyet 1.5.0 (FAO-56, Hargreaves, Penman), weather/723170TYA.CSV
# generator: evaporation_year.py
# tolerance: FAO-56 0.001 mm; Hargreaves 0.001 mm and 0.05 % (FAO-56 writes 0.408 for 1/2.45); refet 0.01 mm (ASCE rounds
# tolerance: some constants otherwise); open water 0.02 mm and 2 % (pyet's latent heat falls with temperature)
"""
lines = ["day,day_of_year,pyet_mm,refet_mm,hargreaves_mm,open_water_mm"]
for i in range(365):
    v = (rows[i, 0], by_refet[i], rows[i, 1], rows[i, 2])
    lines.append(f"{i},{doy[i]}," + ",".join(f"{x:.4f}" for x in v))
(HERE / "evaporation_year.csv").write_text(HEAD + "\n".join(lines) + "\n", newline="\n")
