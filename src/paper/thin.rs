//! Which bridges the paper points out as thin.

use crate::checks::{border_limit, bridge_limit, Bridge, Side};
use crate::job::Job;
use crate::units::JUST_PASSED;
use crate::work::Work;

/// Bridges thinner when finished than the hand or the maker asks, thinnest first: what `bridge-width` and `border-width`
/// call too thin, the metal outside holes left out.
pub(super) fn thin_bridges<'a>(job: &Job, work: &'a Work) -> impl Iterator<Item = Bridge> + use<'a> {
    let (bridge, border) = (bridge_limit(job).mm, border_limit(job).mm);
    work.graph.bridges().filter(move |b| {
        let limit = match b.between {
            [Side::Edge, Side::Opening(_)] | [Side::Opening(_), Side::Edge] => border,
            [Side::Edge | Side::Hole(_), Side::Hole(_)] | [Side::Hole(_), Side::Edge] => return false,
            _ => bridge,
        };
        b.finished.get() < limit - JUST_PASSED
    })
}
