//! The outputs of a run, made without the program.
#![allow(clippy::unwrap_used, unreachable_pub, reason = "a test stops at the first surprise")]

mod known;
mod numbers;
