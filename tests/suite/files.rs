//! Nothing a maker owns is lost: what drawing may replace, and what kills, full disks and neighbours leave behind.

use crate::shell::{Bench, FIRST, LEAF};
use std::fs;
use std::process::Stdio;
use std::time::Duration;

#[test]
fn a_drawing_that_a_job_names_is_not_written_over() {
    let bench = Bench::new();
    let job = FIRST
        .replace("shape = \"circle\"\ndiameter = 30", "shape = \"file\"\nfile = \"leaf.svg\"\nborder = 2");
    bench.put("leaf.svg", LEAF).put("leaf.toml", &job);
    let refused = bench.run(&["draw", "leaf.toml"]).ends_with(3);
    assert!(
        refused.err.contains("leaf.svg: this is a file of a job and is not written over"),
        "{}",
        refused.err
    );
    assert_eq!(bench.text("leaf.svg"), LEAF);
    assert_eq!(bench.names(), ["leaf.svg", "leaf.toml"]);
}

#[test]
fn a_file_that_no_drawing_made_is_not_written_over() {
    let bench = Bench::new();
    bench.put("leaf.toml", FIRST).put("leaf.svg", LEAF);
    let refused = bench.run(&["draw", "leaf.toml"]).ends_with(3);
    assert!(refused.err.contains("was not made by a drawing"), "{}", refused.err);
    assert_eq!(bench.text("leaf.svg"), LEAF);
    // Its own drawings are replaced, again and again.
    bench.put("moth.toml", FIRST).run(&["draw", "moth.toml", "--png"]).ends_with(0);
    bench.run(&["draw", "moth.toml", "--png"]).ends_with(0);
}

#[test]
fn two_jobs_of_one_name_do_not_replace_each_other() {
    let bench = Bench::new();
    for folder in ["x", "y", "out"] {
        fs::create_dir(bench.path(folder)).expect("made");
    }
    bench.put("x/piece.toml", &format!("title = \"First\"\n{FIRST}"));
    bench.put("y/piece.toml", &format!("title = \"Second\"\n{FIRST}"));
    let told = bench.run(&["draw", "x/piece.toml", "y/piece.toml", "--out", "out"]).ends_with(3);
    assert!(told.err.contains("another job has just written this file"), "{}", told.err);
    assert!(bench.text("out/piece.json").contains("First"));
}

#[test]
fn a_page_of_one_job_is_not_replaced_by_a_job_of_that_name() {
    let bench = Bench::new();
    let many = format!("{FIRST}[paper]\ncopies = 40\n");
    bench.put("moth.toml", &many).put("moth-2.toml", FIRST);
    bench.run(&["draw", "moth.toml"]).ends_with(0);
    let page = bench.text("moth-2.svg");
    let refused = bench.run(&["draw", "moth-2.toml"]).ends_with(3);
    assert!(refused.err.contains("moth-2.svg: this file belongs to the drawing of moth;"), "{}", refused.err);
    assert_eq!(bench.text("moth-2.svg"), page);
    // A drawing with fewer pages takes the others away, and then the name is free.
    bench.put("moth.toml", FIRST).run(&["draw", "moth.toml"]).ends_with(0);
    assert!(!bench.path("moth-2.svg").exists());
    bench.run(&["draw", "moth-2.toml"]).ends_with(0);
}

/// Named by its bare name or by way of its folder, a job drawn again keeps its files.
#[test]
fn a_job_drawn_again_keeps_its_files() {
    let bench = Bench::new();
    bench.put("moth.toml", FIRST);
    let whole = bench.path("moth.toml").display().to_string();
    for name in ["moth.toml", "moth.toml", "./moth.toml", "moth.toml", &whole, "./moth.toml"] {
        bench.run(&["draw", name]).ends_with(0);
        assert_eq!(bench.names(), ["moth.json", "moth.pdf", "moth.svg", "moth.toml"], "{name}");
    }
    bench.run(&["draw", "moth.toml", "--out", "."]).ends_with(0);
    assert_eq!(bench.names(), ["moth.json", "moth.pdf", "moth.svg", "moth.toml"]);
}

#[test]
fn a_plan_that_lists_other_folders_takes_nothing_away() {
    let bench = Bench::new();
    fs::create_dir(bench.path("in")).expect("made");
    bench.put("keep.svg", "id=\"saw-lines\"").put("in/moth.toml", FIRST);
    bench.put("in/moth.json", "{\"schema\": 2, \"files\": [\"../keep.svg\", \"moth.toml\", \"moth.json\"]}");
    bench.run(&["draw", "in/moth.toml"]).ends_with(0);
    assert!(bench.path("keep.svg").exists() && bench.path("in/moth.toml").exists());
}

/// Killed at two hundred random moments of a drawing: each file is whole, the old one or absent, and the next drawing
/// clears away what was hidden.
#[cfg(unix)]
#[test]
fn killed_drawings_leave_whole_files() {
    let bench = Bench::new();
    bench.put("moth.toml", FIRST);
    let begun = std::time::Instant::now();
    bench.run(&["draw", "moth.toml"]).ends_with(0);
    let long = begun.elapsed().as_micros() as u64;
    let mut random = 0x2545_f491_4f6c_dd1d_u64;
    for moment in 0..200_u64 {
        if moment % 7 == 0 {
            ["moth.svg", "moth.pdf", "moth.json"]
                .iter()
                .for_each(|name| drop(fs::remove_file(bench.path(name))));
        }
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let mut drawing = bench.program(Stdio::null).args(["draw", "moth.toml"]).spawn().expect("it starts");
        std::thread::sleep(Duration::from_micros((random >> 33) % (long + long / 4)));
        drop(drawing.kill());
        drop(drawing.wait());
        let whole = |name: &str, end: &str| {
            let bytes = fs::read(bench.path(name)).unwrap_or_default();
            bytes.is_empty() || String::from_utf8_lossy(&bytes).trim_end().ends_with(end)
        };
        assert!(
            whole("moth.svg", "</svg>") && whole("moth.pdf", "%%EOF") && whole("moth.json", "}"),
            "{moment}"
        );
    }
    bench.run(&["draw", "moth.toml"]).ends_with(0);
    assert_eq!(bench.names(), ["moth.json", "moth.pdf", "moth.svg", "moth.toml"]);
}

#[test]
fn drawings_side_by_side_in_one_folder_stay_whole() {
    let bench = Bench::new();
    for k in 0..3 {
        fs::create_dir(bench.path(&format!("in{k}"))).expect("made");
        bench.put(&format!("in{k}/moth.toml"), &format!("title = \"Moth {k}\"\n{FIRST}"));
    }
    fs::create_dir(bench.path("out")).expect("made");
    for _ in 0..5 {
        let running: Vec<_> = (0..6)
            .map(|k| {
                let job = format!("in{}/moth.toml", k % 3);
                bench.program(Stdio::null).args(["draw", &job, "--out", "out"]).spawn().expect("it starts")
            })
            .collect();
        for mut drawing in running {
            assert_eq!(drawing.wait().expect("it ends").code(), Some(0));
        }
        let title = |text: &str| text.find("Moth ").map(|i| text[i..i + 6].to_string());
        assert_eq!(title(&bench.text("out/moth.svg")), title(&bench.text("out/moth.json")));
    }
    assert_eq!(fs::read_dir(bench.path("out")).expect("the folder").count(), 3);
}

#[cfg(target_os = "linux")]
#[test]
fn an_answer_without_room_takes_nothing_back() {
    let bench = Bench::new();
    bench.put("moth.toml", FIRST);
    let full = fs::OpenOptions::new().write(true).open("/dev/full").expect("a full disk");
    let ended =
        bench.program(Stdio::null).args(["draw", "moth.toml"]).stdout(full).status().expect("it runs");
    assert_eq!(ended.code(), Some(0));
    assert!(bench.path("moth.pdf").exists());
}
