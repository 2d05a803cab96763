//! One file a command.

pub(crate) mod new;
pub(crate) mod run;
