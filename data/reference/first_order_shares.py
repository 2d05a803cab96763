"""First-order shares of variance of three functions, by scipy.stats.sobol_indices (Saltelli's scheme, 2^19 samples).

    python3 data/reference/first_order_shares.py > data/reference/first_order_shares.csv

z1, z2: normal, cut at 3 standard deviations; w: normal, stands for the years that a pair has in common.
"""
import numpy as np
import scipy
from scipy.stats import norm, sobol_indices, truncnorm, uniform

CUT = truncnorm(-3, 3)


def additive(z1, z2, w):
    return 2 * z1 + z2 + 1.5 * w


def product(z1, z2, w):
    return (1 + 0.8 * z1) * (1 + 0.5 * z2) * np.exp(0.4 * w)


def shortfall(z1, z2, w):
    """As days of shortfall go: none on one side, rising on the other."""
    return np.maximum(0.0, 1 + 2 * z1 + z2 + 1.5 * w + z1 * z2)


print("# source: scipy.stats.sobol_indices (Saltelli's scheme), of functions whose inputs are normal, two of them cut at 3 deviations")
print(f"# generator: first_order_shares.py, scipy {scipy.__version__}, numpy {np.__version__}")
print("function,z1,z2,years")
for function in (additive, product, shortfall):
    found = sobol_indices(func=lambda x, f=function: f(CUT.ppf(x[0]), CUT.ppf(x[1]), norm.ppf(x[2])),
                          n=2**19, dists=[uniform(), uniform(), uniform()], random_state=np.random.default_rng(1))
    print(function.__name__, *(f"{v:.4f}" for v in found.first_order), sep=",")
