//! The parts of the field that a piece has, each half a bridge larger than openings may reach.

use super::field::Domain;
use crate::geom::{boolean, BooleanOp, Region, Ring};
use crate::job::Job;
use crate::outline::Outline;

/// Rings this near each other, mm, are cut against each other and not taken as they are.
const CLEAR: f64 = 1e-3;

/// The parts of the field inside an outline's border.
pub(super) fn fields(job: &Job, outline: &Outline) -> Result<Vec<Domain>, String> {
    fields_in(
        moved_in(&outline.base, outline.pattern_from.get() - job.pattern.bridge.get() / 2.0),
        job,
        outline,
    )
}

/// What windows, holes, kept places, rows round windows and on circles, and the middle leave of some rings.
pub(super) fn fields_in(inside: Vec<Ring>, job: &Job, outline: &Outline) -> Result<Vec<Domain>, String> {
    let half = job.pattern.bridge.get() / 2.0;
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
    Ok(regions.iter().map(Domain::of).collect())
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
