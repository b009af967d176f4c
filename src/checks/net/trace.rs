//! Following the middle line between two sites, from one joint to the next.
//!
//! On the middle line of two sites both are equally far. It ends where a third comes as near: there a disc touches all
//! three. The end is guessed from how fast the others draw near, solved by Newton's method and believed only if no other
//! site lies in its disc; while no guess holds, the line is followed in steps so short that no third site can be passed
//! over (a step of s brings a third nearer by 2 s at most).

use super::sites::{Seen, Sites};
use crate::geom::{Point, Vec2};

/// Sites that reach into a disc by less than this touch it, mm. Larger loses joints that are a little apart, and with them
/// the way the graph closes; smaller splits the joint of a square lattice by its last digits.
pub(super) const TOUCH: f64 = 1e-6;
/// Steps along one middle line before it is given up. More only matters for pieces no saw would meet.
const STEPS: usize = 600;
/// Least step, as a share of the disc.
const LEAST_STEP: f64 = 0.01;
/// A joint is believed when the line half way to it lies within this share of the straight way. Larger takes a line round a
/// corner for a straight one; smaller takes more steps.
const SAG: f64 = 0.15;
/// A middle line is halved until its two halves and their chord agree to this share.
const STRAIGHT: f64 = 1e-4;
/// Nor may it run aside of its chord by more than this share elsewhere.
const ASIDE: f64 = 3e-3;

/// A disc in the metal that touches two sites.
#[derive(Debug, Clone, Copy)]
pub(super) struct Disc {
    pub at: Point,
    pub radius: f64,
    /// Where it touches the one and the other.
    pub touches: [Point; 2],
}

impl Disc {
    /// Straight through the metal from the one site to the other.
    pub(super) fn across(&self) -> f64 {
        (self.touches[1] - self.touches[0]).hypot2().sqrt()
    }

    /// How fast it narrows as one goes along `way`.
    fn narrows(&self, way: Vec2) -> f64 {
        -(self.at - self.touches[0]).dot(way) / self.radius
    }
}

/// Where a middle line led.
pub(super) enum Led {
    /// To a joint, at a disc touching at least three.
    Joint(Point),
    /// Back to where it started.
    Round,
}

impl Sites {
    /// The disc touching two sites nearest to a point.
    #[inline]
    pub(super) fn settle(&self, [a, b]: [usize; 2], mut p: Point) -> Option<Disc> {
        for _ in 0..12 {
            let (sa, sb) = (self.see(a, p), self.see(b, p));
            let apart = sa.distance - sb.distance;
            if apart.abs() <= 1e-10 * (1.0 + sa.distance) {
                return Some(Disc { at: p, radius: sa.distance, touches: [sa.at, sb.at] });
            }
            if sa.distance <= 0.0 || sb.distance <= 0.0 {
                return None;
            }
            let slope = sa.away(p) - sb.away(p);
            let steep = slope.hypot2();
            if steep < 1e-12 {
                return None;
            }
            p -= slope * (apart / steep);
        }
        None
    }

    /// The point as far from three sites, from a guess.
    fn meet(&self, [a, b]: [usize; 2], c: usize, mut p: Point) -> Option<Point> {
        for _ in 0..24 {
            let (sa, sb, sc) = (self.see(a, p), self.see(b, p), self.see(c, p));
            if sa.distance <= 1e-12 || sb.distance <= 1e-12 || sc.distance <= 1e-12 {
                return None;
            }
            let (f, g) = (sa.distance - sb.distance, sa.distance - sc.distance);
            if f.abs().max(g.abs()) < 1e-10 * (1.0 + sa.distance) {
                return Some(p);
            }
            let (u, v) = (sa.away(p) - sb.away(p), sa.away(p) - sc.away(p));
            let det = u.cross(v);
            if det.abs() < 1e-9 {
                return None;
            }
            let step = Vec2::new(f * v.y - g * u.y, g * u.x - f * v.x) / det;
            let most = 2.0 * sa.distance;
            let long = step.hypot2().sqrt();
            p -= if long > most { step * (most / long) } else { step };
        }
        None
    }

    /// The site that reaches deepest into a disc, other than those it touches.
    fn intruder(&self, disc: Disc, pair: [usize; 2], but: Option<usize>) -> Option<Seen> {
        let mut worst: Option<Seen> = None;
        self.within(disc.at, disc.radius, (pair[0], disc.radius), |seen| {
            let own = pair.contains(&seen.site) || Some(seen.site) == but;
            let nearest = worst.map_or(disc.radius - TOUCH, |w| w.distance);
            if !own && seen.distance < nearest {
                worst = Some(seen);
            }
        });
        worst
    }

    /// Every site that comes within `slack` of a disc or into it, in order round it, anticlockwise. `beside` is one that it
    /// touches.
    pub(super) fn about(&self, at: Point, radius: f64, slack: f64, beside: usize) -> Vec<Seen> {
        let mut all: Vec<Seen> = Vec::with_capacity(4);
        self.within(at, radius + slack, (beside, radius), |seen| {
            if seen.distance <= radius + slack {
                all.push(seen);
            }
        });
        let angle = |s: &Seen| libm::atan2(s.at.y - at.y, s.at.x - at.x);
        all.sort_by(|a, b| angle(a).total_cmp(&angle(b)).then(a.site.cmp(&b.site)));
        all
    }

    /// Follows the middle line of two sites from a disc that touches both, the way `way` points. `from_joint` are the
    /// further sites that touch the first disc. The line's points, the first and the last included, and where it led.
    pub(super) fn follow(
        &self,
        pair: [usize; 2],
        start: Disc,
        way: Vec2,
        from_joint: &[Seen],
    ) -> Option<(Vec<Point>, Led)> {
        let mut line = vec![start.at];
        let (mut now, mut way) = (start, way);
        let mut gone = 0.0;
        for step in 0..STEPS {
            let first = if step == 0 { from_joint } else { &[] };
            let (end, clear) = self.look_ahead(pair, now, way, first);
            if let Some(end) = end {
                line.push(end);
                return Some((line, Led::Joint(end)));
            }
            let mut by = (0.5 * clear).clamp(LEAST_STEP * now.radius + 1e-5, 0.5 * now.radius + 1e-4);
            let next = loop {
                let next = self.settle(pair, now.at + way * by);
                // Thrown far off by a corner, or past a joint: come nearer.
                let near = next.filter(|n| (n.at - now.at).hypot2().sqrt() < 2.0 * by);
                if let Some(next) = near.filter(|n| self.intruder(*n, pair, None).is_none()) {
                    break next;
                }
                by /= 2.0;
                if by < 1e-6 {
                    line.push(now.at);
                    return Some((line, Led::Joint(now.at)));
                }
            };
            let moved = next.at - now.at;
            let back = start.at - now.at;
            if from_joint.is_empty() && gone > 4.0 * by {
                let along = back.dot(moved) / moved.hypot2();
                if (0.0..=1.0).contains(&along)
                    && (back - moved * along).hypot2().sqrt() < 0.2 * moved.hypot2().sqrt() + 1e-6
                {
                    line.push(start.at);
                    return Some((line, Led::Round));
                }
            }
            gone += moved.hypot2().sqrt();
            way = along(next, pair, self, moved);
            now = next;
            line.push(now.at);
        }
        None
    }

    /// The joint the line comes to, if a guess at it holds, and how clear the disc is of third sites.
    fn look_ahead(&self, pair: [usize; 2], now: Disc, way: Vec2, first: &[Seen]) -> (Option<Point>, f64) {
        let at_start =
            |s: &Seen| first.iter().any(|f| f.site == s.site && (f.at - s.at).hypot2().sqrt() < 1e-6);
        let narrows = now.narrows(way);
        let mut clear = f64::INFINITY;
        let mut soonest: Option<(f64, usize)> = None;
        self.within(now.at, 3.0 * now.radius, (pair[0], now.radius), |seen| {
            if pair.contains(&seen.site) || at_start(&seen) {
                return;
            }
            let gap = (seen.distance - now.radius).max(0.0);
            clear = clear.min(gap);
            let nears = narrows_by(&seen, now.at, way) - narrows;
            if nears > 1e-6 {
                let after = gap / nears;
                if soonest.is_none_or(|(s, _)| after < s) {
                    soonest = Some((after, seen.site));
                }
            }
        });
        let clear = clear.min(2.0 * now.radius);
        let Some((after, mut third)) = soonest else { return (None, clear) };
        let mut guess = now.at + way * after.min(4.0 * now.radius);
        for _ in 0..6 {
            let Some(end) = self.meet(pair, third, guess) else { break };
            let ahead = (end - now.at).dot(way);
            if ahead <= 1e-9 || ahead > 8.0 * now.radius {
                break;
            }
            let Some(disc) = self.settle(pair, end) else { break };
            // A site can be met twice: where it comes nearer, and behind it where it goes away again.
            let onwards = along(disc, pair, self, end - now.at);
            if narrows_by(&self.see(third, end), end, onwards) - disc.narrows(onwards) < -1e-6 {
                guess = now.at.midpoint(end);
                continue;
            }
            match self.intruder(disc, pair, Some(third)) {
                Some(nearer) => {
                    third = nearer.site;
                    guess = now.at + (end - now.at) * 0.8;
                }
                None => {
                    // Half way there the disc must be free as well, and the straight way must cross neither site.
                    let way = end - now.at;
                    let crosses = |t: f64| pair.iter().any(|&s| self.is_in(s, now.at + way * t));
                    let middle = self.settle(pair, now.at.midpoint(end));
                    let free = middle.is_some_and(|m| {
                        (m.at - now.at.midpoint(end)).hypot2().sqrt() <= SAG * way.hypot2().sqrt()
                            && ![0.25, 0.5, 0.75].into_iter().any(crosses)
                            && self.intruder(m, pair, None).is_none()
                    });
                    return (free.then_some(end), clear);
                }
            }
        }
        (None, clear)
    }

    /// A middle line with points put between until it is as good as smooth; its length, mm.
    pub(super) fn smooth(&self, pair: [usize; 2], line: &[Point]) -> (Vec<Point>, f64) {
        let mut points = Vec::with_capacity(line.len() + 2);
        let mut length = 0.0;
        for ends in line.windows(2) {
            points.push(ends[0]);
            length += self.between(pair, ends[0], ends[1], 7, &mut points);
        }
        points.extend(line.last());
        (points, length)
    }

    fn between(&self, pair: [usize; 2], a: Point, b: Point, depth: u32, points: &mut Vec<Point>) -> f64 {
        let chord = (b - a).hypot2().sqrt();
        let Some(disc) = self.settle(pair, a.midpoint(b)).filter(|_| depth > 0 && chord > 1e-3) else {
            return chord;
        };
        let middle = disc.at;
        let halves = (middle - a).hypot2().sqrt() + (b - middle).hypot2().sqrt();
        let straight = || {
            // Bent one way and back, a line may meet its chord in the middle, but not there and elsewhere too.
            let aside = |t: f64| {
                let off = self.settle(pair, a.lerp(b, t)).map(|d| (b - a).cross(d.at - a).abs() / chord);
                off.is_some_and(|off| off > ASIDE * chord)
            };
            !aside(0.29) && !aside(0.83)
        };
        if halves <= chord * (1.0 + STRAIGHT) && (depth < 6 || straight()) {
            return halves + (halves - chord) / 3.0;
        }
        if halves > 1.5 * chord || pair.iter().any(|&s| self.is_in(s, middle)) {
            return chord; // The middle slipped off to another line.
        }
        let first = self.between(pair, a, middle, depth - 1, points);
        points.push(middle);
        first + self.between(pair, middle, b, depth - 1, points)
    }
}

/// How fast a site draws near as one goes along `way`.
fn narrows_by(seen: &Seen, eye: Point, way: Vec2) -> f64 {
    if seen.distance > 0.0 {
        -seen.away(eye).dot(way)
    } else {
        0.0
    }
}

/// The way the middle line runs at a disc, the way round that leads `onwards`.
fn along(disc: Disc, pair: [usize; 2], sites: &Sites, onwards: Vec2) -> Vec2 {
    let across = disc.touches[1] - disc.touches[0];
    let long = across.hypot2().sqrt();
    let across = if long > 1e-12 {
        across / long
    } else {
        let seen = sites.see(pair[0], disc.at);
        if seen.distance > 0.0 {
            seen.away(disc.at)
        } else {
            Vec2::new(1.0, 0.0)
        }
    };
    let way = Vec2::new(-across.y, across.x);
    if way.dot(onwards) >= 0.0 {
        way
    } else {
        -way
    }
}
