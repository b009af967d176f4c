//! What the header strip says of one or several jobs.

use super::fit;
use super::header::Strip;
use super::letters;
use super::look::print_mirrored;
use super::words;
use crate::checks::{Level, Verdict};
use crate::job::Job;
use crate::units::{short, Mm};
use crate::work::Work;

/// Jobs together: so many stops are told on the template; the cards have them all.
const MOST_STOPS: usize = 6;
/// Jobs together: so many different values of one kind are said side by side.
const MOST_SAID: usize = 3;

/// The header of the template pages.
pub(super) fn strip_for(items: &[(&Job, &Work)], copies: usize) -> Strip {
    let titles: Vec<String> = items.iter().map(|(job, work)| words::title(job, work)).collect();
    let numbers: Vec<&str> = items.iter().map(|(_, work)| work.plan.number.as_str()).collect();
    let part = match copies {
        1 => String::new(),
        2 => "copies 1 and 2".to_string(),
        n => format!("copies 1 to {n}"),
    };
    let mut strip = Strip {
        title: titles.join(" + "),
        // Several numbers have no room here: each template carries its own.
        number: match &numbers[..] {
            [one] => format!("job {one}"),
            several => format!("{} jobs", several.len()),
        },
        part,
        ticks: true,
        ..Strip::default()
    };
    let Some((job, _)) = items.first() else { return strip };
    strip.units = job.units;
    strip.facts = facts(items);
    strip.mirrored = print_mirrored(&job.paper);
    for (job, work) in items {
        strip.banner.extend(banner(job, &work.verdicts, items.len() > 1));
    }
    if strip.banner.len() > MOST_STOPS {
        let more = strip.banner.len() - MOST_STOPS;
        strip.banner.truncate(MOST_STOPS);
        strip.banner.push(format!("{more} more jobs must be mended: see their cards"));
    }
    if items.iter().any(|(job, _)| !letters::can_set(&job.title)) {
        strip.says.push(words::NO_LETTERS.into());
    }
    strip.says.extend(about_printer(items));
    strip
}

/// Label and value pairs; several jobs show what they share, joined where they differ.
fn facts(items: &[(&Job, &Work)]) -> Vec<(String, String)> {
    let each = |f: &dyn Fn(&Job, &Work) -> String| {
        let mut seen: Vec<String> = Vec::new();
        for (job, work) in items {
            let value = f(job, work);
            if !seen.contains(&value) {
                seen.push(value);
            }
        }
        match seen.len() {
            0..=MOST_SAID => seen.join(" / "),
            // Too many to be told in one line: each card has its own.
            _ => String::new(),
        }
    };
    let mut facts = vec![
        ("metal".to_string(), each(&|j, _| j.sheet.metal.title.clone())),
        (
            "thickness".to_string(),
            each(&|j, _| words::thickness(j.measured.thickness.unwrap_or(j.sheet.thickness))),
        ),
        ("blade".to_string(), each(&|j, _| j.saw.blade.name.clone())),
        ("drill".to_string(), each(&|j, _| words::length(j.saw.drill.get(), j.units))),
        ("openings".to_string(), each(&|_, w| w.piece.openings.len().to_string())),
        ("overall size".to_string(), each(&|j, w| words::size_over_all(j, plate(w)))),
    ];
    // Lugs, a rim round the edge, a dome: the finished piece has another size than the plate.
    let other = |w: &Work| {
        let (plate, built) = (plate(w), w.plan.built.size);
        (plate.0.get() - built.0).abs().max((plate.1.get() - built.1).abs()) >= 0.005
    };
    if items.iter().any(|(_, w)| other(w)) {
        let over_all = |j: &Job, w: &Work| {
            let (wide, high) = w.plan.built.size;
            words::size_over_all(j, (Mm(wide), Mm(high)))
        };
        facts.push(("overall, built".to_string(), each(&over_all)));
    }
    facts.push(("printer".to_string(), each(&|j, _| printer(j))));
    facts.retain(|(_, value)| !value.is_empty());
    facts
}

/// The plate's one size: as drawn, or as measured. Of a piece to be domed: the flat's.
fn plate(work: &Work) -> (Mm, Mm) {
    work.piece.outline.found_size()
}

/// The correction in use, in few words.
fn printer(job: &Job) -> String {
    let (across, up) = fit::correction(&job.paper);
    let name = job.paper.printer.as_deref();
    if (across, up) == (100.0, 100.0) {
        return name.unwrap_or("not corrected").to_string();
    }
    let name = name.unwrap_or("corrected");
    format!("{name}: {} across, {} up", short(across, 2), short(up, 2))
}

/// What the correction does, and what the printer would have done to this very piece without it.
fn about_printer(items: &[(&Job, &Work)]) -> Vec<String> {
    let Some((job, _)) = items.first() else { return Vec::new() };
    let (across, up) = fit::correction(&job.paper);
    if (across, up) == (100.0, 100.0) {
        return Vec::new();
    }
    let mut says = format!(
        "CORRECTED for a printer whose 100 mm comes out as {} across and {} up: both bars must still read 100.0.",
        short(across, 2),
        short(up, 2)
    );
    for (job, work) in items.iter().take(MOST_SAID) {
        if items.len() > 1 {
            says.push_str(&format!(" {}:", job.title));
        }
        says.push(' ');
        says.push_str(&super::true_size::uncorrected(job, work, (across, up)));
    }
    vec![says]
}

/// Verdicts that say stop, worst first as they come.
fn banner(job: &Job, verdicts: &[Verdict], named: bool) -> Vec<String> {
    let stops: Vec<&Verdict> = verdicts.iter().filter(|v| v.level == Level::Stop).collect();
    let Some(first) = stops.first() else { return Vec::new() };
    let lead = if named { format!("STOP, {}: ", job.title) } else { "STOP: ".to_string() };
    let more = match stops.len() {
        1 => String::new(),
        n => format!("; and {} more on the job card", n - 1),
    };
    vec![format!("{lead}{}{more}", first.says(job.units).trim_end_matches('.'))]
}
