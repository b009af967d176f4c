//! The form: every key of a job as a field, made from the one table of keys.

use super::new_row::count;
use crate::catalogue;
use crate::job::fields::{self, Field, Listed, Section, Usual, ValueKind};
use crate::job::{Job, LengthUnit, Origin, PatternSource, Value as Typed};
use crate::pipeline::{begin, sampler};
use crate::trade;
use crate::units::limits::Limit;
use crate::units::{short, MM_PER_INCH};
use serde_json::{json, Value};

/// Groups in the order of the bench: name, title, and whether it is open at first.
const GROUPS: [(&str, &str, bool); 7] = [
    ("piece", "The piece", true),
    ("metal", "The metal", true),
    ("pattern", "The pattern", true),
    ("solid", "Solid places and stones", false),
    ("saw", "Saw, drill and hand", false),
    ("building", "Building up", false),
    ("paper", "Paper", false),
];

/// The group a section of the job file stands in.
fn group_of(section: &Section) -> &'static str {
    match section.path {
        "" | "outline" | "measured" => "piece",
        "sheet" => "metal",
        "pattern" | "row" | "middle" | "change" | "wish" => "pattern",
        "keep_solid" | "window" | "hole" | "lug" | "construction.bezel" => "solid",
        "saw" | "limits" | "rates" => "saw",
        path if path.starts_with("paper") => "paper",
        _ => "building",
    }
}

/// Keys of the top of the file that stand elsewhere than with the piece.
fn group_of_field(section: &Section, f: &Field) -> &'static str {
    match (section.path, f.key) {
        ("", "skill") => "saw",
        _ => group_of(section),
    }
}

/// `groups`: [{`name`, `title`, `open`, `sections`, `fields`}]. `sections` are those that may be added or taken out:
/// {`section`, `title`, `says`, `many`, `count`}. A field is {`path`, `section`, `index`, `key`, `label`, `kind`, `unit`,
/// `least`, `most`, `choices`, `value` (as shown), `typed` (as in the text, or null), `origin`, `reason`, `doc`, `needed`,
/// `advanced`}.
pub(super) fn groups(job: &Job) -> Value {
    GROUPS
        .iter()
        .map(|(name, title, open)| {
            let mut parts = Vec::new();
            let mut all = Vec::new();
            for section in fields::sections() {
                let optional = !section.path.is_empty() && (section.many || section.path.contains('.') || is_optional(section));
                if group_of(section) == *name && optional {
                    parts.push(json!({
                        "section": section.path,
                        "title": title_of(section),
                        "says": section.says,
                        "many": section.many,
                        "count": if section.many { count(job, section.path) } else { usize::from(is_there(job, section)) },
                    }));
                }
                let rows = if section.many { count(job, section.path) } else { 1 };
                for i in 0..rows {
                    let head = match section.many {
                        true => format!("{}[{i}]", section.path),
                        false => section.path.to_string(),
                    };
                    let here = section.all_fields().filter(|f| group_of_field(section, f) == *name);
                    let fields = here.filter(|f| applies(job, section, &head, f));
                    all.extend(fields.map(|f| field(job, section, &head, section.many.then_some(i), f)));
                }
            }
            if *name == "piece" {
                // Its shape and size come before how many of it are made and in which units.
                all.sort_by_key(|f| f["section"] == "");
            }
            json!({ "name": name, "title": title, "open": open, "sections": parts, "fields": all })
        })
        .collect()
}

/// A single section that a job need not have and that needs something once it is there.
fn is_optional(section: &Section) -> bool {
    section.needed.is_none() && section.fields.iter().any(|f| matches!(f.usual, Usual::Needed))
}

fn is_there(job: &Job, section: &Section) -> bool {
    let head = format!("{}.", section.path);
    job.source.values.typed().any(|(path, _)| path.starts_with(&head))
}

fn title_of(section: &Section) -> String {
    capital(&section.key().replace('_', " "))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

fn path_of(head: &str, f: &Field) -> String {
    if head.is_empty() {
        f.key.to_string()
    } else {
        format!("{head}.{}", f.key)
    }
}

/// Whether a key has a meaning as the job stands: the sizes of the shape that is chosen, the settings of the pattern that is,
/// the keys of a section that is there. What is typed is always shown.
fn applies(job: &Job, section: &Section, head: &str, f: &Field) -> bool {
    let path = path_of(head, f);
    let values = &job.source.values;
    if values.is_typed(&path) {
        return true;
    }
    if !section.many && section.path.contains('.') && section.path != "paper.correction" {
        return is_there(job, section);
    }
    if is_optional(section) && !section.many && !is_there(job, section) {
        return false;
    }
    if section.shape.is_some() && !section.fields.iter().any(|own| own.key == f.key) {
        let shape = match values.get(&format!("{head}.shape")) {
            Some((Typed::Word(word), _)) => word.to_string(),
            _ => return false,
        };
        let other = match f.key {
            "inside" => values.is_typed(&format!("{head}.ring_size")),
            "ring_size" => values.is_typed(&format!("{head}.inside")),
            _ => false,
        };
        return !other && fields::shapes_for(section).any(|o| o.name == shape && o.keys.contains(&f.key));
    }
    if section.path != "pattern" {
        return true;
    }
    match (f.key, &job.pattern.source) {
        ("fold" | "sides" | "passes" | "grade" | "variation", PatternSource::Grown(name)) => {
            catalogue::grown_takes(name).contains(&f.key)
        }
        ("fold" | "sides" | "passes" | "grade" | "variation", PatternSource::Repeat(_)) => false,
        ("ray_angle", PatternSource::Grown(_)) => false,
        ("along", _) => job.pattern.bridge_to.is_some() || job.pattern.grown.grade != 0.0,
        ("file", _) => false,
        _ => true,
    }
}

fn field(job: &Job, section: &Section, head: &str, index: Option<usize>, f: &Field) -> Value {
    let path = path_of(head, f);
    let typed = job.source.typed_text(&path);
    let value = job.source.values.get(&path);
    let origin = value.as_ref().map_or(Origin::Absent, |(_, origin)| *origin);
    let shown = match (&typed, value) {
        (Some(text), _) => bare(text),
        (None, Some((value, _))) => shown(job, &value),
        (None, None) => String::new(),
    };
    let (kind, unit, limit) = kind_of(job, section, &f.kind);
    let one = if unit == "in" { MM_PER_INCH } else { 1.0 };
    let bound = |mm: f64| (mm / one * 1e4).round() / 1e4;
    let needed = matches!(f.usual, Usual::Needed);
    json!({
        "path": path,
        "section": section.path,
        "index": index,
        "key": f.key,
        "label": capital(&f.key.replace('_', " ")),
        "kind": kind,
        "unit": unit,
        "least": limit.map(|l| bound(l.least)),
        "most": limit.map(|l| bound(l.most)),
        "choices": choices(section, &f.kind),
        "value": shown,
        "typed": typed.as_deref().map(bare),
        "origin": origin,
        "reason": match f.usual { Usual::Needed => String::new(), _ => f.usual.words() },
        "doc": f.says,
        "example": bare(f.example),
        "needed": needed,
        "advanced": !needed && typed.is_none() && !begin::is_shown(section.path, f.key),
    })
}

/// Without the quotes of a text.
fn bare(typed: &str) -> String {
    let inner =
        typed.strip_prefix('"').and_then(|t| t.strip_suffix('"')).filter(|t| !t.contains(['"', '\\']));
    inner.unwrap_or(typed).to_string()
}

/// A value that was not typed, as it would be in the job's units.
fn shown(job: &Job, value: &Typed) -> String {
    let length = |mm: f64| match job.units {
        LengthUnit::Mm => short(mm, 3),
        LengthUnit::Inch => short(mm / MM_PER_INCH, 4),
    };
    match value {
        Typed::Mm(mm) => length(*mm),
        Typed::Word(word) => word.to_string(),
        Typed::List(list) => {
            format!("[{}]", list.iter().map(|mm| length(*mm)).collect::<Vec<_>>().join(", "))
        }
        other => other.to_string(),
    }
}

/// Its kind for the page, the unit of what is typed plain, and its limits.
fn kind_of(job: &Job, section: &Section, kind: &ValueKind) -> (&'static str, &'static str, Option<Limit>) {
    let unit = if job.units == LengthUnit::Inch { "in" } else { "mm" };
    match kind {
        ValueKind::Text => ("text", "", None),
        ValueKind::YesNo => ("yes-no", "", None),
        ValueKind::Word(_) | ValueKind::Named(_) | ValueKind::Element => ("choice", "", None),
        ValueKind::Along(_) => ("text", "", None),
        ValueKind::Length(l) | ValueKind::Pitch(l) => ("length", unit, Some(*l)),
        ValueKind::Size => ("length", unit, section.shape),
        ValueKind::Drill(l) => ("drill", unit, Some(*l)),
        ValueKind::Number(l) => ("number", l.unit, Some(*l)),
        ValueKind::Whole(l) => ("whole", l.unit, Some(*l)),
        ValueKind::Wholes(l) => ("wholes", "", Some(*l)),
        ValueKind::Place(_) => ("place", unit, None),
        ValueKind::Two(_) | ValueKind::AlongAcross(_) => ("size", unit, None),
        ValueKind::Paper(_) => ("paper", unit, None),
        ValueKind::Stone(_) => ("stone", unit, None),
        ValueKind::Reading(_) => ("reading", unit, None),
    }
}

fn choices(section: &Section, kind: &ValueKind) -> Vec<Value> {
    let one = |name: &str, title: &str| json!({ "value": name, "title": title });
    match kind {
        ValueKind::Word(words) => words.iter().map(|w| one(w, &w.replace('-', " "))).collect(),
        ValueKind::Named(Listed::Metals) => trade::metals().iter().map(|m| one(&m.name, &m.title)).collect(),
        ValueKind::Named(Listed::Blades) => trade::blades().iter().map(|b| one(&b.name, &b.title)).collect(),
        ValueKind::Named(Listed::Patterns) => {
            sampler::choices().iter().map(|c| one(&c.name, &c.title)).collect()
        }
        ValueKind::Named(Listed::Outlines) => {
            fields::shapes_for(section).map(|o| one(o.name, o.title)).collect()
        }
        ValueKind::Element => {
            let drawn = fields::ELEMENTS.iter().map(|name| one(name, name));
            drawn.chain(catalogue::all().iter().map(|p| one(&p.name, &p.title))).collect()
        }
        ValueKind::Named(Listed::RingSizes) => {
            trade::ring_sizes().iter().map(|r| one(&r.name, &r.title)).collect()
        }
        ValueKind::Paper(_) => trade::papers().iter().map(|p| one(&p.name, &p.title)).collect(),
        _ => Vec::new(),
    }
}
