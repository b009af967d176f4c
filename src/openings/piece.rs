//! The piece of a job: its outline filled with openings.

use super::fitted::fit;
use super::open::{tried, Opened};
use super::sequence::number;
use super::{LeftSolid, Opening, Piece, Resolved};
use crate::error::Error;
use crate::geom::{Boundary, Point, Rect, Ring};
use crate::job::{Alteration, AtBorder, Job, PatternSource};
use crate::outline::Outline;
use crate::pattern::{cells, cells_by, set_rows, Cells, Effort};
use crate::units::{plain, Mm};

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
    open_by(job, outline, &cells, Effort::First)
}

/// The same of cells that are laid.
pub fn open(job: &Job, outline: Outline, cells: &Cells) -> Result<Piece, Error> {
    open_by(job, outline, cells, Effort::Best)
}

fn open_by(job: &Job, outline: Outline, cells: &Cells, effort: Effort) -> Result<Piece, Error> {
    let field = Boundary::new(&outline.field);
    let rows = set_rows(job, &outline)?;
    let (laid, opened, border) = match job.pattern.at_border {
        AtBorder::Fit if has_pattern(job) => {
            fit(job, &outline, &field, cells, effort).map(|(l, o, b)| (l, o, Some(b)))?
        }
        _ => tried(job, &outline, &field, cells.first()).map(|(l, o)| (l, o, None))?,
    };
    let Opened { mut openings, mut left_solid, worked } = opened;
    let mut notes = laid.notes.clone();
    let pitch = if has_pattern(job) {
        laid.pitch
    } else {
        // What stands for the repeat where there is none: the step of the first row, or the motif's size.
        let motif = outline.middle.as_ref().map(|m| m.ground.bounds().width());
        Mm(rows.first().map(|row| row.step.0).or(motif).unwrap_or_default())
    };
    let set = |ring: &Ring| Opening::of(ring.clone(), false);
    let motif = outline.middle.iter().flat_map(|m| &m.openings);
    openings
        .extend(motif.flat_map(|ring| ring.rounded(job.pattern.corner_radius.get())).map(|ring| set(&ring)));
    for row in &rows {
        openings.extend(row.openings.iter().map(set));
        let left =
            |(at, reason): &(Point, String)| LeftSolid { at: *at, reason: reason.clone(), whole: false };
        left_solid.extend(row.left.iter().map(left));
        notes.push(row.note.clone());
    }
    change(job, &mut openings, &mut left_solid)?;
    let size = (outline.size.0.get(), outline.size.1.get());
    number(&mut openings, size, outline.seam.is_some());
    left_solid.sort_by(|a, b| a.at.y.total_cmp(&b.at.y).then(a.at.x.total_cmp(&b.at.x)));
    let resolved = Resolved {
        pitch,
        bridge: job.pattern.bridge,
        bridge_to: job.pattern.bridge_to,
        centre: laid.centre.clone(),
        turn: laid.turn,
        origin: laid.origin,
        repeats: laid.repeats.clone(),
        border,
        worked,
        rows,
        notes,
    };
    Ok(Piece { outline, openings, left_solid, resolved })
}

fn has_pattern(job: &Job) -> bool {
    !matches!(job.pattern.source, PatternSource::None)
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
