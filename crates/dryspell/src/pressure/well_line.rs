//! The pipes from the pump to the tank.

use super::{Lowest, PipePressure};
use crate::pipe;
use crate::supply::{HeadBuildUp, Settings};

/// What the pump does to the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineHeads {
    /// The greatest total dynamic head while water flows, m.
    pub at_pump_m: f64,
    /// The highest head of the pump's data, m: its shut-off head, or the least that it is; `None` where not known.
    pub shut_off_m: Option<f64>,
}

/// Heads in each run from the pump to the tank.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | d | depth of the run's lower end below the wellhead ([`lower_ends_m`]) | m | ≥ 0 |
/// | w | depth of the standing water: deepest month, shallowest month | m | ≥ 0 |
/// | z⁺ | rise of the tank's inlet above the wellhead, 0 where it lies lower | m | ≥ 0 |
/// | f | fall from the wellhead to the tank of a run that reaches beyond the wellhead ([`fall_m`]) | m | ≥ 0 |
/// | p | pressure kept at the discharge | m | ≥ 0 |
/// | H | greatest total dynamic head at the pump while water flows | m | |
/// | H₀ | the pump's shut-off head, or the highest of its data | m | |
///
/// # Equation
/// - static: the greater of `min(d, w_deepest) + z⁺` and `f`, with p;
/// - working, first run: `H`; the others: the lesser of `H` and `d + z⁺ + p +` what the run and those behind it lose at the
///   record's highest flow;
/// - against a shut valve in this run or a later one: the greater of `H₀ − max(0, w_shallowest − d)` and, where it falls,
///   `H₀ − w_shallowest + f`.
///
/// # Validity
/// All from one datum: the run's lower end, the pump's setting deciding where that is. In the well the water outside presses
/// back up to its level; while water flows that is counted for the first run alone, so that the others err high, on the
/// safe side, by no more than the depth of their end under water. Of a run that falls to the tank the working head is that
/// at the wellhead, its greatest. A positive-displacement pump against a shut valve goes above the highest head of its data
/// until its motor stalls or something bursts.
///
/// # Example
/// In `worksheet` and `tests/physics/pressures.rs`, by hand.
///
/// # References
/// Hydrostatics, and the steady energy line of Masters (2004), section 9.6 ([`crate::supply::Head`]).
#[must_use]
pub fn well_line(settings: &Settings, highest: &HeadBuildUp, heads: LineHeads) -> Vec<PipePressure> {
    let pipe = &settings.pipe;
    let levels = &settings.well.static_level_m;
    let deepest = levels.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let shallowest = levels.iter().copied().fold(f64::INFINITY, f64::min);
    let lengths: Vec<f64> = pipe.runs.iter().map(|run| run.length_m).collect();
    // A pump of unknown setting hangs at least in the water that it draws down.
    let pump_m = settings.well.pump_setting_m.unwrap_or(deepest + highest.drawdown_m);
    let last_valve = pipe.runs.iter().rposition(|run| run.can_be_shut);
    let pressure = |(at, (run, depth)): (usize, (&pipe::Run, f64))| {
        let fall = fall_m(depth, run.length_m, pipe.inlet_height_m);
        let lost: f64 = highest.runs.iter().skip(at).map(|run| run.friction_m + run.fittings_m).sum();
        let before = depth + highest.rise_m + lost + highest.discharge_m;
        PipePressure {
            key: format!("pipe.{}", run.name),
            name: run.name.clone(),
            lowest: match depth {
                depth if depth > 0.0 && depth.min(deepest) >= fall => Lowest::InWell,
                _ if fall > 0.0 => Lowest::Tank,
                _ => Lowest::Wellhead,
            },
            lower_end_m: depth,
            static_m: static_head_m(depth.min(deepest), fall, pipe.inlet_height_m)
                + pipe.discharge_pressure_m,
            working_m: Some(if at == 0 { heads.at_pump_m } else { before.min(heads.at_pump_m) }),
            shut_off_m: last_valve.filter(|valve| at <= *valve).and(heads.shut_off_m).map(|head| {
                let in_well = head - (shallowest - depth).max(0.0);
                if fall > 0.0 { in_well.max(head - shallowest + fall) } else { in_well }
            }),
            class_m: run.pressure_class_m,
        }
    };
    pipe.runs.iter().zip(lower_ends_m(pump_m, &lengths)).enumerate().map(pressure).collect()
}

/// Depth of the lower end of each run of pipe below the wellhead, m.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | D | depth of the pump below the wellhead | m | ≥ 0 |
/// | L | length of a run | m | ≥ 0 |
///
/// # Equation
/// `d_k = max(0, D − Σ_{j<k} L_j)`: the pipe rises straight up the well; what is left of it begins at the wellhead.
///
/// # Validity
/// Runs from the pump to the tank. Ground between wellhead and tank that lies lower than the wellhead is not known: a dip
/// adds its depth to the pressure there.
///
/// # Example
/// A pump at 23 m on 32 m of drop pipe: the buried pipe begins at the wellhead.
/// ```
/// assert_eq!(dryspell::pressure::lower_ends_m(23.0, &[32.0, 140.0]), [23.0, 0.0]);
/// ```
///
/// # References
/// Geometry.
#[must_use]
pub fn lower_ends_m(pump_m: f64, lengths_m: &[f64]) -> Vec<f64> {
    lengths_m
        .iter()
        .scan(pump_m, |left, length| {
            let lower = left.max(0.0);
            *left -= length;
            Some(lower)
        })
        .collect()
}

/// How far a run falls from the wellhead towards the tank, m.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | d | `depth_m`: depth of the run's lower end below the wellhead | m | ≥ 0 |
/// | L | `length_m`: its length | m | ≥ 0 |
/// | z | `inlet_height_m`: rise of the tank's inlet above the wellhead | m | |
///
/// # Equation
/// `max(−z, 0)`; of a run that begins in the well no more than the pipe beyond the wellhead, `L − d`, can fall.
///
/// # Validity
/// As [`lower_ends_m`].
///
/// # Example
/// ```
/// use dryspell::pressure::fall_m;
/// assert_eq!(fall_m(0.0, 140.0, -60.0), 60.0);
/// assert_eq!(fall_m(2.0, 140.0, -60.0), 60.0);
/// assert_eq!(fall_m(25.0, 26.0, -60.0), 1.0);
/// ```
///
/// # References
/// Geometry.
#[must_use]
pub fn fall_m(depth_m: f64, length_m: f64, inlet_height_m: f64) -> f64 {
    let fall = (-inlet_height_m).max(0.0);
    if depth_m > 0.0 { fall.min((length_m - depth_m).max(0.0)) } else { fall }
}

/// Static head at the deepest point of a run that begins `depth_m` below the wellhead and falls `fall_m` beyond it, m of
/// water.
///
/// # Equation
/// The greater of `d + max(z_i, 0)`, in the well, and the fall, at the tank.
///
/// # Validity
/// The line stands full: closed at the tank where that lies lower. In the well `d` is no more than the depth of the standing
/// water, since below it the well presses from outside as much as the column grows inside.
///
/// # Example
/// ```
/// use dryspell::pressure::static_head_m;
/// assert_eq!(static_head_m(23.0, 0.0, 6.0), 29.0);
/// assert_eq!(static_head_m(0.0, 12.0, -12.0), 12.0);
/// assert_eq!(static_head_m(2.0, 60.0, -60.0), 60.0);
/// ```
///
/// # References
/// Hydrostatics.
#[must_use]
pub fn static_head_m(depth_m: f64, fall_m: f64, inlet_height_m: f64) -> f64 {
    (depth_m + inlet_height_m.max(0.0)).max(fall_m)
}
