//! Inputs that look like a slip of the pen: a wrong unit, a lost decimal point, a mistaken column.
//!
//! One list of the ranges in which schemes of this kind lie. Nothing outside is refused: a range here is what is usual, not
//! what is possible; a key's own range is what is possible.

use super::list::{Alerts, Severity};
use super::usual::USUAL;
use crate::simulate::Run;
use crate::units::System;

pub(super) fn add(list: &mut Alerts, run: &Run, system: System) {
    for usual in USUAL {
        for (key, value) in (usual.values)(run) {
            if !(usual.low..=usual.high).contains(&value) {
                list.add(Severity::Input, usual.sentence(&key, value, system));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_range_is_one_and_says_where_it_comes_from() {
        for usual in USUAL {
            assert!(usual.low < usual.high, "{}", usual.what);
            assert!(usual.low.is_finite() || usual.high.is_finite(), "{}", usual.what);
            assert!(!usual.source.is_empty() && !usual.look.is_empty(), "{}", usual.what);
        }
    }
}
