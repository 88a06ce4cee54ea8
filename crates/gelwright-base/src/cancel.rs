//! Stopping long work from outside.
//!
//! Two halves: long work asks a [`Cancel`] now and then and ends with [`ErrorKind::Cancelled`]; [`watched`] runs such
//! work on a thread of its own while the calling thread asks the caller. So a C callback, or Python's check for
//! Ctrl-C, is only ever called on the thread that called in, whatever number of threads the work is spread over.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

use crate::error::{Error, ErrorKind, Result};

/// Asked now and then during long work, from any of its threads; the work stops with [`ErrorKind::Cancelled`] once it
/// answers true.
#[derive(Clone, Copy, Default)]
pub struct Cancel<'a>(Option<&'a (dyn Fn() -> bool + Sync)>);

impl<'a> Cancel<'a> {
    /// Never cancels.
    pub const NEVER: Cancel<'static> = Cancel(None);
    /// Cancels once `check` answers true.
    pub fn when(check: &'a (dyn Fn() -> bool + Sync)) -> Self {
        Cancel(Some(check))
    }
    /// Refuses to go on if cancelled.
    ///
    /// # Errors
    /// [`ErrorKind::Cancelled`].
    pub fn check(&self) -> Result<()> {
        match self.0 {
            Some(f) if f() => Err(cancelled()),
            _ => Ok(()),
        }
    }
}

impl std::fmt::Debug for Cancel<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Cancel").field(&self.0.is_some()).finish()
    }
}

fn cancelled() -> Error {
    Error::new(ErrorKind::Cancelled, "run").with_way_out("run it again")
}

/// Stops the work on every way out, also where the caller's check panics: the scope waits for its thread.
struct StopAtEnd<'a>(&'a AtomicBool);

impl Drop for StopAtEnd<'_> {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

/// How often the caller is asked.
const EVERY: Duration = Duration::from_millis(50);

/// Runs `work` on a thread of its own and meanwhile asks `should_stop` on this one, about 20 times a second; once it
/// answers true the work is cancelled and waited for. A machine that starts no thread has it done on this one, with
/// `should_stop` never asked.
///
/// # Errors
/// [`ErrorKind::Cancelled`] where `should_stop` said so, even if the work was just done; else what `work` answers.
///
/// # Panics
/// Where `work` panics: with its payload, on this thread.
pub fn watched<T: Send>(
    work: impl Fn(Cancel<'_>) -> Result<T> + Sync,
    should_stop: &mut dyn FnMut() -> bool,
) -> Result<T> {
    let stop = AtomicBool::new(false);
    let asked = || stop.load(Ordering::Relaxed);
    let (work, cancel) = (&work, Cancel::when(&asked));
    std::thread::scope(|scope| {
        // Says by being dropped that the work ended, in a panic too.
        let (running, ended) = channel::<()>();
        let begun = std::thread::Builder::new().spawn_scoped(scope, move || {
            let _running = running;
            work(cancel)
        });
        let Ok(worker) = begun else {
            return work(Cancel::NEVER);
        };
        let guard = StopAtEnd(&stop);
        let stopped = loop {
            match ended.recv_timeout(EVERY) {
                Err(RecvTimeoutError::Timeout) if should_stop() => break true,
                Err(RecvTimeoutError::Timeout) => {}
                _ => break false,
            }
        };
        drop(guard);
        match worker.join() {
            Err(panic) => std::panic::resume_unwind(panic),
            Ok(_) if stopped => Err(cancelled()),
            Ok(answer) => answer,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::panic::{AssertUnwindSafe, catch_unwind};
    use std::time::Instant;

    /// Runs until it is cancelled; a minute at most, so that a failure ends too.
    fn endless(cancel: Cancel<'_>) -> Result<u32> {
        let start = Instant::now();
        while start.elapsed() < Duration::from_secs(60) {
            cancel.check()?;
            std::thread::sleep(Duration::from_millis(1));
        }
        Ok(1)
    }

    #[test]
    fn work_that_is_done_first_answers() {
        assert_eq!(watched(|_| Ok(7), &mut || false), Ok(7));
        let refused = Error::unknown_name("x", "y", []);
        assert_eq!(
            watched(|_| Err::<(), _>(refused.clone()), &mut || false),
            Err(refused)
        );
    }

    #[test]
    fn the_caller_is_asked_on_its_own_thread_until_it_says_stop() {
        let here = std::thread::current().id();
        let mut times = 0;
        let e = watched(endless, &mut || {
            assert_eq!(std::thread::current().id(), here);
            times += 1;
            times == 3
        });
        assert_eq!(e.unwrap_err().kind(), ErrorKind::Cancelled);
        assert_eq!(times, 3);
    }

    #[test]
    fn work_that_is_done_too_late_is_cancelled_all_the_same() {
        let slow = |_: Cancel<'_>| {
            std::thread::sleep(Duration::from_millis(200));
            Ok(7)
        };
        let e = watched(slow, &mut || true);
        assert_eq!(e.unwrap_err().kind(), ErrorKind::Cancelled);
    }

    #[test]
    fn a_panic_comes_up_on_the_caller_s_thread_and_stops_the_work() {
        let of_the_work = || watched(|_| -> Result<()> { panic!("boom") }, &mut || false);
        let payload = catch_unwind(AssertUnwindSafe(of_the_work)).unwrap_err();
        assert_eq!(payload.downcast_ref::<&str>(), Some(&"boom"));
        let start = Instant::now();
        let of_the_check = || watched(endless, &mut || panic!("asked"));
        assert!(catch_unwind(AssertUnwindSafe(of_the_check)).is_err());
        assert!(start.elapsed() < Duration::from_secs(30));
    }
}
