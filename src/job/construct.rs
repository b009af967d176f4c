//! What is built on the pierced plate: rim, back, bezel, jump rings.

use super::read::Section;
use super::{defaults, keys, Back, Bezel, Construction, JumpRing, Rim, RimSits, Skill};
use crate::geom::Point;
use crate::units::limits::{COUNT, DOME, LEDGE, OVERHANG, RING_INSIDE, STONE, STRIP_HEIGHT, THICKNESS, WIRE};
use crate::units::Mm;

/// Solder grades a job may name.
const GRADES: [(&str, &str); 5] =
    [("it", "it"), ("hard", "hard"), ("medium", "medium"), ("easy", "easy"), ("extra-easy", "extra-easy")];

pub(super) fn construction(section: Option<&Section>, skill: Skill, sheet: Mm) -> Option<Construction> {
    let Some(section) = section else { return Some(Construction::default()) };
    section.knows(keys::CONSTRUCTION);
    let rim = part(section, "rim", rim);
    let back = part(section, "back", |back| self::back(back, skill, sheet));
    let bezel = part(section, "bezel", bezel);
    let rings: Vec<Option<JumpRing>> = section.tables("jump_rings").iter().map(jump_ring).collect();
    let dome = match section.has("dome") {
        true => section.length("dome", &DOME),
        false => Some(Mm(0.0)),
    };
    let solder = section.choice("solder", &GRADES).map(str::to_string);
    Some(Construction {
        rim: rim?,
        back: back?,
        bezel: bezel?,
        jump_rings: rings.into_iter().collect::<Option<_>>()?,
        dome: dome?,
        solder,
    })
}

/// A part that may be left out: `Some(None)` if it is, `None` if it is there and cannot be used.
fn part<T>(section: &Section, key: &str, read: impl Fn(&Section) -> Option<T>) -> Option<Option<T>> {
    match section.has(key) {
        true => section.table(key).and_then(|part| read(&part)).map(Some),
        false => Some(None),
    }
}

fn rim(rim: &Section) -> Option<Rim> {
    rim.knows(keys::RIM);
    let height = rim.need("height", rim.length("height", &STRIP_HEIGHT), "add height = 5.5");
    let thickness = or(rim, "thickness", defaults::RIM_WALL);
    let sits =
        rim.choice("sits", &[("under-plate", RimSits::UnderPlate), ("round-edge", RimSits::RoundEdge)]);
    let todo = "add sits = \"under-plate\" or \"round-edge\": the strip's length differs";
    let sits = rim.need("sits", sits, todo);
    Some(Rim { height: height?, thickness: thickness?, sits: sits? })
}

fn or(section: &Section, key: &'static str, usual: Mm) -> Option<Mm> {
    match section.has(key) {
        true => section.length(key, &THICKNESS),
        false => Some(usual),
    }
}

fn back(back: &Section, skill: Skill, sheet: Mm) -> Option<Back> {
    back.knows(keys::BACK);
    let thickness = or(back, "thickness", sheet);
    let overhang = match back.has("overhang") {
        true => back.length("overhang", &OVERHANG),
        false => Some(defaults::overhang(skill)),
    };
    Some(Back { thickness: thickness?, overhang: overhang? })
}

fn bezel(bezel: &Section) -> Option<Bezel> {
    bezel.knows(keys::BEZEL);
    let stone = bezel.need("stone", bezel.length("stone", &STONE), "add stone = 10, its size across");
    let thickness = or(bezel, "thickness", defaults::BEZEL_WALL);
    let height = match bezel.has("height") {
        true => bezel.length("height", &STRIP_HEIGHT),
        false => Some(defaults::BEZEL_HEIGHT),
    };
    let at = match bezel.has("at") {
        true => bezel.point("at"),
        false => Some(Point::ORIGIN),
    };
    let ledge = match bezel.has("ledge") {
        true => bezel.length("ledge", &LEDGE),
        false => Some(defaults::LEDGE),
    };
    let window = bezel.yes("window").unwrap_or(true);
    let read =
        Bezel { stone: stone?, thickness: thickness?, height: height?, at: at?, ledge: ledge?, window };
    if read.window && read.ledge * 2.0 >= read.stone {
        bezel.refuse(
            "ledge",
            format!("a ledge of {} leaves no window behind a stone of {}", read.ledge, read.stone),
            "make the ledge smaller, or write window = false",
        );
        return None;
    }
    Some(read)
}

fn jump_ring(ring: &Section) -> Option<JumpRing> {
    ring.knows(keys::JUMP_RING);
    let wire = ring.need("wire", ring.length("wire", &WIRE), "add wire = 1.0");
    let inside = ring.need("inside", ring.length("inside", &RING_INSIDE), "add inside = 4.0");
    let count = match ring.has("count") {
        true => ring.whole("count", &COUNT),
        false => Some(1),
    };
    Some(JumpRing { wire: wire?, inside: inside?, count: count? })
}
