//! Templates set out on pages: one, many, left and right, several jobs together, or one to a label.

use super::fill::Fill;
use super::fit;
use super::header::{self, Strip};
use super::look::{print_mirrored, says_mirrored, BelowBar, Hand, TemplateLook};
use super::lower::{Choices, Lower};
use super::page::{CopyAt, Mark, Page, PageKind, Words, FINE};
use super::parts;
use super::strip::strip_for;
use super::template::{art, Art, Frame};
use crate::geom::{Point, Rect, Vec2};
use crate::job::{Job, LabelGrid, LengthUnit, PaperSpec, Transfer};
use crate::work::Work;

/// Free paper between two trim lines, mm: room for the scissors.
const SCISSORS: f64 = 2.0;

/// A label's template stays this far inside its edge, mm: label printers wander by about as much.
const LABEL_AIR: f64 = 1.0;
/// Paper whose shorter side is at least this, mm, is laid wide for a wide piece: it still holds a bar of 100 mm up.
const LIES: f64 = 180.0;

/// Share of the spare height that stays above a block of templates: the eye looks for the piece high on the page.
const UPPER: f64 = 0.25;
/// The same where nothing but a legend stands at the page's foot.
const MIDDLE: f64 = 0.42;
/// Over a view no more air than this stays above the templates, mm.
const HIGH: f64 = 18.0;
/// Share of the height left over that lies between the templates and what stands below them.
const UNDER: f64 = 0.3;
/// Least air there, mm.
const LOWER_AIR: f64 = 4.0;

/// One template to be set out: which job, and how it looks.
pub(super) struct WantedTemplate {
    pub art: usize,
    hand: Hand,
}

/// What all the templates of a run share.
pub(super) struct Run<'a> {
    total: usize,
    /// All are pairs: they are counted as such.
    pairs: bool,
    paper: &'a PaperSpec,
}

impl<'a> Run<'a> {
    pub(super) fn new(wanted: &[WantedTemplate], paper: &'a PaperSpec) -> Self {
        Self { total: wanted.len(), pairs: wanted.iter().all(|w| w.hand != Hand::One), paper }
    }
}

/// Template pages for all the jobs.
pub(super) struct SetOut {
    pub pages: Vec<Page>,
    /// Every number can be read on them.
    pub numbers: bool,
    /// The legend stands on them.
    pub legend: bool,
    /// The parts stand on them.
    pub parts: bool,
}

/// The looks one job needs: one, or left and right.
fn hands(job: &Job) -> &'static [Hand] {
    if job.pair {
        &[Hand::Left, Hand::Right]
    } else {
        &[Hand::One]
    }
}

/// The arts of all jobs, each laid once.
pub(super) fn arts(items: &[(&Job, &Work)]) -> Vec<Art> {
    looks(items).iter().map(|(job, work, look)| art(job, work, *look)).collect()
}

/// The paper that each of [`arts`] takes, without laying it.
pub(super) fn boxes(items: &[(&Job, &Work)]) -> Vec<Rect> {
    looks(items).iter().map(|(job, work, look)| Frame::of(job, work, *look).all).collect()
}

/// The looks of all jobs, one for each art.
fn looks<'a>(items: &[(&Job, &'a Work)]) -> Vec<(Job, &'a Work, TemplateLook)> {
    let Some((first, _)) = items.first() else { return Vec::new() };
    let total: usize = items.iter().map(|(job, _)| templates(job)).sum();
    let foot = match (first.paper.name_line, total) {
        (true, _) => BelowBar::Named,
        (false, 1) => BelowBar::Bare,
        (false, _) => BelowBar::Counted,
    };
    let mut looks = Vec::new();
    for (job, work) in items {
        // Jobs together look as the first one asks: the page says it once for all.
        let job = Job { paper: first.paper.clone(), ..(*job).clone() };
        for hand in hands(&job) {
            let look = TemplateLook {
                hand: *hand,
                mirrored: print_mirrored(&job.paper),
                says_mirrored: says_mirrored(&job.paper),
                foot,
                titled: items.len() > 1,
                inches: job.units == LengthUnit::Inch,
            };
            looks.push((job.clone(), *work, look));
        }
    }
    looks
}

/// Whether each job's templates show its numbers.
pub(super) fn numbered(items: &[(&Job, &Work)], arts: &[Art]) -> Vec<bool> {
    let mut arts = arts.iter();
    let all = |(job, _): &(&Job, &Work)| {
        // Every one is taken, whatever the first of them tells.
        let theirs: Vec<&Art> = arts.by_ref().take(hands(job).len()).collect();
        theirs.iter().all(|art| art.numbered)
    };
    items.iter().map(all).collect()
}

/// How often a job is printed, its pairs counted once.
fn copies(job: &Job) -> usize {
    job.paper.copies.max(1) as usize
}

/// Templates printed of a job, left and right counted one by one.
pub(super) fn templates(job: &Job) -> usize {
    copies(job) * hands(job).len()
}

pub(super) fn wanted(items: &[(&Job, &Work)]) -> Vec<WantedTemplate> {
    let mut all = Vec::new();
    let mut first = 0;
    for (job, _) in items {
        for _ in 0..copies(job) {
            for (i, hand) in hands(job).iter().enumerate() {
                all.push(WantedTemplate { art: first + i, hand: *hand });
            }
        }
        first += hands(job).len();
    }
    all
}

/// Where the templates of one page stand: which, and by how much its art is moved.
type PlacedTemplates = Vec<(usize, Vec2)>;

/// One way to lay the pages.
struct PageLaying {
    size: (f64, f64),
    body: Rect,
    pages: Vec<PlacedTemplates>,
    lower: Option<Lower>,
}

impl PageLaying {
    /// Fewer pages first, then numbers where they can be read, then the parts, then a legend; a page that lies as the
    /// templates do where nothing but the legend stands below them; upright before wide.
    fn weight(&self, arts: &[Art], wanted: &[WantedTemplate]) -> (usize, bool, bool, bool, bool) {
        let lower = |f: fn(&Lower) -> bool| self.lower.as_ref().is_some_and(f);
        let block = block_of(&self.pages[0], arts, wanted);
        // Never where the bar up would be shorter for it.
        let lies = block.width() > 1.1 * block.height() && self.size.0.min(self.size.1) >= LIES;
        let astray =
            if lower(|l| l.numbers || l.parts) { false } else { (self.size.0 > self.size.1) != lies };
        (self.pages.len(), !lower(|l| l.numbers), !lower(|l| l.parts), self.lower.is_none(), astray)
    }
}

/// The room the templates of one page take.
fn block_of(placed: &PlacedTemplates, arts: &[Art], wanted: &[WantedTemplate]) -> Rect {
    let each = placed.iter().map(|(i, by)| arts[wanted[*i].art].all + *by);
    each.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
}

/// Pages of templates that this paper takes, upright or laid wide; or the size needed and the room there is. `boxes` are
/// those of [`boxes`].
pub(super) fn count(
    items: &[(&Job, &Work)],
    boxes: &[Rect],
    paper: &PaperSpec,
) -> Result<usize, ((f64, f64), Rect)> {
    let wanted = wanted(items);
    if let Some(grid) = paper.labels {
        let per_page = on_a_label(boxes, grid)?;
        return Ok(wanted.len().div_ceil(per_page));
    }
    let strip = strip_for(items, wanted.len());
    let mut widest_room = Rect::ZERO;
    let rooms = fit::both_ways(paper).into_iter().filter_map(|size| {
        let body = body(paper, size, &strip);
        widest_room = if body.area() > widest_room.area() { body } else { widest_room };
        (body.width() > 0.0 && body.height() > 0.0).then_some(body)
    });
    let pages = rooms.filter_map(|body| shelves(&wanted, boxes, body, None)).map(|pages| pages.len()).min();
    pages.ok_or_else(|| (largest(boxes), widest_room))
}

/// How many labels a page has when each holds the largest template; else the size needed and the room there is.
pub(super) fn on_a_label(boxes: &[Rect], grid: LabelGrid) -> Result<usize, ((f64, f64), Rect)> {
    let cell = (grid.width.get() - 2.0 * LABEL_AIR, grid.height.get() - 2.0 * LABEL_AIR);
    let room = Rect::new(0.0, 0.0, cell.0.max(0.0), cell.1.max(0.0));
    let (size, per_page) = (largest(boxes), (grid.across * grid.down) as usize);
    if fit::holds(room, size) && per_page > 0 {
        Ok(per_page)
    } else {
        Err((size, room))
    }
}

/// The room for templates on a page under its header.
fn body(paper: &PaperSpec, size: (f64, f64), strip: &Strip) -> Rect {
    let mut page = fit::page(PageKind::Template, paper, size);
    let top = header::strip(&mut page, strip);
    let body = fit::body(&page, top);
    if body.x1 < body.x0 || body.y1 < body.y0 {
        Rect::ZERO
    } else {
        body
    }
}

/// The widest and the highest of the boxes.
pub(super) fn largest(boxes: &[Rect]) -> (f64, f64) {
    boxes.iter().fold((0.0_f64, 0.0_f64), |s, b| (s.0.max(b.width()), s.1.max(b.height())))
}

/// Sets all templates out on `paper`, upright or laid wide; below those of the first page stand the enlarged view and the
/// legend, if that takes no page more.
///
/// `fill` takes what else is blank for the parts and the views of jobs drawn together.
pub(super) fn set_out(
    items: &[(&Job, &Work)],
    arts: &[Art],
    paper: &PaperSpec,
    mut fill: Option<&mut Fill>,
) -> Option<SetOut> {
    let boxes: Vec<Rect> = arts.iter().map(|a| a.all).collect();
    let wanted = wanted(items);
    let strip = strip_for(items, wanted.len());
    let mut best: Option<PageLaying> = None;
    for size in fit::both_ways(paper) {
        let body = body(paper, size, &strip);
        let Some(pages) = shelves(&wanted, &boxes, body, None) else { continue };
        let mut laying = PageLaying { size, body, pages, lower: None };
        let fewest = laying.pages.len();
        // The parts of one piece stand on its template's page where that costs no number; never on a mirrored one.
        let parts = match items {
            [(job, work)] if !print_mirrored(paper) => parts::small(job, work, (body.width(), size.1)),
            _ => None,
        };
        // Where nothing that could stand below them makes this way the better one, nothing is tried.
        let at_best = (fewest, false, parts.is_none(), false, false);
        if best.as_ref().is_some_and(|b| b.weight(arts, &wanted) <= at_best) {
            continue;
        }
        let with = |lower: (f64, bool)| {
            shelves(&wanted, &boxes, body, Some(lower)).filter(|pages| pages.len() <= fewest)
        };
        let room = (body.width(), body.height());
        let choices = Choices::new(items, arts, room, |height| with((height, true)).is_some());
        let numbered = arts.iter().all(|a| a.numbered);
        let with_parts = parts.iter().flat_map(|parts| {
            let told = choices.all().filter(|l| l.numbers || numbered);
            told.map(|l| l.with_parts(parts, body.width()))
        });
        let mut tried = with_parts.chain(choices.all());
        let held = tried.find_map(|lower| Some((with((lower.block.height, lower.numbers))?, lower)));
        if let Some((pages, lower)) = held {
            laying = PageLaying { pages, lower: Some(lower), ..laying };
        }
        let weight = laying.weight(arts, &wanted);
        if best.as_ref().is_none_or(|b| weight < b.weight(arts, &wanted)) {
            best = Some(laying);
        }
    }
    let PageLaying { size, body, pages, lower } = best?;
    let (has_view, has_parts) = lower.as_ref().map_or((false, false), |l| (l.numbers, l.parts));
    let (numbers, legend) = (has_view || arts.iter().all(|a| a.numbered), lower.is_some());
    let mut lower = lower;
    let run = Run::new(&wanted, paper);
    let mut k = 0;
    let mut laid = Vec::new();
    for places in &pages {
        let mut page = fit::page(PageKind::Template, paper, size);
        fit::frame(&mut page, &strip);
        // On the first page alone.
        let lower = lower.take();
        let room = |(i, by): &(usize, Vec2)| arts[wanted[*i].art].all + *by;
        let kept = lower.as_ref().map_or(0.0, |l| l.block.height + LOWER_AIR);
        let rooms: Vec<Rect> = places.iter().map(room).collect();
        let filled = fill.as_mut().map(|fill| fill.round(&rooms, (body, kept), !print_mirrored(paper)));
        let (blocks, down) = filled.unwrap_or_default();
        for (i, by) in places {
            k += 1;
            let by = *by + Vec2::new(0.0, down);
            put(&mut page, &arts[wanted[*i].art], by, k, &run, &wanted[*i]);
        }
        let mut foot = rooms.iter().map(|r| r.y1 + down).fold(body.y0, f64::max);
        for (by, block) in blocks {
            foot = foot.max(by.y + block.height);
            page.marks.extend(block.marks.into_iter().map(|m| m.shifted(by, 0)));
        }
        if let Some(lower) = lower {
            let spare = body.y1 - foot - lower.block.height;
            let under = if lower.numbers { spare * UNDER } else { spare };
            let by = Vec2::new(body.x0, foot + LOWER_AIR.max(under).min(spare));
            page.marks.extend(lower.block.marks.into_iter().map(|m| m.shifted(by, 0)));
        }
        laid.push(page);
    }
    Some(SetOut { pages: laid, numbers, legend, parts: has_parts })
}

/// Puts a copy down.
pub(super) fn put(page: &mut Page, art: &Art, by: Vec2, k: usize, run: &Run, wanted: &WantedTemplate) {
    let Run { total, paper, .. } = *run;
    page.alone = total == 1;
    page.copies.push(CopyAt { k, place: art.place.shifted(by) });
    page.marks.extend(art.marks.iter().map(|m| m.clone().shifted(by, k)));
    page.stamps.extend(art.stamps.iter().map(|stamp| stamp.moved(&stamp.places, by, k)));
    if total == 1 && !paper.name_line {
        return;
    }
    let (at, to) = (art.label.at + by, art.label.to + by.x);
    let mut marks = Vec::new();
    if paper.name_line {
        let words = Words::new(format!("{k}  name"), at, 6.0);
        let from = Point::new(at.x + words.width() + 0.8, at.y + 0.3);
        marks.push(Mark::rule(from, Point::new(to, from.y), FINE));
        marks.push(Mark::words(words));
    } else {
        let text = match wanted.hand {
            Hand::One => format!("{k} of {total}"),
            _ if run.pairs => format!("pair {} of {}", k.div_ceil(2), total / 2),
            _ => format!("{k} of {total}"),
        };
        marks.push(Mark::words(Words::new(text, at, 6.0)));
    }
    if paper.transfer == Transfer::RubDown {
        marks.iter_mut().for_each(Mark::mirror_words);
    }
    page.marks.extend(marks.into_iter().map(|m| m.shifted(Vec2::ZERO, k)));
}

/// Rows of templates, left to right and down, on as many pages as it takes; at the foot of the first stands something so
/// high, mm, with numbers or without.
/// `None` if one of them does not fit by itself.
fn shelves(
    wanted: &[WantedTemplate],
    boxes: &[Rect],
    body: Rect,
    lower: Option<(f64, bool)>,
) -> Option<Vec<PlacedTemplates>> {
    let kept = lower.map_or(0.0, |(height, _)| height + LOWER_AIR);
    let mut pages = Vec::new();
    let mut page: PlacedTemplates = Vec::new();
    let (mut x, mut y, mut row) = (0.0, 0.0, 0.0_f64);
    let mut used = (0.0_f64, 0.0_f64);
    let most = columns(wanted, boxes, body);
    let mut column = 0;
    let room = |first: bool| body.height() - if first { kept } else { 0.0 };
    let mut close = |page: &mut PlacedTemplates, used: (f64, f64)| {
        let first = pages.is_empty();
        let spare = (room(first) - used.1).max(0.0);
        // Over a view the block stands high; over a legend at the page's foot, or alone, a little over the middle.
        let over = match lower.filter(|_| first) {
            Some((_, true)) => (spare * UPPER).min(HIGH),
            Some(_) => spare * MIDDLE,
            None => spare * UPPER,
        };
        let by = Vec2::new(body.x0 + (body.width() - used.0) / 2.0, body.y0 + over);
        pages.push(std::mem::take(page).into_iter().map(|(i, v)| (i, v + by)).collect());
        room(false)
    };
    let mut height = room(true);
    for (i, w) in wanted.iter().enumerate() {
        let b = boxes[w.art];
        if !fit::holds(body, (b.width(), b.height())) || b.height() > height + 0.001 && page.is_empty() {
            return None;
        }
        if x > 0.0 && (column >= most || x + b.width() > body.width() + 0.001) {
            (x, column) = (0.0, 0);
            y += row + SCISSORS;
            row = 0.0;
        }
        if y > 0.0 && y + b.height() > height + 0.001 {
            height = close(&mut page, used);
            (x, y, row, used, column) = (0.0, 0.0, 0.0, (0.0, 0.0), 0);
        }
        page.push((i, Vec2::new(x - b.x0, y - b.y0)));
        used = (used.0.max(x + b.width()), used.1.max(y + b.height()));
        x += b.width() + SCISSORS;
        column += 1;
        row = row.max(b.height());
    }
    close(&mut page, used);
    Some(pages)
}

/// Templates to a row when all share one width: rows of even length, and left with its right where there are pairs.
fn columns(wanted: &[WantedTemplate], boxes: &[Rect], body: Rect) -> usize {
    let width = |w: &WantedTemplate| boxes[w.art].width();
    let Some(first) = wanted.first().map(width) else { return usize::MAX };
    if wanted.iter().any(|w| (width(w) - first).abs() > 0.01) {
        return usize::MAX;
    }
    let most = (((body.width() + SCISSORS + 0.001) / (first + SCISSORS)).floor() as usize).max(1);
    let paired = wanted.iter().any(|w| w.hand != Hand::One) && most > 1;
    let most = if paired { most - most % 2 } else { most };
    let rows = wanted.len().div_ceil(most);
    let even = wanted.len().div_ceil(rows);
    if paired {
        (even + even % 2).min(most)
    } else {
        even
    }
}

/// One page as large as it must be, for a piece that no paper was found for.
pub(super) fn oversize(items: &[(&Job, &Work)], arts: &[Art], paper: &PaperSpec) -> Page {
    let wanted = wanted(items);
    let strip = strip_for(items, wanted.len());
    let most = |f: fn(&Art) -> f64| arts.iter().map(f).fold(0.0, f64::max);
    let (w, h) = (most(|a| a.all.width()), most(|a| a.all.height()));
    // Width first: the header's height depends on it.
    let width = (w + 30.0).max(150.0).ceil();
    let mut page = Page::new(PageKind::Template, (width, 1000.0));
    let top = header::strip(&mut page, &strip);
    let run = Run::new(&wanted, paper);
    let rows = wanted.len() as f64;
    let height = (top + rows * (h + SCISSORS) + 24.0).max(150.0).ceil();
    let mut page = Page::new(PageKind::Template, (width, height));
    let body = fit::frame(&mut page, &strip);
    for (i, w) in wanted.iter().enumerate() {
        let art = &arts[w.art];
        let by =
            Vec2::new(body.center().x - art.all.center().x, body.y0 + (h + SCISSORS) * i as f64 - art.all.y0);
        put(&mut page, art, by, i + 1, &run, w);
    }
    page
}
