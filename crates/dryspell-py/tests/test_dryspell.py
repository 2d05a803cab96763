"""The package against the program: equal numbers, to the last bit. Run by .ci/python; `DRYSPELL_DEMO` is the folder of the demo."""

import csv
import json
import os
import pathlib
import signal
import subprocess
import sys
import tempfile
import threading
import time
import unittest

import numpy as np

import dryspell

DEMO = pathlib.Path(os.environ["DRYSPELL_DEMO"])
SCHEME = DEMO / "scheme.toml"
EXAMPLES = pathlib.Path(__file__).parent.parent / "examples"


def program(*words):
    """The program that `pip install` gives."""
    entry = pathlib.Path(sys.executable).parent / "dryspell"
    return subprocess.run([entry, *words], capture_output=True, text=True, check=True).stdout


class Numbers(unittest.TestCase):
    def test_headlines_are_those_of_the_program(self):
        told = json.loads(program("run", str(SCHEME), "--no-mends", "--json", "-"))
        found = dryspell.read(SCHEME).run().headlines
        self.assertGreater(len(found), 100)
        for name, value in found.items():
            expected = told
            for part in name.split("."):
                expected = expected[part]
            if hasattr(value, "isoformat"):
                value = value.isoformat()
            self.assertEqual(value, expected, name)

    def test_hours_are_those_of_the_program(self):
        rows = list(csv.DictReader(program("run", str(SCHEME), "--no-mends", "--hourly", "-").splitlines()))
        hours = dryspell.read(SCHEME).run().hours()
        compared = 0
        for name, column in hours.items():
            if not isinstance(column, np.ndarray):
                continue
            cells = [row[name] for row in rows]
            told = np.array([{"": np.nan, "true": 1.0, "false": 0.0}.get(c, c) for c in cells], dtype=float)
            np.testing.assert_array_equal(column, told, name)
            compared += 1
        self.assertGreater(compared, 25)

    def test_a_sweep_is_that_of_the_program(self):
        vary = ["tank.main.capacity = 6 to 24 by 2 m3", "herd.cows.count = 40, 60"]
        with tempfile.TemporaryDirectory() as folder:
            out = pathlib.Path(folder) / "s.csv"
            words = [word for text in vary for word in ("--vary", text)]
            program("sweep", str(SCHEME), *words, "--out", str(out))
            rows = list(csv.DictReader(out.read_text().splitlines()))
        found = dryspell.sweep(dryspell.read(SCHEME), vary)
        for name, column in found.items():
            for row, value in zip(rows, column):
                if isinstance(value, (bool, np.bool_)):
                    value = str(value).lower()
                elif isinstance(column, np.ndarray):
                    self.assertTrue(float(row[name] or "nan") == value or value != value, (name, row[name], value))
                    continue
                self.assertEqual(row[name], "" if value is None else str(value), name)
        table = dryspell.as_arrow(found)
        self.assertEqual(table.num_rows, 20)

    def test_a_table_of_cases_and_a_size(self):
        scheme = dryspell.read(SCHEME)
        cases = {"tank.main.capacity_m3": [9.0, None, -1.0], "herd.cows.count": [40, 60, 40]}
        found = dryspell.sweep(scheme, cases=cases, columns=["shortfall_days"])
        alone = scheme.with_values("herd.cows.count = 60").run().headlines["shortfall_days"]
        self.assertEqual(found["shortfall_days"][1], alone)
        self.assertIn("tank.main.capacity", found["fault"][2])
        self.assertIsNone(found["fault"][0])
        smallest = dryspell.size(scheme, "tank.main.capacity", "6 to 30 by 1 m3")
        short = [scheme.with_values(f"tank.main.capacity = {m3} m3") for m3 in (smallest, smallest - 1)]
        self.assertEqual([s.run().headlines["shortfall_days"] > 0 for s in short][1:], [True])

    def test_what_is_uncertain_is_that_of_the_program(self):
        text = SCHEME.read_text() + '\n[uncertain]\n"herd.*.count" = "10 %"\n'
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / "open.toml"
            path.write_text(text.replace('file = "weather.csv"', f'file = "{DEMO / "weather.csv"}"'))
            told = program("odds", str(path), "--made-years", "0", "--json", "-")
            found = dryspell.odds(dryspell.read(path), made_years=0)["uncertain"]
        told = json.loads(told)["uncertain"]
        self.assertEqual(found["schemes"], told["schemes"])
        self.assertEqual(found["mean_days_interval"], tuple(told["shortfall_days"][e] for e in ("low", "high")))
        owed = {row["name"]: row["of_days"] for row in told["owed_to"]}
        self.assertEqual(set(owed), set(found["mean_days_owed_to"]))
        for name, (share, _) in found["mean_days_owed_to"].items():
            self.assertAlmostEqual(100 * share, owed[name]["percent"], places=9)

    def test_odds_are_those_of_the_program(self):
        told = program("odds", str(SCHEME), "--made-years", "50", "--drawings", "0", "--seed", "3")
        found = dryspell.odds(dryspell.read(SCHEME), made_years=50, drawings=0, seed=3)
        self.assertIn(f"mean year: {found['made_mean_days']:.2f}", " ".join(told.split()))
        self.assertEqual(len(found["made_days_by_year"]), 50)
        self.assertIsNone(found["made_dry_share_interval"])


class Own(unittest.TestCase):
    def test_weather_from_arrays_is_the_same_weather(self):
        scheme = dryspell.read(SCHEME)
        read = scheme.weather()
        name, latitude, longitude, elevation, offset = read.place
        ghi, air = read.columns
        start = np.datetime64("2001-01-01T00:00:00") - np.timedelta64(round(offset * 3600), "s")
        times = start + np.arange(8760) * np.timedelta64(1, "h")
        place = dict(latitude_deg=latitude, longitude_deg=longitude, elevation_m=elevation)
        plain = dryspell.weather_from(times, ghi, air, utc_offset_h=offset, years="synthetic", **place)
        self.assertEqual(plain.hours, 8760)
        run = scheme.run(plain)
        # Without wind and the beam of the file the sun is split anew: near, not equal.
        days = scheme.run().headlines["shortfall_days"]
        self.assertLess(abs(run.headlines["shortfall_days"] - days), 6)
        try:
            import pandas
        except ImportError:
            return
        zone = pandas.DatetimeIndex(times, tz="UTC").tz_convert("America/Denver")
        again = dryspell.weather_from(zone, ghi, air, years="synthetic", **place)
        self.assertEqual(again.place[4], -7.0)
        self.assertEqual(scheme.run(again).headlines, run.headlines)

    def test_a_gap_and_a_clock_without_zone_are_told(self):
        times = np.datetime64("2001-01-01T00") + np.arange(48) * np.timedelta64(1, "h")
        flat = np.zeros(48)
        place = dict(latitude_deg=50, longitude_deg=0)
        with self.assertRaisesRegex(dryspell.DryspellError, "no zone"):
            dryspell.weather_from(times, flat, flat, **place)
        with self.assertRaisesRegex(dryspell.DryspellError, "not every hour"):
            dryspell.weather_from(np.delete(times, 5), flat[1:], flat[1:], utc_offset_h=0, **place)

    def test_own_columns_and_an_own_pump(self):
        scheme = dryspell.read(SCHEME)
        hours = scheme.run().hours()
        own = scheme.run(available_m3=np.ascontiguousarray(hours["available_m3"]))
        self.assertEqual(own.headlines["shortfall_days"], scheme.run().headlines["shortfall_days"])

        def half_lost(power_w, head_m):
            return min(0.5 * power_w * 3600 / (9810 * max(head_m, 1.0)), 3.0)

        run = scheme.run(pump=half_lost, highest_head_m=80, highest_power_w=600)
        self.assertGreater(run.headlines["available_m3"], 100)

    def test_a_dict_is_a_scheme(self):
        try:
            import tomllib
        except ImportError:
            return
        keys = tomllib.loads(SCHEME.read_text())
        run = dryspell.scheme_from(keys, folder=DEMO).run()
        self.assertEqual(run.headlines, dryspell.read(SCHEME).run().headlines)

    def test_faults_carry_their_facts(self):
        with self.assertRaises(dryspell.DryspellError) as caught:
            dryspell.Scheme("[tank.main]\ncapasity = 3\n")
        told = [fault["way_out"] for fault in caught.exception.faults]
        self.assertTrue(any("capacity" in text for text in told), told)

    def test_control_c_ends_a_long_sweep(self):
        scheme = dryspell.read(SCHEME)
        threading.Timer(0.5, lambda: os.kill(os.getpid(), signal.SIGINT)).start()
        began = time.monotonic()
        with self.assertRaises(KeyboardInterrupt):
            dryspell.sweep(scheme, ["herd.cows.count = 1 to 200 by 0.02"], columns=["shortfall_days"])
        self.assertLess(time.monotonic() - began, 20)


class Readers(unittest.TestCase):
    """Tables that other programs read: pyarrow, DuckDB and Polars, each where it is there."""

    def test_a_table_is_read_with_its_types(self):
        with tempfile.TemporaryDirectory() as folder:
            path = str(pathlib.Path(folder) / "s.parquet")
            program("sweep", str(SCHEME), "--vary", "tank.main.capacity = 6, 9, 30 m3", "--out", path)
            import pyarrow
            import pyarrow.parquet

            table = pyarrow.parquet.read_table(path)
            kinds = {name: table.schema.field(name).type for name in table.column_names}
            self.assertEqual(kinds["tank.main.capacity_m3"], pyarrow.float64())
            self.assertEqual(kinds["shortfall_days"], pyarrow.int64())
            self.assertEqual(kinds["worst_day"], pyarrow.date32())
            self.assertEqual(kinds["settled"], pyarrow.bool_())
            self.assertTrue(table.schema.metadata[b"created_by"].startswith(b"dryspell "))
            field = table.schema.field("tank.main.capacity_m3").metadata
            self.assertEqual((field[b"unit"], field[b"meaning"][:13]), (b"m3", b"usable volume"))
            self.assertTrue(all(field.metadata[b"meaning"] for field in table.schema))
            told = table.column("shortfall_days").to_pylist()
            try:
                import duckdb

                rows = duckdb.sql(f"select shortfall_days from '{path}' order by \"case\"").fetchall()
                self.assertEqual([row[0] for row in rows], told)
            except ImportError:
                print("SKIPPED: no duckdb")
            try:
                import polars

                self.assertEqual(polars.read_parquet(path)["shortfall_days"].to_list(), told)
            except ImportError:
                print("SKIPPED: no polars")

    def test_the_days_of_every_case_open_in_one_line(self):
        with tempfile.TemporaryDirectory() as folder:
            out = pathlib.Path(folder) / "s.parquet"
            program("sweep", str(SCHEME), "--vary", "tank.main.capacity = 6 to 24 by 2 m3", "--days", "--out", str(out))
            files = f"{folder}/s.days/*.parquet"
            try:
                import duckdb

                short = duckdb.sql(f"select \"case\", count(*) from '{files}' where shortfall group by \"case\" order by 1")
                told = duckdb.sql(f"select \"case\", shortfall_days from '{out}' where shortfall_days > 0 order by 1")
                self.assertEqual(short.fetchall(), told.fetchall())
            except ImportError:
                print("SKIPPED: no duckdb")
            try:
                import polars

                days = polars.scan_parquet(files).filter(polars.col("case") == 3).collect()
                self.assertEqual((days.height, str(days.schema["date"])), (365, "Date"))
            except ImportError:
                print("SKIPPED: no polars")


class Map(unittest.TestCase):
    def test_the_example_makes_the_map_of_the_rust_example(self):
        theirs = os.environ.get("DRYSPELL_RUST_MAP")
        if not theirs:
            self.skipTest("no map of the Rust example")
        example = pathlib.Path(__file__).parent.parent / "examples" / "map_tanks_and_arrays.py"
        own = subprocess.run([sys.executable, example, DEMO], capture_output=True, text=True, check=True).stdout
        self.assertEqual(own, pathlib.Path(theirs).read_text())


class Examples(unittest.TestCase):
    def test_the_notebook_makes_its_figure(self):
        try:
            import matplotlib
            import nbclient
            import nbformat
        except ImportError as missing:
            self.skipTest(f"SKIPPED: {missing}")
        notebook = nbformat.read(EXAMPLES / "tank_against_days.ipynb", as_version=4)
        with tempfile.TemporaryDirectory() as folder:
            # A kernel of its own, which finds the demo by name.
            client = nbclient.NotebookClient(notebook, timeout=120, resources={"metadata": {"path": folder}})
            client.execute()
            figure = (pathlib.Path(folder) / "tank_against_days.png").read_bytes()
        self.assertTrue(figure.startswith(b"\x89PNG") and len(figure) > 20_000)
        told = [out["text"] for cell in notebook.cells for out in cell.get("outputs", []) if "text" in out]
        self.assertIn("The herd goes short on 7 of the 198 days", "".join(told).replace("\n", " "))

    def test_a_killed_worker_of_a_cluster_changes_nothing(self):
        try:
            import distributed
        except ImportError as missing:
            self.skipTest(f"SKIPPED: {missing}")
        told = subprocess.run(
            [sys.executable, EXAMPLES / "dask_parts.py", DEMO], capture_output=True, text=True, timeout=300
        )
        self.assertEqual(told.returncode, 0, told.stderr)
        self.assertRegex(told.stdout, r"^9045 cases in 24 tasks, a worker killed after \d+ of them: the same table\n$")


if __name__ == "__main__":
    unittest.main()
