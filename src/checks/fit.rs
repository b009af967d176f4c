//! Whether drill, blade and file get into the openings and round their corners.

use super::case::Case;
use super::corners::{FILE_BELOW, NEEDLE_FILE};
use super::{Check, FileFit, Level, Quantity, Side, ToolFinding, Verdict};
use crate::geom::Point;
use crate::openings::DRILL_CLEARANCE;
use crate::trade::models::{left_in_corner, tightest_curve};
use crate::trade::{blades, drills, Blade, Drill};
use crate::units::JUST_PASSED;

/// The same for a fine escapement file (estimate). Below it the edge is as the saw leaves it.
const ESCAPEMENT_FILE: f64 = 0.8;
/// Teeth in the thickness below which the blade is likely to snag (common practice: advise 2 to 3, warn under 1.5).
const FEW_TEETH: f64 = 1.5;
/// Teeth in the thickness that are aimed at.
const GOOD_TEETH: f64 = 2.0;

/// An opening or a window, its drill point and the widest circle in it.
struct Pierced {
    who: Side,
    at: Point,
    widest: f64,
}

fn pierced<'a>(case: &'a Case) -> impl Iterator<Item = Pierced> + 'a {
    let openings = case.piece.openings.iter().map(|o| (Side::Opening(o.n), o.drill_at, o.widest));
    let windows = case.piece.outline.windows.iter().enumerate();
    let windows = windows.map(|(w, window)| (Side::Window(w + 1), window.drill_at, window.widest));
    openings.chain(windows).map(|(who, at, widest)| Pierced { who, at, widest: widest.get() })
}

/// The largest listed metric drill that fits an opening `widest` mm across and still takes the blade.
pub fn smaller_drill(widest: f64, blade: &Blade) -> Option<&'static Drill> {
    let room = widest - DRILL_CLEARANCE + JUST_PASSED;
    drills().iter().rev().find(|d| !d.name.starts_with('#') && d.mm <= room && d.mm >= blade.hole - 1e-9)
}

pub(super) fn drill_fit(case: &Case) -> Vec<Verdict> {
    let verdict = |level: Level, found: ToolFinding| Verdict::new(Check::DrillFit, level, found);
    let drill = case.job.saw.drill.get();
    let wanted = drill + DRILL_CLEARANCE;
    let mut all = Vec::new();
    let unopened = case.piece.left_solid.iter().filter(|l| l.whole);
    if let Some(first) = unopened.clone().next() {
        let found = ToolFinding::NothingOpened { at: first.at, drill };
        all.push(verdict(Level::Stop, found).count(unopened.count()).at(first.at));
    }
    let Some(worst) = pierced(case).min_by(|a, b| a.widest.total_cmp(&b.widest)) else {
        if all.is_empty() {
            all.push(verdict(Level::Good, ToolFinding::NothingToPierce));
        }
        return all;
    };
    let across = worst.widest;
    let short = |widest: f64| widest < wanted - JUST_PASSED;
    let told = if short(across) {
        let blade = case.job.saw.blade.clone();
        let instead = smaller_drill(across, &blade).map(|d| d.mm);
        let (who, at) = (worst.who, worst.at);
        let found = ToolFinding::TooSmallForDrill { drill, who, at, across, wanted, instead, blade };
        verdict(Level::Stop, found).count(pierced(case).filter(|p| short(p.widest)).count())
    } else if all.is_empty() {
        verdict(Level::Good, ToolFinding::DrillGoesIn { drill, across })
    } else {
        return all;
    };
    all.push(told.numbers(Quantity::Length(across), Quantity::Length(wanted)).at(worst.at));
    all
}

pub(super) fn blade_fit(case: &Case) -> Vec<Verdict> {
    let blade = &case.job.saw.blade;
    let verdict = |level: Level, found: ToolFinding| Verdict::new(Check::BladeFit, level, found);
    let mut all: Vec<Verdict> = start_hole(case).into_iter().collect();
    let mut closed: Vec<Point> = Vec::new();
    let (mut shut, mut tight, mut acute) = (Vec::new(), Vec::new(), Vec::new());
    let mut sharpest = f64::INFINITY;
    let mut tighter = 0;
    for (opening, sawing, by) in case.sawn() {
        if sawing.closed {
            closed.push(opening.drill_at);
        }
        shut.extend(sawing.cut_off.map(|p| (opening.n, p + by)));
        tight.extend(sawing.tight_neck.map(|p| (opening.n, p + by)));
        tighter += sawing.tight_curves;
        if let Some((angle, at)) = sawing.sharpest.filter(|(angle, _)| *angle < FILE_BELOW - 1e-6) {
            if angle < sharpest - 1e-9 {
                sharpest = angle;
                acute.insert(0, (opening.n, at + by));
            } else {
                acute.push((opening.n, at + by));
            }
        }
    }
    if let Some(&at) = closed.first() {
        let found = ToolFinding::BladeTooThick { blade: blade.clone(), at };
        all.push(verdict(Level::Stop, found).count(closed.len()).at(at));
    }
    if let Some(&(n, at)) = shut.first() {
        let found = ToolFinding::NeckShut { n, at, blade: blade.clone() };
        all.push(verdict(Level::Stop, found).count(shut.len()).at(at));
    }
    if let Some(&(n, at)) = tight.first() {
        let found = ToolFinding::NeckTight { n, at, blade: blade.clone() };
        all.push(verdict(Level::Caution, found).count(tight.len()).at(at));
    }
    if let Some(&(n, at)) = acute.first() {
        let left = left_in_corner(blade, sharpest);
        let blade = blade.clone();
        let found = ToolFinding::CornersToFile { below: FILE_BELOW, sharpest, n, at, left, blade };
        all.push(
            verdict(Level::Caution, found)
                .count(acute.len())
                .numbers(Quantity::Angle(sharpest), Quantity::Angle(FILE_BELOW))
                .at(at),
        );
    }
    if all.is_empty() {
        let radius = tightest_curve(blade);
        let found = ToolFinding::BladeGoesRound { blade: blade.clone(), radius, tighter };
        let drill = Quantity::Length(case.job.saw.drill.get());
        all.push(verdict(Level::Good, found).numbers(drill, Quantity::Length(blade.diagonal())));
    }
    all
}

/// Whether the blade can be threaded at all.
fn start_hole(case: &Case) -> Option<Verdict> {
    let (blade, drill) = (case.job.saw.blade.clone(), case.job.saw.drill.get());
    let (diagonal, usual) = (blade.diagonal(), blade.hole);
    let (level, limit, found) = if drill < diagonal - JUST_PASSED {
        (Level::Stop, diagonal, ToolFinding::BladeNotThrough { blade, drill })
    } else if drill < usual - JUST_PASSED {
        (Level::Caution, usual, ToolFinding::BladeTightInHole { blade, drill })
    } else {
        return None;
    };
    let verdict = Verdict::new(Check::BladeFit, level, found);
    Some(verdict.numbers(Quantity::Length(drill), Quantity::Length(limit)))
}

/// The coarsest blade with teeth enough for a thickness.
pub fn blade_with_teeth(thickness: f64) -> Option<&'static Blade> {
    blades().iter().rev().find(|b| b.teeth_in(thickness) >= GOOD_TEETH)
}

pub(super) fn blade_teeth(case: &Case) -> Vec<Verdict> {
    let blade = case.job.saw.blade.clone();
    let thickness = case.thickness * f64::from(case.job.saw.stack.max(1));
    let teeth = blade.teeth_in(thickness);
    let (level, found) = if teeth < FEW_TEETH - 1e-6 {
        let finer = blade_with_teeth(thickness).map(|finer| (finer.clone(), finer.teeth_in(thickness)));
        (Level::Caution, ToolFinding::FewTeeth { blade, teeth, thickness, finer })
    } else {
        (Level::Good, ToolFinding::Teeth { blade, teeth, good: teeth >= GOOD_TEETH })
    };
    let counted = |teeth: f64| Quantity::Count(teeth, "teeth");
    vec![Verdict::new(Check::BladeTeeth, level, found).numbers(counted(teeth), counted(FEW_TEETH))]
}

/// Openings too small for a file, their necks too: a file has to pass between the two sides of a neck as well.
pub(super) fn opening_size(case: &Case) -> Vec<Verdict> {
    let least = case.job.limits.opening.get();
    let limit = least.max(ESCAPEMENT_FILE);
    // What the hand wants is room to see and to turn a file in: a neck has only to let one through.
    let neck_limit = limit.min(NEEDLE_FILE);
    let mut worst: Option<(f64, bool, usize, Point)> = None;
    let mut small = 0;
    for (opening, sawing, by) in case.sawn() {
        let whole = (opening.widest.get(), false, opening.drill_at);
        let neck = sawing.narrow_neck.map(|(across, at)| (across, true, at + by));
        let short = |(across, neck, _): &(f64, bool, Point)| {
            *across < if *neck { neck_limit } else { limit } - JUST_PASSED
        };
        small += usize::from(short(&whole) || neck.as_ref().is_some_and(short));
        for (across, neck, at) in std::iter::once(whole).chain(neck) {
            if worst.is_none_or(|(w, ..)| across < w - 1e-9) {
                worst = Some((across, neck, opening.n, at));
            }
        }
    }
    let verdict = |level: Level, found: ToolFinding| Verdict::new(Check::OpeningSize, level, found);
    let Some((across, neck, n, at)) = worst else {
        return vec![verdict(Level::Good, ToolFinding::NoOpenings)];
    };
    let file = match across {
        w if w < ESCAPEMENT_FILE - JUST_PASSED => FileFit::None,
        w if w < NEEDLE_FILE - JUST_PASSED => FileFit::Escapement,
        _ => FileFit::Needle,
    };
    let wanted = if neck { neck_limit } else { limit };
    let told = if small > 0 {
        let by_hand = !neck && least >= ESCAPEMENT_FILE;
        let found = ToolFinding::TooSmallToFile { n, at, across, neck, wanted, file, by_hand };
        verdict(Level::Caution, found).count(small)
    } else {
        verdict(Level::Good, ToolFinding::FileGoesIn { across, neck, file })
    };
    vec![told.numbers(Quantity::Length(across), Quantity::Length(wanted)).at(at)]
}
