//! Counts and sums of a reference implementation of the method, worked beforehand.

use super::*;
use crate::catalogue::find;
use crate::geom::{sin_cos_degrees, Point, Region, Ring};
use crate::pattern::fit::budget::Budget;
use crate::pattern::fit::field::Domain;
use crate::pattern::fit::place::SHARE;
use crate::pattern::fit::tiling::Tiling;

fn regular(sides: usize, across: f64) -> Ring {
    Ring::polygon((0..sides).map(|k| {
        let (s, c) = sin_cos_degrees(360.0 * k as f64 / sides as f64);
        Point::new(c * across / 2.0, s * across / 2.0)
    }))
}

/// What the reference gives for one case: pattern, pitch, cells at first and kept, order, sum, least and middle circle.
struct Reference {
    pattern: &'static str,
    pitch: f64,
    order: usize,
    cells: (usize, usize),
    sum: f64,
    circles: (f64, f64),
    score: f64,
}

/// Bridge 1.1 mm, border 2.2 mm, the pattern not turned, nothing mended; the best of the listed centres of that order.
fn fits(known: &Reference, outer: Ring, hole: Option<Ring>) {
    let (bridge, border) = (1.1, 2.2);
    let pattern = find(known.pattern).expect("shipped");
    let by = border - bridge / 2.0;
    let region = Region::new(outer.shrink(by).remove(0), hole.map(|h| h.grow(by)).into_iter().collect());
    let field = Domain::of(&region);
    let tiling = Tiling::of(&pattern);
    let kinds: Vec<Ring> = pattern.shapes.iter().map(|s| s.ring.scaled(known.pitch)).collect();
    let starts = crate::pattern::periodic::starts(&pattern, crate::job::CentreChoice::Best);
    let own: Vec<CellShape> = kinds.iter().map(|k| CellShape::at(k, bridge / 2.0, NEAR)).collect();
    let mut seen = Vec::new();
    for k in 0..starts.len() {
        let ask = FitRequest {
            field: &field,
            tiling: &tiling,
            kinds: &kinds,
            size: known.pitch,
            turn: 0.0,
            starts: &starts[k..=k],
            middle: Point::ORIGIN,
            typed: true,
            bridge,
            least: 1.2,
            round: None,
            budget: &Budget::of(1e3),
        };
        for t in tries(&ask, Symmetric::Most) {
            let first = t.mesh.tiles.iter().filter(|t| t.share > SHARE).count();
            let kept = t.kept.iter().filter(|k| **k).count();
            seen.push(format!("{} {first} {kept} {:.3}", t.group.len(), t.sum));
            if t.group.len() != known.order || (first, kept) != known.cells {
                continue;
            }
            let fit = bend(&ask, &t, &own).expect("loops");
            assert!((t.sum - known.sum).abs() < 0.06, "{} {}", known.pattern, t.sum);
            let mut circles: Vec<f64> = fit.judged.looks.iter().map(|l| 2.0 * l.radius).collect();
            circles.sort_by(f64::total_cmp);
            let found = (circles[0], circles[circles.len() / 2]);
            assert!((found.0 / known.circles.0 - 1.0).abs() < 0.03, "{} {found:?}", known.pattern);
            assert!((found.1 / known.circles.1 - 1.0).abs() < 0.03, "{} {found:?}", known.pattern);
            assert!((fit.judged.score - known.score).abs() < 0.15, "{} {}", known.pattern, fit.judged.score);
            assert_eq!(fit.judged.crossed, 0);
            // All cells together are the field.
            let total: f64 = fit.faces.iter().map(|f| f.ring.area()).sum();
            assert!((total - field.area).abs() < 1e-6, "{} {total} {}", known.pattern, field.area);
            return;
        }
    }
    panic!("{} {}: {seen:?}", known.pattern, known.pitch);
}

/// The reference takes the border's arcs as chords of a quarter of a millimetre, so its sums differ a little.
#[test]
fn known_fits() {
    let circle = |d: f64| Ring::circle(Point::ORIGIN, d / 2.0);
    let known = |pattern, pitch, order, cells, sum, circles, score| Reference {
        pattern,
        pitch,
        order,
        cells,
        sum,
        circles,
        score,
    };
    fits(&known("hexagon", 5.0, 12, (55, 55), 18.376, (2.869, 2.992), 0.84), circle(40.0), None);
    fits(&known("hexagon", 3.2, 12, (121, 121), 13.204, (1.529, 1.925), 0.83), circle(40.0), None);
    let hexagon = regular(6, 42.0).rotated(30.0);
    fits(&known("hexagon", 5.0, 12, (43, 43), 17.337, (3.308, 3.451), 0.39), hexagon, None);
    fits(&known("triangle", 7.0, 12, (54, 54), 8.487, (2.660, 2.738), 0.14), circle(40.0), None);
    fits(&known("square", 4.6, 8, (45, 45), 14.525, (2.802, 3.374), 0.48), circle(40.0), None);
    fits(&known("kites", 9.5, 12, (84, 72), 18.567, (2.396, 2.488), 0.22), circle(40.0), None);
    fits(
        &known("hexagon", 5.0, 12, (54, 54), 13.343, (2.788, 3.297), 0.75),
        circle(44.0),
        Some(circle(12.0)),
    );
    let rectangle = Ring::rectangle(crate::geom::Rect::new(-20.0, -14.0, 20.0, 14.0));
    fits(&known("square", 4.6, 4, (35, 39), 19.360, (2.241, 3.305), 0.90), rectangle, None);
    // x^4 + y^4 = 18^4, by chords.
    let cushion = Ring::polygon((0..720).map(|k| {
        let (s, c) = sin_cos_degrees(k as f64 / 2.0);
        let at = |v: f64| 18.0 * v.signum() * v.abs().sqrt();
        Point::new(at(c), at(s))
    }));
    fits(&known("square", 4.6, 8, (45, 49), 6.078, (2.994, 3.221), 0.34), cushion, None);
}
