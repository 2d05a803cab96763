//! `dryspell run` on the real typical year of Greensboro: its hourly columns against pvlib's.
//!
//! The reference series and their script are `data/reference/pvlib_*.csv` and `pvlib_year.py`; the tolerances are those of
//! the core's own comparison: each hour 1 W/m² or 0.5 % below a zenith of 85°, the year 0.1 %; maximum power 0.2 W or 0.5 %,
//! the year 0.2 %.
