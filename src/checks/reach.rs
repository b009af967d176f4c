//! Whether the saw frame reaches: from every cut to the nearest outer edge.

use super::case::Case;
use super::{place, Check, Level, Quantity, Verdict};
use crate::geom::{Boundary, Ring};
use crate::job::Job;
use crate::outline::Outline;
use crate::units::{plain, JUST_PASSED};
use kurbo::Point;

const CHECK: Check = Check::FrameReach;

/// The middle of a piece that its saw frame does not reach; empty if it reaches everywhere or no frame is given.
pub fn beyond_the_frame(job: &Job, outline: &Outline) -> Vec<Ring> {
    job.saw.frame_depth.map_or_else(Vec::new, |depth| outline.edge.shrink(depth.get()))
}

pub(super) fn frame_reach(case: &Case) -> Vec<Verdict> {
    let because = "the frame goes round the nearest outer edge".to_string();
    let Some(depth) = case.job.saw.frame_depth.map(|d| d.get()) else {
        let says = "not judged: the job does not say how deep the frame is";
        return vec![Verdict::told(CHECK, Level::Unchecked, says, because)];
    };
    let edge = &case.piece.outline.edge;
    let bounds = edge.bounds();
    let line = Boundary::of_ring(edge);
    let mut deepest: Option<(f64, Point, String)> = None;
    let mut beyond = 0;
    // Nothing lies deeper than half the piece: small ones need no measuring beyond the deepest point itself.
    let far = bounds.width().min(bounds.height()) / 2.0 > depth;
    let openings = case.piece.openings.iter().map(|o| (&o.ring, o.drill_at, o.widest.get(), o.n, None));
    let windows =
        case.piece.outline.windows.iter().map(|w| (&w.ring, w.drill_at, w.widest.get(), 0, Some(&w.label)));
    for (ring, drill_at, widest, n, label) in openings.chain(windows) {
        let at_drill = line.distance(drill_at);
        let reach = deepest.as_ref().map_or(0.0, |d| d.0);
        let (d, at) = if far || at_drill + widest > reach {
            deepest_of(ring, drill_at, &line)
        } else {
            (at_drill, drill_at)
        };
        beyond += usize::from(d > depth + JUST_PASSED);
        if d > reach + 1e-9 {
            deepest = Some((d, at, label.cloned().unwrap_or_else(|| format!("opening {n}"))));
        }
    }
    let Some((deep, at, who)) = deepest else {
        return vec![Verdict::told(CHECK, Level::Good, "there is nothing inside to saw", because)];
    };
    let verdict = if beyond == 0 {
        let says = format!(
            "a frame {} mm deep reaches every cut; the deepest is {} mm from the edge",
            plain(depth, 0),
            plain(deep, 0)
        );
        Verdict::told(CHECK, Level::Good, says, because)
    } else {
        let middle = match beyond_the_frame(case.job, &case.piece.outline)
            .iter()
            .map(Ring::bounds)
            .reduce(|a, b| a.union(b))
        {
            Some(b) => format!(" in the middle {} x {} mm", plain(b.width(), 0), plain(b.height(), 0)),
            None => String::new(),
        };
        let says = format!(
            "a frame {} mm deep does not reach {}{middle}: {who} at {} is {} mm from the nearest outer edge; use a deeper frame, or \
             saw panels and join them by a riveted or soldered border",
            plain(depth, 0),
            if beyond == 1 { "1 cut-out".into() } else { format!("{beyond} cut-outs") },
            place(at),
            plain(deep, 0)
        );
        Verdict::told(CHECK, Level::Stop, says, because)
    };
    vec![verdict.numbers(Quantity::Length(deep), Quantity::Length(depth)).at(at)]
}

/// The start hole or the corner of a ring farthest from the outer edge: the blade has to stand at both.
fn deepest_of(ring: &Ring, drill_at: Point, line: &Boundary) -> (f64, Point) {
    let ends = ring.edges().flat_map(|e| [e.from(), e.point(0.5)]).chain([drill_at]);
    ends.map(|p| (line.distance(p), p)).max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, Point::ORIGIN))
}
