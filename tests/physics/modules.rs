//! The datasheet fit on a public list of modules: the share of each tier, and what every fit must keep.

use crate::support::data;
use crate::tmy3;
use dryspell::array::fit::{FittedModule, Tier, fit};
use dryspell::array::nameplate::CLASSES;
use dryspell::array::one_diode::curve;
use dryspell::array::{Datasheet, Module};
use dryspell::plan::Plan;
use dryspell::results::alerts;
use dryspell::scheme::{STARTER, Scheme};
use dryspell::simulate::{Run, simulate};
use dryspell::units::System;
use std::path::Path;

/// Rows by tier, and the names of those that need the last one or have no fit.
#[derive(Default)]
struct Shares {
    exact: usize,
    own_band_gap: usize,
    raised: usize,
    in_parallel: usize,
    least_squares: Vec<String>,
    none: Vec<String>,
}

impl Shares {
    fn rows(&self) -> usize {
        self.exact + self.own_band_gap + self.least_squares.len() + self.none.len()
    }

    #[allow(clippy::cast_precision_loss, reason = "rows of a list")]
    fn percent(&self, n: usize) -> f64 {
        100.0 * n as f64 / self.rows() as f64
    }
}

fn sheets(path: &Path) -> Vec<(String, Datasheet)> {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).unwrap();
    reader
        .records()
        .map(|row| {
            let row = row.unwrap();
            let number = |i: usize| row[i].parse::<f64>().unwrap();
            let sheet = Datasheet {
                isc_a: number(1),
                voc_v: number(2),
                imp_a: number(3),
                vmp_v: number(4),
                isc_temperature_a_per_k: number(5),
                voc_temperature_v_per_k: number(6),
                cells: row[7].parse().unwrap(),
            };
            (row[0].to_owned(), sheet)
        })
        .collect()
}

/// The acceptance, worked out apart from the fit: the curve is looked at beside the stated point.
fn check(name: &str, sheet: &Datasheet, fitted: &FittedModule) {
    let m = &fitted.module;
    let values = [
        m.photocurrent_a,
        m.saturation_current_a,
        m.series_resistance_ohm,
        m.shunt_resistance_ohm,
        m.modified_ideality_v,
        m.band_gap_ev,
    ];
    assert!(values.iter().all(|v| v.is_finite()), "{name}: {m:?}");
    assert!(m.series_resistance_ohm >= 0.0 && m.shunt_resistance_ohm > 0.0, "{name}: {m:?}");
    let c = curve(m, 1000.0, 25.0).unwrap();
    let vmp = sheet.vmp_v * (1.0 + fitted.vmp_miss);
    let power = |v: f64| v * c.current_a(v);
    let stated = sheet.vmp_v * sheet.imp_a;
    assert!((power(vmp) / stated - 1.0).abs() < 1e-3, "{name}: power {} v {stated}", power(vmp));
    assert!((c.maximum_power().power_w / stated - 1.0).abs() < 1e-3, "{name}");
    let step = 1e-4 * vmp;
    let slope = (power(vmp + step) - power(vmp - step)) / (2.0 * step);
    // Against the slope of a constant current.
    assert!(slope.abs() < 1e-4 * sheet.imp_a, "{name}: slope {slope} at {vmp} V");
    assert!(c.current_a(sheet.voc_v).abs() < 1e-3 * sheet.isc_a, "{name}: open circuit");
    assert!((c.open_circuit_v() / sheet.voc_v - 1.0).abs() < 1e-3, "{name}: open circuit");
    assert!((c.current_a(0.0) / sheet.isc_a - 1.0).abs() < 1e-2, "{name}: short circuit");
    let warm = curve(m, 1000.0, 27.0).unwrap().open_circuit_v();
    let coefficient = (warm - sheet.voc_v) / 2.0;
    assert!(
        (coefficient - sheet.voc_temperature_v_per_k).abs() < 1e-3 * sheet.voc_temperature_v_per_k.abs(),
        "{name}: {coefficient} V/K v {}",
        sheet.voc_temperature_v_per_k
    );
}

fn shares(path: &Path) -> Shares {
    let mut shares = Shares::default();
    for (name, sheet) in sheets(path) {
        let Some(fitted) = fit(&sheet) else {
            shares.none.push(format!("{name} {sheet:?}"));
            continue;
        };
        check(&name, &sheet, &fitted);
        shares.in_parallel += usize::from(fitted.cells != sheet.cells);
        match fitted.tier {
            Tier::Exact => shares.exact += 1,
            Tier::OwnBandGap => {
                shares.own_band_gap += 1;
                shares.raised += usize::from(fitted.isc_miss > 0.0);
            }
            Tier::LeastSquares => {
                shares.least_squares.push(format!("{name} ({:+.1} % of Vmp)", 100.0 * fitted.vmp_miss));
            }
        }
    }
    println!(
        "{} modules: exact {} ({:.2} %), own band gap {} ({:.2} %; {} of them with Isc raised by less than 1 %), least \
         squares {} ({:.2} %), none {}; {} counts of cells held cells in parallel",
        shares.rows(),
        shares.exact,
        shares.percent(shares.exact),
        shares.own_band_gap,
        shares.percent(shares.own_band_gap),
        shares.raised,
        shares.least_squares.len(),
        shares.percent(shares.least_squares.len()),
        shares.none.len(),
        shares.in_parallel
    );
    println!("least squares: {}", shares.least_squares.join(", "));
    println!("none: {}", shares.none.join("\n"));
    shares
}

#[test]
fn every_tenth_module_of_a_public_list_is_fitted() {
    let shares = shares(&data("reference/modules.csv"));
    assert_eq!(shares.rows(), 2154);
    assert!(shares.percent(shares.exact + shares.own_band_gap) >= 99.0);
    assert_eq!(shares.none, Vec::<String>::new());
}

/// The middle of a list, of an even one the mean of the two in the middle.
fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    if values.len() % 2 == 1 { values[half] } else { (values[half - 1] + values[half]) / 2.0 }
}

#[test]
fn the_typical_module_of_each_class_is_the_median_of_the_list() {
    let sheets: Vec<Datasheet> =
        sheets(&data("reference/modules.csv")).into_iter().map(|(_, sheet)| sheet).collect();
    for class in CLASSES {
        let per_cell = |s: &Datasheet| s.voc_v / f64::from(s.cells);
        let rows: Vec<&Datasheet> = sheets
            .iter()
            .filter(|s| class.cells.map_or_else(|| (0.5..0.75).contains(&per_cell(s)), |n| s.cells == n))
            .collect();
        assert_eq!(rows.len(), class.rows as usize, "{:?}", class.cells);
        let near = |stated: f64, value: fn(&Datasheet) -> f64, digits: f64| {
            let found = median(rows.iter().map(|s| value(s)).collect());
            assert!((found - stated).abs() <= 0.51 * digits, "{:?}: {found} v {stated}", class.cells);
        };
        near(class.voc_per_cell_v, |s| s.voc_v / f64::from(s.cells), 1e-3);
        near(class.vmp_over_voc, |s| s.vmp_v / s.voc_v, 1e-3);
        near(class.imp_over_isc, |s| s.imp_a / s.isc_a, 1e-3);
        near(class.isc_temperature_per_k, |s| s.isc_temperature_a_per_k / s.isc_a, 1e-5);
        near(class.voc_temperature_per_k, |s| s.voc_temperature_v_per_k / s.voc_v, 1e-5);
        // What its docs say of the spread.
        let Some(cells) = class.cells else { continue };
        let within = |value: fn(&Datasheet) -> f64, typical: f64, share: f64| {
            let near = rows.iter().filter(|s| (value(s) / typical - 1.0).abs() <= share).count();
            assert!(near * 10 >= rows.len() * 8, "{cells}: {near} of {}", rows.len());
        };
        let voc_v = f64::from(cells) * class.voc_per_cell_v;
        within(|s| s.voc_v, voc_v, 0.05);
        within(|s| s.vmp_v, voc_v * class.vmp_over_voc, 0.06);
    }
}

#[test]
fn a_run_says_what_is_assumed_of_a_module_by_its_plate() {
    let text = STARTER.to_owned();
    let (before, rest) = text.split_once("isc = \"9.3 A\"").unwrap();
    let (_, after) = rest.split_once("negative\n").unwrap();
    let plate = |lines: &str| format!("{before}{lines}\n{after}");
    let scheme = Scheme::from_toml(&plate("power = \"324 W\"\nnominal_voltage = \"24 V\"")).unwrap();
    let record = tmy3::read(&data("weather/723170TYA.CSV"));
    let run = simulate(&scheme.plan(), &record).unwrap();
    let said: Vec<String> = alerts(&run, System::Si).into_iter().map(|a| a.text).collect();
    assert!(
        said.iter()
            .any(|t| t.starts_with("array.main.module: Voc 45.1 V, Vmp 36.7 V") && t.contains("assumed")),
        "{said:?}"
    );
    let assumed: Vec<&str> = scheme
        .defaults_used
        .iter()
        .filter(|d| d.why.starts_with("assumed, typical of 72 cells"))
        .map(|d| d.key.rsplit('.').next().unwrap())
        .collect();
    assert_eq!(assumed, ["voc", "vmp", "isc", "imp", "isc_temperature", "voc_temperature"]);
    // Nearly the same water as by the datasheet of a module of the same power.
    let sheet = simulate(&Scheme::from_toml(STARTER).unwrap().plan(), &record).unwrap();
    let m3 = |run: &Run| run.supply.available_m3.iter().sum::<f64>();
    assert!((m3(&run) / m3(&sheet) - 1.0).abs() < 0.01, "{} v {}", m3(&run), m3(&sheet));
}

#[test]
fn a_run_says_how_an_awkward_module_was_fitted() {
    let mut plan = Scheme::from_toml(STARTER).unwrap().plan();
    let record = tmy3::read(&data("weather/723170TYA.CSV"));
    let said = |plan: &Plan| {
        let run = simulate(plan, &record).unwrap();
        alerts(&run, System::Si).into_iter().map(|a| a.text).find(|w| w.starts_with("array.main.module: "))
    };
    assert_eq!(said(&plan), None);
    // No curve has its maximum there; the cells are counted twice.
    plan.array.arrays[0].module = Module::Datasheet(Datasheet {
        isc_a: 9.23,
        voc_v: 39.26,
        imp_a: 9.03,
        vmp_v: 31.01,
        isc_temperature_a_per_k: 0.004532,
        voc_temperature_v_per_k: -0.116602,
        cells: 120,
    });
    let text = said(&plan).unwrap();
    for part in [
        "as closely as possible",
        "Isc is raised",
        "Vmp is shifted by +0.6 %",
        "60 cells are taken in series",
    ] {
        assert!(text.contains(part), "{text}");
    }
}

/// `python3 data/reference/modules.py all FILE`, then DRYSPELL_MODULES=FILE and `-- --ignored --nocapture`.
#[test]
#[ignore = "needs the whole list, see its comment"]
fn the_whole_list_is_fitted() {
    let file = std::env::var_os("DRYSPELL_MODULES").expect("DRYSPELL_MODULES names the whole list");
    let shares = shares(Path::new(&file));
    assert!(shares.percent(shares.exact + shares.own_band_gap) >= 99.0);
}
