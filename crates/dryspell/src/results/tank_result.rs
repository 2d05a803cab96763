//! Figures of a tank's result that follow from its other figures.

use crate::simulate::{TankBook, TankResult};

impl TankResult {
    /// Share of days with stock draw that are not days of shortfall, percent; `None` without such days.
    #[must_use]
    pub fn days_served_percent(&self) -> Option<f64> {
        let counts = &self.outcome.counts;
        (counts.stock_days > 0)
            .then(|| 100.0 * (1.0 - f64::from(counts.shortfall_days) / f64::from(counts.stock_days)))
    }

    /// Share of the demand that was drunk, percent; `None` without demand.
    #[must_use]
    pub fn volume_served_percent(&self) -> Option<f64> {
        let demand = self.demand_sum_m3;
        (demand > 0.0).then(|| 100.0 * (1.0 - self.short_m3() / demand))
    }

    /// Short over the record, whatever the cause, m³.
    #[must_use]
    pub fn short_m3(&self) -> f64 {
        let way = self.delivery.as_ref().map_or(0.0, |d| d.volumes.delivery_shortage_m3());
        self.outcome.ledgers.short_m3 + way
    }

    /// The largest residual of the ledgers of source, tank, demand, troughs and battery, as a share of their scale.
    #[must_use]
    pub fn residual(&self) -> f64 {
        let way = self.delivery.as_ref().map_or(0.0, |d| d.residual());
        let tanks = self.tanks.iter().map(TankBook::residual).fold(0.0, f64::max);
        self.outcome.ledgers.residual().max(self.supply.ledger.residual()).max(way).max(tanks)
    }

    /// The delivery of a scheme with a booster.
    #[must_use]
    pub fn booster(&self) -> Option<&crate::delivery::Columns> {
        self.plan.delivery.as_ref()?.booster.as_ref()?;
        self.delivery.as_deref()
    }

    /// Days that the booster's battery lasts without sun.
    #[must_use]
    pub fn battery_days(&self) -> Option<crate::delivery::BatteryDays> {
        self.booster()?.battery_days
    }

    /// Days that the scheme lasts without sun from the worst start: those of the full tank or of the full battery, whichever
    /// are fewer.
    #[must_use]
    pub fn scheme_autonomy_days(&self) -> Option<f64> {
        let battery = self.battery_days().map(|b| b.worst_days);
        self.full_tank.worst.into_iter().chain(battery).reduce(f64::min)
    }

    /// Usable volume up to the float's stop, of the tanks that serve stock, over the mean draw of the days with stock in the
    /// peak month, days; `None` without draw.
    #[must_use]
    pub fn rule_sheet_storage_days(&self) -> Option<f64> {
        let (daily, _) = self.peak_month;
        let serves = |number: usize| self.serving_tanks.get(number).is_none_or(|serves| *serves);
        let full_m3: f64 =
            self.plan.tanks().enumerate().filter(|(i, _)| serves(*i)).map(|(_, tank)| tank.full_m3()).sum();
        (daily > 0.0).then(|| full_m3 / daily)
    }
}
