//! Shapes out of an SVG file, at the size the file says they are.
//!
//! Read here rather than through a drawing library, so that millimetres stay 64-bit and circular arcs stay arcs.
//! Understood: nested groups, `use`, `symbol`, inner `svg`, placing, physical units, view boxes, hidden parts, and style
//! rules for one class. Refused with a reason: text, pictures, masks, and anything that is not one outer line with
//! cut-outs inside it. Line widths and colours mean nothing here: the middle of a line is the edge.

use super::drawing::{sorted, DrawnLine, PathPen};
use super::svg_style::{declarations, rules, Declared, Style};
use super::svg_view::{fitted, length_of, pixels, root_place, view_box};
use super::Ring;
use crate::units::limits::{DRAWING_DEEP, DRAWING_FILE, DRAWING_PARTS, DRAWING_READ, WINDOWS};
use crate::units::Unread;
use kurbo::{Affine, Point, Vec2};
use roxmltree::{Document, Node, ParsingOptions};
use std::collections::{BTreeMap, HashMap};
use std::str::FromStr;
use svgtypes::PointsParser;

const SVG: &str = "http://www.w3.org/2000/svg";
/// What reading a part costs whatever stands in it, in bytes of [`DRAWING_READ`].
const EACH_PART: usize = 64;

type Read<T> = Result<T, String>;
fn limited(within: Result<(), Unread>) -> Read<()> {
    within.map_err(|unread| format!("{}; {}", unread.wrong, unread.todo))
}

/// The shapes of an SVG file in mm, y up: the largest first, those inside it (its windows) after it; only those of the
/// part named `id`, if given; and whether the file says how large they are. A root that states a size in any unit keeps
/// it; one that states none is read as drawn in mm, which is a guess.
pub fn rings_of_svg_file(bytes: &[u8], id: Option<&str>) -> Result<(Vec<Ring>, bool), String> {
    if bytes.starts_with(&[0x1f, 0x8b]) {
        return Err("the file is compressed; save it as plain SVG".into());
    }
    limited(DRAWING_FILE.counted(bytes.len() as f64 / 1e6))?;
    let text = std::str::from_utf8(bytes).map_err(|_| "this is not an SVG file".to_string())?;
    // A few bytes of them can stand for gigabytes.
    if text.contains("<!ENTITY") {
        return Err("the file has entities of its own (<!ENTITY ...>), which are not read".into());
    }
    let nodes_limit = DRAWING_PARTS.most as u32;
    let options = ParsingOptions { allow_dtd: true, nodes_limit, ..ParsingOptions::default() };
    let document = match Document::parse_with_options(text.trim_start_matches('\u{feff}'), options) {
        Ok(document) => document,
        Err(roxmltree::Error::NodesLimitReached) => {
            return limited(DRAWING_PARTS.counted(DRAWING_PARTS.most + 1.0)).and(Err("too large".into()));
        }
        Err(damaged) => return Err(format!("the SVG file is damaged: {damaged}")),
    };
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err("this is not an SVG file".into());
    }
    let (place, view) = root_place(root)?;
    let mut reader = SvgReader {
        rules: rules(&document),
        named: document.descendants().rev().filter_map(|n| Some((n.attribute("id")?, n))).collect(),
        wanted: id,
        found: false,
        read: 0,
        corners: 0,
        lines: Vec::new(),
    };
    let whole = id.is_none() || root.attribute("id") == id;
    reader.found = whole;
    let mut part = TreePart { place, view, style: Style::default(), taken: whole, deep: 0 };
    reader.style(root, &mut part.style);
    reader.children(root, &part)?;
    if let Some(id) = id.filter(|_| !reader.found) {
        let mut known: Vec<&str> = document.descendants().filter_map(|n| n.attribute("id")).collect();
        known.truncate(8);
        let list = if known.is_empty() { String::new() } else { format!("; it has {}", known.join(", ")) };
        return Err(format!("the file draws nothing named \"{id}\"{list}"));
    }
    if reader.lines.is_empty() {
        return Err("the file draws no lines to saw along".into());
    }
    let stated = |key: &str| root.attribute(key).is_some_and(|size| !size.trim_end().ends_with('%'));
    let rings = sorted(reader.lines).map_err(|(_, wrong)| wrong)?;
    Ok((rings, stated("width") || stated("height")))
}

/// The id a `use` refers to.
fn link<'a>(node: &Node<'a, '_>) -> Option<&'a str> {
    let to = node.attribute("href").or_else(|| node.attribute(("http://www.w3.org/1999/xlink", "href")));
    to.and_then(|t| t.trim().strip_prefix('#'))
}

/// Where in the tree we are.
#[derive(Clone, Copy)]
struct TreePart {
    place: Affine,
    /// Size of the nearest view, in its user units: what percentages are of.
    view: Vec2,
    style: Style,
    /// Inside the part that was asked for.
    taken: bool,
    deep: usize,
}

struct SvgReader<'d, 'input> {
    rules: BTreeMap<String, Vec<Declared>>,
    /// Every part by its id; of two with one id the first.
    named: HashMap<&'d str, Node<'d, 'input>>,
    wanted: Option<&'d str>,
    found: bool,
    /// Bytes read, those of a part as often as it is used.
    read: usize,
    /// Corners of `lines`.
    corners: usize,
    lines: Vec<DrawnLine>,
}

impl<'d, 'input> SvgReader<'d, 'input> {
    fn children(&mut self, node: Node<'d, 'input>, part: &TreePart) -> Read<()> {
        node.children().filter(Node::is_element).try_for_each(|child| self.read(child, part))
    }

    fn read(&mut self, node: Node<'d, 'input>, outer: &TreePart) -> Read<()> {
        limited(DRAWING_DEEP.counted(outer.deep as f64))?;
        self.read += EACH_PART + node.attributes().map(|a| a.value().len()).sum::<usize>();
        limited(DRAWING_READ.counted(self.read as f64 / 1e6))?;
        let mut part = TreePart { deep: outer.deep + 1, ..*outer };
        if self.wanted.is_some() && node.attribute("id") == self.wanted {
            part.taken = true;
            self.found = true;
        }
        let (properties, shown) = self.style(node, &mut part.style);
        self.read += properties.len() * EACH_PART;
        if !shown {
            return Ok(());
        }
        let name = match node.tag_name().namespace() {
            None | Some(SVG) => node.tag_name().name(),
            Some(_) => return Ok(()),
        };
        if let Some(text) = node.attribute("transform") {
            let t = svgtypes::Transform::from_str(text)
                .map_err(|_| format!("the placing \"{text}\" of a {name} cannot be read"))?;
            part.place *= Affine::new([t.a, t.b, t.c, t.d, t.e, t.f]);
        }
        if part.taken {
            for (key, value) in &properties {
                if value != "none" && matches!(key.as_str(), "clip-path" | "mask") {
                    return Err("part of the drawing is cut off by a mask; draw the line itself".into());
                }
                if value != "none" && key == "transform" {
                    return Err(
                        "a part is placed by its style, which is not read; save it as plain SVG".into()
                    );
                }
            }
        }
        match name {
            "g" | "a" | "switch" => self.children(node, &part),
            "svg" => {
                self.framed(node, &mut part, None)?;
                self.children(node, &part)
            }
            "use" => self.used(node, part),
            "path" | "rect" | "circle" | "ellipse" | "polygon" | "polyline" | "line" => {
                if part.taken && part.style.seen() {
                    self.shape(node, &part)?;
                }
                Ok(())
            }
            "text" | "image" | "foreignObject" if part.taken && !part.style.hidden => Err(match name {
                "text" => {
                    "the file holds text, which cannot be sawn as it is; turn the letters into lines".into()
                }
                "image" => "the file holds a picture; draw its edge as a line".to_string(),
                _ => "the file holds something that is not drawn with lines".into(),
            }),
            // Definitions, notes, and what drawing programs keep for themselves.
            _ => Ok(()),
        }
    }

    /// What style says of a node: its properties, and whether it is shown at all.
    fn style(&self, node: Node, style: &mut Style) -> (Vec<(String, String)>, bool) {
        let mut properties: Vec<(String, String)> = Vec::new();
        for key in ["fill", "stroke", "visibility", "display", "opacity", "clip-path", "mask"] {
            if let Some(value) = node.attribute(key) {
                properties.push((key.into(), value.trim().into()));
            }
        }
        for class in node.attribute("class").unwrap_or("").split_whitespace() {
            for declared in self.rules.get(class).into_iter().flatten() {
                properties.extend(declared.iter().cloned());
            }
        }
        properties.extend(declarations(node.attribute("style").unwrap_or("")).iter().cloned());
        let mut shown = true;
        for (key, value) in &properties {
            style.set(key, value);
            match key.as_str() {
                "display" => shown = value != "none",
                "opacity" => shown = shown && value.parse() != Ok(0.0),
                _ => {}
            }
        }
        (properties, shown)
    }

    fn used(&mut self, node: Node<'d, 'input>, mut part: TreePart) -> Read<()> {
        let Some(link) = link(&node) else {
            return Err("the file uses a part of another file; bring it in".into());
        };
        let Some(target) = self.named.get(link).copied() else {
            return Err(format!("the file uses a part \"{link}\" that it does not hold"));
        };
        let (x, y) = (self.length(node, "x", part.view.x)?, self.length(node, "y", part.view.y)?);
        part.place *= Affine::translate((x, y));
        if target.has_tag_name("symbol") {
            self.style(target, &mut part.style);
            self.framed(target, &mut part, Some(node))?;
            return self.children(target, &part);
        }
        self.read(target, &part)
    }

    /// Goes into the frame of an inner `svg`, or of a `symbol` sized by the `user` of it.
    fn framed(&self, node: Node, part: &mut TreePart, user: Option<Node>) -> Read<()> {
        if user.is_none() {
            let (x, y) = (self.length(node, "x", part.view.x)?, self.length(node, "y", part.view.y)?);
            part.place *= Affine::translate((x, y));
        }
        let sized = user.unwrap_or(node);
        let size = |key: &str, whole: f64| match sized.attribute(key) {
            Some(text) => length_of(text).map(|l| pixels(l, whole)),
            None => Ok(whole),
        };
        let (w, h) = (size("width", part.view.x)?, size("height", part.view.y)?);
        part.view = Vec2::new(w, h);
        if let Some(view) = view_box(node)? {
            part.place *= fitted(node, view, w, h);
            part.view = Vec2::new(view.w, view.h);
        }
        Ok(())
    }

    fn length(&self, node: Node, key: &str, whole: f64) -> Read<f64> {
        node.attribute(key).map_or(Ok(0.0), |text| length_of(text).map(|l| pixels(l, whole)))
    }

    fn shape(&mut self, node: Node, part: &TreePart) -> Read<()> {
        let view = part.view;
        let diagonal = (view.hypot2() / 2.0).sqrt();
        let across = |key: &str| self.length(node, key, view.x);
        let up = |key: &str| self.length(node, key, view.y);
        let mut pen = PathPen::new(part.place, self.corners);
        match node.tag_name().name() {
            "path" => {
                let d = node.attribute("d").unwrap_or("");
                pen.draw(d).map_err(|(at, wrong)| format!("{wrong} (character {at} of its data)"))?;
            }
            "rect" => {
                let corner = Point::new(across("x")?, up("y")?);
                let (w, h) = (across("width")?, up("height")?);
                let given = |key: &str| node.attribute(key).is_some_and(|t| t.trim() != "auto");
                let radius = |key: &str, whole: f64| self.length(node, key, whole);
                let (rx, ry) = match (given("rx"), given("ry")) {
                    (true, true) => (radius("rx", view.x)?, radius("ry", view.y)?),
                    (true, false) => (radius("rx", view.x)?, radius("rx", view.x)?),
                    (false, true) => (radius("ry", view.y)?, radius("ry", view.y)?),
                    (false, false) => (0.0, 0.0),
                };
                if w > 0.0 && h > 0.0 {
                    rounded_box(&mut pen, corner, w, h, rx.clamp(0.0, w / 2.0), ry.clamp(0.0, h / 2.0));
                }
            }
            "circle" => {
                let r = self.length(node, "r", diagonal)?;
                if r > 0.0 {
                    pen.oval(Point::new(across("cx")?, up("cy")?), r, r);
                }
            }
            "ellipse" => {
                let (rx, ry) = (across("rx")?, up("ry")?);
                if rx > 0.0 && ry > 0.0 {
                    pen.oval(Point::new(across("cx")?, up("cy")?), rx, ry);
                }
            }
            "line" => {
                pen.move_to(Point::new(across("x1")?, up("y1")?));
                pen.line_to(Point::new(across("x2")?, up("y2")?));
            }
            closed => {
                for (k, (x, y)) in PointsParser::from(node.attribute("points").unwrap_or("")).enumerate() {
                    let p = Point::new(x, y);
                    if k == 0 {
                        pen.move_to(p);
                    } else {
                        pen.line_to(p);
                    }
                }
                if closed == "polygon" {
                    pen.close();
                }
            }
        }
        let lines = pen.lines();
        self.corners += lines.iter().map(DrawnLine::corners).sum::<usize>();
        self.lines.extend(lines);
        // Ten lines for a window: filled and stroked apart, a note or two beside. They are counted when doubles are gone.
        limited(WINDOWS.counted(self.lines.len() as f64 / 10.0))?;
        Ok(())
    }
}

fn rounded_box(pen: &mut PathPen, at: Point, w: f64, h: f64, rx: f64, ry: f64) {
    let p = |x: f64, y: f64| at + Vec2::new(x, y);
    let round = rx > 0.0 && ry > 0.0;
    let (rx, ry) = if round { (rx, ry) } else { (0.0, 0.0) };
    pen.move_to(p(rx, 0.0));
    for (to, turned) in [
        (p(w - rx, 0.0), p(w, ry)),
        (p(w, h - ry), p(w - rx, h)),
        (p(rx, h), p(0.0, h - ry)),
        (p(0.0, ry), p(rx, 0.0)),
    ] {
        pen.line_to(to);
        if round {
            pen.arc_to(Vec2::new(rx, ry), 0.0, false, true, turned);
        }
    }
    pen.close();
}
