//! A scheme that says something about every table, and ways to change one key of it.

mod any_text;
mod backup;
mod faults;
mod garden;
mod goal;
mod herd;
mod inflow;
mod keys;
mod module;
mod plan;
mod source;
mod sources;
mod tanks;
mod uncertain;
mod values;

use super::Scheme;

/// One key a line, so that a test can change a line without counting.
pub(super) const BASE: &str = r#"name = "Test"
units = "si"
[weather]
file = "weather.csv"
[site]
albedo = 0.25
[array.roof]
tilt = "45 deg"
azimuth = "south-west"
series = 2
[array.roof.module]
isc = "9.3 A"
voc = "45.6 V"
imp = "8.7 A"
vmp = "37.2 V"
cells = 72
isc_temperature = "0.05 %/K"
voc_temperature = "-146 mV/K"
[array.roof.cable]
length = "30 m"
area = "4 mm2"
[well]
static_level = "18 m"
[pump]
duty = [["20 m", "60 W", "4 L/min"], ["20 m", "250 W", "20 L/min"], ["40 m", "120 W", "3 L/min"], ["40 m", "250 W", "9 L/min"]]
[pipe.drop]
length = "20 m"
bore = "26 mm"
material = "plastic"
fittings = { elbow = 2, swing_check = 1 }
[pipe.buried]
length = "60 m"
bore = "32.6 mm"
roughness = "0.0015 mm"
[herd.cows]
count = 40
drinks = "55 L"
[extra.deer]
drinks = "40 L"
[tank.main]
capacity = "12 m3"
inlet_height = "4 m"
float_stop = "11 m3"
[rules]
carry = "none"
[garden.beds]
area = "120 m2"
crop = "tomato"
planted = "05-01"
[hydrant.hill]
height = "12 m"
trough = "600 L"
[hydrant.hill.pipe.branch]
length = "150 m"
bore = "26 mm"
material = "plastic"
[hydrant.home]
height = "-2 m"
[hydrant.home.pipe.branch]
length = "40 m"
bore = "26 mm"
material = "plastic"
[booster]
voltage = "24 V"
table = [["0 L/min", "45 m", "3 A"], ["10 L/min", "35 m", "6 A"], ["20 L/min", "20 m", "8 A"]]
[booster.battery]
capacity = "100 Ah"
[booster.pressure_tank]
volume = "80 L"
cut_in = "138 kPa"
cut_out = "276 kPa"
[booster.panel]
tilt = "60 deg"
azimuth = "south"
series = 1
[booster.panel.module]
isc = "9.3 A"
voc = "45.6 V"
imp = "8.7 A"
vmp = "37.2 V"
cells = 72
isc_temperature = "0.05 %/K"
voc_temperature = "-146 mV/K"
[frost.part.line]
location = "buried"
cover = "90 cm"
stops = ["supply"]
[inflow.main]
flow = "2 L/min"
[backup]
flow = "20 L/min"
starts_below = "0.5 m3"
stops_at = "1 m3"
"#;

/// The table of the base scheme that a section of the list of keys stands for.
pub(super) fn header(section: &str) -> String {
    let named = |kind: &str| match kind {
        "array" => "roof",
        "pipe" => "drop",
        "herd" => "cows",
        "extra" => "deer",
        "garden" => "beds",
        "hydrant" => "hill",
        "part" => "line",
        _ => "main",
    };
    let mut before = "";
    let parts: Vec<&str> = section
        .split('.')
        .map(|part| {
            let name = if part == "*" { named(before) } else { part };
            before = part;
            name
        })
        .collect();
    parts.join(".")
}

/// The base scheme with a key of a table set to a TOML literal, and the line on which it then stands.
pub(super) fn with(section: &str, name: &str, literal: &str) -> (String, usize) {
    let header = header(section);
    let mut lines: Vec<String> = BASE.lines().map(str::to_string).collect();
    let line = format!("{name} = {literal}");
    let start = match header.as_str() {
        "" => 0,
        h => match lines.iter().position(|l| *l == format!("[{h}]")) {
            Some(at) => at + 1,
            None => {
                lines.push(format!("[{h}]"));
                lines.len()
            }
        },
    };
    let end = lines[start..].iter().position(|l| l.starts_with('[')).map_or(lines.len(), |n| start + n);
    let there = lines[start..end].iter().position(|l| l.starts_with(&format!("{name} = ")));
    let at = match there {
        Some(n) => {
            lines[start + n] = line;
            start + n
        }
        None => {
            lines.insert(start, line);
            start
        }
    };
    (lines.join("\n") + "\n", at + 1)
}

/// The base scheme with lines below a header at its end.
pub(super) fn with_table(header: &str, lines: &str) -> String {
    format!("{BASE}\n[{header}]\n{lines}\n")
}

/// The one fault of the last of these lines below a header at the end of the base scheme: with its place, what was found, the way out.
pub(super) fn one_fault(header: &str, lines: &str, (found, way_out): (&str, &str)) {
    let text = with_table(header, lines);
    let at = text.lines().position(|l| l == format!("[{header}]")).unwrap() + 1;
    let told = report(&text);
    assert_eq!(told.lines().count(), 1, "{lines}: {told}");
    assert!(told.contains(found) && told.contains(way_out), "{lines}: {told}");
    assert!(told.starts_with(&format!("line {}", at + lines.lines().count())), "{lines}: {told}");
    assert!(told.contains(&format!("{header}.\"")), "{told}");
}

/// All faults of a text, a line each.
pub(super) fn report(text: &str) -> String {
    match Scheme::from_toml(text) {
        Ok(_) => String::new(),
        Err(faults) => faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"),
    }
}
