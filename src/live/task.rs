//! What has to be worked out for an answer, apart from the bench, so that the bench answers on meanwhile.

use super::drawing::Tiles;
use super::ended::{wanted_still, Ended};
use super::question::{Question, Wanted};
use super::{at, change, drawing, findings, numbers, out, patterns, worn, Answer};
use crate::checks::BridgeGraph;
use crate::error::{while_wanted, Error};
use crate::job::{Edit, Job, Value as Typed};
use crate::openings::Piece;
use crate::pipeline::Session;
use crate::work::Work;
use serde_json::{json, Value};
use std::rc::Rc;
use std::sync::Arc;

/// Openings up to which a piece is worked out whole while a hand moves something: bridges, findings and plan of so many
/// take about as long as a screen takes to be drawn anew.
const WHOLE_AT_ONCE: usize = 150;

/// One answer to be worked out.
pub struct Task {
    session: Session,
    turn: u64,
    /// The openings that the asker has already.
    has: Option<Arc<Tiles>>,
    /// What is said already.
    answer: Answer,
    what: What,
}

/// A task worked out.
pub struct Done {
    pub(super) session: Session,
    pub(super) turn: u64,
    /// The job makes a piece.
    pub(super) made: bool,
    /// It shows a change of the job.
    pub(super) changes: bool,
    /// `Err(None)` where nobody waits for it any more.
    pub(super) answer: Result<Answer, Option<Error>>,
    /// The openings that it shows.
    pub(super) shows: Option<Arc<Tiles>>,
}

/// A piece as far as it is worked out.
struct Seen {
    piece: Arc<Piece>,
    /// Its bridges, as soon as they are measured: without them it is only shown until they are there.
    bridges: Option<Arc<BridgeGraph>>,
    work: Option<Work>,
    /// The job makes this piece.
    own: bool,
}

/// How far a piece has to be worked out.
#[derive(PartialEq)]
enum Far {
    /// Of a large piece, or one that is bent to its border, only what the hand sees move.
    AtOnce,
    /// What is drawn.
    Bridges,
    /// Findings and plan.
    Work,
}

/// What is asked.
pub(super) enum What {
    /// A changed job.
    Shown(Wanted),
    Drawing {
        quick: bool,
    },
    Numbers,
    Findings {
        remedies: bool,
    },
    At([f64; 2]),
    /// A pattern by its name.
    Sample(String),
    /// Anything else that edits bring about: a row, a motif in the middle.
    Tried {
        title: String,
        edits: Vec<Edit>,
    },
    Mend {
        cautions: bool,
    },
    Wish(Edit),
    Paper,
    Plan,
    Worn,
}

impl What {
    pub(super) fn read(q: &Question, job: &Job) -> Result<Self, Error> {
        Ok(match q.ask() {
            "drawing" => What::Drawing { quick: q.flag("quick") },
            "numbers" => What::Numbers,
            "findings" => What::Findings { remedies: q.flag("remedies") },
            "at" => {
                let place = q.number("x").zip(q.number("y"));
                let (x, y) = place.ok_or_else(|| Error::job("no place is named", "click on the drawing"))?;
                What::At([x, y])
            }
            "sample" => match q.text("name") {
                Some(name) => What::Sample(name.to_string()),
                None => What::Tried { title: q.needed("title")?.to_string(), edits: q.edits(job)? },
            },
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

    /// How far the piece has to be worked out for it.
    fn far(&self) -> Far {
        match self {
            What::Shown(wanted) if wanted.quick && !wanted.findings => Far::AtOnce,
            What::Drawing { quick: true } => Far::AtOnce,
            What::Drawing { quick: false } => Far::Bridges,
            _ => Far::Work,
        }
    }

    /// Whether a person waits for it between two movements of the hand.
    fn is_quick(&self) -> bool {
        match self {
            What::Shown(wanted) => !wanted.findings,
            What::Drawing { .. } | What::Numbers | What::At(_) => true,
            What::Findings { remedies } => !remedies,
            _ => false,
        }
    }
}

impl Task {
    pub(super) fn new(session: Session, turn: u64, answer: Answer, what: What) -> Self {
        Self { session, turn, has: None, answer, what }
    }

    /// The asker has a drawing already.
    pub(super) fn after(self, has: Option<Arc<Tiles>>) -> Self {
        Self { has, ..self }
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
        Done { session: self.session, turn: self.turn, made: false, changes, answer: Err(None), shows: None }
    }

    /// Whether it shows a change of the job.
    pub fn changes(&self) -> bool {
        matches!(self.what, What::Shown(_))
    }

    pub(super) fn says(&mut self, key: &str, value: Value) {
        self.answer.insert(key.to_string(), value);
    }

    /// Works it out. `unwanted` is asked between steps and within long ones, and says whether nobody waits for the answer any
    /// more; once it has said so, it does not say otherwise.
    pub fn run(self, unwanted: impl Fn() -> bool + 'static) -> Done {
        let changes = self.changes();
        let Task { mut session, turn, has, mut answer, what } = self;
        let (mut shows, mut made) = (None, false);
        let unwanted: Rc<dyn Fn() -> bool> = Rc::new(unwanted);
        let work = while_wanted(unwanted.clone(), || {
            let seen = worked(&mut session, &what.far(), &*unwanted)?;
            made = seen.own;
            parts(&mut session, &what, &seen, (has, &mut shows), &*unwanted)
        });
        let answer = work.unwrap_or(Err(None)).map(|more| {
            answer.extend(more);
            answer
        });
        Done { session, turn, made, changes, answer, shows }
    }
}

/// Works the piece out step by step, so that one that nobody waits for any more is dropped on the way.
fn worked(session: &mut Session, far: &Far, unwanted: &dyn Fn() -> bool) -> Result<Seen, Ended> {
    wanted_still(unwanted)?;
    if *far == Far::AtOnce {
        let (piece, own) = session.at_once().map_err(Some)?;
        if !own || piece.openings.len() > WHOLE_AT_ONCE {
            return Ok(Seen { piece, bridges: None, work: None, own });
        }
    }
    let piece = session.piece().map_err(Some)?;
    wanted_still(unwanted)?;
    let bridges = Some(session.bridges().map_err(Some)?);
    if *far == Far::Bridges {
        return Ok(Seen { piece, bridges, work: None, own: true });
    }
    wanted_still(unwanted)?;
    let work = Some(session.work().map_err(Some)?.clone());
    Ok(Seen { piece, bridges, work, own: true })
}

fn parts(
    session: &mut Session,
    what: &What,
    seen: &Seen,
    (has, shows): (Option<Arc<Tiles>>, &mut Option<Arc<Tiles>>),
    unwanted: &dyn Fn() -> bool,
) -> Result<Answer, Ended> {
    let one = |key: &str, value: Value| Answer::from_iter([(key.to_string(), value)]);
    let mut drawn = |session: &mut Session| -> Result<Value, Error> {
        let none = BridgeGraph::default();
        let bridges = seen.bridges.as_deref().unwrap_or(&none);
        let mut drawing = drawing::drawing(&session.job()?.0, &seen.piece, bridges);
        drawing["final"] = seen.bridges.is_some().into();
        let tiles = Tiles::of(&seen.piece);
        tiles.tell(&mut drawing, has.as_deref());
        *shows = Some(Arc::new(tiles));
        Ok(drawing)
    };
    let counted = |session: &mut Session| -> Result<Option<Value>, Error> {
        let job = &session.job()?.0;
        Ok(seen.work.as_ref().map(|work| numbers::numbers(job, work)))
    };
    match what {
        What::Shown(wanted) => {
            let mut answer = Answer::new();
            if wanted.drawing {
                answer.insert("drawing".into(), drawn(session)?);
            }
            if wanted.numbers {
                answer.extend(counted(session)?.map(|numbers| ("numbers".into(), numbers)));
            }
            if wanted.findings {
                answer.insert("findings".into(), findings::findings(session, false, unwanted)?);
            }
            Ok(answer)
        }
        What::Drawing { .. } => Ok(one("drawing", drawn(session)?)),
        What::Numbers => Ok(one("numbers", json!(counted(session)?))),
        What::Findings { remedies } => Ok(one("findings", findings::findings(session, *remedies, unwanted)?)),
        What::At(place) => Ok(at::at(session, *place)?),
        What::Sample(name) => Ok(patterns::sample(session, name)?),
        What::Tried { title, edits } => {
            let job = session.job()?.0.clone();
            Ok(patterns::tried(&job, title, title, edits))
        }
        What::Mend { cautions } => Ok(change::mend(session, *cautions, unwanted)?),
        What::Wish(edit) => Ok(change::wish(session, edit, unwanted)?),
        What::Paper => Ok(out::paper(session)?),
        What::Plan => Ok(one("sections", out::card(session)?)),
        What::Worn => Ok(worn::worn(session)?),
    }
}
