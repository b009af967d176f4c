//! Which step of a job reads which key first.

use crate::job::fields::Usual;
use crate::job::{fields, Job, Value};
use std::collections::BTreeSet;

/// The steps of a job, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// The edge, the border and what is fixed in it.
    Outline,
    /// The pattern laid, bridges still on.
    Cells,
    /// Bridges taken off, cells trimmed and numbered.
    Openings,
    /// The metal between, measured.
    Bridges,
    /// What speaks against it, and the plan.
    Findings,
    /// Pages.
    Paper,
}

/// Sections, and single keys before them, whose first reader is not the findings.
const READERS: [(&str, Stage); 23] = [
    // Reasons and refusals are told in them.
    ("units", Stage::Outline),
    ("outline", Stage::Outline),
    ("keep_solid", Stage::Outline),
    ("window", Stage::Outline),
    ("hole", Stage::Outline),
    ("lug", Stage::Outline),
    ("measured", Stage::Outline),
    ("construction.bezel", Stage::Outline),
    ("construction.dome", Stage::Outline),
    ("sheet.thickness", Stage::Outline),
    ("middle", Stage::Outline),
    ("row", Stage::Outline),
    // The metal round a hole is a bridge wide.
    ("pattern.bridge", Stage::Outline),
    ("pattern.bridge_to", Stage::Outline),
    ("pattern.corner_radius", Stage::Openings),
    ("pattern", Stage::Cells),
    ("change", Stage::Openings),
    ("limits", Stage::Cells),
    ("saw.drill", Stage::Cells),
    ("saw.blade", Stage::Openings),
    ("wish", Stage::Outline),
    ("saw.clean_up", Stage::Bridges),
    ("paper", Stage::Paper),
];

/// The first step that reads anything in which two readings of a job differ; `None` if nothing does.
pub(super) fn first_reader(before: &Job, after: &Job) -> Option<Stage> {
    if before.source.files != after.source.files {
        return Some(Stage::Outline);
    }
    let (old, new) = (paths(before), paths(after));
    let changed = old.union(&new).filter_map(|path| {
        let value = |job: &Job| -> Option<Value> { Some(job.source.values.get(path)?.0) };
        (value(before) != value(after)).then(|| reader(path))
    });
    let first = changed.min();
    // A text whose words moved and whose values did not is read again by nobody; what was typed is told on the paper.
    let told = before.source.text != after.source.text;
    first.or(told.then_some(Stage::Findings))
}

/// Every path whose value may differ: those typed, and of the sections that stand once or in the file each key that another
/// stands for when it is left out.
fn paths(job: &Job) -> BTreeSet<String> {
    let typed: BTreeSet<String> = job.source.values.typed().map(|(path, _)| path.to_string()).collect();
    let single = fields::sections().filter(|section| !section.many).map(|section| section.path);
    let heads: BTreeSet<&str> =
        typed.iter().filter_map(|path| Some(path.rsplit_once('.')?.0)).chain(single).collect();
    let keys = heads.into_iter().flat_map(|head| {
        let fields = fields::section(head).into_iter().flat_map(|section| section.all_fields());
        let fields = fields
            .filter(|field| matches!(field.usual, Usual::By(..) | Usual::BySkill(..) | Usual::Learnt(..)));
        fields.map(
            move |field| {
                if head.is_empty() {
                    field.key.to_string()
                } else {
                    format!("{head}.{}", field.key)
                }
            },
        )
    });
    let keys: BTreeSet<String> = keys.collect();
    &typed | &keys
}

fn reader(path: &str) -> Stage {
    let under = |key: &str| {
        path.strip_prefix(key).is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
    };
    READERS.iter().find(|(key, _)| under(key)).map_or(Stage::Findings, |(_, stage)| *stage)
}
