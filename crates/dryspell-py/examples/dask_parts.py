"""A sweep on a Dask cluster of local workers, one of which is killed half-way: the table is the same.

    pip install "dask[distributed]" && python dask_parts.py data/demo

Each task works off its own rows of the table of cases and sends back arrays; nothing needs a file that all workers see. On a cluster of
your own give its address to Client, and leave the killing out.
"""

import os
import pathlib
import signal
import sys
import time

import dryspell
import numpy
from distributed import Client, LocalCluster

PARTS = 24
FIGURES = ["shortfall_days", "longest_spell_days", "volume_served_percent", "autonomy_in_service_days.p05"]


def cases():
    """Tanks of 4 to 24 m3 with 20 to 64 head: a row each."""
    capacity, head = numpy.meshgrid(numpy.arange(4.0, 24.1, 0.1), numpy.arange(20, 65))
    return {"tank.main.capacity_m3": capacity.ravel(), "herd.cows.count": head.ravel()}


def part(folder, table):
    """One task: the figures of its rows, on one core, as the others have theirs."""
    scheme = dryspell.read(pathlib.Path(folder) / "scheme.toml")
    found = dryspell.sweep(scheme, cases=table, columns=FIGURES)
    return {name: found[name] for name in FIGURES}


def main(folder):
    table = cases()
    rows = len(table["herd.cows.count"])
    bounds = [rows * k // PARTS for k in range(PARTS + 1)]
    pieces = [{key: values[a:b] for key, values in table.items()} for a, b in zip(bounds, bounds[1:])]
    whole = part(folder, table)
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster, Client(cluster) as client:
        tasks = [client.submit(part, folder, piece, pure=False) for piece in pieces]
        while sum(task.done() for task in tasks) < PARTS // 4:
            time.sleep(0.01)
        victim = next(iter(client.run(os.getpid).values()))
        os.kill(victim, signal.SIGKILL)
        done = sum(task.done() for task in tasks)
        found = client.gather(tasks)
    joined = {name: numpy.concatenate([piece[name] for piece in found]) for name in FIGURES}
    for name in FIGURES:
        # To the last bit; what is not known is not a number in both.
        assert joined[name].tobytes() == whole[name].tobytes(), name
    print(f"{rows} cases in {PARTS} tasks, a worker killed after {done} of them: the same table")


if __name__ == "__main__":
    main(sys.argv[1])
