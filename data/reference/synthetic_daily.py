"""Moments of daily clearness: Bendt's distribution, and the lag-one correlation of a Gaussian first-order process mapped
through it. scipy quadrature; nothing of dryspell is used.

    python3 synthetic_daily.py > synthetic_daily.csv
"""
import numpy as np
import scipy
from scipy.optimize import brentq
from scipy.stats import norm

PHI = 0.29
K_MIN = 0.05

print("# source: Bendt, Collares-Pereira and Rabl 1981 with Hollands and Huget 1983 (k_max); slope solved for the mean")
print(f"# generator: synthetic_daily.py, scipy {scipy.__version__}, numpy {np.__version__}, phi = {PHI}")
print("# tolerance: statistical, three standard errors of the sample")
print("k_mean,k_max,slope,sd,lag1")
nodes, weights = np.polynomial.hermite_e.hermegauss(80)
weights = weights / weights.sum()
for k_mean in (0.3, 0.4, 0.5, 0.6, 0.7):
    k_max = 0.6313 + 0.267 * k_mean - 11.9 * (k_mean - 0.75) ** 8

    def mean(g):
        a, b = K_MIN, k_max
        return (b * np.exp(g * (b - a)) - a) / np.expm1(g * (b - a)) - 1 / g

    slope = brentq(lambda g: mean(g) - k_mean, 1e-6, 60) if mean(1e-6) < k_mean else brentq(
        lambda g: mean(g) - k_mean, -60, -1e-6)

    def k(x):
        return K_MIN + np.log1p(norm.cdf(x) * np.expm1(slope * (k_max - K_MIN))) / slope

    first = k(nodes)
    sd = np.sqrt(np.sum(weights * first**2) - np.sum(weights * first) ** 2)
    # E[K(x) K(phi x + sqrt(1 - phi^2) e)] by Gauss-Hermite in both.
    x, e = np.meshgrid(nodes, nodes, indexing="ij")
    w = np.outer(weights, weights)
    product = np.sum(w * k(x) * k(PHI * x + np.sqrt(1 - PHI**2) * e))
    lag = (product - k_mean**2) / sd**2
    print(f"{k_mean},{k_max:.6f},{slope:.5f},{sd:.5f},{lag:.5f}")
