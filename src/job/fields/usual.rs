//! What stands for keys that are left out, where it depends on the rest of the job. Figures by skill are estimates: nobody
//! has published such tables.

use crate::catalogue;
use crate::job::values::{Known, Value};
use crate::job::{Shape, Skill};
use crate::trade;
use crate::units::Mm;
use std::borrow::Cow;

fn by<T>(k: &Known, [first, practised, fine]: [T; 3]) -> T {
    match k.skill() {
        Skill::First => first,
        Skill::Practised => practised,
        Skill::FineWork => fine,
    }
}

fn mm(value: f64) -> Option<Value> {
    Some(Value::Mm(value))
}

pub(crate) fn nought(_: &Known) -> Option<Value> {
    mm(0.0)
}

pub(crate) fn centre(k: &Known) -> Option<Value> {
    let fitted = k.word("pattern.at_border")? == "fit";
    Some(Value::Word(Cow::Borrowed(if fitted { "best" } else { "opening" })))
}

/// The turn at which a pattern stands as its file draws it: bricks and scales level. Degrees, to the millionth.
pub(crate) fn turn(k: &Known) -> Option<Value> {
    let upright = k.word("pattern.name").and_then(|name| catalogue::find(&name)).map_or(0.0, |p| p.upright);
    Some(Value::Number((upright * 1e6).round() / 1e6))
}

pub(crate) fn pieces(k: &Known) -> Option<Value> {
    Some(Value::Number(if k.yes("pair")? { 2.0 } else { 1.0 }))
}

pub(crate) fn middle(_: &Known) -> Option<Value> {
    Some(Value::List(vec![0.0, 0.0]))
}

/// Finished width below which a hand of this skill is likely to lose the bridge, mm: its own, and how many thicknesses
/// of sheet.
pub fn bridge_rule(skill: Skill) -> (f64, f64) {
    match skill {
        Skill::First => (1.5, 0.0),
        Skill::Practised => (1.0, 1.0),
        Skill::FineWork => (0.6, 0.75),
    }
}

pub(crate) fn least_bridge(k: &Known) -> Option<Value> {
    let (by_hand, by_sheet) = bridge_rule(k.skill());
    mm(by_hand.max(k.mm("sheet.thickness")? * by_sheet))
}

/// The least a file gets into, mm.
pub(crate) fn least_opening(k: &Known) -> Option<Value> {
    mm(by(k, [4.0, 2.0, 1.0]))
}

pub(crate) fn least_border(k: &Known) -> Option<Value> {
    mm(by(k, [3.0, 2.0, 1.2]))
}

/// Both sides of the border are sawn.
pub(crate) fn border(k: &Known) -> Option<Value> {
    mm(k.mm("limits.border")? + 2.0 * k.mm("saw.clean_up")?)
}

/// Both sides of a bridge are sawn.
pub(crate) fn bridge(k: &Known) -> Option<Value> {
    mm(k.mm("limits.bridge")? + 2.0 * k.mm("saw.clean_up")?)
}

/// Metal that hangs on the bridge.
pub(crate) fn bridge_again(k: &Known) -> Option<Value> {
    mm(k.mm("pattern.bridge")?)
}

/// A row's openings, along and across: so large that a circle as wide as the least opening fits.
pub(crate) fn row_size(k: &Known) -> Option<Value> {
    let least = k.mm("limits.opening")?;
    let (along, across) = match k.here_word("shape")?.as_ref() {
        "round" => (1.0, 1.0),
        "drop" => (1.0, 1.6),
        "brick" => (2.0, 1.0),
        "petal" => (1.0, 2.0),
        "lozenge" => (1.3, 1.6),
        _ => (1.4, 1.4),
    };
    Some(Value::List(vec![along * least, across * least]))
}

/// The first row along a line keeps its border, each further one a bridge from the one before.
pub(crate) fn row_inset(k: &Known) -> Option<Value> {
    let along = k.here_word("along")?;
    if k.before_here("along").any(|earlier| earlier == along) {
        return bridge_again(k);
    }
    if along == "outline" {
        return mm(k.mm("outline.border")?);
    }
    let named = |i: &usize| k.word(&format!("window[{i}].name")).is_some_and(|name| name == along);
    let window = (0..).take_while(|i| k.has_section(&format!("window[{i}]"))).find(named);
    match window {
        Some(i) => mm(k.mm(&format!("window[{i}].border"))?),
        None => bridge_again(k),
    }
}

pub(crate) fn blade(k: &Known) -> Option<Value> {
    Some(Value::Word(Cow::Borrowed(by(k, ["2/0", "3/0", "6/0"]))))
}

/// Start-hole drill: the skill's, but never too small to thread the blade through.
pub(crate) fn drill(k: &Known) -> Option<Value> {
    let blade = trade::blade(&k.word("saw.blade")?)?;
    let usual = by(k, [1.0, 0.8, 0.5]);
    if usual >= blade.hole {
        return mm(usual);
    }
    mm(trade::drill_at_least(blade.hole).map_or(blade.hole, |drill| drill.mm))
}

pub(crate) fn clean_up(k: &Known) -> Option<Value> {
    mm(by(k, [0.20, 0.10, 0.05]))
}

/// Back plate left standing out all round, mm: more wastes metal, less runs short where the rim shifts.
pub(crate) fn overhang(k: &Known) -> Option<Value> {
    mm(by(k, [1.0, 0.8, 0.5]))
}

pub(crate) fn sheet(k: &Known) -> Option<Value> {
    mm(k.mm("sheet.thickness")?)
}

pub(crate) fn corner_radius(k: &Known) -> Option<Value> {
    match (k.here_word("shape")?.as_ref(), k.here_mm("width"), k.here_mm("height")) {
        ("cushion", width, height) => mm(Shape::cushion_corner(Mm(width?), Mm(height?)).get()),
        _ => mm(0.0),
    }
}

pub(crate) fn crescent_thick(k: &Known) -> Option<Value> {
    mm(Shape::crescent_thick(Mm(k.here_mm("width")?), Mm(k.here_mm("height")?)).get())
}

/// Few marks are lines and punch points: shading comes with them only where it is asked for.
pub(crate) fn shade(k: &Known) -> Option<Value> {
    let few = k.word("paper.marks")? == "few";
    Some(Value::Word(Cow::Borrowed(if few { "none" } else { "waste" })))
}

/// A label goes to one person: it has a line for the name unless that is refused.
pub(crate) fn name_line(k: &Known) -> Option<Value> {
    Some(Value::Yes(k.has_section("paper.labels")))
}
