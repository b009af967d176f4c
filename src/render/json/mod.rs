//! The plan as JSON, schema 2: one piece, mm, y up, origin at the middle of the outline. A pair's left, never mirrored for
//! print. Lengths are rounded to a millionth of a millimetre so that the same job gives the same bytes.

mod bridges;

use crate::checks::{Quantity, Verdict};
use crate::geom::Point;
use crate::job::Job;
use crate::openings::{Opening, Piece};
use crate::pattern::RowSet;
use crate::plan::{Cut, Part, Plan, Spread, Turn};
use crate::units::{LengthUnit, Mm};
use crate::work::Work;
use bridges::bridges;
use serde::{Serialize, Serializer};
use serde_json::{json, Map, Value};
use std::io::{self, BufWriter, Write};

/// Version of what the outside may rely on.
pub const SCHEMA: u32 = 2;

/// Decimals kept.
const PLACES: f64 = 1e6;

/// A number as it is written; what is not a number (an unbounded gap) becomes null.
fn n(value: f64) -> Value {
    json!(rounded(value))
}

fn rounded(value: f64) -> f64 {
    // Adding zero turns minus zero into zero.
    (value * PLACES).round() / PLACES + 0.0
}

fn at(point: Point) -> Value {
    json!([n(point.x), n(point.y)])
}

fn spread(s: Spread) -> Value {
    json!({ "low": n(s.low), "likely": n(s.likely), "high": n(s.high) })
}

/// The whole plan. `pages` is the count of pages printed; `with_bridges` lists every bridge.
pub fn plan_json(job: &Job, work: &Work, pages: usize, with_bridges: bool) -> Value {
    // It holds no key that is not text and no number that JSON cannot hold.
    serde_json::to_value(plan(job, work, pages, with_bridges, None)).unwrap_or_default()
}

/// The same as text, without a list of the bridges and with the names of the files written with it.
pub fn plan_text(job: &Job, work: &Work, pages: usize, files: &[String]) -> String {
    let mut bytes = Vec::new();
    // Writing into memory does not fail, and nothing but text is written.
    match write_plan(job, work, pages, files, &mut bytes) {
        Ok(()) => String::from_utf8(bytes).unwrap_or_default(),
        Err(_) => String::new(),
    }
}

/// Writes what [`plan_text`] gives; what is as long as there are openings is written as it is met. Errors: those of `to`.
pub fn write_plan(
    job: &Job,
    work: &Work,
    pages: usize,
    files: &[String],
    to: &mut dyn Write,
) -> io::Result<()> {
    // JSON is written a sign at a time.
    let mut to = BufWriter::with_capacity(1 << 16, to);
    serde_json::to_writer_pretty(&mut to, &plan(job, work, pages, false, Some(files)))?;
    to.write_all(b"\n")?;
    to.flush()
}

/// The plan as it is written, key by key.
#[derive(Serialize)]
struct PlanJson<'a> {
    schema: u32,
    title: &'a str,
    /// Near the beginning, so that whoever asks whose a file is need not read on.
    #[serde(skip_serializing_if = "Option::is_none")]
    files: Option<&'a [String]>,
    metal: &'a str,
    thickness_mm: Value,
    resolved: Value,
    openings: OpeningsJson<'a>,
    bridges: Value,
    verdicts: Vec<Value>,
    drill: Value,
    saw: Value,
    #[serde(serialize_with = "order")]
    order: &'a [Turn],
    parts: Vec<Value>,
    weights: Value,
    metal_of_one: Vec<Value>,
    sizes: Value,
    solder: Vec<Value>,
    cold_joins: Vec<Value>,
    hang: Value,
    time: Value,
    batch: Value,
    pages: usize,
}

fn plan<'a>(
    job: &'a Job,
    work: &'a Work,
    pages: usize,
    with_bridges: bool,
    files: Option<&'a [String]>,
) -> PlanJson<'a> {
    let (piece, plan) = (&work.piece, &work.plan);
    PlanJson {
        schema: SCHEMA,
        title: &job.title,
        files,
        metal: &job.sheet.metal.name,
        thickness_mm: n(job.measured.thickness.unwrap_or(job.sheet.thickness).get()),
        resolved: known(resolved(job, piece)),
        openings: openings(piece),
        bridges: known(bridges(job, work, with_bridges)),
        verdicts: work.verdicts.iter().map(|v| verdict(v, job.units)).collect(),
        drill: known(drill(job, plan)),
        saw: known(saw(job, plan)),
        order: &plan.order,
        parts: plan.parts.iter().map(part).collect(),
        weights: json!({
            "blank_g": n(plan.weights.blank),
            "piece_g": n(plan.weights.piece),
            "scrap_g": n(plan.weights.scrap),
            "filings_g": n(plan.weights.filings),
            "overrun_g": n(plan.weights.overrun),
            "built_g": n(plan.built.finished()),
        }),
        metal_of_one: plan
            .built
            .shares
            .iter()
            .map(|s| json!({ "part": s.part, "finished_g": n(s.finished), "taken_g": n(s.taken), "sum": s.sum }))
            .collect(),
        sizes: known(sizes(piece, plan)),
        solder: solder(plan),
        cold_joins: plan
            .joins
            .cold
            .iter()
            .map(|c| json!({ "seam": c.seam, "length_mm": n(c.length), "how": c.how }))
            .collect(),
        hang: known(hang(plan)),
        time: known(time(plan)),
        batch: known(batch(plan)),
        pages,
    }
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

/// The openings: what they come to, then one by one.
#[derive(Serialize)]
struct OpeningsJson<'a> {
    count: usize,
    area_mm2: f64,
    distance_round_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    largest_mm2: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    smallest_mm2: Option<f64>,
    open_fraction: f64,
    left_solid: Vec<Value>,
    #[serde(serialize_with = "list")]
    list: &'a [Opening],
}

fn openings(piece: &Piece) -> OpeningsJson<'_> {
    let areas = || piece.openings.iter().map(|o| o.area);
    let total: f64 = areas().sum();
    let whole = piece.outline.edge.area();
    OpeningsJson {
        count: piece.openings.len(),
        area_mm2: rounded(total),
        distance_round_mm: rounded(piece.openings.iter().map(|o| o.perimeter.get()).sum()),
        largest_mm2: areas().reduce(f64::max).map(rounded),
        smallest_mm2: areas().reduce(f64::min).map(rounded),
        open_fraction: rounded(if whole > 0.0 { total / whole } else { 0.0 }),
        left_solid: piece
            .left_solid
            .iter()
            .map(|s| json!({ "at_mm": at(s.at), "reason": s.reason }))
            .collect(),
        list: &piece.openings,
    }
}

/// Every opening, written as it is met.
fn list<S: Serializer>(openings: &[Opening], out: S) -> Result<S::Ok, S::Error> {
    #[derive(Serialize)]
    struct Row {
        n: usize,
        x_mm: f64,
        y_mm: f64,
        widest_drill_mm: f64,
        area_mm2: f64,
        distance_round_mm: f64,
        corners: usize,
    }
    out.collect_seq(openings.iter().map(|o| Row {
        n: o.n,
        x_mm: rounded(o.drill_at.x),
        y_mm: rounded(o.drill_at.y),
        widest_drill_mm: rounded(o.widest.get()),
        area_mm2: rounded(o.area),
        distance_round_mm: rounded(o.perimeter.get()),
        corners: o.corners,
    }))
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
    known(json!({
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
    }))
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

/// The order of sawing: numbers of openings, names of windows.
fn order<S: Serializer>(turns: &[Turn], out: S) -> Result<S::Ok, S::Error> {
    #[derive(Serialize)]
    #[serde(untagged)]
    enum Sawn {
        Opening(usize),
        Window(String),
    }
    out.collect_seq(turns.iter().filter_map(|turn| match turn.cut {
        Cut::Opening(number) => Some(Sawn::Opening(number)),
        Cut::Window(w) => Some(Sawn::Window(format!("W{w}"))),
        Cut::Outline => None,
    }))
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

/// A value without the keys that hold nothing, however deep: what does not apply is not there, and null never is.
fn known(mut value: Value) -> Value {
    match &mut value {
        Value::Object(keys) => {
            keys.retain(|_, held| !held.is_null());
            keys.values_mut().for_each(|held| *held = known(held.take()));
        }
        Value::Array(list) => list.iter_mut().for_each(|held| *held = known(held.take())),
        _ => {}
    }
    value
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
