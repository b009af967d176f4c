//! Opening the cells: whole ones from their kind, border ones trimmed in one pass, the rest left solid with a reason.

use super::fitted::fit;
use super::join::join_small;
use super::score::Score;
use super::sequence::number;
use super::{LeftSolid, Opening, Piece, Resolved, DRILL_CLEARANCE};
use crate::error::Error;
use crate::geom::{clip_all, Boundary, Point, Rect, Region, Ring};
use crate::job::{Alteration, AtBorder, Job, PatternSource};
use crate::outline::Outline;
use crate::pattern::{cells, cells_by, lay, set_rows, starts, Cell, Cells, Effort, Laid};
use crate::units::{plain, Mm, JUST_PASSED};

/// A trimmed opening that lost less than this share of its area was not trimmed but touched.
const TOUCHED: f64 = 1e-6;

/// The piece of a job: its outline filled with openings. With `centre = "best"` every listed centre is tried; the one
/// with most whole openings wins, then the fewest left solid, then the widest narrowest opening. With
/// `at_border = "ease"` the pattern is tried a little smaller and larger, and the evenest edge row wins that has no thinner
/// openings than the pattern as it was asked for.
/// Errors when the pattern asks for too many cells or a change names a point outside every opening.
pub fn piece(job: &Job, outline: Outline) -> Result<Piece, Error> {
    let cells = cells(job, &outline)?;
    open(job, outline, &cells)
}

/// The same with the first good fit, to be shown while something is being moved; files are always drawn by [`piece`].
pub fn first_piece(job: &Job, outline: Outline) -> Result<Piece, Error> {
    let cells = cells_by(job, &outline, Effort::First)?;
    open(job, outline, &cells)
}

/// The same of cells that are laid.
pub fn open(job: &Job, outline: Outline, cells: &Cells) -> Result<Piece, Error> {
    let field = Boundary::new(&outline.field);
    let rows = set_rows(job, &outline)?;
    let (mut laid, opened, border) = match job.pattern.at_border {
        AtBorder::Fit if has_pattern(job) => {
            fit(job, &outline, &field, cells).map(|(l, o, b)| (l, o, Some(b)))?
        }
        _ => tried(job, &outline, &field, cells.first()).map(|(l, o)| (l, o, None))?,
    };
    let Opened { mut openings, mut left_solid } = opened;
    if !has_pattern(job) {
        // What stands for the repeat where there is none: the step of the first row, or the motif's size.
        let motif = outline.middle.as_ref().map(|m| m.ground.bounds().width());
        laid.pitch = Mm(rows.first().map(|row| row.step.0).or(motif).unwrap_or_default());
    }
    let set = |ring: &Ring| Opening::of(ring.clone(), false);
    let motif = outline.middle.iter().flat_map(|m| &m.openings);
    openings
        .extend(motif.flat_map(|ring| ring.rounded(job.pattern.corner_radius.get())).map(|ring| set(&ring)));
    for row in &rows {
        openings.extend(row.openings.iter().map(set));
        let left =
            |(at, reason): &(Point, String)| LeftSolid { at: *at, reason: reason.clone(), whole: false };
        left_solid.extend(row.left.iter().map(left));
        laid.notes.push(row.note.clone());
    }
    change(job, &mut openings, &mut left_solid)?;
    let size = (outline.size.0.get(), outline.size.1.get());
    number(&mut openings, size, outline.seam.is_some());
    left_solid.sort_by(|a, b| a.at.y.total_cmp(&b.at.y).then(a.at.x.total_cmp(&b.at.x)));
    let resolved = Resolved {
        pitch: laid.pitch,
        bridge: job.pattern.bridge,
        bridge_to: job.pattern.bridge_to,
        centre: laid.centre,
        turn: laid.turn,
        origin: laid.origin,
        repeats: laid.repeats,
        border,
        rows,
        notes: laid.notes,
    };
    Ok(Piece { outline, openings, left_solid, resolved })
}

fn has_pattern(job: &Job) -> bool {
    !matches!(job.pattern.source, PatternSource::None)
}

/// The best of the places to start from, opened; `first` are the cells laid from the first of them, where they are known.
pub(super) fn tried(
    job: &Job,
    outline: &Outline,
    field: &Boundary,
    first: Option<&Laid>,
) -> Result<(Laid, Opened), Error> {
    let mut best: Option<(Score, Laid, Opened)> = None;
    let mut first = first.cloned();
    for start in starts(job, outline) {
        let laid = match first.take() {
            Some(laid) => laid,
            None => lay(job, outline, &start)?,
        };
        let opened = opened(job, outline, field, &laid);
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
        Some((_, laid, opened)) => Ok((laid, opened)),
        None => Err(Error::job("the pattern has no centre to be laid on", "list at least one in its file")),
    }
}

/// What became of the cells.
pub(super) struct Opened {
    pub openings: Vec<Opening>,
    pub left_solid: Vec<LeftSolid>,
}

/// What a touching opening may reach past the field, mm: half the micrometre promised for borders. Smaller would trim
/// openings for the last digit.
const OUTSIDE: f64 = 5e-4;

/// Openings of a kind of cell, at the kind's own place.
pub(super) fn prototypes(kind: &Ring, bridge: f64, corner_radius: f64) -> Vec<Opening> {
    let drawn_in = kind.shrink(bridge / 2.0);
    let rings = drawn_in.iter().flat_map(|r| r.rounded(corner_radius));
    a_bridge_apart(rings.map(|ring| Opening::of(ring, false)).collect(), bridge)
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

/// Bridge taken off a cell, mm.
pub(super) fn bridge_of(job: &Job, laid: &Laid, cell: &Cell) -> f64 {
    cell.bridge.unwrap_or(usual_bridge(job, laid))
}

/// Bridge taken off cells that have none of their own, mm; motifs are openings as they stand.
pub(super) fn usual_bridge(job: &Job, laid: &Laid) -> f64 {
    if laid.motif {
        0.0
    } else {
        job.pattern.bridge.get()
    }
}

/// Least diameter that can be pierced: the drill and its clearance.
pub(super) fn pierceable(job: &Job) -> f64 {
    job.saw.drill.get() + DRILL_CLEARANCE
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

    let mut openings = Vec::with_capacity(laid.cells.len());
    let mut crossing: Vec<(usize, Opening)> = Vec::new();
    let mut solid: Vec<(usize, LeftSolid)> = Vec::new();
    for (c, cell) in laid.cells.iter().enumerate() {
        let own;
        let (prototypes, reach) = match cell.bridge {
            Some(bridge) => {
                own = prototypes(&laid.kinds[cell.kind], bridge, radius);
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
            let clear = field.distance(at) > reach;
            if fitted && field.contains(at) && (clear || !leaves_field(&prototype.translated(cell.at), field))
            {
                openings.push((c, prototype.translated(cell.at)));
            } else if clear || !field.meets(&prototype.ring.translated(cell.at)) {
                // Wholly in or wholly out: any point of it tells.
                if field.contains(if clear { at } else { prototype.drill_at + cell.at }) {
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

    let rings: Vec<Ring> = crossing.iter().map(|(_, o)| o.ring.clone()).collect();
    let bits = clip_all(&rings, &outline.field);
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
    }
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
        return Clipped::Small(left(too_small(widest, need)));
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

pub(super) fn too_small(widest: f64, need: f64) -> String {
    format!("too small to pierce: {} mm across, the drill wants {} mm", plain(widest, 2), plain(need, 2))
}

/// Why the opening of a cell that lies wholly outside the field is left solid, told at its middle, or else where some
/// of it lies within the border or in a kept place.
fn reason_left_solid(outline: &Outline, inside: &Boundary, whole: &Opening) -> Option<LeftSolid> {
    let at = |at: Point| why_solid(outline, inside, at).map(|reason| LeftSolid { at, reason, whole: false });
    let kept = |p: &Point| outline.keeps.iter().any(|k| k.ring.contains(*p));
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
        || outline.windows.iter().any(|w| w.ring.contains(at))
        || outline.holes.iter().any(|h| (h.at - at).hypot2().sqrt() < h.diameter.get() / 2.0)
    {
        return None;
    }
    Some(format!("{} is kept solid", what_stands_at(outline, at)))
}

fn what_stands_at(outline: &Outline, at: Point) -> String {
    if let Some(keep) = outline.keeps.iter().find(|k| k.ring.contains(at)) {
        return keep.name.clone();
    }
    let window = outline
        .windows
        .iter()
        .find(|w| w.ring.contains(at) || -w.ring.signed_distance(at) <= w.border.get() + 1e-6);
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

/// The changes asked for, each on the opening that holds its point.
fn change(job: &Job, openings: &mut Vec<Opening>, left_solid: &mut Vec<LeftSolid>) -> Result<(), Error> {
    if job.changes.is_empty() {
        return Ok(());
    }
    let mut boxes: Vec<Rect> = openings.iter().map(|o| o.ring.bounds()).collect();
    for (k, change) in job.changes.iter().enumerate() {
        let holds = |i: &usize| boxes[*i].contains(change.at) && openings[*i].ring.contains(change.at);
        let Some(i) = (0..openings.len()).find(holds) else {
            let at = format!("[{}, {}]", plain(change.at.x, 2), plain(change.at.y, 2));
            return Err(job.refused(
                &format!("change[{k}].at"),
                format!("[[change]] at {at}: no opening holds this point"),
                "give a point inside the opening, in mm from the middle",
            ));
        };
        match change.what {
            Alteration::Close => {
                let closed = openings.remove(i);
                boxes.remove(i);
                let reason = "closed by your change".into();
                left_solid.push(LeftSolid { at: closed.centroid, reason, whole: false });
            }
            Alteration::DrawIn(by) => {
                let left = openings[i].ring.shrink(by.get());
                let Some(ring) = left.into_iter().max_by(|a, b| a.area().total_cmp(&b.area())) else {
                    return Err(job.refused(
                        &format!("change[{k}].draw_in"),
                        format!("drawing the opening in by {by} leaves nothing of it"),
                        "draw it in by less, or close it",
                    ));
                };
                openings[i] = Opening::of(ring, openings[i].trimmed);
            }
        }
    }
    Ok(())
}

impl Piece {
    /// Area of all openings, mm2.
    pub fn open_area(&self) -> f64 {
        self.openings.iter().map(|o| o.area).sum()
    }

    /// The least diameter among the openings' widest circles; `None` when there are none.
    pub fn narrowest_opening(&self) -> Option<&Opening> {
        self.openings.iter().min_by(|a, b| a.widest.get().total_cmp(&b.widest.get()))
    }

    /// mm.
    pub fn openings_perimeter(&self) -> Mm {
        Mm(self.openings.iter().map(|o| o.perimeter.get()).sum())
    }
}
