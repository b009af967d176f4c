//! What stands for a key: what is typed, or by the table what is usual or learnt.

use super::{field, Usual};
use crate::job::values::{Known, Origin, Value, Values};

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
