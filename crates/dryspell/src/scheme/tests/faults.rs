//! What is wrong, where it stands and what to do about it: whole lines, as the user sees them.

use super::{BASE, report, with};
use crate::fault::FaultKind;
use crate::scheme::Scheme;

/// A key set to a value: all that is then said.
#[track_caller]
pub(super) fn says(section: &str, name: &str, literal: &str, expected: &[&str]) {
    let (text, line) = with(section, name, literal);
    let expected: Vec<String> = expected.iter().map(|e| e.replace("LINE", &line.to_string())).collect();
    assert_eq!(report(&text), expected.join("\n"));
}

/// Ten faults of ten kinds in one scheme, all shown in one run with their lines and columns.
#[test]
fn ten_faults_show_in_one_run() {
    let text = r#"name = "Ten faults"
[weather]
file = "weather.csv"
[array.roof]
tilt = "95 deg"
azimuth = "sothwest"
series = "2"
[array.roof.module]
isc = "9.3 V"
voc = "45.6 V"
imp = "8.7 A"
vmp = "37.2 V"
cells = 72
isc_temperature = "0.05 %/K"
voc_temperature = "-0.32 %/K"
[well]
static_level = ["18 m", "18 m", "17 m"]
[pump]
duty = [["20 m", "60 W", "4 L/min"], ["20 m", "50 W", "9 L/min"]]
[pipe.drop]
length = "120"
bore = "26 mm"
material = "plastic"
[herd.cows]
drinks = "55 L"
[tank.main]
capasity = "12 m3"
inlet_height = "4 m"
leak = "1,200 L/day"
"#;
    let faults = Scheme::from_toml(text).unwrap_err();
    let expected = [
        (
            FaultKind::OutOfRange,
            "line 5, column 8, array.roof.tilt: \"95 deg\" is out of range; tilt from the horizontal: 0° to 90°; \
             correct the value, such as \"55 deg\"",
        ),
        (
            FaultKind::UnknownWord,
            "line 6, column 11, array.roof.azimuth: \"sothwest\" is not a compass point; degrees clockwise from north, \
             such as 180, or a word such as \"south\" or \"south-west\"; did you mean \"south-west\"?",
        ),
        (
            FaultKind::WrongType,
            "line 7, column 10, array.roof.series: \"2\" (text); a whole number, without quotes and decimal point; \
             write series = 3",
        ),
        (
            FaultKind::UnitWrong,
            "line 9, column 7, array.roof.module.isc: \"9.3 V\" is a voltage; a current carries its unit: A, mA, uA, \
             nA, pA; give a current, or move it to where a voltage belongs",
        ),
        (
            FaultKind::WrongLength,
            "line 17, column 16, well.static_level: a list of 3 values; one value for the whole year, or twelve from \
             January to December; give twelve values, or one without brackets",
        ),
        (
            FaultKind::Contradiction,
            "line 19, column 38, pump.duty[2]: row 2: 50 W follows 60 W (row 1) at 20 m; powers that rise from row to \
             row of one head; put the rows of each head in order of power and remove duplicates",
        ),
        (
            FaultKind::UnitMissing,
            "line 21, column 10, pipe.drop.length: \"120\" has no unit; a length carries its unit: m, ft, mm, cm, km, \
             in, yd, mi; write \"120 m\" or \"120 ft\"",
        ),
        (
            FaultKind::MissingKey,
            "line 24, column 1, herd.cows.count: this key is missing; needed: number of head; add count = 40",
        ),
        (
            FaultKind::UnknownKey,
            "line 27, column 1, tank.main.capasity: no key of this name; known here: capacity, inlet_height, \
             discharge_pressure, float_stop, float_start, leak, open_surface, rain_on_open_surface, garden_reserve, feed, delivery; did you mean capacity?",
        ),
        (
            FaultKind::NotANumber,
            "line 29, column 8, tank.main.leak: \"1,200 L/day\" has a separator in its number; digits with at most one \
             decimal point, then the unit; write \"1200 L/day\"",
        ),
    ];
    assert_eq!(
        faults.iter().map(ToString::to_string).collect::<Vec<_>>(),
        expected.iter().map(|(_, line)| (*line).to_string()).collect::<Vec<_>>()
    );
    assert_eq!(faults.iter().map(|f| f.kind).collect::<Vec<_>>(), expected.map(|(kind, _)| kind));
}

/// Each line mended takes away its fault and no other.
#[test]
fn a_misspelt_key_or_table_is_one_fault() {
    assert_eq!(
        report(&BASE.replace("[pump]", "[pmup]")),
        "line 24, column 2, pmup: no key or table of this name; known here: name, applicant, contract, units, weather, site, snow, array, \
         well, pump, coupling, pipe, herd, extra, garden, inflow, tank, lift, backup, delivery, hydrant, booster, frost, rules, goal, ageing, price, what_if, uncertain, sources; did you \
         mean pump?"
    );
    // What stands in the misspelt table is checked as well.
    let both =
        BASE.replace("[pump]", "[pmup]\nstart_power = 35").replace("[tank.main]", "[tnak.main]\nleak = 3");
    let lines = report(&both);
    assert_eq!(lines.lines().count(), 4, "{lines}");
    assert!(lines.contains("line 25, column 15, pump.start_power: \"35\" has no unit;"), "{lines}");
    assert!(
        lines.contains("tank.main.leak: \"3\" has no unit;") && lines.contains("write \"3 L/day\""),
        "{lines}"
    );
    assert_eq!(
        report(&BASE.replacen("material", "materal", 1)),
        "line 29, column 1, pipe.drop.materal: no key of this name; known here: length, bore, material, roughness, \
         fittings, hazen_williams_c, pressure_class, weep_hole, weep_hole_depth, weep_hole_coefficient, drains_back; \
         did you mean material?"
    );
    // A key that resembles none is a fault of its own, beside the one that is missing.
    let lines = report(&BASE.replace("bore = \"32.6 mm\"", "width = \"32.6 mm\""));
    assert!(
        lines.contains("pipe.buried.width: no key of this name") && lines.contains("remove it"),
        "{lines}"
    );
    assert!(lines.contains("line 31, column 1, pipe.buried.bore: this key is missing"), "{lines}");
}

#[test]
fn an_empty_scheme_names_all_that_it_needs() {
    assert_eq!(
        report(""),
        "weather: this table is missing; needed: the weather record; add [weather] and its keys\narray: this table is \
         missing; needed: an array of solar panels in one plane (several add up); add [array.main] and its keys\nwell: \
         this table is missing; needed: the well; add [well] and its keys\npump: this table is missing; needed: the \
         pump; add [pump] and its keys\npipe: this table is missing; needed: a run of pipe of one bore, in the order in \
         which the water flows; add [pipe.main] and its keys\nherd: nothing draws water; at least one group of animals, \
         or an extra draw; add [herd.cows] with count and drinks\ntank: this table is missing; needed: a tank; add \
         [tank.main] and its keys"
    );
}

#[test]
fn tables_of_the_wrong_shape() {
    assert_eq!(
        report(&BASE.replace("[tank.main]", "[tank]")),
        "line 41, column 1, tank: \"capacity\" given directly in [tank]; named tables: a tank; give each table a name \
         of its own, such as [tank.main]"
    );
    let lines = report(
        &BASE.replace("[array.roof]", "[[array]]").replace("[array.roof.", "[rules.").replace("[rules]", ""),
    );
    assert!(
        lines.contains("array: a list where a table is needed; a table; give each table a name"),
        "{lines}"
    );
    let lines = report(&BASE.replace("[herd.cows]\ncount = 40\ndrinks = \"55 L\"", "[herd]\ncows = 3"));
    assert_eq!(
        lines,
        "line 36, column 8, herd.cows: a number without quotes where a table is needed; a table; write [herd.cows] and \
         its keys below it"
    );
    let two = BASE.replace("[rules]", "[tank.two]\ncapacity = \"1 m3\"\ninlet_height = \"1 m\"\n[rules]");
    assert_eq!(
        report(&two),
        "line 24, column 1, pump.into: this key is missing; needed: name of the tank that it fills; add into = \"main\"\n\
         line 91, column 1, inflow.main.into: this key is missing; needed: name of the tank into which it runs; add into = \
         \"main\""
    );
    assert_eq!(
        report(&BASE.replace("[extra.deer]", "[extra.\"mule deer\"]")),
        "line 38, column 8, extra.\"mule deer\": the name \"mule deer\"; names of letters a to z, digits, _ and -; \
         rename it: the name appears in columns and error messages"
    );
    assert_eq!(
        report(&BASE.replace("[extra.deer]", "[extra.cows]")),
        "line 38, column 1, extra.cows: [herd.cows] has the same name; one name for each group and extra draw; rename \
         one of them: the name heads its columns"
    );
}

#[test]
fn contradictions() {
    let all = [
        ("tank.*", "float_stop", "\"13 m3\"", "float_stop of 13 m³ above capacity of 12 m³;"),
        ("tank.*", "float_start", "\"11.5 m3\"", "float_start of 11.5 m³ above float_stop of 11 m³;"),
        ("array.*.module", "imp", "\"9.3 A\"", "imp is not below isc;"),
        ("array.*.module", "vmp", "\"46 V\"", "vmp is not below voc;"),
        ("array.*.module", "ideality", "\"1.9 V\"", "ideality given as well as isc;"),
        ("array.*.cable", "awg", "10", "awg given as well as area;"),
        ("pipe.*", "roughness", "\"0.1 mm\"", "roughness given as well as material;"),
        ("herd.*", "mass", "\"500 kg\"", "mass has no effect without class;"),
        ("pump", "start_power", "\"90 W\"", "start power 90 W, but row 1 of pump.duty has flow at 60 W;"),
    ];
    for (section, name, literal, found) in all {
        let (text, line) = with(section, name, literal);
        let faults = Scheme::from_toml(&text).unwrap_err();
        let [fault] = &faults[..] else { panic!("{name}:\n{}", report(&text)) };
        assert_eq!((fault.kind, fault.location.line), (FaultKind::Contradiction, Some(line)), "{fault}");
        assert!(fault.to_string().contains(&format!(": {found}")), "{fault}");
    }
    let orphan = BASE.replace("float_stop = \"11 m3\"", "float_start = \"9 m3\"");
    assert_eq!(
        report(&orphan),
        "line 43, column 15, tank.main.float_start: float_start without float_stop; float_start only together with \
         float_stop; add float_stop, or remove float_start"
    );
}

/// Faults of syntax hide the others, one a line.
#[test]
fn syntax() {
    assert_eq!(
        report("a = 1\na = 2\nb = 4200 L\nc = \"x"),
        "line 2, column 1: not TOML: duplicate key at \"a\"; a line such as: key = \"value\"; remove one of the two, or \
         rename it\nline 3, column 5: not TOML: string values must be quoted at \"4200 L\"; expected literal string; \
         put the value in quotes\nline 4, column 7: not TOML: invalid basic string; expected `\"`; correct this line; \
         other faults show once the file is valid TOML"
    );
    assert!(Scheme::from_toml(&"[\n".repeat(500)).unwrap_err().len() <= 20);
}

/// A list of nothing was refused without a word.
#[test]
fn a_part_emptied_by_hand_on_no_dates_is_told() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/demo/rounds.toml");
    let text = std::fs::read_to_string(path).unwrap();
    let faults = Scheme::from_toml(&text.replace("shut = \"11-15 to 04-10\"", "shut = []")).unwrap_err();
    assert_eq!(faults.len(), 1);
    assert!(faults[0].to_string().contains("no dates on which it is shut"), "{}", faults[0]);
}
