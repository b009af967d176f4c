//! Polygon Boolean operations on regions: union, intersection, difference. Arcs are cut as fine chords and put back as arcs afterwards.

use super::convex::is_rounded_convex;
use super::distance::signed_distance;
use super::{box_distance2, Boundary, Edge, Region, Ring, Vertex};
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
const SLIVER: f64 = 1e-4;

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

type Flat = Vec<Vec<[f64; 2]>>;

/// A Boolean operation on two sets of regions. Those of one set may overlap. Slivers below 1e-4 mm2 are left out.
pub fn boolean(first: &[Region], op: BooleanOp, second: &[Region]) -> Vec<Region> {
    let arcs: Vec<Arc> = arcs_of(rings(first)).chain(arcs_of(rings(second))).collect();
    overlay(&flat_shapes(first), op, &flat_shapes(second))
        .into_iter()
        .filter_map(|shape| region(shape, &arcs))
        .collect()
}

/// Cuts many rings that do not touch each other to what lies within `field`, in one pass. The answer holds, for each
/// ring in turn, the bits that are left of it.
pub fn clip_all(cells: &[Ring], field: &[Region]) -> Vec<Vec<Region>> {
    let mut parts = vec![Vec::new(); cells.len()];
    let chords = Chords::new(cells, field);
    let subject: Vec<Flat> = cells.iter().map(|r| vec![chords.of(r)]).collect();
    let field_arcs: Vec<Arc> = arcs_of(rings(field)).collect();
    let boxes: Vec<Rect> = cells.iter().map(|r| r.bounds()).collect();
    let mut by_left: Vec<usize> = (0..cells.len()).collect();
    by_left.sort_by(|&a, &b| boxes[a].x0.total_cmp(&boxes[b].x0));
    let widest = boxes.iter().map(|b| b.width()).fold(0.0, f64::max);
    for shape in overlay(&subject, BooleanOp::Intersection, &flat_shapes(field)) {
        let Some(outer) = shape.first() else { continue };
        let bounds = bounds_of(outer);
        // Which ring does this bit come from? The one whose box holds it and from whose line it deviates least.
        let from = by_left.partition_point(|&i| boxes[i].x0 < bounds.x0 - widest - 1e-3);
        let may = |&&i: &&usize| {
            let slack = boxes[i].inflate(1e-3, 1e-3);
            slack.contains(bounds.origin()) && slack.contains(Point::new(bounds.x1, bounds.y1))
        };
        let near: Vec<usize> = by_left[from..]
            .iter()
            .take_while(|&&i| boxes[i].x0 <= bounds.x0 + 1e-3)
            .filter(may)
            .copied()
            .collect();
        let deviation = |i: usize| {
            let edges: Vec<Edge> = cells[i].edges().collect();
            outer
                .iter()
                .map(|p| -signed_distance(&edges, Point::new(p[0], p[1])))
                .fold(f64::NEG_INFINITY, f64::max)
        };
        let from = match near[..] {
            [only] => Some(only),
            _ => near.iter().map(|&i| (deviation(i), i)).min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, i)| i),
        };
        let Some(i) = from else { continue };
        let own = arcs_of(std::iter::once(&cells[i])).map(|arc| Arc { whole: true, ..arc });
        let arcs: Vec<Arc> = own.chain(near_to(bounds, &field_arcs)).collect();
        parts[i].extend(region(shape, &arcs));
    }
    parts
}

/// How the arcs of cells are cut as chords: those that the field's lines pass near finely, others of convex cells as one chord, which
/// [`recover_arcs`] tells by its two ends.
struct Chords {
    lines: Boundary,
    /// What holds all lines. The kernel's grid lies about its middle: where a line reaches it, all its points are needed.
    all: Rect,
}

impl Chords {
    fn new(cells: &[Ring], field: &[Region]) -> Self {
        let boxes = cells.iter().chain(rings(field)).map(Ring::bounds);
        let all = boxes.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO).inflate(-2.0 * CHORD, -2.0 * CHORD);
        Self { lines: Boundary::new(field), all }
    }

    fn of(&self, cell: &Ring) -> Vec<[f64; 2]> {
        // The chords of a convex cell lie within it; of others they could cross a line of their own or of a neighbour.
        let convex = is_rounded_convex(cell);
        let finely = |arc: &Edge| !convex || !self.is_one(arc);
        cell.flatten_where(CHORD, finely).into_iter().map(|p| [p.x, p.y]).collect()
    }

    /// No line comes near the arc or its chord: up to half a turn both lie in the circle on the chord. An arc with a leftmost
    /// point between its ends is cut finely all the same: there the kernel starts a line.
    fn is_one(&self, arc: &Edge) -> bool {
        let Edge::Arc { from, to, bulge, .. } = *arc else { return true };
        bulge.abs() <= 1.0
            && !arc.passes(Vec2::new(-1.0, 0.0))
            && self.all.contains_rect(arc.bounds())
            && self.lines.is_clear(Rect::from_points(from, to))
    }
}

fn rings(regions: &[Region]) -> impl Iterator<Item = &Ring> {
    regions.iter().flat_map(Region::rings)
}

/// An arc that chords may follow.
#[derive(Clone, Copy)]
struct Arc {
    edge: Edge,
    bounds: Rect,
    /// It may come as one chord from end to end.
    whole: bool,
}

/// Every arc of some rings.
fn arcs_of<'a>(rings: impl Iterator<Item = &'a Ring> + 'a) -> impl Iterator<Item = Arc> + 'a {
    let arcs = rings.flat_map(Ring::edges).filter(|e| matches!(e, Edge::Arc { .. }));
    arcs.map(|edge| Arc { edge, bounds: edge.bounds(), whole: false })
}

/// The arcs that a line with this bounding box may follow.
fn near_to(bounds: Rect, arcs: &[Arc]) -> impl Iterator<Item = Arc> + '_ {
    let near = bounds.inflate(1e-3, 1e-3);
    arcs.iter().filter(move |arc| box_distance2(arc.bounds, near) == 0.0).copied()
}

fn bounds_of(line: &[[f64; 2]]) -> Rect {
    line.iter().fold(Rect::new(f64::MAX, f64::MAX, f64::MIN, f64::MIN), |b, p| {
        Rect::new(b.x0.min(p[0]), b.y0.min(p[1]), b.x1.max(p[0]), b.y1.max(p[1]))
    })
}

fn flat(ring: &Ring) -> Vec<[f64; 2]> {
    ring.flatten(CHORD).into_iter().map(|p| [p.x, p.y]).collect()
}

fn flat_shapes(regions: &[Region]) -> Vec<Flat> {
    regions.iter().map(|r| r.rings().map(flat).collect()).collect()
}

fn overlay(first: &[Flat], op: BooleanOp, second: &[Flat]) -> Vec<Flat> {
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
fn region(shape: Flat, arcs: &[Arc]) -> Option<Region> {
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

fn one_circle(a: &Edge, b: &Edge) -> bool {
    match (*a, *b) {
        (Edge::Arc { centre: c, radius: r, .. }, Edge::Arc { centre: d, radius: s, .. }) => {
            (c - d).hypot2().sqrt() < 1e-9 && (r - s).abs() < 1e-9
        }
        _ => false,
    }
}
