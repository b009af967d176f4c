//! Whether the saw frame reaches: from every cut to the nearest outer edge.

use super::case::Case;
use super::{Check, Level, Quantity, Side, ToolFinding, Verdict};
use crate::geom::Point;
use crate::geom::{Boundary, Ring};
use crate::job::Job;
use crate::outline::Outline;
use crate::units::JUST_PASSED;

/// The middle of a piece that its saw frame does not reach; empty if it reaches everywhere or no frame is given.
pub fn beyond_the_frame(job: &Job, outline: &Outline) -> Vec<Ring> {
    job.saw.frame_depth.map_or_else(Vec::new, |depth| outline.edge.shrink(depth.get()))
}

pub(super) fn frame_reach(case: &Case) -> Vec<Verdict> {
    let verdict = |level: Level, found: ToolFinding| Verdict::new(Check::FrameReach, level, found);
    let Some(depth) = case.job.saw.frame_depth.map(|d| d.get()) else {
        return vec![verdict(Level::Unchecked, ToolFinding::NoFrame)];
    };
    let edge = &case.piece.outline.edge;
    let bounds = edge.bounds();
    let line = Boundary::of_ring(edge);
    let mut deepest: Option<(f64, Point, Side)> = None;
    let mut beyond = 0;
    // Nothing lies deeper than half the piece: small ones need no measuring beyond the deepest point itself.
    let far = bounds.width().min(bounds.height()) / 2.0 > depth;
    let openings =
        case.piece.openings.iter().map(|o| (&o.ring, o.drill_at, o.widest.get(), Side::Opening(o.n)));
    let windows = case.piece.outline.windows.iter().enumerate();
    let windows =
        windows.map(|(w, window)| (&window.ring, window.drill_at, window.widest.get(), Side::Window(w + 1)));
    for (ring, drill_at, widest, who) in openings.chain(windows) {
        let at_drill = line.distance(drill_at);
        let reach = deepest.as_ref().map_or(0.0, |d| d.0);
        let (d, at) = if far || at_drill + widest > reach {
            deepest_of(ring, drill_at, &line)
        } else {
            (at_drill, drill_at)
        };
        beyond += usize::from(d > depth + JUST_PASSED);
        if d > reach + 1e-9 {
            deepest = Some((d, at, who));
        }
    }
    let Some((deepest, at, who)) = deepest else {
        return vec![verdict(Level::Good, ToolFinding::NothingInside)];
    };
    let told = if beyond == 0 {
        verdict(Level::Good, ToolFinding::FrameReaches { depth, deepest })
    } else {
        let boxes = beyond_the_frame(case.job, &case.piece.outline).into_iter().map(|r| r.bounds());
        let middle = boxes.reduce(|a, b| a.union(b)).map(|b| (b.width(), b.height()));
        verdict(Level::Stop, ToolFinding::FrameShort { depth, middle, who, at, deepest }).count(beyond)
    };
    vec![told.numbers(Quantity::Length(deepest), Quantity::Length(depth)).at(at)]
}

/// The start hole or the corner of a ring farthest from the outer edge: the blade has to stand at both.
fn deepest_of(ring: &Ring, drill_at: Point, line: &Boundary) -> (f64, Point) {
    let ends = ring.edges().flat_map(|e| [e.from(), e.point(0.5)]).chain([drill_at]);
    ends.map(|p| (line.distance(p), p)).max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, Point::ORIGIN))
}
