//! Values of several parts, which are typed in braces: stones, readings, circles; and the shapes of rows.

use super::fields::{self, ELEMENTS};
use super::values::Value;
use super::walk::{names, Walk};
use crate::catalogue;
use crate::reader::{Table, TomlValue};
use crate::units::limits::{Limit, PLACE};
use toml::de::DeValue;

impl Walk<'_> {
    /// A length without which the value `of` is not whole, or a refusal with one that may be added.
    fn needed(
        &self,
        table: &Table,
        of: &str,
        (key, example): (&'static str, &str),
        limit: &Limit,
    ) -> Option<f64> {
        let value = table.get(key);
        if value.is_none() {
            table.refuse(key, format!("{of} has no {key}"), format!("add {key} = {example}"));
        }
        self.length(table, key, value?, limit)
    }

    /// The line of a row: a word, or a circle in braces.
    pub(super) fn along(
        &self,
        table: &Table,
        key: &'static str,
        value: &TomlValue,
        limit: &Limit,
    ) -> Option<Value> {
        match value.get_ref() {
            DeValue::Table(_) => {
                let circle = table.inner(key, key)?;
                circle.knows(&["diameter", "at"], |_| None);
                let diameter = self.needed(&circle, key, ("diameter", "20"), limit);
                let at = match circle.get("at") {
                    Some(value) => self.two(&circle, "at", value, &PLACE),
                    None => Some(vec![0.0, 0.0]),
                };
                Some(Value::Row(vec![("diameter", Value::Mm(diameter?)), ("at", Value::List(at?))]))
            }
            DeValue::String(word) if !word.trim().is_empty() => Some(Value::word(word.trim())),
            _ => {
                let todo = "write \"outline\", the name of a window, or { diameter = 20, at = [0, 0] }";
                table.refuse(key, format!("{key} names no line"), todo);
                None
            }
        }
    }

    /// The shape of a row's openings.
    pub(super) fn element(&self, table: &Table, key: &'static str) -> Option<Value> {
        let word = table.text(key)?;
        if ELEMENTS.contains(&word) || catalogue::find(word).is_some() {
            return Some(Value::word(word));
        }
        if catalogue::grown(word).is_some() {
            let todo = "take one that repeats, or round, drop, brick, petal or lozenge";
            table.refuse(key, format!("\"{word}\" is grown and has no shape of its own"), todo);
            return None;
        }
        let patterns = names(catalogue::all(), |p| &p.name);
        table.unknown(key, word, &ELEMENTS.into_iter().chain(patterns).collect::<Vec<_>>());
        None
    }

    /// Across a round stone, width and height of an oval, or a shape with its sizes.
    pub(super) fn stone(
        &self,
        table: &Table,
        key: &'static str,
        value: &TomlValue,
        limit: &Limit,
    ) -> Option<Value> {
        let row = |shape: &str, width: f64, height: f64| {
            Value::Row(vec![
                ("shape", Value::word(shape)),
                ("width", Value::Mm(width)),
                ("height", Value::Mm(height)),
            ])
        };
        match value.get_ref() {
            DeValue::Array(_) => {
                let sides = self.two(table, key, value, limit)?;
                Some(row("oval", sides[0], sides[1]))
            }
            DeValue::Table(_) => {
                let stone = table.inner(key, key)?;
                stone.knows(&["shape", "width", "height"], |_| None);
                let known = fields::STONES.map(|(name, _)| name);
                let shape = match stone.has("shape") {
                    true => stone.text("shape"),
                    false => {
                        stone.refuse("shape", format!("{key} has no shape"), "add shape = \"cushion\"");
                        None
                    }
                };
                let named = shape.and_then(|shape| known.into_iter().find(|name| *name == shape));
                if let (Some(shape), None) = (shape, named) {
                    stone.unknown("shape", shape, &known);
                }
                let side = |name| self.needed(&stone, key, (name, "10"), limit);
                let (width, height) = (side("width"), side("height"));
                Some(row(named?, width?, height?))
            }
            _ => self.length(table, key, value, limit).map(|mm| row("round", mm, mm)),
        }
    }

    /// One reading, several in brackets, or width and height in braces.
    pub(super) fn reading(
        &self,
        table: &Table,
        key: &'static str,
        value: &TomlValue,
        limit: &Limit,
    ) -> Option<Value> {
        match value.get_ref() {
            DeValue::Table(_) => {
                let size = table.inner(key, key)?;
                size.knows(&["width", "height"], |_| None);
                let side = |name| self.needed(&size, key, (name, "29.6"), limit);
                let (width, height) = (side("width"), side("height"));
                Some(Value::Size(width?, height?))
            }
            DeValue::Array(_) => {
                let readings = self.lengths(table, key, value, limit)?;
                if readings.is_empty() {
                    table.refuse(key, "there is no reading in the brackets", "write it like [45.5, 45.7]");
                    return None;
                }
                Some(Value::List(readings))
            }
            _ => self.length(table, key, value, limit).map(|mm| Value::List(vec![mm])),
        }
    }
}
