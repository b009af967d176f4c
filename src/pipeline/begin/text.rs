//! The text of a new job: what is typed, and beside each line what it is; keys worth knowing stand as comments.

use super::tried::Suited;
use crate::job::fields::{self, Field, ValueKind};
use crate::job::{Job, LengthUnit, Shape, Value};
use crate::units::short;

/// Where the comment behind a line begins, in letters.
const COMMENT_AT: usize = 34;

/// Sections that a new job shows, with the keys it shows as comments where they are not typed.
const SHOWN: [(&str, &[&str]); 10] = [
    ("", &["pieces"]),
    ("sheet", &["temper"]),
    ("outline", &["border"]),
    ("pattern", &["bridge", "bridge_to", "along", "centre"]),
    ("keep_solid", &["name", "shape", "diameter", "at"]),
    ("hole", &["name", "diameter", "at"]),
    ("saw", &["blade", "drill"]),
    ("measured", &["outline"]),
    ("wish", &["openings"]),
    ("paper", &["size", "copies", "marks", "transfer", "split"]),
];

/// Whether a new job shows a key though nothing was typed: those worth knowing first.
pub fn is_shown(section: &str, key: &str) -> bool {
    SHOWN.iter().any(|(path, keys)| *path == section && keys.contains(&key))
}

/// The least text that says what is typed.
pub(super) fn bare(typed: &[(String, String)]) -> String {
    let mut text = String::new();
    let mut section = "";
    for (path, value) in typed {
        let (head, key) = path.rsplit_once('.').unwrap_or(("", path));
        if head != section {
            text += &format!("[{head}]\n");
            section = head;
        }
        text += &format!("{key} = {value}\n");
    }
    text
}

/// The whole text, with comments.
pub(super) fn commented(suited: &Suited) -> String {
    let job = &suited.job;
    let list = match job.units {
        LengthUnit::Mm => "sawpierce list keys",
        LengthUnit::Inch => "sawpierce list keys --units in",
    };
    let mut text = format!(
        "# A job for Sawpierce. Lines that begin with # are comments; remove the # to use a line.\n\
         # A plain number is in the units below; a value in quotes may carry its own unit: \"0.8 mm\", \"20 ga\", \"1/32 in\".\n\
         # Every key there is: `{list}`.\n\n",
    );
    for section in fields::sections() {
        let shown = SHOWN.iter().find(|(path, _)| *path == section.path).map_or(&[][..], |(_, keys)| keys);
        let path = if section.many { format!("{}[0]", section.path) } else { section.path.to_string() };
        let at = |f: &Field| if path.is_empty() { f.key.to_string() } else { format!("{path}.{}", f.key) };
        let typed = section.all_fields().any(|f| job.source.values.is_typed(&at(f)));
        if !typed && shown.is_empty() {
            continue;
        }
        let mark = if typed { "" } else { "# " };
        if !path.is_empty() {
            text += &line(&format!("{mark}{}", section.title()), section.says);
        }
        for f in section.all_fields() {
            let value = typed_text(job, &at(f));
            match value {
                Some(value) => text += &line(&format!("{} = {value}", f.key), &says(suited, section.path, f)),
                None if shown.contains(&f.key) => {
                    let example = example(suited, &at(f), f);
                    text += &line(&format!("# {} = {example}", f.key), &says(suited, section.path, f));
                }
                None => {}
            }
        }
        text.push('\n');
    }
    text.truncate(text.trim_end().len());
    text.push('\n');
    text
}

fn line(left: &str, says: &str) -> String {
    if left.chars().count() + 2 + says.chars().count() > 150 {
        return format!("# {says}\n{left}\n");
    }
    format!("{left:<COMMENT_AT$}# {says}\n")
}

/// What stands behind a line.
fn says(suited: &Suited, section: &str, f: &Field) -> String {
    match (section, f.key, &f.kind) {
        ("pattern", "pitch", _) => format!("one repeat; {}", suited.says()),
        ("pattern", "at_border", _) => format!("{}: this one looks best here", words(f)),
        (_, _, ValueKind::Word(_)) => format!("{}; {}", words(f), f.says),
        (_, _, ValueKind::Named(list)) => format!("{}; see `sawpierce list {}`", f.says, list.name()),
        _ => f.says.to_string(),
    }
}

fn words(f: &Field) -> String {
    match &f.kind {
        ValueKind::Word([first @ .., last]) => format!("{} or {last}", first.join(", ")),
        _ => String::new(),
    }
}

/// A typed value as it stands in the job's text.
fn typed_text(job: &Job, path: &str) -> Option<String> {
    job.source.typed_text(path)
}

/// What may be typed for a key that is left out: what stands for it, else a value that works on this piece.
fn example(suited: &Suited, path: &str, f: &Field) -> String {
    let job = &suited.job;
    if path == "wish.openings" {
        return (suited.work.piece.openings.len() * 3).div_ceil(2).to_string();
    }
    if path == "measured.outline" {
        let size = job.outline.shape.size();
        let off = |mm: f64| Value::Mm((mm - 0.4).max(0.9 * mm)).in_units(job.units);
        return match (&job.outline.shape, size) {
            (Shape::Circle { diameter }, _) => off(diameter.get()),
            (_, Some((w, h))) => {
                format!("{{ width = {}, height = {} }}", off(w.get()), off(h.get()))
            }
            _ => Value::Size(40.0, 30.0).in_units(job.units),
        };
    }
    if path == "pattern.bridge_to" {
        return Value::Mm((job.pattern.bridge.get() * 13.0).ceil() / 10.0).in_units(job.units);
    }
    if f.key == "at" {
        let high = job.outline.shape.size().map_or(10.0, |(_, h)| h.get());
        return Value::List(vec![0.0, (high / 4.0 * 10.0).floor() / 10.0]).in_units(job.units);
    }
    match (job.source.values.get(path), &f.kind) {
        // Drills are sold by their millimetres, wherever.
        (Some((Value::Mm(mm), _)), ValueKind::Drill(_)) if job.units == LengthUnit::Inch => {
            format!("\"{} mm\"", short(mm, 3))
        }
        (Some((value, _)), _) => value.in_units(job.units),
        (None, ValueKind::Length(_) | ValueKind::Size) => match f.example.parse::<f64>() {
            Ok(mm) => Value::Mm(mm).in_units(job.units),
            Err(_) => f.example.to_string(),
        },
        (None, _) => f.example.to_string(),
    }
}
