//! How the scheme ages.

use super::super::reader::{Reader, Section};
use crate::ageing::Ageing;

/// `Some(None)` where nothing is said of it.
pub(super) fn ageing(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Option<Ageing>> {
    if !root.may_have("ageing") {
        return Some(None);
    }
    let s = r.table(root, "ageing")?;
    let usual = Ageing::default();
    let [modules, pump, herd] = [("modules", usual.modules), ("pump", usual.pump), ("herd", usual.herd)]
        .map(|(key, usual)| if s.may_have(key) { r.quantity(&s, key) } else { Some(usual) });
    Some(Some(Ageing { modules: modules?, pump: pump?, herd: herd? }))
}
