//! The columns of the supply stage, and what set the flow of each hour.

use super::ledger::SourceLedger;
use super::step::Hour;

/// What set the flow of an hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Limit {
    /// No power at all: the sun is down, or nothing reaches the cells.
    Night,
    /// Some power, too little to lift any water.
    SunBelowStart,
    /// Running: more sun would have lifted more.
    Sun,
    /// Running at the greatest tabulated power: more sun would not have lifted more.
    PumpLimit,
    /// Running beyond the table's highest head: the flow is the one that the pipe line passes at that head.
    TableEnd,
    /// Held back to what the well gives.
    Well,
    /// Standing all hour because the water fell to the cut-out.
    CutOut,
    /// Standing all hour because a part of the pipe is frozen, or emptied and shut for the frost.
    Frozen,
}

impl Limit {
    /// All limits, from no water to most.
    pub const ALL: [Self; 8] = [
        Self::Night,
        Self::SunBelowStart,
        Self::Sun,
        Self::PumpLimit,
        Self::TableEnd,
        Self::Well,
        Self::CutOut,
        Self::Frozen,
    ];

    /// Its place in [`Self::ALL`].
    #[must_use]
    pub const fn place(self) -> usize {
        self as usize
    }

    /// Whether water flows.
    #[must_use]
    pub const fn flows(self) -> bool {
        !matches!(self, Self::Night | Self::SunBelowStart | Self::CutOut | Self::Frozen)
    }

    /// The limit in words, as tables show it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Night => "night",
            Self::SunBelowStart => "sun below start",
            Self::Sun => "sun",
            Self::PumpLimit => "pump at its limit",
            Self::TableEnd => "head at the table's end",
            Self::Well => "well",
            Self::CutOut => "well at the cut-out",
            Self::Frozen => "frozen",
        }
    }
}

/// What the supply stage makes: one value for each hour of the record, and counts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Columns {
    /// Water available to the tank, m³ in the hour.
    pub available_m3: Vec<f64>,
    /// Water lifted by the pump, m³ in the hour.
    pub lifted_m3: Vec<f64>,
    /// Flow lifted while the pump runs, m³/h: more than the hour's volume where it stops at the cut-out.
    pub flow_m3_per_h: Vec<f64>,
    /// Water lost through the weep hole, m³ in the hour.
    pub weep_m3: Vec<f64>,
    /// Water that filled the drained pipe, m³ in the hour.
    pub riser_refill_m3: Vec<f64>,
    /// What the well held back: the flow that the pump would have had with the water where it was, less what it lifted, m³.
    pub held_back_m3: Vec<f64>,
    /// The sums of these four.
    pub ledger: SourceLedger,
    /// Power that the pump took, W: none while nothing flows, and none above what gives more flow.
    pub power_w: Vec<f64>,
    /// Total dynamic head, m; the static head while nothing flows.
    pub head_m: Vec<f64>,
    /// What set the flow.
    pub limit: Vec<Limit>,
    /// Hours with flow in which the power was below the lowest tabulated one: the start rule made their water.
    pub hours_below_lowest_power: u32,
    /// Water of those hours, m³.
    pub m3_below_lowest_power: f64,
    /// Hours in which the system curve left the table at its highest head.
    pub hours_table_end: u32,
    /// Hours with flow below the lowest tabulated head, where the flow of that head was kept.
    pub hours_below_lowest_head: u32,
    /// Times that the pump was stopped because the water fell to the cut-out.
    pub cut_out_stops: u32,
    /// Hours in which the sun gave something, but not the current that breaks the motor away.
    pub hours_held_fast: u32,
}

impl Columns {
    /// A column of the user's own in the place of a pump: all of it is lifted, at no head and with no power.
    pub(crate) fn of_column(available_m3: &[f64]) -> Self {
        let nothing = || vec![0.0; available_m3.len()];
        let limit = |m3: &f64| if *m3 > 0.0 { Limit::Sun } else { Limit::Night };
        let sum_m3 = available_m3.iter().sum();
        Self {
            available_m3: available_m3.to_vec(),
            lifted_m3: available_m3.to_vec(),
            flow_m3_per_h: available_m3.to_vec(),
            weep_m3: nothing(),
            riser_refill_m3: nothing(),
            held_back_m3: nothing(),
            ledger: SourceLedger { lifted_m3: sum_m3, available_m3: sum_m3, ..SourceLedger::default() },
            power_w: nothing(),
            head_m: nothing(),
            limit: available_m3.iter().map(limit).collect(),
            ..Self::default()
        }
    }

    /// The columns of hours that follow each other.
    pub(crate) fn of_hours<'a>(hours: impl ExactSizeIterator<Item = &'a Hour>) -> Self {
        let mut columns = Self::with_capacity(hours.len());
        hours.for_each(|hour| columns.push(hour));
        columns
    }

    /// The pump cannot tell covered panels from night; the sky can.
    pub(crate) fn tell_night_by(&mut self, plane_w_per_m2: &[f64]) {
        for (limit, plane) in self.limit.iter_mut().zip(plane_w_per_m2) {
            if *limit == Limit::Night && *plane > 0.0 {
                *limit = Limit::SunBelowStart;
            }
        }
    }

    /// Number of hours with a limit.
    #[must_use]
    pub fn hours(&self, limit: Limit) -> usize {
        self.limit.iter().filter(|l| **l == limit).count()
    }
}

impl Columns {
    pub(super) fn with_capacity(hours: usize) -> Self {
        Self {
            available_m3: Vec::with_capacity(hours),
            lifted_m3: Vec::with_capacity(hours),
            flow_m3_per_h: Vec::with_capacity(hours),
            weep_m3: Vec::with_capacity(hours),
            riser_refill_m3: Vec::with_capacity(hours),
            held_back_m3: Vec::with_capacity(hours),
            power_w: Vec::with_capacity(hours),
            head_m: Vec::with_capacity(hours),
            limit: Vec::with_capacity(hours),
            ..Self::default()
        }
    }

    pub(super) fn push(&mut self, hour: &Hour) {
        self.available_m3.push(hour.available_m3);
        self.lifted_m3.push(hour.lifted_m3);
        self.flow_m3_per_h.push(hour.flow_m3_per_h);
        self.weep_m3.push(hour.weep_m3);
        self.riser_refill_m3.push(hour.riser_refill_m3);
        let held = hour.limit == Limit::Well;
        self.held_back_m3.push(if held { (hour.free_flow_m3_per_h - hour.lifted_m3).max(0.0) } else { 0.0 });
        self.ledger.add(hour);
        self.power_w.push(hour.power_taken_w);
        self.head_m.push(hour.head.total_m());
        self.limit.push(hour.limit);
        if hour.below_lowest_power {
            self.hours_below_lowest_power += 1;
            self.m3_below_lowest_power += hour.available_m3;
        }
        self.hours_table_end += u32::from(hour.table_end);
        self.hours_below_lowest_head += u32::from(hour.below_lowest_head);
        self.cut_out_stops += hour.stops;
        self.hours_held_fast += u32::from(hour.held_fast);
    }
}
