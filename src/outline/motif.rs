//! The motif in the middle: a rosette, a star, or one opening of any shape.

use super::rings;
use crate::error::Error;
use crate::geom::{sin_cos_degrees, Point, Ring, Vec2, Vertex};
use crate::job::{Job, MiddleSpec, Motif};
use std::f64::consts::{FRAC_PI_8, PI};

/// The motif in the middle of a piece.
#[derive(Debug, Clone)]
pub struct Middle {
    /// Its openings, corners not yet rounded.
    pub openings: Vec<Ring>,
    /// What the pattern leaves free round it.
    pub ground: Ring,
}

impl Middle {
    /// Errors when the bridges leave nothing of a petal, or a shape cannot be drawn.
    pub(super) fn of(job: &Job, spec: &MiddleSpec) -> Result<Middle, Error> {
        let (apart, bridge) = (spec.apart.get(), job.pattern.bridge.get());
        let (openings, ground) = match &spec.motif {
            Motif::Rosette { diameter, petals, eye } => {
                let radius = diameter.get() / 2.0;
                let eye = eye.map(|eye| eye.get());
                let openings = rosette(radius, *petals, bridge, eye).ok_or_else(|| {
                    let wrong = format!(
                        "a rosette {diameter} across has no room for {petals} petals with bridges of {}",
                        job.pattern.bridge
                    );
                    job.refused(
                        "middle.petals",
                        wrong,
                        "give it fewer petals, a smaller eye, or make it larger",
                    )
                })?;
                (openings, Ring::circle(Point::ORIGIN, radius + apart))
            }
            Motif::Star { diameter, points } => {
                let star = star(diameter.get() / 2.0, *points);
                (vec![star.clone()], star.grow(apart))
            }
            Motif::Single(shape) => {
                let lines = rings(shape).map_err(|e| job.placed("middle.shape", e))?;
                let [line] = &lines[..] else {
                    let todo = "draw it as one closed line";
                    return Err(job.refused("middle.shape", "the motif is drawn with lines inside it", todo));
                };
                (vec![line.clone()], line.grow(apart))
            }
        };
        let placed = |ring: Ring| ring.rotated(spec.turn).translated(spec.at.to_vec2());
        Ok(Middle { openings: openings.into_iter().map(placed).collect(), ground: placed(ground) })
    }
}

/// Petals round the origin, a bridge apart, one pointing up: each ends in the circle that touches both its sides and the
/// rosette's own, and begins a bridge from the eye, or in a point. `None` if nothing is left of them.
fn rosette(radius: f64, petals: u32, bridge: f64, eye: Option<f64>) -> Option<Vec<Ring>> {
    let half = PI / f64::from(petals);
    let (s, c) = (libm::sin(half), libm::cos(half));
    // The round end: as far out as `far`, and as wide as the sides are apart there.
    let far = radius / (1.0 + s);
    let end = far * s;
    if end <= bridge / 2.0 {
        return None;
    }
    // The petal upright: its sides run from the origin to where the round end leaves them.
    let foot = far * c;
    let at = |side: f64, along: f64| Point::new(side * along * s, along * c);
    // The arc goes round from one side over the top to the other: half a turn and the angle between the sides.
    let bulge = libm::tan((PI + 2.0 * half) / 8.0);
    let top = Point::new(0.0, radius);
    let round = [
        Vertex { at: at(1.0, foot), bulge },
        Vertex { at: top, bulge },
        Vertex { at: at(-1.0, foot), bulge: 0.0 },
    ];
    let start = eye.map_or(0.0, |eye| eye / 2.0 + bridge);
    // Drawn in by half a bridge, the sides of neighbours stand a bridge apart; the eye's bridge is kept too.
    let cut = start - bridge / 2.0;
    let mut vertices: Vec<Vertex> = match eye {
        Some(_) if cut >= foot => return None,
        // Backwards along a circle round the eye.
        Some(_) => vec![
            Vertex { at: at(-1.0, cut), bulge: libm::tan(-half / 2.0) },
            Vertex { at: at(1.0, cut), bulge: 0.0 },
        ],
        None => vec![Vertex { at: Point::ORIGIN, bulge: 0.0 }],
    };
    vertices.extend(round);
    let petal =
        Ring::new(vertices).shrink(bridge / 2.0).into_iter().max_by(|a, b| a.area().total_cmp(&b.area()))?;
    let turned = |k: u32| petal.rotated(360.0 * f64::from(k) / f64::from(petals));
    let mut all: Vec<Ring> = (0..petals).map(turned).collect();
    all.extend(eye.map(|eye| Ring::circle(Point::ORIGIN, eye / 2.0)));
    Some(all)
}

/// A star with a point up. Its points are 45 degrees: a blade turns in them and a file reaches in.
fn star(radius: f64, points: u32) -> Ring {
    let half = PI / f64::from(points);
    let lean = libm::tan(FRAC_PI_8);
    let inner = radius * lean / (libm::sin(half) + lean * libm::cos(half));
    let corner = |k: u32| {
        let (s, c) = sin_cos_degrees(90.0 + 180.0 * f64::from(k) / f64::from(points));
        Point::ORIGIN + Vec2::new(c, s) * if k.is_multiple_of(2) { radius } else { inner }
    };
    Ring::polygon((0..2 * points).map(corner))
}
