//! The values of a job by their paths: typed, learnt, or what stands for those that are left out.

use super::{Rates, Skill};
use crate::units::{short, LengthUnit, Mm, MM_PER_INCH};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// What a key holds. Lengths in mm, places from the middle of the piece.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A length, mm.
    Mm(f64),
    /// A plain number.
    Number(f64),
    /// Yes or no.
    Yes(bool),
    /// A name or a text.
    Word(Cow<'static, str>),
    /// Lengths in brackets, mm: a place, two sides, several readings.
    List(Vec<f64>),
    /// Two plain numbers in brackets.
    Numbers(f64, f64),
    /// Width and height in braces, mm.
    Size(f64, f64),
    /// The keys of a section that may stand several times.
    Row(Vec<(&'static str, Value)>),
    /// As a person types it in a job file.
    Raw(String),
}

impl Value {
    /// A length, mm.
    pub fn as_mm(&self) -> Option<f64> {
        match self {
            Value::Mm(mm) => Some(*mm),
            _ => None,
        }
    }

    /// A word.
    pub fn word(text: &str) -> Self {
        Value::Word(Cow::Owned(text.to_string()))
    }
}

impl fmt::Display for Value {
    /// As it may be typed in a job in mm.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.in_units(LengthUnit::Mm))
    }
}

impl Value {
    /// As it may be typed in a job in these units: lengths to four decimals.
    pub fn in_units(&self, units: LengthUnit) -> String {
        let n = |v: f64| short(v, 4);
        let mm = |v: f64| match units {
            LengthUnit::Mm => n(v),
            LengthUnit::Inch => n(v / MM_PER_INCH),
        };
        match self {
            Value::Mm(v) => mm(*v),
            Value::Number(v) => n(*v),
            Value::Yes(yes) => yes.to_string(),
            Value::Word(word) => format!("{word:?}"),
            Value::List(list) => format!("[{}]", list.iter().map(|v| mm(*v)).collect::<Vec<_>>().join(", ")),
            Value::Numbers(a, b) => format!("[{}, {}]", n(*a), n(*b)),
            Value::Size(w, h) => format!("{{ width = {}, height = {} }}", mm(*w), mm(*h)),
            Value::Raw(text) => text.clone(),
            Value::Row(keys) => {
                let each: Vec<String> =
                    keys.iter().map(|(k, v)| format!("{k} = {}", v.in_units(units))).collect();
                format!("{{ {} }}", each.join(", "))
            }
        }
    }
}

/// Where a value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// It stands in the job file.
    Typed,
    /// Left out: what usually stands for it.
    Usual,
    /// Learnt from minutes really taken.
    Learnt,
    /// Left out, and nothing stands for it.
    Absent,
}

/// All values of a job. Paths are those of the key table with places in lists: `saw.drill`, `window[0].border`.
#[derive(Debug, Clone, Default)]
pub struct Values {
    pub(super) typed: BTreeMap<String, Value>,
    /// The sections that stand in the file.
    pub(super) sections: BTreeSet<String>,
    pub(super) learnt: Rates,
}

impl Values {
    /// Whether the maker typed it.
    pub fn is_typed(&self, path: &str) -> bool {
        self.typed.contains_key(path)
    }

    /// Every typed path with its value, in the order of the alphabet.
    pub fn typed(&self) -> impl Iterator<Item = (&str, &Value)> {
        self.typed.iter().map(|(path, value)| (path.as_str(), value))
    }
}

/// What a rule for a key that is left out may look at: the other values of the job.
pub struct Known<'v> {
    pub(super) values: &'v Values,
    /// The section the key stands in.
    pub(super) here: &'v str,
}

impl Known<'_> {
    /// A length, mm.
    pub fn mm(&self, path: &str) -> Option<f64> {
        match self.values.get(path)?.0 {
            Value::Mm(mm) => Some(mm),
            _ => None,
        }
    }

    /// A name or a text.
    pub fn word(&self, path: &str) -> Option<Cow<'static, str>> {
        match self.values.get(path)?.0 {
            Value::Word(word) => Some(word),
            _ => None,
        }
    }

    /// Yes or no.
    pub fn yes(&self, path: &str) -> Option<bool> {
        match self.values.get(path)?.0 {
            Value::Yes(yes) => Some(yes),
            _ => None,
        }
    }

    /// A length of the section the key stands in, mm.
    pub fn here_mm(&self, key: &str) -> Option<f64> {
        self.mm(&format!("{}.{key}", self.here))
    }

    /// A name of the section the key stands in.
    pub fn here_word(&self, key: &str) -> Option<Cow<'static, str>> {
        self.word(&format!("{}.{key}", self.here))
    }

    /// The words typed for a key in the sections of the same list that stand before this one.
    pub fn before_here<'k>(&'k self, key: &'k str) -> impl Iterator<Item = Cow<'static, str>> + 'k {
        let (list, i) = self.here.split_once('[').unwrap_or((self.here, "0"));
        let here: usize = i.trim_end_matches(']').parse().unwrap_or(0);
        (0..here).filter_map(move |i| self.word(&format!("{list}[{i}].{key}")))
    }

    /// Whether a section stands in the file.
    pub fn has_section(&self, path: &str) -> bool {
        self.values.sections.contains(path)
    }

    /// The maker's hand.
    pub fn skill(&self) -> Skill {
        self.word("skill").and_then(|word| Skill::named(&word)).unwrap_or(Skill::First)
    }
}

/// A point of a list of two.
pub(super) fn pair(list: &[f64]) -> Option<(Mm, Mm)> {
    match list {
        &[a, b] => Some((Mm(a), Mm(b))),
        _ => None,
    }
}
