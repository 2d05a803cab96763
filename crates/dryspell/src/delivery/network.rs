//! Pipes from the tank to the hydrants.

use crate::fault::Faults;
use crate::pipe::{self, FrictionLaw, Line, Run};
use crate::root::falling_root;

/// One pipe that all hydrants share, and one to each; hydrants at other tanks have a shared pipe of their own, in which the water
/// runs down.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | P | head at the start of the shared pipe, above the tank's outlet | m | any |
/// | h | head where it branches | m | |
/// | z_i, p_i | height of hydrant i above the tank's outlet, pressure its valve keeps | m | any, ≥ 0 |
/// | q_i | flow at hydrant i | m³/h | ≥ 0 |
///
/// # Equation
/// `h = P − loss_shared(Σ q_i)`, `loss_i(q_i) = h − z_i − p_i`, `q_i = 0` where that is not above 0. Losses are those of
/// [`pipe::RunLaw`], with the velocity head lost at each hydrant. There is one solution: all losses rise with flow.
///
/// # Validity
/// Full pipes at steady flow; valves fully open until the trough is full; nothing flows back. The tank stands at its
/// outlet: what stands above it helps and is not counted.
///
/// # References
/// H. Cross, *Analysis of Flow in Networks of Conduits or Conductors*, University of Illinois Bulletin 286 (1936), for
/// the two conditions; this tree needs no loops.
#[derive(Debug, Clone, PartialEq)]
pub struct Network {
    shared: Line,
    branches: Vec<Branch>,
    /// Pipes shared by the hydrants at each of the other tanks.
    others: Vec<Line>,
}

#[derive(Debug, Clone, PartialEq)]
struct Branch {
    line: Line,
    needs_m: f64,
    /// Which of the other lines it hangs on; `None` for the first.
    other: Option<usize>,
}

impl Network {
    /// Makes the pipes ready. `hydrants` are pipes, height above the tank's outlet and pressure kept.
    ///
    /// # Errors
    /// Every value of a pipe out of its range.
    pub fn new(
        shared: &[Run],
        hydrants: &[(&[Run], f64, f64)],
        friction: FrictionLaw,
        water_degc: f64,
    ) -> Result<Self, Faults> {
        let line = |runs: &[Run]| {
            Line::new(&pipe::Settings {
                runs: runs.to_vec(),
                water_degc,
                friction,
                ..pipe::Settings::default()
            })
        };
        let shared = line(shared)?;
        let branches = hydrants
            .iter()
            .map(|(runs, height_m, pressure_m)| {
                Ok(Branch { line: line(runs)?, needs_m: height_m + pressure_m, other: None })
            })
            .collect::<Result<_, Faults>>()?;
        Ok(Self { shared, branches, others: Vec::new() })
    }

    /// The same with some hydrants at other tanks: for each hydrant the number of its line among `others`.
    ///
    /// # Errors
    /// Every value of a pipe out of its range.
    pub(crate) fn with_others(
        self,
        others: &[&[Run]],
        line_of: &[Option<usize>],
        friction: FrictionLaw,
        water_degc: f64,
    ) -> Result<Self, Faults> {
        let line = |runs: &&[Run]| {
            let runs = runs.to_vec();
            Line::new(&pipe::Settings { runs, water_degc, friction, ..pipe::Settings::default() })
        };
        let others = others.iter().map(line).collect::<Result<_, Faults>>()?;
        let branches = self.branches.into_iter().zip(line_of);
        let branches = branches.map(|(branch, other)| Branch { other: *other, ..branch }).collect();
        Ok(Self { others, branches, ..self })
    }

    /// Whether any hydrant is at another tank.
    pub(crate) fn has_others(&self) -> bool {
        self.branches.iter().any(|branch| branch.other.is_some())
    }

    /// Those of the open hydrants that hang on the first line, or on the others.
    pub(crate) fn open_of(&self, open: &[bool], others: bool) -> Vec<bool> {
        open.iter().zip(&self.branches).map(|(open, b)| *open && b.other.is_some() == others).collect()
    }

    /// Flow at each hydrant at another tank, m³/h, those that are not open at 0.
    pub(crate) fn others_m3_per_h(&self, open: &[bool]) -> Vec<f64> {
        let mut all = vec![0.0; self.branches.len()];
        for (number, shared) in self.others.iter().enumerate() {
            let open: Vec<bool> =
                open.iter().zip(&self.branches).map(|(o, b)| *o && b.other == Some(number)).collect();
            let flows = self.flows_behind(shared, 0.0, &open);
            all.iter_mut().zip(flows).for_each(|(sum, flow)| *sum += flow);
        }
        all
    }

    /// Flow at each hydrant, m³/h, those that are not open at 0.
    ///
    /// # Example
    /// ```
    /// use dryspell::delivery::Network;
    /// use dryspell::pipe::{FrictionLaw, Run};
    /// let run = Run { name: "hose".into(), length_m: 100.0, bore_m: 0.026, roughness_m: 1.5e-6, ..Run::default() };
    /// let runs = [run];
    /// let net = Network::new(&[], &[(&runs, -4.5, 0.0)], FrictionLaw::DarcyWeisbach, 15.0)
    ///     .map_err(|faults| faults[0].to_string())?;
    /// // Half a litre a second loses 4.45 m in 100 m of this pipe.
    /// let q = net.flows_m3_per_h(0.0, &[true])[0] / 3.6;
    /// assert!((q - 0.5).abs() < 0.005);
    /// # Ok::<(), String>(())
    /// ```
    #[must_use]
    pub fn flows_m3_per_h(&self, start_m: f64, open: &[bool]) -> Vec<f64> {
        self.flows_behind(&self.shared, start_m, open)
    }

    fn flows_behind(&self, shared: &Line, start_m: f64, open: &[bool]) -> Vec<f64> {
        let flows = |h: f64| -> Vec<f64> {
            let at = |(branch, open): (&Branch, &bool)| {
                if *open { branch.line.flow_m3_per_h(h - branch.needs_m) } else { 0.0 }
            };
            self.branches.iter().zip(open).map(at).collect()
        };
        let lowest = self.lowest_m(open);
        if lowest >= start_m {
            return vec![0.0; self.branches.len()];
        }
        let left = |h: f64| start_m - shared_loss_m(shared, flows(h).iter().sum()) - h;
        flows(falling_root(left, lowest, start_m, 1e-9))
    }

    /// The least head at which any of the open hydrants flows, m.
    #[must_use]
    pub fn lowest_m(&self, open: &[bool]) -> f64 {
        let needs = self.branches.iter().zip(open).filter(|(_, o)| **o).map(|(b, _)| b.needs_m);
        needs.fold(f64::INFINITY, f64::min)
    }
}

/// Head lost in a shared pipe, whose end is no outlet.
fn shared_loss_m(shared: &Line, flow_m3_per_h: f64) -> f64 {
    let loss = |run: &pipe::RunLaw| run.friction_m(flow_m3_per_h) + run.fittings_m(flow_m3_per_h);
    shared.runs().iter().map(loss).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn run(length_m: f64, bore_m: f64) -> Vec<Run> {
        vec![Run {
            name: "r".into(),
            length_m,
            bore_m,
            roughness_m: 1.5e-6,
            fittings_k: 2.0,
            ..Run::default()
        }]
    }

    proptest! {
        #[test]
        fn heads_add_up_and_an_open_neighbour_never_helps(
            shared_m in 1.0_f64..500.0,
            a_m in 1.0_f64..500.0,
            b_m in 1.0_f64..500.0,
            z_a in -10.0_f64..10.0,
            z_b in -10.0_f64..10.0,
            start in 0.0_f64..40.0,
            more in 0.1_f64..10.0,
        ) {
            let (shared, a, b) = (run(shared_m, 0.0326), run(a_m, 0.026), run(b_m, 0.0204));
            let net = Network::new(&shared, &[(&a, z_a, 0.0), (&b, z_b, 1.0)], FrictionLaw::DarcyWeisbach, 10.0).unwrap();
            let both = net.flows_m3_per_h(start, &[true, true]);
            let alone = [net.flows_m3_per_h(start, &[true, false])[0], net.flows_m3_per_h(start, &[false, true])[1]];
            let needs = [z_a, z_b + 1.0];
            for i in 0..2 {
                prop_assert!(both[i] <= alone[i] + 1e-6);
                if both[i] > 1e-6 {
                    let branch = net.branches[i].line.losses(both[i]).total_m();
                    let loss = shared_loss_m(&net.shared, both[0] + both[1]) + branch;
                    prop_assert!((start - needs[i] - loss).abs() < 1e-5, "{start} {} {loss}", needs[i]);
                }
            }
            let higher = net.flows_m3_per_h(start + more, &[true, true]);
            prop_assert!(higher[0] + 1e-6 >= both[0] && higher[1] + 1e-6 >= both[1]);
        }
    }
}
