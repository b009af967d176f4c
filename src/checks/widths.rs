//! Bridges and borders at their finished width.

use super::case::Case;
use super::{count, place, Bridge, Check, Level, Quantity, Side, Verdict};
use crate::job::{bridge_rule, Job, Origin, RimSits, Skill};
use crate::units::{plain, JUST_PASSED};

/// Finished widths under this many cuts of the blade are not held by anybody: two cuts are the least metal that two
/// lines sawn by hand leave standing (common practice). Larger would refuse fine work that is being done.
const CUTS: f64 = 2.0;
/// Metal round a hole that carries a ring or a rivet, times the sheet's thickness (common practice: 1.2 mm on 0.8 mm
/// sheet). Less pulls through; more only looks heavy.
const HOLE_WALL: f64 = 1.5;
/// Border a rim strip is soldered to when it goes round the edge: so many thicknesses of the sheet, and never under
/// [`RIM_LEAST`] mm (common practice). Less and solder runs into the openings.
const RIM_ROUND_EDGE: f64 = 1.5;
/// The same for a plate that lies on its rim.
const RIM_UNDER_PLATE: f64 = 2.0;
/// mm.
const RIM_LEAST: f64 = 1.2;

/// Which rule sets a least width.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WidthRule {
    /// What the hand is sure of.
    Hand,
    /// Typed by the maker.
    Own,
    /// The sheet's thickness.
    Sheet,
    /// What two cuts of the blade leave.
    Blade,
    /// A soldered rim's seat.
    Rim,
    /// Metal round a hole that carries.
    HoleWall,
}

/// A least finished width and the rule it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct WidthLimit {
    /// mm.
    pub mm: f64,
    pub rule: WidthRule,
    /// Which rule binds, and its source.
    pub because: String,
}

impl WidthLimit {
    fn or(self, mm: f64, rule: WidthRule, because: impl FnOnce() -> String) -> Self {
        if mm > self.mm + 1e-9 {
            Self { mm, rule, because: because() }
        } else {
            self
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
        let because = "your own limit for a finished bridge".into();
        WidthLimit { mm: job.limits.bridge.get(), rule: WidthRule::Own, because }
    } else {
        let because = format!("least finished bridge for {} (common practice)", hand(job.skill));
        WidthLimit { mm: by_hand, rule: WidthRule::Hand, because }.or(
            by_sheet * thickness,
            WidthRule::Sheet,
            || {
                let share =
                    if by_sheet == 1.0 { "the sheet's thickness" } else { "three quarters of the sheet" };
                format!("{share} binds: {} x {} mm (common practice)", by_sheet, plain(thickness, 2))
            },
        )
    };
    let blade = &job.saw.blade;
    limit.or(CUTS * blade.kerf, WidthRule::Blade, || {
        format!(
            "the blade binds: two cuts of a {} blade, {} mm each (common practice)",
            blade.name,
            plain(blade.kerf, 2)
        )
    })
}

/// Least finished border: the hand's or the maker's own, or what a soldered rim wants.
pub fn border_limit(job: &Job) -> WidthLimit {
    let own = job.origin("limits.border") == Origin::Typed;
    let because = if own {
        "your own limit for a finished border".into()
    } else {
        format!("least finished border for {} (common practice)", hand(job.skill))
    };
    let rule = if own { WidthRule::Own } else { WidthRule::Hand };
    let limit = WidthLimit { mm: job.limits.border.get(), rule, because };
    let Some(rim) = &job.construction.rim else { return limit };
    let thickness = job.measured.thickness.unwrap_or(job.sheet.thickness).get();
    let (seat, how) = match rim.sits {
        RimSits::RoundEdge => (RIM_ROUND_EDGE * thickness, "1.5 times the sheet, for a rim round the edge"),
        RimSits::UnderPlate => (
            (RIM_UNDER_PLATE * thickness).max(rim.thickness.get()),
            "twice the sheet, for a plate that lies on its rim",
        ),
    };
    limit.or(seat.max(RIM_LEAST), WidthRule::Rim, || {
        format!("the rim's seat binds: at least {RIM_LEAST} mm and {how} (common practice)")
    })
}

pub(super) fn bridge_width(case: &Case) -> Vec<Verdict> {
    const CHECK: Check = Check::BridgeWidth;
    let limit = bridge_limit(case.job);
    let Some(worst) = case.graph.bridges.iter().find(|b| b.is_between_openings()) else {
        return vec![Verdict::told(CHECK, Level::Good, "no two openings share a bridge", limit.because)];
    };
    let thin = thinner(case, limit.mm, |b| b.is_between_openings());
    let says = if thin == 0 {
        format!("the thinnest bridge is {}; at least {} mm is asked", widths(worst), plain(limit.mm, 2))
    } else {
        format!(
            "{} too thin: the thinnest, between openings {} at {}, is {}; it should be at least {} mm",
            if thin == 1 { "1 bridge is".to_string() } else { format!("{thin} bridges are") },
            numbers(worst),
            place(worst.midpoint()),
            widths(worst),
            plain(limit.mm, 2)
        )
    };
    vec![judged(CHECK, Level::Stop, thin, worst, &limit, says)]
}

pub(super) fn border_width(case: &Case) -> Vec<Verdict> {
    const CHECK: Check = Check::BorderWidth;
    let (edge, bridge) = (border_limit(case.job), bridge_limit(case.job));
    let wall = WidthLimit {
        mm: HOLE_WALL * case.thickness,
        rule: WidthRule::HoleWall,
        because: format!(
            "1.5 times the sheet round a hole that carries (common practice), {} mm",
            plain(case.thickness, 2)
        ),
    };
    let to_edge = |b: &Bridge| matches!(b.between, [Side::Edge, Side::Opening(_)]);
    let to_window = |b: &Bridge| b.between.iter().any(|s| matches!(s, Side::Window(_)));
    let round_hole = |b: &Bridge| has_hole(b) && b.between.iter().any(|s| matches!(s, Side::Opening(_)));
    let outside_hole = |b: &Bridge| has_hole(b) && !round_hole(b) && !to_window(b);
    let mut all = Vec::new();
    let mut look = |ask: &dyn Fn(&Bridge) -> bool, limit: &WidthLimit, level: Level, what: &str| {
        let Some(worst) = case.graph.bridges.iter().find(|b| ask(b)) else { return };
        let thin = thinner(case, limit.mm, ask);
        if thin > 0 {
            let says = format!(
                "{what} is too narrow in {}: at {}, between {} and {}, it is {}; it should be at least {} mm",
                count(thin, "place"),
                place(worst.midpoint()),
                worst.between[0],
                worst.between[1],
                widths(worst),
                plain(limit.mm, 2)
            );
            all.push(judged(CHECK, level, thin, worst, limit, says));
        }
    };
    look(&to_edge, &edge, Level::Stop, "the border");
    look(&to_window, &bridge, Level::Stop, "the border of a window");
    look(&round_hole, &bridge, Level::Stop, "the metal between a hole and an opening");
    look(&outside_hole, &wall, Level::Caution, "the metal outside a hole");
    if all.is_empty() {
        let says = "every border is as wide as it should be";
        all.push(match case.graph.bridges.iter().find(|b| to_edge(b)) {
            Some(narrowest) => {
                let says = format!(
                    "the border is at least {}; at least {} mm is asked",
                    widths(narrowest),
                    plain(edge.mm, 2)
                );
                judged(CHECK, Level::Stop, 0, narrowest, &edge, says)
            }
            None => Verdict::told(CHECK, Level::Good, says, edge.because),
        });
    }
    all
}

fn has_hole(b: &Bridge) -> bool {
    b.between.iter().any(|s| matches!(s, Side::Hole(_)))
}

/// How many of the bridges asked for are under a limit. They come thinnest first.
fn thinner(case: &Case, limit: f64, ask: impl Fn(&Bridge) -> bool) -> usize {
    let bridges = &case.graph.bridges;
    let end = bridges.partition_point(|b| b.finished.get() < limit - JUST_PASSED);
    bridges[..end].iter().filter(|b| ask(b)).count()
}

fn judged(
    check: Check,
    level: Level,
    thin: usize,
    worst: &Bridge,
    limit: &WidthLimit,
    says: String,
) -> Verdict {
    let level = if thin == 0 { Level::Good } else { level };
    Verdict::told(check, level, says, limit.because.clone())
        .numbers(Quantity::Length(worst.finished.get()), Quantity::Length(limit.mm))
        .at(worst.midpoint())
}

fn widths(b: &Bridge) -> String {
    format!("{} mm as drawn, {} mm finished", plain(b.width.get(), 2), plain(b.finished.get(), 2))
}

fn numbers(b: &Bridge) -> String {
    let number = |s: Side| match s {
        Side::Opening(n) => n.to_string(),
        other => other.to_string(),
    };
    format!("{} and {}", number(b.between[0]), number(b.between[1]))
}
