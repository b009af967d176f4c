//! A new job from a few answers, chosen apart from the bench: its pitch is sought over many pieces, which may take seconds.

use super::history::Snapshot;
use super::question::Question;
use super::refused::Refused;
use super::FIRST_NAME;
use crate::error::{guarded, while_wanted, Error};
use crate::job::NamedFiles;
use crate::pipeline::begin::{self, Answers};
use std::rc::Rc;
use std::sync::Arc;

/// A new job asked for, to be chosen anywhere and given back to [`Bench::begun`](super::Bench::begun).
pub struct NewJob {
    pub(super) question: Question,
    answers: Answers,
    name: String,
    files: NamedFiles,
    turn: u64,
}

/// A new job chosen.
pub struct NewJobChosen {
    pub(super) question: Question,
    /// What goes on the bench, and what is said of it.
    pub(super) chosen: Result<(Snapshot, String), Refused>,
}

impl NewJob {
    /// Errors: an answer that cannot be read, a file that did not arrive whole. `turn` is the bench's.
    pub(super) fn read(question: Question, turn: u64) -> Result<Self, Error> {
        let name = question.text("name").unwrap_or(FIRST_NAME).to_string();
        Ok(Self { answers: question.answers()?, files: question.files()?, question, name, turn })
    }

    /// The turn of the job that it would replace.
    pub fn turn(&self) -> u64 {
        self.turn
    }

    /// Chooses it. `unwanted` is asked on the way, and says whether nobody waits for it any more.
    pub fn choose(self, unwanted: impl Fn() -> bool + 'static) -> NewJobChosen {
        let Self { question, answers, name, files, .. } = self;
        let begun =
            while_wanted(Rc::new(unwanted), || guarded(|| begin::begin(&answers, &name, |_| files.clone())));
        let chosen = match begun {
            None => Err(Refused::superseded()),
            Some(Err(error)) => Err(Refused::from(error)),
            Some(Ok(begun)) => {
                let kept = Snapshot { text: begun.text.into(), name, files: Arc::new(files), gesture: None };
                Ok((kept, begun.says))
            }
        };
        NewJobChosen { question, chosen }
    }
}
