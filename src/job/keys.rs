//! Every key of a job file, by section, and the nearest known word for one that is not.

/// Keys at the top of the file: settings of the whole job, then the sections.
pub(super) const TOP: &[&str] = &[
    "title",
    "units",
    "skill",
    "pieces",
    "pair",
    "sheet",
    "outline",
    "pattern",
    "keep_solid",
    "window",
    "hole",
    "lug",
    "change",
    "limits",
    "saw",
    "measured",
    "construction",
    "paper",
    "rates",
    "wish",
];
pub(super) const SHEET: &[&str] = &["metal", "thickness", "temper", "stock", "price_per_gram"];
pub(super) const PATTERN: &[&str] = &[
    "name",
    "file",
    "pitch",
    "bridge",
    "bridge_to",
    "along",
    "turn",
    "centre",
    "at_border",
    "corner_radius",
    "variation",
    "fold",
    "sides",
    "evenings",
    "grade",
    "contact_angle",
];
pub(super) const HOLE: &[&str] = &["name", "diameter", "at"];
pub(super) const LUG: &[&str] = &["at_angle", "width", "height", "hole"];
pub(super) const CHANGE: &[&str] = &["at", "draw_in", "close"];
pub(super) const LIMITS: &[&str] = &["bridge", "opening", "border"];
pub(super) const SAW: &[&str] = &["blade", "drill", "clean_up", "frame_depth", "hand", "stack"];
pub(super) const MEASURED: &[&str] = &["outline", "thickness"];
pub(super) const CONSTRUCTION: &[&str] = &["rim", "back", "bezel", "jump_rings", "dome", "solder"];
pub(super) const RIM: &[&str] = &["height", "thickness", "sits"];
pub(super) const BACK: &[&str] = &["thickness", "overhang"];
pub(super) const BEZEL: &[&str] = &["stone", "thickness", "height", "at", "ledge", "window"];
pub(super) const JUMP_RING: &[&str] = &["wire", "inside", "count"];
pub(super) const PAPER: &[&str] = &[
    "size",
    "copies",
    "mirror",
    "line",
    "shade",
    "marks",
    "transfer",
    "split",
    "name_line",
    "labels",
    "printer",
    "correction",
];
pub(super) const LABELS: &[&str] =
    &["across", "down", "width", "height", "left", "top", "gap_across", "gap_up"];
pub(super) const CORRECTION: &[&str] = &["across", "up"];
pub(super) const RATES: &[&str] = &["per_hour", "saw", "per_hole", "filing", "handling"];
pub(super) const WISH: &[&str] = &["openings", "hours", "weight"];

/// Keys that go with a shape, beside the shape's own sizes.
pub(super) const OUTLINE: &[&str] = &["shape", "border"];
pub(super) const KEEP_SOLID: &[&str] = &["name", "shape", "turn", "at"];
pub(super) const WINDOW: &[&str] = &["name", "shape", "turn", "at", "border"];

/// A shape a job may name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Outline {
    pub name: &'static str,
    /// For people.
    pub title: &'static str,
    /// The keys of its sizes.
    pub keys: &'static [&'static str],
    /// The shape is the whole piece and cannot stand inside one.
    pub alone: bool,
}

const fn outline(
    name: &'static str,
    title: &'static str,
    keys: &'static [&'static str],
    alone: bool,
) -> Outline {
    Outline { name, title, keys, alone }
}

/// Each shape with its sizes.
pub(super) const SHAPES: &[Outline] = &[
    outline("circle", "disc", &["diameter"], false),
    outline("ellipse", "oval", &["width", "height"], false),
    outline("rectangle", "rectangle, corners rounded if asked", &["width", "height", "corner_radius"], false),
    outline("polygon", "equal sides, a corner at the top", &["sides", "across", "corner_radius"], false),
    outline("teardrop", "drop, tip up", &["width", "height", "tip_radius"], false),
    outline("heart", "heart, tip down", &["width", "height", "tip_radius"], false),
    outline("marquise", "boat with two tips", &["width", "height", "tip_radius"], false),
    outline("cushion", "square with swelling sides", &["width", "height", "corner_radius"], false),
    outline("crescent", "moon", &["width", "height", "thick", "tip_radius"], false),
    outline("band", "ring or bangle, laid flat", &["ring_size", "inside", "width", "plain"], true),
    outline("cone", "cone, laid flat", &["top", "bottom", "height"], true),
    outline("drawn", "your own line, as SVG writes it", &["d"], false),
    outline("file", "a shape from an SVG file", &["file", "id"], false),
];

/// Every shape, for lists.
pub fn outlines() -> impl Iterator<Item = &'static Outline> {
    SHAPES.iter()
}

/// Where each key belongs, for one that stands in the wrong section.
const HOMES: &[(&str, &[&str])] = &[
    ("[sheet]", SHEET),
    ("[outline]", OUTLINE),
    ("[pattern]", PATTERN),
    ("[saw]", SAW),
    ("[construction]", CONSTRUCTION),
    ("[paper]", PAPER),
    ("[rates]", RATES),
    ("[wish]", WISH),
];

/// The section whose key this is, other than `here`.
pub(super) fn home(key: &str, here: &str) -> Option<&'static str> {
    HOMES.iter().find(|(section, keys)| *section != here && keys.contains(&key)).map(|(section, _)| *section)
}

/// American and other spellings taken for ours.
const SPELLINGS: &[(&str, &str)] = &[("center", "centre"), ("practiced", "practised"), ("fine", "fine-work")];

/// Our spelling of a word.
pub(super) fn ours(word: &str) -> &str {
    SPELLINGS.iter().find(|(theirs, _)| *theirs == word).map_or(word, |(_, ours)| ours)
}

/// The nearest known word, if one is near enough to be meant: up to a third of its letters wrong.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase().replace(['_', ' '], "-");
    // A longer word than any known one is not a slip of the finger, and comparing it would take long.
    if word.len() > 40 {
        return None;
    }
    known
        .into_iter()
        .map(|k| (strsim::damerau_levenshtein(&word, &k.to_lowercase().replace('_', "-")), k))
        .filter(|(wrong, k)| *wrong <= (k.chars().count() / 3).max(1))
        .min_by_key(|(wrong, _)| *wrong)
        .map(|(_, k)| k)
}

/// "did you mean ...?" or the whole list when nothing is near.
pub fn suggestion(word: &str, known: &[&str]) -> String {
    match nearest(word, known.iter().copied()) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => format!("use one of: {}", known.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_word_that_was_meant() {
        assert_eq!(nearest("thicknes", SHEET.iter().copied()), Some("thickness"));
        assert_eq!(nearest("keep-solid", TOP.iter().copied()), Some("keep_solid"));
        assert_eq!(nearest("zzz", TOP.iter().copied()), None);
        assert_eq!(home("border", "[pattern]"), Some("[outline]"));
    }
}
