//! Squares whose corners are rounded off two at a time, this way or that.

use super::{turned, Growth, GrowthAsk, Shuffle};
use crate::geom::{Ring, Vec2, Vertex};

/// Bulge of a quarter of a circle: tan 22.5 degrees.
const QUARTER: f64 = std::f64::consts::SQRT_2 - 1.0;

/// The three cells of the square from (0, 0) to (1, 1) with bridges round two opposite corners.
fn square(other_way: bool) -> [Ring; 3] {
    let corner = Ring::new(vec![
        Vertex::new(0.0, 0.0, 0.0),
        Vertex::new(0.5, 0.0, QUARTER),
        Vertex::new(0.0, 0.5, 0.0),
    ]);
    let far = Ring::new(vec![
        Vertex::new(1.0, 1.0, 0.0),
        Vertex::new(0.5, 1.0, QUARTER),
        Vertex::new(1.0, 0.5, 0.0),
    ]);
    let waist = Ring::new(vec![
        Vertex::new(0.5, 0.0, 0.0),
        Vertex::new(1.0, 0.0, 0.0),
        Vertex::new(1.0, 0.5, -QUARTER),
        Vertex::new(0.5, 1.0, 0.0),
        Vertex::new(0.0, 1.0, 0.0),
        Vertex::new(0.0, 0.5, -QUARTER),
    ]);
    let cells = [corner, far, waist];
    if other_way {
        cells.map(|r| r.mirrored().translated(Vec2::new(1.0, 0.0)))
    } else {
        cells
    }
}

pub(super) fn grow(ask: &GrowthAsk) -> Result<Growth, String> {
    if ask.closed {
        return go_round(ask);
    }
    let reach = ask.reach() / ask.pitch + 1.0;
    ask.not_too_many(12.0 * reach * reach)?;
    let squares = reach.ceil() as i64;
    let ways = [square(false), square(true)];
    let mut shuffle = Shuffle::new(ask.variation);
    let mut rings = Vec::new();
    // From the middle outwards in a fixed order, so that a larger piece keeps what a smaller one showed.
    for round in 0..=squares {
        for j in -round - 1..=round {
            for i in -round - 1..=round {
                let edge = i == -round - 1 || i == round || j == -round - 1 || j == round;
                if !edge {
                    continue;
                }
                let way = &ways[(shuffle.draw() >> 63) as usize];
                rings.extend(
                    way.iter().map(|r| r.translated(Vec2::new(i as f64, j as f64)).scaled(ask.pitch)),
                );
            }
        }
    }
    Ok(Growth { cells: turned(rings, ask.turn), order: 1, ..Growth::default() })
}

/// Whole squares from end to end of the strip, their size the nearest to the pitch; a row's edge runs along its middle.
fn go_round(ask: &GrowthAsk) -> Result<Growth, String> {
    let run = ask.bounds.width();
    let count = (run / ask.pitch).round().max(1.0);
    let size = run / count;
    let rows = (ask.bounds.y0 / size).floor() as i64..=(ask.bounds.y1 / size).ceil() as i64;
    ask.not_too_many(3.0 * count * (rows.end() - rows.start() + 1) as f64)?;
    let ways = [square(false), square(true)];
    let mut shuffle = Shuffle::new(ask.variation);
    let mut rings = Vec::new();
    for column in 0..count as i64 {
        for row in rows.clone() {
            let way = &ways[(shuffle.draw() >> 63) as usize];
            let at = Vec2::new(column as f64 * size - run / 2.0, row as f64 * size);
            rings.extend(way.iter().map(|r| r.scaled(size).translated(at)));
        }
    }
    Ok(Growth { cells: rings, order: 1, repeats: vec![count as u32], ..Growth::default() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_cells_make_a_square() {
        for way in [square(false), square(true)] {
            let areas: Vec<f64> = way.iter().map(Ring::area).collect();
            // Quarter disc pi/16, waist 1 - pi/8.
            assert!((areas[0] - std::f64::consts::PI / 16.0).abs() < 1e-12);
            assert!((areas[2] - (1.0 - std::f64::consts::PI / 8.0)).abs() < 1e-12);
            assert!((areas.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        }
    }
}
