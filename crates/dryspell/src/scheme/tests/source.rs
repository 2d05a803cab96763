//! Kinds of pump and coupling, the well that runs low, the weep hole, tables in files.

use super::{BASE, report};
use crate::coupling::{self, Efficiency};
use crate::pipe::FrictionLaw;
use crate::pump::{Motor, PumpEfficiency, RatedCurve, Settings, Start};
use crate::scheme::Scheme;
use crate::supply;
use crate::well::Restart;

const DUTY: &str = "duty = [[\"20 m\", \"60 W\", \"4 L/min\"], [\"20 m\", \"250 W\", \"20 L/min\"], [\"40 m\", \"120 \
 W\", \"3 L/min\"], [\"40 m\", \"250 W\", \"9 L/min\"]]";

/// The base scheme with another pump.
fn with_pump(pump: &str) -> String {
    assert!(BASE.contains(DUTY));
    BASE.replace(DUTY, pump)
}

fn supply(text: &str) -> supply::Settings {
    Scheme::from_toml(text).unwrap_or_else(|_| panic!("{}", report(text))).plan().supply
}

#[track_caller]
fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-9 * expected.abs(), "{found} against {expected}");
}

const PUMP: &str = "kind = \"positive displacement\"\ndisplacement = \"6 mL/rev\"\narmature_resistance = \"0.9 ohm\"\n\
                    torque_constant = \"12 V/krpm\"\nfriction_torque = \"0.1 N m\"\nhighest_voltage = \"45 V\"\n\
                    highest_head = \"150 ft\"";

#[test]
fn each_kind_of_pump_is_read() {
    let Settings::Displacement(p) = supply(&with_pump(PUMP)).pump else { panic!() };
    near(p.displacement_m3, 6e-6);
    near(p.motor.constant_nm_per_a, 12.0 * 60.0 / (2000.0 * std::f64::consts::PI));
    near(p.breakaway_torque_nm, 0.1);
    near(p.highest_head_m, 45.72);
    let volts = "kind = \"volt table\"\nstart_voltage = \"8 V\"\nvolt_duty = [[\"20 m\", \"12 V\", \"4 L/min\", \"3 \
     A\"], [\"20 m\", \"24 V\", \"9 L/min\", \"4 A\"], [\"60 m\", \"12 V\", \"2 L/min\", \"5 A\"], [\"60 m\", \"24 V\", \
     \"7 L/min\", \"6 A\"]]";
    let Settings::Volts(table) = supply(&with_pump(volts)).pump else { panic!() };
    assert_eq!((table.rows.len(), table.start, table.one_voltage), (4, Start::From(8.0), false));
    near(table.rows[3].current_a, 6.0);
    let heads = "kind = \"head-flow table\"\nvoltage = \"12 V\"\n\
                 head_flow = [[\"0 ft\", \"6 gpm\", \"18 A\"], [\"160 ft\", \"0.02 gpm\", \"18 A\"]]";
    let scheme = Scheme::from_toml(&with_pump(heads)).unwrap();
    let Settings::Volts(table) = scheme.plan().supply.pump else { panic!() };
    assert!(table.one_voltage && table.start == Start::Zero);
    near(table.rows[1].voltage_v, 12.0);
    assert!(scheme.defaults_used.iter().any(|d| d.key == "pump.start_voltage"));
    // No assumption of another kind is listed.
    assert!(scheme.defaults_used.iter().all(|d| d.key != "pump.start_power"));
    let wheel = "kind = \"centrifugal\"\nrated_flow = \"60 L/min\"\nrated_head = \"40 m\"\nefficiency = \"55 %\"\n\
                 motor_efficiency = 0.8";
    let Settings::Centrifugal(p) = supply(&with_pump(wheel)).pump else { panic!() };
    assert_eq!(
        (p.curve, p.efficiency, p.motor),
        (RatedCurve::OnePoint { head_m: 40.0 }, PumpEfficiency::Best(0.55), Motor::Efficiency(0.8))
    );
    let wheel = "kind = \"centrifugal\"\nrated_flow = \"60 L/min\"\narmature_resistance = \"0.5 ohm\"\n\
                 torque_constant = \"0.1 N m/A\"\nrated_speed = \"2900 rpm\"\n\
                 curve = [[\"0 L/min\", \"55 m\"], [\"60 L/min\", \"40 m\"], [\"100 L/min\", \"12 m\"]]\n\
                 efficiency_curve = [[\"30 L/min\", \"42 %\"], [\"60 L/min\", \"55 %\"], [\"90 L/min\", \"40 %\"]]";
    let Settings::Centrifugal(p) = supply(&with_pump(wheel)).pump else { panic!() };
    assert!(
        matches!(p.motor, Motor::PermanentMagnet { .. }) && matches!(p.efficiency, PumpEfficiency::Points(_))
    );
}

#[test]
fn couplings_are_read_and_clashes_told() {
    let with = |coupling: &str| format!("{}[coupling]\n{coupling}\n", with_pump(PUMP));
    assert_eq!(supply(&with("kind = \"direct\"")).coupling, coupling::Settings::Direct);
    let coupling::Settings::Booster(b) = supply(&with("kind = \"linear current booster\"")).coupling else {
        panic!()
    };
    assert!(b.bypass);
    near(b.efficiency, 0.95);
    let tracker = "efficiency_curve = [[\"10 %\", \"80 %\"], [\"100 %\", \"94 %\"]]\nrated_power = \"500 W\"\n\
                   lowest_tracking_voltage = \"30 V\"\nhighest_tracking_voltage = \"90 V\"";
    let coupling::Settings::Tracking(t) = supply(&with(tracker)).coupling else { panic!() };
    let Efficiency::ByLoad(rows) = &t.efficiency else { panic!("{t:?}") };
    near(rows[1].0, 1.0);
    near(rows[1].1, 0.94);
    assert_eq!((t.rated_power_w, t.window_v), (Some(500.0), Some((30.0, 90.0))));
    // The older place of the efficiency still works, and nowhere beside the new one.
    let older = BASE.replace("[pump]", "[pump]\ntracking_efficiency = 0.9");
    assert_eq!(supply(&older).coupling, coupling::Settings::tracking(0.9));
    let both = format!("{older}[coupling]\nefficiency = 0.95\n");
    assert!(
        report(&both)
            .contains("pump.tracking_efficiency: tracking_efficiency given as well as coupling.efficiency;")
    );
    let told = |text: &str, part: &str| assert!(report(text).contains(part), "{part}: {}", report(text));
    told(
        &format!("{BASE}[coupling]\nkind = \"direct\"\n"),
        "coupling.kind: coupling \"direct\" to a pump whose data have no voltage;",
    );
    told(
        &with("kind = \"direct\"\nbypass = true"),
        "bypass with the coupling \"direct\"; no key besides kind;",
    );
    told(&with("highest_voltage = \"150 V\""), "coupling.record_low: this key is missing;");
    told(
        &with("efficiency_curve = [[\"10 %\", \"80 %\"], [\"100 %\", \"94 %\"]]"),
        "coupling.rated_power: this key is missing;",
    );
    told(
        &with("lowest_tracking_voltage = \"30 V\""),
        "coupling.highest_tracking_voltage: this key is missing;",
    );
}

#[test]
fn keys_of_another_kind_are_told() {
    let told = |text: &str, part: &str| assert!(report(text).contains(part), "{part}: {}", report(text));
    told(
        &BASE.replace("[pump]", "[pump]\ndisplacement = \"6 mL/rev\""),
        "pump.displacement: displacement in a pump of kind \"duty table\";",
    );
    told(&with_pump("kind = \"positive displacement\""), "pump.displacement: this key is missing;");
    told(
        &with_pump("kind = \"centrifugal\"\nrated_flow = \"60 L/min\""),
        "pump.motor_efficiency: this key is missing;",
    );
    told(
        &with_pump("kind = \"centrifugal\"\nrated_head = \"6 m\"\ncurve = [[\"0 L/min\", \"5 m\"]]"),
        "curve given as well as rated_head;",
    );
    told(&with_pump("kind = \"pneumatic\""), "\"pneumatic\" is not known here;");
    told(&with_pump(&PUMP.replace("150 ft", "50 ft")), "pump.highest_head: static head 22.00 m");
}

#[test]
fn the_well_and_the_pipe_know_low_water_and_weep_holes() {
    let text = BASE
        .replace("[well]", "[well]\nspecific_capacity = \"5 L/min/m\"\nwell_loss = \"0.5 h2/m5\"\nbore = \"6 in\"\n\
            drop_pipe_diameter = \"32 mm\"\npump_setting = \"30 m\"\nsubmergence = \"1 m\"\nrestart_delay = \"20 min\"")
        .replace("[pipe.drop]", "[pipe.drop]\nweep_hole = \"1/16 in\"\nweep_hole_depth = \"4 ft\"\npressure_class = \
         \"160 psi\"")
        .replace("[pipe.buried]", "[pipe.buried]\ndrains_back = true")
        .replace("[rules]", "[rules]\npipe_friction = \"hazen-williams\"");
    let s = supply(&text);
    near(s.well.cut_out_level_m().unwrap(), 29.0);
    assert_eq!(s.well.restart, Some(Restart::Delay(20.0 / 60.0)));
    near(s.well.bore.unwrap().diameter_m, 0.1524);
    let hole = s.pipe.weep_hole.clone().unwrap();
    assert_eq!(hole.run, 0);
    near(hole.depth_m, 1.2192);
    near(hole.discharge_coefficient, 0.8);
    assert!(s.pipe.runs[1].drains_back && s.pipe.friction == FrictionLaw::HazenWilliams);
    near(s.pipe.runs[0].pressure_class_m.unwrap(), 160.0 * 6_894.757_293_168_361 / 9_806.65);
    near(s.pipe.runs[0].hazen_williams_c.unwrap(), 140.0);
    let steps = BASE.replace(
        "[well]",
        "[well]\nstep_test = [[\"1 m3/h\", \"2.5 m\"], [\"2 m3/h\", \"6 m\"], [\"3 m3/h\", \"10.5 m\"]]",
    );
    let s = supply(&steps);
    near(s.well.specific_capacity_m3_per_h_m.unwrap(), 0.5);
    near(s.well.well_loss_h2_per_m5, 0.5);
    let told = |text: &str, part: &str| assert!(report(text).contains(part), "{part}: {}", report(text));
    told(
        &BASE.replace("[pipe.drop]", "[pipe.drop]\nweep_hole = \"2 mm\""),
        "pipe.drop.weep_hole_depth: this key is missing;",
    );
    told(
        &BASE.replace("[well]", "[well]\nrestart_delay = \"1 h\""),
        "well.pump_setting: this key is missing;",
    );
    told(
        &BASE.replace("[well]", "[well]\npump_setting = \"17 m\""),
        "well.pump_setting: the pump stops at 17 m, with the static level at 18 m;",
    );
}

#[test]
fn a_table_may_stand_in_a_file() {
    let files = |name: &str| match name {
        "pump.csv" => Ok("# the maker's\nflow [L/min],head m,power \
         (W),note\n4,20,60,a\n20,20,250,b\n3,40,120,c\n9,40,250,d\n"
            .to_owned()),
        "words.csv" => Ok("# a\nhead m,power W,flow L/min\n20,60,4\n\n# b\n20,much,4\n".to_owned()),
        "bare.csv" => Ok("head,power,flow\n20,60,4\n".to_owned()),
        "short.csv" => Ok("head m,power W,flow L/min\n20,60\n".to_owned()),
        "empty.csv" => Ok("head m,power W,flow L/min\n".to_owned()),
        "other.csv" => Ok("head m,power W\n20,60\n".to_owned()),
        _ => Err("no such file".to_owned()),
    };
    let read = |name: &str| Scheme::from_toml_with(&with_pump(&format!("duty = \"{name}\"")), &files);
    assert_eq!(read("pump.csv").unwrap().plan().supply.pump, supply(BASE).pump);
    let line = BASE.lines().position(|l| l.starts_with("duty")).unwrap() + 1;
    for (name, part) in [
        ("none.csv", "\"none.csv\": no such file"),
        ("short.csv", "line 2 is cut short"),
        ("empty.csv", "no rows below the header"),
        ("other.csv", "no column \"flow\""),
        ("bare.csv", "\"20\" has no unit"),
    ] {
        let faults = read(name).unwrap_err();
        assert!(faults[0].found.contains(part), "{name}: {}", faults[0]);
        assert_eq!(faults[0].location.line, Some(line), "{name}: {}", faults[0]);
        assert!(!faults[0].to_string().contains('\n'));
    }
    // The row's own line, whatever stands before it.
    let words = read("words.csv").unwrap_err().to_string();
    assert!(words.contains("words.csv line 6"), "{words}");
    // Where no files are read, a name is refused.
    assert!(report(&with_pump("duty = \"pump.csv\"")).contains("files are not read here"));
}

#[test]
fn a_flow_is_scaled_from_one_voltage_for_displacement_alone() {
    const FLYER: &str = "kind = \"head-flow table\"\nvoltage = \"24 V\"\n\
                         head_flow = [[\"10 m\", \"15 L/min\", \"4 A\"], [\"90 m\", \"9 L/min\", \"9 A\"]]";
    const PROPORTIONAL: &str = "flow_by_voltage = \"proportional\"";
    let with = |lines: &[&str]| with_pump(&[&[FLYER], lines].concat().join("\n"));
    let refused = |lines: &[&str], parts: &[&str]| {
        let told = report(&with(lines));
        assert_eq!(told.lines().count(), 1, "{told}");
        parts.iter().for_each(|part| assert!(told.contains(part), "{told}"));
    };
    let text = with(&[PROPORTIONAL, "principle = \"positive displacement\""]);
    let Settings::Volts(table) = supply(&text).pump else { panic!() };
    assert!(table.one_voltage && table.start == Start::Proportional);
    assert!(Scheme::from_toml(&text).unwrap().defaults_used.iter().all(|d| d.key != "pump.start_voltage"));
    let text = with(&["flow_by_voltage = \"constant loss\"", "principle = \"positive displacement\""]);
    let Settings::Volts(table) = supply(&text).pump else { panic!() };
    assert_eq!(table.start, Start::SameLoss);
    refused(&[PROPORTIONAL], &["pump.principle: this key is missing"]);
    for lines in [&[PROPORTIONAL, "principle = \"centrifugal\""][..], &["principle = \"centrifugal\""]] {
        refused(
            lines,
            &[
                "pump.principle: a centrifugal pump with a table at one voltage",
                "ask the maker for",
                "second, lower voltage",
            ],
        );
    }
    refused(
        &[PROPORTIONAL, "principle = \"positive displacement\"", "start_voltage = \"8 V\""],
        &["start_voltage given as well as flow_by_voltage"],
    );
    let one_head = with_pump(
        "kind = \"head-flow table\"\nvoltage = \"24 V\"\nhead_flow = [[\"90 m\", \"9 L/min\", \"9 A\"]]\n\
         flow_by_voltage = \"proportional\"\nprinciple = \"positive displacement\"",
    );
    let told = report(&one_head);
    assert!(
        told.contains("pump.flow_by_voltage: one head, 90 m") && told.contains("a second head"),
        "{told}"
    );
}

#[test]
fn heads_of_a_table_may_be_pressures() {
    // 1 psi holds up 6894.757/9806.65 m of water.
    let psi_m = 6_894.757_293_168_361 / 9_806.65;
    let rows = |head: &str| {
        format!(
            "kind = \"head-flow table\"\nvoltage = \"24 V\"\nhead_flow = [[\"{head}\", \"3.2 gpm\", \"9 A\"]]"
        )
    };
    for (head, expected) in [
        ("30 psi", 30.0 * psi_m),
        ("2 bar", 2e5 / 9_806.65),
        ("150 kPa", 150e3 / 9_806.65),
        ("60 ft", 18.288),
    ] {
        let deep = BASE.replace("static_level = \"18 m\"", "static_level = \"6 m\"");
        let text = deep.replace(DUTY, &rows(head));
        let Settings::Volts(table) = supply(&text).pump else { panic!() };
        near(table.rows[0].head_m, expected);
        near(table.rows[0].flow_m3_per_h, 3.2 * 3.785_411_784e-3 * 60.0);
    }
    let told = report(&with_pump(&rows("30 gal")));
    assert!(
        told.contains("\"30 gal\" is a volume") && told.contains("or a pressure: psi, kPa, bar"),
        "{told}"
    );
    let text = super::with(
        "booster",
        "table",
        "[[\"0 gpm\", \"45 psi\", \"3 A\"], [\"3 gpm\", \"30 psi\", \"6 A\"]]",
    )
    .0;
    let plan = Scheme::from_toml(&text).unwrap_or_else(|_| panic!("{}", report(&text))).plan();
    near(plan.delivery.unwrap().booster.unwrap().rows[0].head_m, 45.0 * psi_m);
    let file = super::with("booster", "table", "\"booster.csv\"").0;
    let csv = |_: &str| Ok("flow gpm,pressure psi,current A\n0,45,3\n3,30,6\n".to_owned());
    let plan = Scheme::from_toml_with(&file, &csv).unwrap().plan();
    near(plan.delivery.unwrap().booster.unwrap().rows[1].head_m, 30.0 * psi_m);
}
