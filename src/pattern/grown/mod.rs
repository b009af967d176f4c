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
pub use lloyd::{relaxed, Lloyd};
pub use rhombs::{crossed_lines, Rhomb};
pub use rosettes::{circle_rosette, diamond_rosette, petal, petal_gap, sector};
pub use rounds::{growing_rounds, Rounds};

use super::Walls;
use crate::catalogue::grown;
use crate::geom::{inscribed_circle, Point, Rect, Region, Ring};
use crate::job::GrownSettings;
use crate::units::limits::UNLIKE;
use crate::units::LengthUnit;
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// What a pattern is to be grown for. mm; the pattern's middle is the origin.
#[derive(Debug, Clone)]
pub struct GrowthAsk<'a> {
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
    /// What it measures is each pattern's own (see `Grown::pitch`).
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
    /// Units of lengths in what is said of it.
    pub units: LengthUnit,
}

/// What was grown.
#[derive(Debug, Clone, Default)]
pub struct Growth {
    /// Closed lines round the cells, anticlockwise, mm, before the bridge is taken off.
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

/// How a pattern is grown.
struct Recipe {
    /// A pitch that looks well, over the radius of the piece: enough rounds to see them grow. 0: any pitch does.
    usual: fn(&GrownSettings) -> f64,
    grow: fn(&GrowthAsk) -> Result<Growth, String>,
}

/// How each of [`GROWN`](crate::catalogue::GROWN) is grown; `None` for a name that is none of theirs.
fn way(name: &str) -> Option<Recipe> {
    let any = |_: &GrownSettings| 0.0;
    Some(match name {
        "evened-out" => Recipe { usual: any, grow: lloyd::grow },
        "sunflower" => Recipe { usual: any, grow: sunflower::grow },
        "five-fold-diamonds" => Recipe { usual: any, grow: |ask| rhombs::grow(ask, Some(5), 0.2) },
        "eight-fold-diamonds" => Recipe { usual: any, grow: |ask| rhombs::grow(ask, Some(4), 0.5) },
        "many-fold-diamonds" => Recipe { usual: any, grow: |ask| rhombs::grow(ask, None, 0.5) },
        "pentagon-round" => Recipe { usual: |_| 1.0 / pentagons::FILLED, grow: pentagons::grow },
        "petal-ring" => Recipe { usual: |_| 0.75 * TAU / 16.0, grow: rosettes::petals },
        "circle-rosette" => Recipe { usual: |_| 0.5 * TAU / 12.0, grow: rosettes::circles },
        "sun-rays" => Recipe { usual: |_| TAU / 24.0, grow: rosettes::rays },
        "brick-rounds" => Recipe { usual: any, grow: rosettes::bricks },
        "diamond-rosette" => Recipe { usual: |_| 0.25, grow: rosettes::diamonds },
        "quarter-circles" => Recipe { usual: any, grow: quarters::grow },
        "shrinking-edge" => Recipe { usual: edge::usual, grow: edge::grow },
        "growing-hexagon" => Recipe { usual: |_| TAU / 24.0, grow: |ask| rounds::grow(ask, "hexagon") },
        "growing-scale" => Recipe { usual: |_| TAU / 20.0, grow: |ask| rounds::grow(ask, "fish-scale") },
        "growing-kites" => Recipe { usual: |_| TAU / 12.0, grow: |ask| rounds::grow(ask, "kites") },
        "growing-diamond" => Recipe { usual: |_| TAU / 20.0, grow: rounds::grow_diamonds },
        _ => return None,
    })
}

/// Cells of dwindling patterns are set out down to this part of the width that can be pierced; those between are listed
/// as left solid. Smaller would list specks, larger would leave a ring unnamed.
const LISTED: f64 = 0.5;

/// Grows the pattern called `name`. The cells overlap `ask.bounds`; an error says which size to change.
pub fn grow(name: &str, ask: &GrowthAsk) -> Result<Growth, String> {
    let unknown = || format!("there is no pattern called \"{name}\"");
    let (grown, way) = grown(name).zip(way(name)).ok_or_else(unknown)?;
    if !(ask.pitch.is_finite() && ask.pitch > 0.0 && ask.bridge >= 0.0 && ask.reach().is_finite()) {
        return Err("the pitch must be more than nothing".into());
    }
    let mut growth = (way.grow)(ask)?;
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
            left.push((middle, ask.too_small(wide)));
        }
        wide >= ask.least
    });
    growth.left.extend(left);
    Ok(growth)
}

/// A pitch that fills a piece with rounds enough to see them grow, mm; 0 where any pitch does. `ask.pitch` is not looked at.
pub fn usual_pitch(name: &str, ask: &GrowthAsk) -> f64 {
    way(name).map_or(0.0, |way| (way.usual)(&ask.settings)) * ask.radius()
}

impl GrowthAsk<'_> {
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

    /// Why a cell that dwindled to `wide` mm is left out.
    fn too_small(&self, wide: f64) -> String {
        let (wide, least) = (self.units.says(wide.max(0.0), 2), self.units.says(self.least, 2));
        format!("too small to pierce, as the pattern dwindles: {wide} across, the drill wants {least}")
    }

    /// Cells refused before memory is filled: `count` is what the settings would make.
    fn not_too_many(&self, count: f64) -> Result<(), String> {
        let most = UNLIKE.most;
        if count <= most {
            return Ok(());
        }
        let mm = |mm: f64| self.units.says(mm, 3);
        let (pitch, larger) = (mm(self.pitch), mm(self.pitch * (count / most).sqrt() * 1.01));
        Err(format!(
            "a pitch of {pitch} makes about {count:.0} openings here, no two alike; the most is {most}, {}: a pitch of {larger} \
             would do",
            UNLIKE.why
        ))
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
