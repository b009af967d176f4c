//! The sentences printed on the pages, in the bench's words.

use crate::job::{Job, LengthUnit, SawLine, Shade, Transfer};
use crate::trade;
use crate::units::{plain, short, Mm, MM_PER_INCH};

pub const MEASURE_ME: &str = "MEASURE ME BEFORE YOU GLUE ME";
pub const HOLD: &str = "Pattern side up; teeth point down and away from the frame.";
pub const ABOUT_SPARE: &str =
    "Dashed end: 5 mm of spare to hold and to fit by; saw it off at the seam mark last.";
pub const TRIAL: &str =
    "TRIAL ON PLAIN PAPER: hold it against a label page; every dashed edge must lie on a label's edge.";
/// The same where a label leaves little room beside its template.
pub const TRIAL_SHORT: &str = "TRIAL ON PLAIN PAPER: hold it against a label page.";
/// Boxes to tick on every template.
pub const TICKS: [&str; 5] =
    ["bar checked", "stuck down", "bar checked again", "all holes drilled", "de-burred"];

/// What the line means.
pub fn about_line(line: SawLine) -> &'static str {
    match line {
        SawLine::Waste => {
            "The line lies wholly in the waste. Saw on its waste side, then file until the line is gone: the size is right."
        }
        SawLine::Split => "The middle of the line is the edge. Saw on the waste side and file to the middle: the size is right.",
    }
}

/// Which side is shaded.
pub fn about_shade(shade: Shade) -> &'static str {
    match shade {
        Shade::Waste => "What is shaded is waste.",
        Shade::Metal => {
            "REVERSED: what is shaded is metal; what is white, with a drill mark in it, is waste."
        }
        Shade::None => "Nothing is shaded.",
    }
}

/// How the paper comes onto the metal, with the caution that belongs to it.
pub fn about_transfer(transfer: Transfer) -> &'static [&'static str] {
    match transfer {
        Transfer::Label => &[
            "Label: clean the metal, press down from the middle outwards. Inkjet print runs under oil and wax: cover it with clear tape.",
            "Peel or soak the label off before any heat: do not burn paper off indoors.",
        ],
        Transfer::Glue => &[
            "Glue: a thin coat, and let it dry before sawing; wet glue makes paper grow, so measure the 20 mm bar again once it is stuck.",
            "Inkjet print runs: cover it with clear tape. Keep solvent glue away from any flame. Soak the paper off before heat: do not burn it off indoors.",
        ],
        Transfer::Carbon => &[
            "Carbon sheet face down on the metal, this page on top: tape the page down along one side, trace every line once, then scribe the lines before sawing.",
            "Lift a corner and look before the page comes off.",
        ],
        Transfer::RubDown => &[
            "Rub-down: the pattern and its words are mirrored here, and come out the right way round and readable on the metal. Toner print: lay it face down on clean metal, tape one side, rub every line.",
            "Lift a corner and look before the page comes off. If heat presses the print over: hot metal looks like cold metal.",
        ],
    }
}

/// "0.90 mm (19 ga)", the gauge only where one lies within two hundredths of a millimetre.
pub fn thickness(mm: Mm) -> String {
    let near = trade::nearest_gauge(mm.get()).filter(|g| (g.mm - mm.get()).abs() <= 0.02);
    match near {
        Some(gauge) => format!("{} mm ({} ga)", short(mm.get(), 2), gauge.name),
        None => format!("{} mm", short(mm.get(), 2)),
    }
}

/// A length for people: mm to two decimals, with inches beside it if the job is in inches.
pub fn length(mm: f64, units: LengthUnit) -> String {
    match units {
        LengthUnit::Mm => format!("{} mm", short(mm, 2)),
        LengthUnit::Inch => format!("{} mm ({} in)", short(mm, 2), plain(mm / MM_PER_INCH, 3)),
    }
}

/// The length of a bar: "100 mm", with inches to the thousandth beside it if the job is in inches.
pub fn bar(mm: f64, places: usize, units: LengthUnit) -> String {
    match units {
        LengthUnit::Mm => format!("{mm:.places$} mm"),
        LengthUnit::Inch => format!("{mm:.places$} mm = {} in", plain(mm / MM_PER_INCH, 3)),
    }
}

/// "46 mm across" or "60 x 40 mm".
pub fn size_over_all(job: &Job, size: (Mm, Mm)) -> String {
    let (w, h) = (size.0.get(), size.1.get());
    if matches!(job.outline.shape, crate::job::Shape::Circle { .. }) {
        format!("{} across", length(w, job.units))
    } else if job.units == LengthUnit::Inch {
        format!(
            "{} x {} mm ({} x {} in)",
            short(w, 2),
            short(h, 2),
            plain(w / MM_PER_INCH, 3),
            plain(h / MM_PER_INCH, 3)
        )
    } else {
        format!("{} x {} mm", short(w, 2), short(h, 2))
    }
}
