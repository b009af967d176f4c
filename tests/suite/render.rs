//! What the renderers write, read back: ids and sizes in SVG, paths, words, parts and fixed bytes in PDF, pixels in PNG.

use lopdf::content::{Content, Operation};
use lopdf::{Document, Object};
use sawpierce::geom::Ring;
use sawpierce::job::*;
use sawpierce::openings::Opening;
use sawpierce::paper::{lay_out, Ink, Page, Sheets, SAW_LINE};
use sawpierce::render::{pdf, png, svg};
use sawpierce::units::Mm;
use sawpierce::work::{work, Work};

fn disc() -> Job {
    crate::made::job(crate::made::DISC)
}

fn laid(job: &Job) -> (Work, Sheets) {
    let work = work(job).expect("the job can be made");
    let sheets = lay_out(&[(job, &work)]);
    (work, sheets)
}

fn about() -> pdf::About {
    pdf::About { title: "Disc \u{00d8} 46".into(), language: "en".into() }
}

fn file(sheets: &Sheets) -> Vec<u8> {
    pdf::pdf(&sheets.pages.iter().collect::<Vec<_>>(), &about())
}

/// Attribute of the first element that starts with `lead`.
fn attribute<'a>(svg: &'a str, lead: &str, name: &str) -> &'a str {
    let at = svg.find(lead).unwrap_or_else(|| panic!("no {lead}"));
    let element = &svg[at..at + svg[at..].find('>').expect("closed")];
    let key = format!("{name}=\"");
    let from = element.find(&key).unwrap_or_else(|| panic!("no {name} in {element}")) + key.len();
    &element[from..from + element[from..].find('"').expect("quoted")]
}

/// The text of a group, up to its end.
fn group<'a>(svg: &'a str, id: &str) -> &'a str {
    let at = svg.find(&format!("<g id=\"{id}\"")).unwrap_or_else(|| panic!("no group {id}"));
    let end = svg[at..].find("</g>").expect("closed");
    &svg[at..at + end]
}

#[test]
fn svg_is_true_size_and_its_groups_are_named() {
    let (work, sheets) = laid(&disc());
    let text = svg::svg(&sheets.pages[0], "Disc");
    assert_eq!(attribute(&text, "<svg", "width"), "210mm");
    assert_eq!(attribute(&text, "<svg", "viewBox"), "0 0 210 297");
    let count = work.piece.openings.len();
    assert_eq!(group(&text, "openings").matches("<path").count(), count);
    assert_eq!(group(&text, "openings").matches("data-opening=").count(), count);
    assert_eq!(group(&text, "drill-points").matches("<circle").count(), count);
    assert_eq!(group(&text, "outline").matches("<path").count(), 1);
    assert_eq!(group(&text, "saw-lines").matches("<path").count(), count + 1);
    for id in ["punch-marks", "scale-bar", "words", "shade"] {
        assert!(!group(&text, id).is_empty());
    }
    let middle = attribute(&text, "<g data-middle", "data-middle");
    assert_eq!(middle.split(' ').count(), 2);
    assert_eq!(attribute(&text, "<g data-middle", "data-mirrored"), "false");
}

#[test]
fn several_copies_are_numbered_groups() {
    let mut job = disc();
    job.pair = true;
    let (_, sheets) = laid(&job);
    let text = svg::svg(&sheets.pages[0], "Disc");
    for k in [1, 2] {
        assert!(text.contains(&format!("id=\"copy-{k}\"")));
        assert!(!group(&text, &format!("openings-{k}")).is_empty());
        assert!(!group(&text, &format!("outline-{k}")).is_empty());
    }
    assert!(!text.contains("id=\"openings\""));
    assert!(text.contains("data-mirrored=\"true\"") && text.contains("data-mirrored=\"false\""));
    let ids: Vec<&str> = text.split(" id=\"").skip(1).filter_map(|t| t.split('"').next()).collect();
    let mut once = ids.clone();
    once.sort_unstable();
    once.dedup();
    assert_eq!(once.len(), ids.len(), "every id stands once");
}

#[test]
fn words_are_escaped() {
    let mut job = disc();
    job.title = "Reeds & <rushes> \"at dusk\"".into();
    let (_, sheets) = laid(&job);
    let text = svg::svg(&sheets.pages[0], &job.title);
    assert!(text.contains("Reeds &amp; &lt;rushes&gt;") && !text.contains("<rushes>"));
}

fn number(object: &Object) -> f64 {
    match object {
        Object::Integer(i) => *i as f64,
        Object::Real(r) => f64::from(*r),
        other => panic!("not a number: {other:?}"),
    }
}

/// The points of a path, whether it is closed, and the operator that painted it.
type Painted = (Vec<(f64, f64)>, bool, String);

/// What a page draws, its forms written out where they are placed; and how many are placed.
fn operations(document: &Document, page: usize) -> (Vec<Operation>, usize) {
    let id = document.get_pages()[&(page as u32 + 1)];
    let content = Content::decode(&document.get_page_content(id)).expect("decoded");
    let form = |name: &Object| {
        let resources =
            document.get_dictionary(id).and_then(|page| page.get(b"Resources")).expect("resources");
        let resources =
            document.get_dictionary(resources.as_reference().expect("by number")).expect("resources");
        let forms = resources.get(b"XObject").and_then(Object::as_dict).expect("forms");
        let id =
            forms.get(name.as_name().expect("a name")).and_then(Object::as_reference).expect("by number");
        let stream = document.get_object(id).and_then(Object::as_stream).expect("a form");
        Content::decode(&stream.content).expect("decoded").operations
    };
    let (mut all, mut placed, mut at) = (Vec::new(), 0, (0.0, 0.0));
    for op in content.operations {
        match op.operator.as_str() {
            "q" | "Q" => at = (0.0, 0.0),
            "cm" => at = (number(&op.operands[4]), number(&op.operands[5])),
            "Do" => {
                placed += 1;
                for mut op in form(&op.operands[0]) {
                    for (i, v) in op.operands.iter_mut().enumerate() {
                        *v = Object::Real((number(v) + if i % 2 == 0 { at.0 } else { at.1 }) as f32);
                    }
                    all.push(op);
                }
            }
            _ => all.push(op),
        }
    }
    (all, placed)
}

/// Paths of a page in points.
fn paths(document: &Document, page: usize) -> Vec<Painted> {
    let (mut all, mut points, mut closed) = (Vec::new(), Vec::new(), false);
    for op in operations(document, page).0 {
        let v: Vec<f64> = match op.operator.as_str() {
            "m" | "l" | "c" => op.operands.iter().map(number).collect(),
            _ => Vec::new(),
        };
        match op.operator.as_str() {
            "m" | "l" => points.push((v[0], v[1])),
            "c" => points.push((v[4], v[5])),
            "h" => closed = true,
            "f" | "f*" | "S" | "B" => {
                all.push((std::mem::take(&mut points), closed, op.operator.clone()));
                closed = false;
            }
            "n" => points.clear(),
            _ => {}
        }
    }
    all
}

/// mm to points, as ISO 32000 has it: 72 to the inch.
const PT: f64 = 72.0 / 25.4;

#[test]
fn pdf_paths_lie_within_a_micrometre_of_the_plan() {
    // Few openings alike are drawn one by one, many as a form that is placed: three times each, with edge, line and punch mark.
    for (pitch, many) in [("6.2", false), ("2.6", true)] {
        let (work, sheets) = laid(&crate::made::job(&crate::made::disc(&[("pattern.pitch", pitch)], "")));
        let document = Document::load_mem(&file(&sheets)).expect("readable");
        let placed = operations(&document, 0).1;
        assert!(if many { placed > 300 } else { placed == 0 }, "{pitch}: {placed} forms placed");
        as_planned(&work, &sheets, &document);
    }
}

/// More openings than are numbered, on one page.
fn stamped() -> (Work, Sheets) {
    let large = [("outline.diameter", "180"), ("pattern.pitch", "2.6"), ("pattern.at_border", "\"trim\"")];
    laid(&crate::made::job(&crate::made::disc(&large, "")))
}

#[test]
fn stamped_pdf_paths_lie_within_a_micrometre_of_the_plan() {
    let (work, sheets) = stamped();
    let document = Document::load_mem(&file(&sheets)).expect("readable");
    let (count, placed) = (work.piece.openings.len(), operations(&document, 0).1);
    let places: usize = sheets.pages[0].stamps.iter().map(|stamp| stamp.places.len()).sum();
    assert!(places > 3000 && placed > 500 && placed < count, "{placed} forms placed for {count} openings");
    as_planned(&work, &sheets, &document);
}

/// The corners of straight lines in path data, closed ones.
fn corners(d: &str) -> Vec<Vec<(f64, f64)>> {
    let spaced: String = d
        .chars()
        .flat_map(|c| match c {
            'M' | 'm' | 'l' | 'z' => vec![' ', c, ' '],
            '-' => vec![' ', c],
            _ => vec![c],
        })
        .collect();
    let mut all: Vec<Vec<(f64, f64)>> = Vec::new();
    let (mut at, mut letter) = ((0.0, 0.0), "");
    let mut words = spaced.split_whitespace();
    while let Some(word) = words.next() {
        match word.parse::<f64>() {
            Ok(x) => {
                let y: f64 = words.next().and_then(|y| y.parse().ok()).expect("two numbers");
                at = if letter == "M" { (x, y) } else { (at.0 + x, at.1 + y) };
                if matches!(letter, "M" | "m") {
                    all.push(Vec::new());
                }
                all.last_mut().expect("a beginning").push(at);
            }
            Err(_) => {
                letter = word;
                if letter == "z" {
                    at = all.last().expect("a beginning")[0];
                }
            }
        }
    }
    all
}

#[test]
fn stamped_svg_paths_lie_within_a_micrometre_of_the_plan() {
    let (work, sheets) = stamped();
    let text = svg::svg(&sheets.pages[0], "Disc");
    let place = sheets.pages[0].copies[0].place;
    let drawn = |id: &str| -> Vec<Vec<(f64, f64)>> {
        let paths = group(&text, id).split("<path d=\"").skip(1).filter_map(|rest| rest.split('"').next());
        paths.filter(|d| !d.contains(['c', 'C'])).flat_map(corners).collect()
    };
    let like = |ring: &Ring, drawn: &[(f64, f64)]| {
        let want = ring.vertices().map(|v| place.point(v.at));
        drawn.len() == ring.vertices().len()
            && want.zip(drawn).all(|(p, d)| f64::hypot(p.x - d.0, p.y - d.1) < 1e-3)
    };
    let (areas, lines) = (drawn("openings"), drawn("saw-lines"));
    let whole: Vec<&Opening> = work.piece.openings.iter().filter(|o| !o.trimmed).collect();
    assert!(whole.len() > 3000);
    for o in whole {
        assert_eq!(areas.iter().filter(|d| like(&o.ring, d)).count(), 1, "the area of opening {}", o.n);
        let line = &o.ring.shrink(SAW_LINE / 2.0)[0];
        assert_eq!(lines.iter().filter(|d| like(line, d)).count(), 1, "the line of opening {}", o.n);
    }
    for id in ["openings", "drill-points"] {
        let numbers = group(&text, id).split("data-opening=\"").skip(1);
        let mut numbers: Vec<usize> =
            numbers.filter_map(|rest| rest.split('"').next()?.parse().ok()).collect();
        numbers.sort_unstable();
        assert!(numbers.into_iter().eq(1..=work.piece.openings.len()), "each number once in {id}");
    }
}

fn as_planned(work: &Work, sheets: &Sheets, document: &Document) {
    let paths = |page| paths(document, page);
    let filled: Vec<_> = paths(0).into_iter().filter(|p| p.2 == "f*").collect();
    assert!(filled.iter().all(|p| p.1), "filled paths are closed");
    let place = sheets.pages[0].copies[0].place;
    for o in &work.piece.openings {
        let want: Vec<(f64, f64)> =
            o.ring.vertices().map(|c| place.point(c.at)).map(|p| (p.x * PT, (297.0 - p.y) * PT)).collect();
        let near = |a: &(f64, f64), b: &(f64, f64)| (a.0 - b.0).hypot(a.1 - b.1) < 0.001 * PT;
        let found =
            filled.iter().filter(|(p, _, _)| want.iter().all(|w| p.iter().any(|q| near(w, q)))).count();
        assert_eq!(found, 1, "opening {} is one closed filled path", o.n);
    }
    let bar = paths(0).into_iter().any(|(p, _, op)| {
        op == "S" && p.len() == 2 && ((p[1].0 - p[0].0).abs() - 100.0 * PT).abs() < 0.001 * PT
    });
    assert!(bar, "the bar across measures 100.000 mm");
}

#[test]
fn drill_circles_in_the_pdf_are_round() {
    let (work, sheets) = laid(&disc());
    let document = Document::load_mem(&file(&sheets)).expect("readable");
    let at = sheets.pages[0].copies[0].place.point(work.piece.openings[0].drill_at);
    let (cx, cy) = (at.x * PT, (297.0 - at.y) * PT);
    let mut from = (0.0_f64, 0.0_f64);
    let mut seen = 0;
    for op in operations(&document, 0).0 {
        let v: Vec<f64> = op
            .operands
            .iter()
            .filter(|o| matches!(o, Object::Real(_) | Object::Integer(_)))
            .map(number)
            .collect();
        if op.operator == "c" && f64::hypot(from.0 - cx, from.1 - cy) < 0.6 * PT {
            for i in 0..=20 {
                let t = i as f64 / 20.0;
                let mix = |a: f64, b: f64, c: f64, d: f64| {
                    let u = 1.0 - t;
                    u * u * u * a + 3.0 * u * u * t * b + 3.0 * u * t * t * c + t * t * t * d
                };
                let (x, y) = (mix(from.0, v[0], v[2], v[4]), mix(from.1, v[1], v[3], v[5]));
                let r = (x - cx).hypot(y - cy) / PT;
                assert!((r - 0.5).abs() < 0.001, "{r}");
            }
            seen += 1;
        }
        if matches!(op.operator.as_str(), "m" | "l" | "c") {
            from = (v[v.len() - 2], v[v.len() - 1]);
        }
    }
    assert_eq!(seen, 4);
}

#[test]
fn only_the_pdf_is_corrected_and_by_what_the_printer_takes_away() {
    let mut job = disc();
    job.paper.correction = (97.8, 98.1);
    let (_, sheets) = laid(&job);
    let document = Document::load_mem(&file(&sheets)).expect("readable");
    let lines: Vec<_> = paths(&document, 0).into_iter().filter(|p| p.2 == "S" && p.0.len() == 2).collect();
    // What the file says, times what the printer makes of it, is 100 mm.
    let across = lines.iter().any(|(p, _, _)| ((p[1].0 - p[0].0).abs() * 0.978 / PT - 100.0).abs() < 0.001);
    let up = lines.iter().any(|(p, _, _)| ((p[1].1 - p[0].1).abs() * 0.981 / PT - 100.0).abs() < 0.001);
    assert!(across && up);
    let text = svg::svg(&sheets.pages[0], "Disc");
    let bar = text.split("<line").any(|l| {
        let get = |n: &str| l.split(&format!(" {n}=\"")).nth(1).and_then(|t| t.split('"').next()?.parse::<f64>().ok());
        matches!((get("x1"), get("x2"), get("y1"), get("y2")), (Some(a), Some(b), Some(c), Some(d)) if (b - a - 100.0).abs() < 1e-3 && c == d)
    });
    assert!(bar, "the SVG is never corrected");
}

#[test]
fn pages_parts_language_and_title_are_set() {
    let (_, sheets) = laid(&disc());
    let bytes = file(&sheets);
    assert!(bytes.starts_with(b"%PDF-1.6"));
    let document = Document::load_mem(&bytes).expect("readable");
    let pages = document.get_pages();
    assert_eq!(pages.len(), sheets.pages.len());
    let page = document.get_dictionary(pages[&1]).expect("page");
    let media: Vec<f64> =
        page.get(b"MediaBox").and_then(Object::as_array).expect("box").iter().map(number).collect();
    // ISO 216 A4 in points.
    assert!((media[2] - 595.276).abs() < 5e-4 && (media[3] - 841.890).abs() < 5e-4, "{media:?}");
    let catalog = document.catalog().expect("catalog");
    assert_eq!(catalog.get(b"Lang").and_then(Object::as_str).expect("language"), b"en");
    let view = catalog.get(b"ViewerPreferences").and_then(Object::as_dict).expect("preferences");
    assert_eq!(view.get(b"PrintScaling").and_then(Object::as_name).expect("scaling"), b"None");
    let parts = catalog.get(b"OCProperties").and_then(Object::as_dict).expect("parts");
    for part in parts.get(b"OCGs").and_then(Object::as_array).expect("list") {
        let part = document.get_dictionary(part.as_reference().expect("reference")).expect("part");
        let name = part.get(b"Name").and_then(Object::as_str).expect("name");
        assert!(name.is_ascii() && !name.is_empty());
    }
    for makers in [b"printpdf".as_slice(), b"Adobe Illu", b"PDF/X"] {
        assert!(!bytes.windows(makers.len()).any(|w| w == makers), "another program's name in the file");
    }
}

#[test]
fn words_in_the_pdf_are_the_words_of_the_pages() {
    let (_, sheets) = laid(&disc());
    let document = Document::load_mem(&file(&sheets)).expect("readable");
    let sorted = |words: Vec<String>| {
        let mut words: Vec<String> =
            words.iter().flat_map(|w| w.split_whitespace().map(str::to_string).collect::<Vec<_>>()).collect();
        words.sort();
        words
    };
    for (i, page) in sheets.pages.iter().enumerate() {
        let text = document.extract_text(&[i as u32 + 1]).expect("text");
        let want = sorted(page.words().map(|w| w.text.clone()).collect());
        assert_eq!(sorted(vec![text]), want, "page {}", i + 1);
    }
}

#[test]
fn same_pages_same_bytes() {
    let (_, a) = laid(&disc());
    let (_, b) = laid(&disc());
    assert_eq!(file(&a), file(&b));
    assert_eq!(svg::svg(&a.pages[0], "x"), svg::svg(&b.pages[0], "x"));
    assert_eq!(png::png(&a.pages[0], 60.0), png::png(&b.pages[0], 60.0));
}

fn blackest(page: &Page, dpi: f64) -> tiny_skia::Pixmap {
    let bytes = png::png(page, dpi).expect("a picture");
    tiny_skia::Pixmap::decode_png(&bytes).expect("a PNG")
}

#[test]
fn png_shows_the_bar_at_its_length() {
    let (_, sheets) = laid(&disc());
    let page = &sheets.pages[0];
    let dpi = 254.0; // ten dots to the millimetre
    let picture = blackest(page, dpi);
    assert_eq!((picture.width(), picture.height()), (2100, 2970));
    let bar = page.marks.iter().find_map(|m| match &m.ink {
        Ink::Line { points, .. } if (points[1].x - points[0].x - 100.0).abs() < 1e-9 => Some(points.clone()),
        _ => None,
    });
    let bar = bar.expect("the bar");
    let row = (bar[0].y * 10.0) as u32;
    let dark: Vec<u32> = (0..picture.width())
        .filter(|x| {
            picture.pixel(*x, row).is_some_and(|p| p.red() < 128) && (*x as f64) < bar[1].x * 10.0 + 5.0
        })
        .collect();
    let length = f64::from(dark[dark.len() - 1] - dark[0]) / 10.0;
    assert!((length - 100.0).abs() < 0.3, "{length}");
}

#[test]
fn a_split_page_shows_only_its_window() {
    let mut job = disc();
    job.outline.shape = Shape::Rectangle { width: Mm(540.0), height: Mm(500.0), corner_radius: Mm(0.0) };
    job.pattern.pitch = Some(Mm(26.0));
    job.pattern.bridge = Mm(4.0);
    job.outline.border = Mm(12.0);
    let (_, sheets) = laid(&job);
    let tile = sheets.pages.iter().find(|p| p.window.is_some()).expect("a tile");
    let text = svg::svg(tile, "Panel");
    assert!(text.contains("<clipPath id=\"window\">") && text.contains("clip-path=\"url(#window)\""));
    let picture = blackest(tile, 50.8); // two dots to the millimetre
    let outer = |x: u32, y: u32| x < 12 || y < 12 || x >= picture.width() - 12 || y >= picture.height() - 12;
    for y in 0..picture.height() {
        for x in 0..picture.width() {
            let p = picture.pixel(x, y).expect("inside");
            assert!(!outer(x, y) || p.red() > 200, "ink at {x}, {y}");
        }
    }
}
