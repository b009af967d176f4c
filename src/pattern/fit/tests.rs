//! Counts and sums of a reference implementation of the method, worked beforehand.

use super::*;
use crate::catalogue::find;
use crate::geom::{sin_cos_degrees, Region};

fn regular(sides: usize, across: f64) -> Ring {
    Ring::polygon((0..sides).map(|k| {
        let (s, c) = sin_cos_degrees(360.0 * k as f64 / sides as f64);
        Point::new(c * across / 2.0, s * across / 2.0)
    }))
}

fn case(name: &str, pitch: f64, outer: Ring, hole: Option<Ring>) {
    let (bridge, border) = (1.1, 2.2);
    let pattern = find(name).expect("shipped");
    let by = border - bridge / 2.0;
    let region = Region::new(outer.shrink(by).remove(0), hole.map(|h| h.grow(by)).into_iter().collect());
    let field = Field::of(&region);
    let tiling = Tiling::of(&pattern);
    let kinds: Vec<Ring> = pattern.shapes.iter().map(|s| s.ring.scaled(pitch)).collect();
    let starts: Vec<Start> = crate::pattern::periodic::starts(&pattern, crate::job::CentreChoice::Best);
    for k in 0..starts.len() {
        let ask = Ask {
            field: &field,
            tiling: &tiling,
            kinds: &kinds,
            size: pitch,
            turn: 0.0,
            starts: &starts[k..=k],
            middle: Point::ORIGIN,
            typed: true,
            bridge,
            least: 1.2,
            round: None,
        };
        let own: Vec<Look> = ask.kinds.iter().map(|k| Look::at(k, ask.bridge / 2.0)).collect();
        for t in tries(&ask) {
            let start = t.mesh.tiles.iter().filter(|t| t.share > 0.5).count();
            let kept = t.kept.iter().filter(|k| **k).count();
            let fit = bend(&ask, &t, &own);
            print!(
                "{name} {pitch} {:?} G {} r {start} -> {kept} sum {:.3} area {:.3}",
                starts[k].name,
                t.group.len(),
                t.sum,
                field.area
            );
            if let Some(fit) = fit {
                let mut d: Vec<f64> = fit.judged.looks.iter().map(|l| 2.0 * l.radius).collect();
                d.sort_by(f64::total_cmp);
                let least = fit
                    .faces
                    .iter()
                    .filter(|f| !f.whole)
                    .map(|f| Look::at(&f.ring, 0.0).sharpest)
                    .fold(180.0, f64::min);
                let total: f64 = fit.faces.iter().map(|f| f.ring.area()).sum();
                println!(
                    " d {:.3} {:.3} {:.3} angle {:.0} E {:.2} total {:.3} crossed {}",
                    d[0],
                    d[d.len() / 2],
                    d[d.len() - 1],
                    least,
                    fit.judged.score,
                    total,
                    fit.judged.crossed
                );
            }
        }
    }
}

#[test]
fn reference() {
    let circle = |d: f64| Ring::circle(Point::ORIGIN, d / 2.0);
    case("hexagon", 5.0, circle(40.0), None);
    case("hexagon", 3.2, circle(40.0), None);
    case("hexagon", 5.0, regular(6, 42.0), None);
    case("hexagon", 5.0, regular(6, 42.0).rotated(30.0), None);
    let cushion = crate::job::Shape::Cushion {
        width: crate::units::Mm(36.0),
        height: crate::units::Mm(36.0),
        corner_radius: crate::job::Shape::cushion_corner(crate::units::Mm(36.0), crate::units::Mm(36.0)),
    };
    case("square", 4.6, crate::outline::rings(&cushion).unwrap().remove(0), None);
    case("triangle", 7.0, circle(40.0), None);
    case("square", 4.6, circle(40.0), None);
    case("kites", 9.5, circle(40.0), None);
    case("hexagon", 5.0, circle(44.0), Some(circle(12.0)));
    case("square", 4.6, Ring::rectangle(crate::geom::Rect::new(-20.0, -14.0, 20.0, 14.0)), None);
    panic!("look");
}
