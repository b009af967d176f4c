//! What a torch does to the openwork while a strip is soldered to its edge. A rough model: it may caution, never stop.

use super::case::Case;
use super::{count, Check, Level, Quantity, Verdict};
use crate::job::Job;
use crate::openings::Piece;
use crate::trade::joining::{edge_room, edge_solder};
use crate::trade::models::{heat_window, rim_window, tongue_rise, wide_window, HeatWindow, RimHeat};
use crate::trade::{solders_for, Solder};
use crate::units::plain;

const CHECK: Check = Check::BridgeHeat;
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
    let because = "about: fitted to computed designs, sure to some 15 C, never measured at a bench; solders differ by maker, \
                   so the packet comes first (estimate)";
    let good = |says: String| vec![Verdict::told(CHECK, Level::Good, says, because)];
    let unchecked = |says: String| vec![Verdict::told(CHECK, Level::Unchecked, says, because)];
    let (job, piece) = (case.job, case.piece);
    let made = &job.construction;
    if made.rim.is_none() && made.back.is_none() && made.bezel.is_none() {
        return good("nothing is soldered to the openwork".into());
    }
    let metal = job.sheet.metal.title.to_lowercase();
    let Some(solder) = seam_solder(job, piece) else {
        return unchecked(format!("not judged: {metal} is not soldered with these grades"));
    };
    let mut all = Vec::new();
    let headroom = job.sheet.metal.solidus_c.map(|s| s - solder.flow_c);
    match (made.rim.is_some(), seam_room(job, piece, solder)) {
        (false, _) => {}
        (true, None) => {
            return unchecked(format!(
                "not judged: where {metal} starts to melt or how it carries heat is not known"
            ))
        }
        (true, Some((h, x))) => all.extend(seam(case, solder, h, x, because)),
    }
    if let Some(h) = headroom {
        all.extend(hot_tongues(case, h, because));
    }
    if all.is_empty() {
        let says = match made.rim.is_some() {
            true => format!("{} solder leaves a wide window; keep the flame moving", solder.name),
            false => "no strip is soldered to the edge; heat the plate or the heavy part, not the openwork"
                .to_string(),
        };
        return good(says);
    }
    all
}

fn seam(case: &Case, solder: &Solder, headroom: f64, ahead: f64, because: &str) -> Option<Verdict> {
    let metal = &case.job.sheet.metal;
    let solidus = metal.solidus_c?;
    let says = match heat_window(headroom, ahead) {
        HeatWindow::Wide => return None,
        HeatWindow::RimOnly => format!(
            "{} solder flows about {} C below where {} starts to melt, and the openwork may run about {} C ahead: heat the rim and \
             its strip only, never rest the flame on the openwork",
            solder.name,
            plain(headroom, 0),
            metal.title.to_lowercase(),
            plain(20.0 + 0.15 * ahead, 0)
        ),
        // The alloy alone leaves no room, whatever the pattern.
        HeatWindow::Closed if headroom < rim_window(0.0) => format!(
            "{} starts to melt at about {} C and {} solder flows at about {} C: there is no real window, whatever the pattern; {}",
            metal.title,
            plain(solidus, 0),
            solder.name,
            plain(solder.flow_c, 0),
            instead(case, ahead)
        ),
        HeatWindow::Closed => format!(
            "{} solder leaves {} C and this rim wants about {} C: the openwork may melt before the seam flows; {}",
            solder.name,
            plain(headroom, 0),
            plain(rim_window(ahead), 0),
            instead(case, ahead)
        ),
    };
    let limit = match heat_window(headroom, ahead) {
        HeatWindow::Closed => rim_window(ahead),
        _ => wide_window(ahead),
    };
    Some(
        Verdict::told(CHECK, Level::Caution, says, because)
            .numbers(Quantity::Heat(headroom), Quantity::Heat(limit)),
    )
}

/// Which solder would do, or what it would need.
fn instead(case: &Case, ahead: f64) -> String {
    let metal = &case.job.sheet.metal;
    let need = metal.solidus_c.unwrap_or(0.0) - rim_window(ahead);
    let known = solders_for(metal);
    match known.iter().rev().find(|s| s.flow_c <= need) {
        Some(lower) => {
            format!("use {} solder (flows at about {} C)", lower.name, plain(lower.flow_c, 0))
        }
        None => {
            format!("it would need a solder that flows at {} C or lower, or a lighter strip", plain(need, 0))
        }
    }
}

/// Tongues whose tips get much hotter than their roots.
fn hot_tongues(case: &Case, headroom: f64, because: &str) -> Option<Verdict> {
    let clean_up = 2.0 * case.job.saw.clean_up.get();
    let limit = (headroom * TONGUE_SHARE).max(LEAST_TOLD);
    let mut hot = 0;
    let mut worst: Option<(f64, kurbo::Point)> = None;
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
    let says = format!(
        "{} held at one end may get about {} C hotter at the tip than at the root: keep the flame off the tip, or cool it with \
         a heat sink",
        count(hot, "tongue"),
        plain(rise, 0)
    );
    Some(
        Verdict::told(CHECK, Level::Caution, says, because)
            .numbers(Quantity::Heat(rise), Quantity::Heat(limit))
            .at(tip),
    )
}
