//! Arrays of unlike voltage, light and heat on one pair of terminals, against a scan of 10⁴ voltages.

use crate::checks::array::module;
use crate::support::data;
use crate::tmy3;
use dryspell::array::Terminals;
use dryspell::array::circuit::{Circuit, Strings, Wiring};
use dryspell::array::hills::Hills;
use dryspell::array::one_diode::Curve;
use dryspell::coupling::{self, Booster, Power};
use dryspell::plan::Plan;
use dryspell::scheme::{STARTER, Scheme};
use dryspell::simulate::{Run, simulate};
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
        let offer = settings.offer(&Power::of(&circuit, Terminals::Common));
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

#[test]
fn a_tracker_with_one_input_holds_unlike_arrays_at_one_voltage() {
    let mut luck = Luck::new(43);
    let mut fell_short = 0;
    for case in 0..CIRCUITS / 5 {
        let circuit = luck.circuit();
        let open = circuit.open_circuit_v();
        let low = luck.between(0.0, 0.6 * open);
        let window = (low, low + luck.between(0.1, 0.6) * open);
        let tracking = |window_v| {
            let mut settings = coupling::Settings::tracking(1.0);
            if let coupling::Settings::Tracking(tracker) = &mut settings {
                tracker.window_v = window_v;
            }
            settings
        };
        let given = |window_v, terminals| {
            let offer = tracking(window_v).offer(&Power::of(&circuit, terminals));
            offer.current_a(1.0)
        };
        // Even voltages within the window; the free ones reach from nothing to the open circuit.
        let most = |(low, high): (f64, f64)| {
            (0..=SCAN)
                .map(|k| low + (high - low) * f64::from(k) / f64::from(SCAN))
                .map(|voltage| voltage * circuit.current_a(voltage))
                .fold(0.0, f64::max)
        };
        for (window_v, want) in [(None, most((0.0, open))), (Some(window), most(window))] {
            let got = given(window_v, Terminals::Common);
            assert!(
                got >= want * (1.0 - 1e-9) && got <= want * (1.0 + 1e-6) + 1e-9,
                "circuit {case}, window {window_v:?}: {got} W for {want} W\n{circuit:?}"
            );
            assert!(given(window_v, Terminals::Separate) >= got * (1.0 - 1e-12));
        }
        let each: f64 = circuit.strings.iter().map(|s| s.maximum_power().power_w).sum();
        assert!((given(None, Terminals::Separate) / each - 1.0).abs() < 1e-12);
        fell_short += usize::from(given(None, Terminals::Common) < 0.9 * each);
    }
    assert!(fell_short > 20, "{fell_short}");
}

/// The starter with a second array of another number of modules in series.
fn two_arrays(inputs: &str) -> Plan {
    let mut plan = Scheme::from_toml(&STARTER.replace("[coupling]", &format!("[coupling]\n{inputs}")))
        .unwrap_or_else(|f| panic!("{}", f[0]))
        .plan();
    let mut second = plan.array.arrays[0].clone();
    second.name = "second".into();
    (second.series, second.parallel) = (1, 2);
    plan.array.arrays[0].series = 3;
    plan.array.arrays.push(second);
    plan
}

#[test]
fn several_arrays_share_the_trackers_one_input_unless_each_has_its_own() {
    let record = tmy3::read(&data("weather/723170TYA.CSV"));
    let run = |plan: &Plan| simulate(plan, &record).unwrap_or_else(|f| panic!("{}", f[0]));
    let (common, each) = (run(&two_arrays("")), run(&two_arrays("tracker_inputs = \"one each\"")));
    let energy = |run: &Run| run.array.array_w.iter().sum::<f64>();
    let added: f64 = common.array.each.iter().flat_map(|a| &a.power_w).sum();
    assert!((energy(&each) / added - 1.0).abs() < 1e-12);
    assert!(energy(&common) < 0.9 * added, "{} of {added}", energy(&common));
    assert!(common.supply.ledger.available_m3 < each.supply.ledger.available_m3);
    // Two equal halves are the whole, whatever they stand on.
    let mut halves = two_arrays("");
    halves.array.arrays[1] =
        dryspell::array::ArraySettings { name: "half".into(), ..halves.array.arrays[0].clone() };
    let mut whole = halves.clone();
    whole.array.arrays.pop();
    whole.array.arrays[0].parallel *= 2;
    whole.array.arrays[0].cable_ohm /= 2.0;
    let (halves, whole) = (run(&halves), run(&whole));
    assert!((energy(&halves) / energy(&whole) - 1.0).abs() < 1e-10);
    assert_eq!(halves.outcome.counts, whole.outcome.counts);
}

/// Arrays that differ in the tenth digit: their best voltages are known to a part in 1e7 only, and no hour may go dark for it.
#[test]
fn arrays_that_are_nearly_alike_keep_their_power() {
    let curve = |photocurrent_a| Curve {
        photocurrent_a,
        saturation_current_a: 2.404e-10,
        series_resistance_ohm: 0.30763,
        shunt_conductance_per_ohm: 0.010_124,
        modified_ideality_v: 1.78687,
    };
    let strings = |photocurrent_a| Strings::new(&curve(photocurrent_a), 3, 2, 0.0, 0.0);
    let alone = Circuit { strings: vec![strings(5.619_298_958_427)] }.maximum_power().power_w;
    for other in [5.619_298_959_444, 5.619_298_958_5, 5.619_298_99, 5.6193] {
        let both = Circuit { strings: vec![strings(5.619_298_958_427), strings(other)] };
        let power = both.maximum_power().power_w;
        assert!((power / (2.0 * alone) - 1.0).abs() < 1e-6, "{other}: {power} for twice {alone}");
    }
}
