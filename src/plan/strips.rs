//! The strip that walls a plate and the plate behind it, round circles and round any outline.

use super::measured::{sharp_corners, Measured};
use super::part::{Part, PartName, CUT_LONG, PRACTICE, STRIP};
use crate::geom::{Edge, Ring};
use crate::job::RimSits;
use crate::trade::fits;

/// A line drawn in (`by` < 0) or out, longest ring. A rim that fills the plate runs along its edge, the longest it can be.
fn drawn(ring: &Ring, by: f64) -> Ring {
    if by < 0.0 {
        let left = ring.shrink(-by).into_iter();
        left.max_by(|a, b| a.area().total_cmp(&b.area())).unwrap_or_else(|| ring.clone())
    } else {
        ring.grow(by)
    }
}

/// The strip round or under the plate: through the middle of its thickness.
pub(super) fn rim_line(bench: &Measured) -> Option<Ring> {
    let rim = bench.job.construction.rim?;
    let half = rim.thickness.get() / 2.0;
    Some(match rim.sits {
        RimSits::UnderPlate => drawn(&bench.base, -half),
        RimSits::RoundEdge => drawn(&bench.base, half),
    })
}

/// The outside of rim and plate, and so much beyond it: what a back plate stands under.
pub(super) fn rim_outside(bench: &Measured, beyond: f64) -> Ring {
    let adds = match bench.job.construction.rim {
        Some(rim) if rim.sits == RimSits::RoundEdge => rim.thickness.get(),
        _ => 0.0,
    };
    drawn(&bench.base, adds + beyond)
}

pub(super) fn rim(bench: &Measured) -> Option<Part> {
    let rim = bench.job.construction.rim?;
    let (t, units) = (rim.thickness.get(), bench.job.units);
    let (where_, sign) = match rim.sits {
        RimSits::UnderPlate => ("under the plate, outside flush with the edge", "−"),
        RimSits::RoundEdge => ("round the edge", "+"),
    };
    let line = rim_line(bench)?;
    let (length, sum) = match bench.across {
        Some(across) => {
            let length = match rim.sits {
                RimSits::UnderPlate => fits::strip_under(across, t),
                RimSits::RoundEdge => fits::strip_round(across, t),
            };
            (
                length,
                format!(
                    "π × ({} {sign} {}) = {}",
                    units.plain(across, 2),
                    units.plain(t, 2),
                    units.plain(length, 2)
                ),
            )
        }
        None => {
            let round = bench.base.perimeter();
            let length = line.perimeter();
            let way = if rim.sits == RimSits::UnderPlate { "in" } else { "out" };
            (
                length,
                format!(
                    "distance round the edge {}, drawn {way} by half the strip ({}): {}",
                    units.plain(round, 2),
                    units.plain(t / 2.0, 2),
                    units.plain(length, 2)
                ),
            )
        }
    };
    let mut part = Part::new(PartName::RimStrip, 1, sum, STRIP)
        .size("length_mm", "length", length)
        .size("height_mm", "height", rim.height.get())
        .size("thickness_mm", "thickness", t)
        .note(format!("stands {where_}"))
        .note(format!(
            "cut {} ({} more) and file both ends square until it closes",
            units.says(length + CUT_LONG, 2),
            units.short(CUT_LONG, 2)
        ));
    let corners = sharp_corners(&bench.base);
    if !corners.is_empty() {
        part.bends = bends(&bench.base, &line);
        if !part.bends.is_empty() {
            let at: Vec<String> = part.bends.iter().map(|b| units.plain(*b, 1)).collect();
            part = part.note(format!(
                "score and bend at {} {} from the seam, which falls in the middle of a side",
                at.join(", "),
                units.sign()
            ));
        }
    }
    if !bench.job.lugs.is_empty() {
        part = part.note("the lugs stand outside the strip and are not in its length");
    }
    Some(part)
}

/// Where along the strip each sharp corner falls, from a seam in the middle of the longest side.
fn bends(base: &Ring, strip: &Ring) -> Vec<f64> {
    let corners = sharp_corners(base);
    let total = strip.perimeter();
    // Along the strip: the point of its line nearest to each corner.
    let mut along: Vec<f64> = corners.iter().map(|corner| along_nearest(strip, corner.at)).collect();
    along.sort_by(f64::total_cmp);
    along.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let n = along.len();
    if n < 2 {
        return along.iter().map(|_| total / 2.0).collect();
    }
    let gap = |i: usize| if i + 1 < n { along[i + 1] - along[i] } else { along[0] + total - along[n - 1] };
    let longest = (0..n).fold(0, |best, i| if gap(i) > gap(best) + 1e-6 { i } else { best });
    let seam = along[longest] + gap(longest) / 2.0;
    let mut bends: Vec<f64> = along.iter().map(|a| (a - seam).rem_euclid(total)).collect();
    bends.sort_by(f64::total_cmp);
    bends
}

/// How far along a ring the place of a corner at `p` lies: its nearest point, or the middle of the arc drawn round it.
fn along_nearest(ring: &Ring, p: crate::geom::Point) -> f64 {
    let mut best = (f64::INFINITY, 0.0);
    let mut start = 0.0;
    for edge in ring.edges() {
        let (q, share) = match edge {
            Edge::Arc { centre, .. } if (centre - p).hypot2().sqrt() < SAME_PLACE => (edge.point(0.5), 0.5),
            _ => {
                let q = edge.nearest(p);
                (q, share_along(&edge, q))
            }
        };
        let apart = (q - p).hypot2().sqrt();
        // On the arc round a corner every point is as near as its ends, which belong to the sides as well.
        let round = matches!(edge, Edge::Arc { .. }) && share == 0.5;
        if apart < best.0 - SAME_PLACE || (round && apart < best.0 + SAME_PLACE) {
            best = (apart, start + share * edge.length());
        }
        start += edge.length();
    }
    best.1
}

/// Nearer than this two places are one, mm.
const SAME_PLACE: f64 = 1e-6;

/// How far along an edge a point of it lies, 0 to 1.
fn share_along(edge: &Edge, q: crate::geom::Point) -> f64 {
    match *edge {
        Edge::Line { from, to } => {
            let length = (to - from).hypot2().sqrt();
            if length > 0.0 {
                ((q - from).hypot2().sqrt() / length).min(1.0)
            } else {
                0.0
            }
        }
        Edge::Arc { from, centre, .. } => {
            let (a, b) = (from - centre, q - centre);
            let turned = libm::atan2(a.cross(b), a.dot(b)) * edge.sweep().signum();
            let turned = if turned < -SAME_PLACE { turned + std::f64::consts::TAU } else { turned.max(0.0) };
            (turned / edge.sweep().abs()).min(1.0)
        }
    }
}

pub(super) fn back(bench: &Measured) -> Option<Part> {
    let back = bench.job.construction.back?;
    let (overhang, units) = (back.overhang.get(), bench.job.units);
    let (rim_adds, outside) = match bench.job.construction.rim {
        Some(rim) if rim.sits == RimSits::RoundEdge => (rim.thickness.get(), "outside of the rim"),
        Some(_) => (0.0, "outside of the rim"),
        None => (0.0, "edge"),
    };
    let grown = rim_outside(bench, overhang);
    let grams = grown.area() * back.thickness.get() * bench.job.sheet.metal.density * 1e-3;
    let part = match bench.across {
        Some(across) => {
            let rim_outside = across + 2.0 * rim_adds;
            let whole = rim_outside + 2.0 * overhang;
            Part::new(
                PartName::BackPlate,
                1,
                format!(
                    "{outside} {} + 2 × {} = {}",
                    units.plain(rim_outside, 2),
                    units.plain(overhang, 2),
                    units.plain(whole, 2)
                ),
                PRACTICE,
            )
            .size("diameter_mm", "across", whole)
        }
        None => {
            let adds = 2.0 * (rim_adds + overhang);
            Part::new(
                PartName::BackPlate,
                1,
                format!(
                    "overall {} × {}, and {} more each way",
                    units.plain(bench.size.0, 2),
                    units.plain(bench.size.1, 2),
                    units.plain(adds, 2)
                ),
                PRACTICE,
            )
            .size("width_mm", "width", bench.size.0 + adds)
            .size("height_mm", "height", bench.size.1 + adds)
        }
    };
    Some(
        part.size("thickness_mm", "thickness", back.thickness.get())
            .size("weight_g", "weight", grams)
            .note(format!("trim the overhang of {} once it is joined", units.says(overhang, 2))),
    )
}
