//! The booster's battery.

use super::rate::{RateLaw, rate_factor};

/// Hours in a mean month.
const MONTH_H: f64 = 730.5;
/// Temperature at which capacities are stated, °C.
pub(crate) const RATED_DEGC: f64 = 25.0;

/// A battery.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Battery {
    /// Nominal voltage, V, > 0.
    pub voltage_v: f64,
    /// Rated capacity, A·h, > 0.
    pub capacity_ah: f64,
    /// Hours in which the rated capacity is stated, h, > 0; usually 20.
    pub rated_h: f64,
    /// Capacity by rate.
    pub rate: RateLaw,
    /// Share of the energy put in that is stored, above 0 to 1.
    pub charge_efficiency: f64,
    /// Share of the charge lost in a month, 0 to below 1.
    pub self_discharge_per_month: f64,
    /// Share of the capacity that each kelvin below 25 °C keeps from use, 1/K, ≥ 0.
    pub cold_per_k: f64,
    /// State of charge at which the low-voltage cut-out opens, 0 to below 1.
    pub cut_out: f64,
    /// State of charge at which it closes again, at least the cut-out's.
    pub reconnect: f64,
}

/// What a battery carries from hour to hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Charge {
    /// Energy in store, W·h.
    pub stored_wh: f64,
    /// Whether the cut-out is closed.
    pub connected: bool,
}

/// What is asked of panel and battery for a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Time, h.
    pub hours: f64,
    /// Power of the pump while it runs, W.
    pub pump_w: f64,
    /// Share of the time that it runs, 0 to 1.
    pub duty: f64,
    /// Power that is always taken, W.
    pub standby_w: f64,
    /// Power that the panel's controller hands on, W.
    pub panel_w: f64,
    /// Temperature of the battery, °C.
    pub degc: f64,
}

/// Energies, W·h, each accumulated on its own.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Energy {
    /// From the panel's controller.
    pub panel_wh: f64,
    /// Of it, straight to pump and standby.
    pub direct_wh: f64,
    /// Of it, into the battery.
    pub charged_wh: f64,
    /// Of it, for nothing: the battery was full.
    pub unused_wh: f64,
    /// Taken from the battery by pump and standby.
    pub discharged_wh: f64,
    /// Taken by pump and standby.
    pub load_wh: f64,
    /// Lost on the way into the store.
    pub charge_loss_wh: f64,
    /// Not given back because it was drawn quickly.
    pub rate_loss_wh: f64,
    /// Lost by itself.
    pub self_discharge_wh: f64,
    /// In store at first.
    pub start_wh: f64,
    /// In store at last.
    pub end_wh: f64,
}

impl Energy {
    /// The greatest residual of the three balances: panel, load, store, W·h.
    ///
    /// Panel = direct + charged + unused. Load = direct + discharged. Start + charged = end + charge loss + discharged +
    /// rate loss + self-discharge.
    #[must_use]
    pub fn residual_wh(&self) -> f64 {
        let panel = self.panel_wh - self.direct_wh - self.charged_wh - self.unused_wh;
        let load = self.load_wh - self.direct_wh - self.discharged_wh;
        let out = self.charge_loss_wh + self.discharged_wh + self.rate_loss_wh + self.self_discharge_wh;
        let store = self.start_wh + self.charged_wh - self.end_wh - out;
        let worst = panel.abs().max(load.abs()).max(store.abs());
        // `max` passes over what is not a number; a ledger must not.
        if (panel + load + store).is_finite() { worst } else { f64::INFINITY }
    }

    /// The greatest term, W·h, against which a residual is held.
    #[must_use]
    pub fn scale_wh(&self) -> f64 {
        self.panel_wh.max(self.load_wh).max(self.start_wh).max(1.0)
    }
}

impl Battery {
    /// Energy in store when full, W·h.
    #[must_use]
    pub fn full_wh(&self) -> f64 {
        self.voltage_v * self.capacity_ah
    }

    /// A full battery, its cut-out closed.
    #[must_use]
    pub fn full(&self) -> Charge {
        Charge { stored_wh: self.full_wh(), connected: true }
    }

    /// Energy in store at which the cut-out opens, W·h: what lies below cannot be used.
    ///
    /// # Units
    /// | symbol | name | unit | valid range |
    /// |---|---|---|---|
    /// | E | full store | W·h | |
    /// | s | state of charge at the cut-out when warm | – | 0 to below 1 |
    /// | c | `cold_per_k` | 1/K | ≥ 0 |
    /// | t | temperature | °C | |
    ///
    /// # Equation
    /// `E (1 − (1 − s) f)`, `f = 1 − c (25 − t)`, between 0 and 1
    ///
    /// # Validity
    /// Cold takes nothing out of the store: it keeps charge from use until it is warm again. Warmth above 25 °C gives
    /// nothing extra. A voltage that sags under load is left to the capacity by rate.
    ///
    /// # Example
    /// ```
    /// use dryspell::delivery::{Battery, RateLaw};
    /// let b = Battery { voltage_v: 12.0, capacity_ah: 100.0, rated_h: 20.0, rate: RateLaw::Peukert(1.2),
    ///     charge_efficiency: 0.85, self_discharge_per_month: 0.03, cold_per_k: 0.008, cut_out: 0.5, reconnect: 0.5 };
    /// // Warm, half of 1200 W·h; at 0 °C a fifth less of it.
    /// assert!((b.floor_wh(25.0) - 600.0).abs() < 1e-9);
    /// assert!((b.floor_wh(0.0) - 720.0).abs() < 1e-9);
    /// ```
    ///
    /// # References
    /// Makers' curves of lead-acid batteries fall by 0.6 to 1 % for each kelvin (from memory).
    #[must_use]
    pub fn floor_wh(&self, degc: f64) -> f64 {
        let usable = (1.0 - self.cold_per_k * (RATED_DEGC - degc)).clamp(0.0, 1.0);
        self.full_wh() * (1.0 - (1.0 - self.cut_out) * usable)
    }

    /// Power that leaves the store when the load takes `power_w`, W.
    #[must_use]
    pub fn drain_w(&self, power_w: f64) -> f64 {
        power_w * rate_factor(&self.rate, self.capacity_ah, self.rated_h, power_w / self.voltage_v)
    }

    /// Lets panel, pump and battery work for a time; returns how long the pump had power, h.
    ///
    /// # Units
    /// | symbol | name | unit | valid range |
    /// |---|---|---|---|
    /// | p, L | panel's power, load while the pump runs or stands | W | ≥ 0 |
    /// | d | share of the time that the pump runs | – | 0 to 1 |
    /// | η | charge efficiency | – | above 0 to 1 |
    /// | e | energy in store | W·h | |
    ///
    /// # Equation
    /// In each of the two states the panel serves the load first; what is left charges, what is missing is drawn:
    /// `de/dt = η (p − L)⁺ − (L − p)⁺ · rate factor`, weighed by d and 1 − d. At the cut-out's level all loads are dropped for the
    /// rest of the time; at the full level the rest of the panel's power is unused. Both are met exactly: the rates are
    /// constant.
    ///
    /// # Validity
    /// Power steady within the time. After a cut-out the panel alone does not run the pump in the same hour.
    ///
    /// # References
    /// Conservation of energy.
    pub fn step(&self, charge: &mut Charge, load: &Load, energy: &mut Energy) -> f64 {
        let floor = self.floor_wh(load.degc);
        let again = (floor + (self.reconnect - self.cut_out).max(0.0) * self.full_wh()).min(self.full_wh());
        if !charge.connected && charge.stored_wh >= again && charge.stored_wh > floor {
            charge.connected = true;
        }
        if charge.stored_wh < floor {
            charge.connected = false;
        }
        let mut powered = 0.0;
        if charge.connected {
            let rates = self.rates(load);
            let fall = -rates.store_w;
            powered = if fall > 0.0 {
                ((charge.stored_wh - floor).max(0.0) / fall).min(load.hours)
            } else {
                load.hours
            };
            self.book(charge, &rates, load.panel_w, powered, energy);
            if powered < load.hours {
                charge.connected = false;
            }
        }
        let rest = load.hours - powered;
        if rest > 0.0 {
            let idle = self.rates(&Load { pump_w: 0.0, duty: 0.0, standby_w: 0.0, ..*load });
            self.book(charge, &idle, load.panel_w, rest, energy);
        }
        powered
    }

    /// Self-discharge over a time.
    pub fn rest(&self, charge: &mut Charge, hours: f64, energy: &mut Energy) {
        let kept = libm::pow(1.0 - self.self_discharge_per_month, hours / MONTH_H);
        let lost = charge.stored_wh * (1.0 - kept);
        charge.stored_wh -= lost;
        energy.self_discharge_wh += lost;
    }

    fn rates(&self, load: &Load) -> Rates {
        let mut rates = Rates::default();
        for (share, asked) in [(load.duty, load.pump_w + load.standby_w), (1.0 - load.duty, load.standby_w)] {
            let direct = asked.min(load.panel_w);
            let drawn = asked - direct;
            let left = load.panel_w - direct;
            let drain = self.drain_w(drawn);
            rates.direct_w += share * direct;
            rates.drawn_w += share * drawn;
            rates.drain_w += share * drain;
            rates.charge_w += share * left;
        }
        rates.store_w = self.charge_efficiency * rates.charge_w - rates.drain_w;
        rates
    }

    fn book(&self, charge: &mut Charge, rates: &Rates, panel_w: f64, hours: f64, energy: &mut Energy) {
        let mut charged = rates.charge_w * hours;
        let stored = charge.stored_wh + rates.store_w * hours;
        let over = (stored - self.full_wh()).max(0.0);
        let unused = (over / self.charge_efficiency).min(charged);
        charged -= unused;
        charge.stored_wh = (stored - unused * self.charge_efficiency).max(0.0);
        energy.panel_wh += panel_w * hours;
        energy.direct_wh += rates.direct_w * hours;
        energy.charged_wh += charged;
        energy.unused_wh += unused;
        energy.discharged_wh += rates.drawn_w * hours;
        energy.load_wh += (rates.direct_w + rates.drawn_w) * hours;
        energy.charge_loss_wh += (1.0 - self.charge_efficiency) * charged;
        energy.rate_loss_wh += (rates.drain_w - rates.drawn_w) * hours;
    }
}

/// Mean powers of a time, W.
#[derive(Debug, Clone, Copy, Default)]
struct Rates {
    direct_w: f64,
    drawn_w: f64,
    drain_w: f64,
    charge_w: f64,
    store_w: f64,
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn battery() -> Battery {
        Battery {
            voltage_v: 24.0,
            capacity_ah: 100.0,
            rated_h: 20.0,
            rate: RateLaw::Peukert(1.2),
            charge_efficiency: 0.85,
            self_discharge_per_month: 0.03,
            cold_per_k: 0.008,
            cut_out: 0.5,
            reconnect: 0.6,
        }
    }

    fn load(pump_w: f64, duty: f64, panel_w: f64, degc: f64, hours: f64) -> Load {
        Load { hours, pump_w, duty, standby_w: 2.0, panel_w, degc }
    }

    proptest! {
        #[test]
        fn energy_closes(
            steps in proptest::collection::vec(
                (0.0_f64..600.0, 0.0_f64..1.0, 0.0_f64..400.0, -25.0_f64..40.0, 0.01_f64..1.0), 1..200),
            start in 0.0_f64..1.0,
        ) {
            let b = battery();
            let mut charge = Charge { stored_wh: start * b.full_wh(), connected: true };
            let mut energy = Energy { start_wh: charge.stored_wh, ..Energy::default() };
            for (pump, duty, panel, degc, hours) in steps {
                let load = load(pump, duty, panel, degc, hours);
                let before = energy.load_wh;
                let powered = b.step(&mut charge, &load, &mut energy);
                prop_assert!((0.0..=hours).contains(&powered));
                // What was taken is what the powered time took.
                prop_assert!((energy.load_wh - before - powered * (duty * pump + 2.0)).abs() < 1e-9 * (1.0 + pump));
                b.rest(&mut charge, hours, &mut energy);
                prop_assert!(charge.stored_wh >= 0.0 && charge.stored_wh <= b.full_wh() * (1.0 + 1e-12));
            }
            energy.end_wh = charge.stored_wh;
            prop_assert!(energy.residual_wh() <= 1e-9 * energy.scale_wh(), "{energy:?}");
        }
    }

    #[test]
    fn each_broken_term_is_seen() {
        let b = battery();
        let mut charge = b.full();
        let mut energy = Energy { start_wh: charge.stored_wh, ..Energy::default() };
        for hour in 0..200 {
            let panel = if hour % 24 < 8 { 300.0 } else { 0.0 };
            b.step(&mut charge, &load(150.0, 0.5, panel, 5.0, 1.0), &mut energy);
            b.rest(&mut charge, 1.0, &mut energy);
        }
        energy.end_wh = charge.stored_wh;
        assert!(energy.residual_wh() < 1e-9 * energy.scale_wh());
        let terms: [fn(&mut Energy) -> &mut f64; 11] = [
            |e| &mut e.panel_wh,
            |e| &mut e.direct_wh,
            |e| &mut e.charged_wh,
            |e| &mut e.unused_wh,
            |e| &mut e.discharged_wh,
            |e| &mut e.load_wh,
            |e| &mut e.charge_loss_wh,
            |e| &mut e.rate_loss_wh,
            |e| &mut e.self_discharge_wh,
            |e| &mut e.start_wh,
            |e| &mut e.end_wh,
        ];
        for term in terms {
            let mut broken = energy;
            *term(&mut broken) += 1e-3;
            assert!(broken.residual_wh() > 1e-9 * broken.scale_wh(), "{broken:?}");
        }
    }

    #[test]
    fn the_cut_out_opens_and_closes_where_it_should() {
        let b = battery();
        let mut charge = b.full();
        let mut energy = Energy::default();
        // 240 W is 10 A, twice the rated 5 A: the store falls by 240 · 2^0.2 + standby's share.
        let drain = b.drain_w(242.0);
        assert!((drain - 242.0 * libm::pow(242.0 / 24.0 / 5.0, 0.2)).abs() < 1e-9);
        let powered = b.step(&mut charge, &load(240.0, 1.0, 0.0, 25.0, 10.0), &mut energy);
        assert!((powered - 1200.0 / drain).abs() < 1e-12);
        assert!(!charge.connected && (charge.stored_wh - 1200.0).abs() < 1e-9);
        // 100 W for an hour store 85: below the 240 that reconnect.
        assert!(b.step(&mut charge, &load(240.0, 1.0, 100.0, 25.0, 1.0), &mut energy) <= 0.0);
        assert!((charge.stored_wh - 1285.0).abs() < 1e-9);
        b.step(&mut charge, &load(0.0, 0.0, 200.0, 25.0, 1.0), &mut energy);
        assert!(!charge.connected);
        let powered = b.step(&mut charge, &load(10.0, 1.0, 0.0, 25.0, 1.0), &mut energy);
        assert!(charge.connected && powered >= 1.0, "{charge:?}");
        // Cold opens it again without a load.
        b.step(&mut charge, &load(0.0, 0.0, 0.0, -20.0, 0.1), &mut energy);
        assert!(!charge.connected);
    }
}
