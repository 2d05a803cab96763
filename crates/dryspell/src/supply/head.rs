//! The total dynamic head and what it is made of.

use super::Settings;
use crate::fault::Faults;
use crate::pipe::{Line, Split, fittings_loss_m};

/// The head against which the pump works, by cause.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | H | total dynamic head | m | |
///
/// # Equation
/// `H = static level + rise above the wellhead + drawdown + friction + fittings + discharge`
///
/// # Validity
/// Heads above the standing water, in metres of the water pumped. A tank that lies lower than the wellhead saves no lift
/// ([`crate::pipe::Settings::rise_m`]); flow by gravity without the pump is not counted.
///
/// # Example
/// ```
/// use dryspell::supply::Head;
/// let head = Head { static_lift_m: 30.0, drawdown_m: 2.0, friction_m: 1.5, fittings_m: 0.3, discharge_m: 0.2 };
/// assert!((head.total_m() - 34.0).abs() < 1e-12);
/// ```
///
/// # References
/// G. M. Masters, *Renewable and Efficient Electric Power Systems* (2004), section 9.6: total dynamic head.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Head {
    /// Standing water to the tank's inlet, or to the wellhead where that is higher, m.
    pub static_lift_m: f64,
    /// Fall of the water in the well at this flow, m.
    pub drawdown_m: f64,
    /// Friction in the pipes, m.
    pub friction_m: f64,
    /// Losses in the fittings, m.
    pub fittings_m: f64,
    /// Pressure kept at the discharge, and the velocity head lost there, m.
    pub discharge_m: f64,
}

impl Head {
    /// The sum, m.
    #[must_use]
    pub fn total_m(&self) -> f64 {
        self.static_lift_m + self.drawdown_m + self.friction_m + self.fittings_m + self.discharge_m
    }

    /// The mean of this head, against which a volume was lifted, and another with its own, cause by cause: the hydraulic
    /// energy `ρ g Σ H V` is that of the mean and the sum of the volumes.
    pub(super) fn mean(&self, volume_m3: f64, other: &Self, other_m3: f64) -> Self {
        let of = |this: f64, that: f64| mean(this, volume_m3, that, other_m3);
        Self {
            static_lift_m: of(self.static_lift_m, other.static_lift_m),
            drawdown_m: of(self.drawdown_m, other.drawdown_m),
            friction_m: of(self.friction_m, other.friction_m),
            fittings_m: of(self.fittings_m, other.fittings_m),
            discharge_m: of(self.discharge_m, other.discharge_m),
        }
    }
}

/// The mean of two values by weight; the one that has all the weight is kept as it is.
pub(super) fn mean(one: f64, weight: f64, other: f64, other_weight: f64) -> f64 {
    if other_weight <= 0.0 {
        one
    } else if weight <= 0.0 {
        other
    } else {
        (one * weight + other * other_weight) / (weight + other_weight)
    }
}

/// The head at a stated flow, in the detail that a report prints.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct HeadBuildUp {
    /// Month, 1 to 12.
    pub month: u8,
    /// The stated flow, m³/h.
    pub flow_m3_per_h: f64,
    /// Depth of the standing water below the wellhead, m.
    pub static_level_m: f64,
    /// Height of the tank's inlet above the wellhead, m.
    pub inlet_height_m: f64,
    /// Height above the wellhead to which the pump must lift ([`crate::pipe::Settings::rise_m`]), m.
    pub rise_m: f64,
    /// Standing water to there, m.
    pub static_lift_m: f64,
    /// Fall of the water in the well, m.
    pub drawdown_m: f64,
    /// Each run of pipe, in the water's order.
    pub runs: Vec<RunBuildUp>,
    /// Friction of all runs, m.
    pub friction_m: f64,
    /// Fittings of all runs, m.
    pub fittings_m: f64,
    /// Pressure kept at the discharge, m.
    pub discharge_pressure_m: f64,
    /// Velocity head lost where the pipe ends in the tank, m.
    pub exit_m: f64,
    /// Sum of both, m.
    pub discharge_m: f64,
    /// Total dynamic head, m.
    pub total_m: f64,
}

impl HeadBuildUp {
    /// The same against an hour's own head: a bore that was full when the pump started is not drawn down as far as the flow would
    /// draw it in the end, so the drawdown is what that head, m, leaves for it.
    #[must_use]
    pub(crate) fn at_head(mut self, head_m: f64) -> Self {
        self.drawdown_m += head_m - self.total_m;
        self.total_m = head_m;
        self
    }
}

/// One run of pipe at a stated flow.
#[derive(Debug, Clone, PartialEq)]
pub struct RunBuildUp {
    /// Name in the scheme.
    pub name: String,
    /// Length, m.
    pub length_m: f64,
    /// Inside diameter, m.
    pub bore_m: f64,
    /// Mean velocity, m/s.
    pub velocity_m_per_s: f64,
    /// Reynolds number.
    pub reynolds: f64,
    /// Friction, m.
    pub friction_m: f64,
    /// Fittings, m.
    pub fittings_m: f64,
}

/// The head of one month (1 to 12; others are taken as the nearest) at a stated flow.
///
/// # Errors
/// Every value of well and pipe out of its range.
pub fn head_build_up(settings: &Settings, month: u8, flow_m3_per_h: f64) -> Result<HeadBuildUp, Faults> {
    let faults = settings.well.faults();
    if !faults.is_empty() {
        return Err(faults.into());
    }
    let line = Line::new(&settings.pipe)?;
    let month = month.clamp(1, 12);
    let drawdown_m = settings.well.drawdown_m(flow_m3_per_h);
    let (head, split) = head_at(settings, &line, month, flow_m3_per_h, drawdown_m);
    let hole = settings.pipe.weep_hole.as_ref().map(|hole| hole.run);
    let mut runs: Vec<RunBuildUp> = settings
        .pipe
        .runs
        .iter()
        .zip(line.runs())
        .enumerate()
        .map(|(i, (run, law))| {
            let beyond = hole.is_some_and(|hole| i > hole);
            let flow = if beyond { split.delivered_m3_per_h } else { flow_m3_per_h };
            RunBuildUp {
                name: run.name.clone(),
                length_m: run.length_m,
                bore_m: run.bore_m,
                velocity_m_per_s: law.velocity_m_per_s(flow),
                reynolds: law.reynolds(flow),
                friction_m: law.friction_m(flow),
                fittings_m: law.fittings_m(flow),
            }
        })
        .collect();
    if let Some(hole) = hole {
        // Above the hole its run carries less: what the others leave of the sum is its own.
        let others: f64 =
            runs.iter().enumerate().filter(|(i, _)| *i != hole).map(|(_, r)| r.friction_m).sum();
        if let Some(run) = runs.get_mut(hole) {
            run.friction_m = head.friction_m - others;
        }
    }
    Ok(HeadBuildUp {
        month,
        flow_m3_per_h,
        static_level_m: settings.well.static_level_m[usize::from(month) - 1],
        inlet_height_m: settings.pipe.inlet_height_m,
        rise_m: settings.pipe.rise_m(),
        static_lift_m: head.static_lift_m,
        drawdown_m: head.drawdown_m,
        exit_m: runs.last().map_or(0.0, |r| fittings_loss_m(1.0, r.velocity_m_per_s)),
        runs,
        friction_m: head.friction_m,
        fittings_m: head.fittings_m,
        discharge_pressure_m: settings.pipe.discharge_pressure_m,
        discharge_m: head.discharge_m,
        total_m: head.total_m(),
    })
}

/// The head of one month, 1 to 12, at a flow and a drawdown, and where the water goes.
pub(super) fn head_at(
    settings: &Settings,
    line: &Line,
    month: u8,
    flow_m3_per_h: f64,
    drawdown_m: f64,
) -> (Head, Split) {
    let level_m = settings.well.static_level_m[usize::from(month.clamp(1, 12)) - 1];
    let (losses, split) = line.losses_with_weep(flow_m3_per_h, level_m + drawdown_m);
    let head = Head {
        static_lift_m: level_m + settings.pipe.rise_m(),
        drawdown_m,
        friction_m: losses.friction_m,
        fittings_m: losses.fittings_m,
        discharge_m: losses.discharge_m,
    };
    (head, split)
}
