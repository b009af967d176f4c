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
/// A tick stands out from the drill circle by so much where it can, mm.
const LEAST_TICK: f64 = 0.3;
/// Ticks keep this far from the drawn edge, mm: the saw line lies between.
const FROM_EDGE: f64 = 0.45;
/// Radius of the dot where the saw comes in, mm: on a template in the waste, on an enlarged view on the line. On a template
/// larger, it is as large as a punch mark of 0.5 mm and taken for one that ran together; smaller, it is lost on a copy.
pub(super) const ENTRY: f64 = 0.25;
pub(super) const ENTRY_ENLARGED: f64 = 0.45;
/// How far the sign where two pages join reaches from its middle, mm, and the radius of the circle in it: small beside its
/// cross, or it looks like the dot where the saw comes in made larger.
pub(super) const JOIN: f64 = 2.6;
const JOIN_CIRCLE: f64 = 1.3;

/// How far a punch mark reaches from its middle in an opening whose largest circle is `widest` across, mm.
pub(super) fn punch_reach(drill: f64, widest: f64) -> f64 {
    let r = drill / 2.0;
    let room = (widest / 2.0 - FROM_EDGE - r).max(0.0);
    // In a small opening the ticks come nearer to the line: without them the mark is a plain ring.
    let least = (r + LEAST_TICK).min(up_to_line(widest));
    (r + (room * REACH.0).min(REACH.1)).max(least)
}

/// How far a tick may reach in an opening so wide, mm.
fn up_to_line(widest: f64) -> f64 {
    widest / 2.0 - SAW_LINE - 0.15
}

/// The drill at its true size and four hair ticks across its line; the middle stays open.
pub(super) fn punch(group: Group, at: Point, drill: f64, widest: f64) -> Vec<Mark> {
    let r = drill / 2.0;
    let circle = Ink::Circle { at, radius: r, fill: None, pen: Some(FINE) };
    let mut marks = vec![Mark::new(group, circle)];
    // In an opening hardly wider than the drill they end short of the line.
    let (inner, outer) = ((0.55 * r).max(OPEN), punch_reach(drill, widest).min(up_to_line(widest)));
    if outer - inner > 0.12 {
        for way in [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0), Vec2::new(-1.0, 0.0), Vec2::new(0.0, -1.0)] {
            marks.push(Mark::line(Group::PunchMarks, vec![at + way * inner, at + way * outer], FINE));
        }
    }
    marks
}

/// Rays round a hole that stays begin and end so far from its circle, mm.
const RAYS: (f64, f64) = (0.15, 0.7);
/// A ray ends so far from a cut edge, mm, or is left out where it would be shorter than the second.
const RAYS_CLEAR: (f64, f64) = (0.3, 0.2);

/// A hole that stays: its circle, a dot to punch on, and four rays aslant out over the metal, so that nobody saws from it.
/// `clear`: from the circle to the nearest cut edge, mm.
pub(super) fn kept_hole(at: Point, diameter: f64, clear: f64) -> Vec<Mark> {
    let r = diameter / 2.0;
    let circle = |radius, fill, pen| Mark::new(Group::PunchMarks, Ink::Circle { at, radius, fill, pen });
    let mut marks = vec![circle(r, None, Some(FINE)), circle(0.15_f64.min(r / 3.0), Some(100), None)];
    let to = RAYS.1.min(clear - RAYS_CLEAR.0);
    if to - RAYS.0 >= RAYS_CLEAR.1 {
        let aslant = std::f64::consts::FRAC_1_SQRT_2;
        for (x, y) in [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)] {
            let way = Vec2::new(x, y) * aslant;
            let points = vec![at + way * (r + RAYS.0), at + way * (r + to)];
            marks.push(Mark::line(Group::PunchMarks, points, FINE));
        }
    }
    marks
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
    Mark::new(Group::Guides, Ink::Area { rings, shade: 100, pen: None })
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

/// A register mark: a small circle in quarters, two of them black, on a cross that reaches well past it. The middle is
/// where the black corners touch, and a pin finds it.
pub(super) fn join(at: Point) -> Vec<Mark> {
    let r = JOIN_CIRCLE;
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
    let mut marks = vec![
        Mark::new(Group::Guides, Ink::Area { rings, shade: 100, pen: None }),
        Mark::new(Group::Guides, circle),
    ];
    let arm = |way: Vec2| Mark::line(Group::Guides, vec![at + way * r, at + way * JOIN], FINE);
    marks.extend([x, y, -x, -y].map(arm));
    marks
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Rect;

    /// Cells of a picture along one side.
    const N: usize = 24;

    fn inked(mark: &Mark, p: Point) -> bool {
        let near = |d: f64, pen: &Pen| d.abs() <= pen.width / 2.0;
        match &mark.ink {
            Ink::Area { rings, .. } => rings.iter().any(|r| r.signed_distance(p) > 0.0),
            Ink::Circle { at, radius, fill, pen } => {
                let d = (p - *at).hypot2().sqrt() - radius;
                (fill.is_some() && d <= 0.0) || pen.as_ref().is_some_and(|pen| near(d, pen))
            }
            Ink::Line { points, pen } => points.windows(2).any(|ends| {
                let along = ends[1] - ends[0];
                let t = ((p - ends[0]).dot(along) / along.hypot2()).clamp(0.0, 1.0);
                near((p - (ends[0] + along * t)).hypot2().sqrt(), pen)
            }),
            _ => false,
        }
    }

    /// The box of a sign.
    fn box_of(marks: &[Mark]) -> Rect {
        marks.iter().map(Mark::bounds).reduce(|a, b| a.union(b)).expect("marks")
    }

    /// Shares of ink in the `n` by `n` cells of a square with `side` mm round the middle of a sign, each looked at in `fine` by
    /// `fine` places.
    fn shares(marks: &[Mark], side: f64, n: usize, fine: usize) -> Vec<f64> {
        let corner = box_of(marks).center() - Vec2::new(side, side) / 2.0;
        let step = side / (n * fine) as f64;
        let mut cells = vec![0.0; n * n];
        for y in 0..n * fine {
            for x in 0..n * fine {
                let p = corner + Vec2::new((x as f64 + 0.5) * step, (y as f64 + 0.5) * step);
                if marks.iter().any(|m| inked(m, p)) {
                    cells[y / fine * n + x / fine] += 1.0 / (fine * fine) as f64;
                }
            }
        }
        cells
    }

    /// Shares of ink of a sign blown up to one size, as though it were seen without its size.
    fn picture(marks: &[Mark]) -> Vec<f64> {
        let b = box_of(marks);
        shares(marks, b.width().max(b.height()), N, 6)
    }

    /// From 0 (the same ink) to 1 (no ink in common), the nearest of the eight ways to turn and mirror one of them.
    fn unlike(a: &[f64], b: &[f64], side: usize) -> f64 {
        let last = side - 1;
        let turned = |k: usize, x: usize, y: usize| {
            let (x, y) = if k & 1 == 0 { (x, y) } else { (y, x) };
            let (x, y) = (if k & 2 == 0 { x } else { last - x }, if k & 4 == 0 { y } else { last - y });
            b[y * side + x]
        };
        let ink: f64 = a.iter().chain(b).sum();
        let cells = side * side;
        let apart = |k| (0..cells).map(|i| (a[i] - turned(k, i % side, i / side)).abs()).sum::<f64>() / ink;
        (0..8).map(apart).fold(1.0, f64::min)
    }

    /// Every sign of a template and of split pages in the sizes it may have.
    fn signs() -> Vec<(&'static str, Vec<Mark>)> {
        let o = Point::ORIGIN;
        let right = Vec2::new(1.0, 0.0);
        let arrow = vec![
            Mark::line(Group::Guides, vec![Point::new(-1.6, 0.0), Point::new(0.3, 0.0)], FINE),
            wedge(Point::new(1.5, 0.0), right, 1.3, 1.0),
        ];
        let cross = centre(&Placement::upright(false), 2.4).expect("room for it");
        let tick = Mark::line(Group::Guides, vec![o, Point::new(0.0, 1.2)], FINE);
        let mut all = vec![
            ("thin", thin([Point::new(0.0, -0.35), Point::new(0.0, 0.35)], 1.1)),
            ("way round", arrow),
            ("top", vec![top(o)]),
            ("join", join(o)),
            ("middle", cross),
            ("quarter", vec![tick]),
            ("entry", vec![entry_dot(o, ENTRY)]),
        ];
        // Drills and openings from the smallest that is sawn to a drop-out.
        let drilled =
            [(0.5, 1.5), (0.5, 2.0), (0.5, 3.0), (0.35, 3.0), (0.8, 2.0), (0.8, 3.0), (1.0, 3.0), (2.0, 8.0)];
        all.extend(drilled.map(|(drill, widest)| ("punch", punch(Group::DrillPoints, o, drill, widest))));
        all.extend([1.0, 1.2, 1.8, 5.0].map(|d| ("hole that stays", kept_hole(o, d, 1.2))));
        all
    }

    /// Those of an enlarged view, which has no punch marks.
    fn signs_of_a_view() -> Vec<(&'static str, Vec<Mark>)> {
        let mut all: Vec<_> =
            signs().into_iter().filter(|(name, _)| ["thin", "top"].contains(name)).collect();
        all.push(("entry", vec![entry_dot(Point::ORIGIN, ENTRY_ENLARGED)]));
        all.extend([2.0, 4.0, 9.0].map(|d| ("hole that stays", kept_hole(Point::ORIGIN, d, 2.0))));
        all
    }

    /// Cells of a picture at true size along one side.
    const BENCH: usize = 90;

    /// Ink of a sign at its true size, in cells of a fifteenth of a millimetre: what stands nearer than 0.2 mm runs together,
    /// as on a poor copy or for a tired eye.
    fn at_the_bench(marks: &[Mark]) -> Vec<f64> {
        const STEP: f64 = 0.2 / 3.0;
        let n = BENCH;
        let sharp = shares(marks, STEP * n as f64, n, 4);
        let mean = |x: usize, y: usize| {
            let near = |v: usize| v.saturating_sub(1)..=(v + 1).min(n - 1);
            let cells = near(y).flat_map(|j| near(x).map(move |i| (i, j)));
            cells.map(|(i, j)| sharp[j * n + i]).sum::<f64>() / 9.0
        };
        (0..n * n).map(|i| mean(i % n, i / n)).collect()
    }

    /// Every pair of two signs is at least so unlike; gives the nearest pair.
    fn nearest(pictures: &[(&str, Vec<f64>)], side: usize) -> (f64, String) {
        let mut nearest = (1.0, String::new());
        for (i, (a, one)) in pictures.iter().enumerate() {
            for (b, other) in pictures[i + 1..].iter().filter(|(b, _)| b != a) {
                let apart = unlike(one, other, side);
                if apart < nearest.0 {
                    nearest = (apart, format!("{a} and {b}"));
                }
            }
        }
        nearest
    }

    /// A guess: the same sign turned, moved or 15 % larger stays well under it.
    const UNLIKE: f64 = 0.34;

    #[test]
    fn no_sign_can_be_taken_for_another() {
        let seen = |signs: Vec<(&'static str, Vec<Mark>)>, look: fn(&[Mark]) -> Vec<f64>| {
            signs.iter().map(|(name, marks)| (*name, look(marks))).collect::<Vec<_>>()
        };
        // As large as they are, and blown up to one size: a copy may be of any.
        let (apart, pair) = nearest(&seen(signs(), at_the_bench), BENCH);
        assert!(apart > UNLIKE, "at their true size {pair}: {apart:.2}");
        let (apart, pair) = nearest(&seen(signs_of_a_view(), at_the_bench), BENCH);
        assert!(apart > UNLIKE, "on a view {pair}: {apart:.2}");
        let (apart, pair) = nearest(&seen(signs(), picture), N);
        assert!(apart > UNLIKE, "at one size {pair}: {apart:.2}");
    }

    #[test]
    fn a_sign_is_known_again_turned_moved_and_a_little_larger() {
        let o = Point::ORIGIN;
        let right = Vec2::new(1.0, 0.0);
        let turned = picture(&[wedge(o, right, 3.4, 4.0)]);
        assert!(unlike(&picture(&[top(o)]), &turned, N) < 0.05);
        let (dot, larger) = (entry_dot(o, 0.4), entry_dot(Point::new(7.0, 3.0), 0.4 * 1.15));
        assert!(unlike(&at_the_bench(&[dot]), &at_the_bench(&[larger]), BENCH) < UNLIKE);
        let hole = at_the_bench(&kept_hole(o, 1.8, 1.2));
        assert!(unlike(&hole, &at_the_bench(&kept_hole(o, 1.85, 1.2)), BENCH) < UNLIKE);
    }
}
