//! Keys of the scheme's own questions.

use super::key;
use crate::keys::Presence::Needed;
use crate::keys::Range::Any;
use crate::keys::{KeyDoc, Kind};

pub(super) const KEYS: &[KeyDoc] = &[key(
    "what_if.*",
    "set",
    Kind::Settings,
    Any,
    Needed,
    "[\"herd.*.count * 1.25\", \"well.static_level = 32 m\"]",
    "what is set anew, all together, each as --set takes it",
)];
