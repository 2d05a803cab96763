"""Off-grid stock water, hour by hour: does the herd go without, and how sure is that?

    import dryspell
    scheme = dryspell.read("scheme.toml")
    run = scheme.run()
    print(run.answer)
    hours = run.hours()          # a dict of numpy arrays
    table = dryspell.sweep(scheme, vary=["tank.main.capacity = 6 to 24 by 2 m3"])

Numbers are those of the program `dryspell`, to the last bit. Units stand in the names.
"""

from __future__ import annotations

import datetime as _datetime
import pathlib as _pathlib

import numpy as _numpy

from ._core import DryspellError, Run, Scheme, Weather, __version__, odds
from ._core import sweep as _sweep

__all__ = [
    "DryspellError",
    "Run",
    "Scheme",
    "Weather",
    "as_arrow",
    "odds",
    "read",
    "scheme_from",
    "size",
    "sweep",
    "weather_from",
    "__version__",
]

_HOUR = _numpy.timedelta64(1, "h")


def read(path, *, set=()):
    """Reads a scheme file; files that it names lie in its folder. `set` sets values anew, as `--set` does."""
    path = _pathlib.Path(path)
    return Scheme(path.read_text(encoding="utf-8"), path.parent, list(set))


def scheme_from(keys, *, folder="."):
    """Makes a scheme from a dict as it would stand in TOML: {"tank": {"main": {"capacity": "11 m3"}}, ...}."""
    return Scheme("\n".join(f"{_key(k)} = {_toml(v)}" for k, v in keys.items()), folder)


def _key(name):
    return '"' + str(name).replace("\\", "\\\\").replace('"', '\\"') + '"'


def _toml(value):
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(k)} = {_toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(_toml(v) for v in value) + "]"
    if isinstance(value, (int, float, _numpy.integer, _numpy.floating)):
        return repr(value.item() if isinstance(value, _numpy.generic) else value)
    return _key(value)


def weather_from(times, ghi_w_per_m2, air_degc, *, latitude_deg, longitude_deg, utc_offset_h=None, **columns):
    """Makes weather from hourly columns of pandas, polars or numpy.

    `times` are the starts of the hours, with their zone (a pandas DatetimeIndex, a polars series of Datetime with a zone, or
    datetime objects), or numpy datetime64 in UTC with `utc_offset_h`. The record runs on local standard time without
    daylight saving: of a zone that has it, its least offset. Hours must follow each other; hours before the first midnight and behind the
    last are left out. `columns`: dni_w_per_m2, dhi_w_per_m2, wind_m_per_s, precipitation_mm, snow_depth_m,
    relative_humidity (0 to 1), pressure_pa, name, elevation_m, years ("calendar", "typical", "synthetic", "projected").
    """
    utc, least = _utc(times)
    offset = least if utc_offset_h is None else float(utc_offset_h)
    if offset is None:
        raise DryspellError(
            "times: no zone; times with a zone, or utc_offset_h beside times in UTC; give the clock's hours from UTC"
        )
    steps = _numpy.diff(utc)
    if len(utc) < 24 or not (steps == _HOUR).all():
        wrong = int(_numpy.argmax(steps != _HOUR)) if len(utc) > 1 else 0
        raise DryspellError(
            f"times: not every hour once, first behind {utc[wrong] if len(utc) else 'nothing'}; hours that follow each "
            "other, at least a day; fill the gaps first"
        )
    local = utc + _numpy.timedelta64(round(offset * 3600), "s")
    midnight = local == local.astype("datetime64[D]")
    if not midnight.any():
        raise DryspellError(
            "times: no hour begins at midnight of the clock; starts of full hours; shift the times or give utc_offset_h"
        )
    first = int(_numpy.argmax(midnight))
    hours = (len(utc) - first) // 24 * 24
    cut = slice(first, first + hours)
    day = local[first].astype("datetime64[D]").item()

    def column(values):
        array = _numpy.ascontiguousarray(_numpy.asarray(values, dtype=float))
        if len(array) != len(utc):
            raise DryspellError(
                f"columns: {len(array)} values beside {len(utc)} times; as many values as times; cut them alike"
            )
        return _numpy.ascontiguousarray(array[cut])

    words = ("name", "elevation_m", "years")
    rest = {k: v if k in words else column(v) for k, v in columns.items() if v is not None}
    return Weather.from_columns(
        (day.year, day.month, day.day),
        column(ghi_w_per_m2),
        column(air_degc),
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        utc_offset_h=offset,
        **rest,
    )


def _utc(times):
    """Times in UTC as numpy, and the least offset of their zone in hours, `None` without a zone."""
    zone = getattr(times, "tz", None)  # pandas index
    if zone is None and hasattr(times, "dt") and getattr(times.dt, "tz", None) is not None:  # pandas series
        times = times.dt
        zone = times.tz
    if zone is not None:
        plain = times.tz_convert("UTC").tz_localize(None)
        array = _numpy.asarray(plain).astype("datetime64[s]")
    elif hasattr(times, "dtype") and getattr(times.dtype, "time_zone", None):  # polars
        import zoneinfo

        zone = zoneinfo.ZoneInfo(times.dtype.time_zone)
        array = times.dt.convert_time_zone("UTC").dt.replace_time_zone(None).to_numpy().astype("datetime64[s]")
    else:
        listed = list(times) if not isinstance(times, _numpy.ndarray) else times
        if len(listed) and isinstance(listed[0], _datetime.datetime) and listed[0].tzinfo is not None:
            zone = listed[0].tzinfo
            utc = [t.astimezone(_datetime.timezone.utc).replace(tzinfo=None) for t in listed]
            array = _numpy.array(utc, dtype="datetime64[s]")
        else:
            return _numpy.asarray(listed).astype("datetime64[s]"), None
    offsets = []
    for moment in array[:: max(1, len(array) // 400)]:
        aware = moment.item().replace(tzinfo=_datetime.timezone.utc).astimezone(zone)
        offsets.append(aware.utcoffset().total_seconds() / 3600)
    return array, min(offsets) if offsets else None


def sweep(scheme, vary=(), *, cases=None, draw=(), draws=0, seed=1, weather=None, columns=None):
    """Every case of a sweep, on all cores: a dict of columns, a row a case.

    `vary`, `draw`: as on the command line. `cases`: a dict of columns, or a data frame, by key, with or without a unit in the
    name ("tank.main.capacity_m3"); `None` and NaN leave the scheme's value. `columns`: which headlines; all by default. Each case's fault
    stands in "fault". Ctrl-C stops it.
    """
    table = None
    if cases is not None:
        names = [str(name) for name in (cases.columns if hasattr(cases, "columns") else cases)]
        table = (names, [[_cell(value) for value in cases[name]] for name in names])
    return _sweep(scheme, list(vary), table, list(draw), draws, seed, weather, None if columns is None else list(columns))


def _cell(value):
    if value is None or value != value:
        return ""
    if isinstance(value, (list, tuple, dict, bool, _numpy.bool_)):
        return _toml(bool(value) if isinstance(value, _numpy.bool_) else value)
    if isinstance(value, (float, _numpy.floating)):
        return repr(float(value))
    return str(value)


def size(scheme, key, values, *, days=0, weather=None):
    """The smallest of `values` of `key` with at most so many days of shortfall from it on up: its cell, or `None`.

        dryspell.size(scheme, "tank.main.capacity", "6 to 30 by 1 m3")
    """
    found = sweep(scheme, [f"{key} = {values}"], weather=weather, columns=["shortfall_days"])
    own = next(name for name in found if name == key or name.startswith(key + "_"))
    met = [fault is None and days_short <= days for fault, days_short in zip(found["fault"], found["shortfall_days"])]
    smallest = None
    for value, good in zip(reversed(list(found[own])), reversed(met)):
        if not good:
            break
        smallest = value
    return smallest


def as_arrow(table):
    """A dict of columns (of a sweep, or of the hours or days of a run) as a pyarrow table; numbers are not copied."""
    import pyarrow

    return pyarrow.table({name: pyarrow.array(column) for name, column in table.items()})
