//! Values that are not known for sure: laws from which they are drawn, and what a scheme says of its own.

mod law;
mod scale;
mod unknown;

pub use law::Law;
pub(crate) use scale::{Scale, number_and_unit};
pub(crate) use unknown::Part;
pub use unknown::{FURTHEST, Unknown};
