//! The job file: everything it may say, what it takes for granted, and how it complains.

use sawpierce::error::{Error, Kind};
use sawpierce::job::{
    edit, fields, needs, parse, Alteration, AtBorder, CentreChoice, Edit, Job, LengthUnit, MeasuredOutline,
    NamedFiles, Origin, PatternSource, Printer, Rates, RimSits, SawLine, Settings, Shape, Skill, Temper,
    Transfer, Value,
};
use sawpierce::job::{MarksShown, Shade};
use sawpierce::units::Mm;

const WHOLE: &str = r##"
title = "Reed lantern"
units = "mm"
skill = "practised"
pieces = 3
pair = false

[sheet]
metal = "copper"
thickness = "19 ga"
temper = "half-hard"
stock = [150, 100]
price_per_gram = 0.02

[outline]
shape = "circle"
diameter = 46
border = 2.5

[pattern]
name = "triangle"
pitch = 6.2
bridge = 1.2
turn = 15
centre = "crossing"
at_border = "join"
corner_radius = 0.2
variation = 4

[[keep_solid]]
name = "bail tab"
shape = "circle"
diameter = 5
at = [0, 19]

[[window]]
name = "stone window"
shape = "ellipse"
width = 9
height = 6
turn = 30
at = [0, -4]
border = 1.2

[[hole]]
name = "bail hole"
diameter = 1.8
at = [0, 19]

[[lug]]
at_angle = 90
width = 6
height = 4
hole = 1.8

[[change]]
at = [3.1, 6.0]
draw_in = 0.15

[[change]]
at = [-3.1, 6.0]
close = true

[limits]
bridge = 0.9

[saw]
blade = "2/0"
drill = "#60"
clean_up = 0.08
frame_depth = 80
hand = "left"
stack = 2

[measured]
outline = [45.5, 45.7]
thickness = 0.88

[construction]
rim = { height = 5.5, thickness = 0.6, sits = "round-edge" }
back = { thickness = 0.7, overhang = 1.0 }
bezel = { stone = 10, thickness = 0.3, height = 4, at = [0, 12], ledge = 1.0, window = true }
jump_rings = [ { wire = 1.0, inside = 4.0, count = 3 } ]
dome = 2
solder = "medium"

[paper]
size = "Letter"
copies = 4
mirror = true
line = "split"
shade = "metal"
marks = "few"
transfer = "rub-down"
split = true
name_line = true
labels = { across = 3, down = 4, width = 63, height = 65, left = 8, top = 8, gap_across = 2, gap_up = 0 }
printer = "hall inkjet"

[rates]
per_hour = 30
saw = 12
"##;

const SMALL: &str =
    "[sheet]\nmetal = \"brass\"\n[outline]\nshape = \"circle\"\ndiameter = 40\n[pattern]\nname = \"hexagon\"\n";

fn settings() -> Settings {
    let printer = Printer { name: "hall inkjet".into(), across: 97.8, up: 98.1 };
    Settings {
        printers: vec![printer],
        rates: Rates { filing: Some(0.7), ..Rates::default() },
        ..Settings::default()
    }
}

fn read(text: &str) -> Result<Job, Error> {
    parse(text, "piece.toml", &NamedFiles::new(), &settings())
}

fn good(text: &str) -> Job {
    read(text).unwrap_or_else(|e| panic!("{e}"))
}

/// The complaints about a job, one a line.
fn bad(text: &str) -> String {
    match read(text) {
        Ok(_) => panic!("taken:\n{text}"),
        Err(e) => e.to_string(),
    }
}

/// `SMALL` with a line more at the head of one of its sections.
fn with(section: &str, line: &str) -> String {
    SMALL.replace(&format!("[{section}]\n"), &format!("[{section}]\n{line}\n"))
}

#[test]
fn reads_every_section_and_key() {
    let job = good(WHOLE);
    assert_eq!((job.title.as_str(), job.pieces, job.skill), ("Reed lantern", 3, Skill::Practised));
    // 19 gauge is 0.0359 in (AWG table, ASTM B258).
    assert!((job.sheet.thickness.0 - 0.0359 * 25.4).abs() < 0.002);
    assert_eq!(job.sheet.temper, Temper::HalfHard);
    assert_eq!(job.sheet.stock, Some((Mm(150.0), Mm(100.0))));
    assert_eq!(job.outline.shape, Shape::Circle { diameter: Mm(46.0) });
    let PatternSource::Repeat(pattern) = &job.pattern.source else { panic!("no repeat") };
    assert_eq!(pattern.name, "triangle");
    assert_eq!(job.pattern.pitch, Some(Mm(6.2)));
    assert_eq!((job.pattern.centre, job.pattern.at_border), (CentreChoice::Crossing, AtBorder::Join));
    assert_eq!((job.pattern.turn, job.pattern.variation), (15.0, 4));
    assert_eq!(job.keep_solid.len(), 1);
    assert_eq!(job.windows.len(), 1);
    assert_eq!(job.windows[0].shape, Shape::Ellipse { width: Mm(9.0), height: Mm(6.0) });
    assert_eq!((job.holes.len(), job.lugs.len()), (1, 1));
    assert_eq!(job.changes[0].what, Alteration::DrawIn(Mm(0.15)));
    assert_eq!(job.changes[1].what, Alteration::Close);
    assert_eq!((job.limits.bridge, job.limits.border), (Mm(0.9), Mm(2.0)));
    // #60 is 0.0400 in (number drill table).
    assert!((job.saw.drill.0 - 1.016).abs() < 1e-9);
    assert!(job.saw.left_handed && job.saw.stack == 2 && job.saw.frame_depth == Some(Mm(80.0)));
    assert_eq!(job.measured.outline, Some(MeasuredOutline::Across(vec![Mm(45.5), Mm(45.7)])));
    let c = &job.construction;
    assert_eq!(c.rim.map(|r| r.sits), Some(RimSits::RoundEdge));
    assert_eq!(c.jump_rings[0].count, 3);
    assert_eq!((c.dome, c.solder.as_deref()), (Mm(2.0), Some("medium")));
    let p = &job.paper;
    assert_eq!((p.size.name.as_str(), p.copies, p.mirror), ("Letter", 4, true));
    assert_eq!((p.line, p.transfer, p.correction), (SawLine::Split, Transfer::RubDown, (97.8, 98.1)));
    assert_eq!(p.labels.map(|l| (l.across, l.down)), Some((3, 4)));
    assert_eq!((job.rates.saw, job.rates.filing, job.rates.per_hour), (Some(12.0), Some(0.7), Some(30.0)));
}

#[test]
fn a_short_job_gets_the_rest_by_skill() {
    // By skill: least bridge, opening, border, clean-up, blade, drill.
    for (skill, bridge, opening, border, clean_up, blade) in [
        ("first", 1.5, 4.0, 3.0, 0.20, "2/0"),
        ("practised", 1.0, 2.0, 2.0, 0.10, "3/0"),
        ("practiced", 1.0, 2.0, 2.0, 0.10, "3/0"),
        ("fine-work", 0.6, 1.0, 1.2, 0.05, "6/0"),
    ] {
        let job = good(&format!("skill = \"{skill}\"\n{SMALL}"));
        assert!((job.limits.bridge.0 - bridge).abs() < 1e-12, "{skill}");
        assert_eq!((job.limits.opening, job.limits.border), (Mm(opening), Mm(border)), "{skill}");
        assert_eq!((job.saw.clean_up, job.saw.blade.name.as_str()), (Mm(clean_up), blade), "{skill}");
        assert!((job.pattern.bridge.0 - bridge - 2.0 * clean_up).abs() < 1e-12, "{skill}");
        assert!((job.outline.border.0 - border - 2.0 * clean_up).abs() < 1e-12, "{skill}");
        assert!(job.saw.drill.0 >= job.saw.blade.hole, "{skill}: the blade must pass the drill hole");
        assert_eq!((job.title.as_str(), job.sheet.thickness), ("piece", Mm(0.8)));
        assert_eq!((job.paper.size.name.as_str(), job.paper.correction), ("A4", (100.0, 100.0)));
        assert_eq!(job.rates.filing, Some(0.7), "learnt rates serve where none is typed");
    }
    // Practised: never less than the sheet. Fine work: three quarters of it.
    let thick = with("sheet", "thickness = 1.6");
    assert_eq!(good(&format!("skill = \"practised\"\n{thick}")).limits.bridge, Mm(1.6));
    assert!((good(&format!("skill = \"fine-work\"\n{thick}")).limits.bridge.0 - 1.2).abs() < 1e-12);
    assert_eq!(good(SMALL).skill, Skill::First, "who says nothing gets the careful limits");
    // A coarse blade asks for a drill it can pass.
    let coarse = good(&format!("skill = \"fine-work\"\n{SMALL}[saw]\nblade = \"1\"\n"));
    assert!(coarse.saw.drill.0 >= coarse.saw.blade.hole && coarse.saw.drill.0 < 1.0);
}

#[test]
fn plain_numbers_are_in_the_jobs_units() {
    let job = good(&format!("units = \"in\"\n{}", SMALL.replace("40", "1.5")));
    assert_eq!(job.units, LengthUnit::Inch);
    assert_eq!(job.outline.shape, Shape::Circle { diameter: Mm(1.5 * 25.4) });
    let mixed = good(&SMALL.replace("40", "\"1 1/2 in\""));
    assert_eq!(mixed.outline.shape, Shape::Circle { diameter: Mm(1.5 * 25.4) });
    let comma = good(&with("pattern", "bridge = \"2,25\""));
    assert_eq!(comma.pattern.bridge, Mm(2.25));
}

#[test]
fn american_spellings_are_taken() {
    assert_eq!(good(&with("pattern", "center = \"crossing\"")).pattern.centre, CentreChoice::Crossing);
}

#[test]
fn every_problem_is_told_at_once_with_its_place() {
    let text = "title = 3\nskil = \"first\"\n[sheet]\nmetal = \"coper\"\nthickness = \"20 g\"\n[outline]\n\
                shape = \"circle\"\ndiameter = -4\n[pattern]\nname = \"hexagone\"\nbridge = nan\nborder = 2\n";
    let said = bad(text);
    let lines: Vec<&str> = said.lines().collect();
    for (at, words) in [
        ("piece.toml:1:9: ", "quotation marks"),
        ("piece.toml:2:1: ", "did you mean \"skill\"?"),
        ("piece.toml:4:9: ", "did you mean \"copper\"?"),
        ("piece.toml:5:13: ", "gauge or grams?"),
        ("piece.toml:8:12: ", "diameter -4 mm"),
        ("piece.toml:10:8: ", "did you mean \"hexagon\"?"),
        ("piece.toml:11:10: ", "bridge"),
        ("piece.toml:12:1: ", "it belongs in [outline]"),
    ] {
        assert!(lines.iter().any(|l| l.starts_with(at) && l.contains(words)), "{at}{words}\nin\n{said}");
    }
    assert_eq!(lines.len(), 8, "{said}");
}

#[test]
fn lines_that_do_not_read_are_told_beside_what_else_is_wrong() {
    let said = bad("[sheet]\nmetal = copper\nthickness = 99\n[outline]\nshape = \"circle\"\ndiameter = 40\n[pattern]\nname = \"hexagon\"\n");
    assert!(said.contains("piece.toml:2:9: copper needs quotation marks; write \"copper\""), "{said}");
    assert!(said.contains("piece.toml:3:13: thickness 99 mm"), "{said}");
    assert_eq!(said.lines().count(), 2, "{said}");
}

#[test]
fn columns_count_letters_not_bytes() {
    let said = bad(&format!("{SMALL}[paper]\nlabels = {{ across = \"\u{e9}\u{e9}\", dwn = 2 }}\n"));
    assert!(
        said.contains("piece.toml:9:27: \"dwn\" is not a key of labels; did you mean \"down\"?"),
        "{said}"
    );
}

#[test]
fn what_a_circle_has_not_is_refused() {
    let said = bad(&with("outline", "width = 4"));
    assert!(said.contains("\"width\" is not a key of [outline]"), "{said}");
}

#[test]
fn measured_sizes_follow_the_shape() {
    let plate = |measured: &str| {
        format!(
            "[sheet]\nmetal = \"brass\"\n[outline]\nshape = \"rectangle\"\nwidth = 40\nheight = 30\n\
             [pattern]\nname = \"square\"\n[measured]\noutline = {measured}\n"
        )
    };
    let job = good(&plate("{ width = 39.8, height = 30.1 }"));
    assert_eq!(job.measured.outline, Some(MeasuredOutline::Size { width: Mm(39.8), height: Mm(30.1) }));
    assert!(bad(&plate("39.8")).contains("overall size"));
    assert!(bad(&plate("{ width = 1.57, height = 1.18 }")).contains("cannot be used"));
    assert!(bad(&plate("{ width = 15.7, height = 11.8 }")).contains("is it the same piece"));
}

#[test]
fn pattern_files_come_by_name() {
    let own = SMALL.replace("name = \"hexagon\"", "file = \"reeds.toml\"");
    assert_eq!(needs(&own).ok(), Some(vec!["reeds.toml".to_string()]));
    assert_eq!(needs(SMALL).ok(), Some(vec![]));
    let Err(missing) = read(&own) else { panic!("taken") };
    assert_eq!(missing.kind, Kind::File);
    assert!(missing.to_string().starts_with("piece.toml:7:8: the file \"reeds.toml\" cannot be read"));
    let files = |text: &str| NamedFiles::from([("reeds.toml".to_string(), text.as_bytes().to_vec())]);
    let Err(faulty) = parse(&own, "piece.toml", &files("title = 1"), &settings()) else { panic!("taken") };
    assert!(faulty.to_string().contains("reeds.toml:1"), "{faulty}");
    let square = include_str!("../../patterns/square.toml");
    assert!(parse(&own, "piece.toml", &files(square), &settings()).is_ok());
}

#[test]
fn drawn_lines_become_the_outline() {
    let drawn = |d: &str| SMALL.replace("\"circle\"\ndiameter = 40", &format!("\"drawn\"\nd = \"{d}\""));
    let job = good(&drawn("M0 0 h40 v30 h-40 z"));
    let Shape::Drawn { rings } = &job.outline.shape else { panic!("not drawn") };
    assert!((rings[0].area() - 1200.0).abs() < 1e-9, "40 by 30 mm");
    for (d, words) in [
        ("M0 0 h40 v30 q", "at character"),
        ("M0 0 h40 v30", "closed"),
        ("", ""),
        ("M0 0 h0.4 v0.3 h-0.4 z", "overall size"),
        ("M0 0 h90000 v30 h-90000 z", "overall size"),
    ] {
        let said = bad(&drawn(d));
        assert!(said.starts_with("piece.toml:5:5: ") && said.contains(words), "{d}: {said}");
    }
}

#[test]
fn shapes_come_from_svg_files_at_their_size() {
    let text = format!(
        "{}[[window]]\nshape = \"file\"\nfile = \"leaf.svg\"\nid = \"eye\"\n",
        SMALL.replace("\"circle\"\ndiameter = 40", "\"file\"\nfile = \"leaf.svg\"\nid = \"edge\"")
    );
    assert_eq!(needs(&text).ok(), Some(vec!["leaf.svg".to_string()]));
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='50mm' height='40mm' viewBox='0 0 100 80'>\
               <rect id='edge' width='100' height='80'/><circle id='eye' cx='50' cy='40' r='8'/></svg>";
    let files = NamedFiles::from([("leaf.svg".to_string(), svg.as_bytes().to_vec())]);
    let job = parse(&text, "piece.toml", &files, &settings()).unwrap_or_else(|e| panic!("{e}"));
    let area = |shape: &Shape| match shape {
        Shape::Drawn { rings } => rings[0].area(),
        _ => 0.0,
    };
    assert!((area(&job.outline.shape) - 2000.0).abs() < 1e-6, "50 by 40 mm");
    assert!(
        (area(&job.windows[0].shape) - std::f64::consts::PI * 16.0).abs() < 1e-6,
        "4 mm across the middle"
    );
    let lost = parse(&text.replace("eye", "ear"), "piece.toml", &files, &settings());
    assert!(lost.is_err_and(|e| e.to_string().contains("\"ear\"")));
    assert!(bad(&text).contains("cannot be read"));
}

#[test]
fn a_printer_has_to_be_known() {
    let said = bad(&format!("{SMALL}[paper]\nprinter = \"hall inkjt\"\n"));
    assert!(said.contains("did you mean \"hall inkjet\"?"), "{said}");
    let said = bad(&format!("{SMALL}[paper]\ncorrection = {{ across = 89, up = 100 }}\n"));
    assert!(said.contains("printed to fit the page"), "{said}");
}

#[test]
fn the_look_of_the_paper_is_chosen_in_a_few_words() {
    let paper = |keys: &str| good(&format!("{SMALL}[paper]\n{keys}\n")).paper;
    let usual = paper("copies = 1");
    assert_eq!((usual.shade, usual.marks), (Shade::Waste, MarksShown::All));
    assert!(!usual.split && !usual.name_line);
    assert_eq!(paper("shade = \"metal\"").shade, Shade::Metal);
    assert_eq!(paper("marks = \"few\"").shade, Shade::None, "few marks go without shading");
    assert_eq!(paper("marks = \"few\"\nshade = \"waste\"").shade, Shade::Waste, "unless it is asked for");
    assert!(paper("split = true").split && paper("name_line = true").name_line);
    let labels = "labels = { across = 3, down = 4, width = 63, height = 70 }";
    assert!(paper(labels).name_line, "labels have a name line");
    assert!(!paper(&format!("{labels}\nname_line = false")).name_line);
    let said = bad(&format!("{SMALL}[paper]\nshade = \"metl\"\n"));
    assert!(said.contains("did you mean \"metal\"?"), "{said}");
    let beyond = "labels = { across = 3, down = 4, width = 70, height = 70, left = 8 }";
    let said = bad(&format!("{SMALL}[paper]\n{beyond}\n"));
    assert!(said.contains("the labels reach to 218.0 × 280.0 mm, and A4 is 210.0 × 297.0 mm"), "{said}");
    let said = bad(&format!("{SMALL}[paper]\nname_lines = true\n"));
    assert!(said.contains("name_line"), "{said}");
    let said = bad(&format!("{SMALL}[paper]\nsplit = \"yes\"\n"));
    assert!(said.contains("true or false"), "{said}");
}

#[test]
fn more_openings_than_anyone_can_saw_are_refused() {
    // A disc of 4 m with a 0.5 mm triangle grid: pi 2000^2 / (0.5^2 sqrt(3) / 4) = 1.16e8 triangles.
    let said = bad("skill = \"fine-work\"\n[sheet]\nmetal = \"brass\"\n[outline]\nshape = \"circle\"\ndiameter = 4000\n[pattern]\nname = \"triangle\"\npitch = 0.5\nbridge = 0.2\n");
    assert!(
        said.starts_with("piece.toml:9:9: this comes to about 116") && said.contains("at most 1050000"),
        "{said}"
    );
}

#[test]
fn random_bytes_never_break_the_reader() {
    use proptest::prelude::*;
    proptest!(ProptestConfig::with_cases(400), |(cut in 0usize..1200, junk in "[\\PC\n\"\\[\\]{}=#.,]{0,30}", keep in any::<bool>())| {
        let cut = (0..=cut.min(WHOLE.len())).rev().find(|i| WHOLE.is_char_boundary(*i)).unwrap_or(0);
        let tail = if keep { &WHOLE[cut..] } else { "" };
        let text = format!("{}{junk}{tail}", &WHOLE[..cut]);
        if let Err(error) = read(&text) {
            prop_assert!(!error.problems.is_empty());
            prop_assert!(error.problems.len() <= 31);
        }
        let _ = needs(&text);
    });
}

/// What the maker types is honoured, whatever it is compared with: 1.0 is also what the skill asks for, and was once taken
/// for "not typed".
#[test]
fn a_typed_limit_that_equals_the_usual_one_is_honoured() {
    let limit = |bridge: &str| {
        let text = with("sheet", "thickness = 0.8");
        let job = good(&format!(
            "skill = \"practised\"\n{text}[limits]\nbridge = {bridge}\n[measured]\nthickness = 1.3\n"
        ));
        assert_eq!(job.origin("limits.bridge"), Origin::Typed);
        sawpierce::checks::bridge_limit(&job)
    };
    for (typed, mm) in [("1.0", 1.0), ("1.01", 1.01)] {
        assert!((limit(typed).mm - mm).abs() < 1e-12, "{typed} becomes {:?}", limit(typed));
        assert!(matches!(limit(typed).rule, sawpierce::checks::WidthRule::Own { .. }), "{:?}", limit(typed));
    }
    // Left out, the sheet as measured binds: 1.3 mm.
    let left_out = good(&format!("skill = \"practised\"\n{SMALL}[measured]\nthickness = 1.3\n"));
    assert_eq!(left_out.origin("limits.bridge"), Origin::Usual);
    assert!((sawpierce::checks::bridge_limit(&left_out).mm - 1.3).abs() < 1e-12);
}

#[test]
fn every_value_says_where_it_comes_from() {
    let job = good(&format!("{SMALL}[rates]\nsaw = 12\n"));
    for (path, origin) in [
        ("sheet.metal", Origin::Typed),
        ("sheet.thickness", Origin::Usual),
        ("rates.saw", Origin::Typed),
        ("rates.filing", Origin::Learnt),
        ("rates.handling", Origin::Absent),
        ("pattern.pitch", Origin::Absent),
        ("no.such.key", Origin::Absent),
    ] {
        assert_eq!(job.origin(path), origin, "{path}");
    }
}

/// Every key's example can be typed: the table promises nothing that is refused.
#[test]
fn every_example_of_the_key_table_works_when_typed() {
    for section in fields::sections().filter(|s| !s.path.is_empty()) {
        for field in section.all_fields() {
            let path = match section.many {
                true => format!("{}[0].{}", section.path, field.key),
                false => format!("{}.{}", section.path, field.key),
            };
            let base = good(SMALL);
            let edit = Edit::set(&path, Value::Raw(field.example.to_string()));
            let start = match section.many {
                true => vec![Edit::set(format!("{}[0]", section.path), Value::Row(Vec::new()))],
                false => Vec::new(),
            };
            let edits: Vec<Edit> = start.into_iter().chain([edit]).collect();
            // Other keys may be missing then, or clash; this one's value must not be refused.
            if let Err(error) = base.with(&edits) {
                for p in &error.problems {
                    let refused = p.wrong.contains("cannot be used") || p.wrong.contains("must be");
                    assert!(!refused, "{path} = {}: {p}", field.example);
                    assert!(
                        !p.wrong.contains("is not known") || field.key == "printer",
                        "{path} = {}: {p}",
                        field.example
                    );
                }
            }
        }
    }
}

#[test]
fn edits_can_be_taken_back_and_keep_the_comments() {
    let text = "units = \"in\" # as at home\n[sheet]\nmetal = \"brass\"\n[outline]\nshape = \"circle\"\ndiameter = \"1 1/2 in\" # the old \
                disc\n[pattern]\nname = \"hexagon\"\n[[hole]]\ndiameter = \"1.8 mm\"\nat = [0, 0.6]\n";
    let edits = [
        Edit::mm("outline.diameter", 40.0),
        Edit::typed("sheet.thickness", "20 ga"),
        Edit::typed("saw.blade", "2"),
        Edit::typed("pattern.pitch", "0.25"),
        Edit::mm("construction.rim.height", 4.0),
        Edit::set("construction.rim.sits", Value::word("round-edge")),
        Edit::set(
            "hole[1]",
            Value::Row(vec![("diameter", Value::Mm(2.0)), ("at", Value::List(vec![0.0, -9.0]))]),
        ),
        Edit::clear("hole[0]"),
    ];
    let (written, undo) = edit::undoable(text, &edits).expect("written");
    assert!(written.contains("diameter = 1.5748 # the old disc"), "{written}");
    let job = good(&written);
    assert!(
        matches!(job.outline.shape, Shape::Circle { diameter } if (diameter.get() - 40.0).abs() < 1.3e-4)
    );
    assert_eq!((job.saw.blade.name.as_str(), job.pattern.pitch), ("2", Some(Mm(0.25 * 25.4))));
    assert!(job.holes.len() == 1 && (job.holes[0].diameter.get() - 2.0).abs() < 1.3e-4);
    assert!(job.construction.rim.is_some_and(|r| (r.height.get() - 4.0).abs() < 1.3e-4));
    let back = edit::written(&written, &undo).expect("taken back");
    let again = good(&back);
    assert_eq!(again.outline.shape, Shape::Circle { diameter: Mm(1.5 * 25.4) });
    assert_eq!((again.holes.len(), again.holes[0].diameter), (1, Mm(1.8)));
    assert_eq!(again.origin("sheet.thickness"), Origin::Usual);
    for kept in ["# as at home", "\"1 1/2 in\" # the old disc"] {
        assert!(back.contains(kept), "{back}");
    }
}
