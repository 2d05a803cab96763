"""What a run costs from Python above what it costs in Rust: the shipped scheme on its own year, weather read before.

Both sides run the same plan on the same record, in turns, on one thread; the day counts are asserted to be equal first. The figure
of each side is the best mean of a batch.

Usage: target/py-venv/bin/python benches/wheel_ratio.py   (after .ci/python, which builds and installs the package)
"""
import json
import pathlib
import subprocess
import time

import dryspell

ROOT = pathlib.Path(__file__).resolve().parent.parent
BATCH = 20


def rust():
    """Best mean of a batch of criterion's, s."""
    command = ["cargo", "bench", "--quiet", "-p", "dryspell-cli", "--bench", "run", "--", "--noplot", "run/demo"]
    subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    sample = json.loads((ROOT / "target/criterion/run_demo/new/sample.json").read_text())
    return min(t / n for t, n in zip(sample["times"], sample["iters"])) / 1e9


def python(scheme, weather, seconds=5.0):
    best, begun = float("inf"), time.perf_counter()
    while time.perf_counter() - begun < seconds:
        start = time.perf_counter()
        for _ in range(BATCH):
            scheme.run(weather)
        best = min(best, (time.perf_counter() - start) / BATCH)
    return best


def main():
    scheme = dryspell.read(ROOT / "data/demo/scheme.toml")
    weather = scheme.weather()
    assert scheme.run(weather).headlines["shortfall_days"] == 7, "the same scheme and year as the bench's"
    turns = [(rust(), python(scheme, weather)) for _ in range(3)]
    here, there = (min(side) for side in zip(*turns))
    print(f"a run in Rust: {1e3 * here:.2f} ms; from Python: {1e3 * there:.2f} ms; over Rust: {100 * (there / here - 1):.1f} % (goal 5 %)")


main()
