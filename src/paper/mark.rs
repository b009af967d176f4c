//! What stands on a page: shapes, lines and words in millimetres, x to the right, y DOWN, as one reads it.
//!
//! Ink is in percent of black (0 paper, 100 black): there is no colour anywhere.

use super::letters;
use crate::geom::{Grow, Point, Rect, Ring, Vec2};

/// What a mark is for; the names are those of the SVG groups, in the order they are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// The sheet's outer edge, windows and finished holes.
    Outline,
    /// Openings as filled areas.
    Openings,
    /// Grey that tells waste from metal.
    Shade,
    /// Trim lines, boxes, rules and ticks beside the piece.
    Guides,
    /// The line to saw along.
    SawLines,
    /// Circles for the start drill.
    DrillPoints,
    /// Circles for the start drill in windows.
    WindowDrillPoints,
    /// Crosses for the centre punch.
    PunchMarks,
    /// Bars to check the print by.
    ScaleBar,
    /// Letters and numbers.
    Words,
}

impl Group {
    /// All groups, undermost first.
    pub const ALL: [Group; 10] = [
        Group::Outline,
        Group::Openings,
        Group::Shade,
        Group::Guides,
        Group::SawLines,
        Group::DrillPoints,
        Group::WindowDrillPoints,
        Group::PunchMarks,
        Group::ScaleBar,
        Group::Words,
    ];

    /// The group's id in an SVG.
    pub fn id(self) -> &'static str {
        match self {
            Group::Outline => "outline",
            Group::Openings => "openings",
            Group::Shade => "shade",
            Group::Guides => "guides",
            Group::SawLines => "saw-lines",
            Group::DrillPoints => "drill-points",
            Group::WindowDrillPoints => "window-drill-points",
            Group::PunchMarks => "punch-marks",
            Group::ScaleBar => "scale-bar",
            Group::Words => "words",
        }
    }

    /// The name a PDF reader shows for the part that can be switched off. Plain ASCII: other letters break.
    pub fn title(self) -> &'static str {
        match self {
            Group::Outline => "Metal",
            Group::Openings => "Openings",
            Group::Shade => "Shading",
            Group::Guides => "Trim line and boxes",
            Group::SawLines => "Saw line",
            Group::DrillPoints => "Drill circles",
            Group::WindowDrillPoints => "Window drill circles",
            Group::PunchMarks => "Punch marks",
            Group::ScaleBar => "Scale bars",
            Group::Words => "Words and numbers",
        }
    }
}

/// One mark: its group, the copy it belongs to (0: the page itself), the opening it belongs to (0: none).
#[derive(Debug, Clone)]
pub struct Mark {
    /// Where it belongs in the files.
    pub group: Group,
    /// Number of the copy from 1; 0 for what belongs to the page.
    pub copy: usize,
    /// Number of the opening from 1; 0 for none.
    pub opening: usize,
    /// What is drawn.
    pub ink: Ink,
}

/// What is drawn.
#[derive(Debug, Clone)]
pub enum Ink {
    /// Filled, even-odd, and perhaps drawn along.
    Area {
        /// Closed lines, filled even-odd.
        rings: Vec<Ring>,
        /// Percent of black.
        shade: u8,
        /// `None` draws no line round it.
        pen: Option<Pen>,
    },
    /// Closed lines.
    Closed {
        /// Closed lines, drawn along.
        rings: Vec<Ring>,
        /// How.
        pen: Pen,
    },
    /// An open line through points.
    Line {
        /// Two or more.
        points: Vec<Point>,
        /// How.
        pen: Pen,
    },
    /// A whole circle, filled, drawn along, or both.
    Circle {
        /// Its middle.
        at: Point,
        /// mm, to the middle of the line.
        radius: f64,
        /// Percent of black; `None` leaves it open.
        fill: Option<u8>,
        /// `None` draws no line round it.
        pen: Option<Pen>,
    },
    /// Letters.
    Words(Words),
}

/// A line's width in mm, its ink, and its dash (on, off) in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// mm.
    pub width: f64,
    /// Percent of black.
    pub shade: u8,
    /// `None` for an unbroken line.
    pub dash: Option<(f64, f64)>,
}

impl Pen {
    /// An unbroken line, mm and percent of black.
    pub const fn new(width: f64, shade: u8) -> Self {
        Self { width, shade, dash: None }
    }
    /// The same line broken: `on` mm of ink, `off` mm without.
    pub const fn dashed(self, on: f64, off: f64) -> Self {
        Self { dash: Some((on, off)), ..self }
    }
}

/// The printed saw line, mm. Thinner breaks up on label paper; thicker and nobody knows which side to follow.
pub const SAW_LINE: f64 = 0.18;
/// Fine black line: ticks, circles. Thinner is lost on a photocopy.
pub(super) const FINE: Pen = Pen::new(0.13, 100);

/// Which end of a run of words stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Half its width.
    Middle,
    /// Its right end.
    End,
}

/// A run of words on one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    /// What is written.
    pub text: String,
    /// Where the anchor stands on the baseline.
    pub at: Point,
    /// Points.
    pub size: f64,
    /// The bold cut of the font.
    pub bold: bool,
    /// Which part of the run stands at `at`.
    pub anchor: Anchor,
    /// Reads upwards, turned a quarter anticlockwise.
    pub upward: bool,
    /// Written from right to left, for words that are read on the metal after they were rubbed down. Never upward.
    pub mirrored: bool,
    /// Percent of black.
    pub shade: u8,
}

impl Words {
    /// Upright, beginning at `at`, black; size in points.
    pub fn new(text: impl Into<String>, at: Point, size: f64) -> Self {
        Self {
            text: text.into(),
            at,
            size,
            bold: false,
            anchor: Anchor::Start,
            upward: false,
            mirrored: false,
            shade: 100,
        }
    }
    /// The same in the bold cut.
    pub fn bold(mut self) -> Self {
        self.bold = true;
        self
    }
    /// The same centred on its place.
    pub fn middle(mut self) -> Self {
        self.anchor = Anchor::Middle;
        self
    }
    /// The same ending at its place.
    pub fn end(mut self) -> Self {
        self.anchor = Anchor::End;
        self
    }
    /// The same read upwards.
    pub fn upward(mut self) -> Self {
        self.upward = true;
        self
    }
    /// The same in so many percent of black.
    pub fn shade(mut self, shade: u8) -> Self {
        self.shade = shade;
        self
    }

    /// Advance width, mm.
    pub fn width(&self) -> f64 {
        letters::width(&self.text, self.size, self.bold)
    }

    /// Where the first letter starts on the baseline.
    pub fn start(&self) -> Point {
        let back = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => self.width() / 2.0,
            Anchor::End => self.width(),
        };
        if self.upward {
            Point::new(self.at.x, self.at.y + back)
        } else {
            Point::new(self.at.x - back, self.at.y)
        }
    }

    /// The room the letters take: from the tallest letter to the lowest tail that occur in it.
    pub fn bounds(&self) -> Rect {
        let (up, down) = letters::reach(&self.text, self.size, self.bold);
        let (w, p) = (self.width(), self.start());
        if self.upward {
            Rect::new(p.x - up, p.y - w, p.x + down, p.y)
        } else {
            Rect::new(p.x, p.y - up, p.x + w, p.y + down)
        }
    }
}

impl Mark {
    /// A mark of the page itself, of no copy and no opening.
    pub fn new(group: Group, ink: Ink) -> Self {
        Self { group, copy: 0, opening: 0, ink }
    }
    /// The same mark given to an opening by its number.
    pub fn of(mut self, opening: usize) -> Self {
        self.opening = opening;
        self
    }
    /// Letters, in the group of words.
    pub fn words(words: Words) -> Self {
        Self::new(Group::Words, Ink::Words(words))
    }
    /// An open line through two points or more.
    pub fn line(group: Group, points: Vec<Point>, pen: Pen) -> Self {
        Self::new(group, Ink::Line { points, pen })
    }
    /// A straight line among the guides.
    pub fn rule(from: Point, to: Point, pen: Pen) -> Self {
        Self::line(Group::Guides, vec![from, to], pen)
    }

    /// The same mark moved, and given to copy `k`.
    pub fn shifted(mut self, by: Vec2, k: usize) -> Self {
        self.copy = k;
        match &mut self.ink {
            Ink::Area { rings, .. } | Ink::Closed { rings, .. } => {
                rings.iter_mut().for_each(|r| *r = r.translated(by));
            }
            Ink::Line { points, .. } => points.iter_mut().for_each(|p| *p += by),
            Ink::Circle { at, .. } => *at += by,
            Ink::Words(words) => words.at += by,
        }
        self
    }

    /// Words from right to left, for what is read after it was rubbed down.
    pub fn mirror_words(&mut self) {
        if let Ink::Words(words) = &mut self.ink {
            words.mirrored = !words.upward;
        }
    }

    /// Everything the mark inks, pens included.
    pub fn bounds(&self) -> Rect {
        let around =
            |rings: &[Ring]| rings.iter().map(|r| r.bounds()).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
        match &self.ink {
            Ink::Area { rings, pen, .. } => around(rings).grow(pen.map_or(0.0, |pen| pen.width / 2.0)),
            Ink::Closed { rings, pen } => around(rings).grow(pen.width / 2.0),
            Ink::Line { points, pen } => {
                let mut points = points.iter();
                let Some(first) = points.next() else { return Rect::ZERO };
                let start = Rect::from_points(*first, *first);
                points.fold(start, |b, p| b.union_pt(*p)).grow(pen.width / 2.0)
            }
            Ink::Circle { at, radius, pen, .. } => {
                let r = radius + pen.map_or(0.0, |p| p.width / 2.0);
                Rect::new(at.x - r, at.y - r, at.x + r, at.y + r)
            }
            Ink::Words(words) => words.bounds(),
        }
    }
}
