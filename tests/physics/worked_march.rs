//! An hour of the march on paper: each line is worked again from those above it.

use std::collections::BTreeMap;

use dryspell::inflow::{Backup, Bringing, Kind, Settings, Steady, WhenFull};
use dryspell::plan::Plan;
use dryspell::record::Record;
use dryspell::scheme::Scheme;
use dryspell::simulate::{AnswersBy, Run, simulate};
use dryspell::worked::{Section, Step, hour};

use crate::support::data;
use crate::tmy3;

/// A step of the grid of volumes, m³.
const STEP: f64 = 1.0 / 1_048_576.0;

fn plan(name: &str) -> Plan {
    Scheme::from_toml(&std::fs::read_to_string(data(&format!("demo/{name}.toml"))).unwrap()).unwrap().plan()
}

fn year() -> Record {
    tmy3::read(&data("weather/703165TY.csv"))
}

fn spring(name: &str, m3_per_h: f64, when_full: WhenFull) -> Settings {
    let kind = Kind::Steady(Steady::of(m3_per_h));
    Settings { name: name.into(), kind, tank: "main".into(), when_full }
}

/// The lines of some sections by symbol.
struct Paper(BTreeMap<String, Step>);

impl Paper {
    /// The sections from the tank's stock to its line, of one pass.
    fn of(sections: &[Section], backup: bool) -> Self {
        let of_march = ["WHAT THE TANK HAS", "WHAT EACH", "THE TANK", "THE WELL WITH"];
        let title = |s: &Section| {
            let own = s.title.strip_prefix("WITH THE BACKUP: ");
            own.is_some() == backup && of_march.iter().any(|of| own.unwrap_or(&s.title).starts_with(of))
        };
        let steps = sections.iter().filter(|s| title(s)).flat_map(|s| &s.steps);
        Self(steps.map(|step| (step.symbol.clone(), step.clone())).collect())
    }

    fn at(&self, symbol: &str) -> f64 {
        self.0.get(symbol).map_or(0.0, |step| step.value)
    }

    /// The values whose symbols begin with a letter, with the names behind it.
    fn each(&self, letter: &str) -> Vec<(&str, f64)> {
        let lines = self.0.iter().filter_map(|(symbol, step)| {
            let (first, name) = symbol.split_once(' ')?;
            (first == letter).then_some((name, step.value))
        });
        lines.collect()
    }

    /// Of those the ones that an equation names: `u cows + u calves`.
    fn named_in(&self, letter: &str, symbol: &str) -> f64 {
        let text = &self.0[symbol].equation;
        let names = |name: &str| {
            text.split([' ', ')', '(', ',']).collect::<Vec<_>>().windows(2).any(|w| w == [letter, name])
        };
        self.each(letter).into_iter().filter(|(name, _)| names(name)).map(|(_, value)| value).sum()
    }
}

fn near(what: &str, by_hand: f64, printed: f64, within: f64) {
    assert!((by_hand - printed).abs() <= within, "{what}: by hand {by_hand}, printed {printed}");
}

/// Shares as the page states them: in proportion, rounded down, the remainder to the first by name.
fn shares(water: f64, wants: &[f64]) -> Vec<f64> {
    let sum: f64 = wants.iter().sum();
    if sum <= water {
        return wants.to_vec();
    }
    let mut given: Vec<f64> = wants.iter().map(|want| (want * water / sum / STEP).floor() * STEP).collect();
    let mut left = water - given.iter().sum::<f64>();
    for (given, want) in given.iter_mut().zip(wants) {
        let more = left.min(want - *given);
        *given += more;
        left -= more;
    }
    given
}

/// What was met among the hours that were worked.
#[derive(Default, Debug)]
struct Met {
    short_of_water: u32,
    owed: u32,
    refused: u32,
    spilled: u32,
    part_of_the_hour: u32,
    backup: u32,
    booked: u32,
}

/// Works again what is owed to a herd by cause: more by the causes of the hour, less from all alike.
fn by_cause(p: &Paper, herd: &str) {
    let (before, now) = (p.at(&format!("o0 {herd}")), p.at(&format!("o1 {herd}")));
    let place = p.0[&format!("e {herd}")].name.strip_prefix("wants, at ").unwrap();
    let k = ["f", "p", "b", "t"].map(|mark| p.at(&format!("k{mark} {place}")));
    let k = if p.0.contains_key(&format!("y0 {place}")) { k } else { [0.0, 0.0, 0.0, 1.0] };
    for (mark, cause) in ["f", "p", "b", "t"].iter().zip(k) {
        let owed = p.at(&format!("o0{mark} {herd}"));
        let by_hand = if now > before {
            owed + (now - before) * cause / k.iter().sum::<f64>()
        } else {
            owed * now / before
        };
        near(&format!("o{mark} {herd}"), by_hand, p.at(&format!("o{mark} {herd}")), 4.0 * STEP);
    }
}

/// Works one pass of an hour.
fn work(run: &Run, p: &Paper, h: usize, backup: Option<&Backup>, met: &mut Met) {
    let at = |symbol: &str| p.at(symbol);
    let permits = p.0["T"].equation.contains("Qo");
    // What comes.
    let (mut valve, mut free) = (0.0, 0.0);
    for inflow in run.inflows.iter() {
        let m3 = at(&format!("I {}", inflow.name));
        near("inflow", inflow.m3[h], m3, 0.0);
        *(if inflow.when_full == WhenFull::Refused { &mut valve } else { &mut free }) += m3;
    }
    near("Iv", valve, at("Iv"), 1e-9);
    near("If", free, at("If"), 1e-9);
    let pump = if permits { at("Qo") } else { 0.0 };
    near("T", at("x0") + pump + at("Iv") + at("If") + at("Bo"), at("T"), 1e-9);
    // Wants and places.
    for (name, wants) in p.each("e") {
        near(name, at(&format!("o0 {name}")) + at(&format!("g {name}")), wants, 1e-12);
    }
    let could = p.each("c");
    near("C", could.iter().map(|(_, c)| c).sum(), at("C"), 1e-9);
    // Places stand in the order of their names, as do the symbols.
    let by_hand = shares(at("T"), &could.iter().map(|(_, c)| *c).collect::<Vec<_>>());
    for ((name, could), share) in could.iter().zip(by_hand) {
        // Where nothing could be taken the page has no line for it.
        if *could > 0.0 || p.0.contains_key(&format!("v {name}")) {
            near(name, share, p.0[&format!("v {name}")].value, STEP * 3.0);
        }
        let taken = at(&format!("f {name}"));
        assert!(taken <= could + 1e-9, "{name} took {taken} of {could}");
        match p.0.get(&format!("y0 {name}")) {
            // What flows into a trough is rounded down once more.
            Some(before) => {
                near(name, share, taken, 4.0 * STEP);
                let trough =
                    run.delivery.as_ref().unwrap().hydrants.iter().find(|t| t.name == *name).unwrap();
                if p.0[&format!("c {name}")].equation.starts_with("0: frozen") {
                    near(name, 0.0, *could, 0.0);
                    continue;
                }
                let room = trough.trough_m3 - before.value + p.named_in("e", &format!("c {name}"));
                assert!(*could <= room + STEP, "{name}: {could} into {room}");
                if p.0.contains_key(&format!("y1 {name}")) {
                    let left = before.value + taken - p.named_in("u", &format!("y1 {name}"));
                    near(name, left, at(&format!("y1 {name}")), 1e-12);
                }
            }
            None => near(name, p.named_in("e", &format!("c {name}")), *could, 1e-12),
        }
    }
    met.short_of_water += u32::from(at("C") > at("T"));
    near("U", p.each("f").iter().map(|(_, f)| f).sum(), at("U"), 1e-12);
    assert!(at("U") <= at("T") + 1e-12);
    // Who drank: those at one place share what it has.
    for (place, _) in p.each("c") {
        let water = at(&format!("f {place}")) + at(&format!("y0 {place}"));
        let here: Vec<&str> = p
            .each("e")
            .into_iter()
            .filter(|(name, _)| p.0[&format!("e {name}")].name == format!("wants, at {place}"))
            .map(|(name, _)| name)
            .collect();
        let wants: Vec<f64> = here.iter().map(|name| at(&format!("e {name}"))).collect();
        for (name, drunk) in here.iter().zip(shares(water, &wants)) {
            near(name, drunk, at(&format!("u {name}")), STEP * 3.0);
        }
    }
    for (name, owed) in p.each("o1") {
        near(name, at(&format!("e {name}")) - at(&format!("u {name}")), owed, 1e-12);
        let Some(short) = p.0.get(&format!("Sh {name}")) else { continue };
        let causes: f64 = ["of", "op", "ob", "ot"].iter().map(|of| at(&format!("{of} {name}"))).sum();
        near(name, owed, causes, 1e-12);
        if owed > 0.0 {
            by_cause(p, name);
        }
        near(name, if h % 24 == 23 { owed } else { 0.0 }, short.value, 0.0);
        met.owed += u32::from(owed > 0.0);
        met.booked += u32::from(short.value > 0.0);
    }
    tank_line(run, p, (h, pump), backup, met);
}

/// Works the tank's line again; `pump`: what the pump offers where the float permits.
fn tank_line(run: &Run, p: &Paper, (h, pump): (usize, f64), backup: Option<&Backup>, met: &mut Met) {
    let at = |symbol: &str| p.at(symbol);
    let tank = &run.plan.tank;
    let left = at("T") - at("U") - at("Ug") - at("Le") - at("Ll");
    near("M", left, at("M"), 1e-9);
    near("Ug", at("G").min((at("T") - at("U") - tank.garden_reserve_m3).max(0.0)), at("Ug"), STEP);
    let brought = pump + at("Iv");
    if let Some(backup) = backup {
        let above = (left - backup.stops_at_m3).max(0.0);
        if at("O") <= 0.0 {
            near("Qb", (at("Bo") - above).max(0.0), at("Qb"), STEP);
        }
        met.backup += u32::from(at("Qb") > 0.0);
    }
    let rest = left - (at("Bo") - at("Qb"));
    if tank.float_stop_m3.is_some() {
        let refused = (rest - tank.full_m3()).clamp(0.0, brought);
        near("refused", refused, brought - at("Qp") - at("Qv"), 2.0 * STEP);
        if brought > 0.0 {
            near("Qp", pump - refused * pump / brought, at("Qp"), 3.0 * STEP);
        }
        met.refused += u32::from(refused > 0.0);
    } else {
        near("Qp", pump, at("Qp"), 0.0);
    }
    near("Qt", at("Qo") - at("Qp"), at("Qt"), 1e-12);
    near("Qf", at("If"), at("Qf"), 0.0);
    let stands =
        at("x0") + at("Qp") + at("Qv") + at("Qf") + at("Qb") - at("U") - at("Ug") - at("Le") - at("Ll");
    near("O", (stands - tank.capacity_m3).max(0.0), at("O"), 2.0 * STEP);
    near("x1", stands - at("O"), at("x1"), 1e-9);
    met.spilled += u32::from(at("O") > 0.0);
    let level =
        backup.map_or(run.hours[h].level_m3[0].max(0.0), |_| run.backup.as_ref().unwrap().stored_m3[h]);
    if level > 0.0 {
        near("level", level, at("x1"), 0.0);
    }
    if let (Some(time), None) = (p.0.get("tr"), backup) {
        near("Ar", at("Lr") - at("Wr") - at("Rr"), at("Ar"), 1e-12);
        near("arrived", at("Qp"), at("Ar"), 1.01 * STEP);
        assert!(time.value <= 1.0 && (time.value > 0.0 || at("Lr") <= 0.0), "{time:?}");
        met.part_of_the_hour += u32::from(time.value > 0.0 && at("Qt") > 0.0);
    }
}

/// Which hours are worked: what an hour must have.
type Pick = fn(&Run, usize) -> bool;

/// Works two hours of each kind, one of either half of the year, and says what was met.
fn work_some(plan: &Plan, picks: &[Pick]) -> Met {
    let record = year();
    let run = simulate(plan, &record).unwrap();
    assert_eq!(run.answers_by, AnswersBy::March);
    let mut met = Met::default();
    for pick in picks {
        for mut half in [1..4380, 4380..8760] {
            let Some(h) = half.find(|h| pick(&run, *h)) else { continue };
            let sections = hour(&run, &record, h).unwrap();
            work(&run, &Paper::of(&sections, false), h, None, &mut met);
            if let Some(backup) = &run.plan.backup {
                work(&run, &Paper::of(&sections, true), h, Some(backup), &mut met);
            }
        }
    }
    met
}

fn owed_at(run: &Run, h: usize) -> bool {
    run.delivery.as_ref().is_some_and(|d| d.hydrants.iter().any(|hydrant| hydrant.level_m3[h] < 0.0))
}

const REFUSED: Pick = |run, h| run.hours[h].curtailed_m3[0] > 0.0 && run.hours[h].pumped_m3[0] > 0.0;

/// Rounds: three hydrants, two herds and deer, a booster with battery, frost, a garden, a tank that runs dry.
#[test]
fn hydrants_extras_and_a_garden() {
    let met = work_some(
        &plan("rounds"),
        &[
            REFUSED,
            |run, h| run.hours[h].garden_m3[0] > 0.0,
            |run, h| {
                run.hours[h].level_m3[0] <= 0.0
                    && run.flows.requested_m3[h] > run.hours[h].drawn_m3[0] + 0.001
            },
            |run, h| owed_at(run, h) && h % 24 == 12,
            |run, h| owed_at(run, h) && h % 24 == 23,
            |run, h| owed_at(run, h - 1) && h % 24 == 14 && !owed_at(run, h),
            |_, h| h % 24 == 7 && h > 100,
        ],
    );
    assert!(met.short_of_water > 0 && met.owed > 2 && met.booked > 1 && met.refused > 1, "{met:?}");
}

/// A weak well with bore and weep hole, a spring that runs on and one with a valve, hauled water.
#[test]
fn inflows_a_backup_and_a_well_that_remembers() {
    let mut plan = plan("brushed");
    plan.inflows = vec![spring("beck", 0.004, WhenFull::Spilled), spring("main", 0.003, WhenFull::Refused)];
    plan.backup = Some(Backup {
        bringing: Bringing::Load(1.5),
        delay_h: 3.0,
        ..Backup::flow("truck", 0.0, (1.6, 3.0))
    });
    let brought: Pick = |run, h| run.backup.as_ref().unwrap().hourly_m3[h] > 0.0;
    let met = work_some(&plan, &[REFUSED, brought, |run, h| run.supply.available_m3[h] > 0.0]);
    assert!(met.part_of_the_hour > 0 && met.refused > 1 && met.backup > 0, "{met:?}");
    let spilled = Plan { inflows: vec![spring("beck", 0.5, WhenFull::Spilled)], backup: None, ..plan };
    let met = work_some(&spilled, &[|run, h| run.hours[h].spilled_m3[0] > 0.0]);
    assert!(met.spilled > 1, "{met:?}");
}

#[test]
fn hours_here_and_there() {
    let record = year();
    let run = simulate(&plan("rounds"), &record).unwrap();
    for h in (0..8760).step_by(157) {
        let sections = hour(&run, &record, h).unwrap();
        work(&run, &Paper::of(&sections, false), h, None, &mut Met::default());
    }
}
