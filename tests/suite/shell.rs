//! The built program as people run it: real jobs, real files, exit codes.

use assert_cmd::Command;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::time::Duration;
use tempfile::TempDir;

fn examples() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut found: Vec<PathBuf> = fs::read_dir(folder)
        .expect("examples")
        .filter_map(|entry| entry.ok().map(|e| e.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    found.sort();
    found
}

/// A first piece.
pub const FIRST: &str =
    "[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"circle\"\ndiameter = 30\n\
     [pattern]\nname = \"hexagon\"\npitch = 6\n";
/// A drawing of its outline, for jobs that name one.
pub const LEAF: &str =
    "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40mm\" height=\"30mm\" viewBox=\"0 0 40 30\">\
     <path d=\"M2 2H38V28H2Z\"/></svg>";

pub struct Bench {
    folder: TempDir,
}

impl Bench {
    pub fn new() -> Self {
        Self { folder: TempDir::new().expect("a folder") }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn put(&self, name: &str, text: &str) -> &Self {
        fs::write(self.path(name), text).expect("written");
        self
    }

    pub fn text(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap_or_else(|why| panic!("{name}: {why}"))
    }

    pub fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.folder.path()).expect("the folder");
        let mut names: Vec<String> =
            entries.filter_map(|e| e.ok()).map(|e| e.file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    /// The program as it is started here, to be let run on its own; what it says goes to `told`.
    pub fn program(&self, told: fn() -> Stdio) -> std::process::Command {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_sawpierce"));
        command.current_dir(self.path("")).env("SAWPIERCE_SETTINGS", self.path("settings"));
        command.stdout(told()).stderr(told());
        command
    }

    pub fn run(&self, words: &[&str]) -> Answer {
        let output = Command::cargo_bin("sawpierce")
            .expect("the program is built")
            .args(words)
            .current_dir(self.folder.path())
            .env("SAWPIERCE_SETTINGS", self.path("settings"))
            .timeout(Duration::from_secs(120))
            .output()
            .expect("it runs");
        Answer {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).expect("text"),
            err: String::from_utf8(output.stderr).expect("text"),
        }
    }
}

pub struct Answer {
    pub code: Option<i32>,
    pub out: String,
    pub err: String,
}

impl Answer {
    pub fn ends_with(self, code: i32) -> Self {
        assert_eq!(self.code, Some(code), "{}{}", self.out, self.err);
        self
    }

    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|why| panic!("{why}: {}", self.out))
    }
}

/// Bridges of 0.6 mm in a first piece: a stop.
const THIN: &str =
    "skill = \"first\"\n[sheet]\nmetal = \"copper\"\n[outline]\nshape = \"circle\"\ndiameter = 36\n\
                    [pattern]\nname = \"hexagon\"\npitch = 7\nbridge = 0.6\n";

#[test]
fn every_example_is_drawn_without_a_stop() {
    let examples = examples();
    assert!(examples.len() >= 6);
    for example in examples {
        let bench = Bench::new();
        let stem = example.file_stem().expect("a name").to_string_lossy().into_owned();
        let job = example.to_string_lossy();
        let said = bench.run(&["draw", &job, "--out", "."]).ends_with(0);
        assert_eq!(said.err, "", "{stem}: nothing to complain of");
        let (svg, pdf, json) = (format!("{stem}.svg"), format!("{stem}.pdf"), format!("{stem}.json"));
        assert!(bench.text(&svg).contains("</svg>"), "{stem}");
        let bytes = fs::read(bench.path(&pdf)).expect("a PDF");
        assert!(bytes.starts_with(b"%PDF-") && bytes.trim_ascii_end().ends_with(b"%%EOF"), "{stem}");
        let plan: Value = serde_json::from_str(&bench.text(&json)).expect("JSON");
        assert_eq!(plan["schema"], 2);
        let count = plan["openings"]["count"].as_u64().expect("a count");
        assert!(
            count > 0 && count == plan["openings"]["list"].as_array().expect("a list").len() as u64,
            "{stem}"
        );
        for check in ["bridge-width", "border-width", "drill-fit", "blade-fit", "loose-metal", "paper-fit"] {
            let verdicts = plan["verdicts"].as_array().expect("verdicts");
            assert!(verdicts.iter().any(|v| v["check"] == check), "{stem}: {check} is silent");
        }
        assert!(bench.names().iter().all(|name| name.starts_with(&stem)), "{stem}: {:?}", bench.names());
    }
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let (one, two) = (Bench::new(), Bench::new());
    let job = examples().remove(0);
    for bench in [&one, &two] {
        bench.run(&["draw", &job.to_string_lossy(), "--out", ".", "--png"]).ends_with(0);
    }
    for name in one.names() {
        assert_eq!(fs::read(one.path(&name)).ok(), fs::read(two.path(&name)).ok(), "{name}");
    }
}

#[test]
fn a_stop_still_makes_paper_and_ends_with_one() {
    let bench = Bench::new();
    bench.put("thin.toml", THIN);
    let drawn = bench.run(&["draw", "thin.toml"]).ends_with(1);
    assert!(drawn.out.contains("bridge-width"), "{}", drawn.out);
    assert_eq!(bench.names(), ["thin.json", "thin.pdf", "thin.svg", "thin.toml"]);
    let checked = bench.run(&["check", "thin.toml"]).ends_with(1);
    assert!(checked.out.contains("STOP         bridge-width"), "{}", checked.out);
    // The narrowest is 0.6 drawn, 0.2 less on both sides finished.
    let first = checked.out.lines().find(|l| l.trim_start().starts_with("1  ")).expect("the thinnest");
    assert!(first.contains("0.20") && first.contains("0.60"), "{first}");
    bench.run(&["plan", "thin.toml"]).ends_with(1);
}

#[test]
fn one_bad_job_does_not_keep_the_others_from_their_paper() {
    let bench = Bench::new();
    bench.put("bad.toml", "skill = 3").put("thin.toml", THIN);
    let said = bench.run(&["draw", "bad.toml", "thin.toml", "lost.toml"]).ends_with(3);
    assert!(said.err.contains("bad.toml:1:9: ") && said.err.contains("lost.toml: "), "{}", said.err);
    assert!(bench.path("thin.pdf").exists() && !bench.path("bad.pdf").exists());
}

#[test]
fn jobs_drawn_together_share_their_pages() {
    let bench = Bench::new();
    bench.put("a.toml", THIN).put("b.toml", &THIN.replace("36", "30"));
    bench.run(&["draw", "a.toml", "b.toml", "--together"]).ends_with(1);
    assert_eq!(bench.names(), ["a.json", "a.pdf", "a.svg", "a.toml", "b.json", "b.toml"]);
    let svg = bench.text("a.svg");
    assert!(svg.contains("id=\"copy-1\"") && svg.contains("id=\"copy-2\""));
}

#[test]
fn extras_come_when_asked_for() {
    let bench = Bench::new();
    bench.put("thin.toml", THIN);
    bench.run(&["draw", "thin.toml", "--png", "--send-out"]).ends_with(1);
    let expected = [
        "thin-outlines.pdf",
        "thin-outlines.svg",
        "thin.json",
        "thin.pdf",
        "thin.png",
        "thin.svg",
        "thin.toml",
    ];
    assert_eq!(bench.names(), expected);
    assert!(fs::read(bench.path("thin.png")).expect("a picture").starts_with(b"\x89PNG"));
    assert!(!bench.text("thin-outlines.svg").contains("<text"), "a cutting service wants no words");
}

#[test]
fn begin_writes_a_job_that_can_be_drawn_at_once() {
    for (i, words) in [
        &[
            "--shape",
            "circle",
            "--diameter",
            "30",
            "--metal",
            "copper",
            "--thickness",
            "0.8",
            "--skill",
            "first",
        ][..],
        &[
            "--shape",
            "rectangle",
            "--width",
            "50",
            "--height",
            "40",
            "--pattern",
            "square",
            "--skill",
            "practised",
        ],
        &["--shape", "polygon", "--sides", "8", "--across", "44", "--metal", "sterling-silver"],
        &[
            "--shape",
            "ellipse",
            "--width",
            "1 3/4 in",
            "--height",
            "1,5",
            "--units",
            "in",
            "--thickness",
            "20 ga",
        ],
        &[],
    ]
    .iter()
    .enumerate()
    {
        let bench = Bench::new();
        let written = bench.run(&[&["begin", "moth-wing.toml"], *words].concat()).ends_with(0);
        assert!(written.out.contains("sawpierce check moth-wing.toml"));
        assert!(bench.text("moth-wing.toml").contains("title = \"Moth wing\""), "{i}");
        let before = bench.text("moth-wing.toml");
        bench.run(&["draw", "moth-wing.toml"]).ends_with(0);
        assert_eq!(bench.text("moth-wing.toml"), before, "a job is never written over");
        bench.run(&["begin", "moth-wing.toml"]).ends_with(3);
    }
}

#[test]
fn every_remark_of_begin_can_be_used() {
    // What stands behind a # has to be a key that works, or the file teaches wrongly.
    let bench = Bench::new();
    bench.run(&["begin", "piece.toml"]).ends_with(0);
    let text = bench.text("piece.toml");
    let used: Vec<String> = text
        .lines()
        .map(|line| match line.strip_prefix("# ") {
            Some(rest) if rest.contains(" = ") && !rest.contains("comments") || rest.starts_with('[') => {
                rest.to_string()
            }
            _ => line.to_string(),
        })
        .collect();
    bench.put("used.toml", &used.join("\n"));
    let said = bench.run(&["check", "used.toml"]);
    assert!(matches!(said.code, Some(0 | 1)), "{}", said.err);
}

#[test]
fn measured_sizes_recompute_what_follows() {
    // Planned 30.0, measured 29.6, strip 0.5 round the edge: 95.82 becomes 94.56.
    let bench = Bench::new();
    let rim = "[construction]\nrim = { height = 3, thickness = 0.5, sits = \"round-edge\" }\n";
    bench.put("disc.toml", &(THIN.replace("36", "30").replace("0.6", "1.9") + rim));
    let strip = |answer: &Answer| -> f64 {
        let plan = answer.json();
        let parts = plan["parts"].as_array().expect("parts").clone();
        let rim = parts
            .iter()
            .find(|p| p["part"].as_str().is_some_and(|n| n.contains("rim")))
            .expect("a rim")
            .clone();
        rim["length_mm"].as_f64().expect("a length")
    };
    let planned = bench.run(&["plan", "disc.toml", "--json"]).ends_with(0);
    assert!((strip(&planned) - 95.82).abs() < 0.005, "{}", strip(&planned));
    let found = bench.run(&["plan", "disc.toml", "--json", "--measured", "outline=29.6"]).ends_with(0);
    assert!((strip(&found) - 94.56).abs() < 0.005, "{}", strip(&found));
    // Four readings count by their middle.
    let four = ["--measured", "outline=29.5", "--measured", "outline=29.7"];
    let found = bench.run(&[&["plan", "disc.toml", "--json"][..], &four].concat()).ends_with(0);
    assert!((strip(&found) - 94.56).abs() < 0.005);
}

#[test]
fn plan_tells_its_numbers_with_their_sums_and_every_bridge_if_asked() {
    let bench = Bench::new();
    bench.put("thin.toml", THIN);
    let card = bench.run(&["plan", "thin.toml"]).ends_with(1);
    for words in ["threadings", "line to saw", "= openings", "drill"] {
        assert!(card.out.contains(words), "no {words} in\n{}", card.out);
    }
    assert!(card.out.lines().all(|line| line.chars().count() <= 130), "lines too long to read");
    let plan = bench.run(&["plan", "thin.toml", "--json", "--bridges"]).ends_with(1).json();
    let bridges = plan["bridges"]["list"].as_array().expect("every bridge");
    assert!(bridges.len() > 20 && bridges.iter().zip(1..).all(|(b, n)| b["n"] == n));
    // Thinnest first, and the map crosses every one of them with a stroke.
    let widths: Vec<f64> = bridges.iter().filter_map(|b| b["finished_mm"].as_f64()).collect();
    assert!(widths.len() == bridges.len() && widths.is_sorted(), "{widths:?}");
    bench.run(&["draw", "thin.toml", "--bridges"]).ends_with(1);
    let map = fs::read_to_string(bench.path("thin-bridges.svg")).expect("the map");
    assert!(map.contains(&format!("{} bridges.", bridges.len())) && map.contains("NOT to stick on metal"));
    let plain = bench.run(&["plan", "thin.toml", "--json"]).ends_with(1).json();
    assert!(plain["bridges"].get("list").is_none());
    let both = bench.run(&["plan", "thin.toml", "thin.toml", "--json"]).ends_with(1).json();
    assert_eq!(both.as_array().map(Vec::len), Some(2));
}

#[test]
fn mend_writes_a_job_of_its_own_that_has_no_stop() {
    let bench = Bench::new();
    let kept = THIN.replace("\"copper\"", "\"copper\" # from the tin");
    bench.put("thin.toml", &kept);
    let said = bench.run(&["mend", "thin.toml"]).ends_with(0);
    assert!(said.out.contains("written: thin-mended.toml"), "{}", said.out);
    assert_eq!(bench.text("thin.toml"), kept, "the original stays");
    assert!(bench.text("thin-mended.toml").contains("# from the tin"), "remarks stay");
    bench.run(&["check", "thin-mended.toml"]).ends_with(0);
    let before = bench.text("thin-mended.toml");
    bench.run(&["mend", "thin.toml"]).ends_with(3);
    assert_eq!(bench.text("thin-mended.toml"), before, "never over a file");
    assert!(bench.run(&["mend", "thin-mended.toml"]).ends_with(0).out.contains("nothing to mend"));
    assert!(!bench.path("thin-mended-mended.toml").exists());
}

#[test]
fn a_wish_is_met_as_nearly_as_whole_repeats_allow() {
    let bench = Bench::new();
    bench.put("wish.toml", &format!("{}[wish]\nopenings = 30\n", THIN.replace("0.6", "1.9")));
    let plan = bench.run(&["plan", "wish.toml", "--json"]).ends_with(0).json();
    let count = plan["openings"]["count"].as_f64().expect("a count");
    assert!((count - 30.0).abs() <= 6.0, "{count} openings");
    assert!(bench.run(&["check", "wish.toml"]).ends_with(0).out.contains("nearest to 30 openings"));
    bench.put("far.toml", &format!("{THIN}[wish]\nopenings = 90000\n"));
    let refused = bench.run(&["draw", "far.toml"]).ends_with(2);
    assert!(refused.err.contains("90000 openings"), "{}", refused.err);
}

#[test]
fn lists_have_a_name_and_title_in_every_row() {
    let bench = Bench::new();
    for kind in
        ["patterns", "outlines", "metals", "blades", "drills", "gauges", "solders", "papers", "ring-sizes"]
    {
        let rows = bench.run(&["list", kind, "--json"]).ends_with(0).json();
        let rows = rows.as_array().expect("rows").clone();
        assert!(rows.len() >= 3, "{kind}");
        for row in &rows {
            assert!(row["name"].is_string() && row["title"].is_string(), "{kind}: {row}");
        }
        let text = bench.run(&["list", kind]).ends_with(0).out;
        for row in &rows {
            let name = row["name"].as_str().expect("a name");
            assert!(
                text.lines().any(|line| line.trim_start().starts_with(name)),
                "{kind}: {name} is not in the text"
            );
        }
    }
}

#[test]
fn a_printer_is_measured_once_and_used_by_name() {
    let bench = Bench::new();
    bench.run(&["true-size"]).ends_with(0);
    assert!(fs::read(bench.path("true-size.pdf")).expect("the page").starts_with(b"%PDF-"));
    bench.run(&["true-size", "--across", "97,8", "--up", "98.1", "--printer", "hall \"ink\""]).ends_with(0);
    bench.run(&["true-size", "--across", "99", "--up", "99.5", "--printer", "attic"]).ends_with(0);
    bench
        .run(&["true-size", "--across", "97.9", "--up", "98.1", "--printer", "attic", "--afresh"])
        .ends_with(0);
    let stored = bench.text("settings/printers.toml");
    assert_eq!(stored.matches("attic").count(), 1, "{stored}");
    assert!(stored.contains("97.8") && stored.contains("97.9"), "{stored}");
    bench.put("job.toml", &format!("{THIN}[paper]\nprinter = \"attic\"\n"));
    bench.run(&["draw", "job.toml"]).ends_with(1);
    bench.run(&["true-size", "--printer", "attic"]).ends_with(0);
}

#[test]
fn minutes_really_taken_change_the_hours() {
    let bench = Bench::new();
    bench.put("job.toml", &THIN.replace("bridge = 0.6", "bridge = 1.9"));
    let likely = || {
        bench.run(&["plan", "job.toml", "--json"]).json()["saw"]["minutes"]["likely"].as_f64().expect("time")
    };
    let before = likely();
    for _ in 0..4 {
        bench.run(&["minutes", "job.toml", &format!("{}", before * 3.0)]).ends_with(0);
    }
    let after = likely();
    assert!(after > before * 1.3, "{before} to {after}");
    // A line spoilt by hand is told and the others are used.
    let log = bench.text("settings/minutes.txt");
    bench.put("settings/minutes.txt", &format!("rubbish\n{log}"));
    let said = bench.run(&["minutes"]).ends_with(0);
    assert!(said.err.contains("minutes.txt:1:1: "), "{}", said.err);
    assert_eq!(likely(), after);
}

#[test]
fn sums_answer_in_one_line_with_a_source() {
    let bench = Bench::new();
    // 30.0 mm disc, 0.5 strip.
    for (sits, expected) in [("round-edge", 95.82), ("under-plate", 92.68)] {
        let words = ["sums", "strip", "--across", "30", "--thickness", "0,5", "--sits", sits, "--json"];
        let sum = bench.run(&words).ends_with(0).json();
        assert!((sum["value"].as_f64().expect("a value") - expected).abs() < 0.005, "{sum}");
        assert!(sum["unit"] == "mm" && sum["sum"].is_string() && sum["source"].is_string());
    }
    for words in [
        &["band", "--size", "US 7", "--thickness", "1.0"][..],
        &["ring-size", "UK N\u{bd}"],
        &["gauge", "20"],
        &["weight", "--metal", "copper", "--across", "30", "--thickness", "20 ga"],
        &["weight", "--metal", "copper", "--area", "500", "--thickness", "0.8"],
        &["ingot", "--metal", "sterling-silver", "--length", "60", "--width", "40", "--thickness", "0.8"],
        &["dome", "--across", "25", "--height", "4"],
        &["cone", "--top", "10", "--bottom", "20", "--height", "15"],
        &["jump-ring", "--wire", "1", "--inside", "4"],
        &["bezel", "--stone", "10", "--thickness", "0.3"],
        &["drill", "--blade", "2/0"],
    ] {
        let said = bench.run(&[&["sums"], words].concat()).ends_with(0).out;
        assert!(said.contains("source: "), "{said}");
    }
}

#[test]
fn help_has_an_example_for_every_verb() {
    let bench = Bench::new();
    let whole = bench.run(&["--help"]).ends_with(0).out;
    for verb in
        ["begin", "draw", "check", "plan", "mend", "sampler", "true-size", "sums", "minutes", "list", "open"]
    {
        assert!(whole.contains(&format!("\n  {verb} ")), "{verb}");
        let one = bench.run(&[verb, "--help"]).ends_with(0).out;
        assert!(one.contains(&format!("\n  sawpierce {verb}")), "{verb}: no example in\n{one}");
    }
}

#[test]
fn a_reader_that_has_heard_enough_is_no_trouble() {
    let program = assert_cmd::cargo::cargo_bin("sawpierce");
    let mut child = std::process::Command::new(program)
        .args(["list", "ring-sizes", "--json"])
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("it runs");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("it ends");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

#[test]
fn begin_takes_a_pattern_file_of_ones_own_and_blanks_that_are_bent() {
    let bench = Bench::new();
    let own = "title = \"Drops\"\nmotif = true\nrepeat = [[6, 0], [3, 5]]\n[[shapes]]\n\
               d = \"M 0 0 C 2 0 3 2 1.5 4 C 1 4.6 -1 4.6 -1.5 4 C -3 2 -2 0 0 0 Z\"\n\
               [[centres]]\nkind = \"opening\"\nat = [0, -2]\n";
    bench.put("drops.toml", own);
    for (job, shape) in [("a.toml", "circle"), ("b.toml", "band"), ("c.toml", "cone"), ("d.toml", "heart")] {
        bench
            .run(&["begin", job, "--shape", shape, "--pattern", "drops.toml", "--skill", "fine-work"])
            .ends_with(0);
        assert!(bench.text(job).contains("file = \"drops.toml\""));
        // Nothing stops it: the pitch leaves a bridge between the drops.
        bench.run(&["check", job]).ends_with(0);
    }
    let wrong = bench.run(&["begin", "e.toml", "--pattern", "none.toml"]).ends_with(3);
    assert!(wrong.err.contains("none.toml"), "{}", wrong.err);
    assert!(!bench.path("e.toml").exists());
}

/// Narrow bands were refused for the border of a brooch: a row that fits is written, or why plain is better.
#[test]
fn begin_writes_a_band_or_says_why_plain_is_better() {
    let bench = Bench::new();
    for (width, skill) in
        [("2.5", "fine-work"), ("3", "fine-work"), ("4", "practised"), ("4", "first"), ("6", "first")]
    {
        let job = format!("band-{width}-{skill}.toml");
        bench.run(&["begin", &job, "--shape", "band", "--width", width, "--skill", skill]).ends_with(0);
        bench.run(&["check", &job]).ends_with(0);
    }
    let narrow = ["begin", "narrow.toml", "--shape", "band", "--width", "2.5", "--skill", "first"];
    let said = bench.run(&narrow).ends_with(2).err;
    assert!(said.contains("better plain") && said.contains("--skill fine-work"), "{said}");
    assert!(!bench.path("narrow.toml").exists());
}

/// The usual pitch made 29,983 openings of a panel of 540 by 500 mm, and the first pendant had nothing to hang from.
#[test]
fn begin_chooses_for_the_piece() {
    let bench = Bench::new();
    let panel = ["begin", "panel.toml", "--shape", "rectangle", "--width", "540", "--height", "500"];
    let said = bench.run(&panel).ends_with(0).out;
    let count = said.split("is written: ").nth(1).and_then(|n| n.split(' ').next()?.parse::<usize>().ok());
    assert!(count.is_some_and(|n| (20..=400).contains(&n)) && said.contains("hours"), "{said}");
    assert!(!bench.text("panel.toml").contains("\n[[hole]]"), "a panel does not hang from a ring");
    bench.run(&["begin", "first.toml"]).ends_with(0);
    let first = bench.text("first.toml");
    assert!(first.contains("\n[[hole]]") && first.contains("\npitch = "), "{first}");
    bench.run(&["begin", "bare.toml", "--no-hole"]).ends_with(0);
    assert!(!bench.text("bare.toml").contains("\n[[hole]]"));
    // In inches every comment is in inches: a plain 3 was a border of 76 mm.
    bench.run(&["begin", "inch.toml", "--units", "in"]).ends_with(0);
    for line in
        bench.text("inch.toml").lines().filter(|l| l.starts_with("# border") || l.starts_with("# bridge"))
    {
        let inches = line.split(" = ").nth(1).and_then(|v| v.split_whitespace().next()?.parse::<f64>().ok());
        assert!(inches.is_some_and(|inches| inches < 0.5), "{line}");
    }
    let keys = bench.run(&["list", "keys"]).ends_with(0).out;
    for key in ["price_per_gram", "ring_size", "gap_across", "per_hole", "jump_rings", "openings"] {
        assert!(keys.contains(key), "{key} is not listed");
    }
}

/// Found by hand: a teardrop was begun that no saw could cut, and a first disc had openings no file gets into.
#[test]
fn begin_writes_a_sound_job_for_every_shape_and_skill() {
    let bench = Bench::new();
    let shapes = "circle ellipse rectangle polygon teardrop heart marquise cushion crescent drawn band cone";
    for shape in shapes.split(' ') {
        for (skill, units) in [("first", "mm"), ("practised", "mm"), ("first", "in")] {
            let job = format!("{shape}-{skill}-{units}.toml");
            bench.run(&["begin", &job, "--shape", shape, "--skill", skill, "--units", units]).ends_with(0);
            bench.run(&["check", &job]).ends_with(0);
        }
    }
    // A first piece: twelve openings at most, none too small to clean up.
    for units in ["mm", "in"] {
        let said = bench.run(&["check", &format!("circle-first-{units}.toml")]).ends_with(0).out;
        let count =
            said.split(", ").nth(1).and_then(|n| n.split(' ').next()).and_then(|n| n.parse::<usize>().ok());
        assert!(
            count.is_some_and(|n| (5..=12).contains(&n)) && !said.contains("small to clean up"),
            "{said}"
        );
    }
    // What cannot be cut is refused before anything is written.
    let wide = ["begin", "wide.toml", "--shape", "teardrop", "--width", "40", "--height", "30"];
    let told = bench.run(&wide).ends_with(2);
    assert!(told.err.contains("taller than it is wide") && !bench.path("wide.toml").exists(), "{}", told.err);
}
