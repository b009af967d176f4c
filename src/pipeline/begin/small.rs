//! Pieces too small for a pattern of the skill's own sizes: narrower borders, bridges and openings, and what that means.

use super::tried::{
    at_border, first_fitted, free_of, is_fitted, larger, pitch_of, tried, Suited, BAND_ROOM, FEWEST,
};
use crate::checks::{count, Check};
use crate::job::{Edit, Job, Shape};
use crate::work::Work;

/// Fewest openings of a disc: one in the middle and a round about it.
const A_ROUND: usize = 7;
/// Openings across that round; and one more, where a kept place is in its way.
const ACROSS: [f64; 2] = [3.0, 4.0];
/// Borders and bridges tried, finished mm, widest first (estimate).
const NARROWER: [(f64, f64); 4] = [(2.0, 1.2), (1.5, 1.0), (1.2, 0.8), (1.0, 0.8)];

/// Whether what was chosen has too few openings to be a pattern.
fn is_too_few(job: &Job, work: &Work) -> bool {
    // A hole to hang from takes the place of an opening or two.
    let fewest = match job.outline.shape {
        Shape::Circle { .. } if job.holes.is_empty() => A_ROUND,
        _ => FEWEST,
    };
    work.piece.openings.len() < fewest
}

/// Whether it has to be drawn smaller: too few openings, or too small ones for this hand.
pub(super) fn is_too_small(suited: &Suited) -> bool {
    is_too_few(&suited.job, &suited.work) || !free_of(&suited.work, &[Check::OpeningSize])
}

/// A round of smaller openings where one fits, else what there was; with a remark on what would do.
pub(super) fn suited(base: &Job, usual: Suited) -> Suited {
    let clean = 2.0 * base.saw.clean_up.get();
    let limits = &base.limits;
    let size = usual.work.piece.outline.size;
    let short = size.0.get().min(size.1.get());
    let room = |border: f64, bridge: f64, across: f64| {
        (short - 2.0 * (border + clean) - (across - 1.0) * (bridge + clean)) / across
    };
    let mm = |mm: f64| base.units.says(mm, 1);
    let enough = short
        + ACROSS[0]
            * (limits.opening.get() - room(limits.border.get(), limits.bridge.get(), ACROSS[0])).max(0.0);
    let enough = format!("from about {} the usual ones have room", mm(enough.ceil()));
    let narrower =
        NARROWER.map(|(border, bridge)| (border.min(limits.border.get()), bridge.min(limits.bridge.get())));
    let remark = |border: f64, bridge: f64, least: f64| {
        format!(
            "so small a piece takes a narrower border, bridges and openings than this hand is advised ({}, {}, {} finished); {enough}",
            mm(border),
            mm(bridge),
            mm(least)
        )
    };
    let mut sharp = None;
    let fitted = narrower.into_iter().find_map(|(border, bridge)| {
        let [_, across] = ACROSS;
        let least = base.saw.drill.get() + BAND_ROOM;
        let first = room(border, bridge, across).max(least) + bridge + clean;
        let edits = |mm: f64, least: f64| {
            [
                Edit::mm("limits.border", border),
                Edit::mm("limits.bridge", bridge),
                Edit::mm("limits.opening", least),
                pitch_of(mm),
                at_border("fit"),
            ]
        };
        first_fitted(larger(first), &mut sharp, |mm| {
            let found = tried(base, &edits(mm, least))?;
            if !is_fitted(&found.1) {
                return Some(found);
            }
            let narrowest = found.1.piece.narrowest_opening().map_or(least, |o| o.widest.get());
            let least = limits.opening.get().min((narrowest * 20.0 + 1e-6).floor() / 20.0);
            tried(base, &edits(mm, least)).filter(|(job, work)| !is_too_few(job, work))
        })
    });
    if let Some((job, work)) = fitted.or(sharp) {
        let limits = &job.limits;
        let remark = remark(limits.border.get(), limits.bridge.get(), limits.opening.get());
        return Suited { job, work, remark: Some(remark) };
    }
    for ((border, bridge), across) in narrower.into_iter().flat_map(|b| ACROSS.map(|across| (b, across))) {
        let opening = room(border, bridge, across);
        if opening < base.saw.drill.get() + BAND_ROOM {
            continue;
        }
        let least = limits.opening.get().min((opening * 10.0 + 1e-6).floor() / 10.0);
        for how in ["whole", "ease", "trim"] {
            let edits = [
                Edit::mm("limits.border", border),
                Edit::mm("limits.bridge", bridge),
                Edit::mm("limits.opening", least),
                pitch_of(opening + bridge + clean),
                at_border(how),
            ];
            let Some((job, work)) = tried(base, &edits) else { continue };
            let found = Suited { job, work, remark: None };
            if is_too_small(&found) || !free_of(&found.work, &[Check::BorderFit, Check::BridgeWidth]) {
                continue;
            }
            return Suited { remark: Some(remark(border, bridge, least)), ..found };
        }
    }
    if !is_too_few(&usual.job, &usual.work) {
        return usual;
    }
    let has = count(usual.work.piece.openings.len(), "opening");
    let remark =
        format!("so small a piece has room for {has} only; {enough}, or let a finer hand saw it (--skill)");
    Suited { remark: Some(remark), ..usual }
}
