//! From which step on a job has to be worked out anew.

use crate::job::fields::Usual;
use crate::job::{fields, Job, Stage, Value};
use std::collections::BTreeSet;

/// The first step that reads anything in which two readings of a job differ; `None` if nothing does.
pub(super) fn first_reader(before: &Job, after: &Job) -> Option<Stage> {
    if before.source.files != after.source.files {
        return Some(Stage::Outline);
    }
    let (old, new) = (paths(before), paths(after));
    let changed = old.union(&new).filter_map(|path| {
        let value = |job: &Job| -> Option<Value> { Some(job.source.values.get(path)?.0) };
        (value(before) != value(after)).then(|| fields::read_by(path))
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
