//! What the frost reaches.

use dryspell::calendar::Day;
use dryspell::frost::{CAUTIONS, Drains, FrostReport, PartReport, Settings};
use dryspell::simulate::Run;
use dryspell::units::System;
use schemars::JsonSchema;
use serde::Serialize;

use super::About;
use crate::frost::answer;

/// What `dryspell frost --json` writes: how deep the frost goes, and which parts it reaches.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FrostAnswer {
    /// Name and version of this shape.
    schema: &'static str,
    /// The answer in words.
    answer: String,
    /// The scheme, and what the answer rests on.
    scheme: About,
    /// What the depth rests on: a design index, or a winter of the record, which is no design check.
    rests_on: String,
    /// Freezing index of the air that the depth is for, degC days; null without a whole winter.
    index_degc_days: Option<f64>,
    /// Share of the air's index that reaches the ground.
    n_factor: f64,
    /// Days of the freezing season that goes with it.
    freezing_season_days: f64,
    /// Mean annual air temperature of the record, degC.
    mean_annual_degc: f64,
    /// Depth of frost, m; null without a winter, or where ground may stay frozen all year.
    depth_m: Option<f64>,
    /// Whether ground may stay frozen all year: no cover is safe then.
    frozen_all_year: bool,
    /// The freezing index of each whole winter of the record.
    winters: Vec<WinterTold>,
    /// The parts in the scheme's order.
    parts: Vec<PartTold>,
    /// Hours in which the way from the well to the tank was frozen.
    supply_frozen_h: usize,
    /// Days of shortfall in the record.
    shortfall_days: u32,
    /// Days of shortfall if frost stopped nothing; null where it stops nothing.
    shortfall_days_without_frost: Option<u32>,
    /// What has to be said under every report on frost.
    cautions: &'static [&'static str],
}

/// A winter.
#[derive(Debug, Serialize, JsonSchema)]
struct WinterTold {
    /// First day of its twelve months.
    from: String,
    /// Last day of them.
    to: String,
    /// Freezing index, degC days.
    index_degc_days: f64,
    /// Days of the freezing season.
    days: usize,
}

/// A part that frost can reach.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(tag = "lies", rename_all = "lowercase")]
enum PartTold {
    /// In the ground.
    Buried {
        /// Its name.
        name: String,
        /// Ground over it, m.
        cover_m: f64,
        /// `passes` or `fails` by a design index; else `deeper` or `shallower` than that winter's frost, which is no design check;
        /// `unknown` where there is no depth.
        verdict: &'static str,
    },
    /// In the air.
    Exposed {
        /// Its name.
        name: String,
        /// Whether it drains by itself in time; null where it does not drain by itself.
        drains: Option<&'static str>,
        /// Whether water that can freeze stands in it.
        stands: bool,
        /// Hours in which standing water would have ice in it.
        ice_h: usize,
        /// Spells in which it would.
        spells: usize,
        /// From the well's temperature to 0 degC in the record's coldest hour, h.
        to_freezing_point_h: Option<f64>,
    },
    /// Open to the sky.
    Open {
        /// Its name.
        name: String,
        /// Thickest ice with the inflow given, m.
        most_ice_m: f64,
        /// Hours with any ice.
        ice_h: usize,
        /// Hours with ice that cattle do not reliably break.
        unbroken_h: usize,
        /// Thickest ice without inflow, m.
        most_ice_without_inflow_m: f64,
        /// Inflow that would keep it open on the coldest day, m3/h.
        keeps_open_m3_per_h: f64,
    },
}

/// The answer of a report.
#[must_use]
pub fn frost_answer(run: &Run, settings: &Settings, report: &FrostReport, scheme: About) -> FrostAnswer {
    let ground = &report.ground;
    let winters = ground.winters.iter().map(|winter| WinterTold {
        from: date(winter.from),
        to: date(winter.to),
        index_degc_days: winter.fall.degc_days,
        days: winter.fall.days,
    });
    FrostAnswer {
        schema: "dryspell-frost-1",
        answer: answer(run, settings, report, System::Si),
        scheme,
        rests_on: ground.basis.text(),
        index_degc_days: ground.index_degc_days,
        n_factor: settings.surface,
        freezing_season_days: ground.days,
        mean_annual_degc: ground.mean_annual_degc,
        depth_m: ground.depth.map(|depth| depth.depth_m),
        frozen_all_year: ground.frozen_all_year,
        winters: winters.collect(),
        parts: report.parts.iter().map(|(name, found)| part(name, found)).collect(),
        supply_frozen_h: run.frozen.supply_hours(),
        shortfall_days: run.outcome.counts.shortfall_days,
        shortfall_days_without_frost: run.shortfall_days_without_frost,
        cautions: CAUTIONS,
    }
}

fn part(name: &str, found: &PartReport) -> PartTold {
    let name = name.to_owned();
    match found {
        PartReport::Buried(part) => {
            PartTold::Buried { name, cover_m: part.cover_m, verdict: part.verdict.word() }
        }
        PartReport::Exposed(part) => PartTold::Exposed {
            name,
            drains: part.drains.map(|drains| match drains {
                Drains::InTime => "in time",
                Drains::Doubtful => "doubtful",
                Drains::TooSlow => "too slow",
            }),
            stands: part.stands,
            ice_h: part.hours,
            spells: part.events.len(),
            to_freezing_point_h: part.to_zero_h,
        },
        PartReport::Open(part) => PartTold::Open {
            name,
            most_ice_m: part.most_ice_m,
            ice_h: part.ice_hours,
            unbroken_h: part.unbroken_hours,
            most_ice_without_inflow_m: part.most_ice_without_inflow_m,
            keeps_open_m3_per_h: part.keeps_open_m3_per_h,
        },
    }
}

fn date(day: Day) -> String {
    format!("{:04}-{:02}-{:02}", day.year, day.month, day.day)
}
