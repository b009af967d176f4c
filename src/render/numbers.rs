//! Numbers written short and fast: fixed decimals, trailing zeros dropped, never a minus before zero.

use crate::geom::{PathEl, Point, Ring};

/// Appends `value` with at most `places` decimals (up to 6).
pub(crate) fn push(out: &mut String, value: f64, places: u32) {
    let unit = 10_i64.pow(places.min(6));
    let scaled = (value * unit as f64).round();
    if !scaled.is_finite() || scaled.abs() > 9.0e17 {
        out.push('0');
        return;
    }
    let scaled = scaled as i64;
    if scaled < 0 {
        out.push('-');
    }
    let (whole, mut part) = (scaled.unsigned_abs() / unit as u64, scaled.unsigned_abs() % unit as u64);
    let mut figures = [0u8; 20];
    let mut at = figures.len();
    let mut rest = whole;
    loop {
        at -= 1;
        figures[at] = b'0' + (rest % 10) as u8;
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    out.extend(figures[at..].iter().map(|b| char::from(*b)));
    if part > 0 {
        out.push('.');
        let mut size = unit as u64 / 10;
        while part > 0 {
            out.push(char::from(b'0' + (part / size) as u8));
            part %= size;
            size /= 10;
        }
    }
}

/// Writes a ring as path steps: `step` is told each point with the letter of its step, then `close` is written.
pub(crate) fn walk(ring: &Ring, mut step: impl FnMut(char, &[Point])) {
    if ring.vertices().iter().all(|c| c.bulge == 0.0) {
        for (i, c) in ring.vertices().iter().enumerate() {
            step(if i == 0 { 'M' } else { 'L' }, &[c.at]);
        }
        step('Z', &[]);
        return;
    }
    for el in ring.to_path().elements() {
        match *el {
            PathEl::MoveTo(p) => step('M', &[p]),
            PathEl::LineTo(p) => step('L', &[p]),
            PathEl::QuadTo(a, p) => step('C', &[a, a, p]),
            PathEl::CurveTo(a, b, p) => step('C', &[a, b, p]),
            PathEl::ClosePath => step('Z', &[]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::push;

    #[test]
    fn numbers_come_out_short() {
        let text = |v: f64, places| {
            let mut s = String::new();
            push(&mut s, v, places);
            s
        };
        assert_eq!(text(1.5, 4), "1.5");
        assert_eq!(text(-0.00004, 4), "0");
        assert_eq!(text(-12.3456789, 4), "-12.3457");
        assert_eq!(text(100.0, 4), "100");
        assert_eq!(text(0.0305, 4), "0.0305");
        assert_eq!(text(f64::NAN, 4), "0");
    }
}
