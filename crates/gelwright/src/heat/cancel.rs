//! Cancelling long work from outside.

use crate::error::{Error, ErrorKind, Result};

/// Asked now and then during long work; the work stops with [`ErrorKind::Cancelled`] once it answers true.
///
/// Python passes a check for Ctrl-C, C a callback.
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
            Some(f) if f() => Err(Error::new(ErrorKind::Cancelled, "run").with_way_out("run it again")),
            _ => Ok(()),
        }
    }
}

impl std::fmt::Debug for Cancel<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Cancel").field(&self.0.is_some()).finish()
    }
}
