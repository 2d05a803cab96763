//! The scheme's own questions.

use super::super::WhatIf;
use super::super::reader::{Reader, Section};

pub(super) fn what_ifs(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Vec<WhatIf>> {
    let tables = r.named_tables(root, "what_if");
    let one = |(name, s): (String, Section<'_>)| {
        let set = r.texts(&s, "set", "a setting such as \"herd.*.count * 1.25\", or a list of them")?;
        Some(WhatIf { name, set })
    };
    tables.into_iter().map(one).collect::<Vec<_>>().into_iter().collect()
}
