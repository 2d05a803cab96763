"""How many times faster many tanks at once are than a loop over one tank compiled by numba, in one run.

Both sides do the same work on the same columns: a year of hours in 1024 tanks, with every volume summed on its own and
every counter (days of shortfall, spells, dry hours, longest runs, worst day, water to haul). Three cases:
  full   a float with a band, evaporation and a leak; tanks of 2 to 18 days of draw
  small  the same with tanks of half a day to 2 days, which often run dry
  bare   neither float nor losses; numba's loop for it has no steps for them either
Every output of every tank is asserted to be equal before anything is timed. Times are the best of many repetitions;
reading is left out on both sides, making the columns ready for lanes is in. "Steady" repeats the year until it settles:
its figure is of whole steady years, whatever the passes.

Usage: python3 benches/ledger_ratio.py   (builds and runs the bench `lanes`; needs numba, numpy and pandas)
"""
import pathlib
import platform
import subprocess
import tempfile
import time

import numba
import numpy as np
import pandas as pd

ROOT = pathlib.Path(__file__).resolve().parent.parent
STEPS_PER_M3 = 1048576.0
TOLERANCE = 0.01
WORSE_BY = 1.0 + 1e-5
# As in the bench: the smallest tank and the span to the largest.
SIZES_M3 = {"full": (4.0, 32.0), "small": (1.0, 3.0), "bare": (4.0, 32.0)}
OUTPUTS = ["pumped", "drawn", "short", "curtailed", "spilled", "evaporated", "leaked", "end", "stock_days",
           "shortfall_days", "spells", "longest_spell", "dry_hours", "longest_dry", "longest_idle", "worst_share", "worst_day",
           "haul", "haul_by"]
COUNTS = slice(8, 15)


@numba.njit(cache=False)
def end_of_day(counts, spell, day, demand_day, short_day):
    """Days of shortfall, spells, the worst day. `counts` and `spell` are changed."""
    stock = demand_day > 0.0
    counts[8] += stock
    if stock and short_day > TOLERANCE * demand_day:
        counts[9] += 1
        if spell[0] == 0:
            counts[10] += 1
            spell[1] = day
            spell[2] = 0.0
        spell[0] += 1
        spell[2] += short_day
        counts[11] = max(counts[11], spell[0])
        if spell[2] > counts[17]:
            counts[17] = spell[2]
            counts[18] = spell[1]
    else:
        spell[0] = 0
    share = short_day / demand_day if stock else 0.0
    # Of days alike but for the grid's rounding the first is the worst.
    if share > counts[15] * WORSE_BY:
        counts[16] = day
    counts[15] = max(counts[15], share)


@numba.njit(cache=False)
def full(stop, start, available, wanted, evaporation, leak, stock_day, demand_day, out):
    x, permits, band = stop, True, start < stop
    pumped = drawn_sum = short_sum = away = evaporated = leaked = 0.0
    dry_hours = dry_run = idle_run = longest_dry = longest_idle = 0
    spell = np.zeros(3)
    out[:] = 0.0
    out[16] = out[18] = -1.0
    h = 0
    for day in range(len(stock_day)):
        stock = stock_day[day]
        for _ in range(24):
            inflow = available[h] if permits else 0.0
            drawn = min(max(x, 0.0) + inflow, max(-x, 0.0) + wanted[h])
            x += inflow - wanted[h]
            gone = min(evaporation[h], max(x, 0.0))
            x -= gone
            evaporated += gone
            gone = min(leak[h], max(x, 0.0))
            x -= gone
            leaked += gone
            reached = x >= stop
            over = min(max(x - stop, 0.0), inflow)
            x -= over
            pumped += inflow - over
            away += available[h] - inflow + over
            drawn_sum += drawn
            permits = not band or (permits and not reached) or x <= start
            dry = stock and x <= 0.0
            idle = stock and drawn <= 0.0
            dry_hours += dry
            dry_run = dry_run + 1 if dry else 0
            idle_run = idle_run + 1 if idle else 0
            longest_dry = max(longest_dry, dry_run)
            longest_idle = max(longest_idle, idle_run)
            h += 1
        short = max(-x, 0.0)
        x = max(x, 0.0)
        short_sum += short
        end_of_day(out, spell, day, demand_day[day], short)
    out[0], out[1], out[2], out[3], out[5], out[6], out[7] = pumped, drawn_sum, short_sum, away, evaporated, leaked, x
    out[12], out[13], out[14] = dry_hours, longest_dry, longest_idle


@numba.njit(cache=False)
def bare(stop, start, available, wanted, evaporation, leak, stock_day, demand_day, out):
    x = stop
    pumped = drawn_sum = short_sum = spilled = 0.0
    dry_hours = dry_run = idle_run = longest_dry = longest_idle = 0
    spell = np.zeros(3)
    out[:] = 0.0
    out[16] = out[18] = -1.0
    h = 0
    for day in range(len(stock_day)):
        stock = stock_day[day]
        for _ in range(24):
            drawn = min(max(x, 0.0) + available[h], max(-x, 0.0) + wanted[h])
            x += available[h] - wanted[h]
            over = max(x - stop, 0.0)
            x -= over
            pumped += available[h]
            spilled += over
            drawn_sum += drawn
            dry = stock and x <= 0.0
            idle = stock and drawn <= 0.0
            dry_hours += dry
            dry_run = dry_run + 1 if dry else 0
            idle_run = idle_run + 1 if idle else 0
            longest_dry = max(longest_dry, dry_run)
            longest_idle = max(longest_idle, idle_run)
            h += 1
        short = max(-x, 0.0)
        x = max(x, 0.0)
        short_sum += short
        end_of_day(out, spell, day, demand_day[day], short)
    out[0], out[1], out[2], out[4], out[7] = pumped, drawn_sum, short_sum, spilled, x
    out[12], out[13], out[14] = dry_hours, longest_dry, longest_idle


@numba.njit(cache=False)
def each_full(stops, starts, available, wanted, evaporation, leak, stock_day, demand_day, out):
    for i in range(len(stops)):
        full(stops[i], starts[i], available, wanted, evaporation, leak, stock_day, demand_day, out[i])


@numba.njit(cache=False)
def each_bare(stops, starts, available, wanted, evaporation, leak, stock_day, demand_day, out):
    for i in range(len(stops)):
        bare(stops[i], starts[i], available, wanted, evaporation, leak, stock_day, demand_day, out[i])


def best(work, seconds=3.0):
    times, begun = [], time.perf_counter()
    while len(times) < 5 or time.perf_counter() - begun < seconds:
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def numba_ns(name, folder):
    """Asserts equal outputs, then gives numba's nanoseconds a tank-hour."""
    hours = pd.read_csv(folder / f"{name}_hours.csv").to_numpy(float) / STEPS_PER_M3
    available, wanted, evaporation, leak = (np.ascontiguousarray(column) for column in hours.T)
    tanks = pd.read_csv(folder / f"{name}_tanks.csv")
    stops = tanks["full"].to_numpy() / STEPS_PER_M3
    least, span = SIZES_M3[name]
    starts = np.rint(0.8 * (least + span * np.arange(len(stops)) / len(stops)) * STEPS_PER_M3) / STEPS_PER_M3
    demand_day = wanted.reshape(-1, 24).sum(axis=1)
    out = np.zeros((len(stops), len(OUTPUTS)))
    args = (stops, starts, available, wanted, evaporation, leak, demand_day > 0.0, demand_day, out)
    loop = {"full": each_full, "small": each_full, "bare": each_bare}[name]
    loop(*args)
    expected = tanks[OUTPUTS].to_numpy()
    volumes = [0, 1, 2, 3, 4, 5, 6, 7, 17]
    expected[:, volumes] /= STEPS_PER_M3
    # Not nearly: to the last bit.
    for i, what in enumerate(OUTPUTS):
        assert np.array_equal(out[:, i], expected[:, i]), (name, what)
    short = np.count_nonzero(out[:, 9])
    assert 0 < short and (name == "small" or short < len(stops)), "some tanks run dry and some do not"
    dry = np.mean(out[:, 12]) / len(available)
    return best(lambda: loop(*args)) * 1e9 / (len(stops) * len(available)), dry


def main():
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        command = ["cargo", "bench", "--quiet", "-p", "dryspell", "--bench", "lanes", "--", name]
        printed = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout
        lanes = {tuple(k): float(v) for *k, v in (line.split() for line in printed.splitlines()) if len(k) == 3}
        print(f"{platform.machine()}, numba {numba.__version__}; ns a tank-hour, 8760 hours")
        for case in SIZES_M3:
            one, dry = numba_ns(case, folder)
            print(f"\n{case}: outputs of 1024 tanks equal to the last bit; {100 * dry:.1f} % of tank-hours dry")
            print(f"  making the columns ready            {lanes[case, 'any', 'ready_us']:8.1f} us, in the times below")
            print(f"  numba, one tank after another       {one:8.3f}")
            for count in ("64", "1024"):
                for way in ("one_thread", "two_threads", "steady_two_threads"):
                    ns = lanes[case, count, f"{way}_ns"]
                    rate = 1e3 / (ns * 8760)
                    label = f"{count} tanks, {way.replace('_', ' ')}"
                    ratio = "" if way.startswith("steady") else f"  {one / ns:6.1f} x"
                    print(f"  {label:<34}  {ns:8.3f}  {rate:6.2f} million tank-years/s{ratio}")


main()
