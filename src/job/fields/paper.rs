//! Rows of what is printed.

use super::{field_row as row, usual, Field, Section, Usual, ValueKind};
use crate::job::values::Value;
use crate::job::Stage;
use crate::units::limits::{COPIES, CORRECTION, LABEL, LABEL_COUNT, LABEL_MARGIN, PAPER};
use std::borrow::Cow::Borrowed;

const NO: Usual = Usual::Is(Value::Yes(false), "");
const NOUGHT: Usual = Usual::By(usual::nought, "0");

const fn count(key: &'static str, says: &'static str) -> Field {
    row(key, ValueKind::Whole(LABEL_COUNT), "3", Usual::Needed, says)
}

const fn side(key: &'static str, says: &'static str) -> Field {
    row(key, ValueKind::Length(LABEL), "63", Usual::Needed, says)
}

const fn margin(key: &'static str, says: &'static str) -> Field {
    row(key, ValueKind::Length(LABEL_MARGIN), "8", NOUGHT, says)
}

pub(super) const SECTIONS: &[Section] = &[
    Section {
        path: "paper",
        many: false,
        needed: None,
        shape: None,
        says: "what is printed",
        read_by: Stage::Paper,
        fields: &[
            row(
                "size",
                ValueKind::Paper(PAPER),
                "\"A4\"",
                Usual::Is(Value::Word(Borrowed("A4")), ""),
                "the paper in the printer",
            ),
            row(
                "copies",
                ValueKind::Whole(COPIES),
                "1",
                Usual::Is(Value::Number(1.0), ""),
                "templates to print",
            ),
            row("mirror", ValueKind::YesNo, "true", NO, "printed mirrored, for transfers"),
            row(
                "line",
                ValueKind::Word(&["waste", "split"]),
                "\"waste\"",
                Usual::Is(Value::Word(Borrowed("waste")), ""),
                "the saw line lies in the waste, or half on each side of the edge",
            ),
            row(
                "shade",
                ValueKind::Word(&["waste", "metal", "none"]),
                "\"waste\"",
                Usual::By(usual::shade, "waste; none where marks = \"few\""),
                "what is shaded",
            ),
            row(
                "marks",
                ValueKind::Word(&["all", "few"]),
                "\"all\"",
                Usual::Is(Value::Word(Borrowed("all")), ""),
                "few: lines and punch points only, the numbers in the enlarged view",
            ),
            row(
                "card",
                ValueKind::Word(&["brief", "full"]),
                "\"full\"",
                Usual::Is(Value::Word(Borrowed("brief")), ""),
                "the job card: what the bench needs, or every number with its sum",
            ),
            row(
                "transfer",
                ValueKind::Word(&["label", "glue", "carbon", "rub-down"]),
                "\"label\"",
                Usual::Is(Value::Word(Borrowed("label")), ""),
                "how the paper comes onto the metal",
            ),
            row(
                "split",
                ValueKind::YesNo,
                "true",
                NO,
                "a piece larger than this paper goes over several pages to tape together",
            ),
            row(
                "name_line",
                ValueKind::YesNo,
                "true",
                Usual::By(usual::name_line, "true with labels, else false"),
                "a line for a name on every copy",
            ),
            row(
                "printer",
                ValueKind::Text,
                "\"hall inkjet\"",
                Usual::Nothing("printed as it is"),
                "a correction stored by `sawpierce true-size`",
            ),
        ],
    },
    Section {
        path: "paper.labels",
        many: false,
        needed: None,
        shape: None,
        says: "sheets of labels: one copy on each",
        read_by: Stage::Paper,
        fields: &[
            count("across", "labels in a row"),
            count("down", "rows"),
            side("width", "of one label"),
            side("height", "of one label"),
            margin("left", "margin of the sheet"),
            margin("top", "margin of the sheet"),
            margin("gap_across", "between two labels of a row"),
            margin("gap_up", "between two rows"),
        ],
    },
    Section {
        path: "paper.correction",
        many: false,
        needed: None,
        shape: None,
        says: "what the 100 mm bars of the test page measured, in place of printer",
        read_by: Stage::Paper,
        fields: &[
            row(
                "across",
                ValueKind::Number(CORRECTION),
                "97.8",
                Usual::Needed,
                "the bar along the paper's short edge",
            ),
            row("up", ValueKind::Number(CORRECTION), "98.1", Usual::Needed, "the bar along its long edge"),
        ],
    },
];
