//! What is asked of the scheme, and whether it comes to that.

use dryspell::simulate::Run;

use crate::goal::block;
use crate::report::Report;

pub(super) fn goal(run: &Run, context: &Report<'_>) -> String {
    block(run, context.system)
}
