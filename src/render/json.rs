//! The plan as JSON, schema 2: one piece, mm, y up, origin at the middle of the outline. A pair's left, never mirrored for
//! print. Lengths are rounded to a millionth of a millimetre so that the same job gives the same bytes.

use crate::checks::{held_by_one, Bridge, HeldByOne, Quantity, Side, Verdict};
use crate::geom::Point;
use crate::job::Job;
use crate::openings::Piece;
use crate::pattern::RowSet;
use crate::plan::{Cut, Part, Plan, Spread};
use crate::units::{LengthUnit, Mm, JUST_PASSED};
use crate::work::Work;
use serde_json::{json, Map, Value};

/// Version of what the outside may rely on.
pub const SCHEMA: u32 = 2;

/// Decimals kept.
const PLACES: f64 = 1e6;

/// A number as it is written; what is not a number (an unbounded gap) becomes null.
fn n(value: f64) -> Value {
    // Adding zero turns minus zero into zero.
    json!((value * PLACES).round() / PLACES + 0.0)
}

fn at(point: Point) -> Value {
    json!([n(point.x), n(point.y)])
}

fn spread(s: Spread) -> Value {
    json!({ "low": n(s.low), "likely": n(s.likely), "high": n(s.high) })
}

/// The whole plan. `pages` is the count of pages printed; `with_bridges` lists every bridge.
pub fn plan_json(job: &Job, work: &Work, pages: usize, with_bridges: bool) -> Value {
    let (piece, plan) = (&work.piece, &work.plan);
    json!({
        "schema": SCHEMA,
        "title": job.title,
        "metal": job.sheet.metal.name,
        "thickness_mm": n(job.measured.thickness.unwrap_or(job.sheet.thickness).get()),
        "resolved": resolved(job, piece),
        "openings": openings(piece),
        "bridges": bridges(job, work, with_bridges),
        "verdicts": work.verdicts.iter().map(|v| verdict(v, job.units)).collect::<Vec<_>>(),
        "drill": drill(job, plan),
        "saw": saw(job, plan),
        "order": order(plan),
        "parts": plan.parts.iter().map(part).collect::<Vec<_>>(),
        "weights": {
            "blank_g": n(plan.weights.blank),
            "piece_g": n(plan.weights.piece),
            "scrap_g": n(plan.weights.scrap),
            "filings_g": n(plan.weights.filings),
            "overrun_g": n(plan.weights.overrun),
            "built_g": n(plan.built.finished()),
        },
        "metal_of_one": plan
            .built
            .shares
            .iter()
            .map(|s| json!({ "part": s.part, "finished_g": n(s.finished), "taken_g": n(s.taken), "sum": s.sum }))
            .collect::<Vec<_>>(),
        "sizes": sizes(piece, plan),
        "solder": solder(plan),
        "cold_joins": plan
            .joins
            .cold
            .iter()
            .map(|c| json!({ "seam": c.seam, "length_mm": n(c.length), "how": c.how }))
            .collect::<Vec<_>>(),
        "hang": hang(plan),
        "time": time(plan),
        "batch": batch(plan),
        "pages": pages,
    })
}

/// Width and height: of the plate as drawn (a domed piece's flat), as measured, and over all of the finished piece.
fn sizes(piece: &Piece, plan: &Plan) -> Value {
    let outline = &piece.outline;
    let pair = |(w, h): (Mm, Mm)| json!([n(w.get()), n(h.get())]);
    let (wide, high) = plan.built.size;
    json!({
        "drawn_mm": pair(outline.size),
        "measured_mm": outline.found.as_ref().map(|_| pair(outline.found_size())),
        "over_all_mm": pair((Mm(wide), Mm(high))),
        "deep_mm": n(plan.built.deep),
    })
}

fn resolved(job: &Job, piece: &Piece) -> Value {
    let r = &piece.resolved;
    json!({
        "pitch_mm": n(r.pitch.get()),
        "bridge_mm": n(r.bridge.get()),
        "bridge_to_mm": r.bridge_to.map(|to| n(to.get())),
        "along": job.pattern.along.map(n),
        "centre": r.centre,
        "turn": n(r.turn),
        "origin_mm": r.origin.map(at),
        "clean_up_mm": n(job.saw.clean_up.get()),
        "limits": {
            "bridge_mm": n(job.limits.bridge.get()),
            "opening_mm": n(job.limits.opening.get()),
            "border_mm": n(job.limits.border.get()),
        },
        "repeats": r.repeats,
        "rows": r.rows.iter().map(row).collect::<Vec<_>>(),
        "notes": r.notes,
    })
}

/// A row: where its openings stand on their line, those left solid too.
fn row(row: &RowSet) -> Value {
    json!({
        "row": row.row + 1,
        "count": row.openings.len(),
        "step_mm": [n(row.step.0), n(row.step.1)],
        "gap_mm": n(row.gap),
        "stations_mm": row.stations.iter().map(|p| at(*p)).collect::<Vec<_>>(),
    })
}

fn openings(piece: &Piece) -> Value {
    let areas = || piece.openings.iter().map(|o| o.area);
    let total: f64 = areas().sum();
    let whole = piece.outline.edge.area();
    let list: Vec<Value> = piece
        .openings
        .iter()
        .map(|o| {
            json!({
                "n": o.n,
                "x_mm": n(o.drill_at.x),
                "y_mm": n(o.drill_at.y),
                "widest_drill_mm": n(o.widest.get()),
                "area_mm2": n(o.area),
                "distance_round_mm": n(o.perimeter.get()),
                "corners": o.corners,
            })
        })
        .collect();
    json!({
        "count": piece.openings.len(),
        "area_mm2": n(total),
        "distance_round_mm": n(piece.openings.iter().map(|o| o.perimeter.get()).sum()),
        "largest_mm2": areas().reduce(f64::max).map(n),
        "smallest_mm2": areas().reduce(f64::min).map(n),
        "open_fraction": n(if whole > 0.0 { total / whole } else { 0.0 }),
        "left_solid": piece
            .left_solid
            .iter()
            .map(|s| json!({ "at_mm": at(s.at), "reason": s.reason }))
            .collect::<Vec<_>>(),
        "list": list,
    })
}

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
fn bridges(job: &Job, work: &Work, with_list: bool) -> Value {
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
        let numbered = all.iter().zip(1..).map(|(b, i)| {
            let mut entry = bridge(b);
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

/// Which rule binds, and why there is no remedy.
fn because(v: &Verdict, units: LengthUnit) -> String {
    match (v.because(units), v.no_remedy.as_str()) {
        (rule, "") => rule,
        (rule, why) => format!("{rule}; {why}"),
    }
}

/// One verdict, as it stands in the plan.
pub fn verdict(v: &Verdict, units: LengthUnit) -> Value {
    json!({
        "check": v.check,
        "level": v.level,
        "count": v.count,
        "measured": v.measured.map(|q| n(q.value())),
        "limit": v.limit.map(|q| n(q.value())),
        "unit": v.measured.or(v.limit).map(Quantity::unit),
        "at_mm": v.at.map(at),
        "says": v.says(units),
        "remedy": v.remedy,
        "because": because(v, units),
    })
}

fn drill(job: &Job, plan: &Plan) -> Value {
    let (start, stay): (Vec<_>, Vec<_>) = plan.drills.iter().partition(|d| d.stay.is_none());
    json!({
        "diameter_mm": n(job.saw.drill.get()),
        "holes": start.iter().map(|d| d.holes).sum::<usize>(),
        "stay": stay
            .iter()
            .map(|d| json!({ "diameter_mm": n(d.diameter), "holes": d.holes, "for": d.what() }))
            .collect::<Vec<_>>(),
    })
}

fn saw(job: &Job, plan: &Plan) -> Value {
    let saw = &plan.saw;
    json!({
        "blade": job.saw.blade.name,
        "length_mm": n(saw.length()),
        "openings_mm": n(saw.openings),
        "windows_mm": n(saw.windows),
        "outline_mm": n(saw.outline),
        "threadings": saw.threadings,
        "corners": saw.corners,
        "minutes": spread(plan.time.saw),
        "blades": spread(plan.blades),
    })
}

fn order(plan: &Plan) -> Vec<Value> {
    plan.order
        .iter()
        .filter_map(|turn| match turn.cut {
            Cut::Opening(number) => Some(json!(number)),
            Cut::Window(w) => Some(json!(format!("W{w}"))),
            Cut::Outline => None,
        })
        .collect()
}

fn part(p: &Part) -> Value {
    let mut out = Map::new();
    out.insert("part".into(), json!(p.part.words()));
    out.insert("count".into(), json!(p.count));
    let mut was = Map::new();
    for size in &p.sizes {
        out.insert(size.key.into(), n(size.value));
        if let Some(before) = size.was {
            was.insert(size.key.into(), n(before));
        }
    }
    out.insert("sum".into(), json!(p.sum));
    out.insert("source".into(), json!(p.source));
    if !p.bends.is_empty() {
        out.insert("bends_mm".into(), p.bends.iter().map(|b| n(*b)).collect());
    }
    if !p.notes.is_empty() {
        out.insert("notes".into(), json!(p.notes));
    }
    if !was.is_empty() {
        out.insert("was".into(), Value::Object(was));
    }
    Value::Object(out)
}

/// An object without the keys that hold nothing: what does not apply is not there.
fn known(mut object: Value) -> Value {
    if let Some(keys) = object.as_object_mut() {
        keys.retain(|_, value| !value.is_null());
    }
    object
}

fn solder(plan: &Plan) -> Vec<Value> {
    plan.joins
        .solder
        .iter()
        .map(|s| {
            known(json!({
                "seam": s.seam,
                "length_mm": n(s.length),
                "grade": s.grade.name,
                "flow_c": n(s.grade.flow_c),
                "room_c": s.room.map(n),
                "pallions": s.pallions,
                "place": s.place,
                "heat": s.heat,
                "notes": s.notes,
            }))
        })
        .collect()
}

fn hang(plan: &Plan) -> Value {
    match &plan.hang {
        Some(h) => json!({
            "balance_mm": at(h.balance),
            "hole": h.hole.as_ref().map(|hole| &hole.name),
            "aside_mm": n(h.aside),
            "tilt_degrees": n(h.tilt),
        }),
        None => Value::Null,
    }
}

fn time(plan: &Plan) -> Value {
    let t = &plan.time;
    json!({
        "drilling_minutes": n(t.drilling),
        "sawing_minutes": n(t.sawing),
        "corner_minutes": n(t.corners),
        "filing_minutes": n(t.filing),
        "handling_minutes": n(t.handling),
        "whole_minutes": spread(t.whole),
        "rates": t
            .rates
            .iter()
            .map(|r| json!({ "what": r.what, "value": n(r.value), "unit": r.unit, "metal": r.metal.map(n), "own": r.own }))
            .collect::<Vec<_>>(),
    })
}

fn batch(plan: &Plan) -> Value {
    let b = &plan.batch;
    json!({
        "pieces": b.pieces,
        "runs": b.runs,
        "holes": b.holes,
        "threadings": b.threadings,
        "length_mm": n(b.length),
        "minutes": spread(b.minutes),
        "hours": spread(b.minutes.times(1.0 / 60.0)),
        "blades": spread(b.blades),
        "metal_in_g": n(b.metal_in),
        "metal_out_g": n(b.metal_out),
        "openwork_g": n(b.openwork),
        "scrap_g": n(b.scrap),
        "filings_g": n(b.filings),
        "pallions": b.pallions,
        "metal_price": b.metal_price.map(n),
        "work_price": b.work_price.map(spread),
        "price": b.price.map(n),
    })
}
