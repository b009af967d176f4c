//! The metal that is left as a graph: joints where bridges meet, and the bridges between them.
//!
//! Of every point of the metal one border is nearest: an opening, the outer edge, a window, a hole. A *bridge* is the
//! metal along the line where two of them are equally near, its middle line; a *joint* is where three or more are, the
//! middle of a disc that touches them all. This is the middle line of the whole metal between openings (their
//! generalized Voronoi diagram) without the spurs that run into the corners of single openings: a spur is a tongue, held
//! at one end, and carries nothing on.
//!
//! Why not the neighbour pairs of [`super::graph`] alone, which are cheaper: they say how thin the metal is, not how it
//! hangs together. On a disc of ten thousand hexagons both find the same 30,000 bridges, but the pairs know neither
//! joints nor lengths, nor the way to the border, and lose the bridges that are narrowest at their end. Why not the whole
//! medial axis: it has about three times as many branches, two thirds of them those spurs.
//!
//! As in every drawing on a plane, joints - bridges + borders = 1 + separate parts of the graph; each border (an opening,
//! the edge, a window, a hole) is one face. Metal walled in by a single opening and held by one neck is such a separate
//! part: it is named in [`Net::alone`]. Costs grow in step with the openings (measured: `benches/whole.rs`).

mod build;
mod sites;
mod trace;
mod ways;

use super::{held_by_one, Bridge, BridgeGraph, HeldByOne, Side};
use crate::geom::Point;
use crate::job::Job;
use crate::openings::Piece;
use crate::units::Mm;

/// Joints and bridges of the metal that is left.
#[derive(Debug, Clone, Default)]
pub struct Net {
    /// From the top down and from left to right.
    pub joints: Vec<Joint>,
    /// First those with a neck in the [`BridgeGraph`], in its order, then the others, thinnest first.
    pub spans: Vec<Span>,
    /// Necks too short to be bridges, by their place in the [`BridgeGraph`], each with the joint it lies in.
    pub in_joints: Vec<(usize, usize)>,
    /// Parts held by one neck only, thinnest neck first.
    pub alone: Vec<HeldByOne>,
    /// Openings, edges, windows and holes that border the metal.
    pub borders: usize,
}

/// Where bridges meet.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// Middle of the disc that touches what borders the joint.
    pub at: Point,
    /// The disc's diameter, as drawn.
    pub across: Mm,
    /// What it touches, anticlockwise.
    pub between: Vec<Side>,
    /// The bridges that meet here, by their place in [`Net::spans`]; a bridge that runs round in a ring stands twice.
    pub spans: Vec<usize>,
    /// The way to the solid border; `None` where there is none but over a single neck.
    pub to_border: Option<Way>,
}

/// The shortest way along the metal to the solid border.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way {
    /// Along the middle lines.
    pub length: Mm,
    /// Bridges passed.
    pub bridges: usize,
    /// The first of them, by its place in [`Net::spans`]; `None` at the border itself.
    pub next: Option<usize>,
}

/// A bridge of the graph: the metal along the middle line between two borders.
#[derive(Debug, Clone, PartialEq)]
pub struct Span {
    /// What it runs between.
    pub between: [Side; 2],
    /// Joints at its ends, by their place in [`Net::joints`].
    pub joints: [usize; 2],
    /// Along the middle line.
    pub length: Mm,
    /// Least distance across, as drawn.
    pub width: Mm,
    /// After clean-up on each sawn side.
    pub finished: Mm,
    /// The two points that far apart.
    pub at: [Point; 2],
    /// The same bridge in the [`BridgeGraph`], by its place there.
    pub neck: Option<usize>,
    /// The middle line from the first joint to the second. Across a band's seam it runs on past the blank's end.
    pub line: Vec<Point>,
    /// The one other bridge that carries a part together with this one: if both break, the part falls out.
    pub shares_with: Option<usize>,
}

impl Span {
    /// Halfway across its narrowest place.
    pub fn middle(&self) -> Point {
        self.at[0].midpoint(self.at[1])
    }

    /// It belongs to the solid border itself.
    pub fn is_border(&self) -> bool {
        self.between.contains(&Side::Edge)
    }
}

/// The graph of a piece's metal, from its measured necks.
pub fn net(job: &Job, piece: &Piece, graph: &BridgeGraph) -> Net {
    let mut net = build::build(job, piece, graph);
    ways::to_the_border(&mut net);
    ways::shared(&mut net);
    net.alone = held_by_one(job, piece);
    net
}

impl Net {
    /// The joint a bridge's load goes to first, and from there the way; the shorter of its two ends. Nought for the
    /// border's own bridges.
    pub fn way_of(&self, span: usize) -> Option<(usize, Way)> {
        let ends = self.spans.get(span)?.joints;
        let ways = ends.iter().filter_map(|&j| self.joints.get(j)?.to_border.map(|w| (j, w)));
        ways.min_by(|a, b| a.1.length.get().total_cmp(&b.1.length.get()).then(a.0.cmp(&b.0)))
    }
}

/// What clean-up takes off one side of a width.
fn clean_up(job: &Job, piece: &Piece, side: Side) -> f64 {
    match side {
        Side::Hole(_) => 0.0,
        Side::Edge if piece.outline.found.is_some() => 0.0,
        _ => job.saw.clean_up.get(),
    }
}

/// A neck as the checks see it.
fn same_bridge(bridge: &Bridge, between: [Side; 2]) -> bool {
    bridge.between == between || bridge.between == [between[1], between[0]]
}
