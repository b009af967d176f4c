//! Words as elements of SVG.

use super::look::grey;
use super::PLACES;
use crate::paper::letters::MM_PER_PT;
use crate::paper::{Anchor, Words};
use crate::render::numbers::push;
use svg::node::Text;

/// Writes a run of words, its text escaped; properties in the order of the alphabet.
pub(super) fn push_words(out: &mut String, words: &Words) {
    let number = |out: &mut String, before: &str, value: f64| {
        out.push_str(before);
        push(out, value, PLACES);
    };
    out.push_str("<text");
    if words.shade != 100 {
        out.push_str(" fill=\"");
        out.push_str(&grey(words.shade));
        out.push('"');
    }
    out.push_str(" font-family=\"&apos;DejaVu Sans Condensed&apos;, &apos;DejaVu Sans&apos;, sans-serif\"");
    number(out, " font-size=\"", words.size * MM_PER_PT);
    out.push_str("\" font-stretch=\"condensed\"");
    if words.bold {
        out.push_str(" font-weight=\"bold\"");
    }
    out.push_str(" lengthAdjust=\"spacingAndGlyphs\"");
    out.push_str(match words.anchor {
        Anchor::Start => "",
        Anchor::Middle => " text-anchor=\"middle\"",
        Anchor::End => " text-anchor=\"end\"",
    });
    number(out, " textLength=\"", words.width());
    if words.upward {
        number(out, "\" transform=\"rotate(-90 ", words.at.x);
        number(out, " ", words.at.y);
        out.push(')');
    } else if words.mirrored {
        let b = words.bounds();
        number(out, "\" transform=\"matrix(-1 0 0 1 ", b.x0 + b.x1);
        out.push_str(" 0)");
    }
    number(out, "\" x=\"", words.at.x);
    if words.text.contains("  ") {
        out.push_str("\" xml:space=\"preserve");
    }
    number(out, "\" y=\"", words.at.y);
    out.push_str("\">\n");
    out.push_str(&Text::new(words.text.as_str()).to_string());
    out.push_str("\n</text>\n");
}
