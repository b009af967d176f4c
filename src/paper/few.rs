//! How much paper is printed at a time.

use super::copies::templates;
use crate::error::Error;
use crate::job::Job;
use crate::units::limits::{PAGES, PRINTED};
use crate::work::Work;

/// Refuses jobs that would take more paper than anybody prints at a time, before it is laid out.
pub fn few_enough(items: &[(&Job, &Work)]) -> Result<(), Error> {
    let Some((first, _)) = items.first() else { return Ok(()) };
    let paper = &first.paper.size;
    let openings: usize = items.iter().map(|(job, work)| templates(job) * work.piece.openings.len()).sum();
    let area = |(job, work): &(&Job, &Work)| {
        let (width, height) = work.piece.outline.size;
        templates(job) as f64 * width.get() * height.get()
    };
    // At best: templates lie edge to edge.
    let pages = (items.iter().map(area).sum::<f64>() / (paper.width * paper.height)).ceil();
    let limits = [(&PRINTED, openings as f64), (&PAGES, pages)];
    for (limit, count) in limits {
        if let Err(unread) = limit.counted(count) {
            let copies = f64::from(first.paper.copies);
            let would_do = (copies * limit.most / count).floor();
            let todo = match would_do >= 1.0 && copies > 1.0 {
                true => format!("copies = {would_do} would do: {}", limit.why),
                false => unread.todo,
            };
            return Err(first.refused("paper.copies", unread.wrong, todo));
        }
    }
    Ok(())
}
