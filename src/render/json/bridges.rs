//! Bridges as JSON: the narrowest, and the whole graph where it is asked for.

use super::{at, known, n};
use crate::checks::{net, Bridge, Net, Side, Span, Way};
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
    let all = &work.graph.bridges;
    let narrowest = all.iter().min_by(|a, b| a.finished.get().total_cmp(&b.finished.get()));
    let below = |b: &&Bridge| {
        let limit = if b.between.contains(&Side::Edge) { job.limits.border } else { job.limits.bridge };
        b.finished.get() < limit.get() - JUST_PASSED
    };
    let mut out = Map::new();
    out.insert("narrowest_mm".into(), json!(narrowest.map(|b| n(b.width.get()))));
    out.insert("narrowest_finished_mm".into(), json!(narrowest.map(|b| n(b.finished.get()))));
    out.insert("between".into(), json!(narrowest.map(|b| b.between.map(side))));
    out.insert("at_mm".into(), json!(narrowest.map(|b| at(b.at[0].midpoint(b.at[1])))));
    out.insert("below_limit".into(), json!(all.iter().filter(below).count()));
    if with_list {
        graph(&mut out, all, &net(job, &work.piece, &work.graph));
    }
    Value::Object(out)
}

/// The bridge graph: `list`, every bridge whose width is checked, thinnest first; `rest`, those that are narrowest at a
/// crossing or wider than is looked at, numbered on; `crossings`, where bridges meet; `alone`, parts on a single neck. Numbers count from 1.
fn graph(out: &mut Map<String, Value>, necks: &[Bridge], net: &Net) {
    let listed = net.spans.partition_point(|s| s.neck.is_some());
    // A bridge's number: its place in `list`, or after all of them in `rest`.
    let number =
        |s: usize| net.spans.get(s).and_then(|span| span.neck).unwrap_or(necks.len() + s - listed) + 1;
    let way = |w: &Way| {
        known(json!({ "length_mm": n(w.length.get()), "bridges": w.bridges, "next": w.next.map(number) }))
    };
    let of_span = |s: usize, entry: &mut Map<String, Value>| {
        let span: &Span = &net.spans[s];
        entry.insert("length_mm".into(), n(span.length.get()));
        entry.insert("crossings".into(), json!(span.joints.map(|j| j + 1)));
        let to_border = net.way_of(s).map(
            |(j, w)| json!({ "from_crossing": j + 1, "length_mm": n(w.length.get()), "bridges": w.bridges }),
        );
        entry.extend(to_border.map(|way| ("to_border".into(), way)));
        entry.extend(span.shares_with.map(|s| ("shares_with".into(), json!(number(s)))));
    };
    let mut span_of = vec![None; necks.len()];
    net.spans
        .iter()
        .enumerate()
        .for_each(|(s, span)| span.neck.into_iter().for_each(|i| span_of[i] = Some(s)));
    let joint_of: std::collections::BTreeMap<usize, usize> = net.in_joints.iter().copied().collect();
    let mut list: Vec<Map<String, Value>> = necks.iter().map(bridge).collect();
    for (i, entry) in list.iter_mut().enumerate() {
        entry.insert("n".into(), json!(i + 1));
        match (span_of[i], joint_of.get(&i)) {
            (Some(s), _) => of_span(s, entry),
            // So short that its two crossings are one.
            (None, Some(&j)) => {
                entry.insert("length_mm".into(), n(0.0));
                entry.insert("crossings".into(), json!([j + 1, j + 1]));
                let to_border = net.joints[j].to_border.map(
                    |w| json!({ "from_crossing": j + 1, "length_mm": n(w.length.get()), "bridges": w.bridges }),
                );
                entry.extend(to_border.map(|way| ("to_border".into(), way)));
            }
            (None, None) => {}
        }
    }
    out.insert("list".into(), json!(list));
    let rest = (listed..net.spans.len()).map(|s| {
        let span = &net.spans[s];
        let mut entry = widths(span.between, span.width.get(), span.finished.get(), span.at);
        entry.insert("n".into(), json!(number(s)));
        of_span(s, &mut entry);
        Value::Object(entry)
    });
    out.insert("rest".into(), rest.collect());
    let joints = net.joints.iter().enumerate().map(|(j, joint)| {
        known(json!({
            "n": j + 1,
            "at_mm": at(joint.at),
            "across_mm": n(joint.across.get()),
            "between": joint.between.iter().map(|s| side(*s)).collect::<Vec<_>>(),
            "bridges": joint.spans.iter().map(|s| number(*s)).collect::<Vec<_>>(),
            "to_border": joint.to_border.as_ref().map(way),
        }))
    });
    out.insert("crossings".into(), joints.collect());
    let alone = net.alone.iter().map(|a| {
        json!({
            "inside": side(a.inside),
            "width_mm": n(a.width.get()),
            "finished_mm": n(a.finished.get()),
            "at_mm": [at(a.at[0]), at(a.at[1])],
            "carries": a.carries.iter().map(|s| side(*s)).collect::<Vec<_>>(),
        })
    });
    out.insert("alone".into(), alone.collect());
}
