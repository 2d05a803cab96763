//! Arrays of unlike voltage, light and heat on one pair of terminals, against a scan of 10⁴ voltages.

use crate::checks::array::module;
use dryspell::array::circuit::{Circuit, Wiring};
use dryspell::array::hills::Hills;
use dryspell::coupling::{self, Booster, Power};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{RngCore, SeedableRng};

const CIRCUITS: usize = 1000;
const SCAN: u32 = 10_000;

struct Luck(ChaCha8Rng);

impl Luck {
    fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (f64::from(self.0.next_u32()) + 0.5) / 4_294_967_296.0
    }

    fn whole(&mut self, low: u32, high: u32) -> u32 {
        low + self.0.next_u32() % (high - low + 1)
    }

    /// Two or three arrays, each with its own number of modules, cable, light and cell temperature.
    fn circuit(&mut self) -> Circuit {
        let names = ["m36", "m72"];
        let strings = (0..self.whole(2, 3))
            .filter_map(|_| {
                let wiring = Wiring {
                    module: module(names[self.whole(0, 1) as usize]),
                    series: self.whole(1, 6),
                    parallel: self.whole(1, 4),
                    cable_ohm: self.between(0.0, 1.5),
                    mismatch: self.between(0.0, 0.05),
                };
                wiring.string(self.between(20.0, 1200.0), self.between(-10.0, 70.0))
            })
            .collect();
        Circuit { strings }
    }
}

/// Powers at even voltages up to the highest open-circuit voltage.
fn scan(circuit: &Circuit) -> Vec<(f64, f64)> {
    let open = circuit.open_circuit_v();
    (0..=SCAN)
        .map(|k| open * f64::from(k) / f64::from(SCAN))
        .map(|voltage| (voltage, voltage * circuit.current_a(voltage)))
        .collect()
}

#[test]
fn a_booster_behind_unlike_arrays_gives_the_most_power_at_or_above_the_pumps_voltage() {
    let mut luck = Luck::new(41);
    let (mut several, mut second) = (0, 0);
    for case in 0..CIRCUITS {
        let circuit = luck.circuit();
        let limit = (luck.whole(0, 1) == 1).then(|| luck.between(1.0, 40.0));
        let booster = Booster {
            efficiency: luck.between(0.8, 1.0),
            bypass: luck.whole(0, 1) == 1,
            current_limit_a: limit,
        };
        let settings = coupling::Settings::Booster(booster);
        let offer = settings.offer(&Power { available_w: 0.0, circuit: Some(&circuit) });
        let powers = scan(&circuit);
        let mut most = 0.0_f64;
        for (k, (voltage, power)) in powers.iter().enumerate().rev() {
            most = most.max(*power);
            // Every hundredth voltage, and not the ends, at which nothing is left to divide.
            if k % 100 != 50 {
                continue;
            }
            let boosted = (booster.efficiency * most / voltage).min(limit.unwrap_or(f64::INFINITY));
            let want = if booster.bypass { boosted.max(power / voltage) } else { boosted };
            let got = offer.current_a(*voltage);
            // A scan may miss the top by what its step allows; the search may miss nothing.
            assert!(
                got >= want * (1.0 - 1e-9) && got <= want * (1.0 + 1e-6) + 1e-12,
                "circuit {case} at {voltage} V: {got} A for {want} A\n{circuit:?}"
            );
        }
        // One pair of terminals: the highest of all hills.
        let best = circuit.maximum_power();
        assert!(
            best.power_w >= most * (1.0 - 1e-9) && best.power_w <= most * (1.0 + 1e-6),
            "circuit {case}: {best:?} for {most} W\n{circuit:?}"
        );
        let hills = Hills::of(&circuit);
        several += usize::from(hills.points().len() > 1);
        second += usize::from(best != hills.points()[0]);
    }
    // The circuits are of the kind that matters: many have several hills, and the first is not always the highest.
    assert!(several > CIRCUITS / 5 && second > CIRCUITS / 20, "{several} {second}");
}
