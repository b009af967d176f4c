//! Plain shapes in mm: rings of lines and true arcs, regions, cutting, drawing in and out, distances, widest circles.
//!
//! x to the right, y up, angles anticlockwise. A ring's area is positive when it runs anticlockwise.
//! An edge's `bulge` is tan(angle / 4) of the arc leaving its corner: 0 straight, positive bulges to the right of the
//! direction of travel (outward on an anticlockwise ring), 1 is half a circle.
//! This room knows no jobs; only it may use the geometry crates (points and vectors from `kurbo` excepted).

pub use kurbo::{Point, Rect, Vec2};

mod alley;
mod boundary;
mod boxes;
mod convex;
mod curve;
mod cut;
mod drawing;
mod edge;
mod gap;
mod inscribed;
mod offset;
mod rect;
mod ring;
mod simple;
mod svg_file;

pub use boundary::Boundary;
pub use boxes::{Boxed, Boxes};
pub use curve::{arc_about, arcs_along, ellipse, rings_of_path, OvalArc, CURVE};
pub use cut::{cut, trim_all, Cut, CHORD};
pub use drawing::rings_of_svg;
pub use edge::Edge;
pub use gap::{boxes_apart2, contains, gap_within, Gap};
pub use inscribed::{widest_circle, Widest};
pub use rect::Grow;
pub use ring::{sin_cos_degrees, Corner, Region, Ring};
pub use svg_file::rings_of_svg_file;
