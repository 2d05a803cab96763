"""Types of the compiled part."""

from os import PathLike
from typing import Any, Callable

import numpy as np
from numpy.typing import NDArray

__version__: str

class DryspellError(ValueError):
    """What is wrong; `faults`: a dict each, with place, found, accepted and way_out."""

    faults: list[dict[str, str]]

class Weather:
    hours: int
    place: tuple[str, float, float, float, float]
    columns: tuple[NDArray[np.float64], NDArray[np.float64]]
    @staticmethod
    def read(path: str | PathLike[str]) -> Weather: ...
    @staticmethod
    def from_columns(
        first_day: tuple[int, int, int],
        ghi_w_per_m2: NDArray[np.float64],
        air_degc: NDArray[np.float64],
        *,
        dni_w_per_m2: NDArray[np.float64] | None = None,
        dhi_w_per_m2: NDArray[np.float64] | None = None,
        wind_m_per_s: NDArray[np.float64] | None = None,
        precipitation_mm: NDArray[np.float64] | None = None,
        snow_depth_m: NDArray[np.float64] | None = None,
        relative_humidity: NDArray[np.float64] | None = None,
        pressure_pa: NDArray[np.float64] | None = None,
        name: str = "",
        latitude_deg: float,
        longitude_deg: float,
        elevation_m: float = 0.0,
        utc_offset_h: float,
        years: str = "calendar",
    ) -> Weather: ...

class Run:
    headlines: dict[str, Any]
    answer: str
    def hours(self) -> dict[str, NDArray[np.float64] | list[Any]]: ...
    def days(self) -> dict[str, NDArray[np.float64] | list[Any]]: ...
    def months(self) -> dict[str, NDArray[np.float64] | list[Any]]: ...

class Scheme:
    text: str
    def __init__(self, text: str, folder: str | PathLike[str] = ".", set: list[str] = ...) -> None: ...
    def with_values(self, *set: str) -> Scheme: ...
    def weather(self) -> Weather: ...
    def run(
        self,
        weather: Weather | None = None,
        *,
        available_m3: NDArray[np.float64] | None = None,
        demand_m3: NDArray[np.float64] | None = None,
        pump: Callable[[float, float], float] | None = None,
        highest_head_m: float | None = None,
        highest_power_w: float | None = None,
    ) -> Run: ...

def sweep(
    scheme: Scheme,
    vary: list[str] = ...,
    cases: tuple[list[str], list[list[str]]] | None = None,
    draw: list[str] = ...,
    draws: int = 0,
    seed: int = 1,
    weather: Weather | None = None,
    columns: list[str] | None = None,
) -> dict[str, Any]: ...
def odds(
    scheme: Scheme,
    weather: Weather | None = None,
    *,
    made_years: int = 300,
    drawings: int = 200,
    block_days: float | None = None,
    window_days: int = 15,
    seed: int = 1,
) -> dict[str, Any]: ...
def program(words: list[str]) -> int: ...
