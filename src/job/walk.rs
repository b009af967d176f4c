//! The walk over a job file by the key table: every typed value read, checked and kept, every problem noted.

use super::fields::{self, Field, Listed, Section, Usual, ValueKind};
use super::values::{Value, Values};
use super::{LengthUnit, Settings};
use crate::catalogue;
use crate::reader::{is_named, kind, number, Reader, Table, TomlValue};
use crate::trade;
use crate::units::limits::{Limit, LETTERS, OUTLINE, STRIP_HEIGHT};
use crate::units::{gauge, length, short, Mm, Unread, MM_PER_INCH};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use toml::de::{DeTable, DeValue};

/// A job file read key by key.
pub(super) struct Walk<'a> {
    pub reader: &'a Reader<'a>,
    pub settings: &'a Settings,
    pub values: Values,
    units: LengthUnit,
    /// The sections that stand in the file, by their paths.
    pub tables: BTreeMap<String, Table<'a>>,
    /// Paths whose value cannot be used; what is wrong has been noted.
    pub bad: BTreeSet<String>,
}

impl<'a> Walk<'a> {
    /// Reads every typed value. What is missing, unknown or beyond its limits is noted with the reader.
    pub(super) fn over(reader: &'a Reader<'a>, table: &'a DeTable<'a>, settings: &'a Settings) -> Self {
        let mut walk = Self {
            reader,
            settings,
            values: Values { learnt: settings.rates, ..Values::default() },
            units: LengthUnit::Mm,
            tables: BTreeMap::new(),
            bad: BTreeSet::new(),
        };
        for section in fields::sections() {
            if section.path.is_empty() {
                walk.section(section, String::new(), Table::new(reader, section.title(), table, 0..0));
                if walk.values.typed.get("units") == Some(&Value::word("in")) {
                    walk.units = LengthUnit::Inch;
                }
                continue;
            }
            let Some(parent) = walk.tables.get(section.parent()).cloned() else { continue };
            let (key, title) = (section.key(), section.title());
            if section.many {
                for (i, found) in parent.several(key, &title, section.most()).into_iter().enumerate() {
                    walk.section(section, format!("{}[{i}]", section.path), found);
                }
            } else if let Some(found) = parent.inner(key, &title) {
                walk.section(section, section.path.to_string(), found);
            } else if section.path == "pattern" && ["row", "middle"].iter().any(|other| parent.has(other)) {
                // Rows and the middle may be all there is to open.
            } else if let (Some(todo), false, true) = (section.needed, parent.has(key), reader.reads()) {
                parent.refuse(key, format!("a job file has no {key}"), todo);
            }
        }
        walk
    }

    fn section(&mut self, section: &'static Section, path: String, table: Table<'a>) {
        self.values.sections.insert(path.clone());
        self.tables.insert(path.clone(), table.clone());
        let fields = self.fields_of(section, &table);
        let inner = fields::sections().filter(|s| !s.path.is_empty() && s.parent() == section.path);
        let known: Vec<&str> = fields.iter().map(|f| f.key).chain(inner.map(Section::key)).collect();
        table.knows(&known, |key| fields::home(key, section));
        for field in fields {
            let at = if path.is_empty() { field.key.to_string() } else { format!("{path}.{}", field.key) };
            if !table.has(field.key) {
                // A drawing's file says its own size, or is asked about it.
                let in_file = field.key == "width" && table.has("file");
                if matches!(field.usual, Usual::Needed) && self.reader.reads() && !in_file {
                    let wrong = format!("{} has no {}", table.name, field.key);
                    table.refuse(field.key, wrong, self.example(field));
                }
            } else if let Some(value) = self.typed(section, field, &table) {
                self.values.typed.insert(at, value);
            } else {
                self.bad.insert(at);
            }
        }
    }

    /// The keys a section may hold: with the sizes of its shape, or of every shape if that is not known.
    fn fields_of(&self, section: &'static Section, table: &Table) -> Vec<&'static Field> {
        let own = section.fields.iter();
        let Some(_) = section.shape else { return own.collect() };
        let typed = table.get("shape").and_then(|v| v.get_ref().as_str());
        let found = typed.and_then(|name| fields::shapes_for(section).find(|o| o.name == name));
        match (found, typed) {
            (Some(shape), _) => own.chain(shape.keys.iter().filter_map(|key| section.field(key))).collect(),
            // Nothing can be said of the sizes of a shape that is not known.
            (None, _) => {
                let sizes = table_keys(section, table);
                own.chain(sizes).collect()
            }
        }
    }

    /// What to add for a key that is missing.
    fn example(&self, field: &Field) -> String {
        match &field.kind {
            ValueKind::Named(list) => {
                format!("add {} = {}, see `sawpierce list {}`", field.key, field.example, list.name())
            }
            ValueKind::Place(_) => format!("add {} = {}, {}", field.key, self.some_place(), field.says),
            _ => format!("add {} = {}: {}", field.key, field.example, field.says),
        }
    }

    /// A place on the piece, in its units: in the middle, well below the top.
    fn some_place(&self) -> String {
        let size = |key: &str| match self.values.typed.get(&format!("outline.{key}")) {
            Some(Value::Mm(mm)) => Some(*mm),
            _ => None,
        };
        let high = size("height").or(size("diameter")).or(size("across")).map_or(0.0, |high| 0.3 * high);
        match self.units {
            LengthUnit::Mm => format!("[0, {}]", short(high.floor(), 0)),
            LengthUnit::Inch => format!("[0, {}]", short(high / MM_PER_INCH, 2)),
        }
    }

    /// A typed value within its limits; what is wrong with it is noted.
    fn typed(&self, section: &Section, field: &Field, table: &Table<'a>) -> Option<Value> {
        let key = field.key;
        let value = table.get(key)?;
        match &field.kind {
            ValueKind::Text => self.words(table, key).map(Value::word),
            ValueKind::YesNo => table.yes(key).map(Value::Yes),
            ValueKind::Word(words) => {
                let typed = table.text(key)?;
                let found = words.iter().find(|word| is_named(typed, word));
                if found.is_none() {
                    table.unknown(key, typed, words);
                }
                found.map(|word| Value::Word(Cow::Borrowed(word)))
            }
            ValueKind::Named(list) => self.named(*list, section, key, table),
            ValueKind::Length(_) if key == "thickness" && is_gauge(value.get_ref()) => {
                let n = number(value.get_ref()).unwrap_or_default();
                let todo = format!(
                    "write {key} = \"{n} ga\" for B&S gauge ({}), or the thickness with its unit, like \"0.8 mm\"",
                    gauge(n as i32)
                );
                table.refuse(key, format!("{key} {n}: gauge or {}?", self.units_word()), todo);
                None
            }
            ValueKind::Pitch(_) if value.get_ref().as_str().is_some_and(|typed| typed.trim() == "finest") => {
                Some(Value::Word(Cow::Borrowed("finest")))
            }
            ValueKind::Length(limit) | ValueKind::Pitch(limit) => {
                self.length(table, key, value, limit).map(Value::Mm)
            }
            ValueKind::Size => {
                self.length(table, key, value, &size_limit(section, key, table)).map(Value::Mm)
            }
            ValueKind::Drill(limit) => self.drill(table, key, value, limit),
            ValueKind::Number(limit) => self.number(table, key, value, limit).map(Value::Number),
            ValueKind::Whole(limit) => {
                let n = self.number(table, key, value, limit)?;
                if n.fract() != 0.0 {
                    let todo = "leave out what comes after the point";
                    table.refuse(key, format!("{key} must be a whole number"), todo);
                    return None;
                }
                Some(Value::Number(n))
            }
            ValueKind::Wholes(limit) => self.wholes(table, key, value, limit),
            ValueKind::Place(limit) | ValueKind::Two(limit) | ValueKind::AlongAcross(limit) => {
                self.two(table, key, value, limit).map(Value::List)
            }
            ValueKind::Paper(limit) => match value.get_ref().as_array() {
                Some(_) => self.two(table, key, value, limit).map(Value::List),
                None => {
                    let name = table.text(key)?;
                    let found = trade::paper(name);
                    if found.is_none() {
                        table.unknown(key, name, &names(trade::papers(), |p| &p.name));
                    }
                    found.map(|paper| Value::word(&paper.name))
                }
            },
            ValueKind::Stone(limit) => self.stone(table, key, value, limit),
            ValueKind::Along(limit) => self.along(table, key, value, limit),
            ValueKind::Element => self.element(table, key),
            ValueKind::Reading(limit) => self.reading(table, key, value, limit),
        }
    }

    /// Words that can stand on paper: few enough, each of them a letter. A drawn line is limited by its corners.
    fn words(&self, table: &Table<'a>, key: &'static str) -> Option<&'a str> {
        let text = table.text(key)?;
        let length = if key == "d" { 0 } else { text.chars().count() };
        self.kept(table, key, Limit { name: key, ..LETTERS }.counted(length as f64))?;
        if key != "d" && text.chars().any(char::is_control) {
            let todo =
                "a backslash stands for itself only when written twice, or between 'single' quotation marks";
            table.refuse(key, format!("{key} holds a sign that cannot be printed"), todo);
            return None;
        }
        Some(text)
    }

    /// A name out of a list.
    fn named(&self, list: Listed, section: &Section, key: &str, table: &Table) -> Option<Value> {
        let name = table.text(key)?;
        let known: Vec<(&str, &str)> = match list {
            Listed::Metals => match trade::metal(name) {
                Some(metal) => return Some(Value::word(&metal.name)),
                None => trade::metals().iter().map(|m| (m.name.as_str(), m.title.as_str())).collect(),
            },
            Listed::Blades => match trade::blade(name) {
                Some(blade) => return Some(Value::word(&blade.name)),
                None => trade::blades().iter().map(|b| (b.name.as_str(), b.title.as_str())).collect(),
            },
            Listed::Patterns => {
                if name == "none" || catalogue::grown(name).is_some() || catalogue::find(name).is_some() {
                    return Some(Value::word(name));
                }
                let repeats = catalogue::all().iter().map(|p| (p.name.as_str(), p.title.as_str()));
                repeats.chain(catalogue::GROWN.iter().map(|g| (g.name, g.title))).collect()
            }
            Listed::Outlines => match fields::shapes_for(section).find(|o| o.name == name) {
                Some(outline) => return Some(Value::Word(Cow::Borrowed(outline.name))),
                None => {
                    // A drop is called so at the bench, whatever it is called here.
                    let shapes = || fields::shapes_for(section);
                    let stones = fields::STONES.iter().map(|(title, name)| (*name, *title));
                    let stones = stones.filter(|(name, _)| shapes().any(|shape| shape.name == *name));
                    shapes().map(|shape| (shape.name, shape.title)).chain(stones).collect()
                }
            },
            Listed::RingSizes => match trade::ring_size(name) {
                Ok(_) => return Some(Value::word(name)),
                Err(why) => {
                    table.refuse(key, format!("{key} \"{name}\" is not known"), why);
                    return None;
                }
            },
        };
        table.unknown_of(key, name, &known);
        None
    }

    /// The units of plain numbers.
    pub(super) fn units(&self) -> LengthUnit {
        self.units
    }

    fn units_word(&self) -> &'static str {
        match self.units {
            LengthUnit::Mm => "mm",
            LengthUnit::Inch => "inches",
        }
    }

    fn kept<T>(&self, table: &Table, key: &str, read: Result<T, Unread>) -> Option<T> {
        read.map_err(|unread| table.refuse(key, unread.wrong, unread.todo)).ok()
    }

    fn within(&self, table: &Table, key: &'static str, limit: &Limit, value: f64) -> Option<f64> {
        self.kept(table, key, Limit { name: key, ..*limit }.check_in(value, self.units))
    }

    /// A length in mm within its limits.
    pub(super) fn length(
        &self,
        table: &Table,
        key: &'static str,
        value: &TomlValue,
        limit: &Limit,
    ) -> Option<f64> {
        let read = self.kept(table, key, self.size(value.get_ref()))?;
        self.within(table, key, limit, read)
    }

    /// A length in mm from any value; the reason it is none.
    fn size(&self, value: &DeValue) -> Result<f64, Unread> {
        match value {
            DeValue::String(text) => length(text, self.units).map(Mm::get),
            other => match (number(other), self.units) {
                (Some(n), LengthUnit::Mm) => Ok(n),
                (Some(n), LengthUnit::Inch) => Ok(n * MM_PER_INCH),
                (None, _) => Err(Unread::new(
                    format!("a {} cannot be a size", kind(other)),
                    "write a number, or a text like \"0.8 mm\" or \"20 ga\"",
                )),
            },
        }
    }

    /// A drill by its number ("#60") or its diameter.
    fn drill(&self, table: &Table, key: &'static str, value: &TomlValue, limit: &Limit) -> Option<Value> {
        let numbered =
            value.get_ref().as_str().filter(|text| text.trim_start().to_lowercase().starts_with(['#', 'n']));
        let Some(text) = numbered else {
            return self.length(table, key, value, limit).map(Value::Mm);
        };
        let found = trade::drill(text);
        if found.is_none() {
            let todo = "use a diameter in mm, or a number like \"#60\"; see `sawpierce list drills`";
            table.refuse(key, format!("drill \"{text}\" is not known"), todo);
        }
        found.map(|drill| Value::Mm(drill.mm))
    }

    /// A plain number within its limits.
    fn number(&self, table: &Table, key: &'static str, value: &TomlValue, limit: &Limit) -> Option<f64> {
        match number(value.get_ref()) {
            Some(n) => self.within(table, key, limit, n),
            None => {
                let wrong = format!("{key} must be a number, not a {}", kind(value.get_ref()));
                table.refuse(key, wrong, "write it like 1.5");
                None
            }
        }
    }

    /// Two whole numbers in brackets.
    fn wholes(&self, table: &Table, key: &'static str, value: &TomlValue, limit: &Limit) -> Option<Value> {
        let list = value.get_ref().as_array();
        let read: Vec<f64> = list.into_iter().flatten().filter_map(|v| number(v.get_ref())).collect();
        match (list.map(|l| l.len()), &read[..]) {
            (Some(2), &[a, b]) if a.fract() == 0.0 && b.fract() == 0.0 => {
                Some(Value::Numbers(self.within(table, key, limit, a)?, self.within(table, key, limit, b)?))
            }
            _ => {
                let wrong = format!("{key} must be two whole numbers in brackets");
                table.refuse(key, wrong, "write it like [7, 3]");
                None
            }
        }
    }

    /// Two lengths in brackets.
    pub(super) fn two(
        &self,
        table: &Table,
        key: &'static str,
        value: &TomlValue,
        limit: &Limit,
    ) -> Option<Vec<f64>> {
        let read = self.lengths(table, key, value, limit)?;
        if read.len() != 2 {
            let wrong = format!("{key} must be two numbers, not {}", read.len());
            table.refuse(key, wrong, "write it like [12, 30]");
            return None;
        }
        Some(read)
    }

    /// Any number of lengths in brackets.
    pub(super) fn lengths(
        &self,
        table: &Table,
        key: &'static str,
        value: &TomlValue,
        limit: &Limit,
    ) -> Option<Vec<f64>> {
        let Some(list) = value.get_ref().as_array() else {
            table.refuse(key, format!("{key} must be two numbers in brackets"), "write it like [12, 30]");
            return None;
        };
        let read: Vec<f64> = list
            .iter()
            .filter_map(|item| self.kept(table, key, self.size(item.get_ref())))
            .filter_map(|size| self.within(table, key, limit, size))
            .collect();
        (read.len() == list.len()).then_some(read)
    }
}

/// A bare whole number that is a usual gauge of sheet and no thickness anybody saws.
fn is_gauge(value: &DeValue) -> bool {
    number(value).is_some_and(|n| n.fract() == 0.0 && (8.0..=36.0).contains(&n))
}

/// The sizes of any shape that a table holds.
fn table_keys(section: &'static Section, table: &Table) -> Vec<&'static Field> {
    let own = |key: &str| section.fields.iter().any(|f| f.key == key);
    section.all_fields().filter(|f| !own(f.key) && table.has(f.key)).collect()
}

/// How large a size of a shape may be: a band's width is that of a strip.
fn size_limit(section: &Section, key: &str, table: &Table) -> Limit {
    let shape = table.get("shape").and_then(|v| v.get_ref().as_str());
    match (shape, key) {
        (Some("band"), "width") => STRIP_HEIGHT,
        _ => section.shape.unwrap_or(OUTLINE),
    }
}

pub(super) fn names<T>(rows: &[T], name: impl Fn(&T) -> &String) -> Vec<&str> {
    rows.iter().map(|row| name(row).as_str()).collect()
}
