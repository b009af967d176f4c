//! Six turning arms of equal-sided pentagons, all alike, filling a round without gap.

use super::{turned, Growth, GrowthAsk};
use crate::geom::{sin_cos_degrees, Point, Ring, Vec2};

/// Every sixth pentagon, in order from the middle: the way along sides from the middle to its first corner, then the
/// directions of its five sides. A letter is a direction: a is 0 degrees, b 20, up to r 340. The other five sixths
/// are these turned by 60 degrees.
const SIXTH: [(&str, &str); 30] = [
    ("", "abgkm"),
    ("a", "qreik"),
    ("ab", "rfglp"),
    ("abr", "nbchl"),
    ("abr", "cdimo"),
    ("dbc", "pdejn"),
    ("abrc", "qaghm"),
    ("abrcd", "bhinr"),
    ("dbce", "acijo"),
    ("abrcq", "prdij"),
    ("abrcd", "qaejk"),
    ("dbcea", "rbfkl"),
    ("abrcdq", "prdij"),
    ("dbcear", "qaejk"),
    ("dbcefa", "rbfkl"),
    ("abrcdba", "nrbhi"),
    ("dbceacb", "oacij"),
    ("dbcefdc", "pbdjk"),
    ("abrcdba", "rbhin"),
    ("dbceacb", "acijo"),
    ("dbcefdc", "bdjkp"),
    ("abrcdqar", "qaejk"),
    ("abrcdbae", "rbfkl"),
    ("dbceacbf", "acglm"),
    ("abrcdbar", "qaejk"),
    ("dbceacba", "rbfkl"),
    ("dbcefdcb", "acglm"),
    ("abrcdbaer", "qaejk"),
    ("dbceacbfa", "rbfkl"),
    ("dbcefdcgb", "acglm"),
];
/// The pentagons fill a round of this radius, in sides.
pub(super) const FILLED: f64 = 8.33;

/// A step of one side in the direction of a letter.
fn step(letter: u8) -> Vec2 {
    let (s, c) = sin_cos_degrees(20.0 * f64::from(letter.saturating_sub(b'a')));
    Vec2::new(c, s)
}

/// All 180 pentagons with sides of 1, anticlockwise.
fn pentagons() -> Vec<Ring> {
    let mut rings = Vec::new();
    for turn in 0..6 {
        for (way, sides) in SIXTH {
            let mut at = way.bytes().map(step).fold(Point::ORIGIN, |p, v| p + v);
            let corners = sides.bytes().map(|letter| {
                let corner = at;
                at += step(letter);
                corner
            });
            rings.push(Ring::polygon(corners.collect::<Vec<_>>()).rotated(60.0 * f64::from(turn)));
        }
    }
    rings
}

pub(super) fn grow(ask: &GrowthAsk) -> Result<Growth, String> {
    let reach = ask.radius().min(ask.reach());
    if reach / ask.pitch > FILLED {
        return Err(format!(
            "the pentagon round is drawn out to {FILLED} sides; here that asks for a pitch of at least {}",
            ask.units.says((reach / FILLED * 100.0).ceil() / 100.0, 2)
        ));
    }
    let cells = turned(pentagons().into_iter().map(|r| r.scaled(ask.pitch)), ask.turn);
    Ok(Growth { cells, order: 6, ..Growth::default() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_pentagon_closes_and_is_the_same() {
        for ring in pentagons() {
            // Area 1.41782 and corners 140, 60, 160, 80, 100 degrees, from the definition of the pentagon.
            assert!((ring.area() - 1.417_820_454_9).abs() < 1e-9);
            assert!(ring.edges().all(|e| (e.length() - 1.0).abs() < 1e-12));
        }
    }
}
