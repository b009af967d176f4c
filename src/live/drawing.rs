//! The piece as the page draws it: few long paths instead of thousands of elements, and what can be taken hold of.

use crate::checks::{bridge_limit, BridgeGraph};
use crate::geom::{sin_cos_degrees, Point, Rect, Ring, Vec2};
use crate::job::{Job, PatternSource, Shape};
use crate::openings::Piece;
use crate::outline::{rings, Seat};
use crate::render::numbers::{push, walk};
use crate::units::JUST_PASSED;
use serde_json::{json, Value};

/// Decimals of a millimetre on the screen: a micrometre. More makes longer texts that look the same.
const PLACES: u32 = 3;
/// Thin bridges that are marked, at most: more would cover the drawing.
const MARKED: usize = 400;
/// A handle to turn by stands this far beyond the edge of what it turns, mm.
const BEYOND: f64 = 2.0;
/// Openings in one tile of the drawing. More, and a small change sends and paints much anew; fewer, and a page of thousands is
/// made of as many parts.
const IN_A_TILE: f64 = 50.0;

/// The openings of a drawing by the tile of the piece they stand in.
pub(super) struct Tiles {
    /// So that an asker can say which it has: FNV-1a of what follows, 64 bits.
    pub name: String,
    /// Path data (y down), tile by tile, row by row.
    paths: Vec<String>,
}

impl Tiles {
    pub(super) fn of(piece: &Piece) -> Self {
        let across = (piece.openings.len() as f64 / IN_A_TILE).sqrt().ceil().max(1.0);
        let around = piece.outline.edge.bounds();
        let count = across as usize;
        let tile = |at: f64, from: f64, length: f64| -> usize {
            (((at - from) / length * across).max(0.0) as usize).min(count - 1)
        };
        let mut paths = vec![String::new(); count * count];
        for o in &piece.openings {
            let row = tile(o.drill_at.y, around.y0, around.height());
            write_ring(&mut paths[row * count + tile(o.drill_at.x, around.x0, around.width())], &o.ring);
        }
        let bytes = paths.iter().flat_map(|d| d.bytes().chain([b'|']));
        let hash =
            bytes.fold(0xcbf2_9ce4_8422_2325_u64, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3));
        Self { name: format!("{hash:016x}"), paths }
    }

    /// Tells an asker of them: `tiles`, their name, and `openings`, with null for those that are as in the drawing `since` that
    /// it has.
    pub(super) fn tell(&self, drawing: &mut Value, before: Option<&Tiles>) {
        let before = before.filter(|old| old.paths.len() == self.paths.len());
        drawing["tiles"] = json!(self.name);
        drawing["since"] = json!(before.map(|old| &old.name));
        let told = self.paths.iter().enumerate().map(|(i, d)| match before {
            Some(old) if old.paths[i] == *d => Value::Null,
            _ => json!(d),
        });
        drawing["openings"] = told.collect();
    }
}

/// The whole drawing of a job worked out, openings included.
pub(super) fn whole(job: &Job, piece: &Piece, bridges: &BridgeGraph) -> Value {
    let mut drawing = drawing(job, piece, bridges);
    Tiles::of(piece).tell(&mut drawing, None);
    drawing
}

/// The drawing of a job worked out, without its openings: `box` [x0, y0, x1, y1] (y up); `outline`, `holes` and `windows` as
/// SVG path data (y down); `drill`, the start holes as numbers with blanks between, x and y in the order of piercing, and
/// `drill_radius`; `solid`, what stands in the piece, each with handles; `handles` of the outline itself; `middle`, the
/// pattern's own, {`at`, `path`} or null; `thin`, bridges under the limit. The openings are told
/// as [`Tiles::tell`] says.
pub(super) fn drawing(job: &Job, piece: &Piece, bridges: &BridgeGraph) -> Value {
    let outline = &piece.outline;
    let around = outline.allowance.iter().fold(outline.edge.bounds(), |b, ring| b.union(ring.bounds()));
    let mut drill = String::new();
    for o in &piece.openings {
        for v in [o.drill_at.x, o.drill_at.y] {
            if !drill.is_empty() {
                drill.push(' ');
            }
            push(&mut drill, v, PLACES);
        }
    }
    let holes: Vec<Ring> = outline.holes.iter().map(|h| Ring::circle(h.at, h.diameter.get() / 2.0)).collect();
    let windows = outline.windows.iter().flat_map(|w| std::iter::once(&w.ring).chain(&w.islands));
    let limit = bridge_limit(job).mm;
    let thin = bridges
        .bridges()
        .filter(|b| b.is_between_openings() && b.finished.get() < limit - JUST_PASSED)
        .take(MARKED)
        .map(|b| {
            let n: Vec<usize> = b.openings().collect();
            json!({ "a": place(b.at[0]), "b": place(b.at[1]), "width": micro(b.width.get()), "n": n })
        });
    json!({
        "box": bounds(around),
        "outline": path(std::iter::once(&outline.edge)),
        "windows": path(windows),
        "holes": path(&holes),
        "drill": drill,
        "drill_radius": micro(job.saw.drill.get() / 2.0),
        "solid": solid(job, piece),
        "handles": sizes("outline", &job.outline.shape, Point::ORIGIN, 0.0),
        "middle": middle(job),
        "thin": thin.collect::<Vec<_>>(),
        "final": true,
    })
}

/// The pattern's own middle, to be moved; null where the pattern stands where its piece does.
fn middle(job: &Job) -> Value {
    let repeats = matches!(job.pattern.source, PatternSource::Repeat(_));
    match &job.outline.shape {
        Shape::Band { .. } | Shape::Cone { .. } => Value::Null,
        _ if !repeats => Value::Null,
        _ => json!({ "at": place(job.pattern.at.unwrap_or(Point::ORIGIN)), "path": "pattern.at" }),
    }
}

/// To the micrometre, so that answers stay short.
pub(super) fn micro(mm: f64) -> f64 {
    (mm * 1e3).round() / 1e3 + 0.0
}

pub(super) fn place(at: Point) -> Value {
    json!([micro(at.x), micro(at.y)])
}

pub(super) fn bounds(b: Rect) -> Value {
    json!([micro(b.x0), micro(b.y0), micro(b.x1), micro(b.y1)])
}

/// Rings as one SVG path, y down.
pub(super) fn path<'r>(rings: impl IntoIterator<Item = &'r Ring>) -> String {
    let mut out = String::new();
    for ring in rings {
        write_ring(&mut out, ring);
    }
    out
}

fn write_ring(out: &mut String, ring: &Ring) {
    walk(ring, |letter, points| {
        out.push(letter);
        for (i, p) in points.iter().enumerate() {
            if i > 0 {
                out.push(' ');
            }
            push(out, p.x, PLACES);
            out.push(' ');
            push(out, -p.y, PLACES);
        }
    });
}

/// What stands in the piece and can be moved.
fn solid(job: &Job, piece: &Piece) -> Vec<Value> {
    let outline = &piece.outline;
    let mut all = Vec::new();
    for (i, (spec, kept)) in job.keep_solid.iter().zip(&outline.keeps).enumerate() {
        let path = format!("keep_solid[{i}]");
        all.push(thing(
            ("keep_solid", Some(i), "keep"),
            &spec.name,
            &kept.ring,
            spec.at,
            spec.turn,
            shaped(&path, &spec.shape, spec.at, spec.turn, &kept.ring),
        ));
    }
    // Lines drawn inside the outline's own line come before the windows of the job.
    let inner = rings(&job.outline.shape).map_or(0, |rings| rings.len().saturating_sub(1));
    for (i, (spec, window)) in job.windows.iter().zip(outline.windows.iter().skip(inner)).enumerate() {
        let path = format!("window[{i}]");
        all.push(thing(
            ("window", Some(i), "window"),
            &spec.name,
            &window.ring,
            spec.at,
            spec.turn,
            shaped(&path, &spec.shape, spec.at, spec.turn, &window.ring),
        ));
    }
    for (i, spec) in job.holes.iter().enumerate() {
        let ring = Ring::circle(spec.at, spec.diameter.get() / 2.0);
        let path = format!("hole[{i}]");
        let mut handles = vec![moved(&path, spec.at)];
        handles.push(size(&format!("{path}.diameter"), spec.at, Vec2::new(1.0, 0.0), spec.diameter.get()));
        all.push(thing(("hole", Some(i), "hole"), &spec.name, &ring, spec.at, 0.0, handles));
    }
    for (i, (spec, hole)) in job.lugs.iter().zip(outline.holes.iter().skip(job.holes.len())).enumerate() {
        let ring = Ring::circle(hole.at, spec.hole.get() / 2.0);
        let handle = json!({ "kind": "turn", "at": place(hole.at), "path": format!("lug[{i}].at_angle"), "about": [0, 0], "from": spec.at_angle });
        all.push(thing(("lug", Some(i), "lug"), "lug", &ring, hole.at, spec.at_angle, vec![handle]));
    }
    if let Some((bezel, seat)) = job.construction.bezel.as_ref().and_then(|b| Some((b, Seat::of(b).ok()?))) {
        let mut handles = vec![moved("construction.bezel", bezel.at)];
        match bezel.stone {
            Shape::Circle { diameter } => {
                let along = Vec2::new(1.0, 0.0);
                handles.push(size("construction.bezel.stone", bezel.at, along, diameter.get()));
            }
            _ => handles.push(turned("construction.bezel", bezel.at, bezel.turn, &seat.pad)),
        }
        all.push(thing(
            ("construction.bezel", None, "stone"),
            "stone",
            &seat.pad,
            bezel.at,
            bezel.turn,
            handles,
        ));
    }
    if let (Some(spec), Some(middle)) = (&job.middle, &outline.middle) {
        let handles = vec![moved("middle", spec.at)];
        all.push(thing(("middle", None, "middle"), "middle", &middle.ground, spec.at, spec.turn, handles));
    }
    for row in &piece.resolved.rows {
        let around = row.openings.iter().map(Ring::bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
        all.push(json!({
            "section": "row",
            "index": row.row,
            "kind": "row",
            "name": format!("row {}", row.row + 1),
            "d": path(&row.openings),
            "at": row.stations.first().map(|p| place(*p)),
            "turn": 0,
            "box": bounds(around),
            "handles": [],
        }));
    }
    all
}

fn thing(
    (section, index, kind): (&str, Option<usize>, &str),
    name: &str,
    ring: &Ring,
    at: Point,
    turn: f64,
    handles: Vec<Value>,
) -> Value {
    json!({
        "section": section,
        "index": index,
        "kind": kind,
        "name": name,
        "d": path(std::iter::once(ring)),
        "at": place(at),
        "turn": turn,
        "box": bounds(ring.bounds()),
        "handles": handles,
    })
}

/// Handles of something with a shape, a place and a turn.
fn shaped(path: &str, shape: &Shape, at: Point, turn: f64, ring: &Ring) -> Vec<Value> {
    let mut handles = vec![moved(path, at)];
    handles.extend(sizes(path, shape, at, turn));
    if !matches!(shape, Shape::Circle { .. }) {
        handles.push(turned(path, at, turn, ring));
    }
    handles
}

fn moved(path: &str, at: Point) -> Value {
    json!({ "kind": "move", "at": place(at), "path": format!("{path}.at") })
}

/// A handle at the end of a size: pulled along `along`, the size is `per` times its distance from `about`.
fn size(path: &str, about: Point, along: Vec2, value: f64) -> Value {
    json!({
        "kind": "size",
        "at": place(about + along * (value / 2.0)),
        "path": path,
        "about": place(about),
        "along": [micro(along.x), micro(along.y)],
        "per": 2,
        "value": micro(value),
    })
}

/// A handle that turns something about its place: `from` is its turn now, degrees.
fn turned(path: &str, at: Point, turn: f64, ring: &Ring) -> Value {
    let b = ring.bounds();
    let reach = b.width().max(b.height()) / 2.0 + BEYOND;
    let (sin, cos) = sin_cos_degrees(turn + 90.0);
    json!({
        "kind": "turn",
        "at": place(at + Vec2::new(cos, sin) * reach),
        "path": format!("{path}.turn"),
        "about": place(at),
        "from": turn,
    })
}

/// Handles at the sizes of a shape.
fn sizes(path: &str, shape: &Shape, at: Point, turn: f64) -> Vec<Value> {
    let (sin, cos) = sin_cos_degrees(turn);
    let (across, up) = (Vec2::new(cos, sin), Vec2::new(-sin, cos));
    let handle = |key: &str, along: Vec2, value: f64| size(&format!("{path}.{key}"), at, along, value);
    match shape {
        Shape::Circle { diameter } => vec![handle("diameter", Vec2::new(1.0, 0.0), diameter.get())],
        Shape::Polygon { across: size, .. } => vec![handle("across", up, size.get())],
        Shape::Ellipse { width, height }
        | Shape::Rectangle { width, height, .. }
        | Shape::Teardrop { width, height, .. }
        | Shape::Heart { width, height, .. }
        | Shape::Marquise { width, height, .. }
        | Shape::Cushion { width, height, .. }
        | Shape::Crescent { width, height, .. } => {
            // Below: above stand tabs and lugs, and the handle to turn by.
            vec![handle("width", across, width.get()), handle("height", -up, height.get())]
        }
        Shape::Band { width, .. } => vec![handle("width", up, width.get())],
        Shape::Cone { .. } | Shape::Drawn { .. } => Vec::new(),
    }
}
