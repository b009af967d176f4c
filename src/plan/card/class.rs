//! What a teacher needs beside the templates: metal, drills and blades for the whole class, who has which, next term.

use super::super::measured::Measured;
use super::super::quote::hours;
use super::super::saw::{drill_size, drills};
use super::super::sheet::buying;
use super::super::time::{blades, Spread};
use super::super::Plan;
use super::{CardSection, CardStep, Row, TableCell, FIRST, SAFETY};
use crate::job::Job;
use crate::openings::Piece;
use crate::units::{plain, LengthUnit};
use std::collections::BTreeMap;

/// Longest register printed: a class is smaller, and a hundred copies are not one.
const REGISTER: usize = 40;

/// One of the jobs the class saws: how many templates of it are printed, left and right counted one by one.
pub struct Course<'a> {
    /// What is sawn.
    pub job: &'a Job,
    /// Its drawing.
    pub piece: &'a Piece,
    /// Its numbers.
    pub plan: &'a Plan,
    /// How many are printed.
    pub templates: u32,
}

/// The class sheet: what is given out, what to have ready, who has which, and how it is used again.
pub fn class(courses: &[Course]) -> Vec<CardSection> {
    let total: usize = courses.iter().map(|c| c.templates as usize).sum();
    let mut sections = vec![given_out(courses, total), ready(courses, total)];
    if total <= REGISTER {
        sections.push(register(courses, total));
    }
    sections.push(next_term(courses));
    sections
}

/// "1 to 4", or "3".
fn numbers(first: usize, count: usize) -> String {
    match count {
        1 => first.to_string(),
        n => format!("{first} to {}", first + n - 1),
    }
}

fn given_out(courses: &[Course], total: usize) -> CardSection {
    let mut s = CardSection::titled(CardStep::Class, "The class");
    s.caution(FIRST);
    s.caution(SAFETY.split(". Local").next().unwrap_or_default());
    s.fact("templates", format!("{total}, numbered {}", numbers(1, total)));
    let mut first = 1;
    for course in courses {
        let count = course.templates as usize;
        s.summed(
            format!("{}: {}", numbers(first, count), course.job.title),
            format!("{} openings each", course.piece.openings.len()),
            format!("at drill, saw and file: {} a piece", hours(course.plan.time.whole)),
        );
        first += count;
    }
    s.tick("bars measured, and the 20 mm bar of one template");
    if courses.iter().any(|c| c.job.paper.labels.is_some()) {
        s.tick("trial page on plain paper held against a label page, both against the window");
        s.note("if it is aside, change left and top under labels by as much; gap_across and gap_up if the last row or column is");
    }
    s.tick("one template drilled and sawn through before the class");
    s
}

fn ready(courses: &[Course], total: usize) -> CardSection {
    let mut s = CardSection::titled(CardStep::Class, "What to have ready");
    let (mut drilled, mut sawn) = (BTreeMap::new(), BTreeMap::new());
    for course in courses {
        let mut bench = Measured::found(course.job, course.piece);
        bench.pieces = course.templates;
        let buying = buying(&bench);
        let metal = &course.job.sheet.metal.title;
        let label = match courses.len() {
            1 => format!("blanks, {metal} {}", bench.mm(bench.thickness)),
            _ => format!("blanks, {metal} {}: {}", bench.mm(bench.thickness), course.job.title),
        };
        let units = course.job.units;
        s.fact(label, format!("{} of {}", course.templates, units.size(buying.blank, 1)));
        if let Some((w, h)) = course.job.sheet.stock.map(|(w, h)| (w.get(), h.get())) {
            let grams = w * h * bench.grams_per_mm2();
            s.summed(
                "the sheet in stock",
                format!("{}, {} g", units.size((w, h), 1), plain(grams, 1)),
                buying.stock_notes(units).into_iter().next().unwrap_or_default(),
            );
        } else {
            s.summed("sheet to buy", format!("{} g", plain(buying.sheet_grams, 1)), buying.sum(units));
        }
        for drill in drills(&bench) {
            let entry = drilled.entry((drill.diameter * 1000.0).round() as u64).or_insert((0, 0));
            entry.0 += drill.holes * course.templates as usize;
            // One of each job's spares is against a snapped drill: the class keeps one such, not one a job.
            entry.1 += drill.spares - usize::from(entry.1 > 0);
        }
        let blade = &course.job.saw.blade.name;
        let wanted = blades(&bench, &course.plan.saw, course.templates);
        let entry = sawn.entry(blade.clone()).or_insert(Spread::exact(0.0));
        *entry = *entry + wanted;
    }
    let units = courses.first().map_or(LengthUnit::Mm, |c| c.job.units);
    for (thousandths, (holes, spares)) in drilled {
        let size = drill_size(units, f64::from(thousandths as u32) / 1000.0);
        s.fact(format!("drills {size}"), format!("{spares}, spares among them, for {holes} holes"));
    }
    for (name, wanted) in sawn {
        let (likely, safe) = (plain(wanted.likely.ceil(), 0), plain(wanted.high, 0));
        s.fact(format!("blades {name}"), format!("about {likely}, {safe} to be safe"));
    }
    s.fact("glasses", format!("{} pairs, and one for whoever watches", total + 1));
    s.fact("at each place", "saw frame, bench pin, clamp, wax, needle files");
    s.fact("at the drill", "centre punch, hammer, steel block, clamp, tray for burrs");
    s
}

fn register(courses: &[Course], total: usize) -> CardSection {
    let mut s = CardSection::titled(CardStep::Class, "Who has which");
    let titled = courses.len() > 1;
    let mut head = vec!["number", "name", "minutes taken", "blades used"];
    if titled {
        head.insert(1, "piece");
    }
    let pieces = courses.iter().flat_map(|c| (0..c.templates).map(|_| c.job.title.as_str()));
    let rows = pieces.take(total).enumerate().map(|(i, title)| {
        let name = TableCell::Open(if titled { 26 } else { 40 });
        let mut row =
            vec![TableCell::Text((i + 1).to_string()), name, TableCell::Open(12), TableCell::Open(10)];
        if titled {
            row.insert(1, TableCell::Text(title.to_string()));
        }
        row
    });
    s.rows.push(Row::Table { head: head.iter().map(|h| h.to_string()).collect(), rows: rows.collect() });
    s
}

fn next_term(courses: &[Course]) -> CardSection {
    let mut s = CardSection::titled(CardStep::Class, "Same class, next term");
    let names: Vec<&str> = courses.iter().map(|c| file_name(&c.job.file)).collect();
    let together = if names.len() > 1 { " --together" } else { "" };
    s.fact("keep, and draw again", format!("sawpierce draw {}{together}", names.join(" ")));
    s.note("the same file gives the same sheet; the job number changes only when the piece does, not with the number of copies or the paper");
    s.note(
        "more pupils: change copies; other labels or another printer: measure the grid and the bars afresh",
    );
    s.note(format!(
        "write the minutes down (sawpierce minutes {} 95): the next sheet counts with them",
        names.first().copied().unwrap_or_default()
    ));
    let row = vec![TableCell::Text("what to change".into()), TableCell::Open(24)];
    s.rows.push(Row::Table { head: Vec::new(), rows: vec![row] });
    s
}

/// A file's name without its folders.
fn file_name(file: &str) -> &str {
    file.rsplit(['/', '\\']).next().unwrap_or(file)
}
