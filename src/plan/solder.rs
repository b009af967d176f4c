//! Which seam when, with which grade, how many pallions, and which part to heat; and for metals that are not soldered at a
//! bench, how each seam is joined cold.

use super::measured::Measured;
use super::part::{Part, PartName};
use super::strips::rim_line;
use crate::checks::{seam_room, seam_solder, BenchFinding, Check, Level, Quantity, Verdict};
use crate::job::{RimSits, Shape};
use crate::trade::joining::{grades, grades_about_edge, room, Risk, NO_MARGIN};
use crate::trade::models::{heat_window, HeatWindow};
use crate::trade::Solder;
use crate::units::{heat_apart, plain};

/// One pallion for so many mm of seam: 1 x 1 x 0.3 mm fills 6 mm of a 0.05 mm gap with its two small fillets
/// (worked out; practice is one every 5 to 8 mm). Closer and solder floods the openings; wider and the seam gaps.
pub(super) const PALLION_EVERY: f64 = 6.0;
/// A strip soldered with less room than this wants the flame away the moment the solder runs (estimate).
const CLOSE: f64 = 20.0;

/// One seam.
#[derive(Debug, Clone, PartialEq)]
pub struct SolderStep {
    /// What is joined to what.
    pub seam: String,
    /// mm for one piece.
    pub length: f64,
    /// "hard", "medium", "easy", "extra-easy".
    pub grade: &'static Solder,
    /// Between the solder's flow and the start of melting, C; `None` where that is not known.
    pub room: Option<f64>,
    /// Chips of solder for one piece.
    pub pallions: u32,
    /// Where the pallions go.
    pub place: String,
    /// Which part to heat.
    pub heat: String,
    /// Advice, one sentence each.
    pub notes: Vec<String>,
}

/// A seam of a metal that is not soldered at a bench.
#[derive(Debug, Clone, PartialEq)]
pub struct ColdJoin {
    /// What is joined to what.
    pub seam: String,
    /// mm for one piece.
    pub length: f64,
    /// Rivets, tabs, screws: how it is held.
    pub how: &'static str,
}

const RIM_SEAM: &str = "rim to the pierced plate";

struct SolderSeam {
    name: String,
    length: f64,
    /// The heat it belongs to: seams of parts still apart share the first.
    heat_no: usize,
    risk: Risk,
    place: &'static str,
    heat: String,
    /// Without heat.
    cold: &'static str,
}

/// The seams in order.
fn seams(bench: &Measured, parts: &[Part]) -> Vec<SolderSeam> {
    let build = &bench.job.construction;
    let mut seams: Vec<SolderSeam> = Vec::new();
    let mut own = |name: &str, length: f64, cold: &'static str| {
        seams.push(SolderSeam {
            name: name.into(),
            length,
            heat_no: 0,
            risk: Risk::Strip,
            place: "one across the seam, from inside",
            heat: "the whole strip, flame moving".into(),
            cold,
        });
    };
    const STRIP: &str = "a tongue of sheet inside, riveted on both sides of the seam; or have it welded";
    match bench.job.outline.shape {
        Shape::Band { width, .. } => own("close the band", width.get(), STRIP),
        Shape::Cone { .. } => {
            let side = parts.iter().find_map(|p| p.get("side_mm")).unwrap_or(bench.size.1);
            own("close the cone", side, STRIP);
        }
        _ => {}
    }
    if let Some(rim) = build.rim {
        own("close the rim strip", rim.height.get(), STRIP);
    }
    if let Some(bezel) = &build.bezel {
        own(
            "close the bezel",
            bezel.height.get(),
            "no seam: leave claws on the sheet instead of a soldered bezel",
        );
    }
    let mut heat_no = usize::from(!seams.is_empty());
    let mut next = |name: &str, length: f64, place: &'static str, heat: String, cold: &'static str| {
        seams.push(SolderSeam {
            name: name.into(),
            length,
            heat_no,
            risk: Risk::Openwork,
            place,
            heat,
            cold,
        });
        heat_no += 1;
    };
    if let (Some(rim), Some(line)) = (build.rim, rim_line(bench)) {
        let ratio = rim_ratio(bench, line.perimeter() * rim.thickness.get() * rim.height.get());
        let heat = if ratio.is_finite() {
            format!(
                "rim and border carry {} times the metal of the openwork: heat the rim, keeping the flame moving round it",
                plain(ratio, 1)
            )
        } else {
            "the rim, keeping the flame moving round it".into()
        };
        let place = match rim.sits {
            RimSits::UnderPlate => "inside the strip, against the border, on the heavy side",
            RimSits::RoundEdge => "on the outside of the strip, where it meets the edge",
        };
        next(
            RIM_SEAM,
            line.perimeter(),
            place,
            heat,
            "tabs left on the strip, bent over the border or riveted through it",
        );
    }
    if build.bezel.is_some() {
        let length = parts.iter().find(|p| p.part == PartName::BezelStrip).and_then(|p| p.get("length_mm"));
        next(
            "bezel to the plate",
            length.unwrap_or(0.0),
            "inside the bezel, against its foot",
            "the plate from beneath, pad first: the thin bezel takes heat faster than the plate".into(),
            "claws through slots in the pad, bent over behind",
        );
    }
    if build.back.is_some() {
        let length = rim_line(bench).map_or(bench.base.perimeter(), |line| line.perimeter());
        next(
            "back plate",
            length,
            "on the overhang, against the outside of the rim",
            "the back plate from beneath: it is the heaviest part".into(),
            "rivets or small screws through the border",
        );
    }
    let rings: f64 = build.jump_rings.iter().map(|r| f64::from(r.count) * r.wire.get()).sum();
    if rings > 0.0 {
        next(
            "close the jump rings",
            rings,
            "one small piece on each join",
            "the ring, away from the piece".into(),
            "closed tight with two pliers, the ends springing against each other",
        );
    }
    seams
}

/// Metal of strip and border against the openwork inside the border.
fn rim_ratio(bench: &Measured, strip: f64) -> f64 {
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
fn rim_heat_no(seams: &[SolderSeam]) -> Option<usize> {
    seams.iter().find(|s| s.name == RIM_SEAM).map(|s| s.heat_no)
}

/// What each heat puts at risk.
fn risks(seams: &[SolderSeam]) -> Vec<Risk> {
    let heats = seams.iter().map(|s| s.heat_no + 1).max().unwrap_or(0);
    let at_risk = |heat| seams.iter().any(|s| s.heat_no == heat && s.risk == Risk::Openwork);
    (0..heats).map(|heat| if at_risk(heat) { Risk::Openwork } else { Risk::Strip }).collect()
}

/// The grade of each heat, and whether it keeps the rules of room and of flowing lower each time.
fn choose(bench: &Measured, seams: &[SolderSeam], risks: &[Risk]) -> Vec<(&'static Solder, bool)> {
    let metal = &bench.job.sheet.metal;
    let first = bench.job.construction.solder.as_deref();
    let edge = rim_heat_no(seams).and_then(|rim| Some((rim, seam_solder(bench.job, bench.piece)?)));
    match edge {
        // The seam at the edge leads: it is the one the openwork has to bear.
        Some((rim, edge)) => grades_about_edge(metal, edge, rim, &risks[rim + 1..]),
        None => grades(metal, risks, first, None),
    }
}

/// How everything is joined.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Joins {
    /// Seams in the order of heating.
    pub solder: Vec<SolderStep>,
    /// For metals that are not soldered at a bench; then nothing is soldered.
    pub cold: Vec<ColdJoin>,
}

/// The joins and their verdict.
pub(super) fn joins(bench: &Measured, parts: &[Part]) -> (Joins, Verdict) {
    let seams = seams(bench, parts);
    let metal = &bench.job.sheet.metal;
    if metal.joined_cold() {
        let cold = seams.iter().map(|s| ColdJoin { seam: s.name.clone(), length: s.length, how: s.cold });
        return (Joins { solder: Vec::new(), cold: cold.collect() }, cold_verdict(bench, seams.len()));
    }
    let risks = risks(&seams);
    let chosen = choose(bench, &seams, &risks);
    let solder: Vec<SolderStep> = seams
        .iter()
        .filter_map(|seam| {
            let grade = chosen.get(seam.heat_no).map(|(solder, _)| *solder)?;
            Some(SolderStep {
                seam: seam.name.clone(),
                length: seam.length,
                grade,
                room: room(metal, grade, risks[seam.heat_no]),
                pallions: (seam.length / PALLION_EVERY - 1e-9).ceil().max(1.0) as u32,
                place: seam.place.to_string(),
                heat: seam.heat.clone(),
                notes: notes(bench, seam, grade),
            })
        })
        .collect();
    let verdict = verdict(bench, &seams, &risks, &chosen);
    (Joins { solder, cold: Vec::new() }, verdict)
}

fn notes(bench: &Measured, seam: &SolderSeam, grade: &'static Solder) -> Vec<String> {
    let mut notes = Vec::new();
    let metal = &bench.job.sheet.metal;
    let closing = seam.heat_no == 0 && seam.risk == Risk::Strip;
    if closing && rim_line(bench).is_some() && Some(grade) == seam_solder(bench.job, bench.piece) {
        notes.push(
            "the next seam takes the same grade: bind the strip with wire so that this one stays shut".into(),
        );
    }
    if let Some(room) = room(metal, grade, Risk::Strip).filter(|room| closing && *room < CLOSE) {
        notes.push(format!(
            "{} flows about {} below where {} starts to melt: take the flame away the moment it runs",
            grade.name,
            heat_apart(room),
            metal.title.to_lowercase()
        ));
    }
    if seam.name == RIM_SEAM {
        if let Some((room, ahead)) = seam_room(bench.job, bench.piece, grade) {
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
                "the border is under {}: solder runs into the outer openings; paint them with rouge or ochre",
                bench.job.units.says(least, 1)
            ));
        }
    }
    if grade.name == "extra-easy" && metal.name.contains("silver") && metal.fineness.is_some() {
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

fn verdict_of(level: Level, found: BenchFinding) -> Verdict {
    Verdict::new(Check::SolderSteps, level, found)
}

fn cold_verdict(bench: &Measured, joins: usize) -> Verdict {
    if joins == 0 {
        return verdict_of(Level::Good, BenchFinding::NothingToJoin);
    }
    let metal = &bench.job.sheet.metal;
    let care = metal.care.clone().unwrap_or_default();
    verdict_of(Level::Caution, BenchFinding::JoinedCold { metal: metal.title.clone(), joins, care })
}

fn verdict(
    bench: &Measured,
    seams: &[SolderSeam],
    risks: &[Risk],
    chosen: &[(&'static Solder, bool)],
) -> Verdict {
    let metal = &bench.job.sheet.metal;
    let count = |n: usize| Quantity::Count(n as f64, "heats");
    if seams.is_empty() {
        return verdict_of(Level::Good, BenchFinding::NothingToSolder);
    }
    let heats = risks.len();
    let rooms = || chosen.iter().zip(risks).map(|((solder, _), risk)| room(metal, solder, *risk));
    let title = metal.title.to_lowercase();
    if let Some((i, room)) =
        rooms().enumerate().find_map(|(i, room)| Some((i, room.filter(|r| *r < NO_MARGIN)?)))
    {
        let (solder, flows) = (chosen[i].0.name.clone(), chosen[i].0.flow_c);
        let found = BenchFinding::NoMargin { heat: i + 1, solder, metal: title, flows, room };
        return verdict_of(Level::Stop, found).numbers(Quantity::Heat(room), Quantity::Heat(NO_MARGIN));
    }
    let right = chosen.iter().take_while(|(_, fits)| *fits).count();
    if right == heats {
        let grades = chosen.iter().map(|(s, _)| s.name.clone()).collect();
        let mut good = verdict_of(Level::Good, BenchFinding::Heats { grades });
        good.measured = Some(count(heats));
        return good;
    }
    let odd = chosen[right].0;
    let solder = odd.name.clone();
    let above = right.checked_sub(1).map_or(f64::INFINITY, |before| chosen[before].0.flow_c);
    let found = match rooms().nth(right).flatten() {
        // The first grade the maker asked for, or none that flows low enough: little room, but some.
        Some(room) if odd.flow_c < above => {
            let usual = Risk::Openwork.need();
            BenchFinding::LittleRoom { heat: right + 1, solder, metal: title, room, usual }
        }
        _ => BenchFinding::GradesRunOut { heats, right, solder },
    };
    verdict_of(Level::Caution, found).numbers(count(heats), count(right))
}
