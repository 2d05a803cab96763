//! What parts cost.

use super::super::reader::{Reader, Section};
use crate::price::Prices;

/// `Some(None)` where no price is given.
pub(super) fn prices(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Option<Prices>> {
    if !root.may_have("price") {
        return Some(None);
    }
    let s = r.table(root, "price")?;
    let mut read = |key: &str| r.number(&s, key);
    let prices = Prices {
        module: read("module"),
        tank_per_m3: read("tank_per_m3"),
        current_booster: read("current_booster"),
        tracker: read("tracker"),
        battery_per_ah: read("battery_per_ah"),
        steeper_rack: read("steeper_rack"),
        sweeping: read("sweeping"),
    };
    // A key that is there and could not be read has its fault.
    let whole = prices.by_key().iter().all(|(key, price)| price.is_some() || !s.may_have(key));
    whole.then_some(Some(prices))
}
