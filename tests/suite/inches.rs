//! A job in inches is told in inches: check, card, JSON, begin and the list of keys.

use crate::shell::Bench;
use serde_json::Value;

/// Jobs in inches, each with something that is told in lengths: cells left solid, fits that fail, parts, stones, stops.
const JOBS: [(&str, &str); 14] = [
    ("thin", "skill = \"practised\"\n[sheet]\nmetal = \"sterling-silver\"\nthickness = \"22 ga\"\n[outline]\nshape = \"ellipse\"\nwidth = 1.5\nheight = 1.0\n\
              border = 0.05\n[pattern]\nname = \"square\"\npitch = 0.16\nbridge = 0.025\nat_border = \"trim\"\n[saw]\nblade = \"3/0\"\ndrill = \"0.9 mm\"\n"),
    ("plain", "[sheet]\nmetal = \"copper\"\nthickness = \"20 ga\"\n[outline]\nshape = \"circle\"\ndiameter = 1.2\nborder = 0.1\n[pattern]\nname = \"hexagon\"\n\
               pitch = 0.2\nbridge = 0.05\n"),
    ("band", "[sheet]\nmetal = \"sterling-silver\"\nthickness = \"18 ga\"\n[outline]\nshape = \"band\"\nring_size = \"US 7\"\nwidth = 0.3\nborder = 0.06\n\
              [pattern]\nname = \"hexagon\"\npitch = 0.15\nbridge = 0.04\n"),
    ("cone", "[sheet]\nmetal = \"copper\"\nthickness = \"20 ga\"\n[outline]\nshape = \"cone\"\ntop = 0.7\nbottom = 1.2\nheight = 0.9\nborder = 0.1\n\
              [pattern]\nname = \"square\"\npitch = 0.25\nbridge = 0.05\n"),
    ("built", "[sheet]\nmetal = \"sterling-silver\"\nthickness = \"20 ga\"\n[outline]\nshape = \"circle\"\ndiameter = 1.4\nborder = 0.02\n[pattern]\n\
               name = \"hexagon\"\npitch = 0.2\nbridge = 0.05\nat_border = \"trim\"\n[construction]\nrim = { height = 0.1, thickness = 0.03, sits = \"under-plate\" }\n\
               back = { thickness = \"22 ga\" }\nbezel = { stone = 0.3, thickness = \"28 ga\", height = 0.12 }\n"),
    ("dome", "[sheet]\nmetal = \"copper\"\nthickness = \"20 ga\"\n[outline]\nshape = \"circle\"\ndiameter = 1\nborder = 0.1\n[pattern]\nname = \"hexagon\"\n\
              pitch = 0.2\nbridge = 0.05\n[construction]\ndome = 0.2\n"),
    ("panel", "[sheet]\nmetal = \"brass\"\nthickness = \"18 ga\"\n[outline]\nshape = \"rectangle\"\nwidth = 14\nheight = 10\nborder = 0.6\n[pattern]\n\
               name = \"square\"\npitch = 1.4\nbridge = 0.3\n[saw]\nframe_depth = 3\n"),
    ("deep", "[sheet]\nmetal = \"copper\"\nthickness = \"24 ga\"\n[outline]\nshape = \"heart\"\nwidth = 1\nheight = 1\nborder = 0.08\n[pattern]\n\
              name = \"triangle\"\npitch = 0.12\nbridge = 0.04\nat_border = \"trim\"\n[saw]\ndrill = \"1.2 mm\"\n"),
    ("pendant", "[sheet]\nmetal = \"sterling-silver\"\nthickness = \"20 ga\"\n[outline]\nshape = \"teardrop\"\nwidth = 0.9\nheight = 1.4\nborder = 0.09\n\
                 [pattern]\nname = \"hexagon\"\npitch = 0.18\nbridge = 0.045\nbridge_to = 0.07\n[[lug]]\nwidth = 0.2\nheight = 0.2\nhole = 0.08\n[[window]]\n\
                 shape = \"circle\"\ndiameter = 0.25\nat = [0, -0.1]\nborder = 0.06\n[[hole]]\ndiameter = 0.06\nat = [0.1, 0.5]\n"),
    ("grown", "[sheet]\nmetal = \"copper\"\nthickness = \"20 ga\"\n[outline]\nshape = \"circle\"\ndiameter = 1.6\nborder = 0.1\n[pattern]\n\
               name = \"sunflower\"\npitch = 0.15\nbridge = 0.05\n"),
    ("dwindling", "[sheet]\nmetal = \"copper\"\nthickness = \"20 ga\"\n[outline]\nshape = \"circle\"\ndiameter = 1.6\nborder = 0.1\n[pattern]\n\
                   name = \"growing-scale\"\nbridge = 0.05\n"),
    ("stock", "[sheet]\nmetal = \"sterling-silver\"\nthickness = \"20 ga\"\nstock = [1, 1]\n[outline]\nshape = \"cushion\"\nwidth = 1.4\nheight = 1.4\n\
               border = 0.1\n[pattern]\nname = \"hexagon\"\npitch = 0.16\nbridge = 0.05\nat_border = \"trim\"\n[measured]\nthickness = 0.03\n"),
    ("measured", "[sheet]\nmetal = \"sterling-silver\"\nthickness = \"20 ga\"\n[outline]\nshape = \"circle\"\ndiameter = 1.2\nborder = 0.08\n[pattern]\n\
                  name = \"hexagon\"\npitch = 0.15\nbridge = 0.04\n[measured]\noutline = 1.15\n"),
    ("fitted", "[sheet]\nmetal = \"copper\"\nthickness = \"20 ga\"\n[outline]\nshape = \"crescent\"\nwidth = 1.6\nheight = 1.7\nthick = 0.6\nborder = 0.08\n\
                [pattern]\nname = \"octagon-and-dot\"\npitch = 0.12\nbridge = 0.05\nat_border = \"fit\"\n"),
];

/// What may say mm in a job in inches, and why.
const KEPT: [&str; 5] = [
    // The bar on paper: rulers have both.
    "100.0 mm (3.937 in)",
    "100.0 mm = 3.937 in",
    // The other bar, drawn so that either ruler can be laid to it.
    "20 mm bar",
    // The unit of the key rates.cut, which is typed so in every job.
    "mm² of cut",
    // A published sum, as it is printed.
    "add 0.5 mm over 4 mm wide",
];

/// Lines or sentences that say mm where inches are wanted. Drills and blades are sold by their millimetres: "0.0394 in (1 mm)",
/// "a 0.9 mm drill" where that is the name typed.
fn stray(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let flat: Vec<&str> = text.split_whitespace().collect();
    let mut joined = flat.join(" ");
    for kept in KEPT {
        joined = joined.replace(kept, "");
    }
    for (at, _) in joined.match_indices("mm") {
        let inside_word = |c: Option<char>| c.is_some_and(|c| c.is_alphabetic() || c == '_');
        if inside_word(joined[..at].chars().last()) || inside_word(joined[at + 2..].chars().next()) {
            continue;
        }
        // "in (1 mm)"
        let before = joined[..at].trim_end().trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
        if before.ends_with("in (") && joined[at + 2..].starts_with(')') {
            continue;
        }
        let from = joined[..at].char_indices().rev().nth(70).map_or(0, |(i, _)| i);
        let to = joined[at..].char_indices().nth(30).map_or(joined.len(), |(i, _)| at + i);
        found.push(joined[from..to].to_string());
    }
    found
}

fn sentences(value: &Value, all: &mut Vec<String>) {
    match value {
        Value::String(text) => all.push(text.clone()),
        Value::Array(list) => list.iter().for_each(|v| sentences(v, all)),
        Value::Object(map) => map.values().for_each(|v| sentences(v, all)),
        _ => {}
    }
}

#[test]
fn a_job_in_inches_is_told_in_inches() {
    let mut wrong = Vec::new();
    for (name, text) in JOBS {
        let bench = Bench::new();
        let file = format!("{name}.toml");
        bench.put(&file, &format!("units = \"in\"\n{text}"));
        for words in [&["check"][..], &["plan"], &["mend"], &["plan", "--bridges"]] {
            let told = bench.run(&[words, &[&file]].concat());
            assert!(matches!(told.code, Some(0 | 1)), "{name} {words:?}: {}", told.err);
            wrong.extend(stray(&told.out).into_iter().map(|line| format!("{name} {words:?}: {line}")));
            wrong.extend(stray(&told.err).into_iter().map(|line| format!("{name} {words:?}: {line}")));
        }
        for words in [&["check", "--json"][..], &["plan", "--json"]] {
            let told = bench.run(&[words, &[&file]].concat());
            let json: Value = serde_json::from_str(&told.out).unwrap_or_else(|why| panic!("{name}: {why}"));
            let mut all = Vec::new();
            sentences(&json, &mut all);
            // Numbers in JSON are millimetres in every job, and say so.
            all.retain(|text| text != "mm");
            let lines = all.iter().flat_map(|text| stray(text));
            wrong.extend(lines.map(|line| format!("{name} {words:?}: {line}")));
        }
    }
    wrong.sort();
    wrong.dedup();
    assert!(wrong.is_empty(), "{} places:\n{}", wrong.len(), wrong.join("\n"));
}

/// What `begin` writes and says for jobs in inches; drills are sold by their millimetres, and the head of the file shows that a value
/// may carry its own unit.
#[test]
fn begin_writes_inches() {
    for shape in ["circle", "ellipse", "heart", "teardrop", "crescent", "band", "cone", "polygon"] {
        let bench = Bench::new();
        let told = bench.run(&["begin", "moth.toml", "--shape", shape, "--units", "in"]).ends_with(0);
        assert_eq!(stray(&told.out), Vec::<String>::new());
        let text = bench.text("moth.toml");
        let lines = text.lines().skip(3).filter(|l| !l.contains("drill = ") && !l.starts_with("units = "));
        let wrong: Vec<&str> = lines.filter(|l| !stray(l).is_empty()).collect();
        assert!(wrong.is_empty(), "{shape}: {wrong:#?}");
        // What was chosen is in thousandths, as it would be typed.
        let pitch = text.lines().find_map(|l| l.strip_prefix("pitch = ")).expect("a pitch");
        let pitch = pitch.split_whitespace().next().expect("its number");
        assert!(pitch.len() <= 5 && pitch.parse::<f64>().is_ok_and(|p| p < 1.0), "{shape}: {pitch}");
        assert_eq!(bench.run(&["check", "moth.toml"]).code, Some(0), "{shape}");
    }
    let told =
        Bench::new().run(&["begin", "moth.toml", "--shape", "band", "--width", "0.08", "--units", "in"]);
    assert!(told.code == Some(2) && stray(&told.err).is_empty() && told.err.contains(" in "), "{}", told.err);
}

#[test]
fn keys_are_listed_in_inches() {
    let told = Bench::new().run(&["list", "keys", "--units", "in"]).ends_with(0).out;
    assert!(told.contains("by skill 0.1181, 0.0787 or 0.0472 in"), "{told}");
    let wrong = stray(&told);
    // The choice of units itself; path data, which SVG has in mm; the rate of sawing, which rates are typed in; the printed bars.
    let kept = [
        "\"mm\", \"in\"",
        "plain numbers",
        "path data in mm",
        "mm a minute",
        "mm of line sawn in a minute",
        "100 mm bars",
    ];
    let wrong: Vec<&String> =
        wrong.iter().filter(|line| !kept.iter().any(|kept| line.contains(kept))).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// A number beyond its limit is refused in the units it was typed in.
#[test]
fn limits_are_told_in_inches() {
    let bench = Bench::new();
    let text = JOBS[1].1.replace("bridge = 0.05", "bridge = 40");
    let told =
        bench.put("moth.toml", &format!("units = \"in\"\n{text}")).run(&["check", "moth.toml"]).ends_with(2);
    assert!(told.err.contains("bridge 40 in cannot be used") && stray(&told.err).is_empty(), "{}", told.err);
}
