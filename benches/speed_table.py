"""The table of speed, filled in one run: each job of this project against what there is to beat, on the machine it names.

  a site-year of sun, panels and power      against pvlib          (pvlib_ratio.py)
  many tanks through a year                 against a numba loop   (ledger_ratio.py)
  dryspell run on a TMY3 file               the whole process
  dryspell sweep, 1000 tanks x 20 arrays    the whole process
  dryspell sweep of 10^4, 10^5, 10^6 cases  time and peak memory

The first two assert equal outputs before they time anything and leave reading out on both sides; the others are whole
processes, table written. Times are the best of several runs, except for the sweeps of 10^5 and 10^6 cases, which run once.

Usage: python3 benches/speed_table.py   (about ten minutes; needs numba, numpy, pandas, pvlib 0.16.1; about 3 GB of disk)
"""
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parent.parent
PROGRAM = ROOT / "target/release/dryspell"


def machine():
    info = pathlib.Path("/proc/cpuinfo").read_text()
    model = re.search(r"model name\s*: (.*)", info)
    wide = "with AVX-512" if " avx512f " in info else "without AVX-512"
    return f"{model.group(1) if model else 'unknown processor'}, {os.cpu_count()} threads, {wide}"


def script(name):
    done = subprocess.run([sys.executable, str(ROOT / "benches" / name)], cwd=ROOT, capture_output=True, text=True)
    if done.returncode:
        sys.exit(f"{name}: {done.stderr}")
    return done.stdout


def whole(arguments, times=1):
    """Best wall time, s, and peak memory, MB, of whole processes."""
    best, peak = float("inf"), 0
    for _ in range(times):
        begin = time.perf_counter()
        process = subprocess.Popen([PROGRAM, *map(str, arguments)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        _, status, used = os.wait4(process.pid, 0)
        best = min(best, time.perf_counter() - begin)
        peak = max(peak, used.ru_maxrss / 1024)
        if status:
            sys.exit(f"dryspell {' '.join(map(str, arguments))} failed")
    return best, peak


def main():
    subprocess.run(["cargo", "build", "--release", "--quiet"], cwd=ROOT, check=True)
    rows = []
    found = script("pvlib_ratio.py")
    here = re.search(r"here: ([\d.]+) ms", found).group(1)
    for name, ratio, goal in re.findall(r"ratio to the (default chain|fastest .*): ([\d.]+) \(goal (\d+)\)", found):
        rows.append((f"site-year against pvlib's {name}", f"{here} ms", f"{ratio} x", f"{goal} x"))
    found = script("ledger_ratio.py")
    goals = {("full", "one"): "20 x", ("full", "two"): "40 x", ("bare", "one"): "60 x", ("bare", "two"): "100 x"}
    case = ""
    for line in found.splitlines():
        if begins := re.match(r"(\w+): outputs", line):
            case = begins.group(1)
        way = re.match(r"\s+1024 tanks, (one|two) threads?\s+([\d.]+)\s+([\d.]+) million tank-years/s\s+([\d.]+) x", line)
        if way:
            count, ns, rate, ratio = way.groups()
            what = f"1024 tanks ({case}), {count} thread{'s' if count == 'two' else ''}, against numba"
            rows.append((what, f"{ns} ns a tank-hour, {rate} M tank-years/s", f"{ratio} x", goals.get((case, count), "")))
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        scheme = subprocess.run([PROGRAM, "new", "-"], capture_output=True, text=True, check=True).stdout
        tmy3 = folder / "tmy3.toml"
        tmy3.write_text(scheme.replace('file = "weather.csv"', f'file = "{ROOT / "data/weather/723170TYA.CSV"}"'))
        seconds, peak = whole(["run", tmy3], 15)
        rows.append(("dryspell run, TMY3 file, whole process", f"{1000 * seconds:.0f} ms, {peak:.0f} MB", "", "40 ms"))
        demo = ROOT / "data/demo/scheme.toml"
        table = folder / "sweep.csv"

        def sweep(tanks, arrays, times=1):
            last = 2 + (tanks - 1) * 0.1
            return whole(["sweep", demo, "--vary", f"tank.main.capacity = 2 to {last} by 0.1 m3",
                          "--vary", f"array.shed.soiling = 0 to {(arrays - 1) / 50} by 0.02 %", "--out", table], times)

        seconds, peak = sweep(1000, 20, 5)
        rows.append(("sweep, 1000 tanks x 20 arrays, all headlines", f"{seconds:.2f} s, {peak:.0f} MB", "", "0.3 s"))
        for tanks, arrays in ((1000, 10), (1000, 100), (1000, 1000)):
            seconds, peak = sweep(tanks, arrays)
            cases = tanks * arrays
            rows.append((f"sweep of {cases} cases", f"{seconds:.1f} s, {peak:.0f} MB, {1e6 * seconds / cases:.0f} us a case", "", ""))
    print(f"{machine()}\n")
    print("| work | measured | ratio | goal |\n| --- | --- | --- | --- |")
    for row in rows:
        print(f"| {' | '.join(row)} |")


main()
