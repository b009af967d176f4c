//! All patterns, and each on this piece.

use super::drawing::{bounds, path};
use super::numbers;
use super::question::edits_json;
use super::Answer;
use crate::catalogue;
use crate::catalogue::GROWN;
use crate::error::Error;
use crate::job::{Edit, Job, PatternSource, Value as Typed};
use crate::pipeline::{sampler, Session};
use crate::units::short;
use crate::work::work;
use serde_json::{json, Value};

/// Keys under `[pattern]` that mean something to some patterns only, or a size that suited another.
const OWN: [&str; 11] =
    ["file", "pitch", "at", "turn", "variation", "fold", "sides", "passes", "grade", "ray_angle", "along"];

/// Name, title, family and description of every pattern, as lists show them.
pub(super) fn all() -> Value {
    let repeating = catalogue::all().iter().map(|p| {
        let family = match p.fills {
            catalogue::Fills::Motif => "motifs",
            catalogue::Fills::Ground => "figures on a ground",
            catalogue::Fills::Plane => "repeats",
        };
        json!({ "name": p.name, "title": p.title, "family": family, "about": p.about })
    });
    let grown = GROWN
        .iter()
        .map(|g| json!({ "name": g.name, "title": g.title, "family": "grown", "about": g.about }));
    repeating.chain(grown).collect()
}

/// What choosing a pattern does to a job: it is laid at the size that suits it.
fn choosing(job: &Job, name: &str) -> Vec<Edit> {
    let mut edits = vec![Edit::set("pattern.name", Typed::word(name))];
    let typed = |key: &str| job.source.values.is_typed(&format!("pattern.{key}"));
    edits.extend(OWN.iter().filter(|key| typed(key)).map(|key| Edit::clear(format!("pattern.{key}"))));
    let upright = catalogue::find(name).map_or(0.0, |p| p.upright);
    if upright != 0.0 {
        edits.push(Edit::set("pattern.turn", Typed::Raw(short(upright, 6))));
    }
    edits
}

/// One pattern in this outline at this sheet, blade and skill, as [`tried`] tells it.
pub(super) fn sample(session: &mut Session, name: &str) -> Result<Answer, Error> {
    let job = session.job()?.0.clone();
    let known = sampler::choices().into_iter().find(|c| c.name == name);
    let title = known
        .map(|c| c.title)
        .ok_or_else(|| Error::job(format!("there is no pattern \"{name}\""), "choose one of the list"))?;
    let here = matches!(&job.pattern.source, PatternSource::Repeat(p) if p.name == name)
        || matches!(&job.pattern.source, PatternSource::Grown(own) if own == name);
    let edits = if here { Vec::new() } else { choosing(&job, name) };
    Ok(tried(&job, name, &title, &edits))
}

/// What edits make of a job: `name`, `title`, `d`, `outline` and `windows` (path data), `box`, `hours`, `bridge`,
/// `openings`, `fits`, `says` (why not), `edits` (what choosing it does).
pub(super) fn tried(job: &Job, name: &str, title: &str, edits: &[Edit]) -> Answer {
    let worked = job.with(edits).and_then(|after| Ok((work(&after)?, after)));
    let mut answer = Answer::new();
    let mut say = |key: &str, value: Value| answer.insert(key.to_string(), value);
    say("name", json!(name));
    say("title", json!(title));
    say("edits", edits_json(edits));
    match worked {
        Ok((work, after)) => {
            let piece = &work.piece;
            let why = sampler::why_not(&after, &work);
            say("fits", json!(why.is_none()));
            say("says", json!(why));
            say("box", bounds(piece.outline.edge.bounds()));
            say("outline", json!(path(std::iter::once(&piece.outline.edge))));
            say("windows", json!(path(piece.outline.windows.iter().map(|w| &w.ring))));
            say("d", json!(path(piece.openings.iter().map(|o| &o.ring))));
            let numbers = numbers::numbers(&after, &work);
            for key in ["hours", "bridge", "openings"] {
                say(key, numbers[key].clone());
            }
        }
        Err(error) => {
            say("fits", json!(false));
            say("says", json!(error.problems.first().map(|p| p.wrong.clone())));
            say("d", json!(""));
        }
    }
    answer
}
