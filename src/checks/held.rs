//! Parts of the metal that a single bridge holds: if it breaks, the part falls out.
//!
//! A bridge between two different cut-outs never holds a part alone, since the metal goes round either of them. One that
//! runs from a cut-out back to itself does: the cut-out goes nearly all the way round the part.

use super::case::Case;
use super::{bridge_limit, Check, Level, MetalFinding, Quantity, Side, Verdict, Width};
use crate::geom::{inscribed_circle, ClosestPoints, Edge, Point, Ring, Vertex};
use crate::job::Job;
use crate::openings::Piece;
use crate::units::Mm;
use std::collections::BTreeMap;

/// Parts are looked for behind necks up to this many times the least bridge, finished. Larger calls wide metal a neck,
/// smaller passes over parts that a slip of the saw sets free (estimate).
const NARROW: f64 = 3.0;
/// Nearer than this two edges of one ring meet and leave no neck between them, mm.
const MEETS: f64 = 1e-6;

/// A part of the metal that hangs on one bridge.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldByOne {
    /// The opening or window that goes round it.
    pub inside: Side,
    /// The bridge that holds it, as drawn.
    pub width: Mm,
    /// After clean-up on each sawn side.
    pub finished: Mm,
    /// The bridge's two points.
    pub at: [Point; 2],
    /// Openings, windows and holes in it.
    pub carries: Vec<Side>,
    /// Area inside its line, what it carries included, mm2.
    pub area: f64,
}

/// Every part held by a single bridge, the thinnest first. Parts are at least as wide as they are far from their cut-out
/// when it is widened until the neck closes: a narrow tongue is none.
pub fn held_by_one(job: &Job, piece: &Piece) -> Vec<HeldByOne> {
    let both_sides = 2.0 * job.saw.clean_up.get();
    let widest_neck = NARROW * bridge_limit(job).mm + both_sides;
    // Openings of one shape all go round a part, or none does.
    let mut known: BTreeMap<u32, bool> = BTreeMap::new();
    let openings = piece.openings.iter().filter(|o| match o.shape {
        Some(shape) => *known.entry(shape).or_insert_with(|| goes_round(&o.ring)),
        None => goes_round(&o.ring),
    });
    let openings = openings.map(|o| (Side::Opening(o.n), &o.ring));
    let windows = piece.outline.windows.iter().zip(1..).filter(|(w, _)| goes_round(&w.ring));
    let windows = windows.map(|(w, n)| (Side::Window(n), &w.ring));
    let mut all = Vec::new();
    for (inside, ring) in openings.chain(windows) {
        for island in ring.pockets(widest_neck / 2.0) {
            let Some((neck, part)) = neck(ring, inscribed_circle(&island).at) else { continue };
            all.push(HeldByOne {
                inside,
                width: Mm(neck.distance),
                finished: Mm(neck.distance - both_sides),
                at: neck.at,
                carries: carried(piece, &part),
                area: part.area().abs(),
            });
        }
    }
    all.sort_by(|a, b| a.width.get().total_cmp(&b.width.get()).then(a.inside.cmp(&b.inside)));
    all.dedup_by(|a, b| a.inside == b.inside && a.at == b.at);
    all
}

pub(super) fn held_firm(case: &Case) -> Vec<Verdict> {
    let parts = held_by_one(case.job, case.piece);
    let verdict = |level: Level, found: MetalFinding| Verdict::new(Check::HeldByOne, level, found);
    let Some(worst) = parts.first() else { return vec![verdict(Level::Good, MetalFinding::HeldFirm)] };
    let at = worst.at[0].midpoint(worst.at[1]);
    let width = Width { drawn: worst.width.get(), finished: worst.finished.get() };
    let limit = NARROW * bridge_limit(case.job).mm;
    let found = MetalFinding::HangsByOne { inside: worst.inside, at, width, carries: worst.carries.len() };
    let told = verdict(Level::Caution, found).count(parts.len());
    vec![told.numbers(Quantity::Length(width.finished), Quantity::Length(limit)).at(at)]
}

/// Whether a ring turns inwards by half a turn somewhere, as it must to go round a part of the metal: the least sum of
/// turns over any stretch of it. Quick, and no opening of most patterns does.
fn goes_round(ring: &Ring) -> bool {
    let edges: Vec<Edge> = ring.edges().collect();
    let n = edges.len();
    let turns = (0..2 * n).flat_map(|k| {
        let (before, edge) = (&edges[(k + n - 1) % n], &edges[k % n]);
        let (into, out) = (before.direction(1.0), edge.direction(0.0));
        [libm::atan2(into.cross(out), into.dot(out)), edge.sweep()]
    });
    let (mut sum, mut least) = (0.0_f64, 0.0_f64);
    for turn in turns {
        sum = (sum + turn).min(0.0);
        least = least.min(sum);
    }
    least < 0.01 - std::f64::consts::PI
}

/// What lies in a part.
fn carried(piece: &Piece, part: &Ring) -> Vec<Side> {
    let windows = piece.outline.windows.iter().zip(1..);
    let holes = piece.outline.holes.iter().zip(1..);
    let openings = piece.openings.iter();
    openings
        .map(|o| (Side::Opening(o.n), o.drill_at))
        .chain(windows.map(|(w, n)| (Side::Window(n), inscribed_circle(&w.ring).at)))
        .chain(holes.map(|(h, n)| (Side::Hole(n), h.at)))
        .filter(|(_, at)| part.contains(*at))
        .map(|(side, _)| side)
        .collect()
}

/// The shortest way across the metal from a ring to itself that shuts a point off, and the part it shuts off.
fn neck(ring: &Ring, inside: Point) -> Option<(ClosestPoints, Ring)> {
    let edges: Vec<_> = ring.edges().collect();
    let n = edges.len();
    let pairs = (0..n).flat_map(|i| (i + 1..n).map(move |j| (i, j)));
    let mut necks: Vec<(usize, usize, ClosestPoints)> = pairs
        .map(|(i, j)| (i, j, edges[i].closest(&edges[j])))
        .filter(|(_, _, neck)| neck.distance > MEETS)
        .collect();
    necks.sort_by(|a, b| a.2.distance.total_cmp(&b.2.distance));
    necks.into_iter().find_map(|(i, j, neck)| {
        let [p, q] = neck.at;
        let in_metal = [0.02, 0.25, 0.5, 0.75, 0.98].iter().all(|t| !ring.contains(p.lerp(q, *t)));
        let sides = [stretch(ring, p, i + 1..j + 1, q), stretch(ring, q, j + 1..n + i + 1, p)];
        let part = sides.into_iter().min_by(|a, b| a.area().abs().total_cmp(&b.area().abs()))?;
        (in_metal && part.contains(inside)).then_some((neck, part))
    })
}

/// From a point along the ring past some of its vertices to another point, and straight back. Of the two edges that are
/// cut there the rest is taken as a chord, which will do to tell in from out.
fn stretch(ring: &Ring, from: Point, past: std::ops::Range<usize>, to: Point) -> Ring {
    let n = ring.vertices().len();
    let straight = |at| Vertex { at, bulge: 0.0 };
    let mut vertices = vec![straight(from)];
    vertices.extend(past.map(|k| ring.vertex(k % n)));
    if let Some(last) = vertices.last_mut() {
        last.bulge = 0.0;
    }
    vertices.push(straight(to));
    Ring::new(vertices)
}
