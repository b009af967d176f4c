//! Every key of a job file in one table: what it may hold, what stands for it when it is left out, and why.
//!
//! Reading, refusals, `begin`, `list keys`, `docs/job-file.md` and edits all go by this table. A new key is a row here,
//! a field of the struct that its section becomes, and the code that uses it.

mod bench;
mod lookup;
mod paper;
mod piece;
mod rows;
mod shapes;
pub(super) mod usual;

pub use lookup::{field, read_by, section};
pub use rows::ELEMENTS;
pub use shapes::{outlines, shapes_for, ShapeSection, Stands};

use super::values::{Known, Value};
use super::{Rates, Stage};
use crate::units::limits::{Limit, CHANGES, HOLES, JUMP_RINGS, KEPT_PLACES, LUGS, ROWS, WINDOWS};
use crate::units::LengthUnit;

/// One key of a job file.
pub struct Field {
    /// As it is typed.
    pub key: &'static str,
    /// What it may hold.
    pub kind: ValueKind,
    /// A value as it may be typed.
    pub example: &'static str,
    /// What stands for it when it is left out.
    pub usual: Usual,
    /// What it is, in bench words.
    pub says: &'static str,
    /// The step that reads it first, where that is not its section's.
    pub read_by: Option<Stage>,
}

/// What a key may hold.
pub enum ValueKind {
    /// Any text.
    Text,
    /// true or false.
    YesNo,
    /// One of a few words.
    Word(&'static [&'static str]),
    /// A row of one of the lists that `sawpierce list` shows.
    Named(Listed),
    /// A length within limits.
    Length(Limit),
    /// A length, or "finest".
    Pitch(Limit),
    /// A size of a shape: limited by the section it stands in.
    Size,
    /// A diameter, or the number of a drill.
    Drill(Limit),
    /// A number within limits.
    Number(Limit),
    /// A whole number within limits.
    Whole(Limit),
    /// Two whole numbers.
    Wholes(Limit),
    /// To the right and up from the middle of the piece.
    Place(Limit),
    /// Two lengths: width and height.
    Two(Limit),
    /// Two lengths: along a row and across it.
    AlongAcross(Limit),
    /// "outline", the name of a window, or a circle { diameter, at }.
    Along(Limit),
    /// The shape of a row's openings: one of a few words, or a pattern that repeats.
    Element,
    /// A paper by name, or its two sides.
    Paper(Limit),
    /// A stone: across a round one, [width, height] of an oval, or { shape, width, height }.
    Stone(Limit),
    /// Readings taken at the bench: across a circle, size over all of every other shape.
    Reading(Limit),
}

/// Shapes of stones by their bench names, each with the outline it is.
pub(super) const STONES: [(&str, &str); 6] = [
    ("round", "circle"),
    ("oval", "ellipse"),
    ("cushion", "cushion"),
    ("square", "rectangle"),
    ("drop", "teardrop"),
    ("marquise", "marquise"),
];

/// A list whose names a key may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Listed {
    /// `sawpierce list metals`.
    Metals,
    /// `sawpierce list blades`.
    Blades,
    /// `sawpierce list patterns`.
    Patterns,
    /// `sawpierce list outlines`.
    Outlines,
    /// `sawpierce list ring-sizes`.
    RingSizes,
}

impl Listed {
    /// As `sawpierce list` calls it.
    pub fn name(self) -> &'static str {
        match self {
            Listed::Metals => "metals",
            Listed::Blades => "blades",
            Listed::Patterns => "patterns",
            Listed::Outlines => "outlines",
            Listed::RingSizes => "ring-sizes",
        }
    }
}

/// What stands for a key that is left out, and why.
pub enum Usual {
    /// The job cannot do without it.
    Needed,
    /// Nothing does: what that means.
    Nothing(&'static str),
    /// This, and why.
    Is(Value, &'static str),
    /// Worked out from the rest of the job.
    By(fn(&Known) -> Option<Value>, &'static str),
    /// Worked out from the rest of the job, by skill these lengths, mm: a first piece, practised, fine work; then why.
    BySkill(fn(&Known) -> Option<Value>, [f64; 3], &'static str),
    /// Learnt from minutes really taken, else nothing.
    Learnt(fn(&Rates) -> Option<f64>, &'static str),
}

/// A section of a job file, with its keys.
pub struct Section {
    /// "" for the top of the file, "saw", "construction.rim".
    pub path: &'static str,
    /// It may stand several times.
    pub many: bool,
    /// What is missing and what to add, for a section the job cannot do without.
    pub needed: Option<&'static str>,
    /// It holds a shape, whose sizes are limited so.
    pub shape: Option<Limit>,
    /// What it is, in bench words.
    pub says: &'static str,
    /// The step that reads its keys first.
    pub read_by: Stage,
    /// Its keys.
    pub fields: &'static [Field],
}

impl Section {
    /// Its last name: "rim" of "construction.rim".
    pub fn key(&self) -> &'static str {
        self.path.rsplit('.').next().unwrap_or(self.path)
    }

    /// The section it stands in: "construction" for "construction.rim", "" for those of the file.
    pub fn parent(&self) -> &'static str {
        self.path.rsplit_once('.').map_or("", |(parent, _)| parent)
    }

    /// How often one of several may stand.
    pub fn most(&self) -> &'static Limit {
        match self.key() {
            "keep_solid" => &KEPT_PLACES,
            "window" => &WINDOWS,
            "hole" => &HOLES,
            "lug" => &LUGS,
            "change" => &CHANGES,
            "jump_rings" => &JUMP_RINGS,
            _ => &ROWS,
        }
    }

    /// As it is called in messages and lists.
    pub fn title(&self) -> String {
        match (self.path, self.many) {
            ("", _) => "a job file".into(),
            (path, _) if path.contains('.') => self.key().into(),
            (path, true) => format!("[[{path}]]"),
            (path, false) => format!("[{path}]"),
        }
    }

    /// The keys of the whole section, of every shape too where it holds one.
    pub fn all_fields(&self) -> impl Iterator<Item = &'static Field> {
        let sizes: &'static [Field] = if self.shape.is_some() { shapes::SIZES } else { &[] };
        self.fields.iter().chain(sizes)
    }

    /// One of its keys.
    pub fn field(&self, key: &str) -> Option<&'static Field> {
        self.all_fields().find(|f| f.key == key)
    }
}

/// Every section in the order of a job file.
pub const TABLE: [&[Section]; 4] = [piece::SECTIONS, rows::SECTIONS, bench::SECTIONS, paper::SECTIONS];

/// Every section in the order of a job file.
pub fn sections() -> impl Iterator<Item = &'static Section> {
    TABLE.into_iter().flatten()
}

/// Sections whose keys are named like those of others: what is typed elsewhere is hardly meant for them.
const ECHOES: [&str; 2] = ["limits", "measured"];

/// Where a key belongs that stands in the wrong section, `here`.
pub(super) fn home(key: &str, here: &Section) -> Option<String> {
    if !here.path.is_empty() && section("").is_some_and(|top| top.field(key).is_some()) {
        return Some("it belongs at the top of the file, above the first section".into());
    }
    let single = |s: &&Section| !s.many && !s.path.is_empty() && !s.path.contains('.');
    let other = |s: &&Section| s.path != here.path && !ECHOES.contains(&s.path);
    let found = sections().filter(single).filter(other).find(|s| {
        s.fields.iter().any(|f| f.key == key)
            || sections().any(|inner| inner.parent() == s.path && inner.key() == key)
    })?;
    Some(format!("it belongs in {}", found.title()))
}

/// A row as lists show it: path, what may be typed, what stands for it when it is left out, what it is.
pub struct Listing {
    /// Section and key.
    pub path: String,
    /// What it may hold, in words.
    pub may_be: String,
    /// What stands for it, in words.
    pub left_out: String,
    /// What it is, in bench words.
    pub says: &'static str,
}

/// Every key of a job file in order. The sizes of shapes are listed once, after the outline's own keys.
pub fn listings() -> impl Iterator<Item = Listing> {
    sections().flat_map(|s| {
        let sizes: &'static [Field] = if s.path == "outline" { shapes::SIZES } else { &[] };
        s.fields.iter().chain(sizes).map(|f| Listing {
            path: match (s.path, s.many) {
                ("", _) => f.key.to_string(),
                (path, true) => format!("{path}[].{}", f.key),
                (path, false) => format!("{path}.{}", f.key),
            },
            may_be: f.kind.words(LengthUnit::Mm),
            left_out: f.usual.words(LengthUnit::Mm),
            says: f.says,
        })
    })
}

/// `docs/job-file.md`: this table as a page to read.
pub fn page() -> String {
    let mut page = String::from(
        "# The job file\n\n<!-- Made from the key table in src/job/fields; a test compares. To renew it:\n     \
         cargo run -- list keys --page > docs/job-file.md -->\n\n\
         A job is a TOML file: `key = value` lines under `[section]` heads, `# comments` anywhere. Plain numbers are in \
         `units`; a value in quotes may carry its own: `\"0.8 mm\"`, `\"20 ga\"` (B&S), `\"1/32 in\"`, `\"1 3/8 in\"`, \
         `\"0,8\"`. Angles are in degrees, anticlockwise. Places are `[right, up]` from the middle of the piece.\n\n\
         Needed are `[sheet]` with a metal, `[outline]` with a shape and its size, and `[pattern]` with a name or a \
         file, unless a `[[row]]` or a `[middle]` is all there is to open. All else may be left out.\n",
    );
    for s in sections() {
        let title = match s.path {
            "" => "Top of the file".to_string(),
            path if path.contains('.') => format!("`{}` in `[{}]`", s.key(), s.parent()),
            _ => format!("`{}`", s.title()),
        };
        page += &format!("\n## {title}\n\n{}", sentence(s.says));
        page += if s.many { " It may stand several times.\n" } else { "\n" };
        if !s.fields.is_empty() {
            page += &rows(s.fields);
        }
        if s.path == "outline" {
            page += "\n### Shapes and their sizes\n\nA `[[window]]`, a `[[keep_solid]]` and the `[middle]` may have the same \
                     shapes, bands and cones excepted; rosettes and stars are for the middle alone.\n\n| shape | what it is | sizes |\n|---|---|---|\n";
            for shape in shapes::SHAPES {
                let keys: Vec<String> = shape.keys.iter().map(|k| format!("`{k}`")).collect();
                page += &format!("| `{}` | {} | {} |\n", shape.name, shape.title, keys.join(", "));
            }
            page += &rows(shapes::SIZES);
        } else if s.shape.is_some() {
            page += "\nIts sizes are those of [its shape](#shapes-and-their-sizes).\n";
        }
    }
    page
}

fn rows(fields: &[Field]) -> String {
    let mut rows = String::from("\n| key | what it is | may be | left out | like |\n|---|---|---|---|---|\n");
    let cell = |text: &str| text.replace('|', "\\|");
    for f in fields {
        rows += &format!(
            "| `{}` | {} | {} | {} | `{} = {}` |\n",
            f.key,
            cell(f.says),
            cell(&f.kind.words(LengthUnit::Mm)),
            cell(&f.usual.words(LengthUnit::Mm)),
            f.key,
            cell(f.example)
        );
    }
    rows
}

fn sentence(says: &str) -> String {
    let mut letters = says.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

impl ValueKind {
    /// What may be typed, for lists, in the units of a job.
    pub fn words(&self, units: LengthUnit) -> String {
        let of = |what: &str, l: &Limit| format!("{what}, {}", l.range(units));
        match self {
            ValueKind::Text => "text".into(),
            ValueKind::YesNo => "true or false".into(),
            ValueKind::Word(words) => words.iter().map(|w| format!("\"{w}\"")).collect::<Vec<_>>().join(", "),
            ValueKind::Named(list) => format!("a name of `sawpierce list {}`", list.name()),
            ValueKind::Length(l) => of("length", l),
            ValueKind::Pitch(l) => {
                format!("{}; or \"finest\": the smallest that can be pierced", of("length", l))
            }
            ValueKind::Size => "length".into(),
            ValueKind::Drill(l) => format!("{}; or a name of `sawpierce list drills`", of("length", l)),
            ValueKind::Number(l) => of("number", l),
            ValueKind::Whole(l) => of("whole number", l),
            ValueKind::Wholes(l) => of("two whole numbers", l),
            ValueKind::Place(_) => "[right, up] from the middle of the piece".into(),
            ValueKind::Two(l) => of("[width, height]", l),
            ValueKind::AlongAcross(l) => of("[along, across]", l),
            ValueKind::Along(_) => {
                "\"outline\"; the name of a window; or a circle through the middles of the openings, \
                 { diameter = 20, at = [0, 0] }"
                    .into()
            }
            ValueKind::Element => format!(
                "{}; or a name of `sawpierce list patterns` that repeats, whose first shape is taken",
                rows::ELEMENTS.map(|word| format!("\"{word}\"")).join(", ")
            ),
            ValueKind::Paper(l) => {
                format!("a name of `sawpierce list papers`; or {}", of("[width, height]", l))
            }
            ValueKind::Stone(l) => format!(
                "{}; [width, height] of an oval; or {{ shape = \"cushion\", width = 8, height = 10 }}, \
                 where shape is one of {}",
                of("across a round one", l),
                STONES.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", ")
            ),
            ValueKind::Reading(_) => {
                "a circle: its diameter, or several readings in brackets; else { width = ..., height = ... }"
                    .into()
            }
        }
    }
}

impl Usual {
    /// What stands for it when it is left out, for lists, in the units of a job.
    pub fn words(&self, units: LengthUnit) -> String {
        match self {
            Usual::Needed => "needed".into(),
            Usual::Nothing(why) | Usual::By(_, why) => (*why).into(),
            Usual::Learnt(_, why) => (*why).into(),
            Usual::BySkill(_, [first, practised, fine], why) => {
                let mm = |mm: &f64| units.short(*mm, 2);
                format!("by skill {}, {} or {} {}{why}", mm(first), mm(practised), mm(fine), units.sign())
            }
            Usual::Is(value, "") => value.in_units(units),
            Usual::Is(value, why) => format!("{}: {why}", value.in_units(units)),
        }
    }
}

/// A row.
const fn field_row(
    key: &'static str,
    kind: ValueKind,
    example: &'static str,
    usual: Usual,
    says: &'static str,
) -> Field {
    Field { key, kind, example, usual, says, read_by: None }
}

/// A row that another step reads first than its section's keys.
const fn row_read_by(
    stage: Stage,
    key: &'static str,
    kind: ValueKind,
    example: &'static str,
    usual: Usual,
    says: &'static str,
) -> Field {
    Field { key, kind, example, usual, says, read_by: Some(stage) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_path_stands_once_and_every_row_explains_itself() {
        let mut seen = BTreeSet::new();
        for section in sections() {
            assert!(seen.insert(section.path.to_string()), "{} twice", section.path);
            assert!(!section.says.is_empty(), "{}", section.path);
            for f in section.all_fields() {
                assert!(
                    seen.insert(format!("{}.{}", section.path, f.key)),
                    "{}.{} twice",
                    section.path,
                    f.key
                );
                assert!(!f.says.is_empty() && !f.example.is_empty(), "{}.{}", section.path, f.key);
            }
        }
        assert!(seen.len() > 100, "only {} rows", seen.len());
    }

    #[test]
    fn a_key_in_the_wrong_section_is_sent_home() {
        let home = |key, here| section(here).and_then(|s| home(key, s));
        assert_eq!(home("border", "pattern").as_deref(), Some("it belongs in [outline]"));
        assert_eq!(home("bridge", "saw").as_deref(), Some("it belongs in [pattern]"));
        assert_eq!(home("bezel", "pattern").as_deref(), Some("it belongs in [construction]"));
        assert!(home("pieces", "sheet").is_some_and(|s| s.contains("top of the file")));
    }
}
