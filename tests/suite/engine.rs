//! The engine from a job's text: what must hold of every piece, and what turning and mirroring must not change.

use sawpierce::checks::{graph, Bridge, BridgeGraph, Side};
use sawpierce::job::{parse, NamedFiles, Settings};
use sawpierce::units::Mm;
use sawpierce::work::{work, Work};

fn made(text: &str) -> Work {
    let job =
        parse(text, "test.toml", &NamedFiles::new(), &Settings::default()).unwrap_or_else(|e| panic!("{e}"));
    work(&job).unwrap_or_else(|e| panic!("{e}"))
}

/// Trimmed at the border unless told otherwise.
fn disc(pattern: &str, extra: &str) -> String {
    let border = if extra.contains("at_border") { "" } else { "at_border = \"trim\"\n" };
    format!(
        "[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"circle\"\ndiameter = 40\nborder = 2.2\n\
         [pattern]\n{border}name = \"{pattern}\"\npitch = 5.1\nbridge = 1.1\n{extra}"
    )
}

/// Openings numbered in turn, drill points clear, each opening with a bridge, nothing narrower than asked.
fn holds(w: &Work) {
    let bridge = w.piece.resolved.bridge.get();
    assert!(!w.piece.openings.is_empty());
    for (i, o) in w.piece.openings.iter().enumerate() {
        assert_eq!(o.n, i + 1);
        let clear = o.ring.signed_distance(o.drill_at);
        assert!((2.0 * clear - o.widest.get()).abs() < 1e-9, "opening {}", o.n);
        assert!(o.area > 0.0 && o.perimeter.get() > 0.0);
    }
    for o in &w.piece.openings {
        assert!(
            w.graph.bridges().any(|b| b.between.contains(&Side::Opening(o.n))),
            "opening {} has no bridge",
            o.n
        );
    }
    for b in w.graph.bridges() {
        if let [Side::Opening(_), Side::Opening(_)] = b.between {
            assert!(b.width.get() >= bridge - 2e-6, "{b:?}");
        }
        assert!(((b.at[1] - b.at[0]).hypot() - b.width.get()).abs() < 1e-9);
    }
}

#[test]
fn the_three_first_patterns_hold() {
    for pattern in ["hexagon", "triangle", "square"] {
        for extra in [
            "",
            "at_border = \"fit\"",
            "at_border = \"whole\"",
            "at_border = \"join\"",
            "corner_radius = 0.4",
            "centre = \"best\"",
        ] {
            let w = made(&disc(pattern, extra));
            holds(&w);
        }
    }
}

#[test]
fn whole_neighbours_stand_exactly_a_bridge_apart() {
    for pattern in ["hexagon", "triangle", "square"] {
        for turn in [0.0, 17.3, 90.0] {
            let w = made(&disc(pattern, &format!("turn = {turn}")));
            let mut seen = 0;
            for b in w.graph.bridges() {
                if let [Side::Opening(a), Side::Opening(c)] = b.between {
                    let whole = [a, c].iter().all(|&n| !w.piece.openings[n - 1].trimmed);
                    if whole {
                        assert!((b.width.get() - 1.1).abs() < 1e-9, "{b:?}");
                        seen += 1;
                    }
                }
            }
            assert!(seen > 5, "{pattern}: {seen}");
        }
    }
}

/// A circle does not care how the pattern is turned: counts and measures agree.
#[test]
fn turning_a_disc_changes_nothing_measured() {
    for pattern in ["hexagon", "triangle", "square"] {
        let plain = made(&disc(pattern, ""));
        for turn in [30.0, 47.0, 180.0] {
            let turned = made(&disc(pattern, &format!("turn = {turn}")));
            assert_eq!(plain.piece.openings.len(), turned.piece.openings.len(), "{pattern} {turn}");
            assert_eq!(plain.piece.left_solid.len(), turned.piece.left_solid.len());
            assert!((plain.piece.open_area() - turned.piece.open_area()).abs() < 1e-2);
            let narrowest = |w: &Work| w.graph.bridges().next().map_or(0.0, |b| b.finished.get());
            assert!((narrowest(&plain) - narrowest(&turned)).abs() < 1e-3);
        }
    }
}

/// Open area of a plate with square holes straight in line, and of hexagons in staggered rows: the perforated plate
/// formulas A% = 100 w2/p2 (common practice; ISO 7806 names the arrangements), here for one whole repeat.
#[test]
fn open_area_follows_the_perforated_plate_formulas() {
    for (pattern, pitch, bridge) in [("square", 5.1, 1.1), ("hexagon", 6.7, 0.7), ("hexagon", 5.1, 1.1)] {
        let w =
            made(&disc(pattern, "").replace("5.1", &pitch.to_string()).replace("1.1", &bridge.to_string()));
        let first = &w.piece.openings[0];
        assert!(!first.trimmed);
        let clear: f64 = pitch - bridge;
        let per_repeat = match pattern {
            "square" => pitch * pitch,
            _ => pitch * pitch * 3f64.sqrt() / 2.0,
        };
        let share = clear * clear / (pitch * pitch);
        assert!((first.area / per_repeat - share).abs() < 1e-9, "{pattern} {}", first.area / per_repeat);
    }
}

/// Whole hexagons in a disc (counted by brute force; complete rings are OEIS A003215: 1, 7, 19, 37).
#[test]
fn complete_rings_of_hexagons() {
    for (rings, count) in [(1, 7), (2, 19), (3, 37)] {
        let k = f64::from(rings);
        let pitch = 5.0;
        // Radius that just holds k rings of whole cells, less the half bridge the openings keep from the cell's edge.
        let reach = pitch * (k * k + k + 1.0 / 3.0).sqrt();
        let text = format!(
            "[sheet]\nmetal = \"copper\"\n[outline]\nshape = \"circle\"\ndiameter = {}\nborder = 2\n[pattern]\n\
             name = \"hexagon\"\npitch = {pitch}\nbridge = 1.2\nat_border = \"whole\"\n",
            2.0 * (reach + 2.0)
        );
        assert_eq!(made(&text).piece.openings.len(), count, "{rings} rings");
    }
}

#[test]
fn nothing_is_left_solid_in_silence() {
    let w = made(&disc("hexagon", "").replace(
        "[pattern]",
        "[[keep_solid]]\nname = \"tab\"\nshape = \"circle\"\ndiameter = 6\nat = [0, 14]\n[pattern]",
    ));
    holds(&w);
    // Every lattice place whose opening would reach inside the border is an opening or is listed.
    let pitch = 5.1;
    let mut missing = Vec::new();
    for i in -8..=8 {
        for j in -8..=8 {
            let (i, j) = (f64::from(i), f64::from(j));
            let at = sawpierce::geom::Point::new(pitch * (i + j / 2.0), pitch * j * 3f64.sqrt() / 2.0);
            let inside = at.to_vec2().hypot() < 40.0 / 2.0 - 2.2;
            let known = w.piece.openings.iter().any(|o| (o.centroid - at).hypot() < pitch / 2.0)
                || w.piece.left_solid.iter().any(|s| (s.at - at).hypot() < 1e-6);
            if inside && !known {
                missing.push(at);
            }
        }
    }
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn a_change_is_made_to_the_opening_that_holds_its_point() {
    let plain = made(&disc("square", ""));
    let drawn_in = made(&format!("{}\n[[change]]\nat = [0, 0]\ndraw_in = 0.15\n", disc("square", "")));
    let closed = made(&format!("{}\n[[change]]\nat = [0, 0]\nclose = true\n", disc("square", "")));
    assert!(
        (plain.piece.openings[0].widest - Mm(0.3) - drawn_in.piece.openings[0].widest).get().abs() < 1e-9
    );
    assert_eq!(closed.piece.openings.len() + 1, plain.piece.openings.len());
    assert!(closed.piece.left_solid.iter().any(|s| s.reason.contains("your change")));
}

/// Found by the outside referee: two openings far apart, both near the border, had no bridge to each other.
#[test]
fn the_nearest_neighbour_is_named_even_when_the_border_is_nearer_than_the_usual_reach() {
    let w = made(
        "[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"rectangle\"\nwidth = 28.686\nheight = 33.058\n\
         border = 2.34\n[pattern]\nname = \"cane-work\"\nbridge = 1.2\nturn = 45\nat_border = \"whole\"\n\
         corner_radius = 0.3\n[[keep_solid]]\nname = \"tab\"\nshape = \"circle\"\ndiameter = 4.299\n\
         at = [0.482, -4.809]\n[limits]\nopening = 2.13\n[saw]\ndrill = 0.8\nblade = \"2/0\"\n",
    );
    for o in &w.piece.openings {
        let others = w.piece.openings.iter().filter(|p| p.n != o.n).map(|p| p.ring.closest(&o.ring).distance);
        let least = others.fold(o.ring.closest(&w.piece.outline.edge).distance, f64::min);
        let named = w.graph.bridges().filter(|b| b.between.contains(&Side::Opening(o.n)));
        let named = named.map(|b| b.width.get()).fold(f64::INFINITY, f64::min);
        assert!((named - least).abs() < 1e-6, "opening {}: {named} named, {least} true", o.n);
    }
}

/// Found by the outside referee: a sharp tip reached 7 micrometres into the border, with hardly any area.
#[test]
fn no_tip_reaches_into_the_border() {
    let w = made(
        "[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"marquise\"\nwidth = 34.276\nheight = 46.247\n\
         border = 1.245\n[pattern]\nname = \"quatrefoil\"\nbridge = 0.82\nat_border = \"ease\"\n[limits]\nopening = 3.8\n\
         [saw]\ndrill = 0.8\nblade = \"2/0\"\n",
    );
    for o in &w.piece.openings {
        assert!(o.ring.closest(&w.piece.outline.edge).distance > 1.245 - 1e-3, "opening {}", o.n);
    }
}

/// The narrowest trimmed opening beside the narrowest whole one, 1 at most.
fn thinnest(w: &Work) -> f64 {
    let least = |trimmed: bool| {
        let some = w.piece.openings.iter().filter(|o| o.trimmed == trimmed);
        some.map(|o| o.widest.get()).fold(f64::INFINITY, f64::min)
    };
    (least(true) / least(false)).min(1.0)
}

#[test]
fn easing_leaves_no_thinner_side_pieces_than_trimming() {
    for outline in [
        "shape = \"circle\"\ndiameter = 32",
        "shape = \"marquise\"\nwidth = 22\nheight = 44",
        "shape = \"heart\"\nwidth = 34\nheight = 32",
        "shape = \"cushion\"\nwidth = 34\nheight = 28",
        "shape = \"crescent\"\nwidth = 30\nheight = 36",
    ] {
        for pattern in ["hexagon", "fish-scale", "octagon-and-dot", "eight-point-star-fine"] {
            let at = |how: &str| {
                made(&format!(
                    "skill = \"fine-work\"\n[sheet]\nmetal = \"sterling-silver\"\nthickness = 0.8\n[outline]\n{outline}\n[pattern]\n\
                     name = \"{pattern}\"\nat_border = \"{how}\"\n"
                ))
            };
            let (trim, ease) = (at("trim"), at("ease"));
            assert!(thinnest(&ease) > thinnest(&trim) - 2e-3, "{outline} {pattern}");
            assert!(ease.piece.evenness() > trim.piece.evenness() - 2e-3, "{outline} {pattern}");
        }
    }
}

/// Openings of one shape take their bridges from a neighbourhood met before: what they are told is what is measured at each
/// of them by itself.
#[test]
fn bridges_taken_from_likes_are_those_measured() {
    let window =
        "[[window]]\nname = \"light\"\nshape = \"circle\"\ndiameter = 7\nat = [6, 3]\nborder = 1.5\n";
    for (pattern, extra) in [
        ("hexagon", ""),
        ("hexagon", "turn = 17\n"),
        ("square", "centre = \"crossing\"\n"),
        ("triangle", "at_border = \"whole\"\n"),
        ("quatrefoil", ""),
        ("star-and-squares", ""),
        ("hexagon", window),
    ] {
        let text = disc(pattern, extra).replace("diameter = 40", "diameter = 90");
        let job = parse(&text, "test.toml", &NamedFiles::new(), &Settings::default())
            .unwrap_or_else(|e| panic!("{e}"));
        let piece = work(&job).unwrap_or_else(|e| panic!("{e}")).piece;
        let mut alone = (*piece).clone();
        alone.openings.iter_mut().for_each(|o| o.shape = None);
        let by_sides = |graph: &BridgeGraph| {
            let mut all: Vec<Bridge> = graph.bridges().collect();
            all.sort_by_key(|b| b.between);
            all
        };
        let (told, measured) = (graph(&job, &piece), graph(&job, &alone));
        assert!(told.kinds().count() < measured.kinds().count(), "{pattern}: nothing was shared");
        assert_eq!(told.kinds().map(|(_, times)| times).sum::<usize>(), told.len(), "{pattern}");
        let (told, measured) = (by_sides(&told), by_sides(&measured));
        assert_eq!(told.len(), measured.len(), "{pattern} {extra}");
        for (a, b) in told.iter().zip(&measured) {
            assert_eq!(a.between, b.between, "{pattern} {extra}");
            assert!((a.width - b.width).get().abs() < 1e-9 && (a.finished - b.finished).get().abs() < 1e-9);
            // Between straight edges side by side, and between arcs about one centre, any place is the nearest: what is told
            // lies on both lines, so far apart.
            assert!(
                (a.at[0].distance(a.at[1]) - b.width.get()).abs() < 1e-9,
                "{pattern} {extra}: {a:?} {b:?}"
            );
            for (side, at) in a.between.iter().zip(a.at) {
                let Side::Opening(n) = side else { continue };
                let off = piece.openings[n - 1].ring.signed_distance(at).abs();
                assert!(off < 1e-9, "{pattern} {extra}: {off} mm off its line, {a:?}");
            }
        }
    }
}
