//! Rows of openings along a line, and the motif in the middle.

use super::{field_row as row, usual, Listed, Section, Usual, ValueKind};
use crate::job::values::Value;
use crate::job::Stage;
use crate::units::limits::{BORDER, PITCH, PLACE, PLACE_SIZE, ROW_COUNT, TURN};
use std::borrow::Cow;

/// Shapes of a row's openings that are drawn here; the others are those of pattern files.
pub const ELEMENTS: [&str; 5] = ["round", "drop", "brick", "petal", "lozenge"];

pub(super) const SECTIONS: &[Section] = &[
    Section {
        path: "row",
        many: true,
        needed: None,
        shape: None,
        says: "openings in a row along the outline, a window or a circle; the pattern begins inside it. Rows along the \
               same line stand one inside the other",
        read_by: Stage::Outline,
        fields: &[
            row(
                "along",
                ValueKind::Along(PLACE_SIZE),
                "\"outline\"",
                Usual::Is(Value::Word(Cow::Borrowed("outline")), ""),
                "which line the row follows",
            ),
            row(
                "shape",
                ValueKind::Element,
                "\"round\"",
                Usual::Is(Value::Word(Cow::Borrowed("round")), ""),
                "of each opening; drops, bricks and petals turn with the line",
            ),
            row(
                "file",
                ValueKind::Text,
                "\"reeds.toml\"",
                Usual::Nothing("shape says which"),
                "a pattern file of your own beside the job, whose first shape is taken in place of shape",
            ),
            row(
                "size",
                ValueKind::AlongAcross(PLACE_SIZE),
                "[2, 3.2]",
                Usual::By(usual::row_size, "as small as the limits of your skill let it be"),
                "of each opening: along the row, and across it",
            ),
            row(
                "count",
                ValueKind::Whole(ROW_COUNT),
                "24",
                Usual::Nothing("the most that leave a bridge between them"),
                "how many; on a band or a cone along each edge",
            ),
            row(
                "pitch",
                ValueKind::Length(PITCH),
                "4",
                Usual::Nothing("count, or the most that leave a bridge"),
                "from one to the next along the row, about: the count is made whole",
            ),
            row(
                "inset",
                ValueKind::Length(BORDER),
                "2",
                Usual::By(usual::row_inset, "the border of the outline or window; for a further row the bridge"),
                "metal between the edge, or the row before, and this row",
            ),
            row(
                "apart",
                ValueKind::Length(BORDER),
                "1.2",
                Usual::By(usual::bridge_again, "the bridge"),
                "metal between the row and the pattern",
            ),
            row(
                "tips",
                ValueKind::Word(&["in", "out"]),
                "\"out\"",
                Usual::Is(Value::Word(Cow::Borrowed("in")), "to the middle of the line"),
                "which way drops point",
            ),
        ],
    },
    Section {
        path: "middle",
        many: false,
        needed: None,
        shape: Some(PLACE_SIZE),
        says: "one motif in the middle, the pattern fitted round it",
        read_by: Stage::Outline,
        fields: &[
            row(
                "shape",
                ValueKind::Named(Listed::Outlines),
                "\"rosette\"",
                Usual::Needed,
                "\"rosette\", \"star\", or one opening of any shape of the outline",
            ),
            row("turn", ValueKind::Number(TURN), "15", Usual::Is(Value::Number(0.0), ""), "degrees, anticlockwise"),
            row("at", ValueKind::Place(PLACE), "[0, 2]", Usual::By(usual::middle, "[0, 0]: the middle"), "where its middle lies"),
            row(
                "apart",
                ValueKind::Length(BORDER),
                "1.2",
                Usual::By(usual::bridge_again, "the bridge"),
                "metal between it and the pattern",
            ),
        ],
    },
];
