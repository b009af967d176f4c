//! What hostile bytes are thrown at: each target reads them as the program would and panics if what must hold does not.
//!
//! A target answers with a word or two on what became of the input: inputs with new answers are kept to breed from.

use sawpierce::catalogue;
use sawpierce::error::Error;
use sawpierce::geom::rings_of_svg_file;
use sawpierce::job::{parse, NamedFiles, Settings};
use sawpierce::live::{self, Reached};
use sawpierce::paper::Ink;
use sawpierce::pipeline::{self, Product};
use sawpierce::plan::{learnt_rates, skill_rates};
use sawpierce::shell::stored_printers;
use sawpierce::trade::{pace, timed};
use serde_json::Value;

/// A target: its name, what it does with bytes, further folders of files to begin with, and the longest input bred for it,
/// bytes: longer ones are slower and hold no other kind of trouble (the tests of limits have those).
pub struct Target {
    pub name: &'static str,
    pub run: fn(&[u8]) -> String,
    pub seeds: &'static [&'static str],
    pub longest: usize,
}

const fn target(
    name: &'static str,
    run: fn(&[u8]) -> String,
    seeds: &'static [&'static str],
    longest: usize,
) -> Target {
    Target { name, run, seeds, longest }
}

pub const TARGETS: &[Target] = &[
    target("job", job, &["examples", "fuzz/corpus/piece"], 800),
    target("piece", piece, &["fuzz/corpus/job"], 2000),
    target("pattern", pattern, &["patterns"], 800),
    target("svg", svg, &[], 800),
    target("minutes", minutes, &[], 400),
    target("printers", printers, &[], 300),
    target("page", page, &[], 500),
];

const DISC: &str =
    "skill = \"practised\"\n[sheet]\nmetal = \"copper\"\n[outline]\nshape = \"circle\"\ndiameter = 30\n\
                    [pattern]\nname = \"hexagon\"\npitch = 6\nat_border = \"trim\"\n";

/// A job that names a drawing or a pattern gets these.
fn files() -> NamedFiles {
    let leaf =
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40mm\" height=\"30mm\" viewBox=\"0 0 40 30\">\
                <path d=\"M2 2H38V28H2Z\"/></svg>";
    let mine = "title = \"Mine\"\nrepeat = [[1, 0], [0, 1]]\n[[shapes]]\ncorners = [[0, 0], [1, 0], [1, 1], [0, 1]]\n";
    NamedFiles::from([("leaf.svg".to_string(), leaf.into()), ("mine.toml".to_string(), mine.into())])
}

/// What is said without numbers and without what it quotes: the kind of trouble, the same whatever was bred.
fn kind(says: &str) -> String {
    let mut quoted = false;
    let bare = |c: &char| {
        quoted ^= *c == '"';
        !quoted && !c.is_ascii_digit()
    };
    says.chars().filter(bare).take(60).collect()
}

fn refusal(error: &Error) -> String {
    assert!(!error.problems.is_empty(), "refused for nothing");
    for problem in &error.problems {
        assert!(!problem.wrong.is_empty(), "a problem without words: {error}");
    }
    kind(&error.problems[0].wrong)
}

fn job(bytes: &[u8]) -> String {
    let Ok(text) = std::str::from_utf8(bytes) else { return "no text".into() };
    match parse(text, "job.toml", &files(), &Settings::default()) {
        Ok(job) => format!("{:?}", std::mem::discriminant(&job.outline.shape)),
        Err(error) => refusal(&error),
    }
}

/// A job worked out as far as its files, if it is a small one.
fn piece(bytes: &[u8]) -> String {
    let Ok(text) = std::str::from_utf8(bytes) else { return "no text".into() };
    let job = match parse(text, "job.toml", &files(), &Settings::default()) {
        Ok(job) => job,
        Err(error) => return refusal(&error),
    };
    // Pieces a person would wait for: the bounds of the others are held by the tests.
    let area = pipeline::Session::new(job.clone()).outline().map(|o| o.edge.area()).unwrap_or(0.0);
    let pitch = job.pattern.pitch.map_or(3.0, |pitch| pitch.get());
    if area / (pitch * pitch) > 400.0 || job.paper.copies > 20 || job.wish.is_some() {
        return "large".into();
    }
    match pipeline::run(&job) {
        Ok(product) => {
            whole(&product);
            let worst = product.works.iter().flat_map(|w| &w.verdicts).map(|v| format!("{:?}", v.check));
            worst.take(3).collect()
        }
        Err(error) => refusal(&error),
    }
}

/// Every mark lies somewhere, every number of the plan is one, and the files are files.
fn whole(product: &Product) {
    for page in &product.sheets.pages {
        for mark in &page.marks {
            let rings = match &mark.ink {
                Ink::Area { rings, .. } | Ink::Closed { rings, .. } => rings.as_slice(),
                _ => &[],
            };
            let corners = rings.iter().flat_map(|r| r.vertices());
            assert!(corners.clone().all(|v| v.at.is_finite() && v.bulge.is_finite()), "a corner nowhere");
            let b = mark.bounds();
            assert!([b.x0, b.y0, b.x1, b.y1].iter().all(|v| v.is_finite()), "a mark nowhere: {mark:?}");
        }
    }
    for svg in product.svg() {
        assert!(svg.ends_with("</svg>\n") && !svg.contains("NaN") && !svg.contains("inf"), "{svg}");
        assert!(!svg.chars().any(|c| c.is_control() && c != '\n'), "a sign no reader of SVG takes");
    }
    let pdf = product.pdf();
    assert!(pdf.starts_with(b"%PDF") && pdf.trim_ascii_end().ends_with(b"%%EOF"));
    for i in 0..product.jobs.len() {
        let text = product.json(i, &[]).expect("a plan");
        numbers("", &serde_json::from_str(&text).expect("JSON"));
    }
}

fn numbers(key: &str, value: &Value) {
    match value {
        Value::Null => panic!("{key} is null"),
        Value::Array(list) => list.iter().for_each(|v| numbers("", v)),
        Value::Object(map) => map.iter().for_each(|(k, v)| numbers(k, v)),
        _ => {}
    }
}

fn pattern(bytes: &[u8]) -> String {
    let Ok(text) = std::str::from_utf8(bytes) else { return "no text".into() };
    match catalogue::read(text, "mine.toml") {
        Ok(pattern) => {
            let corners = pattern.shapes.iter().flat_map(|s| s.ring.vertices());
            assert!(corners.clone().all(|v| v.at.is_finite() && v.bulge.is_finite()), "a corner nowhere");
            format!("{:?}", pattern.fills)
        }
        Err(error) => refusal(&error),
    }
}

fn svg(bytes: &[u8]) -> String {
    match rings_of_svg_file(bytes, None) {
        Ok((rings, sized)) => {
            let corners = rings.iter().flat_map(|r| r.vertices());
            assert!(corners.clone().all(|v| v.at.is_finite() && v.bulge.is_finite()), "a corner nowhere");
            assert!(rings.iter().all(|r| r.area() > 0.0), "a ring round nothing");
            format!("{} {sized}", rings.len().min(4))
        }
        Err(wrong) => {
            assert!(!wrong.is_empty());
            kind(&wrong)
        }
    }
}

fn minutes(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    let (entries, bad) = timed::read(&text);
    for entry in &entries {
        let (again, none) = timed::read(&timed::write(entry));
        assert!(again.len() == 1 && none.is_empty(), "{entry:?}");
    }
    if !entries.is_empty() {
        let usual = skill_rates(sawpierce::job::Skill::Practised);
        // A maker may call a job "infant".
        let unnamed = entries.iter().map(|e| timed::Entry { job: "a job".into(), ..e.clone() });
        let learnt = pace::refit(&unnamed.collect::<Vec<_>>(), &usual);
        let rates = learnt_rates(&learnt);
        let all = [rates.saw, rates.per_hole, rates.filing, rates.handling, rates.cut, rates.corner];
        assert!(all.iter().flatten().all(|r| r.is_finite() && *r >= 0.0 && *r < 1e6), "{rates:?}");
        assert!(pace::report(&learnt).iter().all(|line| !line.contains("NaN") && !line.contains("inf")));
    }
    // The last words say what is wrong with a line; the first ones are its own.
    let last = |why: &str| why.chars().rev().filter(|c| !c.is_ascii_digit()).take(20).collect::<String>();
    let kinds: String = bad.iter().take(2).map(|b| last(&b.why)).collect();
    format!("{} {kinds}", entries.len().min(3))
}

fn printers(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    let Ok(printers) = stored_printers(&text) else { return "damaged".into() };
    let names: Vec<String> = printers.iter().map(|p| p.name.clone()).collect();
    let settings = Settings { printers, ..Settings::default() };
    let mut told = String::new();
    for name in names.iter().take(3) {
        let job = format!("{DISC}[paper]\nprinter = {}\n", toml_edit::Value::from(name.as_str()));
        match parse(&job, "job.toml", &files(), &settings) {
            Ok(job) => {
                let (across, up) = job.paper.correction;
                assert!((90.0..=110.0).contains(&across) && (90.0..=110.0).contains(&up), "{across} {up}");
                told += "good ";
            }
            Err(error) => told += &refusal(&error),
        }
    }
    told
}

/// Of questions to a page that take a hundred times as long as reading them, one in so many is worked out.
const WORKED_OUT: u64 = 500;

/// Questions of a page, one a line, to one bench: read, refused or obeyed.
fn page(bytes: &[u8]) -> String {
    let Ok(text) = std::str::from_utf8(bytes) else { return "no text".into() };
    let Ok(mut bench) = live::Bench::new(Settings::default(), Vec::new()) else { panic!("no bench") };
    let mut told = String::new();
    for question in text.lines().take(4) {
        let chosen = question.bytes().map(u64::from).sum::<u64>() % WORKED_OUT == 0;
        let mut reached = bench.take(question);
        let answer = loop {
            reached = match reached {
                Reached::Answer(answer) => break answer,
                Reached::NewJob(new) => bench.begun(new.choose(move || !chosen)),
                Reached::Work(task) => break bench.finish(task.run(move || !chosen)),
            };
        };
        let value: Value = serde_json::from_str(&answer).expect("an answer is JSON");
        let good = value["ok"].as_bool().expect("an answer says whether it is one");
        told += if good { "good " } else { "" };
        if let (false, Some(says)) = (good, value["faults"][0]["says"].as_str()) {
            assert!(!says.contains("itself failed"), "{says}");
            told += &kind(says);
        }
    }
    told
}
