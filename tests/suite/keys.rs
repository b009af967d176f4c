//! The key table and what new keys promise: the page made from it, stones, drawings, cut-outs, the gauge question.

use crate::made::*;
use sawpierce::checks::{Check, Level};
use sawpierce::job::{fields, outlines, parse, Job, NamedFiles, Settings};
use sawpierce::plan::Part;
use sawpierce::work::work;

const PLATE: &str = "skill = \"practised\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"rectangle\"\n\
                     width = 60\nheight = 40\nborder = 3\n[pattern]\nname = \"square\"\npitch = 5\nbridge = 1.3\n";

fn read(text: &str, files: &NamedFiles) -> Result<Job, String> {
    parse(text, "piece.toml", files, &Settings::default()).map_err(|e| e.to_string())
}

fn refused(text: &str) -> String {
    match read(text, &NamedFiles::new()) {
        Err(said) => said,
        Ok(job) => work(&job).err().unwrap_or_else(|| panic!("taken:\n{text}")).to_string(),
    }
}

/// The page of keys is made from the table: write it anew with `sawpierce list keys --page > docs/job-file.md`.
#[test]
fn the_page_of_keys_is_the_key_table() {
    let page = include_str!("../../docs/job-file.md");
    assert_eq!(page, fields::page(), "docs/job-file.md is not what the table says");
    let said = |word: &str| assert!(page.contains(word), "{word} is not on the page");
    for section in fields::sections() {
        section.all_fields().for_each(|f| said(&format!("`{}`", f.key)));
    }
    outlines().for_each(|o| said(&format!("`{}`", o.name)));
}

fn part<'a>(parts: &'a [Part], name: &str) -> &'a Part {
    parts.iter().find(|p| p.part.words() == name).unwrap_or_else(|| panic!("no {name}"))
}

/// Round the ellipse with half axes a and b (Ramanujan's second formula, good to a millionth here).
fn round_ellipse(a: f64, b: f64) -> f64 {
    let h = ((a - b) / (a + b)).powi(2);
    std::f64::consts::PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()))
}

#[test]
fn stones_of_every_shape_have_a_strip_a_pad_and_a_window() {
    let seat = |stone: &str| {
        let text = format!("{PLATE}[construction]\nbezel = {{ stone = {stone}, thickness = 0.3 }}\n");
        let job = read(&text, &NamedFiles::new()).unwrap_or_else(|e| panic!("{stone}: {e}"));
        work(&job).unwrap_or_else(|e| panic!("{stone}: {e}"))
    };
    // Play 0.1 (common practice) and half the wall lie between the stone and the middle of the wall: 0.05 + 0.15.
    let round = seat("10");
    let length =
        |w: &sawpierce::work::Work| part(&w.plan.parts, "bezel strip").get("length_mm").expect("long");
    assert!((length(&round) - std::f64::consts::PI * 10.4).abs() < 1e-6, "{}", length(&round));
    // An oval's offset line is longer than the oval by 2 pi times the offset, whatever the oval (Steiner).
    let oval = seat("[14, 10]");
    let expected = round_ellipse(7.0, 5.0) + 2.0 * std::f64::consts::PI * 0.2;
    assert!((length(&oval) - expected).abs() < 0.01, "{} or {expected}", length(&oval));
    // A square's corners are turned with the offset as radius: four sides and one whole turn.
    let square = seat("{ shape = \"square\", width = 8, height = 6 }");
    let expected = 28.0 + 2.0 * std::f64::consts::PI * 0.2;
    assert!((length(&square) - expected).abs() < 1e-6, "{} or {expected}", length(&square));
    let window = part(&square.plan.parts, "stone window");
    let size = (window.get("width_mm"), window.get("height_mm"));
    assert!(
        matches!(size, (Some(w), Some(h)) if (w - 6.0).abs() < 1e-6 && (h - 4.0).abs() < 1e-6),
        "{size:?}"
    );
    for shape in ["cushion", "drop", "marquise"] {
        let done = seat(&format!("{{ shape = \"{shape}\", width = 9, height = 12 }}"));
        assert_eq!(done.piece.outline.windows.len(), 1, "{shape}");
        assert_eq!(done.piece.outline.keeps.len(), 1, "{shape}");
        let pad = done.piece.outline.keeps[0].ring.bounds();
        assert!(pad.width() > 9.0 + 0.7 && pad.height() > 12.0 + 0.7, "{shape}: {pad:?}");
    }
    let said = refused(&format!(
        "{PLATE}[construction]\nbezel = {{ stone = {{ shape = \"cusion\", width = 9, height = 12 }} }}\n"
    ));
    assert!(said.contains("did you mean \"cushion\"?"), "{said}");
}

#[test]
fn a_bare_gauge_number_is_asked_about() {
    for units in ["mm", "in"] {
        let said = refused(&format!("units = \"{units}\"\n{}", PLATE.replace("0.8", "20")));
        assert!(said.contains("gauge or") && said.contains("\"20 ga\"") && said.contains("0.81"), "{said}");
    }
}

#[test]
fn a_drawing_without_a_size_is_asked_about() {
    let text = PLATE.replace("\"rectangle\"\nwidth = 60\nheight = 40", "\"file\"\nfile = \"leaf.svg\"");
    let svg = |size: &str| {
        let text = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' {size} viewBox='0 0 100 80'><rect width='100' height='80'/></svg>"
        );
        NamedFiles::from([("leaf.svg".to_string(), text.into_bytes())])
    };
    let asked = read(&text, &svg("")).expect_err("no size");
    assert!(asked.contains("how wide") && asked.contains("add width = 40"), "{asked}");
    let typed = text.replace("\"leaf.svg\"", "\"leaf.svg\"\nwidth = 40");
    let wide = |text: &str, files: &NamedFiles| {
        let job = read(text, files).unwrap_or_else(|e| panic!("{e}"));
        job.outline.shape.size().map(|(w, h)| (w.get(), h.get())).expect("a size")
    };
    let close = |(w, h): (f64, f64), (x, y): (f64, f64)| (w - x).abs() < 1e-9 && (h - y).abs() < 1e-9;
    assert!(close(wide(&typed, &svg("")), (40.0, 32.0)));
    assert!(close(wide(&text, &svg("width='50mm' height='40mm'")), (50.0, 40.0)));
}

/// An outer line with one inside it: once the inner one was dropped without a word.
#[test]
fn a_moat_round_metal_is_loose_metal() {
    let moat = "[[window]]\nshape = \"drawn\"\nd = \"M0 0 h14 v14 h-14 z M4 4 h6 v6 h-6 z\"\n";
    let done = done(&job(&format!("{PLATE}{moat}")));
    let loose = said(&done.verdicts, "loose-metal");
    assert!(loose.iter().any(|v| v.check == Check::LooseMetal && v.level == Level::Stop), "{loose:?}");
    let kept = moat.replace("window", "keep_solid");
    assert!(refused(&format!("{PLATE}{kept}")).contains("2 lines"));
}

#[test]
fn cut_outs_that_cut_nothing_are_refused_by_name() {
    let crescent = "skill = \"practised\"\n[sheet]\nmetal = \"sterling-silver\"\n[outline]\nshape = \"crescent\"\nwidth = 40\n\
                    height = 44\nthick = 12\nborder = 2.2\n[pattern]\nname = \"hexagon\"\npitch = 4\nbridge = 1.3\n";
    let said = refused(&format!("{crescent}[construction]\nbezel = {{ stone = 5 }}\n"));
    assert!(said.contains("off the metal") || said.contains("no metal under it"), "{said}");
    let window = |name: &str, across: f64| {
        format!("[[window]]\nname = \"{name}\"\nshape = \"circle\"\ndiameter = {across}\nborder = 1.5\n")
    };
    let said = refused(&format!("{crescent}{}", window("eye", 5.0)));
    assert!(said.contains("W1 (eye) lies off the metal"), "{said}");
    let said = refused(&format!("{PLATE}{}{}", window("outer", 12.0), window("inner", 5.0)));
    assert!(said.contains("W2 (inner) lies inside W1 (outer)"), "{said}");
    let hole = "[[hole]]\nname = \"rivet\"\ndiameter = 1.8\nat = [1, 1]\n";
    let said = refused(&format!("{PLATE}{}{hole}", window("outer", 12.0)));
    assert!(said.contains("H1 (rivet) lies inside W1 (outer)"), "{said}");
}

/// Cells that the border cuts alike are opened or left solid alike: once 14 of 30 equal ones were, by the last digit.
#[test]
fn equal_cells_of_a_band_are_treated_equally() {
    for (width, border, bridge) in [(9, "1.8", "1.2"), (10, "2", "1.5")] {
        let text = format!(
            "skill = \"practised\"\n[sheet]\nmetal = \"copper\"\nthickness = 1.2\n[outline]\nshape = \"band\"\nring_size = \"US \
             7\"\nwidth = {width}\nborder = {border}\n[pattern]\nname = \"diamond\"\nat_border = \"trim\"\nbridge = {bridge}\n"
        );
        let piece = done(&job(&text)).piece;
        // Cells alike lie in one row: at one height, opened or not.
        let mut rows: std::collections::BTreeMap<i64, (usize, usize)> = Default::default();
        let row = |y: f64| (y * 20.0).round() as i64;
        piece.openings.iter().for_each(|o| rows.entry(row(o.centroid.y)).or_default().0 += 1);
        // The halves at the seam are not like the others.
        let end = piece.outline.size.0.get() / 2.0 - 0.6 * piece.resolved.pitch.get();
        let away = piece.left_solid.iter().filter(|l| l.at.x.abs() < end);
        away.for_each(|l| rows.entry(row(l.at.y)).or_default().1 += 1);
        for (y, (open, solid)) in &rows {
            assert!(*open == 0 || *solid == 0, "{width} mm: row {y}: {open} opened, {solid} left solid");
        }
    }
}
