"""Figures of one document, worked out again from what stands on its pages and nothing else, as a reviewer with a calculator would.

    cargo run --release -- summary data/demo/scheme.toml -o scheme.html
    python3 data/reference/forty_figures.py scheme.html

Prints each figure as the page has it and as it is worked out, and ends with 1 if one is off by more than the page's rounding
allows. Formulas: continuity; Darcy-Weisbach with Colebrook's friction factor (J. Inst. Civ. Eng. 11:133, 1939); K v^2/2g for
fittings; sums and ratios. Needs Python alone.
"""

import html
import math
import re
import sys

GRAVITY = 9.80665
DAYS = dict(Jan=31, Feb=28, Mar=31, Apr=30, May=31, Jun=30, Jul=31, Aug=31, Sep=30, Oct=31, Nov=30, Dec=31)

source = open(sys.argv[1], encoding="utf-8").read()
text = html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", source.split("<footer")[0]))).replace("\u00a0", " ")
checks = []


def check(what, page, again, places=2, more=0.0):
    """`page` rounded to `places`; `more`: what the rounding of the page's other numbers adds."""
    checks.append((what, page, again, 0.5 * 10.0**-places + more + 1e-9))


def table(title):
    body = source[source.index("<caption>" + title) :].split("</table>")[0]
    rows = []
    for row in re.findall(r"<tr>(.*?)</tr>", body, re.S):
        cells = re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.S)
        rows.append([html.unescape(re.sub(r"<[^>]+>", "", cell)).replace("\u00a0", " ").strip() for cell in cells])
    # The row of one head stands below that of its herd.
    names = [f"{above[0]}, one head" if row[0].startswith("one head") else row[0] for above, row in zip(rows, rows[1:])]
    return rows[0], {name: row[1:] for name, row in zip(names, rows[1:])}


def number(pattern):
    found = re.search(pattern, text)
    if not found:
        sys.exit(f"the page has nothing like {pattern!r}")
    return float(found.group(1))


def numbers(cells):
    return [float(cell) if re.fullmatch(r"-?[\d.]+", cell) else 0.0 for cell in cells]


# Head, from the flows, the bores, the roughness and the viscosity that the page states.
head, rows = table("Head in the well and the pipes")
part = {name: numbers(cells) for name, cells in rows.items()}
viscosity = number(r"viscosity ([\d.]+) mm") * 1e-6
capacity = number(r"specific capacity ([\d.]+) L/min/m")
pipes = {}
for name in ("drop", "buried"):
    length, bore = re.search(rf"{name}: ([\d.]+) m of ([\d.]+) mm bore", text).groups()
    rough, k = re.search(rf"{name}: roughness ([\d.]+) mm, fittings K ([\d.]+)", text).groups()
    pipes[name] = (float(length), float(bore) / 1000, float(rough) / 1000, float(k))


def velocity(flow_l_min, bore):
    return flow_l_min / 60000 / (math.pi / 4 * bore**2)


def friction(flow_l_min, length, bore, rough):
    v = velocity(flow_l_min, bore)
    reynolds = v * bore / viscosity
    root = 7.0
    for _ in range(60):
        root = -2 * math.log10(rough / 3.7 / bore + 2.51 * root / reynolds)
    return length / bore * v * v / 2 / GRAVITY / root**2, reynolds


for at, state in enumerate(head[1:]):
    flow = part["flow, L/min"][at]
    # The flow is on the page to 0.05 L/min: what that makes of each part is allowed for.
    share = 0.05 / flow
    check(f"drawdown, {state}", part["drawdown"][at], flow / capacity, 2, share * flow / capacity)
    fittings = 0.0
    for name, (length, bore, rough, k) in pipes.items():
        lost, reynolds = friction(flow, length, bore, rough)
        fittings += k * velocity(flow, bore) ** 2 / 2 / GRAVITY
        if reynolds > 4000:
            check(f"friction in {name}, {state}", part[f"friction, {name}"][at], lost, 2, 2 * share * lost)
    check(f"fittings, {state}", part["fittings"][at], fittings, 2, 2 * share * fittings)
    last = pipes["buried"][1]
    check(f"at the outlet, {state}", part["at the outlet"][at], velocity(flow, last) ** 2 / 2 / GRAVITY)
    sum_m = sum(cells[at] for name, cells in part.items() if not name.startswith(("flow", "total")))
    check(f"total dynamic head, {state}", part["total dynamic head"][at], sum_m, 2, 0.035)
highest = number(r"flow ([\d.]+) L/min \([\d.]+ gpm\) , the record's highest")
for name, (_, bore, _, _) in pipes.items():
    check(f"velocity in {name}", number(rf"{name} ([\d.]+) m/s"), velocity(highest, bore))
check("pumping level", number(r"pumping level ([\d.]+) m"), part["static level in the well"][0] + part["drawdown"][0])
imp, vmp = number(r"imp ([\d.]+) A"), number(r"vmp ([\d.]+) V")
check("power of a module, W", number(r"1 in parallel of ([\d.]+) W"), imp * vmp, 1)

# The year.
_, year = table("Water by month")
months = {name: numbers(cells) for name, cells in year.items()}
for name in ("available, m³", "pumped, m³", "demand, m³", "short, m³"):
    check(f"{name}, year", months[name][12], sum(months[name][:12]), 2, 0.06)
check("days of shortfall, year", months["days of shortfall"][12], sum(months["days of shortfall"][:12]), 0)
check("lowest level, year", months["lowest level, m³"][12], min(months["lowest level, m³"][:12]))
order, herds = table("Mean daily demand")
lengths = [DAYS[month] for month in order[1:]]
sun = next(cells for name, cells in months.items() if name.startswith("sun"))
check("sun on the plane, year", sun[12], sum(s * n for s, n in zip(sun, lengths)) / sum(lengths), 2, 0.005)


def volume(cell, days):
    found = re.fullmatch(r"([\d.]+)(?: × (\d+))?", cell)
    return (0.0, 0) if not found else (float(found[1]) * int(found[2] or days), int(found[2] or days))


for at, (month, days) in enumerate(zip(order[1:], lengths)):
    wanted = sum(volume(cells[at], days)[0] for name, cells in herds.items() if re.search(r" \(\d+\)$", name))
    if wanted:
        check(f"demand in {month}, m³", numbers(herds["in the month, m³"])[at], wanted, 2, 0.01 * days)

for name, cells in herds.items():
    heads = re.fullmatch(r"(.+) \((\d+)\)", name)
    if heads:
        one = numbers(herds[f"{name}, one head"])
        mean = [float(cell.split(" × ")[0] or 0) for cell in cells]
        check(f"{heads[1]} in January, m³", mean[order[1:].index("Jan")], one[order[1:].index("Jan")] * int(heads[2]) / 1000, 2, 0.01)

# What the parts must bear.
voc, slope = number(r"voc ([\d.]+) V"), number(r"voc temperature (-[\d.]+) %/K") / 100
series, coldest = (float(n) for n in re.search(r"(\d+) in series at (-?[\d.]+) °C, the lowest", text).groups())
check("volts in the cold", number(r"open-circuit voltage of shed in the cold ([\d.]+)"), series * voc * (1 + slope * (coldest - 25)), 1)
check("power of the array, W", number(r"1 in parallel × \d+ W = ([\d.]+) W"), series * imp * vmp, 0)

# Served and short.
short, stock = (float(n) for n in re.search(r"(\d+) of (\d+) with stock", text).groups())
check("days served, %", number(r"days served ([\d.]+) %"), 100 * (1 - short / stock))
check("water served, %", number(r"water served ([\d.]+) %"), 100 * (1 - months["short, m³"][12] / months["demand, m³"][12]))

# The worst days, from midnight to midnight.
_, spell = table("Of the ")
day = {name.split(",")[0]: numbers(cells) for name, cells in spell.items()}
stop = number(r"float stop ([\d.]+) m3")
for at in range(1, len(day["demand"])):
    level = day["level at midnight"][at - 1] + day["available"][at] - day["demand"][at] + day["short"][at]
    if level < stop:
        check(f"level at midnight, day {at + 1}", day["level at midnight"][at], level, 2, 0.02)

# The worksheet.
peak = number(r"full sun \(1000 W/m², [^)]*\) = ([\d.]+) L/day")
hours, full = re.search(r"([\d.]+) peak sun hours × ([\d.]+) L/min", text).groups()
check("daily water by hand, L", peak, float(hours) * float(full) * 60, 0, 0.005 * float(full) * 60)
daily = number(r"daily draw in Jan, the peak month ([\d.]+) L/day")
check("three days of storage, L", number(r"3 days of the peak month: ([\d.]+) L"), 3 * daily, 0, 1.5)
check("days of that draw", number(r"usable up to the float stop [\d.]+ m³ \([\d.]+ gal\), ([\d.]+) days"), stop * 1000 / daily, 1)
check("the well's day, m³", number(r"yields ([\d.]+) m³/day"), number(r"yield ([\d.]+) L/min") * 1.44)
run = number(r"= [\d.]+ L/day \([\d.]+ gal/day\) ([\d.]+) L/day")
check("by hand against the run, %", number(r"by hand (-?\d+) %"), 100 * (peak / run - 1), 0)

wrong = 0
for what, page, again, near in checks:
    off = abs(page - again) > near
    wrong += off
    print(f"{what:42} {page:10.2f} {again:12.4f}{'  OFF' if off else ''}")
print(f"{len(checks)} figures, {wrong} off")
sys.exit(1 if wrong or len(checks) < 40 else 0)
