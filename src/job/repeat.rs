//! The pattern of a job: which one, how large, how laid.

use super::read::Section;
use super::{bench, keys, AtBorder, CentreChoice, GrownSettings, NamedFiles, PatternSource, PatternSpec};
use crate::catalogue::{self, Pattern};
use crate::units::limits::{
    Limit, ALONG, BRIDGE, CONTACT_ANGLE, CORNER_RADIUS, EVENINGS, FOLD, GRADE, MEETING, PITCH, TURN,
    VARIATION,
};
use crate::units::Mm;
use std::sync::Arc;

/// Reads the pattern. `bridge` is what a job gets that names none; `area` is the area to fill, mm2, if it is known.
pub(super) fn pattern(
    section: &Section,
    files: &NamedFiles,
    bridge: Mm,
    area: Option<f64>,
) -> Option<PatternSpec> {
    section.knows(keys::PATTERN);
    let source = source(section, files).and_then(|source| stars(section, source));
    let pitch = section.length("pitch", &PITCH);
    let bridge = match section.has("bridge") {
        true => section.length("bridge", &BRIDGE),
        false => Some(bridge),
    };
    let bridge_to = match section.has("bridge_to") {
        true => section.length("bridge_to", &BRIDGE).map(Some),
        false => Some(None),
    };
    let turn = match section.has("turn") {
        true => section.number("turn", &TURN),
        false => Some(0.0),
    };
    let centre = section.choice(
        "centre",
        &[
            ("opening", CentreChoice::Opening),
            ("joint", CentreChoice::Joint),
            ("bridge", CentreChoice::Bridge),
            ("best", CentreChoice::Best),
        ],
    );
    let at_border = section.choice(
        "at_border",
        &[
            ("fit", AtBorder::Fit),
            ("trim", AtBorder::Trim),
            ("whole", AtBorder::Whole),
            ("join", AtBorder::Join),
            ("ease", AtBorder::Ease),
        ],
    );
    let corner_radius = match section.has("corner_radius") {
        true => section.length("corner_radius", &CORNER_RADIUS),
        false => Some(Mm(0.0)),
    };
    let variation = section.whole("variation", &VARIATION);
    let grown = grown(section, source.as_ref());
    let along = along(section, source.as_ref());
    if let (Some(pitch), Some(bridge)) = (pitch, bridge) {
        room_for_openings(section, pitch, bridge, "bridge");
    }
    if let (Some(pitch), Some(Some(to))) = (pitch, bridge_to) {
        room_for_openings(section, pitch, to, "bridge_to");
    }
    let (source, bridge) = (source?, bridge?);
    if let (PatternSource::Repeat(repeat), Some(pitch), Some(area)) = (&source, pitch, area) {
        let one = repeat.repeat_area() * pitch.0 * pitch.0 / repeat.shapes.len().max(1) as f64;
        if let Some((wrong, todo)) = bench::too_many(area / one) {
            section.refuse("pitch", wrong, todo);
        }
    }
    Some(PatternSpec {
        source,
        pitch,
        bridge,
        bridge_to: bridge_to?.filter(|to| *to != bridge),
        along: along?,
        turn: turn?,
        centre: centre.unwrap_or(CentreChoice::Opening),
        at_border: at_border.unwrap_or(AtBorder::Trim),
        corner_radius: corner_radius?,
        variation: variation.map_or(1, u64::from),
        grown: grown?,
    })
}

/// With `contact_angle`: the repeat's shapes become stars whose rays leave the middles of their edges at that angle.
fn stars(section: &Section, source: PatternSource) -> Option<PatternSource> {
    if !section.has("contact_angle") {
        return Some(source);
    }
    let angle = section.number("contact_angle", &CONTACT_ANGLE)?;
    let drawn = match &source {
        PatternSource::Repeat(pattern) => pattern.with_stars(angle),
        PatternSource::Grown(_) => Err("stars are drawn on patterns that repeat".to_string()),
    };
    match drawn {
        Ok(pattern) => Some(PatternSource::Repeat(Arc::new(pattern))),
        Err(wrong) => {
            section.refuse(
                "contact_angle",
                wrong,
                "leave it out, or name a pattern such as \"hexagon\" or \"square\"",
            );
            None
        }
    }
}

/// The line that bridges and cells are graded along; refused where nothing is graded.
fn along(section: &Section, source: Option<&PatternSource>) -> Option<Option<f64>> {
    if !section.has("along") {
        return Some(None);
    }
    let along = section.number("along", &ALONG)?;
    let graded = ["bridge_to", "grade"].into_iter().any(|key| section.has(key));
    if !graded {
        section.refuse(
            "along",
            "along says which way bridges or cells grow, and nothing here grows",
            "add bridge_to (for bridges) or grade (for cells), or leave it out",
        );
    }
    if section.has("grade") && matches!(source, Some(PatternSource::Grown(name)) if name == "sunflower") {
        section.refuse(
            "along",
            "a sunflower's cells grow from the middle outwards only",
            "leave out along or grade, or take name = \"evened-out\"",
        );
    }
    Some(Some(along))
}

/// What a grown pattern may be told; refused for one that has no use for it.
fn grown(section: &Section, source: Option<&PatternSource>) -> Option<GrownSettings> {
    let keys = ["fold", "sides", "evenings", "grade"].into_iter().filter(|k| section.has(k));
    for key in keys {
        let (whom, todo) = match source {
            Some(PatternSource::Repeat(_)) => {
                ("a pattern that repeats".to_string(), "leave it out".to_string())
            }
            Some(PatternSource::Grown(name)) if !catalogue::grown_takes(name).contains(&key) => {
                let takers: Vec<&str> = catalogue::GROWN
                    .iter()
                    .copied()
                    .filter(|other| catalogue::grown_takes(other).contains(&key))
                    .collect();
                (format!("\"{name}\""), format!("leave it out; it is for {}", takers.join(", ")))
            }
            _ => continue,
        };
        section.refuse(key, format!("{key} means nothing to {whom}"), todo);
    }
    let sides = match section.has("sides") {
        true => Some(section.wholes("sides", &MEETING)?),
        false => None,
    };
    let asked = |key: &'static str, limit: &Limit| match section.has(key) {
        true => section.whole(key, limit).map(Some),
        false => Some(None),
    };
    Some(GrownSettings {
        fold: asked("fold", &FOLD)?,
        sides,
        evenings: asked("evenings", &EVENINGS)?,
        grade: if section.has("grade") { section.number("grade", &GRADE)? } else { 0.0 },
    })
}

/// A bridge as wide as the repeat leaves nothing to open.
fn room_for_openings(section: &Section, pitch: Mm, bridge: Mm, key: &'static str) {
    if bridge < pitch {
        return;
    }
    let (key, todo) = if section.has(key) {
        (key, "make the bridge narrower or the pitch larger")
    } else {
        ("pitch", "make the pitch larger, or name a narrower bridge")
    };
    section.refuse(key, format!("a bridge of {bridge} leaves no opening in a pitch of {pitch}"), todo);
}

fn source(section: &Section, files: &NamedFiles) -> Option<PatternSource> {
    if section.has("name") && section.has("file") {
        section.refuse("file", "both name and file are given", "keep one of them");
        return None;
    }
    if section.has("file") {
        let name = section.text("file")?;
        return own(section, name, files).map(|pattern| PatternSource::Repeat(Arc::new(pattern)));
    }
    let todo = "add name = \"hexagon\", see `sawpierce list patterns`";
    let name = section.need("name", section.text("name"), todo)?;
    if catalogue::GROWN.contains(&name) {
        return Some(PatternSource::Grown(name.to_string()));
    }
    let found = catalogue::find(name);
    if found.is_none() {
        let shipped = catalogue::all();
        let known: Vec<&str> =
            shipped.iter().map(|p| p.name.as_str()).chain(catalogue::GROWN.iter().copied()).collect();
        section.unknown("name", name, &known);
    }
    found.map(PatternSource::Repeat)
}

/// The maker's own pattern file.
fn own(section: &Section, name: &str, files: &NamedFiles) -> Option<Pattern> {
    let Some(bytes) = files.get(name) else {
        section.reader.missing_file(section.span("file"), name);
        return None;
    };
    let Ok(text) = std::str::from_utf8(bytes) else {
        section.refuse("file", format!("\"{name}\" is not a text file"), "name a pattern file");
        return None;
    };
    catalogue::read(text, name).map_err(|error| section.reader.take(error)).ok()
}
