//! Water that the air takes: from a reference grass, by the day or the hour, and from open water.
//!
//! Daily laws work on megajoules a square metre and millimetres a day, as their sources do. One millimetre on one square
//! metre is one litre.

pub mod air;
pub mod day;
pub mod grass;
pub mod grass_hourly;
pub mod hargreaves;
pub mod ice;
pub mod open_water;
pub mod radiation;
pub mod soil_heat;
