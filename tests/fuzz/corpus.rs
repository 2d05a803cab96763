//! The shipped files.

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;
use lopdf::dictionary;
use std::path::{Path, PathBuf};

use crate::support::{data, root};

/// Most bytes of a file that is not taken whole, and most rows.
const BYTES: usize = 8 * 1024;
const ROWS: usize = 72;

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.sort();
    paths
}

/// A file whole, or its first bytes and its first rows.
fn texts(path: &Path, whole: bool) -> Vec<Vec<u8>> {
    let bytes = std::fs::read(path).unwrap();
    if whole {
        return vec![bytes];
    }
    // Heads have up to twenty lines; a day more than three lets three whole ones stand.
    let lines = bytes.iter().enumerate().filter(|(_, b)| **b == b'\n').map(|(at, _)| at + 1);
    let rows = |n: usize| lines.clone().nth(n - 1).unwrap_or(bytes.len());
    let mut cut: Vec<Vec<u8>> = [2, 3, 8, 14, 18].map(|head| bytes[..rows(ROWS + head)].to_vec()).to_vec();
    cut.push(bytes[..bytes.len().min(BYTES)].to_vec());
    cut.retain(|text| text.len() <= 64 * 1024);
    cut.dedup();
    cut
}

/// Weather of every format: the files as they are and those that are broken already.
pub fn weather(whole: bool, wanted: fn(&str) -> bool) -> Vec<Vec<u8>> {
    let mut paths = files(&data("weather"));
    paths.push(data("demo/weather.csv"));
    paths.extend(files(&root().join("tests/weather/bad")));
    let text = |p: &PathBuf| matches!(p.extension().and_then(|e| e.to_str()), Some("csv" | "CSV" | "epw"));
    let mut all: Vec<Vec<u8>> = paths
        .iter()
        .filter(|p| text(p) && p.file_name().is_some_and(|n| n != "expected.csv"))
        .filter(|p| {
            let bytes = std::fs::read(p).unwrap();
            dryspell_weather::format_of(&bytes).is_some_and(wanted)
        })
        .flat_map(|p| texts(p, whole))
        .collect();
    if !whole {
        // Three whole days, which can be accepted.
        all.extend(all.clone());
    }
    all
}

/// What is no weather at all.
pub fn letters(_: bool) -> Vec<Vec<u8>> {
    vec![b"a letter to my aunt\n1,2,3\n".to_vec(), Vec::new(), b"\xef\xbb\xbf".to_vec()]
}

/// The demo's schemes, the starter, and schemes of the outside checks.
pub fn schemes(_: bool) -> Vec<Vec<u8>> {
    let mut all: Vec<Vec<u8>> = files(&data("demo"))
        .iter()
        .filter(|p| p.extension().is_some_and(|e| e == "toml") && !p.ends_with("climate.toml"))
        .map(|p| std::fs::read(p).unwrap())
        .collect();
    all.push(dryspell::scheme::STARTER.as_bytes().to_vec());
    let sources = "\n[sources]\n\"well.static_level\" = \"own dip\"\npump = \"maker's sheet\"\ntank.main.capacity = \"gauge\"\n";
    all.push([dryspell::scheme::STARTER, sources].concat().into_bytes());
    let uncertain = "\n[uncertain]\n\"herd.*.count\" = \"10 %\"\nwell.static_level = \"2 m\"\n\"array.shed.parallel\" = 0.5\n";
    all.push([dryspell::scheme::STARTER, uncertain].concat().into_bytes());
    all
}

pub fn climates(_: bool) -> Vec<Vec<u8>> {
    vec![std::fs::read(data("demo/climate.toml")).unwrap()]
}

/// A maker's table as a file.
pub fn tables(_: bool) -> Vec<Vec<u8>> {
    [
        "head m,power W,flow L/min\n20,60,7\n20,120,13\n20,240,19\n40,90,4\n40,180,9\n40,360,14\n60,200,3\n60,400,8\n",
        "# copied\nflow (gpm),head [ft],power W,note\n1.8,65,60,a\n3.4,65,120,b\n1.0,130,90,c\n2.3,130,180,\"d, e\"\n1,200,300,\n2,200,500,\n",
    ]
    .map(|text| text.as_bytes().to_vec())
    .to_vec()
}

/// A column of an inflow in a file.
pub fn inflows(_: bool) -> Vec<Vec<u8>> {
    [
        "time,spring L/min\n2023-01-01 00:00,10\n2023-01-01 01:00,12.5\n2023-01-01 02:00,0\n",
        "# measured\nremark,spring_m3_per_h\n\"a, b\",0.6\n\n# rain\nc,1e-3\n",
        "spring (gal)\n160\n158\n",
    ]
    .map(|text| text.as_bytes().to_vec())
    .to_vec()
}

/// Forecasts of daily sun.
pub fn forecasts(_: bool) -> Vec<Vec<u8>> {
    [
        "date,ghi_kwh_per_m2\n2026-12-14,0.3\n2026-12-15,0.2\n",
        "# mine\nnote,DATE,ghi_mj_per_m2\n\"a, b\",12-31,3.6\n",
    ]
    .map(|text| text.as_bytes().to_vec())
    .to_vec()
}

/// Files that documents carry with them, as small as they can be.
fn attached() -> [(&'static str, &'static str); 3] {
    let list = r#"{"dryspell": "0.2.0", "schema": "dryspell-run-1", "units": "si", "attached": [
{"file": "scheme.toml", "bytes": 1, "sha256": "0"}, {"file": "results.json", "bytes": 1, "sha256": "0"}],
"not_attached": [{"file": "weather.csv", "bytes": 1, "sha256": "0"}]}"#;
    [("dryspell.json", list), ("scheme.toml", "name = 'a'\n"), ("results.json", r#"{"days": [1, 2.5]}"#)]
}

/// Pages that carry files with them.
pub fn pages(_: bool) -> Vec<Vec<u8>> {
    let links: String = attached()
        .map(|(name, text)| {
            let data = BASE64_STANDARD.encode(text);
            format!("<a class=\"attached\" download=\"{name}\" href=\"data:text/plain;base64,{data}\">{name}</a>\n")
        })
        .concat();
    vec![
        format!("<!DOCTYPE html>\n<html>\n{links}<footer><p>dryspell 0.2.0</p></footer>\n</html>\n")
            .into_bytes(),
    ]
}

/// PDFs that carry files with them.
pub fn pdfs(_: bool) -> Vec<Vec<u8>> {
    let mut document = lopdf::Document::with_version("1.7");
    for (name, text) in attached() {
        let mut stream = lopdf::Stream::new(dictionary! {}, text.as_bytes().to_vec());
        if name != "scheme.toml" {
            stream.compress().unwrap();
        }
        let stream = document.add_object(stream);
        let contents = dictionary! { "F" => stream };
        document.add_object(dictionary! {
            "Type" => "Filespec",
            "UF" => lopdf::text_string(name),
            "EF" => contents,
        });
    }
    let catalog = document.add_object(dictionary! { "Type" => "Catalog" });
    document.trailer.set("Root", catalog);
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    vec![bytes]
}

/// Axes as they are typed.
pub fn axes(_: bool) -> Vec<Vec<u8>> {
    [
        "tank.main.capacity = 2 to 10 by 0.5 m3",
        "herd.cows.count = 40, 60, 80",
        "array.roof.tilt = 30, 45, 60 deg",
        "tank.main.float_stop = 1e3 L, 2 m3",
        "coupling.kind = direct, linear current booster",
        "rules.tank_year_starts = 1 to 12 by 1",
        "weather.seed = 1 to 100 by 1",
        "pipe.drop.bore = 26 mm, 1 1/4 in",
        "array.roof.tilt = 50, 60 deg; array.roof.azimuth = 170, south-west",
    ]
    .map(|text| text.as_bytes().to_vec())
    .to_vec()
}

/// Laws from which values are drawn.
pub fn laws(_: bool) -> Vec<Vec<u8>> {
    [
        "array.roof.soiling ~ uniform(1 %, 6 %)",
        "well.static_level ~ normal(18, 2 m)",
        "herd.cows.count ~ triangular(30, 46, 60)",
        "weather.file ~ any(a.csv, b.csv)",
    ]
    .map(|text| text.as_bytes().to_vec())
    .to_vec()
}

/// Tables of cases.
pub fn cases(_: bool) -> Vec<Vec<u8>> {
    [
        "case,tank.main.capacity_m3,herd.cows.count\na,8,40\nb,,60\n",
        "array.roof.azimuth_deg,array.roof.soiling_percent,snow.covered\n182.5,3,12-18 to 12-19\n,x,\n",
        "well.static_level,rules.tank_year_starts\n[\"1 m\"; \"2 m\"],april\n\"18 m\",7\n",
    ]
    .map(|text| text.as_bytes().to_vec())
    .to_vec()
}

/// Quantities as they are written.
pub fn quantities(_: bool) -> Vec<Vec<u8>> {
    [
        "4200 L",
        "1 1/4 in",
        "-0.32 %/K",
        "2e-10 A",
        "6 gpm",
        "41 degF",
        "0.05 %/K",
        "120 ft",
        "1100 imp gal",
        "4,200 L",
        "25 W/m2/K",
        "0.5 gpm/ft",
        "0.05 h2/m5",
        "30 min",
        "12 mL/rev",
        "0.12 N m/A",
        "450 degC days",
        "1.8 W/m/K",
        "100 Ah",
        "-7 h",
    ]
    .map(|text| text.as_bytes().to_vec())
    .to_vec()
}
