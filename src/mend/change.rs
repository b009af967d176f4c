//! One thing a maker could change in a job to mend it.

use crate::error::Error;
use crate::geom::Point;
use crate::job::{AtBorder, CentreChoice, Edit, Job, LengthUnit, Shape, Temper, Value};
use crate::trade::Blade;
use crate::units::{plain, short, Mm, JUST_PASSED, MM_PER_INCH};

/// A change to a job. Lengths mm, rounded so that the job file says exactly what was tried.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Metal between openings, as drawn; where bridges are graded, at the start.
    Bridge(Mm),
    /// The bridge at the end of the grading.
    BridgeTo(Mm),
    /// Length of a repeat, as the pattern defines it.
    Pitch(Mm),
    /// Degrees.
    Turn(f64),
    /// What of the pattern lies on the outline's middle.
    Centre(CentreChoice),
    /// Radius of the outline's corners.
    CornerRadius(Mm),
    /// How cells at the border are treated.
    AtBorder(AtBorder),
    /// Metal round the pattern, as drawn.
    Border(Mm),
    /// A blade with the drill for its start holes.
    Blade(Blade, Mm),
    /// Diameter of the start holes.
    Drill(Mm),
    /// From the blade to the back of the saw frame.
    FrameDepth(Mm),
    /// How hard the sheet is.
    Temper(Temper),
    /// First seam's solder, by its grade.
    Solder(String),
    /// No grade asked for: each heat takes what suits it.
    SolderAsSuits,
    /// Hole by its place from 0 in the job, moved, with a kept place that stands where it stood.
    Hole(usize, Point),
    /// Lug by its place from 0 in the job, turned to an angle in degrees.
    Lug(usize, f64),
    /// Lug by its place from 0 in the job, made wider and taller.
    LugSize(usize, Mm, Mm),
    /// One opening drawn in: the one that holds the point.
    DrawIn {
        /// A point inside the opening, mm from the outline's middle.
        at: Point,
        /// How far its edge moves inward.
        by: Mm,
    },
    /// One opening left solid.
    Close {
        /// A point inside the opening, mm from the outline's middle.
        at: Point,
    },
    /// The outline in another form of the same shape: its tips rounded.
    Outline(Shape),
    /// Window by its place from 0 in the job, in a new size.
    Window(usize, Shape),
    /// Border of a window by its place from 0 in the job.
    WindowBorder(usize, Mm),
    /// Row by its place from 0 in the job: as many openings as leave a bridge between them, in place of what is typed.
    RowCount(usize),
    /// Everything drawn made bigger by a factor: outline, border, pattern, windows and kept places. Drilled holes and
    /// stones keep their size.
    Bigger(f64),
}

impl Change {
    /// The edits of the job file that make it. `rows` counts the altered openings that the file lists by then.
    fn edits(&self, job: &Job, rows: &mut usize) -> Vec<Edit> {
        let mm = |path: &str, mm: &Mm| vec![Edit::mm(path, mm.get())];
        let word = |path: &str, word: &str| vec![Edit::set(path, Value::word(word))];
        let mut row = |at: &Point, how: &'static str, value: Value| {
            *rows += 1;
            let keys = vec![("at", Value::List(vec![at.x, at.y])), (how, value)];
            vec![Edit::set(format!("change[{}]", *rows - 1), Value::Row(keys))]
        };
        match self {
            Change::Bridge(to) => mm("pattern.bridge", to),
            Change::BridgeTo(to) => mm("pattern.bridge_to", to),
            Change::Pitch(to) => mm("pattern.pitch", to),
            Change::Turn(degrees) => vec![Edit::set("pattern.turn", Value::Number(*degrees))],
            Change::Centre(centre) => word("pattern.centre", centre_word(*centre)),
            Change::CornerRadius(to) => mm("pattern.corner_radius", to),
            Change::AtBorder(how) => word("pattern.at_border", border_word(*how)),
            Change::Border(to) => mm("outline.border", to),
            Change::Blade(blade, drill) => [word("saw.blade", &blade.name), mm("saw.drill", drill)].concat(),
            Change::Drill(to) => mm("saw.drill", to),
            Change::FrameDepth(to) => mm("saw.frame_depth", to),
            Change::Temper(Temper::Soft) => word("sheet.temper", "soft"),
            Change::Temper(Temper::HalfHard) => word("sheet.temper", "half-hard"),
            Change::Solder(grade) => word("construction.solder", grade),
            Change::SolderAsSuits => vec![Edit::clear("construction.solder")],
            Change::Hole(i, at) => {
                let was = job.holes.get(*i).map(|hole| hole.at);
                let kept = job.keep_solid.iter().enumerate().filter(|(_, k)| Some(k.at) == was);
                let moved = kept.map(|(k, _)| place(format!("keep_solid[{k}].at"), *at));
                std::iter::once(place(format!("hole[{i}].at"), *at)).chain(moved).collect()
            }
            Change::Lug(i, degrees) => {
                vec![Edit::set(format!("lug[{i}].at_angle"), Value::Number(*degrees))]
            }
            Change::LugSize(i, width, height) => {
                [mm(&format!("lug[{i}].width"), width), mm(&format!("lug[{i}].height"), height)].concat()
            }
            Change::DrawIn { at, by } => row(at, "draw_in", Value::Mm(by.get())),
            Change::Close { at } => row(at, "close", Value::Yes(true)),
            Change::Outline(shape) => resize("outline", &job.outline.shape, shape),
            Change::Window(i, shape) => {
                job.windows.get(*i).map_or(Vec::new(), |w| resize(&format!("window[{i}]"), &w.shape, shape))
            }
            Change::WindowBorder(i, to) => mm(&format!("window[{i}].border"), to),
            Change::RowCount(i) => {
                ["count", "pitch"].map(|key| Edit::clear(format!("row[{i}].{key}"))).into()
            }
            Change::Bigger(by) => bigger(job, *by),
        }
    }

    /// Whether it can still be done once the piece is sawn.
    pub fn is_done_last(&self) -> bool {
        matches!(self, Change::Solder(_) | Change::SolderAsSuits)
    }

    /// Whether the drawing changes its size.
    pub fn is_last_resort(&self) -> bool {
        matches!(self, Change::Bigger(_))
    }
}

/// The edits of the job file that make a list of changes, one after the other.
fn edits(job: &Job, changes: &[Change]) -> Vec<Edit> {
    let mut rows = job.changes.len();
    changes.iter().flat_map(|change| change.edits(job, &mut rows)).collect()
}

/// The same for whoever makes them later; `None` where one change builds on another, so that only the whole text will do.
pub fn edits_of(job: &Job, changes: &[Change]) -> Option<Vec<Edit>> {
    let built_on = changes.iter().skip(1).any(Change::is_last_resort);
    (!built_on).then(|| edits(job, changes))
}

/// The job with changes made to it. Errors are those of reading a job.
pub fn changed(job: &Job, changes: &[Change]) -> Result<Job, Error> {
    // What is made bigger is the job as it stands by then.
    match changes.iter().position(Change::is_last_resort) {
        Some(i) if i > 0 => changed(&job.with(&edits(job, &changes[..i]))?, &changes[i..]),
        _ => job.with(&edits(job, changes)),
    }
}

fn place(path: String, at: Point) -> Edit {
    Edit::set(path, Value::List(vec![at.x, at.y]))
}

/// The sizes of a shape that differ from those it had.
fn resize(path: &str, was: &Shape, shape: &Shape) -> Vec<Edit> {
    let old = sizes(was);
    let differ = sizes(shape).into_iter().filter(|size| !old.contains(size));
    differ.map(|(key, mm)| Edit::mm(format!("{path}.{key}"), mm.get())).collect()
}

/// The number people call a window of the job by: inner lines of a drawn outline are windows too, and come first.
pub(super) fn window_number(job: &Job, i: usize) -> usize {
    let inner = match &job.outline.shape {
        Shape::Drawn { rings } => rings.len().saturating_sub(1),
        _ => 0,
    };
    inner + i + 1
}

/// What a list of changes to a job says on the bench, in the job's units: "bridge 1.10 mm, pitch 6.40 mm"; many single
/// openings are counted.
pub fn in_words(job: &Job, changes: &[Change]) -> String {
    let say = |mm: f64| job.units.says(mm, 2);
    let place = |at: &Point| format!("({}, {})", job.units.short(at.x, 2), job.units.short(at.y, 2));
    let mut words: Vec<String> = Vec::new();
    let mut drawn_in: Vec<f64> = Vec::new();
    let mut closed = 0;
    for change in changes {
        words.push(match change {
            Change::DrawIn { by, .. } => {
                drawn_in.push(by.get());
                continue;
            }
            Change::Close { .. } => {
                closed += 1;
                continue;
            }
            Change::Bridge(mm) => format!("bridge {}", say(mm.get())),
            Change::BridgeTo(mm) => format!("graded to {}", say(mm.get())),
            Change::Pitch(mm) => format!("pitch {}", say(mm.get())),
            Change::Turn(degrees) => format!("turn {}°", short(*degrees, 2)),
            Change::Centre(CentreChoice::Best) => "the centre that suits the outline best".into(),
            Change::Centre(centre) => format!("centre on {}", centre_word(*centre)),
            Change::CornerRadius(mm) => format!("corners rounded to {}", say(mm.get())),
            Change::AtBorder(how) => format!("at the border \"{}\"", border_word(*how)),
            Change::Border(mm) => format!("border {}", say(mm.get())),
            Change::Blade(blade, drill) => {
                format!("a {} with a {} drill", crate::checks::blade_name(blade), say(drill.get()))
            }
            Change::Drill(mm) => format!("a {} drill", say(mm.get())),
            Change::FrameDepth(mm) => match job.units {
                LengthUnit::Mm => format!("a frame {} mm deep", plain(mm.get(), 0)),
                LengthUnit::Inch => format!("a frame {} in deep", plain(mm.get() / MM_PER_INCH, 1)),
            },
            Change::Temper(Temper::HalfHard) => "half-hard sheet".into(),
            Change::Temper(Temper::Soft) => "soft sheet".into(),
            Change::Solder(grade) => format!("{grade} solder for the first seam"),
            Change::SolderAsSuits => {
                "no solder asked for, so that each heat takes the grade that suits".into()
            }
            Change::Hole(i, at) => {
                format!("H{} moved to {}", i + 1, place(at))
            }
            Change::Lug(i, degrees) => {
                format!("lug {} at {}°", i + 1, short(*degrees, 1))
            }
            Change::LugSize(i, width, height) => {
                format!("lug {} made {} wide and {} tall", i + 1, say(width.get()), say(height.get()))
            }
            Change::Outline(shape) => {
                let radius = sizes(shape)
                    .iter()
                    .find(|(key, _)| key.ends_with("radius"))
                    .map_or(0.0, |(_, mm)| mm.get());
                format!("the outline's tips rounded to {}", say(radius))
            }
            Change::Window(i, shape) => {
                let (w, h) = across(shape);
                format!("W{} made {} × {}", window_number(job, *i), say(w), say(h))
            }
            Change::WindowBorder(i, mm) => {
                format!("a border of {} round W{}", say(mm.get()), window_number(job, *i))
            }
            Change::RowCount(i) => format!("in row {} as many as leave a bridge between them", i + 1),
            Change::Bigger(by) => format!("everything made {} times as big", short(*by, 3)),
        });
    }
    let least = drawn_in.iter().copied().fold(f64::INFINITY, f64::min);
    let most = drawn_in.iter().copied().fold(0.0, f64::max);
    if !drawn_in.is_empty() {
        let by = if most - least < 0.005 { say(most) } else { format!("{} to {}", say(least), say(most)) };
        words.push(format!("{} drawn in by {by} all round", openings(drawn_in.len())));
    }
    if closed > 0 {
        words.push(format!("{} left solid", openings(closed)));
    }
    words.join(", ")
}

fn openings(n: usize) -> String {
    if n == 1 {
        "1 opening".into()
    } else {
        format!("{n} openings")
    }
}

/// The changes that make the narrowest drawn bridge `least`; graded ones all move by as much.
pub(super) fn bridges(job: &Job, least: Mm) -> Vec<Change> {
    let by = least - job.pattern.least_bridge();
    let moved = |mm: Mm| Mm(((mm + by).get() * 1e4).round() / 1e4);
    match job.pattern.bridge_to {
        None => vec![Change::Bridge(least)],
        Some(to) => vec![Change::Bridge(moved(job.pattern.bridge)), Change::BridgeTo(moved(to))],
    }
}

pub(super) fn centre_word(centre: CentreChoice) -> &'static str {
    match centre {
        CentreChoice::Opening => "opening",
        CentreChoice::Crossing => "crossing",
        CentreChoice::Bridge => "bridge",
        CentreChoice::Best => "best",
    }
}

pub(super) fn border_word(how: AtBorder) -> &'static str {
    match how {
        AtBorder::Fit => "fit",
        AtBorder::Trim => "trim",
        AtBorder::Whole => "whole",
        AtBorder::Join => "join",
        AtBorder::Ease => "ease",
    }
}

/// A length up to the next hundredth, so that it can be read and typed; what is over by less than half of what counts
/// as passing a limit is let go.
pub(super) fn up(mm: f64) -> Mm {
    Mm((mm * 100.0 - 50.0 * JUST_PASSED).ceil() / 100.0)
}

/// A length down to the last hundredth.
pub(super) fn down(mm: f64) -> Mm {
    Mm((mm * 100.0 + 1e-6).floor() / 100.0)
}

/// A point to the last thousandth, as it is written.
pub(super) fn near(at: Point) -> Point {
    let round = |v: f64| (v * 1000.0).round() / 1000.0 + 0.0;
    Point::new(round(at.x), round(at.y))
}

/// The sizes of a shape by their keys in a job file; none for shapes that are not made of plain sizes.
pub(super) fn sizes(shape: &Shape) -> Vec<(&'static str, Mm)> {
    let mut shape = shape.clone();
    sizes_of(&mut shape).into_iter().map(|(key, mm)| (key, *mm)).collect()
}

/// A shape in another size, to the last hundredth. `None` for shapes whose size is not free: bands, cones, drawn ones.
pub(super) fn resized(shape: &Shape, by: f64) -> Option<Shape> {
    let mut shape = shape.clone();
    let sizes = sizes_of(&mut shape);
    if sizes.is_empty() {
        return None;
    }
    for (_, mm) in sizes {
        *mm = Mm((mm.get() * by * 100.0).round() / 100.0);
    }
    Some(shape)
}

/// A shape with its tips rounded, if it has any that can be.
pub(super) fn blunted(shape: &Shape, radius: f64) -> Option<Shape> {
    let mut shape = shape.clone();
    match &mut shape {
        Shape::Teardrop { tip_radius: tip, .. }
        | Shape::Heart { tip_radius: tip, .. }
        | Shape::Marquise { tip_radius: tip, .. }
        | Shape::Crescent { tip_radius: tip, .. }
        | Shape::Polygon { corner_radius: tip, .. } => *tip = Mm(radius),
        _ => return None,
    }
    Some(shape)
}

/// What a shape is made of, the bounding box first.
fn sizes_of(shape: &mut Shape) -> Vec<(&'static str, &mut Mm)> {
    match shape {
        Shape::Circle { diameter } => vec![("diameter", diameter)],
        Shape::Ellipse { width, height } => vec![("width", width), ("height", height)],
        Shape::Rectangle { width, height, corner_radius }
        | Shape::Cushion { width, height, corner_radius } => {
            vec![("width", width), ("height", height), ("corner_radius", corner_radius)]
        }
        Shape::Polygon { across, corner_radius, .. } => {
            vec![("across", across), ("corner_radius", corner_radius)]
        }
        Shape::Teardrop { width, height, tip_radius }
        | Shape::Heart { width, height, tip_radius }
        | Shape::Marquise { width, height, tip_radius } => {
            vec![("width", width), ("height", height), ("tip_radius", tip_radius)]
        }
        Shape::Crescent { width, height, thick, tip_radius } => {
            vec![("width", width), ("height", height), ("thick", thick), ("tip_radius", tip_radius)]
        }
        Shape::Band { .. } | Shape::Cone { .. } | Shape::Drawn { .. } => Vec::new(),
    }
}

/// The bounding box, for words.
pub(super) fn across(shape: &Shape) -> (f64, f64) {
    match sizes(shape)[..] {
        [("diameter", d), ..] => (d.get(), d.get()),
        [("across", a), ..] => (a.get(), a.get()),
        [(_, w), (_, h), ..] => (w.get(), h.get()),
        _ => (0.0, 0.0),
    }
}

/// Every drawn size times a factor, to the last hundredth; holes and lugs keep theirs.
fn bigger(job: &Job, by: f64) -> Vec<Edit> {
    let to = |path: &str, mm: Mm| Edit::mm(path, (mm.get() * by * 100.0).round() / 100.0);
    let moved = |path: String, at: Point| place(path, near(Point::new(at.x * by, at.y * by)));
    let shape = |path: &str, shape: &Shape| {
        resized(shape, by).map_or(Vec::new(), |bigger| resize(path, shape, &bigger))
    };
    let pattern = &job.pattern;
    let mut all = shape("outline", &job.outline.shape);
    all.push(to("outline.border", job.outline.border));
    all.push(to("pattern.bridge", pattern.bridge));
    all.extend(pattern.bridge_to.map(|mm| to("pattern.bridge_to", mm)));
    all.extend(pattern.pitch.map(|mm| to("pattern.pitch", mm)));
    if pattern.corner_radius.get() > 0.0 {
        all.push(to("pattern.corner_radius", pattern.corner_radius));
    }
    for (i, keep) in job.keep_solid.iter().enumerate() {
        all.extend(shape(&format!("keep_solid[{i}]"), &keep.shape));
        all.push(moved(format!("keep_solid[{i}].at"), keep.at));
    }
    for (i, window) in job.windows.iter().enumerate() {
        all.extend(shape(&format!("window[{i}]"), &window.shape));
        all.push(moved(format!("window[{i}].at"), window.at));
        all.push(to(&format!("window[{i}].border"), window.border));
    }
    for (i, hole) in job.holes.iter().enumerate() {
        all.push(moved(format!("hole[{i}].at"), hole.at));
    }
    for (i, change) in job.changes.iter().enumerate() {
        all.push(moved(format!("change[{i}].at"), change.at));
    }
    all
}
