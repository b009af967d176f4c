//! What the header strip says of one or several jobs.

use super::blank;
use super::fit;
use super::hang;
use super::header::Strip;
use super::look::print_mirrored;
use super::number;
use super::words;
use crate::checks::{border_limit, bridge_limit, Bridge, Level, Side, Verdict};
use crate::job::{Job, MarksShown, MeasuredOutline};
use crate::units::{plain, short, Mm, JUST_PASSED};
use crate::work::Work;

/// Thin bridges named on a template; the job card has them all.
const MOST_THIN: usize = 6;
/// Jobs together: so many different values of one kind are said side by side.
const MOST_SAID: usize = 3;

/// The header of the template pages.
pub fn strip_for(items: &[(&Job, &Work)], copies: usize) -> Strip {
    let titles: Vec<&str> = items.iter().map(|(job, _)| job.title.as_str()).collect();
    let numbers: Vec<String> = items.iter().map(|(job, work)| number::job_number(job, work)).collect();
    let part = match copies {
        1 => "part 1 of 1".to_string(),
        n => format!("parts 1 to {n}"),
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
        strip.thin.extend(thin(job, work, items.len() > 1));
    }
    few(&mut strip.banner, "more jobs must be mended: see their cards");
    few(&mut strip.thin, "more on the job cards");
    strip.says.push(format!("{} {}", words::about_line(job.paper.line), words::about_shade(job.paper.shade)));
    let hangs = job.paper.marks == MarksShown::All && items.iter().any(|(_, work)| hang::hangs(work));
    let hold = if hangs { format!("{} {}", words::HOLD, hang::ABOUT) } else { words::HOLD.to_string() };
    strip.says.push(hold);
    if let [(_, work)] = items {
        strip.says.extend(blank::repeats(work).map(|(n, each)| {
            format!(
                "{n} repeats of {} mm, a tick beside the edge at each. {}",
                plain(each, 2),
                words::ABOUT_SPARE
            )
        }));
    }
    strip.says.extend(words::about_transfer(job.paper.transfer).iter().map(|s| s.to_string()));
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
            n => format!("{n} kinds: see the job cards"),
        }
    };
    let mut facts = vec![
        ("metal".to_string(), each(&|j, _| j.sheet.metal.title.clone())),
        (
            "thickness".to_string(),
            each(&|j, _| words::thickness(j.measured.thickness.unwrap_or(j.sheet.thickness))),
        ),
        ("blade".to_string(), each(&|j, _| j.saw.blade.name.clone())),
        ("drill".to_string(), each(&|j, _| format!("{} mm", short(j.saw.drill.get(), 2)))),
        ("openings".to_string(), each(&|_, w| w.piece.openings.len().to_string())),
        ("size drawn".to_string(), each(&|j, w| words::size_over_all(j, w.piece.outline.size))),
        ("finished, about".to_string(), each(&|j, w| words::size_over_all(j, finished(j, w)))),
    ];
    facts.push(("printer".to_string(), each(&|j, _| printer(j))));
    facts
}

/// Size over all after clean-up on both sides, or as measured: a measured edge is finished.
fn finished(job: &Job, work: &Work) -> (Mm, Mm) {
    match &job.measured.outline {
        Some(MeasuredOutline::Across(readings)) if !readings.is_empty() => {
            let mean = readings.iter().map(|r| r.get()).sum::<f64>() / readings.len() as f64;
            (Mm(mean), Mm(mean))
        }
        Some(MeasuredOutline::Size { width, height }) => (*width, *height),
        _ => {
            let (w, h) = work.piece.outline.size;
            let off = job.saw.clean_up * 2.0;
            (w - off, h - off)
        }
    }
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

/// Bridges thinner when finished than the hand or the maker asks, thinnest first: what `bridge-width` and `border-width`
/// call too thin, the metal outside holes left out.
pub fn thin_bridges<'a>(job: &Job, work: &'a Work) -> impl Iterator<Item = &'a Bridge> {
    let (bridge, border) = (bridge_limit(job).mm, border_limit(job).mm);
    work.graph.bridges.iter().filter(move |b| {
        let limit = match b.between {
            [Side::Edge, Side::Opening(_)] | [Side::Opening(_), Side::Edge] => border,
            [Side::Edge | Side::Hole(_), Side::Hole(_)] | [Side::Hole(_), Side::Edge] => return false,
            _ => bridge,
        };
        b.finished.get() < limit - JUST_PASSED
    })
}

/// Keeps the first few lines and says how many more there are.
fn few(lines: &mut Vec<String>, rest: &str) {
    let more = lines.len().saturating_sub(MOST_THIN);
    // One job's own list already ends in words.
    if more > 0 && !lines.last().is_some_and(|l| l.starts_with("and ")) {
        lines.truncate(MOST_THIN);
        lines.push(format!("and {more} {rest}"));
    }
}

/// The first few of them in words.
fn thin(job: &Job, work: &Work, named: bool) -> Vec<String> {
    if named {
        // Numbers alone would not say whose they are.
        let thinnest = thin_bridges(job, work).next();
        return thinnest
            .map(|b| format!("{}: {}", job.title, plain(b.finished.get(), 2)))
            .into_iter()
            .collect();
    }
    let mut all = thin_bridges(job, work);
    let mut shown: Vec<String> = all
        .by_ref()
        .take(MOST_THIN)
        .map(|b| {
            format!(
                "{} between {} and {}",
                plain(b.finished.get(), 2),
                b.between[0].short(),
                b.between[1].short()
            )
        })
        .collect();
    let more = all.count();
    if more > 0 {
        shown.push(format!("and {more} more on the job card"));
    }
    shown
}
