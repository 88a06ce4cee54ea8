//! Answers that a process keeps: whoever asks again mostly changes something else.

use std::collections::VecDeque;
use std::sync::{Mutex, MutexGuard};

/// The latest answers, each with what it was asked with.
pub struct Kept<K, V> {
    most: usize,
    held: Mutex<VecDeque<(K, V)>>,
}

impl<K, V: Clone> Kept<K, V> {
    /// So many, the oldest making way.
    pub const fn new(most: usize) -> Self {
        Kept {
            most,
            held: Mutex::new(VecDeque::new()),
        }
    }

    /// The answer to what is `same`, if it is kept; else what `ask` answers, which is then kept.
    ///
    /// # Errors
    /// As `ask`: an error is not kept.
    pub fn or_ask<E>(
        &self,
        same: impl Fn(&K) -> bool,
        ask: impl FnOnce() -> Result<(K, V), E>,
    ) -> Result<V, E> {
        let kept = |held: MutexGuard<VecDeque<(K, V)>>| {
            let found = held.iter().find(|(k, _)| same(k));
            found.map(|(_, answer)| answer.clone())
        };
        if let Some(answer) = self.free().and_then(kept) {
            return Ok(answer);
        }
        let (key, answer) = ask()?;
        if let Some(mut held) = self.free() {
            held.truncate(self.most.saturating_sub(1));
            held.push_front((key, answer.clone()));
        }
        Ok(answer)
    }

    /// What is kept, where nobody else holds it. It is not waited for: a fork may leave it locked for ever, and who finds it so
    /// works the answer out.
    fn free(&self) -> Option<MutexGuard<'_, VecDeque<(K, V)>>> {
        self.held.try_lock().ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_asked_again_is_not_worked_out_again_and_the_oldest_makes_way() {
        let kept: Kept<u32, u32> = Kept::new(2);
        let asked = std::cell::Cell::new(0);
        let square = |n: u32| {
            kept.or_ask(
                |k| *k == n,
                || {
                    asked.set(asked.get() + 1);
                    if n == 0 { Err("nothing") } else { Ok((n, n * n)) }
                },
            )
        };
        assert_eq!((square(3), square(3), asked.get()), (Ok(9), Ok(9), 1));
        assert_eq!(
            (square(0), square(0), asked.get()),
            (Err("nothing"), Err("nothing"), 3)
        );
        assert_eq!((square(4), square(5), asked.get()), (Ok(16), Ok(25), 5));
        assert_eq!((square(4), square(3), asked.get()), (Ok(16), Ok(9), 6));
        // What somebody holds is not waited for.
        let elsewhere = kept.held.lock().unwrap();
        assert_eq!((square(3), asked.get()), (Ok(9), 7));
        drop(elsewhere);
        assert_eq!((square(3), asked.get()), (Ok(9), 7));
    }
}
