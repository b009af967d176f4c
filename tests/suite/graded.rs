//! Bridges and cells graded from the middle outwards or along a line.

use crate::made::{disc, done, job, with, DISC};
use sawpierce::checks::Side;
use sawpierce::geom::{sin_cos_degrees, Point};
use sawpierce::job::{parse, NamedFiles, Settings};
use sawpierce::openings::Opening;
use sawpierce::work::Work;

/// The bridge a point's opening keeps, told by its own sum: from `from` to `to` over a disc of this radius.
fn own(at: Point, radius: f64, (from, to): (f64, f64), along: Option<f64>) -> f64 {
    let part = match along {
        None => at.to_vec2().hypot() / radius,
        Some(degrees) => {
            let (s, c) = sin_cos_degrees(degrees);
            (at.x * c + at.y * s + radius) / (2.0 * radius)
        }
    };
    from + (to - from) * part
}

const RADIUS: f64 = 20.5;

fn graded(name: &str, along: Option<f64>, more: &[(&str, &str)]) -> Work {
    let name = format!("\"{name}\"");
    let along = along.map(|a| a.to_string());
    let mut set = vec![("pattern.name", name.as_str()), ("pattern.bridge_to", "2.2")];
    set.extend(along.as_deref().map(|a| ("pattern.along", a)));
    set.extend(more);
    done(&job(&disc(&set, "")))
}

#[test]
fn a_bridge_between_two_whole_openings_is_the_mean_of_their_own() {
    for name in ["hexagon", "square", "triangle", "tumbling-blocks"] {
        for along in [None, Some(90.0), Some(-30.0)] {
            let done = graded(name, along, &[("pattern.pitch", "7.0")]);
            let piece = &done.piece;
            let by = |n: usize| &piece.openings[n - 1];
            let mut seen = 0;
            for bridge in done.graph.bridges() {
                let [Side::Opening(a), Side::Opening(b)] = bridge.between else { continue };
                let (a, b) = (by(a), by(b));
                let mean = (own(a.centroid, RADIUS, (1.2, 2.2), along)
                    + own(b.centroid, RADIUS, (1.2, 2.2), along))
                    / 2.0;
                if a.trimmed || b.trimmed {
                    assert!(bridge.width.get() > 1.2 - 1e-3, "{name} {along:?}: {}", bridge.width);
                    continue;
                }
                // Only edges that run beside each other: corner to corner is wider.
                assert!(bridge.width.get() > mean - 2e-3, "{name} {along:?}: {} {mean}", bridge.width);
                seen += usize::from((bridge.width.get() - mean).abs() < 2e-3);
            }
            assert!(seen > 20, "{name} {along:?}: {seen}");
        }
    }
}

fn sizes(openings: &[Opening]) -> Vec<i64> {
    // To a ten-thousandth of a square millimetre.
    let mut all: Vec<i64> = openings.iter().map(|o| (o.area * 1e4).round() as i64).collect();
    all.sort_unstable();
    all
}

#[test]
fn turning_the_line_with_the_pattern_turns_the_piece() {
    for name in ["hexagon", "kites", "holes-staggered", "quarter-circles"] {
        let one = graded(name, Some(90.0), &[]);
        let two = graded(name, Some(127.0), &[("pattern.turn", "37")]);
        let (a, b) = (sizes(&one.piece.openings), sizes(&two.piece.openings));
        if name == "quarter-circles" {
            // Thrown from a fixed corner: the same squares, turned.
            assert_eq!(a.len(), b.len());
        }
        assert_eq!(a.len(), b.len(), "{name}");
        for (x, y) in a.iter().zip(&b) {
            assert!((x - y).abs() <= 20, "{name}: {x} {y}");
        }
    }
}

#[test]
fn a_line_the_other_way_is_the_mirror_image() {
    let up = graded("hexagon", Some(90.0), &[]);
    let down = graded("hexagon", Some(-90.0), &[]);
    assert_eq!(sizes(&up.piece.openings), sizes(&down.piece.openings));
    let heavy = |w: &Work, low: bool| {
        let beyond = |o: &&Opening| !o.trimmed && (o.centroid.y < -9.0) == low && o.centroid.y.abs() > 9.0;
        w.piece.openings.iter().filter(beyond).map(|o| o.area).sum::<f64>()
    };
    // 90 runs from the foot to the top: fine at the foot.
    assert!(heavy(&up, true) > heavy(&up, false) + 1.0);
    assert!((heavy(&up, true) - heavy(&down, false)).abs() < 1e-6);
}

#[test]
fn every_pattern_takes_graded_bridges() {
    let names = sawpierce::catalogue::all().iter().map(|p| p.name.clone());
    let grown = sawpierce::catalogue::GROWN.iter().map(|g| g.name.to_string());
    for name in names.chain(grown) {
        let text = disc(&[("pattern.name", &format!("\"{name}\"")), ("pattern.bridge_to", "1.8")], "");
        let mut plain: toml_edit::DocumentMut = text.parse().expect("toml");
        plain["pattern"].as_table_mut().expect("pattern").remove("pitch");
        for along in ["", "along = 40\n"] {
            let text = plain.to_string().replace("bridge_to", &format!("{along}bridge_to"));
            let Ok(work) = sawpierce::work::work(&job(&text)) else { panic!("{name}") };
            let between = |b: &sawpierce::checks::Bridge| b.is_between_openings();
            let least = work.graph.bridges().filter(between).map(|b| b.width.get());
            let least = least.fold(f64::INFINITY, f64::min);
            let motif = ["holes-in-rows", "holes-staggered", "petal-ring"].contains(&name.as_str());
            let least_drawn = if motif { 0.5 } else { 1.2 };
            assert!(least > least_drawn - 1e-3, "{name}: {least}");
            assert!(!work.piece.openings.is_empty(), "{name}");
            assert!(work.piece.resolved.notes.iter().any(|n| n.contains("bridges graded")), "{name}");
        }
    }
}

#[test]
fn the_least_of_graded_bridges_is_what_is_checked_and_mended() {
    // Heavy in the middle, too thin at the border.
    let text = with(DISC, &[("pattern.bridge", "2.0"), ("pattern.bridge_to", "0.7")]);
    let job = job(&text);
    let work = done(&job);
    let stop = crate::made::said(&work.verdicts, "bridge-width");
    assert_eq!(stop.len(), 1);
    let thinnest = stop[0].measured.expect("a width").value();
    assert!(thinnest < 0.7 + 0.15 && thinnest > 0.5 - 1e-3, "{thinnest}");
    let mended = sawpierce::mend::changed(
        &job,
        &[
            sawpierce::mend::Change::Bridge(sawpierce::units::Mm(2.5)),
            sawpierce::mend::Change::BridgeTo(sawpierce::units::Mm(1.2)),
        ],
    )
    .expect("written")
    .source
    .text;
    assert!(mended.contains("bridge = 2.5") && mended.contains("bridge_to = 1.2"), "{mended}");
    let remedied = sawpierce::mend::with_remedies(&job, &work);
    let stop = crate::made::said(&remedied, "bridge-width");
    assert!(stop[0].remedy.is_some(), "{:?}", stop[0]);
}

#[test]
fn graded_cells_grow_along_the_line() {
    let set = |along: &str| {
        let set = [("pattern.name", "\"evened-out\""), ("pattern.pitch", "4"), ("pattern.grade", "1.0")];
        let text = with(&disc(&set, ""), &[("pattern.bridge", "0.8"), ("pattern.along", along)]);
        done(&job(&text)).piece.openings.clone()
    };
    let mean = |o: &[Opening], ask: &dyn Fn(Point) -> bool| {
        let list: Vec<f64> = o.iter().filter(|o| ask(o.centroid)).map(|o| o.area).collect();
        list.iter().sum::<f64>() / list.len() as f64
    };
    let right = set("0");
    let (fine, coarse) = (mean(&right, &|p| p.x < -10.0), mean(&right, &|p| p.x > 10.0));
    assert!(coarse > 1.7 * fine, "{fine} {coarse}");
    let up = set("90");
    let (fine, coarse) = (mean(&up, &|p| p.y < -10.0), mean(&up, &|p| p.y > 10.0));
    assert!(coarse > 1.7 * fine, "{fine} {coarse}");
}

#[test]
fn what_cannot_be_graded_is_refused_with_a_reason() {
    let wrong = |set: &[(&str, &str)], words: &[&str]| {
        let text = disc(set, "");
        let error = parse(&text, "t.toml", &NamedFiles::new(), &Settings::default()).expect_err(&text);
        let said = error.to_string();
        for word in words {
            assert!(said.contains(word), "{word}: {said}");
        }
    };
    wrong(&[("pattern.along", "90")], &["nothing here grows", "bridge_to"]);
    wrong(&[("pattern.bridge_to", "7")], &["leaves no opening"]);
    wrong(&[("pattern.bridge_to", "-1")], &["bridge_to", "cannot be used"]);
    wrong(&[("pattern.grade", "0.5")], &["grade means nothing to a pattern that repeats"]);
    wrong(&[("pattern.name", "\"sun-rays\""), ("pattern.grade", "0.5")], &["evened-out, sunflower"]);
    wrong(
        &[("pattern.name", "\"sunflower\""), ("pattern.grade", "0.5"), ("pattern.along", "0")],
        &["from the middle outwards only"],
    );
    wrong(&[("pattern.bridgeto", "2")], &["bridge_to"]);
}

#[test]
fn a_grading_is_told_in_numbers() {
    let job = job(&disc(&[("pattern.bridge_to", "2.2"), ("pattern.along", "90")], ""));
    let work = done(&job);
    let plan = sawpierce::render::json::plan_json(&job, &work, 1, false);
    assert_eq!(plan["resolved"]["bridge_mm"], 1.2);
    assert_eq!(plan["resolved"]["bridge_to_mm"], 2.2);
    assert_eq!(plan["resolved"]["along"], 90.0);
    assert!(work.piece.resolved.notes.iter().any(|n| n.contains("1.20") && n.contains("2.20")));
}

/// Once an opening of 0 mm2 was counted on a cone whose bridges grow until nothing is left of the cells.
#[test]
fn no_graded_opening_of_a_cone_is_nothing() {
    let mut counted = 0;
    for (k, bridge_to) in [1.6, 2.0, 2.4, 2.8, 3.2, 3.6].into_iter().enumerate() {
        for name in ["hexagon", "kites", "star-and-cross"] {
            let text = format!(
                "skill = \"fine-work\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"cone\"\ntop = {}\n\
                 bottom = {}\nheight = 18\nborder = 1.4\n[pattern]\nname = \"{name}\"\npitch = 4.5\nbridge = 0.8\n\
                 bridge_to = {bridge_to}\nalong = 90\nat_border = \"trim\"\n[saw]\nblade = \"6/0\"\ndrill = 0.5\n",
                12 + 2 * k,
                20 + 4 * k
            );
            let Ok(job) = parse(&text, "cone.toml", &NamedFiles::new(), &Settings::default()) else {
                continue;
            };
            let Ok(made) = sawpierce::work::work(&job) else { continue };
            for o in &made.piece.openings {
                // A hundredth of a millimetre is the least that is called an opening.
                assert!(o.area > 7e-5 && o.widest.get() > 0.01, "{name} {bridge_to}: {o:?}");
            }
            counted += made.piece.openings.len();
        }
    }
    assert!(counted > 100, "{counted}");
}
