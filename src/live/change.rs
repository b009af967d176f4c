//! Changes looked for by the engine: the least that mends, and what comes nearest to a wish.

use super::ended::{wanted_still, Ended};
use super::question::edits_json;
use super::{drawing, findings, numbers, Answer};
use crate::error::Error;
use crate::job::{Edit, Job};
use crate::mend::{self, changed, edits_of, in_words, Change};
use crate::pipeline::Session;
use crate::work::work;
use serde_json::{json, Value};

/// The job with changes, worked out, and how to make them: `edits`, or `text` where one change builds on another.
fn after(job: &Job, changes: &[Change], clear: &[Edit]) -> Result<Answer, Error> {
    let mended = changed(job, changes)?;
    let worked = work(&mended)?;
    let mut answer = Answer::new();
    answer.insert("after".into(), drawing::whole(&mended, &worked.piece, &worked.graph));
    answer.insert("numbers".into(), numbers::numbers(&mended, &worked));
    let edits = edits_of(job, changes);
    answer.insert(
        "edits".into(),
        edits.as_ref().map_or(Value::Null, |edits| {
            let all: Vec<Edit> = edits.iter().chain(clear).cloned().collect();
            edits_json(&all)
        }),
    );
    let text = edits.is_none().then(|| mended.source.text.to_string());
    answer.insert("text".into(), json!(text));
    Ok(answer)
}

/// `changes` in words, `says`, `before` and `after` as drawings with `numbers` of the latter, `edits`, `left`.
pub(super) fn mend(
    session: &mut Session,
    cautions: bool,
    unwanted: &dyn Fn() -> bool,
) -> Result<Answer, Ended> {
    let work = session.work().map_err(Some)?.clone();
    let job = session.job().map_err(Some)?.0.clone();
    wanted_still(unwanted)?;
    let mended = mend::mend_while(&job, &work, cautions, &|| !unwanted());
    wanted_still(unwanted)?;
    let mut answer = match &mended.best {
        Some(best) => after(&job, &best.changes, &[]).map_err(Some)?,
        None => Answer::new(),
    };
    let changes = mended.best.iter().flat_map(|best| best.changes.chunks(1));
    let changes: Vec<String> = changes.map(|change| in_words(&job, change)).collect();
    answer.insert("says".into(), json!(mended.says));
    answer.insert("sound".into(), json!(mended.sound));
    answer.insert("clears".into(), json!(mended.best.is_some()));
    answer.insert("changes".into(), json!(changes));
    answer.insert("finer_hand".into(), json!(mended.finer_hand));
    answer.insert("before".into(), drawing::whole(&job, &work.piece, &work.graph));
    let left = mended.candidates.first().filter(|c| !c.clears).map(|c| &c.left);
    let left: Vec<Value> = left.into_iter().flatten().map(|v| findings::bare(&job, v)).collect();
    answer.insert("left".into(), json!(left));
    Ok(answer)
}

/// What comes nearest to a wish: `says`, `edits`, `after`, `numbers`.
pub(super) fn wish(session: &mut Session, edit: &Edit, unwanted: &dyn Fn() -> bool) -> Result<Answer, Ended> {
    let job = session.job().map_err(Some)?.0.clone();
    let own: Vec<Edit> = ["openings", "hours", "weight"]
        .iter()
        .map(|key| format!("wish.{key}"))
        .filter(|path| job.source.values.is_typed(path))
        .map(Edit::clear)
        .collect();
    let plain = job.with(&own).map_err(Some)?;
    let wishing = plain.with(std::slice::from_ref(edit)).map_err(Some)?;
    let wished = mend::wish_while(&wishing, &|| !unwanted()).map_err(Some);
    wanted_still(unwanted)?;
    let Some(wished) = wished? else { return Ok(Answer::new()) };
    let mut answer = match wished.solutions.first() {
        Some(nearest) => after(&plain, &nearest.changes, &own).map_err(Some)?,
        None => Answer::new(),
    };
    answer.insert("says".into(), json!(wished.says));
    answer.insert("met".into(), json!(!wished.solutions.is_empty()));
    Ok(answer)
}
