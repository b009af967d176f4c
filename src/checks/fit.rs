//! Whether drill, blade and file get into the openings and round their corners.

use super::case::Case;
use super::corners::FILE_BELOW;
use super::{count, place, Check, Level, Quantity, Verdict};
use crate::openings::DRILL_CLEARANCE;
use crate::trade::models::{left_in_corner, tightest_curve};
use crate::trade::{blades, drills, Blade, Drill};
use crate::units::{plain, JUST_PASSED};

/// Across the narrowest way in, mm, that a needle file wants (common practice).
const NEEDLE_FILE: f64 = 1.5;
/// The same for a fine escapement file (common practice). Below it the edge is as the saw leaves it.
const ESCAPEMENT_FILE: f64 = 0.8;
/// Teeth in the thickness below which the blade is likely to snag (common practice: advise 2 to 3, warn under 1.5).
const FEW_TEETH: f64 = 1.5;
/// Teeth in the thickness that are aimed at.
const GOOD_TEETH: f64 = 2.0;

/// An opening or a window: what people call it, its drill point and the widest circle in it.
struct Pierced {
    label: String,
    at: kurbo::Point,
    widest: f64,
}

fn pierced<'a>(case: &'a Case) -> impl Iterator<Item = Pierced> + 'a {
    let openings = case.piece.openings.iter().map(|o| (format!("opening {}", o.n), o.drill_at, o.widest));
    let windows = case.piece.outline.windows.iter().map(|w| (w.label.clone(), w.drill_at, w.widest));
    openings.chain(windows).map(|(label, at, widest)| Pierced { label, at, widest: widest.get() })
}

/// The narrowest of all, without making a label for each.
fn narrowest(case: &Case) -> Option<Pierced> {
    let opening = case.piece.narrowest_opening();
    let window = case.piece.outline.windows.iter().min_by(|a, b| a.widest.get().total_cmp(&b.widest.get()));
    let (o, w) = (opening.map(|o| o.widest.get()), window.map(|w| w.widest.get()));
    match (opening, window) {
        (Some(opening), _) if w.is_none_or(|w| o.is_some_and(|o| o <= w)) => Some(Pierced {
            label: format!("opening {}", opening.n),
            at: opening.drill_at,
            widest: opening.widest.get(),
        }),
        (_, Some(window)) => {
            Some(Pierced { label: window.label.clone(), at: window.drill_at, widest: window.widest.get() })
        }
        _ => None,
    }
}

/// The largest listed metric drill that fits an opening `widest` mm across and still takes the blade.
pub fn smaller_drill(widest: f64, blade: &Blade) -> Option<&'static Drill> {
    let room = widest - DRILL_CLEARANCE + JUST_PASSED;
    drills().iter().rev().find(|d| !d.name.starts_with('#') && d.mm <= room && d.mm >= blade.hole - 1e-9)
}

pub(super) fn drill_fit(case: &Case) -> Vec<Verdict> {
    const CHECK: Check = Check::DrillFit;
    let drill = case.job.saw.drill.get();
    let limit = drill + DRILL_CLEARANCE;
    let because = format!(
        "the start hole and a tenth of a millimetre on each side: {} + {} mm (estimate)",
        plain(drill, 2),
        plain(DRILL_CLEARANCE, 2)
    );
    let Some(worst) = narrowest(case) else {
        return vec![Verdict::told(CHECK, Level::Good, "there is nothing to pierce", because)];
    };
    let short = |widest: f64| widest < limit - JUST_PASSED;
    let verdict = if !short(worst.widest) {
        let says = format!(
            "the {} mm drill goes into every opening; the narrowest is {} mm across",
            plain(drill, 2),
            plain(worst.widest, 2)
        );
        Verdict::told(CHECK, Level::Good, says, because)
    } else {
        let n = pierced(case).filter(|p| short(p.widest)).count();
        let instead = match smaller_drill(worst.widest, &case.job.saw.blade) {
            Some(d) => {
                format!("a {} mm drill fits and still takes the {} blade", d.name, case.job.saw.blade.name)
            }
            None => format!("no drill that takes the {} blade fits", case.job.saw.blade.name),
        };
        let says = format!(
            "{} too small for the {} mm drill: {} at {} is {} mm across, {} mm is wanted; {instead}",
            if n == 1 { "1 opening is".into() } else { format!("{n} openings are") },
            plain(drill, 2),
            worst.label,
            place(worst.at),
            plain(worst.widest, 2),
            plain(limit, 2),
        );
        Verdict::told(CHECK, Level::Stop, says, because)
    };
    vec![verdict.numbers(Quantity::Length(worst.widest), Quantity::Length(limit)).at(worst.at)]
}

pub(super) fn blade_fit(case: &Case) -> Vec<Verdict> {
    const CHECK: Check = Check::BladeFit;
    let blade = &case.job.saw.blade;
    let mut all: Vec<Verdict> = start_hole(case).into_iter().collect();
    let mut closed: Vec<kurbo::Point> = Vec::new();
    let (mut cut_off, mut tight, mut acute) = (Vec::new(), Vec::new(), Vec::new());
    let mut sharpest = f64::INFINITY;
    let mut curves = 0;
    for (opening, sawing, by) in case.sawn() {
        if sawing.closed {
            closed.push(opening.drill_at);
        }
        cut_off.extend(sawing.cut_off.map(|p| (opening.n, p + by)));
        tight.extend(sawing.tight_neck.map(|p| (opening.n, p + by)));
        curves += sawing.tight_curves;
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
        let says = format!(
            "{} narrower than the {} blade is thick, {} mm: first at {}",
            if closed.len() == 1 { "1 opening is".into() } else { format!("{} openings are", closed.len()) },
            blade.name,
            plain(blade.thickness, 2),
            place(at)
        );
        all.push(Verdict::told(CHECK, Level::Stop, says, source(blade)).at(at));
    }
    if let Some(&(n, at)) = cut_off.first() {
        let says = format!(
            "opening {n} has a neck that the {} blade cannot pass, {} mm: the part at {} cannot be reached from its start \
             hole{}",
            blade.name,
            plain(blade.thickness, 2),
            place(at),
            more(cut_off.len())
        );
        let because = format!("drawn in by half the blade's thickness it falls apart; {}", source(blade));
        all.push(Verdict::told(CHECK, Level::Stop, says, because).at(at));
    }
    if let Some(&(n, at)) = tight.first() {
        let says = format!(
            "opening {n} has a neck where the {} blade passes straight but cannot turn, towards {}{}; back out the way it \
             came",
            blade.name,
            place(at),
            more(tight.len())
        );
        let because =
            format!("turning on the spot wants about {} mm; {}", plain(blade.diagonal(), 2), source(blade));
        all.push(Verdict::told(CHECK, Level::Caution, says, because).at(at));
    }
    if let Some(&(n, at)) = acute.first() {
        let says = format!(
            "{} sharper than {FILE_BELOW} degrees, {} in opening {n} at {}: sawn in from both sides, about {} mm of waste is \
             left to file along each line",
            if acute.len() == 1 { "1 opening has a corner".into() } else { format!("{} openings have corners", acute.len()) },
            plain(sharpest, 0),
            place(at),
            plain(left_in_corner(blade, sharpest), 2)
        );
        let because = format!(
            "a {} mm blade leaves its thickness over the corner's slope standing (estimate)",
            plain(blade.thickness, 2)
        );
        all.push(
            Verdict::told(CHECK, Level::Caution, says, because)
                .numbers(Quantity::Angle(sharpest), Quantity::Angle(FILE_BELOW))
                .at(at),
        );
    }
    if all.is_empty() {
        let tightest = tightest_curve(blade);
        let says = format!(
            "the {} blade goes through the start hole and round every opening; it saws curves down to a radius of about {} \
             mm in one go{}",
            blade.name,
            plain(tightest, 1),
            if curves > 0 { format!(", {} want small bites", count(curves, "tighter one")) } else { String::new() }
        );
        all.push(
            Verdict::told(CHECK, Level::Good, says, source(blade))
                .numbers(Quantity::Length(case.job.saw.drill.get()), Quantity::Length(blade.diagonal())),
        );
    }
    all
}

fn more(n: usize) -> String {
    match n {
        0 | 1 => String::new(),
        2 => " (1 more like it)".into(),
        n => format!(" ({} more like it)", n - 1),
    }
}

fn source(blade: &Blade) -> String {
    format!(
        "a {} blade is {} x {} mm ({})",
        blade.name,
        plain(blade.thickness, 2),
        plain(blade.depth, 2),
        blade.source
    )
}

/// Whether the blade can be threaded at all.
fn start_hole(case: &Case) -> Option<Verdict> {
    let (blade, drill) = (&case.job.saw.blade, case.job.saw.drill.get());
    let diagonal = blade.diagonal();
    let (level, limit, says) = if drill < diagonal - JUST_PASSED {
        let says = format!(
            "the {} blade does not go through a {} mm hole: it is {} mm corner to corner",
            blade.name,
            plain(drill, 2),
            plain(diagonal, 2)
        );
        (Level::Stop, diagonal, says)
    } else if drill < blade.hole - JUST_PASSED {
        let says = format!(
            "the {} blade will be tight in a {} mm hole; {} mm is usual for it",
            blade.name,
            plain(drill, 2),
            plain(blade.hole, 2)
        );
        (Level::Caution, blade.hole, says)
    } else {
        return None;
    };
    Some(
        Verdict::told(Check::BladeFit, level, says, source(blade))
            .numbers(Quantity::Length(drill), Quantity::Length(limit)),
    )
}

/// The coarsest blade with teeth enough for a thickness.
pub fn blade_with_teeth(thickness: f64) -> Option<&'static Blade> {
    blades().iter().rev().find(|b| b.teeth_in(thickness) >= GOOD_TEETH)
}

pub(super) fn blade_teeth(case: &Case) -> Vec<Verdict> {
    const CHECK: Check = Check::BladeTeeth;
    let blade = &case.job.saw.blade;
    let thickness = case.thickness * f64::from(case.job.saw.stack.max(1));
    let teeth = blade.teeth_in(thickness);
    let because = "two to three teeth in the metal, never a hard rule (common practice)";
    let (level, says) = if teeth < FEW_TEETH - 1e-6 {
        let instead = match blade_with_teeth(thickness) {
            Some(finer) => format!("a {} blade has {}", finer.name, plain(finer.teeth_in(thickness), 1)),
            None => "use very light strokes, or stack sheets".into(),
        };
        let says = format!(
            "the {} blade has only {} teeth in {} mm of metal and is likely to snag; {instead}",
            blade.name,
            plain(teeth, 1),
            plain(thickness, 2)
        );
        (Level::Caution, says)
    } else {
        let care = if teeth < GOOD_TEETH { "; saw lightly" } else { "" };
        (Level::Good, format!("the {} blade has {} teeth in the metal{care}", blade.name, plain(teeth, 1)))
    };
    vec![Verdict::told(CHECK, level, says, because)
        .numbers(Quantity::Count(teeth, "teeth"), Quantity::Count(FEW_TEETH, "teeth"))]
}

pub(super) fn opening_size(case: &Case) -> Vec<Verdict> {
    const CHECK: Check = Check::OpeningSize;
    let least = case.job.limits.opening.get();
    let limit = least.max(ESCAPEMENT_FILE);
    let because = if least >= ESCAPEMENT_FILE {
        "least opening for this hand, as drawn, since the file goes in before it takes anything off (common practice)"
    } else {
        "a fine escapement file wants about 0.8 mm (common practice)"
    };
    let Some(smallest) = case.piece.narrowest_opening() else {
        return vec![Verdict::told(CHECK, Level::Good, "there are no openings to file", because)];
    };
    let widest = smallest.widest.get();
    let short = |w: f64| w < limit - JUST_PASSED;
    let file = if widest < ESCAPEMENT_FILE {
        "no file gets in: leave it as the saw does, with a fine blade"
    } else if widest < NEEDLE_FILE {
        "only a fine escapement file gets in"
    } else {
        "a needle file gets in"
    };
    let verdict = if short(widest) {
        let n = case.piece.openings.iter().filter(|o| short(o.widest.get())).count();
        let says = format!(
            "{} small to clean up: opening {} at {} is {} mm across, {} mm is advised; {file}",
            if n == 1 { "1 opening is".into() } else { format!("{n} openings are") },
            smallest.n,
            place(smallest.drill_at),
            plain(widest, 2),
            plain(limit, 2)
        );
        Verdict::told(CHECK, Level::Caution, says, because)
    } else {
        Verdict::told(
            CHECK,
            Level::Good,
            format!("the smallest opening is {} mm across; {file}", plain(widest, 2)),
            because,
        )
    };
    vec![verdict.numbers(Quantity::Length(widest), Quantity::Length(limit)).at(smallest.drill_at)]
}
