//! A question read, and edits from JSON values and back.

use super::Answer;
use crate::error::Error;
use crate::job::fields::{self, Field, ValueKind};
use crate::job::{Edit, Job, NamedFiles, Value as Typed};
use crate::pipeline::begin::Answers;
use base64::prelude::{Engine, BASE64_STANDARD};
use serde_json::{json, Value};

/// One question with what came with it.
pub(super) struct Question(Answer);

/// What the answer to a change should hold beside state.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    /// The first fit will do.
    pub quick: bool,
    pub drawing: bool,
    pub numbers: bool,
    pub form: bool,
    pub findings: bool,
}

fn refuse(wrong: impl Into<String>) -> Error {
    Error::job(wrong, "load the page anew")
}

impl Question {
    pub(super) fn read(text: &str) -> Result<Self, Error> {
        match serde_json::from_str(text) {
            Ok(Value::Object(body)) => Ok(Self(body)),
            _ => Err(refuse("the page asked something that cannot be read")),
        }
    }

    pub(super) fn ask(&self) -> &str {
        self.text("ask").unwrap_or("")
    }

    pub(super) fn text(&self, key: &str) -> Option<&str> {
        self.0.get(key)?.as_str()
    }

    pub(super) fn needed(&self, key: &str) -> Result<&str, Error> {
        self.text(key).ok_or_else(|| refuse(format!("the page asked without {key}")))
    }

    pub(super) fn number(&self, key: &str) -> Option<f64> {
        self.0.get(key)?.as_f64().filter(|v| v.is_finite())
    }

    pub(super) fn count(&self, key: &str) -> Option<usize> {
        self.0.get(key)?.as_u64().and_then(|n| usize::try_from(n).ok())
    }

    pub(super) fn flag(&self, key: &str) -> bool {
        self.0.get(key).and_then(Value::as_bool).unwrap_or(false)
    }

    /// A place, mm.
    pub(super) fn at(&self) -> Option<[f64; 2]> {
        match self.0.get("at")?.as_array()?.as_slice() {
            [x, y] => Some([x.as_f64()?, y.as_f64()?]),
            _ => None,
        }
    }

    /// What the asker calls itself.
    pub(super) fn window(&self) -> &str {
        self.text("window").unwrap_or("")
    }

    /// The last turn the asker knows.
    pub(super) fn turn(&self) -> Option<u64> {
        self.0.get("turn")?.as_u64()
    }

    pub(super) fn gesture(&self) -> Option<String> {
        self.text("gesture").filter(|name| !name.is_empty()).map(str::to_string)
    }

    pub(super) fn with(&self) -> Wanted {
        let quick = self.flag("quick");
        let Some(list) = self.0.get("with").and_then(Value::as_array) else {
            return Wanted { quick, drawing: true, numbers: true, form: false, findings: false };
        };
        let has = |what: &str| list.iter().any(|v| v == what);
        Wanted {
            quick,
            drawing: has("drawing"),
            numbers: has("numbers"),
            form: has("form"),
            findings: has("findings"),
        }
    }

    /// Files given with their names.
    pub(super) fn files(&self) -> Result<NamedFiles, Error> {
        let given = self.0.get("files").and_then(Value::as_object);
        let read = |(name, text): (&String, &Value)| {
            let bytes = text.as_str().and_then(|text| BASE64_STANDARD.decode(text).ok());
            let unread = || refuse(format!("the file \"{name}\" did not arrive whole"));
            Ok((name.clone(), bytes.ok_or_else(unread)?))
        };
        given.into_iter().flatten().map(read).collect()
    }

    /// What was answered of a new piece; numbers stand for what a person would type.
    pub(super) fn answers(&self) -> Result<Answers, Error> {
        let mut answers = Answers::default();
        for (key, value) in self.0.get("answers").and_then(Value::as_object).into_iter().flatten() {
            let text = match value {
                Value::Null => continue,
                Value::String(text) if text.trim().is_empty() => continue,
                Value::String(text) => text.trim().to_string(),
                other => other.to_string(),
            };
            let field = match key.as_str() {
                "shape" => &mut answers.shape,
                "diameter" => &mut answers.diameter,
                "width" => &mut answers.width,
                "height" => &mut answers.height,
                "sides" => &mut answers.sides,
                "across" => &mut answers.across,
                "ring_size" => &mut answers.ring_size,
                "drawing" => &mut answers.drawing,
                "metal" => &mut answers.metal,
                "thickness" => &mut answers.thickness,
                "skill" => &mut answers.skill,
                "pattern" => &mut answers.pattern,
                "units" => &mut answers.units,
                "no_hole" => {
                    answers.no_hole = text == "true";
                    continue;
                }
                _ => return Err(refuse(format!("a new piece is not asked for \"{key}\""))),
            };
            *field = Some(text);
        }
        Ok(answers)
    }

    /// Edits of the job.
    pub(super) fn edits(&self, job: &Job) -> Result<Vec<Edit>, Error> {
        let list = self.0.get("edits").and_then(Value::as_array);
        let list = list.ok_or_else(|| refuse("the page asked for a change without edits"))?;
        list.iter()
            .map(|edit| {
                let path = edit.get("path").and_then(Value::as_str);
                let path = path.ok_or_else(|| refuse("the page asked for a change of nothing"))?;
                edit_of(job, path, edit.get("value").unwrap_or(&Value::Null))
            })
            .collect()
    }
}

/// An edit from a path and a JSON value: a text is what a person types, a number is mm where the key is a length.
fn edit_of(job: &Job, path: &str, value: &Value) -> Result<Edit, Error> {
    let field = fields::field(path).map(|(_, field)| field);
    match value {
        Value::Null => Ok(Edit::clear(path)),
        Value::String(text) => Ok(typed(job, field, path, text)),
        value => value_of(path, field, value)
            .map(|value| Edit::set(path, value))
            .ok_or_else(|| refuse(format!("{path} does not take {value}"))),
    }
}

/// What a person typed into a field. Lengths may lack their quotes: 20 ga, 1/32 in, 0,8.
fn typed(_job: &Job, field: Option<&'static Field>, path: &str, text: &str) -> Edit {
    let text = text.trim();
    // A decimal comma reads as a point; in brackets a comma parts two numbers.
    let comma = field.is_some_and(|f| matches!(f.kind, ValueKind::Number(_) | ValueKind::Whole(_)));
    match comma && text.matches(',').count() == 1 && !text.contains('[') {
        true => Edit::typed(path, &text.replace(',', ".")),
        false => Edit::typed(path, text),
    }
}

fn is_length(kind: &ValueKind) -> bool {
    matches!(
        kind,
        ValueKind::Length(_)
            | ValueKind::Size
            | ValueKind::Drill(_)
            | ValueKind::Place(_)
            | ValueKind::Two(_)
            | ValueKind::Paper(_)
            | ValueKind::Stone(_)
            | ValueKind::Reading(_)
    )
}

fn value_of(path: &str, field: Option<&'static Field>, value: &Value) -> Option<Typed> {
    let length = field.is_some_and(|f| is_length(&f.kind));
    match value {
        Value::Bool(yes) => Some(Typed::Yes(*yes)),
        Value::Number(n) => {
            let n = n.as_f64().filter(|n| n.is_finite())?;
            Some(if length { Typed::Mm(n) } else { Typed::Number(n) })
        }
        Value::String(text)
            if field.is_some_and(|f| matches!(f.kind, ValueKind::Length(_) | ValueKind::Size)) =>
        {
            Some(Typed::Raw(json!(text).to_string()))
        }
        Value::String(text) => Some(Typed::word(text)),
        Value::Array(list) => {
            let list: Vec<f64> = list.iter().map(Value::as_f64).collect::<Option<_>>()?;
            match (&list[..], length) {
                (&[a, b], false) => Some(Typed::Numbers(a, b)),
                _ => Some(Typed::List(list)),
            }
        }
        Value::Object(keys) => {
            let head = path.strip_suffix(']').and_then(|p| p.rsplit_once('[')).map_or(path, |(head, _)| head);
            if let Some(section) = fields::section(head) {
                let row = keys.iter().map(|(key, value)| {
                    let field = section.field(key)?;
                    Some((field.key, value_of(&format!("{head}.{key}"), Some(field), value)?))
                });
                return row.collect::<Option<Vec<_>>>().map(Typed::Row);
            }
            let size = |key: &str| keys.get(key)?.as_f64();
            match (keys.get("shape").and_then(Value::as_str), size("width"), size("height")) {
                (None, Some(w), Some(h)) => Some(Typed::Size(w, h)),
                (Some(shape), Some(w), Some(h)) => Some(Typed::Row(vec![
                    ("shape", Typed::word(shape)),
                    ("width", Typed::Mm(w)),
                    ("height", Typed::Mm(h)),
                ])),
                _ => None,
            }
        }
        Value::Null => None,
    }
}

/// Files as a question carries them.
pub(super) fn files_json(files: &NamedFiles) -> Value {
    let one = |(name, bytes): (&String, &Vec<u8>)| (name.clone(), json!(BASE64_STANDARD.encode(bytes)));
    Value::Object(files.iter().map(one).collect())
}

/// Edits as a page may send them back.
pub(super) fn edits_json(edits: &[Edit]) -> Value {
    let one = |edit: &Edit| json!({ "path": edit.path, "value": edit.value.as_ref().map(typed_json) });
    edits.iter().map(one).collect()
}

fn typed_json(value: &Typed) -> Value {
    match value {
        Typed::Mm(v) | Typed::Number(v) => json!(v),
        Typed::Yes(yes) => json!(yes),
        Typed::Word(word) => json!(word),
        Typed::List(list) => json!(list),
        Typed::Numbers(a, b) => json!([a, b]),
        Typed::Size(w, h) => json!({ "width": w, "height": h }),
        Typed::Row(keys) => Value::Object(keys.iter().map(|(k, v)| (k.to_string(), typed_json(v))).collect()),
        Typed::Raw(text) => json!(text),
    }
}

/// The key that stands on a line of a job text, from 1, with its section: `outline.diameter`, `window[1].at`.
pub(super) fn key_at(text: &str, line: usize) -> Option<String> {
    let mut section = String::new();
    let mut seen: Vec<String> = Vec::new();
    let mut found = None;
    for now in text.lines().take(line) {
        let bare = now.split('#').next().unwrap_or("").trim();
        let list = bare.strip_prefix("[[").and_then(|b| b.strip_suffix("]]"));
        let table = bare.strip_prefix('[').and_then(|b| b.strip_suffix(']'));
        found = None;
        if let Some(name) = list {
            let i = seen.iter().filter(|other| *other == name).count();
            seen.push(name.to_string());
            section = format!("{name}[{i}]");
        } else if let (Some(name), false) = (table, bare.contains('=')) {
            section = name.to_string();
        } else {
            found = bare.split_once('=').map(|(key, _)| key.trim().to_string());
        }
    }
    let key = found?;
    Some(if section.is_empty() { key } else { format!("{section}.{key}") })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_known_by_its_key() {
        let text =
            "units = \"mm\"\n[outline]\ndiameter = 3 # [x]\n[[window]]\nat = [1, 2]\n[[window]]\nborder = 1\n";
        let keys: Vec<Option<String>> = (1..=7).map(|line| key_at(text, line)).collect();
        let keys: Vec<Option<&str>> = keys.iter().map(Option::as_deref).collect();
        assert_eq!(
            keys,
            [
                Some("units"),
                None,
                Some("outline.diameter"),
                None,
                Some("window[0].at"),
                None,
                Some("window[1].border")
            ]
        );
    }
}
