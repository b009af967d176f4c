//! How a long piece of work ends before it is done.

use crate::error::Error;

/// Why an answer ends early: nobody waits for it, or an error.
pub(super) type Ended = Option<Error>;

/// Stops here if nobody waits any more.
pub(super) fn wanted_still(unwanted: &dyn Fn() -> bool) -> Result<(), Ended> {
    if unwanted() {
        Err(None)
    } else {
        Ok(())
    }
}
