//! Bridges as JSON: the narrowest, and all of them where they are asked for.

use super::{at, n};
use crate::checks::{held_by_one, Bridge, HeldByOne, Side};
use crate::geom::Point;
use crate::job::Job;
use crate::units::JUST_PASSED;
use crate::work::Work;
use serde_json::{json, Map, Value};

fn side(side: Side) -> Value {
    match side {
        Side::Opening(number) => json!(number),
        Side::Edge => json!(0),
        Side::Window(w) => json!(format!("W{w}")),
        Side::Hole(h) => json!(format!("H{h}")),
    }
}

fn bridge(b: &Bridge) -> Map<String, Value> {
    widths(b.between, b.width.get(), b.finished.get(), b.at)
}

fn widths(between: [Side; 2], width: f64, finished: f64, ends: [Point; 2]) -> Map<String, Value> {
    Map::from_iter([
        ("between".to_string(), json!(between.map(side))),
        ("width_mm".to_string(), n(width)),
        ("finished_mm".to_string(), n(finished)),
        ("at_mm".to_string(), json!(ends.map(at))),
    ])
}

/// The narrowest of all, metal out to the edge included. `below_limit` counts those under their own limit: the border's
/// at the edge, the bridge's everywhere else.
pub(super) fn bridges(job: &Job, work: &Work, with_list: bool) -> Value {
    let (all, kinds) = (|| work.graph.bridges(), || work.graph.kinds());
    // They come thinnest first.
    let narrowest = all().next();
    let below = |b: &Bridge| {
        let limit = if b.between.contains(&Side::Edge) { job.limits.border } else { job.limits.bridge };
        b.finished.get() < limit.get() - JUST_PASSED
    };
    let mut out = Map::new();
    out.insert("narrowest_mm".into(), json!(narrowest.map(|b| n(b.width.get()))));
    out.insert("narrowest_finished_mm".into(), json!(narrowest.map(|b| n(b.finished.get()))));
    out.insert("between".into(), json!(narrowest.map(|b| b.between.map(side))));
    out.insert("at_mm".into(), json!(narrowest.map(|b| at(b.at[0].midpoint(b.at[1])))));
    out.insert(
        "below_limit".into(),
        json!(kinds().filter(|(b, _)| below(b)).map(|(_, times)| times).sum::<usize>()),
    );
    if with_list {
        let numbered = all().zip(1..).map(|(b, i)| {
            let mut entry = bridge(&b);
            entry.insert("n".into(), json!(i));
            Value::Object(entry)
        });
        out.insert("list".into(), numbered.collect());
        out.insert("held_by_one".into(), held_by_one(job, &work.piece).iter().map(alone).collect());
    }
    Value::Object(out)
}

/// A part that a single bridge holds, with that bridge.
fn alone(part: &HeldByOne) -> Value {
    json!({
        "inside": side(part.inside),
        "width_mm": n(part.width.get()),
        "finished_mm": n(part.finished.get()),
        "at_mm": part.at.map(at),
        "carries": part.carries.iter().map(|s| side(*s)).collect::<Vec<_>>(),
    })
}
