//! How wide words come out: the one family the paper is set in, upright and bold.
//!
//! DejaVu Sans Condensed: open figures and a tall small alphabet, so that 6 and 7 points stay readable under a lens,
//! and narrow enough for two figures beside a drill hole. It comes, with its licence, from the crate `dejavu`.

use std::sync::atomic::{AtomicI32, Ordering::Relaxed};
use std::sync::OnceLock;
use ttf_parser::{Face, GlyphId};

/// mm in a point.
pub const MM_PER_PT: f64 = crate::units::MM_PER_INCH / 72.0;

/// The font file.
pub fn file(bold: bool) -> &'static [u8] {
    if bold {
        dejavu::sans_condensed::bold()
    } else {
        dejavu::sans_condensed::regular()
    }
}

/// The parsed face; `None` only if the crate's own file were broken.
pub fn face(bold: bool) -> Option<&'static Face<'static>> {
    static FACES: [OnceLock<Option<Face<'static>>>; 2] = [OnceLock::new(), OnceLock::new()];
    FACES[bold as usize].get_or_init(|| Face::parse(file(bold), 0).ok()).as_ref()
}

/// What is asked of a letter again and again, in the font's own units.
#[derive(Debug, Clone, Copy, Default)]
struct Letter {
    glyph: u16,
    advance: u16,
    /// Lowest and highest point of its outline.
    low: i16,
    high: i16,
}

impl Letter {
    fn look_up(face: &Face, c: char) -> Self {
        let own = face.glyph_index(c);
        let shown = own.or_else(|| face.glyph_index('?'));
        let advance = shown.and_then(|g| face.glyph_hor_advance(g));
        let bounds = own.and_then(|g| face.glyph_bounding_box(g));
        Self {
            glyph: shown.map_or(0, |g| g.0),
            advance: advance.unwrap_or(0),
            low: bounds.map_or(0, |b| b.y_min),
            high: bounds.map_or(0, |b| b.y_max),
        }
    }
}

/// Letters below this code are kept once looked up: all that the paper itself is written in. The outlines they are read
/// from cost more than all other laying out together.
const KEPT: usize = 0x2300;
/// They are kept in rows of so many, made when the first of a row is asked for: most papers want three rows of the seventy.
const ROW: usize = 128;

/// Letters of a row, once they are looked up.
type LetterRow = Box<[OnceLock<Letter>]>;

fn letter(face: &Face, c: char, bold: bool) -> Letter {
    static KEEP: [[OnceLock<LetterRow>; KEPT / ROW]; 2] =
        [const { [const { OnceLock::new() }; KEPT / ROW] }; 2];
    let code = c as usize;
    match KEEP[bold as usize].get(code / ROW) {
        Some(row) => {
            let row = row.get_or_init(|| vec![OnceLock::new(); ROW].into());
            *row[code % ROW].get_or_init(|| Letter::look_up(face, c))
        }
        None => Letter::look_up(face, c),
    }
}

/// Pairs of letters below this code are kept once looked up: a fifth of all laying out went into the font's table (measured).
const KEPT_PAIRS: usize = 128;
/// A pair that has not been looked up.
const UNKNOWN: i32 = i32::MIN;

/// How much nearer two letters stand to each other than their widths say, in the font's units: negative is nearer.
fn kern(face: &Face, bold: bool, left: (char, u16), right: (char, u16)) -> i32 {
    static KEEP: [[OnceLock<Box<[AtomicI32]>>; KEPT_PAIRS]; 2] =
        [const { [const { OnceLock::new() }; KEPT_PAIRS] }; 2];
    let (row, column) = (left.0 as usize, right.0 as usize);
    if row >= KEPT_PAIRS || column >= KEPT_PAIRS {
        return look_up_kern(face, left.1, right.1);
    }
    let unknown = || (0..KEPT_PAIRS).map(|_| AtomicI32::new(UNKNOWN)).collect();
    let place = &KEEP[bold as usize][row].get_or_init(unknown)[column];
    match place.load(Relaxed) {
        UNKNOWN => {
            let found = look_up_kern(face, left.1, right.1);
            place.store(found, Relaxed);
            found
        }
        known => known,
    }
}

fn look_up_kern(face: &Face, left: u16, right: u16) -> i32 {
    let Some(table) = face.tables().kern else { return 0 };
    let pairs = table.subtables.into_iter().filter(|t| t.horizontal && !t.variable && !t.has_cross_stream);
    pairs.filter_map(|t| t.glyphs_kerning(GlyphId(left), GlyphId(right))).map(i32::from).sum()
}

/// The letters of a text, each with the way from its start to the next one's start, in the font's units: its own width
/// and what it is kerned by.
pub fn steps(text: &str, bold: bool) -> Vec<(char, i32)> {
    let Some(face) = face(bold) else { return text.chars().map(|c| (c, 0)).collect() };
    let mut steps: Vec<(char, i32)> = Vec::with_capacity(text.len());
    let mut before: Option<(char, u16)> = None;
    for c in text.chars() {
        let l = letter(face, c, bold);
        if let (Some(left), Some(last)) = (before, steps.last_mut()) {
            last.1 += kern(face, bold, left, (c, l.glyph));
        }
        steps.push((c, i32::from(l.advance)));
        before = Some((c, l.glyph));
    }
    steps
}

/// Width of a letter by itself, in thousandths of its size.
pub fn advance(c: char, bold: bool) -> f64 {
    face(bold).map_or(600.0, |f| 1000.0 * f64::from(letter(f, c, bold).advance) / f64::from(f.units_per_em()))
}

/// Width of words in mm at a size in points, kerned.
pub fn width(text: &str, size: f64, bold: bool) -> f64 {
    Run::new(bold).with(text).width(size)
}

/// The width of words that grow letter by letter.
#[derive(Clone, Copy)]
struct Run {
    face: Option<&'static Face<'static>>,
    bold: bool,
    /// In the font's own units, kerned.
    units: i32,
    last: Option<(char, u16)>,
}

impl Run {
    fn new(bold: bool) -> Self {
        Self { face: face(bold), bold, units: 0, last: None }
    }

    fn with(mut self, text: &str) -> Self {
        text.chars().for_each(|c| self.push(c));
        self
    }

    fn push(&mut self, c: char) {
        let Some(face) = self.face else {
            self.units += NO_FACE.0;
            return;
        };
        let l = letter(face, c, self.bold);
        let kerned = self.last.map_or(0, |left| kern(face, self.bold, left, (c, l.glyph)));
        self.units += i32::from(l.advance) + kerned;
        self.last = Some((c, l.glyph));
    }

    /// mm at a size in points.
    fn width(&self, size: f64) -> f64 {
        let per_em = self.face.map_or(NO_FACE.1, |face| i32::from(face.units_per_em()));
        size * MM_PER_PT * f64::from(self.units) / f64::from(per_em)
    }
}

/// What a letter is taken for if the font were broken: its width, and the units of an em.
const NO_FACE: (i32, i32) = (6, 10);

/// Whether every letter of a text can be set: the font has it, and it stands by itself from left to right or, in Hebrew,
/// from right to left. Letters that join to their neighbours are not set.
pub fn can_set(text: &str) -> bool {
    let joined =
        |c: char| matches!(c as u32, 0x0600..=0x08ff | 0x0900..=0x0fff | 0xfb50..=0xfdff | 0xfe70..=0xfeff);
    let known = |c: char| face(true).is_none_or(|f| f.glyph_index(c).is_some());
    text.chars().all(|c| known(c) && !joined(c))
}

/// The text as it is read on paper from left to right: Hebrew is turned round, numbers and other words within it are not.
pub fn in_reading_order(text: &str) -> String {
    let hebrew = |c: char| matches!(c as u32, 0x0590..=0x05ff | 0xfb1d..=0xfb4f);
    if !text.chars().any(hebrew) {
        return text.to_string();
    }
    // Word by word from the right; within a Hebrew word letter by letter.
    let word = |w: &str| -> String {
        if w.chars().any(hebrew) {
            w.chars().rev().collect()
        } else {
            w.to_string()
        }
    };
    text.split(' ').rev().map(word).collect::<Vec<_>>().join(" ")
}

/// How far the letters of a text reach above and below the baseline, mm.
pub fn reach(text: &str, size: f64, bold: bool) -> (f64, f64) {
    let em = size * MM_PER_PT;
    let Some(face) = face(bold) else { return (0.8 * em, 0.25 * em) };
    let letters = text.chars().map(|c| letter(face, c, bold));
    let (up, down) = letters.fold((0, 0), |(up, down), l| (l.high.max(up), l.low.min(down)));
    let unit = em / f64::from(face.units_per_em());
    (f64::from(up) * unit, -f64::from(down) * unit)
}

/// Units that stay on the line of their number.
const UNITS: [&str; 8] = ["mm", "in", "%", "°C", "°F", "g", "h", "min"];

/// The parts of a text that a line may end after: its words, a unit together with its number.
pub fn unbroken(text: &str) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let unit = word.trim_end_matches(|c: char| ".,;:)".contains(c));
        let number = parts.last_mut().filter(|w| w.ends_with(|c: char| c.is_ascii_digit()));
        match number {
            Some(number) if UNITS.contains(&unit) => {
                number.push(' ');
                number.push_str(word);
            }
            _ => parts.push(word.into()),
        }
    }
    parts
}

/// Words broken into lines no wider than `room` mm. A single word that is wider is broken where it must be.
pub fn wrap(text: &str, size: f64, bold: bool, room: f64) -> Vec<String> {
    let fits = |run: Run| run.width(size) <= room + 1e-6;
    let mut lines: Vec<String> = Vec::new();
    let (mut line, mut run) = (String::new(), Run::new(bold));
    for word in unbroken(text) {
        let space = if line.is_empty() { "" } else { " " };
        let joined = run.with(space).with(&word);
        if fits(joined) {
            line.push_str(space);
            line.push_str(&word);
            run = joined;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
            run = Run::new(bold);
        }
        for c in word.chars() {
            let mut longer = run;
            longer.push(c);
            if !line.is_empty() && !fits(longer) {
                lines.push(std::mem::take(&mut line));
                longer = Run::new(bold);
                longer.push(c);
            }
            line.push(c);
            run = longer;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Words cut short to fit, with a full point's worth of dots at the end.
pub fn shorten(text: &str, size: f64, bold: bool, room: f64) -> String {
    if width(text, size, bold) <= room {
        return text.to_string();
    }
    let (mut kept, mut run) = (String::new(), Run::new(bold));
    for c in text.chars() {
        run.push(c);
        if run.with("...").width(size) > room {
            break;
        }
        kept.push(c);
    }
    format!("{}...", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_share_one_width_and_size_scales() {
        let one = width("1", 10.0, false);
        assert!((width("8", 10.0, false) - one).abs() < 1e-9);
        assert!((width("88", 20.0, false) - 4.0 * one).abs() < 1e-9);
        assert!(width("MM", 7.0, true) > width("MM", 7.0, false));
        // Kerned: the two lean into each other.
        assert!(width("AV", 10.0, false) < width("A", 10.0, false) + width("V", 10.0, false) - 0.05);
    }

    #[test]
    fn wrapping_loses_no_word_and_keeps_to_the_room() {
        let text = "Saw just outside the line, then file until the line is gone: the size is right.";
        let lines = wrap(text, 7.0, false, 30.0);
        assert!(lines.len() > 2 && lines.iter().all(|l| width(l, 7.0, false) <= 30.0));
        assert_eq!(lines.join(" "), text);
        let lines = wrap("hard flows at 788 °C (1450 °F), 3.0 mm off", 7.0, false, 17.0);
        assert!(lines.iter().all(|l| !l.starts_with('°') && !l.starts_with("mm")), "{lines:?}");
    }
}
