//! Bare outlines for a cutting service: true size, hairlines, no words, no marks.

use super::page::{CopyAt, Group, Ink, Mark, Page, PageKind, Pen};
use super::place::Placement;
use crate::geom::{Point, Ring};
use crate::job::Job;
use crate::work::Work;

/// Free paper round the piece, mm.
const MARGIN: f64 = 5.0;
/// A hairline, mm: services read the middle of the line, its width says nothing.
const HAIRLINE: Pen = Pen::new(0.01, 100);

/// A page of bare outlines, as [`send_out_for`] with no allowance; a pair gives two pages, left and right.
pub fn send_out(job: &Job, work: &Work) -> Vec<Page> {
    send_out_for(job, work, 0.0)
}

/// Outline, windows, holes and openings as closed hairlines. `cut_width` is the width of the cut in mm that the service
/// takes off (0: they allow for it themselves): every line moves half of it into the waste.
pub fn send_out_for(job: &Job, work: &Work, cut_width: f64) -> Vec<Page> {
    let sides: &[bool] = if job.pair { &[false, true] } else { &[false] };
    sides.iter().map(|mirrored| bare(work, cut_width, *mirrored)).collect()
}

fn bare(work: &Work, cut_width: f64, mirrored: bool) -> Page {
    let outline = &work.piece.outline;
    let half = cut_width.max(0.0) / 2.0;
    let edge = outline.edge.grow(half);
    let b = edge.bounds();
    let mut page = Page::new(PageKind::Outlines, (b.width() + 2.0 * MARGIN, b.height() + 2.0 * MARGIN));
    let left = if mirrored { b.x1 } else { -b.x0 };
    let place = Placement { middle: Point::new(MARGIN + left, MARGIN + b.y1), turn: 0.0, mirrored };
    page.alone = true;
    page.copies.push(CopyAt { k: 1, place });
    let mut put = |group: Group, rings: Vec<Ring>, opening: usize| {
        let rings: Vec<Ring> = rings.iter().map(|r| place.ring(r)).collect();
        if !rings.is_empty() {
            let mut mark = Mark::new(group, Ink::Closed { rings, pen: HAIRLINE }).of(opening);
            mark.copy = 1;
            page.marks.push(mark);
        }
    };
    let mut rings = vec![edge];
    rings.extend(outline.windows.iter().flat_map(|w| w.ring.shrink(half)));
    rings.extend(
        outline
            .holes
            .iter()
            .map(|h| (h.at, h.diameter.get() / 2.0 - half))
            .filter(|(_, r)| *r > 0.0)
            .map(|(at, r)| Ring::circle(at, r)),
    );
    put(Group::Outline, rings, 0);
    for o in &work.piece.openings {
        put(Group::Openings, o.ring.shrink(half), o.n);
    }
    page
}
