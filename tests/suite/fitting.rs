//! `at_border = "fit"`: what every fitted piece promises, held on small pieces of every kind.

use crate::made::{disc, done, job};
use sawpierce::checks::{Check, Level};
use sawpierce::geom::{Boundary, Edge, Point};
use sawpierce::job::AtBorder;
use sawpierce::openings::Piece;
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
            let between =
                work.graph.bridges.iter().filter(|b| b.is_between_openings()).map(|b| b.width.get());
            let narrowest = between.fold(f64::INFINITY, f64::min);
            assert!((narrowest - BRIDGE).abs() < 1e-3, "{name} {outline}: {narrowest}");
            assert!(work.piece.left_solid.is_empty(), "{name} {outline}: {:?}", work.piece.left_solid);
        }
    }
}

/// A fifth of a micrometre: what the openings' lines keep of the exact symmetry of the cells they are taken from, mm.
const ALIKE: f64 = 2e-4;

#[test]
fn as_symmetrical_as_outline_and_pattern_allow() {
    let round = fitted("hexagon", 5.0, CIRCLE, "");
    let sixth = |p: Point| {
        let (s, c) = sawpierce::geom::sin_cos_degrees(60.0);
        Point::new(p.x * c - p.y * s, p.x * s + p.y * c)
    };
    let mirror = |p: Point| Point::new(-p.x, p.y);
    assert!(asymmetry(&round.piece, sixth) < ALIKE, "{}", asymmetry(&round.piece, sixth));
    assert!(asymmetry(&round.piece, mirror) < ALIKE);
    for name in ["hexagon", "triangle", "square"] {
        let heart = fitted(name, if name == "triangle" { 7.0 } else { 4.6 }, HEART, "");
        assert!(is_fitted(&heart.piece), "{name}");
        assert!(asymmetry(&heart.piece, mirror) < ALIKE, "{name} {}", asymmetry(&heart.piece, mirror));
    }
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
    let work = fitted("fish-scale", 4.4, "shape = \"circle\"\ndiameter = 84", "");
    assert!(is_fitted(&work.piece), "{:?}", work.piece.resolved.border);
    let alike = work.piece.openings.iter().filter(|o| o.shape.is_some()).count();
    assert!(alike >= 12, "{alike} of {}", work.piece.openings.len());
    let middle = work
        .piece
        .openings
        .iter()
        .min_by(|a, b| a.centroid.to_vec2().hypot().total_cmp(&b.centroid.to_vec2().hypot()));
    assert!(middle.is_some_and(|o| o.ring.edges().any(|e| matches!(e, Edge::Arc { .. }))));
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
    let narrowest = work.graph.bridges.iter().map(|b| b.width.get()).fold(f64::INFINITY, f64::min);
    assert!(narrowest > BRIDGE - 1e-3, "{narrowest}");
}

#[test]
fn a_cone_is_fitted_to_both_ends() {
    let cone = "shape = \"cone\"\ntop = 20\nbottom = 34\nheight = 26";
    let work = fitted("square", 4.0, cone, "[limits]\nopening = 0.8\n");
    assert!(is_fitted(&work.piece), "{:?}", work.piece.resolved.border);
    let narrowest = work.graph.bridges.iter().map(|b| b.width.get()).fold(f64::INFINITY, f64::min);
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
    for (name, pitch, why) in [("holes-staggered", 5.0, "do not meet along"), ("hexagon", 14.0, "too few")] {
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
