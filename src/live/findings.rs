//! What the checks found, each with its places on the drawing and what one click does about it.

use super::drawing::place;
use super::ended::{wanted_still, Ended};
use super::question::edits_json;
use crate::checks::{bridge_limit, Check, Level, Verdict};
use crate::job::Job;
use crate::mend::edits_of;
use crate::pipeline::Session;
use crate::units::JUST_PASSED;
use crate::work::Work;
use serde_json::{json, Value};

/// Places of one finding that are shown, at most.
const PLACES: usize = 60;

/// All findings, stops first. With `remedies` each fault is given one that was tried, and whether the paper fits is looked at.
pub(super) fn findings(
    session: &mut Session,
    remedies: bool,
    unwanted: &dyn Fn() -> bool,
) -> Result<Value, Ended> {
    let work = session.work().map_err(Some)?.clone();
    let job = session.job().map_err(Some)?.0.clone();
    let mut verdicts = work.verdicts.clone();
    let mut edits: Vec<Option<Value>> = vec![None; verdicts.len()];
    if remedies {
        while session.step_remedies().map_err(Some)? {
            wanted_still(unwanted)?;
        }
        for (i, changes) in session.remedies_found() {
            edits[i] = edits_of(&job, changes).map(|edits| edits_json(&edits));
        }
        verdicts = session.findings_so_far().map_err(Some)?;
        edits.resize(verdicts.len(), None);
    }
    let mut order: Vec<usize> = (0..verdicts.len()).collect();
    order.sort_by_key(|&i| std::cmp::Reverse(verdicts[i].level));
    Ok(order
        .into_iter()
        .map(|i| {
            let same = verdicts[..i].iter().filter(|v| v.check == verdicts[i].check).count();
            one(&job, &work, &verdicts[i], same, edits[i].take())
        })
        .collect())
}

fn one(job: &Job, work: &Work, v: &Verdict, same: usize, edits: Option<Value>) -> Value {
    let (places, openings) = places(job, work, v);
    let id = if same == 0 { v.check.name().to_string() } else { format!("{}-{}", v.check.name(), same + 1) };
    json!({
        "id": id,
        "check": v.check.name(),
        "level": v.level,
        "title": title(v.check),
        "count": v.count,
        "says": v.says(job.units),
        "because": if v.level.is_fault() { v.because(job.units) } else { String::new() },
        "remedy": v.remedy,
        "no_remedy": v.no_remedy,
        "edits": edits,
        "places": places,
        "openings": openings,
    })
}

/// A finding without its places.
pub(super) fn bare(job: &Job, v: &Verdict) -> Value {
    json!({ "check": v.check.name(), "level": v.level, "title": title(v.check), "says": v.says(job.units) })
}

/// "bridge width".
fn title(check: Check) -> String {
    check.name().replace('-', " ")
}

/// Where on the drawing it is, the worst first, and the openings beside it.
fn places(job: &Job, work: &Work, v: &Verdict) -> (Vec<Value>, Vec<usize>) {
    if v.level < Level::Caution {
        return (Vec::new(), Vec::new());
    }
    if v.check == Check::BridgeWidth {
        let limit = bridge_limit(job).mm;
        let thin = work
            .graph
            .bridges()
            .filter(|b| b.is_between_openings() && b.finished.get() < limit - JUST_PASSED);
        let thin: Vec<_> = thin.take(PLACES).collect();
        let mut openings: Vec<usize> = thin.iter().flat_map(|b| b.openings()).collect();
        openings.sort_unstable();
        openings.dedup();
        return (thin.iter().map(|b| place(b.midpoint())).collect(), openings);
    }
    let holds = |at| work.piece.openings.iter().find(|o| o.ring.bounds().contains(at) && o.ring.contains(at));
    let openings = v.at.and_then(holds).map(|o| o.n);
    (v.at.map(place).into_iter().collect(), openings.into_iter().collect())
}
