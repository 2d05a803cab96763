//! Why a scheme goes short, or where it comes nearest to it: the spell that tries it most, and what held the flow back in it.
//!
//! Each file has one part of the answer.

mod limits;
mod spell;

pub use limits::{HeldBack, HeldBy};
pub use spell::{Spell, Window, spell, window};

use crate::curve::SteadySun;
use crate::fault::Faults;
use crate::simulate::Run;

/// Share of the flow at full input at which the pump counts as running at full flow.
const FULL: f64 = 0.98;
/// Temperature of the cells at which modules are rated, °C: for the thresholds where no hour is lit.
const RATED_DEGC: f64 = 25.0;

/// What held the flow back in the spell that tries the scheme most.
#[derive(Debug, Clone, PartialEq)]
pub struct Why {
    /// The spell with most water short; `None` where none is short.
    pub spell: Option<Spell>,
    /// The hours over which the flow is judged.
    pub window: Window,
    /// Demand of the stock in them, m³.
    pub demand_m3: f64,
    /// What the first well's pump brought into its tank in them, m³.
    pub pumped_m3: f64,
    /// Hours of them in which the panels had light.
    pub lit_hours: usize,
    /// Flow with all the power that the pump can take, at the water level of the deepest hour's month and with the well as it is,
    /// m³/h.
    pub full_flow_m3_per_h: f64,
    /// Mean temperature of the cells in the lit hours, °C, for the two thresholds.
    pub cell_degc: f64,
    /// Irradiance on the panels' plane from which water flows, W/m²; `None` where none up to 1500 W/m² does.
    pub starts_at_w_per_m2: Option<f64>,
    /// Irradiance from which the pump has at least 98 % of that flow, W/m²; `None` where none up to 1500 W/m² does.
    pub full_from_w_per_m2: Option<f64>,
    /// What held the flow back, most first; night last.
    pub held_back: Vec<HeldBack>,
}

impl Why {
    /// What the pump would have given in the lit hours with all the power that it can take, m³.
    #[must_use]
    pub fn at_full_input_m3(&self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "hours of a record")]
        let lit_h = self.lit_hours as f64;
        self.full_flow_m3_per_h * lit_h
    }
}

/// Why a run goes short, or where it comes nearest to it; `None` where no pump lifts, or no hour lies between a full tank and its
/// lowest.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | Qf | flow with all the power that the pump can take, the well not holding it back | m³/h | > 0 |
/// | Qw | the same with the well as it is | m³/h | ≤ Qf |
/// | Qh | flow into the tank in hour h | m³/h | ≥ 0 |
/// | Lh | what is missing in hour h | m³ | ≥ 0 |
///
/// # Equation
/// `Lh = max(Qf − Qh, 0) · 1 h` for each hour after the last at which the tank was full, up to its lowest level in the spell
/// with most water short ([`window`]). Of each hour with light `Qf − Qw` goes to the well, whatever the sun. The rest goes to
/// what the water or the sun meets first: frost in the pipe, snow on the panels, sun below what starts the pump, a well at its
/// cut-out; of an hour with flow the float takes what it refused, the weep hole with the riser its loss, the well what it held
/// back, and the head, or else too little sun, what is left. Hours without light are night.
///
/// # Validity
/// Of several wells the first. Hours are means: what broken cloud does within them is not seen.
///
/// # Errors
/// What keeps the scheme from running.
///
/// # Example
/// Columns of one's own have no pump behind them that could give more.
/// ```
/// # use dryspell::{calendar::{Calendar, Day}, plan::Plan, record::Record, simulate::simulate, tank};
/// # let calendar = Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 10);
/// # let plan = Plan::of_columns(vec![0.02; 240], vec![0.05; 240], tank::Settings::open("main", 4.0));
/// let run = simulate(&plan, &Record::without_weather(calendar))?;
/// assert!(dryspell::why::why(&run)?.is_none());
/// // 0.48 m³ a day comes and 1.2 m³ is needed: of the 4 m³ in the tank 0.4 are left for the sixth day.
/// let spell = dryspell::why::spell(&run).expect("it runs dry");
/// assert_eq!((spell.first_day, spell.days), (5, 5));
/// assert!((spell.short_m3 - (0.32 + 4.0 * 0.72)).abs() < 1e-4);
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
///
/// # References
/// The definition is this project's.
pub fn why(run: &Run) -> Result<Option<Why>, Faults> {
    let Some((spell, window)) = window(run) else { return Ok(None) };
    // A column of one's own has no pump behind it that could give more.
    if run.plan.columns.available_m3.is_some() {
        return Ok(None);
    }
    let sun = SteadySun::new(&run.plan)?;
    let lit: Vec<usize> = window.hours(run).filter(|h| limits::is_lit(run, *h)).collect();
    let array = run.array.each.first();
    let cells: Vec<f64> = lit.iter().filter_map(|h| array?.cell_degc.get(*h).copied()).collect();
    #[expect(clippy::cast_precision_loss, reason = "hours of a record")]
    let cell_degc =
        if cells.is_empty() { RATED_DEGC } else { cells.iter().sum::<f64>() / cells.len() as f64 };
    let month = run.calendar.day_of(window.deepest).month;
    let full_flow_m3_per_h = sun.at_full_input(month).flow_m3_per_h;
    Ok(Some(Why {
        spell,
        window,
        demand_m3: window.hours(run).map(|h| run.demand_m3[h]).sum(),
        pumped_m3: window.hours(run).map(|h| limits::pumped_m3(run, h)).sum(),
        lit_hours: lit.len(),
        full_flow_m3_per_h,
        cell_degc,
        starts_at_w_per_m2: sun.reaches(month, cell_degc, |hour| hour.lifted_m3 > 0.0),
        full_from_w_per_m2: sun
            .reaches(month, cell_degc, |hour| hour.flow_m3_per_h >= FULL * full_flow_m3_per_h),
        held_back: limits::held_back(run, &sun, &window),
    }))
}
