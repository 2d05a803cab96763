//! A goal held against the ranges of its keys.

use super::Check;
use crate::calendar::HOURS_PER_DAY;
use crate::fault::{Fault, FaultKind};
use crate::reliability::goal::{Asked, Settings};

impl Check {
    pub(super) fn goal(&mut self, goal: &Settings) {
        if goal.is_empty() {
            self.0.push(Fault::at_key(
                "goal",
                FaultKind::MissingKey,
                "a goal that asks nothing",
                "a goal that asks something, or none",
                "say what is asked, or leave the goal out",
            ));
        }
        for (asked, limit) in goal.limits() {
            // Its key is a time, in hours.
            #[expect(clippy::cast_precision_loss, reason = "24")]
            let times = if asked == Asked::Autonomy { HOURS_PER_DAY as f64 } else { 1.0 };
            self.value("goal", "", asked.key(), limit * times);
        }
    }
}
