//! Polygon Boolean operations on regions: union, intersection, difference. Arcs are cut as fine chords and put back as arcs afterwards.

use super::{box_distance2, Bounded, Edge, RTree, Region, Ring, Vertex};
use crate::error::fault;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::scale::FixedScaleFloatOverlay;
use kurbo::{Point, Rect, Vec2};

/// How far a chord may stay from its arc while cutting, mm (a tenth of a micrometre). Larger would show in measured
/// gaps; smaller only costs time: the chord count grows with its inverse square root.
pub const CHORD: f64 = 1e-4;
/// Steps of the cutting grid in a millimetre: one nanometre.
const GRID: f64 = 1e6;
/// A cut-off bit below this area (mm2) is an artefact of the grid: a square of 10 micrometres.
pub(super) const SLIVER: f64 = 1e-4;

/// A Boolean operation on two sets of regions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BooleanOp {
    /// What lies in either set.
    Union,
    /// What lies in both.
    Intersection,
    /// What lies in the first set and not in the second.
    Difference,
}

pub(super) type Flat = Vec<Vec<[f64; 2]>>;

/// A Boolean operation on two sets of regions. Those of one set may overlap. Slivers below 1e-4 mm2 are left out.
pub fn boolean(first: &[Region], op: BooleanOp, second: &[Region]) -> Vec<Region> {
    let mut chords = Chords::of(rings(first).chain(rings(second)));
    let (first, second) = (chords.shapes(first), chords.shapes(second));
    overlay(&first, op, &second).into_iter().filter_map(|shape| region(shape, &chords.arcs)).collect()
}

/// An arc of more chords than this is looked at in so many pieces. Fewer would cut more of it finely, more would ask more often than
/// the chords cost.
const PIECES: usize = 24;

/// Lines cut into chords together: the pieces of an arc that another edge comes near finely, the others as one chord each, which
/// [`recover_arcs`] tells by its two ends.
pub(super) struct Chords {
    /// All pieces; `None` where no arc is so long that it has any.
    lines: Option<RTree<Piece>>,
    all: Rect,
    /// Every arc, then the pieces that come as one chord.
    pub(super) arcs: Vec<Arc>,
}

/// An edge or a piece of it.
struct Piece {
    own: Edge,
    edge: Edge,
    /// From which of the edge's chords to which.
    first: usize,
    last: usize,
}

impl Piece {
    fn all_of(own: Edge) -> impl Iterator<Item = Piece> {
        let chords = own.chords(CHORD);
        let pieces = if chords > PIECES { PIECES } else { 1 };
        (0..pieces).map(move |piece| {
            let [first, last] = [piece, piece + 1].map(|k| k * chords / pieces);
            let edge = if pieces == 1 {
                own
            } else {
                own.part(first as f64 / chords as f64, last as f64 / chords as f64)
            };
            Piece { own, edge, first, last }
        })
    }
}

impl Chords {
    /// For lines that are to be cut with each other.
    pub(super) fn of<'a>(lines: impl Iterator<Item = &'a Ring> + Clone + 'a) -> Self {
        let edges = || lines.clone().flat_map(Ring::edges);
        let long = edges().any(|edge| edge.chords(CHORD) > PIECES);
        let bounded = |piece: Piece| Bounded { bounds: piece.edge.about(), item: piece };
        let tree = long.then(|| RTree::new(edges().flat_map(Piece::all_of).map(bounded).collect()));
        let all = if long { inner_box(lines.clone()) } else { Rect::ZERO };
        Self { lines: tree, all, arcs: arcs_of(lines).collect() }
    }

    /// The chords of some of those lines.
    pub(super) fn shapes(&mut self, regions: &[Region]) -> Vec<Flat> {
        regions.iter().map(|region| region.rings().map(|ring| self.chords(ring)).collect()).collect()
    }

    fn chords(&mut self, ring: &Ring) -> Vec<[f64; 2]> {
        let mut points = Vec::new();
        for piece in ring.edges().flat_map(Piece::all_of) {
            points.push(piece.edge.from());
            if self.is_one(&piece) {
                self.arcs.push(Arc { edge: piece.edge, bounds: piece.edge.bounds(), whole: true });
            } else {
                let n = piece.own.chords(CHORD) as f64;
                points.extend((piece.first + 1..piece.last).map(|k| piece.own.point(k as f64 / n)));
            }
        }
        points.into_iter().map(|p| [p.x, p.y]).collect()
    }

    /// The piece of an arc may be one chord: no other edge comes as near as either's chord may run, and the kernel's grid and order
    /// do not hang on it (see [`hangs_on`]).
    fn is_one(&self, piece: &Piece) -> bool {
        let (edge, rise) = (&piece.edge, piece.edge.rise());
        let near = |far: &Bounded<Piece>| {
            far.item.own != piece.own
                && far.item.edge.closest(edge).distance <= rise + far.item.edge.rise() + 2.0 * CHORD
        };
        let Some(lines) = self.lines.as_ref().filter(|_| piece.edge != piece.own) else { return false };
        piece.last - piece.first > 1
            && !hangs_on(edge, self.all)
            && !lines.meeting(edge.about().inflate(2.0 * CHORD, 2.0 * CHORD)).any(near)
    }
}

/// A box a little within the one that holds all lines.
pub(super) fn inner_box<'a>(lines: impl Iterator<Item = &'a Ring>) -> Rect {
    let boxes = lines.map(Ring::bounds).reduce(|a, b| a.union(b));
    boxes.unwrap_or(Rect::ZERO).inflate(-2.0 * CHORD, -2.0 * CHORD)
}

/// Whether the kernel needs all points of an arc: its grid lies about the middle of all points, `all` of which but the outermost
/// lie within; and where an arc has a leftmost point between its ends it starts a line.
pub(super) fn hangs_on(arc: &Edge, all: Rect) -> bool {
    arc.passes(Vec2::new(-1.0, 0.0)) || !all.contains_rect(arc.bounds())
}

pub(super) fn rings(regions: &[Region]) -> impl Iterator<Item = &Ring> + Clone {
    regions.iter().flat_map(Region::rings)
}

/// An arc that chords may follow.
#[derive(Clone, Copy)]
pub(super) struct Arc {
    pub(super) edge: Edge,
    pub(super) bounds: Rect,
    /// It may come as one chord from end to end.
    pub(super) whole: bool,
}

/// Every arc of some rings.
pub(super) fn arcs_of<'a>(rings: impl Iterator<Item = &'a Ring> + 'a) -> impl Iterator<Item = Arc> + 'a {
    let arcs = rings.flat_map(Ring::edges).filter(|e| matches!(e, Edge::Arc { .. }));
    arcs.map(|edge| Arc { edge, bounds: edge.bounds(), whole: false })
}

/// The arcs that a line with this bounding box may follow.
pub(super) fn near_to(bounds: Rect, arcs: &[Arc]) -> impl Iterator<Item = Arc> + '_ {
    let near = bounds.inflate(1e-3, 1e-3);
    arcs.iter().filter(move |arc| box_distance2(arc.bounds, near) == 0.0).copied()
}

pub(super) fn bounds_of(line: &[[f64; 2]]) -> Rect {
    line.iter().fold(Rect::new(f64::MAX, f64::MAX, f64::MIN, f64::MIN), |b, p| {
        Rect::new(b.x0.min(p[0]), b.y0.min(p[1]), b.x1.max(p[0]), b.y1.max(p[1]))
    })
}

pub(super) fn overlay(first: &[Flat], op: BooleanOp, second: &[Flat]) -> Vec<Flat> {
    let rule = match op {
        BooleanOp::Union => OverlayRule::Union,
        BooleanOp::Intersection => OverlayRule::Intersect,
        BooleanOp::Difference => OverlayRule::Difference,
    };
    // Numbers of 32 bits hold a piece of two metres and are quicker; larger ones want 64.
    (&first)
        .overlay_with_fixed_scale_as::<i32>(&second, rule, FillRule::NonZero, GRID)
        .or_else(|_| (&first).overlay_with_fixed_scale_as::<i64>(&second, rule, FillRule::NonZero, GRID))
        .unwrap_or_else(|why| fault(format!("the geometry kernel refuses shapes: {why:?}")))
}

/// A region from its lines of chords, outer one first, with the arcs they came from.
pub(super) fn region(shape: Flat, arcs: &[Arc]) -> Option<Region> {
    let lines = shape.into_iter().map(|line| {
        let arcs: Vec<Arc> = near_to(bounds_of(&line), arcs).collect();
        let points: Vec<Point> = line.into_iter().map(|p| Point::new(p[0], p[1])).collect();
        recover_arcs(&points, &arcs)
    });
    let mut rings = lines.map(|ring| ring.filter(|r| r.area().abs() >= SLIVER));
    let outer = rings.next()??;
    Some(Region::new(outer, rings.flatten().collect()))
}

/// A line of chords with every run of them that follows one of `arcs` put back as an arc. Nothing moves by more than
/// [`CHORD`] and the grid. `None` where nothing is left that goes round anything.
fn recover_arcs(points: &[Point], arcs: &[Arc]) -> Option<Ring> {
    let n = points.len();
    let straight = || Ring::if_any(points.iter().map(|&at| Vertex { at, bulge: 0.0 }).collect());
    if arcs.is_empty() || n < 3 {
        return straight();
    }
    let source: Vec<Option<(usize, bool)>> =
        (0..n).map(|i| chord_of(points[i], points[(i + 1) % n], arcs)).collect();
    // Start where a run starts, so that none is cut in two.
    let same = |i: usize, j: usize| match (source[i], source[j]) {
        (Some((a, da)), Some((b, db))) => da == db && one_circle(&arcs[a].edge, &arcs[b].edge),
        _ => false,
    };
    let start = (0..n).find(|&i| !same((i + n - 1) % n, i));
    let Some(start) = start else {
        // One circle all round.
        let Some((a, anticlockwise)) = source[0] else { return straight() };
        let Edge::Arc { centre, radius, .. } = arcs[a].edge else { return straight() };
        let circle = Ring::circle(centre, radius);
        return Some(if anticlockwise { circle } else { circle.reversed() });
    };
    let mut vertices = Vec::new();
    let mut i = 0;
    while i < n {
        let at = (start + i) % n;
        let mut run = 1;
        while i + run < n && same(at, (start + i + run) % n) {
            run += 1;
        }
        match source[at] {
            Some((a, anticlockwise)) => {
                let (from, to) = (points[at], points[(at + run) % n]);
                let mut arc = |from, to| push_arc(&mut vertices, from, to, &arcs[a].edge, anticlockwise);
                if run > 2 && (to - from).hypot2().sqrt() < CHORD {
                    // A whole circle, back where it began because another line touches it there.
                    let half = points[(at + run / 2) % n];
                    arc(from, half);
                    arc(half, to);
                } else {
                    arc(from, to);
                }
            }
            None => {
                run = 1;
                vertices.push(Vertex { at: points[at], bulge: 0.0 });
            }
        }
        i += run;
    }
    Ring::if_any(vertices)
}

fn push_arc(vertices: &mut Vec<Vertex>, from: Point, to: Point, arc: &Edge, anticlockwise: bool) {
    let Edge::Arc { centre, radius, .. } = *arc else { return };
    vertices.extend(super::arc_about(centre, radius, from, to, anticlockwise));
}

/// The arc a chord was cut from, and whether it runs anticlockwise about that arc's centre.
fn chord_of(a: Point, b: Point, arcs: &[Arc]) -> Option<(usize, bool)> {
    let slack = 1.5 * CHORD;
    let middle = a.midpoint(b);
    let holds = |r: &Rect| r.inflate(slack, slack).contains(middle);
    arcs.iter().enumerate().filter(|(_, arc)| holds(&arc.bounds)).find_map(|(k, arc)| {
        let Edge::Arc { from, to, centre, radius, bulge } = arc.edge else { return None };
        let at_grid = |p: Point, q: Point| (p - q).hypot2() <= 4.0 / (GRID * GRID);
        if arc.whole && at_grid(a, from) && at_grid(b, to) {
            return Some((k, bulge > 0.0));
        }
        // What is taken away comes back running the other way.
        if arc.whole && at_grid(a, to) && at_grid(b, from) {
            return Some((k, bulge < 0.0));
        }
        let on = |p: Point| ((p - centre).hypot2().sqrt() - radius).abs() <= slack;
        let sagitta = radius - (middle - centre).hypot2().sqrt();
        if !(on(a) && on(b) && (-slack..=2.0 * slack).contains(&sagitta)) {
            return None;
        }
        let v = middle - centre;
        if !arc.edge.passes(v) {
            return None;
        }
        Some((k, (a - centre).cross(b - centre) > 0.0))
    })
}

pub(super) fn one_circle(a: &Edge, b: &Edge) -> bool {
    match (*a, *b) {
        (Edge::Arc { centre: c, radius: r, .. }, Edge::Arc { centre: d, radius: s, .. }) => {
            (c - d).hypot2().sqrt() < 1e-9 && (r - s).abs() < 1e-9
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn disc(x: f64, radius: f64) -> Region {
        Region::new(Ring::circle(Point::new(x, 0.0), radius), Vec::new())
    }

    /// Long arcs come as few chords where nothing is near: whichever way they come back, they are round again.
    #[test]
    fn long_arcs_come_back_round() {
        let (large, bar) =
            (disc(0.0, 40.0), Region::new(Ring::rectangle(Rect::new(-50.0, -1.0, 50.0, 1.0)), Vec::new()));
        let band = Region::new(large.outer().clone(), vec![Ring::circle(Point::new(0.5, 0.0), 37.0)]);
        for (first, op, second) in [
            (&large, BooleanOp::Difference, &disc(3.0, 30.0)),
            (&large, BooleanOp::Union, &disc(30.0, 30.0)),
            (&large, BooleanOp::Intersection, &disc(30.0, 30.0)),
            (&large, BooleanOp::Difference, &bar),
            (&large, BooleanOp::Union, &bar),
            (&band, BooleanOp::Difference, &bar),
            (&band, BooleanOp::Intersection, &disc(-20.0, 25.0)),
        ] {
            let sources: Vec<Edge> = first.rings().chain(second.rings()).flat_map(Ring::edges).collect();
            let made = boolean(std::slice::from_ref(first), op, std::slice::from_ref(second));
            assert!(!made.is_empty());
            for edge in made.iter().flat_map(Region::rings).flat_map(Ring::edges) {
                for t in [0.0, 0.25, 0.5, 0.75] {
                    let p = edge.point(t);
                    let off = |e: &Edge| (e.nearest(p) - p).hypot2().sqrt();
                    let off = sources.iter().map(off).fold(f64::INFINITY, f64::min);
                    assert!(off < 2.0 * CHORD, "{op:?} {edge:?} {t}: {off}");
                }
            }
        }
    }
}
