//! Joints and bridges put together: every joint's bridges are followed to their other ends until none is left.

use super::sites::{Seen, Sites};
use super::trace::{Disc, Led, TOUCH};
use super::{clean_up, same_bridge, Joint, Net, Span};
use crate::checks::{Bridge, BridgeGraph, Side};
use crate::geom::{Edge, Point, Vec2};
use crate::job::Job;
use crate::openings::Piece;
use crate::units::Mm;
use std::collections::VecDeque;

/// Two ways that lead this near to each other lead to the same joint, mm: some hundred times what Newton's method leaves.
/// Larger would lose joints of nearly regular patterns, smaller would find the same joint twice.
const SAME: f64 = 1e-5;
/// Bridges shorter than this are taken together with their joints as one, mm: nobody can see them apart. Larger swallows
/// bridges that can be seen, smaller makes two joints of one that is a hair off regular.
const ONE_JOINT: f64 = 0.02;

struct Meeting {
    at: Point,
    radius: f64,
    seen: Vec<Seen>,
    /// Whether the bridge between each border and the next has been followed.
    done: Vec<bool>,
    /// Bridges that have been found to end here, by their place among the runs.
    runs: Vec<usize>,
}

struct SpanFound {
    pair: [usize; 2],
    joints: [usize; 2],
    line: Vec<Point>,
    length: f64,
}

struct Maker<'a> {
    sites: &'a Sites,
    piece: &'a Piece,
    joints: Vec<Meeting>,
    /// The joints that touch each site or nearly do, by the site's image 0.
    beside: Vec<Vec<usize>>,
    runs: Vec<SpanFound>,
    /// First come, first followed: neighbours stay at hand.
    todo: VecDeque<(usize, usize)>,
    /// For each site those of a higher number that it shares a bridge with already, by their images 0.
    known: Vec<Vec<usize>>,
}

pub(super) fn build(job: &Job, piece: &Piece, graph: &BridgeGraph) -> Net {
    let sites = Sites::new(job, piece, graph);
    let mut maker = Maker {
        sites: &sites,
        piece,
        joints: Vec::new(),
        beside: vec![Vec::new(); sites.all.len()],
        runs: Vec::new(),
        todo: VecDeque::new(),
        known: vec![Vec::new(); sites.all.len()],
    };
    // As the sites lie, so that neighbours stay at hand.
    let wide = graph.bridges.iter().filter(|b| b.width.get() > SAME);
    let own = |b: &Bridge| Some((sites.of_side(b.between[0])?, sites.of_side(b.between[1])?, b.midpoint()));
    let mut seeds: Vec<(usize, usize, Point)> = wide.filter_map(own).collect();
    seeds.sort_by_key(|(a, b, _)| (*a.min(b), *a.max(b)));
    for (a, b, middle) in seeds {
        maker.seed(a, b, middle);
        maker.follow_all();
    }
    finish(job, piece, graph, &sites, maker.joints, maker.runs)
}

impl Maker<'_> {
    /// Starts from a neck between two sites, unless its bridge is known.
    fn seed(&mut self, a: usize, b: usize, middle: Point) {
        if self.known[a.min(b)].contains(&a.max(b)) {
            return;
        }
        let opening = if self.sites.is_long(a) { b } else { a };
        let radius = self.sites.see(opening, middle).distance;
        let seen = self.sites.about(middle, radius, TOUCH, opening);
        if seen.len() > 2 {
            self.joint_at(middle, opening);
            return;
        }
        let [first, second] = seen[..] else { return };
        let pair = [first.site, second.site];
        let Some(start) = self.sites.settle(pair, middle) else { return };
        let across = start.touches[1] - start.touches[0];
        let way = Vec2::new(-across.y, across.x) / across.hypot2().sqrt();
        match self.sites.follow(pair, start, way, &[]) {
            Some((_, Led::Joint(end))) => {
                self.joint_at(end, opening);
            }
            Some((line, Led::Round)) => {
                // A bridge that runs round by itself: a joint is put where it was found.
                let joint = self.joints.len();
                self.joints.push(Meeting {
                    at: start.at,
                    radius,
                    seen,
                    done: vec![true; 2],
                    runs: Vec::new(),
                });
                let (line, length) = self.sites.smooth(pair, &line);
                self.keep(SpanFound { pair, joints: [joint; 2], line, length });
            }
            None => {}
        }
    }

    fn keep(&mut self, run: SpanFound) {
        let [a, b] = run.pair.map(|s| self.sites.base(s));
        if !self.known[a.min(b)].contains(&a.max(b)) {
            self.known[a.min(b)].push(a.max(b));
        }
        for joint in run.joints {
            self.joints[joint].runs.push(self.runs.len());
        }
        self.runs.push(run);
    }

    /// The joint at a point beside a site.
    fn found(&self, at: Point, beside: usize) -> Option<usize> {
        let near = |j: &&usize| (self.joints[**j].at - at).hypot2().sqrt() <= SAME;
        self.beside[self.sites.base(beside)].iter().find(near).copied()
    }

    /// The joint at a point, made if it is new, and how often its place is the point carried over the seam. `beside` is
    /// one of the borders that touch there. `None` where fewer than three touch.
    fn joint_at(&mut self, at: Point, beside: usize) -> Option<(usize, i8)> {
        let carried = |image: i8| match (&self.sites.seam, image) {
            (Some(seam), 1 | -1) => Some(seam.carry_point(at, image == 1)),
            (None, 1 | -1) => None,
            _ => Some(at),
        };
        for image in [0, 1, -1] {
            if let Some(joint) = carried(image).and_then(|p| self.found(p, beside)) {
                return Some((joint, image));
            }
        }
        let home = |image: &i8| carried(*image).is_some_and(|p| self.piece.outline.edge.contains(p));
        let image =
            if self.sites.seam.is_some() { [0, 1, -1].into_iter().find(home).unwrap_or(0) } else { 0 };
        let at = carried(image)?;
        let beside = self.sites.carried(beside, image)?;
        let radius = self.sites.see(beside, at).distance;
        // A way that leads here may come from a site that is a hair too far off to touch.
        let mut seen = self.sites.about(at, radius, 4.0 * SAME, beside);
        let about: Vec<usize> = seen.iter().map(|s| self.sites.base(s.site)).collect();
        seen.retain(|s| s.distance <= radius + TOUCH);
        if seen.len() < 3 {
            return None;
        }
        let joint = self.joints.len();
        about.into_iter().for_each(|site| self.beside[site].push(joint));
        self.todo.extend((0..seen.len()).map(|slot| (joint, slot)));
        self.joints.push(Meeting { at, radius, done: vec![false; seen.len()], runs: Vec::new(), seen });
        Some((joint, image))
    }

    fn follow_all(&mut self) {
        while let Some((joint, slot)) = self.todo.pop_front() {
            if !self.joints[joint].done[slot] {
                self.joints[joint].done[slot] = true;
                self.follow(joint, slot);
            }
        }
    }

    fn follow(&mut self, joint: usize, slot: usize) {
        let Meeting { at, radius, seen, .. } = &self.joints[joint];
        let (at, n) = (*at, seen.len());
        let (a, b) = (seen[slot], seen[(slot + 1) % n]);
        let pair = [a.site, b.site];
        let others: Vec<Seen> =
            (0..n).filter(|k| *k != slot && *k != (slot + 1) % n).map(|k| seen[k]).collect();
        let (to_a, to_b) = (a.at - at, b.at - at);
        let turn = libm::atan2(to_a.cross(to_b), to_a.dot(to_b));
        let half = if turn > 0.0 { turn / 2.0 } else { turn / 2.0 + std::f64::consts::PI };
        let way = turned_by(to_a / to_a.hypot2().sqrt(), half);
        let start = Disc { at, radius: *radius, touches: [a.at, b.at] };
        let Some((line, Led::Joint(end))) = self.sites.follow(pair, start, way, &others) else { return };
        // Long lines have many joints beside them.
        let beside = if self.sites.is_long(pair[0]) { pair[1] } else { pair[0] };
        let Some((other, image)) = self.joint_at(end, beside) else { return };
        let (line, length) = self.sites.smooth(pair, &line);
        if other == joint && length <= 4.0 * SAME {
            return;
        }
        // As seen from the other end the two borders come the other way round.
        let there: Vec<usize> = pair.iter().filter_map(|&s| self.sites.carried(s, image)).collect();
        let end = &mut self.joints[other];
        let n = end.seen.len();
        let open =
            (0..n).find(|&k| !end.done[k] && [end.seen[(k + 1) % n].site, end.seen[k].site] == there[..]);
        match open {
            Some(k) => end.done[k] = true,
            None if end
                .runs
                .iter()
                .any(|&r| is_same(&self.runs[r], pair, [joint, other], length, self.sites)) =>
            {
                return
            }
            None => {}
        }
        self.keep(SpanFound { pair, joints: [joint, other], line, length });
    }
}

fn is_same(run: &SpanFound, pair: [usize; 2], joints: [usize; 2], length: f64, sites: &Sites) -> bool {
    let bases = |p: [usize; 2]| {
        let [a, b] = p.map(|s| sites.base(s));
        [a.min(b), a.max(b)]
    };
    let ends = |j: [usize; 2]| [j[0].min(j[1]), j[0].max(j[1])];
    bases(run.pair) == bases(pair)
        && ends(run.joints) == ends(joints)
        && (run.length - length).abs() < 4.0 * SAME
}

fn turned_by(v: Vec2, angle: f64) -> Vec2 {
    let (s, c) = (libm::sin(angle), libm::cos(angle));
    Vec2::new(v.x * c - v.y * s, v.x * s + v.y * c)
}

/// Sorted and numbered, each bridge with its least width.
fn finish(
    job: &Job,
    piece: &Piece,
    graph: &BridgeGraph,
    sites: &Sites,
    meetings: Vec<Meeting>,
    runs: Vec<SpanFound>,
) -> Net {
    let necks = necks(graph, sites, &runs);
    let (together, gone) = taken_together(meetings.len(), &runs);
    let mut spans: Vec<Span> = Vec::with_capacity(runs.len());
    let mut in_joints = Vec::new();
    for ((mut run, neck), gone) in runs.into_iter().zip(necks).zip(gone) {
        run.joints = run.joints.map(|j| together[j]);
        match (gone, neck) {
            (true, Some(neck)) => in_joints.push((neck, run.joints[0])),
            (true, None) => {}
            (false, _) => spans.push(span(job, piece, graph, sites, run, neck)),
        }
    }
    // Necks in the order of the list they stand in, then the others by their width.
    let key = |s: &Span| (s.neck.unwrap_or(usize::MAX), (s.width.get() * 1e6).round() as i64);
    spans.sort_by_cached_key(|s| (key(s), s.between));
    let micro = |v: f64| (v * 1e6).round() as i64;
    let mut order: Vec<usize> = (0..meetings.len()).filter(|&j| together[j] == j).collect();
    order.sort_by_cached_key(|&j| (-micro(meetings[j].at.y), micro(meetings[j].at.x)));
    let mut place = vec![0; meetings.len()];
    order.iter().enumerate().for_each(|(new, &old)| place[old] = new);
    let mut joints: Vec<Joint> = order
        .iter()
        .map(|&j| Joint {
            at: meetings[j].at,
            across: Mm(2.0 * meetings[j].radius),
            between: meetings[j].seen.iter().map(|s| sites.all[s.site].side).collect(),
            spans: Vec::new(),
            to_border: None,
        })
        .collect();
    for (i, span) in spans.iter_mut().enumerate() {
        span.joints = span.joints.map(|j| place[j]);
        for &j in &span.joints {
            joints[j].spans.push(i);
            for side in span.between {
                if !joints[j].between.contains(&side) {
                    joints[j].between.push(side);
                }
            }
        }
    }
    let mut in_joints: Vec<(usize, usize)> =
        in_joints.into_iter().map(|(neck, j)| (neck, place[j])).collect();
    in_joints.extend(necks_in_joints(graph, sites, &joints, &spans, &in_joints));
    in_joints.sort_unstable();
    Net { joints, spans, in_joints, alone: Vec::new(), borders: sites.faces() }
}

/// Necks whose disc is a joint's: where regular patterns meet corner to corner.
fn necks_in_joints(
    graph: &BridgeGraph,
    sites: &Sites,
    joints: &[Joint],
    spans: &[Span],
    known: &[(usize, usize)],
) -> Vec<(usize, usize)> {
    let mut placed = vec![false; graph.bridges.len()];
    spans.iter().filter_map(|s| s.neck).chain(known.iter().map(|k| k.0)).for_each(|i| placed[i] = true);
    let in_none: Vec<usize> = (0..placed.len()).filter(|&i| !placed[i]).collect();
    if in_none.is_empty() {
        return Vec::new();
    }
    let mut by_x: Vec<(Point, usize)> = joints.iter().enumerate().map(|(j, joint)| (joint.at, j)).collect();
    by_x.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
    let at = |p: Point| {
        let from = by_x.partition_point(|(q, _)| q.x < p.x - ONE_JOINT);
        let mut near = by_x[from..].iter().take_while(|(q, _)| q.x <= p.x + ONE_JOINT);
        near.find(|(q, _)| (*q - p).hypot2().sqrt() <= ONE_JOINT).map(|(_, j)| *j)
    };
    let joint_of = |i: usize| {
        let p = graph.bridges[i].midpoint();
        let over = |onwards| at(sites.seam.as_ref()?.carry_point(p, onwards));
        Some((i, at(p).or_else(|| over(true)).or_else(|| over(false))?))
    };
    in_none.into_iter().filter_map(joint_of).collect()
}

/// Joints at the two ends of a bridge too short to be seen are one: for each joint the one it goes with (of all that go
/// together the first), and which bridges are gone with that. What is left closes as before.
fn taken_together(joints: usize, runs: &[SpanFound]) -> (Vec<usize>, Vec<bool>) {
    let mut with: Vec<usize> = (0..joints).collect();
    fn root(with: &[usize], mut j: usize) -> usize {
        while with[j] != j {
            j = with[j];
        }
        j
    }
    let gone = runs
        .iter()
        .map(|run| {
            let [a, b] = run.joints.map(|j| root(&with, j));
            let short = run.length < ONE_JOINT && a != b;
            if short {
                with[a.max(b)] = a.min(b);
            }
            short
        })
        .collect();
    ((0..joints).map(|j| root(&with, j)).collect(), gone)
}

/// For every run its neck in the list of bridges, if it has one. Both lists are sorted by what they lie between and gone
/// through side by side.
fn necks(graph: &BridgeGraph, sites: &Sites, runs: &[SpanFound]) -> Vec<Option<usize>> {
    let sorted = |mut b: [Side; 2]| {
        b.sort();
        b
    };
    let between = |run: &SpanFound| sorted(run.pair.map(|s| sites.all[s].side));
    let mut by_pair: Vec<([Side; 2], usize)> = runs.iter().map(between).zip(0..).collect();
    by_pair.sort_unstable();
    let mut bridges: Vec<([Side; 2], usize)> =
        graph.bridges.iter().map(|b| sorted(b.between)).zip(0..).collect();
    bridges.sort_unstable();
    let mut necks = vec![None; runs.len()];
    let mut rest = &by_pair[..];
    for (pair, i) in bridges {
        let bridge = &graph.bridges[i];
        rest = &rest[rest.iter().take_while(|(p, _)| *p < pair).count()..];
        let list = rest.iter().take_while(|(p, _)| *p == pair).map(|(_, r)| *r);
        let middle = bridge.midpoint();
        let images = match &sites.seam {
            Some(seam) => [middle, seam.carry_point(middle, true), seam.carry_point(middle, false)],
            None => [middle; 3],
        };
        let away = |r: usize| {
            let lines = runs[r].line.windows(2).map(|w| Edge::Line { from: w[0], to: w[1] });
            let apart = |e: Edge| {
                images.iter().map(move |p| (e.nearest(*p) - *p).hypot2().sqrt()).fold(f64::INFINITY, f64::min)
            };
            lines.map(apart).fold(f64::INFINITY, f64::min)
        };
        let free = list.filter(|&r| necks[r].is_none());
        let best = free.map(|r| (away(r), r)).min_by(|a, b| a.0.total_cmp(&b.0));
        // As far off as the middle line may be from its chords.
        if let Some((_, r)) = best.filter(|(off, _)| *off <= 0.1 * bridge.width.get() + 1e-3) {
            necks[r] = Some(i);
        }
    }
    necks
}

fn span(
    job: &Job,
    piece: &Piece,
    graph: &BridgeGraph,
    sites: &Sites,
    run: SpanFound,
    neck: Option<usize>,
) -> Span {
    let SpanFound { pair, joints, line, length } = run;
    let sides = pair.map(|s| sites.all[s].side);
    let base = |between, width, finished, at, line| Span {
        between,
        joints,
        length: Mm(length),
        width,
        finished,
        at,
        neck,
        line,
        shares_with: None,
    };
    if let Some(bridge) = neck.and_then(|i| graph.bridges.get(i)).filter(|b| same_bridge(b, sides)) {
        return base(bridge.between, bridge.width, bridge.finished, bridge.at, line);
    }
    let mut at = narrowest(sites, pair, &line).unwrap_or_else(|| [line[0]; 2]);
    // As the list of bridges has it: edges, windows and holes first by their kind, openings by number.
    let mut between = sides;
    let is_opening = |s: Side| matches!(s, Side::Opening(_));
    let turned = match (is_opening(between[0]), is_opening(between[1])) {
        (true, false) => true,
        (false, true) => false,
        _ => between[1] < between[0],
    };
    if turned {
        between.swap(0, 1);
        at.swap(0, 1);
    }
    let width = (at[1] - at[0]).hypot2().sqrt();
    let to_edge = match (&piece.outline.found, between[0]) {
        (Some(found), Side::Edge) => (found.nearest(at[1]) - at[1]).hypot2().sqrt(),
        _ => width,
    };
    let off: f64 = between.iter().map(|s| clean_up(job, piece, *s)).sum();
    base(between, Mm(width), Mm(to_edge - off), at, line)
}

/// The two borders' points that are nearest across a middle line: at a neck of its own, else at the end where it is
/// narrower.
fn narrowest(sites: &Sites, pair: [usize; 2], line: &[Point]) -> Option<[Point; 2]> {
    let halves = line.windows(2).map(|w| w[0].midpoint(w[1]));
    let discs = line.iter().copied().chain(halves).filter_map(|p| sites.settle(pair, p));
    let best = discs.min_by(|a, b| a.across().total_cmp(&b.across()))?;
    // From there to and fro: each point's nearest on the other side.
    let [mut p, mut q] = best.touches;
    for _ in 0..50 {
        let next_q = sites.see(pair[1], p).at;
        let next_p = sites.see(pair[0], next_q).at;
        let moved = (next_p - p).hypot2().sqrt() + (next_q - q).hypot2().sqrt();
        (p, q) = (next_p, next_q);
        if moved < 1e-9 {
            break;
        }
    }
    let middle = p.midpoint(q);
    let on_line = line.windows(2).any(|w| {
        let e = Edge::Line { from: w[0], to: w[1] };
        (e.nearest(middle) - middle).hypot2().sqrt() <= 1e-3 + 0.02 * best.across()
    });
    Some(if on_line && (q - p).hypot2().sqrt() <= best.across() { [p, q] } else { best.touches })
}
