"""Hours of an equinox day at 47 degrees by the TAG model, written again in numpy from the publication's formulas: mean,
spread and lag of the hourly clearness. Nothing of dryspell is used.

    python3 synthetic_hourly.py > synthetic_hourly.csv

The day: declination 0, hours centred on 6.5 to 17.5 h solar time, extraterrestrial radiation 1366.1 W/m2 times the cosine of
the zenith angle at the hour's centre. Noise is drawn again while the hour is below 0 or above 0.88 cos(pi (t - 12) / 30); the
day is then multiplied by one factor, hours above that bound put on it.
"""
import numpy as np

rng = np.random.default_rng(20260101)
t = np.arange(6.5, 18.0)
s = np.cos(np.radians(47.0)) * np.cos(np.radians(15.0 * (t - 12.0)))
outside = 1366.1 * s
bound = 0.88 * np.cos(np.pi * (t - 12.0) / 30.0)
DAYS = 400_000


def day(K):
    lam = -0.19 + 1.12 * K + 0.24 * np.exp(-8 * K)
    eta = 0.32 - 1.6 * (K - 0.5) ** 2
    kap = 0.19 + 2.27 * K**2 - 2.51 * K**3
    ktm = lam + eta * np.exp(-kap / s)
    sig = 0.14 * np.exp(-20 * (K - 0.35) ** 2) * np.exp((3 * (K - 0.45) ** 2 + 16 * K**5) * (1 - s))
    phi = 0.38 + 0.06 * np.cos(7.4 * K - 2.5)
    k = np.zeros((DAYS, len(t)))
    y = None
    for h in range(len(t)):
        new = np.full(DAYS, np.nan)
        todo = np.arange(DAYS)
        while len(todo):
            r = rng.standard_normal(len(todo))
            trial = r if y is None else phi * y[todo] + np.sqrt(1 - phi**2) * r
            ok = (ktm[h] + sig[h] * trial >= 0) & (ktm[h] + sig[h] * trial <= bound[h])
            new[todo[ok]] = trial[ok]
            todo = todo[~ok]
        y = new
        k[:, h] = ktm[h] + sig[h] * y
    # The factor by bisection: the day's sum rises with it.
    wanted = K * outside.sum()
    low, high = np.zeros(DAYS), np.full(DAYS, 1000.0)
    for _ in range(80):
        mid = (low + high) / 2
        less = (np.minimum(k * mid[:, None], bound) * outside).sum(axis=1) < wanted
        low, high = np.where(less, mid, low), np.where(less, high, mid)
    k = np.minimum(k * high[:, None], bound)
    noise = (k - ktm) / sig
    lag = np.corrcoef(noise[:, :-1].ravel(), noise[:, 1:].ravel())[0, 1]
    return k, lag


print("# source: Aguiar and Collares-Pereira 1992, formulas as in crates/dryspell-weather/src/synth/hourly.rs")
print(f"# generator: synthetic_hourly.py, numpy {np.__version__}, {DAYS} days each")
print("# tolerance: statistical: three standard errors of the difference")
print("# columns: clearness of the day; lag one of the standardised noise; mean and sd of the hour centred at 8.5 h and 11.5 h")
print("k_day,lag1,mean_0830,sd_0830,mean_1130,sd_1130")
for K in (0.2, 0.35, 0.5, 0.65):
    k, lag = day(K)
    print(f"{K},{lag:.5f},{k[:, 2].mean():.5f},{k[:, 2].std():.5f},{k[:, 5].mean():.5f},{k[:, 5].std():.5f}")
