//! The flow that each open hydrant gets.

use super::booster::Booster;
use super::network::Network;
use super::pressure_tank::{PressureTank, WATER_PA_PER_M, cycle};
use crate::root::falling_root;

/// Booster and pressure tank, as they stand in the air of a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Lift {
    /// The booster.
    pub booster: Booster,
    /// The pressure tank; `None` where the pump runs as long as any valve is open.
    pub tank: Option<PressureTank>,
    /// Pressure of the air, Pa.
    pub air_pa: f64,
}

/// How the water gets to the hydrants while some of them are open.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Point {
    /// Flow at each hydrant, m³/h.
    pub flows_m3_per_h: Vec<f64>,
    /// Head at the start of the pipes, above the tank's outlet, m.
    pub head_m: f64,
    /// Power of the booster while it runs, W.
    pub pump_w: f64,
    /// Share of the time that it runs, 0 to 1.
    pub duty: f64,
    /// Starts an hour at the pressure tank; 0 where it runs on.
    pub starts_per_h: f64,
    /// Length of each run at the pressure tank, h; infinite where it runs on.
    pub run_h: f64,
}

/// The point at which booster, pipes and open hydrants meet.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | P | head at the start of the pipes, above the tank's outlet | m | |
/// | Q_b(P), Q_s(P) | flow of the booster; of all open hydrants | m³/h | ≥ 0 |
/// | P₂, P₃ | cut-in and cut-out | m | |
///
/// # Equation
/// - without a booster `P = 0`;
/// - with a booster and no pressure tank `Q_b(P) = Q_s(P)`; where `Q_b > Q_s` at the highest head of its table, that head;
/// - with a pressure tank likewise, unless that lies above P₃: then the pump cycles, the flows are those at P₂, and the
///   pump's flow and power are those at `(P₂ + P₃)/2`; it runs the share `Q_s(P₂)/Q_b` of the time, see [`cycle`].
///
/// # Validity
/// That of [`Network`] and [`Booster`]. Flows at the cut-in are the least of the cycle (conservative). What the pressure
/// tank holds when the pump stops for want of power is not counted.
///
/// # Example
/// ```
/// use dryspell::delivery::{Booster, BoosterRow, Lift, Network, operate};
/// use dryspell::pipe::{FrictionLaw, Run};
/// let run = Run { name: "hose".into(), length_m: 100.0, bore_m: 0.026, roughness_m: 1.5e-6, ..Run::default() };
/// let runs = [run];
/// // 10 m up. A booster that gives 1.8 m³/h at any head up to 30 m: 4.45 m of friction (and a little at the end).
/// let row = |head_m| BoosterRow { flow_m3_per_h: 1.8, head_m, current_a: 20.0 };
/// let booster = Booster::new(&[row(10.0), row(30.0)], 24.0).map_err(|f| f[0].to_string())?;
/// let net = Network::new(&[], &[(&runs, 10.0, 0.0)], FrictionLaw::DarcyWeisbach, 15.0).map_err(|f| f[0].to_string())?;
/// let point = operate(&net, Some(&Lift { booster, tank: None, air_pa: 101_325.0 }), &[true]);
/// assert!((point.head_m - 14.49).abs() < 0.02 && (point.flows_m3_per_h[0] - 1.8).abs() < 1e-6);
/// # Ok::<(), String>(())
/// ```
///
/// # References
/// Those of [`Network`] and [`cycle`].
#[must_use]
pub fn operate(network: &Network, lift: Option<&Lift>, open: &[bool]) -> Point {
    if !network.has_others() {
        return operate_line(network, lift, open);
    }
    let mut point = operate_line(network, lift, &network.open_of(open, false));
    for (flow, other) in point.flows_m3_per_h.iter_mut().zip(network.others_m3_per_h(open)) {
        *flow += other;
    }
    point
}

/// The same for the hydrants of the line that the booster feeds.
fn operate_line(network: &Network, lift: Option<&Lift>, open: &[bool]) -> Point {
    let flows = |head_m: f64| network.flows_m3_per_h(head_m, open);
    let still = Point { flows_m3_per_h: vec![0.0; open.len()], run_h: f64::INFINITY, ..Point::default() };
    let Some(lift) = lift else {
        return Point { flows_m3_per_h: flows(0.0), ..still };
    };
    let booster = &lift.booster;
    let lowest = network.lowest_m(open);
    let highest = booster.highest_head_m();
    if lowest >= highest {
        return still;
    }
    let taken = |head_m: f64| flows(head_m).iter().sum::<f64>();
    let ahead = |head_m: f64| booster.flow_m3_per_h(head_m) - taken(head_m);
    let running = |head_m: f64| Point {
        flows_m3_per_h: flows(head_m),
        head_m,
        pump_w: booster.power_w(head_m),
        duty: 1.0,
        ..still.clone()
    };
    let (cut_in, cut_out) = match &lift.tank {
        Some(tank) => (tank.cut_in_pa / WATER_PA_PER_M, tank.cut_out_pa / WATER_PA_PER_M),
        None => (f64::INFINITY, f64::INFINITY),
    };
    if let Some(tank) = &lift.tank
        && cut_out <= highest
        && (lowest >= cut_out || ahead(cut_out) > 0.0)
    {
        let middle = 0.5 * (cut_in + cut_out);
        let (at_cut_in, pump) = (flows(cut_in), booster.flow_m3_per_h(middle));
        let drawn: f64 = at_cut_in.iter().sum();
        // Nothing reaches hydrants above the cut-in: the switch holds the pump back.
        let Some(cycle) = cycle(tank.drawdown_m3(lift.air_pa), pump, drawn) else { return still };
        return Point {
            flows_m3_per_h: at_cut_in,
            head_m: cut_in,
            pump_w: booster.power_w(middle),
            duty: drawn / pump,
            starts_per_h: 1.0 / (cycle.on_h + cycle.off_h),
            run_h: cycle.on_h,
        };
    }
    running(falling_root(ahead, lowest, highest, 1e-9))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::delivery::booster::BoosterRow;
    use crate::pipe::{FrictionLaw, Run};

    fn booster() -> Booster {
        let row = |flow_m3_per_h, head_m, current_a| BoosterRow { flow_m3_per_h, head_m, current_a };
        Booster::new(&[row(1.2, 5.0, 5.0), row(0.9, 20.0, 7.0), row(0.5, 40.0, 9.0)], 24.0).unwrap()
    }

    fn network(bore_m: f64, height_m: f64) -> Network {
        let run = Run { name: "hose".into(), length_m: 200.0, bore_m, roughness_m: 1.5e-6, ..Run::default() };
        Network::new(&[], &[(&[run][..], height_m, 2.0)], FrictionLaw::DarcyWeisbach, 10.0).unwrap()
    }

    fn lift(tank: bool) -> Lift {
        let psi = 6_894.757_293;
        let tank = tank.then_some(PressureTank {
            volume_m3: 0.08,
            precharge_pa: 18.0 * psi,
            cut_in_pa: 20.0 * psi,
            cut_out_pa: 40.0 * psi,
        });
        Lift { booster: booster(), tank, air_pa: 101_325.0 }
    }

    #[test]
    fn a_thin_pipe_makes_it_cycle_and_a_wide_one_lets_it_run_on() {
        // 20 and 40 psi are 14.06 and 28.12 m.
        let thin = operate(&network(0.0131, 5.0), Some(&lift(true)), &[true]);
        assert!((thin.head_m - 14.06).abs() < 0.01 && thin.duty < 1.0 && thin.starts_per_h > 0.0);
        let (q, pump) = (thin.flows_m3_per_h[0], booster().flow_m3_per_h(21.09));
        assert!((thin.duty - q / pump).abs() < 1e-3);
        // 0.08 m³ · (225.4 kPa/239.2 kPa − 225.4/377.1), in one cycle.
        let drawdown = 0.08 * (225.43 / 239.22 - 225.43 / 377.12);
        assert!((thin.run_h - drawdown / (pump - q)).abs() < 1e-3 * thin.run_h);
        assert!((1.0 / thin.starts_per_h * q - drawdown * (1.0 + q / (pump - q))).abs() < 1e-5);
        let wide = operate(&network(0.040, 5.0), Some(&lift(true)), &[true]);
        assert!(wide.duty >= 1.0 && wide.head_m < 14.06 && wide.run_h.is_infinite());
        assert!((wide.flows_m3_per_h[0] - booster().flow_m3_per_h(wide.head_m)).abs() < 1e-6);
    }

    #[test]
    fn what_lies_too_high_gets_nothing() {
        for tank in [false, true] {
            let high = operate(&network(0.026, 45.0), Some(&lift(tank)), &[true]);
            assert!(high.flows_m3_per_h[0] <= 0.0 && high.pump_w <= 0.0);
        }
        // Within the pump's reach, but above what the switch lets it reach.
        let between = operate(&network(0.026, 30.0), Some(&lift(true)), &[true]);
        assert!(between.flows_m3_per_h[0] <= 0.0);
        assert!(operate(&network(0.026, 30.0), Some(&lift(false)), &[true]).flows_m3_per_h[0] > 0.4);
        assert!(operate(&network(0.026, 1.0), None, &[true]).flows_m3_per_h[0] <= 0.0);
        assert!(operate(&network(0.026, -4.0), None, &[true]).flows_m3_per_h[0] > 0.5);
    }

    #[test]
    fn at_the_tables_end_the_pipes_take_what_they_take() {
        // 36 m up with a very thin pipe: at 40 m it takes less than the 0.5 m³/h that the pump would give there.
        let point = operate(&network(0.0131, 36.0), Some(&lift(false)), &[true]);
        assert!((point.head_m - 40.0).abs() < 1e-9 && point.flows_m3_per_h[0] < 0.5);
        assert!((point.pump_w - 216.0).abs() < 1e-9);
    }
}
