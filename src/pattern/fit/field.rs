//! The field a pattern is fitted to: where the middle lines of bridges may run.
//!
//! Openings keep half a bridge from a cell's line, so this field reaches half a bridge farther than the openings may.

use super::curve::Curve;
use crate::geom::{Boundary, Edge, Point, Rect, Region, Ring, Vec2};

/// How far chords may stay from the border's arcs where areas are shared out, mm. Larger would tell in the shares,
/// smaller costs time.
const CHORD: f64 = 2e-3;

/// One connected part of the field.
#[derive(Debug, Clone)]
pub(super) struct Domain {
    /// The outer line first; on a band both long edges are.
    pub curves: Vec<Curve>,
    /// The same lines as chords, for areas.
    chords: Chords,
    boundary: Boundary,
    /// All of it; a band a good way beyond its repeat.
    pub region: Region,
    pub bounds: Rect,
    /// mm2; on a band of one repeat.
    pub area: f64,
    /// Centroid.
    pub middle: Point,
    /// How far on the field begins again: the repeat along a band, mm along x.
    pub period: Option<f64>,
    /// What was cut off of it, each end beyond a bridge.
    pub horns: Vec<Horn>,
}

/// What lies beyond the bridge across a horn.
#[derive(Debug, Clone)]
pub(super) struct Horn {
    pub tip: Point,
    /// The line of a drop-shaped cell; `None` where it stays solid.
    pub drop: Option<Ring>,
}

impl Domain {
    pub(super) fn of(region: &Region) -> Domain {
        let rings: Vec<Ring> = region.rings().cloned().collect();
        let chords = rings.iter().flat_map(|ring| {
            let points = ring.flatten(CHORD);
            let n = points.len();
            (0..n).map(|i| (points[i], points[(i + 1) % n])).collect::<Vec<_>>()
        });
        let (mut area, mut moment) = (0.0, Vec2::ZERO);
        for ring in &rings {
            area += ring.area();
            moment += ring.centroid().to_vec2() * ring.area();
        }
        Domain {
            chords: Chords::of(chords.collect()),
            boundary: Boundary::new(std::slice::from_ref(region)),
            region: region.clone(),
            bounds: region.outer().bounds(),
            area,
            middle: (moment / area).to_point(),
            curves: rings.iter().map(Curve::of).collect(),
            period: None,
            horns: Vec::new(),
        }
    }

    /// One repeat of a band between two heights, `run` mm long: it begins again on both sides.
    pub(super) fn band(low: f64, high: f64, run: f64, reach: f64) -> Domain {
        let half = run / 2.0;
        let line = |from: (f64, f64), to: (f64, f64)| {
            let (from, to) = (Point::from(from), Point::from(to));
            Curve::new(vec![Edge::Line { from, to }], to - from)
        };
        let wide = half + reach;
        let long = Region::new(Ring::rectangle(Rect::new(-wide, low, wide, high)), Vec::new());
        Domain {
            curves: vec![line((-half, low), (half, low)), line((half, high), (-half, high))],
            area: run * (high - low),
            middle: Point::new(0.0, (low + high) / 2.0),
            period: Some(run),
            ..Domain::of(&long)
        }
    }

    /// The area that a polygon and the field have in common, mm2. By Green's theorem over the parts of each line that
    /// lie inside the other.
    pub(super) fn shared(&self, polygon: &[Point]) -> f64 {
        let n = polygon.len();
        let from = polygon[0];
        let sides = (0..n).map(|i| (polygon[i], polygon[(i + 1) % n]));
        let bounds = polygon.iter().fold(Rect::from_points(from, from), |b, p| b.union_pt(*p));
        let near: Vec<(Point, Point)> = self
            .chords
            .all
            .iter()
            .copied()
            .filter(|(a, b)| {
                let chord = Rect::from_points(*a, *b);
                chord.x0 <= bounds.x1
                    && chord.x1 >= bounds.x0
                    && chord.y0 <= bounds.y1
                    && chord.y1 >= bounds.y0
            })
            .collect();
        if near.is_empty() {
            return if self.holds(from) { area(polygon) } else { 0.0 };
        }
        let mut twice = 0.0;
        let mut add = |a: Point, b: Point| twice += (a - from).cross(b - from);
        let all: Vec<(Point, Point)> = sides.collect();
        for &(a, b) in &all {
            pieces(a, b, &near, |p, q| {
                if self.holds(p.midpoint(q)) {
                    add(p, q);
                }
            });
        }
        for &(a, b) in &near {
            pieces(a, b, &all, |p, q| {
                if inside(&all, p.midpoint(q)) {
                    add(p, q);
                }
            });
        }
        twice / 2.0
    }

    fn holds(&self, p: Point) -> bool {
        inside(self.chords.at(p.y), p)
    }

    /// Distance to the nearest border line, positive inside.
    pub(super) fn depth(&self, p: Point) -> f64 {
        let far = self.boundary.distance(p);
        if self.boundary.contains(p) {
            far
        } else {
            -far
        }
    }
}

/// Chords of closed lines, and those that pass each of equal strips from the lowest to the highest.
#[derive(Debug, Clone)]
struct Chords {
    all: Vec<(Point, Point)>,
    low: f64,
    /// Strips in a millimetre.
    dense: f64,
    strips: Vec<Vec<(Point, Point)>>,
}

impl Chords {
    fn of(all: Vec<(Point, Point)>) -> Chords {
        let ends = || all.iter().map(|(a, _)| a.y);
        let (low, high) = (ends().fold(f64::INFINITY, f64::min), ends().fold(f64::NEG_INFINITY, f64::max));
        let count = (all.len() / 4).max(1);
        let dense = count as f64 / (high - low).max(1e-9);
        let mut chords = Chords { low, dense, strips: vec![Vec::new(); count], all: Vec::new() };
        for &(a, b) in &all {
            let (from, to) = (chords.strip(a.y.min(b.y)), chords.strip(a.y.max(b.y)));
            chords.strips[from..=to].iter_mut().for_each(|strip| strip.push((a, b)));
        }
        Chords { all, ..chords }
    }

    fn strip(&self, y: f64) -> usize {
        (((y - self.low) * self.dense) as usize).min(self.strips.len() - 1)
    }

    /// All chords that pass this height, and others.
    fn at(&self, y: f64) -> &[(Point, Point)] {
        &self.strips[self.strip(y)]
    }
}

pub(super) fn area(polygon: &[Point]) -> f64 {
    let n = polygon.len();
    let Some(&from) = polygon.first() else { return 0.0 };
    (1..n.saturating_sub(1)).map(|i| (polygon[i] - from).cross(polygon[i + 1] - from)).sum::<f64>() / 2.0
}

/// Whether a point lies inside closed chains of chords, the holes' running the other way.
fn inside(chords: &[(Point, Point)], p: Point) -> bool {
    let mut turns = 0;
    for &(a, b) in chords {
        if a.y <= p.y {
            if b.y > p.y && (b - a).cross(p - a) > 0.0 {
                turns += 1;
            }
        } else if b.y <= p.y && (b - a).cross(p - a) < 0.0 {
            turns -= 1;
        }
    }
    turns != 0
}

/// The pieces of a chord between its crossings with others.
fn pieces(a: Point, b: Point, others: &[(Point, Point)], mut each: impl FnMut(Point, Point)) {
    let along = b - a;
    let mut cuts: Vec<f64> = Vec::new();
    for &(c, d) in others {
        let (u, w) = (d - c, c - a);
        let det = along.cross(u);
        let (sc, sd) = (along.cross(w), along.cross(d - a));
        if det == 0.0 || sc * sd > 0.0 {
            continue;
        }
        let (s, t) = (w.cross(u) / det, w.cross(along) / det);
        if (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t) {
            cuts.push(s);
        }
    }
    cuts.sort_by(f64::total_cmp);
    let mut from = a;
    for s in cuts {
        let to = a + along * s;
        each(from, to);
        from = to;
    }
    each(from, b);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vertex;

    #[test]
    fn areas_in_common() {
        let region = Region::new(
            Ring::rectangle(Rect::new(0.0, 0.0, 10.0, 10.0)),
            vec![Ring::rectangle(Rect::new(4.0, 4.0, 6.0, 6.0))],
        );
        let field = Domain::of(&region);
        let square = |x: f64, y: f64, w: f64| {
            field.shared(&Ring::rectangle(Rect::new(x, y, x + w, y + w)).flatten(1.0))
        };
        assert!((square(1.0, 1.0, 2.0) - 4.0).abs() < 1e-9);
        assert!((square(-1.0, 1.0, 2.0) - 2.0).abs() < 1e-9);
        assert!((square(3.0, 3.0, 4.0) - 12.0).abs() < 1e-9);
        assert!((square(4.5, 4.5, 1.0)).abs() < 1e-9);
        let disc = Domain::of(&Region::new(
            Ring::new(vec![Vertex::new(5.0, 0.0, 1.0), Vertex::new(-5.0, 0.0, 1.0)]),
            Vec::new(),
        ));
        let half = disc.shared(&Ring::rectangle(Rect::new(-9.0, 0.0, 9.0, 9.0)).flatten(1.0));
        assert!((half - 12.5 * std::f64::consts::PI).abs() < 0.03, "{half}");
    }
}
