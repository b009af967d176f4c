//! `at_border = "fit"`: what every fitted piece promises, held on small pieces of every kind.

use crate::made::{disc, done, job};
use sawpierce::checks::{Check, Level};
use sawpierce::geom::{Boundary, Edge, Isometry, Point};
use sawpierce::job::AtBorder;
use sawpierce::openings::{first_piece, piece, Opening, Piece};
use sawpierce::work::Work;

const BORDER: f64 = 2.2;
const BRIDGE: f64 = 1.1;

fn text(name: &str, pitch: f64, outline: &str, more: &str) -> String {
    format!(
        "[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\n{outline}\nborder = {BORDER}\n[pattern]\nname = \"{name}\"\n\
         pitch = {pitch}\nbridge = {BRIDGE}\nturn = 0\ncentre = \"best\"\nat_border = \"fit\"\n{more}[saw]\nblade = \"4/0\"\ndrill = 1.0\n"
    )
}

fn fitted(name: &str, pitch: f64, outline: &str, more: &str) -> Work {
    done(&job(&text(name, pitch, outline, more)))
}

fn is_fitted(piece: &Piece) -> bool {
    piece.resolved.border.as_ref().is_some_and(|b| b.used == AtBorder::Fit && b.why.is_none())
}

const CIRCLE: &str = "shape = \"circle\"\ndiameter = 40";
const HEART: &str = "shape = \"heart\"\nwidth = 42\nheight = 40";

/// The farthest that any vertex of the openings lies from the openings' lines once it is carried to its image.
fn asymmetry(piece: &Piece, image: impl Fn(Point) -> Point) -> f64 {
    let lines = Boundary::of_edges(piece.openings.iter().flat_map(|o| o.ring.edges()).collect());
    let vertices = piece.openings.iter().flat_map(|o| o.ring.vertices());
    vertices.map(|v| lines.distance(image(v.at))).fold(0.0, f64::max)
}

#[test]
fn bridges_and_border_are_exactly_as_wide_as_drawn() {
    for (name, pitch) in
        [("hexagon", 5.0), ("triangle", 7.0), ("square", 4.6), ("fish-scale", 4.4), ("kites", 11.5)]
    {
        for outline in [
            CIRCLE,
            HEART,
            "shape = \"ellipse\"\nwidth = 44\nheight = 32",
            "shape = \"rectangle\"\nwidth = 42\nheight = 29",
        ] {
            let work = fitted(name, pitch, outline, "");
            assert!(is_fitted(&work.piece), "{name} {outline}: {:?}", work.piece.resolved.border);
            let edge = Boundary::of_ring(&work.piece.outline.edge);
            let near =
                |o: &sawpierce::openings::Opening| edge.closest(&o.ring, BORDER + 1.0).map(|c| c.distance);
            let to_edge: Vec<f64> = work.piece.openings.iter().filter_map(near).collect();
            let least = to_edge.iter().copied().fold(f64::INFINITY, f64::min);
            assert!((least - BORDER).abs() < 1e-3, "{name} {outline}: {least}");
            // Whole openings run along all of it: many, and all as near.
            assert!(to_edge.iter().filter(|d| (**d - BORDER).abs() < 1e-3).count() >= 10, "{name} {outline}");
            let between = work.graph.bridges().filter(|b| b.is_between_openings()).map(|b| b.width.get());
            let narrowest = between.fold(f64::INFINITY, f64::min);
            assert!((narrowest - BRIDGE).abs() < 1e-3, "{name} {outline}: {narrowest}");
            assert!(work.piece.left_solid.is_empty(), "{name} {outline}: {:?}", work.piece.left_solid);
        }
    }
}

/// Openings are as symmetrical as this, mm: rounding.
const ALIKE: f64 = 1e-9;

#[test]
fn as_symmetrical_as_outline_and_pattern_allow() {
    let sixth = Isometry::about(Point::ORIGIN, 60.0, false);
    let mirror = Isometry::about(Point::ORIGIN, 180.0, true);
    let fourth = Isometry::about(Point::ORIGIN, 90.0, false);
    for (name, pitch, outline, images) in [
        ("hexagon", 5.0, CIRCLE, vec![sixth, mirror]),
        ("interlaced-circles", 8.0, CIRCLE, vec![fourth, mirror]),
        ("hexagon", 4.6, HEART, vec![mirror]),
        ("triangle", 7.0, HEART, vec![mirror]),
        ("square", 4.6, HEART, vec![mirror]),
        ("ogee", 5.0, "shape = \"teardrop\"\nwidth = 32\nheight = 44", vec![mirror]),
        ("kites", 11.5, "shape = \"cushion\"\nwidth = 37\nheight = 37", vec![mirror]),
    ] {
        let work = fitted(name, pitch, outline, "");
        let quality = work.piece.resolved.border.as_ref().and_then(|b| b.quality.as_ref());
        let quality = quality.unwrap_or_else(|| panic!("{name}: {:?}", work.piece.resolved.border));
        for image in images.iter().chain(&quality.symmetries) {
            let off = asymmetry(&work.piece, |p| image.carry(p));
            assert!(off < ALIKE, "{name} {outline}: {off} of {image:?}");
            // Start holes are images of each other as well.
            for opening in &work.piece.openings {
                let at = image.carry(opening.drill_at);
                let far = |p: Point| (p - at).hypot2().sqrt();
                let near = work.piece.openings.iter().map(|o| far(o.drill_at)).fold(f64::INFINITY, f64::min);
                assert!(near < 1e-6, "{name} {outline}: start hole of {} by {near}", opening.n);
            }
        }
    }
}

/// To be shown while something is moved: keeps the same promise, is the same every time, and is not what is drawn.
#[test]
fn the_first_good_fit_is_a_piece_like_any_other() {
    for (name, pitch, outline) in
        [("hexagon", 5.0, CIRCLE), ("kites", 11.5, HEART), ("running-bond", 4.5, HEART)]
    {
        let job = job(&text(name, pitch, outline, ""));
        let drawn = sawpierce::outline::outline(&job).expect("an outline");
        let first = first_piece(&job, drawn.clone()).expect("a piece");
        assert!(is_fitted(&first), "{name}: {:?}", first.resolved.border);
        let rings = |p: &Piece| p.openings.iter().map(|o| o.ring.clone()).collect::<Vec<_>>();
        assert_eq!(rings(&first), rings(&first_piece(&job, drawn.clone()).expect("a piece")));
        let best = piece(&job, drawn).expect("a piece");
        let score = |p: &Piece| p.resolved.border.as_ref().and_then(|b| b.quality.as_ref()).map(|q| q.score);
        assert!(score(&best) <= score(&first), "{name}: {:?} {:?}", score(&best), score(&first));
        let edge = Boundary::of_ring(&first.outline.edge);
        let near =
            first.openings.iter().filter_map(|o| edge.closest(&o.ring, BORDER + 1.0)).map(|c| c.distance);
        assert!((near.fold(f64::INFINITY, f64::min) - BORDER).abs() < 1e-3, "{name}");
        for (i, one) in first.openings.iter().enumerate() {
            for other in &first.openings[i + 1..] {
                assert!(
                    one.ring.closest(&other.ring).distance > BRIDGE - 1e-3,
                    "{name} {} {}",
                    one.n,
                    other.n
                );
            }
        }
    }
}

/// Found in a drawing: an arc flattened in one cell kept its rise in a neighbour that lay as the pattern has it.
#[test]
fn neighbours_share_the_arcs_between_them() {
    let round = "shape = \"circle\"\ndiameter = 60";
    let small = text("fish-scale", 3.0, round, "")
        .replace("bridge = 1.1", "bridge = 0.9")
        .replace("drill = 1.0", "drill = 0.6");
    let work = done(&job(&small));
    assert!(is_fitted(&work.piece), "{:?}", work.piece.resolved.border);
    let between = work.graph.bridges().filter(|b| b.is_between_openings()).map(|b| b.width.get());
    let narrowest = between.fold(f64::INFINITY, f64::min);
    assert!((narrowest - 0.9).abs() < 1e-3, "{narrowest}");
}

/// A bar of metal across the middle parts the field.
#[test]
fn a_field_in_two_parts_is_fitted_in_both() {
    let bar = "[[keep_solid]]\nname = \"bar\"\nshape = \"rectangle\"\nwidth = 60\nheight = 5\nat = [0, 0]\n";
    let work = fitted("hexagon", 4.6, "shape = \"ellipse\"\nwidth = 46\nheight = 40", bar);
    assert!(is_fitted(&work.piece), "{:?}", work.piece.resolved.border);
    let above = work.piece.openings.iter().filter(|o| o.centroid.y > 0.0).count();
    assert!(
        above >= 10 && 2 * above == work.piece.openings.len(),
        "{above} of {}",
        work.piece.openings.len()
    );
}

#[test]
fn the_same_job_gives_the_same_piece() {
    let once = fitted("floret", 11.5, HEART, "");
    let again = fitted("floret", 11.5, HEART, "");
    let rings = |w: &Work| w.piece.openings.iter().map(|o| o.ring.clone()).collect::<Vec<_>>();
    assert_eq!(rings(&once), rings(&again));
}

#[test]
fn cells_deep_inside_stay_as_the_pattern_has_them() {
    for (name, pitch, least) in [("fish-scale", 4.4, 0.25), ("hexagon", 4.4, 0.3), ("square", 4.0, 0.3)] {
        let work = fitted(name, pitch, "shape = \"circle\"\ndiameter = 84", "");
        assert!(is_fitted(&work.piece), "{name}: {:?}", work.piece.resolved.border);
        let openings = &work.piece.openings;
        let alike: Vec<_> = openings.iter().filter(|o| o.shape.is_some()).collect();
        assert!(
            alike.len() as f64 >= least * openings.len() as f64,
            "{name}: {} of {}",
            alike.len(),
            openings.len()
        );
        // Equal openings are told equally, to the last digit.
        for one in &alike {
            let first = alike.iter().find(|o| o.shape == one.shape).expect("itself");
            assert_eq!(
                (one.widest, one.perimeter, one.corners),
                (first.widest, first.perimeter, first.corners)
            );
            assert_eq!(one.area, first.area);
        }
        let far = |o: &Opening| o.centroid.to_vec2().hypot2();
        let middle = openings.iter().min_by(|a, b| far(a).total_cmp(&far(b))).expect("an opening");
        assert!(middle.shape.is_some(), "{name}");
        let arcs = middle.ring.edges().any(|e| matches!(e, Edge::Arc { .. }));
        assert_eq!(arcs, name == "fish-scale");
    }
}

#[test]
fn windows_and_kept_places_keep_their_metal() {
    let window = "[[window]]\nname = \"stone\"\nshape = \"circle\"\ndiameter = 12\nat = [0, 0]\nborder = 2\n";
    let work = fitted("hexagon", 5.0, "shape = \"circle\"\ndiameter = 46", window);
    assert!(is_fitted(&work.piece), "{:?}", work.piece.resolved.border);
    let hole = Boundary::of_ring(&work.piece.outline.windows[0].ring);
    let gaps = work.piece.openings.iter().filter_map(|o| hole.closest(&o.ring, 3.0)).map(|c| c.distance);
    let least = gaps.fold(f64::INFINITY, f64::min);
    assert!((least - 2.0).abs() < 1e-3, "{least}");
    let pad = "[[keep_solid]]\nname = \"pad\"\nshape = \"circle\"\ndiameter = 8\nat = [7, 3]\n";
    let work = fitted("hexagon", 4.6, "shape = \"ellipse\"\nwidth = 46\nheight = 38", pad);
    assert!(is_fitted(&work.piece), "{:?}", work.piece.resolved.border);
    let pad = &work.piece.outline.keeps[0].ring;
    let clear = |p: Point| !pad.contains(p) || (pad.nearest(p) - p).hypot() < 1e-3;
    assert!(work.piece.openings.iter().flat_map(|o| o.ring.vertices()).all(|v| clear(v.at)));
}

#[test]
fn a_band_is_fitted_to_its_long_edges_and_closes() {
    let work =
        fitted("square", 3.0, "shape = \"band\"\ninside = 20\nwidth = 14", "[limits]\nopening = 0.8\n");
    assert!(is_fitted(&work.piece), "{:?}", work.piece.resolved.border);
    let high = work.piece.openings.iter().map(|o| o.ring.bounds().y1).fold(0.0, f64::max);
    assert!((high - (7.0 - BORDER)).abs() < 1e-3, "{high}");
    let rows: std::collections::BTreeSet<i64> =
        work.piece.openings.iter().map(|o| (o.centroid.y * 100.0).round() as i64).collect();
    let count = work.piece.resolved.repeats[0] as usize;
    assert_eq!(work.piece.openings.len(), rows.len() * count, "{rows:?}");
    let narrowest = work.graph.bridges().map(|b| b.width.get()).fold(f64::INFINITY, f64::min);
    assert!(narrowest > BRIDGE - 1e-3, "{narrowest}");
}

#[test]
fn a_cone_is_fitted_to_both_ends() {
    let cone = "shape = \"cone\"\ntop = 20\nbottom = 34\nheight = 26";
    let work = fitted("square", 4.0, cone, "[limits]\nopening = 0.8\n");
    assert!(is_fitted(&work.piece), "{:?}", work.piece.resolved.border);
    let narrowest = work.graph.bridges().map(|b| b.width.get()).fold(f64::INFINITY, f64::min);
    assert!(narrowest > BRIDGE - 1e-3, "{narrowest}");
}

#[test]
fn what_the_maker_typed_is_kept() {
    let typed =
        text("hexagon", 5.0, CIRCLE, "").replace("\"best\"", "\"crossing\"").replace("turn = 0", "turn = 10");
    let work = done(&job(&typed));
    assert_eq!(work.piece.resolved.centre, "crossing");
    assert_eq!(work.piece.resolved.turn, 10.0);
}

#[test]
fn what_does_not_fit_says_why() {
    for (name, pitch, why) in [("holes-staggered", 5.0, "do not meet along"), ("hexagon", 24.0, "too few")] {
        let work = fitted(name, pitch, CIRCLE, "");
        let verdict = work.verdicts.iter().find(|v| v.check == Check::BorderFit).expect("a verdict");
        assert_eq!(verdict.level, Level::Caution);
        let says = verdict.says(sawpierce::units::LengthUnit::Mm);
        assert!(says.contains("not fitted") && says.contains(why), "{says}");
    }
    let fits = done(&job(&disc(&[("pattern.at_border", "\"fit\"")], "")));
    let verdict = fits.verdicts.iter().find(|v| v.check == Check::BorderFit).expect("a verdict");
    assert_eq!(verdict.level, Level::Good);
    let trimmed = done(&job(&disc(&[("pattern.at_border", "\"trim\"")], "")));
    let told: Vec<Level> =
        trimmed.verdicts.iter().filter(|v| v.check == Check::BorderFit).map(|v| v.level).collect();
    assert_eq!(told, [Level::Good]);
}

/// Drawn in by up to nine tenths of its widest circle, no joined opening falls apart; some are joined.
#[test]
fn joined_openings_have_no_necks() {
    let mut joined = 0;
    for (name, pitch) in [("hexagon", 4.6), ("square", 4.6), ("triangle", 7.0), ("running-bond", 4.5)] {
        for outline in [CIRCLE, HEART] {
            let join = text(name, pitch, outline, "").replace("\"fit\"", "\"join\"");
            let trim = join.replace("\"join\"", "\"trim\"");
            let (work, trimmed) = (done(&job(&join)), done(&job(&trim)));
            let near = |a: &Opening, b: &Opening| (a.centroid - b.centroid).hypot2() < 1e-6;
            let alone = |o: &&Opening| !trimmed.piece.openings.iter().any(|t| near(t, o));
            for opening in work.piece.openings.iter().filter(alone) {
                joined += 1;
                for k in 1..40 {
                    let by = 0.445 * opening.widest.get() * f64::from(k) / 40.0;
                    let parts = opening.ring.shrink(by).len();
                    assert_eq!(parts, 1, "{name} {outline}: opening {} drawn in by {by}", opening.n);
                }
            }
        }
    }
    assert!(joined >= 4, "{joined}");
}

/// Found in a sampler: sixteen bricks without a mirror turned round in their disc by 70 degrees, all together.
#[test]
fn a_small_piece_keeps_the_turn_that_was_typed() {
    let disc = "shape = \"circle\"\ndiameter = 28";
    for border in [2.0, 2.2] {
        let job = job(&text("raking-bond", 4.6, disc, "")
            .replace("turn = 0", "turn = 45")
            .replace("border = 2.2", &format!("border = {border}")));
        let openings = done(&job).piece.openings.clone();
        let level = openings.iter().filter(|o| o.ring.bounds().width() > o.ring.bounds().height()).count();
        assert!(2 * level > openings.len(), "{level} of {}", openings.len());
    }
}

const RECTANGLE: &str = "shape = \"rectangle\"\nwidth = 42\nheight = 29";

/// Angle of a line to the nearest of level and upright, degrees.
fn slant(edge: &Edge) -> f64 {
    let along = edge.to() - edge.from();
    let slant = along.y.abs().atan2(along.x.abs()).to_degrees();
    slant.min(90.0 - slant)
}

/// Found in a picture: courses bowed in a rectangle, where nothing asks them to.
#[test]
fn bricks_lie_dead_straight_in_a_rectangle() {
    for (name, pitch, turn) in [
        ("running-bond", 4.5, 45),
        ("raking-bond", 3.7, 45),
        ("stack-bond", 3.2, 90),
        ("basket-weave", 9.0, 45),
        ("square", 4.6, 0),
    ] {
        let job = job(&text(name, pitch, RECTANGLE, "").replace("turn = 0", &format!("turn = {turn}")));
        let piece = done(&job).piece.clone();
        assert!(is_fitted(&piece), "{name}: {:?}", piece.resolved.border);
        let slants = piece.openings.iter().flat_map(|o| o.ring.edges()).map(|e| slant(&e));
        let most = slants.fold(0.0, f64::max);
        assert!(most < 1e-6, "{name}: {most} degrees");
        let told = piece.resolved.notes.iter().any(|n| n.contains("so that whole ones fill the rectangle"));
        assert!(told, "{name}: {:?}", piece.resolved.notes);
    }
}

/// Found in pictures: bricks without a mirror slid round in drops and marquises until their courses ran aslant.
#[test]
fn courses_keep_the_turn_that_was_typed() {
    for outline in [
        CIRCLE,
        "shape = \"circle\"\ndiameter = 28",
        "shape = \"teardrop\"\nwidth = 32\nheight = 44",
        "shape = \"marquise\"\nwidth = 28\nheight = 46",
        "shape = \"ellipse\"\nwidth = 44\nheight = 32",
    ] {
        let job = job(&text("raking-bond", 3.7, outline, "").replace("turn = 0", "turn = 45"));
        let piece = done(&job).piece.clone();
        let (mut rise, mut run) = (0.0, 0.0);
        for edge in piece.openings.iter().flat_map(|o| o.ring.edges()) {
            let along = edge.to() - edge.from();
            if along.x.abs() > 2.0 * along.y.abs() {
                rise += along.y * along.x.signum();
                run += along.x.abs();
            }
        }
        let mean = rise.atan2(run).to_degrees();
        assert!(mean.abs() < 4.0, "{outline}: courses climb {mean} degrees");
    }
}

/// A job that says no turn lays bricks level, as their pattern is drawn.
#[test]
fn bricks_are_level_where_no_turn_is_typed() {
    let typed = text("running-bond", 4.5, RECTANGLE, "").replace("turn = 0", "turn = 45");
    let left_out = typed.replace("turn = 45\n", "");
    let rings =
        |text: &str| done(&job(text)).piece.openings.iter().map(|o| o.ring.clone()).collect::<Vec<_>>();
    assert_eq!(rings(&left_out), rings(&typed));
}

/// Where the pitch itself gives nothing that keeps the promise, one nearly as large does, and the piece says so.
#[test]
fn a_pitch_that_does_not_fit_is_eased_and_told() {
    let heart = text("six-point-star", 6.0, HEART, "")
        .replace("turn = 0\n", "")
        .replace("drill = 1.0", "drill = 0.5");
    let piece = done(&job(&heart)).piece.clone();
    assert!(is_fitted(&piece), "{:?}", piece.resolved.border);
    let pitch = piece.resolved.pitch.get();
    assert!(pitch != 6.0 && (pitch / 6.0 - 1.0).abs() <= 0.0801, "{pitch}");
    let told = |n: &String| n.contains("pitch 6.00 mm eased to") && n.contains(&format!("{pitch:.2} mm"));
    assert!(piece.resolved.notes.iter().any(told), "{pitch}: {:?}", piece.resolved.notes);
}

/// Found in pictures: long bars came out three times as broad as their own at a round border, leaves were squeezed to nothing.
/// They end at the border as they are, and no piece of one is a crumb.
#[test]
fn long_cells_are_cut_and_none_is_a_crumb() {
    for (name, pitch, outline) in [
        ("chevron", 3.2, CIRCLE),
        ("chevron", 3.2, HEART),
        ("chevron", 3.2, "shape = \"marquise\"\nwidth = 28\nheight = 46"),
        ("herringbone-long", 3.2, CIRCLE),
        ("six-petal", 10.88, CIRCLE),
        ("six-petal", 10.88, RECTANGLE),
    ] {
        let work = done(&job(&text(name, pitch, outline, "").replace("drill = 1.0", "drill = 0.6")));
        let piece = &work.piece;
        let quality = piece.resolved.border.as_ref().and_then(|b| b.quality.as_ref());
        let quality = quality.unwrap_or_else(|| panic!("{name} {outline}: {:?}", piece.resolved.border));
        assert!(quality.cut && quality.narrowest >= 0.6, "{name} {outline}: {quality:?}");
        assert!(piece.left_solid.is_empty(), "{name} {outline}: {:?}", piece.left_solid);
        let edge = Boundary::of_ring(&piece.outline.edge);
        let near = |o: &Opening| edge.closest(&o.ring, BORDER + 1.0).map(|c| c.distance);
        let to_edge: Vec<f64> = piece.openings.iter().filter_map(near).collect();
        let least = to_edge.iter().copied().fold(f64::INFINITY, f64::min);
        assert!((least - BORDER).abs() < 1e-3, "{name} {outline}: {least}");
        assert!(to_edge.iter().filter(|d| (**d - BORDER).abs() < 1e-3).count() >= 10, "{name} {outline}");
        let between = work.graph.bridges().filter(|b| b.is_between_openings()).map(|b| b.width.get());
        let narrowest = between.fold(f64::INFINITY, f64::min);
        assert!((narrowest - BRIDGE).abs() < 1e-3, "{name} {outline}: {narrowest}");
        for image in &quality.symmetries {
            let off = asymmetry(piece, |p| image.carry(p));
            assert!(off < ALIKE, "{name} {outline}: {off} of {image:?}");
        }
        let told = piece.resolved.notes.iter().any(|n| n.starts_with("nothing is bent"));
        assert!(told, "{name} {outline}: {:?}", piece.resolved.notes);
        let verdict = work.verdicts.iter().find(|v| v.check == Check::BorderFit).expect("a verdict");
        let says = verdict.says(sawpierce::units::LengthUnit::Mm);
        assert!(verdict.level == Level::Good && says.contains("no crumb"), "{says}");
    }
}

/// Bars between the middle and the border keep their slant: chevron fanned out in a rectangle when it was bent.
#[test]
fn chevron_bars_keep_their_slant() {
    for outline in [CIRCLE, RECTANGLE, "shape = \"cushion\"\nwidth = 37\nheight = 37"] {
        let work = done(&job(&text("chevron", 3.2, outline, "").replace("drill = 1.0", "drill = 0.6")));
        assert!(is_fitted(&work.piece), "{outline}: {:?}", work.piece.resolved.border);
        let lines = work
            .piece
            .openings
            .iter()
            .flat_map(|o| o.ring.edges())
            .filter(|e| e.sweep() == 0.0 && e.length() > 2.0);
        // Snapped to a rectangle, a bar of 45 degrees is stretched by a tenth at most either way.
        let off = lines
            .map(|e| {
                let s = slant(&e);
                s.min((s - 45.0).abs())
            })
            .fold(0.0, f64::max);
        assert!(off < 6.0, "{outline}: {off}");
    }
}

/// A shipped pendant with its cells fitted, not trimmed: a kept tab at the top and a stone low in the field break every row. It was
/// refused at every pitch; laid where it suits the outline, it is cut without a crumb.
#[test]
fn a_pendant_with_a_tab_and_a_stone_is_fitted() {
    let pendant = include_str!("../../examples/tern-pendant.toml").replace("at_border = \"trim\"\n", "");
    let typed = done(&job(&pendant));
    let verdict = typed.verdicts.iter().find(|v| v.check == Check::BorderFit).expect("a verdict");
    assert_eq!(verdict.level, Level::Caution);
    let left_out = done(&job(&pendant.replace("centre = \"crossing\"", "centre = \"best\"")));
    assert!(is_fitted(&left_out.piece), "{:?}", left_out.piece.resolved.border);
}
