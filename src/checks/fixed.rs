//! The edges that do not belong to openings: the outer edge, windows, holes, and their images across a seam.

use super::Side;
use crate::geom::{Boundary, ClosestPoints, Point, Ring};
use crate::job::Job;
use crate::openings::Piece;
use crate::outline::Seam;

/// The outer edge, a window or a hole, with what clean-up takes off its side, mm.
pub(super) struct Fixed {
    pub side: Side,
    pub ring: Ring,
    pub line: Boundary,
    pub reach: f64,
    pub clean_up: f64,
    /// The outer edge as measured, when it was: finished widths run to it.
    pub found: Option<Boundary>,
    /// How often it was carried over the seam, and its way round a bent piece; none for the edge, which goes all round.
    pub image: i8,
    pub way_round: Option<f64>,
}

/// The outer edge, then windows and holes, with their images on the other side of a seam. `reach`: how far about them openings
/// are looked for, mm.
pub(super) fn fixed_edges(job: &Job, piece: &Piece, reach: f64) -> Vec<Fixed> {
    let outline = &piece.outline;
    let clean_up = job.saw.clean_up.get();
    let ends = outline.seam.map(|seam| (seam, seam.part_edges(&outline.edge).0));
    let fixed = |side, ring: Ring, reach: f64, clean_up| {
        let line = Boundary::of_ring(&ring);
        Fixed { side, ring, line, reach, clean_up, found: None, image: 0, way_round: None }
    };
    let mut edge = fixed(Side::Edge, outline.edge.clone(), reach.max(1.5 * outline.border.get()), clean_up);
    if let Some(seam) = outline.seam {
        // The two ends are no edge: they meet.
        edge.line = Boundary::of_edges(seam.part_edges(&outline.edge).1);
    }
    if let Some(found) = &outline.found {
        edge.found = Some(Boundary::of_ring(found));
        edge.clean_up = 0.0;
    }
    let mut all = vec![edge];
    // A cut-out stands on the other side of the seam too when it is near an end.
    let mut add = |cut_out: Fixed, at: Point| {
        let ring = cut_out.ring.clone();
        for (seam, (end, onwards)) in ends.iter().flat_map(|(s, ends)| ends.iter().map(move |e| (s, e))) {
            if ring.edges().any(|e| e.closest(end).distance <= 2.0 * cut_out.reach) {
                let (image, carried) = (if *onwards { 1 } else { -1 }, seam.carry(&ring, *onwards));
                let way_round = Some(seam.way_round(at, image));
                all.push(Fixed {
                    image,
                    way_round,
                    ..fixed(cut_out.side, carried, cut_out.reach, cut_out.clean_up)
                });
            }
        }
        let way_round = outline.seam.map(|seam| seam.way_round(at, 0));
        all.push(Fixed { way_round, ..cut_out });
    };
    for (w, window) in outline.windows.iter().enumerate() {
        let reach = reach.max(1.5 * window.border.get());
        add(fixed(Side::Window(w + 1), window.ring.clone(), reach, clean_up), window.drill_at);
    }
    for (h, hole) in outline.holes.iter().enumerate() {
        let ring = Ring::circle(hole.at, hole.diameter.get() / 2.0);
        add(fixed(Side::Hole(h + 1), ring, reach, 0.0), hole.at);
    }
    all
}

impl Fixed {
    /// The gap to another: of a bent piece's edge only the rims count, where its ends meet it is none.
    pub(super) fn gap(&self, other: &Fixed, seam: Option<Seam>) -> Option<ClosestPoints> {
        match seam {
            Some(_) if self.side == Side::Edge => {
                let size = self.ring.bounds().size();
                self.line.closest(&other.ring, size.width + size.height).map(|gap| gap.swapped())
            }
            _ => Some(self.ring.closest(&other.ring)),
        }
    }

    pub(super) fn is_beside(&self, way_round: f64) -> bool {
        self.way_round.is_none_or(|own| Seam::is_beside(own, way_round))
    }
}
