"""Writes statistics.csv: intervals, coverage, quantiles and plotting positions from scipy and numpy.

Run in this folder: python3 statistics.py > statistics.csv
"""

import sys

# This file's own name is that of a standard module, which the libraries below import.
sys.path = [p for p in sys.path if p not in ("", ".") and not p.endswith("reference/checks")]

import csv

import numpy as np
import pandas as pd
import pvlib
import scipy
from scipy import stats

SCIPY = f"scipy {scipy.__version__}, %s, data/reference/checks/statistics.py"
ROUNDING = "only rounding of doubles lies between"

out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow("id what inputs expected tolerance why kind source".split())


def row(name, what, inputs, expected, tolerance, source, why=ROUNDING, kind="reference library"):
    out.writerow([name, what, inputs, repr(float(expected)), tolerance, why, kind, source])


def clopper_pearson(k, n, level):
    a = 1 - level
    low = stats.beta.ppf(a / 2, k, n - k + 1) if k > 0 else 0.0
    high = stats.beta.ppf(1 - a / 2, k + 1, n - k) if k < n else 1.0
    return low, high


def wilson(k, n, level):
    ci = stats.binomtest(k, n).proportion_ci(level, method="wilson")
    return ci.low, ci.high


TALLIES = [(0, 10), (0, 20), (0, 30), (1, 10), (1, 20), (2, 20), (3, 20), (5, 20), (20, 20), (30, 1000)]
for k, n in TALLIES:
    for level in (0.95,) if (k, n) != (3, 20) else (0.95, 0.8, 0.99):
        inputs = f"k={k} n={n} level={level}"
        for end, value in zip(("low", "high"), clopper_pearson(k, n, level)):
            tol = "rel 1e-11" if value else "abs 1e-15"
            row(f"clopper-pearson-{k}-{n}-{level}-{end}", "clopper_pearson", f"{inputs} end={end}", value, tol,
                SCIPY % "stats.beta.ppf", "both solve the same equation to rounding")
        for end, value in zip(("low", "high"), wilson(k, n, level)):
            # scipy's low end at k = 0 is zero up to rounding.
            value = 0.0 if abs(value) < 1e-15 else value
            tol = "rel 1e-12" if value else "abs 1e-15"
            row(f"wilson-{k}-{n}-{level}-{end}", "wilson", f"{inputs} end={end}", value, tol,
                SCIPY % "stats.binomtest(...).proportion_ci(method='wilson')")
    if k < n:
        row(f"upper-bound-{k}-{n}", "upper_bound", f"k={k} n={n} level=0.95", stats.beta.ppf(0.95, k + 1, n - k),
            "rel 1e-11", SCIPY % "stats.beta.ppf", "both solve the same equation to rounding")

for k, n, p in [(1, 10, 0.05), (1, 20, 0.1), (3, 30, 0.02), (40, 1000, 0.03), (0, 5, 0.3)]:
    row(f"at-least-{k}-{n}-{p}", "at_least", f"k={k} n={n} p={p}", stats.binom.sf(k - 1, n, p), "rel 1e-12",
        SCIPY % "stats.binom.sf")

for level in (0.8, 0.95, 0.98, 0.99):
    row(f"normal-{level}", "normal_two_sided", f"level={level}", stats.norm.isf((1 - level) / 2), "rel 1e-13",
        SCIPY % "stats.norm.isf")

for n in (10, 20, 30):
    for p in (0.01, 0.05, 0.1, 0.25, 0.5):
        for method, ends in (("clopper_pearson", clopper_pearson), ("wilson", wilson)):
            held = sum(
                stats.binom.pmf(k, n, p) for k in range(n + 1) if ends(k, n, 0.95)[0] <= p <= ends(k, n, 0.95)[1]
            )
            row(f"coverage-{method}-{n}-{p}".replace("_", "-"), "coverage", f"method={method} n={n} p={p} level=0.95",
                held, "rel 1e-10", SCIPY % "stats.binom.pmf summed over the intervals of this script")

YEARS = [4, 0, 0, 7, 2, 11, 1, 0, 3, 5, 0, 2]
ranks = stats.mstats.plotting_positions(np.array(sorted(YEARS), float), alpha=0, beta=0)
for k in (1, 2, 6, 12):
    row(f"plotting-position-{k}", "exceedance", f"values={','.join(map(str, YEARS))} rank={k}", 1 - ranks[-k],
        "rel 1e-14", SCIPY % "stats.mstats.plotting_positions(alpha=0, beta=0)")
for t in (1.5, 2, 5, 10, 12, 13):
    row(f"return-level-{t}", "return_level", f"values={','.join(map(str, YEARS))} t={t}",
        np.quantile(YEARS, 1 - 1 / t, method="weibull"), "abs 1e-12",
        f"numpy {np.__version__}, quantile(method='weibull'), data/reference/checks/statistics.py")

for zenith in (0, 30, 60, 80, 86, 89.5):
    sun = pvlib.clearsky.haurwitz(pd.Series([float(zenith)]))
    row(f"haurwitz-{zenith}", "haurwitz_w_per_m2", f"zenith={zenith}", sun["ghi"].iloc[0], "rel 1e-12",
        f"pvlib {pvlib.__version__}, clearsky.haurwitz, data/reference/checks/statistics.py")

# The law of the stationary bootstrap: correlation at lag k of what is drawn over
# that of the source.
for mean, lag in [(15, 1), (15, 5), (5, 3), (2, 2)]:
    row(f"bootstrap-law-{mean}-{lag}", "bootstrap_law", f"mean={mean} lag={lag}", (1 - 1 / mean) ** lag, "rel 1e-12",
        "D. N. Politis and J. P. Romano, The stationary bootstrap, J. Am. Stat. Assoc. 89 (1994) 1303 (from memory): memory outlasts each day with 1 - 1/L",
        ROUNDING, "closed form")
