//! Card, JSON, paper and `check` tell one story: for some hundred pieces made up at random, the same counts, sizes, weights
//! and findings stand in all four.

use crate::shell::Bench;
use sawpierce::checks::Check;
use sawpierce::job::{parse, NamedFiles, Settings};
use sawpierce::paper::Page;
use sawpierce::pipeline;
use sawpierce::plan::card::{CardStep, Row};
use sawpierce::plan::Plan;
use sawpierce::units::{plain, short, LengthUnit};
use std::fmt::Write as _;

/// Pieces walked in all. Fewer and a rare mix of parts is missed.
const PIECES: u64 = 300;
/// Every so many of them on each change: each takes a fifth of a second and more.
const SHARE: usize = 6;

/// Numbers that look thrown, the same on every machine (SplitMix64, from memory, believed Steele, Lea and Flood 2014).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From `a` to `b`, to a tenth.
    fn size(&mut self, a: f64, b: f64) -> f64 {
        let share = (self.next() % 1001) as f64 / 1000.0;
        ((a + (b - a) * share) * 10.0).round() / 10.0
    }

    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[(self.next() % of.len() as u64) as usize]
    }

    fn chance(&mut self, in_ten: u64) -> bool {
        self.next() % 10 < in_ten
    }
}

/// A piece in a few words: what it is made of is thrown, and now and then it is an inch job.
fn made_up(seed: u64) -> String {
    let mut dice = Dice(seed);
    let inches = dice.chance(1);
    // A plain number of an inch job is in inches.
    let mm = |v: f64| if inches { format!("\"{} mm\"", short(v, 2)) } else { short(v, 2) };
    let d = dice.size(20.0, 44.0);
    let mut text =
        format!("title = \"Piece {seed}\"\nskill = \"{}\"\n", dice.one(&["first", "practised", "fine-work"]));
    if inches {
        text += "units = \"in\"\n";
    }
    let pair = dice.chance(2);
    if pair {
        text += "pair = true\n";
    }
    if dice.chance(3) {
        let _ = writeln!(text, "pieces = {}", (1 + dice.next() % 6) * if pair { 2 } else { 1 });
    }
    let metal = dice.one(&[
        "copper",
        "brass",
        "sterling-silver",
        "fine-silver",
        "gold-14k",
        "gold-9k",
        "platinum-950",
        "titanium",
        "aluminium",
    ]);
    let _ = write!(text, "[sheet]\nmetal = \"{metal}\"\nthickness = {}\n", mm(dice.size(0.6, 1.2)));
    if dice.chance(3) {
        let _ = writeln!(text, "stock = [{}, {}]", mm(dice.size(40.0, 150.0)), mm(dice.size(40.0, 100.0)));
    }
    if dice.chance(3) {
        text += "price_per_gram = 1.1\n";
    }
    let (band, round) = (dice.chance(1), dice.chance(5));
    if band {
        let size = dice.one(&["US 7", "UK N", "EU 54", "JP 13"]);
        let (width, border) = (mm(dice.size(7.0, 12.0)), mm(1.2));
        let _ = write!(
            text,
            "[outline]\nshape = \"band\"\nring_size = \"{size}\"\nwidth = {width}\nborder = {border}\n"
        );
    } else if round {
        let _ = write!(text, "[outline]\nshape = \"circle\"\ndiameter = {}\n", mm(d));
    } else {
        let shape = dice.one(&["ellipse", "rectangle", "teardrop", "cushion", "marquise"]);
        let (width, height) = (mm(d), mm(dice.size(24.0, 48.0)));
        let _ = write!(text, "[outline]\nshape = \"{shape}\"\nwidth = {width}\nheight = {height}\n");
    }
    let pattern = dice.one(&["hexagon", "triangle", "square", "quatrefoil", "kites"]);
    let how = dice.one(&["trim", "whole", "trim", "whole", "fit"]);
    let _ = write!(text, "[pattern]\nname = \"{pattern}\"\nat_border = \"{how}\"\n");
    if !band && dice.chance(4) {
        let sizes = [6.0, 5.0, 1.8].map(mm);
        let [width, height, hole] = sizes;
        let _ = write!(text, "[[lug]]\nat_angle = 90\nwidth = {width}\nheight = {height}\nhole = {hole}\n");
    } else if !band && dice.chance(4) {
        let (across, up) = (mm(1.8), mm(dice.size(7.0, 8.5)));
        let _ = write!(text, "[[hole]]\nname = \"bail hole\"\ndiameter = {across}\nat = [0, {up}]\n");
    }
    if dice.chance(2) {
        let _ = write!(text, "[measured]\nthickness = {}\n", mm(dice.size(0.6, 1.2)));
        if round && !band {
            let _ = writeln!(text, "outline = {}", mm(d - 0.3));
        }
    }
    let mut build = String::new();
    if !band && dice.chance(3) {
        let sits = dice.one(&["under-plate", "round-edge"]);
        let (height, thickness) = (mm(dice.size(2.0, 6.0)), mm(0.6));
        let _ = writeln!(build, "rim = {{ height = {height}, thickness = {thickness}, sits = \"{sits}\" }}");
    }
    if !band && dice.chance(2) {
        let _ = writeln!(build, "back = {{ thickness = {}, overhang = {} }}", mm(0.6), mm(1.0));
    }
    if !band && dice.chance(2) {
        let (wide, high) = (mm(7.0), mm(5.0));
        let stone = if dice.chance(5) { wide.clone() } else { format!("[{wide}, {high}]") };
        let window = dice.chance(5);
        let (wall, height) = (mm(0.3), mm(3.0));
        let _ = writeln!(
            build,
            "bezel = {{ stone = {stone}, thickness = {wall}, height = {height}, window = {window} }}"
        );
    }
    if dice.chance(2) {
        let (wire, inside) = (mm(1.0), mm(4.0));
        let _ = writeln!(build, "jump_rings = [ {{ wire = {wire}, inside = {inside}, count = 2 }} ]");
    }
    if !band && dice.chance(1) {
        let _ = writeln!(build, "dome = {}", mm(dice.size(1.0, 4.0)));
    }
    if !build.is_empty() {
        text += "[construction]\n";
        text += &build;
    }
    if dice.chance(3) {
        text += "[rates]\nper_hour = 30\n";
    }
    text
}

/// The value of a labelled number on the card: the new one where it changed.
fn on_card(plan: &Plan, step: CardStep, label: &str) -> Option<String> {
    let rows = plan.card.iter().filter(|s| s.step == step).flat_map(|s| s.all());
    rows.into_iter().find_map(|row| match row {
        Row::Fact { label: l, value, .. } if l == label => Some(value.clone()),
        Row::Changed { label: l, now, .. } if l == label => Some(now.clone()),
        _ => None,
    })
}

fn text_of(pages: &[Page]) -> String {
    let words = pages.iter().flat_map(|p| p.words().map(|w| w.text.clone()).collect::<Vec<_>>());
    words.collect::<Vec<_>>().join(" ")
}

#[test]
fn card_json_paper_and_check_tell_one_story() {
    walk((0..PIECES).step_by(SHARE));
}

#[test]
#[ignore = "a minute and more; a share runs on each change"]
fn card_json_paper_and_check_tell_one_story_three_hundred_times() {
    walk(0..PIECES);
}

/// The pieces of these seeds, one by one.
fn walk(seeds: impl Iterator<Item = u64>) {
    let (mut seen, mut walked) = (0, 0);
    let (mut built, mut domed, mut cold, mut measured) = (0, 0, 0, 0);
    let (mut bands, mut stones, mut pairs, mut inches, mut faults) = (0, 0, 0, 0, 0);
    for seed in seeds {
        seen += 1;
        let text = made_up(seed);
        let job = match parse(&text, "piece.toml", &NamedFiles::new(), &Settings::default()) {
            Ok(job) => job,
            Err(e) => panic!("{e}\n{text}"),
        };
        // What cannot be made at all is refused in words, by all four alike.
        let Ok(product) = pipeline::run(&job) else { continue };
        walked += 1;
        let (work, plan) = (&product.works[0], &product.works[0].plan);
        let json: serde_json::Value =
            serde_json::from_str(&product.json(0, &[]).unwrap_or_default()).unwrap_or_default();
        let paper = text_of(&product.sheets.pages);
        let number = |path: &str| {
            let value = path.split('.').try_fold(&json, |at, key| at.get(key));
            value.and_then(|v| v.as_f64()).unwrap_or_else(|| panic!("no {path}\n{text}"))
        };
        let says = |what: &str, words: &str| {
            assert!(paper.contains(words), "paper does not say {what} \"{words}\":\n{text}\n{paper}");
        };

        // Counts.
        let openings = number("openings.count") as usize;
        let card = on_card(plan, CardStep::Piece, "openings").unwrap_or_default();
        assert!(card.starts_with(&format!("{openings};")), "{card}\n{text}");
        assert_eq!(openings, work.piece.openings.len(), "{text}");
        assert_eq!(number("batch.pieces") as u32, job.pieces, "{text}");
        let threadings = number("saw.threadings");
        assert_eq!(
            on_card(plan, CardStep::Saw, "threadings").unwrap_or("0".into()),
            plain(threadings, 0),
            "{text}"
        );
        says("openings", &card);

        // Sizes: the measured one in place of the drawn one, the built one beside it.
        let pair = |key: &str| {
            let both = json["sizes"][key].as_array();
            both.map(|a| (a[0].as_f64().unwrap_or(0.0), a[1].as_f64().unwrap_or(0.0)))
        };
        let size = pair("measured_mm").or(pair("drawn_mm")).unwrap_or_default();
        let label = if work.piece.outline.domed.is_some() { "size of the flat" } else { "size" };
        let card = on_card(plan, CardStep::Piece, label).unwrap_or_default();
        assert!(card.contains(&job.units.plain(size.0, 2)), "{card} {size:?}\n{text}");
        says("the size", &card);
        says("the size in the header", &short(size.0, 2));
        let over_all = pair("over_all_mm").unwrap_or_default();
        assert_eq!(over_all, rounded(plan.built.size), "{text}");
        if (over_all.0 - size.0).abs().max((over_all.1 - size.1).abs()) >= 0.0051 {
            let labels =
                ["overall size, all of it", "overall size, domed, about", "overall size, bent round"];
            let card = labels.iter().find_map(|l| on_card(plan, CardStep::Piece, l)).unwrap_or_default();
            assert!(card.contains(&job.units.plain(over_all.0, 2)), "{card} {over_all:?}\n{text}");
            says("the overall size", &card);
        }
        for said in ["finished, about", "after clean-up"] {
            assert!(!paper.contains(said), "{said}\n{text}");
        }

        // Weights: the openwork, and everything built on it.
        let piece = format!("{} g", plain(number("weights.piece_g"), 2));
        assert_eq!(on_card(plan, CardStep::Piece, "openwork"), Some(piece.clone()), "{text}");
        says("the openwork's weight", &piece);
        let all = number("weights.built_g");
        if plan.built.is_more() {
            let card = on_card(plan, CardStep::Piece, "the piece as built");
            assert_eq!(card, Some(format!("{} g", plain(all, 2))), "{text}");
            built += 1;
        } else {
            assert!((all - number("weights.piece_g")).abs() < 1e-6, "{text}");
        }
        let sum: f64 = json["metal_of_one"]
            .as_array()
            .map_or(0.0, |parts| parts.iter().filter_map(|p| p["finished_g"].as_f64()).sum());
        assert!((sum - all).abs() < 1e-5, "{sum} {all}\n{text}");
        let (taken, out) = (number("batch.metal_in_g"), number("batch.metal_out_g"));
        let rest = number("batch.scrap_g") + number("batch.filings_g");
        assert!((taken - out - rest).abs() < 1e-5 && rest >= 0.0, "{taken} {out} {rest}\n{text}");
        assert!((out - all * f64::from(job.pieces)).abs() < 1e-4, "{text}");

        // Findings: what check says is what the JSON holds, each check once at least, and every stop is on the paper.
        let told: Vec<String> = json["verdicts"].as_array().map_or(Vec::new(), |all| {
            all.iter().map(|v| format!("{} {} {}", v["check"], v["level"], v["says"])).collect()
        });
        let found: Vec<String> = work
            .verdicts
            .iter()
            .map(|v| {
                let level = serde_json::to_value(v.level).unwrap_or_default();
                format!("\"{}\" {level} {}", v.check, serde_json::Value::String(v.says(job.units)))
            })
            .collect();
        assert_eq!(told, found, "{text}");
        // Stops and cautions stand on the card and on the paper in the same words; what the paper itself lacks stands over it.
        let at_fault = work.verdicts.iter().filter(|v| v.level.is_fault());
        for v in at_fault {
            faults += 1;
            let said = v.says(job.units);
            let on_card = plan.card.iter().filter(|s| s.step == CardStep::Findings).flat_map(|s| s.all());
            let on_card = on_card.filter(|row| matches!(row, Row::Tick(words) if words.ends_with(&said)));
            let of_paper = v.check == Check::PaperFit;
            assert!(of_paper || on_card.count() == 1, "the card does not say \"{said}\"\n{text}");
            assert!(paper.contains(&said), "the paper does not say \"{said}\"\n{text}\n{paper}");
        }
        // And the program as people run it says what the engine says.
        if seed % 12 == 0 {
            let bench = Bench::new();
            bench.put("piece.toml", &text);
            let checked = bench.run(&["check", "piece.toml", "--json"]);
            assert_eq!(checked.json()["verdicts"], json["verdicts"], "{text}");
            let planned = bench.run(&["plan", "piece.toml", "--json"]).json();
            for key in ["openings", "sizes", "weights", "metal_of_one", "batch", "parts", "saw"] {
                assert_eq!(planned[key], json[key], "{key}\n{text}");
            }
            assert_eq!(checked.code, Some(i32::from(product.stops())), "{text}");
        }
        for check in
            ["solder-steps", "hang", "ring-fit", "stock-fit", "weight", "hours", "bridge-width", "paper-fit"]
        {
            assert!(
                told.iter().any(|t| t.starts_with(&format!("\"{check}\""))),
                "{check} is not told\n{text}"
            );
        }

        bands += usize::from(work.piece.outline.run.is_some());
        stones += usize::from(job.construction.bezel.is_some());
        pairs += usize::from(job.pair);
        inches += usize::from(job.units == LengthUnit::Inch);
        domed += usize::from(work.piece.outline.domed.is_some());
        cold += usize::from(!plan.joins.cold.is_empty());
        measured += usize::from(work.piece.outline.found.is_some());
    }
    assert!(walked > seen * 8 / 10, "only {walked} of {seen} could be made");
    // Of each kind enough, by the share walked: of 300 at least so many.
    let enough = [
        ("built", built, 60),
        ("domed", domed, 6),
        ("cold", cold, 18),
        ("measured", measured, 6),
        ("bands", bands, 6),
        ("stones", stones, 18),
        ("pairs", pairs, 30),
        ("inches", inches, 12),
        ("faults", faults, 100),
    ];
    for (what, found, of_300) in enough {
        assert!(found * 300 >= of_300 * seen, "{what}: {found} of {seen}");
    }
}

/// To a millionth, as the JSON has it.
fn rounded((w, h): (f64, f64)) -> (f64, f64) {
    let to = |v: f64| (v * 1e6).round() / 1e6;
    (to(w), to(h))
}
