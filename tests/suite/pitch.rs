//! The pitch that is chosen where none is typed: one rule for jobs, new jobs and the sampler.

use crate::made::{done, job};
use sawpierce::checks::Check;
use sawpierce::job::{Edit, NamedFiles};
use sawpierce::pipeline::begin::{begin, Answers};
use sawpierce::pipeline::sampler::{choices, sample};

fn text(skill: &str, outline: &str, pattern: &str) -> String {
    format!(
        "skill = \"{skill}\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\n{outline}\n[pattern]\n{pattern}\n"
    )
}

const DISC: &str = "shape = \"circle\"\ndiameter = 40";

#[test]
fn about_half_of_the_pattern_is_open() {
    for (skill, bridge) in [("practised", 1.2), ("fine-work", 0.7)] {
        let work = done(&job(&text(skill, DISC, "name = \"hexagon\"")));
        let pitch = work.piece.resolved.pitch.get();
        // A honeycomb's cell less its bridge, over the cell.
        let open = ((pitch - bridge) / pitch).powi(2);
        assert!((0.48..0.56).contains(&open), "{skill}: {open} at {pitch}");
        let note = &work.piece.resolved.notes;
        assert!(note.iter().any(|n| n.contains("about half of the pattern open")), "{note:?}");
    }
}

#[test]
fn the_finest_is_what_the_drill_goes_into() {
    let work = done(&job(&text("practised", DISC, "name = \"hexagon\"\npitch = \"finest\"")));
    // (0.8 drill + 0.4 room + 1.2 bridge) over a honeycomb's own width, 1.
    assert!((work.piece.resolved.pitch.get() - 2.4).abs() < 1e-9, "{:?}", work.piece.resolved.pitch);
    let coarser = done(&job(&text("practised", DISC, "name = \"hexagon\"")));
    assert!(work.piece.openings.len() > 2 * coarser.piece.openings.len());
    // An edit may ask for it and take it back.
    let typed = job(&text("practised", DISC, "name = \"hexagon\"\npitch = 5"));
    let finest = typed.with(&[Edit::typed("pattern.pitch", "finest")]).expect("read");
    assert!(finest.pattern.finest && finest.pattern.pitch.is_none());
}

#[test]
fn large_pieces_have_a_hundred_openings_and_small_ones_seven() {
    let count = |skill: &str, outline: &str| {
        done(&job(&text(skill, outline, "name = \"hexagon\""))).piece.openings.len()
    };
    let panel = count("first", "shape = \"rectangle\"\nwidth = 540\nheight = 500");
    assert!((60..=140).contains(&panel), "{panel}");
    let small = count("practised", "shape = \"circle\"\ndiameter = 14");
    assert!((4..=10).contains(&small), "{small}");
}

#[test]
fn the_sampler_goes_by_the_same_rule() {
    let base = job(&text("practised", DISC, "name = \"kites\""));
    for name in ["hexagon", "kites", "sunflower", "quatrefoil"] {
        let choice = choices().into_iter().find(|c| c.name == name).expect("listed");
        let sampled = sample(&base, &choice).piece.expect("laid").resolved.pitch;
        let alone = done(&job(&text("practised", DISC, &format!("name = \"{name}\"")))).piece.resolved.pitch;
        assert!((sampled.get() - alone.get()).abs() < 0.11 * alone.get(), "{name}: {sampled} and {alone}");
    }
}

/// What a beginner's first piece of any shape and size comes to: fitted, with nothing said against it.
#[test]
fn a_new_piece_of_any_shape_is_fitted_to_its_outline() {
    let sizes: [(&str, &[(f64, f64)]); 8] = [
        (
            "circle",
            &[(12.0, 0.0), (16.0, 0.0), (18.0, 0.0), (20.0, 0.0), (28.0, 0.0), (38.0, 0.0), (60.0, 0.0)],
        ),
        ("heart", &[(18.0, 16.0), (26.0, 24.0), (36.0, 34.0)]),
        ("teardrop", &[(14.0, 19.0), (22.0, 30.0), (30.0, 40.0)]),
        ("marquise", &[(12.0, 24.0), (18.0, 36.0)]),
        ("ellipse", &[(16.0, 12.0), (25.0, 18.0), (40.0, 30.0)]),
        ("cushion", &[(14.0, 11.0), (34.0, 27.0)]),
        ("rectangle", &[(16.0, 9.0), (26.0, 15.0), (70.0, 42.0)]),
        ("polygon", &[(18.0, 0.0), (30.0, 0.0)]),
    ];
    let against =
        [Check::OpeningSize, Check::SolidPatch, Check::BorderFit, Check::BridgeWidth, Check::BladeFit];
    for (shape, sizes) in sizes {
        for &(width, height) in sizes {
            let mm = |mm: f64| Some(mm.to_string());
            let mut answers = Answers { shape: Some(shape.into()), ..Answers::default() };
            match shape {
                "circle" => answers.diameter = mm(width),
                "polygon" => answers.across = mm(width),
                _ => (answers.width, answers.height) = (mm(width), mm(height)),
            }
            let begun = begin(&answers, "new.toml", |_| NamedFiles::new()).expect("a job");
            let work = done(&job(&begun.text));
            let what = format!("{shape} {width} x {height}");
            let faults = work.verdicts.iter().filter(|v| v.level.is_fault() && against.contains(&v.check));
            assert_eq!(faults.map(|v| v.check).collect::<Vec<_>>(), [], "{what}");
            assert!(begun.text.contains("at_border = \"fit\""), "{what}:\n{}", begun.text);
            assert!(work.piece.openings.len() >= 5, "{what}: {}", work.piece.openings.len());
        }
    }
}
