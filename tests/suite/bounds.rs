//! Every limit refuses just above itself and names what would do; nothing a file can hold takes long or fills memory.

use crate::made;
use crate::shell::Bench;
use sawpierce::error::Error;
use sawpierce::job::{fields, parse, Edit, NamedFiles, Settings, Value};
use sawpierce::pipeline;
use sawpierce::units::limits::*;
use sawpierce::units::short;

/// A job with something in most sections, so that each of its keys can be typed over.
fn full() -> String {
    made::disc(
        &[],
        "[[keep_solid]]\nname = \"tab\"\nshape = \"circle\"\ndiameter = 6\nat = [0, 15]\n\
         [[window]]\nname = \"light\"\nshape = \"circle\"\ndiameter = 6\nat = [-8, 0]\n\
         [[hole]]\nname = \"bail\"\ndiameter = 1.8\nat = [0, 15]\n[[lug]]\nat_angle = 90\nwidth = 6\nheight = 4\nhole = 1.8\n\
         [[row]]\nalong = \"outline\"\nshape = \"round\"\nsize = [2, 2]\ncount = 20\ninset = 2.5\n\
         [[change]]\nat = [0, 0]\ndraw_in = 0.1\n[measured]\nthickness = 0.9\n[paper]\nsize = \"A4\"\n[rates]\nper_hour = 30\n\
         [construction]\nrim = { height = 5, thickness = 0.6, sits = \"under-plate\" }\n\
         back = { thickness = 0.7, overhang = 1.0 }\njump_rings = [{ wire = 1.0, inside = 4.0, count = 3 }]\n",
    )
}

/// How a number is typed.
type Written = fn(f64) -> String;

/// The limit of a key, and a value as it is typed.
fn limit_of(kind: &fields::ValueKind) -> Option<(Limit, Written)> {
    use fields::ValueKind::*;
    let one: Written = |v| format!("{v}");
    let two: Written = |v| format!("[{v}, {v}]");
    match kind {
        Length(limit) | Pitch(limit) | Drill(limit) | Number(limit) | Whole(limit) | Stone(limit)
        | Reading(limit) => Some((*limit, one)),
        Wholes(limit) | AlongAcross(limit) | Place(limit) | Two(limit) | Paper(limit) => Some((*limit, two)),
        _ => None,
    }
}

/// The limits that keys of a job file carry: each refuses a value just above and just below, at its place.
fn refused_at_their_keys() -> Vec<Limit> {
    let start = made::job(&full());
    let mut seen = Vec::new();
    for section in fields::sections() {
        let head = match (section.path, section.many) {
            ("", _) => String::new(),
            (path, true) => format!("{path}[0]."),
            (path, false) => format!("{path}."),
        };
        // Edits begin no section that may stand several times.
        if section.many && !start.source.text.contains(section.key()) {
            continue;
        }
        for field in section.fields {
            let Some((limit, typed)) = limit_of(&field.kind) else { continue };
            let path = format!("{head}{}", field.key);
            let whole = matches!(field.kind, fields::ValueKind::Whole(_) | fields::ValueKind::Wholes(_));
            let step = if whole { 1.0 } else { (limit.most - limit.least) * 1e-3 };
            let range = format!("give {} to {}", short(limit.least, 4), short(limit.most, 4));
            let said = |value: f64| match start.with(&[Edit::set(&path, Value::Raw(typed(value)))]) {
                Ok(_) => String::new(),
                Err(error) => error.to_string(),
            };
            for value in [limit.most + step, limit.least - step] {
                let told = said(value);
                assert!(told.contains(&range), "{path} = {value}: {told}");
                assert!(told.starts_with("test.toml:"), "{path} = {value} has no place: {told}");
            }
            for value in [limit.most, limit.least] {
                assert!(!said(value).contains(&range), "{path} = {value}: {}", said(value));
            }
            seen.push(limit);
        }
    }
    seen
}

fn run(text: &str, files: &[(&str, String)]) -> Result<(), Error> {
    let files: NamedFiles =
        files.iter().map(|(name, text)| (name.to_string(), text.clone().into_bytes())).collect();
    pipeline::run(&parse(text, "test.toml", &files, &Settings::default())?).map(drop)
}

fn many(section: &str, count: usize) -> String {
    made::disc(&[], &format!("[[{section}]]\n").repeat(count))
}

fn drawing(inner: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"80mm\" height=\"80mm\" viewBox=\"-40 -40 80 80\">{inner}</svg>"
    )
}

const FROM_FILE: [(&str, &str); 2] = [("outline.shape", "\"file\""), ("outline.file", "\"leaf.svg\"")];

/// A disc whose outline stands in a drawing.
fn from_file() -> String {
    made::with(&made::DISC.replace("diameter = 46\n", ""), &FROM_FILE)
}

fn toothed(corners: usize) -> String {
    let point = |k: usize| {
        let (angle, far) = (std::f64::consts::TAU * k as f64 / corners as f64, 39.0 - (k % 2) as f64);
        format!("{:.4} {:.4}", far * angle.cos(), far * angle.sin())
    };
    format!("M{}Z", (0..corners).map(point).collect::<Vec<_>>().join("L"))
}

/// Parts that each use the next one twice.
fn doubled(times: usize) -> String {
    let parts =
        (0..times).map(|k| format!("<g id=\"p{k}\"><use href=\"#p{0}\"/><use href=\"#p{0}\"/></g>", k + 1));
    let parts: String = parts.collect();
    drawing(&format!("<defs>{parts}<g id=\"p{times}\"/></defs><circle r=\"30\"/><use href=\"#p0\"/>"))
}

/// Limits that no key carries: a job just above each.
fn refused_by_count() -> Vec<(Limit, Result<(), Error>)> {
    let leaf = |text: String| run(&from_file(), &[("leaf.svg", text)]);
    let more = |limit: Limit| limit.most as usize + 1;
    let own =
        made::with(&made::DISC.replace("name = \"hexagon\"\n", ""), &[("pattern.file", "\"mine.toml\"")]);
    let square = "title = \"Mine\"\nrepeat = [[1, 0], [0, 1]]\n[[shapes]]\ncorners = [[0, 0], [1, 0], [1, 1], [0, 1]]\n";
    let centres = "[[centres]]\nkind = \"crossing\"\nat = [0, 0]\n".repeat(more(PATTERN_CENTRES));
    let shaped = |keys: &[(&str, &str)]| {
        let keys: Vec<(String, &str)> =
            keys.iter().map(|(key, value)| (format!("outline.{key}"), *value)).collect();
        let keys: Vec<(&str, &str)> = keys.iter().map(|(key, value)| (key.as_str(), *value)).collect();
        run(
            &made::with(
                &made::DISC.replace("diameter = 46\n", "").replace("shape = \"circle\"\n", ""),
                &keys,
            ),
            &[],
        )
    };
    let size = |key: &str, mm: f64| run(&made::disc(&[(key, &format!("{mm}"))], ""), &[]);
    vec![
        (KEPT_PLACES, run(&many("keep_solid", more(KEPT_PLACES)), &[])),
        (WINDOWS, run(&many("window", more(WINDOWS)), &[])),
        (HOLES, run(&many("hole", more(HOLES)), &[])),
        (LUGS, run(&many("lug", more(LUGS)), &[])),
        (CHANGES, run(&many("change", more(CHANGES)), &[])),
        (JUMP_RINGS, run(&many("construction.jump_rings", more(JUMP_RINGS)), &[])),
        (LETTERS, run(&made::disc(&[("title", &format!("\"{}\"", "o".repeat(201)))], ""), &[])),
        (OUTLINE, size("outline.diameter", 5001.0)),
        (SIDES, shaped(&[("shape", "\"polygon\""), ("across", "46"), ("sides", "61")])),
        (
            CORNER_RADIUS,
            shaped(&[
                ("shape", "\"rectangle\""),
                ("width", "46"),
                ("height", "30"),
                ("corner_radius", "2501"),
            ]),
        ),
        (PETALS, run(&made::disc(&[], "[middle]\nshape = \"rosette\"\ndiameter = 12\npetals = 61\n"), &[])),
        (ROWS, run(&many("row", more(ROWS)), &[])),
        (PLACE_SIZE, run(&full().replace("diameter = 6\nat = [-8, 0]", "diameter = 0.4\nat = [-8, 0]"), &[])),
        (
            STRIP_HEIGHT,
            run(
                &made::with(
                    &made::DISC.replace("diameter = 46\n", ""),
                    &[("outline.shape", "\"band\""), ("outline.inside", "18"), ("outline.width", "201")],
                ),
                &[],
            ),
        ),
        (
            OPENINGS,
            run(
                &made::disc(
                    &[
                        ("outline.diameter", "5000"),
                        ("pattern.pitch", "2.5"),
                        ("pattern.at_border", "\"trim\""),
                    ],
                    "",
                ),
                &[],
            ),
        ),
        (
            TRIED,
            run(
                &made::disc(
                    &[
                        ("outline.diameter", "1800"),
                        ("pattern.pitch", "4"),
                        ("pattern.at_border", "\"join\""),
                    ],
                    "",
                ),
                &[],
            ),
        ),
        (
            CUT_OUTS,
            run(
                &made::disc(
                    &[
                        ("outline.diameter", "2000"),
                        ("pattern.pitch", "4"),
                        ("pattern.at_border", "\"trim\""),
                    ],
                    &(0..200)
                        .map(|k| (k % 15 * 80 - 560, k / 15 * 80 - 560))
                        .map(|(x, y)| {
                            format!("[[hole]]\nname = \"h{x},{y}\"\ndiameter = 6\nat = [{x}, {y}]\n")
                        })
                        .collect::<String>(),
                ),
                &[],
            ),
        ),
        (
            UNLIKE,
            run(
                &made::disc(
                    &[
                        ("outline.diameter", "1100"),
                        ("pattern.name", "\"growing-scale\""),
                        ("pattern.pitch", "4"),
                    ],
                    "",
                ),
                &[],
            ),
        ),
        (
            ROUND,
            run(
                &made::disc(
                    &[
                        ("outline.diameter", "3000"),
                        ("pattern.name", "\"growing-scale\""),
                        ("pattern.pitch", "4"),
                    ],
                    "",
                ),
                &[],
            ),
        ),
        (
            EVENED,
            run(
                &made::disc(
                    &[
                        ("outline.diameter", "600"),
                        ("pattern.name", "\"evened-out\""),
                        ("pattern.pitch", "4"),
                        ("pattern.passes", "200"),
                    ],
                    "",
                ),
                &[],
            ),
        ),
        (
            PRINTED,
            run(
                &made::disc(
                    &[
                        ("outline.diameter", "290"),
                        ("pattern.pitch", "5"),
                        ("paper.copies", "400"),
                        ("paper.size", "[2000, 2000]"),
                    ],
                    "",
                ),
                &[],
            ),
        ),
        (
            DRAWN,
            run(
                &made::disc(
                    &[
                        ("outline.diameter", "200"),
                        ("pattern.name", "\"quatrefoil\""),
                        ("pattern.pitch", "5"),
                        ("pattern.bridge", "1"),
                        ("paper.copies", "45"),
                        ("paper.size", "[2000, 2000]"),
                    ],
                    "",
                ),
                &[],
            ),
        ),
        (
            PAGES,
            run(
                &made::disc(
                    &[("outline.diameter", "180"), ("pattern.pitch", "20"), ("paper.copies", "1000")],
                    "",
                ),
                &[],
            ),
        ),
        (CORNERS, leaf(drawing(&format!("<path d=\"{}\"/>", toothed(more(CORNERS) + 1))))),
        (
            CORNERS,
            run(
                &made::with(
                    &made::DISC.replace("diameter = 46\n", ""),
                    &[
                        ("outline.shape", "\"drawn\""),
                        ("outline.d", &format!("\"{}\"", toothed(more(CORNERS) + 1))),
                    ],
                ),
                &[],
            ),
        ),
        (
            WINDOWS,
            leaf(drawing(&format!(
                "<rect x=\"-39\" y=\"-39\" width=\"78\" height=\"78\"/>{}",
                (0..more(WINDOWS))
                    .map(|k| format!(
                        "<circle cx=\"{}\" cy=\"{}\" r=\"1\"/>",
                        (k % 11) as i32 * 6 - 30,
                        (k / 11) as i32 * 6 - 30
                    ))
                    .collect::<String>()
            ))),
        ),
        (DRAWING_FILE, leaf(drawing(&format!("<!--{}--><circle r=\"30\"/>", "o".repeat(4_100_000))))),
        (DRAWING_READ, leaf(doubled(20))),
        (
            DRAWING_DEEP,
            leaf(drawing(&format!("{}<circle r=\"30\"/>{}", "<g>".repeat(70), "</g>".repeat(70)))),
        ),
        (CORNERS, {
            let corners =
                toothed(more(CORNERS) + 1).replace(['M', 'Z'], "").replace(' ', ", ").replace('L', "], [");
            run(
                &own,
                &[("mine.toml", square.replace("[0, 0], [1, 0], [1, 1], [0, 1]", &format!("[{corners}]")))],
            )
        }),
        (DRAWING_PARTS, leaf(drawing(&"<g/> ".repeat(600_000)))),
        (PATTERN_NUMBER, run(&own, &[("mine.toml", square.replace("[1, 1]", "[1000001, 1]"))])),
        (PATTERN_RISE, run(&own, &[("mine.toml", square.replace("[1, 1]", "[1, 1, 20.1]"))])),
        (PATTERN_REACH, run(&own, &[("mine.toml", square.replace("[1, 1]", "[9999, 9999]"))])),
        (PATTERN_CENTRES, run(&own, &[("mine.toml", format!("{square}{centres}"))])),
        (JOB_FILE, run(&own, &[("mine.toml", format!("{square}#{}", "o".repeat(1_000_001)))])),
    ]
}

#[test]
fn every_limit_of_the_table_refuses_just_above_itself() {
    let mut seen = refused_at_their_keys();
    for (limit, ended) in refused_by_count() {
        let said = match ended {
            Ok(()) => panic!("{}: nothing was refused", limit.name),
            Err(error) => error.to_string(),
        };
        assert!(
            said.starts_with("test.toml:") || said.starts_with("mine.toml:"),
            "{}: no place: {said}",
            limit.name
        );
        let would_do = [short(limit.most, 4).to_string(), "would do".into()].iter().any(|w| said.contains(w));
        assert!(
            would_do && said.contains(limit.why.split(':').next().unwrap_or("")),
            "{}: {said}",
            limit.name
        );
        seen.push(limit);
    }
    // Those of the command line, tried below.
    seen.extend([MINUTES_TAKEN, CORRECTION]);
    let missing: Vec<&str> =
        TABLE.iter().filter(|limit| !seen.contains(limit)).map(|limit| limit.name).collect();
    assert!(missing.is_empty(), "no job tries the limits of {missing:?}");
}

#[test]
fn limits_of_the_command_line_refuse_just_above_themselves() {
    let bench = Bench::new();
    bench.put("disc.toml", made::DISC).put("long.toml", &format!("#{}", "o".repeat(1_000_001)));
    let told = bench.run(&["minutes", "disc.toml", "100001"]).ends_with(2);
    assert!(told.err.contains("give 0.1 to 100000 minutes"), "{}", told.err);
    let told =
        bench.run(&["true-size", "--across", "110.2", "--up", "100", "--printer", "hall"]).ends_with(2);
    assert!(told.err.contains("give 90 to 110 mm"), "{}", told.err);
    let told = bench.run(&["check", "long.toml"]).ends_with(2);
    assert!(told.err.contains("larger than 1 MB"), "{}", told.err);
}

/// As many of one kind as may be, ten millimetres apart on a disc: a web is left between them.
fn strewn(section: &str, count: usize, shape: &str, at_border: &str) -> String {
    let side = (count as f64).sqrt().ceil() as usize;
    let place = |k: usize| {
        let at = |k: usize| 10.0 * k as f64 - 5.0 * (side as f64 - 1.0);
        format!("[[{section}]]\nname = \"place {k}\"\n{shape}at = [{}, {}]\n", at(k % side), at(k / side))
    };
    let places: String = (0..count).map(place).collect();
    let across = format!("{}", 16 * side);
    let how = format!("\"{at_border}\"");
    made::disc(&[("outline.diameter", &across), ("pattern.pitch", "4"), ("pattern.at_border", &how)], &places)
}

/// Files made to take long or to fill memory. Each ends within a minute of this build's time and a gigabyte.
#[cfg(target_os = "linux")]
#[test]
fn files_made_to_take_long_are_refused_or_done() {
    let classes = |k: usize| (0..k).map(|i| format!("c{i}")).collect::<Vec<_>>();
    let shouted = format!(
        "<style>{}</style>{}<circle r=\"30\"/>{}",
        classes(20_000).iter().map(|c| format!(".{c}{{fill:red}}")).collect::<String>(),
        format!("<g class=\"{}\">", classes(20_000).join(" ")).repeat(20),
        "</g>".repeat(20)
    );
    let styled = format!(
        "<style>.c{{{}}}</style>{}",
        "fill:red;".repeat(100_000),
        "<circle class=\"c\" r=\"30\"/>".repeat(10_000)
    );
    let placed = format!("<g transform=\"{}\">", "translate(0,0) ".repeat(9_000)).repeat(20);
    let entity = format!(
        "<!DOCTYPE svg [<!ENTITY b \"{}\">]>{}",
        "<g/>".repeat(25_000),
        drawing(&("&b;".repeat(4000) + "<circle r=\"30\"/>"))
    );
    let bends = format!("<path d=\"M-30 -30{}V30H-30Z\"/>", "c0.01 0.02 0.03 -0.02 0.04 0".repeat(40_000));
    let drawings = [
        ("entity", entity),
        ("many classes", drawing(&shouted)),
        ("one long class", drawing(&styled)),
        ("long placings", drawing(&format!("{placed}<circle r=\"30\"/>{}", "</g>".repeat(20)))),
        ("doubled parts", doubled(60)),
        ("deep", drawing(&("<g>".repeat(100_000) + &"</g>".repeat(100_000)))),
        ("bends", drawing(&bends)),
        ("far handles", drawing("<path d=\"M0 0C1e300 1e300 -1e300 5 20 0L0 20Z\"/>")),
        ("circles", drawing(&"<circle r=\"30\"/>".repeat(60_000))),
    ];
    let jobs = [
        (
            "keys on a line",
            format!("a = {{{}}}", (0..100_000).map(|k| format!("k{k}=1")).collect::<Vec<_>>().join(",")),
        ),
        ("unknown keys", (0..90_000).map(|k| format!("u{k}=1\n")).collect()),
        ("one key over and over", "a=1\n".repeat(240_000)),
        ("long list", format!("a = [{}]", "1,".repeat(490_000))),
        ("brackets", "a=".to_string() + &"[".repeat(400_000)),
        ("long title", made::disc(&[("title", &format!("\"{}\"", "word ".repeat(190_000)))], "")),
        (
            "rain at a tenth",
            made::with(include_str!("../../examples/rain-earrings.toml"), &[("sheet.thickness", "0.1")]),
        ),
        (
            "a large heart eased",
            made::with(
                &made::DISC.replace("diameter = 46\n", ""),
                &[
                    ("outline.shape", "\"heart\""),
                    ("outline.width", "70"),
                    ("outline.height", "66"),
                    ("pattern.pitch", "3"),
                    ("pattern.centre", "\"best\""),
                    ("pattern.at_border", "\"ease\""),
                ],
            ),
        ),
        (
            "bridges graded to nothing",
            made::disc(
                &[
                    ("outline.diameter", "100"),
                    ("pattern.name", "\"evened-out\""),
                    ("pattern.pitch", "4"),
                    ("pattern.bridge", "1.8"),
                    ("pattern.bridge_to", "0.1"),
                ],
                "",
            ),
        ),
        ("a hundred windows fitted", strewn("window", 100, "shape = \"circle\"\ndiameter = 5\n", "fit")),
        (
            "two hundred kept places",
            strewn("keep_solid", 200, "shape = \"heart\"\nwidth = 5\nheight = 5\n", "fit"),
        ),
        ("two hundred holes joined", strewn("hole", 200, "diameter = 2\n", "join")),
        (
            "twenty rows round a large disc",
            made::disc(
                &[("outline.diameter", "1500"), ("pattern.pitch", "9"), ("pattern.at_border", "\"trim\"")],
                &"[[row]]\nshape = \"drop\"\nsize = [1.2, 2]\n".repeat(20),
            ),
        ),
        ("little faces", made::disc(&[("title", &format!("\"{}\"", "\u{1f600}".repeat(25_000)))], "")),
    ];
    let bench = Bench::new();
    for (name, text) in drawings {
        bench.put("leaf.svg", &text).put("leaf.toml", &from_file());
        bounded(&bench, name, "leaf.toml");
    }
    for (name, text) in jobs {
        bench.put("job.toml", &text);
        bounded(&bench, name, "job.toml");
    }
}

/// Runs a check with a minute and a gigabyte to spend; it is refused, or done.
#[cfg(target_os = "linux")]
fn bounded(bench: &Bench, name: &str, job: &str) {
    let program = env!("CARGO_BIN_EXE_sawpierce");
    let script = format!("ulimit -t 60 -v 1048576; exec '{program}' check {job}");
    let done = std::process::Command::new("sh")
        .args(["-c", &script])
        .current_dir(bench.path(""))
        .env("SAWPIERCE_SETTINGS", bench.path("settings"))
        .output()
        .expect("it runs");
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(matches!(done.status.code(), Some(0..=2)), "{name}: {:?} {said}", done.status);
    assert!(said.lines().all(|line| line.chars().count() < 900), "{name}: {said}");
}
