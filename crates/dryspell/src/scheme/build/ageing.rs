//! How the scheme ages.

use super::super::reader::{Reader, Section};
use crate::ageing::Ageing;

/// `Some(None)` where nothing is said of it.
pub(super) fn ageing(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Option<Ageing>> {
    if !root.may_have("ageing") {
        return Some(None);
    }
    let s = r.table(root, "ageing")?;
    let [modules, pump, herd] = ["modules", "pump", "herd"].map(|key| r.quantity(&s, key));
    Some(Some(Ageing { modules: modules?, pump: pump?, herd: herd? }))
}
