//! The class sheet: what a teacher needs beside the templates, and a page of rules to pin up.

use super::card::{card, Asked};
use super::copies::templates;
use super::fit;
use super::header::{self, Strip};
use super::letters;
use super::page::{Group, Ink, Mark, Page, PageKind, Words, FINE};
use super::strip::strip_for;
use crate::geom::{Point, Ring};
use crate::job::{CardLength, Job, PaperSpec};
use crate::plan::card::{class, Course, FIRST};
use crate::work::Work;

/// Rules of the bench (common practice of the trade).
const RULES: [&str; 11] = [
    "Glasses on for every hole and every cut, also when you only watch.",
    "Hair tied back, sleeves up, no scarves, cords or gloves near the drill.",
    "Clamp the metal before you drill. Nobody holds it by hand: it can spin round and cut.",
    "Punch first, on the steel block. Drill slowly, with wax, and lift often.",
    "Saw upright with long light strokes. If the blade sticks, stop and ease it back.",
    "Fingers beside the blade and behind it, never in front of it.",
    "Blades snap. Say so, put the bits in the tin, fetch another.",
    "Fresh edges cut: file before you feel them.",
    "Wipe dust up wet. Never blow it. Wash your hands before you eat.",
    "Ask before you use heat, pickle or a polishing wheel.",
    "If you are hurt, or something is in your eye: stop, do not rub, tell the teacher at once.",
];
/// Left open for the teacher.
const BLANKS: [&str; 2] = ["Who drills today:", "First aid is here:"];
/// Type of the rules, points: the largest that leaves them on one page. The last is the least for anything cautioned.
const SIZES: [f64; 8] = [17.0, 15.0, 13.0, 11.5, 10.0, 9.0, 8.0, 7.0];
/// Lines of `size` points lie this far apart, mm, and rules so much more.
const PITCH: f64 = 0.50;
const APART: f64 = 0.28;

/// Class pages, where every template has a line for a name: there is none for a single one.
pub(super) fn pages(items: &[(&Job, &Work)]) -> Vec<Page> {
    let Some((first, _)) = items.first() else { return Vec::new() };
    let total: usize = items.iter().map(|(job, _)| templates(job)).sum();
    if !first.paper.name_line || total < 2 {
        return Vec::new();
    }
    let courses: Vec<Course> = items
        .iter()
        .map(|(job, work)| Course {
            job,
            piece: &work.piece,
            plan: &work.plan,
            templates: templates(job) as u32,
        })
        .collect();
    let strip = strip_for(items, total);
    let (mut pages, _) = card(
        &first.paper,
        "class sheet",
        &class(&courses),
        &strip,
        Asked { length: CardLength::Full, narrow: false, picture: None },
    );
    pages.push(rules(&first.paper, &strip));
    pages
}

/// One page to pin up.
fn rules(paper: &PaperSpec, strip: &Strip) -> Page {
    let [upright, _] = fit::both_ways(paper);
    let mut page = fit::page(PageKind::Card, paper, upright);
    let head = Strip {
        title: "Rules at the bench".into(),
        number: strip.number.clone(),
        part: "to pin up".into(),
        ..Strip::default()
    };
    let top = header::strip(&mut page, &head) + 2.0;
    let room = header::column(&page);
    let first = letters::wrap(FIRST, header::VALUE, true, room.width());
    let foot = room.y1 - 6.0 - 4.0 * first.len() as f64;
    let indent = |size: f64| letters::width("00", size, true) + 0.35 * size;
    let set = |size: f64| -> Vec<Vec<String>> {
        RULES.iter().map(|r| letters::wrap(r, size, false, room.width() - indent(size))).collect()
    };
    let height = |size: f64| {
        let lines = set(size).iter().map(Vec::len).sum::<usize>() + BLANKS.len();
        size * (PITCH * lines as f64 + APART * (RULES.len() + BLANKS.len()) as f64)
    };
    let size = SIZES.into_iter().find(|s| height(*s) <= foot - top).unwrap_or(SIZES[SIZES.len() - 1]);
    // What is left over goes between the rules, up to a line.
    let spare = (foot - top - height(size)).max(0.0) / (RULES.len() + BLANKS.len()) as f64;
    let apart = APART * size + spare.min(PITCH * size);
    let mut y = top;
    for (i, lines) in set(size).into_iter().enumerate() {
        let number = Words::new((i + 1).to_string(), Point::new(room.x0, y + PITCH * size), size).bold();
        page.marks.push(Mark::words(number));
        for line in lines {
            y += PITCH * size;
            page.marks.push(Mark::words(Words::new(line, Point::new(room.x0 + indent(size), y), size)));
        }
        y += apart;
    }
    for blank in BLANKS {
        y += PITCH * size;
        let words = Words::new(blank, Point::new(room.x0 + indent(size), y), size).bold();
        let from = Point::new(words.bounds().x1 + 3.0, y + 0.6);
        page.marks.push(Mark::rule(from, Point::new(room.x1, y + 0.6), FINE));
        page.marks.push(triangle(Point::new(room.x0, y), size));
        page.marks.push(Mark::words(words));
        y += apart;
    }
    page.marks.push(Mark::rule(
        Point::new(room.x0, foot - 1.0),
        Point::new(room.x1, foot - 1.0),
        header::HAIR,
    ));
    for (i, line) in first.into_iter().enumerate() {
        let at = Point::new(room.x0, foot + 3.4 + 4.0 * i as f64);
        page.marks.push(Mark::words(Words::new(line, at, header::VALUE).bold()));
    }
    page
}

/// A black triangle on the baseline, as tall as a capital of `size` points.
fn triangle(at: Point, size: f64) -> Mark {
    let tall = 0.26 * size;
    let points = [at, Point::new(at.x + 1.1 * tall, at.y), Point::new(at.x + 0.55 * tall, at.y - tall)];
    Mark::new(Group::Guides, Ink::Area { rings: vec![Ring::polygon(points)], shade: 100, pen: None })
}
