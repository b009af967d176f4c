//! Rows of what the piece is: sheet, outline, pattern, and what stands in it.

use super::{field_row as row, usual, Field, Listed, Section, Usual, ValueKind};
use crate::job::values::Value;
use crate::units::limits::{
    ALONG, BORDER, BRIDGE, CORNER_RADIUS, DRAW_IN, FOLD, GRADE, HOLE, LUG, MEETING, MONEY, OUTLINE, PASSES,
    PIECES, PITCH, PLACE, PLACE_SIZE, RAY_ANGLE, STOCK, THICKNESS, TURN, VARIATION,
};

const MIDDLE: Usual = Usual::By(usual::middle, "[0, 0]: the middle");
const UPRIGHT: Usual = Usual::Is(Value::Number(0.0), "");
const SHAPE: Field = row(
    "shape",
    ValueKind::Named(Listed::Outlines),
    "\"circle\"",
    Usual::Needed,
    "its shape, with sizes as below",
);
const TURN_IT: Field = row("turn", ValueKind::Number(TURN), "15", UPRIGHT, "degrees, anticlockwise");
const PUT_AT: Field = row("at", ValueKind::Place(PLACE), "[0, 11]", MIDDLE, "where its middle lies");
const NEEDED_AT: Field =
    row("at", ValueKind::Place(PLACE), "[0, 11]", Usual::Needed, "where its middle lies");

pub(super) const SECTIONS: &[Section] = &[
    Section {
        path: "",
        many: false,
        needed: None,
        shape: None,
        says: "the whole job; these lines stand above the first section",
        fields: &[
            row("title", ValueKind::Text, "\"Reed lantern\"", Usual::Nothing("the file's name"), "stands on every page"),
            row(
                "units",
                ValueKind::Word(&["mm", "in"]),
                "\"mm\"",
                Usual::Is(Value::Word(std::borrow::Cow::Borrowed("mm")), ""),
                "of plain numbers; a value in quotes may carry its own unit",
            ),
            row(
                "skill",
                ValueKind::Word(&["first", "practised", "fine-work"]),
                "\"first\"",
                Usual::Is(Value::Word(std::borrow::Cow::Borrowed("first")), "the careful limits"),
                "whose hand: sets limits, clean-up, tools and hours",
            ),
            row(
                "pieces",
                ValueKind::Whole(PIECES),
                "2",
                Usual::By(usual::pieces, "1, of a pair 2"),
                "how many single pieces to make; a pair is two of them",
            ),
            row("pair", ValueKind::YesNo, "true", Usual::Is(Value::Yes(false), ""), "left and right, mirrored"),
        ],
    },
    Section {
        path: "sheet",
        many: false,
        needed: Some("add [sheet] with metal = \"copper\""),
        shape: None,
        says: "the metal",
        fields: &[
            row("metal", ValueKind::Named(Listed::Metals), "\"copper\"", Usual::Needed, "the sheet's metal"),
            row(
                "thickness",
                ValueKind::Length(THICKNESS),
                "0.8",
                Usual::Is(Value::Mm(0.8), "thinner flaps under the saw, thicker tires the hand"),
                "of the sheet: 0.8, or \"20 ga\" (B&S)",
            ),
            row(
                "temper",
                ValueKind::Word(&["soft", "half-hard"]),
                "\"soft\"",
                Usual::Is(Value::Word(std::borrow::Cow::Borrowed("soft")), ""),
                "matters more than width for strength",
            ),
            row(
                "stock",
                ValueKind::Two(STOCK),
                "[150, 100]",
                Usual::Nothing("not asked whether the pieces come out of it"),
                "the sheet or off-cut to lay pieces on",
            ),
            row(
                "price_per_gram",
                ValueKind::Number(MONEY),
                "0.02",
                Usual::Nothing("no cost of metal"),
                "money for a gram, as you type it",
            ),
        ],
    },
    Section {
        path: "outline",
        many: false,
        needed: Some("add [outline] with shape and size"),
        shape: Some(OUTLINE),
        says: "the outer edge, as drawn; the piece filed to the line is this size",
        fields: &[
            SHAPE,
            row(
                "border",
                ValueKind::Length(BORDER),
                "3",
                Usual::By(usual::border, "the least border of your limits, and a clean-up for each of its two sides"),
                "solid metal inside the edge",
            ),
        ],
    },
    Section {
        path: "pattern",
        many: false,
        needed: Some("add [pattern] with name = \"hexagon\""),
        shape: None,
        says: "the openwork",
        fields: &[
            row(
                "name",
                ValueKind::Named(Listed::Patterns),
                "\"hexagon\"",
                Usual::Nothing("needed, unless file names a pattern or rows and the middle are all there is"),
                "which pattern; \"none\" for rows and the middle alone",
            ),
            row(
                "file",
                ValueKind::Text,
                "\"reeds.toml\"",
                Usual::Nothing("name says which pattern"),
                "a pattern file of your own beside the job, in place of name",
            ),
            row(
                "pitch",
                ValueKind::Pitch(PITCH),
                "7",
                Usual::Nothing("chosen for the piece and the hand: about half of it open, openings a file goes into"),
                "one repeat: its shortest step",
            ),
            row(
                "bridge",
                ValueKind::Length(BRIDGE),
                "1.9",
                Usual::By(usual::bridge, "the least bridge of your limits, and a clean-up for each of its two sides"),
                "metal between openings, as drawn",
            ),
            row(
                "bridge_to",
                ValueKind::Length(BRIDGE),
                "2.6",
                Usual::Nothing("the same bridge everywhere"),
                "bridges grow from bridge in the middle to this at the border",
            ),
            row(
                "along",
                ValueKind::Number(ALONG),
                "90",
                Usual::Nothing("from the middle outwards"),
                "bridges or cells grow along a line in this direction, degrees: 90 from the foot to the top",
            ),
            row(
                "turn",
                ValueKind::Number(TURN),
                "15",
                Usual::By(usual::turn, "upright, as the pattern is drawn: bricks and scales level"),
                "degrees, anticlockwise",
            ),
            row(
                "centre",
                ValueKind::Word(&["opening", "crossing", "bridge", "best"]),
                "\"opening\"",
                Usual::By(usual::centre, "best where openings are fitted to the border, else opening"),
                "what stands in the middle; best: whatever leaves most whole openings",
            ),
            row(
                "at",
                ValueKind::Place(PLACE),
                "[1.5, 0]",
                Usual::Nothing("in the middle of the piece, or a little beside it where it fits the border better"),
                "where the pattern's middle lies",
            ),
            row(
                "at_border",
                ValueKind::Word(&["fit", "trim", "whole", "join", "ease"]),
                "\"fit\"",
                Usual::Is(Value::Word(std::borrow::Cow::Borrowed("fit")), ""),
                "whole openings bent to run along the border (fit), or those it cuts are trimmed, left out, joined to a neighbour, or avoided by easing the pitch",
            ),
            row(
                "corner_radius",
                ValueKind::Length(CORNER_RADIUS),
                "0.3",
                Usual::By(usual::nought, "0: sharp"),
                "rounds the corners of the openings",
            ),
            row(
                "variation",
                ValueKind::Whole(VARIATION),
                "1",
                Usual::Is(Value::Number(1.0), ""),
                "grown patterns: another number grows another",
            ),
            row(
                "fold",
                ValueKind::Whole(FOLD),
                "8",
                Usual::Nothing("the pattern's own"),
                "grown patterns: how often it comes again in one turn",
            ),
            row(
                "sides",
                ValueKind::Wholes(MEETING),
                "[7, 3]",
                Usual::Nothing("the pattern's own"),
                "shrinking-edge: sides of an opening, and openings round a crossing",
            ),
            row(
                "passes",
                ValueKind::Whole(PASSES),
                "20",
                Usual::Nothing("as many as make the cells even"),
                "evened-out: how often the cells are evened",
            ),
            row(
                "grade",
                ValueKind::Number(GRADE),
                "0.8",
                Usual::Is(Value::Number(0.0), "all the same size"),
                "evened-out and sunflower: 0.8 makes the cells 80 % larger at the end",
            ),
            row(
                "ray_angle",
                ValueKind::Number(RAY_ANGLE),
                "60",
                Usual::Nothing("the pattern as it is"),
                "makes stars: their rays leave the middles of the edges at this angle, degrees",
            ),
        ],
    },
    Section {
        path: "keep_solid",
        many: true,
        needed: None,
        shape: Some(PLACE_SIZE),
        says: "a place the pattern flows round: a bail tab, a signature",
        fields: &[
            row("name", ValueKind::Text, "\"bail tab\"", Usual::Nothing("\"kept solid\""), "what it is for"),
            SHAPE,
            TURN_IT,
            PUT_AT,
        ],
    },
    Section {
        path: "window",
        many: true,
        needed: None,
        shape: Some(PLACE_SIZE),
        says: "a sawn cut-out of its own, with its own border",
        fields: &[
            row("name", ValueKind::Text, "\"stone window\"", Usual::Nothing("\"window\""), "what it is for"),
            SHAPE,
            TURN_IT,
            PUT_AT,
            row(
                "border",
                ValueKind::Length(BORDER),
                "1.2",
                Usual::By(usual::bridge_again, "the pattern's bridge"),
                "solid metal round it",
            ),
        ],
    },
    Section {
        path: "hole",
        many: true,
        needed: None,
        shape: None,
        says: "drilled to size, never sawn: for a bail or a rivet",
        fields: &[
            row("name", ValueKind::Text, "\"bail hole\"", Usual::Nothing("\"hole\""), "what it is for"),
            row("diameter", ValueKind::Length(HOLE), "1.8", Usual::Needed, "the finished hole"),
            NEEDED_AT,
        ],
    },
    Section {
        path: "lug",
        many: true,
        needed: None,
        shape: None,
        says: "an ear standing out from the outline, with its hole",
        fields: &[
            row(
                "at_angle",
                ValueKind::Number(TURN),
                "90",
                Usual::Is(Value::Number(90.0), "at the top"),
                "degrees from the right, anticlockwise, seen from the middle",
            ),
            row("width", ValueKind::Length(LUG), "6", Usual::Needed, "along the edge"),
            row("height", ValueKind::Length(LUG), "4", Usual::Needed, "out from the edge"),
            row("hole", ValueKind::Length(HOLE), "1.8", Usual::Needed, "the hole in it"),
        ],
    },
    Section {
        path: "change",
        many: true,
        needed: None,
        shape: None,
        says: "one opening altered: the one that holds the point",
        fields: &[
            NEEDED_AT,
            row("draw_in", ValueKind::Length(DRAW_IN), "0.15", Usual::Nothing("close says what changes"), "drawn in by this much all round"),
            row("close", ValueKind::YesNo, "true", Usual::Nothing("draw_in says what changes"), "left solid"),
        ],
    },
];
