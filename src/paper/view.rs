//! The piece enlarged, with every number, where the saw comes in and the thin bridges: in the blank part of the template's
//! page where there is room, else on one page of its own, a long piece in rows.

use super::look::says_mirrored;
use super::numbers::{self, number_marks, Numeral};
use super::page::{Group, Ink, Mark, Pen, Words};
use super::place::Placement;
use super::signs::{self, Sign};
use super::template::{clear_of_hole, pointed_out, MOST_NUMBERS};
use crate::geom::{sin_cos_degrees, Grow, Point, Rect, Ring, Vec2};
use crate::job::Job;
use crate::plan::Cut;
use crate::units::short;
use crate::work::Work;
use std::collections::BTreeSet;

/// Ink of openings, percent: paler than the template's waste, so that numbers lead.
const PALE: u8 = 8;
const OPENING: Pen = Pen::new(0.1, 75);
const EDGE: Pen = Pen::new(0.18, 100);
/// A number's leader beyond the outline.
const LEADER: Pen = Pen::new(0.1, 70);
/// Height of the line of words over a view, mm.
pub(super) const HEADING: f64 = 5.0;
/// Below a view: FRONT, mm.
pub(super) const FOOT: f64 = 4.0;
/// Between two rows of a long piece, mm.
const BETWEEN: f64 = 4.0;
/// Size of a wedge at a thin bridge, mm.
const WEDGE: f64 = 1.1;
/// A number keeps this far from the edge of its opening, mm: the line there is thin and nobody saws by it.
const CLEAR: f64 = 0.2;
/// Room a number leaves round a dot on the line, mm.
const DOT: (f64, f64) = (2.0 * signs::ENTRY_ENLARGED + 0.3, 2.0 * signs::ENTRY_ENLARGED + 0.3);
/// Numbers of a view, points, largest first.
const SIZES: [f64; 3] = [7.0, 6.0, 5.5];
/// Enlargements tried where a view has a sheet or a card to itself, largest first: what is numbered may well be smaller than
/// life where its openings are wide.
pub(super) const TIMES: [f64; 17] =
    [6.0, 5.0, 4.0, 3.5, 3.0, 2.5, 2.25, 2.0, 1.75, 1.5, 1.25, 1.0, 0.9, 0.8, 0.6, 0.45, 0.33];
/// Sheets a view is spread over at most. More, and nobody finds an opening again.
const MOST_SHEETS: usize = 4;
/// Places tried for a number across and up its opening, where none of its middles will do.
const PLACES: i32 = 7;

/// Where the numbers of a view stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum NumberPlace {
    /// Each within its opening.
    Within,
    /// Across the line of an opening too narrow for it, out over the metal beside it.
    AcrossLine,
}

/// A number across its opening's line hides at most this share of the opening. More, and the shape is lost.
const HIDES: f64 = 0.5;
/// Air between the openings' numbers on the metal, and from them to the next opening, mm.
const APART: f64 = 0.3;

/// A picture with its top left corner at the origin.
#[derive(Debug, Clone)]
pub(super) struct View {
    pub marks: Vec<Mark>,
    pub size: (f64, f64),
    pub signs: BTreeSet<Sign>,
}

/// The whole piece `times` life size in rows no wider than `width` mm; `None` where a number finds no room.
pub(super) fn view(job: &Job, work: &Work, times: f64, width: f64) -> Option<View> {
    let openings = &work.piece.openings;
    if openings.is_empty() || openings.len() > MOST_NUMBERS {
        return None;
    }
    let picture = ViewPicture::new(job, work, times);
    let ways = [NumberPlace::Within, NumberPlace::AcrossLine].into_iter();
    ways.flat_map(|way| SIZES.map(|size| (way, size)))
        .find_map(|(way, size)| picture.in_rows(width, &picture.labels(size, way)?))
}

/// The whole piece in upright strips from left to right, one to a sheet of `width` by `height` mm: as few as can be, then as
/// large as can be, with their enlargement. `None` where a number finds no room even so.
pub(super) fn over_sheets(job: &Job, work: &Work, (width, height): (f64, f64)) -> Option<(f64, Vec<View>)> {
    let openings = &work.piece.openings;
    if openings.is_empty() || openings.len() > MOST_NUMBERS {
        return None;
    }
    let b = work.piece.outline.edge.bounds();
    let in_so_many = |count: usize| {
        let fits =
            |t: &f64| b.width() * t <= count as f64 * width && b.height() * t + HEADING + FOOT <= height;
        TIMES.into_iter().filter(fits).find_map(|times| {
            let picture = ViewPicture::new(job, work, times);
            let ways = [NumberPlace::Within, NumberPlace::AcrossLine].into_iter();
            let mut sizes = ways.flat_map(|way| SIZES.map(|size| (way, size)));
            let rows = sizes.find_map(|(way, size)| picture.rows(width, &picture.labels(size, way)?))?;
            let tall = rows.iter().all(|row| row.size.1 + HEADING + FOOT <= height);
            if rows.len() != count || !tall {
                return None;
            }
            let strip = |(i, row): (usize, ViewRow)| {
                let foot = format!("{}, strip {} of {count} from the left", picture.front(), i + 1);
                picture.finished(row.marks, row.size, &foot)
            };
            Some((times, rows.into_iter().enumerate().map(strip).collect()))
        })
    };
    (2..=MOST_SHEETS).find_map(in_so_many)
}

/// The signs a view of a piece shows.
pub(super) fn signs_of(job: &Job, work: &Work) -> BTreeSet<Sign> {
    let thin = (!pointed_out(job, work, |p| p, 1.0).is_empty()).then_some(Sign::Thin);
    [Sign::Number, Sign::Entry, Sign::Top].into_iter().chain(thin).collect()
}

/// The least height a view can have, mm, told without drawing it.
pub(super) fn least_height(work: &Work, times: f64, width: f64) -> f64 {
    let b = work.piece.outline.edge.bounds();
    (b.width() * times / width).ceil().max(1.0) * b.height() * times + HEADING + FOOT
}

/// One opening or window as it lies on the enlarged page.
struct Enlarged {
    ring: Ring,
    bounds: Rect,
    at: Point,
    label: Numeral,
}

impl Enlarged {
    /// Where the middle of its number may lie, best first: its own middles, then all over it.
    fn middles(&self) -> impl Iterator<Item = Point> + '_ {
        let step =
            |low: f64, high: f64, i: i32| low + (high - low) * f64::from(i + 1) / f64::from(PLACES + 1);
        let b = self.bounds;
        let all = (0..PLACES).flat_map(move |j| {
            (0..PLACES).map(move |i| Point::new(step(b.x0, b.x1, i), step(b.y0, b.y1, j)))
        });
        [self.at, b.center(), self.ring.centroid()].into_iter().chain(all)
    }
}

/// One row of a view from its own top left corner, and its width and height, mm.
struct ViewRow {
    marks: Vec<Mark>,
    size: (f64, f64),
}

struct ViewPicture<'a> {
    job: &'a Job,
    work: &'a Work,
    times: f64,
    place: Placement,
    edge: Ring,
    cells: Vec<Enlarged>,
    windows: Vec<Enlarged>,
}

impl<'a> ViewPicture<'a> {
    fn new(job: &'a Job, work: &'a Work, times: f64) -> Self {
        let place = Placement::upright(says_mirrored(&job.paper));
        let outline = &work.piece.outline;
        let (openings, windows) = (&work.piece.openings, &outline.windows);
        let count = openings.len();
        let cell = |ring: &Ring, at: Point, label: Numeral| {
            let ring = place.ring(ring).scaled(times);
            let at = (place.point(at).to_vec2() * times).to_point();
            Enlarged { bounds: ring.bounds(), ring, at, label }
        };
        Self {
            job,
            work,
            times,
            place,
            edge: place.ring(&outline.edge).scaled(times).anticlockwise(),
            cells: openings.iter().map(|o| cell(&o.ring, o.drill_at, Numeral::of(o.n, count))).collect(),
            windows: windows.iter().map(|w| cell(&w.ring, w.drill_at, Numeral::word(&w.label))).collect(),
        }
    }

    fn big(&self, p: Point) -> Point {
        (self.place.point(p).to_vec2() * self.times).to_point()
    }

    /// All rows under one another.
    fn in_rows(&self, width: f64, labels: &[Vec<Mark>]) -> Option<View> {
        let mut marks = Vec::new();
        let (mut y, mut wide) = (0.0, 0.0_f64);
        for row in self.rows(width, labels)? {
            marks.extend(row.marks.into_iter().map(|m| m.shifted(Vec2::new(0.0, y), 0)));
            wide = wide.max(row.size.0);
            y += row.size.1 + BETWEEN;
        }
        Some(self.finished(marks, (wide, y - BETWEEN), self.front()))
    }

    fn front(&self) -> &'static str {
        if says_mirrored(&self.job.paper) {
            "FRONT, MIRRORED"
        } else {
            "FRONT"
        }
    }

    /// A view of these marks with its words below.
    fn finished(&self, mut marks: Vec<Mark>, (wide, high): (f64, f64), says: &str) -> View {
        let foot = high + FOOT - 0.8;
        marks.push(Mark::words(Words::new(says, Point::new(wide / 2.0, foot), 7.0).bold().middle()));
        let x = marks.iter().map(|m| m.bounds().x0).fold(0.0, f64::min);
        let marks = marks.into_iter().map(|m| m.shifted(Vec2::new(-x, 0.0), 0)).collect();
        View { marks, size: (wide - x, foot + 0.8), signs: signs_of(self.job, self.work) }
    }

    /// Rows of equal length, cut between openings: each opening stands whole in the row that has its middle.
    fn rows(&self, width: f64, labels: &[Vec<Mark>]) -> Option<Vec<ViewRow>> {
        let all = self.edge.bounds();
        let reach = labels.iter().flatten().map(Mark::bounds).fold(all, |a, b| a.union(b));
        let count = (reach.width() / width).ceil().max(1.0);
        if count > 1.0 && self.cells.iter().any(|c| c.bounds.width() > 0.25 * width) {
            return None;
        }
        let length = all.width() / count;
        let mut rows = Vec::new();
        for row in 0..count as usize {
            let (from, to) = (all.x0 + length * row as f64, all.x0 + length * (row + 1) as f64);
            let last = row + 1 == count as usize;
            let here = |x: f64| (row == 0 || x >= from) && (last || x < to);
            let picture = self.row(labels, here, (from, to), count > 1.0);
            let b = picture.iter().map(Mark::bounds).reduce(|a, b| a.union(b))?;
            let left = if count > 1.0 { b.x0.min(from) } else { b.x0 };
            let by = Vec2::new(-left, -b.y0);
            let marks = picture.into_iter().map(|m| m.shifted(by, 0)).collect();
            rows.push(ViewRow { marks, size: (b.x1 - left, b.height()) });
        }
        rows.iter().all(|row| row.size.0 <= width + 0.01).then_some(rows)
    }

    /// What one row shows: all that has its middle `here`, and the outline between two upright lines.
    fn row(
        &self,
        labels: &[Vec<Mark>],
        here: impl Fn(f64) -> bool,
        (from, to): (f64, f64),
        cut: bool,
    ) -> Vec<Mark> {
        let mut marks = Vec::new();
        if cut {
            let points = self.edge.flatten(0.05);
            marks.extend(between(&points, from, to).into_iter().map(|l| Mark::line(Group::Guides, l, EDGE)));
        } else {
            let rings = vec![self.edge.clone()];
            marks.push(Mark::new(Group::Guides, Ink::Closed { rings, pen: EDGE }));
        }
        let holes = self.work.piece.outline.holes.iter().enumerate();
        for (i, h) in holes.filter(|(_, h)| here(self.big(h.at).x)) {
            let clear = clear_of_hole(self.work, i) * self.times;
            marks.extend(signs::kept_hole(self.big(h.at), h.diameter.get() * self.times, clear));
        }
        for (cell, label) in self.cells.iter().chain(&self.windows).zip(labels) {
            if here(cell.at.x) {
                let rings = vec![cell.ring.clone()];
                let pen = Some(OPENING);
                marks.push(Mark::new(Group::Guides, Ink::Area { rings, shade: PALE, pen }));
                marks.extend(label.iter().cloned());
            }
        }
        for turn in &self.work.plan.order {
            if let Cut::Opening(n) = turn.cut {
                // By its opening, not by itself: both stand in one row.
                if self.cells.get(n - 1).is_some_and(|c| here(c.at.x)) {
                    marks.push(signs::entry_dot(self.big(turn.enter), signs::ENTRY_ENLARGED));
                }
            }
        }
        let wedges = pointed_out(self.job, self.work, |p| self.big(p), WEDGE);
        for pair in wedges.chunks(2) {
            let middle =
                pair.iter().map(Mark::bounds).reduce(|a, b| a.union(b)).map_or(0.0, |b| b.center().x);
            if here(middle) {
                marks.extend(pair.iter().cloned());
            }
        }
        if here(0.0) {
            let over = self.edge.bounds().y0;
            marks.push(signs::top(Point::new(0.0, top_at(&self.edge).unwrap_or(over) - 0.8)));
        }
        marks
    }

    /// Every number: in its opening, across its line if that is the way, or out beyond the nearest edge on a leader (nothing
    /// of a view is trimmed away).
    fn labels(&self, size: f64, way: NumberPlace) -> Option<Vec<Vec<Mark>>> {
        let mut taken: Vec<Rect> =
            vec![Rect::from_center_size((0.0, self.edge.bounds().y0 - 1.5), (4.0, 3.0))];
        let mut dots: Vec<Vec<Point>> = vec![Vec::new(); self.cells.len()];
        for turn in &self.work.plan.order {
            if let Cut::Opening(n) = turn.cut {
                dots.get_mut(n - 1).into_iter().for_each(|d| d.push(self.big(turn.enter)));
            }
        }
        dots.resize(self.cells.len() + self.windows.len(), Vec::new());
        let wedges: Vec<Rect> =
            pointed_out(self.job, self.work, |p| self.big(p), WEDGE).iter().map(Mark::bounds).collect();
        let mut all = Vec::new();
        for (cell, dots) in self.cells.iter().chain(&self.windows).zip(&dots) {
            let (w, h) = numbers::room(&cell.label, size);
            let points = cell.ring.flatten(0.05);
            let fits = |c: Point| {
                let room = Rect::from_center_size(c, (w, h));
                let off_dot = dots.iter().all(|d| !Rect::from_center_size(*d, DOT).overlaps(room));
                let off_wedge = !wedges.iter().any(|wedge| wedge.overlaps(room));
                off_dot && off_wedge && numbers::box_inside(&points, room.grow(CLEAR))
            };
            let inside = cell.middles().find(|c| fits(*c));
            let baseline =
                |c: Point| Point::new(c.x - w / 2.0, c.y - h / 2.0 + numbers::cap(&cell.label, size));
            if let Some(c) = inside {
                all.push(number_marks(&cell.label, baseline(c), size));
                continue;
            }
            if way == NumberPlace::AcrossLine
                && let Some((c, room)) = self.across_line(cell, dots, (w, h), &[&taken[..], &wedges].concat())
            {
                taken.push(room);
                let ground = Ink::Area { rings: vec![Ring::rectangle(room)], shade: 0, pen: None };
                let mut marks = vec![Mark::new(Group::Guides, ground)];
                marks.extend(number_marks(&cell.label, baseline(c), size));
                all.push(marks);
                continue;
            }
            // Beside the edge: nothing but the border between.
            let edge = self.edge.nearest(cell.at);
            let out = (edge - cell.at) / (edge - cell.at).hypot2().sqrt().max(1e-9);
            let border = self.work.piece.outline.border.get() * self.times;
            if (edge - cell.at).hypot2().sqrt()
                > 2.0 * border + 0.5 * (cell.bounds.width() + cell.bounds.height())
            {
                return None;
            }
            // Straight out first, then aslant, then further off.
            let tries = [1.2, 2.6, 4.2, 6.0]
                .into_iter()
                .flat_map(|far| [0.0, 25.0, -25.0, 50.0, -50.0].map(|turn| (far, turn)));
            let placed = tries.into_iter().find_map(|(far, turn)| {
                let (s, c) = sin_cos_degrees(turn);
                let out = Vec2::new(out.x * c - out.y * s, out.x * s + out.y * c);
                let end = edge + out * far;
                let c = end + Vec2::new(out.x * (w / 2.0 + 0.4), out.y * (h / 2.0 + 0.4));
                let room = Rect::from_center_size(c, (w, h)).grow(0.35);
                let free = !taken.iter().any(|t| t.overlaps(room));
                let off = [
                    c,
                    Point::new(room.x0, room.y0),
                    Point::new(room.x1, room.y1),
                    Point::new(room.x0, room.y1),
                    Point::new(room.x1, room.y0),
                ]
                .iter()
                .all(|p| !self.edge.contains(*p));
                (free && off).then_some((end, c, room))
            });
            let (end, c, room) = placed?;
            taken.push(room);
            let mut marks = vec![Mark::line(Group::Guides, vec![cell.at, end], LEADER)];
            marks.extend(number_marks(&cell.label, baseline(c), size));
            all.push(marks);
        }
        Some(all)
    }

    /// Middle and room of a number of size `(w, h)` across the line of its opening: clear of dots, of every other opening, of
    /// the edge and of what is `taken`.
    fn across_line(
        &self,
        cell: &Enlarged,
        dots: &[Point],
        (w, h): (f64, f64),
        taken: &[Rect],
    ) -> Option<(Point, Rect)> {
        if w * h > HIDES * cell.ring.area().abs() {
            return None;
        }
        let near: Vec<Vec<Point>> = {
            let reach = Rect::from_center_size(cell.at, (4.0 * w, 4.0 * w)).union(cell.bounds);
            let others = self.cells.iter().chain(&self.windows);
            let others = others.filter(|o| !std::ptr::eq(*o, cell) && o.bounds.overlaps(reach));
            others.map(|o| &o.ring).chain([&self.edge]).map(|ring| ring.flatten(0.05)).collect()
        };
        cell.middles().find_map(|c| {
            let room = Rect::from_center_size(c, (w, h));
            let free = cell.ring.contains(c)
                && dots.iter().all(|d| !Rect::from_center_size(*d, DOT).overlaps(room))
                && !taken.iter().any(|t| t.overlaps(room.grow(APART)))
                && !near.iter().any(|ring| numbers::passes(ring, room.grow(APART)));
            free.then(|| (c, room.grow(0.1)))
        })
    }
}

/// Where the edge meets the upright line through the middle first, from above.
fn top_at(edge: &Ring) -> Option<f64> {
    let points = edge.flatten(0.05);
    let crossings = points.iter().enumerate().filter_map(|(i, p)| {
        let q = points[(i + 1) % points.len()];
        ((p.x > 0.0) != (q.x > 0.0)).then(|| p.y + (q.y - p.y) * p.x / (p.x - q.x))
    });
    crossings.reduce(f64::min)
}

/// The stretches of a closed line of points that lie between two upright lines.
fn between(points: &[Point], from: f64, to: f64) -> Vec<Vec<Point>> {
    let mut stretches: Vec<Vec<Point>> = Vec::new();
    let mut now: Vec<Point> = Vec::new();
    for (i, p) in points.iter().enumerate() {
        let q = points[(i + 1) % points.len()];
        let d = q - *p;
        let mut cuts = vec![0.0, 1.0];
        if d.x.abs() > 1e-12 {
            cuts.extend([from, to].map(|x| (x - p.x) / d.x).into_iter().filter(|t| *t > 0.0 && *t < 1.0));
        }
        cuts.sort_by(f64::total_cmp);
        for c in cuts.windows(2) {
            let (a, b) = (*p + d * c[0], *p + d * c[1]);
            let x = (a.x + b.x) / 2.0;
            if x < from || x > to {
                if now.len() > 1 {
                    stretches.push(std::mem::take(&mut now));
                }
                now.clear();
                continue;
            }
            if now.is_empty() {
                now.push(a);
            }
            now.push(b);
        }
    }
    if now.len() > 1 {
        stretches.push(now);
    }
    stretches
}

/// What stands over a view.
pub(super) fn heading(times: f64) -> String {
    match times {
        t if t > 1.0 => format!("Enlarged {} ×: not to stick on metal", short(t, 2)),
        t => format!("{} % of life size: not to stick on metal", short(100.0 * t, 0)),
    }
}
