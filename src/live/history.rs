//! Everything done to a job, to be undone and done again: whole texts, which are small, so that undo gives the same bytes.

use crate::job::NamedFiles;
use std::sync::Arc;

/// Texts kept at most, bytes in all. Larger keeps more of a long day; smaller forgets its morning.
const BYTES: usize = 64_000_000;

/// The job at one time.
#[derive(Debug, Clone)]
pub(super) struct Step {
    pub text: Arc<str>,
    pub name: String,
    pub files: Arc<NamedFiles>,
    /// Edits of one gesture are one step.
    pub gesture: Option<String>,
}

/// All steps, and where in them the job is.
pub(super) struct History {
    steps: Vec<Step>,
    at: usize,
    /// The last step known to make a piece.
    proved: usize,
    /// What the step now was earlier in the same gesture, when it made a piece.
    good: Option<Step>,
}

impl History {
    pub(super) fn new(first: Step) -> Self {
        Self { steps: vec![first], at: 0, proved: 0, good: None }
    }

    pub(super) fn now(&self) -> &Step {
        &self.steps[self.at]
    }

    pub(super) fn can_undo(&self) -> bool {
        self.at > 0
    }

    pub(super) fn can_redo(&self) -> bool {
        self.at + 1 < self.steps.len()
    }

    /// Adds a step, or puts it in place of the last one of its gesture. What had been undone is forgotten.
    pub(super) fn add(&mut self, step: Step) {
        self.steps.truncate(self.at + 1);
        let goes_on = step.gesture.is_some() && self.now().gesture == step.gesture && self.at > 0;
        if goes_on {
            let before = std::mem::replace(&mut self.steps[self.at], step);
            if self.proved == self.at {
                self.proved = self.at - 1;
                self.good = Some(before);
            }
            return;
        }
        self.good = None;
        self.steps.push(step);
        self.at += 1;
        let mut bytes: usize = self.steps.iter().map(|s| s.text.len()).sum();
        while bytes > BYTES && self.at > 1 {
            bytes -= self.steps.remove(0).text.len();
            self.at -= 1;
            self.proved = self.proved.saturating_sub(1);
        }
    }

    /// The job as it is now makes a piece.
    pub(super) fn prove(&mut self) {
        self.proved = self.at;
        self.good = None;
    }

    /// Back to the last step that made a piece, as if what followed had never been; false if nothing did.
    pub(super) fn take_back(&mut self) -> bool {
        if self.proved >= self.at {
            return false;
        }
        match self.good.take() {
            Some(good) => {
                self.steps[self.at] = good;
                self.proved = self.at;
            }
            None => self.at = self.proved,
        }
        self.steps.truncate(self.at + 1);
        true
    }

    pub(super) fn undo(&mut self) -> bool {
        self.good = None;
        let can = self.can_undo();
        self.at -= usize::from(can);
        self.proved = self.proved.min(self.at);
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

    fn step(text: &str, gesture: Option<&str>) -> Step {
        Step {
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
        history.prove();
        history.add(step("1", None));
        history.prove();
        history.add(step("bad", None));
        history.add(step("worse", None));
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
