//! The bridge graph: every place where the metal narrows between two edges, measured.
//!
//! A bridge is where a disc held between two edges, touching both at their least distance, touches nothing else. So
//! openings that face each other share a bridge; openings that only meet corner to corner across a joint do not.

use super::{Bridge, BridgeGraph, Side};
use crate::geom::{
    box_distance2, closest_within, Boundary, Bounded, ClosestPoints, Edge, Grid, Point, Rect, Ring,
};
use crate::job::Job;
use crate::openings::{Opening, Piece};
use crate::outline::Seam;
use crate::units::Mm;
use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// Neighbours are looked for this many bridges away; further ones count only for openings with none so near.
/// Larger only costs time (with its square); smaller would miss wide bridges beside narrow ones.
const REACH: f64 = 1.6;
/// A disc touches a third edge when it comes within this of it, mm.
const TOUCH: f64 = 1e-6;

/// An opening in the grid, or its image on the other side of a band's seam.
struct Near {
    opening: u32,
    /// 0 for the opening itself, 1 and -1 for its images.
    image: i8,
    /// Its place among the carried rings, for images.
    carried: u32,
    /// Its way round a bent piece.
    way_round: f64,
}

/// The outer edge, a window or a hole, with what clean-up takes off its side, mm.
struct Fixed {
    side: Side,
    ring: Ring,
    line: Boundary,
    reach: f64,
    clean_up: f64,
    /// The outer edge as measured, when it was: finished widths run to it.
    found: Option<Boundary>,
    /// How often it was carried over the seam, and its way round a bent piece; none for the edge, which goes all round.
    image: i8,
    way_round: Option<f64>,
}

/// What a gap runs between.
#[derive(Clone, Copy, PartialEq)]
enum End {
    Opening(u32, i8),
    Fixed(usize),
}

/// What lies within reach of an opening, itself included.
struct Nearby<'f> {
    openings: Vec<&'f Bounded<Near>>,
    /// Fixed edges by their place.
    fixed: Vec<usize>,
}

/// Gaps between openings of numbered shapes, seen from the first one's drill point: by both shapes and how the second
/// lies to the first.
#[derive(Default)]
struct Gaps(HashMap<Lie, Option<ClosestPoints>, BuildHasherDefault<Mixed>>); // Looked up only, never walked.

/// Two shapes, and how the second lies to the first.
type Lie = (u32, u32, [i64; 2]);

/// A quick hash of a few whole numbers; no stranger chooses them.
#[derive(Default)]
struct Mixed(u64);

impl Hasher for Mixed {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 32)
    }
    fn write(&mut self, bytes: &[u8]) {
        bytes.iter().for_each(|b| self.write_u64(u64::from(*b)));
    }
    fn write_u32(&mut self, n: u32) {
        self.write_u64(u64::from(n));
    }
    fn write_i64(&mut self, n: i64) {
        self.write_u64(n as u64);
    }
    fn write_u64(&mut self, n: u64) {
        self.0 = (self.0.rotate_left(29) ^ n).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }
}

struct Neighbourhood<'a> {
    piece: &'a Piece,
    grid: Grid<Near>,
    carried: Vec<Ring>,
    fixed: Vec<Fixed>,
    clean_up: f64,
}

/// Measures every bridge of a piece, thinnest finished first. Every opening has at least one.
pub fn graph(job: &Job, piece: &Piece) -> BridgeGraph {
    let clean_up = job.saw.clean_up.get();
    let reach =
        (REACH * job.pattern.most_bridge().get()).max(1.25 * (job.limits.bridge.get() + 2.0 * clean_up));
    let (grid, carried) = grid_of(piece, reach);
    let field = Neighbourhood { piece, grid, carried, fixed: fixed_edges(job, piece, reach), clean_up };
    let mut bridges = Vec::with_capacity(piece.openings.len() * 3);
    // As they lie in the grid: neighbours stay at hand.
    let mut last = vec![(Point::ORIGIN, f64::NEG_INFINITY); field.fixed.len()];
    let mut gaps = Gaps::default();
    for home in field.grid.iter().filter(|b| b.item.image == 0) {
        let nearby = field.nearby(home, reach, &mut last);
        field.bridges_of(home, &nearby, reach, &mut gaps, &mut bridges);
    }
    for (a, first) in field.fixed.iter().enumerate() {
        for (b, second) in field.fixed.iter().enumerate().skip(a + 1) {
            // Two cut-outs once, whichever of them stands over the seam.
            let images = (first.image, second.image);
            let twice = first.side == second.side || !matches!(images, (0, 0) | (0, 1) | (1, 0));
            let beside = match (first.way_round, second.way_round) {
                (Some(a), Some(b)) => Seam::is_beside(a, b),
                _ => first.image == 0 && second.image == 0,
            };
            if twice || !beside {
                continue;
            }
            let Some(gap) = first.gap(second, piece.outline.seam) else { continue };
            if field.is_neck(&gap, [End::Fixed(a), End::Fixed(b)], None) {
                let finished = gap.distance - first.clean_up - second.clean_up;
                bridges.push(bridge([first.side, second.side], gap, finished));
            }
        }
    }
    bridges.sort_by_cached_key(|b| ((b.finished.get() * 1e6).round() as i64, b.between.map(Side::rank)));
    // Two openings that are each other's nearest would name their bridge twice.
    bridges.dedup_by(|a, b| a.between == b.between && (a.width - b.width).get().abs() < TOUCH);
    BridgeGraph { bridges }
}

/// The openings by where they lie, and the carried rings of those near a seam.
fn grid_of(piece: &Piece, reach: f64) -> (Grid<Near>, Vec<Ring>) {
    let mut all = Vec::with_capacity(piece.openings.len());
    let mut carried = Vec::new();
    let seam = piece.outline.seam.map(|seam| (seam, seam.part_edges(&piece.outline.edge).0));
    let way_round = |at: Point, times: i8| seam.as_ref().map_or(0.0, |(seam, _)| seam.way_round(at, times));
    for (opening, o) in piece.openings.iter().enumerate() {
        let opening = opening as u32;
        let bounds = o.ring.bounds();
        all.push(Bounded {
            item: Near { opening, image: 0, carried: 0, way_round: way_round(o.drill_at, 0) },
            bounds,
        });
        for (seam, (end, onwards)) in seam.iter().flat_map(|(s, ends)| ends.iter().map(move |e| (s, e))) {
            let near = box_distance2(bounds, end.bounds()) <= 4.0 * reach * reach;
            if near && o.ring.edges().any(|e| e.closest(end).distance <= 2.0 * reach) {
                let image = if *onwards { 1 } else { -1 };
                let ring = seam.carry(&o.ring, *onwards);
                let bounds = ring.bounds();
                all.push(Bounded {
                    item: Near {
                        opening,
                        image,
                        carried: carried.len() as u32,
                        way_round: way_round(o.drill_at, image),
                    },
                    bounds,
                });
                carried.push(ring);
            }
        }
    }
    (Grid::new(all), carried)
}

fn fixed_edges(job: &Job, piece: &Piece, reach: f64) -> Vec<Fixed> {
    let outline = &piece.outline;
    let clean_up = job.saw.clean_up.get();
    let ends = outline.seam.map(|seam| (seam, seam.part_edges(&outline.edge).0));
    let fixed = |side, ring: Ring, reach: f64, clean_up| {
        let line = Boundary::of_ring(&ring);
        Fixed { side, ring, line, reach, clean_up, found: None, image: 0, way_round: None }
    };
    let mut edge = fixed(Side::Edge, outline.edge.clone(), reach.max(1.5 * outline.border.get()), clean_up);
    if let Some(seam) = outline.seam {
        // The two ends are no edge: they meet.
        edge.line = Boundary::of_edges(seam.part_edges(&outline.edge).1);
    }
    if let Some(found) = &outline.found {
        edge.found = Some(Boundary::of_ring(found));
        edge.clean_up = 0.0;
    }
    let mut all = vec![edge];
    // A cut-out stands on the other side of the seam too when it is near an end.
    let mut add = |cut_out: Fixed, at: Point| {
        let ring = cut_out.ring.clone();
        for (seam, (end, onwards)) in ends.iter().flat_map(|(s, ends)| ends.iter().map(move |e| (s, e))) {
            if ring.edges().any(|e| e.closest(end).distance <= 2.0 * cut_out.reach) {
                let (image, carried) = (if *onwards { 1 } else { -1 }, seam.carry(&ring, *onwards));
                let way_round = Some(seam.way_round(at, image));
                all.push(Fixed {
                    image,
                    way_round,
                    ..fixed(cut_out.side, carried, cut_out.reach, cut_out.clean_up)
                });
            }
        }
        let way_round = outline.seam.map(|seam| seam.way_round(at, 0));
        all.push(Fixed { way_round, ..cut_out });
    };
    for (w, window) in outline.windows.iter().enumerate() {
        let reach = reach.max(1.5 * window.border.get());
        add(fixed(Side::Window(w + 1), window.ring.clone(), reach, clean_up), window.drill_at);
    }
    for (h, hole) in outline.holes.iter().enumerate() {
        let ring = Ring::circle(hole.at, hole.diameter.get() / 2.0);
        add(fixed(Side::Hole(h + 1), ring, reach, 0.0), hole.at);
    }
    all
}

fn bridge(between: [Side; 2], gap: ClosestPoints, finished: f64) -> Bridge {
    Bridge { between, width: Mm(gap.distance), finished: Mm(finished), at: gap.at }
}

/// Two places to which an opening lies from another are the same when they differ by no more than about this, mm: rounding.
const SAME_PLACE: f64 = 1e-9;

impl Gaps {
    /// The gap between two openings, measured only where none has been of two that lie alike.
    fn between(
        &mut self,
        a: &Opening,
        b: &Opening,
        measured: impl FnOnce() -> Option<ClosestPoints>,
    ) -> Option<ClosestPoints> {
        let (Some(first), Some(second)) = (a.shape, b.shape) else { return measured() };
        let from = a.drill_at.to_vec2();
        let way = b.drill_at.to_vec2() - from;
        let key = (first, second, [way.x, way.y].map(|v| (v / SAME_PLACE).round() as i64));
        self.0
            .entry(key)
            .or_insert_with(|| measured().map(|gap| gap.translated(-from)))
            .map(|gap| gap.translated(from))
    }
}

impl Fixed {
    /// The gap to another: of a bent piece's edge only the rims count, where its ends meet it is none.
    fn gap(&self, other: &Fixed, seam: Option<Seam>) -> Option<ClosestPoints> {
        match seam {
            Some(_) if self.side == Side::Edge => {
                let size = self.ring.bounds().size();
                self.line.closest(&other.ring, size.width + size.height).map(|gap| gap.swapped())
            }
            _ => Some(self.ring.closest(&other.ring)),
        }
    }

    fn is_beside(&self, way_round: f64) -> bool {
        self.way_round.is_none_or(|own| Seam::is_beside(own, way_round))
    }
}

impl Neighbourhood<'_> {
    /// The way round to a place near one end of a gap that is no image.
    fn way_round(&self, end: End, at: Point) -> f64 {
        let Some(seam) = &self.piece.outline.seam else { return 0.0 };
        let known = match end {
            End::Opening(i, image) => seam.way_round(self.opening(i).drill_at, image),
            End::Fixed(f) => self.fixed[f].way_round.unwrap_or(0.0),
        };
        seam.way_round_near(at, known)
    }

    fn ring(&self, near: &Near) -> &Ring {
        match near.image {
            0 => &self.opening(near.opening).ring,
            _ => &self.carried[near.carried as usize],
        }
    }

    fn opening(&self, i: u32) -> &Opening {
        &self.piece.openings[i as usize]
    }

    fn side(&self, opening: u32) -> Side {
        Side::Opening(self.opening(opening).n)
    }

    /// What lies around an opening. `last` is how far the fixed edges were from the middle of one asked about before: one
    /// beside it is not much nearer.
    fn nearby(&self, home: &Bounded<Near>, reach: f64, last: &mut [(Point, f64)]) -> Nearby<'_> {
        let bounds = home.bounds;
        let middle = bounds.center();
        let half = bounds.size().to_vec2().hypot2().sqrt() / 2.0;
        let mut fixed = Vec::new();
        for (f, (edge, (from, distance))) in self.fixed.iter().zip(last).enumerate() {
            let far = half + edge.reach;
            if *distance - (middle - *from).hypot2().sqrt() <= far {
                (*from, *distance) = (middle, edge.line.distance(middle));
                if *distance <= far && edge.is_beside(home.item.way_round) {
                    fixed.push(f);
                }
            }
        }
        let beside = |b: &&Bounded<Near>| Seam::is_beside(b.item.way_round, home.item.way_round);
        Nearby { openings: self.grid.around(bounds, reach).filter(beside).collect(), fixed }
    }

    /// The bridges an opening shares with openings of a higher number and with fixed edges; its nearest neighbour when
    /// nothing is within reach.
    fn bridges_of(
        &self,
        home: &Bounded<Near>,
        nearby: &Nearby,
        reach: f64,
        gaps: &mut Gaps,
        bridges: &mut Vec<Bridge>,
    ) {
        let (i, bounds) = (home.item.opening, home.bounds);
        let ring = self.ring(&home.item);
        let mut ours: Vec<Bounded<Edge>> = Vec::new();
        // A disc that touches the opening and is no wider than `reach` touches nothing farther away than that.
        let known = |gap: &ClosestPoints| (gap.distance + 2.0 * TOUCH < reach).then_some(nearby);
        let mut least = f64::INFINITY;
        for Bounded { item: near, bounds: theirs } in nearby.openings.iter().filter(|b| b.item.opening != i) {
            let first = (near.image == 0 && near.opening > i) || near.image == 1;
            if !first && least <= reach {
                continue;
            }
            let mut measured = || {
                if ours.is_empty() {
                    ours = ring.bounded_edges().collect();
                }
                closest_within((&ours, bounds), (self.ring(near), *theirs), reach)
            };
            let gap = match near.image {
                0 => gaps.between(self.opening(i), self.opening(near.opening), measured),
                _ => measured(),
            };
            let Some(gap) = gap else { continue };
            least = least.min(gap.distance);
            let ends = [End::Opening(i, 0), End::Opening(near.opening, near.image)];
            if first && self.is_neck(&gap, ends, known(&gap)) {
                let between = [self.side(i), self.side(near.opening)];
                bridges.push(bridge(between, gap, gap.distance - 2.0 * self.clean_up));
            }
        }
        for &f in &nearby.fixed {
            let fixed = &self.fixed[f];
            let Some(gap) = fixed.line.closest(ring, fixed.reach) else { continue };
            least = least.min(gap.distance);
            if self.is_neck(&gap, [End::Opening(i, 0), End::Fixed(f)], known(&gap)) {
                bridges.push(self.to_fixed(i, fixed, gap));
            }
        }
        // Nothing so near, or only the edge, whose bridges are looked for further out: the nearest of all counts.
        if least > reach {
            bridges.extend(self.nearest(home));
        }
    }

    fn to_fixed(&self, i: u32, fixed: &Fixed, gap: ClosestPoints) -> Bridge {
        let to = match &fixed.found {
            Some(found) => {
                let ring = &self.opening(i).ring;
                found.closest(ring, gap.distance + 10.0).map_or(gap.distance, |g| g.distance)
            }
            None => gap.distance - fixed.clean_up,
        };
        bridge([fixed.side, self.side(i)], gap.swapped(), to - self.clean_up)
    }

    /// The one bridge of an opening that has nothing near: to whatever is nearest, looked for ever further out.
    fn nearest(&self, home: &Bounded<Near>) -> Option<Bridge> {
        let (i, bounds, way_round) = (home.item.opening, home.bounds, home.item.way_round);
        let ring = &self.opening(i).ring;
        let outline = &self.piece.outline;
        let far = outline.size.0.get() + outline.size.1.get();
        let mut reach = 4.0 * outline.border.get().max(1.0);
        while reach < 4.0 * far {
            let others = self.grid.meeting(bounds.inflate(reach, reach));
            let others =
                others.filter(|b| b.item.opening != i && Seam::is_beside(b.item.way_round, way_round));
            let other = others
                .map(|b| (ring.closest(self.ring(&b.item)), b.item.opening))
                .min_by(|a, b| a.0.distance.total_cmp(&b.0.distance));
            let fixed = self
                .fixed
                .iter()
                .filter(|f| f.is_beside(way_round))
                .filter_map(|f| f.line.closest(ring, reach).map(|g| (g, f)))
                .min_by(|a, b| a.0.distance.total_cmp(&b.0.distance));
            let nearer = other
                .as_ref()
                .is_some_and(|(g, _)| fixed.as_ref().is_none_or(|(f, _)| g.distance < f.distance));
            match (other, fixed) {
                (Some((gap, other)), _) if nearer && gap.distance <= reach => {
                    let (gap, a, b) = if i < other { (gap, i, other) } else { (gap.swapped(), other, i) };
                    return Some(bridge(
                        [self.side(a), self.side(b)],
                        gap,
                        gap.distance - 2.0 * self.clean_up,
                    ));
                }
                (_, Some((gap, fixed))) if gap.distance <= reach => {
                    return Some(self.to_fixed(i, fixed, gap))
                }
                _ => reach *= 2.0,
            }
        }
        None
    }

    /// Whether the disc between the two ends of a gap touches nothing else, looked for among what is known to be near.
    fn is_neck(&self, gap: &ClosestPoints, ends: [End; 2], known: Option<&Nearby>) -> bool {
        let middle = gap.at[0].midpoint(gap.at[1]);
        let way_round = self.way_round(ends[0], middle);
        let radius = gap.distance / 2.0 + TOUCH;
        let disc = Rect::from_center_size(middle, (2.0 * radius, 2.0 * radius));
        let touches =
            |ring: &Ring| (ring.nearest(middle) - middle).hypot2().sqrt() < radius || ring.contains(middle);
        let in_opening = |b: &Bounded<Near>| {
            !ends.contains(&End::Opening(b.item.opening, b.item.image))
                && box_distance2(disc, b.bounds) == 0.0
                && Seam::is_beside(b.item.way_round, way_round)
                && touches(self.ring(&b.item))
        };
        let in_fixed = |f: usize| {
            !ends.contains(&End::Fixed(f))
                && self.fixed[f].is_beside(way_round)
                && self.fixed[f].line.distance(middle) < radius
        };
        let touched = match known {
            Some(near) => {
                near.openings.iter().any(|b| in_opening(b)) || near.fixed.iter().any(|&f| in_fixed(f))
            }
            None => self.grid.meeting(disc).any(in_opening) || (0..self.fixed.len()).any(in_fixed),
        };
        !touched
    }
}
