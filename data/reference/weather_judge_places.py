"""Sun of the places of weather_judge.py: global light of the darkest and of the brightest month, and how far its days differ in the dark
quarter (standard deviation of a day over its month's mean, the darkest month and those beside it). Air is left out: the prairie's is a sonic
thermometer's.

Reads the records that weather_judge.py leaves in its cache folder.

    python3 data/reference/weather_judge_places.py [CACHE_FOLDER]
"""

import csv
import pathlib
import sys

import pandas as pd

HERE = pathlib.Path(__file__).parent
CACHE = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else "/tmp/weather_judge")

with open(HERE / "weather_judge_places.csv", "w", newline="") as out:
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["site", "darkest_month_kwh_per_m2_day", "brightest_month_kwh_per_m2_day", "spread_of_dark_days"])
    for site in ("davos", "arm", "iowa", "wageningen"):
        frame = pd.read_csv(CACHE / f"{site}-like-record.csv", comment="#", parse_dates=["time"])
        days = frame.groupby(frame.time.dt.normalize()).ghi_w_per_m2.mean() * 0.024
        months = days.groupby(days.index.month).mean()
        darkest = months.idxmin()
        dark = [(darkest - 2) % 12 + 1, darkest, darkest % 12 + 1]
        share = days / months[days.index.month].values
        spread = share[days.index.month.isin(dark)].std(ddof=0)
        writer.writerow([site, f"{months.min():.2f}", f"{months.max():.2f}", f"{spread:.3f}"])
