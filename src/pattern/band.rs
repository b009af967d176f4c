//! A repeat made to meet itself round a band: whole repeats along, and the seam where it cuts fewest openings.

use crate::catalogue::Pattern;
use crate::geom::{sin_cos_degrees, Rect, Vec2};
use crate::units::{plain, LengthUnit};

/// A repeat this short (in shortest repeats) and this near to the asked direction (degrees) runs straight along the
/// band. Longer ones leave too few whole counts to choose from; a wider angle would turn rows visibly.
const SHORT: f64 = 3.0;
const STRAIGHT: f64 = 0.5;
/// What weighs as much as one part in a hundred of pitch when no short repeat lies along the band, degrees.
const LEAN: f64 = 1.0;
/// Whole repeats looked at each way round the one nearest to the band's end.
const AROUND: i64 = 3;
/// A cell that reaches over the seam by less than this does not cross it, mm.
const REACHES: f64 = 1e-6;

/// How a pattern is sized and turned so that it closes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Closed {
    /// Length of the shortest repeat, mm.
    pub pitch: f64,
    /// Degrees, anticlockwise.
    pub turn: f64,
    /// Whole repeats along the band, and the length of each, mm.
    pub count: u32,
    pub repeat: f64,
    pub notes: Vec<String>,
}

/// What is gone round and the units it is told in, for the notes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Circuit {
    /// "the band".
    pub what: &'static str,
    pub units: LengthUnit,
}

/// Closes a pattern over `run` mm. `at_least`: the pitch must not become smaller than asked.
///
/// A band closes on a whole repeat only: run = k |t| pitch for a repeat t along it (a glide does not close it). So the
/// pitch moves by at most one part in 2 k.
pub(super) fn close(
    pattern: &Pattern,
    pitch: f64,
    turn: f64,
    run: f64,
    at_least: bool,
    round: Circuit,
) -> Closed {
    let wanted = direction(-turn);
    let lean = |t: Vec2| libm::atan2(wanted.cross(t), wanted.dot(t)).to_degrees();
    let mut notes = Vec::new();
    let (m, n, count) = match straight(pattern, &lean) {
        Some((m, n)) => {
            let each = pattern.repeat_of(m, n).hypot2().sqrt();
            let exact = run / (each * pitch);
            let count = if at_least { (exact + 1e-9).floor() } else { exact.round() }.max(1.0);
            notes.extend(counts(run, each, pitch, count, round));
            (m, n, count)
        }
        None => {
            let (m, n) = nearest(pattern, wanted * (run / pitch), &lean);
            notes.push(format!(
                "pitch {}, turned {} degrees: the nearest to {} and {} degrees at which its rows meet round {}",
                round.units.says(run / pattern.repeat_of(m, n).hypot2().sqrt(), 2),
                plain(turn - lean(pattern.repeat_of(m, n)), 2),
                round.units.says(pitch, 2),
                plain(turn, 2),
                round.what
            ));
            (m, n, 1.0)
        }
    };
    let along = pattern.repeat_of(m, n);
    let (each, shared) = (along.hypot2().sqrt(), common(m, n) as f64);
    let sized = run / (count * each);
    let turned = turn - lean(along);
    let count = count * shared;
    Closed { pitch: sized, turn: turned, count: count as u32, repeat: run / count, notes }
}

/// The whole count chosen and the next best, each with its pitch; `None` when the asked pitch fits as it is. `each`: the
/// repeat along, in pitches.
pub(super) fn counts(run: f64, each: f64, pitch: f64, count: f64, round: Circuit) -> Option<String> {
    let exact = run / (each * pitch);
    if (exact - count).abs() <= 1e-9 {
        return None;
    }
    let Circuit { what, units } = round;
    let sized = |k: f64| units.says(run / (k * each), 2);
    let other = if exact >= count { count + 1.0 } else { count - 1.0 };
    let or = if other >= 1.0 { format!("; {other} would make it {}", sized(other)) } else { String::new() };
    // A repeat of one pitch along needs no factor.
    let by = match (each - 1.0).abs() < 1e-9 {
        true => format!("{count}"),
        false => format!("({count} × {})", plain(each, 4)),
    };
    let sum = units.plain(run, 2);
    Some(format!("pitch {}: {count} whole repeats round {what} ({sum} / {by}{or})", sized(count)))
}

/// The shortest repeat that runs along the band, if a short one does: as whole counts of the pattern's two.
fn straight(pattern: &Pattern, lean: &dyn Fn(Vec2) -> f64) -> Option<(i64, i64)> {
    let mut best: Option<(f64, (i64, i64))> = None;
    let most = SHORT.ceil() as i64 * 2;
    for m in -most..=most {
        for n in -most..=most {
            let t = pattern.repeat_of(m, n);
            let long = t.hypot2().sqrt();
            if !(1e-9..=SHORT).contains(&long) || lean(t).abs() > STRAIGHT {
                continue;
            }
            if best.is_none_or(|(l, _)| long < l - 1e-9) {
                best = Some((long, (m, n)));
            }
        }
    }
    best.map(|(_, t)| t)
}

/// The repeat that ends nearest to `end` (in shortest repeats), weighing length against direction.
fn nearest(pattern: &Pattern, end: Vec2, lean: &dyn Fn(Vec2) -> f64) -> (i64, i64) {
    let [a, b] = pattern.repeat;
    let (m0, n0) = (end.cross(b) / a.cross(b), a.cross(end) / a.cross(b));
    let mut best = (f64::INFINITY, (1, 0));
    for m in m0.round() as i64 - AROUND..=m0.round() as i64 + AROUND {
        for n in n0.round() as i64 - AROUND..=n0.round() as i64 + AROUND {
            let t = pattern.repeat_of(m, n);
            if t.hypot2().sqrt() < 1e-9 {
                continue;
            }
            let cost = libm::hypot(lean(t) / LEAN, (end.hypot2().sqrt() / t.hypot2().sqrt() - 1.0) * 100.0);
            if cost < best.0 - 1e-9 {
                best = (cost, (m, n));
            }
        }
    }
    best.1
}

fn common(m: i64, n: i64) -> i64 {
    let (mut a, mut b) = (m.abs(), n.abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}

/// Where the straight line of a seam runs best.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SeamLine {
    /// How far along the cells are moved, mm.
    pub shift: f64,
    /// Cells the line still divides or trims.
    pub cut: usize,
}

/// How far along to move the cells so that the line at `seam` cuts fewest of them, and those least. `boxes` are the
/// cells' within one repeat each side of the seam (a line across crosses a cell if and only if it crosses its box);
/// openings keep `clear` mm from the line, less where the bridge is taken off the cell itself.
pub(super) fn seam_line(boxes: &[Rect], seam: f64, repeat: f64, clear: f64) -> SeamLine {
    let mut places: Vec<i64> = boxes
        .iter()
        .flat_map(|b| [b.x0 - clear, b.x1 + clear, (b.x0 + b.x1) / 2.0])
        .chain([seam])
        // To the nanometre, so that places that are the same count as one.
        .map(|x| ((x - seam) * 1e6).round() as i64)
        .filter(|d| d.abs() as f64 <= repeat / 2.0 * 1e6 + 1.0)
        .collect();
    places.sort_by_key(|d| (d.abs(), *d));
    places.dedup();
    let mut best = (usize::MAX, f64::INFINITY, 0.0);
    for place in places {
        let off = place as f64 / 1e6;
        let x = seam + off;
        let (mut cut, mut deep) = (0, 0.0);
        for b in boxes {
            let depth = (b.x1 + clear - x).min(x - (b.x0 - clear));
            if depth > REACHES {
                cut += 1;
                deep += depth;
            }
        }
        if cut < best.0 || (cut == best.0 && deep < best.1 - 1e-6) {
            best = (cut, deep, off);
        }
    }
    SeamLine { shift: -best.2, cut: if best.0 == usize::MAX { 0 } else { best.0 } }
}

/// Turns tried when a straight seam divides openings, degrees more than asked: the directions in which rows of squares,
/// triangles and their kin run.
pub(super) const OTHER_TURNS: [f64; 7] = [90.0, 30.0, 60.0, 45.0, 120.0, 150.0, 135.0];

/// A step of one in a direction, degrees; the same on every machine.
fn direction(degrees: f64) -> Vec2 {
    let (sin, cos) = sin_cos_degrees(degrees);
    Vec2::new(cos, sin)
}

/// Whether a short repeat runs along the band at this turn.
pub(super) fn runs_straight(pattern: &Pattern, turn: f64) -> bool {
    let wanted = direction(-turn);
    straight(pattern, &|t| libm::atan2(wanted.cross(t), wanted.dot(t)).to_degrees()).is_some()
}
