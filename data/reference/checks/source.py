"""Writes source.csv: couplings, pump kinds, well and weep hole. Needs pvlib 0.16.1, scipy, numpy."""

import csv
import math
from pathlib import Path

import numpy as np
from pvlib.pvsystem import i_from_v, singlediode
from scipy.optimize import brentq
from scipy.special import exp1

ROWS = []


def row(name, what, inputs, expected, tolerance, why, kind, source):
    ROWS.append([name, what, inputs, expected, tolerance, why, kind, source])


LIB = "reference library"
PVLIB = "pvlib 0.16.1 singlediode and i_from_v with scipy brentq, data/reference/checks/source.py"

# --- A permanent-magnet motor on one diode: I_L 5 G/1000 A, I_0 2e-9 A, Rs 0.3, Rsh 200 ohm, n Ns Vth 1.95 V.
R, K = 0.8, 0.12


def curve(g):
    return dict(photocurrent=5.0 * g / 1000, saturation_current=2e-9, resistance_series=0.3, resistance_shunt=200.0, nNsVth=1.95)


for g in (1000, 800, 700, 500):
    c = curve(g)
    sd = singlediode(**c)

    def amps(v):
        return float(i_from_v(voltage=v, **c))

    for out, value in (("isc", sd["i_sc"]), ("voc", sd["v_oc"]), ("pmp", sd["p_mp"])):
        row(f"motor-array-{g}-{out}", "motor_array", f"g={g} out={out}", repr(float(value)), "rel 1e-7", "tolerance of the reference's own root finders", LIB, PVLIB)

    def square(w):
        return (0.02 + 1.2e-5 * w * w) / K

    # (a) a constant torque of 0.42 N m: 3.5 A.
    if float(sd["i_sc"]) > 3.5:
        v = brentq(lambda v: amps(v) - 3.5, 0, float(sd["v_oc"]), xtol=1e-12)
        for out, value in (("v", v), ("speed", (v - 3.5 * R) / K)):
            row(f"motor-direct-{g}-{out}", "motor_constant_torque", f"g={g} coupling=direct out={out}", repr(value), "rel 1e-7", "tolerance of the reference's own root finders", LIB, PVLIB)
    else:
        row(f"motor-direct-{g}-stall", "motor_constant_torque", f"g={g} coupling=direct out=flow", "0", "abs 1e-12", "the short-circuit current lies below the 3.5 A that the torque takes", "closed form", "0.42 N m / 0.12 N m/A = 3.5 A")
    # (b) the same at 0.95 of the array's best power.
    v = 0.95 * float(sd["p_mp"]) / 3.5
    kinds = ["tracking"] + (["booster"] if v < float(sd["v_mp"]) else [])
    for kind in kinds:
        for out, value in (("v", v), ("speed", (v - 3.5 * R) / K)):
            row(f"motor-{kind}-{g}-{out}", "motor_constant_torque", f"g={g} coupling={kind} out={out}", repr(value), "rel 1e-7", "tolerance of the reference's own root finders", LIB, PVLIB)
    # (c) a torque of 0.02 + 1.2e-5 w^2, direct.
    w = brentq(lambda w: amps(R * square(w) + K * w) - square(w), 0, 600, xtol=1e-12)
    for out, value in (("speed", w), ("i", square(w)), ("v", R * square(w) + K * w), ("p", square(w) * (R * square(w) + K * w))):
        row(f"motor-square-{g}-{out}", "motor_square_torque", f"g={g} out={out}", repr(value), "rel 1e-7", "tolerance of the reference's own root finders", LIB, PVLIB)

# --- Motors of textbooks.
FITZ = "A. E. Fitzgerald et al., Electric Machinery, the example of a permanent-magnet motor of 1.03 ohm"
row("fitzgerald-current", "motor_current", "v=48 rpm=1700 r=1.03 k=0.22", "8.56", "abs 0.02", "the rounded E of 39.2 V gives 8.54, the exact one 8.58", "from memory", FITZ)
row("fitzgerald-output", "motor_output_w", "v=48 rpm=1700 r=1.03 k=0.22 loss=61", "274.5", "abs 0.6", "274 to 275 by the rounding of the current", "from memory", FITZ)
row("fitzgerald-no-load", "motor_speed_rpm", "v=50 i=1.25 r=1.03 k=0.22151", "2100", "abs 0.02", "rounding of k to five digits", "from memory", FITZ)
MSL = "Modelica Standard Library, DC machine with permanent magnets: 100 V, 100 A, 1425 rpm, 0.05 ohm; 63.66 N m in its example (resistance from memory)"
row("dcpm-speed", "motor_speed_rpm", "v=100 i=100 r=0.05 k=0.63662", "1425", "abs 0.01", "rounding of k to five digits", "published", MSL)
row("dcpm-torque", "motor_current_of_torque", "torque=63.66 k=0.63662 r=0.05", "100", "abs 0.004", "63.66 has four digits", "published", MSL)

# --- Centrifugal: EPANET's rules and the affinity laws.
EPA = "L. A. Rossman et al., EPANET 2.2 User Manual, US EPA (2020), section 3.1, pump curves"
for q, h in ((0, 80), (0.5, 75), (1, 60), (1.5, 35), (2, 0)):
    row(f"one-point-{q}", "pump_curve_m", f"q_star=1 h_star=60 q={q}", str(h), "abs 1e-9", "rounding", "published", EPA + ": A = 4/3 h, q_max = 2 q")
for q, h in ((0.5, 75), (1.5, 35)):
    row(f"three-point-{q}", "pump_curve_m", f"q_star=1 curve=0,80,1,60,2,0 q={q}", str(h), "abs 1e-9", "rounding", "closed form", EPA + ": A - B q^C through three points of 80 - 20 q^2")
row("multi-point-0.5", "pump_curve_m", "q_star=1 curve=0,80,1,60,1.5,35,2,0 q=0.5", "70", "abs 1e-9", "rounding", "published", EPA + ": straight lines between points")
for n in (1.0, 0.9, 0.8, 0.7):
    q = math.sqrt((80 * n * n - 30) / 25)
    row(f"affinity-speed-{n}", "affinity_speed", f"q_star=1 h_star=60 q={q!r} h={30 + 5 * q * q!r}", str(n), "abs 1e-9", "rounding", "closed form", "pump 80 n^2 - 20 Q^2 on 30 + 5 Q^2: Q = sqrt((80 n^2 - 30)/25)")
    row(f"affinity-flow-{n}", "affinity_flow", f"n={n}", repr(q), "abs 1e-8", "tolerance of the operating point", "closed form", "pump 80 n^2 - 20 Q^2 on 30 + 5 Q^2: Q = sqrt((80 n^2 - 30)/25)")
row("affinity-speed-zero", "affinity_speed", "q_star=1 h_star=60 q=0 h=30", repr(math.sqrt(30 / 80)), "abs 1e-9", "rounding", "closed form", "zero flow below n = sqrt(30/80)")

# --- Weep hole.
ORIFICE = "Cd A sqrt(2 g h), A = pi d^2/4, g = 9.80665"
for cd in (0.61, 0.62):
    for h in (5, 10, 20, 30, 50):
        value = cd * math.pi / 4 * 1.5875e-3**2 * math.sqrt(2 * 9.80665 * h) * 6e4
        row(f"orifice-{cd}-{h}", "orifice_l_per_min", f"cd={cd} d_mm=1.5875 h={h}", f"{value:.4f}", "abs 0.00006", "half of the last printed digit", "closed form", ORIFICE)
row("orifice-eighth", "orifice_l_per_min", "cd=0.61 d_mm=3.175 h=10", "4.058", "abs 0.0006", "half of the last printed digit", "closed form", ORIFICE)
for d, minutes in ((26.0, "10.47"), (32.6, "16.45"), (35.05, "19.02")):
    row(f"drain-down-{d}", "drain_down_min", f"id_mm={d} cd=0.61 d_mm=1.5875 h=10", minutes, "abs 0.006", "half of the last printed digit", "closed form", "A/(Cd a) sqrt(2 h/g)")
for d, litres in ((20.4, "0.3269"), (26.0, "0.5309"), (32.6, "0.8347"), (40.8, "1.3074")):
    row(f"drains-{d}", "drain_back_l", f"id_mm={d} above_m=1", litres, "abs 0.00006", "half of the last printed digit", "closed form", "pi D^2/4")
row("weep-hole-practice", "drain_back_l", f"id_mm={1.049 * 25.4:.4f} above_m={4 * 0.3048}", "0.680", "abs 0.001", "0.5576 L/m of 1 in pipe (iron pipe size) times 4 ft", "common practice", "a 1/16 in weep hole about 4 ft below the wellhead: no source; the volume is pi D^2/4")

# --- Well.
for u in ("1e-15", "1e-10", "1e-6", "1e-5", "1e-4", "1e-3", "0.01", "0.02", "0.03", "0.05", "0.1", "0.2", "0.5", "1", "2", "3", "4", "5", "9", "20", "100"):
    row(f"theis-{u}", "well_function", f"u={u}", repr(float(exp1(float(u)))), "rel 1e-12", "rounding", LIB, "scipy 1.17.1, scipy.special.exp1")
HUISMAN = "L. Huisman, Groundwater Recovery (1972), table 4.1, as transcribed in a public data set"
for u, w, tol in (("1e-15", "33.9616", 6e-5), ("1e-10", "22.4486", 6e-5), ("1e-5", "10.9357", 6e-5), ("1", "0.2194", 6e-5), ("2", "0.04890", 6e-6), ("3", "0.01305", 6e-6), ("4", "0.003779", 6e-7), ("5", "0.001148", 6e-7)):
    row(f"theis-huisman-{u}", "well_function", f"u={u}", w, f"abs {tol:g}", "half of the last printed digit", "published", HUISMAN)
KDR = "G. P. Kruseman, N. A. de Ridder, Analysis and Evaluation of Pumping Test Data (1990), p. 185, as transcribed in an R package: Q 500 m3/d, 700 from 1800 s, 600 from 4800 s, r 5 m"


def superposed(t, flows, trans=100.3, stor=9.92e-4, r=5.0):
    s, before = 0.0, 0.0
    for start, q in flows:
        if start < t:
            s += (q - before) / (4 * math.pi * trans) * exp1(r * r * stor / (4 * trans * (t - start) / 86400))
            before = q
    return s


STEPS = [(0, 500), (1800, 700), (4800, 600)]
for t, read in ((300, 1.38), (900, 1.81), (1800, 2.09), (2100, 2.68), (3600, 3.18), (4800, 3.38), (5400, 3.13), (7800, 3.23)):
    row(f"superposition-{t}", "superposition_m", f"t_s={t}", repr(float(superposed(t, STEPS))), "abs 1e-9", "rounding", LIB, "scipy 1.17.1, exp1, summed over the flows, T 100.3 m2/d, S 9.92e-4")
    row(f"superposition-read-{t}", "superposition_m", f"t_s={t}", str(read), "abs 0.014", "read to 0.01 m; T and S are a fit of this test whose root mean square departure is 6.3 mm", "published", KDR)
Q = np.array([1306, 1693, 2423, 3261, 4094, 5019.0])
S = np.array([4.683, 6.514, 9.578, 13.240, 17.395, 22.325])
c, b = np.polyfit(Q, S / Q, 1)
CLARK = "numpy polyfit of s/Q on Q; data of L. Clark, Q. J. Eng. Geol. 10 (1977) 125, as transcribed in an R package"
clark = "steps=" + ",".join(f"{q:g},{s:g}" for q, s in zip(Q, S))
row("clark-b", "step_test_b", clark, repr(float(b)), "rel 1e-9", "rounding", LIB, CLARK)
row("clark-c", "step_test_c", clark, repr(float(c)), "rel 1e-9", "rounding", LIB, CLARK)
AREA = math.pi / 4 * 0.1524**2
for gpm, sc in ((0.05, 1.03494e-5), (0.5, 1.03494e-4), (1, 2.06989e-4)):
    tau, end = AREA / sc, 3e-4 / sc
    form = "A ds/dt = Q - SC s, 6 in bore, 0.3 L/s"
    row(f"bore-{gpm}-settled", "bore_m", f"sc={sc} q=0.0003 t=1e6", repr(end), "rel 1e-9", "rounding", "closed form", form)
    row(f"bore-{gpm}-600s", "bore_m", f"sc={sc} q=0.0003 t=600", repr(end * -math.expm1(-600 / tau)), "rel 1e-9", "rounding", "closed form", form)
    row(f"bore-{gpm}-recovery", "bore_recovery_s", f"sc={sc} q=0.0003 share=0.9", repr(tau * math.log(10)), "rel 1e-9", "rounding", "closed form", form + ": 90 % back after tau ln 10")
row("trade-note-drawdown", "bore_minutes", "gal_per_ft=1.5 feet=100 inflow_gpm=1 draw_gpm=14", "11.54", "abs 0.005", "150 gal / 13 gpm, half of the last digit", "closed form", "a trade note's 100 ft of 6 in bore at 1.5 gal/ft, 14 gpm out, 1 gpm in")
row("well-loss", "drawdown_q2_m", "q=5019 b=3.4085e-3 c=2.0747e-7", "22.3335", "abs 0.0006", "digits of B and C", "closed form", "B Q + C Q^2")

# --- Common practice: a small 12 V diaphragm booster.
DIAPHRAGM = "a small 12 V diaphragm booster: about 6 US gal/min open, about 18 A, a trickle near 160 ft, useful to about 100 ft: no source"
row("diaphragm-best", "diaphragm_efficiency", "part=best", "0.209", "abs 0.01", "a straight line between the two ends has its best at half the head: 0.1885 x 80 ft x 3 gpm / 216 W", "common practice", DIAPHRAGM)
row("diaphragm-100ft", "diaphragm_efficiency", "part=100ft", "0.196", "abs 0.01", "0.1885 x 100 ft x 2.25 gpm / 216 W", "common practice", DIAPHRAGM)
row("diaphragm-sane", "diaphragm_efficiency", "part=share_of_heads_between_0_and_50_percent", "1", "abs 1e-9", "every head has an efficiency below that of a good solar pump (25 to 48 % measured by Vick and Clark)", "common practice", DIAPHRAGM)

with Path(__file__).with_name("source.csv").open("w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow("id,what,inputs,expected,tolerance,why,kind,source".split(","))
    out.writerows(ROWS)
print(len(ROWS), "rows")
