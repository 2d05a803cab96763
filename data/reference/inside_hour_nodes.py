"""Nodes of the clear-sky index inside an hour (Skartveit and Olseth 1992, as on the sheet weather-variability, A2), by scipy's incomplete
beta function and by quadrature of the quantile function: no closed form of the mean below a quantile is used.

    pip install scipy numpy
    python3 data/reference/inside_hour_nodes.py
"""

import csv
import math
import pathlib

import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.stats import beta

NODES = 5


def limits(k, sigma):
    b1, b2 = (-0.03, 1.66) if k <= 0.3 else (0.20, 4.26) if k <= 0.6 else (0.47, 0.89) if k <= 0.9 else (2.0, 0.38)
    return max(0.0, (k - 0.03) * math.exp(-11 * b1 * sigma**1.4) - 0.09), (k - 1.5) * math.exp(-9 * b2 * sigma**1.3) + 1.5


def parameters(t, widest):
    v = min(widest, t * t * (1 - t) / (1 + t), t * (1 - t) ** 2 / (2 - t))
    return max(1.0, t * t * (1 - t) / v - t), max(1.0, (t * (1 - t) - v) * (1 - t) / v)


def nodes(k, sigma):
    least, most = limits(k, sigma)
    t, s = (k - least) / (most - least), sigma / (most - least)
    t1, t2 = t * (0.01 + 0.98 * math.exp(-60 * s**3.3)), 1 - (1 - t) * (0.01 + 0.98 * math.exp(-11 * s * s))
    w = (t2 - t) / (t2 - t1)
    one, two = beta(*parameters(t1, 0.014)), beta(*parameters(t2, 0.006))
    share = lambda x: w * one.cdf(x) + (1 - w) * two.cdf(x)
    cuts = [0.0, *(brentq(lambda x: share(x) - i / NODES, 0, 1, xtol=1e-13) for i in range(1, NODES)), 1.0]
    density = lambda x: x * (w * one.pdf(x) + (1 - w) * two.pdf(x))
    means = [NODES * quad(density, a, b, limit=200)[0] for a, b in zip(cuts, cuts[1:])]
    found = [least + (most - least) * m for m in means]
    return [n * k / np.mean(found) for n in found]


def main():
    with open(pathlib.Path(__file__).parent / "inside_hour_nodes.csv", "w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(["k", "sigma", *(f"node_{i + 1}" for i in range(NODES))])
        for k in (0.1, 0.24, 0.4, 0.5, 0.62, 0.7, 0.8, 0.88, 0.96, 1.04):
            for sigma in (0.04, 0.1, 0.16, 0.2, 0.28):
                least, most = limits(k, sigma)
                if least < k < most:
                    writer.writerow([k, sigma, *(f"{n:.7f}" for n in nodes(k, sigma))])


if __name__ == "__main__":
    main()
