//! The bridge graph: every place where the metal narrows between two edges, measured.
//!
//! A bridge is where a disc held between two edges, touching both at their least distance, touches nothing else. So
//! openings that face each other share a bridge; openings that only meet corner to corner across a joint do not.

use super::alike::{lie, Gained, Gaps, Met};
use super::fixed::{fixed_edges, Fixed};
use super::{BridgeGraph, Side};
use crate::geom::{box_distance2, closest_within, Bounded, ClosestPoints, Edge, Grid, Point, Rect, Ring};
use crate::job::Job;
use crate::openings::{boxes, Opening, Piece};
use crate::outline::Seam;

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

/// What a gap runs between.
#[derive(Clone, Copy, PartialEq)]
enum End {
    Opening(u32, i8),
    Fixed(usize),
}

/// What lies within reach of an opening, itself included.
#[derive(Default)]
struct Nearby<'f> {
    openings: Vec<&'f Bounded<Near>>,
    /// Fixed edges by their place.
    fixed: Vec<usize>,
}

/// A bridge found: its sides, what was measured, and its finished width, mm.
type Found = ([Side; 2], ClosestPoints, f64);

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
    let mut bridges = BridgeGraph::new(piece.openings.iter().map(|o| o.drill_at).collect());
    let mut last = vec![(Point::ORIGIN, f64::NEG_INFINITY); field.fixed.len()];
    let (mut gaps, mut met, mut nearby) = (Gaps::default(), Met::default(), Nearby::default());
    // By their numbers: bridges come nearly in order, and neighbours stay at hand.
    for home in field.grid.items().iter().filter(|b| b.item.image == 0) {
        field.look_about(home, reach, &mut last, &mut nearby);
        if !field.as_met(home, &nearby, reach, &mut gaps, &mut met, &mut bridges) {
            field.bridges_of(home, &nearby, reach, &mut gaps, &mut bridges);
        }
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
                bridges.add([first.side, second.side], gap, finished);
            }
        }
    }
    bridges.settled()
}

/// The openings by where they lie, and the carried rings of those near a seam.
fn grid_of(piece: &Piece, reach: f64) -> (Grid<Near>, Vec<Ring>) {
    let mut all = Vec::with_capacity(piece.openings.len());
    let mut carried = Vec::new();
    let seam = piece.outline.seam.map(|seam| (seam, seam.part_edges(&piece.outline.edge).0));
    let way_round = |at: Point, times: i8| seam.as_ref().map_or(0.0, |(seam, _)| seam.way_round(at, times));
    for ((opening, o), bounds) in (0..).zip(&piece.openings).zip(boxes(&piece.openings)) {
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

    /// Adds the bridges of an opening about which all lies as about one before, measuring them if it is the first; false
    /// where it cannot be told so.
    fn as_met(
        &self,
        home: &Bounded<Near>,
        nearby: &Nearby,
        reach: f64,
        gaps: &mut Gaps,
        met: &mut Met,
        bridges: &mut BridgeGraph,
    ) -> bool {
        let i = home.item.opening;
        let own = self.opening(i);
        let Some(shape) = own.shape.filter(|_| self.piece.outline.seam.is_none() && nearby.fixed.is_empty())
        else {
            return false;
        };
        met.lies.clear();
        for near in nearby.openings.iter().map(|b| b.item.opening).filter(|near| *near != i) {
            let other = self.opening(near);
            let Some(shape) = other.shape else { return false };
            let [x, y] = lie(own, other);
            met.lies.push(([i64::from(shape), x, y], near));
        }
        met.lies.sort_unstable();
        met.key.clear();
        met.key.push(i64::from(shape));
        met.key.extend(met.lies.iter().flat_map(|(lie, _)| lie));
        if !met.known.contains_key(&met.key[..]) {
            let others = met.lies.iter().map(|(_, near)| *near);
            let measured = self.measured_alike(home, (shape, others), nearby, reach, gaps, bridges);
            met.known.insert(met.key.clone().into(), measured);
        }
        let Some(Some(measured)) = met.known.get(&met.key[..]) else { return false };
        let others = met.lies.iter().zip(measured).filter(|((_, near), _)| *near > i);
        bridges.add_alike(own.n, others.filter_map(|((_, near), m)| Some((self.opening(*near).n, (*m)?))));
        true
    }

    /// The bridges of an opening to each of the others near it; `None` where something farther away may have a say.
    fn measured_alike(
        &self,
        home: &Bounded<Near>,
        (shape, others): (u32, impl Iterator<Item = u32>),
        nearby: &Nearby,
        reach: f64,
        gaps: &mut Gaps,
        bridges: &mut BridgeGraph,
    ) -> Option<Gained> {
        let (i, bounds) = (home.item.opening, home.bounds);
        let own = self.opening(i);
        let ours: Vec<Bounded<Edge>> = own.ring.bounded_edges().collect();
        let mut least = f64::INFINITY;
        let mut measures = Vec::new();
        for near in others {
            let other = self.opening(near);
            let theirs = (&other.ring, other.ring.bounds());
            let measured = || closest_within((&ours, bounds), theirs, reach);
            let gap = gaps.between_alike((own, shape), (other, other.shape?), measured);
            measures.push(match gap {
                Some(gap) => {
                    if gap.distance + 2.0 * TOUCH >= reach {
                        return None;
                    }
                    least = least.min(gap.distance);
                    let here = gap.translated(own.drill_at.to_vec2());
                    let ends = [End::Opening(i, 0), End::Opening(near, 0)];
                    let is_neck = self.is_neck(&here, ends, Some(nearby));
                    is_neck.then(|| bridges.share(gap, gap.distance - 2.0 * self.clean_up))
                }
                None => None,
            });
        }
        (least <= reach).then(|| measures.into())
    }

    /// What lies around an opening. `last` is how far the fixed edges were from the middle of one asked about before: one
    /// beside it is not much nearer.
    fn look_about<'f>(
        &'f self,
        home: &Bounded<Near>,
        reach: f64,
        last: &mut [(Point, f64)],
        nearby: &mut Nearby<'f>,
    ) {
        let bounds = home.bounds;
        let middle = bounds.center();
        let half = bounds.size().to_vec2().hypot2().sqrt() / 2.0;
        nearby.fixed.clear();
        for (f, (edge, (from, distance))) in self.fixed.iter().zip(last).enumerate() {
            let far = half + edge.reach;
            if *distance - (middle - *from).hypot2().sqrt() <= far {
                (*from, *distance) = (middle, edge.line.distance(middle));
                if *distance <= far && edge.is_beside(home.item.way_round) {
                    nearby.fixed.push(f);
                }
            }
        }
        let beside = |b: &&Bounded<Near>| Seam::is_beside(b.item.way_round, home.item.way_round);
        nearby.openings.clear();
        nearby.openings.extend(self.grid.around(bounds, reach).filter(beside));
    }

    /// The bridges an opening shares with openings of a higher number and with fixed edges; its nearest neighbour when
    /// nothing is within reach.
    fn bridges_of(
        &self,
        home: &Bounded<Near>,
        nearby: &Nearby,
        reach: f64,
        gaps: &mut Gaps,
        bridges: &mut BridgeGraph,
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
                bridges.add(between, gap, gap.distance - 2.0 * self.clean_up);
            }
        }
        for &f in &nearby.fixed {
            let fixed = &self.fixed[f];
            let Some(gap) = fixed.line.closest(ring, fixed.reach) else { continue };
            least = least.min(gap.distance);
            if self.is_neck(&gap, [End::Opening(i, 0), End::Fixed(f)], known(&gap)) {
                let (between, gap, finished) = self.to_fixed(i, fixed, gap);
                bridges.add(between, gap, finished);
            }
        }
        // Nothing so near, or only the edge, whose bridges are looked for further out: the nearest of all counts.
        if least > reach
            && let Some((between, gap, finished)) = self.nearest(home)
        {
            bridges.add(between, gap, finished);
        }
    }

    fn to_fixed(&self, i: u32, fixed: &Fixed, gap: ClosestPoints) -> Found {
        let to = match &fixed.found {
            Some(found) => {
                let ring = &self.opening(i).ring;
                found.closest(ring, gap.distance + 10.0).map_or(gap.distance, |g| g.distance)
            }
            None => gap.distance - fixed.clean_up,
        };
        ([fixed.side, self.side(i)], gap.swapped(), to - self.clean_up)
    }

    /// The one bridge of an opening that has nothing near: to whatever is nearest, looked for ever further out.
    fn nearest(&self, home: &Bounded<Near>) -> Option<Found> {
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
                    let finished = gap.distance - 2.0 * self.clean_up;
                    return Some(([self.side(a), self.side(b)], gap, finished));
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
