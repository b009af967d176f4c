//! Unpierced patches inside the border: they spoil the look and draw the heat.
//!
//! From every place where a patch may be, the widest solid disc near it is found by climbing. Places whose neighbours lie
//! alike are climbed once, and only what lies near a place is looked at, so the cost grows in step with the places.

use super::case::Case;
use super::{Check, Level, MetalFinding, Quantity, Verdict};
use crate::catalogue::Fills;
use crate::geom::{box_distance2, Boundary, Bounded, Grid, Point, Rect, Region, Ring, Vec2};
use crate::job::PatternSource;
use crate::openings::{boxes, Opening};
use crate::outline::Outline;
use std::collections::{BTreeMap, HashMap};

/// A patch wider than this many borders or [`BRIDGES`] bridges looks heavy (estimate). Larger lets lumps pass, smaller
/// would call every crossing by the border one.
const BORDERS: f64 = 2.0;
/// See [`BORDERS`].
const BRIDGES: f64 = 3.0;
/// So many openings round the middle are looked at for patches that belong to the repeat itself.
const SAMPLE: usize = 12;
/// The climb ends when its step is this small, mm.
const FINE: f64 = 0.02;
/// Neighbours lie alike when their places agree to this, mm.
const ALIKE: f64 = 1e-6;

pub(super) fn solid_patch(case: &Case) -> Vec<Verdict> {
    let verdict = |level: Level, found: MetalFinding| Verdict::new(Check::SolidPatch, level, found);
    let border = case.piece.outline.border.get();
    let limit = (BORDERS * border).max(BRIDGES * case.job.pattern.most_bridge().get());
    let solid = Solid::new(case, limit);
    let mut climbed = Climbed::default();
    let mut large = Patches::new(limit);
    let mut widest: Option<(f64, Point)> = None;
    for start in starts(case) {
        let Some((across, at)) = climbed.from(&solid, start, limit) else { continue };
        if across > limit + 1e-3 {
            large.add(at);
        }
        if widest.is_none_or(|(w, _)| across > w + 1e-6) {
            widest = Some((across, at));
        }
    }
    let Some((across, at)) = widest else {
        return vec![verdict(Level::Good, MetalFinding::NoPatches)];
    };
    let told = match large.count {
        0 => verdict(Level::Good, MetalFinding::PatchSmall { across }),
        n => verdict(Level::Caution, MetalFinding::PatchLarge { across, at }).count(n),
    };
    vec![told.numbers(Quantity::Length(across), Quantity::Length(limit)).at(at)]
}

/// Patches counted once however many places climb to them: those nearer to each other than half the limit are one.
struct Patches {
    cell: f64,
    known: BTreeMap<(i64, i64), Vec<Point>>,
    count: usize,
}

impl Patches {
    fn new(limit: f64) -> Self {
        Self { cell: limit / 2.0, known: BTreeMap::new(), count: 0 }
    }

    fn add(&mut self, at: Point) {
        let of = |v: f64| (v / self.cell).floor() as i64;
        let (x, y) = (of(at.x), of(at.y));
        let near = (-1..=1).flat_map(|i| (-1..=1).map(move |j| (x + i, y + j)));
        let met = near
            .filter_map(|cell| self.known.get(&cell))
            .flatten()
            .any(|p| (*p - at).hypot2().sqrt() < self.cell);
        if !met {
            self.known.entry((x, y)).or_default().push(at);
            self.count += 1;
        }
    }
}

/// The neighbours of a place, each with its shape and where it lies from the place.
type Neighbours = Vec<(u32, i64, i64)>;

/// What was found from places whose neighbours lie alike: diameter, and where from the place. Looked up only, never walked.
#[derive(Default)]
struct Climbed(HashMap<Neighbours, Option<(f64, Vec2)>>);

impl Climbed {
    fn from(&mut self, solid: &Solid, start: Point, far: f64) -> Option<(f64, Point)> {
        let class = solid.class_of(start, far);
        if let Some(found) = class.as_ref().and_then(|class| self.0.get(class)) {
            return found.map(|(across, way)| (across, start + way));
        }
        let (found, met) = solid.widest_near(start, far);
        // What lies farther off than the class tells had no say in it.
        if let Some(class) = class.filter(|_| met <= far) {
            self.0.insert(class, found.map(|(across, at)| (across, at - start)));
        }
        found
    }
}

/// Where patches may be: repeats that stayed solid, and for motifs the metal between them.
fn starts(case: &Case) -> Vec<Point> {
    let mut starts: Vec<Point> = case.piece.left_solid.iter().map(|l| l.at).collect();
    if leaves_ground(case) {
        for opening in case.piece.openings.iter().take(SAMPLE) {
            let b = opening.ring.bounds();
            let (dx, dy) = (b.width(), b.height());
            starts.extend(
                [(0.75, 0.75), (-0.75, 0.75), (0.75, 0.0), (0.0, 0.75)]
                    .map(|(x, y)| b.center() + Vec2::new(x * dx, y * dy)),
            );
        }
    }
    starts
}

/// The repeat leaves metal between its shapes that is no bridge.
fn leaves_ground(case: &Case) -> bool {
    matches!(&case.job.pattern.source, PatternSource::Repeat(p) if p.fills != Fills::Plane)
}

/// What bounds the solid metal: openings in a grid, and the fixed lines.
struct Solid<'a> {
    openings: Grid<&'a Opening>,
    fixed: Boundary,
    /// With its kept places, and its windows, in which there is no metal.
    outline: &'a Outline,
    inside: Boundary,
    /// Farther openings do not matter, mm.
    reach: f64,
}

impl<'a> Solid<'a> {
    fn new(case: &'a Case, limit: f64) -> Self {
        let outline = &case.piece.outline;
        let wanted = !case.piece.left_solid.is_empty() || leaves_ground(case);
        let all = &case.piece.openings;
        let openings = all.iter().zip(boxes(all)).filter(|_| wanted);
        let lines = |ring: &Ring| Region::new(ring.clone(), Vec::new());
        let mut fixed = vec![lines(&outline.edge)];
        fixed.extend(outline.windows.iter().map(|w| lines(&w.ring)));
        fixed.extend(outline.keeps.iter().map(|k| lines(&k.ring)));
        fixed.extend(outline.holes.iter().map(|h| lines(&Ring::circle(h.at, h.diameter.get() / 2.0))));
        Self {
            openings: Grid::new(openings.map(|(item, bounds)| Bounded { item, bounds }).collect()),
            fixed: Boundary::new(&fixed),
            outline,
            inside: Boundary::new(&outline.inside_border),
            reach: 2.0 * limit,
        }
    }

    fn is_kept(&self, p: Point) -> bool {
        self.outline.keeps.iter().any(|k| k.contains(p)) || self.outline.windows.iter().any(|w| w.contains(p))
    }

    /// How the openings lie within `within` of a place; `None` where a fixed line or an opening without a like is among them.
    fn class_of(&self, start: Point, within: f64) -> Option<Neighbours> {
        if self.is_kept(start) || self.fixed.distance(start) <= within || !self.inside.contains(start) {
            return None;
        }
        if self.inside.distance(start) <= within {
            return None;
        }
        let bounds = Rect::from_center_size(start, (2.0 * within, 2.0 * within));
        let of = |v: f64| (v / ALIKE).round() as i64;
        let mut class = Vec::new();
        for opening in self.openings.meeting(bounds) {
            let way = opening.item.drill_at - start;
            class.push((opening.item.shape?, of(way.x), of(way.y)));
        }
        class.sort_unstable();
        Some(class)
    }

    /// Radius of the solid disc round a point inside the border, 0 in an opening, a window or a kept place, at most `reach`. Where it
    /// is not more than `floor`, any radius from its own up to `floor` may be given. `last` is the opening that was in the way last:
    /// of places close together it is often in the way again.
    fn clear(&self, p: Point, floor: f64, last: &mut Option<&'a Opening>) -> f64 {
        let to = |ring: &Ring| (ring.nearest(p) - p).hypot2().sqrt();
        if let Some(clear) = last.map(|opening| to(&opening.ring)).filter(|clear| *clear <= floor) {
            return clear;
        }
        let fixed = self.fixed.distance_within(p, self.reach);
        if fixed <= floor {
            return fixed;
        }
        if !self.inside.contains(p) || self.is_kept(p) {
            return 0.0;
        }
        // Most places have an opening close by: looked for near at hand first.
        let mut within = self.reach / 8.0;
        loop {
            let mut clear = fixed;
            let bounds = Rect::from_center_size(p, (2.0 * within, 2.0 * within));
            for opening in self.openings.meeting(bounds) {
                let far2 = box_distance2(opening.bounds, Rect::from_points(p, p));
                if far2 < clear * clear {
                    let ring = &opening.item.ring;
                    if far2 == 0.0 && ring.contains(p) {
                        return 0.0;
                    }
                    clear = clear.min(to(ring));
                    if clear <= floor {
                        *last = Some(opening.item);
                        return clear;
                    }
                }
            }
            if clear <= within || within >= self.reach {
                return clear;
            }
            within *= 2.0;
        }
    }

    /// The widest solid disc found by climbing from a point, diameter and place, looked for within `far` of it; and how far
    /// from the point the discs reached that were looked at.
    fn widest_near(&self, start: Point, far: f64) -> (Option<(f64, Point)>, f64) {
        let (mut met, mut last) = (0.0_f64, None);
        let mut look = |p: Point, floor: f64| {
            let clear = self.clear(p, floor, &mut last);
            met = met.max((p - start).hypot2().sqrt() + clear);
            (clear, p)
        };
        let mut best = look(start, 0.0);
        let mut step = far / 4.0;
        while step > FINE {
            let around = [(1.0, 0.0), (0.5, 0.87), (-0.5, 0.87), (-1.0, 0.0), (-0.5, -0.87), (0.5, -0.87)];
            let next = around.map(|(x, y)| best.1 + Vec2::new(x, y) * step).into_iter().fold(best, |b, p| {
                let c = look(p, b.0);
                if c.0 > b.0 + 1e-9 {
                    c
                } else {
                    b
                }
            });
            if next.0 > best.0 && (next.1 - start).hypot2().sqrt() <= far {
                best = next;
            } else {
                step /= 2.0;
            }
        }
        ((best.0 > 0.0).then_some((2.0 * best.0, best.1)), met)
    }
}
