//! Pattern files read: every problem at once, each with its line and column.

use super::{onto_one_footing, proof, with_plain_centres, Centre, CentreKind, Fills, Pattern, PatternShape};
use crate::error::Error;
use crate::geom::{rings_of_svg, Point, Ring, Vec2, Vertex};
use crate::reader::{number, suggestion, Reader, TomlValue as Value};
use crate::units::limits::{Limit, CORNERS, PATTERN_CENTRES, PATTERN_NUMBER, PATTERN_RISE};
use std::ops::Range;
use toml::de::DeTable;

/// Reads a pattern file and proves that its shapes fill the plane without gap or overlap (or, for a motif, that they
/// do not touch). `file` is the name for messages; its stem becomes the pattern's name.
pub fn read(text: &str, file: &str) -> Result<Pattern, Error> {
    let (reader, table) = Reader::open(file, text);
    let walk = PatternWalk { reader: &reader };
    let found = if reader.is_clean() { walk.pattern(table.get_ref()) } else { None };
    if let Some((pattern, places)) = found.filter(|_| reader.is_clean()) {
        for fault in proof::faults(&pattern) {
            let span = places.get(fault.shape).cloned().unwrap_or(0..0);
            walk.wrong(span, fault.wrong, fault.todo);
        }
        if reader.is_clean() {
            return Ok(onto_one_footing(pattern));
        }
    }
    drop(table);
    let wrong = reader.finish();
    wrong.and(Err(Error::job(
        format!("{file} cannot be used"),
        "see patterns/README.md for how one is written",
    )))
}

/// A file being read; what is wrong goes to the reader.
struct PatternWalk<'r> {
    reader: &'r Reader<'r>,
}

impl PatternWalk<'_> {
    fn wrong(&self, span: Range<usize>, wrong: impl Into<String>, todo: impl Into<String>) {
        self.reader.problem(span, wrong, todo);
    }

    /// The whole file; the spans are those of the shapes, in order.
    fn pattern(&self, table: &DeTable) -> Option<(Pattern, Vec<Range<usize>>)> {
        const KEYS: [&str; 10] =
            ["title", "about", "source", "pitch", "repeat", "shapes", "centres", "motif", "ground", "chiral"];
        self.known_keys(table, &KEYS, "pattern file");
        let title = self.text_of(table, "title", true);
        let about = self.text_of(table, "about", false);
        let source = self.text_of(table, "source", false);
        let pitch = self.text_of(table, "pitch", false);
        let fills = match (self.yes_or_no(table, "motif"), self.yes_or_no(table, "ground")) {
            (true, true) => {
                self.wrong(0..0, "`motif` and `ground` cannot both be true", "leave one out");
                Fills::Motif
            }
            (true, false) => Fills::Motif,
            (false, true) => Fills::Ground,
            (false, false) => Fills::Plane,
        };
        let chiral = self.yes_or_no(table, "chiral");
        let repeat = self.repeat(table);
        let shapes = self.shapes(table);
        let centres = self.centres(table, shapes.as_ref().map_or(&[], |s| &s.0));
        let (shapes, places) = shapes?;
        let pattern = Pattern {
            name: crate::reader::stem(self.reader.file()).to_string(),
            title: title?,
            about: about.unwrap_or_default(),
            source: source.unwrap_or_default(),
            pitch: pitch.unwrap_or_else(|| "the shortest repeat".to_string()),
            repeat: repeat?,
            shapes,
            centres,
            fills,
            chiral,
            upright: 0.0,
            unit: 1.0,
        };
        Some((pattern, places))
    }

    fn known_keys(&self, table: &DeTable, known: &[&str], what: &str) {
        for (key, _) in table.iter() {
            let word = key.get_ref().as_ref();
            if !known.contains(&word) {
                let wrong = format!("`{word}` is not a key of a {what}");
                self.wrong(key.span(), wrong, suggestion(word, known));
            }
        }
    }

    fn text_of(&self, table: &DeTable, key: &str, needed: bool) -> Option<String> {
        match table.get(key) {
            Some(value) => match value.get_ref().as_str() {
                Some(text) if !text.trim().is_empty() || !needed => Some(text.trim().to_string()),
                _ => {
                    self.wrong(
                        value.span(),
                        format!("`{key}` must be words in quotes"),
                        format!("write {key} = \"...\""),
                    );
                    None
                }
            },
            None if needed => {
                self.wrong(0..0, format!("`{key}` is missing"), format!("give a line {key} = \"...\""));
                None
            }
            None => None,
        }
    }

    fn yes_or_no(&self, table: &DeTable, key: &str) -> bool {
        let Some(value) = table.get(key) else { return false };
        value.get_ref().as_bool().unwrap_or_else(|| {
            self.wrong(value.span(), format!("`{key}` must be true or false"), format!("write {key} = true"));
            false
        })
    }

    fn number(&self, value: &Value, limit: Limit) -> Option<f64> {
        match number(value.get_ref()).map(|v| limit.check(v)) {
            Some(Ok(v)) => Some(v),
            Some(Err(unread)) => {
                self.wrong(value.span(), unread.wrong, unread.todo);
                None
            }
            None => {
                self.wrong(value.span(), "a plain number is wanted here", "write it like 1.5");
                None
            }
        }
    }

    /// Two numbers, and a third if `third` says how far it may go.
    fn numbers(&self, value: &Value, third: Option<Limit>, what: &str) -> Option<(Point, f64)> {
        let list = value.get_ref().as_array().map(|a| a.as_ref()).unwrap_or_default();
        let right = list.len() == 2 || (third.is_some() && list.len() == 3);
        if !right {
            let form = if third.is_some() { "[x, y] or [x, y, rise]" } else { "[x, y]" };
            self.wrong(value.span(), format!("{what} must be {form}"), "write it like [1, 0.5]");
            return None;
        }
        let x = self.number(&list[0], PATTERN_NUMBER);
        let y = self.number(&list[1], PATTERN_NUMBER);
        let bulge = match (list.get(2), third) {
            (Some(value), Some(limit)) => self.number(value, limit),
            _ => Some(0.0),
        };
        Some((Point::new(x?, y?), bulge?))
    }

    fn repeat(&self, table: &DeTable) -> Option<[Vec2; 2]> {
        let Some(value) = table.get("repeat") else {
            self.wrong(
                0..0,
                "`repeat` is missing",
                "give the two steps after which the pattern comes again: repeat = [[x, y], [x, y]]",
            );
            return None;
        };
        let list = value.get_ref().as_array().map(|a| a.as_ref()).unwrap_or_default();
        let [first, second] = list else {
            self.wrong(value.span(), "`repeat` must be two steps", "write [[x, y], [x, y]]");
            return None;
        };
        let first = self.numbers(first, None, "a repeat");
        let second = self.numbers(second, None, "a repeat");
        let (a, b) = (first?.0.to_vec2(), second?.0.to_vec2());
        if a.hypot2().sqrt() < 1e-6
            || b.hypot2().sqrt() < 1e-6
            || a.cross(b).abs() < 1e-6 * a.hypot2().sqrt() * b.hypot2().sqrt()
        {
            self.wrong(
                value.span(),
                "the two repeats must go different ways",
                "write one across and one up, like [[1, 0], [0.5, 1]]",
            );
            return None;
        }
        Some([a, b])
    }

    /// The tables of a list such as `[[shapes]]`.
    fn tables<'a, 'b>(&self, table: &'a DeTable<'b>, key: &str) -> Vec<(&'a DeTable<'b>, Range<usize>)> {
        let Some(value) = table.get(key) else { return Vec::new() };
        let Some(list) = value.get_ref().as_array() else {
            self.wrong(value.span(), format!("`{key}` must be a list"), format!("head each one [[{key}]]"));
            return Vec::new();
        };
        let mut tables = Vec::new();
        for item in list.iter() {
            match item.get_ref().as_table() {
                Some(t) => tables.push((t, item.span())),
                None => self.wrong(
                    item.span(),
                    format!("each of `{key}` must be a table"),
                    format!("head it [[{key}]]"),
                ),
            }
        }
        tables
    }

    fn shapes(&self, table: &DeTable) -> Option<(Vec<PatternShape>, Vec<Range<usize>>)> {
        let tables = self.tables(table, "shapes");
        if tables.is_empty() {
            self.wrong(0..0, "there are no shapes", "give at least one [[shapes]] with its corners");
            return None;
        }
        let (mut shapes, mut places) = (Vec::new(), Vec::new());
        let mut whole = true;
        let mut corners = 0;
        for (n, (shape, span)) in tables.into_iter().enumerate() {
            self.known_keys(shape, &["name", "corners", "d"], "shape");
            let name = self.text_of(shape, "name", false).unwrap_or_else(|| format!("shape {}", n + 1));
            let (rings, place) = match (shape.get("corners"), shape.get("d")) {
                (Some(value), None) => (self.ring(value).map(|r| vec![r]), value.span()),
                (None, Some(value)) => (self.drawn(value), value.span()),
                (Some(_), Some(value)) => {
                    self.wrong(value.span(), format!("shape “{name}” has both corners and d"), "keep one");
                    (None, value.span())
                }
                (None, None) => {
                    let todo = "give corners = [[x, y], ...] or d = \"SVG path data\"";
                    self.wrong(span.clone(), format!("shape “{name}” has no corners"), todo);
                    (None, span)
                }
            };
            whole &= rings.is_some();
            for ring in rings.into_iter().flatten() {
                corners += ring.vertices().len();
                shapes.push(PatternShape { name: name.clone(), ring: ring.anticlockwise() });
                places.push(place.clone());
            }
            // The proof compares every edge with every other.
            if let Err(unread) = CORNERS.counted(corners as f64) {
                self.wrong(place, unread.wrong, &unread.todo);
                return None;
            }
        }
        whole.then_some((shapes, places))
    }

    /// A shape given by its corners.
    fn ring(&self, value: &Value) -> Option<Ring> {
        let list = value.get_ref().as_array().map(|a| a.as_ref()).unwrap_or_default();
        if list.is_empty() {
            self.wrong(value.span(), "`corners` must be a list", "write [[x, y], [x, y, rise], ...]");
            return None;
        }
        let read: Vec<_> = list.iter().map(|c| self.numbers(c, Some(PATTERN_RISE), "a corner")).collect();
        let corners: Option<Vec<Vertex>> =
            read.into_iter().map(|c| c.map(|(at, bulge)| Vertex { at, bulge })).collect();
        let ring = Ring::if_any(corners?);
        if ring.is_none() {
            self.wrong(
                value.span(),
                "one corner makes no shape",
                "give at least two, or three without an arc",
            );
        }
        ring
    }

    /// Shapes drawn as SVG path data, y down as SVG shows it; curves become arcs.
    fn drawn(&self, value: &Value) -> Option<Vec<Ring>> {
        let Some(path) = value.get_ref().as_str() else {
            self.wrong(value.span(), "`d` must be SVG path data in quotes", "write d = \"M0 0L1 0L1 1Z\"");
            return None;
        };
        match rings_of_svg(path) {
            Ok(rings) => Some(rings),
            Err((at, wrong)) => {
                // Counted from the opening quote, which is right for a path in plain quotes.
                let start = value.span().start + at;
                self.wrong(start..start, wrong, "draw closed lines that do not cross");
                None
            }
        }
    }

    /// The listed centres, and plain ones for the kinds that are not listed.
    fn centres(&self, table: &DeTable, shapes: &[PatternShape]) -> Vec<Centre> {
        let mut centres = Vec::new();
        let listed = self.tables(table, "centres");
        if let Err(unread) = PATTERN_CENTRES.counted(listed.len() as f64) {
            self.wrong(table.get("centres").map_or(0..0, Value::span), unread.wrong, unread.todo);
            return centres;
        }
        for (centre, span) in listed {
            self.known_keys(centre, &["kind", "at", "order", "mirror"], "centre");
            let kind = match centre.get("kind").map(|v| (v.get_ref().as_str(), v.span())) {
                Some((Some("opening"), _)) => Some(CentreKind::Opening),
                Some((Some("crossing"), _)) => Some(CentreKind::Crossing),
                Some((Some("bridge"), _)) => Some(CentreKind::Bridge),
                other => {
                    let at = other.map_or(span.clone(), |(_, s)| s);
                    self.wrong(
                        at,
                        "this is no kind of a centre",
                        "write kind = \"opening\", \"crossing\" or \"bridge\"",
                    );
                    None
                }
            };
            let at = match centre.get("at") {
                Some(value) => self.numbers(value, None, "`at`").map(|(p, _)| p),
                None => {
                    self.wrong(span, "this centre has no place", "give at = [x, y]");
                    None
                }
            };
            let order = match centre.get("order") {
                Some(value) => match self.number(value, PATTERN_NUMBER) {
                    Some(n) if [1.0, 2.0, 3.0, 4.0, 6.0].contains(&n) => n as u32,
                    Some(_) => {
                        self.wrong(
                            value.span(),
                            "`order` must be 1, 2, 3, 4 or 6",
                            "no repeat turns onto itself otherwise",
                        );
                        1
                    }
                    None => 1,
                },
                None => 1,
            };
            let mirror = self.yes_or_no(centre, "mirror");
            if let (Some(kind), Some(at)) = (kind, at) {
                centres.push(Centre { kind, at, order, mirror });
            }
        }
        with_plain_centres(centres, shapes)
    }
}
