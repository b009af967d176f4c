//! Every pattern that comes with the program, measured: areas, corners, symmetry, and what is open after the bridge.

use sawpierce::catalogue::{all, find, read, Centre, CentreKind, Fills, Pattern};
use sawpierce::geom::{Edge, Point, Ring, Vec2};
use std::f64::consts::{PI, TAU};

/// Nearest copy of a step to nothing, the repeats being free: how far two places are from being the same.
fn off_repeat(pattern: &Pattern, v: Vec2) -> f64 {
    let [a, b] = pattern.repeat;
    let whole = a.cross(b);
    let (m, n) = ((v.cross(b) / whole).round(), (a.cross(v) / whole).round());
    (v - a * m - b * n).hypot()
}

/// Whether two rings are the same up to repeats, wherever they start.
fn same_ring(pattern: &Pattern, one: &Ring, other: &Ring) -> bool {
    if let (Some((c, r)), Some((d, s))) = (one.as_circle(), other.as_circle()) {
        return off_repeat(pattern, d - c) < 1e-9 && (r - s).abs() < 1e-9;
    }
    let n = one.corners.len();
    n == other.corners.len()
        && (0..n).any(|k| {
            let step = other.corners[k].at - one.corners[0].at;
            off_repeat(pattern, step) < 1e-9
                && (0..n).all(|i| {
                    let (p, q) = (one.corners[i], other.corners[(i + k) % n]);
                    (q.at - p.at - step).hypot() < 1e-9 && (p.bulge - q.bulge).abs() < 1e-9
                })
        })
}

/// Whether `moved` shapes lie on the pattern again.
fn falls_on_itself(pattern: &Pattern, moved: impl Fn(&Ring) -> Ring) -> bool {
    // The repeats must fall on repeats, too: one round hole by itself would fall on itself however turned.
    let spot = |v: Vec2| moved(&Ring::polygon([v.to_point()])).corners[0].at;
    let repeats = pattern.repeat.iter().all(|&v| off_repeat(pattern, spot(v) - spot(Vec2::ZERO)) < 1e-9);
    repeats
        && pattern.shapes.iter().all(|s| {
            let ring = moved(&s.ring);
            pattern.shapes.iter().any(|t| same_ring(pattern, &ring, &t.ring))
        })
}

fn turned_about(ring: &Ring, centre: Point, degrees: f64) -> Ring {
    ring.shifted(-centre.to_vec2()).turned(degrees).shifted(centre.to_vec2())
}

fn order_at(pattern: &Pattern, at: Point) -> u32 {
    [6, 4, 3, 2]
        .into_iter()
        .find(|n| falls_on_itself(pattern, |r| turned_about(r, at, 360.0 / f64::from(*n))))
        .unwrap_or(1)
}

/// Mirrors of a repeat run along or across one of its repeats.
fn mirror_at(pattern: &Pattern, at: Point) -> bool {
    (-4..=4).flat_map(|m| (-4..=4).map(move |n| (m, n))).filter(|&mn| mn != (0, 0)).any(|(m, n)| {
        let angle = pattern.repeat_of(m, n).atan2().to_degrees();
        falls_on_itself(pattern, |r| {
            let flat = r.shifted(-at.to_vec2()).turned(-angle).mirrored();
            flat.turned(angle).shifted(at.to_vec2())
        })
    })
}

#[test]
fn there_are_enough_and_they_say_what_they_are() {
    assert!(all().len() >= 50, "{}", all().len());
    for p in all() {
        assert!(
            !p.title.is_empty() && !p.about.is_empty() && !p.source.is_empty() && !p.pitch.is_empty(),
            "{}",
            p.name
        );
        assert!(p.name.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{}", p.name);
        assert!(find(&p.name).is_some_and(|q| q.name == p.name));
    }
    assert!(find("no-such-pattern").is_none());
}

#[test]
fn the_shortest_repeat_is_one_along_x() {
    for p in all() {
        assert_eq!(p.repeat[0], Vec2::new(1.0, 0.0), "{}", p.name);
        assert!(p.repeat[1].y > 0.0 && p.repeat[1].x.abs() <= 0.5 + 1e-9, "{}", p.name);
        for (m, n) in (-3..=3).flat_map(|m| (-3..=3).map(move |n| (m, n))).filter(|&mn| mn != (0, 0)) {
            assert!(p.repeat_of(m, n).hypot() >= 1.0 - 1e-9, "{}", p.name);
        }
        for (m, n) in [(2, 3), (3, 2), (1, 2), (2, 1), (3, 1), (1, 3)] {
            // No shorter repeat was overlooked: the pattern does not fall on itself a part of a repeat on.
            for parts in 2..=3 {
                let step = p.repeat_of(m, n) / f64::from(parts);
                if off_repeat(p, step) > 1e-6 {
                    assert!(!falls_on_itself(p, |r| r.shifted(step)), "{} {m} {n} {parts}", p.name);
                }
            }
        }
    }
}

#[test]
fn shapes_add_up_to_the_repeat() {
    for p in all().iter().filter(|p| p.fills == Fills::Plane) {
        let area: f64 = p.shapes.iter().map(|s| s.ring.area()).sum();
        assert!((area / p.repeat_area() - 1.0).abs() < 1e-9, "{}: {area}", p.name);
    }
}

/// The angle inside a ring at corner `i`; a cusp that points out counts 0.
fn inside_angle(ring: &Ring, i: usize) -> f64 {
    let n = ring.corners.len();
    let (before, after) = (ring.edge((i + n - 1) % n).direction(1.0), ring.edge(i).direction(0.0));
    let angle = ((-before).atan2() - after.atan2()).rem_euclid(TAU);
    if angle > TAU - 1e-6 {
        0.0
    } else {
        angle
    }
}

#[test]
fn corners_close_round_every_joint() {
    for p in all().iter().filter(|p| p.fills == Fills::Plane) {
        for shape in &p.shapes {
            for corner in &shape.ring.corners {
                let mut sum = 0.0;
                for s in &p.shapes {
                    for (i, c) in s.ring.corners.iter().enumerate() {
                        if off_repeat(p, c.at - corner.at) < 1e-9 {
                            sum += inside_angle(&s.ring, i);
                        }
                    }
                }
                // All round, or half round where the joint lies on a neighbour's edge (which must be straight there).
                assert!(
                    (sum - TAU).abs() < 1e-6 || (sum - PI).abs() < 1e-6,
                    "{} {:?} {sum}",
                    p.name,
                    corner.at
                );
            }
        }
    }
}

#[test]
fn centres_have_the_symmetry_they_promise_and_no_more() {
    for p in all() {
        for kind in [CentreKind::Opening, CentreKind::Joint, CentreKind::Bridge] {
            assert!(p.centre(kind).is_some(), "{} {kind:?}", p.name);
        }
        for &Centre { kind, at, order, mirror } in &p.centres {
            assert_eq!(order_at(p, at), order, "{} {kind:?} {at:?}", p.name);
            assert_eq!(mirror_at(p, at), mirror, "{} {kind:?} {at:?}", p.name);
            assert!(!(mirror && p.chiral), "{}", p.name);
        }
    }
}

#[test]
fn centres_lie_where_they_say() {
    for p in all() {
        for centre in &p.centres {
            let mut depth = f64::NEG_INFINITY;
            let mut on_corner = f64::INFINITY;
            for m in -3..=3 {
                for n in -3..=3 {
                    for s in &p.shapes {
                        let ring = s.ring.shifted(p.repeat_of(m, n));
                        depth = depth.max(ring.depth(centre.at));
                        on_corner =
                            ring.corners.iter().map(|c| (c.at - centre.at).hypot()).fold(on_corner, f64::min);
                    }
                }
            }
            match (centre.kind, p.fills) {
                (CentreKind::Opening, _) => assert!(depth > 0.01, "{} {:?}", p.name, centre),
                (CentreKind::Joint, Fills::Plane) => assert!(on_corner < 1e-9, "{} {:?}", p.name, centre),
                (CentreKind::Bridge, Fills::Plane) => assert!(depth.abs() < 1e-9, "{} {:?}", p.name, centre),
                _ => assert!(depth < 1e-9, "{} {:?}", p.name, centre),
            }
        }
    }
}

/// Open part after half a bridge is taken off every shape. Drawn 10 mm to the shortest repeat.
fn open_part(p: &Pattern, bridge: f64) -> f64 {
    let size = 10.0;
    let open: f64 =
        p.shapes.iter().flat_map(|s| s.ring.scaled(size).shrink(0.5 * bridge * size)).map(|r| r.area()).sum();
    open / (p.repeat_area() * size * size)
}

/// Pattern, length of its shortest repeat in the row's own unit, and for some bridges in that unit the part that is
/// open, bridges of constant width. Computed beside this program (not by it): for shapes with a circle touching every
/// side the sum of parts times (1 - w/2r)^2; for other straight ones 1 - c1 w + c2 w^2 with an arc at corners that
/// point in; for arcs by drawing every arc in and cutting it with its neighbours.
const OPEN: &[(&str, f64, &[(f64, f64)])] = &[
    ("square", 1.0, &[(0.1, 0.810000000), (0.25, 0.562500000), (0.5, 0.250000000)]),
    ("triangle", 1.0, &[(0.058, 0.809174106), (0.144, 0.563377367), (0.289, 0.249437633)]),
    ("hexagon", 1.7320508075688772, &[(0.173, 0.810213140), (0.433, 0.562511000), (0.866, 0.250014667)]),
    ("octagon-and-dot", 2.414213562373095, &[(0.1, 0.900193360), (0.25, 0.762247468), (0.5, 0.563708499)]),
    ("tumbling-blocks", 2.0, &[(0.1, 0.810000000), (0.25, 0.562500000), (0.5, 0.250000000)]),
    ("kites", 2.732050807568877, &[(0.1, 0.810000000), (0.25, 0.562500000), (0.5, 0.250000000)]),
    ("floret", 2.6457513110645907, &[(0.1, 0.810000000), (0.25, 0.562500000), (0.5, 0.250000000)]),
    ("pentagon-weave", 2.577935474574, &[(0.126, 0.819346623), (0.315, 0.581896952), (0.631, 0.274767372)]),
    (
        "pentagon-weave-even",
        1.9318516525781364,
        &[(0.1, 0.810000000), (0.25, 0.562500000), (0.5, 0.250000000)],
    ),
    (
        "pentagon-weave-straight",
        2.529822128135,
        &[(0.127, 0.815167896), (0.317, 0.573807327), (0.633, 0.265727581)],
    ),
    ("diamond", 1.0, &[(0.087, 0.809174106), (0.217, 0.561645300), (0.433, 0.250014667)]),
    ("tall-diamond", 1.0, &[(0.089, 0.810891200), (0.224, 0.561840773), (0.447, 0.250238864)]),
    ("running-bond", 1.4142135623730951, &[(0.1, 0.855000000), (0.25, 0.656250000), (0.5, 0.375000000)]),
    ("raking-bond", 1.4142135623730951, &[(0.1, 0.870000000), (0.25, 0.687500000), (0.5, 0.416666667)]),
    ("stack-bond", 1.0, &[(0.1, 0.855000000), (0.25, 0.656250000), (0.5, 0.375000000)]),
    ("basket-weave", 2.8284271247461903, &[(0.1, 0.855000000), (0.25, 0.656250000), (0.5, 0.375000000)]),
    ("basket-weave-three", 4.242640687119286, &[(0.1, 0.870000000), (0.25, 0.687500000), (0.5, 0.416666667)]),
    ("herringbone", 1.4142135623730951, &[(0.1, 0.870000000), (0.25, 0.687500000), (0.5, 0.416666667)]),
    ("herringbone-short", 1.4142135623730951, &[(0.1, 0.855000000), (0.25, 0.656250000), (0.5, 0.375000000)]),
    ("herringbone-long", 1.4142135623730951, &[(0.1, 0.877500000), (0.25, 0.703125000), (0.5, 0.437500000)]),
    ("chevron", 1.0, &[(0.071, 0.867655362), (0.177, 0.683337148), (0.354, 0.410980192)]),
    ("windmill", 3.0, &[(0.1, 0.850000000), (0.25, 0.645833333), (0.5, 0.361111111)]),
    ("hopscotch", 2.23606797749979, &[(0.1, 0.884000000), (0.25, 0.725000000), (0.5, 0.500000000)]),
    ("long-hexagon", 1.7320508075688772, &[(0.173, 0.846175245), (0.433, 0.637509534), (0.866, 0.350014667)]),
    ("picket", 1.0, &[(0.1, 0.845147186), (0.25, 0.635723305), (0.5, 0.347631073)]),
    ("house", 1.0, &[(0.1, 0.810000000), (0.25, 0.562500000), (0.5, 0.250000000)]),
    ("house-even", 1.0, &[(0.1, 0.832988133), (0.25, 0.610391943), (0.5, 0.313855925)]),
    ("three-blade", 3.4641016151377544, &[(0.161, 0.833528106), (0.402, 0.610431220), (0.804, 0.307914496)]),
    ("fish-scale", 0.7071067811865476, &[(0.067, 0.810733546), (0.167, 0.571305564), (0.333, 0.267016953)]),
    ("feather", 1.0, &[(0.1, 0.813264272), (0.25, 0.576370531), (0.5, 0.276129423)]),
    ("ogee", 1.0, &[(0.1, 0.793770487), (0.25, 0.542896164), (0.5, 0.237883452)]),
    ("soft-ogee", 1.0, &[(0.095, 0.797650741), (0.239, 0.547111158), (0.477, 0.244726656)]),
    ("lantern", 0.781024967591, &[(0.077, 0.803733926), (0.192, 0.550673742), (0.385, 0.250097053)]),
    ("quatrefoil", 1.0, &[(0.062, 0.827370782), (0.155, 0.606323174), (0.309, 0.314015979)]),
    ("interlaced-circles", 1.0, &[(0.041, 0.838343861), (0.104, 0.626179377), (0.207, 0.347756002)]),
    ("six-petal", 1.0, &[(0.027, 0.826915708), (0.067, 0.608911839), (0.134, 0.318175979)]),
    ("axe-head", 1.4142135623730951, &[(0.071, 0.847319717), (0.177, 0.638175277), (0.354, 0.339615137)]),
    ("three-lobe", 1.7320508075688772, &[(0.146, 0.830563250), (0.366, 0.602127349), (0.732, 0.294198022)]),
    ("swirl-square", 1.0, &[(0.093, 0.813876533), (0.233, 0.566551852), (0.466, 0.245987021)]),
    (
        "swirl-hexagon",
        1.7320508075688772,
        &[(0.165, 0.809564047), (0.411, 0.559620948), (0.823, 0.238649566)],
    ),
    ("star-and-cross", 1.0, &[(0.041, 0.867933045), (0.104, 0.679792957), (0.207, 0.410799985)]),
    (
        "six-point-star",
        1.7320508075688772,
        &[(0.087, 0.809409013), (0.217, 0.563106722), (0.433, 0.255833450)],
    ),
    (
        "soft-six-point-star",
        1.7320508075688772,
        &[(0.071, 0.858829531), (0.177, 0.669799112), (0.354, 0.412171983)],
    ),
    ("four-point-star", 1.0, &[(0.052, 0.853994686), (0.129, 0.660794893), (0.259, 0.396924943)]),
    (
        "eight-point-star",
        2.414213562373095,
        &[(0.071, 0.873318242), (0.177, 0.703640561), (0.354, 0.472246234)],
    ),
    (
        "eight-point-star-fine",
        2.414213562373095,
        &[(0.052, 0.894079806), (0.129, 0.749438786), (0.259, 0.538297660)],
    ),
    (
        "eight-point-star-sharp",
        2.414213562373095,
        &[(0.041, 0.907513404), (0.104, 0.775445232), (0.207, 0.585738517)],
    ),
    (
        "star-and-squares",
        2.732050807568877,
        &[(0.029, 0.922028282), (0.072, 0.813099067), (0.144, 0.648581840)],
    ),
    (
        "dodecagon-and-star",
        3.732050807568877,
        &[(0.141, 0.902012587), (0.354, 0.766300165), (0.707, 0.574008724)],
    ),
    ("cane-work", 2.0, &[(0.058, 0.902905053), (0.144, 0.771320684), (0.289, 0.582958317)]),
    (
        "hexagon-and-square",
        2.732050807568877,
        &[(0.058, 0.895692425), (0.144, 0.753413470), (0.289, 0.547019533)],
    ),
    (
        "twelve-side-and-hexagon",
        4.732050807568877,
        &[(0.1, 0.910034365), (0.25, 0.785790994), (0.5, 0.607265590)],
    ),
    (
        "turning-hexagon",
        2.6457513110645907,
        &[(0.058, 0.862734647), (0.144, 0.682202120), (0.289, 0.440020881)],
    ),
    ("square-and-triangle-rows", 1.0, &[(0.058, 0.851075944), (0.144, 0.654136385), (0.289, 0.386672296)]),
    (
        "turning-square",
        1.9318516525781364,
        &[(0.058, 0.851075944), (0.144, 0.654136385), (0.289, 0.386672296)],
    ),
    ("cross-cut-square", 2.414213562373095, &[(0.1, 0.810000000), (0.25, 0.562500000), (0.5, 0.250000000)]),
];

#[test]
fn open_part_after_the_bridge_is_as_computed_elsewhere() {
    for &(name, pitch, checks) in OPEN {
        let p = find(name).unwrap_or_else(|| panic!("{name}"));
        let arcs = p.shapes.iter().any(|s| s.ring.corners.iter().any(|c| c.bulge != 0.0));
        let near = if arcs { 1e-5 } else { 1e-6 };
        for &(bridge, open) in checks {
            let got = open_part(&p, bridge / pitch);
            assert!((got - open).abs() < near, "{name} {bridge}: {got} for {open}");
        }
    }
    for p in all().iter().filter(|p| p.fills == Fills::Plane) {
        assert!(OPEN.iter().any(|row| row.0 == p.name), "{} is not in the table", p.name);
    }
}

#[test]
fn open_part_of_bricks_holes_and_petals_in_closed_form() {
    let w = 0.13;
    // Any brick l by h: (1 - w/l)(1 - w/h), whatever the bond.
    for (name, l) in
        [("running-bond", 2.0), ("herringbone", 3.0), ("basket-weave-three", 3.0), ("raking-bond", 3.0)]
    {
        let p = find(name).unwrap_or_else(|| panic!("{name}"));
        let want = (1.0 - w / l) * (1.0 - w);
        assert!((open_part(&p, w / p.unit) - want).abs() < 1e-9, "{name}");
    }
    // Round holes: pi (p - w)^2 over 2 sqrt 3 p^2 (staggered; published for perforated sheet) and 4 p^2 (rows).
    for (name, rows) in [("holes-staggered", 2.0 * 3f64.sqrt()), ("holes-in-rows", 4.0)] {
        let p = find(name).unwrap_or_else(|| panic!("{name}"));
        let want = PI * (1.0 - w) * (1.0 - w) / rows;
        assert!((open_part(&p, w) - want).abs() < 1e-12, "{name}");
    }
    // A petal of two arcs of radius R, centres 2 h apart, drawn in by d: 2 (q^2 acos(h/q) - h sqrt(q^2 - h^2)), q = R - d.
    let petal = |radius: f64, h: f64, d: f64| {
        let q = radius - d;
        2.0 * (q * q * (h / q).acos() - h * (q * q - h * h).sqrt())
    };
    for (name, radius, h) in [("interlaced-circles", 0.5f64.sqrt(), 0.5), ("six-petal", 1.0, 0.75f64.sqrt())]
    {
        let p = find(name).unwrap_or_else(|| panic!("{name}"));
        let ring = &p.shapes.iter().find(|s| s.name == "petal").unwrap_or_else(|| panic!("{name}")).ring;
        let d = 0.04;
        let got: f64 = ring.scaled(10.0).shrink(10.0 * d).iter().map(|r| r.area() / 100.0).sum();
        assert!((got - petal(radius, h, d)).abs() < 1e-8, "{name}: {got}");
    }
}

#[test]
fn half_turned_and_mirrored_patterns_are_told_apart() {
    // Known to have no mirror image of their own kind: TILINGS' six, by name.
    let chiral: Vec<&str> = all().iter().filter(|p| p.chiral).map(|p| p.name.as_str()).collect();
    let mut want = [
        "floret",
        "raking-bond",
        "windmill",
        "hopscotch",
        "swirl-square",
        "swirl-hexagon",
        "turning-hexagon",
    ];
    let mut got = chiral.clone();
    got.sort_unstable();
    want.sort_unstable();
    assert_eq!(got, want);
}

#[test]
fn moving_one_corner_is_noticed_in_every_file() {
    for p in all().iter().filter(|p| p.fills == Fills::Plane) {
        let mut corners: Vec<(f64, f64, f64)> =
            p.shapes[0].ring.corners.iter().map(|c| (c.at.x, c.at.y, c.bulge)).collect();
        let write = |first: &[(f64, f64, f64)]| {
            let mut text =
                format!("title = \"T\"\nrepeat = [[1.0, 0.0], [{:?}, {:?}]]\n", p.repeat[1].x, p.repeat[1].y);
            for (i, s) in p.shapes.iter().enumerate() {
                let own: Vec<_> = s.ring.corners.iter().map(|c| (c.at.x, c.at.y, c.bulge)).collect();
                let list = if i == 0 { first } else { &own[..] };
                let list: Vec<String> =
                    list.iter().map(|c| format!("[{:?}, {:?}, {:?}]", c.0, c.1, c.2)).collect();
                text += &format!("[[shapes]]\ncorners = [{}]\n", list.join(", "));
            }
            text
        };
        if let Err(e) = read(&write(&corners), "t.toml") {
            panic!("{} as it is: {e}", p.name);
        }
        corners[0].0 += 0.004;
        corners[0].1 += 0.003;
        assert!(read(&write(&corners), "t.toml").is_err(), "{}", p.name);
    }
}

#[test]
fn every_fault_of_a_file_is_told_with_its_place() {
    let text =
        "titel = \"T\"\nrepeat = [[1, 0], [2, 0]]\n[[shapes]]\ncorners = [[0, 0], [1, \"a\"], [1, 1], 5]\n\
                [[centres]]\nkind = \"middle\"\norder = 5\n";
    let Err(error) = read(text, "mine/reeds.toml") else { panic!("read") };
    let lines: Vec<String> = error.problems.iter().map(|p| p.to_string()).collect();
    let has = |place: &str, words: &str| {
        assert!(
            lines.iter().any(|l| l.starts_with(place) && l.contains(words)),
            "{place} {words}\n{lines:#?}"
        );
    };
    has("mine/reeds.toml:1:1: ", "did you mean `title`");
    has("mine/reeds.toml:1:1: ", "`title` is missing");
    has("mine/reeds.toml:2:10: ", "different ways");
    has("mine/reeds.toml:4:24: ", "plain number");
    has("mine/reeds.toml:4:38: ", "[x, y] or [x, y, bulge]");
    has("mine/reeds.toml:6:8: ", "\"opening\", \"joint\" or \"bridge\"");
    has("mine/reeds.toml:7:9: ", "`order` must be");
    has("mine/reeds.toml:5:1: ", "no place");
    let Err(broken) = read("title = \nrepeat", "x.toml") else { panic!("read") };
    assert!(broken.problems.iter().all(|p| p.place.line >= 1 && !p.wrong.is_empty()));
}

#[test]
fn nothing_typed_can_bring_the_reader_down() {
    for text in [
        "",
        "title = 5",
        "title = \"T\"\nrepeat = [[1e300, 0], [0, 1e300]]\n[[shapes]]\ncorners = [[0,0],[1,0],[1,1]]",
        "title = \"T\"\nrepeat = [[1, 0], [0, 1]]\nshapes = 3",
        "title = \"T\"\nrepeat = [[1, 0], [0, 1]]\nshapes = [3]",
        "title = \"T\"\nrepeat = [[1, 0], [0, 1]]\n[[shapes]]\ncorners = [[0,0]]",
        "title = \"T\"\nrepeat = [[1, 0], [0, 1]]\n[[shapes]]\ncorners = [[0,0],[0,0],[0,0]]",
        "title = \"T\"\nrepeat = [[nan, 0], [0, 1]]\n[[shapes]]\ncorners = [[0,0],[inf,0],[0,1]]",
        "title = \"é\"\nrepeat = [[1, 0], [0, 1]]\n[[shapes]]\ncorners = [[0,0,1e9],[1,0]]",
        "title = \"T\"\nrepeat = [[0.000001, 0], [0, 1]]\n[[shapes]]\ncorners = [[0,0],[1,0],[1,1]]",
    ] {
        assert!(read(text, "x.toml").is_err(), "{text}");
    }
}

#[test]
fn edges_of_arcs_meet_arcs() {
    // Interlaced circles: every edge is a quarter of a circle of radius 1/sqrt 2.
    let p = find("interlaced-circles").unwrap_or_else(|| panic!());
    for edge in p.shapes.iter().flat_map(|s| s.ring.edges()) {
        let Edge::Arc { radius, sweep, .. } = edge else { panic!("straight") };
        assert!((radius - 0.5f64.sqrt()).abs() < 1e-12 && (sweep.abs() - PI / 2.0).abs() < 1e-11);
    }
}
