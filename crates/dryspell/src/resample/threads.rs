//! Work shared between threads, handed back in order.

use crate::fault::{Fault, FaultKind};
use std::num::NonZeroUsize;

/// The results of `work` for 0 to `count`, in order, by so many threads. The first fault in order is the one returned.
pub(crate) fn in_order<T: Send, E: From<Fault> + Send>(
    count: usize,
    threads: NonZeroUsize,
    work: impl Fn(usize) -> Result<T, E> + Sync,
) -> Result<Vec<T>, E> {
    if threads.get() == 1 || count < 2 {
        return (0..count).map(work).collect();
    }
    let numbers: Vec<usize> = (0..count).collect();
    let share = count.div_ceil(threads.get()).max(1);
    let work = &work;
    std::thread::scope(|scope| {
        let workers: Vec<_> = numbers
            .chunks(share)
            .map(|part| scope.spawn(move || part.iter().map(|i| work(*i)).collect::<Result<Vec<_>, _>>()))
            .collect();
        let mut all = Vec::with_capacity(count);
        for worker in workers {
            all.extend(worker.join().map_err(|_| E::from(stopped()))??);
        }
        Ok(all)
    })
}

fn stopped() -> Fault {
    Fault::at_key(
        "resampling",
        FaultKind::CannotRun,
        "a thread that stopped",
        "every year is made to its end",
        "try again with one thread",
    )
}
