//! The pattern of a job: which one, how large, how laid.

use super::part::SectionReader;
use super::walk::Walk;
use super::{bench, AtBorder, CentreChoice, GrownSettings, Job, NamedFiles, PatternSource, PatternSpec};
use crate::catalogue::{self, Pattern};
use crate::geom::Point;
use crate::units::limits::JOB_FILE;
use crate::units::Mm;
use std::sync::Arc;

/// Reads the pattern. `area` is the area to fill, mm2, if it is known; `before` is the same job before an edit, whose
/// pattern need not be proved again.
pub(super) fn pattern(
    walk: &Walk,
    files: &NamedFiles,
    area: Option<f64>,
    before: Option<&Job>,
) -> Option<PatternSpec> {
    let p = walk.part("pattern");
    let source = match before.filter(|b| same_source(b, walk)) {
        Some(before) => Some(before.pattern.source.clone()),
        None => source(&p, files).and_then(|source| stars(&p, source)),
    };
    let (pitch, bridge, bridge_to) = (p.mm("pitch"), p.mm("bridge"), p.mm("bridge_to"));
    let finest = p.word("pitch").is_some();
    let grown = grown(&p, source.as_ref());
    let along = along(&p, source.as_ref());
    let at = at(&p, source.as_ref());
    if let (Some(pitch), Some(bridge)) = (pitch, bridge) {
        room_for_openings(&p, pitch, bridge, "bridge");
    }
    if let (Some(pitch), Some(to)) = (pitch, bridge_to) {
        room_for_openings(&p, pitch, to, "bridge_to");
    }
    let (source, bridge) = (source?, bridge?);
    if let (PatternSource::Repeat(repeat), Some(pitch), Some(area)) = (&source, pitch, area) {
        let one = repeat.repeat_area() * pitch.0 * pitch.0 / repeat.shapes.len().max(1) as f64;
        if let Some((wrong, todo)) = bench::too_many(area / one, pitch) {
            p.refuse("pitch", wrong, todo);
        }
    }
    Some(PatternSpec {
        source,
        pitch,
        finest,
        bridge,
        bridge_to: bridge_to.filter(|to| *to != bridge),
        along,
        turn: p.number("turn")?,
        centre: p.choice(
            "centre",
            &[
                ("opening", CentreChoice::Opening),
                ("crossing", CentreChoice::Crossing),
                ("bridge", CentreChoice::Bridge),
                ("best", CentreChoice::Best),
            ],
        )?,
        at,
        at_border: p.choice(
            "at_border",
            &[
                ("fit", AtBorder::Fit),
                ("trim", AtBorder::Trim),
                ("whole", AtBorder::Whole),
                ("join", AtBorder::Join),
                ("ease", AtBorder::Ease),
            ],
        )?,
        corner_radius: p.mm("corner_radius")?,
        variation: u64::from(p.whole("variation")?),
        grown: grown?,
    })
}

/// Whether the same pattern is named, in the same way.
fn same_source(before: &Job, walk: &Walk) -> bool {
    ["pattern.name", "pattern.file", "pattern.ray_angle"]
        .iter()
        .all(|path| before.source.values.typed.get(*path) == walk.values.typed.get(*path))
}

/// With `ray_angle`: the repeat's shapes become stars whose rays leave the middles of their edges at that angle.
fn stars(p: &SectionReader, source: PatternSource) -> Option<PatternSource> {
    if !p.has("ray_angle") {
        return Some(source);
    }
    let angle = p.number("ray_angle")?;
    let drawn = match &source {
        PatternSource::Repeat(pattern) => pattern.with_stars(angle),
        PatternSource::Grown(_) | PatternSource::None => {
            Err("stars are drawn on patterns that repeat".to_string())
        }
    };
    match drawn {
        Ok(pattern) => Some(PatternSource::Repeat(Arc::new(pattern))),
        Err(wrong) => {
            p.refuse("ray_angle", wrong, "leave it out, or name a pattern such as \"hexagon\" or \"square\"");
            None
        }
    }
}

/// The line that bridges and cells are graded along; refused where nothing is graded.
fn along(p: &SectionReader, source: Option<&PatternSource>) -> Option<f64> {
    let along = p.number("along")?;
    let graded = ["bridge_to", "grade"].into_iter().any(|key| p.has(key));
    if !graded {
        p.refuse(
            "along",
            "along says which way bridges or cells grow, and nothing here grows",
            "add bridge_to (for bridges) or grade (for cells), or leave it out",
        );
    }
    if p.has("grade") && matches!(source, Some(PatternSource::Grown(name)) if name == "sunflower") {
        p.refuse(
            "along",
            "a sunflower's cells grow from the middle outwards only",
            "leave out along or grade, or take name = \"evened-out\"",
        );
    }
    Some(along)
}

/// Where the pattern's middle lies; refused where it cannot be shifted.
fn at(p: &SectionReader, source: Option<&PatternSource>) -> Option<Point> {
    if !p.has("at") {
        return None;
    }
    let outline = p.walk.part("outline").word("shape");
    let wrong = match (source, outline.as_deref()) {
        (Some(PatternSource::Grown(_)), _) => "a grown pattern stands where its piece does",
        (Some(PatternSource::None), _) => "there is no pattern to shift",
        (_, Some("band" | "cone")) => "a pattern that goes all the way round is laid from its seam",
        _ => return p.point("at"),
    };
    p.refuse("at", wrong, "leave it out");
    None
}

/// What a grown pattern may be told; refused for one that has no use for it.
fn grown(p: &SectionReader, source: Option<&PatternSource>) -> Option<GrownSettings> {
    let keys = ["fold", "sides", "passes", "grade"].into_iter().filter(|k| p.has(k));
    for key in keys {
        let (whom, todo) = match source {
            Some(PatternSource::None) => {
                ("a piece without a pattern".to_string(), "leave it out".to_string())
            }
            Some(PatternSource::Repeat(_)) => {
                ("a pattern that repeats".to_string(), "leave it out".to_string())
            }
            Some(PatternSource::Grown(name)) if !catalogue::grown_takes(name).contains(&key) => {
                let takers: Vec<&str> = catalogue::GROWN
                    .iter()
                    .map(|g| g.name)
                    .filter(|other| catalogue::grown_takes(other).contains(&key))
                    .collect();
                (format!("\"{name}\""), format!("leave it out; it is for {}", takers.join(", ")))
            }
            _ => continue,
        };
        p.refuse(key, format!("{key} means nothing to {whom}"), todo);
    }
    Some(GrownSettings {
        fold: p.whole("fold"),
        sides: p.wholes("sides"),
        passes: p.whole("passes"),
        grade: p.number("grade")?,
    })
}

/// A bridge as wide as the repeat leaves nothing to open.
fn room_for_openings(p: &SectionReader, pitch: Mm, bridge: Mm, key: &'static str) {
    if bridge < pitch {
        return;
    }
    let (key, todo) = if p.has(key) {
        (key, "make the bridge narrower or the pitch larger")
    } else {
        ("pitch", "make the pitch larger, or name a narrower bridge")
    };
    p.refuse(key, format!("a bridge of {bridge} leaves no opening in a pitch of {pitch}"), todo);
}

fn source(p: &SectionReader, files: &NamedFiles) -> Option<PatternSource> {
    if p.has("name") && p.has("file") {
        p.refuse("file", "both name and file are given", "keep one of them");
        return None;
    }
    if p.has("file") {
        let name = p.word("file")?;
        return own(p, &name, files).map(|pattern| PatternSource::Repeat(Arc::new(pattern)));
    }
    let rows = p.walk.parts("row").next().is_some() || p.walk.part("middle").is_there();
    let Some(name) = p.word("name") else {
        if !p.has("name") && rows {
            return Some(PatternSource::None);
        }
        if !p.has("name") && p.is_there() {
            p.refuse(
                "name",
                "[pattern] has no name",
                "add name = \"hexagon\", see `sawpierce list patterns`",
            );
        }
        return None;
    };
    if name == "none" {
        if !rows {
            let todo = "add a [[row]] or a [middle], or name a pattern";
            p.refuse("name", "without a pattern there is nothing to open", todo);
        }
        return Some(PatternSource::None);
    }
    if catalogue::grown(&name).is_some() {
        return Some(PatternSource::Grown(name.to_string()));
    }
    catalogue::find(&name).map(PatternSource::Repeat)
}

/// The maker's own pattern file.
pub(super) fn own(p: &SectionReader, name: &str, files: &NamedFiles) -> Option<Pattern> {
    let Some(bytes) = files.get(name) else {
        p.walk.reader.missing_file(p.span("file"), name);
        return None;
    };
    if let Err(unread) = JOB_FILE.counted(bytes.len() as f64 / 1e6) {
        p.refuse("file", format!("\"{name}\": {}", unread.wrong), unread.todo);
        return None;
    }
    let Ok(text) = std::str::from_utf8(bytes) else {
        p.refuse("file", format!("\"{name}\" is not a text file"), "name a pattern file");
        return None;
    };
    catalogue::read(text, name).map_err(|error| p.walk.reader.take(error)).ok()
}
