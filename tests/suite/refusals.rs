//! What is refused says where it stands and what was probably meant.

use crate::shell::Bench;

/// The likely name comes first; what is called otherwise here is said.
#[test]
fn the_name_that_was_meant_is_told() {
    let asked =
        |words: &[&str]| Bench::new().run(&[&["begin", "moth.toml"], words].concat()).ends_with(2).err;
    for (words, wanted) in [
        (["--metal", "sterling"], "metal \"sterling\" is not known; did you mean \"sterling-silver\"?"),
        (["--metal", "silver"], "did you mean \"nickel-silver\" or \"fine-silver\" or \"sterling-silver\""),
        (["--shape", "drop"], "\"drop\" is called \"teardrop\" here"),
        (["--shape", "oval"], "\"oval\" is called \"ellipse\" here"),
        (["--shape", "moon"], "\"moon\" is called \"crescent\" here"),
        (["--shape", "square"], "\"square\" is called \"rectangle\" here"),
        (["--shape", "ring"], "\"ring\" is called \"band\" here"),
        (["--shape", "hart"], "did you mean \"heart\"?"),
        (
            ["--pattern", "herring"],
            "did you mean \"herringbone\" or \"herringbone-short\" or \"herringbone-long\"?",
        ),
        (["--shape", "zebra"], "use one of: circle, ellipse,"),
    ] {
        let err = asked(&words);
        assert!(err.contains(wanted), "{words:?}: {err}");
    }
    let sums =
        Bench::new().run(&["sums", "weight", "--metal", "sterling", "--area", "100", "--thickness", "0.8"]);
    assert!(sums.code != Some(0) && sums.err.contains("sterling"), "{}", sums.err);
}

/// Faults found once the job is read stand at the key that brings them about.
#[test]
fn what_is_found_after_reading_has_its_line() {
    let job = |outline: &str, rest: &str| {
        format!(
            "[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\n{outline}\n[pattern]\nname = \"hexagon\"\npitch = 6\n{rest}"
        )
    };
    let disc = "shape = \"circle\"\ndiameter = 30";
    let hollow = "shape = \"crescent\"\nwidth = 30\nheight = 40\nthick = 8\nborder = 1";
    let cone = "shape = \"cone\"\ntop = 30\nbottom = 30\nheight = 3";
    for (text, at) in [
        (job(disc, "[construction]\ndome = 20\n"), "11:8: a dome"),
        (job(cone, ""), "5:9: the top and the bottom"),
        (job("shape = \"teardrop\"\nwidth = 40\nheight = 20", ""), "5:9: a teardrop is taller"),
        (
            job(hollow, "[[window]]\nshape = \"circle\"\ndiameter = 3\nat = [12, 0]\n"),
            "16:6: W1 (window) lies off the metal",
        ),
        (job(hollow, "[[hole]]\ndiameter = 2\nat = [12, 0]\n"), "15:6: H1 (hole) lies off the metal"),
        (
            job(hollow, "[construction]\nbezel = { stone = 4, thickness = 0.3, height = 3, at = [12, 0], window = false }\n"),
            "14:56: the stone has no metal under it",
        ),
        (
            job(
                disc,
                "[[window]]\nshape = \"circle\"\ndiameter = 12\nat = [0, 0]\n[[window]]\nshape = \"circle\"\ndiameter = 3\nat = [1, 0]\n",
            ),
            "17:6: W2 (window) lies inside W1",
        ),
    ] {
        let bench = Bench::new();
        let told = bench.put("moth.toml", &text).run(&["check", "moth.toml"]).ends_with(2).err;
        assert!(told.contains(&format!("moth.toml:{at}")), "wanted {at}: {told}\n{text}");
    }
}
