//! What a stone needs of the plate, and cut-outs that cut nothing.

use super::{outer, Hole, Window};
use crate::error::Error;
use crate::geom::{boolean, BooleanOp, Rect, Region, Ring};
use crate::job::{Bezel, Job, Shape};
use crate::trade::fits;

/// A corner so far inside a line, mm, is inside it: over rounding, far under what is drawn.
const INSIDE: f64 = 1e-6;

/// Rings round a stone, at its place on the plate.
pub struct Seat {
    /// The middle of the bezel's wall: the strip is as long as this is round, mm.
    pub wall: Ring,
    /// The outside of the bezel.
    pub outside: Ring,
    /// The solid metal it stands on.
    pub pad: Ring,
    /// The cut-out behind the stone; `None` where the ledges meet.
    pub window: Option<Ring>,
}

impl Seat {
    /// Errors when the stone's outline cannot be drawn.
    pub fn of(bezel: &Bezel) -> Result<Seat, Error> {
        let stone = outer(&bezel.stone)?;
        let stone = stone.rotated(bezel.turn).translated(bezel.at.to_vec2()).anticlockwise();
        let t = bezel.thickness.get();
        let play = fits::BEZEL_PLAY / 2.0;
        Ok(Seat {
            wall: stone.grow(play + t / 2.0),
            outside: stone.grow(play + t),
            pad: stone.grow(fits::bezel_beyond(t, fits::BEZEL_PLAY)),
            window: stone.shrink(bezel.ledge.get()).into_iter().max_by(|a, b| a.area().total_cmp(&b.area())),
        })
    }
}

/// The key of a window or hole's place, by its number from 0 in the order they are drawn: inner lines of the outline, the job's
/// windows, the stone's; the job's holes, those of its lugs.
pub(super) fn key_of_window(job: &Job, i: usize) -> String {
    let inner = match &job.outline.shape {
        Shape::Drawn { rings } => rings.len().saturating_sub(1),
        _ => 0,
    };
    match i.checked_sub(inner) {
        None => "outline.shape".into(),
        Some(i) if i < job.windows.len() => format!("window[{i}].at"),
        Some(_) => "construction.bezel.at".into(),
    }
}

fn key_of_hole(job: &Job, i: usize) -> String {
    match i.checked_sub(job.holes.len()) {
        None => format!("hole[{i}].at"),
        Some(nth) => {
            let mut pierced = job.lugs.iter().enumerate().filter(|(_, lug)| lug.hole.get() > 0.0);
            pierced.nth(nth).map_or("lug".into(), |(i, _)| format!("lug[{i}].at_angle"))
        }
    }
}

/// Refuses cut-outs off the metal or wholly inside one another, and a stone with no metal under it: they would be counted
/// and cut nothing.
pub(super) fn cut_outs_in_metal(
    job: &Job,
    edge: &Ring,
    windows: &[Window],
    holes: &[Hole],
) -> Result<(), Error> {
    let called = |label: &str, name: &str| format!("{label} ({name})");
    let at = |i: usize| match i.checked_sub(windows.len()) {
        None => key_of_window(job, i),
        Some(i) => key_of_hole(job, i),
    };
    let cuts: Vec<(String, Ring)> = windows
        .iter()
        .map(|w| (called(&w.label, &w.name), w.ring.clone()))
        .chain(holes.iter().map(|h| (called(&h.label, &h.name), Ring::circle(h.at, h.diameter.get() / 2.0))))
        .collect();
    let whole = |ring: &Ring| Region::new(ring.clone(), Vec::new());
    // Most have a corner well inside.
    let on_metal = |ring: &Ring| {
        ring.vertices().next().is_some_and(|v| edge.signed_distance(v.at) > INSIDE)
            || !boolean(&[whole(ring)], BooleanOp::Intersection, &[whole(edge)]).is_empty()
    };
    if let Some((i, (name, _))) = cuts.iter().enumerate().find(|(_, (_, ring))| !on_metal(ring)) {
        return Err(job.refused(
            &at(i),
            format!("{name} lies off the metal: there is nothing to cut"),
            "move it onto the piece, or take it out",
        ));
    }
    if job.construction.bezel.as_ref().is_some_and(|b| !edge.contains(b.at)) {
        return Err(job.refused(
            "construction.bezel.at",
            "the stone has no metal under it: its place is off the piece",
            "move [construction] bezel.at onto the metal",
        ));
    }
    let sizes: Vec<(Rect, f64)> = cuts.iter().map(|(_, ring)| (ring.bounds(), ring.area())).collect();
    for (i, (inner, ring)) in cuts.iter().enumerate() {
        let within = |(j, (_, other)): &(usize, &(String, Ring))| {
            sizes[*j].1 > sizes[i].1
                && sizes[*j].0.contains(sizes[i].0.center())
                && ring.vertices().all(|v| other.signed_distance(v.at) >= -INSIDE)
        };
        let around = cuts.iter().enumerate().filter(|(j, _)| *j != i).find(within);
        if let Some((_, (outer, _))) = around {
            return Err(job.refused(
                &at(i),
                format!("{inner} lies inside {outer}, where the metal is cut out already"),
                "take one of them out, or move it",
            ));
        }
    }
    Ok(())
}
