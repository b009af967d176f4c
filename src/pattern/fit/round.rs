//! Bands and cones: one repeat is fitted between the long edges, goes round, and meets itself.

use super::field::Field;
use super::search::{search, Ask};
use super::tiling::Tiling;
use super::{fitted, promised, Fitted};
use crate::catalogue::Pattern;
use crate::geom::{sin_cos_degrees, Point, Rect, Ring, Vec2};
use crate::job::{CentreChoice, Job};
use crate::outline::Outline;
use crate::pattern::conformal::ConformalMap;
use crate::pattern::{band, Cell, DRILL_CLEARANCE};
use crate::units::{LengthUnit, Mm};

/// A repeat is the one that goes round when it is this near to it, in pitches.
const NEAR: f64 = 1e-6;
/// Repeats looked at each way for it.
const AROUND: i64 = 40;

pub(super) fn fit(pattern: &Pattern, job: &Job, outline: &Outline, pitch: Mm) -> Result<Vec<Fitted>, String> {
    let kept_clear = outline.windows.len()
        + outline.circles.len()
        + usize::from(outline.middle.is_some())
        + outline.keeps.len()
        + outline.holes.iter().filter(|h| inside(outline, h.at)).count();
    if kept_clear > 0 {
        return Err("a window, a hole or a kept place breaks the rounds".into());
    }
    let half = job.pattern.bridge.get() / 2.0;
    let map = ConformalMap::of(outline);
    let flat = outline.room.iter().map(|r| r.outer().bounds()).reduce(|a, b| a.union(b)).unwrap_or_default();
    let strip = map.map_or(flat.inflate(0.0, half), |m| m.strip_beyond(half));
    let Some(run) = map.map(|m| m.run()).or(outline.run.map(Mm::get)) else {
        return Err("the piece has no way round".into());
    };
    let what = if map.is_some() { "the cone, half way up" } else { "the band" };
    let told = band::Round { what, units: job.units };
    let closed = band::close(pattern, pitch.get(), job.pattern.turn, run, job.pattern.pitch.is_none(), told);
    let (size, turn) = (closed.pitch, closed.turn);
    let Some(step) = step(pattern, size, turn, closed.repeat) else {
        return Err("its rows climb as they go round".into());
    };
    let tiling = Tiling::of(pattern);
    let kinds: Vec<Ring> = pattern.shapes.iter().map(|s| s.ring.scaled(size).rotated(turn)).collect();
    let reach = kinds.iter().map(|k| k.bounds().width() + k.bounds().height()).fold(0.0, f64::max);
    let field = Field::band(strip.y0, strip.y1, closed.repeat, 2.0 * reach);
    let starts = crate::pattern::periodic::starts(pattern, job.pattern.centre);
    let ask = Ask {
        field: &field,
        tiling: &tiling,
        kinds: &kinds,
        size,
        turn,
        starts: &starts,
        middle: field.middle,
        typed: job.pattern.centre != CentreChoice::Best,
        bridge: job.pattern.bridge.get(),
        least: job.saw.drill.get() + DRILL_CLEARANCE,
        round: Some((step, closed.repeat)),
    };
    let fits = search(&ask);
    if fits.is_empty() {
        return Err("its rows cannot be laid along these edges".into());
    }
    let (mut good, mut why) = (Vec::new(), String::new());
    for fit in &fits {
        if let Err(reason) = promised(fit, fit.faces.len() * closed.count as usize, job) {
            why = if why.is_empty() { reason } else { why };
            continue;
        }
        let mut one = fitted(fit, pattern, &starts, (size, turn), &[]);
        go_round(&mut one, &closed, run, map, job.units);
        good.push(one);
    }
    if good.is_empty() {
        return Err(why);
    }
    Ok(good)
}

fn inside(outline: &Outline, at: Point) -> bool {
    outline.room.iter().any(|r| r.outer().contains(at))
}

/// The whole repeats that go once along, as the mesh counts them.
fn step(pattern: &Pattern, size: f64, turn: f64, repeat: f64) -> Option<[i64; 2]> {
    let (s, c) = sin_cos_degrees(turn);
    (-AROUND..=AROUND).flat_map(|m| (-AROUND..=AROUND).map(move |n| [m, n])).find(|[m, n]| {
        let v = pattern.repeat_of(*m, *n) * size;
        let v = Vec2::new(v.x * c - v.y * s, v.x * s + v.y * c);
        (v - Vec2::new(repeat, 0.0)).hypot() < NEAR * size
    })
}

/// Lays one fitted repeat all the way round, so that the seam cuts as little as it can; on a cone bent onto the blank.
fn go_round(one: &mut Fitted, closed: &band::Closed, run: f64, map: Option<ConformalMap>, units: LengthUnit) {
    let laid = &mut one.laid;
    let each = closed.repeat;
    let boxes: Vec<Rect> = (-1..=1)
        .flat_map(|k| {
            let over = Vec2::new(run / 2.0 + f64::from(k) * each, 0.0);
            let at = move |c: &Cell| (c.kind, c.at + over);
            laid.cells.iter().map(at).collect::<Vec<_>>()
        })
        .map(|(kind, at)| laid.kinds[kind].bounds() + at)
        .collect();
    let line = band::seam_line(&boxes, run / 2.0, each, 0.0);
    let count = i64::from(closed.count);
    let mut cells = Vec::with_capacity(laid.cells.len() * closed.count as usize);
    // One more at each end: the seam trims them.
    for k in -1..=count {
        let over = Vec2::new(-run / 2.0 + k as f64 * each + line.shift, 0.0);
        cells.extend(laid.cells.iter().map(|c| Cell { at: c.at + over, ..*c }));
    }
    cells.retain(|c| {
        let b = laid.kinds[c.kind].bounds() + c.at;
        b.x1 > -run / 2.0 && b.x0 < run / 2.0
    });
    laid.cells = cells;
    laid.repeats = vec![closed.count];
    laid.notes.splice(0..0, closed.notes.iter().cloned()).for_each(drop);
    if let Some(map) = map {
        laid.notes.push(map.note(closed.pitch, units));
        let rings: Vec<Ring> =
            laid.cells.iter().map(|c| map.ring(&laid.kinds[c.kind].translated(c.at))).collect();
        laid.kinds = rings;
        laid.cells = (0..laid.kinds.len()).map(|kind| Cell { kind, at: Vec2::ZERO, bridge: None }).collect();
    }
}
