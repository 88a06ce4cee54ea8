//! Work on all cores, which also ends in a process that was forked.
//!
//! A fork copies the memory of the process but of its threads only the one that called: a pool that the parent has
//! started looks whole to the child, and none of its threads is there to do the work. So the process that starts the
//! pool is remembered, and a child of it works on the one thread it has. A child forked before its parent used the pool
//! starts its own.

use std::sync::atomic::{AtomicU32, Ordering};

use rayon::prelude::*;

use crate::error::{ErrorKind, Result};

/// The process that uses the pool; 0 before any does. No lock: a fork may leave one locked for ever.
static POOL_OF: AtomicU32 = AtomicU32::new(0);

/// Whether the pool's threads are in another process.
fn forked() -> bool {
    let here = std::process::id();
    match POOL_OF.compare_exchange(0, here, Ordering::Relaxed, Ordering::Relaxed) {
        Ok(_) => false,
        Err(of) => of != here,
    }
}

/// `work` on each of `count` items, in their order, on all cores; each thread makes itself a `scratch`.
pub fn on_all_cores<S, R: Send, All: FromParallelIterator<R> + FromIterator<R>>(
    count: usize,
    scratch: impl Fn() -> S + Sync + Send,
    work: impl Fn(&mut S, usize) -> R + Sync + Send,
) -> All {
    if forked() {
        return one_by_one(count, scratch, work);
    }
    (0..count).into_par_iter().map_init(scratch, work).collect()
}

fn one_by_one<S, R, All: FromIterator<R>>(
    count: usize,
    scratch: impl Fn() -> S,
    work: impl Fn(&mut S, usize) -> R,
) -> All {
    let mut scratch = scratch();
    (0..count).map(|i| work(&mut scratch, i)).collect()
}

/// A row of a sweep, which may refuse; a cancelled one is no row.
///
/// # Errors
/// [`ErrorKind::Cancelled`].
pub fn finished<T>(row: Result<T>) -> Result<Result<T>> {
    match row {
        Err(e) if e.kind() == ErrorKind::Cancelled => Err(e),
        row => Ok(row),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a forked child does is what the pool does; that it does it is told by `tests/abi/fork.c`.
    #[test]
    fn one_by_one_is_as_on_all_cores() {
        let square = |_: &mut (), i: usize| if i < 900 { Ok(i * i) } else { Err(i) };
        for count in [0, 1, 900] {
            let all: std::result::Result<Vec<usize>, usize> = on_all_cores(count, || (), square);
            assert_eq!(all, one_by_one(count, || (), square));
            assert_eq!(all.map(|a| a.len()), Ok(count));
        }
        assert_eq!(
            on_all_cores::<_, _, std::result::Result<Vec<usize>, usize>>(901, || (), square),
            Err(900)
        );
        assert!(!forked());
    }
}
