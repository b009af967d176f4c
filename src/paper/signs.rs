//! The signs of a template, each drawn in one way that cannot be taken for another: punch mark, hole that stays, where the
//! saw comes in, thin bridge, where two pages join, top, quarter ticks.

use super::page::{Group, Ink, Mark, Pen, FINE, SAW_LINE};
use super::place::Placement;
use crate::geom::{Point, Ring, Vec2};

/// What a page may carry and its legend explains. In the order of the legend.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Sign {
    /// The saw line, in the waste or split.
    Line,
    /// Waste or metal is tinted.
    Tint,
    Punch,
    /// The true-size drill circle of a hole that is not sawn.
    KeptHole,
    /// The order of piercing.
    Number,
    /// Where the saw comes to the line.
    Entry,
    Thin,
    HangLine,
    /// Where a bezel stands.
    ScribeRing,
    /// The edge of a piece once it is domed.
    Domed,
    Quarters,
    Centre,
    /// The ends of a blank that is bent round, and its repeats.
    Seam,
    Spare,
    Top,
    Trim,
}

/// Ink of the flat tint of waste, percent: dark enough to see through a lens, light enough for a punch mark on it and for
/// a poor copier to drop. One tint everywhere, so that it has one meaning.
pub(super) const WASTE_TINT: u8 = 15;
/// Ink of tinted metal, percent: a little darker, since bridges are narrow.
pub(super) const METAL_TINT: u8 = 22;
/// Openings at least this wide say OUT: a large drop-out is easily taken for the piece.
pub(super) const DROP_OUT: f64 = 18.0;
/// The middle of a punch mark is free of ink out to this radius, mm: the punch is set by eye on what is bare.
const OPEN: f64 = 0.17;
/// A tick of a punch mark reaches this share of the way from the drill circle to the line, and at most so far, mm.
const REACH: (f64, f64) = (0.5, 1.2);
/// Ticks keep this far from the drawn edge, mm: the saw line lies between.
const FROM_EDGE: f64 = 0.45;
/// Radius of the dot where the saw comes in, mm: on a template in the waste, on an enlarged view on the line.
pub(super) const ENTRY: f64 = 0.32;
pub(super) const ENTRY_ENLARGED: f64 = 0.45;
/// Radius of the sign where two pages join, mm.
pub(super) const JOIN: f64 = 2.2;

/// How far a punch mark reaches from its middle in an opening whose largest circle is `widest` across, mm.
pub(super) fn punch_reach(drill: f64, widest: f64) -> f64 {
    let r = drill / 2.0;
    let room = (widest / 2.0 - FROM_EDGE - r).max(0.0);
    r + (room * REACH.0).min(REACH.1)
}

/// The drill at its true size and four hair ticks across its line; the middle stays open.
pub(super) fn punch(group: Group, at: Point, drill: f64, widest: f64) -> Vec<Mark> {
    let r = drill / 2.0;
    let circle = Ink::Circle { at, radius: r, fill: None, pen: Some(FINE) };
    let mut marks = vec![Mark::new(group, circle)];
    // In an opening hardly wider than the drill they end short of the line.
    let (inner, outer) =
        ((0.55 * r).max(OPEN), punch_reach(drill, widest).min(widest / 2.0 - SAW_LINE - 0.15));
    if outer - inner > 0.12 {
        for way in [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0), Vec2::new(-1.0, 0.0), Vec2::new(0.0, -1.0)] {
            marks.push(Mark::line(Group::PunchMarks, vec![at + way * inner, at + way * outer], FINE));
        }
    }
    marks
}

/// A hole that stays: two circles, so that nobody saws from it, and a dot to punch on.
pub(super) fn kept_hole(at: Point, diameter: f64) -> Vec<Mark> {
    let r = diameter / 2.0;
    let circle = |radius, fill, pen| Mark::new(Group::PunchMarks, Ink::Circle { at, radius, fill, pen });
    vec![
        circle(r, None, Some(FINE)),
        circle((r - 0.4).max(r * 0.55), None, Some(FINE)),
        circle(0.15_f64.min(r / 3.0), Some(100), None),
    ]
}

/// The dot where the saw comes to the line: in the waste, clear of the line on every side, in the piece's own
/// coordinates; `None` where the opening is too narrow for it.
pub(super) fn entry(ring: &Ring, enter: Point, drill_at: Point) -> Option<Point> {
    // Off the line by its own radius and a hair, towards the drill.
    const OFF: f64 = 0.18 + 0.14 + ENTRY;
    let toward = drill_at - enter;
    let far = toward.hypot2().sqrt();
    if far < 1e-6 {
        return None;
    }
    let mut along = OFF;
    while along < far {
        let at = enter + toward / far * along;
        if ring.signed_distance(at) >= OFF - 0.02 {
            return Some(at);
        }
        along += 0.1;
    }
    None
}

pub(super) fn entry_dot(at: Point, radius: f64) -> Mark {
    Mark::new(Group::PunchMarks, Ink::Circle { at, radius, fill: Some(100), pen: None })
}

/// A solid wedge with its tip at `tip`, pointing along `way` (a unit vector).
pub(super) fn wedge(tip: Point, way: Vec2, long: f64, wide: f64) -> Mark {
    let side = Vec2::new(-way.y, way.x) * (wide / 2.0);
    let foot = tip - way * long;
    let rings = vec![Ring::polygon([tip, foot + side, foot - side])];
    Mark::new(Group::Guides, Ink::Area { rings, shade: 100 })
}

/// Two wedges in the waste on either side of a thin bridge, tip to tip across it. `ends` are the bridge's two edges.
pub(super) fn thin(ends: [Point; 2], size: f64) -> Vec<Mark> {
    let across = ends[1] - ends[0];
    let way = across / across.hypot2().sqrt().max(1e-9);
    let off = 0.18 + 0.22;
    [(ends[0] - way * off, way), (ends[1] + way * off, -way)]
        .map(|(tip, way)| Mark { group: Group::PunchMarks, ..wedge(tip, way, size, 0.8 * size) })
        .into()
}

/// Black wedge over the top of the piece.
pub(super) fn top(foot: Point) -> Mark {
    wedge(foot - Vec2::new(0.0, 1.7), Vec2::new(0.0, -1.0), 1.7, 2.0)
}

/// A circle in quarters, two of them black: the middle is where the black corners touch, and a pin finds it.
pub(super) fn join(at: Point) -> Vec<Mark> {
    let r = JOIN;
    // A quarter of a circle bulges by tan(90 / 4) degrees.
    let quarter = |a: Vec2, b: Vec2| {
        use crate::geom::Vertex;
        let bulge = std::f64::consts::SQRT_2 - 1.0;
        Ring::new(vec![
            Vertex { at, bulge: 0.0 },
            Vertex { at: at + a * r, bulge },
            Vertex { at: at + b * r, bulge: 0.0 },
        ])
    };
    let (x, y) = (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0));
    let rings = vec![quarter(x, y), quarter(-x, -y)];
    let circle = Ink::Circle { at, radius: r, fill: None, pen: Some(FINE) };
    vec![Mark::new(Group::Guides, Ink::Area { rings, shade: 100 }), Mark::new(Group::Guides, circle)]
}

/// Thin, broken and grey: nobody takes it for a cut edge.
pub(super) const HANG_PEN: Pen = Pen::new(0.13, 60).dashed(0.8, 0.5);
/// Where a bezel stands: dots rather than dashes.
pub(super) const SCRIBE_PEN: Pen = Pen::new(0.13, 70).dashed(0.3, 0.5);
/// The edge of a domed piece within its flat.
pub(super) const DOMED_PEN: Pen = Pen::new(0.13, 55).dashed(2.2, 0.6);
pub(super) const TRIM_PEN: Pen = Pen::new(0.13, 60).dashed(1.6, 1.0);
/// The middle of the piece.
const CENTRE_PEN: Pen = Pen::new(0.1, 60);

/// A light cross on the middle of the piece, its arms as long as the metal lets them be; `None` where an opening has the
/// middle, whose punch mark says it.
pub(super) fn centre(place: &Placement, clear: f64) -> Option<Vec<Mark>> {
    let arm = (clear - 0.4).min(2.0);
    (arm >= 0.4).then(|| {
        let at = place.point(Point::ORIGIN);
        [Vec2::new(arm, 0.0), Vec2::new(0.0, arm)]
            .map(|v| Mark::line(Group::Guides, vec![at - v, at + v], CENTRE_PEN))
            .into()
    })
}
