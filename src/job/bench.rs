//! The sheet, the saw, the limits, what was measured, the maker's rates and wishes.

use super::read::Section;
use super::{
    defaults, keys, shape, Limits, Measured, MeasuredOutline, Rates, Saw, Shape, Sheet, Skill, Temper, Wish,
};
use crate::trade;
use crate::units::limits::{
    Limit, CLEAN_UP, DRILL, FRAME_DEPTH, LEAST, MINUTES, MONEY, OPENINGS, OUTLINE, SAW_RATE, STACK, STOCK,
    THICKNESS, WISH_HOURS, WISH_WEIGHT,
};
use crate::units::{short, Mm, Unread};

/// A measured size this far from the planned one is asked about: larger would let inches typed as mm pass, smaller
/// would argue with a piece that really came out wrong.
const MEASURED_SHARE: std::ops::RangeInclusive<f64> = 0.7..=1.3;

pub(super) fn sheet(section: &Section, thickness: Option<Mm>) -> Option<Sheet> {
    section.knows(keys::SHEET);
    let name =
        section.need("metal", section.text("metal"), "add metal = \"copper\", see `sawpierce list metals`");
    let metal = name.and_then(|name| {
        let found = trade::metal(name);
        if found.is_none() {
            let known: Vec<&str> = trade::metals().iter().map(|m| m.name.as_str()).collect();
            section.unknown("metal", name, &known);
        }
        found
    });
    let temper = section.choice("temper", &[("soft", Temper::Soft), ("half-hard", Temper::HalfHard)]);
    let stock = section.two("stock", &STOCK);
    let price_per_gram = section.number("price_per_gram", &MONEY);
    Some(Sheet {
        metal: metal?.clone(),
        thickness: thickness?,
        temper: temper.unwrap_or(Temper::Soft),
        stock,
        price_per_gram,
    })
}

pub(super) fn thickness(section: &Section) -> Option<Mm> {
    match section.has("thickness") {
        true => section.length("thickness", &THICKNESS),
        false => Some(defaults::THICKNESS),
    }
}

pub(super) fn limits(section: Option<&Section>, usual: Limits) -> Limits {
    let Some(section) = section else { return usual };
    section.knows(keys::LIMITS);
    Limits {
        bridge: section.length("bridge", &LEAST).unwrap_or(usual.bridge),
        opening: section.length("opening", &LEAST).unwrap_or(usual.opening),
        border: section.length("border", &LEAST).unwrap_or(usual.border),
    }
}

pub(super) fn saw(section: Option<&Section>, skill: Skill) -> Option<Saw> {
    let usual = trade::blade(defaults::blade(skill));
    let Some(section) = section else {
        let blade = usual?.clone();
        let drill = defaults::drill(skill, &blade);
        let clean_up = defaults::clean_up(skill);
        return Some(Saw { blade, drill, clean_up, frame_depth: None, left_handed: false, stack: 1 });
    };
    section.knows(keys::SAW);
    let blade = match section.has("blade") {
        false => usual,
        true => section.text("blade").and_then(|name| {
            let found = trade::blade(name);
            if found.is_none() {
                let known: Vec<&str> = trade::blades().iter().map(|b| b.name.as_str()).collect();
                section.unknown("blade", name, &known);
            }
            found
        }),
    };
    let drill = match (section.has("drill"), blade) {
        (true, _) => drill(section),
        (false, blade) => blade.map(|blade| defaults::drill(skill, blade)),
    };
    let clean_up = match section.has("clean_up") {
        true => section.length("clean_up", &CLEAN_UP),
        false => Some(defaults::clean_up(skill)),
    };
    let frame_depth = section.length("frame_depth", &FRAME_DEPTH);
    let left_handed = section.choice("hand", &[("right", false), ("left", true)]);
    let stack = section.whole("stack", &STACK);
    Some(Saw {
        blade: blade?.clone(),
        drill: drill?,
        clean_up: clean_up?,
        frame_depth,
        left_handed: left_handed.unwrap_or(false),
        stack: stack.unwrap_or(1),
    })
}

/// A drill by its number ("#60") or its diameter.
fn drill(section: &Section) -> Option<Mm> {
    if !section.is_text("drill") {
        return section.length("drill", &DRILL);
    }
    let text = section.text("drill")?;
    if !text.trim_start().to_lowercase().starts_with(['#', 'n']) {
        return section.length("drill", &DRILL);
    }
    match trade::drill(text) {
        Some(found) => Some(Mm(found.mm)),
        None => {
            section.refuse(
                "drill",
                format!("drill \"{text}\" is not known"),
                "use a diameter in mm, or a number like \"#60\"; see `sawpierce list drills`",
            );
            None
        }
    }
}

/// `planned` is the outline, if it could be read.
pub(super) fn measured(section: Option<&Section>, planned: Option<&Shape>) -> Option<Measured> {
    let Some(section) = section else { return Some(Measured::default()) };
    section.knows(keys::MEASURED);
    let thickness = section.length("thickness", &THICKNESS);
    let outline = match (section.has("outline"), planned) {
        (true, Some(shape)) => Some(measured_outline(section, shape)?),
        _ => None,
    };
    Some(Measured { outline, thickness })
}

/// Across for a circle (one or more readings), size over all for every other shape.
fn measured_outline(section: &Section, planned: &Shape) -> Option<MeasuredOutline> {
    let round = matches!(planned, Shape::Circle { .. });
    let outline = if section.is_table("outline") {
        let size = section.table("outline")?;
        size.knows(&["width", "height"]);
        let width = size.need("width", size.length("width", &OUTLINE), "add width = 29.6");
        let height = size.need("height", size.length("height", &OUTLINE), "add height = 29.6");
        let (width, height) = (width?, height?);
        match round {
            true => MeasuredOutline::Across(vec![width, height]),
            false => MeasuredOutline::Size { width, height },
        }
    } else if !round {
        let wrong = "this outline is measured by its size over all";
        section.refuse("outline", wrong, "write outline = { width = 29.6, height = 19.8 }");
        return None;
    } else if section.is_list("outline") {
        let readings = section.lengths("outline", &OUTLINE)?;
        if readings.is_empty() {
            section.refuse("outline", "there is no reading in the brackets", "write it like [45.5, 45.7]");
            return None;
        }
        MeasuredOutline::Across(readings)
    } else {
        MeasuredOutline::Across(vec![section.length("outline", &OUTLINE)?])
    };
    match implausible(planned, &outline) {
        Some(unread) => {
            section.refuse("outline", unread.wrong, unread.todo);
            None
        }
        None => Some(outline),
    }
}

/// A question about a measured size far from the planned one.
pub(super) fn implausible(planned: &Shape, outline: &MeasuredOutline) -> Option<Unread> {
    let (width, height) = shape::over_all(planned)?;
    let pairs: Vec<(Mm, Mm)> = match outline {
        MeasuredOutline::Across(readings) => readings.iter().map(|r| (*r, width)).collect(),
        MeasuredOutline::Size { width: w, height: h } => vec![(*w, width), (*h, height)],
    };
    let (found, planned) =
        pairs.into_iter().find(|(found, plan)| !MEASURED_SHARE.contains(&(*found / *plan)))?;
    Some(Unread::new(
        format!("measured {found}, planned {planned}: is it the same piece, and in the job's units?"),
        "measure again, or change the outline of the job",
    ))
}

/// Typed rates first, then those learnt; what neither has goes by skill.
pub(super) fn rates(section: Option<&Section>, learnt: &Rates) -> Rates {
    let Some(section) = section else { return *learnt };
    section.knows(keys::RATES);
    Rates {
        per_hour: section.number("per_hour", &MONEY).filter(|m| *m > 0.0).or(learnt.per_hour),
        saw: section.number("saw", &SAW_RATE).or(learnt.saw),
        per_hole: section.number("per_hole", &MINUTES).or(learnt.per_hole),
        filing: section.number("filing", &MINUTES).or(learnt.filing),
        handling: section.number("handling", &MINUTES).or(learnt.handling),
        cut: learnt.cut,
        corner: learnt.corner,
    }
}

pub(super) fn wish(section: &Section) -> Option<Wish> {
    section.knows(keys::WISH);
    let given: Vec<&str> = keys::WISH.iter().copied().filter(|key| section.has(key)).collect();
    match given[..] {
        [] => None,
        ["openings"] => section.whole("openings", &OPENINGS).map(Wish::Openings),
        ["hours"] => section.number("hours", &WISH_HOURS).map(Wish::Hours),
        ["weight"] => section.number("weight", &WISH_WEIGHT).map(Wish::Weight),
        [_, second, ..] => {
            section.refuse(
                second,
                "one wish at a time can be met",
                format!("keep one of: {}", given.join(", ")),
            );
            None
        }
        [_] => None,
    }
}

/// Most openings a job may come to.
pub(super) fn too_many(count: f64) -> Option<(String, String)> {
    let most: &Limit = &OPENINGS;
    (count > most.most).then(|| {
        let about = if count < 1e12 { short(count.round(), 0) } else { format!("{count:.0e}") };
        (
            format!("this comes to about {about} openings"),
            format!("give at most {}: {}", short(most.most, 0), most.why),
        )
    })
}
