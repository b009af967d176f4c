//! One template: everything that stands within its trim line, laid round the origin of the page.

use super::blank;
use super::hang;
use super::look::{Hand, Look, TRIM};
use super::marks::{self, SizeClass};
use super::number;
use super::numbers::{self, Outward};
use super::page::{Group, Ink, Mark, Pen, SAW_LINE};
use super::place::Place;
use super::tab::{furthest, tab_at, tab_marks, Label, TAB_GAP};
use crate::geom::{boolean, BooleanOp, Grow, Point, Rect, Region, Ring};
use crate::job::{Job, MarksShown, SawLine, Shade, Shape, Transfer};
use crate::plan::{Cut as Sawn, Turn};
use crate::units::Mm;
use crate::work::Work;
use std::collections::BTreeMap;

const TRIM_PEN: Pen = Pen::new(0.13, 60).dashed(1.6, 1.0);
/// Above this many openings no number is looked for: the job card's list and the pattern's order must do.
const MOST_NUMBERS: usize = 3000;
/// Above this many openings no sharp corner is marked: the marks would only blacken the page.
const MOST_CORNERS: usize = 400;
/// A sharp corner is marked only in openings at least this wide, mm.
const CORNER_ROOM: f64 = 5.0;
/// The way of the saw is shown in openings at least this wide, mm; in smaller ones the arrow runs into the cross.
const ARROW_ROOM: f64 = 6.0;
/// Numbers on leaders outside the trim line: at most one for so many mm of edge; more would look like a hedge.
const LEADER_EVERY: f64 = 12.0;

/// A template round the origin.
#[derive(Debug, Clone)]
pub struct Art {
    pub place: Place,
    pub marks: Vec<Mark>,
    /// Everything, numbers on leaders too.
    pub all: Rect,
    /// Where "3 of 12" or the name line go.
    pub label: Label,
    /// Some openings could not hold their number: a key map is needed.
    pub needs_map: bool,
}

/// Lays one template.
pub fn art(job: &Job, work: &Work, look: Look) -> Art {
    let place = Place {
        middle: Point::ORIGIN,
        turn: look.turn,
        mirrored: look.mirrored != (look.hand == Hand::Right),
    };
    let outline = &work.piece.outline;
    let drill = job.saw.drill.get();
    let shade = job.paper.shade;
    let few_marks = job.paper.marks == MarksShown::Few;
    let mut marks = metal(work, &place, shade);
    for (ring, opening) in saw_lines(work, job.paper.line) {
        let rings = vec![place.ring(&ring)];
        let pen = Pen::new(SAW_LINE, 100);
        marks.push(Mark::new(Group::SawLines, Ink::Closed { rings, pen }).of(opening));
    }
    let how = How { drill, few: few_marks, hatched: shade == Shade::Waste };
    let few = work.piece.openings.len();
    let mut unnumbered = Vec::new();
    let turns: BTreeMap<usize, &Turn> = work
        .plan
        .order
        .iter()
        .filter_map(|t| if let Sawn::Opening(n) = t.cut { Some((n, t)) } else { None })
        .collect();
    for o in &work.piece.openings {
        let spot = Spot {
            ring: &o.ring,
            at: o.drill_at,
            widest: o.widest.get(),
            label: o.n.to_string(),
            n: o.n,
            turn: turns.get(&o.n).copied(),
            corners: few <= MOST_CORNERS && o.widest.get() >= CORNER_ROOM,
        };
        let numbered = fill_opening(&mut marks, &place, &spot, &how, few <= MOST_NUMBERS);
        if !numbered && few <= MOST_NUMBERS {
            unnumbered.push(o.n);
        }
    }
    for w in &outline.windows {
        let spot = Spot {
            ring: &w.ring,
            at: w.drill_at,
            widest: w.widest.get(),
            label: w.label.clone(),
            n: 0,
            turn: None,
            corners: false,
        };
        fill_opening(&mut marks, &place, &spot, &how, true);
    }
    for h in &outline.holes {
        marks.extend(marks::kept_hole(place.point(h.at), h.diameter.get()));
    }

    let edge = place.ring(&outline.edge).anticlockwise();
    let tab = tab_at(&edge, &look);
    let top = top_mark(&outline.edge, &place);
    let free = Rect::new(tab.x0, tab.y0 - TAB_GAP - 0.5, tab.x1, tab.y1);
    let mut kept_free = vec![free, top.bounds().grow(0.5)];
    let mut beyond = vec![free];
    if let Some(blank) = blank::straight(work, &place, &kept_free) {
        marks.extend(blank.marks);
        kept_free.extend(blank.taken);
        kept_free.push(blank.spare);
        beyond.push(blank.spare.grow(TRIM));
    }
    let (seam, beside) = blank::turned(work, &place, &kept_free);
    marks.extend(seam);
    kept_free.extend(&beside);
    let mut taken = vec![tab];
    taken.extend(beside);
    let trim = trim_ring(&edge, &beyond);
    if shade == Shade::Waste {
        let band = [edge.grow(SAW_LINE + marks::HATCH_GAP), edge.grow(TRIM - marks::HATCH_GAP)];
        marks.extend(marks::hatch(&band, &kept_free));
    }
    marks.push(Mark::new(Group::Guides, Ink::Closed { rings: vec![trim.clone()], pen: TRIM_PEN }));
    marks.push(top);
    let (on_tab, label) = tab_marks(job, &number::job_number(job, work), look, tab);
    marks.extend(on_tab);

    let trim = trim.bounds();
    let mut needs_map = false;
    if few_marks {
        needs_map = !unnumbered.is_empty();
    } else if !unnumbered.is_empty() {
        let (outside, left) = leaders(work, &place, &unnumbered, &taken);
        needs_map = !left.is_empty() || !look.beside;
        // A map shows every number: leaders beside it only where the map would take too many pages.
        if !needs_map || !super::keymap::can_be_made(job, work) {
            marks.extend(outside);
        }
    }
    if !few_marks {
        // A number in a wide border comes first.
        let words: Vec<Rect> = marks.iter().filter(|m| m.group == Group::Words).map(Mark::bounds).collect();
        let free = |m: &Mark| !words.iter().any(|w| w.overlaps(m.bounds().grow(0.4)));
        marks.extend(hang::ticks(work, &place).into_iter().filter(free));
    }
    let all = marks.iter().filter(|m| m.group == Group::Words).fold(trim, |b, m| b.union(m.bounds()));
    if job.paper.transfer == Transfer::RubDown {
        marks.iter_mut().for_each(Mark::mirror_words);
    }
    Art { place, marks, all, label, needs_map }
}

/// The drawn edge of the metal and of every opening.
fn metal(work: &Work, place: &Place, shaded: Shade) -> Vec<Mark> {
    let outline = &work.piece.outline;
    let mut rings = vec![place.ring(&outline.edge)];
    rings.extend(outline.windows.iter().map(|w| place.ring(&w.ring)));
    rings.extend(outline.holes.iter().map(|h| Ring::circle(place.point(h.at), h.diameter.get() / 2.0)));
    let mut marks = vec![Mark::new(Group::Outline, Ink::Area { rings: rings.clone(), shade: 0 })];
    if shaded == Shade::Metal {
        rings.extend(work.piece.openings.iter().map(|o| place.ring(&o.ring)));
        marks.push(Mark::new(Group::Shade, Ink::Area { rings, shade: marks::METAL_SHADE }));
    }
    for o in &work.piece.openings {
        let shade = if shaded == Shade::Waste { SizeClass::of(o.widest.get()).shade() } else { 0 };
        marks.push(Mark::new(Group::Openings, Ink::Area { rings: vec![place.ring(&o.ring)], shade }).of(o.n));
    }
    marks
}

/// The middle of the printed line, in the piece's own coordinates, with the opening it belongs to (0: none). In the
/// waste: half a line inside every opening and window, half a line outside the outline.
fn saw_lines(work: &Work, line: SawLine) -> Vec<(Ring, usize)> {
    let half = if line == SawLine::Waste { SAW_LINE / 2.0 } else { 0.0 };
    let outline = &work.piece.outline;
    // A blank that is bent is sawn with what its ends are filed by.
    let mut lines = vec![(outline.allowance.as_ref().unwrap_or(&outline.edge).grow(half), 0)];
    for w in &outline.windows {
        lines.extend(w.ring.shrink(half).into_iter().map(|r| (r, 0)));
    }
    for o in &work.piece.openings {
        lines.extend(o.ring.shrink(half).into_iter().map(|r| (r, o.n)));
    }
    lines
}

/// How openings are marked.
struct How {
    /// Diameter of the drill, mm.
    drill: f64,
    /// Drill circle and dot alone.
    few: bool,
    /// Waste is shaded.
    hatched: bool,
}

/// What is marked inside one opening or window.
struct Spot<'a> {
    ring: &'a Ring,
    at: Point,
    widest: f64,
    label: String,
    /// The opening's number, 0 for a window.
    n: usize,
    /// Where the saw comes to the line and which way it goes.
    turn: Option<&'a Turn>,
    /// Whether corners to back out of are marked.
    corners: bool,
}

/// Drill and punch marks, number and hatching; tells whether the number found room.
fn fill_opening(marks: &mut Vec<Mark>, place: &Place, spot: &Spot, how: &How, number: bool) -> bool {
    let at = place.point(spot.at);
    let drill = how.drill;
    let class = SizeClass::of(spot.widest);
    let group = if spot.n == 0 { Group::WindowDrillPoints } else { Group::DrillPoints };
    marks.push(marks::drill_circle(group, at, drill).of(spot.n));
    let wide = class == SizeClass::Wide;
    let cross = wide && !how.few;
    marks.extend(marks::punch(at, cross).into_iter().map(|m| m.of(spot.n)));
    let mut spared = vec![Rect::from_center_size(at, (drill + 0.8, drill + 0.8))];
    let mut corners = Vec::new();
    if spot.corners && !how.few {
        for t in marks::back_out_corners(spot.ring) {
            let ring = Ring::polygon(t.map(|p| place.point(p)));
            corners.push(ring.bounds());
            let rings = vec![ring];
            marks.push(Mark::new(Group::PunchMarks, Ink::Area { rings, shade: 100 }).of(spot.n));
        }
    }
    let mut numbered = false;
    if number && class != SizeClass::Narrow && !how.few {
        let ring = place.ring(spot.ring);
        let arms = if cross { marks::ARM } else { 0.0 };
        let hole =
            numbers::Hole { ring: &ring, drill_at: at, radius: drill / 2.0, arms, widest: spot.widest };
        if let Some(words) = numbers::inside(&hole, &spot.label, &corners) {
            spared.extend(words.iter().map(|m| m.bounds().grow(0.3)));
            marks.extend(words.into_iter().map(|m| m.of(spot.n)));
            numbered = true;
        }
        if spot.widest >= marks::DROP_OUT {
            let taken: Vec<Rect> = spared.iter().chain(&corners).copied().collect();
            let words = numbers::inside(&hole, "OUT", &taken).unwrap_or_default();
            spared.extend(words.iter().map(|m| m.bounds().grow(0.3)));
            marks.extend(words.into_iter().map(|m| m.of(spot.n)));
        }
    }
    spared.extend(corners.iter().map(|c| c.grow(0.2)));
    if let (true, Some(turn)) = (spot.widest >= ARROW_ROOM && !how.few, spot.turn) {
        let mut taken = spared.clone();
        taken.extend(
            [(2.0 * marks::ARM, 0.3), (0.3, 2.0 * marks::ARM)].map(|s| Rect::from_center_size(at, s)),
        );
        if let Some((arrow, room)) = marks::arrow(spot.ring, turn.enter, turn.clockwise, place, &taken) {
            spared.push(room.grow(0.2));
            marks.extend(arrow.into_iter().map(|m| m.of(spot.n)));
        }
    }
    if !how.hatched {
        return numbered;
    }
    if wide {
        for ring in spot.ring.shrink(SAW_LINE + marks::HATCH_GAP) {
            marks.extend(marks::hatch(&[place.ring(&ring)], &spared).into_iter().map(|m| m.of(spot.n)));
        }
    } else if spot.n == 0 {
        let shade = class.shade();
        marks.push(Mark::new(Group::Shade, Ink::Area { rings: vec![place.ring(spot.ring)], shade }));
    }
    numbered
}

/// Numbers outside the trim line for openings that lie beside the edge, and the openings that get none.
fn leaders(work: &Work, place: &Place, wanted: &[usize], taken: &[Rect]) -> (Vec<Mark>, Vec<usize>) {
    let outline = &work.piece.outline;
    let most = (outline.edge.perimeter() / LEADER_EVERY) as usize;
    let (mut outward, mut left) = (Vec::new(), Vec::new());
    for n in wanted {
        let Some(o) = work.piece.openings.get(n - 1) else { continue };
        let edge = outline.edge.nearest(o.drill_at);
        // Beside the edge: nothing but the border between.
        let beside = (edge - o.drill_at).hypot() <= outline.border.get() + o.widest.get();
        // A bay of the edge, or a lug, may stand where the leader and its number would go.
        let out = (edge - o.drill_at) / (edge - o.drill_at).hypot().max(1e-9);
        let clear = [(1.0, 0.5), (2.0, 0.5), (TRIM, 0.8), (TRIM + 2.2, 1.7)].iter().all(|(d, least)| {
            let p = edge + out * *d;
            (outline.edge.nearest(p) - p).hypot() > *least
        });
        if beside && clear && outward.len() < most {
            outward.push(Outward {
                opening: *n,
                from: place.point(o.drill_at),
                beside: place.point(o.ring.nearest(edge)),
                edge: place.point(edge),
            });
        } else {
            left.push(*n);
        }
    }
    let (marks, collided) = numbers::outward(&outward, TRIM, taken);
    left.extend(collided);
    (marks, left)
}

/// Black triangle at the top of the piece, between outline and trim line, pointing away.
fn top_mark(edge: &Ring, place: &Place) -> Mark {
    let (x, y) = furthest(&edge.flatten(0.02), |p| p.y);
    let at = |dx: f64, dy: f64| place.point(Point::new(x + dx, y + dy));
    let rings = vec![Ring::polygon([at(-1.0, 0.75), at(1.0, 0.75), at(0.0, 2.45)])];
    Mark::new(Group::Guides, Ink::Area { rings, shade: 100 })
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
    let joined = boolean(&[Region::new(let_out.clone(), Vec::new())], BooleanOp::Union, &boxes);
    joined.into_iter().map(|r| r.outer).max_by(|a, b| a.area().total_cmp(&b.area())).unwrap_or(let_out)
}
