//! `at_border = "fit"`: bent cells opened and measured. What is promised of them holds, or another way is taken.

use super::open::{opened, pierceable, tried, Opened};
use super::Opening;
use crate::error::Error;
use crate::geom::{box_distance2, Boundary, Rect};
use crate::job::{AtBorder, Job, PatternSource};
use crate::outline::Outline;
use crate::pattern::{Cells, Fitted, Laid};
use crate::units::plain;

/// A bridge may be narrower than drawn by this, mm: the micrometre that is promised.
const SLACK: f64 = 1e-3;

/// How the pattern met the border when it was asked to fit.
#[derive(Debug, Clone, PartialEq)]
pub struct BorderFit {
    /// The way that was taken.
    pub used: AtBorder,
    /// Why it is not "fit", for people; `None` when it is, or when the pattern meets the border by its own means.
    pub why: Option<String>,
    /// 0 for border cells that look like those in the middle; none when they were not bent.
    pub score: Option<f64>,
    /// The narrowest opening's widest circle over the pattern's own; none when they were not bent.
    pub narrowest: Option<f64>,
}

/// The cells fitted to the border if any way of it keeps what is promised, else the best of the other ways.
pub(super) fn fit(
    job: &Job,
    outline: &Outline,
    field: &Boundary,
    cells: &Cells,
) -> Result<(Laid, Opened, BorderFit), Error> {
    let PatternSource::Repeat(pattern) = &job.pattern.source else {
        // Grown patterns are begun at the border, or follow it as they ease.
        let (laid, opened) = tried(&with(job, AtBorder::Ease), outline, field, cells.first())?;
        let own = BorderFit { used: AtBorder::Ease, why: None, score: None, narrowest: None };
        return Ok((laid, opened, own));
    };
    let why = match cells {
        Cells::Laid(_) => String::new(),
        Cells::Fitted(Err(why)) => why.clone(),
        Cells::Fitted(Ok(fits)) => {
            let mut first = None;
            for Fitted { laid, score, narrowest, .. } in fits {
                let opened = opened(job, outline, field, laid);
                match kept(job, outline, laid, &opened) {
                    Ok(()) => {
                        let (score, narrowest) = (Some(*score), Some(*narrowest));
                        let how = BorderFit { used: AtBorder::Fit, why: None, score, narrowest };
                        return Ok((laid.clone(), opened, how));
                    }
                    Err(why) => first = first.or(Some(why)),
                }
            }
            first.unwrap_or_default()
        }
    };
    let mut ways = vec![AtBorder::Ease, AtBorder::Trim];
    if pattern.is_motif() || outline.seam.is_some() {
        ways.remove(0);
    }
    let used = ways[0];
    let (laid, opened) = tried(&with(job, used), outline, field, None)?;
    Ok((laid, opened, BorderFit { used, why: Some(why), score: None, narrowest: None }))
}

fn with(job: &Job, how: AtBorder) -> Job {
    let mut job = job.clone();
    job.pattern.at_border = how;
    job
}

/// Whether every cell became one opening that can be pierced, a bridge apart from the others; else why not.
fn kept(job: &Job, outline: &Outline, laid: &Laid, opened: &Opened) -> Result<(), String> {
    let openings = &opened.openings;
    // The straight seam of a band or a cone may cut cells in two.
    if outline.seam.is_none() && openings.len() != laid.cells.len() {
        return Err("a bent cell would come out in parts, or not at all".into());
    }
    let least = pierceable(job);
    let narrowest = openings.iter().map(|o| o.widest.get()).fold(f64::INFINITY, f64::min);
    if narrowest < least {
        let (narrowest, least) = (plain(narrowest, 2), plain(least, 2));
        return Err(format!("an opening would be {narrowest} mm across, the drill wants {least} mm"));
    }
    let bridge = job.pattern.bridge.get();
    match narrowest_gap(openings, bridge) {
        gap if gap < bridge - SLACK => {
            Err(format!("a bridge would be {} mm wide where {} mm is asked", plain(gap, 3), plain(bridge, 2)))
        }
        _ => Ok(()),
    }
}

/// The least distance between two openings that come within `reach` of each other, else `reach`.
fn narrowest_gap(openings: &[Opening], reach: f64) -> f64 {
    let mut boxes: Vec<(Rect, &Opening)> = openings.iter().map(|o| (o.ring.bounds(), o)).collect();
    boxes.sort_by(|a, b| a.0.x0.total_cmp(&b.0.x0));
    let mut least = reach;
    for (i, (b, one)) in boxes.iter().enumerate() {
        for (c, other) in boxes[i + 1..].iter().take_while(|(c, _)| c.x0 <= b.x1 + reach) {
            // Two of the pattern's own shapes stand as the pattern has them.
            if (one.shape.is_none() || other.shape.is_none()) && box_distance2(*b, *c) <= reach * reach {
                least = least.min(one.ring.closest(&other.ring).distance);
            }
        }
    }
    least
}
