//! One table of a TOML file: its name as it is written, its keys, its place.

use super::{suggestion, suggestion_of, Reader};
use crate::units::limits::Limit;
use std::ops::Range;
use toml::de::{DeTable, DeValue};
use toml::Spanned;

/// A value with its place in the text.
pub type TomlValue<'a> = Spanned<DeValue<'a>>;

/// American and other spellings taken for ours.
const SPELLINGS: &[(&str, &str)] = &[("center", "centre"), ("practiced", "practised"), ("fine", "fine-work")];

/// Our spelling of a word.
pub(super) fn ours(word: &str) -> &str {
    SPELLINGS.iter().find(|(theirs, _)| *theirs == word).map_or(word, |(_, ours)| ours)
}

/// Whether a word as typed is this word of ours.
pub fn is_named(typed: &str, word: &str) -> bool {
    ours(typed) == word
}

/// A table of keys in a file.
#[derive(Clone)]
pub struct Table<'a> {
    /// The file it stands in, which collects the problems.
    pub reader: &'a Reader<'a>,
    /// As it is called in messages: `[sheet]`, `[[window]]`, `rim`.
    pub name: String,
    table: &'a DeTable<'a>,
    span: Range<usize>,
}

impl<'a> Table<'a> {
    /// The table at `span` of the file's text, under the name it has in messages.
    pub fn new(
        reader: &'a Reader<'a>,
        name: impl Into<String>,
        table: &'a DeTable<'a>,
        span: Range<usize>,
    ) -> Self {
        Self { reader, name: name.into(), table, span }
    }

    /// The value of a key, however its letters and hyphens are typed.
    pub fn get(&self, key: &str) -> Option<&'a TomlValue<'a>> {
        self.table.iter().find(|(k, _)| ours(k.get_ref()) == key).map(|(_, value)| value)
    }

    /// No key at all.
    pub fn is_empty(&self) -> bool {
        self.table.is_empty()
    }

    /// Whether a key is there, whatever it holds.
    pub fn has(&self, key: &str) -> bool {
        self.get(key).is_some()
    }

    /// Where the table's head stands.
    pub fn head(&self) -> Range<usize> {
        self.span.clone()
    }

    /// Where a key's value stands, or the table's head if it is left out.
    pub fn span(&self, key: &str) -> Range<usize> {
        self.get(key).map_or_else(|| self.span.clone(), Spanned::span)
    }

    /// Notes what is wrong with a key's value.
    pub fn refuse(&self, key: &str, wrong: impl Into<String>, todo: impl Into<String>) {
        self.reader.problem(self.span(key), wrong, todo);
    }

    /// Refuses every key that is not known here, with the nearest that is, or with what `home` knows of it.
    pub fn knows(&self, known: &[&str], home: impl Fn(&str) -> Option<String>) {
        for key in self.table.keys() {
            let word = key.get_ref().as_ref();
            if known.contains(&ours(word)) {
                continue;
            }
            let todo = match self.reader.is_full() {
                true => String::new(),
                false => home(ours(word)).unwrap_or_else(|| suggestion(word, known)),
            };
            let word: String = word.chars().take(60).collect();
            self.reader.problem(key.span(), format!("\"{word}\" is not a key of {}", self.name), todo);
        }
    }

    /// Refuses a value that is none of the known ones.
    pub fn unknown(&self, key: &str, word: &str, known: &[&str]) {
        let word: String = word.chars().take(60).collect();
        self.refuse(key, format!("{key} \"{word}\" is not known"), suggestion(&word, known));
    }

    /// The same where every name has a title, which people may type instead.
    pub fn unknown_of(&self, key: &str, word: &str, known: &[(&str, &str)]) {
        let word: String = word.chars().take(60).collect();
        self.refuse(key, format!("{key} \"{word}\" is not known"), suggestion_of(&word, known));
    }

    /// The text of a key; notes a value that is none.
    pub fn text(&self, key: &str) -> Option<&'a str> {
        match self.get(key)?.get_ref() {
            DeValue::String(text) => Some(text.as_ref()),
            other => {
                let wrong = format!("{key} must be text in quotes, not a {}", kind(other));
                self.refuse(key, wrong, "put it in quotation marks");
                None
            }
        }
    }

    /// Whether a key says true; notes a value that is neither.
    pub fn yes(&self, key: &str) -> Option<bool> {
        match self.get(key)?.get_ref() {
            DeValue::Boolean(yes) => Some(*yes),
            other => {
                let wrong = format!("{key} must be true or false, not a {}", kind(other));
                self.refuse(key, wrong, "write true or false");
                None
            }
        }
    }

    /// A table behind a key, under the name it has in messages.
    pub fn inner(&self, key: &str, name: &str) -> Option<Table<'a>> {
        let value = self.get(key)?;
        match value.get_ref() {
            DeValue::Table(table) => Some(Table::new(self.reader, name, table, value.span())),
            DeValue::Array(_) if name.starts_with('[') => {
                let how = format!("write {name} with single brackets");
                self.refuse(key, format!("there is one {name} only"), how);
                None
            }
            other => {
                let how = if name.starts_with('[') {
                    format!("write {name} and its keys below")
                } else {
                    format!("write {key} = {{ ... }}")
                };
                self.refuse(key, format!("{key} must have its own keys, not a {}", kind(other)), how);
                None
            }
        }
    }

    /// The tables of a list that may hold several, within `most`, under the name they have in messages.
    pub fn several(&self, key: &str, name: &str, most: &Limit) -> Vec<Table<'a>> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let DeValue::Array(list) = value.get_ref() else {
            let how = match name.starts_with('[') {
                true => format!("write {name}"),
                false => "put brackets round it".to_string(),
            };
            self.refuse(key, format!("there may be several {key}"), how);
            return Vec::new();
        };
        if let Err(unread) = most.counted(list.len() as f64) {
            self.refuse(key, unread.wrong, unread.todo);
            return Vec::new();
        }
        list.iter()
            .filter_map(|item| match item.get_ref() {
                DeValue::Table(table) => Some(Table::new(self.reader, name, table, item.span())),
                other => {
                    let wrong = format!("{key} must have its own keys, not a {}", kind(other));
                    self.reader.problem(item.span(), wrong, format!("write {key} = {{ ... }}"));
                    None
                }
            })
            .collect()
    }
}

/// A number from an integer or a decimal; infinite if it has too many digits, for limits to refuse.
pub fn number(value: &DeValue) -> Option<f64> {
    match value {
        DeValue::Integer(whole) => match i64::from_str_radix(whole.as_str(), whole.radix()) {
            Ok(n) => Some(n as f64),
            Err(_) => Some(f64::INFINITY),
        },
        DeValue::Float(decimal) => decimal.as_str().parse().ok(),
        _ => None,
    }
}

/// What a value is, in plain words.
pub fn kind(value: &DeValue) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "number",
        DeValue::Boolean(_) => "yes-or-no word",
        DeValue::Datetime(_) => "date",
        DeValue::Array(_) => "list in brackets",
        DeValue::Table(_) => "table of keys",
    }
}
