//! Numbers written short and fast: fixed decimals, trailing zeros dropped, never a minus before zero.

use crate::geom::{PathEl, Point, Ring};

/// Appends `value` with at most `places` decimals (up to 6).
pub(crate) fn push(out: &mut String, value: f64, places: u32) {
    let unit = 10_i64.pow(places.min(6));
    let scaled = value * unit as f64;
    if !scaled.is_finite() || scaled.abs() > 9.0e17 {
        out.push('0');
        return;
    }
    // To the nearest, by cutting off: `round` is a call.
    push_scaled(out, (scaled + 0.5_f64.copysign(scaled)) as i64, places);
}

/// Appends a number told in units of its last decimal, of which there are at most `places` (up to 6).
pub(crate) fn push_scaled(out: &mut String, scaled: i64, places: u32) {
    let unit = 10_i64.pow(places.min(6));
    let (mut whole, mut part) = (scaled.unsigned_abs() / unit as u64, scaled.unsigned_abs() % unit as u64);
    // From the last figure to the first.
    let mut figures = [0u8; 28];
    let mut at = figures.len();
    let mut put = |byte: u8| {
        at -= 1;
        figures[at] = byte;
    };
    if part > 0 {
        let mut left = places.min(6);
        while part % 10 == 0 {
            part /= 10;
            left -= 1;
        }
        for _ in 0..left {
            put(b'0' + (part % 10) as u8);
            part /= 10;
        }
        put(b'.');
    }
    loop {
        put(b'0' + (whole % 10) as u8);
        whole /= 10;
        if whole == 0 {
            break;
        }
    }
    if scaled < 0 {
        put(b'-');
    }
    out.push_str(std::str::from_utf8(&figures[at..]).unwrap_or_default());
}

/// Writes a ring as path steps: `step` is told each point with the letter of its step, then `close` is written.
pub(crate) fn walk(ring: &Ring, mut step: impl FnMut(char, &[Point])) {
    if ring.vertices().all(|c| c.bulge == 0.0) {
        for (i, c) in ring.vertices().enumerate() {
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
