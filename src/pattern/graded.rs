//! What grows across the piece: bridges and cells graded from the middle outwards or along a line.

use crate::geom::{sin_cos_degrees, Point, Rect, Region, Vec2};
use crate::job::{Job, LengthUnit};
use crate::outline::Outline;

/// Lines are flattened to this before they are looked through for their farthest points, mm. The end of a grading moves
/// by no more.
const FLAT: f64 = 1e-4;

/// How far along the grading a point lies: from 0 in the middle or at the near end of a line, to 1 at the farthest point
/// of the field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ramp {
    /// Direction of the line; `None`: outwards.
    way: Option<Vec2>,
    from: f64,
    span: f64,
}

impl Ramp {
    /// Over a field (or `bounds`, when there is none), along a direction in degrees or outwards.
    pub fn over(field: &[Region], bounds: Rect, along: Option<f64>) -> Ramp {
        let mut points: Vec<Point> = field.iter().flat_map(|r| r.outer().flatten(FLAT)).collect();
        if points.is_empty() {
            let Rect { x0, y0, x1, y1 } = bounds;
            points = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from).to_vec();
        }
        let way = along.map(|degrees| {
            let (s, c) = sin_cos_degrees(degrees);
            Vec2::new(c, s)
        });
        let mut ramp = Ramp { way, from: 0.0, span: 1.0 };
        let (low, high) = points
            .iter()
            .map(|p| ramp.run(*p))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
        ramp.from = if way.is_some() { low } else { 0.0 };
        ramp.span = (high - ramp.from).max(FLAT);
        ramp
    }

    fn run(&self, p: Point) -> f64 {
        match self.way {
            Some(way) => p.to_vec2().dot(way),
            None => p.to_vec2().hypot2().sqrt(),
        }
    }

    /// How far along the ramp a point lies: 0 at its start, 1 at its end and beyond.
    pub fn part(&self, p: Point) -> f64 {
        ((self.run(p) - self.from) / self.span).clamp(0.0, 1.0)
    }
}

/// Graded bridges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Walls {
    ramp: Ramp,
    from: f64,
    to: f64,
}

impl Walls {
    /// A job's, when it grades its bridges.
    pub fn of(job: &Job, outline: &Outline) -> Option<Walls> {
        let to = job.pattern.bridge_to?;
        let field = &outline.room;
        let ramp = Ramp::over(field, Rect::ZERO, job.pattern.along);
        Some(Walls { ramp, from: job.pattern.bridge.get(), to: to.get() })
    }

    /// What is taken off a cell whose middle lies at `p`, mm: its bridge; off a motif, which stands apart as it is where
    /// the bridge is narrowest, what the bridge is wider here.
    pub fn taken(&self, p: Point, motif: bool) -> f64 {
        let bridge = self.from + (self.to - self.from) * self.ramp.part(p);
        bridge - if motif { self.from.min(self.to) } else { 0.0 }
    }

    /// In a sentence, for the job card.
    pub fn note(&self, units: LengthUnit) -> String {
        let (from, to) = match self.ramp.way {
            Some(_) => ("at the start of the line", "at its end"),
            None => ("in the middle", "at the border"),
        };
        format!(
            "bridges graded from {} {from} to {} {to}: each opening keeps half its own, so between two it is the mean",
            units.says(self.from, 2),
            units.says(self.to, 2)
        )
    }
}
