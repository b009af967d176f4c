//! What machines and file systems do to a program: odd names, links, closed pipes, full disks, other clocks and tongues.

#![cfg(unix)]

use crate::shell::{Bench, FIRST, LEAF};
use std::ffi::{OsStr, OsString};
use std::fs;
use std::os::unix::ffi::OsStrExt;
use std::process::{Command, Stdio};

/// Runs a shell script with the program as `$0`.
fn script(bench: &Bench, script: &str) -> (Option<i32>, String) {
    let mut command = Command::new("sh");
    command.args(["-c", script, env!("CARGO_BIN_EXE_sawpierce")]);
    command.current_dir(bench.path("")).env("SAWPIERCE_SETTINGS", bench.path("settings"));
    let done = command.output().expect("it runs");
    (done.status.code(), String::from_utf8_lossy(&done.stderr).into_owned())
}

#[test]
fn odd_names_are_names() {
    let names: [&[u8]; 6] =
        [b"two words", b"new\nline", b"-dash", b"\xff\xfe", "h\u{e4}mmer \u{1f528}".as_bytes(), b"a.b..c"];
    for name in names {
        let bench = Bench::new();
        let with = |ending: &str| {
            let mut whole = OsString::from(OsStr::from_bytes(name));
            whole.push(ending);
            whole
        };
        fs::write(bench.path("").join(with(".toml")), FIRST).expect("written");
        for _ in 0..2 {
            let done = bench
                .program(Stdio::piped)
                .args(["draw", "--"])
                .arg(with(".toml"))
                .output()
                .expect("it runs");
            let (out, err) = (String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
            assert_eq!(done.status.code(), Some(0), "{name:?}: {err}");
            assert!(!out.contains("new\nline"), "a name breaks a line: {out}");
        }
        let mut wanted: Vec<OsString> = [".json", ".pdf", ".svg", ".toml"].map(with).to_vec();
        wanted.sort();
        let entries = fs::read_dir(bench.path("")).expect("the folder");
        let mut there: Vec<OsString> = entries.flatten().map(|e| e.file_name()).collect();
        there.sort();
        assert_eq!(there, wanted);
    }
}

/// Whatever a file is called, what is said next can be typed, and no terminal obeys a name.
#[test]
fn what_is_said_of_odd_names_can_be_typed() {
    for name in ["two words", "-dash", "it's", "new\nline", "bell\u{7}\u{1b}[31m", "$HOME;ls"] {
        let bench = Bench::new();
        let file = format!("{name}.toml");
        let begun = bench.run(&["begin", "--metal", "copper", "--", &file]).ends_with(0);
        let control = |text: &str| text.chars().any(|c| c.is_control() && c != '\n');
        assert!(!control(&begun.out), "{:?}", begun.out);
        if !control(name) && !name.contains('\n') {
            let next =
                begun.out.lines().find_map(|line| line.strip_prefix("next: sawpierce ")).expect("what next");
            let (code, said) = script(&bench, &format!("\"$0\" {next} >/dev/null"));
            assert_eq!(code, Some(0), "{next}: {said}");
        }
        for words in [&["check", "--", &file][..], &["minutes", "--", &file, "95"], &["mend", "--", &file]] {
            let told = bench.run(words).ends_with(0);
            assert!(!control(&told.out) && !control(&told.err), "{words:?}: {:?}", told.out);
        }
        let named = format!("--printer={name}");
        let measured = bench.run(&["true-size", "--across", "98", "--up", "98", &named]);
        assert_eq!(
            measured.code,
            Some(if control(name) || name.contains('\n') { 2 } else { 0 }),
            "{}",
            measured.err
        );
        assert!(!control(&measured.out) && !control(&measured.err));
    }
}

#[test]
fn links_are_not_written_through() {
    let bench = Bench::new();
    fs::create_dir(bench.path("mine")).expect("made");
    bench.put("mine/leaf.svg", LEAF).put("moth.toml", FIRST);
    // A link to a drawing of the maker's own.
    std::os::unix::fs::symlink(bench.path("mine/leaf.svg"), bench.path("moth.svg")).expect("linked");
    bench.run(&["draw", "moth.toml"]).ends_with(3);
    assert_eq!(bench.text("mine/leaf.svg"), LEAF);
    // A link to nowhere was made by somebody as well.
    fs::remove_file(bench.path("moth.svg")).expect("gone");
    std::os::unix::fs::symlink(bench.path("nowhere.svg"), bench.path("moth.svg")).expect("linked");
    bench.run(&["draw", "moth.toml"]).ends_with(3);
    assert!(!bench.path("nowhere.svg").exists());
    // A second name for a file stays what it was when the first is drawn anew.
    fs::remove_file(bench.path("moth.svg")).expect("gone");
    bench.run(&["draw", "moth.toml"]).ends_with(0);
    fs::hard_link(bench.path("moth.svg"), bench.path("kept.svg")).expect("linked");
    let before = bench.text("kept.svg");
    bench.put("moth.toml", &FIRST.replace("pitch = 6", "pitch = 7")).run(&["draw", "moth.toml"]).ends_with(0);
    assert!(bench.text("kept.svg") == before && bench.text("moth.svg") != before);
    // A job reached through a link is still a job: nothing is written over it.
    let job = FIRST.replace("diameter = 30", "diameter = 31");
    bench.put("mine/piece.svg", &job);
    std::os::unix::fs::symlink(bench.path("mine"), bench.path("other")).expect("linked");
    bench.run(&["draw", "other/piece.svg", "--out", "mine"]).ends_with(3);
    assert_eq!(bench.text("mine/piece.svg"), job);
}

#[test]
fn closed_pipes_are_no_trouble() {
    let bench = Bench::new();
    bench.put("moth.toml", FIRST);
    for (words, codes) in [
        ("check moth.toml | true", &[0][..]),
        ("plan moth.toml --json | head -c 10 >/dev/null", &[0]),
        ("draw moth.toml >&-", &[0, 3]),
        ("draw moth.toml 2>&- >/dev/null", &[0]),
        ("check moth.toml <&- >/dev/null", &[0]),
        ("check lost.toml 2>&-", &[3]),
    ] {
        let (code, said) = script(&bench, &format!("\"$0\" {words}"));
        assert!(code.is_some_and(|code| codes.contains(&code)), "{words}: {code:?} {said}");
        assert!(!said.contains("panicked") && !said.contains("itself failed"), "{words}: {said}");
    }
    assert_eq!(bench.names(), ["moth.json", "moth.pdf", "moth.svg", "moth.toml"]);
}

#[test]
fn full_disks_leave_stores_and_jobs_as_they_were() {
    let bench = Bench::new();
    bench.put("moth.toml", FIRST);
    fs::create_dir(bench.path("settings")).expect("made");
    // A log just below the size that the next line does not fit into.
    let line = "minutes 95 | holes 21 | line 300.5 | thickness 0.8 | metal copper | corners 126 | job Disc\n";
    let log = line.repeat(11) + &"#".repeat(1024 - 11 * line.len() - 2) + "\n";
    bench.put("settings/minutes.txt", &log);
    // Files may grow to a thousand bytes and no more: that stands for a full disk.
    let limit = "trap '' XFSZ; ulimit -f 2;";
    let (code, said) = script(&bench, &format!("{limit} \"$0\" minutes moth.toml 95"));
    assert_eq!(code, Some(3), "{said}");
    assert_eq!(bench.text("settings/minutes.txt"), log);
    let printers = format!("# {}\n[[printer]]\nname = \"hall\"\nacross = 97.8\nup = 98.1\n", "o".repeat(940));
    bench.put("settings/printers.toml", &printers);
    let long = "n".repeat(900);
    let asked = format!("{limit} \"$0\" true-size --across 97 --up 98 --printer {long} >/dev/null");
    let (code, said) = script(&bench, &asked);
    assert!(matches!(code, Some(2 | 3)), "{code:?} {said}");
    assert_eq!(bench.text("settings/printers.toml"), printers);
    let none = "trap '' XFSZ; ulimit -f 0;";
    for words in ["begin new.toml", "mend moth.toml", "draw moth.toml", "true-size --out page"] {
        let (code, said) = script(&bench, &format!("{none} \"$0\" {words} >/dev/null"));
        assert!(matches!(code, Some(0..=3)), "{words}: {code:?} {said}");
        assert!(!said.contains("itself failed"), "{words}: {said}");
    }
    assert_eq!(bench.names(), ["moth.toml", "settings"]);
}

#[test]
fn damaged_stores_are_told_and_keep_no_job_from_its_paper() {
    let bench = Bench::new();
    bench.put("moth.toml", FIRST);
    fs::create_dir(bench.path("settings")).expect("made");
    for damaged in
        ["[[printer]]\nname = ", "\u{0}\u{1}", "[[printer]]\nname = \"hall\"\nacross = nan\nup = 0\n"]
    {
        bench.put("settings/printers.toml", damaged);
        bench.run(&["draw", "moth.toml"]).ends_with(0);
        bench.put("named.toml", &format!("{FIRST}[paper]\nprinter = \"hall\"\n"));
        let told = bench.run(&["check", "named.toml"]).ends_with(2);
        assert!(told.err.contains("printer"), "{}", told.err);
        // The next reading makes the store good again.
        bench.run(&["true-size", "--across", "97.8", "--up", "98.1", "--printer", "hall", "--out", "page"]);
        bench.run(&["check", "named.toml"]).ends_with(0);
        fs::remove_file(bench.path("settings/printers.toml")).expect("gone");
    }
    // Never waits on what is no plain file.
    let (code, said) =
        script(&bench, "mkfifo settings/printers.toml && exec \"$0\" draw moth.toml >/dev/null");
    assert_eq!(code, Some(0), "{said}");
}

#[test]
fn other_clocks_and_tongues_give_the_same_bytes() {
    let bench = Bench::new();
    bench.put("moth.toml", FIRST);
    let drawn = |name: &str, value: &str| {
        let done = bench
            .program(Stdio::piped)
            .args(["draw", "moth.toml"])
            .env(name, value)
            .output()
            .expect("it runs");
        assert_eq!(done.status.code(), Some(0));
        let files =
            ["moth.svg", "moth.pdf", "moth.json"].map(|file| fs::read(bench.path(file)).expect("read"));
        (files, done.stdout)
    };
    let plain = drawn("LC_ALL", "C");
    for (name, value) in [
        ("LC_ALL", "de_DE.UTF-8"),
        ("LC_ALL", "tr_TR.UTF-8"),
        ("LC_NUMERIC", "fr_FR.UTF-8"),
        ("LANG", "ar_EG.UTF-8"),
        ("LC_ALL", "no such tongue"),
        ("TZ", "Pacific/Kiritimati"),
        ("TZ", "nowhere"),
        ("SOURCE_DATE_EPOCH", "-5"),
    ] {
        assert!(drawn(name, value) == plain, "{name}={value}");
    }
}

/// The wall clock may jump; nothing of ours looks at it. Nor does anything of ours reach for a network.
#[test]
fn nothing_reads_the_wall_clock_or_reaches_the_network() {
    let mut folders = vec![std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src")];
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).expect("a folder").flatten() {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = fs::read_to_string(&path).unwrap_or_default();
            // The bench page listens on this machine alone, in files of its own.
            let page = path.components().any(|part| part.as_os_str() == "page");
            for word in ["SystemTime", "TcpStream", "UdpSocket", "TcpListener", "ToSocketAddrs"] {
                if text.contains(word) && !(page && word != "SystemTime") {
                    found.push(format!("{}: {word}", path.display()));
                }
            }
        }
    }
    assert!(found.is_empty(), "{found:?}");
}

/// Watched from outside: a drawing opens no socket.
#[cfg(target_os = "linux")]
#[test]
fn a_drawing_opens_no_socket() {
    let bench = Bench::new();
    bench.put("moth.toml", FIRST);
    // A world without any network: the program must not notice.
    let (code, said) = script(
        &bench,
        "unshare -rn true 2>/dev/null || exit 77; exec unshare -rn \"$0\" draw moth.toml >/dev/null",
    );
    assert!(matches!(code, Some(0 | 77)), "{said}");
    let (code, said) = script(&bench, "strace -V >/dev/null 2>&1 || exit 77; strace -f -e trace=network -o calls \"$0\" draw moth.toml >/dev/null; ! grep -v -e '+++' -e '---' calls");
    assert!(matches!(code, Some(0 | 77)), "{said}");
}
