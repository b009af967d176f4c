//! Patterns that are grown or set out round a point, not repeated: cells whole and touching (half the bridge is taken
//! off each later) or motifs that stand apart. Same settings and variation, same cells, on every machine.

mod cells;
mod edge;
mod lloyd;
mod pentagons;
mod quarters;
mod rhombs;
mod rosettes;
mod rounds;
mod sunflower;

pub use cells::Shuffle;
pub use edge::shrinking;
pub use lloyd::{relaxed, Relaxation};
pub use rhombs::{crossed_lines, Rhomb};
pub use rosettes::{circle_rosette, diamond_rosette, petal, petal_gap, sector};
pub use rounds::{growing_rounds, Rounds};

use super::Walls;
use crate::geom::{inscribed_circle, Point, Rect, Region, Ring};
use crate::job::GrownSettings;
use crate::units::plain;
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// What a pattern is to be grown for. mm; the pattern's middle is the origin.
#[derive(Debug, Clone)]
pub struct Ask<'a> {
    /// What must be covered. Where whole squares go round: the strip, from end to end.
    pub bounds: Rect,
    /// Whole squares go round between the strip's ends.
    pub closed: bool,
    /// Where openings may lie. Cells that follow an edge follow this one; empty: `bounds` is all there is.
    pub field: &'a [Region],
    /// A cone's blank: the point its arcs are struck from and the angle between its ends, radians. Growing rounds are
    /// laid round that point and meet across the seam.
    pub blank: Option<(Point, f64)>,
    /// Cells near the border are moved a little so that the edge row is even, where the pattern can.
    pub ease: bool,
    /// What it measures is each pattern's own (see [`Grown::pitch`]).
    pub pitch: f64,
    /// Metal between openings, as drawn; the least, where bridges are graded.
    pub bridge: f64,
    /// Graded bridges, where they are.
    pub walls: Option<&'a Walls>,
    /// Cells are graded along a line in this direction, degrees; `None`: from the middle outwards.
    pub along: Option<f64>,
    /// Cells of dwindling patterns whose opening would be less than this across are left out; 0 keeps all.
    pub least: f64,
    /// Seed; used by patterns that choose freely.
    pub variation: u64,
    /// Degrees, anticlockwise.
    pub turn: f64,
    /// Every pattern has a default for what it uses and leaves the rest alone.
    pub settings: GrownSettings,
}

/// What was grown.
#[derive(Debug, Clone, Default)]
pub struct Growth {
    pub cells: Vec<Ring>,
    /// The cells do not touch: they are openings as they stand.
    pub motif: bool,
    /// Order of turning symmetry about the middle, 1 for none.
    pub order: u32,
    /// Whole repeats round, where that has a meaning.
    pub repeats: Vec<u32>,
    /// Middles of repeats that were left out because a bridge would leave nothing to pierce, each with the reason.
    pub left: Vec<(Point, String)>,
    /// For people: what was chosen.
    pub notes: Vec<String>,
}

/// How a grown pattern goes round a band or a cone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Round {
    /// Its cells follow both ends, with one straight bridge at the seam.
    Follows,
    /// Whole squares go round, and on a cone are bent with it.
    Whole,
    /// It covers the strip from a middle; openings at the ends are cut straight, a bridge apart.
    Cut,
    /// Round the point a cone's blank is struck from, meeting across the seam; not round a band.
    ConeOnly,
    /// It is one round by itself.
    Not,
}

/// A grown pattern that a job may name.
pub struct Grown {
    /// Key in a job file.
    pub name: &'static str,
    pub title: &'static str,
    pub about: &'static str,
    pub source: &'static str,
    /// What `pitch` measures.
    pub pitch: &'static str,
    /// Width of a smallest usual opening before the bridge, in pitches, from which a suited pitch follows.
    pub across: f64,
    /// A pitch that looks well, over the radius of the piece: enough rounds to see them grow. 0: any pitch does.
    usual: fn(&GrownSettings) -> f64,
    /// What it does on a blank that is bent to meet itself.
    pub round: Round,
    /// Cells dwindle towards the middle or the edge, so that the smallest are left out by `least`.
    pub dwindles: bool,
    grow: fn(&Ask) -> Result<Growth, String>,
}

/// All grown patterns, in the order in which people see them.
pub const GROWN: &[Grown] = &[
    Grown {
        name: "evened-out",
        title: "Evened-out cells",
        about: "Cells like dried mud or a dragonfly's wing, all about the same size; they follow the border.",
        source: "own construction: nearest-point cells, each point moved to its cell's centroid (Lloyd 1982, from memory)",
        pitch: "usual distance between neighbouring openings, middle to middle",
        across: 0.78,
        usual: |_| 0.0,
        round: Round::Follows,
        dwindles: false,
        grow: lloyd::grow,
    },
    Grown {
        name: "sunflower",
        title: "Sunflower",
        about: "Seeds of a sunflower head: spirals both ways from the middle, even openings.",
        source: "spiral of Vogel 1979 (r = c sqrt n, 137.5 degrees, as quoted); cells are own construction",
        pitch: "usual distance between neighbouring openings, middle to middle",
        across: 0.88,
        usual: |_| 0.0,
        round: Round::Cut,
        dwindles: false,
        grow: sunflower::grow,
    },
    Grown {
        name: "five-fold-diamonds",
        title: "Five-fold diamonds",
        about: "Wide and narrow diamonds round a five-pointed middle; never repeats.",
        source: "crossed sets of parallel lines (de Bruijn 1981, from memory)",
        pitch: "side of a diamond before the bridge",
        across: 0.587,
        usual: |_| 0.0,
        round: Round::Cut,
        dwindles: false,
        grow: |ask| rhombs::grow(ask, Some(5), 0.2),
    },
    Grown {
        name: "eight-fold-diamonds",
        title: "Eight-fold squares and diamonds",
        about: "Squares and slim diamonds round an eight-pointed middle; never repeats.",
        source: "crossed sets of parallel lines (de Bruijn 1981, from memory)",
        pitch: "side of a diamond before the bridge",
        across: 0.707,
        usual: |_| 0.0,
        round: Round::Cut,
        dwindles: false,
        grow: |ask| rhombs::grow(ask, Some(4), 0.5),
    },
    Grown {
        name: "many-fold-diamonds",
        title: "Many-fold diamonds",
        about: "Diamonds of several widths round a star of as many points as you like (fold = 3 to 15).",
        source: "crossed sets of parallel lines (de Bruijn 1981, from memory)",
        pitch: "side of a diamond before the bridge",
        across: 0.434,
        usual: |_| 0.0,
        round: Round::Cut,
        dwindles: true,
        grow: |ask| rhombs::grow(ask, None, 0.5),
    },
    Grown {
        name: "pentagon-round",
        title: "Pentagon round",
        about: "Five-sided openings, all alike, in six turning arms.",
        source: "equal-sided pentagon of 140, 60, 160, 80 and 100 degrees (Hirschhorn and Hunt 1985, from memory); arrangement found by own search",
        pitch: "side of a pentagon before the bridge",
        across: 0.98,
        usual: |_| 1.0 / pentagons::FILLED,
        round: Round::Cut,
        dwindles: false,
        grow: pentagons::grow,
    },
    Grown {
        name: "petal-ring",
        title: "Petal rings",
        about: "Rings of pointed petals like a daisy, larger towards the border; bridges even along their narrowest.",
        source: "own construction: petals of two arcs",
        pitch: "petal to petal at the outer ring, middle to middle",
        across: 1.0,
        usual: |_| 0.75 * TAU / 16.0,
        round: Round::Not,
        dwindles: true,
        grow: rosettes::petals,
    },
    Grown {
        name: "circle-rosette",
        title: "Circle rosette",
        about: "Equal circles through one middle, as on an engine-turned watch; the hub stays solid.",
        source: "own construction: equal circles through one point",
        pitch: "opening to opening half way out, middle to middle",
        across: 0.8,
        usual: |_| 0.5 * TAU / 12.0,
        round: Round::Not,
        dwindles: true,
        grow: rosettes::circles,
    },
    Grown {
        name: "sun-rays",
        title: "Sun rays",
        about: "Rings of four-sided openings set like bricks, growing towards the border.",
        source: "own construction: rings cut by rays",
        pitch: "opening to opening in the outermost ring, middle to middle",
        across: 0.9,
        usual: |_| TAU / 24.0,
        round: Round::Not,
        dwindles: true,
        grow: rosettes::rays,
    },
    Grown {
        name: "brick-rounds",
        title: "Brick rounds",
        about: "Rings of four-sided openings, all of one size, like a well's lining.",
        source: "own construction: rings cut by rays, each ring by itself",
        pitch: "width of a ring, and nearly the length of an opening",
        across: 0.9,
        usual: |_| 0.0,
        round: Round::Cut,
        dwindles: true,
        grow: rosettes::bricks,
    },
    Grown {
        name: "diamond-rosette",
        title: "Diamond rosette",
        about: "Diamonds round a star, widest half way out; together they fill an even many-sided shape.",
        source: "own construction: equal-sided diamonds in rings",
        pitch: "side of a diamond before the bridge",
        across: 0.7,
        usual: |_| 0.25,
        round: Round::Not,
        dwindles: true,
        grow: rosettes::diamonds,
    },
    Grown {
        name: "quarter-circles",
        title: "Quarter-circles",
        about: "Squares with two corners rounded off by bridges, turned this way or that as the variation has it.",
        source: "own construction after Truchet's two-way tile (1704, from memory), with the squares' own lines kept so that nothing falls out",
        pitch: "side of a square before the bridge",
        across: 0.414,
        usual: |_| 0.0,
        round: Round::Whole,
        dwindles: false,
        grow: quarters::grow,
    },
    Grown {
        name: "shrinking-edge",
        title: "Shrinking to the edge",
        about: "A large opening in the middle, ever smaller ones round it towards the border.",
        source: "own construction: even shapes of the hyperbolic plane in Poincare's disc (published geometry)",
        pitch: "width of the opening in the middle before the bridge",
        across: 1.0,
        usual: edge::usual,
        round: Round::Not,
        dwindles: true,
        grow: edge::grow,
    },
    Grown {
        name: "growing-hexagon",
        title: "Growing honeycomb",
        about: "Honeycomb bent into rounds, openings growing towards the border.",
        source: "own construction: hexagon pattern bent into rounds that keep every angle",
        pitch: "opening to opening along the border, middle to middle",
        across: 1.0,
        usual: |_| TAU / 24.0,
        round: Round::ConeOnly,
        dwindles: true,
        grow: |ask| rounds::grow(ask, "hexagon"),
    },
    Grown {
        name: "growing-scale",
        title: "Growing scales",
        about: "Fish scales bent into rounds, growing towards the border.",
        source: "own construction: fish-scale pattern bent into rounds that keep every angle",
        pitch: "scale to scale along the border, middle to middle",
        across: 0.667,
        usual: |_| TAU / 20.0,
        round: Round::ConeOnly,
        dwindles: true,
        grow: |ask| rounds::grow(ask, "fish-scale"),
    },
    Grown {
        name: "growing-kites",
        title: "Growing kites",
        about: "Flowers of kites bent into rounds, growing towards the border.",
        source: "own construction: kites pattern bent into rounds that keep every angle",
        pitch: "flower to flower along the border, middle to middle",
        across: 0.366,
        usual: |_| TAU / 12.0,
        round: Round::ConeOnly,
        dwindles: true,
        grow: |ask| rounds::grow(ask, "kites"),
    },
    Grown {
        name: "growing-diamond",
        title: "Growing diamonds",
        about: "A diamond trellis bent into rounds, growing towards the border: spirals both ways.",
        source: "own construction: square pattern set on its corner and bent into rounds that keep every angle",
        pitch: "diamond to diamond along the border, middle to middle",
        across: 0.7,
        usual: |_| TAU / 20.0,
        round: Round::ConeOnly,
        dwindles: true,
        grow: rounds::grow_diamonds,
    },
];

/// Cells of dwindling patterns are set out down to this part of the width that can be pierced; those between are listed
/// as left solid. Smaller would list specks, larger would leave a ring unnamed.
const LISTED: f64 = 0.5;

/// The grown pattern a job calls `name`.
pub fn grown(name: &str) -> Option<&'static Grown> {
    GROWN.iter().find(|g| g.name == name)
}

/// Grows the pattern called `name`. The cells overlap `ask.bounds`; an error says which size to change.
pub fn grow(name: &str, ask: &Ask) -> Result<Growth, String> {
    let grown = grown(name).ok_or_else(|| format!("there is no pattern called \"{name}\""))?;
    if !(ask.pitch.is_finite() && ask.pitch > 0.0 && ask.bridge >= 0.0 && ask.reach().is_finite()) {
        return Err("the pitch must be more than nothing".into());
    }
    let mut growth = (grown.grow)(ask)?;
    // Cells that differ only in place are as wide as each other.
    let mut known: BTreeMap<(u64, u64), f64> = BTreeMap::new();
    let key = |v: f64| (v * 1e9).round() as u64;
    let (motif, mut left) = (growth.motif, Vec::new());
    growth.cells.retain(|ring| {
        if !meet(ring.bounds(), ask.bounds) {
            return false;
        }
        if !grown.dwindles || ask.least <= 0.0 {
            return true;
        }
        let middle = ring.centroid();
        let usual = if motif { 0.0 } else { ask.bridge };
        let taken = ask.walls.map_or(usual, |w| w.taken(middle, motif));
        let alike = (key(ring.area()), key(ring.perimeter()));
        let wide = *known.entry(alike).or_insert_with(|| 2.0 * inscribed_circle(ring).radius) - taken;
        if wide < ask.least {
            left.push((middle, too_small(wide, ask.least)));
        }
        wide >= ask.least
    });
    growth.left.extend(left);
    Ok(growth)
}

fn too_small(wide: f64, least: f64) -> String {
    let wide = plain(wide.max(0.0), 2);
    format!(
        "too small to pierce, as the pattern dwindles: {wide} mm across, the drill wants {} mm",
        plain(least, 2)
    )
}

impl Grown {
    /// A pitch that fills a piece with rounds enough to see them grow, mm; 0 where any pitch does. `ask.pitch` is not
    /// looked at.
    pub fn usual_pitch(&self, ask: &Ask) -> f64 {
        (self.usual)(&ask.settings) * ask.radius()
    }
}

impl Ask<'_> {
    /// Distance from the middle to the farthest point that must be covered.
    pub fn reach(&self) -> f64 {
        let b = self.bounds;
        libm::hypot(b.x0.abs().max(b.x1.abs()), b.y0.abs().max(b.y1.abs()))
    }

    /// Distance from the middle to the farthest point of the field: the radius of a disc.
    fn radius(&self) -> f64 {
        let far = |r: &Region| {
            r.outer().flatten(1e-4).iter().map(|p| p.to_vec2().hypot2().sqrt()).fold(0.0, f64::max)
        };
        let radius = self.field.iter().map(far).fold(0.0, f64::max);
        if radius > 0.0 {
            radius
        } else {
            self.reach()
        }
    }

    /// Cells refused before memory is filled: `count` is what the settings would make.
    fn not_too_many(&self, count: f64) -> Result<(), String> {
        let most = super::MOST_CELLS;
        if count <= most as f64 {
            Ok(())
        } else {
            Err(format!("a pitch of {:.3} mm makes about {count:.0} openings here; the most is {most}: make it larger", self.pitch))
        }
    }

    /// How many times a pattern comes again in one turn, `radius` out: as asked, or by the pitch; even if `even`.
    fn fold(&self, radius: f64, even: bool, least: u32, most: u32) -> u32 {
        let by_pitch = (TAU * radius / self.pitch).clamp(f64::from(least), f64::from(most));
        let fold = self.settings.fold.unwrap_or_else(|| by_pitch.round() as u32).clamp(least, most);
        if even {
            fold + fold % 2
        } else {
            fold
        }
    }
}

fn meet(a: Rect, b: Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}

/// The point `radius` from the middle at `angle` (radians, anticlockwise from +x).
fn polar(radius: f64, angle: f64) -> Point {
    Point::new(radius * libm::cos(angle), radius * libm::sin(angle))
}

fn turned(rings: impl IntoIterator<Item = Ring>, turn: f64) -> Vec<Ring> {
    rings.into_iter().map(|r| if turn == 0.0 { r } else { r.rotated(turn) }).collect()
}
