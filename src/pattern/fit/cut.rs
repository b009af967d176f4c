//! Cells cut at the border as the pattern has them, what would be small grown together with a neighbour; nothing is bent.
//!
//! For long bars, straps and leaves, which the border would make broad or squeeze where they were bent. As a mason lays a wall:
//! a course ends in a piece of a brick, and no piece is left that is hardly one.

use super::bend::{Fit, EXACT};
use super::exactness::{Exactness, CHORD};
use super::faces::Face;
use super::judge::{judge, CellShape, Demands, Distortion, Judged, GLANCED, NEAR};
use super::likeness::{shape_weight, MOTIF};
use super::place::{cut_places, FitRequest, Try};
use super::symmetry::{of_field, Symmetry};
use super::{Effort, SUITS};
use crate::geom::{boolean, BooleanOp, Point, Region, Ring, Vec2};
use std::collections::BTreeSet;

/// Less of a cell than this is none, part of its area; more is whole.
const NONE: f64 = 1e-4;
const WHOLE: f64 = 1.0 - 1e-7;
/// Cells that cost more than this are tried together with a neighbour. Fewer tries would leave ends that look like crumbs.
const POOR: f64 = 0.25;
/// What it costs that two cells are one: a bridge of the pattern is gone.
const JOINED: f64 = 0.06;
/// What it costs besides, at most, that as much of a part is of other cells as of its own, in a pattern that is known by its shapes.
const MIXED: f64 = 1.0;
/// Less of a cell than this is a crumb while places are weighed.
const MOST_OF: f64 = 0.5;
/// Areas are the same when they are this near, mm2, beside what chords take off: what the kernel's grid may.
const SAME: f64 = 1e-2;
/// Places that are finished with their true lines.
const FINISHED: usize = 2;
/// Places that are weighed by what shares of cells lie in the field, and cells of them in all; those that are cut, and at first
/// effort. More would find better ends, and take longer.
const WEIGHED: usize = 40;
const CELLS: f64 = 4000.0;
const CUT: usize = 8;
const FIRST: usize = 2;
/// What an end costs, in vertices bent, for each side of its line (measured).
const EACH_SIDE: usize = 4;
/// An end narrower than this beside its own is joined whatever comes of it.
const NARROW: f64 = 0.62;
/// Pieces of cells that may be one opening: where everything that is left is narrow (a web between a hundred windows), joining
/// would never end before all of it is one. More than ring a middle of sixfold symmetry are no cell to the eye.
const MOST_BITS: usize = 12;

/// What the field leaves of one cell, in one part.
struct Bit {
    tile: usize,
    area: f64,
    middle: Point,
}

/// Bits that are one opening.
#[derive(Clone)]
struct Part {
    bits: Vec<usize>,
    ring: Ring,
    /// The bit it is mostly made of.
    main: usize,
    whole: bool,
    look: CellShape,
    cost: f64,
}

/// The best looking places whose cells the border cuts, the best first: of those that keep most of the symmetry, or, where none of
/// those looks good, of the others; at first effort of the first few. A pattern of several shapes is known by them: each must stand
/// whole somewhere, and what the border cuts must be as even as it can be, or the ends look pieced together.
pub(super) fn cut(ask: &FitRequest, own: &[CellShape], effort: Effort) -> Vec<Fit> {
    if ask.field.period.is_some() {
        return Vec::new();
    }
    let kept = of_field(ask.field, ask.middle);
    let weighed = ((CELLS / ask.cells()) as usize).clamp(1, WEIGHED);
    let most = if effort == Effort::First { FIRST } else { CUT };
    let (nearly, fully) = (Exactness::nearly(&ask.field.region), Exactness::fully(&ask.field.region));
    let weight = shape_weight(own);
    let motif = weight >= MOTIF;
    let mut places: Vec<(i64, Try)> = Vec::new();
    for place in cut_places(ask, &kept).into_iter().take(weighed) {
        if ask.budget.is_spent() {
            break;
        }
        let t = Try::of(ask, place, (NONE, NONE));
        places.push(((1e6 * crumbs(&t, weight)).round() as i64, t));
    }
    places.sort_by_key(|(crumbs, t)| (std::cmp::Reverse(t.group.len()), *crumbs));
    let mut cuttings: Vec<(f64, Cutting)> = Vec::new();
    let (mut order, mut left) = (0, most);
    for (_, t) in places {
        if t.group.len() < order {
            if motif || cuttings.iter().any(|(score, _)| *score <= SUITS) {
                break;
            }
            left = most;
        }
        order = t.group.len();
        if left == 0 {
            continue;
        }
        if ask.budget.is_spent() {
            break;
        }
        left -= 1;
        let Some(mut cutting) = Cutting::of(ask, t, own, &nearly) else { continue };
        cutting.join();
        if motif && !cutting.shows_all_shapes() {
            continue;
        }
        cuttings.push((cutting.judged(GLANCED).score, cutting));
    }
    let told = |score: f64| (score * 1e6).round() as i64;
    cuttings.sort_by_key(|(score, cutting)| (told(*score), std::cmp::Reverse(cutting.t.group.len())));
    let best = cuttings.into_iter().take(FINISHED);
    let mut fits: Vec<Fit> = best.filter_map(|(_, cutting)| cutting.finished(&fully)).collect();
    fits.sort_by_key(|fit| (told(fit.judged.score), std::cmp::Reverse(fit.order)));
    fits
}

/// How much is left over of the cells at the border that is too little for a cell, beside those that are not: about what it would
/// cost to be grown together with a neighbour.
fn crumbs(t: &Try, weight: f64) -> f64 {
    let shares = || t.mesh.tiles.iter().map(|t| t.share).filter(|s| *s < WHOLE);
    let crumb = |s: f64| JOINED + (1.0 + weight.min(MIXED)) * s * s;
    let cost: f64 = shares().filter(|s| *s < MOST_OF).map(crumb).sum();
    cost / shares().filter(|s| *s >= MOST_OF).count().max(1) as f64
}

/// One place of the pattern, its cells cut.
struct Cutting<'a> {
    ask: &'a FitRequest<'a>,
    t: Try<'a>,
    own: &'a [CellShape],
    exactness: &'a Exactness,
    weight: f64,
    /// The symmetries that are exact, standing still first.
    group: Vec<Symmetry>,
    bits: Vec<Bit>,
    /// The bits of every cell.
    of_tile: Vec<Vec<usize>>,
    /// Where each symmetry takes each bit.
    images: Vec<Vec<usize>>,
    /// The part that each bit belongs to, by its first bit.
    part_of: Vec<usize>,
    parts: Vec<Option<Part>>,
}

impl<'a> Cutting<'a> {
    fn of(
        ask: &'a FitRequest<'a>,
        t: Try<'a>,
        own: &'a [CellShape],
        exactness: &'a Exactness,
    ) -> Option<Cutting<'a>> {
        let exactly = t.group.iter().all(|g| g.kept.off <= EXACT);
        let mut cutting = Cutting {
            ask,
            own,
            exactness,
            weight: shape_weight(own),
            group: t.group.iter().take(if exactly { usize::MAX } else { 1 }).cloned().collect(),
            bits: Vec::new(),
            of_tile: vec![Vec::new(); t.mesh.tiles.len()],
            t,
            images: Vec::new(),
            part_of: Vec::new(),
            parts: Vec::new(),
        };
        cutting.take_bits()?;
        cutting.find_images()?;
        Some(cutting)
    }

    fn cell(&self, tile: usize) -> (usize, Vec2) {
        let t = &self.t.mesh.tiles[tile];
        (t.shape, self.t.placed.step(t.step[0], t.step[1]) + self.t.placed.origin)
    }

    fn own_ring(&self, tile: usize) -> Ring {
        let (shape, at) = self.cell(tile);
        let own = self.ask.kinds[shape].translated(at);
        self.exactness.of(own)
    }

    fn is_whole(&self, tile: usize) -> bool {
        self.t.mesh.tiles[tile].share > WHOLE
    }

    /// What the field leaves of every cell: the first of each set of images is cut, the others are its images.
    fn take_bits(&mut self) -> Option<()> {
        let tiles = self.t.mesh.tiles.len();
        let mut rings: Vec<Option<Vec<(Ring, CellShape)>>> = vec![None; tiles];
        for tile in 0..tiles {
            if rings[tile].is_some() {
                continue;
            }
            let own = self.own_ring(tile);
            let whole = self.own[self.t.mesh.tiles[tile].shape];
            let look = |ring: Ring| {
                let look = CellShape::at(&ring, self.ask.bridge / 2.0, GLANCED);
                (ring, look)
            };
            let left: Vec<(Ring, CellShape)> = match self.is_whole(tile) {
                true => vec![(own, whole)],
                false => self.inside(&[Region::new(own, Vec::new())])?.into_iter().map(look).collect(),
            };
            for g in &self.group {
                let image = g.tiles[tile];
                if rings[image].is_none() {
                    rings[image] = Some(match image == tile {
                        true => left.clone(),
                        false => left.iter().map(|(ring, look)| (g.kept.by.ring(ring), *look)).collect(),
                    });
                }
            }
        }
        for (tile, rings) in rings.into_iter().enumerate() {
            for (ring, look) in rings.into_iter().flatten() {
                let k = self.bits.len();
                self.of_tile[tile].push(k);
                self.part_of.push(k);
                self.bits.push(Bit { tile, area: ring.area(), middle: ring.centroid() });
                let whole = self.is_whole(tile);
                let mut part = Part { bits: vec![k], ring, main: k, whole, look, cost: 0.0 };
                part.cost = self.cost(&part);
                self.parts.push(Some(part));
            }
        }
        Some(())
    }

    /// What the field leaves of some cells; `None` where something stands in the middle of them.
    fn inside(&self, cells: &[Region]) -> Option<Vec<Ring>> {
        let sides: usize = cells.iter().map(|c| c.outer().vertices().len()).sum();
        self.ask.budget.spend_more(EACH_SIDE * sides);
        let bounds = cells.iter().map(|c| c.outer().bounds()).reduce(|a, b| a.union(b)).unwrap_or_default();
        let Some(field) = self.exactness.field_about(bounds) else { return Some(Vec::new()) };
        let left = boolean(cells, BooleanOp::Intersection, std::slice::from_ref(&*field));
        left.into_iter().map(|r| r.holes().is_empty().then(|| r.into_outer())).collect()
    }

    /// The ring of some bits taken as one; `None` where they do not hang together.
    fn ring(&self, bits: &[usize]) -> Option<Ring> {
        let tiles: BTreeSet<usize> = bits.iter().map(|&k| self.bits[k].tile).collect();
        let cells: Vec<Region> = tiles.iter().map(|&t| Region::new(self.own_ring(t), Vec::new())).collect();
        let cells = if cells.len() > 1 { boolean(&cells, BooleanOp::Union, &[]) } else { cells };
        let area: f64 = bits.iter().map(|&k| self.bits[k].area).sum();
        let off = |ring: &Ring| (ring.area() - area).abs();
        let near = |ring: &Ring| off(ring) <= SAME + CHORD * ring.perimeter();
        self.inside(&cells)?.into_iter().min_by(|a, b| off(a).total_cmp(&off(b))).filter(near)
    }

    fn find_images(&mut self) -> Option<()> {
        for g in &self.group {
            let image = |bit: &Bit| {
                let at = g.kept.by.carry(bit.middle);
                let far = |k: &usize| (self.bits[*k].middle - at).hypot2();
                let of = &self.of_tile[g.tiles[bit.tile]];
                of.iter().copied().min_by(|a, b| far(a).total_cmp(&far(b)))
            };
            let images: Option<Vec<usize>> = self.bits.iter().map(image).collect();
            self.images.push(images?);
        }
        Some(())
    }

    /// How far a part looks from the cell it is mostly made of.
    fn cost(&self, part: &Part) -> f64 {
        match part.whole {
            true => 0.0,
            false => part.look.cut_cost(&self.own[self.shape(part)]) + self.joined(part),
        }
    }

    fn shape(&self, part: &Part) -> usize {
        self.t.mesh.tiles[self.bits[part.main].tile].shape
    }

    /// What it costs that some of a part belongs to other cells: their bridges are gone.
    fn joined(&self, part: &Part) -> f64 {
        let own = self.t.placed.tiling.areas[self.shape(part)] * self.ask.size * self.ask.size;
        let others = part.bits.iter().filter(|&&k| k != part.main).map(|&k| self.bits[k].area).sum::<f64>();
        self.weight.min(MIXED) * (others / own).powi(2) + JOINED * (part.bits.len() - 1) as f64
    }

    /// Whether every shape of the pattern stands somewhere as it is.
    fn shows_all_shapes(&self) -> bool {
        let whole: BTreeSet<usize> = self.parts().iter().filter(|p| p.whole).map(|p| self.shape(p)).collect();
        whole.len() == self.own.len()
    }

    /// Several parts as one; `None` where they do not hang together.
    fn together(&self, parts: &BTreeSet<usize>) -> Option<Part> {
        let mut bits: Vec<usize> =
            parts.iter().flat_map(|&p| self.parts[p].iter().flat_map(|p| p.bits.clone())).collect();
        if bits.len() > MOST_BITS {
            return None;
        }
        bits.sort_unstable();
        let ring = self.ring(&bits)?;
        let largest = |k: &usize| (self.bits[*k].area * 1e6).round() as i64;
        let main = bits.iter().copied().max_by_key(|k| (largest(k), std::cmp::Reverse(*k)))?;
        let look = CellShape::at(&ring, self.ask.bridge / 2.0, GLANCED);
        let mut part = Part { bits, ring, main, whole: false, look, cost: 0.0 };
        part.cost = self.cost(&part);
        Some(part)
    }

    /// The parts beside one.
    fn beside(&self, p: usize) -> BTreeSet<usize> {
        let bits = self.parts[p].iter().flat_map(|part| &part.bits);
        let near = bits.flat_map(|&k| self.t.mesh.tiles[self.bits[k].tile].beside.iter().flatten());
        near.flat_map(|&t| &self.of_tile[t]).map(|&k| self.part_of[k]).filter(|&q| q != p).collect()
    }

    /// The parts that become one when two do, all their images with them.
    fn closed(&self, a: usize, b: usize) -> BTreeSet<usize> {
        let mut set = BTreeSet::from([a, b]);
        loop {
            let before = set.len();
            for images in &self.images {
                let (c, d) = (self.part_of[images[a]], self.part_of[images[b]]);
                if set.contains(&c) || set.contains(&d) {
                    set.extend([c, d]);
                }
            }
            if set.len() == before {
                return set;
            }
        }
    }

    fn is_narrow(&self, part: &Part) -> bool {
        part.look.radius < (self.ask.least / 2.0).max(NARROW * self.own[self.shape(part)].radius)
    }

    /// Grows poor parts together with a neighbour, the poorest first, where that is better.
    fn join(&mut self) {
        let mut settled: BTreeSet<usize> = BTreeSet::new();
        loop {
            let poorest = (0..self.parts.len())
                .filter(|p| !settled.contains(p))
                .filter_map(|p| self.parts[p].as_ref().map(|part| (p, part.cost)))
                .filter(|(_, cost)| *cost > POOR)
                .max_by_key(|(p, cost)| ((cost * 1e6).round() as i64, std::cmp::Reverse(*p)));
            let Some((p, cost)) = poorest else { break };
            let part = |q: usize| self.parts[q].as_ref();
            let hopeless = part(p).is_some_and(|part| self.is_narrow(part));
            let mut best: Option<(i64, Part)> = None;
            for q in self.beside(p) {
                let set = self.closed(p, q);
                let Some(one) = self.together(&set) else { continue };
                let apart: f64 = set.iter().filter_map(|&q| part(q).map(|part| part.cost)).sum();
                if !hopeless && (one.cost >= apart || self.is_narrow(&one)) {
                    continue;
                }
                let gain = ((one.cost - apart + cost) * 1e6).round() as i64;
                if best.as_ref().is_none_or(|(g, ..)| gain < *g) {
                    best = Some((gain, one));
                }
            }
            match best {
                None => {
                    settled.insert(p);
                }
                Some((_, one)) => self.make_one(one),
            }
        }
    }

    /// Sets a part, with all its images, in place of those that its bits belonged to.
    fn make_one(&mut self, one: Part) {
        for (g, images) in self.group.iter().zip(&self.images) {
            let mut moved: Vec<usize> = one.bits.iter().map(|&k| images[k]).collect();
            moved.sort_unstable();
            let home = moved[0];
            if self.parts[home].as_ref().is_some_and(|p| p.bits == moved) && moved.len() > 1 {
                continue;
            }
            let ring = if moved == one.bits { one.ring.clone() } else { g.kept.by.ring(&one.ring) };
            for &k in &moved {
                self.parts[self.part_of[k]] = None;
                self.part_of[k] = home;
            }
            self.parts[home] = Some(Part { bits: moved, ring, main: images[one.main], ..one.clone() });
        }
    }

    fn parts(&self) -> Vec<&Part> {
        self.parts.iter().flatten().collect()
    }

    /// Where each symmetry takes each part, by their order.
    fn part_images(&self) -> Vec<Vec<usize>> {
        let parts = self.parts();
        let mut order = vec![0; self.bits.len()];
        parts.iter().enumerate().for_each(|(f, part)| part.bits.iter().for_each(|&k| order[k] = f));
        let image = |images: &Vec<usize>| parts.iter().map(|part| order[images[part.bits[0]]]).collect();
        self.images.iter().map(image).collect()
    }

    fn faces(&self) -> Vec<Face> {
        let face = |(f, part): (usize, &&Part)| {
            let (shape, at) = self.cell(self.bits[part.main].tile);
            Face { tile: f, shape, at, ring: part.ring.clone(), whole: part.whole, crosses: false }
        };
        self.parts().iter().enumerate().map(face).collect()
    }

    fn judged(&self, near: f64) -> Judged {
        let (parts, images) = (self.parts(), self.part_images());
        let first = |f: usize| images.iter().map(|i| i[f]).min().unwrap_or(f);
        let off = self.ask.bridge / 2.0;
        let asked = Demands { own: self.own, off, least: self.ask.least, near, cost: CellShape::cut_cost };
        let unlike = |f: usize| Distortion { unlike: self.joined(parts[f]), stretched: 1.0 };
        let faces = self.faces();
        let mut judged = judge(&faces, &asked, |f| !parts[f].whole, unlike, first);
        if near <= NEAR {
            judged.part(&faces, off, first);
        }
        judged
    }

    /// The piece with its true lines; `None` where a part then comes out otherwise.
    fn finished(mut self, exactness: &'a Exactness) -> Option<Fit> {
        self.exactness = exactness;
        for k in 0..self.bits.len() {
            let Some(part) = &self.parts[k] else { continue };
            if self.images.iter().any(|images| part.bits.iter().any(|&b| images[b] < k)) {
                continue; // An image of an earlier one.
            }
            let mut part = part.clone();
            part.ring = self.ring(&part.bits)?;
            let stays = part.bits.clone();
            for (g, images) in self.group.iter().zip(&self.images) {
                let mut moved: Vec<usize> = part.bits.iter().map(|&b| images[b]).collect();
                moved.sort_unstable();
                if moved != stays
                    && let Some(image) = self.parts[moved[0]].as_mut()
                {
                    image.ring = g.kept.by.ring(&part.ring);
                }
            }
            self.parts[k] = Some(part);
        }
        let judged = self.judged(NEAR);
        let joined = self.parts().iter().filter(|part| part.bits.len() > 1).count();
        let exactly = self.group.len() == self.t.group.len();
        let images = self.group.iter().zip(self.part_images()).filter(|_| exactly);
        let group = images.map(|(g, images)| (g.kept.by, images)).collect();
        let (start, origin, order) = (self.t.start, self.t.placed.origin, self.t.group.len());
        Some(Fit { faces: self.faces(), judged, start, origin, order, group, joined: Some(joined) })
    }
}
