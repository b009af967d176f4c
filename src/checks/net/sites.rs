//! What borders the metal: openings, the outer edge, windows and holes, ready to be asked how far away they are.

use crate::checks::{BridgeGraph, Side};
use crate::geom::{box_distance2, contains, Boundary, Bounded, Edge, Point, RTree, Rect, Ring, Vec2};
use crate::job::Job;
use crate::openings::Piece;
use crate::outline::Seam;

/// Neighbours within this many usual bridges of an opening are listed beforehand. Larger makes every question longer;
/// smaller sends wider discs to the tree of all openings.
const LISTED: f64 = 2.4;

/// One line that borders the metal, or the image of one on the other side of a band's seam.
pub(super) struct MetalSite {
    pub side: Side,
    /// -1, 0 or 1: how often it was carried over the seam.
    pub image: i8,
    /// Number of the same site's image 0.
    pub base: usize,
    bounds: Rect,
    line: SiteLine,
    /// Sites within reach, by number.
    near: Vec<u32>,
}

enum SiteLine {
    Edges(Vec<Edge>),
    /// Long lines are kept in a tree.
    Long(Box<Boundary>),
}

/// A site as seen from a point of the metal.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen {
    pub site: usize,
    pub distance: f64,
    /// The point of it that is nearest.
    pub at: Point,
}

impl Seen {
    /// From the site to the eye, length 1.
    pub(super) fn away(&self, eye: Point) -> Vec2 {
        (eye - self.at) / self.distance
    }
}

pub(super) struct Sites {
    pub all: Vec<MetalSite>,
    /// Where each opening stands among them, in the openings' order.
    places: Vec<usize>,
    tree: RTree<u32>,
    /// Edges, windows and holes: kept as long lines and looked at one by one.
    pub long: Vec<usize>,
    pub seam: Option<Seam>,
    reach: f64,
}

impl Sites {
    pub(super) fn new(job: &Job, piece: &Piece, graph: &BridgeGraph) -> Self {
        let outline = &piece.outline;
        let seam = outline.seam;
        let mut all: Vec<MetalSite> = Vec::with_capacity(piece.openings.len() + 8);
        let site =
            |side, image, base, bounds, line| MetalSite { side, image, base, bounds, line, near: Vec::new() };
        // As they lie in a tree, so that neighbours stay at hand.
        let boxes = piece.openings.iter().enumerate();
        let boxes = boxes.map(|(i, o)| Bounded { item: i, bounds: o.ring.bounds() }).collect();
        let order: Vec<usize> = RTree::new(boxes).iter().map(|b| b.item).collect();
        let mut places = vec![0; order.len()];
        for (place, &opening) in order.iter().enumerate() {
            places[opening] = place;
            let o = &piece.openings[opening];
            let edges: Vec<Edge> = o.ring.edges().collect();
            all.push(site(Side::Opening(o.n), 0, place, o.ring.bounds(), SiteLine::Edges(edges)));
        }
        if let Some(seam) = &seam {
            for (i, o) in order.iter().map(|&opening| &piece.openings[opening]).enumerate() {
                for (onwards, image) in [(true, 1), (false, -1)] {
                    let ring = seam.carry(&o.ring, onwards);
                    let edges: Vec<Edge> = ring.edges().collect();
                    all.push(site(Side::Opening(o.n), image, i, ring.bounds(), SiteLine::Edges(edges)));
                }
            }
        }
        // On a cone's flat blank an image carried round past half a turn would come to lie on metal that is not beside it.
        let in_sight = |site: &MetalSite| {
            let at = |place: usize| piece.openings[order[place]].drill_at;
            seam.as_ref().is_none_or(|s| s.way_round(at(site.base), site.image).abs() < std::f64::consts::PI)
        };
        let boxes = all.iter().enumerate().filter(|(_, site)| in_sight(site));
        let boxes = boxes.map(|(s, site)| Bounded { item: s as u32, bounds: site.bounds });
        let tree = RTree::new(boxes.collect());
        let mut long = Vec::new();
        let mut add = |side, bounds, line: Boundary, all: &mut Vec<MetalSite>| {
            long.push(all.len());
            all.push(site(side, 0, all.len(), bounds, SiteLine::Long(Box::new(line))));
        };
        for edges in edge_lines(&outline.edge, seam.as_ref()) {
            add(Side::Edge, outline.edge.bounds(), Boundary::of_edges(edges), &mut all);
        }
        for (side, ring) in cut_outs(piece) {
            add(side, ring.bounds(), Boundary::of_ring(&ring), &mut all);
        }
        let mut widths: Vec<f64> =
            graph.bridges.iter().filter(|b| b.is_between_openings()).map(|b| b.width.get()).collect();
        let middle = widths.len() / 2;
        let usual = match widths.get(middle) {
            Some(_) => *widths.select_nth_unstable_by(middle, f64::total_cmp).1,
            None => job.pattern.bridge.get(),
        };
        let mut sites = Self { all, places, tree, long, seam, reach: LISTED * usual.max(0.05) };
        sites.list_neighbours();
        sites
    }

    fn list_neighbours(&mut self) {
        let reach = self.reach;
        // How far the long lines were from the last opening: one beside it is not much nearer.
        let mut last: Vec<(Point, f64)> = vec![(Point::ORIGIN, f64::NEG_INFINITY); self.long.len()];
        let mut lists: Vec<Vec<u32>> = Vec::with_capacity(self.all.len());
        for (i, site) in self.all.iter().enumerate() {
            if self.is_long(i) {
                lists.push(Vec::new());
                continue;
            }
            let around = self.tree.around(site.bounds, reach).map(|b| b.item);
            let mut near: Vec<u32> = around.filter(|&s| s as usize != i).collect();
            let middle = site.bounds.center();
            let far = reach + site.bounds.size().to_vec2().hypot2().sqrt() / 2.0;
            for (f, (from, distance)) in self.long.iter().zip(&mut last) {
                if *distance - (middle - *from).hypot2().sqrt() <= far {
                    (*from, *distance) = (middle, self.see(*f, middle).distance);
                }
                if *distance - (middle - *from).hypot2().sqrt() <= far {
                    near.push(*f as u32);
                }
            }
            lists.push(near);
        }
        for (site, near) in self.all.iter_mut().zip(lists) {
            site.near = near;
        }
    }

    /// The site of an opening, an edge, a window or a hole; of an edge in several parts the first.
    pub(super) fn of_side(&self, side: Side) -> Option<usize> {
        match side {
            Side::Opening(n) => self.places.get(n.checked_sub(1)?).copied(),
            side => self.long.iter().copied().find(|&s| self.all[s].side == side),
        }
    }

    pub(super) fn is_long(&self, site: usize) -> bool {
        matches!(self.all[site].line, SiteLine::Long(_))
    }

    /// How a site is seen from a point.
    pub(super) fn see(&self, site: usize, eye: Point) -> Seen {
        let at = match &self.all[site].line {
            SiteLine::Edges(edges) => {
                let mut best = (f64::INFINITY, eye);
                for edge in edges {
                    let q = edge.nearest(eye);
                    let d = (q - eye).hypot2();
                    if d < best.0 {
                        best = (d, q);
                    }
                }
                best.1
            }
            SiteLine::Long(line) => line.nearest(eye).unwrap_or(eye),
        };
        Seen { site, distance: (at - eye).hypot2().sqrt(), at }
    }

    /// Whether a point lies in what a site cuts out.
    pub(super) fn is_in(&self, site: usize, p: Point) -> bool {
        let site = &self.all[site];
        match &site.line {
            SiteLine::Edges(edges) => site.bounds.contains(p) && contains(edges.iter().copied(), p),
            SiteLine::Long(line) => site.side != Side::Edge && line.contains(p),
        }
    }

    /// Does something with every site that may come within `radius` of a point, as seen from there. `beside` is a site
    /// that lies within `touching` of the point: its listed neighbours save asking the tree. Some are farther away.
    pub(super) fn within(&self, eye: Point, radius: f64, beside: (usize, f64), mut with: impl FnMut(Seen)) {
        let near = &self.all[beside.0].near;
        if radius + beside.1 <= self.reach && !near.is_empty() {
            with(self.see(beside.0, eye));
            for &s in near {
                let bounds = self.all[s as usize].bounds;
                let far = matches!(self.all[s as usize].line, SiteLine::Edges(_))
                    && box_distance2(bounds, Rect::from_points(eye, eye)) > radius * radius;
                if !far {
                    with(self.see(s as usize, eye));
                }
            }
            return;
        }
        let disc = Rect::from_center_size(eye, (2.0 * radius, 2.0 * radius));
        self.tree.meeting(disc).for_each(|b| with(self.see(b.item as usize, eye)));
        self.long.iter().for_each(|&f| with(self.see(f, eye)));
    }

    /// The same site carried over the seam `by` times more; `None` where no image of it is kept.
    pub(super) fn carried(&self, site: usize, by: i8) -> Option<usize> {
        let MetalSite { image, base, line, .. } = &self.all[site];
        if by == 0 || matches!(line, SiteLine::Long(_)) {
            return Some(site);
        }
        // The openings come first, then two images of each.
        let openings = (self.all.len() - self.long.len()) / 3;
        match image + by {
            0 => Some(*base),
            1 => Some(openings + 2 * base),
            -1 => Some(openings + 2 * base + 1),
            _ => None,
        }
    }

    /// The number of a site's image 0.
    pub(super) fn base(&self, site: usize) -> usize {
        self.all[site].base
    }

    /// Lines that border the metal, images left out: the faces of the graph.
    pub(super) fn faces(&self) -> usize {
        self.all.iter().filter(|s| s.image == 0).count()
    }
}

/// Windows and holes that lie in no other, which would leave them no metal of their own.
fn cut_outs(piece: &Piece) -> Vec<(Side, Ring)> {
    let outline = &piece.outline;
    let windows = outline.windows.iter().enumerate().map(|(w, o)| (Side::Window(w + 1), o.ring.clone()));
    let hole = |(h, o): (usize, &crate::outline::Hole)| {
        (Side::Hole(h + 1), Ring::circle(o.at, o.diameter.get() / 2.0))
    };
    let all: Vec<(Side, Ring)> = windows.chain(outline.holes.iter().enumerate().map(hole)).collect();
    let nested = |i: usize| {
        let start = all[i].1.first();
        all.iter().enumerate().any(|(j, (_, r))| j != i && r.contains(start))
    };
    let keep: Vec<bool> = (0..all.len()).map(|i| !nested(i)).collect();
    all.into_iter().zip(keep).filter(|(_, keep)| *keep).map(|(c, _)| c).collect()
}

/// The outer edge; of a blank bent round its long edges, each carried over the seam both ways so that it has no ends.
fn edge_lines(edge: &Ring, seam: Option<&Seam>) -> Vec<Vec<Edge>> {
    let Some(seam) = seam else { return vec![edge.edges().collect()] };
    let mut chains: Vec<Vec<Edge>> = Vec::new();
    for e in seam.part_edges(edge).1 {
        match chains.iter_mut().find(|c| c.last().is_some_and(|l| (l.to() - e.from()).hypot2().sqrt() < 1e-9))
        {
            Some(chain) => chain.push(e),
            None => chains.push(vec![e]),
        }
    }
    // A chain that was started in its middle: its two halves meet at the first edge.
    if let [first, .., last] = &chains[..] {
        let meets = |a: &[Edge], b: &[Edge]| match (a.last(), b.first()) {
            (Some(a), Some(b)) => (a.to() - b.from()).hypot2().sqrt() < 1e-9,
            _ => false,
        };
        if chains.len() > 2 && meets(last, first) {
            let tail = chains.remove(0);
            if let Some(last) = chains.last_mut() {
                last.extend(tail);
            }
        }
    }
    let carried = |e: &Edge, onwards: bool| {
        let bulge = match e {
            Edge::Line { .. } => 0.0,
            Edge::Arc { bulge, .. } => *bulge,
        };
        Edge::between(seam.carry_point(e.from(), onwards), bulge, seam.carry_point(e.to(), onwards))
    };
    let thrice = |chain: Vec<Edge>| {
        let mut all = chain.clone();
        all.extend(chain.iter().flat_map(|e| [carried(e, true), carried(e, false)]));
        all
    };
    chains.into_iter().map(thrice).collect()
}
