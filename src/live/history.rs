//! Everything done to a job, to be undone and done again: whole texts, which are small, so that undo gives the same bytes.

use crate::job::NamedFiles;
use std::sync::Arc;

/// Texts kept at most, bytes in all. Larger keeps more of a long day; smaller forgets its morning.
const BYTES: usize = 64_000_000;

/// The job at one time.
#[derive(Debug, Clone)]
pub(super) struct Snapshot {
    pub text: Arc<str>,
    pub name: String,
    pub files: Arc<NamedFiles>,
    /// Edits of one gesture are one step.
    pub gesture: Option<String>,
}

/// A step, and whether it is known to make a piece.
struct HistoryEntry {
    step: Snapshot,
    proved: bool,
}

/// All steps, and where in them the job is.
pub(super) struct History {
    steps: Vec<HistoryEntry>,
    at: usize,
    /// What the step now was earlier in the same gesture, when it made a piece.
    good: Option<Snapshot>,
}

impl History {
    pub(super) fn new(first: Snapshot) -> Self {
        Self { steps: vec![HistoryEntry { step: first, proved: true }], at: 0, good: None }
    }

    pub(super) fn now(&self) -> &Snapshot {
        &self.steps[self.at].step
    }

    pub(super) fn can_undo(&self) -> bool {
        self.at > 0
    }

    pub(super) fn can_redo(&self) -> bool {
        self.at + 1 < self.steps.len()
    }

    /// Adds a step, or puts it in place of the last one of its gesture. What had been undone is forgotten.
    pub(super) fn add(&mut self, step: Snapshot) {
        self.steps.truncate(self.at + 1);
        let goes_on = step.gesture.is_some() && self.now().gesture == step.gesture && self.at > 0;
        let kept = HistoryEntry { step, proved: false };
        if goes_on {
            let before = std::mem::replace(&mut self.steps[self.at], kept);
            if before.proved {
                self.good = Some(before.step);
            }
            return;
        }
        self.good = None;
        self.steps.push(kept);
        self.at += 1;
        let mut bytes: usize = self.steps.iter().map(|kept| kept.step.text.len()).sum();
        while bytes > BYTES && self.at > 1 {
            bytes -= self.steps.remove(0).step.text.len();
            self.at -= 1;
        }
    }

    /// The job as it is now makes a piece.
    pub(super) fn prove(&mut self) {
        self.steps[self.at].proved = true;
        self.good = None;
    }

    /// Takes the last step back as if it had never been, if it is not known to make a piece; of a gesture, what of it did
    /// stays. False where there is nothing to take back.
    pub(super) fn take_back(&mut self) -> bool {
        if self.steps[self.at].proved || self.at == 0 {
            return false;
        }
        match self.good.take() {
            Some(step) => self.steps[self.at] = HistoryEntry { step, proved: true },
            None => self.at -= 1,
        }
        self.steps.truncate(self.at + 1);
        true
    }

    pub(super) fn undo(&mut self) -> bool {
        self.good = None;
        let can = self.can_undo();
        self.at -= usize::from(can);
        can
    }

    pub(super) fn redo(&mut self) -> bool {
        self.good = None;
        let can = self.can_redo();
        self.at += usize::from(can);
        can
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(text: &str, gesture: Option<&str>) -> Snapshot {
        Snapshot {
            text: text.into(),
            name: String::new(),
            files: Arc::default(),
            gesture: gesture.map(str::to_string),
        }
    }

    #[test]
    fn edits_of_one_gesture_are_one_step() {
        let mut history = History::new(step("0", None));
        for text in ["1", "2", "3"] {
            history.add(step(text, Some("drag")));
        }
        history.add(step("4", None));
        assert!(history.undo());
        assert_eq!(&*history.now().text, "3");
        assert!(history.undo());
        assert_eq!(&*history.now().text, "0");
        assert!(!history.undo() && history.redo());
        assert_eq!(&*history.now().text, "3");
    }

    #[test]
    fn what_makes_no_piece_is_taken_back_to_what_did() {
        let mut history = History::new(step("0", None));
        history.add(step("1", None));
        history.prove();
        history.add(step("2", None));
        history.add(step("bad", None));
        assert!(history.take_back());
        assert_eq!(&*history.now().text, "2");
        // What nobody has worked out yet goes only when it turns out to be no better.
        assert!(history.take_back());
        assert_eq!(&*history.now().text, "1");
        assert!(!history.take_back() && !history.can_redo());
        // A drag that goes wrong half way stays where it was right.
        history.add(step("2", Some("drag")));
        history.prove();
        history.add(step("bad", Some("drag")));
        history.add(step("worse", Some("drag")));
        assert!(history.take_back());
        assert_eq!(&*history.now().text, "2");
        assert!(history.undo());
        assert_eq!(&*history.now().text, "1");
    }
}
