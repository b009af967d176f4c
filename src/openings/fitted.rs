//! `at_border = "fit"`: bent cells opened and measured. What is promised of them holds, or another way is taken.

use super::open::{open_kinds, prototypes, tried, Opened};
use super::taken::{pierceable, usual_bridge};
use super::Opening;
use crate::error::Error;
use crate::geom::{box_distance2, Boundary, Rect};
use crate::job::{AtBorder, CentreChoice, Job, PatternSource};
use crate::outline::Outline;
use crate::pattern::{Cells, Effort, Fits, Fitted, Image, Laid, Quality};
use std::borrow::Cow;

/// A bridge may be narrower than drawn by this, mm: half the micrometre that is promised, so that whoever measures by chords
/// finds it kept.
const SLACK: f64 = 5e-4;

/// More cells than this are not eased in place of being fitted: a dozen layings of them take seconds (measured: 3 s for 5,500 stars and
/// crosses), and one row among many is hardly seen.
const EASED_MOST: f64 = 400.0;

/// How the pattern met the border when it was asked to fit.
#[derive(Debug, Clone, PartialEq)]
pub struct BorderFit {
    /// The way that was taken.
    pub used: AtBorder,
    /// Why it is not "fit", for people; `None` when it is, or when the pattern meets the border by its own means.
    pub why: Option<String>,
    /// How it looks; none when no cells were bent.
    pub quality: Option<Quality>,
    /// Vertices bent in search of it: what it cost.
    pub bent: usize,
}

/// The cells fitted to the border if any way of it keeps what is promised, else the best of the other ways; at first effort
/// cut at the border from the first of the pattern's centres.
pub(super) fn fit<'a>(
    job: &Job,
    outline: &Outline,
    field: &Boundary,
    cells: &'a Cells,
    effort: Effort,
) -> Result<(Cow<'a, Laid>, Opened, BorderFit), Error> {
    let PatternSource::Repeat(pattern) = &job.pattern.source else {
        // Grown patterns are begun at the border, or follow it as they ease.
        let (laid, opened) = tried(&with(job, AtBorder::Ease), outline, field, cells.first())?;
        let own = BorderFit { used: AtBorder::Ease, why: None, quality: None, bent: 0 };
        return Ok((laid, opened, own));
    };
    let (bent, about) = match cells {
        Cells::Laid(laid) => (0, laid.cells.len() as f64),
        Cells::Fitted(fits) => (fits.bent, fits.cells),
    };
    let mut worked = 0;
    let why = match cells {
        Cells::Laid(_) => String::new(),
        Cells::Fitted(Fits { ways: Err(why), .. }) => why.clone(),
        Cells::Fitted(Fits { ways: Ok(fits), .. }) => {
            let (mut why, mut lossy) = (None, None);
            for Fitted { laid, quality, images } in fits {
                let mut opened = open_kinds(job, outline, field, laid, by_kind(job, laid, images), true);
                worked += opened.worked;
                opened.worked = worked;
                match kept(job, outline, laid, images, &opened) {
                    Ok(()) => {
                        let quality = Some(quality.clone());
                        let how = BorderFit { used: AtBorder::Fit, why: None, quality, bent };
                        // What the seam leaves of a cell may be too small to pierce.
                        if opened.left_solid.is_empty() {
                            return Ok((Cow::Borrowed(laid), opened, how));
                        }
                        lossy = lossy.or(Some((Cow::Borrowed(laid), opened, how)));
                    }
                    Err(reason) => why = why.or(Some(reason)),
                }
            }
            if let Some(lossy) = lossy {
                return Ok(lossy);
            }
            why.unwrap_or_default()
        }
    };
    let eases =
        effort == Effort::Best && !pattern.is_motif() && outline.seam.is_none() && about <= EASED_MOST;
    let used = if eases { AtBorder::Ease } else { AtBorder::Trim };
    let mut other = with(job, used);
    if effort == Effort::First && other.pattern.centre == CentreChoice::Best {
        other.pattern.centre = CentreChoice::Opening;
    }
    let (laid, mut opened) = tried(&other, outline, field, None)?;
    opened.worked += worked;
    Ok((laid, opened, BorderFit { used, why: Some(why), quality: None, bent }))
}

/// The openings of every kind of cell: images of each other, and as symmetrical as their cells, to the last digit.
fn by_kind(job: &Job, laid: &Laid, images: &[Image]) -> Vec<Vec<Opening>> {
    let (bridge, radius) = (usual_bridge(job, laid), job.pattern.corner_radius.get());
    let mut made: Vec<Vec<Opening>> = Vec::with_capacity(laid.kinds.len());
    for (kind, image) in laid.kinds.iter().zip(images) {
        made.push(match made.get(image.of) {
            Some(first) => first.iter().map(|o| o.carried(&image.by)).collect(),
            None => prototypes(kind, bridge, radius).into_iter().map(|o| o.evened(&image.stays)).collect(),
        });
    }
    made
}

fn with(job: &Job, how: AtBorder) -> Job {
    let mut job = job.clone();
    job.pattern.at_border = how;
    job
}

/// Whether every cell became one opening that can be pierced, a bridge apart from the others; else why not.
fn kept(job: &Job, outline: &Outline, laid: &Laid, images: &[Image], opened: &Opened) -> Result<(), String> {
    let openings = &opened.openings;
    // The straight seam of a band or a cone may cut cells in two.
    if outline.seam.is_none() && openings.len() != laid.cells.len() {
        return Err("a bent cell would come out in parts, or not at all".into());
    }
    let least = pierceable(job);
    let narrowest = openings.iter().map(|o| o.widest.get()).fold(f64::INFINITY, f64::min);
    if narrowest < least {
        let (narrowest, least) = (job.units.says(narrowest, 2), job.units.says(least, 2));
        return Err(format!("an opening would be {narrowest} across, the drill wants {least}"));
    }
    let bridge = job.pattern.bridge.get();
    // What holds of one opening holds of its images, and the pattern's own cells stand as the pattern has them. On a band
    // openings are no longer told by their cells.
    let asked = |i: usize| match laid.cells.get(i) {
        Some(cell) if outline.seam.is_none() => {
            let image = &images[cell.kind];
            GapAsked { first: image.of == cell.kind, bent: image.bent }
        }
        _ => GapAsked { first: true, bent: true },
    };
    match narrowest_gap(openings, asked, bridge) {
        gap if gap < bridge - SLACK => {
            let (gap, bridge) = (job.units.says(gap, 3), job.units.says(bridge, 2));
            Err(format!("a bridge would be {gap} wide where {bridge} is asked"))
        }
        _ => Ok(()),
    }
}

/// What a gap at an opening is measured by.
struct GapAsked {
    /// It is the first of its images.
    first: bool,
    /// Its cell is not the pattern's own.
    bent: bool,
}

/// The least distance between two openings that come within `reach` of each other, else `reach`: of those with one that is
/// bent and one that is the first of its images.
fn narrowest_gap(openings: &[Opening], asked: impl Fn(usize) -> GapAsked, reach: f64) -> f64 {
    let mut boxes: Vec<(Rect, &Opening, GapAsked)> =
        openings.iter().enumerate().map(|(i, o)| (o.ring.bounds(), o, asked(i))).collect();
    boxes.sort_by(|a, b| a.0.x0.total_cmp(&b.0.x0));
    let mut least = reach;
    for (i, (b, one, a)) in boxes.iter().enumerate() {
        for (c, other, of_other) in boxes[i + 1..].iter().take_while(|(c, ..)| c.x0 <= b.x1 + reach) {
            let measured = (a.bent || of_other.bent) && (a.first || of_other.first);
            if measured && box_distance2(*b, *c) <= reach * reach {
                least = least.min(one.ring.closest(&other.ring).distance);
            }
        }
    }
    least
}
