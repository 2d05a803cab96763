//! One file a command.

pub(crate) mod ahead;
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
pub(crate) mod review;
pub(crate) mod run;
pub(crate) mod size;
pub(crate) mod summary;
pub(crate) mod sweep;
pub(crate) mod synth;
mod tried;
pub(crate) mod verify;
pub(crate) mod weather;

/// What was asked of a program that was built without it.
fn built_without(what: &str, feature: &str, way_out: &str) -> crate::Failure {
    crate::Failure(vec![format!(
        "this program was built without {what}; a build with --features {feature}; build it so, or take {way_out}"
    )])
}
