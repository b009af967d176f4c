//! Opening the cells: whole ones from their kind, border ones trimmed in one pass, the rest left solid with a reason.

use super::join::join_small;
use super::score::Score;
use super::taken::{bridge_of, pierceable, usual_bridge};
use super::{LeftSolid, Opening};
use crate::error::Error;
use crate::geom::{clip_all, Boundary, Point, Region, Ring, CHORD};
use crate::job::{AtBorder, Job};
use crate::outline::Outline;
use crate::pattern::{lay, starts, Laid};
use crate::units::{LengthUnit, JUST_PASSED};
use std::borrow::Cow;

/// What bridges leave of a cell is nothing if it is narrower than this, mm. Larger would take away what a person might want to
/// hear of as too narrow; smaller would count specks of no area.
const SPECK: f64 = 0.01;
/// A trimmed opening that lost less than this share of its area was not trimmed but touched.
const TOUCHED: f64 = 1e-6;

/// The best of the places to start from, opened; `first` are the cells laid from the first of them, where they are known.
pub(super) fn tried<'a>(
    job: &Job,
    outline: &Outline,
    field: &Boundary,
    mut first: Option<&'a Laid>,
) -> Result<(Cow<'a, Laid>, Opened), Error> {
    let mut best: Option<(Score, Cow<Laid>, Opened)> = None;
    let mut worked = 0;
    for start in starts(job, outline) {
        let laid = match first.take() {
            Some(laid) => Cow::Borrowed(laid),
            None => Cow::Owned(lay(job, outline, &start)?),
        };
        let opened = opened(job, outline, field, &laid);
        worked += opened.worked;
        let score =
            Score::of(&opened.openings, opened.left_solid.len(), job.pattern.at_border == AtBorder::Ease);
        if best.as_ref().is_none_or(|(s, ..)| score.beats(s)) {
            best = Some((score, laid, opened));
        }
        if best.as_ref().is_some_and(|(s, ..)| s.is_perfect()) {
            break;
        }
    }
    match best {
        Some((_, laid, opened)) => Ok((laid, Opened { worked, ..opened })),
        None => Err(Error::job("the pattern has no centre to be laid on", "list at least one in its file")),
    }
}

/// What became of the cells.
pub(super) struct Opened {
    pub openings: Vec<Opening>,
    pub left_solid: Vec<LeftSolid>,
    /// What it took, in units of about 20 us: counted, not timed.
    pub worked: usize,
}

/// Copies of a cell that is opened once for all, which cost as much as the unit of work, about 20 us (measured: 1 to 3 us each).
const COPIES: usize = 8;
/// What an opening costs that is drawn in and measured by itself (measured: 20 to 200 us).
const BY_ITSELF: usize = 3;
/// What one costs that crosses the edge of the field and is cut, before its form is looked at (measured: 20 us).
const CUT: usize = 1;
/// What it costs besides where the field's line is hollow to it (a hole, a round window): its widest circle is sought all over it
/// (measured: 100 to 200 us).
const HOLLOW: usize = 10;
/// Edges of one that is cut which cost as much as a unit: its widest circle is sought among them (measured: 3 us each).
const EDGES: usize = 4;
/// Chords of one that is cut which cost as much as a unit (measured: 0.3 us each).
const CHORDS: usize = 40;

/// What a cell costs that is joined to a neighbour, or tried (measured: 2 to 4 ms).
const JOIN: usize = 150;

/// What a touching opening may reach past the field, mm: half the micrometre promised for borders. Smaller would trim
/// openings for the last digit.
const OUTSIDE: f64 = 5e-4;

/// Openings of a kind of cell, at the kind's own place.
pub(super) fn prototypes(kind: &Ring, bridge: f64, corner_radius: f64) -> Vec<Opening> {
    let drawn_in = kind.shrink(bridge / 2.0);
    let rings = drawn_in.iter().flat_map(|r| r.rounded(corner_radius));
    let whole = rings.map(|ring| Opening::of(ring, false)).filter(|o| o.widest.get() > SPECK);
    a_bridge_apart(whole.collect(), bridge)
}

/// Parts of one cell, where a neck of it has closed: of two that stand nearer than the bridge the smaller goes, and both
/// if they are alike, so that symmetry is kept.
fn a_bridge_apart(parts: Vec<Opening>, bridge: f64) -> Vec<Opening> {
    let stays = |i: usize| {
        let part = &parts[i];
        let mut others =
            parts.iter().enumerate().filter(|(j, o)| *j != i && part.area <= o.area * (1.0 + TOUCHED));
        others.all(|(_, o)| part.ring.closest(&o.ring).distance >= bridge - OUTSIDE)
    };
    let staying: Vec<bool> = (0..parts.len()).map(stays).collect();
    parts.into_iter().zip(staying).filter_map(|(part, stays)| stays.then_some(part)).collect()
}

/// Every cell opened, or left solid.
pub(super) fn opened(job: &Job, outline: &Outline, field: &Boundary, laid: &Laid) -> Opened {
    let radius = job.pattern.corner_radius.get();
    let usual = usual_bridge(job, laid);
    let by_kind = laid.kinds.iter().map(|k| prototypes(k, usual, radius)).collect();
    open_kinds(job, outline, field, laid, by_kind, false)
}

/// The same with the openings of every kind made beforehand. `fitted`: cells end at the border, so that an opening whose
/// vertices keep to the field does not cross its edge.
pub(super) fn open_kinds(
    job: &Job,
    outline: &Outline,
    field: &Boundary,
    laid: &Laid,
    mut by_kind: Vec<Vec<Opening>>,
    fitted: bool,
) -> Opened {
    let radius = job.pattern.corner_radius.get();
    number_shapes(&mut by_kind, laid);
    let reach: Vec<f64> = by_kind.iter().map(|s| s.iter().flat_map(reach_of).fold(0.0, f64::max)).collect();
    let inside = Boundary::new(&outline.room);
    let mut last = LastClear::default();

    let mut worked = laid.cells.len() / COPIES + BY_ITSELF * laid.kinds.len();
    let mut openings = Vec::with_capacity(laid.cells.len());
    let mut crossing: Vec<(usize, Opening)> = Vec::new();
    let mut solid: Vec<(usize, LeftSolid)> = Vec::new();
    for (c, cell) in laid.cells.iter().enumerate() {
        let own;
        let (prototypes, reach) = match cell.bridge {
            Some(bridge) => {
                own = prototypes(&laid.kinds[cell.kind], bridge, radius);
                worked += BY_ITSELF;
                (&own, own.iter().flat_map(reach_of).fold(0.0, f64::max))
            }
            _ => (&by_kind[cell.kind], reach[cell.kind]),
        };
        if prototypes.is_empty() {
            let at = laid.kinds[cell.kind].centroid() + cell.at;
            if inside.contains(at) {
                let reason = "the bridge leaves no opening in it".to_string();
                solid.push((c, LeftSolid { at, reason, whole: cell.bridge.is_none() }));
            }
        }
        for prototype in prototypes {
            let at = prototype.centroid + cell.at;
            let known = last.at(at, reach, field);
            let clear = known.is_some();
            if fitted && field.contains(at) && (clear || !leaves_field(&prototype.translated(cell.at), field))
            {
                openings.push((c, prototype.translated(cell.at)));
            } else if clear || !field.meets(&prototype.ring.translated(cell.at)) {
                // Wholly in or wholly out: any point of it tells.
                if known.unwrap_or_else(|| field.contains(prototype.drill_at + cell.at)) {
                    openings.push((c, prototype.translated(cell.at)));
                } else {
                    solid.extend(
                        reason_left_solid(outline, &inside, &prototype.translated(cell.at))
                            .map(|left| (c, left)),
                    );
                }
            } else {
                crossing.push((c, prototype.translated(cell.at)));
            }
        }
    }

    worked += crossing.iter().map(|(_, o)| cut_cost(&o.ring)).sum::<usize>();
    let rings: Vec<Ring> = crossing.iter().map(|(_, o)| o.ring.clone()).collect();
    let bits = clip_all(&rings, &outline.field);
    worked += HOLLOW * bits.iter().flatten().filter(|bit| is_hollow(bit.outer())).count();
    let mut small = Vec::new();
    for ((c, whole), bits) in crossing.into_iter().zip(bits) {
        let bridge = bridge_of(job, laid, &laid.cells[c]);
        match classify_clipped(job, outline, field, &inside, &whole, bits, bridge) {
            Clipped::Openings(list) => openings.extend(list.into_iter().map(|o| (c, o))),
            Clipped::Small(left) => small.push((c, left)),
            Clipped::Solid(left) => solid.push((c, left)),
            Clipped::Outside => {}
        }
    }
    if job.pattern.at_border == AtBorder::Join {
        worked += JOIN * small.len();
        join_small(job, outline, laid, &mut openings, &mut small);
    }
    solid.extend(small);
    for (k, (at, reason)) in laid.left.iter().enumerate() {
        // Kept places and windows say it better.
        let reason = match field.contains(*at) {
            true => Some(reason.clone()),
            false => why_solid(outline, &inside, *at),
        };
        solid
            .extend(reason.map(|reason| (laid.cells.len() + k, LeftSolid { at: *at, reason, whole: false })));
    }
    solid.sort_by_key(|(c, _)| *c);
    solid.dedup_by_key(|(c, _)| *c);
    Opened {
        openings: openings.into_iter().map(|(_, o)| o).collect(),
        left_solid: solid.into_iter().map(|(_, s)| s).collect(),
        worked,
    }
}

/// How far the edge of the field was from the last place found clear of it, and whether that lay inside: a place nearer to
/// it than the edge lies on the same side.
#[derive(Default)]
struct LastClear(Option<(Point, f64, bool)>);

impl LastClear {
    /// Whether a place lies inside the field, if nothing of its edge comes within `reach` mm; `None` if something does.
    fn at(&mut self, place: Point, reach: f64, field: &Boundary) -> Option<bool> {
        if let Some((from, edge, inside)) = self.0
            && edge - (place - from).hypot2().sqrt() > reach
        {
            return Some(inside);
        }
        let edge = field.distance(place);
        let clear = (edge > reach).then(|| (place, edge, field.contains(place)));
        if clear.is_some() {
            self.0 = clear;
        }
        clear.map(|(.., inside)| inside)
    }
}

/// What it takes to cut an opening at the border, in units of about 20 us: arcs are cut as chords.
fn cut_cost(ring: &Ring) -> usize {
    let chords: usize = ring.edges().map(|edge| edge.chords(CHORD)).sum();
    CUT + ring.edges().len() / EDGES + chords / CHORDS
}

/// Whether a place cut out of the field has bitten a piece out of a cell.
fn is_hollow(ring: &Ring) -> bool {
    ring.vertices().any(|v| v.bulge < 0.0)
}

/// Gives the openings of every kind that is laid more than once a shape's number.
fn number_shapes(by_kind: &mut [Vec<Opening>], laid: &Laid) {
    let mut times = vec![0; by_kind.len()];
    laid.cells.iter().for_each(|cell| times[cell.kind] += 1);
    let alike =
        by_kind.iter_mut().zip(times).filter(|(_, times)| *times > 1).flat_map(|(prototypes, _)| prototypes);
    alike.zip(0..).for_each(|(prototype, shape)| prototype.shape = Some(shape));
}

fn reach_of(prototype: &Opening) -> Option<f64> {
    let bounds = prototype.ring.bounds();
    [(bounds.x0, bounds.y0), (bounds.x1, bounds.y0), (bounds.x0, bounds.y1), (bounds.x1, bounds.y1)]
        .into_iter()
        .map(|p| (Point::from(p) - prototype.centroid).hypot2().sqrt())
        .reduce(f64::max)
}

enum Clipped {
    Openings(Vec<Opening>),
    /// Worth joining to a neighbour.
    Small(LeftSolid),
    Solid(LeftSolid),
    /// Nothing of it lies inside the border.
    Outside,
}

/// What becomes of a cell that crosses the edge of the field, from the bits the field leaves of it.
fn classify_clipped(
    job: &Job,
    outline: &Outline,
    field: &Boundary,
    inside: &Boundary,
    whole: &Opening,
    bits: Vec<Region>,
    bridge: f64,
) -> Clipped {
    let left = |reason: String| LeftSolid { at: whole.centroid, reason, whole: false };
    let area: f64 = bits.iter().map(Region::area).sum();
    if area >= whole.area * (1.0 - TOUCHED) && !leaves_field(whole, field) {
        return Clipped::Openings(vec![whole.clone()]);
    }
    if bits.is_empty() {
        let meets = inside.meets(&whole.ring) || inside.contains(whole.centroid);
        return match reason_left_solid(outline, inside, whole) {
            Some(left) => Clipped::Solid(left),
            None if meets => Clipped::Solid(left("only a sliver of it lies inside the border".into())),
            None => Clipped::Outside,
        };
    }
    if job.pattern.at_border == AtBorder::Whole {
        return Clipped::Solid(left(
            "cut by the border or a kept place; only whole repeats are wanted".into(),
        ));
    }
    if let Some(hole) = bits.iter().find_map(|b| b.holes().first()) {
        let name = what_stands_at(outline, hole.centroid());
        return Clipped::Solid(left(format!("{name} stands inside it and would fall out")));
    }
    let need = pierceable(job);
    let mut widest = 0.0_f64;
    let mut open = Vec::new();
    for ring in bits.into_iter().flat_map(|b| b.outer().rounded(job.pattern.corner_radius.get())) {
        let opening = Opening::of(ring, true);
        widest = widest.max(opening.widest.get());
        if opening.widest.get() >= need - JUST_PASSED {
            open.push(opening);
        }
    }
    if open.is_empty() {
        return Clipped::Small(left(too_small(job.units, widest, need)));
    }
    let open = a_bridge_apart(open, bridge);
    if open.is_empty() {
        return Clipped::Solid(left("what is left of it would stand nearer together than the bridge".into()));
    }
    Clipped::Openings(open)
}

/// Whether the drawn edge of an opening leaves the field by more than is printed; a tip may, with hardly any area.
fn leaves_field(opening: &Opening, field: &Boundary) -> bool {
    opening
        .ring
        .edges()
        .flat_map(|e| [e.from(), e.point(0.5)])
        .any(|p| field.distance(p) > OUTSIDE && !field.contains(p))
}

pub(super) fn too_small(units: LengthUnit, widest: f64, need: f64) -> String {
    format!("too small to pierce: {} across, the drill wants {}", units.says(widest, 2), units.says(need, 2))
}

/// Why the opening of a cell that lies wholly outside the field is left solid, told at its middle, or else where some
/// of it lies within the border or in a kept place.
fn reason_left_solid(outline: &Outline, inside: &Boundary, whole: &Opening) -> Option<LeftSolid> {
    let at = |at: Point| why_solid(outline, inside, at).map(|reason| LeftSolid { at, reason, whole: false });
    let kept = |p: &Point| outline.keeps.iter().any(|k| k.contains(*p));
    let elsewhere = || {
        let crosses = inside.meets(&whole.ring);
        let points = whole.ring.edges().flat_map(|e| [e.from(), e.point(0.5)]);
        points.filter(|p| crosses || kept(p)).find_map(at)
    };
    at(whole.centroid).or_else(elsewhere)
}

/// Why a cell that lies wholly outside the field is solid at a point; `None` when there is nothing to tell (beyond the border,
/// or cut out with a window).
fn why_solid(outline: &Outline, inside: &Boundary, at: Point) -> Option<String> {
    if !inside.contains(at)
        || outline.is_set_aside(at)
        || outline.windows.iter().any(|w| w.contains(at))
        || outline.holes.iter().any(|h| (h.at - at).hypot2().sqrt() < h.diameter.get() / 2.0)
    {
        return None;
    }
    Some(format!("{} is kept solid", what_stands_at(outline, at)))
}

fn what_stands_at(outline: &Outline, at: Point) -> String {
    if let Some(keep) = outline.keeps.iter().find(|k| k.contains(at)) {
        return keep.name.clone();
    }
    let window = outline.windows.iter().find(|w| w.is_about(at));
    if let Some(window) = window {
        return format!("the border of {} ({})", window.label, window.name);
    }
    let hole = outline
        .holes
        .iter()
        .min_by(|a, b| (a.at - at).hypot2().sqrt().total_cmp(&(b.at - at).hypot2().sqrt()));
    match hole {
        Some(hole) => format!("the metal round {} ({})", hole.label, hole.name),
        None => "the border".into(),
    }
}
