//! Random whole schemes, and what must hold between runs of them.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    clippy::float_cmp,
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    clippy::expect_used,
    clippy::panic,
    unreachable_pub,
    reason = "a test stops at the first surprise"
)]

#[path = "../support/document.rs"]
mod document;
#[path = "../support/random.rs"]
mod random;
#[path = "../support/schema.rs"]
mod schema;
#[path = "../support/schemes/mod.rs"]
mod schemes;
#[path = "../support/mod.rs"]
mod support;

mod case;
mod compare;
mod drive;
mod keys;
mod relations;
