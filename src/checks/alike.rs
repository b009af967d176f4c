//! What was measured before: gaps and neighbourhoods of openings that lie alike are measured once.

use crate::geom::{ClosestPoints, Mixed};
use crate::openings::Opening;
use std::collections::HashMap;
use std::hash::BuildHasherDefault;

/// Gaps between openings of numbered shapes, seen from the first one's drill point: by both shapes and how the second
/// lies to the first.
#[derive(Default)]
pub(super) struct Gaps(HashMap<Lie, Option<ClosestPoints>, BuildHasherDefault<Mixed>>); // Looked up only, never walked.

/// Two shapes, and how the second lies to the first.
type Lie = (u32, u32, [i64; 2]);

/// What the neighbours of a neighbourhood bring: the place of each one's measures, if there is a bridge to it.
pub(super) type Gained = Box<[Option<u32>]>;

/// Neighbourhoods met before: an opening of a numbered shape and all that lies within its reach, openings of numbered shapes
/// without exception. For each of those the place of the bridge's measures, if there is a bridge; nothing at all where the
/// neighbourhood alone does not tell.
#[derive(Default)]
pub(super) struct Met {
    pub known: HashMap<Box<[i64]>, Option<Gained>, BuildHasherDefault<Mixed>>, // Looked up only, never walked.
    /// The neighbourhood asked about: each neighbour's shape and place from the home's start hole, and which it is.
    pub lies: Vec<([i64; 3], u32)>,
    pub key: Vec<i64>,
}

/// Two places to which an opening lies from another are the same when they differ by no more than about this, mm: rounding.
const SAME_PLACE: f64 = 1e-9;

/// How `b` lies to `a`, in steps of [`SAME_PLACE`].
pub(super) fn lie(a: &Opening, b: &Opening) -> [i64; 2] {
    let way = b.drill_at - a.drill_at;
    [way.x, way.y].map(|v| {
        let steps = v / SAME_PLACE;
        (steps + 0.5_f64.copysign(steps)) as i64
    })
}

impl Gaps {
    /// The gap between two openings, measured only where none has been of two that lie alike.
    pub(super) fn between(
        &mut self,
        a: &Opening,
        b: &Opening,
        measured: impl FnOnce() -> Option<ClosestPoints>,
    ) -> Option<ClosestPoints> {
        let (Some(first), Some(second)) = (a.shape, b.shape) else { return measured() };
        let gap = self.between_alike((a, first), (b, second), measured);
        gap.map(|gap| gap.translated(a.drill_at.to_vec2()))
    }

    /// The same of two of numbered shapes, seen from the first one's start hole.
    pub(super) fn between_alike(
        &mut self,
        (a, first): (&Opening, u32),
        (b, second): (&Opening, u32),
        measured: impl FnOnce() -> Option<ClosestPoints>,
    ) -> Option<ClosestPoints> {
        let from_drill = |gap: ClosestPoints| gap.translated(-a.drill_at.to_vec2());
        *self.0.entry((first, second, lie(a, b))).or_insert_with(|| measured().map(from_drill))
    }
}
