//! The ledger on long random inflow against exactly known answers.
//!
//! Source of the laws: P. A. P. Moran, "A probability theory of dams and storage systems", Aust. J. Appl. Sci. 5
//! (1954); N. U. Prabhu, "On the integral equation for the finite dam", Q. J. Math. 9 (1958); both from memory. The
//! expected values below are computed exactly in this file by solving the stationary equations of the finite chain,
//! and those solutions are compared with values worked out independently (linear algebra in Python, and the closed
//! form of the lattice walk). Seeds were fixed before the first run.

use dryspell::draw::Carry;
use dryspell::tank::Settings;
use dryspell::tank::ledger::{Flows, Hour, Sink, State, Tanks, run};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{RngCore, SeedableRng};

/// Hours in one batch and number of batches: the spread of the batch means gives the standard error.
const BATCH_HOURS: usize = 240_000;
const BATCHES: usize = 250;

/// Random inflow, one value an hour.
trait Inflow {
    fn next(&mut self) -> f64;
}

fn uniform(rng: &mut ChaCha8Rng) -> f64 {
    (rng.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
}

/// Independent draws from a short list.
struct Independent {
    rng: ChaCha8Rng,
    values: Vec<f64>,
    probabilities: Vec<f64>,
}

impl Inflow for Independent {
    fn next(&mut self) -> f64 {
        let mut u = uniform(&mut self.rng);
        for (value, p) in self.values.iter().zip(&self.probabilities) {
            if u < *p {
                return *value;
            }
            u -= p;
        }
        *self.values.last().unwrap()
    }
}

/// Good and bad weather that tend to stay as they are.
struct Persistent {
    rng: ChaCha8Rng,
    good: bool,
    stay_good: f64,
    stay_bad: f64,
}

impl Inflow for Persistent {
    fn next(&mut self) -> f64 {
        let stays = uniform(&mut self.rng) < if self.good { self.stay_good } else { self.stay_bad };
        self.good = self.good == stays;
        if self.good { 5.0 } else { 1.0 }
    }
}

impl<const N: usize> Default for ShortHours<N> {
    fn default() -> Self {
        Self([0.0; N])
    }
}

struct ShortHours<const N: usize>([f64; N]);

impl<const N: usize> Sink<N> for ShortHours<N> {
    fn hour(&mut self, _: usize, hour: &Hour<N>) {
        for i in 0..N {
            self.0[i] += f64::from(u8::from(hour.short_m3[i] > 0.0));
        }
    }
}

/// Mean and standard error of the share of short periods and of the share of the draw unmet, by tank.
fn simulate<const N: usize>(
    inflow: &mut dyn Inflow,
    demand: f64,
    capacities: [f64; N],
) -> [[(f64, f64); 2]; N] {
    let settings = capacities.map(|c| Settings { carry: Carry::None, ..Settings::open("t", c) });
    let tanks = Tanks::new(std::array::from_fn(|i| &settings[i]));
    let mut state: State<N> = tanks.full();
    let mut shares = vec![[[0.0; 2]; N]; BATCHES];
    for batch in &mut shares {
        let available: Vec<f64> = (0..BATCH_HOURS).map(|_| inflow.next()).collect();
        let flows = Flows::lossless(&available, &vec![demand; BATCH_HOURS]);
        let mut hours = ShortHours::default();
        let totals = run(&tanks, &flows, 0..BATCH_HOURS, &mut state, &mut hours);
        *batch = std::array::from_fn(|i| {
            [hours.0[i] / BATCH_HOURS as f64, totals.short_m3[i] / totals.requested_m3[i]]
        });
    }
    std::array::from_fn(|i| {
        std::array::from_fn(|k| {
            let n = BATCHES as f64;
            let mean = shares.iter().map(|b| b[i][k]).sum::<f64>() / n;
            let variance =
                shares.iter().map(|b| (b[i][k] - mean) * (b[i][k] - mean)).sum::<f64>() / (n - 1.0);
            (mean, (variance / n).sqrt())
        })
    })
}

fn assert_close(what: &str, (mean, error): (f64, f64), exact: f64) {
    assert!(error <= 0.02 * exact, "{what}: standard error {error} is above 2 % of {exact}");
    assert!((mean - exact).abs() <= 3.0 * error, "{what}: {mean} ± {error}, exact {exact}");
}

#[test]
fn independent_inflow_meets_the_moran_dam() {
    // Tanks of 1, 2, 3 and 5 days; period share short and unmet share for two sets of probabilities.
    let cases = [
        (
            [0.2, 0.3, 0.3, 0.2],
            [0.235, 0.149_217_00, 0.109_034_89, 0.070_902_99],
            [0.135, 0.085_682_33, 0.062_673_50, 0.040_770_66],
        ),
        (
            [0.1, 0.3, 0.3, 0.3],
            [0.106_585_37, 0.036_355_79, 0.013_623_18, 0.002_078_33],
            [0.052_073_17, 0.017_886_91, 0.006_723_84, 0.001_026_79],
        ),
    ];
    for (seed, (probabilities, short, unmet)) in (11..).zip(cases) {
        let mut inflow = Independent {
            rng: ChaCha8Rng::seed_from_u64(seed),
            values: vec![0.0, 2.0, 4.0, 6.0],
            probabilities: probabilities.to_vec(),
        };
        let found = simulate(&mut inflow, 3.0, [3.0, 6.0, 9.0, 15.0]);
        for i in 0..4 {
            assert_close(&format!("{probabilities:?} tank {i} periods"), found[i][0], short[i]);
            assert_close(&format!("{probabilities:?} tank {i} volume"), found[i][1], unmet[i]);
        }
    }
}

#[test]
fn a_lattice_walk_meets_its_closed_form() {
    // +1 with probability p, -1 otherwise: shortfall per step (1-p)·π0, π0 = (1-r)/(1-r^(K+1)), r = p/(1-p).
    for (seed, p, k, printed) in [(21, 0.6, 5, 0.019_248_12), (22, 0.7, 5, 0.002_494_01)] {
        let r: f64 = p / (1.0 - p);
        let exact = (1.0 - p) * (1.0 - r) / (1.0 - libm::pow(r, f64::from(k + 1)));
        assert!((exact - printed).abs() < 1e-8);
        let mut inflow = Independent {
            rng: ChaCha8Rng::seed_from_u64(seed),
            values: vec![2.0, 0.0],
            probabilities: vec![p, 1.0 - p],
        };
        let found = simulate(&mut inflow, 1.0, [f64::from(k)]);
        assert_close(&format!("p {p}"), found[0][1], exact);
    }
    // The even walk: π0 = 1/(K+1).
    let mut inflow = Independent {
        rng: ChaCha8Rng::seed_from_u64(23),
        values: vec![2.0, 0.0],
        probabilities: vec![0.5, 0.5],
    };
    assert_close("p 0.5", simulate(&mut inflow, 1.0, [5.0])[0][1], 0.5 / 6.0);
}

#[test]
fn weather_that_lasts_makes_more_dry_days_by_the_known_factor() {
    let cases = [
        (0.6, 0.4, [0.16, 0.084_210_53, 0.049_230_77, 0.019_248_12]),
        (0.7, 0.55, [0.22, 0.139_884_39, 0.095_583_48, 0.049_885_32]),
        (0.8, 0.7, [0.28, 0.208_510_64, 0.161_411_76, 0.103_923_33]),
    ];
    for (seed, (stay_good, stay_bad, short)) in (31..).zip(cases) {
        let mut inflow = Persistent { rng: ChaCha8Rng::seed_from_u64(seed), good: true, stay_good, stay_bad };
        let found = simulate(&mut inflow, 3.0, [2.0, 4.0, 6.0, 10.0]);
        for i in 0..4 {
            assert_close(&format!("{stay_good}/{stay_bad} tank {i}"), found[i][0], short[i]);
        }
    }
}
