//! The sentences printed on the pages, in the bench's words.

use super::letters;
use crate::job::{Job, LengthUnit, SawLine, Shade};
use crate::trade;
use crate::units::{plain, short, Mm, MM_PER_INCH};
use crate::work::Work;

pub(super) const MEASURE_ME: &str = "MEASURE ME BEFORE YOU GLUE ME";
pub(super) const HOLD: &str = "Pattern side up; teeth point down and away from the frame.";
pub(super) const ABOUT_SPARE: &str =
    "Dashed end: 5 mm of spare to hold and to fit by; saw it off at the seam mark last.";
pub(super) const TRIAL: &str =
    "TRIAL ON PLAIN PAPER: hold it against a label page; every dashed edge must lie on a label's edge.";
/// The same where a label leaves little room beside its template.
pub(super) const TRIAL_SHORT: &str = "TRIAL ON PLAIN PAPER: hold it against a label page.";
/// Boxes to tick on every template.
pub(super) const TICKS: [&str; 5] =
    ["bar checked", "stuck down", "bar checked again", "all holes drilled", "de-burred"];

/// Said where a title cannot be set.
pub(super) const NO_LETTERS: &str =
    "The title is written in letters that this paper has no type for: the job goes by its number here.";

/// The title as it is printed, or the job's number where its letters cannot be set.
pub(super) fn title(job: &Job, work: &Work) -> String {
    if letters::can_set(&job.title) {
        letters::in_reading_order(&job.title)
    } else {
        format!("Job {}", work.plan.number)
    }
}

/// Said on the card where no sheet has room for the numbers of the openings.
pub(super) fn no_numbers(paper: &str, larger: Option<&str>) -> String {
    let larger =
        larger.map_or(String::new(), |name| format!(": print on {name} paper for a sheet that shows them"));
    format!("the numbers find no room on {paper}{larger}")
}

/// What the line means.
pub(super) fn about_line(line: SawLine) -> &'static str {
    match line {
        SawLine::Waste => "The line lies in the waste. Saw on its waste side, then file until the line is gone: the size is right.",
        SawLine::Split => "The middle of the line is the edge. Saw on the waste side and file to the middle: the size is right.",
    }
}

/// Which side is tinted.
pub(super) fn about_shade(shade: Shade) -> &'static str {
    match shade {
        Shade::Waste => "Tinted is waste, bare is metal.",
        Shade::Metal => "REVERSED: tinted is metal, bare is waste.",
        Shade::None => "Nothing is tinted.",
    }
}

/// A fragment as a sentence: a capital in front, a full point behind.
pub(super) fn sentence(text: &str) -> String {
    let mut letters = text.trim().chars();
    let first: String = letters.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    let whole = first + letters.as_str();
    match whole.chars().last() {
        Some('.' | '!' | '?' | ':') | None => whole,
        _ => whole + ".",
    }
}

/// "0.90 mm (19 ga)", the gauge only where one lies within two hundredths of a millimetre.
pub(super) fn thickness(mm: Mm) -> String {
    let near = trade::nearest_gauge(mm.get()).filter(|g| (g.mm - mm.get()).abs() <= 0.02);
    match near {
        Some(gauge) => format!("{} mm ({} ga)", short(mm.get(), 2), gauge.name),
        None => format!("{} mm", short(mm.get(), 2)),
    }
}

/// A length for people: mm to two decimals, with inches beside it if the job is in inches.
pub(super) fn length(mm: f64, units: LengthUnit) -> String {
    match units {
        LengthUnit::Mm => format!("{} mm", short(mm, 2)),
        LengthUnit::Inch => format!("{} mm ({} in)", short(mm, 2), plain(mm / MM_PER_INCH, 3)),
    }
}

/// The length of a bar: "100 mm", with inches to the thousandth beside it if the job is in inches.
pub(super) fn bar(mm: f64, places: usize, units: LengthUnit) -> String {
    match units {
        LengthUnit::Mm => format!("{mm:.places$} mm"),
        LengthUnit::Inch => format!("{mm:.places$} mm = {} in", plain(mm / MM_PER_INCH, 3)),
    }
}

/// "46 mm across" or "60 × 40 mm".
pub(super) fn size_over_all(job: &Job, size: (Mm, Mm)) -> String {
    let (w, h) = (size.0.get(), size.1.get());
    if matches!(job.outline.shape, crate::job::Shape::Circle { .. }) && (w - h).abs() < 0.005 {
        format!("{} across", length(w, job.units))
    } else if job.units == LengthUnit::Inch {
        format!(
            "{} × {} mm ({} × {} in)",
            short(w, 2),
            short(h, 2),
            plain(w / MM_PER_INCH, 3),
            plain(h / MM_PER_INCH, 3)
        )
    } else {
        format!("{} × {} mm", short(w, 2), short(h, 2))
    }
}
