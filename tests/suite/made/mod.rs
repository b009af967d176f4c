//! Jobs for tests: one that every check is content with, and its parts replaced one by one.

pub mod faulty;
pub mod page;

use sawpierce::checks::Verdict;
use sawpierce::job::{parse, Job, NamedFiles, Settings};
use sawpierce::work::{work, Work};
use toml_edit::{DocumentMut, Item, Table, Value};

/// 46 mm of 0.9 mm half-hard copper, hexagons at 6.2 mm with 1.2 mm bridges, sawn with 2/0 and drilled 1.0.
pub const DISC: &str = r#"
title = "Disc"
skill = "practised"
[sheet]
metal = "copper"
thickness = 0.9
temper = "half-hard"
[outline]
shape = "circle"
diameter = 46
border = 2.5
[pattern]
at_border = "trim"
name = "hexagon"
pitch = 6.2
bridge = 1.2 # as drawn
[limits]
opening = 1.2
[saw]
blade = "2/0"
drill = 1.0
"#;

/// The disc with values set ("pattern.bridge", "0.8") and more text at the end.
pub fn disc(set: &[(&str, &str)], more: &str) -> String {
    with(DISC, set) + more
}

pub fn with(text: &str, set: &[(&str, &str)]) -> String {
    let mut doc: DocumentMut = text.parse().expect("toml");
    for (key, value) in set {
        let value: Value = value.parse().unwrap_or_else(|_| panic!("{value}"));
        let mut at: &mut Item = doc.as_item_mut();
        let (path, last) = key.rsplit_once('.').unwrap_or(("", key));
        for name in path.split('.').filter(|n| !n.is_empty()) {
            at = at.as_table_mut().expect("a table").entry(name).or_insert(Item::Table(Table::new()));
        }
        at.as_table_mut().expect("a table").insert(last, Item::Value(value));
    }
    doc.to_string()
}

pub fn job(text: &str) -> Job {
    let settings = Settings::default();
    parse(text, "test.toml", &NamedFiles::new(), &settings).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

pub fn done(job: &Job) -> Work {
    work(job).unwrap_or_else(|e| panic!("{e}"))
}

/// The verdicts of one check that are not good.
pub fn said<'a>(verdicts: &'a [Verdict], check: &str) -> Vec<&'a Verdict> {
    verdicts.iter().filter(|v| v.check.name() == check && v.level.is_fault()).collect()
}
