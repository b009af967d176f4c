//! Lumps of solid metal inside the border: they spoil the look and draw the heat.

use super::case::Case;
use super::{place, Check, Level, Quantity, Verdict};
use crate::catalogue::Fills;
use crate::geom::{Boundary, Rect, Ring};
use crate::job::PatternSource;
use crate::units::plain;
use kurbo::{Point, Vec2};

const CHECK: Check = Check::SolidPatch;
/// A solid place as wide as this many borders or [`BRIDGES`] bridges is heavy (estimate). Larger lets lumps pass, smaller
/// would call every joint by the border one.
const BORDERS: f64 = 2.0;
/// See [`BORDERS`].
const BRIDGES: f64 = 3.0;
/// So many openings round the middle are looked at for lumps that belong to the repeat itself.
const SAMPLE: usize = 12;

pub(super) fn solid_patch(case: &Case) -> Vec<Verdict> {
    let piece = case.piece;
    let limit = (BORDERS * piece.outline.border.get()).max(BRIDGES * case.job.pattern.most_bridge().get());
    let because = "twice the border or three bridges across (estimate)";
    let solid = Solid::new(case, limit);
    let mut heavy = 0;
    let mut widest: Option<(f64, Point)> = None;
    for start in starts(case) {
        let Some((clear, at)) = solid.widest_near(start, limit) else { continue };
        heavy += usize::from(clear > limit + 1e-3);
        if widest.is_none_or(|(w, _)| clear > w + 1e-6) {
            widest = Some((clear, at));
        }
    }
    let verdict = match widest {
        Some((across, at)) if heavy > 0 => {
            let says = format!(
                "a solid place about {} mm across at {} is heavy beside the openwork: it shows, and it draws the heat; shift or \
                 turn the pattern, trim at the border, or keep it on purpose",
                plain(across, 1),
                place(at)
            );
            Verdict::told(CHECK, Level::Caution, says, because)
                .numbers(Quantity::Length(across), Quantity::Length(limit))
                .at(at)
        }
        Some((across, at)) => {
            let says =
                format!("the widest solid place away from kept ones is about {} mm across", plain(across, 1));
            Verdict::told(CHECK, Level::Good, says, because)
                .numbers(Quantity::Length(across), Quantity::Length(limit))
                .at(at)
        }
        None => Verdict::told(CHECK, Level::Good, "no solid lumps inside the border", because),
    };
    vec![verdict]
}

/// Where lumps may be: repeats that stayed solid, and for motifs the metal between them.
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

/// Openings sorted from left to right, and the fixed lines.
struct Solid<'a> {
    boxes: Vec<(Rect, &'a Ring)>,
    /// Widest box, mm.
    broad: f64,
    fixed: Boundary,
    kept: Vec<&'a Ring>,
    inside: Boundary,
    /// Farther openings do not matter, mm.
    reach: f64,
}

impl<'a> Solid<'a> {
    fn new(case: &'a Case, limit: f64) -> Self {
        let outline = &case.piece.outline;
        let mut boxes: Vec<(Rect, &Ring)> = Vec::new();
        if !case.piece.left_solid.is_empty() || leaves_ground(case) {
            boxes = case.piece.openings.iter().map(|o| (o.ring.bounds(), &o.ring)).collect();
            boxes.sort_by(|a, b| a.0.x0.total_cmp(&b.0.x0));
        }
        let lines = |ring: &Ring| crate::geom::Region::new(ring.clone(), Vec::new());
        let mut fixed = vec![lines(&outline.edge)];
        fixed.extend(outline.windows.iter().map(|w| lines(&w.ring)));
        fixed.extend(outline.keeps.iter().map(|k| lines(&k.ring)));
        fixed.extend(outline.holes.iter().map(|h| lines(&Ring::circle(h.at, h.diameter.get() / 2.0))));
        Self {
            broad: boxes.iter().map(|b| b.0.width()).fold(0.0, f64::max),
            boxes,
            fixed: Boundary::new(&fixed),
            kept: outline.keeps.iter().map(|k| &k.ring).collect(),
            inside: Boundary::new(&outline.inside_border),
            reach: 2.0 * limit,
        }
    }

    /// Radius of the solid disc round a point inside the border, 0 in an opening or a kept place, at most `reach`.
    fn clear(&self, p: Point) -> f64 {
        if !self.inside.contains(p) || self.kept.iter().any(|k| k.contains(p)) {
            return 0.0;
        }
        let mut clear = self.fixed.distance(p).min(self.reach);
        let from = self.boxes.partition_point(|(b, _)| b.x0 < p.x - clear - self.broad);
        for (b, ring) in &self.boxes[from..] {
            if b.x0 > p.x + clear {
                break;
            }
            if b.inflate(clear, clear).contains(p) {
                if ring.contains(p) {
                    return 0.0;
                }
                clear = clear.min((ring.nearest(p) - p).hypot());
            }
        }
        clear
    }

    /// The widest solid disc found by climbing from a point, diameter and place, looked for within `far` of it.
    fn widest_near(&self, start: Point, far: f64) -> Option<(f64, Point)> {
        let mut best = (self.clear(start), start);
        let mut step = far / 4.0;
        while step > 0.02 {
            let around = [(1.0, 0.0), (0.5, 0.87), (-0.5, 0.87), (-1.0, 0.0), (-0.5, -0.87), (0.5, -0.87)];
            let next = around
                .map(|(x, y)| best.1 + Vec2::new(x, y) * step)
                .map(|p| (self.clear(p), p))
                .into_iter()
                .fold(best, |b, c| if c.0 > b.0 + 1e-9 { c } else { b });
            if next.0 > best.0 && (next.1 - start).hypot() <= far {
                best = next;
            } else {
                step /= 2.0;
            }
        }
        (best.0 > 0.0).then_some((2.0 * best.0, best.1))
    }
}
