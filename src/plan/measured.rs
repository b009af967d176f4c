//! The piece as the bench has it: as planned, with whatever was measured put in its place.

use crate::geom::{boolean, BooleanOp, Point, Region, Ring};
use crate::job::{Job, Shape};
use crate::openings::{corners_of, Piece};
use crate::outline::Stretch;
use crate::units::Mm;

/// What every sum of the plan starts from. Lengths mm, areas mm2.
#[derive(Debug, Clone)]
pub struct Measured<'a> {
    /// As read, with what was measured.
    pub job: &'a Job,
    /// As drawn: nothing measured moves it.
    pub piece: &'a Piece,
    /// Of the sheet, as measured where it was.
    pub thickness: f64,
    /// The outline without lugs, as measured where it was. Of a piece to be domed: the flat's.
    pub base: Ring,
    /// Across, for circles.
    pub across: Option<f64>,
    /// Width and height without lugs.
    pub size: (f64, f64),
    /// Width and height with lugs.
    pub over_all: (f64, f64),
    /// The outer edge is the measured one: it has been filed.
    pub edge_found: bool,
    /// Area inside the outer edge, lugs included.
    pub edge_area: f64,
    /// Balance point of that area.
    pub edge_balance: Point,
    /// Width and height once it is domed, for a piece that will be.
    pub domed: Option<(f64, f64)>,
    /// Windows, those that overlap joined to one: the line is sawn once and the metal cut out once.
    pub windows: Vec<Region>,
    /// The same with the holes that stay.
    pub cut_outs: Vec<Region>,
    /// Single pieces to make: a pair is two.
    pub pieces: u32,
}

impl<'a> Measured<'a> {
    /// With what was measured: four readings or a tape round a disc a little out of round give its mean.
    pub fn found(job: &'a Job, piece: &'a Piece) -> Self {
        let thickness = job.measured.thickness.unwrap_or(job.sheet.thickness).get();
        Self::new(job, piece, thickness, piece.outline.stretch())
    }

    /// As planned, nothing measured.
    pub fn planned(job: &'a Job, piece: &'a Piece) -> Self {
        Self::new(job, piece, job.sheet.thickness.get(), Stretch::NONE)
    }

    fn new(job: &'a Job, piece: &'a Piece, thickness: f64, stretch: Stretch) -> Self {
        let outline = &piece.outline;
        let plain = |(width, height): (Mm, Mm)| (width.get(), height.get());
        let edge = stretch.ring(&outline.edge);
        let bounds = edge.bounds();
        let size = plain(stretch.size(outline.size));
        let windows = || outline.windows.iter().map(|w| w.ring.clone().anticlockwise());
        let holes = outline.holes.iter().map(|h| Ring::circle(h.at, h.diameter.get() / 2.0));
        Self {
            job,
            piece,
            thickness,
            across: matches!(job.outline.shape, Shape::Circle { .. }).then_some(size.0),
            base: stretch.ring(&outline.base),
            size,
            over_all: (bounds.width(), bounds.height()),
            edge_found: outline.found.is_some(),
            edge_area: edge.area(),
            edge_balance: edge.centroid(),
            domed: outline.domed.as_ref().map(|d| plain(stretch.size(d.size))),
            windows: joined(windows()),
            cut_outs: joined(windows().chain(holes)),
            pieces: job.pieces.max(1),
        }
    }

    /// Whether the maker measured anything.
    pub fn was_measured(job: &Job) -> bool {
        job.measured.outline.is_some() || job.measured.thickness.is_some()
    }

    /// Grams in a square millimetre of this sheet.
    pub fn grams_per_mm2(&self) -> f64 {
        self.thickness * self.job.sheet.metal.density * 1e-3
    }

    /// Area of all openings.
    pub fn openings_area(&self) -> f64 {
        self.piece.openings.iter().map(|o| o.area).sum()
    }

    /// Area of windows and of holes that stay.
    pub fn cut_outs_area(&self) -> f64 {
        self.cut_outs.iter().map(Region::area).sum()
    }

    /// Line of the windows, mm.
    pub fn windows_line(&self) -> f64 {
        self.windows.iter().flat_map(Region::rings).map(Ring::perimeter).sum()
    }

    /// A length in the job's units, to the hundredth of a millimetre: "0.80 mm".
    pub fn mm(&self, mm: f64) -> String {
        self.job.units.says(mm, 2)
    }

    /// The same without its unit.
    pub fn number(&self, mm: f64) -> String {
        self.job.units.plain(mm, 2)
    }

    /// Metal left, mm2.
    pub fn metal_area(&self) -> f64 {
        self.edge_area - self.openings_area() - self.cut_outs_area()
    }

    /// Share of metal left inside the border, 0 to 1.
    pub fn solid_share(&self) -> f64 {
        let field: f64 = self.piece.outline.inside_border.iter().map(|r| r.area()).sum();
        if field > 0.0 {
            (1.0 - self.openings_area() / field).clamp(0.0, 1.0)
        } else {
            1.0
        }
    }

    /// Sheets sawn together, never more than there are pieces.
    pub fn stack(&self) -> u32 {
        self.job.saw.stack.clamp(1, self.pieces)
    }

    /// Times a sheet or stack is sawn for all pieces: the last stack may be a smaller one.
    pub fn runs(&self) -> u32 {
        self.pieces.div_ceil(self.stack())
    }

    /// Times one piece counts at the drill and at every threading: less than one in a stack.
    pub fn runs_each(&self) -> f64 {
        f64::from(self.runs()) / f64::from(self.pieces)
    }
}

/// Rings as regions, those that overlap joined.
fn joined(rings: impl Iterator<Item = Ring>) -> Vec<Region> {
    let regions: Vec<Region> = rings.map(|ring| Region::new(ring, Vec::new())).collect();
    let boxes: Vec<_> = regions.iter().map(|r| r.outer().bounds()).collect();
    let overlap = |i: usize| boxes[i + 1..].iter().any(|b| boxes[i].overlaps(*b));
    match (0..boxes.len()).any(overlap) {
        true => boolean(&regions, BooleanOp::Union, &[]),
        false => regions,
    }
}

/// Area of a disc, mm2.
pub(super) fn disc(across: f64) -> f64 {
    std::f64::consts::PI * across * across / 4.0
}

/// A corner of a line that a blade or a strip must turn at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SharpCorner {
    /// mm from the outline's middle.
    pub at: Point,
    /// Degrees between the two lines, inside the ring.
    pub angle: f64,
    /// How far along the line from its first point, mm.
    pub along: f64,
}

/// Corners where the direction turns by more than 30 degrees: less and the saw follows without stopping.
pub fn sharp_corners(ring: &Ring) -> Vec<SharpCorner> {
    let starts: Vec<f64> = ring
        .edges()
        .scan(0.0, |along, edge| {
            let start = *along;
            *along += edge.length();
            Some(start)
        })
        .collect();
    corners_of(ring)
        .into_iter()
        .map(|(i, turn)| SharpCorner {
            at: ring.vertex(i).at,
            angle: 180.0 - turn.to_degrees(),
            along: starts[i],
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_of_a_square_and_none_of_a_circle() {
        let square = Ring::polygon([(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)].map(Point::from));
        let corners = sharp_corners(&square);
        assert_eq!(corners.len(), 4);
        assert!((corners[1].angle - 90.0).abs() < 1e-9 && (corners[1].along - 4.0).abs() < 1e-9);
        assert!(sharp_corners(&Ring::circle(Point::ORIGIN, 3.0)).is_empty());
    }
}
