//! One template: everything that stands within its trim line, laid round the origin of the page.

use super::blank;
use super::hang;
use super::look::{Hand, TemplateLook, TRIM};
use super::numbers::{self, Numeral, PunchedOpening};
use super::page::{Group, Ink, Mark, Pen, FINE, SAW_LINE};
use super::place::Placement;
use super::signs::{self, Sign};
use super::stamp::{stamped, Stamp};
use super::tab::{tab_at, tab_marks, Label, TAB_GAP};
use super::thin::thin_bridges;
use super::words;
use crate::geom::{boolean, BooleanOp, Grow, Point, Rect, Region, Ring, Vec2};
use crate::job::{Job, MarksShown, SawLine, Shade, Shape, Transfer};
use crate::openings::Opening;
use crate::plan::Cut as Sawn;
use crate::units::Mm;
use crate::work::Work;
use std::collections::BTreeSet;

/// Above this many openings no number is looked for: the marks would only blacken the page.
pub(super) const MOST_NUMBERS: usize = 3000;
/// Thin bridges are pointed out one by one up to so many; where all are thin, pointing tells nothing.
pub(super) const MOST_THIN: usize = 24;
/// Length of the wedges at a thin bridge, mm.
const WEDGE: f64 = 0.9;
/// Quarter ticks stand between these distances from the edge, mm: clear of the line, within the trim line.
const QUARTER: (f64, f64) = (0.6, 2.2);
/// Hollows of the trim line narrower than twice this, mm, are filled: scissors do not follow them.
const SCISSORS: f64 = 1.5;

/// A template round the origin.
#[derive(Debug, Clone)]
pub(super) struct Art {
    pub place: Placement,
    pub marks: Vec<Mark>,
    /// Openings drawn alike at many places.
    pub stamps: Vec<Stamp>,
    /// Everything, the tab and its trim line too.
    pub all: Rect,
    /// Where "3 of 12" or the name line go.
    pub label: Label,
    /// Every opening holds its number. Else none does, and an enlarged view has them.
    pub numbered: bool,
    /// What the legend has to explain.
    pub signs: BTreeSet<Sign>,
}

/// What decides how much paper a template takes: its edge, its trim line and the marks beside it. Nothing inside the edge
/// sticks out of it.
pub(super) struct Frame {
    place: Placement,
    edge: Ring,
    tab: Rect,
    /// What stands out into the band beyond the edge, the tab first, with its share of the band.
    beyond: Vec<Rect>,
    /// Marks that stand between edge and trim line, or beyond it.
    outside: Vec<Mark>,
    /// What is written on the tab.
    on_tab: Vec<Mark>,
    label: Label,
    signs: BTreeSet<Sign>,
    /// Everything, the tab and its trim line too.
    pub all: Rect,
}

impl Frame {
    /// Lays the frame of one template round the origin.
    pub(super) fn of(job: &Job, work: &Work, look: TemplateLook) -> Frame {
        let place = Placement {
            middle: Point::ORIGIN,
            turn: 0.0,
            mirrored: look.mirrored != (look.hand == Hand::Right),
        };
        let outline = &work.piece.outline;
        let edge = place.ring(&outline.edge).anticlockwise();
        let tab = tab_at(&edge, &look);
        let free = Rect::new(tab.x0, tab.y0 - TAB_GAP - 0.5, tab.x1, tab.y1);
        let mut signs = BTreeSet::from([Sign::Line, Sign::Trim, Sign::Top]);

        let mut outside = vec![top_mark(&edge)];
        let mut kept_free = vec![free, outside[0].bounds().grow(0.5)];
        let mut beyond = vec![free];
        if let Some(blank) = blank::straight(work, &place, &kept_free) {
            outside.extend(blank.marks);
            kept_free.extend(blank.taken);
            kept_free.push(blank.spare);
            beyond.push(blank.spare.grow(TRIM));
            signs.extend([Sign::Seam, Sign::Spare]);
        }
        let (seam, beside) = blank::turned(work, &place, &kept_free);
        if !seam.is_empty() {
            signs.insert(Sign::Seam);
        }
        outside.extend(seam);
        kept_free.extend(&beside);
        if outline.seam.is_none() {
            let ticks = quarter_ticks(&edge, &kept_free);
            if !ticks.is_empty() {
                signs.insert(Sign::Quarters);
            }
            outside.extend(ticks);
        }
        let (on_tab, label) = tab_marks((&words::title(job, work), &work.plan.number), look, tab);
        let words = outside.iter().chain(&on_tab).filter(|m| m.group == Group::Words);
        let trim = beyond.iter().fold(edge.bounds().grow(TRIM), |b, r| b.union(*r));
        let all = words.fold(trim, |b, m| b.union(m.bounds())).grow(signs::TRIM_PEN.width / 2.0);
        Frame { place, edge, tab, beyond, outside, on_tab, label, signs, all }
    }
}

/// Lays one template.
pub(super) fn art(job: &Job, work: &Work, look: TemplateLook) -> Art {
    let Frame { place, edge, tab, beyond, outside, on_tab, label, mut signs, all } =
        Frame::of(job, work, look);
    let trim = trim_ring(&edge, &beyond);
    let outline = &work.piece.outline;
    let few = job.paper.marks == MarksShown::Few;
    let mut marks = metal(work, &place, job.paper.shade, &edge, tab);
    if job.paper.shade != Shade::None {
        signs.insert(Sign::Tint);
    }
    let half = if job.paper.line == SawLine::Waste { SAW_LINE / 2.0 } else { 0.0 };
    marks.extend(saw_lines(work, half).iter().map(|ring| saw_line(place.ring(ring))));
    for (i, h) in outline.holes.iter().enumerate() {
        let clear = clear_of_hole(work, i);
        marks.extend(signs::kept_hole(place.point(h.at), h.diameter.get(), clear));
        signs.insert(Sign::KeptHole);
    }
    let openings = &work.piece.openings;
    let look = OpeningLook { place: &place, shade: job.paper.shade, half, drill: job.saw.drill.get(), few };
    let stamps = if openings.len() > MOST_NUMBERS {
        let (stamps, alone) = stamped(openings, &place, |o| look.marks(o));
        marks.extend(alone);
        stamps
    } else {
        marks.extend(openings.iter().flat_map(|o| look.marks(o).into_iter().map(|mark| mark.of(o.n))));
        Vec::new()
    };
    let numbered = inside(&mut marks, &mut signs, (job, work), &look);
    if !few {
        if let Some(ring) = scribe_ring(job, work, &place) {
            marks.push(ring);
            signs.insert(Sign::ScribeRing);
        }
        if let Some(domed) = &outline.domed {
            let rings = vec![place.ring(&domed.finished)];
            marks.push(Mark::new(Group::Guides, Ink::Closed { rings, pen: signs::DOMED_PEN }));
            signs.insert(Sign::Domed);
        }
        let words: Vec<Rect> = marks.iter().filter(|m| m.group == Group::Words).map(Mark::bounds).collect();
        let free = |m: &Mark| !words.iter().any(|w| w.overlaps(m.bounds().grow(0.4)));
        let ticks: Vec<Mark> = hang::ticks(work, &place).into_iter().filter(free).collect();
        if !ticks.is_empty() {
            signs.insert(Sign::HangLine);
        }
        marks.extend(ticks);
        let cross = signs::centre(&place, metal_round(work, Point::ORIGIN, None));
        if let Some(cross) = cross.filter(|_| outline.seam.is_none()) {
            marks.extend(cross);
            signs.insert(Sign::Centre);
        }
    }
    marks.push(Mark::new(Group::Guides, Ink::Closed { rings: vec![trim.clone()], pen: signs::TRIM_PEN }));
    marks.extend(outside);
    marks.extend(on_tab);
    if job.paper.transfer == Transfer::RubDown {
        marks.iter_mut().for_each(Mark::mirror_words);
    }
    Art { place, marks, stamps, all, label, numbered, signs }
}

/// The drawn edge of the metal and of every opening, and the flat tint: waste within the trim line, or metal.
fn metal(work: &Work, place: &Placement, shade: Shade, edge: &Ring, tab: Rect) -> Vec<Mark> {
    let outline = &work.piece.outline;
    let windows: Vec<Ring> = outline.windows.iter().map(|w| place.ring(&w.ring)).collect();
    let holes = outline.holes.iter().map(|h| Ring::circle(place.point(h.at), h.diameter.get() / 2.0));
    let mut rings = vec![place.ring(&outline.edge)];
    rings.extend(windows.iter().cloned().chain(holes));
    let mut marks = vec![Mark::new(Group::Outline, Ink::Area { rings: rings.clone(), shade: 0, pen: None })];
    let tint = |rings, shade| Mark::new(Group::Shade, Ink::Area { rings, shade, pen: None });
    match shade {
        Shade::Waste => {
            marks.extend(windows.into_iter().map(|w| tint(vec![w], signs::WASTE_TINT)));
            // The band outside is waste as well; the tab's words stand on bare paper.
            let band = Region::new(edge.grow(TRIM - 0.15), vec![edge.clone()]);
            let tab = Region::new(Ring::rectangle(Rect { y0: tab.y0 + 0.1, ..tab }), Vec::new());
            marks.extend(
                boolean(&[band], BooleanOp::Difference, &[tab])
                    .into_iter()
                    .map(|r| tint(r.into_rings().collect(), signs::WASTE_TINT)),
            );
        }
        Shade::Metal => {
            rings.extend(work.piece.openings.iter().map(|o| place.ring(&o.ring)));
            marks.push(tint(rings, signs::METAL_TINT));
        }
        Shade::None => {}
    }
    marks
}

/// The middle of the printed line round the piece and its windows, in the piece's own coordinates: `half` a line into the
/// waste, so outside the outline and inside every window.
fn saw_lines(work: &Work, half: f64) -> Vec<Ring> {
    let outline = &work.piece.outline;
    // A blank that is bent is sawn with what its ends are filed by.
    let mut lines = vec![outline.allowance.as_ref().unwrap_or(&outline.edge).grow(half)];
    lines.extend(outline.windows.iter().flat_map(|w| w.ring.shrink(half)));
    lines
}

fn saw_line(ring: Ring) -> Mark {
    Mark::new(Group::SawLines, Ink::Closed { rings: vec![ring], pen: Pen::new(SAW_LINE, 100) })
}

/// How openings are drawn.
struct OpeningLook<'a> {
    place: &'a Placement,
    shade: Shade,
    /// The printed line's middle lies so far inside the drawn edge, mm.
    half: f64,
    drill: f64,
    /// Of the punch mark only the drill's circle.
    few: bool,
}

impl OpeningLook<'_> {
    /// The area, the saw line and the punch mark of an opening.
    fn marks(&self, o: &Opening) -> Vec<Mark> {
        let shade = if self.shade == Shade::Waste { signs::WASTE_TINT } else { 0 };
        let rings = vec![self.place.ring(&o.ring)];
        let mut marks = vec![Mark::new(Group::Openings, Ink::Area { rings, shade, pen: None })];
        marks.extend(o.ring.shrink(self.half).iter().map(|ring| saw_line(self.place.ring(ring))));
        marks.extend(self.punch(Group::DrillPoints, o.drill_at, o.widest.get()));
        marks
    }

    /// The punch mark of an opening or a window that is `widest` across.
    fn punch(&self, group: Group, drill_at: Point, widest: f64) -> impl Iterator<Item = Mark> {
        let mark = signs::punch(group, self.place.point(drill_at), self.drill, widest);
        mark.into_iter().take(if self.few { 1 } else { usize::MAX })
    }
}

/// What stands inside windows and openings beside their saw lines: punch marks of the windows; numbers, dots where the saw
/// comes in and wedges at thin bridges if every number finds room. Tells whether it did.
fn inside(
    marks: &mut Vec<Mark>,
    signs: &mut BTreeSet<Sign>,
    (job, work): (&Job, &Work),
    look: &OpeningLook,
) -> bool {
    let (openings, windows) = (&work.piece.openings, &work.piece.outline.windows);
    let OpeningLook { place, drill, few, .. } = *look;
    if !openings.is_empty() || !windows.is_empty() {
        signs.insert(Sign::Punch);
    }
    marks.extend(
        windows.iter().flat_map(|w| look.punch(Group::WindowDrillPoints, w.drill_at, w.widest.get())),
    );
    if few || openings.len() > MOST_NUMBERS {
        return false;
    }
    let hole = |ring: &Ring, drill_at, widest: f64, label: Numeral, taken| PunchedOpening {
        ring: place.ring(ring),
        drill_at,
        radius: drill / 2.0,
        arms: signs::punch_reach(drill, widest),
        label,
        taken,
    };
    let mut entries: Vec<Option<Point>> = vec![None; openings.len()];
    for turn in &work.plan.order {
        if let Sawn::Opening(n) = turn.cut {
            let Some((o, entry)) = openings.get(n - 1).zip(entries.get_mut(n - 1)) else { continue };
            *entry = signs::entry(&o.ring, turn.enter, o.drill_at).map(|p| place.point(p)).filter(|p| {
                // Clear of the punch mark's circle, and of its ticks.
                let off = *p - place.point(o.drill_at);
                let arms = signs::punch_reach(drill, o.widest.get());
                let by_tick = off.x.abs().min(off.y.abs()) < signs::ENTRY + 0.2;
                off.hypot2().sqrt() > signs::ENTRY + 0.2 + if by_tick { arms } else { drill / 2.0 }
            });
        }
    }
    let wedges: Vec<Mark> = pointed_out(job, work, |p| place.point(p), WEDGE);
    let wedge_rooms: Vec<Rect> = wedges.iter().map(Mark::bounds).collect();
    let mut holes: Vec<PunchedOpening> = openings
        .iter()
        .zip(&entries)
        .map(|(o, entry)| {
            let bounds = place.ring(&o.ring).bounds();
            let dot = entry.map(|p| signs::entry_dot(p, signs::ENTRY).bounds());
            let taken = dot.into_iter().chain(wedge_rooms.iter().copied().filter(|r| r.overlaps(bounds)));
            hole(
                &o.ring,
                place.point(o.drill_at),
                o.widest.get(),
                Numeral::of(o.n, openings.len()),
                taken.collect(),
            )
        })
        .collect();
    holes.extend(windows.iter().map(|w| {
        hole(&w.ring, place.point(w.drill_at), w.widest.get(), Numeral::word(&w.label), Vec::new())
    }));
    let numbers = numbers::all_inside(&holes);
    let widest = openings.iter().map(|o| o.widest.get()).chain(windows.iter().map(|w| w.widest.get()));
    for (i, (hole, widest)) in holes.iter_mut().zip(widest).enumerate() {
        let n = openings.get(i).map_or(0, |o| o.n);
        let number = numbers.as_ref().and_then(|all| all.get(i));
        if widest >= signs::DROP_OUT {
            hole.taken.extend(number.into_iter().flatten().map(|m| m.bounds().grow(0.3)));
            hole.label = Numeral::word("OUT");
            marks.extend(numbers::inside(hole, 7.0).unwrap_or_default().into_iter().map(|m| m.of(n)));
        }
        marks.extend(number.into_iter().flatten().map(|m| m.clone().of(n)));
    }
    if numbers.is_none() || holes.is_empty() {
        return false;
    }
    signs.insert(Sign::Number);
    for (o, at) in openings.iter().zip(entries) {
        if let Some(at) = at {
            signs.insert(Sign::Entry);
            marks.push(signs::entry_dot(at, signs::ENTRY).of(o.n));
        }
    }
    if !wedges.is_empty() {
        signs.insert(Sign::Thin);
    }
    marks.extend(wedges);
    true
}

/// Wedges at the thin bridges, where they are few enough to be pointed out; `at` brings a point of the piece to the page.
pub(super) fn pointed_out(job: &Job, work: &Work, at: impl Fn(Point) -> Point, size: f64) -> Vec<Mark> {
    let bridges: Vec<_> = thin_bridges(job, work).take(MOST_THIN + 1).collect();
    if bridges.len() > MOST_THIN {
        return Vec::new();
    }
    bridges.into_iter().flat_map(|b| signs::thin(b.at.map(&at), size)).collect()
}

/// Where a bezel stands on the plate, as its part says.
fn scribe_ring(job: &Job, work: &Work, place: &Placement) -> Option<Mark> {
    let at = job.construction.bezel.as_ref()?.at;
    let across = work.plan.parts.iter().find_map(|p| p.get("scribe_mm"))?;
    let circle =
        Ink::Circle { at: place.point(at), radius: across / 2.0, fill: None, pen: Some(signs::SCRIBE_PEN) };
    Some(Mark::new(Group::Guides, circle))
}

/// How far a point lies inside the metal, mm; below 0 in an opening, a window or a hole other than number `but`.
fn metal_round(work: &Work, p: Point, but: Option<usize>) -> f64 {
    let outline = &work.piece.outline;
    let cut_outs = outline.windows.iter().map(|w| &w.ring).chain(work.piece.openings.iter().map(|o| &o.ring));
    let others = outline.holes.iter().enumerate().filter(|(i, _)| Some(*i) != but);
    let holes = others.map(|(_, h)| h.at.distance(p) - h.diameter.get() / 2.0);
    let near = |ring: &Ring| {
        let b = ring.bounds();
        let off = |low: f64, high: f64, at: f64| (low - at).max(at - high).max(0.0);
        let off = Vec2::new(off(b.x0, b.x1, p.x), off(b.y0, b.y1, p.y)).hypot2().sqrt();
        if off > 5.0 {
            off
        } else {
            -ring.signed_distance(p)
        }
    };
    cut_outs.map(near).chain(holes).fold(outline.edge.signed_distance(p), f64::min)
}

/// How much metal lies round a hole that stays, mm.
pub(super) fn clear_of_hole(work: &Work, i: usize) -> f64 {
    let hole = work.piece.outline.holes.get(i);
    hole.map_or(0.0, |h| metal_round(work, h.at, Some(i)) - h.diameter.get() / 2.0)
}

/// Where the edge, laid on the page, meets a ray from the middle last.
fn last_crossing(edge: &Ring, way: Vec2) -> Option<f64> {
    let points = edge.flatten(0.02);
    let side = |p: &Point| way.cross(p.to_vec2());
    let along = |p: &Point| way.dot(p.to_vec2());
    let mut last: Option<f64> = None;
    for (i, p) in points.iter().enumerate() {
        let q = &points[(i + 1) % points.len()];
        let (s, t) = (side(p), side(q));
        if (s > 0.0) != (t > 0.0) {
            let far = along(p) + (along(q) - along(p)) * s / (s - t);
            last = Some(last.map_or(far, |l| l.max(far)));
        }
    }
    last.filter(|far| *far > 0.0)
}

/// Ticks in the trim band at the quarters of the clock, but for the top, which has its own mark.
fn quarter_ticks(edge: &Ring, kept_free: &[Rect]) -> Vec<Mark> {
    let ways = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0), Vec2::new(-1.0, 0.0)];
    let tick = |way: Vec2| {
        let far = last_crossing(edge, way)?;
        let points: Vec<Point> = [QUARTER.0, QUARTER.1].map(|d| (way * (far + d)).to_point()).into();
        let clear = points.iter().all(|p| (edge.nearest(*p) - *p).hypot2().sqrt() > 0.45);
        // The tab is laid out so that a tick at its middle is free of words.
        let taken =
            kept_free.iter().skip(1).any(|r| r.overlaps(Rect::from_points(points[0], points[1]).grow(0.2)));
        (clear && !taken).then(|| Mark::line(Group::Guides, points, FINE))
    };
    ways.into_iter().filter_map(tick).collect()
}

/// Black wedge over the middle of the piece, on its axis of symmetry where it has one, between edge and trim line.
fn top_mark(edge: &Ring) -> Mark {
    let far = last_crossing(edge, Vec2::new(0.0, -1.0)).unwrap_or(-edge.bounds().y0);
    // In a notch the mark rises until it stands clear of both sides.
    let clear = |up: f64| {
        let mark = signs::top(Point::new(0.0, -far - up)).bounds();
        [(mark.x0, mark.y1), (mark.x1, mark.y1), (0.0, mark.y1)]
            .iter()
            .all(|(x, y)| (edge.nearest(Point::new(*x, *y)) - Point::new(*x, *y)).hypot2().sqrt() > 0.55)
    };
    let up = (0..60).map(|i| 0.7 + 0.2 * f64::from(i)).find(|up| clear(*up)).unwrap_or(0.7);
    signs::top(Point::new(0.0, -far - up))
}

/// The line to cut the paper along: outside the edge, round the boxes that belong to the template as well. A box reaches
/// well inside the band, so that the two always meet.
fn trim_ring(edge: &Ring, boxes: &[Rect]) -> Ring {
    let let_out = edge.grow(TRIM);
    let rounded = |body: &Rect| {
        let (width, height) = (Mm(body.width()), Mm(body.height()));
        let shape = Shape::Rectangle { width, height, corner_radius: Mm(1.5) };
        let ring = crate::outline::rings(&shape).ok().and_then(|r| r.into_iter().next())?;
        Some(Region::new(ring.translated(body.center().to_vec2()), Vec::new()))
    };
    let boxes: Vec<Region> = boxes.iter().filter_map(rounded).collect();
    let largest =
        |rings: Vec<Ring>| rings.into_iter().max_by(|a, b| a.area().abs().total_cmp(&b.area().abs()));
    let joined = boolean(&[Region::new(let_out.clone(), Vec::new())], BooleanOp::Union, &boxes);
    let outer = largest(joined.into_iter().map(Region::into_outer).collect()).unwrap_or(let_out);
    largest(outer.grow(SCISSORS).shrink(SCISSORS)).unwrap_or(outer)
}
