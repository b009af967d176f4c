//! Makers' stories that end on paper: a class and its label sheet, a panel over pages, a printer that is out.

use crate::made::{done, job, page};
use sawpierce::geom::Point;
use sawpierce::job::{parse, Job, NamedFiles, Printer, Settings};
use sawpierce::paper::{lay_out, Ink, Mark, Page, PageKind, Sheets};
use sawpierce::units::LengthUnit;
use sawpierce::work::{work, Work};

/// A teacher's job: a 30 mm disc of soft copper, from a sheet of 150 by 100 mm.
const CLASS: &str = r#"
title = "Seed box"
skill = "first"
[sheet]
metal = "copper"
thickness = 0.8
stock = [150, 100]
[outline]
shape = "circle"
diameter = 30
border = 3.4
[pattern]
at_border = "trim"
name = "triangle"
[paper]
size = "A4"
copies = 12
name_line = true
"#;

fn laid(texts: &[&str]) -> (Vec<(Job, Work)>, Sheets) {
    let jobs: Vec<(Job, Work)> =
        texts.iter().map(|t| (job(t), ())).map(|(j, ())| (done(&j), j)).map(|(w, j)| (j, w)).collect();
    let sheets = lay_out(&jobs.iter().map(|(j, w)| (j, w)).collect::<Vec<_>>());
    (jobs, sheets)
}

fn of(sheets: &Sheets, kind: PageKind) -> Vec<&Page> {
    sheets.pages.iter().filter(|p| p.kind == kind).collect()
}

fn text(page: &Page) -> String {
    page.words().map(|w| w.text.as_str()).collect::<Vec<_>>().join("\n")
}

#[track_caller]
fn says(text: &str, what: &[&str]) {
    for w in what {
        assert!(text.contains(w), "{w:?} is not said in\n{text}");
    }
}

fn whole(sheets: &Sheets) {
    for page in &sheets.pages {
        let faults = page::faults(page, false);
        assert!(faults.is_empty(), "{faults:?}");
    }
}

/// The page that is pinned up, and the teacher's page or pages before it.
fn class_pages(sheets: &Sheets) -> (String, String) {
    let cards = of(sheets, PageKind::Card);
    let rules = cards.iter().position(|p| text(p).contains("Rules at the bench")).expect("a page of rules");
    (cards[..rules].iter().map(|p| text(p)).collect::<Vec<_>>().join("\n"), text(cards[rules]))
}

#[test]
fn a_class_of_twelve_on_one_sheet() {
    for size in ["A4", "Letter"] {
        let (jobs, sheets) = laid(&[&CLASS.replace("A4", size)]);
        let [sheet] = of(&sheets, PageKind::Template)[..] else { panic!("{size}: one page of templates") };
        assert_eq!(sheet.copies.len(), 12);
        // Three by four or four by three, a bar in each, numbered with a name line, true drill circles.
        let xs: std::collections::BTreeSet<i64> =
            sheet.copies.iter().map(|c| (c.place.point(Point::ORIGIN).x * 100.0).round() as i64).collect();
        assert!(xs.len() == 3 || xs.len() == 4, "{xs:?}");
        assert_eq!(page::bars(sheet, 20.0, 0.0), 12);
        let said = text(sheet);
        for k in 1..=12 {
            says(&said, &[&format!("{k}  name")]);
        }
        let views = said.matches("Enlarged").count();
        assert_eq!(
            said.matches("FRONT").count(),
            12 + views,
            "each template, and the enlarged view if there is one"
        );
        let drill = |m: &&Mark| matches!(m.ink, Ink::Circle { radius, .. } if (radius - 0.5).abs() < 1e-9);
        let circles = sheet.marks.iter().filter(|m| m.group == sawpierce::paper::Group::DrillPoints);
        assert_eq!(circles.filter(drill).count(), 12 * jobs[0].1.piece.openings.len());
        whole(&sheets);
    }
}

#[test]
fn a_class_is_told_what_to_have_ready() {
    let (jobs, sheets) = laid(&[CLASS]);
    let (class, rules) = class_pages(&sheets);
    // 30 + 2 x 1 mm to hold by: 32 mm blanks. 4 x 32 + 3 gaps = 131, 3 x 32 + 2 = 98. 150 x 100 x 0.8 x 8.96e-3 = 107.5 g.
    says(
        &class,
        &["12 of 32.0 × 32.0 mm", "131.0 × 98.0 mm", "107.5 g", "13 pairs", "sawpierce draw test.toml"],
    );
    // 13 openings each: 156 holes, two drills at 150 each and one against a snapped one.
    assert_eq!(jobs[0].1.piece.openings.len(), 13);
    says(&class, &["3, spares among them, for 156 holes", "drills 1 mm", "blades 2/0"]);
    // Blades: the class needs more than one pupil, and never fewer than the likely count.
    let one = jobs[0].1.plan.blades.likely;
    let line = class.lines().find(|l| l.starts_with("about ") && l.contains("to be safe")).expect("blades");
    let counts: Vec<f64> = line.split(|c: char| !c.is_ascii_digit()).filter_map(|n| n.parse().ok()).collect();
    assert!(counts[0] > 10.0 * one && counts[1] >= counts[0], "{line}, one needs {one}");
    says(&rules, &["Glasses on", "Hair tied back", "Clamp", "Fingers", "Who drills today:", "Local codes"]);
    // To be read from the wall.
    let pages = of(&sheets, PageKind::Card);
    let pinned = pages.iter().find(|p| text(p).contains("Glasses on")).expect("rules");
    let rule = pinned.words().find(|w| w.text.starts_with("Glasses")).expect("rule");
    assert!(rule.size >= 13.0, "{}", rule.size);
    // One template, or none with a name: no class.
    for alone in [CLASS.replace("copies = 12", "copies = 1"), CLASS.replace("name_line = true", "")] {
        let (_, sheets) = laid(&[&alone]);
        assert!(sheets.pages.iter().all(|p| !text(p).contains("Rules at the bench")));
    }
}

#[test]
fn a_class_in_three_levels_is_counted_together() {
    let level = |name: &str, pattern: &str| {
        CLASS.replace("Seed box", name).replace("triangle", pattern).replace("copies = 12", "copies = 4")
    };
    let texts = [level("Wren", "hexagon"), level("Rook", "triangle"), level("Kite", "square")];
    let (jobs, sheets) = laid(&[&texts[0], &texts[1], &texts[2]]);
    let (class, _) = class_pages(&sheets);
    says(&class, &["12, numbered 1 to 12", "1 to 4: Wren", "5 to 8: Rook", "9 to 12: Kite"]);
    let holes: usize = jobs.iter().map(|(_, w)| 4 * w.piece.openings.len()).sum();
    says(&class, &[&format!("for {holes} holes"), "--together"]);
    let [sheet] = of(&sheets, PageKind::Template)[..] else { panic!("one page of templates") };
    assert_eq!(sheet.copies.len(), 12);
    whole(&sheets);
}

#[test]
fn a_class_on_its_own_labels_has_a_trial_page() {
    let labels = "labels = { across = 3, down = 4, width = 63, height = 70, left = 8, top = 8, gap_across = 2, gap_up = 0 }";
    let (_, sheets) = laid(&[&CLASS.replace("name_line = true", labels)]);
    assert_eq!(sheets.pages[0].kind, PageKind::Trial, "the trial comes first");
    says(&text(&sheets.pages[0]), &["TRIAL ON"]);
    let (class, _) = class_pages(&sheets);
    says(&class, &["trial page on plain paper", "left and top"]);
    // The offset is the maker's: labels two millimetres lower move every template by as much.
    let moved = labels.replace("top = 8", "top = 10");
    let (_, lower) = laid(&[&CLASS.replace("name_line = true", &moved)]);
    let at = |s: &Sheets| of(s, PageKind::Template)[0].copies[0].place.point(Point::ORIGIN);
    assert!((at(&lower) - at(&sheets) - sawpierce::geom::Vec2::new(0.0, 2.0)).hypot() < 1e-9);
}

#[test]
fn next_term_the_same_file_is_the_same_job() {
    let number = |text: &str| {
        let job = job(text);
        work(&job).expect("made").plan.number.clone()
    };
    let one = number(CLASS);
    assert_eq!(one, number(&CLASS.replace("copies = 12", "copies = 14")));
    assert_eq!(one, number(&CLASS.replace("A4", "Letter")));
    assert_ne!(one, number(&CLASS.replace("diameter = 30", "diameter = 31")));
}

const PANEL: &str = r#"
title = "Reed bed panel"
skill = "practised"
[sheet]
metal = "brass"
thickness = 1.0
[outline]
shape = "rectangle"
width = 540
height = 500
border = 20
[pattern]
at_border = "trim"
name = "hexagon"
pitch = 30
bridge = 4
[saw]
blade = "1"
drill = 2.0
frame_depth = 150
[paper]
size = "A4"
split = true
"#;

#[test]
fn a_panel_over_six_pages() {
    let (jobs, sheets) = laid(&[PANEL]);
    let pages = of(&sheets, PageKind::Template);
    assert_eq!(pages.len(), 6, "three across, two down");
    let [plan] = of(&sheets, PageKind::KeyPlan)[..] else { panic!("one key plan") };
    says(&text(plan), &["3 across and 2 down", "CHECK THE DIAGONAL", "a frame 150 mm deep does not reach"]);
    let mut joins = std::collections::BTreeMap::new();
    for page in &pages {
        assert!(
            page::bars(page, 100.0, 0.0) > 0 && page::bars(page, 0.0, 100.0) > 0,
            "a bar each way on every page"
        );
        let window = page.window.expect("a window");
        assert!(
            window.x0 >= 6.0
                && window.y0 >= 6.0
                && window.x1 <= page.width - 6.0
                && window.y1 <= page.height - 6.0
        );
        for words in page.words().filter(|w| w.text.starts_with('J')) {
            *joins.entry(words.text.clone()).or_insert(0) += 1;
        }
    }
    assert!(!joins.is_empty() && joins.values().all(|n| *n >= 2), "each mark on both its pages: {joins:?}");
    for letter in ["A1", "B1", "C1", "A2", "B2", "C2"] {
        assert!(pages.iter().any(|p| p.words().any(|w| w.text == letter)), "{letter}");
    }
    // The frame leaves the middle out of reach: 540 - 2 x 150 by 500 - 2 x 150 mm.
    let reach = crate::made::said(&jobs[0].1.verdicts, "frame-reach");
    assert!(
        reach.iter().any(|v| v.says(LengthUnit::Mm).contains("150 mm deep")
            && v.says(LengthUnit::Mm).contains("240 × 200 mm")),
        "{reach:?}"
    );
    whole(&sheets);
}

#[test]
fn a_printer_that_is_out_is_told_of_and_put_right() {
    let settings = Settings {
        printers: vec![Printer { name: "hall inkjet".into(), across: 97.8, up: 98.1 }],
        ..Settings::default()
    };
    let ring = r#"
title = "Tide ring"
[sheet]
metal = "sterling-silver"
thickness = 1.0
[outline]
shape = "band"
ring_size = "US 7"
width = 8
[pattern]
at_border = "trim"
name = "hexagon"
bridge = 1.2
[paper]
size = "A4"
printer = "hall inkjet"
"#;
    let job = parse(ring, "ring.toml", &NamedFiles::new(), &settings).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(job.paper.correction, (97.8, 98.1));
    let work = done(&job);
    let sheets = lay_out(&[(&job, &work)]);
    let said = text(of(&sheets, PageKind::Template)[0]).replace('\n', " ");
    // 57.56 x 0.978 = 56.30 mm: 0.40 mm less across, half a US size of 0.813 mm.
    says(&said, &["CORRECTED", "97.8 across and 98.1 up", "56.30 mm", "0.5 of a US size too small"]);
    // 100 / 97.8 = 1.0225 and 100 / 98.1 = 1.0194 belong to the page, whichever way it lies.
    assert_eq!(of(&sheets, PageKind::Template)[0].correction.0.max(0.0).to_bits(), {
        let page = of(&sheets, PageKind::Template)[0];
        if page.width < page.height { 97.8_f64 } else { 98.1 }.to_bits()
    });
    // What only just fits is pushed off the page by its correction: it says so, and what would do.
    let disc = |paper: &str| {
        let text = crate::made::disc(
            &[("outline.diameter", "181"), ("pattern.pitch", "20"), ("pattern.bridge", "3")],
            paper,
        );
        laid(&[&text]).1
    };
    let fits = disc("[paper]\nsize = \"A4\"\n");
    let pushed = disc("[paper]\nsize = \"A4\"\ncorrection = { across = 97.8, up = 98.1 }\n");
    let split = disc("[paper]\nsize = \"A4\"\nsplit = true\ncorrection = { across = 97.8, up = 98.1 }\n");
    assert_eq!(of(&fits, PageKind::Template).len(), 1);
    assert!(of(&pushed, PageKind::Template).is_empty());
    assert!(
        pushed.verdicts.iter().any(|v| v.check.name() == "paper-fit" && v.remedy.is_some()),
        "{:?}",
        pushed.verdicts
    );
    assert!(of(&split, PageKind::Template).len() >= 2);
}
