//! What a job takes for granted when it does not say: by skill, all common practice and all changeable.

use super::{Limits, Skill};
use crate::trade::Blade;
use crate::units::Mm;

/// Sheet for a first pendant, mm. Thinner flaps under the saw, thicker tires the hand.
pub(super) const THICKNESS: Mm = Mm(0.8);
/// Wall of a bezel, mm. Thicker is hard to push over a stone, thinner tears.
pub(super) const BEZEL_WALL: Mm = Mm(0.3);
/// Height of a bezel for a low domed stone, mm. Higher hides the stone, lower does not hold it.
pub(super) const BEZEL_HEIGHT: Mm = Mm(3.0);
/// What a stone rests on, mm. More closes the window, less lets the stone drop.
pub(super) const LEDGE: Mm = Mm(1.0);
/// Wall of a rim strip, mm.
pub(super) const RIM_WALL: Mm = Mm(0.5);

/// Finished sizes below which a hand of this skill is likely to lose the bridge, and the least a file gets into.
pub(super) fn limits(skill: Skill, thickness: Mm) -> Limits {
    let (bridge, opening, border) = match skill {
        Skill::First => (Mm(1.5), 4.0, 3.0),
        Skill::Practised => (Mm(1.0).max(thickness), 2.0, 2.0),
        Skill::FineWork => (Mm(0.6).max(thickness * 0.75), 1.0, 1.2),
    };
    Limits { bridge, opening: Mm(opening), border: Mm(border) }
}

/// What saw and file take past the line, on one side.
pub(super) fn clean_up(skill: Skill) -> Mm {
    Mm(match skill {
        Skill::First => 0.20,
        Skill::Practised => 0.10,
        Skill::FineWork => 0.05,
    })
}

pub(super) fn blade(skill: Skill) -> &'static str {
    match skill {
        Skill::First => "2/0",
        Skill::Practised => "3/0",
        Skill::FineWork => "6/0",
    }
}

/// Start-hole drill: the skill's, but never too small to thread the blade through.
pub(super) fn drill(skill: Skill, blade: &Blade) -> Mm {
    let usual = match skill {
        Skill::First => 1.0,
        Skill::Practised => 0.8,
        Skill::FineWork => 0.5,
    };
    if usual >= blade.hole {
        return Mm(usual);
    }
    Mm(crate::trade::drill_at_least(blade.hole).map_or(blade.hole, |drill| drill.mm))
}

/// Back plate left standing out all round, to be trimmed after soldering.
pub(super) fn overhang(skill: Skill) -> Mm {
    Mm(match skill {
        Skill::First => 1.0,
        Skill::Practised => 0.8,
        Skill::FineWork => 0.5,
    })
}
