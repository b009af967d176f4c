//! A choice for a new job, tried: the job with it, worked out.

use crate::checks::{count, Check, Level};
use crate::job::{AtBorder, Edit, Job, Value};
use crate::units::plain;
use crate::work::{worked, Work};

/// Fewer openings than this are no pattern.
pub(super) const FEWEST: usize = 5;
/// Room in an opening of a narrow row beyond its start hole, mm (estimate): less leaves no way to turn the saw.
pub(super) const BAND_ROOM: f64 = 0.4;

/// Larger pitches tried, each by this share of the first more. Finer steps find a pitch nearer to it.
const PITCHES: u32 = 16;
const PITCH_STEP: f64 = 0.04;
/// Vertices bent in vain (about 3 us each) after which no larger pitch is tried. Fewer would miss a pitch that fits, more keep the
/// person waiting for an outline that takes none.
const MOST_BENT: usize = 600_000;
/// A job with all that was chosen for it, worked out.
pub(super) struct Suited {
    pub job: Job,
    pub work: Work,
    /// What the maker should know of what was chosen.
    pub remark: Option<String>,
}

impl Suited {
    /// Openings and hours, in a few words.
    pub(super) fn says(&self) -> String {
        let hours = &self.work.plan.time.whole;
        let h = |minutes: f64| plain(minutes / 60.0, 1);
        format!(
            "{}, about {} to {} hours",
            count(self.work.piece.openings.len(), "opening"),
            h(hours.low),
            h(hours.high)
        )
    }

    /// Nothing to remark.
    pub(super) fn of((job, work): (Job, Work)) -> Self {
        Self { job, work, remark: None }
    }
}

pub(super) fn pitch_of(mm: f64) -> Edit {
    Edit::mm("pattern.pitch", (mm * 10.0 - 1e-9).ceil() / 10.0)
}

/// Pitches from `pitch` mm up.
pub(super) fn larger(pitch: f64) -> impl Iterator<Item = f64> {
    (0..=PITCHES).map(move |k| pitch * (1.0 + PITCH_STEP * f64::from(k)))
}

pub(super) fn at_border(how: &str) -> Edit {
    Edit::set("pattern.at_border", Value::word(how))
}

pub(super) fn tried(job: &Job, edits: &[Edit]) -> Option<(Job, Work)> {
    let edits: Vec<Edit> = edits.iter().map(|edit| edit.clone().round_in(job.units)).collect();
    let job = job.with(&edits).ok()?;
    let work = worked(&job).ok()?;
    Some((job, work))
}

/// No stop, and no caution of these checks.
pub(super) fn free_of(done: &Work, checks: &[Check]) -> bool {
    done.verdicts.iter().all(|v| v.level < Level::Stop && !(v.level.is_fault() && checks.contains(&v.check)))
}

/// The pattern is fitted to the border, as asked for, and nothing speaks against its openings or what is left between them.
/// Sharp corners in them are let pass, as where the outline itself runs to a point.
pub(super) fn is_fitted(done: &Work) -> bool {
    let against = [Check::OpeningSize, Check::SolidPatch, Check::BorderFit, Check::BridgeWidth];
    let as_asked = done.piece.resolved.border.as_ref().is_none_or(|b| b.used == AtBorder::Fit);
    as_asked && done.piece.openings.len() >= FEWEST && free_of(done, &against)
}

/// The first of `pitches`, from small to large, that makes a fitted piece with nothing against it. The first against which
/// only sharp corners speak is left in `sharp`. Ends where a pitch leaves too few openings: a larger one leaves fewer.
pub(super) fn first_fitted(
    pitches: impl Iterator<Item = f64>,
    sharp: &mut Option<(Job, Work)>,
    tried_at: impl Fn(f64) -> Option<(Job, Work)>,
) -> Option<(Job, Work)> {
    let mut bent = 0;
    for mm in pitches {
        if bent > MOST_BENT {
            break;
        }
        let Some(found) = tried_at(mm) else { continue };
        bent += found.1.piece.resolved.border.as_ref().map_or(0, |border| border.bent);
        if found.1.piece.openings.len() < FEWEST {
            break;
        }
        if is_fitted(&found.1) {
            if free_of(&found.1, &[Check::BladeFit]) {
                return Some(found);
            }
            sharp.get_or_insert(found);
        }
    }
    None
}
