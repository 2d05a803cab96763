"""Flow of an invented pump by head and power, from scipy's monotone cubics.

In power: PchipInterpolator through the rows of each head, held above the highest power, zero below the lowest.
A lower head never gives less than a greater one. Across heads: a weight that runs as PchipInterpolator through the flows
at full power does.
"""
import numpy as np
import scipy
from scipy.interpolate import PchipInterpolator

# head m: [(power W, flow m3/h)]; powers differ from head to head on purpose.
TABLE = {
    10.0: [(90, 0.42), (150, 1.05), (240, 1.83), (360, 2.44), (480, 2.71)],
    25.0: [(120, 0.25), (200, 0.98), (300, 1.66), (420, 2.20), (540, 2.52)],
    40.0: [(160, 0.10), (260, 0.86), (380, 1.51), (540, 2.13)],
    60.0: [(220, 0.05), (340, 0.71), (480, 1.28), (600, 1.62)],
    70.0: [(260, 0.0), (420, 0.66), (600, 1.21)],
}
heads = np.array(list(TABLE))
curves = [PchipInterpolator([p for p, _ in rows], [q for _, q in rows]) for rows in TABLE.values()]


def at_heads(power):
    flows = []
    for rows, curve in zip(TABLE.values(), curves):
        low, high = rows[0][0], rows[-1][0]
        flows.append(0.0 if power < low else float(curve(min(power, high))))
    return np.maximum.accumulate(flows[::-1])[::-1]


full = at_heads(1e9)
across = PchipInterpolator(heads, full)


def flow(head, power):
    q = at_heads(power)
    if head <= heads[0]:
        return q[0]
    i = min(int(np.searchsorted(heads, head, side="right")) - 1, len(heads) - 2)
    w = (float(across(head)) - full[i]) / (full[i + 1] - full[i])
    return q[i] + (q[i + 1] - q[i]) * w


with open(__file__.replace(".py", ".csv"), "w", newline="\n") as f:
    rows = " ".join(f"{h:g},{p},{q:g}" for h, r in TABLE.items() for p, q in r)
    f.write("# source: the method of the duty table, with scipy's PchipInterpolator as every cubic\n")
    f.write(f"# generator: duty_surface.py, scipy {scipy.__version__}\n")
    f.write("# tolerance: absolute 1e-12 m3/h, rounding\n")
    f.write(f"# table: {rows}\n")
    f.write("head_m,power_w,flow_m3_per_h\n")
    for head in (0, 5, 10, 12.5, 17, 24, 25, 31, 36.5, 40, 44, 52, 59, 60, 63, 66, 69.5, 70):
        for power in (50, 89, 90, 105, 121, 155, 170, 199, 225, 259, 260, 290, 333, 365, 400, 444, 481, 520, 555, 599, 650):
            f.write(f"{head!r},{power},{float(flow(head, power))!r}\n")
