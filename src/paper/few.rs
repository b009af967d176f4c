//! How much paper is printed at a time.

use super::copies::templates;
use super::stamp::Times;
use super::template::MOST_NUMBERS;
use crate::error::Error;
use crate::geom::Edge;
use crate::job::Job;
use crate::units::limits::{DRAWN, PAGES, PRINTED};
use crate::work::Work;

/// Refuses jobs that would take more paper than anybody prints at a time, before it is laid out.
pub fn few_enough(items: &[(&Job, &Work)]) -> Result<(), Error> {
    let Some((first, work)) = items.first() else { return Ok(()) };
    let paper = &first.paper.size;
    let openings: usize = items.iter().map(|(job, work)| templates(job) * work.piece.openings.len()).sum();
    let area = |(job, work): &(&Job, &Work)| {
        let (width, height) = work.piece.outline.size;
        templates(job) as f64 * width.get() * height.get()
    };
    let drawn: f64 = items.iter().map(|(job, work)| (templates(job) * pieces(work)) as f64).sum();
    // At best: templates lie edge to edge. One piece may be as large as it likes: it is split, or told to be too big.
    let pages = match items.iter().map(|(job, _)| templates(job)).sum::<usize>() > 2 {
        true => (items.iter().map(area).sum::<f64>() / (paper.width * paper.height)).ceil(),
        false => 0.0,
    };
    let limits = [(&PRINTED, openings as f64), (&DRAWN, drawn), (&PAGES, pages)];
    for (limit, count) in limits {
        if let Err(unread) = limit.counted(count) {
            let copies = f64::from(first.paper.copies);
            let would_do = (copies * limit.most / count).floor();
            if would_do >= 1.0 && copies > 1.0 {
                let todo = format!("copies = {would_do} would do: {}", limit.why);
                return Err(first.refused("paper.copies", unread.wrong, todo));
            }
            let pitch =
                first.units.says(work.piece.resolved.pitch.get() * (count / limit.most).sqrt() * 1.01, 2);
            let todo = format!("{}; a pitch of {pitch} would do", unread.todo);
            return Err(first.refused("pattern.pitch", unread.wrong, todo));
        }
    }
    Ok(())
}

/// A circle and four ticks.
const PUNCH_MARK: usize = 5;

/// Lines and curves that the openings of a piece are drawn with: an arc takes one for each twelfth of a turn, an opening that
/// is stamped one for its place.
fn pieces(work: &Work) -> usize {
    let of = |edge: Edge| match edge {
        Edge::Line { .. } => 1,
        Edge::Arc { .. } => (edge.sweep().abs() * 6.0 / std::f64::consts::PI).ceil().max(1.0) as usize,
    };
    let openings = &work.piece.openings;
    let stamped = openings.len() > MOST_NUMBERS;
    let times = Times::of(openings);
    let each = openings.iter().map(|opening| match stamped && times.are_many(opening) {
        true => 1,
        false => PUNCH_MARK + opening.ring.edges().map(of).sum::<usize>(),
    });
    each.sum()
}
