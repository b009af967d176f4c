//! What lies at a place of the drawing, in words, and what can be done to it.

use super::drawing::{micro, path, place};
use super::question::edits_json;
use super::Answer;
use crate::checks::{bridge_limit, Bridge};
use crate::error::Error;
use crate::geom::{Edge, Point};
use crate::job::{Alteration, Edit, Job, Value as Typed};
use crate::openings::Opening;
use crate::pipeline::Session;
use crate::units::JUST_PASSED;
use crate::work::Work;
use serde_json::{json, Value};

/// How much an opening is drawn in by one press, mm: seen on the drawing, and well within any bridge's need.
const DRAW_IN: f64 = 0.15;
/// A bridge is meant within this of the line between its two edges, mm: about a finger's width at usual zoom.
const NEAR: f64 = 1.0;

/// `kind` ("opening", "bridge", "window", "hole", "solid" or "waste"), `n`, `at`, the outline `d` of an opening, `says` line by line, and `edits` by what they do.
pub(super) fn at(session: &mut Session, [x, y]: [f64; 2]) -> Result<Answer, Error> {
    let work = session.work()?.clone();
    let job = &session.job()?.0;
    let p = Point::new(x, y);
    let found = opening(job, &work, p)
        .or_else(|| cut_out(job, &work, p))
        .or_else(|| bridge(job, &work, p))
        .unwrap_or_else(|| rest(job, &work, p));
    match found {
        Value::Object(answer) => Ok(answer),
        _ => Ok(Answer::new()),
    }
}

fn opening(job: &Job, work: &Work, p: Point) -> Option<Value> {
    let o = work.piece.openings.iter().find(|o| o.ring.bounds().contains(p) && o.ring.contains(p))?;
    let n = job.units;
    let mut says = vec![
        format!("opening {}, pierced {}", o.n, place_in_order(o.n, work.piece.openings.len())),
        format!(
            "widest circle {}, {} {}² open, {} round",
            n.says(o.widest.get(), 2),
            n.area(o.area, 1),
            n.sign(),
            n.says(o.perimeter.get(), 1)
        ),
    ];
    match o.corners {
        0 => {}
        1 => says.push("1 sharp corner".into()),
        corners => says.push(format!("{corners} sharp corners")),
    }
    if o.trimmed {
        says.push("cut by the border or by something kept".into());
    }
    let around = work.graph.bridges().find(|b| b.openings().any(|n| n == o.n));
    says.extend(around.map(|b| format!("thinnest bridge beside it: {}", width(job, &b))));
    Some(json!({
        "kind": "opening", "n": o.n, "at": place(o.drill_at), "d": path(std::iter::once(&o.ring)), "says": says,
        "edits": alterations(job, o),
    }))
}

fn place_in_order(n: usize, all: usize) -> String {
    match n {
        1 => "first".into(),
        n if n == all => "last".into(),
        n => format!("after {} others", n - 1),
    }
}

/// Closing it, drawing it in, and taking back what was altered.
fn alterations(job: &Job, o: &Opening) -> Value {
    let here = job.changes.iter().position(|c| o.ring.contains(c.at));
    let row = |key: &'static str, value: Typed| {
        let i = job.changes.len();
        let at = Typed::List(vec![micro(o.drill_at.x), micro(o.drill_at.y)]);
        edits_json(&[Edit::set(format!("change[{i}]"), Typed::Row(vec![("at", at), (key, value)]))])
    };
    match here {
        None => {
            json!({ "close": row("close", Typed::Yes(true)), "draw_in": row("draw_in", Typed::Mm(DRAW_IN)) })
        }
        Some(i) => {
            let more = match job.changes[i].what {
                Alteration::DrawIn(by) => by.get() + DRAW_IN,
                Alteration::Close => DRAW_IN,
            };
            json!({
                "draw_in": edits_json(&[Edit::mm(format!("change[{i}].draw_in"), micro(more))]),
                "as_it_was": edits_json(&[Edit::clear(format!("change[{i}]"))]),
            })
        }
    }
}

fn cut_out(job: &Job, work: &Work, p: Point) -> Option<Value> {
    let n = job.units;
    let outline = &work.piece.outline;
    if let Some(w) = outline.windows.iter().find(|w| w.contains(p)) {
        let says = vec![
            format!("{}, {}", w.label, w.name),
            format!(
                "sawn, with a border of {}; widest circle {}",
                n.says(w.border.get(), 2),
                n.says(w.widest.get(), 2)
            ),
        ];
        return Some(
            json!({ "kind": "window", "n": null, "at": place(w.drill_at), "says": says, "edits": {} }),
        );
    }
    let h = outline.holes.iter().find(|h| (p - h.at).hypot2().sqrt() <= h.diameter.get() / 2.0)?;
    let says = vec![
        format!("{}, {}", h.label, h.name),
        format!("drilled to {}, not sawn", n.says(h.diameter.get(), 2)),
    ];
    Some(json!({ "kind": "hole", "n": null, "at": place(h.at), "says": says, "edits": {} }))
}

fn width(job: &Job, b: &Bridge) -> String {
    let (drawn, left) = (b.width.get(), b.finished.get());
    let drawn = job.units.says(drawn, 2);
    let thin = b.is_between_openings() && left < bridge_limit(job).mm - JUST_PASSED;
    let mark = if thin { ", under the limit" } else { "" };
    format!("{drawn} as drawn, {} once filed{mark}", job.units.says(left, 2))
}

fn bridge(job: &Job, work: &Work, p: Point) -> Option<Value> {
    let away = |b: &Bridge| match b.at[0] == b.at[1] {
        true => (p - b.at[0]).hypot2(),
        false => {
            let line = Edge::Line { from: b.at[0], to: b.at[1] };
            (p - line.nearest(p)).hypot2()
        }
    };
    let near = work.graph.bridges().map(|b| (away(&b), b)).filter(|(d, _)| *d <= NEAR * NEAR);
    let (_, b) = near.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let says = vec![format!("bridge between {} and {}", b.between[0], b.between[1]), width(job, &b)];
    Some(json!({
        "kind": "bridge", "n": null, "at": place(b.midpoint()), "says": says,
        "a": place(b.at[0]), "b": place(b.at[1]), "edits": {},
    }))
}

fn rest(job: &Job, work: &Work, p: Point) -> Value {
    let outline = &work.piece.outline;
    if !outline.edge.contains(p) {
        return json!({ "kind": "waste", "n": null, "at": place(p), "says": ["waste: outside the piece"], "edits": {} });
    }
    let kept = outline.keeps.iter().find(|k| k.contains(p)).map(|k| format!("kept solid: {}", k.name));
    // A repeat that was left solid has its middle near.
    let left = work.piece.left_solid.iter().map(|l| ((p - l.at).hypot2(), l));
    let reach = work.piece.resolved.pitch.get() / 2.0;
    let left = left.filter(|(d, _)| *d <= reach * reach).min_by(|a, b| a.0.total_cmp(&b.0));
    let says = kept.or_else(|| left.map(|(_, l)| format!("left solid: {}", l.reason)));
    let closed = job
        .changes
        .iter()
        .position(|c| matches!(c.what, Alteration::Close) && (p - c.at).hypot2() <= reach * reach);
    let edits = closed
        .map_or(json!({}), |i| json!({ "as_it_was": edits_json(&[Edit::clear(format!("change[{i}]"))]) }));
    json!({ "kind": "solid", "n": null, "at": place(p), "says": [says.unwrap_or("solid metal".into())], "edits": edits })
}
