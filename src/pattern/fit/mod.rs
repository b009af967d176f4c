//! A pattern made to fit its outline: whole cells to the very border, those by it bent a little.
//!
//! 1. `field`: where the middle lines of bridges may run; `curve`: its border lines, by arc length, with their corners.
//! 2. `tiling`: the pattern as vertices and sides; `mesh`: laid in one place; `symmetry`: what keeps both.
//! 3. `keep`: the cells whose own angles let them lie along the border; `loops`: their edge.
//! 4. `seats`: edge vertices on the border; `relax`: all cells bent, each as little as can be.
//! 5. `faces`: cells again, with exact lines; `judge`: how they look beside the pattern's own; `search`: the best place.
//!
//! An overlay grid (from memory, believed Schneiders, "Quadrilateral and hexahedral element meshes") with shape matching
//! (Bouaziz and others, "Shape-Up", 2012) in place of smoothing.

mod bend;
mod budget;
pub(super) mod curve;
mod cut;
mod exactness;
mod faces;
mod field;
mod horns;
mod judge;
mod keep;
mod likeness;
mod loops;
mod made;
mod mend;
mod mesh;
mod parts;
mod place;
mod relax;
mod round;
mod search;
mod seats;
mod snap;
mod straight;
mod symmetry;
mod tiling;

use super::{Laid, DRILL_CLEARANCE};
use crate::catalogue::{Fills, Pattern};
use crate::geom::{inscribed_circle, Isometry, Point, Region, Ring};
use crate::job::{CentreChoice, Job};
use crate::outline::Outline;
use crate::units::{plain, Mm};
use bend::Fit;
use budget::Budget;
use field::{Domain, Horn};
use horns::{without_horns, HornCut};
use made::{bent_note, fitted};
use place::FitRequest;
use search::{search, Sought};
use snap::{snapped, Snapped};
use std::borrow::Cow;
use std::f64::consts::PI;
use tiling::Tiling;

/// Scores above this do not look as if the pattern were made for the outline. Found by eye over all patterns.
const SUITS: f64 = 1.2;
/// Fewer cells than this do not show a pattern.
const FEWEST: usize = 5;
/// Fewer than this that are cut in place of bent do not: most of them are ends of bars, in a small heart hardly to be recognised.
const FEWEST_CUT: usize = 10;
/// More cells than this are not bent: the border rows would be lost among them, and it takes long.
const MOST: f64 = 20_000.0;
/// More cells than this of a pattern that can be bent are not cut in place of it: cutting takes a millisecond for each cell at the
/// border (measured), and one row among so many is hardly seen.
const CUT_MOST: f64 = 1500.0;
/// The same for a first good one: while something is moved nobody waits for so many cuts.
const CUT_FIRST_MOST: f64 = 150.0;
/// A score at which no other stretch is tried in a rectangle.
const EVEN: f64 = 0.45;
/// Sizes tried one after another where the pitch itself gives nothing good, and for how many cells: more would take long.
const EASED: [f64; 6] = [1.03, 0.97, 1.06, 0.94, 1.08, 0.92];
const EASED_MOST: f64 = 200.0;
/// Cells whose area over that of their widest circle is larger than this are cut in place of bent: bricks of three to one and
/// narrow leaves. Larger would bend them broad; smaller would cut what bends well.
const LONG: f64 = 3.2;
/// Where horns are cut, in widths of a cell, one after another, and the part of the budget that may be spent by then. Wider ends make
/// larger drops and leave fewer cells; narrower ones press the last cells together. By eye and score.
const HORN_CUTS: [(f64, f64); 2] = [(1.2, 0.6), (0.9, 0.85)];
/// Part of the budget that bending may take before cells are cut.
const BENT_SHARE: f64 = 0.7;
/// No cell that is cut may be narrower than this beside its own.
const CRUMB: f64 = 0.6;
/// Parts of the field smaller than this many cells are left solid.
const SPECK: f64 = 0.6;
/// The middles of images come to lie this near each other, mm.
const SAME_PLACE: f64 = 1e-3;

/// How far a fit is sought. The same job and effort give the same fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    /// The first that keeps what is promised: to be shown while something is being moved.
    First,
    /// The best looking of all that are tried: what is drawn.
    Best,
}

/// How a fitted piece came out.
#[derive(Debug, Clone)]
pub struct Fitted {
    /// The bent cells; each is a kind of its own.
    pub laid: Laid,
    /// How far cells are from those the pattern has.
    pub quality: Quality,
    /// One for each kind of `laid`.
    pub images: Vec<Image>,
}

/// What came of the search for fits.
#[derive(Debug, Clone)]
pub struct Fits {
    /// Those that keep what is promised, the best looking first; or why there are none, in words that follow "it does not
    /// fit: ".
    pub ways: Result<Vec<Fitted>, String>,
    /// Vertices bent in search of them: what it cost.
    pub bent: usize,
    /// About how many cells the field holds.
    pub cells: f64,
}

/// How a fitted piece looks beside the pattern's own cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Quality {
    /// 0 for border cells like those in the middle; see `SUITS`.
    pub score: f64,
    /// Nothing is bent: cells end at the border, what would be small of them one with a neighbour.
    pub cut: bool,
    /// Widest circle of the narrowest opening over the pattern's own.
    pub narrowest: f64,
    /// Standard deviation over mean of the border openings' areas, each over its own cell's.
    pub spread: f64,
    /// Least inner angle of a border cell, degrees.
    pub sharpest: f64,
    /// Most that a cell is stretched one way over the other, 1 for none.
    pub stretched: f64,
    /// The symmetries of outline and pattern that the piece keeps exactly, standing still among them; none where the drawn
    /// outline is itself only nearly symmetrical or the field is in several parts.
    pub symmetries: Vec<Isometry>,
}

/// The kind of cell that another is an exact image of, by a symmetry of field and pattern.
#[derive(Debug, Clone)]
pub struct Image {
    /// It is itself the first of its images when this is its own number.
    pub of: usize,
    /// From that kind's ring to this one's.
    pub by: Isometry,
    /// It is not the pattern's own cell.
    pub bent: bool,
    /// The symmetries that keep the ring itself, all of a group; none for an image, or without any.
    pub stays: Vec<Isometry>,
}

impl Image {
    /// Of so many kinds that are no images of each other.
    fn none(kinds: usize) -> Vec<Image> {
        (0..kinds).map(|of| Image { of, by: Isometry::IDENTITY, bent: true, stays: Vec::new() }).collect()
    }
}

/// The ways of fitting a repeat to an outline that keep what is promised, the best looking first. Errors say why there are
/// none, in words that follow "it does not fit: ".
pub(super) fn fit(pattern: &Pattern, job: &Job, outline: &Outline, pitch: Mm, effort: Effort) -> Fits {
    let cells = cells_about(pattern, outline, pitch);
    let budget = Budget::of(cells, effort);
    let fit = || {
        suits(pattern, job, cells)?;
        if outline.seam.is_some() {
            return round::fit(pattern, job, outline, pitch, (effort, &budget));
        }
        let turn = job.pattern.turn;
        let laying = Laying { pattern, job, size: pitch.get(), turn, effort, budget: &budget, share: 1.0 };
        let fields = parts::fields(job, outline)?;
        for (width, share) in HORN_CUTS {
            if let Some(cut) = laying.without_horns(&fields, width)
                && let Ok(good) = (Laying { share, ..laying }).over(&cut)
            {
                return Ok(good);
            }
        }
        laying.over(&fields)
    };
    let ways = fit();
    Fits { ways, bent: budget.spent(), cells }
}

/// A pattern at its size and turn, to be laid over the parts of a field.
#[derive(Clone, Copy)]
struct Laying<'a> {
    pattern: &'a Pattern,
    job: &'a Job,
    size: f64,
    turn: f64,
    effort: Effort,
    budget: &'a Budget,
    /// The part of it that may have been spent when this is done.
    share: f64,
}

/// A size a pattern may be laid at.
struct Sizing<'a> {
    pattern: Cow<'a, Pattern>,
    size: f64,
    note: Option<String>,
}

impl Laying<'_> {
    /// The ways of fitting it to all parts that keep what is promised, the best looking first: stretched to fill a rectangle, as
    /// it is, or a little smaller or larger.
    fn over(&self, fields: &[Domain]) -> Result<Vec<Fitted>, String> {
        let Laying { pattern, job, size, turn, effort, .. } = *self;
        let says = |mm: f64| job.units.says(mm, 2);
        let plain = Sizing { pattern: Cow::Borrowed(pattern), size, note: None };
        let (bent, cut) = (Sought::Bent(effort), Sought::Cut(effort));
        let long = is_long(pattern);
        if let [field] = fields {
            let stretched = snapped(pattern, field, size, turn);
            let sizings: Vec<Sizing> = stretched.into_iter().map(|s| self.snapped_sizing(s)).collect();
            for sought in if long { vec![Sought::Straight, cut, bent] } else { vec![Sought::Straight, bent] }
            {
                let mut good: Vec<Fitted> = Vec::new();
                for sizing in &sizings {
                    good.extend(self.at(sizing, fields, sought).unwrap_or_default());
                    if good.iter().any(|fit| fit.quality.score <= EVEN) || self.budget.is_spent() {
                        break;
                    }
                }
                if !good.is_empty() {
                    good.sort_by(|a, b| a.quality.score.total_cmp(&b.quality.score));
                    return Ok(good);
                }
            }
        }
        let cells = fields.iter().map(|f| f.area).sum::<f64>() * pattern.shapes.len() as f64
            / (pattern.repeat_area() * size * size);
        let eased = EASED.into_iter().filter_map(|by| {
            let few = cells / (by * by) < FEWEST as f64;
            let much = cells > EASED_MOST || by < 1.0 && job.pattern.pitch.is_none();
            let (from, to) = (says(size), says(size * by));
            let note = Some(format!("pitch {from} eased to {to}, so that the edge cells come out even"));
            (!few && !much).then_some(Sizing { pattern: Cow::Borrowed(pattern), size: size * by, note })
        });
        let eased: Vec<Sizing> = eased.collect();
        let sized = |sought: Sought| {
            let tried = eased.iter().take_while(|_| !self.budget.is_spent());
            let hopeful = tried.filter(|sizing| match sought {
                Sought::Cut(_) => true,
                _ => self.at(sizing, fields, sought.first()).is_ok(),
            });
            hopeful.filter_map(|sizing| self.at(sizing, fields, sought).ok()).next()
        };
        let at_pitch = |sought: Sought| self.at(&plain, fields, sought);
        let less = Sought::Less(effort);
        let ways = if long { [cut, bent, less] } else { [bent, cut, less] };
        let mut why = String::new();
        let cut_most = if effort == Effort::First { CUT_FIRST_MOST } else { CUT_MOST };
        for way in ways {
            if matches!(way, Sought::Cut(_)) && !long && cells > cut_most {
                continue;
            }
            self.budget.allow(self.share * if matches!(way, Sought::Bent(_)) { BENT_SHARE } else { 1.0 });
            // The first is tried whatever stretching to a rectangle has cost.
            if self.budget.is_spent() && !why.is_empty() {
                break;
            }
            match at_pitch(way) {
                Ok(good) => return Ok(good),
                Err(reason) if why.is_empty() => why = reason,
                Err(_) => {}
            }
            let once = matches!(way, Sought::Less(_) | Sought::Cut(Effort::First));
            if let Some(good) = if once { None } else { sized(way) } {
                return Ok(good);
            }
        }
        Err(if is_centre_typed(job) { why + ", with the centre that was typed" } else { why })
    }

    fn snapped_sizing(&self, Snapped { pattern, by }: Snapped) -> Sizing<'static> {
        let part = |by: f64| {
            format!(
                "{} % {}",
                plain(100.0 * (by - 1.0).abs(), 1),
                if by < 1.0 { "narrower" } else { "wider" }
            )
        };
        let up = part(by[1]).replace("narrower", "lower").replace("wider", "higher");
        let note = format!("repeats made {} and {up}, so that whole ones fill the rectangle", part(by[0]));
        let note = (by != [1.0; 2]).then_some(note);
        Sizing { pattern: Cow::Owned(pattern), size: self.size, note }
    }

    /// The parts of the field, each ending in a bridge across its horns where they are about so many cells wide; `None` where none
    /// has any.
    fn without_horns(&self, fields: &[Domain], width: f64) -> Option<Vec<Domain>> {
        let Laying { pattern, job, size, .. } = *self;
        let bridge = job.pattern.bridge.get();
        let across = pattern.shapes.iter().map(|s| inscribed_circle(&s.ring).radius * size - bridge / 2.0);
        let cell = (pattern.repeat_area() / pattern.shapes.len() as f64).sqrt() * size;
        let own = across.fold(f64::INFINITY, f64::min);
        // No smaller than this hand is advised, unless the pattern's own openings are.
        let (pierced, advised) = (job.saw.drill.get() + DRILL_CLEARANCE, job.limits.opening.get());
        let least = if 2.0 * own < advised { pierced } else { pierced.max(advised) };
        let asked = HornCut { width: width * cell, bridge, least, own };
        let cut: Vec<Option<Domain>> = fields.iter().map(|field| without_horns(field, &asked)).collect();
        let any = cut.iter().any(Option::is_some);
        any.then(|| cut.into_iter().zip(fields).map(|(cut, field)| cut.unwrap_or(field.clone())).collect())
    }

    /// The ways of fitting it at one size.
    fn at(&self, sizing: &Sizing, fields: &[Domain], sought: Sought) -> Result<Vec<Fitted>, String> {
        let Laying { job, turn, .. } = *self;
        let Sizing { ref pattern, size, ref note } = *sizing;
        let tiling = Tiling::of(pattern);
        let kinds: Vec<Ring> = pattern.shapes.iter().map(|s| s.ring.scaled(size).rotated(turn)).collect();
        let starts = super::periodic::starts(pattern, job.pattern.centre);
        let typed = is_centre_typed(job);
        let cell = tiling.mean_area() * size * size;
        let mut left: Vec<(Point, String)> = Vec::new();
        let mut parts: Vec<(Vec<Fit>, &[Horn])> = Vec::new();
        for field in fields {
            if field.area < SPECK * cell {
                left.push((field.middle, "too small a part of the field for one repeat".into()));
                continue;
            }
            let ask = FitRequest {
                field,
                tiling: &tiling,
                kinds: &kinds,
                size,
                turn,
                starts: &starts,
                middle: if typed { job.pattern.at.unwrap_or(Point::ORIGIN) } else { field.middle },
                typed,
                bridge: job.pattern.bridge.get(),
                least: job.saw.drill.get() + DRILL_CLEARANCE,
                round: None,
                budget: self.budget,
            };
            let fits = search(&ask, sought);
            if fits.is_empty() {
                return Err("its cells cannot be laid along this border".into());
            }
            parts.push((fits, &field.horns));
        }
        // The best of every part together, then the next best of each.
        let ways = parts.iter().map(|(fits, _)| fits.len()).max().unwrap_or(0);
        let (mut good, mut why) = (Vec::new(), String::new());
        for way in 0..ways {
            let together =
                parts.iter().filter_map(|(fits, horns)| Some((fits.get(way).or(fits.last())?, *horns)));
            let together: Vec<(&Fit, &[Horn])> = together.collect();
            let count = together.iter().map(|(fit, _)| fit.faces.len()).sum();
            match together.iter().try_for_each(|(fit, _)| promised(fit, count, job)) {
                Ok(()) => {
                    let mut one = fitted(&together, pattern, &kinds, &starts, (size, turn), &left);
                    one.laid.notes.splice(0..0, note.clone()).for_each(drop);
                    good.push(one);
                }
                Err(reason) if why.is_empty() => why = reason,
                Err(_) => {}
            }
        }
        if good.is_empty() {
            return Err(if why.is_empty() { "the border leaves no field".into() } else { why });
        }
        Ok(good)
    }
}

/// Whether some cells of a pattern are so long that the border would make them broad where they were bent.
fn is_long(pattern: &Pattern) -> bool {
    let long = |ring: &Ring| ring.area() / (PI * inscribed_circle(ring).radius.powi(2)) > LONG;
    pattern.shapes.iter().any(|s| long(&s.ring))
}

/// Whether the maker said what stands in the middle, or where that is: few places are tried then.
fn is_centre_typed(job: &Job) -> bool {
    job.pattern.centre != CentreChoice::Best || job.pattern.at.is_some()
}

/// How many cells the field holds, about.
fn cells_about(pattern: &Pattern, outline: &Outline, pitch: Mm) -> f64 {
    outline.field.iter().map(Region::area).sum::<f64>() * pattern.shapes.len() as f64
        / (pattern.repeat_area() * pitch.get() * pitch.get())
}

/// Patterns and jobs that are not tried.
fn suits(pattern: &Pattern, job: &Job, cells: f64) -> Result<(), String> {
    if pattern.fills != Fills::Plane {
        return Err("its cells do not meet along their sides".into());
    }
    if job.pattern.bridge_to.is_some() {
        return Err("its bridges are graded".into());
    }
    if cells > MOST {
        return Err(format!("about {cells:.0} cells are more than are bent one by one"));
    }
    Ok(())
}

/// Whether a fit keeps what is promised of every fitted piece; else why not.
fn promised(fit: &Fit, count: usize, job: &Job) -> Result<(), String> {
    let least = job.saw.drill.get() + DRILL_CLEARANCE;
    let narrowest = fit.judged.looks.iter().map(|l| 2.0 * l.radius).fold(f64::INFINITY, f64::min);
    let fewest = if fit.joined.is_some() { FEWEST_CUT } else { FEWEST };
    if count < fewest {
        return Err(format!("{count} cells are too few to show it; {fewest} would do"));
    }
    if fit.judged.crossed > 0 {
        return Err("a cell would cross itself".into());
    }
    if fit.judged.parted > 0 {
        return Err("a bent cell would come out in parts, or not at all".into());
    }
    if narrowest < least {
        let (narrowest, least) = (job.units.says(narrowest, 2), job.units.says(least, 2));
        return Err(format!("a cell would be {narrowest} across, the drill wants {least}"));
    }
    if fit.joined.is_some() && fit.judged.rho.iter().any(|rho| *rho < CRUMB) {
        return Err("a cell cut at the border would be hardly one".into());
    }
    if fit.judged.score > SUITS {
        return Err("cells by the border would look too unlike those in the middle".into());
    }
    Ok(())
}
