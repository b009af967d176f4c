//! What a stone needs of the plate, and cut-outs that cut nothing.

use super::{outer, Hole, Window};
use crate::error::Error;
use crate::geom::{boolean, BooleanOp, Region, Ring};
use crate::job::Bezel;
use crate::trade::fits;

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

/// Refuses cut-outs off the metal or wholly inside one another, and a stone with no metal under it: they would be counted
/// and cut nothing.
pub(super) fn cut_outs_in_metal(
    edge: &Ring,
    windows: &[Window],
    holes: &[Hole],
    bezel: Option<&Bezel>,
) -> Result<(), Error> {
    let called = |label: &str, name: &str| format!("{label} ({name})");
    let cuts: Vec<(String, Ring)> = windows
        .iter()
        .map(|w| (called(&w.label, &w.name), w.ring.clone()))
        .chain(holes.iter().map(|h| (called(&h.label, &h.name), Ring::circle(h.at, h.diameter.get() / 2.0))))
        .collect();
    let whole = |ring: &Ring| Region::new(ring.clone(), Vec::new());
    let on_metal = |ring: &Ring| !boolean(&[whole(ring)], BooleanOp::Intersection, &[whole(edge)]).is_empty();
    if let Some((name, _)) = cuts.iter().find(|(_, ring)| !on_metal(ring)) {
        return Err(Error::job(
            format!("{name} lies off the metal: there is nothing to cut"),
            "move it onto the piece, or take it out",
        ));
    }
    if bezel.is_some_and(|b| !edge.contains(b.at)) {
        return Err(Error::job(
            "the stone has no metal under it: its place is off the piece",
            "move [construction] bezel.at onto the metal",
        ));
    }
    for (i, (inner, ring)) in cuts.iter().enumerate() {
        let within = |other: &Ring| {
            other.area() > ring.area()
                && other.bounds().contains(ring.bounds().center())
                && ring.vertices().iter().all(|v| other.signed_distance(v.at) >= -1e-6)
        };
        let around = cuts.iter().enumerate().find(|(j, (_, other))| *j != i && within(other));
        if let Some((_, (outer, _))) = around {
            return Err(Error::job(
                format!("{inner} lies inside {outer}, where the metal is cut out already"),
                "take one of them out, or move it",
            ));
        }
    }
    Ok(())
}
