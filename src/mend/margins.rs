//! What might widen the metal beside the openwork: at the edge, round windows and round holes.

use super::change::{across, bridges, near, resized, up, window_number, Change};
use super::single::{draw_in, is_motif, wanted};
use crate::checks::{margin, Bridge, Margin, Side};
use crate::job::Job;
use crate::units::JUST_PASSED;
use crate::work::Work;

/// So few openings drawn in one by one are less than a wider border all round.
const FEW: usize = 6;

/// Metal beside the openwork that is too narrow: the openings there drawn in, or what it lies round made wider.
pub(super) fn too_narrow(job: &Job, work: &Work, which: Margin) -> Vec<Vec<Change>> {
    let mut all: Vec<Vec<Change>> = Vec::new();
    let missing = |ask: &dyn Fn(&Bridge) -> bool| {
        let worst = work.graph.bridges().find(|b| margin(b) == Some(which) && ask(b));
        worst.map(|b| wanted(job, &b) - b.finished.get()).filter(|m| *m > JUST_PASSED)
    };
    let wider_edge = |more: f64| vec![Change::Border(up(job.outline.border.get() + more))];
    match which {
        Margin::Edge => all.extend(missing(&|_| true).map(wider_edge)),
        Margin::Window => {
            // All of them at once, then each by itself; an inner line of the outline has the outline's border.
            let short = |i: usize| {
                let side = Side::Window(window_number(job, i));
                missing(&|b: &Bridge| b.between.contains(&side) && !b.between.contains(&Side::Edge))
            };
            let wider: Vec<Change> = (0..job.windows.len())
                .filter_map(|i| Some(Change::WindowBorder(i, up(job.windows[i].border.get() + short(i)?))))
                .collect();
            let inner = |b: &Bridge| {
                let first = window_number(job, 0);
                b.between.iter().any(|s| matches!(s, Side::Window(w) if *w < first))
            };
            let inner = missing(&inner).map(wider_edge).unwrap_or_default();
            let together = [inner.clone(), wider.clone()].concat();
            all.extend(Some(together).filter(|c| !c.is_empty()));
            for i in 0..job.windows.len() {
                let side = Side::Window(window_number(job, i));
                if let Some(more) = missing(&|b: &Bridge| b.between.contains(&side)) {
                    all.extend(window_less(job, i, more));
                    all.extend(smaller_window(job, i));
                }
            }
        }
        Margin::RoundHole => {
            let more = missing(&|_| true).filter(|_| !is_motif(job));
            all.extend(more.map(|more| bridges(job, up(job.pattern.least_bridge().get() + more))));
        }
        Margin::OutsideHole => all.extend(round_holes(job, work)),
    }
    let drawn_in = draw_in(job, work, &|b| margin(b) == Some(which));
    // Round the whole edge the border says it in one line; a few openings alone are drawn in first.
    let few = drawn_in.as_ref().is_some_and(|d| d.len() <= FEW);
    let at = if few { 0 } else { all.len().min(1) };
    all.splice(at..at, drawn_in);
    all
}

/// More metal outside holes: a lug made wider by what is missing on both sides and taller by one, a hole moved inwards.
fn round_holes(job: &Job, work: &Work) -> Option<Vec<Change>> {
    let mut changes = Vec::new();
    for bridge in work.graph.bridges().filter(|b| margin(b) == Some(Margin::OutsideHole)) {
        let more = wanted(job, &bridge) - bridge.finished.get();
        let hole = bridge.between.iter().position(|s| matches!(s, Side::Hole(_)))?;
        let Side::Hole(h) = bridge.between[hole] else { continue };
        if more <= JUST_PASSED || !bridge.between.contains(&Side::Edge) {
            continue;
        }
        let pierced: Vec<usize> = (0..job.lugs.len()).filter(|&i| job.lugs[i].hole.get() > 0.0).collect();
        if let Some(spec) = job.holes.get(h - 1) {
            let inwards = bridge.at[hole] - bridge.at[1 - hole];
            let way = if inwards.hypot2().sqrt() > 1e-9 {
                inwards / inwards.hypot2().sqrt()
            } else {
                -spec.at.to_vec2()
            };
            changes.push(Change::Hole(h - 1, near(spec.at + way * (more + 0.005))));
        } else if let Some(&i) = pierced.get(h - 1 - job.holes.len()) {
            let lug = &job.lugs[i];
            let (width, height) = (lug.width.get() + 2.0 * more, lug.height.get() + more);
            changes.push(Change::LugSize(i, up(width), up(height)));
        }
    }
    (!changes.is_empty()).then_some(changes)
}

/// A window smaller by just what is missing on both of its sides.
fn window_less(job: &Job, i: usize, more: f64) -> Option<Vec<Change>> {
    let shape = &job.windows[i].shape;
    let (w, h) = across(shape);
    let by = 1.0 - 2.0 * (more + 0.01) / w.min(h);
    let smaller = resized(shape, by).filter(|_| by > 0.3)?;
    Some(vec![Change::Window(i, smaller)])
}

pub(super) fn smaller_window(job: &Job, i: usize) -> Vec<Vec<Change>> {
    let shapes =
        [0.9, 0.8, 0.7, 0.6, 0.5, 0.4].into_iter().filter_map(|by| resized(&job.windows[i].shape, by));
    shapes.map(|s| vec![Change::Window(i, s)]).collect()
}
