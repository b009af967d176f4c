//! The sampler: every pattern on a small piece at true size, in even rows, each with what it asks of the hand.

use super::fit;
use super::header::{self, Strip, SMALL, TEXT};
use super::letters;
use super::page::{CopyAt, Group, Ink, Mark, Page, PageKind, Pen, Words, FINE, SAW_LINE};
use super::place::Placement;
use super::signs::WASTE_TINT;
use super::words;
use crate::geom::{Point, Rect, Ring, Vec2};
use crate::job::PaperSpec;
use crate::openings::Piece;
use crate::plan::Spread;
use crate::units::{plain, short, Mm};

/// One pattern of the card.
#[derive(Debug, Clone)]
pub struct Sample {
    /// Key in a job file.
    pub name: String,
    /// For people.
    pub title: String,
    /// The piece as drawn; `None` if the pattern could not be laid at all.
    pub piece: Option<Piece>,
    /// Its figures, or why it cannot be sawn.
    pub outcome: Result<Figures, String>,
    /// Why it is not fitted to the border, where it is not.
    pub remark: Option<String>,
    /// What speaks against the piece whatever its pattern, in a few words.
    pub against: Option<String>,
}

/// What a pattern asks of the hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figures {
    /// Length of a repeat.
    pub pitch: Mm,
    /// Thinnest bridge between openings, finished; `None` if no two share one.
    pub thinnest: Option<Mm>,
    /// On this piece.
    pub openings: usize,
    /// For all of this piece.
    pub hours: Spread,
    /// On this piece, in one square centimetre of its field.
    pub per_cm2: f64,
    /// Drilling, sawing and filing of the openings, the middle estimate.
    pub hours_per_10_cm2: f64,
}

/// What the whole card was made for.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeFor {
    /// For people.
    pub metal: String,
    /// Of the sheet.
    pub thickness: Mm,
    /// For people.
    pub skill: String,
    /// As written on the packet.
    pub blade: String,
    /// Of the start holes.
    pub drill: Mm,
    /// As drawn.
    pub bridge: Mm,
    /// Least finished bridge.
    pub least: Mm,
    /// Metal round the pattern, as drawn.
    pub border: Mm,
    /// The samples are the maker's own piece.
    pub own: bool,
    /// What speaks against all of them, in a few words.
    pub against: Option<String>,
}

/// Least air between two columns and between two rows, mm. Less and captions run together.
const AIR: (f64, f64) = (3.4, 4.0);
/// From a piece to its caption's first baseline, mm.
const TO_CAPTION: f64 = 4.0;
/// Lines of the caption, mm apart: the title's, the small ones'.
const TITLE_LINE: f64 = 2.9;
const SMALL_LINE: f64 = 2.6;
/// A title has at most this many lines, a caption below it at most this many.
const TITLE_LINES: usize = 2;
const SMALL_LINES: usize = 4;
/// Pieces stand at least so many in a row and in a column: larger ones are drawn smaller.
const ABREAST: (f64, f64) = (3.0, 3.0);
/// A caption with the way to it, mm.
const CAPTION: f64 = TO_CAPTION + TITLE_LINE * (TITLE_LINES - 1) as f64 + SMALL_LINE * SMALL_LINES as f64;
/// Ink, percent, of what cannot be sawn: line and words. Lighter and a photocopy loses it.
const GREYED: u8 = 40;
const GREYED_WORDS: u8 = 65;
/// Ink of the small lines.
const QUIET: u8 = 80;
/// Length of the bar at the foot, mm.
const BAR: f64 = 50.0;

/// Sets the samples out in rows, on as many pages as they need.
pub fn sampler(samples: &[Sample], made_for: &MadeFor, paper: &PaperSpec) -> Vec<Page> {
    let [upright, _] = fit::both_ways(paper);
    let size = samples.iter().filter_map(|s| s.piece.as_ref()).fold((0.0_f64, 0.0_f64), |size, piece| {
        let b = piece.outline.edge.bounds();
        (size.0.max(b.width()), size.1.max(b.height()))
    });
    // What cannot even be laid shows as a blank.
    let blank = samples.iter().find_map(|s| s.piece.as_ref()).map(|piece| Piece {
        openings: Vec::new(),
        left_solid: Vec::new(),
        ..piece.clone()
    });
    let mut pages = Vec::new();
    let mut left = samples;
    let mut k = 0;
    while !left.is_empty() {
        let mut page = fit::page(PageKind::Sampler, paper, upright);
        let room = header::column(&page);
        let by = times(room, size);
        let top = header::strip(&mut page, &strip(samples.len(), made_for, (size, by), pages.is_empty()));
        let ground = Rect::new(room.x0, top + 3.0, room.x1, room.y1 - 6.0);
        let grid =
            SampleGrid { by, own: made_for.own, ..SampleGrid::new(ground, (size.0 * by, size.1 * by)) };
        let (here, rest) = left.split_at(left.len().min(grid.across * grid.down));
        for (row, samples) in here.chunks(grid.across).enumerate() {
            grid.set_row(&mut page, row, samples, blank.as_ref(), &mut k);
        }
        foot_bar(&mut page, room, by);
        pages.push(page);
        left = rest;
    }
    let count = pages.len();
    for (i, page) in pages.iter_mut().enumerate() {
        header::folio(page, i + 1, count);
    }
    pages
}

/// How large samples are drawn: at true size where enough of them stand side by side, else smaller by a round step.
fn times(room: Rect, size: (f64, f64)) -> f64 {
    let across = room.width() / ABREAST.0 - AIR.0;
    let down = room.height() / ABREAST.1 - CAPTION - AIR.1;
    let by = (across / size.0.max(1e-9)).min(down / size.1.max(1e-9));
    if by >= 1.0 {
        1.0
    } else {
        ((by * 20.0).floor() / 20.0).max(0.02)
    }
}

fn strip(count: usize, made_for: &MadeFor, (size, by): ((f64, f64), f64), first: bool) -> Strip {
    let mm = |v: Mm, places: usize| format!("{} mm", plain(v.get(), places));
    let sizes = format!("{} × {} mm", short(size.0, 1), short(size.1, 1));
    let piece = match ((size.0 - size.1).abs() < 1e-6, made_for.own) {
        (_, true) => sizes,
        (true, false) => format!("disc {} mm", short(size.0, 1)),
        (false, false) => format!("strip {sizes}"),
    };
    let drawn =
        if by < 1.0 { format!("drawn at {} %", short(by * 100.0, 0)) } else { "true size".to_string() };
    let facts = [
        ("metal", made_for.metal.clone()),
        ("sheet", words::thickness(made_for.thickness)),
        ("skill", made_for.skill.clone()),
        ("blade", made_for.blade.clone()),
        ("drill", mm(made_for.drill, 1)),
        ("bridge, drawn", mm(made_for.bridge, 2)),
        ("least, finished", mm(made_for.least, 2)),
        (&drawn, piece),
    ];
    let own = "Shaded: cut out. Your piece with each pattern, its pitch chosen for the piece and the hand and fitted to the border \
               where it can be; pitch and thinnest bridge are in mm. Hours are for the whole piece, outline and handling too; \
               your own may be half or twice as many. Grey: cannot be sawn so, and why.";
    let says = "Shaded: cut out. Each pattern has a pitch that suits the disc, this bridge and skill; pitch and thinnest bridge are in mm. Openings and \
                hours are for openwork alone, without border and outline: drilling, sawing and filing, middle estimate; \
                your own hours may be half or twice as many. Grey: cannot be sawn so, and why.";
    let mut told: Vec<String> = Vec::new();
    if first {
        told.extend(made_for.against.as_ref().map(|why| format!("True of every pattern: {why}.")));
        told.push(if made_for.own { own } else { says }.into());
    }
    Strip {
        title: if made_for.own { "Sampler for your piece" } else { "Openwork sampler" }.into(),
        number: format!("{count} patterns"),
        facts: facts.into_iter().map(|(label, value)| (label.to_string(), value)).collect(),
        says: told,
        ..Strip::default()
    }
}

/// A bar to see that the page came out at true size.
fn foot_bar(page: &mut Page, room: Rect, by: f64) {
    let y = room.y1 - 0.6;
    let from = Point::new(room.x0 + 0.1, y);
    page.marks.push(Mark::line(Group::ScaleBar, vec![from, from + Vec2::new(BAR, 0.0)], FINE));
    for i in 0..=5 {
        let at = from + Vec2::new(BAR * f64::from(i) / 5.0, 0.0);
        let up = if i % 5 == 0 { 2.4 } else { 1.2 };
        page.marks.push(Mark::line(Group::ScaleBar, vec![at, at + Vec2::new(0.0, -up)], FINE));
    }
    let then = match by < 1.0 {
        true => format!("then all here is at {} % of its size", short(by * 100.0, 0)),
        false => "then all here is at true size".to_string(),
    };
    let text = format!("must read {BAR:.0} mm: {then}");
    page.marks.push(Mark::words(Words::new(text, Point::new(from.x + BAR + 2.5, y), TEXT)));
}

/// Where the samples of a page stand.
struct SampleGrid {
    room: Rect,
    size: (f64, f64),
    across: usize,
    down: usize,
    /// From one sample to the next, mm.
    step: (f64, f64),
    /// How large samples are drawn.
    by: f64,
    own: bool,
}

impl SampleGrid {
    fn new(room: Rect, size: (f64, f64)) -> Self {
        let cell = (size.0 + AIR.0, size.1 + CAPTION + AIR.1);
        // The last of a row and of a column needs no air behind it.
        let across = (((room.width() + AIR.0) / cell.0).floor() as usize).max(1);
        let down = (((room.height() + AIR.1) / cell.1).floor() as usize).max(1);
        let step = (room.width() / across as f64, (room.height() + AIR.1) / down as f64);
        Self { room, size, across, down, step, by: 1.0, own: false }
    }

    fn set_row(&self, page: &mut Page, row: usize, samples: &[Sample], blank: Option<&Piece>, k: &mut usize) {
        let wide = self.step.0 - 1.5;
        let titles: Vec<Vec<String>> = samples.iter().map(|s| title_lines(&s.title, wide)).collect();
        // Captions of a row share their lines.
        let lines = titles.iter().map(Vec::len).max().unwrap_or(1);
        for (column, (sample, title)) in samples.iter().zip(&titles).enumerate() {
            *k += 1;
            let middle = Point::new(
                self.room.x0 + self.step.0 * (column as f64 + 0.5),
                self.room.y0 + self.step.1 * row as f64 + self.size.1 / 2.0,
            );
            let place = Placement { middle, ..Placement::upright(false) };
            page.copies.push(CopyAt { k: *k, place });
            let piece = sample.piece.as_ref().or(blank);
            let mut marks = piece.map_or(Vec::new(), |p| drawn(p, &place, self.by, sample.outcome.is_ok()));
            let foot = Point::new(middle.x, middle.y + self.size.1 / 2.0 + TO_CAPTION);
            marks.extend(caption(sample, self.own, title, lines, foot, wide));
            page.marks.extend(marks.into_iter().map(|m| Mark { copy: *k, ..m }));
        }
    }
}

/// A title in as few lines as it needs.
fn title_lines(title: &str, wide: f64) -> Vec<String> {
    let mut lines = letters::wrap(title, TEXT, true, wide);
    if lines.len() > TITLE_LINES {
        let rest = lines.split_off(TITLE_LINES - 1).join(" ");
        lines.push(letters::shorten(&rest, TEXT, true, wide));
    }
    lines
}

/// The piece with its openings shaded; only pale lines if it cannot be sawn.
fn drawn(piece: &Piece, place: &Placement, by: f64, sawable: bool) -> Vec<Mark> {
    let shade = if sawable { WASTE_TINT } else { 0 };
    let pen = Pen::new(SAW_LINE, if sawable { 100 } else { GREYED });
    let line =
        |ring: &Ring, n| Mark::new(Group::SawLines, Ink::Closed { rings: vec![place.ring(ring)], pen }).of(n);
    let edge = &piece.outline.edge.scaled(by);
    let windows = piece.outline.windows.iter().map(|w| w.ring.scaled(by));
    let holes = piece.outline.holes.iter().map(|h| Ring::circle(h.at, h.diameter.get() / 2.0).scaled(by));
    let cut_outs: Vec<Ring> = windows.chain(holes).collect();
    let mut marks = vec![
        Mark::new(Group::Outline, Ink::Area { rings: vec![place.ring(edge)], shade: 0, pen: None }),
        line(&edge.grow(SAW_LINE / 2.0), 0),
    ];
    let openings = piece.openings.iter().map(|o| (o.ring.scaled(by), o.n));
    for (ring, n) in openings.chain(cut_outs.into_iter().map(|ring| (ring, 0))) {
        marks.push(
            Mark::new(Group::Openings, Ink::Area { rings: vec![place.ring(&ring)], shade, pen: None }).of(n),
        );
        marks.extend(ring.shrink(SAW_LINE / 2.0).iter().map(|r| line(r, n)));
    }
    marks
}

/// The words below a sample, its first baseline in the middle at `at`.
fn caption(sample: &Sample, own: bool, title: &[String], lines: usize, at: Point, wide: f64) -> Vec<Mark> {
    let (dark, quiet) = if sample.outcome.is_ok() { (100, QUIET) } else { (GREYED_WORDS, GREYED_WORDS) };
    let mut marks = Vec::new();
    for (i, text) in title.iter().enumerate() {
        // A short title stands right above its figures.
        let at = at + Vec2::new(0.0, TITLE_LINE * (lines - title.len() + i) as f64);
        marks.push(Mark::words(Words::new(text, at, TEXT).bold().middle().shade(dark)));
    }
    let mut y = TITLE_LINE * (lines - 1) as f64;
    for text in small_lines(sample, own, wide) {
        y += SMALL_LINE;
        marks.push(Mark::words(Words::new(text, at + Vec2::new(0.0, y), SMALL).middle().shade(quiet)));
    }
    marks
}

fn small_lines(sample: &Sample, own: bool, wide: f64) -> Vec<String> {
    let mut lines = vec![letters::shorten(&sample.name, SMALL, false, wide)];
    match &sample.outcome {
        Ok(figures) => {
            let bridge = match figures.thinnest {
                Some(width) => format!("bridge {} finished", plain(width.get(), 2)),
                None => "no bridge".to_string(),
            };
            let per_cm2 =
                if figures.per_cm2 < 9.95 { plain(figures.per_cm2, 1) } else { plain(figures.per_cm2, 0) };
            lines.push(format!("pitch {}, {bridge}", plain(figures.pitch.get(), 1)));
            if own {
                let h = |hours: f64| plain(hours, if hours < 9.95 { 1 } else { 0 });
                let (low, high) = (h(figures.hours.low), h(figures.hours.high));
                lines.push(format!("{} openings, {low} to {high} h", figures.openings));
                if let Some(why) = &sample.remark {
                    lines.extend(at_most(2, &format!("not fitted: {why}"), wide));
                }
            } else {
                lines.push(format!("{per_cm2} openings per cm²"));
                lines.push(format!("{} h per 10 cm²", plain(figures.hours_per_10_cm2, 1)));
            }
        }
        Err(why) => {
            lines.extend(at_most(SMALL_LINES - 1, why, wide));
        }
    }
    lines
}

/// A reason in so many lines, its end left out where it needs more.
fn at_most(most: usize, why: &str, wide: f64) -> Vec<String> {
    let mut said = letters::wrap(why, SMALL, false, wide);
    if said.len() > most {
        let rest = said.split_off(most - 1).join(" ");
        said.push(letters::shorten(&rest, SMALL, false, wide));
    }
    said
}
