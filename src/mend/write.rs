//! A mended job as text: the maker's own file with only what changed, comments kept.

use super::change::{border_word, centre_word, sizes, Change};
use crate::geom::Point;
use crate::job::{Shape, Temper};
use crate::units::{length, short, LengthUnit, Mm};
use toml_edit::{value, Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike, Value};

/// The text of a job with changes made to it. Errors in plain words when the text cannot be read or has no place for a
/// change (an outline drawn elsewhere cannot be made bigger here).
pub fn write(text: &str, changes: &[Change]) -> Result<String, String> {
    let mut doc: DocumentMut = text.parse().map_err(|_| "the job file cannot be read".to_string())?;
    let inches = doc.get("units").and_then(Item::as_str) == Some("in");
    let ink = Ink { inches };
    for change in changes {
        ink.change(&mut doc, change)?;
    }
    Ok(doc.to_string())
}

struct Ink {
    /// Plain numbers in the file are inches, so lengths are written with their own unit.
    inches: bool,
}

impl Ink {
    fn length(&self, mm: f64) -> Value {
        let number = short(mm, 3);
        match number.parse::<f64>() {
            Ok(n) if !self.inches => Value::from(n),
            _ => Value::from(format!("{number} mm")),
        }
    }

    fn point(&self, at: Point) -> Value {
        Value::Array(Array::from_iter([self.length(at.x), self.length(at.y)]))
    }

    fn change(&self, doc: &mut DocumentMut, change: &Change) -> Result<(), String> {
        match change {
            Change::Bridge(mm) => set(section(doc, "pattern")?, "bridge", self.length(mm.get())),
            Change::BridgeTo(mm) => set(section(doc, "pattern")?, "bridge_to", self.length(mm.get())),
            Change::Pitch(mm) => set(section(doc, "pattern")?, "pitch", self.length(mm.get())),
            Change::Turn(degrees) => set(section(doc, "pattern")?, "turn", Value::from(*degrees)),
            Change::Centre(centre) => {
                let pattern = section(doc, "pattern")?;
                let key = if pattern.contains_key("center") { "center" } else { "centre" };
                set(pattern, key, Value::from(centre_word(*centre)));
            }
            Change::CornerRadius(mm) => set(section(doc, "pattern")?, "corner_radius", self.length(mm.get())),
            Change::AtBorder(how) => {
                set(section(doc, "pattern")?, "at_border", Value::from(border_word(*how)))
            }
            Change::Border(mm) => set(section(doc, "outline")?, "border", self.length(mm.get())),
            Change::Blade(blade, drill) => {
                let saw = section(doc, "saw")?;
                set(saw, "blade", Value::from(blade.name.as_str()));
                set(saw, "drill", self.length(drill.get()));
            }
            Change::Drill(mm) => set(section(doc, "saw")?, "drill", self.length(mm.get())),
            Change::FrameDepth(mm) => set(section(doc, "saw")?, "frame_depth", self.length(mm.get())),
            Change::Temper(temper) => {
                let word = if *temper == Temper::Soft { "soft" } else { "half-hard" };
                set(section(doc, "sheet")?, "temper", Value::from(word));
            }
            Change::Solder(grade) => {
                set(section(doc, "construction")?, "solder", Value::from(grade.as_str()))
            }
            Change::SolderAsSuits => {
                section(doc, "construction")?.remove("solder");
            }
            Change::Hole(i, at) => {
                let was = self.place(listed(doc, "hole", *i)?);
                set(listed(doc, "hole", *i)?, "at", self.point(*at));
                for k in 0..count(doc, "keep_solid") {
                    let kept = listed(doc, "keep_solid", k)?;
                    if was.is_some() && self.place(kept) == was {
                        set(kept, "at", self.point(*at));
                    }
                }
            }
            Change::Lug(i, degrees) => set(listed(doc, "lug", *i)?, "at_angle", Value::from(*degrees)),
            Change::DrawIn { at, by } => {
                push(doc, "change", &[("at", self.point(*at)), ("draw_in", self.length(by.get()))])?
            }
            Change::Close { at } => {
                push(doc, "change", &[("at", self.point(*at)), ("close", Value::from(true))])?
            }
            Change::Outline(shape) => self.shape(section(doc, "outline")?, shape),
            Change::Window(i, shape) => self.shape(listed(doc, "window", *i)?, shape),
            Change::WindowBorder(i, mm) => set(listed(doc, "window", *i)?, "border", self.length(mm.get())),
            Change::Bigger(by) => self.bigger(doc, *by)?,
        }
        Ok(())
    }

    /// The sizes that differ; those that were left out stay out while they are nought.
    fn shape(&self, table: &mut dyn TableLike, shape: &Shape) {
        for (key, mm) in sizes(shape) {
            let old = table.get(key).and_then(Item::as_value).and_then(|v| self.read(v));
            if old.is_none_or(|old| (old - mm.get()).abs() > 1e-9) && (mm.get() > 0.0 || old.is_some()) {
                set(table, key, self.length(mm.get()));
            }
        }
    }

    /// Every drawn size of the file times a factor; keys that are left out stay left out.
    fn bigger(&self, doc: &mut DocumentMut, by: f64) -> Result<(), String> {
        const SIZES: [&str; 7] =
            ["diameter", "width", "height", "across", "corner_radius", "thick", "border"];
        let outline = section(doc, "outline")?;
        if outline.contains_key("d") || outline.contains_key("file") {
            return Err("an outline drawn elsewhere is made bigger there".into());
        }
        self.scale(outline, &SIZES, by)?;
        self.scale(section(doc, "pattern")?, &["pitch", "bridge", "bridge_to", "corner_radius"], by)?;
        for key in ["keep_solid", "window", "hole", "change"] {
            for i in 0..count(doc, key) {
                let row = listed(doc, key, i)?;
                if key != "hole" {
                    self.scale(row, &SIZES, by)?;
                }
                if let Some(at) = row.get_mut("at").and_then(Item::as_array_mut) {
                    for k in 0..at.len() {
                        let mm = at.get(k).and_then(|v| self.read(v)).ok_or("a place cannot be read")?;
                        at.replace(k, self.length(mm * by));
                    }
                }
            }
        }
        Ok(())
    }

    fn scale(&self, table: &mut dyn TableLike, keys: &[&str], by: f64) -> Result<(), String> {
        for key in keys {
            if let Some(old) = table.get(key).and_then(Item::as_value) {
                let mm = self.read(old).ok_or_else(|| format!("{key} cannot be read"))?;
                set(table, key, self.length((mm * by * 100.0).round() / 100.0));
            }
        }
        Ok(())
    }

    /// Where a row of the file stands, mm.
    fn place(&self, row: &dyn TableLike) -> Option<(f64, f64)> {
        let at = row.get("at")?.as_array()?;
        Some((self.read(at.get(0)?)?, self.read(at.get(1)?)?))
    }

    /// A length of the file in mm.
    fn read(&self, value: &Value) -> Option<f64> {
        let unit = if self.inches { LengthUnit::Inch } else { LengthUnit::Mm };
        let text = match value {
            Value::Integer(n) => n.value().to_string(),
            Value::Float(n) => n.value().to_string(),
            Value::String(s) => s.value().clone(),
            _ => return None,
        };
        length(&text, unit).ok().map(Mm::get)
    }
}

/// Sets a value and keeps the comment beside the old one.
fn set(table: &mut dyn TableLike, key: &str, new: Value) {
    if let Some(old) = table.get_mut(key).and_then(Item::as_value_mut) {
        let decor = old.decor().clone();
        *old = new;
        *old.decor_mut() = decor;
    } else {
        table.insert(key, value(new));
    }
}

/// A section of the file, made at its end if it is not there.
fn section<'a>(doc: &'a mut DocumentMut, name: &str) -> Result<&'a mut dyn TableLike, String> {
    doc.as_table_mut()
        .entry(name)
        .or_insert(Item::Table(Table::new()))
        .as_table_like_mut()
        .ok_or_else(|| format!("[{name}] is not a section"))
}

fn count(doc: &DocumentMut, key: &str) -> usize {
    match doc.get(key) {
        Some(Item::ArrayOfTables(rows)) => rows.len(),
        Some(item) => item.as_array().map_or(0, Array::len),
        None => 0,
    }
}

/// Row `i` of a list of sections.
fn listed<'a>(doc: &'a mut DocumentMut, key: &str, i: usize) -> Result<&'a mut dyn TableLike, String> {
    let missing = || format!("[[{key}]] number {} is not in the file", i + 1);
    match doc.get_mut(key) {
        Some(Item::ArrayOfTables(rows)) => {
            rows.get_mut(i).map(|t| t as &mut dyn TableLike).ok_or_else(missing)
        }
        Some(Item::Value(Value::Array(rows))) => rows
            .get_mut(i)
            .and_then(Value::as_inline_table_mut)
            .map(|t| t as &mut dyn TableLike)
            .ok_or_else(missing),
        _ => Err(missing()),
    }
}

/// One more row of a list of sections.
fn push(doc: &mut DocumentMut, key: &str, fields: &[(&str, Value)]) -> Result<(), String> {
    let item = doc.as_table_mut().entry(key).or_insert(Item::ArrayOfTables(ArrayOfTables::new()));
    match item {
        Item::ArrayOfTables(rows) => {
            let mut row = Table::new();
            for (name, field) in fields {
                row.insert(name, value(field.clone()));
            }
            rows.push(row);
        }
        Item::Value(Value::Array(rows)) => {
            rows.push(InlineTable::from_iter(fields.iter().map(|(n, f)| (*n, f.clone()))));
        }
        _ => return Err(format!("[[{key}]] is not a list")),
    }
    Ok(())
}
