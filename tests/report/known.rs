//! What the lists hold: every number that a page of a run may show.

use std::collections::BTreeSet;

use dryspell::curve::{CELL_DEGC, PLANE_W_PER_M2, power_curve, sun_curve};
use dryspell::draw::Need;
use dryspell::fault::Fault;
use dryspell::frost::{Drain, FrostReport, Kind, PartReport};
use dryspell::record::Record;
use dryspell::results::{
    AGED, ARRAYS, CAUTIONS, COLUMNS, DAYS, DETAILS, DULLEST, Field, Figure, HEADLINES, HEADS, HELD_BACK,
    HERDS, HYDRANTS, HeadTold, INFLOWS, MENDS, MONTHS, PIPES, TANKS, WELLS, WHY, WORST_YEAR, YEARS,
};
use dryspell::results::{alerts, answer, rule_text, simplifications, troughs};
use dryspell::scheme::{Scheme, written};
use dryspell::sensitivity;
use dryspell::simulate::{Run, frost_report};
use dryspell::units::{Quantity, System, column_value, parse, retold, show};
use dryspell::worksheet::{PIPE_HEADS, WORKSHEET, Worksheet};

use dryspell_report::Tried;
use dryspell_report::curve::deepest;
use dryspell_report::{Inputs, VALUES, values};

use crate::numbers::{Token, numbers};

/// A number in one of the units in which it may be shown; no unit where the page need not name one.
#[derive(Debug, Clone, PartialEq)]
pub struct Value {
    pub unit: &'static str,
    pub value: f64,
}

/// All that may stand on a page.
#[derive(Debug, Default)]
pub struct Known {
    values: Vec<Value>,
    texts: BTreeSet<String>,
}

/// A base unit with all in which it is shown: name on the page, how many of them one is, and what is added.
const UNITS: [(&str, &[(&str, f64)]); 14] = [
    ("m3", &[("m³", 1.0), ("L", 1e3), ("gal", 1.0 / 0.003_785_411_784)]),
    ("m3/h", &[("L/min", 1e3 / 60.0), ("m³/h", 1.0), ("gpm", 1.0 / 0.003_785_411_784 / 60.0), ("L/h", 1e3)]),
    ("m3/day", &[("m³/day", 1.0), ("L/day", 1e3), ("gal/day", 1.0 / 0.003_785_411_784)]),
    ("m", &[("m", 1.0), ("mm", 1e3), ("ft", 1.0 / 0.3048), ("in", 1.0 / 0.0254)]),
    ("m/s", &[("m/s", 1.0), ("ft/s", 1.0 / 0.3048)]),
    ("W", &[("W", 1.0), ("kW", 1e-3)]),
    ("kWh", &[("kWh", 1.0)]),
    ("W/m2", &[("W/m²", 1.0)]),
    ("%", &[("%", 1.0)]),
    ("h", &[("hours", 1.0), ("h", 1.0)]),
    ("days", &[("days", 1.0)]),
    ("min", &[("min", 1.0)]),
    ("kWh/m2", &[("kWh/m²", 1.0)]),
    ("kWh/m2 a day", &[("kWh/m²", 1.0)]),
];

impl Known {
    /// Adds a number with its unit of a list.
    pub fn add(&mut self, value: f64, unit: &str) {
        if unit == "degC" {
            let fahrenheit = column_value(value, Quantity::Temperature, System::Us);
            self.values.push(Value { unit: "", value: fahrenheit });
        }
        let shown = UNITS.iter().find(|(base, _)| *base == unit).map_or(&[("", 1.0)][..], |(_, shown)| shown);
        self.values.extend(shown.iter().map(|(unit, times)| Value { unit, value: value * times }));
    }

    fn figure(&mut self, figure: &Figure, unit: &str) {
        match figure {
            #[expect(clippy::cast_precision_loss, reason = "counts of a run")]
            Figure::Count(n) => self.add(*n as f64, unit),
            Figure::Number(x) => self.add(*x, unit),
            Figure::List(list) => list.iter().for_each(|figure| self.figure(figure, unit)),
            Figure::Date(..) => self.text(&figure.to_string()),
            Figure::Text(text) => self.text(text),
            Figure::Null | Figure::Flag(_) => {}
        }
    }

    /// Adds rows of a list.
    pub fn rows<R: ?Sized>(&mut self, fields: &[Field<R>], of: &R, rows: impl IntoIterator<Item = usize>) {
        for row in rows {
            for field in fields {
                self.figure(&(field.get)(of, row), field.unit);
            }
        }
    }

    /// Adds the numbers of a text of the core's.
    pub fn text(&mut self, text: &str) {
        self.texts.extend(numbers(text).into_iter().map(|token| token.text));
    }

    /// Adds an amount as a scheme writes it, in every unit in which it may be shown.
    fn amount(&mut self, text: &str) {
        self.text(text);
        for quantity in Quantity::ALL {
            let Ok(value) = parse(text, quantity) else { continue };
            for system in [System::Si, System::Us] {
                self.text(&show(value, quantity, system));
                self.values.push(Value { unit: "", value: column_value(value, quantity, system) });
            }
        }
        if let Ok(share) = parse(text, Quantity::Fraction) {
            self.add(100.0 * share, "%");
        }
        if let Ok(length) = parse(text, Quantity::Length) {
            self.add(length, "m");
        }
    }

    /// Adds what the frost reaches. Depths are shown to the centimetre or inch, ice to the millimetre.
    fn frost(&mut self, run: &Run, report: Option<&FrostReport>) {
        let Some(report) = report else { return };
        for step in [0.01, 0.0254] {
            report.ground.depth.iter().for_each(|depth| self.add(step * (depth.depth_m / step).round(), "m"));
        }
        for (part, (_, found)) in
            run.plan.frost.iter().flat_map(|settings| &settings.parts).zip(&report.parts)
        {
            match found {
                PartReport::Buried(buried) => self.add(buried.cover_m, "m"),
                PartReport::Exposed(exposed) => {
                    self.count(exposed.hours);
                    if let Kind::Exposed { drain: Drain::ByHand(dates), .. } = &part.kind {
                        self.count(exposed.hours_outside(dates, &run.calendar));
                    }
                }
                PartReport::Open(open) => {
                    self.count(open.ice_hours);
                    self.add((1e3 * open.most_ice_m).round() / 1e3, "m");
                }
            }
        }
    }

    /// Adds flow against sun, and the ends of flow against power.
    fn curves(&mut self, run: &Run) -> Result<(), Vec<Fault>> {
        let curve = sun_curve(&run.plan, deepest(&run.plan.supply.well.static_level_m))?;
        curve.points.iter().flatten().for_each(|point| self.add(point.flow_m3_per_h, "m3/h"));
        PLANE_W_PER_M2.iter().for_each(|sun| self.add(*sun, "W/m2"));
        for cell in CELL_DEGC {
            for system in [System::Si, System::Us] {
                self.values
                    .push(Value { unit: "", value: column_value(cell, Quantity::Temperature, system) });
            }
        }
        let supply = &run.plan.supply;
        let powers = power_curve(&supply.pump, supply.pipe.water_degc, run.head.total_m)?;
        for end in powers.first().into_iter().chain(powers.last()) {
            self.add(end.power_w, "W");
            self.add(end.flow_m3_per_h, "m3/h");
        }
        Ok(())
    }

    #[expect(clippy::cast_precision_loss, reason = "hours of a record")]
    fn count(&mut self, n: usize) {
        self.add(n as f64, "");
    }

    /// Whether a number is the rounding of one that is known.
    pub fn holds(&self, token: &Token) -> bool {
        let near = |value: &Value| (value.value.abs() - token.value.abs()).abs() <= token.half * (1.0 + 1e-6);
        self.texts.contains(&token.text)
            || self
                .values
                .iter()
                .filter(|v| token.unit.is_empty() || v.unit.is_empty() || v.unit == token.unit)
                .any(near)
    }

    /// Adds what the parts must bear.
    fn checks(&mut self, run: &Run, heads: &[HeadTold], system: System) {
        let checks = dryspell::results::checks(run, heads, &dryspell::pressure::pressures(run));
        for check in &checks {
            let numbers = [Some(check.found), check.limit];
            numbers.iter().flatten().for_each(|number| self.add(*number, check.unit.text()));
            self.text(&check.how);
            self.text(&retold(&check.how, system));
        }
    }

    /// What the lists hold of a run.
    pub fn of(
        run: &Run,
        record: &Record,
        (scheme, text): (&Scheme, &str),
        tried: &Tried,
        system: System,
        inputs: &Inputs,
    ) -> Result<Self, Vec<Fault>> {
        let mut known = Self::default();
        known.rows(HEADLINES, run, [0]);
        known.rows(MONTHS, run, 0..12);
        known.rows(DETAILS, run, [0]);
        known.rows(ARRAYS, run, 0..run.plan.array.arrays.len());
        known.rows(PIPES, run, 0..run.head.runs.len());
        known.rows(HERDS, run, 0..run.draw.by_group_m3_per_day.len());
        known.rows(INFLOWS, run, 0..run.inflows.len());
        known.rows(TANKS, run, 0..run.tanks.len());
        known.rows(WELLS, run, 0..run.lifts.len());
        known.rows(HYDRANTS, run, 0..run.delivery.as_ref().map_or(0, |found| found.hydrants.len()));
        known.rows(YEARS, run, 0..run.outcome.years.len());
        if let Some(worst) = dryspell::results::worst_year(run) {
            known.rows(WORST_YEAR, &worst, 0..13);
        }
        for row in run.goal().iter().flat_map(|judged| &judged.rows) {
            let numbers = [Some(row.limit), row.found, row.margin()];
            numbers.iter().flatten().for_each(|number| known.add(*number, row.asked.unit()));
        }
        // Of the hours the one of the highest flow, of the days those of the critical spell.
        known.rows(COLUMNS, run, [run.head_hour]);
        if let Some(critical) = run.storage.critical {
            let (first, n) = (critical.began / 24, run.days.len());
            let last = critical.refilled.unwrap_or(critical.deepest) / 24;
            let length = if last >= first { last - first } else { last + n - first };
            known.rows(DAYS, run, (0..=length).map(|i| (first + i) % n));
        }
        let heads = dryspell::results::heads(run)?;
        known.rows(HEADS, heads.as_slice(), 0..heads.len());
        known.checks(run, &heads, system);
        let dull = dryspell::results::dullest_days(run);
        known.rows(DULLEST, dull.as_slice(), 0..dull.len());
        if let Some(why) = dryspell::why::why(run)? {
            known.rows(WHY, &why, [0]);
            known.rows(HELD_BACK, &why, 0..why.held_back.len());
        }
        known.rows(MENDS, tried.mends.as_slice(), 0..tried.mends.len());
        for mend in &tried.mends {
            known.text(&mend.what);
        }
        if let Some(bearing) = &tried.bearing {
            for stress in &bearing.stresses {
                let amounts = [stress.breaks_at, Some(stress.most), stress.short_days];
                amounts.iter().flatten().for_each(|amount| known.add(*amount, stress.kind.unit()));
            }
            known.rows(AGED, bearing, 0..bearing.aged.len());
        }
        let unit_m3 = 1.0 / column_value(1.0, Quantity::Volume, system);
        let worksheet = Worksheet::of(run, unit_m3)?;
        known.rows(WORKSHEET, &worksheet, [0]);
        known.rows(PIPE_HEADS, &worksheet, 0..worksheet.pipes.len());
        // The scheme as written, and what it leaves to defaults.
        for table in written(text) {
            for (_, value) in table.values {
                known.text(&value);
                for part in value.split(['(', ')', ',']).flat_map(|part| part.split(" to ")) {
                    known.amount(part.trim());
                }
            }
        }
        for default in &scheme.defaults_used {
            known.amount(&default.value);
            known.text(&default.why.to_string());
            known.text(&retold(&default.why, system));
            known.text(&retold(&default.value, system));
        }
        let given = values(run, scheme, text, inputs, system);
        known.rows(VALUES, given.as_slice(), 0..given.len());
        // Texts of the core.
        for text in alerts(run, system).into_iter().map(|alert| alert.text).chain([answer(run, system)]) {
            known.text(&text);
        }
        for text in run.source.notes.iter().map(String::as_str).chain(simplifications(run)).chain(CAUTIONS) {
            known.text(text);
            known.text(&retold(text, system));
        }
        for group in &run.plan.draw.groups {
            if let Need::Class { class, .. } = &group.need {
                [class.formula, class.source].into_iter().chain(class.from_memory).for_each(|t| {
                    known.text(t);
                    known.text(&retold(t, system));
                });
            }
        }
        for rule in troughs(run).iter().flat_map(|trough| &trough.advice) {
            known.text(&rule_text(rule, system));
        }
        // What is worked out beside the run has lists of its own.
        for line in sensitivity::table(&run.plan, record, system)? {
            known.text(&line.what);
            line.note.iter().for_each(|note| known.text(note));
            line.days.iter().chain(&line.autonomy_days).for_each(|days| known.add(*days, "days"));
        }
        known.frost(run, frost_report(run, record)?.as_ref());
        known.curves(run)?;
        troughs(run).iter().for_each(|trough| known.add(trough.watering.day_m3, "m3"));
        let place = &run.place;
        known.add(place.latitude_deg, "");
        known.add(place.longitude_deg, "");
        known.add(place.elevation_m, "m");
        Ok(known)
    }
}
