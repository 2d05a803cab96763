"""How many times faster one site-year is worked out here than by pvlib 0.16.1, on one thread, in one run.

The chain on both sides: sun position, Perez's sky on a plane of 35 degrees south, Faiman's cell temperature, De Soto's one
diode, its maximum power, and its current at 14 V, for each of the 8760 hours of a TMY3 file. Reading is left out. Equal
outputs are asserted before anything is timed. pvlib is told at which minute of each hour to take the sun (the middle of
the lit part), which the chain here finds by itself.

Two chains of pvlib:
  default  SPA by numpy (its default), the rest as a user writes it; maximum power by Newton's method, since the
           default bracketing takes two seconds
  fastest  the short ephemeris, only hours with light after it, Newton for the power, and the faster of Lambert's W and Newton
           for the current; SPA by numba as well where numba is installed

Usage: python3 benches/pvlib_ratio.py   (builds and runs the bench `chain`; needs pvlib 0.16.1)
"""
import os
import pathlib
import subprocess
import tempfile
import time

# One thread on either side, whatever numpy is linked with.
for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import numpy as np
import pandas as pd
import pvlib
from pvlib import atmosphere, irradiance, pvsystem, solarposition, temperature

assert pvlib.__version__ == "0.16.1"
ROOT = pathlib.Path(__file__).resolve().parent.parent
M36 = dict(alpha_sc=0.004423, a_ref=0.976234, I_L_ref=4.980938, I_o_ref=9.686902e-10, R_sh_ref=148.161652, R_s=0.326085)
TILT, FACES, ALBEDO, VOLTS = 35.0, 180.0, 0.2, 14.0
try:
    import numba  # noqa: F401

    NUMBA = True
except ImportError:
    NUMBA = False


def ours():
    """Our outputs by hour, and nanoseconds a year by stage."""
    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder) / "chain.csv"
        run = subprocess.run(
            ["cargo", "bench", "--quiet", "-p", "dryspell", "--bench", "chain", "--", str(file)],
            cwd=ROOT, capture_output=True, text=True, check=True,
        )
        times = {k: int(v) for k, v in (line.split() for line in run.stdout.splitlines() if "_ns " in line)}
        return pd.read_csv(file), times


table, ns = ours()
raw = pd.read_csv(ROOT / "data/weather/723170TYA.CSV", skiprows=1)
site = (ROOT / "data/weather/723170TYA.CSV").read_text().splitlines()[0].split(",")
offset, lat, lon, elevation = (float(x) for x in site[-4:])
date = pd.to_datetime(raw["Date (MM/DD/YYYY)"], format="%m/%d/%Y")
hour_end = raw["Time (HH:MM)"].str.slice(0, 2).astype(int)
start = pd.DatetimeIndex(date + pd.to_timedelta(hour_end - 1 - offset, unit="h"), tz="UTC")
times = start + pd.to_timedelta(np.round(table.sun_minute.to_numpy() * 60e9), unit="ns")
day_of_year = pd.DatetimeIndex(date).day_of_year.to_numpy()
ghi, dni, dhi = (raw[c].to_numpy(float) for c in ("GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)"))
air, wind = raw["Dry-bulb (C)"].to_numpy(float), raw["Wspd (m/s)"].to_numpy(float)
pressure = atmosphere.alt2pres(elevation)


def position(method):
    p = solarposition.get_solarposition(times, lat, lon, elevation, pressure, method, 12.0)
    return p.apparent_zenith.to_numpy(), p.azimuth.to_numpy()


def sky_to_current(zenith, azimuth, which, power_method, current_method):
    """Plane, cell, power, current of the hours `which`."""
    z, a = zenith[which], azimuth[which]
    g, b, d = ghi[which], dni[which], dhi[which]
    outside = irradiance.get_extra_radiation(day_of_year[which], solar_constant=1366.1)
    mass = atmosphere.get_relative_airmass(z)
    down = z >= 90.0
    beam = b * np.where(down, 0.0, np.maximum(irradiance.aoi_projection(TILT, FACES, z, a), 0.0))
    diffuse = np.nan_to_num(irradiance.perez(TILT, FACES, d, b, outside, z, a, mass))
    diffuse = np.where(down, irradiance.isotropic(TILT, d), diffuse)
    plane = beam + diffuse + irradiance.get_ground_diffuse(TILT, g, ALBEDO)
    cell = temperature.faiman(plane, air[which], wind[which])
    lit = np.maximum(plane, 1e-9)
    parameters = pvsystem.calcparams_desoto(lit, cell, **M36)
    power = pvsystem.max_power_point(*parameters, method=power_method)["p_mp"]
    current = np.maximum(pvsystem.i_from_v(VOLTS, *parameters, method=current_method), 0.0)
    return plane, cell, np.where(plane > 0.0, power, 0.0), np.where(plane > 0.0, current, 0.0)


ALL = np.ones(8760, bool)
LIT = (ghi > 0.0) | (dni > 0.0) | (dhi > 0.0)


def default():
    return sky_to_current(*position("nrel_numpy"), ALL, "newton", "lambertw")


def fastest(sun="ephemeris", current="lambertw"):
    return sky_to_current(*position(sun), LIT, "newton", current)


def best_of(repetitions, work):
    best = float("inf")
    for _ in range(repetitions):
        begin = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - begin)
    return best


# Equal outputs first. Where the sun is lower than five degrees the last minute decides and half a watt is nothing.
plane, cell, power, current = default()
high = table.zenith_deg.to_numpy() < 85.0
zenith, _ = position("nrel_numpy")
names = ("zenith_deg", "plane_w_per_m2", "cell_degc", "power_w", "current_a")
bounds = (0.001, 0.05, 0.002, 0.005, 0.0005)
for name, theirs, bound in zip(names, (zenith, plane, cell, power, current), bounds):
    mine = table[name].to_numpy()
    off = np.abs(mine - theirs)[high & LIT]
    share = abs(mine[LIT].sum() / theirs[LIT].sum() - 1.0)
    print(f"{name:16} worst hour differs by {off.max():.2g} (bound {bound}), the year by {100 * share:.4f} %")
    assert off.max() < bound and share < 1e-5, name

runs = {"default": best_of(7, default)}
fast = {
    "ephemeris, Lambert's W": lambda: fastest(),
    "ephemeris, Newton": lambda: fastest(current="newton"),
}
if NUMBA:
    fast["SPA by numba"] = lambda: fastest(sun="nrel_numba")
for name, work in fast.items():
    work()
    runs[name] = best_of(15, work)
quick = min((v, k) for k, v in runs.items() if k != "default")
chain = ns["chain_ns"] / 1e9
for name, seconds in runs.items():
    print(f"pvlib, {name}: {1000 * seconds:.2f} ms a year")
parts = ", ".join(f"{k[:-3]} {v / 1e6:.2f}" for k, v in ns.items() if k != "chain_ns")
print(f"here: {1000 * chain:.2f} ms a year ({parts})")
print(f"ratio to the default chain: {runs['default'] / chain:.1f} (goal 25)")
print(f"ratio to the fastest ({quick[1]}): {quick[0] / chain:.1f} (goal 6.6)")
