//! Values that cannot be read, or are out of range: whole lines, as the user sees them.

use super::faults::says;
use super::{BASE, report};

#[test]
fn units_and_numbers() {
    says(
        "pipe.*",
        "bore",
        "26",
        &[
            "line LINE, column 8, pipe.drop.bore: \"26\" has no unit; a length carries its unit: m, ft, mm, cm, km, in, \
             yd, mi; write \"26 mm\"",
        ],
    );
    says(
        "rules",
        "tolerance",
        "0.01",
        &[
            "line LINE, column 13, rules.tolerance: \"0.01\" has no unit; a share carries its unit: %; write \"1 %\" or \
             \"0.01 %\", as you mean it",
        ],
    );
    says(
        "array.*.module",
        "voc_temperature",
        "-0.32",
        &[
            "line LINE, column 19, array.roof.module.voc_temperature: \"-0.32\" has no unit; a temperature coefficient \
             of voltage carries its unit: %/K, mV/K, V/K; write \"-0.32 %/K\"",
        ],
    );
    for (literal, found) in
        [("\"0.32 %/K\"", "0.32 %/K"), ("\"146 mV/K\"", "146 mV/K"), ("\"-3 V/K\"", "-3 V/K")]
    {
        let line = format!(
            "line LINE, column 19, array.roof.module.voc_temperature: \"{found}\" is out of range; change of the \
             open-circuit voltage with temperature: from -1 %/K, below 0 %/K; correct the value, such as \"-0.32 %/K\""
        );
        says("array.*.module", "voc_temperature", literal, &[&line]);
    }
    says(
        "herd.*",
        "drinks",
        "[\"55 L\", \"55 L\", \"55\", \"55 L\", \"55 L\", \"55 kg\", \"2 m3\", \"55 L\", \"55 L\", \"55 L\", \"55 L\", \
         \"55 L\"]",
        &[
            "line LINE, column 27, herd.cows.drinks[3]: \"55\" has no unit; a volume a day carries its unit: L/day, \
             gal/day, m3/day, imp gal/day; write \"55 L\"",
            "line LINE, column 49, herd.cows.drinks[6]: \"55 kg\" is a mass; a volume a day carries its unit: L/day, \
             gal/day, m3/day, imp gal/day; give a volume a day, or move it to where a mass belongs",
            "line LINE, column 58, herd.cows.drinks[7]: \"2 m3\" is out of range; what one head drinks in a day: 0 \
             L/day to 1000 L/day; correct the value, such as \"55 L\"",
        ],
    );
    says(
        "herd.*",
        "count",
        "nan",
        &[
            "line LINE, column 9, herd.cows.count: \"nan\" is out of range; number of head: 0 to 1000000; correct the \
             value, such as 40",
        ],
    );
    says(
        "array.*",
        "azimuth",
        "-90",
        &[
            "line LINE, column 11, array.roof.azimuth: \"-90\" is out of range; direction the panels face: degrees \
             clockwise from north, or a compass point: 0° to 360°; correct the value, such as \"south\"",
        ],
    );
    says(
        "tank.*",
        "capacity",
        "\"0 L\"",
        &[
            "line LINE, column 12, tank.main.capacity: \"0 L\" is out of range; usable volume between outlet and \
             overflow: above 0 L, at most 100000 m³; correct the value, such as \"20 m3\"",
        ],
    );
    // Ranges are shown in the user's units.
    let us = BASE.replace("units = \"si\"", "units = \"us\"").replace("\"18 m\"", "\"7000 ft\"");
    assert_eq!(
        report(&us),
        "line 23, column 16, well.static_level: \"7000 ft\" is out of range; static water level, as a depth below the \
         wellhead: 0 ft to 6562 ft; correct the value, such as \"59.1 ft\""
    );
}

#[test]
fn words_dates_and_patterns() {
    says(
        "site",
        "sky",
        "\"peres\"",
        &["line LINE, column 7, site.sky: \"peres\" is not known here; one of \"perez\", \"hay-davies\", \
             \"isotropic\"; did you mean \"perez\"?"],
    );
    says(
        "snow",
        "covered",
        "[\"13-01\", \"02-30 to 03-01\", \"2024-01-05\", \"12-24 to 12-28\"]",
        &[
            "line LINE, column 12, snow.covered[1]: \"13-01\" is not a date or span of dates; month-day, or two of \
             them: \"11-15\", \"11-01 to 04-30\"; write the month first, then the day, without a year",
            "line LINE, column 21, snow.covered[2]: \"02-30 to 03-01\" is not a date or span of dates; month-day, or \
             two of them: \"11-15\", \"11-01 to 04-30\"; write the month first, then the day, without a year",
            "line LINE, column 39, snow.covered[3]: \"2024-01-05\" is not a date or span of dates; month-day, or two of \
             them: \"11-15\", \"11-01 to 04-30\"; write the month first, then the day, without a year",
        ],
    );
    says(
        "herd.*",
        "pattern",
        "[1]",
        &[
            "line LINE, column 11, herd.cows.pattern: a list of 1 value; 24 shares, one for each clock hour from \
             midnight, that sum to 1; give 24 shares, or the name of a pattern",
        ],
    );
    says(
        "herd.*",
        "pattern",
        "[0.5,0.6,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0]",
        &[
            "line LINE, column 11, herd.cows.pattern: 24 shares that sum to 1.1; shares that sum to 1 within 0.000001; \
             divide each by their sum",
        ],
    );
    says(
        "rules",
        "tank_year_starts",
        "13",
        &[
            "line LINE, column 20, rules.tank_year_starts: \"13\" is out of range; first month of the tank year: 1 to \
             12; correct the value, such as \"may\"",
        ],
    );
    says(
        "pipe.*",
        "fittings",
        "{ elbow = \"2\", elbo = 1, exit = -1 }",
        &[
            "line LINE, column 22, pipe.drop.fittings.elbow: \"2\" (text); a whole number without quotes; write elbow = \
             1",
            "line LINE, column 27, pipe.drop.fittings.elbo: no fitting of this name; known here: elbow, medium_elbow, \
             long_elbow, 45_elbow, return_bend, tee_run, tee_branch, gate_valve, globe_valve, angle_valve, swing_check, \
             entrance, exit; did you mean elbow?",
            "line LINE, column 44, pipe.drop.fittings.exit: \"-1\" is out of range; number of fittings: 0 to 1000; \
             correct the value, such as 1",
        ],
    );
}

#[test]
fn rows() {
    says(
        "pump",
        "duty",
        "[[\"20 m\", \"60 W\"], 3, [\"20 m\", \"60 gpm\", \"-4 L/min\"]]",
        &[
            "line LINE, column 9, pump.duty[1]: a row of 2 values; rows of 3 values; write duty = [[\"20 m\", \"60 W\", \
             \"7 L/min\"], [\"20 m\", \"120 W\", \"13 L/min\"]]",
            "line LINE, column 27, pump.duty[2]: \"3\" (a whole number); a row: a list of 3 values; write duty = [[\"20 \
             m\", \"60 W\", \"7 L/min\"], [\"20 m\", \"120 W\", \"13 L/min\"]]",
            "line LINE, column 39, pump.duty[3]: \"60 gpm\" is a flow; a power carries its unit: W, hp, kW; give a \
             power, or move it to where a flow belongs",
            "line LINE, column 49, pump.duty[3]: \"-4 L/min\" is out of range; flow: 0 L/min to 10000 m³/h; correct the \
             value, such as \"7 L/min\"",
        ],
    );
    says(
        "site",
        "horizon",
        "[[\"90 deg\", \"3 deg\"], [\"80 deg\", \"95 deg\"], [\"80 deg\", \"5 deg\"]]",
        &[
            "line LINE, column 44, site.horizon[2]: \"95 deg\" is out of range; elevation of the horizon: 0° to 90°; \
             correct the value, such as \"3 deg\"",
            "line LINE, column 55, site.horizon[3]: azimuth 80° is not above the one before; azimuths that rise from 0 \
             to below 360 degrees; put the pairs in order and remove duplicates",
        ],
    );
    says(
        "well",
        "static_level",
        "\"45 m\"",
        &["line 25, column 8, pump.duty: static head 49.00 m all year (level 45 m, inlet 4 m, \
             discharge pressure 0 m); at most 40 m, the highest head of the table; add the maker's rows for greater \
             heads, choose a pump that reaches it, or check well.static_level and the heights"],
    );
}
