"""Hourly reference of a whole real year with pvlib 0.16.1, to compare the sun and array stages with.

Reads ../weather/723170TYA.CSV (Greensboro, TMY3). Sun time: the middle of the part of the hour in which the sun's true
elevation (pvlib's SPA, topocentric, no refraction) is above -0.8333 degrees. Writes beside itself:
  pvlib_year_south.csv  35 degrees, azimuth 180: plane of array by three sky models; with Perez also the light behind the
                        glass, cell temperature and maximum power of the 80 W module M36
  pvlib_year_west.csv   60 degrees, azimuth 235: plane of array by three sky models
Only hours with light are kept; `hour` counts from 0. The last comment line holds annual sums over all hours.

Usage: python3 pvlib_year.py
"""
import pathlib

import numpy as np
import pandas as pd
import pvlib
from pvlib import atmosphere, iam, irradiance, pvsystem, temperature

assert pvlib.__version__ == "0.16.1"
HERE = pathlib.Path(__file__).resolve().parent
RISE = -0.8333
ALBEDO = 0.2
M36 = dict(alpha_sc=0.004423, a_ref=0.976234, I_L_ref=4.980938, I_o_ref=9.686902e-10, R_sh_ref=148.161652,
           R_s=0.326085)

raw = pd.read_csv(HERE / "../weather/723170TYA.CSV", skiprows=1)
site = (HERE / "../weather/723170TYA.CSV").read_text().splitlines()[0].split(",")
offset, lat, lon, elevation = (float(x) for x in site[-4:])
date = pd.to_datetime(raw["Date (MM/DD/YYYY)"], format="%m/%d/%Y")
hour_end = raw["Time (HH:MM)"].str.slice(0, 2).astype(int)
start = pd.DatetimeIndex(date + pd.to_timedelta(hour_end - 1 - offset, unit="h"), tz="UTC")
assert len(raw) == 8760
pressure = atmosphere.alt2pres(elevation)


def sun(times):
    # One reading a row: the index jumps between years, so it is never sorted or joined on.
    p = pvlib.solarposition.get_solarposition(times, lat, lon, elevation, pressure, "nrel_numpy", 12.0)
    return p.elevation.to_numpy(), p.apparent_zenith.to_numpy(), p.azimuth.to_numpy()


def at(share):
    return start + pd.to_timedelta(np.round(share * 3600e9), unit="ns")


# The lit part: look every two minutes, then halve the intervals that hold a crossing.
looks = np.linspace(0.0, 1.0, 31)
up = np.column_stack([sun(at(np.full(8760, s)))[0] > RISE for s in looks])
crossings = (up[:, 1:] != up[:, :-1]).sum(axis=1)
assert crossings.max() == 1
first, last = up[:, 0], up[:, -1]
k = np.argmax(up[:, 1:] != up[:, :-1], axis=1)
low, high = looks[k], looks[k + 1]
for _ in range(30):
    middle = 0.5 * (low + high)
    same = (sun(at(middle))[0] > RISE) == first
    low, high = np.where(same, middle, low), np.where(same, high, middle)
edge = 0.5 * (low + high)
share = np.full(8760, 0.5)
share[~first & last] = 0.5 * (edge[~first & last] + 1.0)
share[first & ~last] = 0.5 * edge[first & ~last]
_, zenith, azimuth = sun(at(share))

ghi, dni, dhi = (raw[c].to_numpy(float) for c in ("GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)"))
air, wind = raw["Dry-bulb (C)"].to_numpy(float), raw["Wspd (m/s)"].to_numpy(float)
outside = irradiance.get_extra_radiation(pd.DatetimeIndex(date).day_of_year.to_numpy(), solar_constant=1366.1)
air_mass = atmosphere.get_relative_airmass(zenith)
down = zenith >= 90.0


def plane(tilt, faces):
    out = {}
    projection = np.where(down, 0.0, np.maximum(irradiance.aoi_projection(tilt, faces, zenith, azimuth), 0.0))
    beam = dni * projection
    ground = irradiance.get_ground_diffuse(tilt, ghi, ALBEDO)
    even = irradiance.isotropic(tilt, dhi)
    sky = {
        "isotropic": even,
        "haydavies": irradiance.haydavies(tilt, faces, dhi, dni, outside, zenith, azimuth),
        "perez": irradiance.perez(tilt, faces, dhi, dni, outside, zenith, azimuth, air_mass),
    }
    # With the sun down the models have no meaning: the sky counts as even.
    for name, diffuse in sky.items():
        out[name] = beam + np.where(down, even, np.nan_to_num(diffuse)) + ground
    return beam, out


def write(name, columns, what, tolerance):
    table = pd.DataFrame({"hour": np.arange(8760), **columns})
    sums = " ".join(f"{c}={table[c].sum() / 1000:.6f}" for c in columns if c.endswith(("w_per_m2", "_w")))
    table = table[(ghi > 0) | (dni > 0) | (dhi > 0)]
    with open(HERE / name, "w", newline="\n") as f:
        f.write(f"# source: {what}, from 723170TYA.CSV (TMY3) with pvlib 0.16.1\n")
        f.write("# generator: pvlib_year.py\n")
        f.write(f"# tolerance: {tolerance}\n")
        f.write(f"# sums: {sums}\n")
        table.to_csv(f, index=False, float_format="%.2f", lineterminator="\n")
    print(name, sums)


beam, south = plane(35, 180)
angle = irradiance.aoi(35, 180, zenith, azimuth)
# Beam and what is around the sun by its angle; the rest by Marion's integrals over sky, horizon band and ground.
parts = irradiance.perez(35, 180, dhi, dni, outside, zenith, azimuth, air_mass, return_components=True)
k_beam, k_diffuse = iam.physical(angle), iam.marion_diffuse("physical", 35)
even = irradiance.isotropic(35, dhi)
behind_sky = (k_diffuse["sky"] * parts["poa_isotropic"] + k_beam * parts["poa_circumsolar"]
              + k_diffuse["horizon"] * parts["poa_horizon"])
behind_sky = np.where(down, k_diffuse["sky"] * even, np.nan_to_num(behind_sky))
behind_glass = beam * k_beam + behind_sky + k_diffuse["ground"] * irradiance.get_ground_diffuse(35, ghi, ALBEDO)
behind_glass = np.maximum(behind_glass, 0.0)
cell = temperature.faiman(south["perez"], air, wind)
parameters = pvsystem.calcparams_desoto(np.maximum(behind_glass, 1e-9), cell, **M36)
power = np.where(behind_glass > 0, pvsystem.max_power_point(*parameters, method="newton")["p_mp"], 0.0)
check = pvsystem.singlediode(*(np.asarray(p)[behind_glass > 1] if np.ndim(p) else p for p in parameters))["p_mp"]
assert np.abs(np.asarray(check) - power[behind_glass > 1]).max() < 1e-6
plane_tolerance = "annual 0.1 %; each hour max(1 W/m2, 0.5 %) for zenith below 85 degrees"
write(
    "pvlib_year_south.csv",
    {
        "zenith_deg": zenith,
        "isotropic_w_per_m2": south["isotropic"],
        "haydavies_w_per_m2": south["haydavies"],
        "perez_w_per_m2": south["perez"],
        "cell_degc": cell,
        "power_w": power,
    },
    "plane 35 degrees south; power of an 80 W module",
    plane_tolerance + "; power annual 0.2 %, each hour max(0.2 W, 0.5 %)",
)
_, west = plane(60, 235)
write(
    "pvlib_year_west.csv",
    {f"{k}_w_per_m2": v for k, v in west.items()},
    "plane 60 degrees, azimuth 235",
    plane_tolerance,
)
