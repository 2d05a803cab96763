//! The units themselves. Every factor is exact by definition, or a product of such factors.
//!
//! # Units
//! | symbol | name | exact value |
//! | --- | --- | --- |
//! | ft | international foot | 0.3048 m |
//! | lb | avoirdupois pound | 0.453 592 37 kg |
//! | gal | US liquid gallon, 231 in³ | 3.785 411 784 L |
//! | imp gal | imperial gallon | 4.546 09 L |
//! | acre | 43 560 ft² | 4046.856 422 4 m² |
//! | psi | pound-force per square inch | 6894.757… Pa |
//! | hp | 550 ft·lbf/s | 745.699… W |
//! | m water | conventional metre of water | 9806.65 Pa |
//!
//! # References
//! A. Thompson and B. N. Taylor, *Guide for the Use of the International System of Units*, NIST Special Publication
//! 811, 2008, appendix B (definitions; from memory).

use super::Quantity;

/// One unit of a quantity: base value = (number + shift) × scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// The spelling that hints and reports use.
    pub symbol: &'static str,
    /// Other spellings accepted. Superscripts, `°`, `Ω`, `per` and spaces are brought to plain text before.
    pub also: &'static [&'static str],
    /// Size of the unit in base units.
    pub scale: f64,
    /// Added to the number before scaling; only temperatures have one.
    pub shift: f64,
}

const fn unit(symbol: &'static str, also: &'static [&'static str], scale: f64) -> Unit {
    Unit { symbol, also, scale, shift: 0.0 }
}

/// International foot, m.
pub const FOOT_M: f64 = 0.3048;
/// Inch, m.
pub(crate) const INCH_M: f64 = 0.0254;
/// Yard, m.
pub(crate) const YARD_M: f64 = 0.9144;
/// Statute mile, m.
pub(crate) const MILE_M: f64 = 1609.344;
/// US liquid gallon, m³.
pub const US_GALLON_M3: f64 = 3.785_411_784e-3;
/// Imperial gallon, m³.
pub(crate) const IMPERIAL_GALLON_M3: f64 = 4.546_09e-3;
/// Cubic foot, m³.
pub(crate) const CUBIC_FOOT_M3: f64 = 0.028_316_846_592;
/// Avoirdupois pound, kg.
pub(crate) const POUND_KG: f64 = 0.453_592_37;
/// International acre, m².
pub(crate) const ACRE_M2: f64 = 4_046.856_422_4;
/// Pound-force per square inch, Pa.
pub(crate) const PSI_PA: f64 = 6_894.757_293_168_361;
/// Conventional metre of water, Pa: 1000 kg/m³ × 9.80665 m/s².
pub(crate) const METRE_OF_WATER_PA: f64 = 9_806.65;
/// Mechanical horsepower, W.
pub(crate) const HORSEPOWER_W: f64 = 745.699_871_582_270_2;
/// British thermal unit (International Table), kWh.
pub(crate) const BTU_KWH: f64 = 1_055.055_852_62 / 3.6e6;

const MIN: f64 = 60.0;
const DAY_H: f64 = 24.0;
const LITRE: f64 = 1e-3;

const LENGTH: &[Unit] = &[
    unit("m", &["metre", "metres", "meter", "meters"], 1.0),
    unit("ft", &["foot", "feet"], FOOT_M),
    unit("mm", &[], 1e-3),
    unit("cm", &[], 1e-2),
    unit("km", &[], 1e3),
    unit("in", &["inch", "inches"], INCH_M),
    unit("yd", &["yard", "yards"], YARD_M),
    unit("mi", &["mile", "miles"], MILE_M),
];
const AREA: &[Unit] = &[
    unit("mm2", &["sq mm"], 1e-6),
    unit("in2", &["sq in"], INCH_M * INCH_M),
    unit("m2", &["sq m"], 1.0),
    unit("ft2", &["sq ft"], FOOT_M * FOOT_M),
    unit("cm2", &["sq cm"], 1e-4),
    unit("ha", &["hectare", "hectares"], 1e4),
    unit("acre", &["acres", "ac"], ACRE_M2),
];
const VOLUME: &[Unit] = &[
    unit("L", &["litre", "litres", "liter", "liters"], LITRE),
    unit("gal", &["US gal", "gallon", "gallons", "US gallon", "US gallons"], US_GALLON_M3),
    unit("m3", &["cubic metre", "cubic metres", "cubic meters"], 1.0),
    unit("mL", &[], 1e-6),
    unit(
        "imp gal",
        &["imperial gal", "imperial gallon", "imperial gallons", "imp gallons"],
        IMPERIAL_GALLON_M3,
    ),
    unit("ft3", &["cu ft", "cubic foot", "cubic feet"], CUBIC_FOOT_M3),
];
const FLOW: &[Unit] = &[
    unit("L/min", &["lpm"], LITRE * MIN),
    unit("gpm", &["gal/min", "US gpm", "US gal/min"], US_GALLON_M3 * MIN),
    unit("m3/h", &["m3/hr", "m3/hour"], 1.0),
    unit("L/h", &["L/hr", "L/hour"], LITRE),
    unit("L/s", &["L/sec", "lps"], LITRE * 3600.0),
    unit("m3/s", &[], 3600.0),
    unit("gph", &["gal/h", "gal/hr", "gal/hour"], US_GALLON_M3),
    unit("L/day", &["L/d"], LITRE / DAY_H),
    unit("gpd", &["gal/day", "gal/d"], US_GALLON_M3 / DAY_H),
    unit("m3/day", &["m3/d"], 1.0 / DAY_H),
    unit("imp gpm", &["imp gal/min"], IMPERIAL_GALLON_M3 * MIN),
    unit("imp gal/day", &["imp gpd"], IMPERIAL_GALLON_M3 / DAY_H),
    unit("ft3/s", &["cfs"], CUBIC_FOOT_M3 * 3600.0),
    unit("ft3/min", &["cfm"], CUBIC_FOOT_M3 * MIN),
];
const DAILY_VOLUME: &[Unit] = &[
    unit("L/day", &["L/d", "L", "litre", "litres", "liter", "liters", "L/head/day"], LITRE),
    unit(
        "gal/day",
        &["gpd", "gal/d", "gal", "US gal", "US gal/day", "gallon", "gallons", "gal/head/day"],
        US_GALLON_M3,
    ),
    unit("m3/day", &["m3/d", "m3"], 1.0),
    unit("imp gal/day", &["imp gpd", "imp gal/d", "imp gal", "imperial gal"], IMPERIAL_GALLON_M3),
];
const SPECIFIC_CAPACITY: &[Unit] = &[
    unit("L/min/m", &["lpm/m"], LITRE * MIN),
    unit("gpm/ft", &["gal/min/ft"], US_GALLON_M3 * MIN / FOOT_M),
    unit("m3/h/m", &["m3/hr/m", "m2/h"], 1.0),
    unit("L/s/m", &[], LITRE * 3600.0),
    unit("L/h/m", &["L/hr/m", "lph/m"], LITRE),
    unit("m3/day/m", &["m3/d/m", "m2/day"], 1.0 / DAY_H),
];
const WELL_LOSS: &[Unit] = &[
    unit("h2/m5", &["m/(m3/h)2"], 1.0),
    unit("ft/gpm2", &["ft/(gpm)2"], FOOT_M / (US_GALLON_M3 * MIN * US_GALLON_M3 * MIN)),
    unit("s2/m5", &[], 1.0 / (3600.0 * 3600.0)),
    unit("d2/m5", &["day2/m5"], DAY_H * DAY_H),
    unit("min2/m5", &[], 1.0 / (MIN * MIN)),
];
const POWER: &[Unit] = &[
    unit("W", &["watt", "watts", "Wp"], 1.0),
    unit("hp", &["horsepower"], HORSEPOWER_W),
    unit("kW", &["kWp"], 1e3),
];
const ENERGY: &[Unit] =
    &[unit("kWh", &[], 1.0), unit("Btu", &[], BTU_KWH), unit("Wh", &[], 1e-3), unit("MJ", &[], 1.0 / 3.6)];
const VOLTAGE: &[Unit] = &[unit("V", &["volt", "volts"], 1.0), unit("mV", &[], 1e-3), unit("kV", &[], 1e3)];
const CURRENT: &[Unit] = &[
    unit("A", &["amp", "amps", "ampere", "amperes"], 1.0),
    unit("mA", &[], 1e-3),
    unit("uA", &[], 1e-6),
    unit("nA", &[], 1e-9),
    unit("pA", &[], 1e-12),
];
const RESISTANCE: &[Unit] =
    &[unit("ohm", &["ohms"], 1.0), unit("mohm", &["milliohm", "mohms"], 1e-3), unit("kohm", &[], 1e3)];
const MASS: &[Unit] = &[
    unit("kg", &["kilogram", "kilograms"], 1.0),
    unit("lb", &["lbs", "pound", "pounds"], POUND_KG),
    unit("g", &["gram", "grams"], 1e-3),
    unit("t", &["tonne", "tonnes"], 1e3),
];
const DAILY_MASS: &[Unit] = &[
    unit("kg/day", &["kg/d", "kg"], 1.0),
    unit("lb/day", &["lb/d", "lbs/day", "lb", "lbs"], POUND_KG),
    unit("g/day", &["g/d", "g"], 1e-3),
];
const PRESSURE: &[Unit] = &[
    unit("kPa", &[], 1e3),
    unit("psi", &["psig"], PSI_PA),
    unit("bar", &[], 1e5),
    unit("Pa", &[], 1.0),
    unit("hPa", &["mbar"], 1e2),
    unit("m water", &["mH2O", "m H2O", "m of water"], METRE_OF_WATER_PA),
    unit("ft water", &["ftH2O", "ft H2O", "ft of water"], METRE_OF_WATER_PA * FOOT_M),
];
const ANGLE: &[Unit] = &[
    unit("deg", &["degree", "degrees"], 1.0),
    unit("rad", &["radian", "radians"], 180.0 / std::f64::consts::PI),
];
const TEMPERATURE: &[Unit] = &[
    unit("degC", &["C", "Celsius", "deg C"], 1.0),
    Unit { symbol: "degF", also: &["F", "Fahrenheit", "deg F"], scale: 5.0 / 9.0, shift: -32.0 },
    Unit { symbol: "K", also: &["kelvin"], scale: 1.0, shift: -273.15 },
];
const TEMPERATURE_DIFFERENCE: &[Unit] =
    &[unit("K", &["kelvin", "degC", "C"], 1.0), unit("degF", &["F", "deg F"], 5.0 / 9.0)];
const FRACTION: &[Unit] = &[unit("%", &["percent", "pct"], 1e-2)];
const FRACTION_PER_KELVIN: &[Unit] = &[
    unit("%/K", &["%/degC", "%/C", "percent/K"], 1e-2),
    unit("%/degF", &["%/F"], 1e-2 * 9.0 / 5.0),
    unit("1/K", &["1/degC"], 1.0),
];
const CURRENT_PER_KELVIN: &[Unit] =
    &[unit("mA/K", &["mA/degC", "mA/C"], 1e-3), unit("A/K", &["A/degC", "A/C"], 1.0)];
const VOLTAGE_PER_KELVIN: &[Unit] =
    &[unit("mV/K", &["mV/degC", "mV/C"], 1e-3), unit("V/K", &["V/degC", "V/C"], 1.0)];
const IRRADIANCE: &[Unit] = &[unit("W/m2", &[], 1.0), unit("kW/m2", &[], 1e3)];
const DAILY_IRRADIATION: &[Unit] = &[
    unit("kWh/m2/day", &["kWh/m2/d", "kWh/m2"], 1.0),
    unit("Wh/m2/day", &["Wh/m2/d", "Wh/m2"], 1e-3),
    unit("MJ/m2/day", &["MJ/m2/d", "MJ/m2"], 1.0 / 3.6),
];
const SPEED: &[Unit] = &[
    unit("m/s", &[], 1.0),
    unit("mph", &["mi/h"], MILE_M / 3600.0),
    unit("km/h", &["kph"], 1.0 / 3.6),
    unit("ft/s", &["fps"], FOOT_M),
];
const DURATION: &[Unit] = &[
    unit("h", &["hr", "hour", "hours"], 1.0),
    unit("days", &["day", "d"], DAY_H),
    unit("min", &["minute", "minutes"], 1.0 / MIN),
    unit("s", &["sec", "second", "seconds"], 1.0 / 3600.0),
    unit("weeks", &["week", "wk"], 7.0 * DAY_H),
];
const HEAT_LOSS: &[Unit] = &[unit("W/m2/K", &["W/(m2 K)", "W/m2 K", "W/m2K"], 1.0)];
const WIND_HEAT_LOSS: &[Unit] = &[unit("W s/m3/K", &["W s/(m3 K)", "Ws/m3/K", "Ws/m3K"], 1.0)];
const DISPLACEMENT: &[Unit] = &[
    unit("mL/rev", &["cm3/rev", "cc/rev", "mL", "cm3"], 1e-6),
    unit("in3/rev", &["cu in/rev", "in3"], INCH_M * INCH_M * INCH_M),
    unit("L/rev", &["L"], LITRE),
    unit("m3/rev", &[], 1.0),
];
const TORQUE: &[Unit] = &[
    unit("N m", &["Nm"], 1.0),
    unit("lbf ft", &["lb ft", "ft lb", "ft lbf"], POUND_KG * 9.806_65 * FOOT_M),
    unit("mN m", &["mNm"], 1e-3),
    unit("lbf in", &["lb in", "in lb", "in lbf"], POUND_KG * 9.806_65 * INCH_M),
];
const TORQUE_CONSTANT: &[Unit] = &[
    unit("N m/A", &["Nm/A", "V s/rad", "Vs/rad"], 1.0),
    unit("mN m/A", &["mNm/A"], 1e-3),
    unit("V/krpm", &[], 60.0 / (2000.0 * std::f64::consts::PI)),
];
const TURNING: &[Unit] = &[
    unit("rpm", &["rev/min", "r/min"], 2.0 * std::f64::consts::PI / 60.0),
    unit("rad/s", &[], 1.0),
    unit("rev/s", &[], 2.0 * std::f64::consts::PI),
];
const DEGREE_DAYS: &[Unit] = &[
    unit("degC days", &["degC day", "degC d", "C days", "K days"], 1.0),
    unit("degF days", &["degF day", "degF d", "F days"], 5.0 / 9.0),
];
const CONDUCTIVITY: &[Unit] = &[
    unit("W/m/K", &["W/(m K)", "W/m K", "W/mK"], 1.0),
    unit("Btu/h/ft/degF", &["Btu/(h ft F)", "Btu/h/ft/F"], 1e3 * BTU_KWH / FOOT_M * 9.0 / 5.0),
    unit("Btu in/h/ft2/degF", &["Btu in/h/ft2/F"], 1e3 * BTU_KWH / FOOT_M * 9.0 / 5.0 / 12.0),
];
const DENSITY: &[Unit] = &[
    unit("kg/m3", &[], 1.0),
    unit("lb/ft3", &["pcf", "lb/cu ft"], POUND_KG / CUBIC_FOOT_M3),
    unit("g/cm3", &["t/m3"], 1e3),
];
const CHARGE: &[Unit] = &[unit("Ah", &["A h", "amp hours"], 1.0), unit("mAh", &[], 1e-3)];

pub(super) const fn units(quantity: Quantity) -> &'static [Unit] {
    match quantity {
        Quantity::Length => LENGTH,
        Quantity::Area => AREA,
        Quantity::Volume => VOLUME,
        Quantity::Flow => FLOW,
        Quantity::DailyVolume => DAILY_VOLUME,
        Quantity::SpecificCapacity => SPECIFIC_CAPACITY,
        Quantity::WellLoss => WELL_LOSS,
        Quantity::Power => POWER,
        Quantity::Energy => ENERGY,
        Quantity::Voltage => VOLTAGE,
        Quantity::Current => CURRENT,
        Quantity::Resistance => RESISTANCE,
        Quantity::Mass => MASS,
        Quantity::DailyMass => DAILY_MASS,
        Quantity::Pressure => PRESSURE,
        Quantity::Angle => ANGLE,
        Quantity::Temperature => TEMPERATURE,
        Quantity::TemperatureDifference => TEMPERATURE_DIFFERENCE,
        Quantity::Fraction => FRACTION,
        Quantity::FractionPerKelvin => FRACTION_PER_KELVIN,
        Quantity::CurrentPerKelvin => CURRENT_PER_KELVIN,
        Quantity::VoltagePerKelvin => VOLTAGE_PER_KELVIN,
        Quantity::Irradiance => IRRADIANCE,
        Quantity::DailyIrradiation => DAILY_IRRADIATION,
        Quantity::Speed => SPEED,
        Quantity::Duration => DURATION,
        Quantity::HeatLoss => HEAT_LOSS,
        Quantity::WindHeatLoss => WIND_HEAT_LOSS,
        Quantity::Displacement => DISPLACEMENT,
        Quantity::Torque => TORQUE,
        Quantity::TorqueConstant => TORQUE_CONSTANT,
        Quantity::Turning => TURNING,
        Quantity::DegreeDays => DEGREE_DAYS,
        Quantity::Conductivity => CONDUCTIVITY,
        Quantity::Density => DENSITY,
        Quantity::Charge => CHARGE,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, expected: f64) {
        assert!((found / expected - 1.0).abs() < 1e-12, "{found} against {expected}");
    }

    /// Each constant from its definition by another way than the one written above.
    #[test]
    fn constants_follow_from_their_definitions() {
        let inch = 25.4e-3;
        near(US_GALLON_M3, 231.0 * inch * inch * inch);
        near(FOOT_M, 12.0 * inch);
        near(YARD_M, 36.0 * inch);
        near(MILE_M, 63_360.0 * inch);
        near(CUBIC_FOOT_M3, 1728.0 * inch * inch * inch);
        near(ACRE_M2, 43_560.0 * 144.0 * inch * inch);
        // 7000 grains of 64.79891 mg.
        near(POUND_KG, 7000.0 * 64.798_91e-6);
        let pound_force = 7000.0 * 64.798_91e-6 * 9.806_65;
        near(PSI_PA, pound_force / (inch * inch));
        near(HORSEPOWER_W, 550.0 * 12.0 * inch * pound_force);
        // Heat one pound of water by one degree F: 2326 J/kg exactly.
        near(BTU_KWH * 3.6e6, 2326.0 * 7000.0 * 64.798_91e-6);
        // 10 lb of water weighed in air against brass: 277.4194 in³ as printed in tables.
        assert!((IMPERIAL_GALLON_M3 / (inch * inch * inch) - 277.4194).abs() < 5e-5);
    }

    /// No spelling stands for two units of one quantity, whatever the case of its letters.
    #[test]
    fn spellings_are_unique() {
        for quantity in Quantity::ALL {
            let mut seen = std::collections::BTreeSet::new();
            for unit in quantity.units() {
                for name in std::iter::once(&unit.symbol).chain(unit.also) {
                    assert!(seen.insert(name.to_lowercase()), "{quantity:?}: {name} twice");
                }
            }
        }
    }
}
