//! Who may work now: a few at a time, the newest first, and nobody for an answer that no one waits for any more.

use std::sync::{Condvar, Mutex, PoisonError};
use std::time::Duration;

/// Answers worked out at the same time, of those that are still wanted: those a hand waits for, and those that take long.
const QUICK: usize = 2;
const SLOW: usize = 1;
/// All that work at the same time, those included that nobody waits for any more and that cannot be stopped in the middle
/// of a step. More would only slow each other down.
const ALL: usize = 6;
/// How often one that waits looks whether it is still wanted.
const LOOK: Duration = Duration::from_millis(20);

/// One that waits or works.
struct Guest {
    ticket: u64,
    quick: bool,
    turn: u64,
}

#[derive(Default)]
struct Inside {
    next: u64,
    waiting: Vec<Guest>,
    working: Vec<Guest>,
}

/// The gate itself.
#[derive(Default)]
pub(super) struct Gate {
    inside: Mutex<Inside>,
    moved: Condvar,
}

/// Leave to work, until it is dropped.
pub(super) struct Leave<'g> {
    gate: &'g Gate,
    ticket: u64,
}

impl Drop for Leave<'_> {
    fn drop(&mut self) {
        self.gate.lock().working.retain(|guest| guest.ticket != self.ticket);
        self.gate.moved.notify_all();
    }
}

impl Gate {
    fn lock(&self) -> std::sync::MutexGuard<'_, Inside> {
        self.inside.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Waits for leave to work on an answer for this turn; `None` once `unwanted`. `now` is the turn of the job.
    pub(super) fn enter(
        &self,
        quick: bool,
        turn: u64,
        now: impl Fn() -> u64,
        unwanted: impl Fn() -> bool,
    ) -> Option<Leave<'_>> {
        let mut inside = self.lock();
        let ticket = inside.next;
        inside.next += 1;
        inside.waiting.push(Guest { ticket, quick, turn });
        loop {
            // Read first: whoever a turn has made stale by then is told so by `unwanted`, and never let in.
            let turn_now = now();
            if unwanted() {
                inside.waiting.retain(|guest| guest.ticket != ticket);
                return None;
            }
            let newest = inside.waiting.iter().filter(|g| g.quick == quick).map(|g| g.ticket).max();
            let same = inside.working.iter().filter(|g| g.quick == quick && g.turn >= turn_now).count();
            let room = same < if quick { QUICK } else { SLOW } && inside.working.len() < ALL;
            if room && newest == Some(ticket) {
                inside.waiting.retain(|guest| guest.ticket != ticket);
                inside.working.push(Guest { ticket, quick, turn });
                // The next newest may find room too.
                self.moved.notify_all();
                return Some(Leave { gate: self, ticket });
            }
            inside = self.moved.wait_timeout(inside, LOOK).unwrap_or_else(PoisonError::into_inner).0;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicU64, Ordering};
    use std::sync::Arc;

    #[test]
    fn what_nobody_waits_for_makes_room() {
        let (gate, turn) = (Gate::default(), AtomicU64::new(1));
        let now = || turn.load(Ordering::SeqCst);
        let first = gate.enter(false, 1, now, || false);
        assert!(first.is_some());
        // The second of the same turn waits for the first, and goes when it is no longer wanted.
        let waits = gate.enter(false, 1, now, || {
            turn.load(Ordering::SeqCst) > 1 || {
                turn.store(2, Ordering::SeqCst);
                false
            }
        });
        assert!(waits.is_none());
        // The first still works, for an old turn: the newest need not wait for it.
        assert!(gate.enter(false, 2, now, || false).is_some());
    }

    #[test]
    fn the_newest_goes_first() {
        let gate = Arc::new(Gate::default());
        let order = Arc::new(Mutex::new(Vec::new()));
        let held = gate.enter(false, 1, || 1, || false);
        let hands: Vec<_> = (0..3)
            .map(|k| {
                let (gate, order) = (gate.clone(), order.clone());
                while gate.lock().waiting.len() < k {
                    std::thread::yield_now();
                }
                std::thread::spawn(move || {
                    let leave = gate.enter(false, 1, || 1, || false);
                    order.lock().unwrap_or_else(PoisonError::into_inner).push(k);
                    drop(leave);
                })
            })
            .collect();
        while gate.lock().waiting.len() < 3 {
            std::thread::yield_now();
        }
        drop(held);
        hands.into_iter().for_each(|hand| assert!(hand.join().is_ok()));
        assert_eq!(*order.lock().unwrap_or_else(PoisonError::into_inner), [2, 1, 0]);
    }
}
