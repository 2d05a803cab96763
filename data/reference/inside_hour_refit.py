"""Is the published standard deviation inside the hour the weak part? Fitted anew to two of three minute records, judged on the third.

Needs the files that inside_hour.py leaves in its cache folder.

    pip install pandas pvlib==0.16.1 scipy numpy
    python3 data/reference/inside_hour.py [CACHE_FOLDER]
    python3 data/reference/inside_hour_refit.py [CACHE_FOLDER]

In each of five bins of the clear-sky index k the measured deviation of 5-minute means is fitted as a + b s3, s3 the root mean square of
the steps to the hours beside it. Two pumps on level panels: one with a step at its start (14 % of its full flow), one in proportion to the
light above it. Columns: error of the water of all days and of the third of days with the least sun, by hourly means, by the published
deviation, by the one fitted to the other two places, by the measured deviation of each hour. Answer: the fit is better at one place,
worse at the second, mixed at the third; the published one stays.
"""

import csv
import math
import pathlib
import sys
from functools import lru_cache

import numpy as np
import pandas as pd
import pvlib
from scipy.special import betainc

from inside_hour_nodes import limits, parameters

HERE = pathlib.Path(__file__).parent
CACHE = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else "/tmp/inside_hour")
PLACES = {"payerne": (46.815, 6.944, 491, 0), "fruebuel": (47.116, 8.538, 982, 1), "golden_march": (39.742, -105.18, 1829, -7)}
EDGES = [0, 0.3, 0.6, 0.9, 1.0, 9]


@lru_cache(None)
def factors(i, j):
    """Five nodes over the mean at k = 0.02 i, sigma = 0.02 j."""
    k, s = 0.02 * i, 0.02 * j
    least, most = limits(k, s)
    if k <= 0 or s <= 0 or not least < k < most:
        return np.ones(5)
    t, q = (k - least) / (most - least), s / (most - least)
    t1, t2 = t * (0.01 + 0.98 * math.exp(-60 * q**3.3)), 1 - (1 - t) * (0.01 + 0.98 * math.exp(-11 * q * q))
    w = (t2 - t) / (t2 - t1)
    x = np.linspace(0, 1, 4001)
    share = w * betainc(*parameters(t1, 0.014), x) + (1 - w) * betainc(*parameters(t2, 0.006), x)
    nodes = least + (most - least) * np.interp((np.arange(500) + 0.5) / 500, share, x).reshape(5, 100).mean(1)
    return nodes / nodes.mean()


def hours(place):
    latitude, longitude, elevation, clock = PLACES[place]
    frame = pd.read_csv(CACHE / f"{place}_1.csv", comment="#", parse_dates=["time"]).set_index("time")
    middle = (frame.index + pd.Timedelta("30s") - pd.Timedelta(hours=clock)).tz_localize("UTC")
    sun = pvlib.solarposition.get_solarposition(middle, latitude, longitude, elevation)
    c = np.cos(np.radians(sun.apparent_zenith.values))
    clear = np.where(c > 0, 1098 * c * np.exp(-0.059 / np.maximum(c, 1e-3)), 0).reshape(-1, 60)
    light = frame.ghi_w_per_m2.clip(lower=0).values.reshape(-1, 60)
    lit = (c.reshape(-1, 60).mean(1) >= 0.1) & (clear.min(1) > 0)
    k = np.where(lit, light.mean(1) / np.maximum(clear.mean(1), 1), np.nan)
    index = light / np.maximum(clear, 20)
    measured = np.where(lit, index.reshape(-1, 12, 5).mean(2).std(1), 0)
    beside = [[(k[h] - k[j]) ** 2 for j in (h - 1, h + 1) if 0 <= j < len(k) and lit[h] and lit[j]] for h in range(len(k))]
    s3 = np.array([math.sqrt(np.mean(x)) if x else 0 for x in beside])
    k0 = np.nan_to_num(k)
    b = np.where(k0 <= 0.6, 1.3, np.where(k0 <= 0.9, 1.0, 0.7))
    published = np.where(lit, np.maximum(b * (0.87 * k0 * k0 * (1 - k0) + 0.39 * np.sqrt(k0) * s3), 0), 0)
    return dict(light=light, lit=lit, k=k0, s3=s3, measured=measured, published=published, bin=np.digitize(k0, EDGES) - 1)


def fitted(data, place):
    """The deviation of a place by what the others were fitted to."""
    sigma = data[place]["published"].copy()
    for i in range(len(EDGES) - 1):
        others = [(d, d["lit"] & (d["bin"] == i)) for name, d in data.items() if name != place]
        s3 = np.concatenate([d["s3"][w] for d, w in others])
        y = np.concatenate([d["measured"][w] for d, w in others])
        (a, b), *_ = np.linalg.lstsq(np.stack([np.ones_like(s3), s3], 1), y, rcond=None)
        own = data[place]["lit"] & (data[place]["bin"] == i)
        sigma[own] = np.maximum(a + b * data[place]["s3"][own], 0)
    return sigma


def flow(kind, start, light):
    if kind == "step":
        return np.where(light >= start, 0.14 + 0.86 * np.clip((light - start) / (900 - start), 0, 1), 0)
    return np.maximum(light - start, 0)


def errors(d, sigma, kind, start):
    days = len(d["k"]) // 24
    truth, made, sun = np.zeros(days), np.zeros(days), np.zeros(days)
    for h in range(24 * days):
        mean = d["light"][h].mean()
        nodes = np.array([mean])
        if sigma is not None and d["lit"][h]:
            nodes = mean * factors(round(min(d["k"][h], 1.5) / 0.02), round(min(sigma[h], 0.62) / 0.02))
        truth[h // 24] += flow(kind, start, d["light"][h]).mean()
        made[h // 24] += flow(kind, start, nodes).mean()
        sun[h // 24] += mean
    dull = np.argsort(sun)[: days // 3]
    return [f"{100 * (made[w].sum() / truth[w].sum() - 1):.1f}" for w in (np.arange(days), dull)]


data = {place: hours(place) for place in PLACES}
with open(HERE / "inside_hour_refit.csv", "w", newline="") as out:
    writer = csv.writer(out, lineterminator="\n")
    ways = ("mean", "published", "fitted_elsewhere", "measured")
    writer.writerow(["place", "pump", "start_w_per_m2", *(f"{way}_{days}_percent" for way in ways for days in ("all", "dull"))])
    for place, d in data.items():
        for kind in ("step", "in proportion"):
            for start in (300, 400, 500, 600):
                sigmas = (None, d["published"], fitted(data, place), d["measured"])
                writer.writerow([place, kind, start, *(x for sigma in sigmas for x in errors(d, sigma, kind, start))])
