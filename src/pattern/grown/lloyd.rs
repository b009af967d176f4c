//! Lloyd relaxation with over-relaxation: points at random over the field, moved towards their Voronoi cells' centroids until all
//! cells are alike.

use super::cells::{balance, voronoi_cells, CellNeighbours};
use super::{Growth, GrowthAsk, Shuffle};
use crate::geom::{Edge, Point, Rect, Region, Ring, Vec2, Vertex};
use crate::pattern::Ramp;
use crate::units::limits::EVENED;

/// Area of a cell of pitch 1: that of a honeycomb opening with the same distance from middle to middle.
pub(super) const CELL: f64 = 0.866_025_403_784_438_6;
/// Iterations when nothing is said. Fewer leaves slivers, many more makes patches of plain honeycomb.
const ITERATIONS: u32 = 18;
/// How far points are moved, as a share of the way to their cells' centroids. More than the whole way evens sooner
/// (measured: 18 iterations by 1.8 leave a spread of areas of 0.105, as 30 by the whole way do), 2 would swing for ever. Points
/// beside an edge go the whole way and no further, lest they leap over it.
const STRIDE: f64 = 1.8;
/// Points nearer to the border than this many pitches are mirrored in it. Less leaves gaps in the edge row.
const MIRRORED: f64 = 2.0;

/// What Lloyd's relaxation works on. mm.
#[derive(Clone)]
pub struct Lloyd<'a> {
    /// Cells follow these edges; empty: only `bounds`.
    pub field: &'a [Region],
    /// Cells end here at the latest.
    pub bounds: Rect,
    /// Usual distance between points.
    pub pitch: f64,
    /// The outermost cells weigh as if they reached this far beyond the field's edge: half a bridge, so that their
    /// openings, which keep no bridge there, come out as large as the others.
    pub beyond: f64,
    /// Each moves every point once; 100 leave cells even.
    pub iterations: u32,
    /// How heavy the ground is at a point, for graded cells: pitch to the power -4. 1 everywhere for even ones.
    pub weight: &'a dyn Fn(Point) -> f64,
}

/// The cells of `points` after the iterations, with where the points came to rest. Only points of the first `still`
/// in the list stay where they are.
pub fn relaxed(ask: &Lloyd, mut points: Vec<Point>, still: usize) -> (Vec<Ring>, Vec<Point>) {
    let count = points.len();
    let edges: Vec<(Edge, Rect)> = ask
        .field
        .iter()
        .flat_map(|r| r.rings())
        .flat_map(|ring| ring.edges().map(|e| (e, e.bounds())).collect::<Vec<_>>())
        .collect();
    let reach = MIRRORED * ask.pitch;
    let mut near = NearEdges { edges, reach, beyond: ask.beyond, checked: vec![None; count] };
    let mut cells = Vec::new();
    let mut neighbours = CellNeighbours::default();
    for round in 0..=ask.iterations {
        let last = round == ask.iterations;
        // The last time nothing is mirrored: cells reach over the edge and are cut there like any others.
        if !last {
            near.mirror(&mut points, count);
        }
        let mut moved = Vec::with_capacity(if last { 0 } else { count });
        voronoi_cells(&points, count, ask.bounds, &mut neighbours, |k, cell| {
            let p = points[k];
            if last {
                let corners = cell.iter().map(|side| Vertex { at: p + side.from, bulge: 0.0 });
                cells.extend(Ring::if_any(corners.collect()));
            } else if k < still {
                moved.push(p);
            } else {
                let stride = if near.is_beside_edge(k) { 1.0 } else { STRIDE };
                moved.push(balance(cell, |v| (ask.weight)(p + v)).map_or(p, |v| p + v * stride));
            }
        });
        points.truncate(count);
        if !last {
            points = moved;
        }
    }
    (cells, points)
}

/// Finds the edges near points without asking again for those that lie deep inside.
struct NearEdges {
    edges: Vec<(Edge, Rect)>,
    reach: f64,
    beyond: f64,
    /// Where each point was when it was last asked about, and how far it could move before asking again.
    checked: Vec<Option<(Point, f64)>>,
}

impl NearEdges {
    fn is_beside_edge(&self, k: usize) -> bool {
        self.checked[k].is_none()
    }

    /// Adds for every point near an edge its mirror image in it, so that the side between them runs along the edge.
    fn mirror(&mut self, points: &mut Vec<Point>, count: usize) {
        for k in 0..count {
            let p = points[k];
            if let Some((at, room)) = self.checked[k]
                && (p - at).hypot2().sqrt() < room
            {
                continue;
            }
            let mut nearest = f64::INFINITY;
            let mut feet: Vec<(f64, Vec2, bool)> = Vec::new();
            for (edge, bounds) in &self.edges {
                let dx = (bounds.x0 - p.x).max(p.x - bounds.x1).max(0.0);
                let dy = (bounds.y0 - p.y).max(p.y - bounds.y1).max(0.0);
                if dx.max(dy) >= nearest.max(self.reach) {
                    continue;
                }
                let foot = edge.nearest(p);
                let v = foot - p;
                let far = v.hypot2().sqrt();
                nearest = nearest.min(far);
                if far < self.reach && far > 1e-9 {
                    let at_end =
                        (foot - edge.from()).hypot2().sqrt().min((foot - edge.to()).hypot2().sqrt()) < 1e-9;
                    feet.push((far, v, at_end));
                }
            }
            // An edge's end is no edge to mirror in, unless nothing is nearer.
            let mirrors = feet.into_iter().filter(|&(far, _, at_end)| !at_end || far <= nearest);
            points.extend(mirrors.map(|(far, v, _)| p + v * (2.0 * (far + self.beyond) / far)));
            self.checked[k] = (nearest > self.reach).then_some((p, nearest - self.reach));
        }
    }
}

/// How much larger the pitch is at a point than `ask.pitch`, for a graded pattern: 1 at the start of the grading,
/// 1 + grade at its end.
pub(super) fn grade_at(ask: &GrowthAsk) -> impl Fn(Point) -> f64 {
    let grade = ask.settings.grade.clamp(-0.7, 2.0);
    let ramp = Ramp::over(ask.field, ask.bounds, ask.along);
    move |p| (1.0 + grade * ramp.part(p)).max(0.1)
}

pub(super) fn grow(ask: &GrowthAsk) -> Result<Growth, String> {
    let room = if ask.field.is_empty() { 0.0 } else { 2.0 * ask.pitch };
    let bounds = ask
        .field
        .iter()
        .map(|r| r.outer().bounds())
        .reduce(|a, b| a.union(b))
        .unwrap_or(ask.bounds)
        .inflate(room, room);
    let size = grade_at(ask);
    let finest = (1.0 + ask.settings.grade.clamp(-0.7, 2.0)).min(1.0);
    let about = bounds.area() / (CELL * ask.pitch * ask.pitch * finest * finest);
    ask.not_too_many(about)?;
    let passes = ask.settings.passes.unwrap_or(ITERATIONS);
    if EVENED.counted(about * f64::from(passes)).is_err() {
        let would_do = (EVENED.most / about).floor();
        return Err(format!(
            "{passes} passes over about {about:.0} openings take too long; passes = {would_do} would do: {}",
            EVENED.why
        ));
    }

    let inside = |p: Point| {
        ask.field.is_empty()
            || ask.field.iter().any(|r| r.outer().contains(p) && !r.holes().iter().any(|h| h.contains(p)))
    };
    // Thrown evenly, kept with the part that the local pitch asks for.
    let mut shuffle = Shuffle::new(ask.variation);
    let throws = about.round().max(1.0) as usize;
    let mut points = Vec::new();
    for _ in 0..throws {
        let p = Point::new(
            bounds.x0 + bounds.width() * shuffle.part(),
            bounds.y0 + bounds.height() * shuffle.part(),
        );
        let keep = finest / size(p);
        if shuffle.part() < keep * keep && inside(p) {
            points.push(p);
        }
    }
    if points.is_empty() {
        points.push(ask.field.first().map_or(ask.bounds.center(), |r| r.outer().centroid()));
    }
    let weight = |p: Point| {
        let s = size(p) * size(p);
        1.0 / (s * s)
    };
    let even = |_: Point| 1.0;
    let relaxation = Lloyd {
        field: ask.field,
        bounds,
        pitch: ask.pitch * (1.0 + ask.settings.grade.clamp(0.0, 2.0)),
        beyond: ask.bridge / 2.0,
        iterations: passes,
        weight: if ask.settings.grade == 0.0 { &even } else { &weight },
    };
    let (cells, _) = relaxed(&relaxation, points, 0);
    Ok(Growth { cells, order: 1, ..Growth::default() })
}
