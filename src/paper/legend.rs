//! The drawn legend: exactly the signs used, each with what it asks of the hand; then how to hold, stick and stay whole.

use super::hang;
use super::header::{SMALL, TEXT};
use super::letters;
use super::page::{Group, Ink, Mark, Pen, Words, FINE, SAW_LINE};
use super::signs::{self, Sign};
use super::thin::thin_bridges;
use super::words;
use crate::checks::Bridge;
use crate::geom::{Point, Rect, Ring, Vec2};
use crate::job::{Job, SawLine, Shade};
use crate::plan::card::{onto_metal, SAFETY};
use crate::work::Work;
use std::collections::BTreeSet;

/// Room for a sign, mm.
const ICON: (f64, f64) = (8.0, 5.6);
/// From the sign to its words, and between two columns, mm.
const GAP: f64 = 2.0;
const GUTTER: f64 = 5.0;
/// A column of the legend is at least so wide, mm: about six words.
pub(super) const NARROWEST: f64 = 42.0;
/// The same where the paper has no room, mm: two columns on paper 100 mm wide.
const NARROWEST_CLOSE: f64 = 34.0;
/// A line of words to the next, and entries to each other, mm.
const LEADING: f64 = 3.05;
const APART: f64 = 1.5;
/// Entries to each other where the paper has no room, mm.
const CLOSE: f64 = 0.5;
/// Thin bridges named one by one.
const MOST_THIN: usize = 6;

/// Edge of a patch of bare metal in the legend.
const HINT: Pen = Pen::new(0.1, 40);

/// How much is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Saying {
    /// How to stick and hold as well.
    All,
    /// Signs and the safety line.
    Short,
    /// The same set close, for the smallest paper.
    Close,
    /// Signs alone: the rest stands on another sheet.
    Signs,
}

/// Something set from its top left corner.
#[derive(Debug, Clone, Default)]
pub(super) struct Block {
    pub marks: Vec<Mark>,
    pub height: f64,
}

#[derive(Debug, Clone)]
struct LegendEntry {
    icon: Vec<Mark>,
    text: String,
    bold: bool,
}

/// The legend in columns within `width` mm.
pub(super) fn legend(items: &[(&Job, &Work)], signs: &BTreeSet<Sign>, saying: Saying, width: f64) -> Block {
    in_columns(entries(items, signs, saying), saying, width)
}

/// The legend set close on as many sheets as it takes, none higher than `height` mm as long as an entry is not.
pub(super) fn on_sheets(
    items: &[(&Job, &Work)],
    signs: &BTreeSet<Sign>,
    (width, height): (f64, f64),
) -> Vec<Block> {
    let mut left = entries(items, signs, Saying::Close);
    let mut sheets = Vec::new();
    while !left.is_empty() {
        let fits = |n: &usize| in_columns(left[..*n].to_vec(), Saying::Close, width).height <= height;
        let most = (1..=left.len()).rev().find(fits).unwrap_or(1);
        let rest = left.split_off(most);
        sheets.push(in_columns(std::mem::replace(&mut left, rest), Saying::Close, width));
    }
    sheets
}

/// Entries down as many columns as `width` mm holds.
fn in_columns(entries: Vec<LegendEntry>, saying: Saying, width: f64) -> Block {
    let (apart, narrowest) =
        if saying == Saying::Close { (CLOSE, NARROWEST_CLOSE) } else { (APART, NARROWEST) };
    let columns = (((width + GUTTER) / (narrowest + GUTTER)).floor().max(1.0) as usize).min(4);
    let column = (width - GUTTER * (columns - 1) as f64) / columns as f64;
    let text_room = column - ICON.0 - GAP;
    let set: Vec<Block> = entries.into_iter().map(|e| set(e, text_room)).collect();
    // Down the columns, in the least height that takes them all.
    let tall = |height: f64| -> Option<Vec<(usize, f64)>> {
        let (mut c, mut y) = (0, 0.0);
        let mut places = Vec::new();
        for block in &set {
            if y > 0.0 && y + block.height > height + 1e-6 {
                (c, y) = (c + 1, 0.0);
            }
            if c >= columns {
                return None;
            }
            places.push((c, y));
            y += block.height + apart;
        }
        Some(places)
    };
    let total: f64 = set.iter().map(|b| b.height + apart).sum();
    let mut height = (total / columns as f64).floor();
    let places = loop {
        match tall(height) {
            Some(places) => break places,
            None => height += 0.5,
        }
    };
    let mut legend = Block::default();
    for (block, (c, y)) in set.into_iter().zip(places) {
        let by = Vec2::new((column + GUTTER) * c as f64, y);
        legend.height = legend.height.max(y + block.height);
        legend.marks.extend(block.marks.into_iter().map(|m| m.shifted(by, 0)));
    }
    legend
}

/// One entry: its sign in the middle of its room, the words beside it.
fn set(entry: LegendEntry, room: f64) -> Block {
    let lines = letters::wrap(&entry.text, TEXT, entry.bold, room);
    let words = LEADING * lines.len() as f64;
    let height = if entry.icon.is_empty() { words } else { words.max(ICON.1) };
    let mut marks: Vec<Mark> = entry
        .icon
        .into_iter()
        .map(|m| m.shifted(Vec2::new(ICON.0 / 2.0, ICON.1.min(height) / 2.0), 0))
        .collect();
    let top = if lines.len() == 1 && height > words { (height - words) / 2.0 } else { 0.0 };
    for (i, line) in lines.into_iter().enumerate() {
        let at = Point::new(ICON.0 + GAP, top + LEADING * (i as f64 + 1.0) - 0.75);
        let mut words = Words::new(line, at, TEXT);
        words.bold = entry.bold;
        marks.push(Mark::words(words));
    }
    Block { marks, height }
}

fn entries(items: &[(&Job, &Work)], signs: &BTreeSet<Sign>, saying: Saying) -> Vec<LegendEntry> {
    let Some((job, _)) = items.first() else { return Vec::new() };
    let mut all: Vec<LegendEntry> = signs
        .iter()
        .filter_map(|sign| {
            let text = said(*sign, items)?;
            Some(LegendEntry { icon: icon(*sign, job), text, bold: false })
        })
        .collect();
    let caution = vec![
        Mark::new(Group::Guides, Ink::Area { rings: vec![triangle(1.6)], shade: 100, pen: None }),
        Mark::words(Words::new("!", Point::new(0.0, 1.15), SMALL).bold().middle().shade(0)),
    ];
    if saying != Saying::Signs {
        all.push(LegendEntry { icon: caution, text: SAFETY.into(), bold: true });
    }
    if saying == Saying::All {
        let mut says = vec![words::HOLD.to_string()];
        says.extend(onto_metal(job.paper.transfer).iter().map(|s| words::sentence(s)));
        all.extend(says.into_iter().map(|text| LegendEntry { icon: Vec::new(), text, bold: false }));
    }
    all
}

fn triangle(r: f64) -> Ring {
    Ring::polygon([Point::new(-1.15 * r, r), Point::new(1.15 * r, r), Point::new(0.0, -r)])
}

/// What a sign asks of the hand; `None` where there is nothing to say.
pub(super) fn said(sign: Sign, items: &[(&Job, &Work)]) -> Option<String> {
    let (job, _) = items.first()?;
    let drills: BTreeSet<String> =
        items.iter().map(|(j, _)| words::length(j.saw.drill.get(), j.units)).collect();
    Some(match sign {
        Sign::Line => words::about_line(job.paper.line).to_string(),
        Sign::Tint => words::about_shade(job.paper.shade).to_string(),
        Sign::Punch => format!(
            "Punch in the open middle; drill {}, the circle is its true size.",
            drills.into_iter().collect::<Vec<_>>().join(" or ")
        ),
        Sign::KeptHole => "A hole that stays: drill it to size, never saw from it.".into(),
        Sign::Number => "The number is the order of piercing.".into(),
        Sign::Entry => {
            let clockwise = items.iter().all(|(_, w)| w.plan.order.first().is_none_or(|t| t.clockwise));
            let way = if clockwise { "clockwise" } else { "anticlockwise" };
            format!("The saw comes to the line at the dot and goes round {way}.")
        }
        Sign::Thin => format!("Thin when finished: {}.", thin(items)),
        Sign::HangLine => hang::ABOUT.into(),
        Sign::ScribeRing => "Scribe this ring: the bezel stands on it.".into(),
        Sign::Domed => "The edge once it is domed; the saw line is the flat's.".into(),
        Sign::Quarters => "Quarters: measure the finished piece across them.".into(),
        Sign::Centre => "Middle of the piece.".into(),
        Sign::Seam => seam(items),
        Sign::Spare => words::ABOUT_SPARE.into(),
        Sign::Top => "Top of the piece.".into(),
        Sign::Trim => "Cut the paper along the dashes.".into(),
    })
}

fn seam(items: &[(&Job, &Work)]) -> String {
    let repeats = match items {
        [(job, work)] => super::blank::repeats(work).map(|(n, each)| (n, job.units.says(each, 2))),
        _ => None,
    };
    match repeats {
        Some((n, each)) => format!("Long ticks: the seam. Short ticks: {n} repeats of {each}."),
        None => "Ticks at the ends: the seam.".into(),
    }
}

/// The thin bridges in words, those of one width told together: which they are where they are few, else how many.
fn thin(items: &[(&Job, &Work)]) -> String {
    let all: Vec<(&Job, Vec<Bridge>)> =
        items.iter().map(|(job, work)| (*job, thin_bridges(job, work).collect())).collect();
    let few = all.iter().map(|(_, bridges)| bridges.len()).sum::<usize>() <= MOST_THIN;
    let width = |job: &Job, b: &Bridge| job.units.says(b.finished.get(), 2);
    let mut said: Vec<String> = Vec::new();
    for (job, bridges) in &all {
        let lead = if items.len() > 1 { format!("{}: ", job.title) } else { String::new() };
        for group in bridges.chunk_by(|a, b| width(job, a) == width(job, b)) {
            let between = |b: &Bridge| b.between.each_ref().map(|side| side.short()).join(" and ");
            let each: Vec<String> = group.iter().map(between).collect();
            said.push(match (few, group.len()) {
                (true, _) => format!("{lead}{} between {}", width(job, &group[0]), each.join(", ")),
                (false, 1) => format!("{lead}1 bridge of {}", width(job, &group[0])),
                (false, n) => format!("{lead}{n} bridges of {}", width(job, &group[0])),
            });
        }
    }
    if said.len() > MOST_THIN {
        let more = said.split_off(MOST_THIN).len();
        said.push(format!("{more} more widths on the job card"));
    }
    said.join("; ")
}

/// A sign as it stands on the page, round the middle of its room.
fn icon(sign: Sign, job: &Job) -> Vec<Mark> {
    let (w, h) = (ICON.0 / 2.0, ICON.1 / 2.0);
    let o = Point::ORIGIN;
    let p = Point::new;
    let line = |a: Point, b: Point, pen| Mark::line(Group::Guides, vec![a, b], pen);
    let area = |r: Rect, shade| {
        Mark::new(Group::Guides, Ink::Area { rings: vec![Ring::rectangle(r)], shade, pen: None })
    };
    let circle =
        |at, radius, pen| Mark::new(Group::Guides, Ink::Circle { at, radius, fill: None, pen: Some(pen) });
    let (waste, metal) = match job.paper.shade {
        Shade::Waste => (signs::WASTE_TINT, 0),
        Shade::Metal => (0, signs::METAL_TINT),
        Shade::None => (0, 0),
    };
    let number = |at: Point, text: &str| {
        let tall = letters::reach(text, 8.0, true).0;
        Mark::words(Words::new(text, at + Vec2::new(0.0, tall / 2.0), 8.0).bold().middle())
    };
    match sign {
        // Waste left, metal right, the line between them where it is printed.
        Sign::Line => {
            let x = if job.paper.line == SawLine::Waste { -SAW_LINE / 2.0 } else { 0.0 };
            vec![
                area(Rect::new(-w, -h, 0.0, h), waste),
                area(Rect::new(0.0, -h, w, h), metal),
                line(p(0.0, -h), p(w, -h), HINT),
                line(p(0.0, h), p(w, h), HINT),
                line(p(x, -h), p(x, h), Pen::new(SAW_LINE, 100)),
            ]
        }
        Sign::Tint => {
            let shade = waste.max(metal);
            let room = Rect::new(-w + 1.0, -h + 0.8, w - 1.0, h - 0.8);
            vec![area(room, shade)]
        }
        Sign::Punch => signs::punch(Group::Guides, o, 1.6, 4.6),
        Sign::KeptHole => signs::kept_hole(o, 2.6, 1.0),
        Sign::Number => vec![number(o, "12")],
        Sign::Entry => vec![
            line(p(-w + 1.0, -1.0), p(w - 1.0, -1.0), Pen::new(SAW_LINE, 100)),
            signs::entry_dot(p(-1.6, -0.4), 0.45),
            line(p(-0.7, 0.9), p(1.2, 0.9), FINE),
            signs::wedge(p(2.4, 0.9), Vec2::new(1.0, 0.0), 1.3, 1.0),
        ],
        Sign::Thin => {
            let mut marks = vec![
                line(p(-w + 1.0, -0.35), p(w - 1.0, -0.35), Pen::new(SAW_LINE, 100)),
                line(p(-w + 1.0, 0.35), p(w - 1.0, 0.35), Pen::new(SAW_LINE, 100)),
            ];
            marks.extend(signs::thin([p(0.0, -0.35), p(0.0, 0.35)], 1.1));
            marks
        }
        Sign::HangLine => vec![line(p(0.0, -h), p(0.0, h), signs::HANG_PEN)],
        Sign::ScribeRing => vec![circle(o, 2.4, signs::SCRIBE_PEN)],
        Sign::Domed => vec![circle(o, 2.4, signs::DOMED_PEN)],
        Sign::Quarters => vec![
            line(p(-w + 0.4, 0.0), p(-w + 2.0, 0.0), FINE),
            line(p(w - 2.0, 0.0), p(w - 0.4, 0.0), FINE),
            line(p(0.0, h - 1.6), p(0.0, h), FINE),
        ],
        Sign::Centre => signs::centre(&super::place::Placement::upright(false), 3.0).unwrap_or_default(),
        Sign::Seam => vec![
            line(p(-w + 1.0, -1.0), p(w, -1.0), Pen::new(SAW_LINE, 100)),
            line(p(-w + 1.0, -0.4), p(-w + 1.0, 1.6), FINE),
            line(p(0.0, -0.4), p(0.0, 0.8), FINE),
            line(p(2.5, -0.4), p(2.5, 0.8), FINE),
        ],
        Sign::Spare => {
            let rings = vec![Ring::rectangle(Rect::new(-2.5, -1.8, 2.5, 1.8))];
            vec![Mark::new(Group::Guides, Ink::Closed { rings, pen: super::blank::SPARE_PEN })]
        }
        Sign::Top => vec![signs::top(p(0.0, 0.85))],
        Sign::Trim => vec![line(p(-w + 0.4, 0.0), p(w - 0.4, 0.0), signs::TRIM_PEN)],
    }
}
