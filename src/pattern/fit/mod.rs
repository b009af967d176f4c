//! A pattern made to fit its outline: whole cells to the very border, those by it bent a little.
//!
//! 1. `field`: where the middle lines of bridges may run; `curve`: its border lines, by arc length, with their corners.
//! 2. `tiling`: the pattern as vertices and sides; `mesh`: laid in one place; `symmetry`: what keeps both.
//! 3. `keep`: the cells whose own angles let them lie along the border; `loops`: their edge.
//! 4. `seats`: edge vertices on the border; `relax`: all cells bent, each as little as can be.
//! 5. `faces`: cells again, with exact lines; `judge`: how they look beside the pattern's own; `search`: the best place.
//!
//! An overlay grid (from memory, believed Schneiders, "Quadrilateral and hexahedral element meshes") with shape matching
//! (Bouaziz and others, "Shape-Up", 2012) in place of smoothing.

mod curve;
mod faces;
mod field;
mod judge;
mod keep;
mod loops;
mod mesh;
mod relax;
mod search;
mod seats;
mod symmetry;
mod tiling;
