//! What an SVG file's style sheets and attributes say of whether a part is seen.

use roxmltree::Document;
use std::collections::BTreeMap;
use std::rc::Rc;

/// The properties of a style rule or a `style` attribute, in order.
pub(super) type Declared = Rc<[(String, String)]>;

/// Style rules of the file's style sheets that go by one class, in order.
pub(super) fn rules(document: &Document) -> BTreeMap<String, Vec<Declared>> {
    let mut rules: BTreeMap<String, Vec<Declared>> = BTreeMap::new();
    for sheet in document.descendants().filter(|n| n.has_tag_name("style")).filter_map(|n| n.text()) {
        for rule in sheet.split('}') {
            let Some((names, body)) = rule.split_once('{') else { continue };
            let declared = declarations(body);
            for name in names.split(',').filter_map(|n| n.trim().strip_prefix('.')) {
                rules.entry(name.to_string()).or_default().push(declared.clone());
            }
        }
    }
    rules
}

pub(super) fn declarations(text: &str) -> Declared {
    let pairs = text.split(';').filter_map(|d| d.split_once(':'));
    pairs.map(|(k, v)| (k.trim().to_string(), v.trim().to_string())).collect()
}

/// What decides whether a part is seen.
#[derive(Clone, Copy)]
pub(super) struct Style {
    filled: bool,
    stroked: bool,
    pub hidden: bool,
}

impl Default for Style {
    fn default() -> Self {
        Style { filled: true, stroked: false, hidden: false }
    }
}

impl Style {
    pub(super) fn set(&mut self, key: &str, value: &str) {
        match key {
            "fill" if value != "inherit" => self.filled = value != "none" && value != "transparent",
            "stroke" if value != "inherit" => self.stroked = value != "none" && value != "transparent",
            "visibility" => self.hidden = matches!(value, "hidden" | "collapse"),
            _ => {}
        }
    }

    pub(super) fn seen(self) -> bool {
        !self.hidden && (self.filled || self.stroked)
    }
}
