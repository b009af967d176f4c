//! Sections put into a job and taken out of it: what a new one needs is typed for it, small enough to be dragged.

use super::question::Question;
use crate::error::Error;
use crate::job::fields::{self, Field, Listed, Section, Usual, ValueKind};
use crate::job::{Edit, Job, LengthUnit, Value};

/// A new place is this share of the piece's shorter size, mm at least: large enough to be taken hold of, small enough for the
/// openwork to flow round it.
const SHARE: f64 = 0.2;
const LEAST: f64 = 2.0;

fn section_of(q: &Question) -> Result<&'static Section, Error> {
    let name = q.needed("section")?;
    let known = fields::section(name).filter(|s| !s.path.is_empty());
    known.ok_or_else(|| Error::job(format!("there is no section \"{name}\""), "load the page anew"))
}

/// One more section of a kind, at a place if one is given.
pub(super) fn added(job: &Job, q: &Question) -> Result<Edit, Error> {
    let section = section_of(q)?;
    let path = match section.many {
        true => format!("{}[{}]", section.path, count(job, section.path)),
        false => section.path.to_string(),
    };
    Ok(Edit::set(path, Value::Row(row(job, section, q.at()))))
}

/// A section taken out.
pub(super) fn removed(q: &Question) -> Result<Edit, Error> {
    let section = section_of(q)?;
    Ok(match (section.many, q.count("index")) {
        (true, Some(i)) => Edit::clear(format!("{}[{i}]", section.path)),
        (true, None) => return Err(Error::job("which one is to go is not said", "choose one")),
        (false, _) => Edit::clear(section.path),
    })
}

/// How many sections of a list a job has.
pub(super) fn count(job: &Job, path: &str) -> usize {
    let index = |typed: &str| -> Option<usize> {
        let rest = typed.strip_prefix(path)?.strip_prefix('[')?;
        rest.split_once(']')?.0.parse().ok()
    };
    job.source.values.typed().filter_map(|(path, _)| index(path)).max().map_or(0, |last| last + 1)
}

/// What a new section holds.
fn row(job: &Job, section: &Section, at: Option<[f64; 2]>) -> Vec<(&'static str, Value)> {
    let (w, h) = job.outline.shape.size().map_or((30.0, 30.0), |(w, h)| (w.get(), h.get()));
    let size = ((w.min(h) * SHARE * 2.0).round() / 2.0).max(LEAST);
    let mut row = Vec::new();
    for f in section.fields {
        let place = at.map(|[x, y]| Value::List(vec![hundredths(x), hundredths(y)]));
        match (&f.usual, &f.kind, f.key) {
            (Usual::Needed, ValueKind::Named(Listed::Outlines), _) => {
                row.push((f.key, Value::word("circle")));
                row.push(("diameter", Value::Mm(size)));
            }
            (Usual::Needed, ValueKind::Place(_), _) => {
                row.push((f.key, place.unwrap_or(Value::List(vec![0.0, 0.0]))));
            }
            (_, ValueKind::Place(_), _) => row.extend(place.map(|place| (f.key, place))),
            (_, _, "at_angle") => {
                let angle = at.map(|[x, y]| libm::atan2(y, x).to_degrees().round());
                row.extend(angle.map(|angle| (f.key, Value::Number(angle))));
            }
            (_, _, "across" | "down") if section.path == "paper.labels" => {
                row.push((f.key, Value::Number(labels_along(job, section, f))));
            }
            // A change has to change something: it closes its opening.
            (_, _, "close") if section.path == "change" => row.push((f.key, Value::Yes(true))),
            (Usual::Needed, kind, _) => row.push((f.key, example(job, kind, f.example))),
            _ => {}
        }
    }
    // A section that needs nothing still has to stand in the file.
    if let (true, Some(first)) = (row.is_empty(), section.fields.first()) {
        row.push((first.key, example(job, &first.kind, first.example)));
    }
    row
}

/// As many labels of the table's own size as the paper has room for along this way, and no more than its example.
fn labels_along(job: &Job, section: &Section, way: &Field) -> f64 {
    let paper = &job.paper.size;
    let (key, room) = if way.key == "across" { ("width", paper.width) } else { ("height", paper.height) };
    let side = section.fields.iter().find(|f| f.key == key);
    let number = |f: &Field| f.example.parse::<f64>().unwrap_or(1.0);
    (room / side.map_or(room, number)).floor().clamp(1.0, number(way))
}

fn hundredths(mm: f64) -> f64 {
    (mm * 100.0).round() / 100.0
}

/// The example of the key table, which is in mm.
fn example(job: &Job, kind: &ValueKind, text: &str) -> Value {
    let length =
        matches!(kind, ValueKind::Length(_) | ValueKind::Size | ValueKind::Drill(_) | ValueKind::Stone(_));
    match (length && job.units == LengthUnit::Inch, text.parse::<f64>()) {
        (true, Ok(mm)) => Value::Mm(mm),
        _ => Value::Raw(text.to_string()),
    }
}
