//! Jobs as makers type them, from `begin` to the card: what once contradicted itself there, or would have misled a hand.

use crate::made::{disc, done, job};
use crate::shell::Bench;
use sawpierce::checks::{Check, Level};
use sawpierce::plan::card::{CardStep, Row};
use sawpierce::units::LengthUnit;
use sawpierce::work::Work;

/// Everything the card says, a line each; parts of a line parted by ": " and " = ".
fn card(work: &Work) -> Vec<String> {
    let row = |row: &Row| match row {
        Row::Fact { label, value, sum } | Row::Numbered { label, value, sum, .. } => match sum {
            Some(sum) => format!("{label}: {value} = {sum}"),
            None => format!("{label}: {value}"),
        },
        Row::Measure { label, planned, .. } => format!("{label}: {planned}"),
        Row::Changed { label, was, now, .. } => format!("{label}: {now} (was {was})"),
        Row::Tick(text) | Row::Note(text) | Row::Caution(text) => text.clone(),
        Row::Table { rows, .. } => format!("{rows:?}"),
    };
    work.plan.card.iter().flat_map(|section| section.all().map(row).collect::<Vec<_>>()).collect()
}

fn step(work: &Work, step: CardStep) -> String {
    let of = work.plan.card.iter().filter(|s| s.step == step);
    let notes = of.flat_map(|s| s.all()).filter_map(|row| match row {
        Row::Note(text) | Row::Caution(text) | Row::Tick(text) => Some(text.clone()),
        _ => None,
    });
    notes.collect::<Vec<_>>().join("\n")
}

fn line<'a>(lines: &'a [String], start: &str) -> &'a str {
    lines.iter().find(|l| l.starts_with(start)).unwrap_or_else(|| panic!("no {start}: {lines:#?}"))
}

fn plate(metal: &str, more: &str) -> Work {
    done(&job(&disc(&[("sheet.metal", &format!("\"{metal}\"")), ("sheet.temper", "\"soft\"")], more)))
}

/// First hearts, ovals and octagons were begun with bridges that their own check called too weak.
#[test]
fn what_is_begun_has_bridges_that_stand_up_to_sawing() {
    let bench = Bench::new();
    let sizes: [(&str, &[&str]); 5] = [
        ("octagon", &["--shape", "polygon", "--sides", "8", "--across", "30"]),
        ("hexagon", &["--shape", "polygon", "--sides", "6", "--across", "35"]),
        ("disc", &["--diameter", "36"]),
        ("heart", &["--shape", "heart", "--width", "30"]),
        ("plate", &["--shape", "rectangle", "--width", "1.25", "--height", "1", "--units", "in"]),
    ];
    for (name, words) in sizes {
        let file = format!("{name}.toml");
        let said = bench.run(&[&["begin", &file], words].concat()).ends_with(0).out;
        // The sentence is about the piece, not about the key it stands beside in the file.
        assert!(said.contains("is written: ") && !said.contains("one repeat"), "{said}");
        let checked = bench.run(&["check", &file]).ends_with(0).out;
        assert!(checked.contains("no faults found"), "{name}: {checked}");
    }
}

/// `--shape heart --width 20` alone gave a heart 20 wide and 34 tall.
#[test]
fn one_size_keeps_the_shape_in_proportion() {
    let bench = Bench::new();
    let height = |words: &[&str]| {
        bench.run(&[&["begin", "a.toml"], words].concat()).ends_with(0);
        let text = bench.text("a.toml");
        std::fs::remove_file(bench.path("a.toml")).expect("there");
        let of = |key: &str| {
            let line = text.lines().find(|l| l.starts_with(key)).expect("the key");
            let value = line.split('=').nth(1).and_then(|v| v.split('#').next()).expect("a value");
            value.trim().parse::<f64>().expect("a number")
        };
        (of("width"), of("height"))
    };
    // 36 by 34, 40 by 30 and 1.4 by 1.3 in are what they have when neither is said.
    assert_eq!(height(&["--shape", "heart", "--width", "18"]), (18.0, 17.0));
    assert_eq!(height(&["--shape", "ellipse", "--height", "24"]), (32.0, 24.0));
    assert_eq!(height(&["--shape", "heart", "--width", "0.7", "--units", "in"]), (0.7, 0.65));
    assert_eq!(height(&["--shape", "ellipse", "--width", "32", "--height", "24"]), (32.0, 24.0));
}

/// "Where gold 14 ct yellow starts to melt or how it carries heat is not known" stood beside a margin from 800 °C.
#[test]
fn what_is_not_known_of_a_metal_is_named() {
    let rim = "[construction]\nrim = { height = 3, thickness = 0.5, sits = \"round-edge\" }\n";
    let said = |metal: &str| {
        let work = plate(metal, rim);
        let found = work.verdicts.iter().find(|v| v.check == Check::BridgeHeat).expect("judged");
        assert_eq!(found.level, Level::Unchecked);
        found.says(LengthUnit::Mm)
    };
    assert!(said("gold-14k").starts_with("how gold 14 ct yellow carries heat"), "{}", said("gold-14k"));
    let white = said("gold-18k-white");
    assert!(white.contains("starts to melt is not known") && !white.contains("carries heat"), "{white}");
}

/// "Dry sand.; no change to the job is known".
#[test]
fn a_reason_reads_on() {
    let bench = Bench::new();
    let back = "[construction]\nback = { thickness = 0.6 }\n";
    bench.put("ti.toml", &disc(&[("sheet.metal", "\"titanium\""), ("sheet.temper", "\"soft\"")], back));
    let said = bench.run(&["check", "ti.toml"]).out;
    assert!(said.contains("joined cold") || said.contains("join to make cold"), "{said}");
    assert!(!said.contains(".;"), "{said}");
}

/// "6.64 each: 530.9 mm² × 0.50 mm, trimmed flush" of 18 ct, which is 4.14 g; "1.88 each: 79.80 × 2.50 × 0.60", which is 1.86.
#[test]
fn metal_that_is_bought_is_the_product_that_stands_beside_it() {
    let parts = "[construction]\nrim = { height = 2.5, thickness = 0.6, sits = \"under-plate\" }\n\
                 back = { thickness = 0.5, overhang = 0.6 }\nbezel = { stone = [10, 8], thickness = 0.35, height = 3.2 }\n\
                 [rates]\nper_hour = 30\n";
    let work = plate("gold-18k", parts);
    let lines = card(&work);
    for part in ["rim strip: ", "back plate: ", "bezel strip: "] {
        let said = lines
            .iter()
            .find(|l| l.starts_with(part) && l.contains("each: "))
            .unwrap_or_else(|| panic!("{part}: {lines:#?}"));
        let (grams, sum) = said.split_once(" each: ").expect("a sum");
        let grams: f64 = grams.rsplit(' ').next().and_then(|g| g.parse().ok()).expect("grams");
        let sizes: Vec<f64> = sum
            .split(',')
            .next()
            .expect("sizes")
            .split(" × ")
            .map(|s| s.split(' ').find_map(|word| word.parse().ok()).unwrap_or_else(|| panic!("{s}")))
            .collect();
        assert_eq!(sizes.len(), 3, "{said}");
        // 15.58 mg in a mm3 of 18 ct; what is printed is rounded to a hundredth.
        let product = sizes.iter().product::<f64>() * 15.58e-3;
        assert!((product - grams).abs() < 0.006, "{said}: {product}");
    }
}

/// A band's strip to buy was "64 × 4 mm" for a blank 4.5 wide.
#[test]
fn the_sheet_to_buy_holds_its_blank() {
    let band = "skill = \"fine-work\"\n[sheet]\nmetal = \"sterling-silver\"\nthickness = 0.8\n\
                [outline]\nshape = \"band\"\nring_size = \"US 7\"\nwidth = 2.5\nborder = 0.8\n\
                [limits]\nborder = 0.7\nopening = 0.9\n[pattern]\nname = \"hexagon\"\npitch = 1.6\nbridge = 0.7\n";
    let work = done(&job(band));
    let lines = card(&work);
    let sheet = line(&lines, "sheet to cut from");
    assert!(sheet.contains("58.9 × 4.5 mm") && sheet.ends_with("63.9 × 4.5 mm"), "{sheet}");
    // The blank is told in one length: nothing is filed off it beside the line.
    assert!(!lines.iter().any(|l| l.contains("from each end")), "{lines:#?}");
    let form = step(&work, CardStep::Form);
    assert!(form.contains("saw both ends outside the line"), "{form}");
    // One cell goes round 36 times.
    let fitted = work.piece.resolved.notes.iter().find(|n| n.contains("fitted")).expect("fitted");
    assert!(fitted.contains(" of 36 cells "), "{fitted}");
}

/// The piece's head said "no flux, welding glasses"; the soldering step spoke of paste flux and of no glasses.
#[test]
fn platinum_is_soldered_behind_welding_glasses() {
    let bezel = "[construction]\nbezel = { stone = 5, thickness = 0.3, height = 2.5 }\n";
    for metal in ["platinum-950", "palladium-950"] {
        let said = step(&plate(metal, bezel), CardStep::Solder);
        assert!(said.contains("welding glasses") && !said.contains("flux"), "{metal}: {said}");
    }
    let silver = step(&plate("sterling-silver", bezel), CardStep::Solder);
    assert!(silver.contains("paste flux") && !silver.contains("welding glasses"), "{silver}");
}

/// "Is not under the 0.50 g below which an article of this metal needs no UK hallmark".
#[test]
fn a_piece_that_needs_a_mark_is_told_so() {
    let said = step(&plate("platinum-950", ""), CardStep::Record);
    assert!(
        said.contains("0.50 g or more: sold in the UK under its metal's name it needs a hallmark"),
        "{said}"
    );
}

/// Minutes of filing that the maker had timed were told as minutes at drill and saw too.
#[test]
fn filing_that_was_timed_is_not_sawing() {
    let minutes = |rates: &str| plate("copper", &format!("[rates]\n{rates}\n")).plan.time.clone();
    let (guessed, typed) = (minutes(""), minutes("filing = 0.8\nhandling = 6"));
    assert_eq!(typed.filing, guessed.filing);
    assert_eq!(typed.saw, guessed.saw);
    assert!((typed.whole.likely - guessed.whole.likely).abs() < 1e-9);
    assert!((typed.whole.likely - typed.saw.likely - typed.filing - 6.0).abs() < 1e-9);
    // What the maker timed is certain, so the whole is spread less.
    assert!(typed.whole.high < guessed.whole.high);
}

/// After some openings of another job were timed, what was said was the first job's.
#[test]
fn minutes_of_some_openings_are_held_against_their_plan() {
    let bench = Bench::new();
    bench.put("reed.toml", &disc(&[("title", "\"Reed\"")], ""));
    bench.put("moth.toml", &disc(&[("title", "\"Moth\"")], ""));
    bench.run(&["minutes", "reed.toml", "120"]).ends_with(0);
    let plan = bench.run(&["plan", "moth.toml", "--json"]).json();
    let said = bench.run(&["minutes", "moth.toml", "20", "--openings", "10"]).ends_with(0).out;
    let of = |a: &str, b: &str| plan[a][b].as_f64().unwrap_or_else(|| panic!("{a} {b}"));
    let n = of("openings", "count");
    // Ten holes at their rate, and ten of so many parts of the openings' line and corners.
    let sawing = of("time", "sawing_minutes") * of("saw", "openings_mm") / of("saw", "length_mm");
    let inside: f64 = plan["openings"]["list"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|o| o["corners"].as_f64().expect("corners"))
        .sum();
    let corners = of("time", "corner_minutes") * inside / of("saw", "corners");
    let planned =
        of("time", "drilling_minutes") / of("saw", "threadings") * 10.0 + (sawing + corners) * 10.0 / n;
    assert!(said.contains(&format!("Moth: planned {planned:.0} min, took 20")), "{planned}: {said}");
}

/// Two windows told as made 6.65 mm, and alike in all else, were two of twelve ways.
#[test]
fn no_way_to_mend_is_told_twice() {
    let bench = Bench::new();
    let text = "skill = \"practised\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"drawn\"\n\
                d = \"M -25 -15 L 25 -15 L 25 15 L -25 15 Z M -18 -3 L -12 -3 L -12 3 L -18 3 Z\"\nborder = 3\n\
                [pattern]\nname = \"square\"\npitch = 5\nbridge = 1.4\nat_border = \"trim\"\n\
                [[window]]\nname = \"stone\"\nshape = \"circle\"\ndiameter = 7\nat = [10, 0]\nborder = 0.6\n";
    bench.put("plate.toml", text);
    let said = bench.run(&["mend", "plate.toml"]).out;
    let joined = said.lines().fold(String::new(), |all, line| match line.strip_prefix("     ") {
        Some(more) => all + " " + more,
        None => all + "\n" + line,
    });
    let ways: Vec<&str> = joined
        .lines()
        .filter_map(|l| l.trim_start().split_once("  ").filter(|(n, _)| n.parse::<u32>().is_ok()))
        .map(|(_, way)| way)
        .collect();
    let once: std::collections::BTreeSet<&&str> = ways.iter().collect();
    assert!(ways.len() > 1 && once.len() == ways.len(), "{said}");
}

/// `centre = "best"` keeps what it is described with: no other choice leaves more whole openings.
#[test]
fn best_leaves_the_most_whole_openings() {
    for pattern in ["three-blade", "hexagon", "kites", "square"] {
        let whole = |centre: &str| {
            let work = done(&job(&disc(
                &[
                    ("pattern.name", &format!("\"{pattern}\"")),
                    ("pattern.centre", &format!("\"{centre}\"")),
                    ("pattern.turn", "76.99"),
                    ("outline.diameter", "41"),
                ],
                "",
            )));
            work.piece.openings.iter().filter(|o| !o.trimmed).count()
        };
        let best = whole("best");
        for other in ["opening", "crossing", "bridge"] {
            assert!(whole(other) <= best, "{pattern}: {other} {} > {best}", whole(other));
        }
    }
}

/// `sums ring-size US 7` without quotes, as anyone types it, was answered with "7 is not known here".
#[test]
fn a_ring_size_needs_no_quotes() {
    let bench = Bench::new();
    let said = |words: &[&str]| bench.run(&[&["sums", "ring-size"], words].concat()).ends_with(0).out;
    assert_eq!(said(&["US", "7"]), said(&["US 7"]));
    assert!(said(&["54"]).starts_with("EU 54"));
}
