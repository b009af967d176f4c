//! What might clear a verdict: lists of changes to be tried, those that change the look least first.

use super::change::{blunted, bridges, down, near, resized, up, Change};
use super::margins;
use super::single::{draw_in, is_motif, SINGLES};
use crate::checks::{
    blade_with_teeth, bridge_limit, out_of_reach, seam_solder, smaller_drill, Bridge, Check, Finding,
    MetalFinding, Quantity, Verdict, WidthRule,
};
use crate::geom::{Point, Rect};
use crate::job::{AtBorder, CentreChoice, Job, Spacing, Temper};
use crate::openings::{Opening, DRILL_CLEARANCE};
use crate::trade::models::HALF_HARD;
use crate::trade::{blades, drill_at_least, solders_for, Blade};
use crate::units::{Mm, JUST_PASSED};
use crate::work::Work;

/// Deepest frame that is commonly sold, mm (common practice: 57 to 300).
const DEEPEST_FRAME: f64 = 300.0;
/// Openings closed to mend a piece, as a share of all, at most. Larger would call a half-solid disc mended.
const CLOSED_SHARE: f64 = 0.2;

/// Lists of changes worth trying against one verdict, in the order to try them. Once the piece is sawn only what is
/// soldered can still be changed.
pub(super) fn options(verdict: &Verdict, job: &Job, work: &Work) -> Vec<Vec<Change>> {
    let mut all = match verdict.check {
        Check::BridgeWidth => bridge_width(job, work),
        Check::BorderWidth => match &verdict.finding {
            Finding::Metal(MetalFinding::MarginThin { which, .. }) => margins::too_narrow(job, work, *which),
            _ => Vec::new(),
        },
        Check::DrillFit => drill_fit(job, work),
        Check::BladeFit => blade_fit(job, work),
        Check::BladeTeeth => blade_teeth(job),
        Check::OpeningSize => wider_openings(job, work, verdict.limit.map_or(0.0, Quantity::value)),
        Check::FrameReach => frame_reach(verdict),
        Check::LooseMetal | Check::HeldByOne => loose_metal(job, work),
        Check::Tongue => tongue(job),
        Check::BridgeStrength => bridge_strength(job, work, verdict),
        Check::BridgeHeat => bridge_heat(job, work),
        Check::SolidPatch => solid_patch(job),
        Check::BorderFit => match &verdict.finding {
            // Laid on another centre it may fit; else the drawing is what it is, and the job file only says so.
            Finding::Metal(MetalFinding::NotFitted { used, .. }) => {
                let typed = job.pattern.centre != CentreChoice::Best;
                let centre = typed.then(|| vec![Change::Centre(CentreChoice::Best)]);
                centre.into_iter().chain([vec![Change::AtBorder(*used)]]).collect()
            }
            _ => finer_pattern(job, work),
        },
        Check::Hang => super::hanging::options(job, work),
        Check::SolderSteps => solder_steps(job),
        // Nothing in the drawing would clear the others.
        _ => Vec::new(),
    };
    if job.measured.outline.is_some() {
        all.retain(|changes| changes.iter().all(Change::is_done_last));
    }
    all
}

/// Everything made bigger until the thinnest bridge is wide enough: offered only when nothing else does.
pub(super) fn bigger(job: &Job, work: &Work) -> Option<Change> {
    resized(&job.outline.shape, 1.0)?;
    let clean_up = 2.0 * job.saw.clean_up.get();
    let need = bridge_limit(job).mm + clean_up;
    let thinnest = work.graph.bridges().filter(|b| b.is_between_openings());
    let drawn = thinnest.map(|b| b.width.get()).fold(f64::INFINITY, f64::min);
    let of_drill = work.piece.narrowest_opening().map_or(f64::INFINITY, |o| o.widest.get());
    let by = (need / drawn).max((job.saw.drill.get() + DRILL_CLEARANCE) / of_drill);
    let by = (by * 1000.0 - 0.1).ceil() / 1000.0;
    (by.is_finite() && by > 1.0 && by < 10.0).then_some(Change::Bigger(by))
}

/// A pitch at which the narrowest whole opening is `across` mm wide with a bridge of `bridge` mm.
fn pitch_for(job: &Job, work: &Work, across: f64, bridge: f64) -> Option<Mm> {
    let whole = work.piece.openings.iter().filter(|o| !o.trimmed).map(|o| o.widest.get()).reduce(f64::min)?;
    let taken = |b: f64| if is_motif(job) { 0.0 } else { b };
    let by = (across + taken(bridge)) / (whole + taken(job.pattern.least_bridge().get()));
    Some(up(work.piece.resolved.pitch.get() * by))
}

fn whole_width(work: &Work) -> Option<f64> {
    work.piece.openings.iter().filter(|o| !o.trimmed).map(|o| o.widest.get()).reduce(f64::min)
}

fn bridge_width(job: &Job, work: &Work) -> Vec<Vec<Change>> {
    let mut all = Vec::new();
    let need = bridge_limit(job);
    let thinnest = work.graph.bridges().find(|b| b.is_between_openings());
    if matches!(need.rule, WidthRule::Blade { .. }) {
        let finished = thinnest.map_or(0.0, |b| b.finished.get());
        let finer = blades().iter().rev().find(|b| 2.0 * b.kerf <= finished + JUST_PASSED);
        all.extend(finer.map(|b| vec![Change::Blade(b.clone(), job.saw.drill.max(Mm(b.hole)))]));
    }
    let wide = up(need.mm + 2.0 * job.saw.clean_up.get());
    let rows = work.piece.resolved.rows.iter();
    let close = rows.filter(|r| r.gap < wide.get() - JUST_PASSED && job.rows[r.row].spacing != Spacing::Most);
    let fewer: Vec<Change> = close.map(|r| Change::RowCount(r.row)).collect();
    if !fewer.is_empty() {
        all.push(fewer);
    }
    all.extend(draw_in(job, work, &Bridge::is_between_openings));
    let drawn = job.pattern.least_bridge();
    if is_motif(job) {
        let gap = thinnest.map_or(wide.get(), |b| b.width.get());
        all.push(vec![Change::Pitch(up(work.piece.resolved.pitch.get() * wide.get() / gap.max(0.01)))]);
        return all;
    }
    if drawn.get() < wide.get() - 1e-9 {
        let wider = bridges(job, wide);
        all.push(wider.clone());
        let and = |pitch: Mm| [wider.clone(), vec![Change::Pitch(pitch)]].concat();
        let same_size = whole_width(work).and_then(|w| pitch_for(job, work, w, wide.get()));
        all.extend(same_size.map(and));
        let room = job.saw.drill.get() + DRILL_CLEARANCE;
        let just = pitch_for(job, work, room, wide.get()).filter(|p| *p > work.piece.resolved.pitch);
        all.extend(just.map(and));
    } else {
        all.extend(shifts(job));
    }
    all
}

/// A pattern of which more fits: a smaller pitch, as small as still can be pierced.
fn finer_pattern(job: &Job, work: &Work) -> Vec<Vec<Change>> {
    let pitch = work.piece.resolved.pitch.get();
    let least = job.saw.drill.get() + DRILL_CLEARANCE + job.pattern.least_bridge().get();
    let finer = [0.7, 0.5, 0.35].map(|by| pitch * by);
    let finer = finer.into_iter().filter(|p| *p >= least - 1e-9).map(|p| vec![Change::Pitch(up(p))]);
    finer.chain((pitch > least).then(|| vec![Change::Pitch(up(least))])).collect()
}

/// The coarsest blade finer than the job's whose start hole is no larger than a drill.
fn blade_for(drill: f64, than: &Blade) -> Option<&'static Blade> {
    blades().iter().rev().find(|b| b.hole <= drill + 1e-9 && b.thickness < than.thickness)
}

fn drill_fit(job: &Job, work: &Work) -> Vec<Vec<Change>> {
    let mut all = Vec::new();
    let blade = &job.saw.blade;
    let narrowest = work.piece.narrowest_opening().map_or(f64::INFINITY, |o| o.widest.get());
    let windows = work.piece.outline.windows.iter().map(|w| w.widest.get()).fold(f64::INFINITY, f64::min);
    let widest = narrowest.min(windows);
    match smaller_drill(widest, blade) {
        Some(drill) => all.push(vec![Change::Drill(Mm(drill.mm))]),
        None => {
            let finer = blade_for(widest - DRILL_CLEARANCE + JUST_PASSED, blade);
            let with =
                finer.and_then(|b| smaller_drill(widest, b).map(|d| Change::Blade(b.clone(), Mm(d.mm))));
            all.extend(with.map(|c| vec![c]));
        }
    }
    if work.piece.left_solid.iter().any(|l| l.whole) {
        // The rounding first: it is what is least missed.
        all.insert(0, vec![Change::CornerRadius(Mm(0.0))]);
        let pitch = work.piece.resolved.pitch.get();
        all.extend([1.15, 1.3, 1.5, 2.0].map(|by| vec![Change::Pitch(up(pitch * by))]));
    }
    let need = job.saw.drill.get() + DRILL_CLEARANCE;
    all.extend(wider_openings(job, work, need));
    all.extend(close(job, work, &|o| o.widest.get() < need - JUST_PASSED));
    all
}

/// Openings at least `need` mm across: a thinner bridge if that is allowed, else a larger pitch.
fn wider_openings(job: &Job, work: &Work, need: f64) -> Vec<Vec<Change>> {
    let mut all = Vec::new();
    let bridge = job.pattern.least_bridge().get();
    let least = bridge_limit(job).mm + 2.0 * job.saw.clean_up.get();
    let trimmed = |o: &&Opening| o.trimmed && o.widest.get() < need - JUST_PASSED;
    if let Some(whole) = whole_width(work).filter(|w| *w < need - JUST_PASSED) {
        let thinner = down(bridge - (need - whole)).get();
        if !is_motif(job) && thinner >= least - 1e-9 {
            all.push(bridges(job, Mm(thinner)));
        }
        all.extend(pitch_for(job, work, need, bridge).map(|p| vec![Change::Pitch(p)]));
    }
    if work.piece.openings.iter().any(|o| trimmed(&o)) {
        for how in [AtBorder::Join, AtBorder::Ease] {
            if job.pattern.at_border != how {
                all.push(vec![Change::AtBorder(how)]);
            }
        }
        let wider = pitch_for(job, work, need, bridge).filter(|p| *p > work.piece.resolved.pitch);
        all.push(vec![Change::AtBorder(AtBorder::Whole)]);
        all.extend(wider.map(|p| vec![Change::Pitch(p), Change::AtBorder(AtBorder::Whole)]));
        all.extend(close(job, work, &|o| o.trimmed && o.widest.get() < need - JUST_PASSED));
    }
    all
}

/// The openings asked for left solid, if they are few.
fn close(_job: &Job, work: &Work, ask: &dyn Fn(&Opening) -> bool) -> Option<Vec<Change>> {
    let shut: Vec<Change> = work
        .piece
        .openings
        .iter()
        .filter(|o| ask(o))
        .map(|o| Change::Close { at: near(o.drill_at) })
        .collect();
    let few = shut.len() as f64 <= CLOSED_SHARE * work.piece.openings.len() as f64 && shut.len() <= SINGLES;
    (!shut.is_empty() && few).then_some(shut)
}

fn blade_fit(job: &Job, work: &Work) -> Vec<Vec<Change>> {
    let mut all = Vec::new();
    let (blade, drill) = (&job.saw.blade, job.saw.drill);
    if drill.get() < blade.hole - JUST_PASSED {
        let narrowest = work.piece.narrowest_opening().map_or(f64::INFINITY, |o| o.widest.get());
        let larger = drill_at_least(blade.hole).filter(|d| d.mm + DRILL_CLEARANCE <= narrowest + JUST_PASSED);
        all.extend(larger.map(|d| vec![Change::Drill(Mm(d.mm))]));
        all.extend(blade_for(drill.get(), blade).map(|b| vec![Change::Blade(b.clone(), drill)]));
    }
    let finer = blades().iter().rev().filter(|b| b.thickness < blade.thickness);
    all.extend(finer.map(|b| vec![Change::Blade(b.clone(), drill.max(Mm(b.hole)))]));
    let radius = job.pattern.corner_radius.get();
    for more in [0.2, 0.3, 0.5, 0.8] {
        if more > radius + 1e-9 {
            all.push(vec![Change::CornerRadius(Mm(more))]);
        }
    }
    let unsawn = out_of_reach(&work.piece.openings, blade);
    all.extend(close(job, work, &|o| unsawn.iter().any(|u| u.n == o.n)));
    all.extend(shifts(job));
    all
}

fn blade_teeth(job: &Job) -> Vec<Vec<Change>> {
    let thickness =
        job.measured.thickness.unwrap_or(job.sheet.thickness).get() * f64::from(job.saw.stack.max(1));
    let finer = blade_with_teeth(thickness).or(blades().first());
    finer.map(|b| vec![Change::Blade(b.clone(), job.saw.drill.max(Mm(b.hole)))]).into_iter().collect()
}

fn frame_reach(verdict: &Verdict) -> Vec<Vec<Change>> {
    let deep = verdict.measured.map(|m| ((m.value() - 1e-6) / 10.0).ceil() * 10.0);
    deep.filter(|d| *d <= DEEPEST_FRAME).map(|d| vec![Change::FrameDepth(Mm(d))]).into_iter().collect()
}

fn loose_metal(job: &Job, work: &Work) -> Vec<Vec<Change>> {
    let mut all: Vec<Vec<Change>> = draw_in(job, work, &|_| true).into_iter().collect();
    if job.windows.is_empty() {
        all.extend(shifts(job));
    }
    // One window so far inside the edge that a border stands round it, the others as they are.
    let edge = work.piece.outline.edge.bounds();
    for (i, window) in job.windows.iter().enumerate() {
        let (w, h) = super::change::across(&window.shape);
        let border = window.border.get().max(job.outline.border.get());
        let fits = room_at(edge, window.at, border);
        let by = (fits.0 / w).min(fits.1 / h);
        if by > 0.05 && by < 1.0 {
            all.extend(
                resized(&window.shape, (by * 100.0).floor() / 100.0).map(|s| vec![Change::Window(i, s)]),
            );
        }
        all.extend(margins::smaller_window(job, i));
    }
    all
}

/// Width and height free round a point inside a box with a margin left.
fn room_at(edge: Rect, at: Point, margin: f64) -> (f64, f64) {
    let x = (at.x - edge.x0).min(edge.x1 - at.x) - margin;
    let y = (at.y - edge.y0).min(edge.y1 - at.y) - margin;
    (2.0 * x.max(0.0), 2.0 * y.max(0.0))
}

fn bridge_strength(job: &Job, work: &Work, verdict: &Verdict) -> Vec<Vec<Change>> {
    let soft = job.sheet.temper == Temper::Soft;
    let harder = || soft.then_some(Change::Temper(Temper::HalfHard));
    let mut all: Vec<Vec<Change>> = harder().into_iter().map(|c| vec![c]).collect();
    let (Some(Quantity::Stress(stress)), Some(Quantity::Stress(limit))) = (verdict.measured, verdict.limit)
    else {
        return all;
    };
    let (bridge, pitch) = (job.pattern.least_bridge().get(), work.piece.resolved.pitch.get());
    let clean_up = 2.0 * job.saw.clean_up.get();
    // Stress falls as the finished width grows and as the pitch shrinks.
    let wide = |limit: f64| up((bridge - clean_up) * stress / limit + clean_up);
    let fine = |limit: f64| Mm((pitch * limit / stress * 100.0).floor() / 100.0);
    let by_temper = if soft { limit * HALF_HARD } else { limit };
    if !is_motif(job) && stress > limit {
        all.push(bridges(job, wide(limit)));
        let both = |c: Change| [vec![c], bridges(job, wide(by_temper))].concat();
        all.extend(harder().filter(|_| stress > by_temper).map(both));
    }
    all.push(vec![Change::Pitch(fine(limit))]);
    all.extend(harder().map(|c| vec![c, Change::Pitch(fine(by_temper))]));
    all
}

/// A stiffer sheet, or blunter tips of the outline.
fn tongue(job: &Job) -> Vec<Vec<Change>> {
    let mut all = Vec::new();
    if job.sheet.temper == Temper::Soft {
        all.push(vec![Change::Temper(Temper::HalfHard)]);
    }
    all.extend(
        [0.5, 1.0, 1.5]
            .into_iter()
            .filter_map(|r| blunted(&job.outline.shape, r))
            .map(|s| vec![Change::Outline(s)]),
    );
    all
}

/// Lower grades for the first heat: the later ones follow down.
fn bridge_heat(job: &Job, work: &Work) -> Vec<Vec<Change>> {
    let Some(now) = seam_solder(job, &work.piece) else { return Vec::new() };
    let asked = job.construction.solder.as_deref();
    let lower = solders_for(&job.sheet.metal)
        .into_iter()
        .rev()
        .filter(|s| s.flow_c < now.flow_c + 80.0 && Some(s.name.as_str()) != asked && s.name != "it");
    lower.map(|s| vec![Change::Solder(s.name.clone())]).collect()
}

/// Another grade for the first seam, highest first, or none asked for: the later heats follow.
fn solder_steps(job: &Job) -> Vec<Vec<Change>> {
    let asked = job.construction.solder.as_deref();
    let free = asked.map(|_| vec![Change::SolderAsSuits]);
    let others = solders_for(&job.sheet.metal)
        .into_iter()
        .rev()
        .filter(|s| Some(s.name.as_str()) != asked && s.name != "it")
        .map(|s| vec![Change::Solder(s.name.clone())]);
    free.into_iter().chain(others).collect()
}

fn solid_patch(job: &Job) -> Vec<Vec<Change>> {
    let mut all = Vec::new();
    for how in [AtBorder::Trim, AtBorder::Join] {
        if job.pattern.at_border != how {
            all.push(vec![Change::AtBorder(how)]);
        }
    }
    all.extend(shifts(job));
    all
}

/// The pattern laid otherwise: on another centre, or turned a little.
fn shifts(job: &Job) -> Vec<Vec<Change>> {
    let mut all = Vec::new();
    for centre in [CentreChoice::Opening, CentreChoice::Crossing, CentreChoice::Bridge] {
        if job.pattern.centre != centre {
            all.push(vec![Change::Centre(centre)]);
        }
    }
    for by in [5.0, -5.0, 10.0, 15.0, 30.0] {
        all.push(vec![Change::Turn(job.pattern.turn + by)]);
    }
    if job.pattern.at_border != AtBorder::Whole {
        all.push(vec![Change::AtBorder(AtBorder::Whole)]);
    }
    all
}
