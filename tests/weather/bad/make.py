"""Makes the broken weather files of this folder from good ones: run `python3 tests/weather/bad/make.py` at the top.

Each file is a short good file with one thing wrong. `expected.csv` beside them has the exact message of each; the
tests read every file and compare.
"""

import csv
import os

HERE = os.path.dirname(os.path.abspath(__file__))
DATA = os.path.join(HERE, "..", "..", "..", "data", "weather")


def lines(name):
    with open(os.path.join(DATA, name), encoding="latin-1", newline="") as file:
        return file.read().splitlines()


def fields(line):
    return next(csv.reader([line]))


# --- good files, each a list of lines -------------------------------------------------------------------------------


def tmy3(days=2, keep=("GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)", "Wspd (m/s)")):
    """March 1990 of Greensboro, a few columns of it."""
    text = lines("723170TYA.CSV")
    header = fields(text[1])
    take = [0, 1] + [header.index(k) for k in keep]
    rows = [fields(r) for r in text[2:] if r.startswith("03/")][: 24 * days]
    return [text[0], ",".join(header[t] for t in take)] + [",".join(r[t] for t in take) for r in rows]


def psm(days=2, keep=("DHI", "GHI", "DNI", "Wind Speed", "Temperature")):
    """March 2017 of north-west Colorado, half-hourly, a few columns."""
    text = lines("psm3_2017_march_30min.csv")
    header = fields(text[2])
    take = list(range(5)) + [header.index(k) for k in keep]
    rows = [fields(r) for r in text[3:]][: 48 * days]
    return text[:2] + [",".join(header[t] for t in take) + ",,"] + [
        ",".join(r[t] for t in take) + ",," for r in rows]


def pvgis_tmy(days=2):
    text = lines("tmy_45.000_8.000_2005_2023.csv")
    return text[:18] + text[18 : 18 + 24 * days] + text[-12:]


def pvgis_series(days=2):
    """The typical year's January as an hourly series on the level."""
    out = ["Latitude (decimal degrees):\t45.000", "Longitude (decimal degrees):\t8.000", "Elevation (m):\t250",
           "Radiation database:\tPVGIS-SARAH", "", "", "Slope: 0 deg. ", "Azimuth: 0 deg. ",
           "time,Gb(i),Gd(i),Gr(i),H_sun,T2m,WS10m,Int"]
    for row in lines("tmy_45.000_8.000_2005_2023.csv")[18 : 18 + 24 * days]:
        time, t2m, _, ghi, _, dhi, _, wind, _, _ = fields(row)
        out.append(f"{time[:-2]}10,{float(ghi) - float(dhi)},{dhi},0.0,0.0,{t2m},{wind},0.0")
    return out + ["", "T2m: 2-m air temperature (degree Celsius)", "", "PVGIS (c) European Union, 2001-2021"]


def epw(days=2):
    """Greensboro's March in the fields of an EPW."""
    out = ["LOCATION,Greensboro,NC,USA,TMY3,723170,36.10,-79.95,-5.0,273.0", "DESIGN CONDITIONS,0",
           "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0", "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
           'COMMENTS 1,"data, for tests"', "COMMENTS 2,none", "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31"]
    for row in tmy3(days)[2:]:
        date, time, ghi, dni, dhi, air, wind = row.split(",")
        month, day, year = date.split("/")
        hour = int(time[:2])
        out.append(f"{year},{int(month)},{int(day)},{hour},60,?9,{air},1.0,80,99000,0,0,300,{ghi},{dni},{dhi},"
                   f"0,0,0,0,180,{wind},5,5,9999,99999,9,999999999,20,0.1,0,88,0.2,0.0,0.0")
    return out


def plain(days=2):
    out = ["# place: Greensboro", "# latitude: 36.1", "# longitude: -79.95", "# elevation: 273 m", "# utc offset: -5",
           "# stamps: start", "time,ghi_w_per_m2,dni_w_per_m2,dhi_w_per_m2,air_degc,wind_m_per_s"]
    for row in tmy3(days)[2:]:
        date, time, *values = row.split(",")
        month, day, year = date.split("/")
        out.append(f"{year}-{month}-{day}T{int(time[:2]) - 1:02}:00," + ",".join(values))
    return out


# --- what can be wrong ----------------------------------------------------------------------------------------------


def put(text, line, field, value):
    """Changes a field (from 0) of a line (from 1)."""
    row = text[line - 1].split(",")
    row[field] = value
    return text[: line - 1] + [",".join(row)] + text[line:]


def sub(text, line, old, new):
    assert old in text[line - 1], (old, text[line - 1])
    return text[: line - 1] + [text[line - 1].replace(old, new, 1)] + text[line:]


def drop(text, first, count):
    return text[: first - 1] + text[first - 1 + count :]


def swap(text, line):
    return text[: line - 1] + [text[line], text[line - 1]] + text[line + 1 :]


def twice(text, line):
    return text[:line] + [text[line - 1]] + text[line:]


def every_second(text, head, foot=0):
    body = text[head : len(text) - foot]
    return text[:head] + body[::2] + text[len(text) - foot :]


# format: (good file, lines of head, lines of foot, fields of ghi, dni, air, first line with daylight to break)
BASES = {
    "tmy3": (tmy3, 2, 0, 2, 3, 5, 14),
    "psm": (psm, 3, 0, 6, 7, 9, 28),
    "pvgis_tmy": (pvgis_tmy, 18, 12, 3, 4, 1, 29),
    "pvgis_series": (pvgis_series, 9, 4, 1, 1, 5, 20),
    "epw": (epw, 8, 0, 13, 14, 6, 20),
    "plain": (plain, 7, 0, 1, 2, 4, 19),
}

FILES = {}


def add(name, text):
    assert name not in FILES, name
    FILES[name] = text


for form, (make, head, foot, ghi, dni, air, line) in BASES.items():
    good = make()
    add(f"{form}_row_cut_short", good[: line - 1] + [good[line - 1][: len(good[line - 1]) // 2]])
    add(f"{form}_not_a_number", put(good, line, ghi, "12o"))
    add(f"{form}_negative_radiation", put(good, line, dni, "-35"))
    add(f"{form}_impossible_radiation", put(good, line, ghi, "2300"))
    add(f"{form}_implausible", put(good, line, air, "283.2"))
    add(f"{form}_missing_values", good[: line - 1] + [
        ",".join("" if n == air else f for n, f in enumerate(r.split(","))) for r in good[line - 1 : line + 9]
    ] + good[line + 9 :])
    add(f"{form}_duplicate_row", twice(good, line))
    add(f"{form}_out_of_order", swap(good, line))
    add(f"{form}_odd_step", every_second(every_second(good, head, foot), head, foot))
    add(f"{form}_no_rows", good[:head])

# More than the sky can give at that height of the sun, though not at noon.
add("tmy3_impossible_at_night", put(tmy3(), 4, 2, "400"))

# Times and dates.
add("tmy3_bad_time", put(tmy3(), 14, 1, "noon"))
add("psm_bad_time", put(psm(), 28, 3, "24"))
add("pvgis_tmy_bad_time", put(pvgis_tmy(), 29, 0, "2018-01-01:1000"))
add("pvgis_series_bad_time", put(pvgis_series(), 20, 0, "20180101 1010"))
add("epw_bad_time", put(epw(), 20, 3, "0"))
add("plain_bad_time", put(plain(), 19, 0, "01.03.1990 11:00"))
add("tmy3_no_such_date", sub(tmy3(), 14, "03/01", "13/01"))
add("psm_no_such_date", put(psm(), 28, 2, "32"))
add("pvgis_tmy_no_such_date", put(pvgis_tmy(), 29, 0, "20181301:1000"))
add("pvgis_series_no_such_date", put(pvgis_series(), 20, 0, "20180230:1010"))
add("epw_no_such_date", put(epw(), 20, 2, "0"))
add("plain_no_such_date", put(plain(), 19, 0, "1990-02-29T11:00"))
add("tmy3_off_the_grid", sub(tmy3(), 14, ":00", ":20"))
add("psm_off_the_grid", put(psm(), 28, 4, "40"))
add("pvgis_tmy_off_the_grid", sub(pvgis_tmy(), 29, ":1000", ":1020"))
add("pvgis_series_off_the_grid", sub(pvgis_series(), 20, ":1010", ":1023"))
add("plain_off_the_grid", sub(plain(), 19, "T11:00", "T11:05"))
add("plain_clock_changes", [l if n < 7 else l.replace(":00,", ":00-05:00," if n < 30 else ":00-04:00,", 1)
                            for n, l in enumerate(plain())])

# Heads.
add("psm_header_cut_short", psm()[:1])
add("epw_header_cut_short", epw()[:5])
add("plain_header_cut_short", plain()[:4])
add("tmy3_header_value", sub(tmy3(), 1, "36.100", "36N"))
add("psm_header_value", sub(psm(), 2, "40.53", "forty"))
add("pvgis_tmy_header_value", sub(pvgis_tmy(), 1, "45.000", "45,000"))
add("pvgis_series_header_value", sub(pvgis_series(), 3, "250", "n/a"))
add("epw_header_value", sub(epw(), 1, "-5.0", "EST"))
add("plain_header_value", sub(plain(), 6, "start", "begin"))
add("psm_not_said", psm()[2:])
add("pvgis_tmy_not_said", pvgis_tmy()[17:])
add("pvgis_series_not_said", pvgis_series()[1:])
add("plain_not_said", drop(plain(), 6, 1))
add("tmy3_no_such_place", sub(tmy3(), 1, "36.100", "361.00"))
add("psm_no_such_place", sub(psm(), 2, "2168", "21680"))
add("pvgis_tmy_no_such_place", sub(pvgis_tmy(), 1, "45.000", "-95.0"))
add("pvgis_series_no_such_place", sub(pvgis_series(), 2, "8.000", "188.0"))
add("epw_no_such_place", sub(epw(), 1, "-5.0", "-50"))
add("plain_no_such_place", sub(plain(), 2, "36.1", "90.1"))
add("tmy3_clock_far_from_longitude", sub(tmy3(), 1, "-79.950", "79.950"))
add("psm_clock_far_from_longitude", sub(psm(), 2, "-108.54", "108.54"))
add("epw_clock_far_from_longitude", sub(epw(), 1, "-5.0", "5.0"))
add("plain_clock_far_from_longitude", sub(plain(), 5, "-5", "0"))

# Columns.
add("tmy3_missing_column", sub(tmy3(), 2, "Dry-bulb", "Wet-bulb"))
add("psm_missing_column", sub(psm(), 3, "GHI", "Clearsky GHI"))
add("pvgis_tmy_missing_column", sub(pvgis_tmy(), 18, "T2m", "T2"))
add("pvgis_series_missing_column", sub(pvgis_series(), 9, "T2m", "T"))
add("plain_missing_column", sub(plain(), 7, "air_degc", "x_air_degc"))
add("psm_missing_time_column", sub(psm(), 3, "Day", "Date"))
add("plain_missing_time_column", sub(plain(), 7, "time", "date"))
add("tmy3_duplicate_column", sub(tmy3(), 2, "Wspd (m/s)", "GHI (W/m^2)"))
add("psm_duplicate_column", sub(psm(), 3, "Wind Speed", "GHI"))
add("pvgis_tmy_duplicate_column", sub(pvgis_tmy(), 18, "RH", "T2m"))
add("pvgis_series_duplicate_column", sub(pvgis_series(), 9, "H_sun", "T2m"))
add("plain_duplicate_column", sub(plain(), 7, "wind_m_per_s", "air_degc"))
add("plain_unknown_column", sub(plain(), 7, "wind_m_per_s", "wind_ft_per_s"))
add("tmy3_wrong_unit", sub(tmy3(), 2, "Dry-bulb (C)", "Dry-bulb (F)"))
add("psm_wrong_unit", sub(psm(), 2, ",c,mbar", ",f,mbar"))
add("pvgis_series_tilted_plane", sub(pvgis_series(), 7, "0 deg.", "30 deg."))

# Gaps, ends, clocks put forward.
for form, (make, head, foot, *_) in BASES.items():
    step = 2 if form == "psm" else 1
    good = make(days=4)
    add(f"{form}_missing_rows", drop(good, head + 27 * step, 5 * step))
    if form != "pvgis_tmy":
        add(f"{form}_not_whole_days", drop(good, head + 1, 5 * step))

# 8 March 2015 was a Sunday, and the clocks of the US were put forward at 02:00.
add("tmy3_daylight_saving", drop(
    [l.replace("03/01/1990", "03/08/2015").replace("03/02/1990", "03/09/2015") for l in tmy3()], 5, 1))
add("psm_daylight_saving", drop(
    [l.replace("2017,3,1,", "2017,3,12,").replace("2017,3,2,", "2017,3,13,") for l in psm()], 8, 2))
add("epw_daylight_saving", drop(
    [l.replace("1990,3,1,", "2015,3,8,").replace("1990,3,2,", "2015,3,9,") for l in epw()], 11, 1))
add("plain_daylight_saving", drop(
    [l.replace("1990-03-01", "2015-03-08").replace("1990-03-02", "2015-03-09") for l in plain()], 10, 1))

# Clocks off: the sun tells.
LONG = 12
add("tmy3_stamps_off", sub(tmy3(LONG), 1, "-5.0", "-6.0"))
add("psm_stamps_off", sub(psm(LONG), 2, "-7,2168,-7", "-8,2168,-8"))
add("pvgis_tmy_stamps_off", sub(pvgis_tmy(31), 4, "0.1761", "0.8"))
add("epw_stamps_off", sub(epw(LONG), 1, "-5.0", "-4.0"))
add("plain_stamps_off", sub(plain(LONG), 6, "start", "end"))


# Beam in the night, in files whose stamps cannot be tested because they have no diffuse radiation.
def moved(text, head, stamp_fields, rows):
    """Values of so many rows later stand at each time."""
    body = [r.split(",") for r in text[head:]]
    later = body[rows:] + body[:rows]
    return text[:head] + [",".join(r[:stamp_fields] + v[stamp_fields:]) for r, v in zip(body, later)]


def renamed(text, line, *pairs):
    for old, new in pairs:
        text = sub(text, line, old, new)
    return text


add("tmy3_beam_at_night", moved(renamed(
    tmy3(8), 2, ("GHI (", "ETR ("), ("DHI (", "Other ("), ("Wspd (m/s)", "GHI (W/m^2)")), 2, 2, 12))
add("psm_beam_at_night", moved(renamed(
    psm(8), 3, ("DHI,", "Else,"), ("GHI", "Other"), ("Wind Speed", "GHI")), 3, 5, 24))
add("plain_beam_at_night", moved(renamed(
    plain(8), 7, ("ghi", "x_ghi"), ("dhi", "x_dhi"), ("wind_m_per_s", "ghi_w_per_m2")), 7, 1, 12))

# What is no weather file, and wrong bytes.
RAW = {
    "any_empty.csv": b"",
    "any_utf16.csv": b"\xff\xfe" + "\n".join(plain()).encode("utf-16-le"),
    "any_not_text.csv": b"PK\x03\x04\x14\x00\x00\x00zip",
    "any_not_recognised.csv": b"name,age\nAnn,5\n",
    "any_spaces.csv": b"\n  \n\n",
}

for old in os.listdir(HERE):
    if old not in ("make.py", "expected.csv"):
        os.remove(os.path.join(HERE, old))
for name, text in FILES.items():
    end = "\r\n" if name.startswith("plain") else "\n"
    with open(os.path.join(HERE, name + (".epw" if name.startswith("epw") else ".csv")), "w",
              encoding="latin-1", newline="") as file:
        file.write(end.join(text) + end)
for name, data in RAW.items():
    with open(os.path.join(HERE, name), "wb") as file:
        file.write(data)
print(len(FILES) + len(RAW), "files")
