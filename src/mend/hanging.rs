//! Where a hole or a lug would have to stand for the piece to hang straight.

use super::change::{near, Change};
use crate::geom::Point;
use crate::job::Job;
use crate::work::Work;

/// Moving a hole moves the balance point a little after it: so much more or less of the way is tried as well.
const MORE_OR_LESS: [f64; 3] = [0.0, 0.06, -0.06];

/// The hole it hangs from moved over the balance point, at its height or as far from the middle; a lug turned; two holes
/// moved together. A hole below the balance point goes as far above it.
pub(super) fn options(job: &Job, work: &Work) -> Vec<Vec<Change>> {
    let Some(hang) = &work.plan.hang else { return Vec::new() };
    let Some(top) = &hang.hole else { return Vec::new() };
    let drilled: Vec<usize> = (0..job.holes.len())
        .filter(|&i| {
            let h = &job.holes[i];
            let twin = hang.two && (h.at.y - top.at.y).abs() <= 0.5 && h.diameter.get() == top.diameter;
            h.at == top.at || twin
        })
        .collect();
    let edge = &work.piece.outline.edge;
    let turned_over = hang.above <= 0.0;
    let mut all = Vec::new();
    for more in MORE_OR_LESS {
        let by = -hang.aside * (1.0 + more);
        if !drilled.is_empty() {
            let moved = |up: &dyn Fn(Point) -> f64| {
                let changes = drilled.iter().map(|&i| {
                    let at = job.holes[i].at;
                    (i, near(Point::new(at.x + by, up(at))))
                });
                let changes: Vec<(usize, Point)> = changes.collect();
                let inside = changes.iter().all(|(_, at)| edge.contains(*at));
                inside.then(|| changes.into_iter().map(|(i, at)| Change::Hole(i, at)).collect::<Vec<_>>())
            };
            if turned_over {
                all.extend(moved(&|at| 2.0 * hang.balance.y - at.y));
            } else {
                all.extend(moved(&|at| at.y));
                if drilled.len() == 1 {
                    let out = top.at.to_vec2().hypot2() - (top.at.x + by).powi(2);
                    all.extend(moved(&|_| out.max(0.0).sqrt()));
                }
            }
        } else if let Some(lug) = lug_at(job, top.at) {
            // As far from the middle as it is, over the balance point.
            let share = ((top.at.x + by) / top.at.to_vec2().hypot2().sqrt().max(1e-9)).clamp(-1.0, 1.0);
            let degrees = (libm::acos(share).to_degrees() * 10.0).round() / 10.0;
            all.push(vec![Change::Lug(lug, degrees)]);
        }
    }
    all
}

/// The lug whose hole lies nearest to the way from the middle to a point.
fn lug_at(job: &Job, at: Point) -> Option<usize> {
    let angle = libm::atan2(at.y, at.x).to_degrees();
    let apart = |i: &usize| {
        let turn = (job.lugs[*i].at_angle - angle).rem_euclid(360.0);
        turn.min(360.0 - turn)
    };
    (0..job.lugs.len()).filter(|i| apart(i) < 5.0).min_by(|a, b| apart(a).total_cmp(&apart(b)))
}
