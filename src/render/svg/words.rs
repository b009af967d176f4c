//! Words as elements of SVG.

use super::look::grey;
use super::number;
use crate::paper::letters::MM_PER_PT;
use crate::paper::{Anchor, Words};
use svg::node::element::Text;

/// A run of words, its text escaped.
pub(super) fn text(words: &Words) -> Text {
    let anchor = match words.anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    let mut text = Text::new(words.text.as_str())
        .set("font-family", "'DejaVu Sans Condensed', 'DejaVu Sans', sans-serif")
        .set("font-stretch", "condensed")
        .set("font-size", number(words.size * MM_PER_PT))
        .set("textLength", number(words.width()))
        .set("lengthAdjust", "spacingAndGlyphs")
        .set("x", number(words.at.x))
        .set("y", number(words.at.y));
    if words.text.contains("  ") {
        text = text.set("xml:space", "preserve");
    }
    if words.anchor != Anchor::Start {
        text = text.set("text-anchor", anchor);
    }
    if words.bold {
        text = text.set("font-weight", "bold");
    }
    if words.shade != 100 {
        text = text.set("fill", grey(words.shade));
    }
    if words.mirrored {
        let b = words.bounds();
        text = text.set("transform", format!("matrix(-1 0 0 1 {} 0)", number(b.x0 + b.x1)));
    }
    if words.upward {
        text = text.set("transform", format!("rotate(-90 {} {})", number(words.at.x), number(words.at.y)));
    }
    text
}
