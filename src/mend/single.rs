//! Openings changed one by one where the whole pattern need not be.

use super::change::{down, near, up, Change};
use crate::checks::{bridge_limit, margin, margin_limit, Bridge, Side};
use crate::job::{Job, PatternSource};
use crate::openings::DRILL_CLEARANCE;
use crate::units::{Mm, JUST_PASSED};
use crate::work::Work;
use std::collections::BTreeMap;

/// More single openings than this are not drawn in one by one: the bridge of the whole pattern says it in one line.
pub(super) const SINGLES: usize = 250;

/// Least finished width of a bridge by what it runs between.
pub(super) fn wanted(job: &Job, bridge: &Bridge) -> f64 {
    margin(bridge).map_or_else(|| bridge_limit(job), |which| margin_limit(job, which)).mm
}

/// Openings drawn in just where a bridge that is asked for is too thin, each side by half of what is missing; where one
/// side has no room for its drill the other takes more. `None` when that cannot be done or there are too many.
pub(super) fn draw_in(job: &Job, work: &Work, ask: &dyn Fn(&Bridge) -> bool) -> Option<Vec<Change>> {
    let openings = &work.piece.openings;
    let room = |n: usize| {
        let o = &openings[n - 1];
        down((o.widest.get() - job.saw.drill.get() - DRILL_CLEARANCE) / 2.0).get().max(0.0)
    };
    let mut by: BTreeMap<usize, f64> = BTreeMap::new();
    let mut take = |n: usize, mm: f64| {
        let slot = by.entry(n).or_insert(0.0);
        *slot = slot.max(mm);
    };
    for bridge in work.graph.bridges().filter(|b| ask(b)) {
        let missing = wanted(job, &bridge) - bridge.finished.get();
        if missing <= JUST_PASSED {
            continue;
        }
        match bridge.between {
            [Side::Opening(a), Side::Opening(b)] => {
                let half = up(missing / 2.0).get();
                let (most_a, most_b) = (room(a), room(b));
                let share_a = half.min(most_a).max(up(missing - most_b).get());
                let share_b = up(missing - share_a).get().max(0.0);
                if share_a > most_a + 1e-9 || share_b > most_b + 1e-9 {
                    return None;
                }
                take(a, share_a);
                take(b, share_b);
            }
            [Side::Opening(n), _] | [_, Side::Opening(n)] if missing <= room(n) + 1e-9 => {
                take(n, up(missing).get())
            }
            [Side::Opening(_), _] | [_, Side::Opening(_)] => return None,
            _ => {}
        }
    }
    let drawn: Vec<Change> = by
        .into_iter()
        .filter(|(_, mm)| *mm > 0.0)
        .map(|(n, mm)| Change::DrawIn { at: near(openings[n - 1].drill_at), by: Mm(mm) })
        .collect();
    (!drawn.is_empty() && drawn.len() <= SINGLES).then_some(drawn)
}

/// The pattern is single motifs that do not touch.
pub(super) fn is_motif(job: &Job) -> bool {
    matches!(&job.pattern.source, PatternSource::Repeat(p) if p.is_motif())
}
