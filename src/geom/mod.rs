//! Plane geometry in mm: rings of lines and true arcs, regions, Boolean operations, offsets, distances, inscribed circles.
//!
//! x to the right, y up, angles anticlockwise. A ring's area is positive when it runs anticlockwise.
//! An edge's `bulge` is tan(angle / 4) of the arc leaving its vertex: 0 straight, positive bulges to the right of the
//! direction of travel (outward on an anticlockwise ring), 1 is half a circle.
//! This module knows no jobs; only it may use the geometry crates.

pub use kurbo::{Affine, PathEl, Point, Rect, Vec2};

mod biarc;
mod boolean;
mod boundary;
mod clip;
mod convex;
mod distance;
mod drawing;
mod edge;
mod grid;
mod inscribed;
mod isometry;
mod log_polar;
mod mixed;
mod offset;
mod parallel;
mod rect;
mod ring;
mod rtree;
mod self_intersection;
mod svg_file;
mod svg_style;
mod svg_view;

pub use biarc::{arc_about, biarcs, ellipse, rings_of_path, EllipticArc, CURVE};
pub use boolean::{boolean, BooleanOp, CHORD};
pub use boundary::Boundary;
pub use clip::clip_all;
pub use distance::{box_distance2, closest_within, contains, ClosestPoints};
pub use drawing::rings_of_svg;
pub use edge::Edge;
pub use grid::Grid;
pub use inscribed::{inscribed_circle, inscribed_within, InscribedCircle};
pub use isometry::Isometry;
pub use log_polar::LogPolar;
pub use mixed::Mixed;
pub use rect::Grow;
pub use ring::{sin_cos_degrees, Region, Ring, Vertex};
pub use rtree::{Bounded, RTree};
pub use svg_file::rings_of_svg_file;
