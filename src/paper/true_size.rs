//! The printer's test page, and what an uncorrected printer would do.

use super::fit;
use super::header::{self, Strip};
use super::page::{Group, Ink, Mark, Page, PageKind, Words, FINE};
use crate::geom::{Point, Rect, Ring, Vec2};
use crate::job::{Job, PaperSpec, Shape};
use crate::units::{plain, short, LengthUnit};
use crate::work::Work;
use std::f64::consts::PI;

/// One US ring size in mm of inside diameter: 0.032 in (common practice; see `trade::rings`).
const US_STEP: f64 = 0.032 * crate::units::MM_PER_INCH;

/// A page to measure a printer with: both bars, a square and a circle, each with a line for what was measured.
pub fn true_size(paper: &PaperSpec) -> Page {
    let [upright, _] = fit::both_ways(paper);
    let mut page = fit::page(PageKind::Test, paper, upright);
    let (across, up) = fit::correction(paper);
    let corrected = (across, up) != (100.0, 100.0);
    let mut strip = Strip {
        title: "True size: measure this printer".to_string(),
        number: paper.size.name.clone(),
        part: "test page".to_string(),
        ..Strip::default()
    };
    let printer = paper.printer.as_deref().unwrap_or("").to_string();
    if corrected {
        strip
            .facts
            .push(("corrected for".into(), format!("{} across, {} up", short(across, 2), short(up, 2))));
    }
    if !printer.is_empty() {
        strip.facts.push(("printer".into(), printer));
    }
    strip.facts.push(("paper".into(), paper.size.title.clone()));
    let how = match paper.printer.as_deref().filter(|_| corrected) {
        Some(name) => format!(
            "Corrected for \"{name}\": both long bars must read 100.0 within 0.1, from tick to tick with a caliper. If they do \
             not, type in what they read for this printer: it is multiplied onto what is stored."
        ),
        None => "Print at 100 %, never fitted to the page. Measure both long bars from tick to tick with a caliper and type in \
                 what they read; then print this page again with the correction: both must read 100.0 within 0.1."
            .to_string(),
    };
    strip.says = vec![
        how,
        "Measure again on every new kind of paper, and once more after sticking: wet glue makes paper grow."
            .to_string(),
    ];
    let top = header::strip(&mut page, &strip);
    let room = header::printable(&page);
    header::bars(&mut page, room, (top, 0.0), LengthUnit::Mm);
    let body = fit::body(&page, top);
    let size = 30.0_f64.min(body.width() / 2.0 - 8.0);
    let centre = Point::new(body.center().x, top + 12.0 + size / 2.0);
    let (a, b) = (centre - Vec2::new(size * 0.75, 0.0), centre + Vec2::new(size * 0.75, 0.0));
    let square = Ring::rectangle(Rect::from_center_size(a, (size, size)));
    page.marks.push(Mark::new(Group::ScaleBar, Ink::Closed { rings: vec![square], pen: FINE }));
    page.marks.push(Mark::new(
        Group::ScaleBar,
        Ink::Circle { at: b, radius: size / 2.0, fill: None, pen: Some(FINE) },
    ));
    for (at, name) in [(a, "square"), (b, "circle")] {
        let text = format!("{name} {} mm", short(size, 1));
        page.marks
            .push(Mark::words(Words::new(text, at + Vec2::new(0.0, size / 2.0 + 4.0), 8.0).bold().middle()));
    }
    let mut y = centre.y + size / 2.0 + 16.0;
    for ask in
        ["bar across", "bar up", "square across", "square up", "circle across", "circle up", "paper", "date"]
    {
        if y > body.y1 - 4.0 {
            break;
        }
        let x = body.x0 + 24.0;
        page.marks.push(Mark::words(Words::new(ask, Point::new(x, y), 8.0)));
        page.marks.push(Mark::rule(Point::new(x + 26.0, y + 0.6), Point::new(x + 70.0, y + 0.6), FINE));
        y += 8.0;
    }
    page
}

/// What the printer would have done to this piece without the correction, in the measure that matters most for it.
pub(super) fn uncorrected(job: &Job, work: &Work, (across, up): (f64, f64)) -> String {
    // A bent blank may lie either way on the page; the strip goes round, half of it each way.
    let (share, mean) = (across / 100.0, (across + up) / 200.0);
    if let Shape::Band { inside, thickness, .. } = &job.outline.shape {
        let blank = PI * (inside.get() + thickness.get());
        let less = blank * (1.0 - share);
        // A blank shorter by `less` closes to an inside smaller by less / pi.
        let sizes = less / PI / US_STEP;
        return format!(
            "Uncorrected, this blank would be {} mm instead of {}: a ring {} of a US size {}.",
            plain(blank * share, 2),
            plain(blank, 2),
            short(sizes.abs(), 1),
            if less >= 0.0 { "too small" } else { "too big" }
        );
    }
    let d = work.piece.outline.size.0.get();
    let size = match &job.outline.shape {
        Shape::Circle { .. } => format!("{} mm across instead of {}", plain(d * mean, 2), short(d, 2)),
        // It may lie upright or turned on the page: what is true either way.
        _ => format!(
            "{} mm for each 100 along the paper's short edge and {} along its long edge",
            plain(across, 2),
            plain(up, 2)
        ),
    };
    let strip = work
        .plan
        .parts
        .iter()
        .find(|p| p.part == crate::plan::PartName::RimStrip)
        .and_then(|p| p.get("length_mm"));
    let rim = strip.map_or(String::new(), |length| {
        // The strip is planned for the true size: what is missing from the distance round, it is too long by.
        let round = work.piece.outline.edge.perimeter();
        let miss = match &job.outline.shape {
            Shape::Circle { .. } => PI * d * (1.0 - mean),
            _ => round * (1.0 - mean),
        };
        format!(
            ", and a rim strip of {} mm cut by plan would be {} mm too {}",
            plain(length, 2),
            plain(miss.abs(), 2),
            if miss > 0.0 { "long" } else { "short" }
        )
    });
    format!("Uncorrected, this piece would be {size}{rim}.")
}
