//! Templates set out on pages: one, many, left and right, several jobs together, or one to a label.

use super::fit;
use super::header::{self, Strip};
use super::page::{CopyAt, Kind, Mark, Page, Words};
use super::template::{art, Art, Hand, Look};
use super::words;
use crate::checks::{Level, Side, Verdict};
use crate::geom::{Point, Rect, Vec2};
use crate::job::{Job, LabelGrid, MeasuredOutline, PaperSpec, Transfer};
use crate::units::{plain, short, Mm, JUST_PASSED};
use crate::work::Work;
use std::collections::BTreeMap;

/// Free paper between two trim lines, mm: room for the scissors.
const SCISSORS: f64 = 2.0;
/// A label's template stays this far inside its edge, mm: label printers wander by about as much.
const LABEL_AIR: f64 = 1.0;
/// Thin bridges named on a template; the job card has them all.
const MOST_THIN: usize = 6;

/// One template to be set out: which job, and how it looks.
struct Wanted<'a> {
    job: &'a Job,
    art: usize,
    hand: Hand,
}

/// Template pages for all the jobs, or what does not fit.
pub enum SetOut {
    Pages(Vec<Page>),
    /// Size needed and room given.
    TooBig {
        size: (f64, f64),
        room: Rect,
    },
}

/// Whether the print is mirrored because of how it goes onto the metal.
pub fn print_mirrored(paper: &PaperSpec) -> bool {
    paper.mirror || paper.transfer == Transfer::RubDown
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
pub fn arts(items: &[(&Job, &Work)]) -> Vec<Art> {
    let mut arts = Vec::new();
    for (job, work) in items {
        for hand in hands(job) {
            let look = Look {
                hand: *hand,
                mirrored: print_mirrored(&job.paper),
                turn: 0.0,
                name_line: job.paper.labels.is_some(),
            };
            arts.push(art(job, work, look));
        }
    }
    arts
}

fn wanted<'a>(items: &[(&'a Job, &'a Work)]) -> Vec<Wanted<'a>> {
    let mut all = Vec::new();
    let mut first = 0;
    for (job, _) in items {
        for _ in 0..job.paper.copies.max(1) {
            for (i, hand) in hands(job).iter().enumerate() {
                all.push(Wanted { job, art: first + i, hand: *hand });
            }
        }
        first += hands(job).len();
    }
    all
}

/// Sets all templates out on `paper`, upright or laid wide, whichever takes fewer pages.
pub fn set_out(items: &[(&Job, &Work)], arts: &[Art], paper: &PaperSpec) -> SetOut {
    if let Some(grid) = paper.labels {
        return on_labels(items, arts, paper, grid);
    }
    let wanted = wanted(items);
    let strip = strip_for(items, wanted.len());
    let mut best: Option<Vec<Vec<(usize, Vec2)>>> = None;
    let mut best_size = (0.0, 0.0);
    let mut widest_room = Rect::ZERO;
    for size in fit::both_ways(paper) {
        let mut page = fit::page(Kind::Template, paper, size);
        let room = header::printable(&page);
        let top = header::strip(&mut page, room, &strip);
        let body = fit::body(&page, top);
        if body.area() > widest_room.area() && body.width() > 0.0 && body.height() > 0.0 {
            widest_room = body;
        }
        if let Some(pages) = shelves(&wanted, arts, body) {
            if best.as_ref().is_none_or(|b| pages.len() < b.len()) {
                best = Some(pages);
                best_size = size;
            }
        }
    }
    let Some(pages) = best else {
        let most = |f: fn(&Art) -> f64| arts.iter().map(f).fold(0.0, f64::max);
        let size = (most(|a| a.all.width()), most(|a| a.all.height()));
        return SetOut::TooBig { size, room: widest_room };
    };
    let total = wanted.len();
    let mut k = 0;
    let mut laid = Vec::new();
    for places in pages {
        let mut page = fit::page(Kind::Template, paper, best_size);
        frame(&mut page, &strip);
        for (i, by) in places {
            k += 1;
            put(&mut page, &arts[wanted[i].art], by, k, total, &wanted[i]);
        }
        laid.push(page);
    }
    SetOut::Pages(laid)
}

/// Header and bars of a template page; gives the room for templates.
pub fn frame(page: &mut Page, strip: &Strip) -> Rect {
    let room = header::printable(page);
    let top = header::strip(page, room, strip);
    header::bars(page, room, top);
    fit::body(page, top)
}

/// Puts a copy down.
fn put(page: &mut Page, art: &Art, by: Vec2, k: usize, total: usize, wanted: &Wanted) {
    page.alone = total == 1;
    page.copies.push(CopyAt { k, place: art.place.shifted(by) });
    page.marks.extend(art.marks.iter().map(|m| m.shifted(by, k)));
    if total > 1 {
        let text = match wanted.hand {
            Hand::One if wanted.job.paper.labels.is_some() => format!("{k} name ________"),
            Hand::One => format!("{k} of {total}"),
            _ => format!("pair {} of {}", k.div_ceil(2), total / 2),
        };
        let at = art.label_at + by;
        let mut mark = Mark::words(Words::new(text, at, 6.0));
        mark.copy = k;
        page.marks.push(mark);
    }
}

/// Rows of templates, left to right and down, on as many pages as it takes; each page's block stands in the middle.
/// `None` if one of them does not fit by itself.
fn shelves(wanted: &[Wanted], arts: &[Art], body: Rect) -> Option<Vec<Vec<(usize, Vec2)>>> {
    let mut pages = Vec::new();
    let mut page: Vec<(usize, Vec2)> = Vec::new();
    let (mut x, mut y, mut row) = (0.0, 0.0, 0.0_f64);
    let mut used = (0.0_f64, 0.0_f64);
    let most = columns(wanted, arts, body);
    let mut column = 0;
    let mut close = |page: &mut Vec<(usize, Vec2)>, used: (f64, f64)| {
        let spare =
            Vec2::new(body.x0 + (body.width() - used.0) / 2.0, body.y0 + (body.height() - used.1) / 2.0);
        pages.push(std::mem::take(page).into_iter().map(|(i, v)| (i, v + spare)).collect());
    };
    for (i, w) in wanted.iter().enumerate() {
        let b = arts[w.art].all;
        if !fit::holds(body, (b.width(), b.height())) {
            return None;
        }
        if x > 0.0 && (column >= most || x + b.width() > body.width() + 0.001) {
            (x, column) = (0.0, 0);
            y += row + SCISSORS;
            row = 0.0;
        }
        if y > 0.0 && y + b.height() > body.height() + 0.001 {
            close(&mut page, used);
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
fn columns(wanted: &[Wanted], arts: &[Art], body: Rect) -> usize {
    let width = |w: &Wanted| arts[w.art].all.width();
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

/// One template in the middle of each label, after a trial page for plain paper that shows the labels' edges.
fn on_labels(items: &[(&Job, &Work)], arts: &[Art], paper: &PaperSpec, grid: LabelGrid) -> SetOut {
    let wanted = wanted(items);
    let cell = (grid.width.get() - 2.0 * LABEL_AIR, grid.height.get() - 2.0 * LABEL_AIR);
    let room = Rect::new(0.0, 0.0, cell.0.max(0.0), cell.1.max(0.0));
    let most = |f: fn(&Art) -> f64| arts.iter().map(f).fold(0.0, f64::max);
    let size = (most(|a| a.all.width()), most(|a| a.all.height()));
    let per_page = (grid.across * grid.down) as usize;
    if !fit::holds(room, size) || per_page == 0 {
        return SetOut::TooBig { size, room };
    }
    let [upright, _] = fit::both_ways(paper);
    let label = |i: usize| {
        let (column, row) = ((i as u32 % grid.across) as f64, (i as u32 / grid.across) as f64);
        let x = grid.left.get() + column * (grid.width.get() + grid.gap_across.get());
        let y = grid.top.get() + row * (grid.height.get() + grid.gap_up.get());
        Rect::new(x, y, x + grid.width.get(), y + grid.height.get())
    };
    let total = wanted.len();
    let mut pages = Vec::new();
    for (number, chunk) in wanted.chunks(per_page).enumerate() {
        let mut page = fit::page(Kind::Template, paper, upright);
        for (i, w) in chunk.iter().enumerate() {
            let art = &arts[w.art];
            let by = label(i).center() - art.all.center();
            put(&mut page, art, by, number * per_page + i + 1, total, w);
        }
        if number == 0 {
            pages.push(trial(&page, per_page, label));
        }
        pages.push(page);
    }
    SetOut::Pages(pages)
}

/// The first label page again with the labels' edges drawn, to be held against a label page before any label is used.
fn trial(page: &Page, count: usize, label: impl Fn(usize) -> Rect) -> Page {
    let mut trial = Page { kind: Kind::Trial, ..page.clone() };
    for i in 0..count {
        let rings = vec![header::rect_ring(label(i))];
        let pen = super::page::Pen::new(0.13, 60).dashed(2.0, 2.0);
        trial.marks.push(Mark::new(super::page::Group::Guides, super::page::Ink::Closed { rings, pen }));
    }
    let last = (0..count).map(|i| label(i).y1).fold(0.0, f64::max);
    let room = header::printable(page);
    let text =
        "TRIAL ON PLAIN PAPER: hold it against a label page; every dashed edge must lie on a label's edge.";
    for (i, line) in super::letters::wrap(text, 7.0, true, room.width()).into_iter().enumerate() {
        let y = if room.y1 - last > 6.0 { last + 3.5 } else { room.y0 + 2.4 } + 3.4 * i as f64;
        trial.marks.push(Mark::words(Words::new(line, Point::new(room.x0, y), 7.0).bold()));
    }
    trial
}

/// The header of the template pages.
pub fn strip_for(items: &[(&Job, &Work)], copies: usize) -> Strip {
    let titles: Vec<&str> = items.iter().map(|(job, _)| job.title.as_str()).collect();
    let numbers: Vec<String> = items.iter().map(|(job, _)| words::job_number(job)).collect();
    let part = match copies {
        1 => "part 1 of 1".to_string(),
        n => format!("parts 1 to {n}"),
    };
    let mut strip = Strip {
        title: titles.join(" + "),
        number: format!("job {}", numbers.join(" + ")),
        part,
        ticks: true,
        ..Strip::default()
    };
    let Some((job, _)) = items.first() else { return strip };
    strip.facts = facts(items);
    strip.mirrored = print_mirrored(&job.paper);
    for (job, work) in items {
        strip.banner.extend(banner(job, &work.verdicts, items.len() > 1));
        strip.thin.extend(thin(job, work));
    }
    strip.says.push(format!("{} {}", words::about_line(job.paper.line), words::HOLD));
    strip.says.extend(words::about_transfer(job.paper.transfer).iter().map(|s| s.to_string()));
    strip.says.extend(about_printer(job));
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
        seen.join(" / ")
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
    let name = job.paper.printer.as_deref().unwrap_or("not corrected");
    if (across, up) == (100.0, 100.0) {
        return name.to_string();
    }
    format!("{name}: {} across, {} up", short(across, 2), short(up, 2))
}

/// What the correction does, and what the printer would have done to this very piece without it.
fn about_printer(job: &Job) -> Vec<String> {
    let (across, up) = fit::correction(&job.paper);
    if (across, up) == (100.0, 100.0) {
        return Vec::new();
    }
    let mut says = format!(
        "CORRECTED for a printer whose 100 mm comes out as {} across and {} up: both bars must still read 100.0.",
        short(across, 2),
        short(up, 2)
    );
    if let Some(harm) = super::true_size::uncorrected(job, (across, up)) {
        says.push(' ');
        says.push_str(&harm);
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
        n => format!(" And {} more on the job card.", n - 1),
    };
    vec![format!("{lead}{}{more}", first.says)]
}

/// The thinnest bridges under their limit, thinnest first.
fn thin(job: &Job, work: &Work) -> Vec<String> {
    let below: Vec<String> = work
        .graph
        .bridges
        .iter()
        .filter(|b| {
            let edge = b.between.iter().any(|s| !matches!(s, Side::Opening(_)));
            let limit = if edge { job.limits.border } else { job.limits.bridge };
            b.finished.get() < limit.get() - JUST_PASSED
        })
        .map(|b| {
            format!(
                "{} between {} and {}",
                plain(b.finished.get(), 2),
                side(b.between[0]),
                side(b.between[1])
            )
        })
        .collect();
    let more = below.len().saturating_sub(MOST_THIN);
    let mut shown: Vec<String> = below.into_iter().take(MOST_THIN).collect();
    if more > 0 {
        shown.push(format!("and {more} more on the job card"));
    }
    shown
}

/// A bridge's end in words.
pub fn side(side: Side) -> String {
    match side {
        Side::Opening(n) => n.to_string(),
        Side::Edge => "the edge".to_string(),
        Side::Window(n) => format!("W{n}"),
        Side::Hole(n) => format!("H{n}"),
    }
}

/// Jobs whose arts lack numbers, by position among the items.
pub fn in_need_of_map(items: &[(&Job, &Work)], arts: &[Art]) -> Vec<usize> {
    let mut need = BTreeMap::new();
    let mut first = 0;
    for (i, (job, _)) in items.iter().enumerate() {
        let count = hands(job).len();
        if arts[first..first + count].iter().any(|a| a.needs_map) {
            need.insert(i, ());
        }
        first += count;
    }
    need.into_keys().collect()
}

/// One page as large as it must be, for a piece that no paper was found for.
pub fn oversize(items: &[(&Job, &Work)], arts: &[Art]) -> Page {
    let wanted = wanted(items);
    let strip = strip_for(items, wanted.len());
    let most = |f: fn(&Art) -> f64| arts.iter().map(f).fold(0.0, f64::max);
    let (w, h) = (most(|a| a.all.width()), most(|a| a.all.height()));
    // Width first: the header's height depends on it.
    let width = (w + 30.0).max(150.0).ceil();
    let mut page = Page::new(Kind::Template, (width, 1000.0));
    let room = header::printable(&page);
    let top = header::strip(&mut page, room, &strip);
    let rows = wanted.len() as f64;
    let height = (top + rows * (h + SCISSORS) + 24.0).max(150.0).ceil();
    let mut page = Page::new(Kind::Template, (width, height));
    let body = frame(&mut page, &strip);
    for (i, w) in wanted.iter().enumerate() {
        let art = &arts[w.art];
        let by =
            Vec2::new(body.center().x - art.all.center().x, body.y0 + (h + SCISSORS) * i as f64 - art.all.y0);
        put(&mut page, art, by, i + 1, wanted.len(), w);
    }
    page
}

/// "page 1 of 2" at the right of the foot, where the page has one.
pub fn page_number(page: &mut Page, number: usize, count: usize) {
    let has_foot = |m: &Mark| m.copy == 0 && m.group == super::page::Group::ScaleBar;
    if matches!(page.kind, Kind::Template | Kind::Trial) && !page.marks.iter().any(has_foot) {
        return;
    }
    let room = header::printable(page);
    header::foot(page, room, &format!("page {number} of {count}"));
}
