//! Which seam when, with which grade, how many pallions, and which part to heat.

use super::bench::Bench;
use super::parts::Part;
use super::strips::rim_line;
use crate::checks::{seam_room, seam_solder, Check, Level, Quantity, Verdict};
use crate::job::{RimSits, Shape};
use crate::trade::fits::{bench_grades, grades, room, ROOM_ON_OPENWORK, ROOM_ON_STRIP, STEP_DOWN};
use crate::trade::models::{heat_window, HeatWindow};
use crate::trade::Solder;
use crate::units::plain;

/// One pallion for so many mm of seam: 1 x 1 x 0.3 mm fills 6 mm of a 0.05 mm gap with its two small fillets
/// (derived; practice is one every 5 to 8 mm). Closer and solder floods the openings; wider and the seam gaps.
pub const PALLION_EVERY: f64 = 6.0;

/// Silvers that may be hallmarked; the least fineness of their solder is 650 (UK Hallmarking table, as quoted on a
/// jewellers' forum).
pub(super) const SILVERS: [&str; 4] = ["fine-silver", "sterling-silver", "silver-935", "silver-960"];

/// One seam.
#[derive(Debug, Clone, PartialEq)]
pub struct SolderStep {
    pub seam: String,
    /// mm for one piece.
    pub length: f64,
    /// "hard", "medium", "easy", "extra-easy"; `None` for metals that are not torch-soldered.
    pub grade: Option<&'static Solder>,
    /// Between the solder's flow and the start of melting, C.
    pub room: Option<f64>,
    pub pallions: u32,
    /// Where the pallions go.
    pub place: String,
    /// Which part to heat.
    pub heat: String,
    pub notes: Vec<String>,
}

const RIM_SEAM: &str = "rim to the pierced plate";

struct Seam {
    name: String,
    length: f64,
    /// The heat it belongs to: seams of parts still apart share the first.
    heat_no: usize,
    on_openwork: bool,
    place: &'static str,
    heat: String,
}

/// The seams in order.
fn seams(bench: &Bench, parts: &[Part]) -> Vec<Seam> {
    let build = &bench.job.construction;
    let mut seams: Vec<Seam> = Vec::new();
    let mut own = |name: &str, length: f64| {
        seams.push(Seam {
            name: name.into(),
            length,
            heat_no: 0,
            on_openwork: false,
            place: "one across the seam, from inside",
            heat: "the whole strip, flame moving".into(),
        });
    };
    match bench.job.outline.shape {
        Shape::Band { width, .. } => own("close the band", width.get()),
        Shape::Cone { .. } => {
            own("close the cone", parts.iter().find_map(|p| p.get("side_mm")).unwrap_or(bench.size.1));
        }
        _ => {}
    }
    if let Some(rim) = build.rim {
        own("close the rim strip", rim.height.get());
    }
    if let Some(bezel) = build.bezel {
        own("close the bezel", bezel.height.get());
    }
    let mut heat_no = usize::from(!seams.is_empty());
    let mut next = |name: &str, length: f64, place: &'static str, heat: String| {
        seams.push(Seam { name: name.into(), length, heat_no, on_openwork: true, place, heat });
        heat_no += 1;
    };
    if let (Some(rim), Some(line)) = (build.rim, rim_line(bench)) {
        let ratio = rim_ratio(bench, line.perimeter() * rim.thickness.get() * rim.height.get());
        let heat = if ratio.is_finite() {
            format!(
                "rim and border carry {} times the metal of the openwork: heat the rim, going round",
                plain(ratio, 1)
            )
        } else {
            "the rim, going round".into()
        };
        let place = match rim.sits {
            RimSits::UnderPlate => "inside the strip, against the border, on the heavy side",
            RimSits::RoundEdge => "on the outside of the strip, where it meets the edge",
        };
        next(RIM_SEAM, line.perimeter(), place, heat);
    }
    if build.bezel.is_some() {
        let length = parts.iter().find(|p| p.part == "bezel strip").and_then(|p| p.get("length_mm"));
        next(
            "bezel to the plate",
            length.unwrap_or(0.0),
            "inside the bezel, against its foot",
            "the plate from beneath, pad first: the thin bezel takes heat faster than the plate".into(),
        );
    }
    if build.back.is_some() {
        let length = rim_line(bench).map_or(bench.base.perimeter(), |line| line.perimeter());
        next(
            "back plate",
            length,
            "on the overhang, against the outside of the rim",
            "the back plate from beneath: it is the heaviest part".into(),
        );
    }
    let rings: f64 = build.jump_rings.iter().map(|r| f64::from(r.count) * r.wire.get()).sum();
    if rings > 0.0 {
        next(
            "close the jump rings",
            rings,
            "one small piece on each join",
            "the ring, away from the piece".into(),
        );
    }
    seams
}

/// Metal of strip and border against the openwork inside the border.
fn rim_ratio(bench: &Bench, strip: f64) -> f64 {
    let inside: f64 = bench.piece.outline.inside_border.iter().map(|r| r.area()).sum();
    let openwork = inside - bench.openings_area() - bench.cut_outs_area();
    let border = bench.edge_area - inside;
    if openwork > 0.0 {
        (border * bench.thickness + strip) / (openwork * bench.thickness)
    } else {
        f64::INFINITY
    }
}

/// The heat of the seam between rim and plate.
fn rim_heat_no(seams: &[Seam]) -> Option<usize> {
    seams.iter().find(|s| s.name == RIM_SEAM).map(|s| s.heat_no)
}

/// The grade of each heat, and whether it keeps the rules of room and of flowing lower each time.
fn choose(bench: &Bench, seams: &[Seam], heats: usize) -> Vec<(&'static Solder, bool)> {
    let metal = &bench.job.sheet.metal;
    let rooms: Vec<f64> = (0..heats)
        .map(|heat| {
            let openwork = seams.iter().any(|s| s.heat_no == heat && s.on_openwork);
            if openwork {
                ROOM_ON_OPENWORK
            } else {
                ROOM_ON_STRIP
            }
        })
        .collect();
    let first = bench.job.construction.solder.as_deref();
    let (Some(rim), Some(edge)) = (rim_heat_no(seams), seam_solder(bench.job, bench.piece)) else {
        return grades(metal, &rooms, first, None);
    };
    // The seam at the edge leads: it is the one the openwork has to bear. Strips are closed with a higher grade where
    // one leaves room, else with the same; all that follows flows lower.
    let higher = |s: &&&Solder| s.flow_c >= edge.flow_c + STEP_DOWN && room(metal, s) >= ROOM_ON_STRIP;
    let known = bench_grades(metal, None);
    let strips = known.iter().find(higher).copied().unwrap_or(edge);
    let mut chosen = vec![(strips, true); rim];
    chosen.push((edge, room(metal, edge) >= ROOM_ON_STRIP));
    chosen.extend(grades(metal, &rooms[rim + 1..], None, Some(edge)));
    chosen
}

/// The steps and their verdict.
pub fn solder(bench: &Bench, parts: &[Part]) -> (Vec<SolderStep>, Verdict) {
    let seams = seams(bench, parts);
    let metal = &bench.job.sheet.metal;
    let heats = seams.iter().map(|s| s.heat_no + 1).max().unwrap_or(0);
    let chosen = choose(bench, &seams, heats);
    let steps = seams
        .iter()
        .map(|seam| {
            let grade = chosen.get(seam.heat_no).map(|(solder, _)| *solder);
            let room = grade.and_then(|g| metal.solidus_c.map(|s| s - g.flow_c));
            SolderStep {
                seam: seam.name.clone(),
                length: seam.length,
                grade,
                room,
                pallions: (seam.length / PALLION_EVERY - 1e-9).ceil().max(1.0) as u32,
                place: seam.place.to_string(),
                heat: seam.heat.clone(),
                notes: notes(bench, seam, grade),
            }
        })
        .collect();
    let verdict = verdict(bench, &seams, heats, &chosen);
    (steps, verdict)
}

fn notes(bench: &Bench, seam: &Seam, grade: Option<&'static Solder>) -> Vec<String> {
    let mut notes = Vec::new();
    let closing = seam.heat_no == 0 && !seam.on_openwork;
    if closing && grade.is_some() && grade == seam_solder(bench.job, bench.piece) {
        notes.push(
            "the next seam takes the same grade: bind the strip with wire so that this one stays shut".into(),
        );
    }
    if seam.name == RIM_SEAM {
        if let Some((room, ahead)) = grade.and_then(|grade| seam_room(bench.job, bench.piece, grade)) {
            notes.push(match heat_window(room, ahead) {
                HeatWindow::Wide => {
                    "enough room for even heat from beneath; keep the flame moving".to_string()
                }
                HeatWindow::RimOnly => {
                    "heat the strip and the border only; never rest the flame on the openwork".to_string()
                }
                HeatWindow::Closed => {
                    "no real room: take a solder that flows lower, or a lighter strip".to_string()
                }
            });
        }
        let least = (1.5 * bench.thickness).max(1.2);
        if bench.piece.outline.border.get() < least {
            notes.push(format!(
                "the border is under {} mm: solder runs into the outer openings; paint them with rouge or ochre",
                plain(least, 1)
            ));
        }
    }
    if grade.is_some_and(|g| g.name == "extra-easy") && SILVERS.contains(&bench.job.sheet.metal.name.as_str())
    {
        notes.push("56 % silver: under the 650 that UK hallmarked silver asks of its solder".into());
    }
    if seam.name == "back plate" {
        let outline = &bench.piece.outline;
        let closed =
            bench.piece.openings.is_empty() && outline.windows.is_empty() && outline.holes.is_empty();
        notes.push(if closed {
            "this makes a closed hollow: drill a 1 mm vent in the back before any heat".into()
        } else {
            "the openings are the vent: see that solder closes none of a part walled off by itself".into()
        });
    }
    notes
}

fn verdict(bench: &Bench, seams: &[Seam], heats: usize, chosen: &[(&'static Solder, bool)]) -> Verdict {
    let metal = &bench.job.sheet.metal;
    let because = "common practice: each heat flows lower than the one before, 60 C of room beside openwork; the packet's \
                   own figures come first";
    let verdict =
        |level: Level, says: String, because: String| Verdict::told(Check::SolderSteps, level, says, because);
    let count = |n: usize| Quantity::Count(n as f64, "heats");
    if seams.is_empty() {
        return verdict(Level::Good, "nothing to solder".into(), because.into());
    }
    if chosen.is_empty() {
        let says = format!("{} is not joined with silver or gold solder at the torch", metal.title);
        let because =
            metal.care.clone().unwrap_or_else(|| "use rivets, or the makers' own solders and advice".into());
        return verdict(Level::Caution, says, because).numbers(count(heats), count(0));
    }
    let right = chosen.iter().take_while(|(_, fits)| *fits).count();
    let names: Vec<&str> = chosen.iter().map(|(s, _)| s.name.as_str()).collect();
    if right == heats {
        let says = format!("{heats} heats: {}", names.join(", then "));
        let mut verdict = verdict(Level::Good, says, because.into());
        verdict.measured = Some(count(heats));
        return verdict;
    }
    let (odd, _) = chosen[right];
    let room = metal.solidus_c.map(|s| s - odd.flow_c);
    let tight = room.is_some_and(|r| r < ROOM_ON_STRIP);
    let says = match room {
        Some(room) if tight => format!(
            "heat {}: {} solder flows only {} C below where {} starts to melt",
            right + 1,
            odd.name,
            plain(room, 0),
            metal.title.to_lowercase()
        ),
        _ => format!(
            "{heats} heats, but grades that leave room for {right} only: {} is used again from heat {}",
            odd.name,
            right + 1
        ),
    };
    let because = if tight {
        "take a grade that flows lower"
    } else {
        "join more seams in one heat, keep earlier seams cool, or join cold"
    };
    verdict(Level::Caution, says, because.into()).numbers(count(heats), count(right))
}
