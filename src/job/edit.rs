//! Edits: the one way to change a job, written into the maker's own text with comments kept.

use super::fields::{self, ValueKind};
use super::values::Value;
use crate::units::{short, LengthUnit, MM_PER_INCH};
use toml_edit::{value, Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike};

/// One key of a job set to a value.
#[derive(Debug, Clone, PartialEq)]
pub struct Edit {
    /// `pattern.bridge`, `window[0].border`; `change[2]` is a whole section of a list, one more if it is the next free
    /// place; "change[+0]" puts one more before the first.
    pub path: String,
    /// `None` takes the key out, so that what usually stands for it does again.
    pub value: Option<Value>,
}

impl Edit {
    /// A key set to a value.
    pub fn set(path: impl Into<String>, value: Value) -> Self {
        Self { path: path.into(), value: Some(value) }
    }

    /// A length, mm.
    pub fn mm(path: impl Into<String>, mm: f64) -> Self {
        Self::set(path, Value::Mm(mm))
    }

    /// The same with its length to a thousandth of an inch, for jobs in inches: 0.268, not 0.26772.
    pub fn round_in(mut self, units: LengthUnit) -> Self {
        let round = |mm: f64| (mm / MM_PER_INCH * 1000.0).round() / 1000.0 * MM_PER_INCH;
        if units == LengthUnit::Inch {
            match &mut self.value {
                Some(Value::Mm(mm)) => *mm = round(*mm),
                Some(Value::List(list)) => list.iter_mut().for_each(|mm| *mm = round(*mm)),
                _ => {}
            }
        }
        self
    }

    /// A key taken out.
    pub fn clear(path: impl Into<String>) -> Self {
        Self { path: path.into(), value: None }
    }

    /// A value as a person types it into a field: `20 ga`, `7`, `hexagon`, `0,8`, `[0, 19]`; empty takes the key out.
    pub fn typed(path: impl Into<String>, text: &str) -> Self {
        let (path, text) = (path.into(), text.trim());
        if text.is_empty() {
            return Self::clear(path);
        }
        let wants_text = matches!(fields::field(&path), Some((_, f)) if matches!(f.kind, ValueKind::Text | ValueKind::Word(_) | ValueKind::Named(_)));
        let plain = !wants_text && toml_value(text).is_some_and(|v| !v.is_datetime());
        let raw = if plain { text.to_string() } else { toml_edit::Value::from(text).to_string() };
        Self::set(path, Value::Raw(raw))
    }
}

fn toml_value(text: &str) -> Option<toml_edit::Value> {
    text.parse().ok()
}

/// The text of a job with edits made to it. Errors in plain words when the text cannot be read or has no place for one.
pub fn written(text: &str, edits: &[Edit]) -> Result<String, String> {
    undoable(text, edits).map(|(text, _)| text)
}

/// The same, with the edits that take it back.
pub fn undoable(text: &str, edits: &[Edit]) -> Result<(String, Vec<Edit>), String> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut doc: DocumentMut = text.parse().map_err(|_| "the job file cannot be read".to_string())?;
    let units = match doc.get("units").and_then(Item::as_str) {
        Some("in") => LengthUnit::Inch,
        _ => LengthUnit::Mm,
    };
    let mut undo = Vec::new();
    for edit in edits {
        undo.push(make(&mut doc, edit, units)?);
    }
    undo.reverse();
    Ok((doc.to_string(), undo))
}

/// How many sections of a list a job text holds.
pub fn count(text: &str, key: &str) -> usize {
    let doc: Option<DocumentMut> = text.parse().ok();
    doc.as_ref().map_or(0, |doc| rows(doc.get(key)))
}

/// A value as it stands in a job text.
pub(super) fn typed_text(text: &str, path: &str) -> Option<String> {
    let doc: DocumentMut = text.parse().ok()?;
    let mut at = doc.as_item();
    for name in path.split('.') {
        at = match place(name).ok()? {
            None => at.get(name)?,
            Some((key, i)) => at.get(key)?.get(i)?,
        };
    }
    match raw(at.as_value()?) {
        Value::Raw(text) => Some(text),
        _ => None,
    }
}

fn rows(item: Option<&Item>) -> usize {
    match item {
        Some(Item::ArrayOfTables(rows)) => rows.len(),
        Some(item) => item.as_array().map_or(0, Array::len),
        None => 0,
    }
}

/// Makes one edit and gives the one that takes it back.
fn make(doc: &mut DocumentMut, edit: &Edit, units: LengthUnit) -> Result<Edit, String> {
    let (head, last) = edit.path.rsplit_once('.').unwrap_or(("", &edit.path));
    if let Some((key, i)) = place(&last.replace("[+", "["))? {
        return row(table_at(doc, head)?, key, i, last.contains("[+"), edit, units);
    }
    let made = missing_section(doc, head);
    let table = table_at(doc, head)?;
    // A key may stand in another spelling.
    let key = if last == "centre" && table.contains_key("center") { "center" } else { last };
    let before = table.get(key).and_then(Item::as_value).map(raw);
    match &edit.value {
        None => drop(table.remove(key)),
        Some(new) => {
            let new = ink(new, units)?;
            match table.get_mut(key).and_then(Item::as_value_mut) {
                Some(old) => {
                    let decor = old.decor().clone();
                    *old = new;
                    *old.decor_mut() = decor;
                }
                None => drop(table.insert(key, value(new))),
            }
        }
    }
    // A section made for the key goes with it.
    Ok(Edit { path: made.unwrap_or_else(|| edit.path.clone()), value: before })
}

/// The outermost section of a path that is not in the file.
fn missing_section(doc: &DocumentMut, path: &str) -> Option<String> {
    let mut at = doc.as_item();
    let mut walked = String::new();
    for name in path.split('.').filter(|name| !name.is_empty()) {
        walked += if walked.is_empty() { "" } else { "." };
        walked += name;
        match at.get(name) {
            Some(inner) => at = inner,
            // Places in lists are never made on the way.
            None if name.contains('[') => return None,
            None => return Some(walked),
        }
    }
    None
}

/// A whole section of a list set, put before another, added or taken out.
fn row(
    table: &mut dyn TableLike,
    key: &str,
    i: usize,
    insert: bool,
    edit: &Edit,
    units: LengthUnit,
) -> Result<Edit, String> {
    let here = rows(table.get(key));
    let missing = || format!("[[{key}]] number {} is not in the file", i + 1);
    if i > here || (i == here && edit.value.is_none()) {
        return Err(missing());
    }
    let replaces = i < here && !insert && edit.value.is_some();
    let before = whole_row(table.get(key), i).filter(|_| i < here && !insert);
    let new = match &edit.value {
        None => None,
        Some(value) => match ink(value, units)? {
            toml_edit::Value::InlineTable(keys) => Some(keys),
            _ => return Err(format!("[[{key}]] must have its own keys")),
        },
    };
    let item = table.entry(key).or_insert(Item::ArrayOfTables(ArrayOfTables::new()));
    match item {
        Item::ArrayOfTables(rows) => {
            let mut all: Vec<Table> = rows.iter().cloned().collect();
            let new = new.map(InlineTable::into_table);
            all.splice(i..i + usize::from(replaces || new.is_none()), new);
            *rows = all.into_iter().collect();
        }
        Item::Value(toml_edit::Value::Array(rows)) => {
            if replaces || new.is_none() {
                rows.remove(i);
            }
            if let Some(new) = new {
                rows.insert(i, new);
            }
        }
        _ => return Err(format!("[[{key}]] is not a list")),
    }
    let back = if edit.value.is_none() { format!("[+{i}]") } else { format!("[{i}]") };
    let (head, _) = edit.path.rsplit_once('[').unwrap_or((&edit.path, ""));
    Ok(Edit { path: format!("{head}{back}"), value: before })
}

/// A section of a list as it is typed, in braces.
fn whole_row(item: Option<&Item>, i: usize) -> Option<Value> {
    let keys = match item? {
        Item::ArrayOfTables(rows) => rows.get(i)?.clone().into_inline_table(),
        Item::Value(toml_edit::Value::Array(rows)) => rows.get(i)?.as_inline_table()?.clone(),
        _ => return None,
    };
    Some(raw(&toml_edit::Value::InlineTable(keys)))
}

/// A value as it is typed, without what stands round it.
fn raw(value: &toml_edit::Value) -> Value {
    let mut bare = value.clone();
    bare.decor_mut().clear();
    Value::Raw(bare.to_string())
}

/// A value as it is written, lengths in the units of the job.
fn ink(new: &Value, units: LengthUnit) -> Result<toml_edit::Value, String> {
    let length = |mm: f64| {
        // A hundred-thousandth of an inch is a quarter of a micrometre: what was tried is what is written.
        let number = match units {
            LengthUnit::Mm => short(mm, 4),
            LengthUnit::Inch => short(mm / MM_PER_INCH, 5),
        };
        match number.parse::<f64>() {
            Ok(n) => plain_number(n),
            Err(_) => toml_edit::Value::from(format!("{number} {}", units.sign())),
        }
    };
    Ok(match new {
        Value::Mm(mm) => length(*mm),
        Value::Number(n) => plain_number(*n),
        Value::Yes(yes) => toml_edit::Value::from(*yes),
        Value::Word(word) => toml_edit::Value::from(word.as_ref()),
        Value::List(list) => toml_edit::Value::Array(list.iter().map(|mm| length(*mm)).collect()),
        Value::Numbers(a, b) => toml_edit::Value::Array(Array::from_iter([*a as i64, *b as i64])),
        Value::Size(w, h) => toml_edit::Value::InlineTable(InlineTable::from_iter([
            ("width", length(*w)),
            ("height", length(*h)),
        ])),
        Value::Raw(text) => toml_value(text).ok_or_else(|| format!("{text} cannot be read"))?,
        Value::Row(fields) => {
            let mut keys = InlineTable::new();
            for (key, field) in fields {
                keys.insert(*key, ink(field, units)?);
            }
            toml_edit::Value::InlineTable(keys)
        }
    })
}

/// A number as a person types it: 5, not 5.0.
fn plain_number(n: f64) -> toml_edit::Value {
    match n.fract() == 0.0 && n.abs() < 1e15 {
        true => toml_edit::Value::from(n as i64),
        false => toml_edit::Value::from(n),
    }
}

/// "window[2]" taken apart; `None` for a name without a place.
fn place(name: &str) -> Result<Option<(&str, usize)>, String> {
    let Some((key, rest)) = name.split_once('[') else { return Ok(None) };
    let i = rest.strip_suffix(']').and_then(|i| i.parse().ok());
    i.map(|i| Some((key, i))).ok_or_else(|| format!("{name} is no place in a list"))
}

/// The section at a path, made where it is not there.
fn table_at<'d>(doc: &'d mut DocumentMut, path: &str) -> Result<&'d mut dyn TableLike, String> {
    let mut at: &mut dyn TableLike = doc.as_table_mut();
    for (depth, name) in path.split('.').filter(|name| !name.is_empty()).enumerate() {
        at = match place(name)? {
            None => {
                let new = match depth {
                    0 => Item::Table(Table::new()),
                    _ => value(InlineTable::new()),
                };
                let item = at.entry(name).or_insert(new);
                item.as_table_like_mut().ok_or_else(|| format!("{name} is not a section"))?
            }
            Some((key, i)) => {
                let missing = || format!("[[{key}]] number {} is not in the file", i + 1);
                match at.get_mut(key).ok_or_else(missing)? {
                    Item::ArrayOfTables(rows) => rows.get_mut(i).ok_or_else(missing)?,
                    Item::Value(toml_edit::Value::Array(rows)) => {
                        rows.get_mut(i).and_then(toml_edit::Value::as_inline_table_mut).ok_or_else(missing)?
                    }
                    _ => return Err(missing()),
                }
            }
        };
    }
    Ok(at)
}
