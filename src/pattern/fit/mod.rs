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
mod faces;
mod field;
mod judge;
mod keep;
mod likeness;
mod loops;
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

use super::{Cell, Laid, Start, DRILL_CLEARANCE};
use crate::catalogue::{Fills, Pattern};
use crate::geom::{Isometry, Point, Region, Ring, Vec2};
use crate::job::{CentreChoice, Job};
use crate::outline::Outline;
use crate::units::{plain, Mm};
use bend::Fit;
use budget::Budget;
use field::Domain;
use place::FitRequest;
use search::{search, Sought};
use snap::{snapped, Snapped};
use std::borrow::Cow;
use tiling::Tiling;

/// Scores above this do not look as if the pattern were made for the outline. Found by eye over all patterns.
const SUITS: f64 = 1.2;
/// Fewer cells than this do not show a pattern.
const FEWEST: usize = 5;
/// More cells than this are not bent: the border rows would be lost among them, and it takes long.
const MOST: f64 = 20_000.0;
/// A score at which no other stretch is tried in a rectangle.
const EVEN: f64 = 0.45;
/// Sizes tried one after another where the pitch itself gives nothing good, and for how many cells: more would take long.
const EASED: [f64; 6] = [1.03, 0.97, 1.06, 0.94, 1.08, 0.92];
const EASED_MOST: f64 = 200.0;
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
}

/// How a fitted piece looks beside the pattern's own cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Quality {
    /// 0 for border cells like those in the middle; see `SUITS`.
    pub score: f64,
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
    let budget = Budget::default();
    let fit = || {
        suits(pattern, job, outline, pitch)?;
        if outline.seam.is_some() {
            return round::fit(pattern, job, outline, pitch, (effort, &budget));
        }
        let turn = job.pattern.turn;
        let laying = Laying { pattern, job, size: pitch.get(), turn, effort, budget: &budget };
        laying.over(&parts::fields(job, outline)?)
    };
    let ways = fit();
    Fits { ways, bent: budget.spent() }
}

/// A pattern at its size and turn, to be laid over the parts of a field.
struct Laying<'a> {
    pattern: &'a Pattern,
    job: &'a Job,
    size: f64,
    turn: f64,
    effort: Effort,
    budget: &'a Budget,
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
        let Laying { pattern, job, size, turn, .. } = *self;
        let says = |mm: f64| job.units.says(mm, 2);
        if let [field] = fields {
            let stretched = snapped(pattern, field, size, turn);
            let sizings: Vec<Sizing> = stretched.into_iter().map(|s| self.snapped_sizing(s)).collect();
            for sought in [Sought::Straight, Sought::Bent(self.effort)] {
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
        let plain = Sizing { pattern: Cow::Borrowed(pattern), size, note: None };
        let why = match self.at(&plain, fields, Sought::Bent(self.effort)) {
            Ok(good) => return Ok(good),
            Err(why) => why,
        };
        let cells = fields.iter().map(|f| f.area).sum::<f64>() * pattern.shapes.len() as f64
            / (pattern.repeat_area() * size * size);
        for by in EASED {
            let eased = size * by;
            let note = format!(
                "pitch {} eased to {}, so that the edge cells come out even",
                says(size),
                says(eased)
            );
            let sizing = Sizing { pattern: Cow::Borrowed(pattern), size: eased, note: Some(note) };
            let few = cells / (by * by) < FEWEST as f64;
            let much = cells > EASED_MOST || by < 1.0 && job.pattern.pitch.is_none();
            if few || much || self.budget.is_spent() {
                continue;
            }
            if self.at(&sizing, fields, Sought::Bent(Effort::First)).is_err() {
                continue;
            }
            if let Ok(good) = self.at(&sizing, fields, Sought::Bent(self.effort)) {
                return Ok(good);
            }
        }
        Err(why)
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

    /// The ways of fitting it at one size.
    fn at(&self, sizing: &Sizing, fields: &[Domain], sought: Sought) -> Result<Vec<Fitted>, String> {
        let Laying { job, turn, .. } = *self;
        let Sizing { ref pattern, size, ref note } = *sizing;
        let tiling = Tiling::of(pattern);
        let kinds: Vec<Ring> = pattern.shapes.iter().map(|s| s.ring.scaled(size).rotated(turn)).collect();
        let starts = super::periodic::starts(pattern, job.pattern.centre);
        let typed = job.pattern.centre != CentreChoice::Best || job.pattern.at.is_some();
        let cell = tiling.mean_area() * size * size;
        let mut left: Vec<(Point, String)> = Vec::new();
        let mut parts: Vec<Vec<Fit>> = Vec::new();
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
            parts.push(fits);
        }
        // The best of every part together, then the next best of each.
        let ways = parts.iter().map(Vec::len).max().unwrap_or(0);
        let (mut good, mut why) = (Vec::new(), String::new());
        for way in 0..ways {
            let together: Vec<&Fit> = parts.iter().filter_map(|fits| fits.get(way).or(fits.last())).collect();
            let count = together.iter().map(|fit| fit.faces.len()).sum();
            match together.iter().try_for_each(|fit| promised(fit, count, job)) {
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

/// Patterns and jobs that are not tried.
fn suits(pattern: &Pattern, job: &Job, outline: &Outline, pitch: Mm) -> Result<(), String> {
    if pattern.fills != Fills::Plane {
        return Err("its cells do not meet along their sides".into());
    }
    if job.pattern.bridge_to.is_some() {
        return Err("its bridges are graded".into());
    }
    let cells = outline.field.iter().map(Region::area).sum::<f64>() * pattern.shapes.len() as f64
        / (pattern.repeat_area() * pitch.get() * pitch.get());
    if cells > MOST {
        return Err(format!("about {cells:.0} cells are more than are bent one by one"));
    }
    Ok(())
}

/// Whether a fit keeps what is promised of every fitted piece; else why not.
fn promised(fit: &Fit, count: usize, job: &Job) -> Result<(), String> {
    let least = job.saw.drill.get() + DRILL_CLEARANCE;
    let narrowest = fit.judged.looks.iter().map(|l| 2.0 * l.radius).fold(f64::INFINITY, f64::min);
    if count < FEWEST {
        return Err(format!("{count} cells are too few to show it; {FEWEST} would do"));
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
    if fit.judged.score > SUITS {
        return Err("cells by the border would look too unlike those in the middle".into());
    }
    Ok(())
}

/// How many of the cells are bent, and how narrow the narrowest became.
fn bent_note(bent: usize, cells: usize, narrowest: f64) -> String {
    format!(
        "fitted to the border: {bent} of {cells} cells are bent, the narrowest is {} of its own width",
        plain(narrowest, 2)
    )
}

/// What the fits of all parts of the field come to.
fn fitted(
    parts: &[&Fit],
    pattern: &Pattern,
    own: &[Ring],
    starts: &[Start],
    (size, turn): (f64, f64),
    left: &[(Point, String)],
) -> Fitted {
    let (mut kinds, mut cells, mut images) = (Vec::new(), Vec::new(), Vec::new());
    for fit in parts {
        // The kind of every face, and where it stands.
        let mut whole: Vec<Option<usize>> = vec![None; own.len()];
        let mut at = Vec::with_capacity(fit.faces.len());
        let before = kinds.len();
        for face in &fit.faces {
            if face.whole && whole[face.shape].is_some() {
                at.extend(whole[face.shape].map(|kind| (kind, face.at)));
                continue;
            }
            let place = if face.whole { face.at } else { Vec2::ZERO };
            at.push((kinds.len(), place));
            if face.whole {
                whole[face.shape] = Some(kinds.len());
            }
            kinds.push(if face.whole { own[face.shape].clone() } else { face.ring.clone() });
        }
        images.extend(self::images(fit, &at, &kinds, before));
        cells.extend(at.into_iter().map(|(kind, at)| Cell { kind, at, bridge: None }));
    }
    let all = || parts.iter().flat_map(|fit| &fit.faces);
    let narrowest = parts.iter().flat_map(|f| &f.judged.rho).copied().fold(f64::INFINITY, f64::min);
    let bent = all().filter(|f| !f.whole).count();
    let (origin, centre) = match parts {
        [fit, ..] => (Some(Point::ORIGIN + fit.origin), starts[fit.start].name),
        [] => (None, Start::MIDDLE.name),
    };
    let laid = Laid {
        kinds,
        cells,
        motif: pattern.is_motif(),
        pitch: Mm(size),
        turn,
        origin,
        centre: centre.into(),
        order: parts.iter().map(|fit| fit.order).min().unwrap_or(1) as u32,
        repeats: Vec::new(),
        left: left.to_vec(),
        notes: vec![bent_note(bent, all().count(), narrowest)],
    };
    let judged = || parts.iter().map(|fit| &fit.judged);
    let quality = Quality {
        score: judged().map(|j| j.score).fold(0.0, f64::max),
        narrowest,
        spread: judged().map(|j| j.spread).fold(0.0, f64::max),
        sharpest: judged().map(|j| j.sharpest).fold(180.0, f64::min),
        stretched: judged().map(|j| j.stretched).fold(1.0, f64::max),
        symmetries: match parts {
            [fit] => fit.group.iter().map(|(by, _)| *by).collect(),
            _ => Vec::new(),
        },
    };
    Fitted { laid, quality, images }
}

/// Which kinds, from number `before` on, are images of which. `at`: kind and place of every face.
fn images(fit: &Fit, at: &[(usize, Vec2)], kinds: &[Ring], before: usize) -> Vec<Image> {
    let mut face_of = vec![None; kinds.len() - before];
    at.iter().enumerate().rev().for_each(|(k, (kind, _))| face_of[kind - before] = Some(k));
    let mut images: Vec<Option<Image>> = vec![None; face_of.len()];
    for kind in 0..face_of.len() {
        if images[kind].is_some() {
            continue;
        }
        let Some(face) = face_of[kind] else { continue };
        let bent = !fit.faces[face].whole;
        images[kind] = Some(Image { of: before + kind, by: Isometry::IDENTITY, bent, stays: Vec::new() });
        let mut stays = Vec::new();
        for (by, tiles) in &fit.group {
            let image = tiles[fit.faces[face].tile];
            let Ok(k) = fit.faces.binary_search_by_key(&image, |f| f.tile) else { continue };
            let by = by.between(at[face].1, at[k].1);
            let onto = at[k].0 - before;
            let carried = by.ring(&kinds[before + kind]).bounds().center();
            if (carried - kinds[before + onto].bounds().center()).hypot2() > SAME_PLACE * SAME_PLACE {
                continue; // On a band an image may lie a repeat farther on.
            }
            if onto == kind {
                stays.push(by);
            } else if images[onto].is_none() {
                images[onto] = Some(Image { of: before + kind, by, bent, stays: Vec::new() });
            }
        }
        if stays.len() > 1 {
            images[kind].iter_mut().for_each(|image| image.stays.clone_from(&stays));
        }
    }
    images.into_iter().flatten().collect()
}
