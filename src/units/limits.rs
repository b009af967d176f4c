//! How large and how small everything typed may be: one table, from which the refusals are worded.
//!
//! These are the limits of sense (a slipped decimal, inches typed as mm), not of good work: those are in `checks`.

use super::{short, LengthUnit, Unread, MM_PER_INCH};

/// One row: a size by its bench name, with its least and most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// What is limited, as it stands in a refusal.
    pub name: &'static str,
    /// The smallest that is taken, in `unit`.
    pub least: f64,
    /// The largest that is taken, in `unit`.
    pub most: f64,
    /// "mm", "degrees", "" for a count.
    pub unit: &'static str,
    /// Why not less or more: the end of a refusal.
    pub why: &'static str,
}

const fn row(name: &'static str, least: f64, most: f64, unit: &'static str, why: &'static str) -> Limit {
    Limit { name, least, most, unit, why }
}

/// Larger numbers are not told digit by digit.
const UNTOLD: f64 = 1e12;

impl Limit {
    /// The value if it lies within, else what is wrong and why.
    pub fn check(&self, value: f64) -> Result<f64, Unread> {
        self.check_in(value, LengthUnit::Mm)
    }

    /// A number with its unit's name, a length in the units a job is in.
    fn with_unit(&self, value: f64, units: LengthUnit) -> (String, String) {
        match self.unit {
            "" => (short(value, 4), String::new()),
            "mm" if units == LengthUnit::Inch => (short(value / MM_PER_INCH, 4), " in".into()),
            unit => (short(value, 4), format!(" {unit}")),
        }
    }

    /// "0.1 to 50 mm", a length in the units a job is in.
    pub fn range(&self, units: LengthUnit) -> String {
        let ((least, _), (most, unit)) =
            (self.with_unit(self.least, units), self.with_unit(self.most, units));
        format!("{least} to {most}{unit}")
    }

    /// The same check, told in the units a job is in.
    pub fn check_in(&self, value: f64, units: LengthUnit) -> Result<f64, Unread> {
        if value >= self.least && value <= self.most {
            return Ok(value);
        }
        let (told, unit) = self.with_unit(value, units);
        let wrong = match value.abs() {
            v if !v.is_finite() => format!("{} has no number that can be used", self.name),
            v if v >= UNTOLD => format!("{} cannot be so large", self.name),
            _ => format!("{} {told}{unit} cannot be used", self.name),
        };
        Err(Unread::new(wrong, format!("give {}: {}", self.range(units), self.why)))
    }

    /// Whether so many are within it, else what is wrong and how many would do.
    pub fn counted(&self, count: f64) -> Result<(), Unread> {
        if count <= self.most {
            return Ok(());
        }
        let unit = if self.unit.is_empty() { String::new() } else { format!(" {}", self.unit) };
        let most = short(self.most, 1);
        let about = match short(count, 1) {
            _ if count >= UNTOLD => "far too much".to_string(),
            // A byte too many.
            about if about == most => format!("over {most}"),
            about => about,
        };
        Err(Unread::new(
            format!("{}: {about}{unit}", self.name),
            format!("give at most {most}{unit}: {}", self.why),
        ))
    }
}

pub const THICKNESS: Limit = row(
    "thickness",
    0.1,
    6.0,
    "mm",
    "thinner sheet crumples on the bench pin, thicker is beyond a piercing saw",
);
pub const OUTLINE: Limit = row("size", 2.0, 5000.0, "mm", "smaller cannot be held, larger goes on no bench");
pub const PLACE_SIZE: Limit = row("size", 0.5, 5000.0, "mm", "smaller than the finest drill has no use");
pub const CORNER_RADIUS: Limit = row("corner radius", 0.0, 2500.0, "mm", "0 leaves the corner sharp");
pub const SIDES: Limit = row("number of sides", 3.0, 60.0, "", "with more it is a circle to the eye");
pub const BORDER: Limit = row("border", 0.1, 1000.0, "mm", "the pattern needs an edge to hang from");
pub const PITCH: Limit = row("pitch", 0.3, 1000.0, "mm", "one repeat has to hold a drill hole");
pub const BRIDGE: Limit = row("bridge", 0.05, 200.0, "mm", "metal has to be left between openings");
pub const TURN: Limit = row("turn", -360.0, 360.0, "degrees", "once round is enough");
pub const VARIATION: Limit = row("variation", 0.0, 4_294_967_295.0, "", "a whole number names one growth");
pub const FOLD: Limit = row("fold", 3.0, 360.0, "", "a pattern comes again at least three times in a turn");
pub const MEETING: Limit =
    row("sides", 3.0, 24.0, "", "an opening needs three sides, a crossing three openings");
pub const RAY_ANGLE: Limit =
    row("ray_angle", 20.0, 80.0, "degrees", "flatter or steeper rays leave no star to saw");
pub const PASSES: Limit = row("passes", 0.0, 200.0, "", "cells are even after a hundred passes");
pub const GRADE: Limit = row("grade", -0.7, 2.0, "", "beyond this the openings differ too much to saw well");
pub const ALONG: Limit = row("along", -360.0, 360.0, "degrees", "90 runs from the foot to the top");
pub const PLACE: Limit = row("place", -5000.0, 5000.0, "mm", "it has to lie on the piece");
pub const KEPT_PLACES: Limit = row("kept places", 0.0, 200.0, "", "more leave no field for the pattern");
pub const WINDOWS: Limit =
    row("windows and inner lines", 0.0, 100.0, "", "more than a hundred are a pattern: write a pattern file");
pub const HOLES: Limit =
    row("holes", 0.0, 200.0, "", "more than two hundred are a pattern: holes-in-rows lays any number");
pub const LUGS: Limit = row("lugs", 0.0, 60.0, "", "each is joined to the edge by itself");
pub const CHANGES: Limit = row("changed openings", 0.0, 1000.0, "", "each is looked up among all openings");
pub const ROWS: Limit = row("sections of one kind", 0.0, 20.0, "", "each is laid by itself");
pub const JUMP_RINGS: Limit = row("kinds of jump rings", 0.0, 20.0, "", "each is a line of the job card");
pub const HOLE: Limit = row("hole diameter", 0.2, 200.0, "mm", "there is no drill for it");
pub const LUG: Limit = row("lug size", 0.5, 500.0, "mm", "it has to hold its own hole");
pub const DRAW_IN: Limit = row("draw_in", 0.001, 50.0, "mm", "less cannot be sawn, more closes the opening");
pub const LEAST: Limit =
    row("least finished size", 0.05, 100.0, "mm", "less than this is thinner than the saw wanders");
pub const DRILL: Limit =
    row("drill", 0.2, 10.0, "mm", "drills for start holes come no finer and need be no larger");
pub const CLEAN_UP: Limit =
    row("clean_up", 0.0, 1.0, "mm", "it is what saw and file take past the line on one side");
pub const FRAME_DEPTH: Limit =
    row("frame_depth", 20.0, 1000.0, "mm", "it is measured from blade to back of the frame");
pub const STACK: Limit = row("stack", 1.0, 20.0, "", "it counts the sheets sawn together");
pub const PIECES: Limit = row("pieces", 1.0, 10_000.0, "", "it counts the pieces to make");
pub const COPIES: Limit = row("copies", 1.0, 1000.0, "", "it counts the templates to print");
/// Of one shape, trimmed at the border, each takes 0.35 kB and 3 to 4 microseconds, whole process, drawn (hexagons, measured):
/// so many take 400 MB of the gigabyte that a laptop of two has free, and 0.3 kB each of the SVG.
pub const OPENINGS: Limit = row(
    "number of openings",
    1.0,
    1_050_000.0,
    "",
    "more cannot be sawn in a lifetime, nor drawn on an old laptop",
);
/// Fitted, eased or joined at the border, or with the best of several centres: hexagons take 20 to 45 microseconds each
/// (measured), and more than in step with their number.
pub const TRIED: Limit = row(
    "openings that are laid in several ways",
    0.0,
    150_000.0,
    "",
    "more only with at_border = \"trim\" and one centre",
);
/// Grown, bent round a cone or with graded bridges: the slowest (growing scales) take 0.2 ms each to be drawn (measured), so
/// that these take eight seconds.
pub const UNLIKE: Limit =
    row("openings of which no two are alike", 0.0, 40_000.0, "", "each is measured and drawn by itself");
/// Each opening is held against each of them in 0.1 to 0.2 microseconds (measured).
pub const CUT_OUTS: Limit = row(
    "openings times windows, holes and kept places",
    0.0,
    20_000_000.0,
    "",
    "each opening is held against each of them",
);
pub const ROUND: Limit = row("repeats round the border", 6.0, 2000.0, "", "fewer are no round");
pub const STOCK: Limit =
    row("stock size", 5.0, 5000.0, "mm", "it is the sheet to cut from, width and height");
pub const STRIP_HEIGHT: Limit = row("strip height", 0.3, 200.0, "mm", "it is the height of the wall");
pub const OVERHANG: Limit = row("overhang", 0.0, 50.0, "mm", "it is what is trimmed off after soldering");
pub const STONE: Limit = row("stone", 1.0, 200.0, "mm", "it is measured across the stone");
pub const LEDGE: Limit = row("ledge", 0.0, 50.0, "mm", "it is what the stone rests on");
pub const WIRE: Limit = row("wire", 0.2, 10.0, "mm", "it is the wire's thickness");
pub const RING_INSIDE: Limit = row("inside", 0.5, 200.0, "mm", "it is measured inside the ring");
pub const COUNT: Limit = row("count", 1.0, 10_000.0, "", "it counts the rings");
pub const ROW_COUNT: Limit = row("count", 3.0, 2000.0, "", "fewer than three are no row");
pub const PETALS: Limit = row("petals", 3.0, 60.0, "", "fewer make no rosette and no star");
pub const DOME: Limit = row("dome", 0.0, 500.0, "mm", "0 leaves the piece flat");
pub const PAPER: Limit =
    row("paper size", 90.0, 5000.0, "mm", "the words of a sheet and the bars for checking need room");
pub const LABEL: Limit = row("label size", 5.0, 2000.0, "mm", "it is measured on the label sheet");
pub const LABEL_MARGIN: Limit = row("label margin", 0.0, 1000.0, "mm", "it is measured on the label sheet");
pub const LABEL_COUNT: Limit = row("number of labels", 1.0, 100.0, "", "it counts the labels on a sheet");
pub const CORRECTION: Limit = row(
    "what a 100 mm bar measured",
    90.0,
    110.0,
    "mm",
    "no printer is so far out; was it printed to fit the page, or measured on another bar?",
);
pub const MONEY: Limit = row("price", 0.0, 1_000_000.0, "", "it is money as you type it");
pub const SAW_RATE: Limit =
    row("saw", 0.1, 1000.0, "mm a minute", "it is the length of line sawn in a minute");
pub const MINUTES: Limit = row("time", 0.0, 600.0, "minutes", "it is the time for one");
pub const MINUTES_TAKEN: Limit =
    row("minutes", 0.1, 100_000.0, "minutes", "it is the time at drill and saw for one piece");
pub const WISH_HOURS: Limit = row("hours", 0.05, 10_000.0, "hours", "it is the time for one piece");
/// Each try of a wish opens the whole piece.
pub const WISH_OPENINGS: Limit =
    row("number of openings", 1.0, 120_000.0, "", "more cannot be sawn in a lifetime");
pub const WISH_WEIGHT: Limit = row("weight", 0.01, 100_000.0, "g", "it is the weight of one piece");
pub const LETTERS: Limit = row("letters", 0.0, 200.0, "letters", "it has to stand on one page");
pub const JOB_FILE: Limit = row("size of the file", 0.0, 1.0, "MB", "a job or a pattern is a page of text");
pub const DRAWING_FILE: Limit = row(
    "size of the drawing's file",
    0.0,
    4.0,
    "MB",
    "an outline takes a few kB; leave out pictures and notes",
);
pub const DRAWING_READ: Limit = row(
    "size of the drawing with every part written out",
    0.0,
    16.0,
    "MB",
    "a part that is used over and over counts each time",
);
pub const DRAWING_DEEP: Limit =
    row("groups inside groups", 0.0, 64.0, "", "the drawing refers to itself, or wants ungrouping");
pub const CORNERS: Limit = row(
    "corners of the drawn lines",
    0.0,
    4000.0,
    "",
    "draw it with arcs and curves, or let the drawing program simplify it",
);
/// A file of nothing but tags has about so many for its size; their tree takes 100 MB.
pub const DRAWING_PARTS: Limit =
    row("elements and texts of the drawing", 0.0, 1_000_000.0, "", "save the outline alone");
/// Beyond it the sums would lose the digits that the proof of a pattern needs.
pub const PATTERN_NUMBER: Limit =
    row("coordinate", -1e6, 1e6, "", "one repeat of a pattern is some units wide");
/// Of an arc, as its rise over half its span.
pub const PATTERN_RISE: Limit =
    row("rise of an arc", -20.0, 20.0, "", "1 is half a circle, 20 all but 11 degrees of a whole one");
/// Each edge is held against the copies of every other that it may reach. More lets a file of far-reaching shapes take many
/// seconds; the largest pattern that comes with the program needs a thousandth.
pub const PATTERN_REACH: Limit = row(
    "comparisons of the shapes' edges with those of all repeats that they reach",
    0.0,
    5e7,
    "",
    "use fewer corners, or repeats that suit the size of the shapes",
);
pub const PATTERN_CENTRES: Limit =
    row("centres of a pattern", 0.0, 60.0, "", "each is tried when the best is looked for");
pub const EVENED: Limit = row("openings times passes", 0.0, 4_000_000.0, "", "each pass moves every opening");
pub const PRINTED: Limit = row(
    "openings on all templates together",
    0.0,
    1_050_000.0,
    "",
    "print fewer copies at a time, and that file again",
);
/// Drawn one by one, thirty-seven thousand quatrefoils (35 curves each, and the punch mark) take 540 MB, and 136,000
/// hexagons 410 MB (from 45,000 and 100,000 measured).
pub const DRAWN: Limit = row(
    "lines and curves of the openings on all templates",
    0.0,
    1_500_000.0,
    "",
    "each is written on every template that it stands on",
);
pub const PAGES: Limit =
    row("pages of templates", 0.0, 400.0, "", "print fewer copies at a time, and that file again");

// What nothing typed is refused for: beyond these it is done otherwise, and told where the metal or the paper is another.

/// Pages for one piece in all its copies; beyond that nobody tapes paper, and it is not split. Larger only takes memory.
pub const SPLIT_PAGES: usize = 200;
/// Openings in one ring of a rosette whose fold is chosen by its pitch: twice what may be typed ([`FOLD`]). Larger makes needles.
pub const RING_OPENINGS: u32 = 720;
/// Rings of a rosette of rays, each smaller than the last: openings are specks before there are forty of them, whatever the fold.
pub const RINGS: u32 = 400;
/// Pixels of one picture: a larger page comes out at fewer dots to the inch, to be looked at all the same. So many are 256 MB in
/// memory.
pub const PIXELS: f64 = 64e6;
/// Openings of a piece for which remedies are tried: one try alone takes most of a second with more, and the person waits.
pub const REMEDIED: usize = 20_000;

/// Every row, for the list and for the test that each makes sense.
pub const TABLE: &[Limit] = &[
    THICKNESS,
    OUTLINE,
    PLACE_SIZE,
    CORNER_RADIUS,
    SIDES,
    BORDER,
    PITCH,
    BRIDGE,
    TURN,
    VARIATION,
    FOLD,
    MEETING,
    RAY_ANGLE,
    PASSES,
    GRADE,
    ALONG,
    PLACE,
    KEPT_PLACES,
    WINDOWS,
    HOLES,
    LUGS,
    CHANGES,
    ROWS,
    JUMP_RINGS,
    HOLE,
    LUG,
    DRAW_IN,
    LEAST,
    DRILL,
    CLEAN_UP,
    FRAME_DEPTH,
    STACK,
    PIECES,
    COPIES,
    OPENINGS,
    TRIED,
    UNLIKE,
    CUT_OUTS,
    ROUND,
    STOCK,
    STRIP_HEIGHT,
    OVERHANG,
    STONE,
    LEDGE,
    WIRE,
    RING_INSIDE,
    COUNT,
    ROW_COUNT,
    PETALS,
    DOME,
    PAPER,
    LABEL,
    LABEL_MARGIN,
    LABEL_COUNT,
    CORRECTION,
    MONEY,
    SAW_RATE,
    MINUTES,
    MINUTES_TAKEN,
    WISH_HOURS,
    WISH_OPENINGS,
    WISH_WEIGHT,
    LETTERS,
    JOB_FILE,
    DRAWING_FILE,
    DRAWING_READ,
    DRAWING_DEEP,
    CORNERS,
    DRAWING_PARTS,
    PATTERN_NUMBER,
    PATTERN_RISE,
    PATTERN_REACH,
    PATTERN_CENTRES,
    EVENED,
    PRINTED,
    DRAWN,
    PAGES,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_makes_sense_and_refuses_what_is_no_number() {
        for limit in TABLE {
            assert!(limit.least < limit.most && !limit.why.is_empty(), "{}", limit.name);
            for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, limit.most * 2.0 + 1.0] {
                assert!(limit.check(bad).is_err(), "{} takes {bad}", limit.name);
            }
            assert_eq!(limit.check(limit.least), Ok(limit.least));
            // Three hundred noughts are no help.
            let told = limit.check(1e300).err().map_or(String::new(), |unread| unread.wrong);
            assert!(!told.is_empty() && told.chars().count() < 120, "{told}");
        }
    }
}
