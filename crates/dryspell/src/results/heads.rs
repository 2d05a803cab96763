//! The head from water to tank in the hours that a reviewer asks about, as figures.

use super::{Field, Figure};
use crate::fault::Faults;
use crate::reliability::periods::hardest_month;
use crate::simulate::Run;
use crate::supply::{HeadBuildUp, head_build_up};

/// Depths that differ by rounding alone, m.
const SAME_M: f64 = 1e-9;

/// What a head is told for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeadFor {
    /// The hour of the record's highest flow, the first of them.
    HighestFlow,
    /// The hour in which the water in the well stands deepest while the pump lifts, the first of them.
    DeepestWater,
    /// The month hardest to serve ([`hardest_month`]), at the mean flow of its hours with flow.
    HardestMonth,
}

impl HeadFor {
    /// In words.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::HighestFlow => "highest flow",
            Self::DeepestWater => "deepest water",
            Self::HardestMonth => "hardest month",
        }
    }
}

/// A head, and what it is told for.
#[derive(Debug, Clone, PartialEq)]
pub struct HeadTold {
    /// What it is told for.
    pub at: HeadFor,
    /// Its hour; `None` for a month.
    pub hour: Option<usize>,
    /// The head, part by part.
    pub build: HeadBuildUp,
}

impl HeadTold {
    /// Depth of the water in the well below the wellhead while the pump lifts, m.
    #[must_use]
    pub fn water_level_m(&self) -> f64 {
        self.build.static_level_m + self.build.drawdown_m
    }
}

/// The head at the highest flow, at the deepest water and in the hardest month, of the first well; empty where the pump lifts no
/// water or a column of the user's own stands in its place.
///
/// # Units
/// Heads and depths in m, flows in m³/h; parts as in [`head_build_up`].
///
/// # Validity
/// The drawdown of an hour is what the hour's own head leaves for it: a bore that was full when the pump started is not drawn down as
/// far as its flow would draw it in the end. In the hardest month the drawdown is the settled one of the mean flow.
///
/// # Errors
/// Every value of well and pipe out of its range.
///
/// # References
/// The three states are this project's choice; the laws are those of [`head_build_up`].
pub fn heads(run: &Run) -> Result<Vec<HeadTold>, Faults> {
    let flow = &run.supply.flow_m3_per_h;
    if run.plan.columns.available_m3.is_some() || run.head.flow_m3_per_h <= 0.0 {
        return Ok(Vec::new());
    }
    let settings = &run.plan.supply;
    let month_of = |h: usize| run.calendar.day_of(h).month;
    let lifting = || (0..flow.len()).filter(|h| flow[*h] > 0.0);
    // The settled drawdown is the most that a flow can have: hours are asked from the deepest that they could be.
    let well = &settings.well;
    let deepest_m = |h: usize| well.static_level_m[usize::from(month_of(h)) - 1] + well.drawdown_m(flow[h]);
    let mut hours: Vec<(usize, f64)> = lifting().map(|h| (h, deepest_m(h))).collect();
    hours.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut deepest: Option<(usize, HeadBuildUp)> = None;
    for (h, most_m) in hours {
        let level = |build: &HeadBuildUp| build.static_level_m + build.drawdown_m;
        if deepest.as_ref().is_some_and(|(_, before)| most_m < level(before) - SAME_M) {
            break;
        }
        let build = head_build_up(settings, month_of(h), flow[h])?.at_head(run.supply.head_m[h]);
        let deeper = deepest.as_ref().is_none_or(|(before_h, before)| {
            let more_m = level(&build) - level(before);
            more_m > SAME_M || more_m >= -SAME_M && h < *before_h
        });
        if deeper {
            deepest = Some((h, build));
        }
    }
    let month = hardest_month(&run.months);
    let flows: Vec<f64> = lifting().filter(|h| month_of(*h) == month).map(|h| flow[h]).collect();
    let mut told =
        vec![HeadTold { at: HeadFor::HighestFlow, hour: Some(run.head_hour), build: run.head.clone() }];
    told.extend(deepest.map(|(h, build)| HeadTold { at: HeadFor::DeepestWater, hour: Some(h), build }));
    if !flows.is_empty() {
        let count = f64::from(u32::try_from(flows.len()).unwrap_or(u32::MAX));
        let build = head_build_up(settings, month, flows.iter().sum::<f64>() / count)?;
        told.push(HeadTold { at: HeadFor::HardestMonth, hour: None, build });
    }
    Ok(told)
}

/// The heads: a row for each.
pub const HEADS: &[Field<[HeadTold]>] = &[
    Field {
        name: "at",
        unit: "",
        meaning: "highest flow, deepest water while the pump lifts, or the hardest month at the mean flow of its hours with flow",
        get: |all, i| Figure::Text(all[i].at.text().into()),
    },
    Field {
        name: "month",
        unit: "",
        meaning: "month, 1 to 12",
        get: |all, i| Figure::Count(u64::from(all[i].build.month)),
    },
    Field {
        name: "hour",
        unit: "",
        meaning: "hour of the record from 0; null for a month",
        get: |all, i| all[i].hour.map_or(Figure::Null, |h| Figure::Count(h as u64)),
    },
    Field {
        name: "flow_m3_per_h",
        unit: "m3/h",
        meaning: "flow",
        get: |all, i| all[i].build.flow_m3_per_h.into(),
    },
    Field {
        name: "static_level_m",
        unit: "m",
        meaning: "standing water below the wellhead",
        get: |all, i| all[i].build.static_level_m.into(),
    },
    Field {
        name: "rise_m",
        unit: "m",
        meaning: "from the wellhead up to the inlet",
        get: |all, i| all[i].build.rise_m.into(),
    },
    Field {
        name: "drawdown_m",
        unit: "m",
        meaning: "fall of the water in the well",
        get: |all, i| all[i].build.drawdown_m.into(),
    },
    Field {
        name: "water_level_m",
        unit: "m",
        meaning: "water in the well below the wellhead while the pump lifts",
        get: |all, i| all[i].water_level_m().into(),
    },
    Field {
        name: "friction_m",
        unit: "m",
        meaning: "friction of each pipe, in the water's order",
        get: |all, i| Figure::List(all[i].build.runs.iter().map(|pipe| pipe.friction_m.into()).collect()),
    },
    Field {
        name: "fittings_m",
        unit: "m",
        meaning: "fittings",
        get: |all, i| all[i].build.fittings_m.into(),
    },
    Field {
        name: "outlet_m",
        unit: "m",
        meaning: "pressure kept at the outlet, and the velocity head lost there",
        get: |all, i| all[i].build.discharge_m.into(),
    },
    Field {
        name: "total_m",
        unit: "m",
        meaning: "total dynamic head",
        get: |all, i| all[i].build.total_m.into(),
    },
];
