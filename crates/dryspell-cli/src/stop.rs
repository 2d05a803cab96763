//! When the user, or the system, wants the program to stop: nothing half-written stays behind.

use std::sync::atomic::{AtomicBool, AtomicI32, Ordering};

use crate::files::end_with;

/// Interrupted from the keyboard.
const INTERRUPT: i32 = 2;

/// Whether a command finishes what it has begun by itself when it is asked to stop.
static GENTLE: AtomicBool = AtomicBool::new(false);
/// Whether it was asked.
static ASKED: AtomicBool = AtomicBool::new(false);
/// By which signal.
static SIGNAL: AtomicI32 = AtomicI32::new(INTERRUPT);

/// Whether an interrupt from the keyboard is how the command ends when all is well.
static ENDS_WELL: AtomicBool = AtomicBool::new(false);

/// The exit code of a program that a signal stopped.
pub(crate) fn code(signal: i32) -> u8 {
    u8::try_from(128 + signal).unwrap_or(u8::MAX)
}

/// Acts on a signal: the command at work stops by itself, or the program ends here and now. Whoever asks a second time
/// does not want to wait.
fn asked(signal: i32) {
    SIGNAL.store(signal, Ordering::SeqCst);
    let before = ASKED.swap(true, Ordering::SeqCst);
    if signal == INTERRUPT && ENDS_WELL.load(Ordering::SeqCst) {
        end_with(0);
    }
    if before || !GENTLE.load(Ordering::SeqCst) {
        end_with(i32::from(code(signal)));
    }
}

/// Begins to watch for signals. To be called before any thread is started. Without it a signal ends the program at once,
/// and only temporary files stay.
#[cfg(unix)]
pub(crate) fn watch() {
    use nix::sys::signal::{SigSet, Signal};
    let mut set = SigSet::empty();
    set.add(Signal::SIGINT);
    set.add(Signal::SIGTERM);
    // Every thread started from here on leaves them to the one that waits.
    if set.thread_block().is_ok() {
        std::thread::spawn(move || {
            while let Ok(signal) = set.wait() {
                asked(signal as i32);
            }
        });
    }
}

/// Begins to watch for signals.
#[cfg(not(unix))]
pub(crate) fn watch() {
    let _ = ctrlc::set_handler(|| asked(INTERRUPT));
}

/// From now on an interrupt from the keyboard is no failure: the command has no other end.
pub(crate) fn interrupt_is_the_end() {
    ENDS_WELL.store(true, Ordering::SeqCst);
}

/// While it lives, a signal only raises a flag.
#[derive(Debug)]
pub(crate) struct StopGuard(());

/// From now on the command stops by itself when it is asked to.
pub(crate) fn when_asked() -> StopGuard {
    GENTLE.store(true, Ordering::SeqCst);
    StopGuard(())
}

impl StopGuard {
    /// The flag.
    #[allow(clippy::unused_self, reason = "there is a flag only while this lives")]
    pub(crate) fn flag(&self) -> &'static AtomicBool {
        &ASKED
    }

    /// The signal that came.
    #[allow(clippy::unused_self, reason = "there is a signal only while this lives")]
    pub(crate) fn signal(&self) -> i32 {
        SIGNAL.load(Ordering::SeqCst)
    }
}

impl Drop for StopGuard {
    fn drop(&mut self) {
        GENTLE.store(false, Ordering::SeqCst);
    }
}
