"""Modified Berggren reference values: python3 frost.py (scipy 1.17.1).

Feet, pounds, Btu, degrees Fahrenheit as UFC 3-130-06 (2004) has them; lambda from Neumann's equation with equal
properties of both phases, instead of the printed chart.
"""

from math import exp, pi, sqrt

from scipy.optimize import brentq
from scipy.special import erf, erfc


def lam(mu, alpha):
    def f(b):
        return exp(-b * b) * (1 / erf(b) - alpha / erfc(b)) - sqrt(pi) * b / mu

    return float(brentq(f, 1e-9, sqrt(mu / 2) * 1.000001, xtol=1e-15, rtol=1e-14) * sqrt(2 / mu))


def case(index, days, mean, k=0.76, density=100.0, water=15.0):
    latent = 144 * density * water / 100
    heat = density * (0.17 + 0.75 * water / 100)
    vs = index / days
    alpha, mu = (mean - 32) / vs, vs * heat / latent
    stefan = sqrt(48 * k * index / latent)
    return {"X": lam(mu, alpha) * stefan, "stefan": stefan, "lam": lam(mu, alpha), "alpha": alpha, "mu": mu}


if __name__ == "__main__":
    for c in ((500, 100, 45), (1500, 150, 40), (2500, 180, 36)):
        print(c, case(*c))
    for mu in (0.02, 0.3, 1.0):
        for alpha in (0.1, 1.0, 8.0):
            print(mu, alpha, lam(mu, alpha))
