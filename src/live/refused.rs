//! Why a question is not answered, as the page is told.

use super::question;
use crate::error::{Error, Problem};
use serde_json::{json, Value};
use std::sync::Arc;

/// Why a question is not answered.
pub(super) struct Refused {
    error: Error,
    /// The text that its lines are of.
    text: Option<Arc<str>>,
    stale: bool,
    superseded: bool,
    needs: Vec<String>,
}

impl From<Error> for Refused {
    fn from(error: Error) -> Self {
        Self { error, text: None, stale: false, superseded: false, needs: Vec::new() }
    }
}

impl Refused {
    /// An error whose lines are those of a text.
    pub(super) fn in_text(error: Error, text: Arc<str>) -> Self {
        Self { text: Some(text), ..Self::from(error) }
    }

    pub(super) fn stale() -> Self {
        let todo = "look at what it is now, then do it again";
        let error = Error::job("this job was changed in another window since you saw it", todo);
        Self { stale: true, ..Self::from(error) }
    }

    pub(super) fn superseded() -> Self {
        Self { superseded: true, ..Self::from(Error::job("the job was changed meanwhile", "ask again")) }
    }

    /// The job names files that were not given.
    pub(super) fn needs(files: Vec<String>) -> Self {
        Self { needs: files, ..Self::from(Error::job("this job names files of its own", "drop them in too")) }
    }

    /// As the page reads it.
    pub(super) fn told(&self, turn: u64) -> String {
        let text = self.text.as_deref();
        let faults: Vec<Value> = self.error.problems.iter().map(|p| fault(p, text)).collect();
        let mut answer = json!({ "ok": false, "turn": turn, "faults": faults });
        for (mark, is) in [("stale", self.stale), ("superseded", self.superseded)] {
            if is {
                answer[mark] = json!(true);
            }
        }
        if !self.needs.is_empty() {
            answer["needs"] = json!(self.needs);
        }
        answer.to_string()
    }
}

/// One problem, with the key its line is of.
fn fault(problem: &Problem, text: Option<&str>) -> Value {
    let place = &problem.place;
    let key = text.and_then(|text| question::key_at(text, place.line));
    let says = match problem.todo.as_str() {
        "" => problem.wrong.clone(),
        todo => format!("{}; {todo}", problem.wrong),
    };
    json!({ "line": place.line, "column": place.column, "key": key, "says": says, "place": place.file })
}
