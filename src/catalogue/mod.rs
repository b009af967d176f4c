//! Repeat patterns: the files in `patterns/`, read and proved. A pattern says nothing of size or metal.

use crate::geom::Ring;
use kurbo::{Point, Vec2};

/// A repeat that fills the plane, in the file's own unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Pattern {
    /// Key in a job file: the file's stem.
    pub name: String,
    pub title: String,
    pub about: String,
    pub source: String,
    /// The two repeat vectors.
    pub repeat: [Vec2; 2],
    pub shapes: Vec<PatternShape>,
    pub centres: Vec<Centre>,
}

/// One cell of the repeat, before the bridge is taken off. Anticlockwise.
#[derive(Debug, Clone, PartialEq)]
pub struct PatternShape {
    pub name: String,
    pub ring: Ring,
}

/// A point the pattern may be centred on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Centre {
    pub kind: CentreKind,
    pub at: Point,
    /// Order of turning symmetry (1: none).
    pub order: u32,
    /// Whether a mirror runs through it.
    pub mirror: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CentreKind {
    Opening,
    Joint,
    Bridge,
}
