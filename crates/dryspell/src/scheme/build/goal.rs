//! What is asked of the scheme.

use super::super::reader::{Reader, Section};
use crate::calendar::HOURS_PER_DAY;
use crate::fault::FaultKind;
use crate::reliability::goal::Settings;
use crate::scheme::keys::KEYS;

/// `Some(None)` where nothing is asked.
pub(super) fn goal(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Option<Settings>> {
    if !root.may_have("goal") {
        return Some(None);
    }
    let s = r.table(root, "goal")?;
    let goal = Settings {
        short_days: r.number(&s, "short_days"),
        dry_hours_in_a_row: r.count(&s, "dry_hours_in_a_row"),
        lowest_level_m3: r.quantity(&s, "lowest_level"),
        #[expect(clippy::cast_precision_loss, reason = "24")]
        autonomy_days: r.quantity(&s, "autonomy").map(|hours| hours / HOURS_PER_DAY as f64),
        dry_years_in_ten: r.number(&s, "dry_years_in_ten"),
    };
    let names: Vec<&str> = KEYS.iter().filter(|key| key.section == "goal").map(|key| key.name).collect();
    if !names.iter().any(|name| s.may_have(name)) {
        let accepted = format!("one or more of {}", names.join(", "));
        let way_out = "say what is asked, such as short_days = 0, or remove the table";
        r.fault(&s.path, s.at(), FaultKind::MissingKey, "a goal that asks nothing", accepted, way_out);
        return None;
    }
    // A key that is there and could not be read has its fault.
    let read = goal.limits().count();
    (read == names.iter().filter(|name| s.may_have(name)).count()).then_some(Some(goal))
}
