//! Random mixtures of piece, paper and look, always the same ones: whatever is asked for together, no two words overlap,
//! nothing covers a cut edge or a punch point, nothing lies out of the printer's reach, every template has its bar.
//!
//! `SAWPIERCE_MIXTURES=600 cargo test --test paper_mix` looks at more of them.

use crate::made::page;
use sawpierce::geom::{Grow, Point};
use sawpierce::job::{parse, Job, NamedFiles, Settings};
use sawpierce::paper::{lay_out, Ink, Page, PageKind};
use sawpierce::work::{work, Work};
use std::collections::BTreeSet;
use std::fmt::Write;

/// Looked at in every run.
const USUAL: u64 = 60;

/// Numbers that look random and are the same everywhere (64-bit multiply and shift; the constants are from memory,
/// believed Steele, Lea and Flood's).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }
    fn between(&mut self, low: f64, high: f64) -> f64 {
        ((low + (high - low) * self.share()) * 10.0).round() / 10.0
    }
    fn whole(&mut self, low: u64, high: u64) -> u64 {
        low + self.next() % (high - low + 1)
    }
    fn once_in(&mut self, n: u64) -> bool {
        self.next().is_multiple_of(n)
    }
    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[(self.next() % of.len() as u64) as usize]
    }
}

const SHAPES: [&str; 11] = [
    "circle",
    "ellipse",
    "rectangle",
    "polygon",
    "teardrop",
    "heart",
    "marquise",
    "cushion",
    "crescent",
    "band",
    "cone",
];

/// The outline, and about how large it is, mm.
fn outline(dice: &mut Dice, text: &mut String) -> f64 {
    let shape = dice.one(&SHAPES);
    let size = match dice.whole(0, 9) {
        0..=5 => dice.between(14.0, 60.0),
        6..=8 => dice.between(60.0, 150.0),
        _ => dice.between(150.0, 420.0),
    };
    let other = (size * dice.between(0.5, 1.6)).max(8.0);
    let border = (size / 18.0).clamp(1.2, 8.0);
    let _ = writeln!(text, "[outline]\nshape = \"{shape}\"\nborder = {border:.1}");
    let both = format!("width = {size:.1}\nheight = {other:.1}");
    let sizes = match shape {
        "circle" => format!("diameter = {size:.1}"),
        "polygon" => format!("sides = {}\nacross = {size:.1}", dice.whole(3, 9)),
        "band" => format!("inside = {:.1}\nwidth = {:.1}", dice.between(14.0, 62.0), dice.between(5.0, 24.0)),
        "cone" => {
            let top = dice.between(6.0, 40.0);
            format!(
                "top = {top}\nbottom = {:.1}\nheight = {:.1}",
                top * dice.between(1.1, 2.6),
                other.min(90.0)
            )
        }
        "crescent" => format!("{both}\nthick = {:.1}", size * dice.between(0.3, 0.6)),
        _ => both,
    };
    let _ = writeln!(text, "{sizes}");
    size.max(other)
}

fn one_job(dice: &mut Dice) -> String {
    let mut text = String::new();
    let title = dice.one(&[
        "Rook",
        "Heron gate",
        "A long title for a small piece of paper that has to be cut short somewhere",
    ]);
    let units = if dice.once_in(4) { "in" } else { "mm" };
    let pair = dice.once_in(5);
    let _ = writeln!(text, "title = \"{title}\"\nskill = \"practised\"\npair = {pair}");
    let metal = dice.one(&["copper", "brass", "sterling-silver", "nickel-silver"]);
    let _ = writeln!(text, "[sheet]\nmetal = \"{metal}\"\nthickness = 0.9");
    let size = outline(dice, &mut text);
    let name = dice.one(&["hexagon", "triangle", "square", "star-and-cross", "herringbone", "six-petal"]);
    // At most about four hundred openings.
    let pitch = dice.between(3.0, 24.0).max(size / 20.0).min(size / 2.5);
    let _ = writeln!(text, "[pattern]\nname = \"{name}\"\npitch = {pitch:.1}\nbridge = {:.2}", pitch / 6.0);
    let _ = writeln!(
        text,
        "turn = {}\nat_border = \"{}\"",
        dice.whole(0, 90),
        dice.one(&["trim", "whole", "join"])
    );
    if dice.once_in(4) {
        let (x, y) = (dice.between(-0.2, 0.2) * size, dice.between(-0.2, 0.2) * size);
        let _ =
            writeln!(text, "[[window]]\nname = \"eye\"\nshape = \"circle\"\ndiameter = {:.1}", size / 7.0);
        let _ = writeln!(text, "at = [{x:.1}, {y:.1}]\nborder = 1.2");
    }
    if dice.once_in(4) {
        let _ = writeln!(text, "[[hole]]\nname = \"bail hole\"\ndiameter = 1.8\nat = [0, {:.1}]", size * 0.3);
    }
    if dice.once_in(4) {
        let _ =
            writeln!(text, "[[lug]]\nat_angle = {}\nwidth = 6\nheight = 4\nhole = 1.8", dice.whole(0, 359));
    }
    let drill = dice.one(&["0.5", "0.8", "1.0", "1.2"]);
    let _ = writeln!(text, "[saw]\nblade = \"3/0\"\ndrill = {drill}");
    if dice.once_in(4) {
        let sits = dice.one(&["under-plate", "round-edge"]);
        let _ = writeln!(text, "[construction]\nrim = {{ height = 4, thickness = 0.6, sits = \"{sits}\" }}");
        let _ = writeln!(text, "back = {{ thickness = 0.6, overhang = 0.8 }}");
    }
    paper(dice, &mut text);
    // Everything above is in mm; a job in inches says so in its own plain numbers.
    if units == "in" {
        in_inches(&text)
    } else {
        text
    }
}

fn paper(dice: &mut Dice, text: &mut String) {
    let paper = dice.one(&["A4", "A4", "A4", "A3", "A5", "A6", "Letter", "Legal", "Tabloid"]);
    let _ = writeln!(text, "[paper]\nsize = \"{paper}\"");
    let copies = if dice.once_in(2) { 1 } else { dice.whole(2, 14) };
    let _ = writeln!(text, "copies = {copies}\nmirror = {}\nsplit = {}", dice.once_in(4), dice.once_in(2));
    let _ =
        writeln!(text, "transfer = \"{}\"", dice.one(&["label", "glue", "carbon", "rub-down", "rub-down"]));
    let _ = writeln!(text, "shade = \"{}\"", dice.one(&["waste", "waste", "metal", "none"]));
    let _ = writeln!(text, "marks = \"{}\"", dice.one(&["all", "all", "all", "few"]));
    let _ = writeln!(text, "line = \"{}\"", dice.one(&["waste", "waste", "split"]));
    let _ = writeln!(text, "name_line = {}", dice.once_in(4));
    if dice.once_in(8) {
        let _ = writeln!(text, "labels = {{ across = 2, down = 3, width = 98, height = 90, left = 7, top = 13, gap_across = 0, gap_up = 0 }}");
    }
    if dice.once_in(5) {
        let (across, up) = (dice.between(96.0, 104.0), dice.between(96.0, 104.0));
        let _ = writeln!(text, "correction = {{ across = {across}, up = {up} }}");
    }
}

/// The same job said in inches: every plain number brings its millimetres as a string.
fn in_inches(text: &str) -> String {
    let bare = ["sides", "turn", "copies", "at_angle", "labels", "correction", "rim", "back", "at"];
    let mut said = String::from("units = \"in\"\n");
    for line in text.lines() {
        let inches = |v: &str| v.parse::<f64>().map(|v| format!("{:.4}", v / 25.4));
        match line.split_once(" = ") {
            Some((key, value)) if !bare.contains(&key) && value.parse::<f64>().is_ok() => {
                let _ = writeln!(said, "{key} = {}", inches(value).unwrap_or_default());
            }
            Some(("at", value)) => {
                let both: Vec<String> =
                    value.trim_matches(['[', ']']).split(", ").filter_map(|v| inches(v).ok()).collect();
                let _ = writeln!(said, "at = [{}]", both.join(", "));
            }
            Some((key @ ("rim" | "back"), value)) => {
                let value = value.replace("height = 4", "height = \"4 mm\"").replace("= 0.6", "= \"0.6 mm\"");
                let _ = writeln!(said, "{key} = {}", value.replace("= 0.8", "= \"0.8 mm\""));
            }
            Some(("labels", value)) => {
                let words: Vec<String> = value
                    .split(' ')
                    .map(|w| match w.trim_end_matches(',').parse::<f64>() {
                        Ok(v) if v > 3.0 => format!("\"{v} mm\"{}", if w.ends_with(',') { "," } else { "" }),
                        _ => w.to_string(),
                    })
                    .collect();
                let _ = writeln!(said, "labels = {}", words.join(" "));
            }
            _ => {
                let _ = writeln!(said, "{line}");
            }
        }
    }
    said
}

fn made_from(text: &str) -> Option<(Job, Work)> {
    let job = parse(text, "mixture.toml", &NamedFiles::new(), &Settings::default()).ok()?;
    let done = work(&job).ok()?;
    // A cut-out beyond the metal is the checks' business: what is printed there means nothing.
    let outline = &done.piece.outline;
    let inside = |p: Point, by: f64| outline.edge.contains(p) && outline.edge.signed_distance(p) > by;
    let windows = outline.windows.iter().all(|w| w.ring.flatten(0.1).iter().all(|p| inside(*p, 0.5)));
    let holes = outline.holes.iter().all(|h| {
        let r = h.diameter.get() / 2.0;
        let clear =
            outline.windows.iter().all(|w| !w.ring.contains(h.at) && !w.ring.bounds().grow(r).contains(h.at));
        clear && inside(h.at, r + 0.3)
    });
    (windows && holes).then_some((job, done))
}

/// What is wrong with the paper of these jobs laid out together.
fn faults(jobs: &[(Job, Work)]) -> Vec<String> {
    let items: Vec<(&Job, &Work)> = jobs.iter().map(|(j, w)| (j, w)).collect();
    let sheets = lay_out(&items);
    let labels = jobs[0].0.paper.labels.is_some();
    let mut found: Vec<String> = Vec::new();
    let mut windows = 0;
    for (i, page) in sheets.pages.iter().chain(&sheets.oversize).enumerate() {
        found.extend(page::faults(page, labels).into_iter().map(|f| format!("page {}: {f}", i + 1)));
        if page.kind != PageKind::Template {
            continue;
        }
        windows += usize::from(page.window.is_some());
        // Long bars, as long as the page lets them be.
        let least = match page.width {
            w if w < 120.0 => 30,
            w if w < 170.0 => 80,
            _ => 100,
        };
        let longest = |across: bool| {
            (1..=10).rev().map(|n| n * 10).find(|n| {
                let (x, y) = if across { (f64::from(*n), 0.0) } else { (0.0, f64::from(*n)) };
                *n != 20 && page::bars(page, x, y) > 0
            })
        };
        if !labels && (longest(true) < Some(least) || longest(false) < Some(30)) {
            found.push(format!("page {}: bars {:?} and {:?}", i + 1, longest(true), longest(false)));
        }
    }
    // Of a split piece the 20 mm bar shows on one of its pages at least, in whole or in two parts that join.
    let bars = sheets.pages.iter().filter(|p| p.window.is_some()).flat_map(|p| &p.marks);
    let short = bars.filter(|m| match &m.ink {
        Ink::Line { points, .. } => {
            m.copy != 0 && ((points[0] - points[points.len() - 1]).hypot() - 20.0).abs() < 1e-6
        }
        _ => false,
    });
    if windows > 0 && short.count() == 0 {
        found.push("no page of the split piece shows the 20 mm bar".into());
    }
    found
}

#[test]
fn no_mixture_spoils_a_page() {
    let count = std::env::var("SAWPIERCE_MIXTURES").ok().and_then(|n| n.parse().ok()).unwrap_or(USUAL);
    let (mut made, mut together, mut split, mut wrong) = (0, 0, 0, Vec::new());
    for seed in 0..count {
        let mut dice = Dice(seed);
        let texts: Vec<String> =
            (0..if dice.once_in(6) { 3 } else { 1 }).map(|_| one_job(&mut dice)).collect();
        let jobs: Vec<(Job, Work)> = texts.iter().filter_map(|t| made_from(t)).collect();
        if jobs.is_empty() {
            continue;
        }
        made += 1;
        together += usize::from(jobs.len() > 1);
        split += usize::from(jobs[0].0.paper.split);
        let found = faults(&jobs);
        if !found.is_empty() {
            wrong.push(format!(
                "mixture {seed}: {} faults, first {}\n{}",
                found.len(),
                found[0],
                texts.join("\n---\n")
            ));
        }
    }
    eprintln!("{made} of {count} made, {together} together, {split} to be split, {} spoilt", wrong.len());
    assert!(made * 10 > count * 6, "only {made} of {count} could be made");
    assert!(wrong.is_empty(), "{} spoilt:\n{}", wrong.len(), wrong.join("\n\n"));
}

/// The examples with their work and how many sheets of templates each takes alone.
fn examples() -> Vec<(Job, Work, usize)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut files: Vec<_> =
        std::fs::read_dir(folder).expect("examples").map(|entry| entry.expect("a file").path()).collect();
    files.sort();
    let made = files.iter().map(|file| {
        let text = std::fs::read_to_string(file).expect("text");
        let job = parse(&text, "example.toml", &NamedFiles::new(), &Settings::default()).expect("a job");
        let done = work(&job).expect("its work");
        let alone = lay_out(&[(&job, &done)]).pages;
        let templates = alone.iter().filter(|p| p.kind == PageKind::Template).count();
        (job, done, templates)
    });
    made.collect()
}

/// Whether some sheet has every number of a piece, on one of its templates or among what belongs to the page itself.
fn all_numbers_stand(pages: &[Page], count: usize) -> bool {
    let whole = |page: &Page, copy: usize| {
        let words = page.marks.iter().filter(|m| m.copy == copy).filter_map(|m| match &m.ink {
            Ink::Words(words) => words.text.parse::<usize>().ok(),
            _ => None,
        });
        let here: BTreeSet<usize> = words.collect();
        (1..=count).all(|n| here.contains(&n))
    };
    pages.iter().any(|p| whole(p, 0) || p.copies.iter().any(|c| whole(p, c.k)))
}

/// Five jobs drawn together take no more sheets than their templates alone and one card each; every number stands somewhere.
#[test]
fn five_examples_together_take_their_templates_and_one_card_each() {
    let all = examples();
    let mut most = Vec::new();
    for seed in 0..14 {
        let mut dice = Dice(1000 + seed);
        let mut left: Vec<usize> = (0..all.len()).collect();
        let five: Vec<usize> =
            (0..5).map(|_| left.remove(dice.whole(0, left.len() as u64 - 1) as usize)).collect();
        let items: Vec<(&Job, &Work)> = five.iter().map(|i| (&all[*i].0, &all[*i].1)).collect();
        let titles: Vec<&str> = items.iter().map(|(job, _)| job.title.as_str()).collect();
        let sheets = lay_out(&items);
        // A quote is asked for by its prices, and is a sheet of its own.
        let quotes = items.iter().filter(|(_, work)| work.plan.batch.price.is_some()).count();
        let (took, allowed) =
            (sheets.pages.len() - quotes, five.iter().map(|i| all[*i].2).sum::<usize>() + items.len());
        assert!(took <= allowed, "{titles:?}: {took} sheets, {allowed} allowed");
        most.push((took, allowed));
        let said: Vec<&str> = sheets.pages.iter().flat_map(|p| p.words().map(|w| w.text.as_str())).collect();
        assert!(said.join(" ").contains("Punch in the open middle"), "{titles:?}: no legend");
        for (job, work) in &items {
            assert!(
                all_numbers_stand(&sheets.pages, work.piece.openings.len()),
                "{} in {titles:?}",
                job.title
            );
        }
        for page in &sheets.pages {
            assert_eq!(page::faults(page, false), Vec::<String>::new(), "{titles:?}");
        }
    }
    eprintln!("sheets taken and allowed: {most:?}");
}
