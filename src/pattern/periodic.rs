//! A repeat laid row by row over the piece.

use super::band::{Closed, SeamLine};
use super::conformal::ConformalMap;
use super::{band, suited_pitch, Cell, Laid, Start, DRILL_CLEARANCE};
use crate::catalogue::{Centre, CentreKind, Pattern};
use crate::error::Error;
use crate::geom::{sin_cos_degrees, Point, Rect, Region, Ring, Vec2};
use crate::job::{AtBorder, CentreChoice, Job};
use crate::outline::Outline;
use crate::units::limits::{Limit, CUT_OUTS, OPENINGS, TRIED, UNLIKE};
use crate::units::{short, Mm};

pub(super) fn starts(pattern: &Pattern, choice: CentreChoice) -> Vec<Start> {
    let kind = match choice {
        CentreChoice::Opening => CentreKind::Opening,
        CentreChoice::Crossing => CentreKind::Crossing,
        CentreChoice::Bridge => CentreKind::Bridge,
        CentreChoice::Best => return pattern.centres.iter().map(start).collect(),
    };
    vec![pattern.centre(kind).map_or(Start::MIDDLE, start)]
}

fn start(centre: &Centre) -> Start {
    let name = match centre.kind {
        CentreKind::Opening => "opening",
        CentreKind::Crossing => "crossing",
        CentreKind::Bridge => "bridge",
    };
    Start { at: centre.at, name, order: centre.order, stretch: 1.0 }
}

/// Corners of the openings that the limits were measured with; those with more take more time and room, in step.
const MEASURED_CORNERS: f64 = 6.0;

/// How many openings a job may have, by what is done with each and how many corners it has.
fn most_openings(pattern: &Pattern, job: &Job, outline: &Outline, bent: bool) -> Limit {
    let plain = matches!(job.pattern.at_border, AtBorder::Trim | AtBorder::Whole);
    let limit = if bent || job.pattern.bridge_to.is_some() {
        UNLIKE
    } else if plain && job.pattern.centre != CentreChoice::Best {
        OPENINGS
    } else {
        TRIED
    };
    let drawn: usize = pattern.shapes.iter().map(|shape| shape.ring.vertices().len()).sum();
    let rounded = if job.pattern.corner_radius.get() > 0.0 { 2.0 } else { 1.0 };
    let corners = rounded * drawn as f64 / pattern.shapes.len().max(1) as f64;
    let limit =
        Limit { most: (limit.most * MEASURED_CORNERS / corners.max(MEASURED_CORNERS)).floor(), ..limit };
    let beside = (CUT_OUTS.most
        / (outline.windows.len() + outline.holes.len() + outline.keeps.len()).max(1) as f64)
        .floor();
    if beside < limit.most {
        return Limit { most: beside, ..CUT_OUTS };
    }
    limit
}

pub(super) fn lay(pattern: &Pattern, job: &Job, outline: &Outline, start: &Start) -> Result<Laid, Error> {
    let mut notes = Vec::new();
    let bend = ConformalMap::of(outline);
    let pitch = job.pattern.pitch.unwrap_or_else(|| {
        let (pitch, sum) = suited_pitch(pattern, job, outline);
        notes.push(sum);
        // The narrow end of a cone has to take the drill.
        pitch / bend.map_or(1.0, |b| b.sizes().0)
    });
    let eased = pitch * start.stretch;
    // A band is sized by its whole repeats: easing only tries other counts.
    let run = bend.map(|b| b.run()).or(outline.run.map(Mm::get));
    let what = if bend.is_some() { "the cone, half way up" } else { "the band" };
    let round = band::Circuit { what, units: job.units };
    let closed = run.map(|run| {
        let at_least = job.pattern.pitch.is_none();
        band::close(pattern, eased.get(), job.pattern.turn, run, at_least, round)
    });
    if closed.is_none() && start.stretch != 1.0 {
        let mm = |mm: Mm| job.units.says(mm.get(), 2);
        notes.push(format!(
            "pitch {} eased to {}, so that the edge row comes out even",
            mm(pitch),
            mm(eased)
        ));
    }
    let (size, turn) = closed.as_ref().map_or((eased.get(), job.pattern.turn), |c| (c.pitch, c.turn));
    let sized = Sized::of(pattern, size, turn);
    let mut origin = sized.place(start.at) - job.pattern.at.unwrap_or(Point::ORIGIN).to_vec2();
    let Sized { kinds, repeat, .. } = sized;

    let flat = outline.room.iter().map(|r| r.outer().bounds()).reduce(|a, b| a.union(b)).unwrap_or_default();
    let bounds = bend.map_or(flat, |b| b.strip());
    let room = match bend {
        Some(_) => bounds.area(),
        None => outline.room.iter().map(Region::area).sum(),
    };
    let wanted = room / (pattern.repeat_area() * size * size) * kinds.len() as f64;
    let limit = most_openings(pattern, job, outline, bend.is_some());
    if wanted.is_nan() || wanted > limit.most {
        let say = |mm: f64| job.units.says(mm, 2);
        let larger = say(pitch.get() * (wanted / limit.most).sqrt() * 1.01);
        return Err(job.refused(
            "pattern.pitch",
            format!("a pitch of {} on this outline makes about {wanted:.0} openings", say(pitch.get())),
            format!("a pitch of {larger} would do: at most {} here, {}", short(limit.most, 0), limit.why),
        ));
    }
    let mut repeats = Vec::new();
    if let (Some(closed), Some(run)) = (&closed, run) {
        let line = across_seam(pattern, job, closed, start, bounds, run, bend);
        origin.x -= line.shift;
        repeats.push(closed.count);
        notes.extend(closed.notes.iter().cloned());
        if line.shift.abs() > 1e-6 {
            let shift = job.units.says(line.shift, 2);
            notes.push(format!("moved along by {shift} so that the seam runs in a bridge"));
        }
        if line.cut > 0 {
            let clear = band::OTHER_TURNS
                .iter()
                .map(|more| (job.pattern.turn + more).rem_euclid(360.0))
                .find(|&turn| {
                    let at_least = job.pattern.pitch.is_none();
                    band::runs_straight(pattern, turn) && {
                        let closed = band::close(pattern, eased.get(), turn, run, at_least, round);
                        across_seam(pattern, job, &closed, start, bounds, run, bend).cut == 0
                    }
                });
            notes.push(divided(line.cut, clear, job.pattern.at_border));
        }
    }
    if job.pair && pattern.chiral {
        notes.push("this pattern turns one way: on the other of the pair it turns the other way".to_string());
    }
    let mut cells = lay_over(&kinds, repeat, bounds, origin);
    let mut kinds = kinds;
    if let Some(bend) = bend {
        notes.push(bend.note(size, job.units));
        kinds = cells.iter().flat_map(|c| bend.cell(&kinds[c.kind].translated(c.at))).collect();
        cells = (0..kinds.len()).map(|kind| Cell { kind, at: Vec2::ZERO, bridge: None }).collect();
    }
    Ok(Laid {
        kinds,
        cells,
        motif: pattern.is_motif(),
        pitch: Mm(size),
        turn,
        origin: Some(Point::ORIGIN - origin),
        centre: start.name.into(),
        order: start.order,
        repeats,
        left: Vec::new(),
        notes,
    })
}

/// A repeat at its size and turn, mm.
struct Sized {
    kinds: Vec<Ring>,
    repeat: [Vec2; 2],
    size: f64,
    turn: f64,
}

impl Sized {
    fn of(pattern: &Pattern, size: f64, turn: f64) -> Sized {
        let kinds = pattern.shapes.iter().map(|p| p.ring.scaled(size).rotated(turn)).collect();
        let mut sized = Sized { kinds, repeat: pattern.repeat, size, turn };
        sized.repeat = pattern.repeat.map(|v| sized.place(v.to_point()));
        sized
    }

    /// A point of the pattern, given in shortest repeats.
    fn place(&self, at: Point) -> Vec2 {
        let (s, c) = sin_cos_degrees(self.turn);
        Vec2::new(at.x * c - at.y * s, at.x * s + at.y * c) * self.size
    }
}

fn lay_over(kinds: &[Ring], repeat: [Vec2; 2], bounds: Rect, origin: Vec2) -> Vec<Cell> {
    let mut cells = Vec::new();
    for (kind, ring) in kinds.iter().enumerate() {
        lay_kind(kind, ring.bounds(), repeat, origin, bounds, &mut cells);
    }
    cells
}

/// Where the seam of a closed repeat runs best.
fn across_seam(
    pattern: &Pattern,
    job: &Job,
    closed: &Closed,
    start: &Start,
    bounds: Rect,
    run: f64,
    bend: Option<ConformalMap>,
) -> SeamLine {
    let sized = Sized::of(pattern, closed.pitch, closed.turn);
    let (seam, each) = (run / 2.0, closed.repeat);
    let beside = Rect::new(seam - each, bounds.y0, seam + each, bounds.y1);
    // Cells of which the borders leave less are solid anyhow.
    let bridge = if pattern.is_motif() { 0.0 } else { job.pattern.least_bridge().get() };
    let least = (job.saw.drill.get() + DRILL_CLEARANCE + bridge / 2.0) / bend.map_or(1.0, |b| b.sizes().1);
    let boxes: Vec<Rect> = lay_over(&sized.kinds, sized.repeat, beside, sized.place(start.at))
        .iter()
        .map(|cell| sized.kinds[cell.kind].bounds() + cell.at)
        .filter(|b| b.y1.min(bounds.y1) - b.y0.max(bounds.y0) > least)
        .collect();
    let clear = if pattern.is_motif() { job.pattern.least_bridge().get() / 2.0 } else { 0.0 };
    band::seam_line(&boxes, seam, each, clear / bend.map_or(1.0, |b| b.sizes().0))
}

/// What a straight seam does to openings that stand across it, and what would do.
fn divided(count: usize, clear: Option<f64>, at_border: AtBorder) -> String {
    let what = if count == 1 { "1 opening".to_string() } else { format!("{count} openings") };
    let whole = at_border == AtBorder::Whole;
    let done = if whole { "left solid" } else { "trimmed so that the seam runs in a solid bridge" };
    let would = match clear {
        Some(turn) => format!("with turn = {} it runs clear of all of them", short(turn, 2)),
        None => {
            let or = if whole { "" } else { "at_border = \"whole\" leaves them solid instead, and " };
            format!("no turn tried clears it: {or}patterns in straight columns have a clear line: square, stack-bond")
        }
    };
    format!("no straight seam clears {what} here: each is {done}; {would}")
}

/// Every place of one kind whose box meets `bounds`.
fn lay_kind(kind: usize, own: Rect, repeat: [Vec2; 2], origin: Vec2, bounds: Rect, cells: &mut Vec<Cell>) {
    // Where may `at` lie? From bounds less the cell's own box.
    let reach = Rect::new(bounds.x0 - own.x1, bounds.y0 - own.y1, bounds.x1 - own.x0, bounds.y1 - own.y0);
    let [a, b] = repeat;
    let area = a.cross(b);
    let corners = [
        Point::new(reach.x0, reach.y0),
        Point::new(reach.x1, reach.y0),
        Point::new(reach.x1, reach.y1),
        Point::new(reach.x0, reach.y1),
    ]
    .map(|p| p.to_vec2() + origin);
    // In repeats: p = i a + j b.
    let rows = corners.map(|p| a.cross(p) / area);
    let (low, high) =
        (rows.iter().copied().fold(f64::MAX, f64::min), rows.iter().copied().fold(f64::MIN, f64::max));
    for j in low.floor() as i64..=high.ceil() as i64 {
        let row = b * j as f64 - origin;
        // Along the row: i a + row within reach, in x and in y.
        let (mut from, mut to) = (f64::NEG_INFINITY, f64::INFINITY);
        for (step, at, low, high) in [(a.x, row.x, reach.x0, reach.x1), (a.y, row.y, reach.y0, reach.y1)] {
            if step.abs() > 1e-12 {
                let (p, q) = ((low - at) / step, (high - at) / step);
                from = from.max(p.min(q));
                to = to.min(p.max(q));
            } else if at < low || at > high {
                to = f64::NEG_INFINITY;
            }
        }
        if from > to || !from.is_finite() || !to.is_finite() {
            continue;
        }
        for i in from.floor() as i64..=to.ceil() as i64 {
            let at = row + a * i as f64;
            if reach.contains(at.to_point()) {
                cells.push(Cell { kind, at, bridge: None });
            }
        }
    }
}
