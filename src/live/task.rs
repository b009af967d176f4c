//! What has to be worked out for an answer, apart from the bench, so that the bench answers on meanwhile.

use super::ended::{wanted_still, Ended};
use super::question::{Question, Wanted};
use super::{at, change, drawing, findings, numbers, out, patterns, worn, Answer};
use crate::error::Error;
use crate::job::{Edit, Job, Value as Typed};
use crate::pipeline::Session;
use serde_json::Value;

/// One answer to be worked out.
pub struct Task {
    session: Session,
    turn: u64,
    /// What is said already.
    answer: Answer,
    what: What,
}

/// A task worked out.
pub struct Done {
    pub(super) session: Session,
    pub(super) turn: u64,
    /// It shows a change of the job.
    pub(super) changes: bool,
    /// `Err(None)` where nobody waits for it any more.
    pub(super) answer: Result<Answer, Option<Error>>,
}

/// What is asked.
pub(super) enum What {
    /// A changed job.
    Shown(Wanted),
    Drawing,
    Numbers,
    Findings {
        remedies: bool,
    },
    At([f64; 2]),
    Sample(String),
    Mend {
        cautions: bool,
    },
    Wish(Edit),
    Paper,
    Plan,
    Worn,
}

impl What {
    pub(super) fn read(q: &Question, _job: &Job) -> Result<Self, Error> {
        Ok(match q.ask() {
            "drawing" => What::Drawing,
            "numbers" => What::Numbers,
            "findings" => What::Findings { remedies: q.flag("remedies") },
            "at" => {
                let place = q.number("x").zip(q.number("y"));
                let (x, y) = place.ok_or_else(|| Error::job("no place is named", "click on the drawing"))?;
                What::At([x, y])
            }
            "sample" => What::Sample(q.needed("name")?.to_string()),
            "mend" => What::Mend { cautions: q.flag("cautions") },
            "wish" => {
                let wished =
                    ["openings", "hours", "weight"].into_iter().find_map(|key| Some((key, q.number(key)?)));
                let (key, value) = wished.ok_or_else(|| {
                    Error::job("nothing is wished for", "type a number of openings, hours or grams")
                })?;
                What::Wish(Edit::set(format!("wish.{key}"), Typed::Number(value)))
            }
            "paper" => What::Paper,
            "plan" => What::Plan,
            "worn" => What::Worn,
            other => {
                return Err(Error::job(
                    format!("the page asked for \"{other}\", which is not known"),
                    "load the page anew",
                ))
            }
        })
    }

    /// Whether a person waits for it between two movements of the hand.
    fn is_quick(&self) -> bool {
        match self {
            What::Shown(wanted) => !wanted.findings,
            What::Drawing | What::Numbers | What::At(_) => true,
            What::Findings { remedies } => !remedies,
            _ => false,
        }
    }
}

impl Task {
    pub(super) fn new(session: Session, turn: u64, answer: Answer, what: What) -> Self {
        Self { session, turn, answer, what }
    }

    /// The turn of the job it is for.
    pub fn turn(&self) -> u64 {
        self.turn
    }

    /// Whether a person waits for it between two movements of the hand.
    pub fn is_quick(&self) -> bool {
        self.what.is_quick()
    }

    /// Given up before it began.
    pub fn given_up(self) -> Done {
        let changes = self.changes();
        Done { session: self.session, turn: self.turn, changes, answer: Err(None) }
    }

    /// Whether it shows a change of the job.
    pub fn changes(&self) -> bool {
        matches!(self.what, What::Shown(_))
    }

    pub(super) fn says(&mut self, key: &str, value: Value) {
        self.answer.insert(key.to_string(), value);
    }

    /// Works it out. `unwanted` is asked between steps, and says whether nobody waits for the answer any more.
    pub fn run(self, unwanted: &dyn Fn() -> bool) -> Done {
        let changes = self.changes();
        let Task { mut session, turn, mut answer, what } = self;
        let answer = match parts(&mut session, &what, unwanted) {
            Ok(more) => {
                answer.extend(more);
                Ok(answer)
            }
            Err(error) => Err(error),
        };
        Done { session, turn, changes, answer }
    }
}

/// Works the piece out step by step, so that one that nobody waits for any more is dropped on the way.
fn worked(session: &mut Session, unwanted: &dyn Fn() -> bool) -> Result<(), Ended> {
    wanted_still(unwanted)?;
    session.piece().map_err(Some)?;
    wanted_still(unwanted)?;
    session.bridges().map_err(Some)?;
    wanted_still(unwanted)?;
    session.work().map(drop).map_err(Some)
}

fn parts(session: &mut Session, what: &What, unwanted: &dyn Fn() -> bool) -> Result<Answer, Ended> {
    worked(session, unwanted)?;
    let one = |key: &str, value: Value| Answer::from_iter([(key.to_string(), value)]);
    match what {
        What::Shown(wanted) => {
            let mut answer = Answer::new();
            if wanted.drawing {
                answer.insert("drawing".into(), drawing::drawing(session)?);
            }
            if wanted.numbers {
                answer.insert("numbers".into(), numbers::numbers(session)?);
            }
            if wanted.findings {
                answer.insert("findings".into(), findings::findings(session, false, unwanted)?);
            }
            Ok(answer)
        }
        What::Drawing => Ok(one("drawing", drawing::drawing(session)?)),
        What::Numbers => Ok(one("numbers", numbers::numbers(session)?)),
        What::Findings { remedies } => Ok(one("findings", findings::findings(session, *remedies, unwanted)?)),
        What::At(place) => Ok(at::at(session, *place)?),
        What::Sample(name) => Ok(patterns::sample(session, name)?),
        What::Mend { cautions } => Ok(change::mend(session, *cautions, unwanted)?),
        What::Wish(edit) => Ok(change::wish(session, edit)?),
        What::Paper => Ok(out::paper(session)?),
        What::Plan => Ok(one("sections", out::card(session)?)),
        What::Worn => Ok(worn::worn(session)?),
    }
}
