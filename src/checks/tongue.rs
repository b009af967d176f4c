//! Metal held at one end only, and tips that catch.

use super::case::Case;
use super::corners::Bay;
use super::{place, Check, Level, Quantity, Verdict};
use crate::openings::corners_of;
use crate::trade::models::{longest_tongue, tongue_give, tongue_stress, SAW_PUSH_N, SPARE};
use crate::units::plain;
use kurbo::Point;

const CHECK: Check = Check::Tongue;
/// Tips of metal sharper than this catch on cloth and skin and bend, degrees (common practice). Larger would flag the
/// points of every star; smaller lets needles through.
const SHARP_TIP: f64 = 45.0;
/// A tip that gives by less is not spoken of, mm: a hand does not feel it (from memory, believed).
const FELT: f64 = 0.02;
/// Where the metal's strength is not known a tongue may be this many times as long as it is wide.
const PLAIN_RATIO: f64 = 2.0;

pub(super) fn tongue(case: &Case) -> Vec<Verdict> {
    let all: Vec<Verdict> = long_tongue(case).into_iter().chain(sharp_tip(case)).collect();
    if all.is_empty() {
        let says = "no tongue of metal is too long for its width, and no tip is sharp";
        return vec![Verdict::told(CHECK, Level::Good, says, because())];
    }
    all
}

fn because() -> String {
    format!("about: a push of {SAW_PUSH_N} N at the tip, never measured at a bench (estimate)")
}

fn long_tongue(case: &Case) -> Option<Verdict> {
    let clean_up = 2.0 * case.job.saw.clean_up.get();
    let finished = |bay: &Bay| (bay.width - clean_up).max(0.0);
    // How many times too long, by strength or plainly by shape.
    let longest = |bay: &Bay| match case.yield_mpa {
        Some(y) => longest_tongue(SAW_PUSH_N, finished(bay), case.thickness, y),
        None => PLAIN_RATIO * finished(bay),
    };
    let mut weak = 0;
    let mut worst: Option<(f64, Bay, Point)> = None;
    for (_, sawing, by) in case.sawn() {
        let Some(bay) = sawing.bay else { continue };
        if bay.length > longest(&bay) + 0.001 {
            weak += 1;
            let excess = bay.length / longest(&bay).max(1e-6);
            if worst.is_none_or(|(e, ..)| excess > e + 1e-9) {
                worst = Some((excess, bay, bay.tip + by));
            }
        }
    }
    let (_, bay, tip) = worst?;
    let will = match case.yield_mpa {
        Some(y)
            if tongue_stress(SAW_PUSH_N, bay.length, finished(&bay).max(1e-6), case.thickness)
                > y * SPARE =>
        {
            "is likely to bend"
        }
        _ => "may bend",
    };
    let metal = &case.job.sheet.metal;
    let gives = |youngs: f64| {
        let width = finished(&bay).max(0.05);
        tongue_give(SAW_PUSH_N, bay.length, width, case.thickness, youngs, metal.poisson)
    };
    let gives = match metal.youngs_mpa.map(gives).filter(|give| *give >= FELT) {
        Some(give) => format!(", gives about {} mm at its tip under the saw", plain(give, 2)),
        None => String::new(),
    };
    let says = format!(
        "{} held at one end: the one with its tip at {} is about {} mm long and {} mm wide at the root when finished\
         {gives} and {will}; at that width about {} mm is safe. Saw towards its root, cut its tip free last and keep it on the pin",
        if weak == 1 { "1 tongue of metal is".into() } else { format!("{weak} tongues of metal are") },
        place(tip),
        plain(bay.length, 1),
        plain(finished(&bay), 1),
        plain(longest(&bay), 1)
    );
    Some(
        Verdict::told(CHECK, Level::Caution, says, because())
            .numbers(Quantity::Length(bay.length), Quantity::Length(longest(&bay)))
            .at(tip),
    )
}

fn sharp_tip(case: &Case) -> Option<Verdict> {
    let mut sharp = 0;
    let mut worst: Option<(f64, Point)> = None;
    let mut look = |angle: f64, at: Point| {
        if angle < SHARP_TIP - 1e-6 {
            sharp += 1;
            if worst.is_none_or(|(a, _)| angle < a - 1e-9) {
                worst = Some((angle, at));
            }
        }
    };
    // Where the outer edge points out the metal is inside its corner, where an opening points in it is outside.
    let edge = &case.piece.outline.edge;
    for (i, turn) in corners_of(edge).into_iter().filter(|(_, turn)| *turn > 0.0) {
        look(180.0 - turn.to_degrees(), edge.vertices[i].at);
    }
    for (_, sawing, by) in case.sawn() {
        if let Some((angle, at)) = sawing.sharp_tip {
            look(angle, at + by);
        }
    }
    let (angle, at) = worst?;
    let says = format!(
        "{} sharper than {SHARP_TIP} degrees: at {} it is about {} degrees; it will catch and bend, so round it off",
        if sharp == 1 { "1 tip of metal is".into() } else { format!("{sharp} tips of metal are") },
        place(at),
        plain(angle, 0)
    );
    let because = "sharp tips catch, bend and scratch (common practice)";
    Some(
        Verdict::told(CHECK, Level::Caution, says, because)
            .numbers(Quantity::Angle(angle), Quantity::Angle(SHARP_TIP))
            .at(at),
    )
}
