//! Stars drawn on a repeat: from the middle of every side two lines run into each opening and stop where they meet the
//! lines from the next sides (the "polygons in contact" of E. H. Hankin 1925, as told in later papers; from memory).
//! Every opening becomes a star with its tips on the old sides, every joint an opening of its own.

use super::{proof, with_plain_centres, Centre, CentreKind, Fills, Pattern, PatternShape};
use crate::geom::{sin_cos_degrees, Point, Ring, Vec2, Vertex};

/// Lengths that count as equal, in shortest repeats.
const SAME: f64 = 1e-7;

/// What one corner of one shape gives to the stars.
struct Tip {
    corner: Point,
    /// Middle of the side that leaves the corner.
    leaving: Point,
    /// Where the lines from the two sides at the corner meet.
    inner: Point,
}

impl Pattern {
    /// The pattern with stars drawn on it, their lines leaving every side's middle at `angle` degrees to it: the tips
    /// are 180 - 2 `angle` wide. From 20 to 80. Only for straight shapes that stand side to side with all sides equal;
    /// the error says what is not so, or that the stars cross themselves at this angle.
    pub fn with_stars(&self, angle: f64) -> Result<Pattern, String> {
        if !(20.0..=80.0).contains(&angle) {
            return Err(format!("a contact angle of {angle} draws no stars: give 20 to 80 degrees"));
        }
        let unfit = || {
            let title = self.title.to_lowercase();
            format!(
                "stars cannot be drawn on {title}: it must be straight, side to side, with all sides equal"
            )
        };
        let side = self.shapes.first().map_or(0.0, |s| s.ring.edge(0).length());
        let mut edges = self.shapes.iter().flat_map(|s| s.ring.edges());
        let even = edges.all(|e| (e.length() - side).abs() < SAME);
        let straight = self.shapes.iter().all(|s| s.ring.vertices().all(|c| c.bulge == 0.0));
        if self.fills != Fills::Plane || side == 0.0 || !even || !straight {
            return Err(unfit());
        }
        let tips: Vec<Vec<Tip>> =
            self.shapes.iter().map(|s| tips_of(&s.ring, angle)).collect::<Option<_>>().ok_or_else(unfit)?;
        let mut shapes: Vec<PatternShape> = self
            .shapes
            .iter()
            .zip(&tips)
            .map(|(shape, tips)| {
                let ring = loop_of(tips.iter().flat_map(|t| [t.inner, t.leaving]))?;
                Some(PatternShape { name: format!("star on {}", shape.name), ring })
            })
            .collect::<Option<_>>()
            .ok_or_else(unfit)?;
        shapes.extend(self.joints(&tips).ok_or_else(unfit)?);
        let centres = self.centres.iter().map(|c| Centre {
            kind: if c.kind == CentreKind::Bridge { CentreKind::Crossing } else { CentreKind::Opening },
            ..*c
        });
        let pattern = Pattern {
            title: format!("{}, stars of {angle} degrees", self.title),
            about: format!("Stars drawn on {}.", self.title.to_lowercase()),
            source: format!(
                "own construction: lines from every side's middle at {angle} degrees; {}",
                self.source
            ),
            centres: with_plain_centres(centres.collect(), &shapes),
            shapes,
            ..self.clone()
        };
        match proof::faults(&pattern).first() {
            None => Ok(pattern),
            Some(_) => {
                Err(format!("at {angle} degrees the lines of the stars cross: try an angle nearer to 45"))
            }
        }
    }

    /// One opening round every joint of the repeat: side middles and meeting points by turns.
    fn joints(&self, tips: &[Vec<Tip>]) -> Option<Vec<PatternShape>> {
        let mut rounds: Vec<(Point, Vec<Tip>)> = Vec::new();
        for tip in tips.iter().flatten() {
            let known = rounds.iter().position(|(joint, _)| self.off_repeat(tip.corner - *joint) < SAME);
            let at = known.unwrap_or_else(|| {
                rounds.push((tip.corner, Vec::new()));
                rounds.len() - 1
            });
            let (joint, round) = &mut rounds[at];
            let step = *joint - tip.corner;
            round.push(Tip { corner: *joint, leaving: tip.leaving + step, inner: tip.inner + step });
        }
        rounds
            .into_iter()
            .map(|(joint, mut round)| {
                // Each opening at the joint begins with the side that leaves it.
                let angle = |v: Vec2| libm::atan2(v.y, v.x);
                round.sort_by(|a, b| angle(a.leaving - joint).total_cmp(&angle(b.leaving - joint)));
                let ring = loop_of(round.iter().flat_map(|t| [t.leaving, t.inner]))?;
                (round.len() >= 3).then(|| PatternShape { name: "joint".into(), ring })
            })
            .collect()
    }

    /// How far a step is from the nearest repeat.
    fn off_repeat(&self, v: Vec2) -> f64 {
        let whole = self.repeat_area();
        let n = (self.repeat[0].cross(v) / whole).round();
        let m = (v.cross(self.repeat[1]) / whole).round();
        (v - self.repeat_of(m as i64, n as i64)).hypot2().sqrt()
    }
}

/// The tips of a shape's star; none if lines run past each other.
fn tips_of(ring: &Ring, angle: f64) -> Option<Vec<Tip>> {
    let (s, c) = sin_cos_degrees(angle);
    let n = ring.vertices().len();
    (0..n)
        .map(|i| {
            let (before, after) = (ring.edge((i + n - 1) % n), ring.edge(i));
            let (arriving, leaving) = (before.point(0.5), after.point(0.5));
            let (u, v) = (before.direction(0.5), -after.direction(0.5));
            // Towards the corner and into the shape, which lies left of its line.
            let (p, q) = (
                Vec2::new(u.x * c - u.y * s, u.x * s + u.y * c),
                Vec2::new(v.x * c + v.y * s, v.y * c - v.x * s),
            );
            let whole = p.cross(q);
            let along = (leaving - arriving).cross(q) / whole;
            let inner = if whole.abs() < 1e-12 { arriving.midpoint(leaving) } else { arriving + p * along };
            (whole.abs() < 1e-12 || along > 0.0).then_some(Tip { corner: after.from(), leaving, inner })
        })
        .collect()
}

/// A ring through points, those in line with their neighbours left out.
fn loop_of(points: impl Iterator<Item = Point>) -> Option<Ring> {
    let points: Vec<Point> = points.collect();
    let n = points.len();
    let bends = |i: usize| {
        let (a, b, c) = (points[(i + n - 1) % n], points[i], points[(i + 1) % n]);
        (b - a).cross(c - b).abs() > 1e-9
    };
    Ring::if_any((0..n).filter(|&i| bends(i)).map(|i| Vertex { at: points[i], bulge: 0.0 }).collect())
}
