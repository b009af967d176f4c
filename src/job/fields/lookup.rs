//! A path looked up in the table: its section, its key, the step that reads it first; and what stands for it: what is typed,
//! or by the table what is usual or learnt.

use super::{sections, Field, Section, Usual};
use crate::job::values::{Known, Origin, Value, Values};
use crate::job::Stage;

/// A section by its path, places in lists left out: `window` for `window[2]`.
pub fn section(path: &str) -> Option<&'static Section> {
    let bare = bare(path);
    sections().find(|s| s.path == bare)
}

/// A key by its whole path: `saw.drill`, `window[2].border`.
pub fn field(path: &str) -> Option<(&'static Section, &'static Field)> {
    let (head, key) = path.rsplit_once('.').unwrap_or(("", path));
    let section = section(head)?;
    Some((section, section.field(key)?))
}

/// The step that reads a value first: by its key, else by the sections it stands in.
pub fn read_by(path: &str) -> Stage {
    if let Some((section, field)) = field(path) {
        return field.read_by.unwrap_or(section.read_by);
    }
    match (section(path), path.rsplit_once('.')) {
        (Some(section), _) => section.read_by,
        (_, Some((head, _))) => read_by(head),
        _ => Stage::Outline,
    }
}

/// A path without the places in lists.
fn bare(path: &str) -> String {
    let mut bare = String::with_capacity(path.len());
    let mut inside = false;
    for c in path.chars() {
        match c {
            '[' => inside = true,
            ']' => inside = false,
            c if !inside => bare.push(c),
            _ => {}
        }
    }
    bare
}

impl Values {
    /// A value, typed or not, with where it comes from; `None` if the path is no key or nothing stands for it.
    pub fn get(&self, path: &str) -> Option<(Value, Origin)> {
        if let Some(value) = self.typed.get(path) {
            return Some((value.clone(), Origin::Typed));
        }
        let (_, field) = field(path)?;
        match &field.usual {
            Usual::Needed | Usual::Nothing(_) => None,
            Usual::Is(value, _) => Some((value.clone(), Origin::Usual)),
            Usual::By(rule, _) | Usual::BySkill(rule, ..) => {
                let here = path.rsplit_once('.').map_or("", |(here, _)| here);
                rule(&Known { values: self, here }).map(|value| (value, Origin::Usual))
            }
            Usual::Learnt(from, _) => from(&self.learnt).map(|v| (Value::Number(v), Origin::Learnt)),
        }
    }

    /// Where the value of a key comes from.
    pub fn origin(&self, path: &str) -> Origin {
        self.get(path).map_or(Origin::Absent, |(_, origin)| origin)
    }
}
