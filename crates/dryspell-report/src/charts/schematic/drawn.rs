//! What is drawn of several tanks: the one that the first pump fills.

use dryspell::delivery::Hydrant;
use dryspell::simulate::Run;

/// The hydrants at the tank that is drawn.
pub(super) fn drawn_hydrants(run: &Run) -> impl Iterator<Item = &Hydrant> {
    run.plan.delivery.iter().flat_map(|d| &d.hydrants).filter(|hydrant| hydrant.tank.is_none())
}
