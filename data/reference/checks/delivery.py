"""Flows in branched pipes: python3 delivery.py (fluids 1.3.1, scipy 1.17.1).

One shared pipe, two branches, velocity head lost at each hydrant; Colebrook friction, water of 15 degC
(1.13859e-6 m2/s), wall 0.0015 mm, g 9.80665. All flows are turbulent.
"""

from math import pi

from fluids.friction import Colebrook
from scipy.optimize import fsolve

G, NU, WALL = 9.80665, 1.13859e-6, 1.5e-6


def loss(q, length, bore, exit_loss):
    v = q / (pi * bore**2 / 4)
    f = Colebrook(v * bore / NU, WALL / bore)
    return (f * length / bore + exit_loss) * v * v / (2 * G)


def two(head, shared, a, b):
    """shared = (length, bore); a, b = (length, bore, height); flows in L/s. head is a function of the whole flow."""

    def f(x):
        qa, qb = (abs(q) / 1000 for q in x)
        junction = head(qa + qb) - loss(qa + qb, *shared, 0)
        return [junction - a[2] - loss(qa, *a[:2], 1), junction - b[2] - loss(qb, *b[:2], 1)]

    return [float(q) for q in fsolve(f, [0.4, 0.4], xtol=1e-13)]


def one(head, pipe):
    return float(fsolve(lambda x: head(x[0] / 1000) - pipe[2] - loss(x[0] / 1000, *pipe[:2], 1), [0.4], xtol=1e-13)[0])


SHARED, A, B = (150, 0.0326), (100, 0.026, -6.0), (80, 0.0204, -9.0)
UP_A, UP_B = (100, 0.026, 6.0), (80, 0.0204, 9.0)
# A booster's table of two rows is a straight line: 3.6 m3/h at 5 m, 0.72 m3/h at 45 m.
BOOSTER = lambda q: 5 + (3.6 - q * 3600) / (3.6 - 0.72) * 40

if __name__ == "__main__":
    print("gravity", two(lambda q: 0.0, SHARED, A, B))
    q = two(BOOSTER, SHARED, UP_A, UP_B)
    print("booster", q, "head", BOOSTER(sum(q) / 1000))
    print("one, 4.4453 m and the velocity head", one(lambda q: 0.0, (100, 0.026, -4.4453 - 0.9417**2 / 2 / G)))
