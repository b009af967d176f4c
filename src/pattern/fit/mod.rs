//! A pattern made to fit its outline: whole cells to the very border, those by it bent a little.
//!
//! 1. `field`: where the middle lines of bridges may run; `curve`: its border lines, by arc length, with their corners.
//! 2. `tiling`: the pattern as vertices and sides; `mesh`: laid in one place; `symmetry`: what keeps both.
//! 3. `keep`: the cells whose own angles let them lie along the border; `loops`: their edge.
//! 4. `seats`: edge vertices on the border; `relax`: all cells bent, each as little as can be.
//! 5. `faces`: cells again, with exact lines; `judge`: how they look beside the pattern's own; `search`: the best place.
//!
//! An overlay grid (from memory, believed Schneiders, "Quadrilateral and hexahedral element meshes") with shape matching
//! (Bouaziz and others, "Shape-Up", 2012) in place of smoothing.

pub(super) mod curve;
mod faces;
mod field;
mod judge;
mod keep;
mod loops;
mod mesh;
mod relax;
mod round;
mod search;
mod seats;
mod symmetry;
mod tiling;

use super::{Cell, Laid, Start, DRILL_CLEARANCE};
use crate::catalogue::{Fills, Pattern};
use crate::geom::{boolean, BooleanOp, Point, Region, Ring};
use crate::job::{CentreChoice, Job};
use crate::outline::Outline;
use crate::units::{plain, Mm};
use field::Field;
use search::{search, Ask, Fit};
use tiling::Tiling;

/// Scores above this do not look as if the pattern were made for the outline. Found by eye over all patterns.
const SUITS: f64 = 1.2;
/// Fewer cells than this do not show a pattern.
const FEWEST: usize = 16;
/// More cells than this are not bent: the border rows would be lost among them, and it takes long.
const MOST: f64 = 20_000.0;
/// Parts of the field smaller than this many cells are left solid.
const SPECK: f64 = 0.6;
/// Rings this near each other, mm, are cut against each other and not taken as they are.
const CLEAR: f64 = 1e-3;

/// How a fitted piece came out.
#[derive(Debug, Clone)]
pub struct Fitted {
    pub laid: Laid,
    /// 0 for border cells like those in the middle; see `SUITS`.
    pub score: f64,
    /// Cells that were bent.
    pub bent: usize,
    /// Widest circle of the narrowest cell over the pattern's own.
    pub narrowest: f64,
}

/// The ways of fitting a repeat to an outline that keep what is promised, the best looking first. Errors say why there are
/// none, in words that follow "it does not fit: ".
pub(super) fn fit(pattern: &Pattern, job: &Job, outline: &Outline, pitch: Mm) -> Result<Vec<Fitted>, String> {
    suits(pattern, job, outline, pitch)?;
    if outline.seam.is_some() {
        return round::fit(pattern, job, outline, pitch);
    }
    let fields = fields(job, outline)?;
    let tiling = Tiling::of(pattern);
    let (size, turn) = (pitch.get(), job.pattern.turn);
    let kinds: Vec<Ring> = pattern.shapes.iter().map(|s| s.ring.scaled(size).rotated(turn)).collect();
    let starts = super::periodic::starts(pattern, job.pattern.centre);
    let typed = job.pattern.centre != CentreChoice::Best;
    let cell = tiling.mean_area() * size * size;
    let mut left: Vec<(Point, String)> = Vec::new();
    let mut parts: Vec<Vec<Fit>> = Vec::new();
    for field in &fields {
        if field.area < SPECK * cell {
            left.push((field.middle, "too small a part of the field for one repeat".into()));
            continue;
        }
        let ask = Ask {
            field,
            tiling: &tiling,
            kinds: &kinds,
            size,
            turn,
            starts: &starts,
            middle: if typed { Point::ORIGIN } else { field.middle },
            typed,
            bridge: job.pattern.bridge.get(),
            least: job.saw.drill.get() + DRILL_CLEARANCE,
            round: None,
        };
        let fits = search(&ask);
        if fits.is_empty() {
            return Err("its cells cannot be laid along this border".into());
        }
        parts.push(fits);
    }
    let [fits] = &parts[..] else {
        return Err("the field is in several parts".into());
    };
    let mut good = Vec::new();
    let mut why = String::new();
    for fit in fits {
        match promised(fit, fit.faces.len(), job) {
            Ok(()) => good.push(fitted(fit, pattern, &starts, (size, turn), &left)),
            Err(reason) if why.is_empty() => why = reason,
            Err(_) => {}
        }
    }
    if good.is_empty() {
        return Err(why);
    }
    Ok(good)
}

/// Patterns and jobs that are not tried.
fn suits(pattern: &Pattern, job: &Job, outline: &Outline, pitch: Mm) -> Result<(), String> {
    if pattern.fills != Fills::Plane {
        return Err("its cells do not meet along their sides".into());
    }
    if job.pattern.bridge_to.is_some() {
        return Err("its bridges are graded".into());
    }
    let cells = outline.field.iter().map(Region::area).sum::<f64>() * pattern.shapes.len() as f64
        / (pattern.repeat_area() * pitch.get() * pitch.get());
    if cells > MOST {
        return Err(format!("about {cells:.0} cells are more than are bent one by one"));
    }
    Ok(())
}

/// The parts of the field, each half a bridge larger than openings may reach.
fn fields(job: &Job, outline: &Outline) -> Result<Vec<Field>, String> {
    let half = job.pattern.bridge.get() / 2.0;
    let inside = moved_in(&outline.base, outline.pattern_from.get() - half);
    let mut taken: Vec<Ring> = Vec::new();
    for window in &outline.windows {
        taken.extend(moved_in(&window.ring, half - window.pattern_from.get()));
    }
    for keep in &outline.keeps {
        taken.extend(keep.ring.clone().anticlockwise().shrink(half));
    }
    for hole in &outline.holes {
        taken.push(Ring::circle(hole.at, hole.diameter.get() / 2.0 + half));
    }
    taken.extend(outline.middle.iter().flat_map(|m| m.ground.shrink(half)));
    let circles = outline.circles.iter().filter_map(|r| {
        let outer = r.outer().shrink(half).into_iter().next()?;
        Some(Region::new(outer, r.holes().iter().map(|h| h.clone().anticlockwise().grow(half)).collect()))
    });
    let circles: Vec<Region> = circles.collect();
    let regions = match &inside[..] {
        [outer] if circles.is_empty() && stand_clear(outer, &taken) => {
            vec![Region::new(outer.clone(), taken)]
        }
        _ => {
            let alone = |r: &Ring| Region::new(r.clone(), Vec::new());
            let inside: Vec<Region> = inside.iter().map(alone).collect();
            let taken: Vec<Region> = taken.iter().map(alone).chain(circles).collect();
            boolean(&inside, BooleanOp::Difference, &taken)
        }
    };
    if regions.is_empty() {
        return Err("the border leaves no field".into());
    }
    Ok(regions.iter().map(Field::of).collect())
}

fn moved_in(ring: &Ring, by: f64) -> Vec<Ring> {
    let ring = ring.clone().anticlockwise();
    if by < 0.0 {
        vec![ring.grow(-by)]
    } else {
        ring.shrink(by)
    }
}

/// Whether some rings lie within another and apart from each other.
fn stand_clear(outer: &Ring, inner: &[Ring]) -> bool {
    inner.iter().enumerate().all(|(i, ring)| {
        let within = outer.contains(ring.first()) && outer.closest(ring).distance > CLEAR;
        let apart = |other: &Ring| {
            ring.closest(other).distance > CLEAR
                && !ring.contains(other.first())
                && !other.contains(ring.first())
        };
        within && inner[..i].iter().all(apart)
    })
}

/// Whether a fit keeps what is promised of every fitted piece; else why not.
fn promised(fit: &Fit, count: usize, job: &Job) -> Result<(), String> {
    let least = job.saw.drill.get() + DRILL_CLEARANCE;
    let narrowest = fit.judged.looks.iter().map(|l| 2.0 * l.radius).fold(f64::INFINITY, f64::min);
    if count < FEWEST {
        return Err(format!("{count} cells are too few to show it; {FEWEST} would do"));
    }
    if fit.judged.crossed > 0 {
        return Err("a cell would cross itself".into());
    }
    if narrowest < least {
        let (narrowest, least) = (plain(narrowest, 2), plain(least, 2));
        return Err(format!("a cell would be {narrowest} mm across, the drill wants {least} mm"));
    }
    if fit.judged.score > SUITS {
        return Err("cells by the border would look too unlike those in the middle".into());
    }
    Ok(())
}

fn fitted(
    fit: &Fit,
    pattern: &Pattern,
    starts: &[Start],
    (size, turn): (f64, f64),
    left: &[(Point, String)],
) -> Fitted {
    let rings: Vec<Ring> = fit.faces.iter().map(|f| f.ring.clone()).collect();
    let (kinds, cells) = super::of_kinds(rings);
    let narrowest = fit.judged.rho.iter().copied().fold(f64::INFINITY, f64::min);
    let bent = fit.faces.iter().filter(|f| !f.whole).count();
    let start = &starts[fit.start];
    let laid = Laid {
        kinds,
        cells: cells.into_iter().map(|c| Cell { bridge: None, ..c }).collect(),
        motif: pattern.is_motif(),
        pitch: Mm(size),
        turn,
        origin: Some(Point::ORIGIN + fit.origin),
        centre: start.name.into(),
        order: fit.order as u32,
        repeats: Vec::new(),
        left: left.to_vec(),
        notes: vec![format!(
            "fitted to the border: {bent} of {} cells are bent, the narrowest is {} of its own width",
            fit.faces.len(),
            plain(narrowest, 2)
        )],
    };
    Fitted { laid, score: fit.judged.score, bent, narrowest }
}
