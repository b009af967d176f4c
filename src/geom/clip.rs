//! Many rings cut to what lies within a field. Most cross its edge just twice and are cut exactly; the others go through the geometry
//! kernel together.

use super::boolean::{
    arcs_of, bounds_of, hangs_on, inner_box, near_to, one_circle, overlay, region, rings, Arc, Chords, Flat,
    SLIVER,
};
use super::convex::is_rounded_convex;
use super::distance::signed_distance;
use super::offset::settled;
use super::{
    arc_about, box_distance2, BooleanOp, Boundary, Bounded, Edge, RTree, Region, Ring, Vertex, CHORD,
};
use kurbo::{Point, Rect};

/// Crossings nearer than this to each other or to the end of an edge, mm, are left to the kernel, which decides on its grid of
/// a millionth what lies where. Larger would send more there; smaller would trust the last digits.
const PLAIN: f64 = 1e-5;
/// So are lines that cross at less than this, the sine of the angle between them: there a crossing is not known to a micrometre.
const CROSSWISE: f64 = 1e-4;

/// Cuts many rings that do not touch each other to what lies within `field`. The answer holds, for each ring in turn,
/// the bits that are left of it.
pub fn clip_all(cells: &[Ring], field: &[Region]) -> Vec<Vec<Region>> {
    let lines = FieldLines::of(field);
    let mut parts: Vec<Option<Vec<Region>>> = cells.iter().map(|cell| lines.cut(cell)).collect();
    let (places, left): (Vec<usize>, Vec<Ring>) = cells
        .iter()
        .enumerate()
        .filter(|(i, _)| parts[*i].is_none())
        .map(|(i, cell)| (i, cell.clone()))
        .unzip();
    if !left.is_empty() {
        for (i, bits) in places.into_iter().zip(clip_by_kernel(&left, field)) {
            parts[i] = Some(bits);
        }
    }
    parts.into_iter().map(Option::unwrap_or_default).collect()
}

/// The lines round a field, the field on their left, ready to be crossed.
struct FieldLines {
    rings: Vec<Vec<Edge>>,
    /// Every edge as the numbers of its ring and of itself in it.
    tree: RTree<(usize, usize)>,
}

/// Where the line of a cell crosses one of the field's.
struct Crossing {
    at: Point,
    /// The number of the cell's edge.
    own: usize,
    /// The numbers of the field's ring and of its edge.
    other: (usize, usize),
    /// The cell's line comes into the field here.
    enters: bool,
}

impl FieldLines {
    fn of(field: &[Region]) -> Self {
        let rings: Vec<Vec<Edge>> = rings(field).map(|ring| ring.edges().collect()).collect();
        let bounded = |(r, edges): (usize, &Vec<Edge>)| {
            let bounded = |(e, edge): (usize, &Edge)| Bounded { item: (r, e), bounds: edge.about() };
            edges.iter().enumerate().map(bounded).collect::<Vec<_>>()
        };
        let all = rings.iter().enumerate().flat_map(bounded).collect();
        Self { rings, tree: RTree::new(all) }
    }

    /// What is left of a cell whose line crosses just one line of the field, and that just twice: from where it comes in
    /// to where it goes out, then back along the field's line. `None` for others, and where it is a near thing.
    fn cut(&self, cell: &Ring) -> Option<Vec<Region>> {
        let edges: Vec<Edge> = cell.edges().collect();
        let near: Vec<_> = self.tree.meeting(cell.bounds()).collect();
        let mut crossings: Vec<Crossing> = Vec::new();
        for (i, own) in edges.iter().enumerate() {
            let bounds = own.about();
            for far in near.iter().filter(|far| box_distance2(far.bounds, bounds) == 0.0) {
                let other = &self.rings[far.item.0][far.item.1];
                for at in own.crossings(other) {
                    let ends = [own.from(), own.to(), other.from(), other.to()];
                    let across = other.direction_at(at).cross(own.direction_at(at));
                    if across.abs() < CROSSWISE || ends.iter().any(|end| (*end - at).hypot2() < PLAIN * PLAIN)
                    {
                        return None;
                    }
                    crossings.push(Crossing { at, own: i, other: far.item, enters: across > 0.0 });
                }
            }
        }
        let (enters, leaves) = match &crossings[..] {
            [a, b] if a.enters && !b.enters => (a, b),
            [a, b] if b.enters && !a.enters => (b, a),
            _ => return None,
        };
        let line = enters.other.0;
        // A line that is not crossed may lie wholly within the cell.
        let within = |(r, e): (usize, usize)| r != line && cell.contains(self.rings[r][e].from());
        if line != leaves.other.0
            || (enters.at - leaves.at).hypot2() < PLAIN * PLAIN
            || near.iter().any(|far| within(far.item))
        {
            return None;
        }
        let mut vertices = stretch(&edges, (enters.own, enters.at), (leaves.own, leaves.at));
        let field = &self.rings[line];
        vertices.extend(stretch(field, (leaves.other.1, leaves.at), (enters.other.1, enters.at)));
        // It starts where the kernel starts a line.
        let leftmost = |&a: &usize, &b: &usize| {
            let (a, b) = (vertices[a].at, vertices[b].at);
            a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y))
        };
        let first = (0..vertices.len()).min_by(leftmost).unwrap_or(0);
        vertices.rotate_left(first);
        let ring = Ring::if_any(vertices).filter(|ring| ring.area() >= SLIVER);
        Some(ring.map(|ring| Region::new(ring, Vec::new())).into_iter().collect())
    }
}

/// A closed line of edges from a point of one of them on to another, each given with the edge's number; the last point is left out.
fn stretch(edges: &[Edge], from: (usize, Point), to: (usize, Point)) -> Vec<Vertex> {
    let n = edges.len();
    let on_one = from.0 == to.0 && edges[from.0].along(from.1) < edges[to.0].along(to.1);
    let steps = if on_one { 0 } else { (to.0 + n - from.0 - 1) % n + 1 };
    let mut parts: Vec<(Edge, Point, Point)> = Vec::with_capacity(steps + 1);
    for k in 0..=steps {
        let edge = edges[(from.0 + k) % n];
        let start = if k == 0 { from.1 } else { edge.from() };
        let end = if k == steps { to.1 } else { edge.to() };
        match parts.last_mut() {
            // Arcs of one circle are one.
            Some((last, _, so_far)) if one_circle(last, &edge) => *so_far = end,
            _ => parts.push((edge, start, end)),
        }
    }
    let vertices = |(edge, start, end): (Edge, Point, Point)| match edge {
        Edge::Line { .. } => vec![Vertex { at: start, bulge: 0.0 }],
        Edge::Arc { centre, radius, bulge, .. } => arc_about(centre, radius, start, end, bulge > 0.0),
    };
    parts.into_iter().flat_map(vertices).map(settled).collect()
}

/// The same through the geometry kernel, all rings in one pass.
fn clip_by_kernel(cells: &[Ring], field: &[Region]) -> Vec<Vec<Region>> {
    let mut parts = vec![Vec::new(); cells.len()];
    let cell_chords = CellChords::new(cells, field);
    let subject: Vec<Flat> = cells.iter().map(|r| vec![cell_chords.of(r)]).collect();
    let mut chords = Chords::of(rings(field).chain(cells));
    let lines = chords.shapes(field);
    let boxes: Vec<Rect> = cells.iter().map(|r| r.bounds()).collect();
    let mut by_left: Vec<usize> = (0..cells.len()).collect();
    by_left.sort_by(|&a, &b| boxes[a].x0.total_cmp(&boxes[b].x0));
    let widest = boxes.iter().map(|b| b.width()).fold(0.0, f64::max);
    for shape in overlay(&subject, BooleanOp::Intersection, &lines) {
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
        let arcs: Vec<Arc> = own.chain(near_to(bounds, &chords.arcs)).collect();
        parts[i].extend(region(shape, &arcs));
    }
    parts
}

/// How the arcs of cells are cut as chords: those that the field's lines pass near finely, others of convex cells as one chord, which
/// [`recover_arcs`] tells by its two ends.
struct CellChords {
    lines: Boundary,
    all: Rect,
}

impl CellChords {
    fn new(cells: &[Ring], field: &[Region]) -> Self {
        Self { lines: Boundary::new(field), all: inner_box(cells.iter().chain(rings(field))) }
    }

    fn of(&self, cell: &Ring) -> Vec<[f64; 2]> {
        // The chords of a convex cell lie within it; of others they could cross a line of their own or of a neighbour.
        let convex = is_rounded_convex(cell);
        let finely = |arc: &Edge| !convex || !self.is_one(arc);
        cell.flatten_where(CHORD, finely).into_iter().map(|p| [p.x, p.y]).collect()
    }

    /// No line comes near the arc or its chord: up to half a turn both lie in the circle on the chord.
    fn is_one(&self, arc: &Edge) -> bool {
        let Edge::Arc { from, to, bulge, .. } = *arc else { return true };
        bulge.abs() <= 1.0 && !hangs_on(arc, self.all) && self.lines.is_clear(Rect::from_points(from, to))
    }
}
