//! Bridges and borders at their finished width.

use super::case::Case;
use super::{Bridge, Check, Level, Margin, MetalFinding, Quantity, Side, Verdict, Width};
use crate::job::{bridge_rule, Job, Origin, RimSits, Skill};
use crate::units::JUST_PASSED;

/// Finished widths under this many cuts of the blade are not held by anybody: two cuts are the least metal that two
/// lines sawn by hand leave standing (estimate). Larger would refuse fine work that is being done.
const CUTS: f64 = 2.0;
/// Metal round a hole that carries a ring or a rivet, times the sheet's thickness (estimate: 1.2 mm on 0.8 mm
/// sheet). Less pulls through; more only looks heavy.
const HOLE_WALL: f64 = 1.5;
/// Border a rim strip is soldered to when it goes round the edge: so many thicknesses of the sheet, and never under
/// [`RIM_LEAST`] mm (estimate). Less and solder runs into the openings.
const RIM_ROUND_EDGE: f64 = 1.5;
/// The same for a plate that lies on its rim.
const RIM_UNDER_PLATE: f64 = 2.0;
/// mm.
const RIM_LEAST: f64 = 1.2;

/// Which rule sets a least width.
#[derive(Debug, Clone, PartialEq)]
pub enum WidthRule {
    /// What the hand is sure of.
    Hand {
        /// Whose.
        skill: Skill,
        /// What is that wide.
        what: &'static str,
    },
    /// Typed by the maker.
    Own {
        /// What is that wide.
        what: &'static str,
    },
    /// The sheet's thickness, mm, and how many of it.
    Sheet {
        /// How many thicknesses.
        share: f64,
        /// mm.
        thickness: f64,
    },
    /// What two cuts of the blade leave.
    Blade {
        /// Which blade.
        name: String,
        /// Width of its cut, mm.
        kerf: f64,
    },
    /// A soldered rim's seat.
    Rim(RimSits),
    /// Metal round a hole that carries.
    HoleWall {
        /// Of the sheet, mm.
        thickness: f64,
    },
}

/// A least finished width and the rule it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct WidthLimit {
    /// mm.
    pub mm: f64,
    /// Which rule binds.
    pub rule: WidthRule,
}

impl WidthLimit {
    fn or(self, mm: f64, rule: impl FnOnce() -> WidthRule) -> Self {
        if mm > self.mm + 1e-9 {
            Self { mm, rule: rule() }
        } else {
            self
        }
    }

    /// Which rule binds, and its source, lengths written by `say`.
    pub(super) fn because(&self, say: impl Fn(f64) -> String) -> String {
        match &self.rule {
            WidthRule::Hand { skill, what } => {
                format!("least finished {what} for {} (estimate)", hand(*skill))
            }
            WidthRule::Own { what } => format!("your own limit for a finished {what}"),
            WidthRule::Sheet { share, thickness } => {
                let of = if *share == 1.0 { "the sheet's thickness" } else { "three quarters of the sheet" };
                format!("{of} binds: {share} × {} (estimate)", say(*thickness))
            }
            WidthRule::Blade { name, kerf } => {
                format!("the blade binds: two cuts of a {name} blade, {} each (estimate)", say(*kerf))
            }
            WidthRule::Rim(sits) => format!(
                "the rim's seat binds: at least {} and {} (estimate)",
                say(RIM_LEAST),
                match sits {
                    RimSits::RoundEdge => "1.5 times the sheet, for a rim round the edge",
                    RimSits::UnderPlate => "twice the sheet, for a plate that lies on its rim",
                }
            ),
            WidthRule::HoleWall { thickness } => {
                format!(
                    "{HOLE_WALL} times the sheet round a hole that carries (estimate), {}",
                    say(*thickness)
                )
            }
        }
    }
}

fn hand(skill: Skill) -> &'static str {
    match skill {
        Skill::First => "a first piece",
        Skill::Practised => "a practised hand",
        Skill::FineWork => "fine work",
    }
}

/// Least finished bridge: the hand's or the maker's own, the sheet's thickness by skill, what the blade leaves standing.
pub fn bridge_limit(job: &Job) -> WidthLimit {
    let (by_hand, by_sheet) = bridge_rule(job.skill);
    let thickness = job.measured.thickness.unwrap_or(job.sheet.thickness).get();
    let limit = if job.origin("limits.bridge") == Origin::Typed {
        WidthLimit { mm: job.limits.bridge.get(), rule: WidthRule::Own { what: "bridge" } }
    } else {
        WidthLimit { mm: by_hand, rule: WidthRule::Hand { skill: job.skill, what: "bridge" } }
            .or(by_sheet * thickness, || WidthRule::Sheet { share: by_sheet, thickness })
    };
    let blade = &job.saw.blade;
    limit.or(CUTS * blade.kerf, || WidthRule::Blade { name: blade.name.clone(), kerf: blade.kerf })
}

/// Least finished border: the hand's or the maker's own, or what a soldered rim wants.
pub fn border_limit(job: &Job) -> WidthLimit {
    let own = job.origin("limits.border") == Origin::Typed;
    let rule = match own {
        true => WidthRule::Own { what: "border" },
        false => WidthRule::Hand { skill: job.skill, what: "border" },
    };
    let limit = WidthLimit { mm: job.limits.border.get(), rule };
    let Some(rim) = &job.construction.rim else { return limit };
    let thickness = job.measured.thickness.unwrap_or(job.sheet.thickness).get();
    let seat = match rim.sits {
        RimSits::RoundEdge => RIM_ROUND_EDGE * thickness,
        RimSits::UnderPlate => (RIM_UNDER_PLATE * thickness).max(rim.thickness.get()),
    };
    limit.or(seat.max(RIM_LEAST), || WidthRule::Rim(rim.sits))
}

pub(super) fn bridge_width(case: &Case) -> Vec<Verdict> {
    const CHECK: Check = Check::BridgeWidth;
    let limit = bridge_limit(case.job);
    let Some(worst) = case.graph.kinds().map(|(b, _)| b).find(|b| b.is_between_openings()) else {
        return vec![Verdict::new(CHECK, Level::Good, MetalFinding::NoBridges { limit })];
    };
    let thin = thinner(case, limit.mm, Bridge::is_between_openings);
    let (width, at, mm) = (width(&worst), worst.midpoint(), limit.mm);
    let verdict = if thin == 0 {
        Verdict::new(CHECK, Level::Good, MetalFinding::BridgesWide { width, limit })
    } else {
        let found = MetalFinding::BridgesThin { between: worst.between, at, width, limit };
        Verdict::new(CHECK, Level::Stop, found).count(thin)
    };
    vec![verdict.numbers(Quantity::Length(width.finished), Quantity::Length(mm)).at(at)]
}

/// Which margin a bridge is; `None` between openings.
pub fn margin(b: &Bridge) -> Option<Margin> {
    let any = |ask: fn(&Side) -> bool| b.between.iter().any(ask);
    let opening = any(|s| matches!(s, Side::Opening(_)));
    if any(|s| matches!(s, Side::Window(_))) {
        Some(Margin::Window)
    } else if any(|s| matches!(s, Side::Hole(_))) {
        Some(if opening { Margin::RoundHole } else { Margin::OutsideHole })
    } else {
        b.between.contains(&Side::Edge).then_some(Margin::Edge)
    }
}

/// Least finished width of a margin.
pub fn margin_limit(job: &Job, which: Margin) -> WidthLimit {
    match which {
        Margin::Edge => border_limit(job),
        Margin::Window | Margin::RoundHole => bridge_limit(job),
        Margin::OutsideHole => {
            let thickness = job.measured.thickness.unwrap_or(job.sheet.thickness).get();
            WidthLimit { mm: HOLE_WALL * thickness, rule: WidthRule::HoleWall { thickness } }
        }
    }
}

/// A verdict for each margin that is too narrow, or one on the margin nearest its limit.
pub(super) fn border_width(case: &Case) -> Vec<Verdict> {
    const CHECK: Check = Check::BorderWidth;
    let mut all = Vec::new();
    let mut nearest: Option<(f64, Verdict)> = None;
    for which in [Margin::Edge, Margin::Window, Margin::RoundHole, Margin::OutsideHole] {
        let of_kind = |b: &Bridge| margin(b) == Some(which);
        let Some(worst) = case.graph.kinds().map(|(b, _)| b).find(|b| of_kind(b)) else { continue };
        let limit = margin_limit(case.job, which);
        let thin = thinner(case, limit.mm, of_kind);
        let (between, width, at, mm) = (worst.between, width(&worst), worst.midpoint(), limit.mm);
        let verdict = if thin == 0 {
            let found = MetalFinding::MarginsWide { which, between, width, limit };
            Verdict::new(CHECK, Level::Good, found)
        } else {
            let level = if which == Margin::OutsideHole { Level::Caution } else { Level::Stop };
            let found = MetalFinding::MarginThin { which, between, at, width, limit };
            Verdict::new(CHECK, level, found).count(thin)
        };
        let verdict = verdict.numbers(Quantity::Length(width.finished), Quantity::Length(mm)).at(at);
        let spare = width.finished - mm;
        if thin > 0 {
            all.push(verdict);
        } else if nearest.as_ref().is_none_or(|(s, _)| spare < s - 1e-9) {
            nearest = Some((spare, verdict));
        }
    }
    if all.is_empty() {
        all.push(match nearest {
            Some((_, verdict)) => verdict,
            None => Verdict::new(CHECK, Level::Good, MetalFinding::NoMargins),
        });
    }
    all
}

/// How many of the bridges asked for are under a limit. They come thinnest first.
fn thinner(case: &Case, limit: f64, ask: impl Fn(&Bridge) -> bool) -> usize {
    let under = case.graph.kinds().take_while(|(b, _)| b.finished.get() < limit - JUST_PASSED);
    under.filter(|(b, _)| ask(b)).map(|(_, times)| times).sum()
}

fn width(b: &Bridge) -> Width {
    Width { drawn: b.width.get(), finished: b.finished.get() }
}
