//! The letters a PDF carries: cut down to those used, with their widths and the table that lets words be copied out.

use crate::paper::letters;
use lopdf::{dictionary, Dictionary, Document, Object, ObjectId};
use std::collections::BTreeMap;
use subsetter::GlyphRemapper;

/// One face as it stands in a PDF: its letters' codes.
pub(super) struct Embedded {
    codes: BTreeMap<char, u16>,
    bold: bool,
    units_per_em: f64,
}

impl Embedded {
    /// Adds the face with the letters of `used` to the document; gives its codes and the font object.
    pub(super) fn add(document: &mut Document, bold: bool, used: &[char]) -> Option<(Self, ObjectId)> {
        let face = letters::face(bold)?;
        let mut remapper = GlyphRemapper::new();
        let mut codes = BTreeMap::new();
        let mut widths: BTreeMap<u16, i64> = BTreeMap::new();
        let unit = 1000.0 / f64::from(face.units_per_em());
        let thousandths = |v: f64| (v * unit).round() as i64;
        for &c in used {
            let Some(glyph) = face.glyph_index(c).or_else(|| face.glyph_index('?')) else { continue };
            let code = remapper.remap(glyph.0);
            codes.insert(c, code);
            widths.insert(code, thousandths(f64::from(face.glyph_hor_advance(glyph).unwrap_or(0))));
        }
        let bytes = subsetter::subset(letters::file(bold), 0, &remapper).ok()?;
        let name = if bold { "SAWPBD+DejaVuSansCondensed-Bold" } else { "SAWPRG+DejaVuSansCondensed" };
        let length = bytes.len() as i64;
        let file = document.add_object(super::stream::packed(dictionary! { "Length1" => length }, bytes));
        let bounds = face.global_bounding_box();
        let descriptor = document.add_object(dictionary! {
            "Type" => "FontDescriptor",
            "FontName" => Object::Name(name.into()),
            "Flags" => 4,
            "FontBBox" => vec![
                thousandths(f64::from(bounds.x_min)).into(),
                thousandths(f64::from(bounds.y_min)).into(),
                thousandths(f64::from(bounds.x_max)).into(),
                thousandths(f64::from(bounds.y_max)).into(),
            ],
            "ItalicAngle" => 0,
            "Ascent" => thousandths(f64::from(face.ascender())),
            "Descent" => thousandths(f64::from(face.descender())),
            "CapHeight" => thousandths(f64::from(face.capital_height().unwrap_or(face.ascender()))),
            "StemV" => if bold { 140 } else { 80 },
            "FontFile2" => file,
        });
        let mut w: Vec<Object> = Vec::new();
        for (code, width) in &widths {
            w.push(i64::from(*code).into());
            w.push(Object::Array(vec![(*width).into()]));
        }
        let descendant = document.add_object(dictionary! {
            "Type" => "Font",
            "Subtype" => "CIDFontType2",
            "BaseFont" => Object::Name(name.into()),
            "CIDSystemInfo" => dictionary! {
                "Registry" => Object::string_literal("Adobe"),
                "Ordering" => Object::string_literal("Identity"),
                "Supplement" => 0,
            },
            "CIDToGIDMap" => "Identity",
            "FontDescriptor" => descriptor,
            "DW" => 600,
            "W" => w,
        });
        let unicode = document.add_object(super::stream::packed(Dictionary::new(), to_unicode(&codes)));
        let font = document.add_object(dictionary! {
            "Type" => "Font",
            "Subtype" => "Type0",
            "BaseFont" => Object::Name(name.into()),
            "Encoding" => "Identity-H",
            "DescendantFonts" => vec![descendant.into()],
            "ToUnicode" => unicode,
        });
        Some((Self { codes, bold, units_per_em: f64::from(face.units_per_em()) }, font))
    }

    /// The codes of a text as PDF hexadecimal strings, parted where letters are kerned, with what shows them.
    pub(super) fn push(&self, out: &mut String, text: &str) {
        let unit = 1000.0 / self.units_per_em;
        let steps = letters::steps(text, self.bold);
        out.push_str("[<");
        for (i, (c, step)) in steps.iter().enumerate() {
            let code = self.codes.get(c).copied().unwrap_or(0);
            for at in [12, 8, 4, 0] {
                out.push(char::from(b"0123456789abcdef"[usize::from(code >> at & 15)]));
            }
            // A PDF counts the other way: what is taken off the step, in thousandths.
            let closer = letters::advance(*c, self.bold) - f64::from(*step) * unit;
            if closer.abs() > 0.5 && i + 1 < steps.len() {
                out.push_str(&format!(">{:.0}<", closer));
            }
        }
        out.push_str(">] TJ");
    }
}

/// The table from codes back to letters. Every code stands for one letter, the first that uses it.
fn to_unicode(codes: &BTreeMap<char, u16>) -> Vec<u8> {
    let mut letters: BTreeMap<u16, char> = BTreeMap::new();
    for (c, code) in codes {
        letters.entry(*code).or_insert(*c);
    }
    let mut text = String::from(
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo << /Registry (Adobe) \
         /Ordering (UCS) /Supplement 0 >> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n\
         1 begincodespacerange\n<0000> <ffff>\nendcodespacerange\n",
    );
    let rows: Vec<String> = letters
        .iter()
        .map(|(code, c)| {
            let units: String = c.encode_utf16(&mut [0; 2]).iter().map(|u| format!("{u:04x}")).collect();
            format!("<{code:04x}> <{units}>\n")
        })
        .collect();
    for chunk in rows.chunks(100) {
        text.push_str(&format!("{} beginbfchar\n{}endbfchar\n", chunk.len(), chunk.concat()));
    }
    text.push_str("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
    text.into_bytes()
}

/// Every letter used on the pages, by weight.
pub(super) fn used<'a>(words: impl Iterator<Item = &'a crate::paper::Words>) -> [Vec<char>; 2] {
    let mut used = [std::collections::BTreeSet::new(), std::collections::BTreeSet::new()];
    for w in words {
        used[w.bold as usize].extend(w.text.chars());
    }
    used.map(|set| set.into_iter().collect())
}
