//! Keys of prices.

use super::{free, key};
use crate::keys::Range::Between;
use crate::keys::{KeyDoc, Kind, Presence};

const NOT_KNOWN: Presence = free("not known");

const fn price(name: &'static str, example: &'static str, meaning: &'static str) -> KeyDoc {
    key("price", name, Kind::Number, Between(0.0, 1e7), NOT_KNOWN, example, meaning)
}

pub(super) const KEYS: &[KeyDoc] = &[
    price("module", "180", "price of a module with its mount, in any currency, the same for all prices"),
    price("tank_per_m3", "240", "price of a cubic metre of tank more"),
    price("current_booster", "350", "price of a current booster"),
    price("tracker", "900", "price of a controller that tracks the array's maximum power"),
    price("battery_per_ah", "4", "price of an ampere-hour of the booster pump's battery"),
    price("steeper_rack", "150", "price of a rack made to stand steeper, for one array"),
    price("sweeping", "600", "price of panels swept for as long as the scheme shall stand"),
];
