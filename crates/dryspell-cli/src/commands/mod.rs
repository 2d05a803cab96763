//! One file a command.

mod chances;
pub(crate) mod choose;
pub(crate) mod columns;
pub(crate) mod compare;
pub(crate) mod curve;
pub(crate) mod frost;
pub(crate) mod gather;
pub(crate) mod herd;
pub(crate) mod hour;
pub(crate) mod new;
pub(crate) mod odds;
pub(crate) mod print;
pub(crate) mod run;
pub(crate) mod size;
pub(crate) mod summary;
pub(crate) mod sweep;
pub(crate) mod synth;
mod tried;
pub(crate) mod verify;
pub(crate) mod weather;
