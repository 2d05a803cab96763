"""Writes units.csv: sizes of units from scipy.constants (a general-purpose library), and wire resistances as printed.

Run in this folder: python3 units.py > units.csv
"""

import csv
import sys

import scipy
from scipy import constants as c

LIBRARY = f"scipy {scipy.__version__}, scipy.constants, data/reference/checks/units.py"
CODE = (
    "NFPA 70, National Electrical Code, chapter 9, table 8, uncoated copper at 75 degC, "
    "as transcribed alike by two public calculators"
)

litre = c.liter
day = c.day
rows = [
    ("us-gallon", "1_gal", "volume", c.gallon),
    ("imperial-gallon", "1_imp_gal", "volume", c.gallon_imp),
    ("litre", "4200_L", "volume", 4200 * litre),
    ("cubic-foot", "1_ft3", "volume", c.foot**3),
    ("foot", "120_ft", "length", 120 * c.foot),
    ("inch-mixed", "1_1/4_in", "length", 1.25 * c.inch),
    ("yard", "1_yd", "length", c.yard),
    ("mile", "1_mi", "length", c.mile),
    ("gpm", "6_gpm", "flow", 6 * c.gallon / c.minute * c.hour),
    ("gpd", "100_gpd", "flow", 100 * c.gallon / day * c.hour),
    ("imperial-gpm", "1_imp_gpm", "flow", c.gallon_imp / c.minute * c.hour),
    ("cfs", "1_ft3/s", "flow", c.foot**3 * c.hour),
    ("gallons-a-day", "15_gal", "daily_volume", 15 * c.gallon),
    ("specific-capacity", "0.5_gpm/ft", "specific_capacity", 0.5 * c.gallon / c.minute * c.hour / c.foot),
    ("pound", "1100_lb", "mass", 1100 * c.pound),
    ("psi", "20_psi", "pressure", 20 * c.psi),
    ("bar", "1_bar", "pressure", c.bar),
    ("foot-of-water", "10_ft_water", "pressure", 10 * c.foot * 1000 * c.g),
    ("horsepower", "1_hp", "power", c.hp),
    ("btu", "1_Btu", "energy", c.Btu / (c.kilo * c.hour)),
    ("acre", "1_acre", "area", c.acre),
    ("mph", "10_mph", "speed", 10 * c.mph),
    ("fahrenheit-mild", "41_degF", "temperature", float(c.convert_temperature(41, "F", "C"))),
    ("fahrenheit-cold", "-40_degF", "temperature", float(c.convert_temperature(-40, "F", "C"))),
    ("fahrenheit-hot", "98.6_degF", "temperature", float(c.convert_temperature(98.6, "F", "C"))),
    ("fahrenheit-step", "18_degF", "temperature_difference", 18 * c.degree_Fahrenheit),
]

out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow("id what inputs expected tolerance why kind source".split())
for name, text, quantity, value in rows:
    out.writerow(
        [
            f"unit-{name}",
            "unit_in_base_unit",
            f"text={text} quantity={quantity}",
            repr(value),
            "rel 1e-12",
            "exact definitions; only rounding of doubles lies between",
            "reference library",
            LIBRARY,
        ]
    )
for gauge, ohm in [(14, 3.07), (12, 1.93), (10, 1.21), (8, 0.764)]:
    out.writerow(
        [
            f"cable-awg-{gauge}",
            "copper_ohm_per_kft",
            f"awg={gauge}",
            ohm,
            "rel 0.005",
            "three printed digits; for gauge 10 the table itself lies 0.4 % below resistivity over area",
            "published",
            CODE,
        ]
    )
