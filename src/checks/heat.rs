//! What a torch does to the openwork while a strip is soldered to its edge. A rough model: it may caution, never stop.

use super::case::Case;
use super::finding::{named, Instead};
use super::{Check, HeatFinding, Level, Quantity, Verdict};
use crate::geom::Point;
use crate::job::Job;
use crate::openings::Piece;
use crate::trade::joining::{edge_room, edge_solder};
use crate::trade::models::{heat_window, rim_window, tongue_rise, wide_window, HeatWindow, RimHeat};
use crate::trade::{solders_for, Solder};

/// A tongue may run ahead of its root by this share of the room before the sheet starts to melt.
const TONGUE_SHARE: f64 = 1.0 / 3.0;
/// Less than this at a tongue's tip is not told, C: the model is no surer, and a solder without any room is told of by itself.
const LEAST_TOLD: f64 = 5.0;

/// What a seam round the edge asks of this piece, the solder's flow left open; `None` without a rim strip.
pub fn rim_heat(job: &Job, piece: &Piece) -> Option<RimHeat> {
    let rim = job.construction.rim.as_ref()?;
    let thickness = job.measured.thickness.unwrap_or(job.sheet.thickness).get();
    let edge = piece.outline.found.as_ref().unwrap_or(&piece.outline.edge);
    let inside: f64 = piece.outline.inside_border.iter().map(|r| r.area()).sum();
    let round = edge.perimeter();
    Some(RimHeat {
        flow_c: 0.0,
        round,
        border: job.outline.border.get(),
        wall_height: rim.height.get(),
        rim_volume: (edge.area() - inside).max(0.0) * thickness
            + round * rim.height.get() * rim.thickness.get(),
        thickness,
        solid: 1.0 - piece.open_area() / inside.max(1e-9),
    })
}

/// Room between a solder's flow and the start of melting at this piece's edge, and how far the openwork may run ahead.
pub fn seam_room(job: &Job, piece: &Piece, solder: &Solder) -> Option<(f64, f64)> {
    edge_room(&job.sheet.metal, solder, &rim_heat(job, piece)?)
}

/// The solder of the seam at this piece's edge; `None` for metals that are joined cold.
pub fn seam_solder(job: &Job, piece: &Piece) -> Option<&'static Solder> {
    edge_solder(&job.sheet.metal, job.construction.solder.as_deref(), rim_heat(job, piece).as_ref())
}

pub(super) fn bridge_heat(case: &Case) -> Vec<Verdict> {
    let (job, piece) = (case.job, case.piece);
    let made = &job.construction;
    let one = |level: Level, found: HeatFinding| vec![verdict(level, found)];
    if made.rim.is_none() && made.back.is_none() && made.bezel.is_none() {
        return one(Level::Good, HeatFinding::NothingSoldered);
    }
    let metal = named(&job.sheet.metal);
    let Some(solder) = seam_solder(job, piece) else {
        return one(Level::Unchecked, HeatFinding::NotSolderedHere { metal });
    };
    let mut all = Vec::new();
    let headroom = job.sheet.metal.solidus_c.map(|s| s - solder.flow_c);
    match (made.rim.is_some(), seam_room(job, piece, solder)) {
        (false, _) => {}
        (true, None) => {
            let melting = headroom.is_some();
            return one(Level::Unchecked, HeatFinding::HeatUnknown { metal, melting });
        }
        (true, Some((headroom, ahead))) => all.extend(seam(case, solder, headroom, ahead)),
    }
    if let Some(headroom) = headroom {
        all.extend(hot_tongues(case, headroom));
    }
    if all.is_empty() {
        return one(
            Level::Good,
            match made.rim.is_some() {
                true => HeatFinding::WideWindow { solder: solder.name.clone() },
                false => HeatFinding::NoStrip,
            },
        );
    }
    all
}

fn verdict(level: Level, found: HeatFinding) -> Verdict {
    Verdict::new(Check::BridgeHeat, level, found)
}

fn seam(case: &Case, solder: &Solder, headroom: f64, ahead: f64) -> Option<Verdict> {
    let melts = case.job.sheet.metal.solidus_c?;
    let metal = named(&case.job.sheet.metal);
    let (name, flows) = (solder.name.clone(), solder.flow_c);
    let wanted = rim_window(ahead);
    let (found, limit) = match heat_window(headroom, ahead) {
        HeatWindow::Wide => return None,
        HeatWindow::RimOnly => (
            HeatFinding::RimOnly { solder: name, metal, headroom, ahead: 20.0 + 0.15 * ahead },
            wide_window(ahead),
        ),
        HeatWindow::Closed if headroom < rim_window(0.0) => {
            let instead = instead(case, ahead);
            (HeatFinding::NoWindow { solder: name, metal, melts, flows, instead }, wanted)
        }
        HeatWindow::Closed => {
            let instead = instead(case, ahead);
            (HeatFinding::WindowClosed { solder: name, headroom, wanted, instead }, wanted)
        }
    };
    Some(verdict(Level::Caution, found).numbers(Quantity::Heat(headroom), Quantity::Heat(limit)))
}

/// Which solder would do, or what it would need.
fn instead(case: &Case, ahead: f64) -> Instead {
    let metal = &case.job.sheet.metal;
    let need = metal.solidus_c.unwrap_or(0.0) - rim_window(ahead);
    match solders_for(metal).iter().rev().find(|s| s.flow_c <= need) {
        Some(lower) => Instead::Grade(lower.name.clone(), lower.flow_c),
        None => Instead::FlowsAt(need),
    }
}

/// Tongues whose tips get much hotter than their roots.
fn hot_tongues(case: &Case, headroom: f64) -> Option<Verdict> {
    let clean_up = 2.0 * case.job.saw.clean_up.get();
    let limit = (headroom * TONGUE_SHARE).max(LEAST_TOLD);
    let mut hot = 0;
    let mut worst: Option<(f64, Point)> = None;
    for (_, sawing, by) in case.sawn() {
        let Some(bay) = sawing.bay else { continue };
        let width = (bay.width - clean_up).max(0.05);
        let Some(rise) = tongue_rise(&case.job.sheet.metal, bay.length, width, case.thickness) else {
            continue;
        };
        if rise > limit {
            hot += 1;
            if worst.is_none_or(|(r, _)| rise > r) {
                worst = Some((rise, bay.tip + by));
            }
        }
    }
    let (rise, tip) = worst?;
    let told = verdict(Level::Caution, HeatFinding::HotTongue { rise }).count(hot);
    Some(told.numbers(Quantity::Heat(rise), Quantity::Heat(limit)).at(tip))
}
