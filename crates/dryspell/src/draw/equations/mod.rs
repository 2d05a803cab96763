//! Published equations of what cattle drink, for a second opinion: nothing is simulated with them.
//!
//! They were fitted to animals measured one by one, and a herd on a trough held at one level may differ.

pub mod arias_mader;
pub mod cardot;
pub mod hicks;
pub mod little_shaw;
pub mod meyer;
pub mod stockdale_king;
