//! A card of every pattern at one sheet, blade and skill: each worked out whole on a small piece of the same outline.

use crate::catalogue;
use crate::catalogue::GROWN;
use crate::checks::{bridge_limit, Check, Level, Quantity, Verdict};
use crate::job::{AtBorder, CentreChoice, GrownSettings, Job, PatternSource, Skill};
use crate::paper::{sampler as set, Figures, MadeFor, Page, Sample};
use crate::render::{pdf, png, svg};
use crate::units::Mm;
use crate::work::{worked, Work};

/// Fewer openings than this show nothing of how a pattern runs on.
const FEWEST: usize = 3;
/// Minutes in an hour, and mm2 in a cm2.
const HOUR: f64 = 60.0;
const CM2: f64 = 100.0;

/// The whole card, finished.
#[derive(Debug, Clone)]
pub struct Sampler {
    /// One for each pattern.
    pub samples: Vec<Sample>,
    /// The card.
    pub pages: Vec<Page>,
}

/// A pattern to be sampled.
#[derive(Debug, Clone)]
pub struct Choice {
    /// As a job names the pattern.
    pub name: String,
    /// As people call it.
    pub title: String,
    source: PatternSource,
    /// At which it stands upright, degrees.
    turn: f64,
}

/// Every pattern, repeating ones first, as lists show them.
pub fn choices() -> Vec<Choice> {
    let repeating = catalogue::all().iter().map(|p| Choice {
        name: p.name.clone(),
        title: p.title.clone(),
        source: PatternSource::Repeat(p.clone()),
        turn: p.upright,
    });
    let grown = GROWN.iter().map(|g| Choice {
        name: g.name.to_string(),
        title: g.title.to_string(),
        source: PatternSource::Grown(g.name.to_string()),
        turn: 0.0,
    });
    repeating.chain(grown).collect()
}

/// Every pattern on the outline, sheet, blade and skill of `base`. Its own pattern's bridge is kept.
pub fn sampler(base: &Job, own: bool) -> Sampler {
    Sampler::new(base, choices().iter().map(|choice| sample(base, choice)).collect(), own)
}

/// One pattern on the outline of `base`, with its windows, kept places, rows and middle: the pitch chosen for the piece and the
/// hand, the cells fitted to the border. Changes of single openings and wishes belong to the pattern they were made for and
/// are left out.
pub fn sample(base: &Job, choice: &Choice) -> Sample {
    let mut job = base.clone();
    job.title = choice.title.clone();
    job.pattern.source = choice.source.clone();
    job.pattern.turn = choice.turn;
    job.pattern.pitch = None;
    job.pattern.at_border = AtBorder::Fit;
    job.pattern.centre = CentreChoice::Best;
    job.pattern.grown = GrownSettings::default();
    job.changes.clear();
    job.wish = None;
    let (piece, outcome, remark, against) = match worked(&job) {
        Ok(work) => {
            let against = work.verdicts.iter().find(|v| v.level == Level::Stop && is_of_the_piece(v));
            let against = against.map(|v| in_short(&job, v));
            let outcome = match why_not(&job, &work) {
                Some(why) => Err(why),
                None => Ok(figures(&job, &work)),
            };
            let remark = work.piece.resolved.border.as_ref().and_then(|b| b.why.clone());
            (Some(std::sync::Arc::unwrap_or_clone(work.piece)), outcome, remark, against)
        }
        Err(error) => {
            (None, Err(error.problems.first().map_or(error.to_string(), |p| p.wrong.clone())), None, None)
        }
    };
    Sample { name: choice.name.clone(), title: choice.title.clone(), piece, outcome, remark, against }
}

impl Sampler {
    const TITLE: &str = "Sampler";

    /// The samples of `base` laid out on its paper. `own`: it is the maker's own piece, and not one for samples alone.
    pub fn new(base: &Job, samples: Vec<Sample>, own: bool) -> Self {
        let against = samples.iter().find_map(|s| s.against.clone());
        let pages = set(&samples, &MadeFor { own, against, ..made_for(base) }, &base.paper);
        Self { samples, pages }
    }

    /// Each page as SVG.
    pub fn svg(&self) -> Vec<String> {
        self.pages.iter().map(|p| svg::svg(p, Self::TITLE)).collect()
    }

    /// The card as PDF.
    pub fn pdf(&self) -> Vec<u8> {
        let about = pdf::About { title: Self::TITLE.into(), language: "en".into() };
        pdf::pdf(&self.pages.iter().collect::<Vec<_>>(), &about)
    }

    /// Each page as a picture of `dpi` dots to the inch.
    pub fn png(&self, dpi: f64) -> Vec<Vec<u8>> {
        self.pages.iter().filter_map(|p| png::png(p, dpi)).collect()
    }
}

/// What the header says the card was made for.
fn made_for(base: &Job) -> MadeFor {
    let skill = match base.skill {
        Skill::First => "first piece",
        Skill::Practised => "practised",
        Skill::FineWork => "fine work",
    };
    MadeFor {
        metal: base.sheet.metal.title.clone(),
        thickness: base.sheet.thickness,
        skill: skill.into(),
        blade: base.saw.blade.name.clone(),
        drill: base.saw.drill,
        bridge: base.pattern.bridge,
        least: Mm(bridge_limit(base).mm),
        border: base.outline.border,
        own: false,
        against: None,
    }
}

/// A fault of outline, blade or drill, that no pattern mends: said once, and held against none of them.
fn is_of_the_piece(verdict: &Verdict) -> bool {
    match verdict.check {
        Check::BorderWidth => true,
        Check::BladeFit => verdict.measured.is_some() && verdict.limit.is_some(),
        _ => false,
    }
}

/// For repeats as on a large piece, so that trimmed openings of so small a sample do not count for too much; what is
/// grown is counted on the sample itself, inside its border.
fn figures(job: &Job, work: &Work) -> Figures {
    let pitch = work.piece.resolved.pitch;
    let openings = work.piece.openings.len() as f64;
    let per_cm2 = CM2
        * match &job.pattern.source {
            PatternSource::Repeat(p) => p.shapes.len() as f64 / (p.repeat_area() * pitch.0 * pitch.0),
            PatternSource::Grown(_) | PatternSource::None => {
                openings / work.piece.outline.inside_border.iter().map(|r| r.area()).sum::<f64>()
            }
        };
    let (saw, time) = (&work.plan.saw, &work.plan.time);
    // The outline and the handling of the piece are not openwork.
    let share = if saw.length() > 0.0 { saw.openings / saw.length() } else { 0.0 };
    let minutes = time.drilling + time.sawing * share + time.corners + time.filing;
    Figures {
        pitch,
        thinnest: work.graph.bridges().find(|b| b.is_between_openings()).map(|b| b.finished),
        openings: work.piece.openings.len(),
        hours: time.whole.times(1.0 / HOUR),
        per_cm2,
        hours_per_10_cm2: minutes / HOUR / openings * per_cm2 * 10.0,
    }
}

/// In a few words, why a pattern cannot be sawn here; `None` if it can, or if no pattern could.
pub(crate) fn why_not(job: &Job, work: &Work) -> Option<String> {
    let stop = work.verdicts.iter().find(|v| v.level == Level::Stop && !is_of_the_piece(v));
    if let Some(stop) = stop {
        return Some(in_short(job, stop));
    }
    let pitch = work.piece.resolved.pitch;
    match work.piece.openings.len() {
        0 => Some(format!(
            "one repeat is {}: no opening fits here; try a larger piece",
            job.units.says(pitch.0, 1)
        )),
        n if n < FEWEST => {
            Some(format!("one repeat is {}: too coarse for so small a piece", job.units.says(pitch.0, 1)))
        }
        _ => None,
    }
}

/// The verdict in a line or two; its own sentence names places that nobody looks for on a sample.
fn in_short(job: &Job, stop: &Verdict) -> String {
    let blade = &job.saw.blade.name;
    let say = |mm: f64| job.units.says(mm, 2);
    let drill = say(job.saw.drill.0);
    match (stop.check, stop.measured.map(Quantity::value), stop.limit.map(Quantity::value)) {
        (Check::BridgeWidth, Some(found), Some(least)) => {
            format!("thinnest bridge {} finished; at least {} is asked", say(found), say(least))
        }
        (Check::BorderWidth, Some(found), Some(least)) => {
            format!("border {} finished; at least {} is asked", say(found), say(least))
        }
        (Check::DrillFit, Some(found), Some(least)) => {
            format!("an opening only {} across; the {drill} drill wants {}", say(found), say(least))
        }
        (Check::BladeFit, Some(_), Some(_)) => {
            format!("the {blade} blade does not go through a {drill} hole")
        }
        (Check::BladeFit, ..) => format!("its openings have places too narrow for the {blade} blade"),
        (Check::LooseMetal, ..) => "bits of metal would fall out".to_string(),
        _ => stop.says(job.units),
    }
}
