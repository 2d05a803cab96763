"""The table of speed, filled in one run: each job of this project against what there is to beat, on the machine it names.

  a site-year of sun, panels and power      against pvlib             (pvlib_ratio.py)
  many tanks through a year                 against a numba loop      (ledger_ratio.py)
  reading weather, each format              against a bare csv loop   (weather.rs)
  a run from Python                         against one in Rust       (wheel_ratio.py; where .ci/python has built the package)
  dryspell run, demo and TMY3               the whole process
  dryspell size for a chance of dry years   the whole process, seconds of processor
  dryspell sweep, 1000 tanks x 20 arrays    the whole process
  dryspell sweep of 10^4, 10^5, 10^6 cases  time, peak memory and bytes of the table; 10^6 as Parquet and as CSV
  one part of a hundred of a sweep of 10,000 sites x 1000 tanks: what a plan for ten million cases rests on

The first four assert equal outputs before they time anything and leave reading out on both sides (but for that of weather);
the others are whole processes, table written. Times are the best of several runs, except for the sweeps of 10^5 cases and
more, which run once.

Usage: python3 benches/speed_table.py   (a quarter of an hour with nothing else running; needs numba, numpy, pandas, pvlib
0.16.1; about 3 GB of disk)
"""
import json
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


def spent(arguments, codes=(0,)):
    """What a whole process took that ends with one of these codes."""
    process = subprocess.Popen([PROGRAM, *map(str, arguments)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    if os.waitstatus_to_exitcode(status) not in codes:
        sys.exit(f"dryspell {' '.join(map(str, arguments))} failed")
    return used


def whole(arguments, times=1):
    """Best wall time, s, and peak memory, MB, of whole processes."""
    best, peak = float("inf"), 0
    for _ in range(times):
        begin = time.perf_counter()
        used = spent(arguments)
        best = min(best, time.perf_counter() - begin)
        peak = max(peak, used.ru_maxrss / 1024)
    return best, peak


def criterion(package, bench):
    """Seconds of each function of a bench, by group and name."""
    command = ["cargo", "bench", "--quiet", "-p", package, "--bench", bench, "--", "--noplot"]
    subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    found = {}
    for path in sorted((ROOT / "target/criterion").glob("*/*/new/estimates.json")):
        found[path.parts[-4], path.parts[-3]] = json.loads(path.read_text())["median"]["point_estimate"] / 1e9
    return found


def many_sites(folder, demo):
    """One part of a hundred of 10,000 sites x 1000 tanks: each site a link to one TMY3 file."""
    sites = folder / "sites"
    sites.mkdir()
    for i in range(10_000):
        (sites / f"{i:05}.csv").symlink_to(ROOT / "data/weather/723170TYA.CSV")
    scheme = folder / "sites.toml"
    scheme.write_text(demo.read_text())
    part = folder / "part.parquet"
    seconds, peak = whole(["sweep", scheme, "--vary", "weather.file = sites/*.csv", "--vary", "tank.main.capacity = 2 to 101.9 by 0.1 m3",
                           "--out", part, "--part", "7/100"])
    table = sum(path.stat().st_size for path in folder.glob("part.parquet*"))
    return f"{seconds:.1f} s, {peak:.0f} MB, {table / 1e6:.1f} MB of table"


def main():
    subprocess.run(["cargo", "build", "--release", "--quiet"], cwd=ROOT, check=True)
    rows = []
    found = script("pvlib_ratio.py")
    here = re.search(r"here: ([\d.]+) ms", found).group(1)
    for name, ratio, goal in re.findall(r"ratio to the (default chain|fastest .*): ([\d.]+) \(goal ([\d.]+)\)", found):
        rows.append((f"site-year against pvlib's {name}", f"{here} ms", f"{ratio} x", f"{goal} x"))
    found = script("ledger_ratio.py")
    goals = {("full", "one"): "20 x", ("full", "two"): "40 x", ("bare", "one"): "60 x", ("bare", "two"): "100 x",
             ("small", "one"): "40 x", ("small", "two"): "80 x"}
    case = ""
    for line in found.splitlines():
        if begins := re.match(r"(\w+): outputs", line):
            case = begins.group(1)
        way = re.match(r"\s+1024 tanks, (one|two) threads?\s+([\d.]+)\s+([\d.]+) million tank-years/s\s+([\d.]+) x", line)
        if way:
            count, ns, rate, ratio = way.groups()
            what = f"1024 tanks ({case}), {count} thread{'s' if count == 'two' else ''}, against numba"
            rows.append((what, f"{ns} ns a tank-hour, {rate} M tank-years/s", f"{ratio} x", goals.get((case, count), "")))
    found = criterion("dryspell-weather", "weather")
    for name in sorted(group for group, function in found if function == "bare_csv_loop"):
        read, bare = found[name, "read"], found[name, "bare_csv_loop"]
        rows.append((f"reading {name} against a bare csv loop", f"{1000 * read:.1f} ms", f"{read / bare:.1f} x the time", "2 x"))
    wheel = ROOT / "target/py-venv/bin/python"
    if wheel.exists():
        found = subprocess.run([wheel, ROOT / "benches/wheel_ratio.py"], capture_output=True, text=True, check=True).stdout
        ms, over = re.search(r"from Python: ([\d.]+) ms; over Rust: ([-\d.]+) %", found).groups()
        rows.append(("a run from Python against one in Rust", f"{ms} ms", f"{over} % over", "5 %"))
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        scheme = subprocess.run([PROGRAM, "new", "-"], capture_output=True, text=True, check=True).stdout
        tmy3 = folder / "tmy3.toml"
        tmy3.write_text(scheme.replace('file = "weather.csv"', f'file = "{ROOT / "data/weather/723170TYA.CSV"}"'))
        seconds, peak = whole(["run", tmy3], 15)
        rows.append(("dryspell run, TMY3 file, whole process", f"{1000 * seconds:.0f} ms, {peak:.0f} MB", "", "40 ms"))
        demo = ROOT / "data/demo/scheme.toml"
        seconds, peak = whole(["run", demo, "--no-mends"], 15)
        rows.append(("dryspell run, demo, whole process, without mends", f"{1000 * seconds:.0f} ms, {peak:.0f} MB", "", "25 ms"))
        # Thirty made years as a record of thirty, called measured so that drawings of its years are made as well.
        thirty = folder / "thirty.toml"
        subprocess.run([PROGRAM, "synth", ROOT / "data/demo/climate.toml", "--years", "30", "--to", folder / "thirty.csv"], check=True)
        thirty.write_text(demo.read_text().replace('file = "weather.csv"', 'file = "thirty.csv"\nyears = "calendar"'))
        # It ends with 1 where no size will do.
        used = spent(["size", thirty, "--target", "dry-years=20"], (0, 1))
        seconds = used.ru_utime + used.ru_stime
        rows.append(("dryspell size --target dry-years, record of 30 years", f"{seconds:.0f} s of processor", "", "3 s"))

        def sweep(tanks, arrays, table, times=1):
            table = folder / table
            last = 2 + (tanks - 1) * 0.1
            seconds, peak = whole(["sweep", demo, "--vary", f"tank.main.capacity = 2 to {last} by 0.1 m3",
                                   "--vary", f"array.shed.soiling = 0 to {(arrays - 1) / 50} by 0.02 %", "--out", table], times)
            return seconds, peak, table.stat().st_size

        seconds, peak, size = sweep(1000, 20, "sweep.parquet", 5)
        rows.append(("sweep, 1000 tanks x 20 arrays, all headlines, Parquet", f"{seconds:.2f} s, {peak:.0f} MB", "", "0.3 s"))
        for arrays, kind, goal in ((10, "parquet", ""), (100, "parquet", ""), (1000, "parquet", "15 s"), (1000, "csv", "")):
            seconds, peak, size = sweep(1000, arrays, f"sweep.{kind}")
            cases = 1000 * arrays
            told = f"{seconds:.1f} s, {peak:.0f} MB, {1e6 * seconds / cases:.0f} us and {size / cases:.0f} bytes a case"
            rows.append((f"sweep of {cases} cases, {kind}", told, "", goal))
        rows.append(("part 7 of 100 of 10,000 sites x 1000 tanks, Parquet", many_sites(folder, demo), "", ""))
    print(f"{machine()}\n")
    print("| work | measured | ratio | goal |\n| --- | --- | --- | --- |")
    for row in rows:
        print(f"| {' | '.join(row)} |")


main()
