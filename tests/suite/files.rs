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
        let mut drawing = bench.program(Stdio::null).args(["draw", "moth.toml"]).spawn().expect("it starts");
        std::thread::sleep(Duration::from_micros(next(&mut random) % (long + long / 4)));
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

/// Numbers that look thrown, for moments.
fn next(random: &mut u64) -> u64 {
    *random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    *random >> 33
}

/// The same for what is written one file at a time: jobs and both stores.
#[cfg(unix)]
#[test]
fn killed_whatever_it_writes_leaves_whole_files() {
    let bench = Bench::new();
    bench.put("moth.toml", FIRST);
    let wider = FIRST.replace("diameter = 30", "diameter = 36");
    // Trimmed, so that what is killed is the writing and seldom the search.
    let thin = format!("skill = \"first\"\n{wider}bridge = 0.6\nat_border = \"trim\"\n");
    bench.put("thin.toml", &thin);
    bench.run(&["minutes", "moth.toml", "95"]).ends_with(0);
    bench
        .run(&["true-size", "--across", "97.8", "--up", "98.1", "--printer", "hall", "--out", "p"])
        .ends_with(0);
    let before = ["minutes.txt", "printers.toml"].map(|store| bench.text(&format!("settings/{store}")));
    let written = ["new.toml", "thin-mended.toml"];
    let clear = || written.iter().for_each(|name| drop(fs::remove_file(bench.path(name))));
    let read = || written.map(|name| fs::read_to_string(bench.path(name)).unwrap_or_default());
    let verbs: [&[&str]; 4] = [
        &["begin", "new.toml", "--metal", "copper"],
        &["mend", "thin.toml"],
        &["minutes", "moth.toml", "80"],
        &["true-size", "--across", "97.6", "--up", "98.2", "--printer", "hall", "--afresh", "--out", "p"],
    ];
    let mut random = 0x9e37_79b9_7f4a_7c15_u64;
    for verb in verbs {
        clear();
        let begun = std::time::Instant::now();
        bench.run(verb).ends_with(0);
        let long = begun.elapsed().as_micros() as u64;
        let whole = read();
        for moment in 0..50 {
            clear();
            let mut running = bench.program(Stdio::null).args(verb).spawn().expect("it starts");
            std::thread::sleep(Duration::from_micros(next(&mut random) % (long + long / 4)));
            drop(running.kill());
            drop(running.wait());
            for (new, whole) in read().iter().zip(&whole) {
                assert!(new.is_empty() || new == whole, "{verb:?} {moment}: {new}");
            }
            let log = bench.text("settings/minutes.txt");
            assert!(log.starts_with(&before[0]), "{verb:?} {moment}: {log}");
            let lines = log.strip_prefix(&before[0]).unwrap_or_default();
            assert!(
                lines.is_empty() || lines.ends_with("Disc\n") || lines.ends_with('\n'),
                "{verb:?} {moment}: {log}"
            );
            let printers = bench.text("settings/printers.toml");
            assert!(
                sawpierce::shell::stored_printers(&printers).is_ok_and(|all| all.len() == 1),
                "{printers}"
            );
        }
    }
    // Nothing lies about once each has been done whole again.
    clear();
    verbs.iter().for_each(|verb| drop(bench.run(verb).ends_with(0)));
    assert!(written.iter().all(|name| bench.path(name).exists()));
    let hidden = |folder: &str| {
        let entries = fs::read_dir(bench.path(folder)).expect("the folder").flatten();
        entries.map(|e| e.file_name().to_string_lossy().into_owned()).find(|n| n.starts_with('.'))
    };
    assert_eq!((hidden(""), hidden("settings")), (None, None));
}

#[test]
fn stores_written_side_by_side_lose_nothing() {
    let bench = Bench::new();
    bench.put("moth.toml", FIRST);
    for round in 1..4 {
        let mut running = Vec::new();
        for k in 0..6 {
            let minutes = format!("{}", 80 + 10 * round + k);
            let name = format!("p{round}{k}");
            let noted = bench.program(Stdio::null).args(["minutes", "moth.toml", &minutes]).spawn();
            let words = ["true-size", "--across", "97.8", "--up", "98.1", "--printer", &name, "--out", "p"];
            let read = bench.program(Stdio::null).args(words).spawn();
            running.extend([noted.expect("it starts"), read.expect("it starts")]);
        }
        for mut one in running {
            assert_eq!(one.wait().expect("it ends").code(), Some(0));
        }
        let log = bench.text("settings/minutes.txt");
        assert_eq!(log.lines().filter(|line| line.starts_with("minutes ")).count(), 6 * round, "{log}");
        let printers = sawpierce::shell::stored_printers(&bench.text("settings/printers.toml"));
        assert_eq!(printers.map(|all| all.len()), Ok(6 * round));
    }
}

/// A drawing clears away what killed ones left, never what another program is just writing.
#[test]
fn jobs_begun_beside_drawings_are_written() {
    let bench = Bench::new();
    bench.put("moth.toml", FIRST);
    for round in 0..8 {
        let running: Vec<_> = (0..4)
            .flat_map(|k| {
                let name = format!("new-{round}-{k}.toml");
                let drawing = bench.program(Stdio::null).args(["draw", "moth.toml"]).spawn();
                let begun = bench.program(Stdio::null).args(["begin", &name, "--metal", "copper"]).spawn();
                [drawing, begun]
            })
            .collect();
        for one in running {
            assert_eq!(one.expect("it starts").wait().expect("it ends").code(), Some(0), "round {round}");
        }
    }
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
