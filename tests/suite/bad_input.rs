//! What cannot be used is refused: in bounded time, with its place and a way out, and with nothing written.

#![cfg(unix)]

use assert_cmd::Command;
use std::fs;
use std::path::Path;
use std::time::Duration;
use tempfile::TempDir;

const GOOD: &str =
    "skill = \"practised\"\n[sheet]\nmetal = \"brass\"\n[outline]\nshape = \"circle\"\ndiameter = 30\n\
                    [pattern]\nname = \"hexagon\"\npitch = 6\n";

/// A case: its name, the job's text, the line and column complained of, and words of the complaint.
struct Case(&'static str, String, &'static str, &'static str);

fn changed(from: &str, to: &str) -> String {
    assert!(GOOD.contains(from));
    GOOD.replace(from, to)
}

fn more(text: &str) -> String {
    format!("{GOOD}{text}\n")
}

fn cases() -> Vec<Case> {
    let case = |name, text, at, words| Case(name, text, at, words);
    vec![
        case("empty file", String::new(), "1:1", "nothing in this job file"),
        case("remarks only", "# later\n".into(), "1:1", "nothing in this job file"),
        case("wrong key", changed("diameter", "diamter"), "6:1", "did you mean \"diameter\"?"),
        case("wrong section", changed("[pattern]", "[patern]"), "7:2", "did you mean \"pattern\"?"),
        case("key of another section", more("border = 3"), "10:1", "it belongs in [outline]"),
        case(
            "section left out",
            changed("[sheet]\nmetal = \"brass\"\n", ""),
            "1:1",
            "a job file has no sheet",
        ),
        case("size left out", changed("diameter = 30\n", ""), "4:1", "[outline] has no diameter"),
        case("section twice", more("[sheet]\nmetal = \"copper\""), "10:2", "is given twice"),
        case("key twice", changed("diameter = 30", "diameter = 30\ndiameter = 31"), "7:1", "is given twice"),
        case("a bell in the title", format!("title = \"C:\\born\"\n{GOOD}"), "1:9", "cannot be printed"),
        case("a name without end", format!("title = \"{}\"\n{GOOD}", "o".repeat(300)), "1:9", "at most 200 letters"),
        case("no room inside the border", more("[[keep_solid]]\nshape = \"circle\"\ndiameter = 4\n[[lug]]\nat_angle = 90\nwidth = 5\nheight = 4\nhole = 6"), "17:8", "leaves no metal"),
        case("a change beside every opening", more("[[change]]\nat = [0, 14.5]\nclose = true"), "11:6", "no opening holds"),
        case("copies without end", changed("diameter = 30", "diameter = 200") + "[paper]\ncopies = 1000\n", "11:10", "copies = "),
        case("unknown metal", changed("brass", "bras"), "3:9", "did you mean \"brass\"?"),
        case("unknown shape", changed("circle", "circel"), "5:9", "did you mean \"circle\"?"),
        case("unknown pattern", changed("hexagon", "hexagno"), "8:8", "did you mean \"hexagon\"?"),
        case(
            "unknown skill",
            changed("practised", "expert"),
            "1:9",
            "use one of: first, practised, fine-work",
        ),
        case("unknown blade", more("[saw]\nblade = \"12/0\""), "11:9", "blade \"12/0\" is not known"),
        case("unknown drill", more("[saw]\ndrill = \"#999\""), "11:9", "drill \"#999\" is not known"),
        case("unknown paper", more("[paper]\nsize = \"A44\""), "11:8", "size \"A44\" is not known"),
        case(
            "unknown printer",
            more("[paper]\nprinter = \"attic\""),
            "11:11",
            "printer \"attic\" is not stored",
        ),
        case("wrong unit", changed("30", "\"30 ft\""), "6:12", "a unit that is not known here"),
        case(
            "gauge or grams",
            changed("\"brass\"", "\"brass\"\nthickness = \"20 g\""),
            "4:13",
            "gauge or grams?",
        ),
        case(
            "no such gauge",
            changed("\"brass\"", "\"brass\"\nthickness = \"99 ga\""),
            "4:13",
            "not a B&S gauge",
        ),
        case("text for a number", changed("30", "\"wide\""), "6:12", "unit that is not known"),
        case(
            "number for a text",
            changed("\"brass\"", "7"),
            "3:9",
            "metal must be text in quotes, not a number",
        ),
        case("list for a number", changed("30", "[30]"), "6:12", "cannot be a size"),
        case("date for a number", changed("30", "2026-01-01"), "6:12", "a date cannot be a size"),
        case("quotation marks left out", changed("\"brass\"", "brass"), "3:9", "brass needs quotation marks"),
        case("quotation mark left open", changed("\"brass\"", "\"brass"), "3:15", "not closed"),
        case("bracket left open", more("[sheet.stock"), "10:", ""),
        case("negative size", changed("30", "-30"), "6:12", "diameter -30 mm cannot be used"),
        case("no size", changed("30", "0"), "6:12", "diameter 0 mm cannot be used"),
        case("not a number", changed("30", "nan"), "6:12", "no number that can be used"),
        case("without end", changed("30", "inf"), "6:12", "no number that can be used"),
        case("beyond all numbers", changed("30", "1e999"), "6:12", ""),
        case("whole number beyond all", changed("30", "99999999999999999999999999"), "6:12", ""),
        case("pitch of nothing", changed("pitch = 6", "pitch = 0"), "9:9", "pitch 0 mm cannot be used"),
        case("bridge as wide as the pitch", more("bridge = 6"), "10:10", "leaves no opening"),
        case("pitch below the usual bridge", changed("pitch = 6", "pitch = 1"), "9:9", "leaves no opening"),
        case(
            "border wider than the piece",
            changed("diameter = 30", "diameter = 30\nborder = 16"),
            "7:10",
            "leaves nothing of a piece 30.00 mm across",
        ),
        case(
            "a thousand million openings",
            changed("30", "5000").replace("6\n", "0.3\nbridge = 0.1\n"),
            "9:9",
            "openings",
        ),
        case("piece as large as a field", changed("30", "1e9"), "6:12", "cannot be used"),
        case(
            "sheet as thick as a brick",
            changed("\"brass\"", "\"brass\"\nthickness = 65"),
            "4:13",
            "thickness 65 mm",
        ),
        case(
            "hole off the piece",
            more("[[hole]]\ndiameter = 2\nat = [0, 40]"),
            "12:6",
            "lies off the piece",
        ),
        case(
            "point with three numbers",
            more("[[hole]]\ndiameter = 2\nat = [0, 4, 5]"),
            "12:6",
            "two numbers, not 3",
        ),
        case(
            "one window in single brackets",
            more("[window]\nshape = \"circle\"\ndiameter = 4"),
            "10:1",
            "write [[window]]",
        ),
        case("change that changes nothing", more("[[change]]\nat = [0, 0]"), "10:1", "changes nothing"),
        case(
            "printer far out",
            more("[paper]\ncorrection = { across = 50, up = 100 }"),
            "11:25",
            "no printer is so far out",
        ),
        case(
            "measured in inches by mistake",
            more("[measured]\noutline = 12"),
            "11:11",
            "is it the same piece",
        ),
        case(
            "rim that sits nowhere",
            more("[construction]\nrim = { height = 4 }"),
            "11:7",
            "rim has no sits",
        ),
        case("piece counted in halves", format!("pieces = 1.5\n{GOOD}"), "1:10", "must be a whole number"),
        case(
            "pattern file that is not there",
            changed("name = \"hexagon\"", "file = \"lost.toml\""),
            "8:8",
            "cannot be read",
        ),
        case("brackets without end", format!("{GOOD}title2 = {}", "[".repeat(50_000)), "10:", "brackets"),
        case("the same mistake ten thousand times", more(&"x = 1\n".repeat(10_000)), "", "more like these"),
        case("a very long word", changed("hexagon", &"h".repeat(200_000)), "8:8", "is not known"),
        case("more windows than any piece has", more(&"[[hole]]\n".repeat(3000)), "10:1", "at most 200"),
    ]
}

/// The folder's content by name and length, so that any new or changed file shows.
fn content(folder: &Path) -> Vec<(String, u64)> {
    let mut found: Vec<(String, u64)> = fs::read_dir(folder)
        .expect("the folder is there")
        .map(|entry| {
            let entry = entry.expect("an entry");
            let length = entry.metadata().map_or(0, |m| m.len());
            (entry.file_name().to_string_lossy().into_owned(), length)
        })
        .collect();
    found.sort();
    found
}

/// The built program in a folder of its own, with no settings. It must end by itself well within the time.
fn sawpierce(folder: &TempDir) -> Command {
    let mut command = Command::cargo_bin("sawpierce").expect("the program is built");
    command.current_dir(folder.path()).timeout(Duration::from_secs(60));
    command.env("SAWPIERCE_SETTINGS", folder.path().join("no-settings"));
    command
}

fn folder_with(text: &[u8]) -> TempDir {
    let folder = TempDir::new().expect("a folder");
    fs::write(folder.path().join("job.toml"), text).expect("a job");
    folder
}

/// Runs and returns what stood on stderr; checks the exit status and that the folder did not change.
fn refused(name: &str, folder: &TempDir, words: &[&str], code: i32) -> String {
    let before = content(folder.path());
    let output = sawpierce(folder).args(words).output().expect("it runs");
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(code), "{name}: {said}");
    assert_eq!(content(folder.path()), before, "{name}: something was written");
    assert!(!said.trim().is_empty(), "{name}: nothing was said");
    assert!(said.len() < 20_000, "{name}: {} letters are too many to read", said.len());
    for word in ["panicked", "unwrap", "Err(", "None", "os error", "invalid", "failed"] {
        assert!(!said.contains(word), "{name}: \"{word}\" is no bench word\n{said}");
    }
    said
}

#[test]
fn a_good_job_is_taken() {
    // Without this the cases below could all be refused for the wrong reason.
    let folder = folder_with(GOOD.as_bytes());
    sawpierce(&folder).args(["draw", "job.toml"]).assert().success();
}

#[test]
fn every_bad_job_is_refused_at_its_place() {
    let cases = cases();
    assert!(cases.len() >= 50, "{} cases", cases.len());
    let mut wrong: Vec<String> = Vec::new();
    for Case(name, text, at, words) in &cases {
        let folder = folder_with(text.as_bytes());
        let code = if *name == "pattern file that is not there" { 3 } else { 2 };
        let said = refused(name, &folder, &["draw", "job.toml"], code);
        let lead = format!("job.toml:{at}");
        let told =
            said.lines().any(|line| (at.is_empty() || line.starts_with(&lead)) && line.contains(words));
        if !told {
            wrong.push(format!("{name}: no line {lead} ... {words}\nin\n{said}"));
        }
        for line in said.lines().filter(|line| !line.contains("; ")) {
            wrong.push(format!("{name}: says what is wrong but not what to do:\n{line}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Pattern files: each fault at its place in that file, with what to do.
#[test]
fn every_bad_pattern_file_is_refused_at_its_place() {
    let good = "title = \"Own\"\nrepeat = [[1, 0], [0, 1]]\n[[shapes]]\ncorners = [[0, 0], [1, 0], [1, 1], [0, 1]]\n";
    let job = GOOD.replace("name = \"hexagon\"", "file = \"own.toml\"");
    for (from, to, at, words) in [
        ("title = \"Own\"", "title = 3", "1:9", "must be words in quotes"),
        ("title = \"Own\"", "titel = \"Own\"", "1:1", "did you mean \"title\"?"),
        ("[[1, 0], [0, 1]]", "[[1, 0], [2, 0]]", "2:10", "different ways"),
        ("[[1, 0], [0, 1]]", "[[1, 0], [0, x]]", "2:", "needs quotation marks"),
        ("[[1, 0], [0, 1]]", "[[1, 0], [0, \"x\"]]", "2:23", "a plain number is wanted"),
        ("[[1, 0], [0, 1]]", "[[1, 0], [0, 1.1]]", "4:11", "shape"),
        ("[1, 1], [0, 1]", "[1, 1], [0, 1, 2, 3]", "4:36", "a corner must be [x, y]"),
        ("[1, 1], [0, 1]", "[1, 1e300], [0, 1]", "4:32", "cannot be so large"),
        ("corners = ", "d = ", "4:5", "SVG path data in quotes"),
        ("corners = [[0, 0], [1, 0], [1, 1], [0, 1]]", "d = \"M0 0L1 0\"", "4:", "closed lines"),
        ("[[shapes]]", "chiral = 2\n[[shapes]]", "3:10", "true or false"),
    ] {
        assert!(good.contains(from), "{from}");
        let folder = folder_with(job.as_bytes());
        fs::write(folder.path().join("own.toml"), good.replace(from, to)).expect("written");
        let said = refused(to, &folder, &["draw", "job.toml"], 2);
        let lead = format!("own.toml:{at}");
        assert!(
            said.lines().any(|line| line.starts_with(&lead) && line.contains(words)),
            "{to}: {lead} {words}\n{said}"
        );
        assert!(said.lines().all(|line| line.contains("; ")), "{to}: says not what to do:\n{said}");
    }
}

#[test]
fn files_that_are_no_jobs_are_refused() {
    let binary: Vec<u8> = (0..4096u32).map(|i| (i * 31 % 251) as u8).collect();
    for (name, bytes) in [
        ("bytes that are no letters", binary),
        ("text with a zero in it", b"title = \"a\0b\"\n".to_vec()),
        ("letters of another alphabet's coding", "title = \"caf\u{e9}\"".chars().map(|c| c as u8).collect()),
    ] {
        let said = refused(name, &folder_with(&bytes), &["check", "job.toml"], 2);
        assert!(said.contains("job.toml: this is not a text file"), "{name}: {said}");
    }
    let large = folder_with(&b"# a long remark\n".repeat(600_000));
    assert!(refused("file of 9 MB", &large, &["check", "job.toml"], 2).contains("larger than 1 MB"));
}

#[test]
fn files_that_cannot_be_read_are_told() {
    let folder = folder_with(GOOD.as_bytes());
    fs::create_dir(folder.path().join("drawer.toml")).expect("a folder");
    for (name, path, words) in [
        ("no such file", "lost.toml", "there is no such file"),
        ("a folder", "drawer.toml", "this is a folder"),
        ("no file on disk", "/dev/zero", "this is not a file on disk"),
        ("through a file", "job.toml/x.toml", "not a folder"),
    ] {
        let said = refused(name, &folder, &["draw", path], 3);
        assert!(said.contains(words), "{name}: {said}");
    }
    let long = "x".repeat(5000);
    refused("a name too long for any disk", &folder, &["draw", &long], 3);
}

/// As root every file can be read, so this says nothing then.
#[test]
fn a_file_of_someone_else_is_told() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder_with(GOOD.as_bytes());
    let job = folder.path().join("job.toml");
    fs::set_permissions(&job, fs::Permissions::from_mode(0o000)).expect("rights");
    if fs::read(&job).is_err() {
        assert!(refused("unreadable", &folder, &["draw", "job.toml"], 3).contains("not allowed"));
    }
}

#[test]
fn folders_that_cannot_be_written_are_told() {
    let folder = folder_with(GOOD.as_bytes());
    for (name, out, words) in [
        ("no such folder", "nowhere", "make it first"),
        ("a file for a folder", "job.toml", "this is not a folder"),
        // Not even root can make a file here.
        ("a folder of the system", "/proc", "cannot be written"),
    ] {
        let said = refused(name, &folder, &["draw", "job.toml", "--out", out], 3);
        assert!(said.contains(words), "{name}: {said}");
    }
}

#[test]
fn a_full_disk_leaves_nothing_half_written() {
    let folder = folder_with(GOOD.as_bytes());
    // A disk that takes no more than one block of any file stands for a full one.
    let before = content(folder.path());
    let program = assert_cmd::cargo::cargo_bin("sawpierce");
    let script = format!("trap '' XFSZ; ulimit -f 1; exec '{}' draw job.toml", program.display());
    let output = Command::new("sh")
        .args(["-c", &script])
        .current_dir(folder.path())
        .env("SAWPIERCE_SETTINGS", folder.path().join("no-settings"))
        .timeout(Duration::from_secs(60))
        .output()
        .expect("it runs");
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(3), "{said}");
    assert!(said.contains("cannot be written") && said.contains("nothing was written"), "{said}");
    assert_eq!(content(folder.path()), before, "half a set was left");
}

#[test]
fn an_answer_that_cannot_be_written_is_told() {
    let Ok(full) = fs::OpenOptions::new().write(true).open("/dev/full") else { return };
    let program = assert_cmd::cargo::cargo_bin("sawpierce");
    let status =
        std::process::Command::new(program).args(["list", "metals"]).stdout(full).output().expect("it runs");
    assert_eq!(status.status.code(), Some(3));
    assert!(String::from_utf8_lossy(&status.stderr).contains("the disk is full"));
}

#[test]
fn a_set_that_meets_a_folder_changes_nothing() {
    let folder = folder_with(GOOD.as_bytes());
    sawpierce(&folder).args(["draw", "job.toml"]).assert().success();
    // The last file of the set cannot be replaced: the others must stay as they were.
    fs::remove_file(folder.path().join("job.json")).expect("removed");
    fs::create_dir(folder.path().join("job.json")).expect("a folder in the way");
    fs::write(folder.path().join("job.svg"), "old").expect("an old file");
    refused("a folder in the way", &folder, &["draw", "job.toml"], 3);
    assert_eq!(fs::read_to_string(folder.path().join("job.svg")).expect("still there"), "old");
}

#[test]
fn jobs_are_never_written_over() {
    let folder = TempDir::new().expect("a folder");
    for name in ["piece", "piece.svg"] {
        fs::write(folder.path().join(name), GOOD).expect("a job");
    }
    let said = refused("job named like its own drawing", &folder, &["draw", "piece", "piece.svg"], 3);
    assert!(said.contains("this is a file of a job and is not written over"), "{said}");
    let said = refused("begin over a job", &folder, &["begin", "piece"], 3);
    assert!(said.contains("a file of this name already"), "{said}");
    fs::create_dir(folder.path().join("other")).expect("a folder");
    fs::write(folder.path().join("other/piece"), GOOD).expect("a job");
    let words = ["draw", "piece", "other/piece", "--together", "--out", "other"];
    assert!(refused("two jobs, one name", &folder, &words, 3).contains("two jobs would write this file"));
}

#[test]
fn the_command_line_is_refused_in_plain_words() {
    let folder = folder_with(GOOD.as_bytes());
    for (words, said) in [
        (&["darw", "job.toml"][..], "there is no verb \"darw\"; did you mean \"draw\"?"),
        (&["draw"], "JOB"),
        (&["draw", "job.toml", "--pngs"], "did you mean \"--png\"?"),
        (&["list", "saws"], "use one of: patterns"),
        (&["list"], "KIND"),
        (&["plan", "job.toml", "--measured", "outline"], "write it like outline=29.6"),
        (&["plan", "job.toml", "--measured", "outline=3"], "is it the same piece"),
        (&["plan", "job.toml", "--measured", "thickness=thin"], "unit that is not known"),
        (&["begin", "new.toml", "--metal", "bras"], "did you mean \"brass\"?"),
        (&["begin", "new.toml", "--diameter", "-3"], "diameter -3 mm"),
        (&["begin", "new.toml", "--skill", "a\"b"], "is not known"),
        (&["sums", "strip", "--across", "x", "--thickness", "1", "--sits", "round-edge"], "across:"),
        (&["true-size", "--across", "89", "--up", "100", "--printer", "attic"], "printed to fit the page"),
        (&["true-size", "--printer", "attic"], "is not stored"),
    ] {
        let told = refused(&words.join(" "), &folder, words, 2);
        assert!(told.contains(said), "{words:?}: {told}");
    }
}
