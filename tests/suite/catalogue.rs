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
    let n = one.vertices().len();
    n == other.vertices().len()
        && (0..n).any(|k| {
            let step = other.vertex(k).at - one.vertex(0).at;
            off_repeat(pattern, step) < 1e-9
                && (0..n).all(|i| {
                    let (p, q) = (one.vertex(i), other.vertex((i + k) % n));
                    (q.at - p.at - step).hypot() < 1e-9 && (p.bulge - q.bulge).abs() < 1e-9
                })
        })
}

/// Whether `moved` shapes lie on the pattern again.
fn falls_on_itself(pattern: &Pattern, moved: impl Fn(&Ring) -> Ring) -> bool {
    // The repeats must fall on repeats, too: one round hole by itself would fall on itself however turned.
    let spot = |v: Vec2| moved(&Ring::circle(v.to_point(), 1.0)).centroid();
    let repeats = pattern.repeat.iter().all(|&v| off_repeat(pattern, spot(v) - spot(Vec2::ZERO)) < 1e-9);
    repeats
        && pattern.shapes.iter().all(|s| {
            let ring = moved(&s.ring);
            pattern.shapes.iter().any(|t| same_ring(pattern, &ring, &t.ring))
        })
}

fn turned_about(ring: &Ring, centre: Point, degrees: f64) -> Ring {
    ring.translated(-centre.to_vec2()).rotated(degrees).translated(centre.to_vec2())
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
            let flat = r.translated(-at.to_vec2()).rotated(-angle).mirrored();
            flat.rotated(angle).translated(at.to_vec2())
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
                    assert!(!falls_on_itself(p, |r| r.translated(step)), "{} {m} {n} {parts}", p.name);
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
    let n = ring.vertices().len();
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
            for corner in shape.ring.vertices() {
                let mut sum = 0.0;
                for s in &p.shapes {
                    for (i, c) in s.ring.vertices().enumerate() {
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
        for kind in [CentreKind::Opening, CentreKind::Crossing, CentreKind::Bridge] {
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
                        let ring = s.ring.translated(p.repeat_of(m, n));
                        depth = depth.max(ring.signed_distance(centre.at));
                        on_corner =
                            ring.vertices().map(|c| (c.at - centre.at).hypot()).fold(on_corner, f64::min);
                    }
                }
            }
            match (centre.kind, p.fills) {
                (CentreKind::Opening, _) => assert!(depth > 0.01, "{} {:?}", p.name, centre),
                (CentreKind::Crossing, Fills::Plane) => assert!(on_corner < 1e-9, "{} {:?}", p.name, centre),
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

/// A pattern, and for some bridges (in shortest repeats) the part that is open.
type Row = (&'static str, &'static [(f64, f64)]);

/// Open parts with bridges of constant width. Computed beside this program (not by it): for shapes with a circle touching every
/// side the sum of parts times (1 - w/2r)^2; for other straight ones 1 - c1 w + c2 w^2 with an arc at corners that
/// point in; for arcs by drawing every arc in and cutting it with its neighbours.
const OPEN: &[Row] = &[
    (
        "square",
        &[(0.100000000000, 0.810000000), (0.250000000000, 0.562500000), (0.500000000000, 0.250000000)],
    ),
    (
        "triangle",
        &[(0.058000000000, 0.809174106), (0.144000000000, 0.563377367), (0.289000000000, 0.249437633)],
    ),
    (
        "hexagon",
        &[(0.099881596570, 0.810213140), (0.249992666559, 0.562511000), (0.499985333118, 0.250014667)],
    ),
    (
        "octagon-and-dot",
        &[(0.041421356237, 0.900193360), (0.103553390593, 0.762247468), (0.207106781187, 0.563708499)],
    ),
    (
        "tumbling-blocks",
        &[(0.050000000000, 0.810000000), (0.125000000000, 0.562500000), (0.250000000000, 0.250000000)],
    ),
    ("kites", &[(0.036602540378, 0.810000000), (0.091506350946, 0.562500000), (0.183012701892, 0.250000000)]),
    (
        "floret",
        &[(0.037796447301, 0.810000000), (0.094491118252, 0.562500000), (0.188982236505, 0.250000000)],
    ),
    (
        "pentagon-weave",
        &[(0.048876320312, 0.819346623), (0.122190800781, 0.581896952), (0.244769508866, 0.274767372)],
    ),
    (
        "pentagon-weave-even",
        &[(0.051763809021, 0.810000000), (0.129409522551, 0.562500000), (0.258819045103, 0.250000000)],
    ),
    (
        "pentagon-weave-straight",
        &[(0.050201157855, 0.815167896), (0.125305252284, 0.573807327), (0.250215219861, 0.265727581)],
    ),
    (
        "diamond",
        &[(0.087000000000, 0.809174106), (0.217000000000, 0.561645300), (0.433000000000, 0.250014667)],
    ),
    (
        "tall-diamond",
        &[(0.089000000000, 0.810891200), (0.224000000000, 0.561840773), (0.447000000000, 0.250238864)],
    ),
    (
        "running-bond",
        &[(0.070710678119, 0.855000000), (0.176776695297, 0.656250000), (0.353553390593, 0.375000000)],
    ),
    (
        "raking-bond",
        &[(0.070710678119, 0.870000000), (0.176776695297, 0.687500000), (0.353553390593, 0.416666667)],
    ),
    (
        "stack-bond",
        &[(0.100000000000, 0.855000000), (0.250000000000, 0.656250000), (0.500000000000, 0.375000000)],
    ),
    (
        "basket-weave",
        &[(0.035355339059, 0.855000000), (0.088388347648, 0.656250000), (0.176776695297, 0.375000000)],
    ),
    (
        "basket-weave-three",
        &[(0.023570226040, 0.870000000), (0.058925565099, 0.687500000), (0.117851130198, 0.416666667)],
    ),
    (
        "herringbone",
        &[(0.070710678119, 0.870000000), (0.176776695297, 0.687500000), (0.353553390593, 0.416666667)],
    ),
    (
        "herringbone-short",
        &[(0.070710678119, 0.855000000), (0.176776695297, 0.656250000), (0.353553390593, 0.375000000)],
    ),
    (
        "herringbone-long",
        &[(0.070710678119, 0.877500000), (0.176776695297, 0.703125000), (0.353553390593, 0.437500000)],
    ),
    (
        "chevron",
        &[(0.071000000000, 0.867655362), (0.177000000000, 0.683337148), (0.354000000000, 0.410980192)],
    ),
    (
        "windmill",
        &[(0.033333333333, 0.850000000), (0.083333333333, 0.645833333), (0.166666666667, 0.361111111)],
    ),
    (
        "hopscotch",
        &[(0.044721359550, 0.884000000), (0.111803398875, 0.725000000), (0.223606797750, 0.500000000)],
    ),
    (
        "long-hexagon",
        &[(0.099881596570, 0.846175245), (0.249992666559, 0.637509534), (0.499985333118, 0.350014667)],
    ),
    (
        "picket",
        &[(0.100000000000, 0.845147186), (0.250000000000, 0.635723305), (0.500000000000, 0.347631073)],
    ),
    ("house", &[(0.100000000000, 0.810000000), (0.250000000000, 0.562500000), (0.500000000000, 0.250000000)]),
    (
        "house-even",
        &[(0.100000000000, 0.832988133), (0.250000000000, 0.610391943), (0.500000000000, 0.313855925)],
    ),
    (
        "three-blade",
        &[(0.046476696670, 0.833528106), (0.116047404107, 0.610431220), (0.232094808214, 0.307914496)],
    ),
    (
        "fish-scale",
        &[(0.094752308679, 0.810733546), (0.236173664916, 0.571305564), (0.470933116270, 0.267016953)],
    ),
    (
        "feather",
        &[(0.100000000000, 0.813264272), (0.250000000000, 0.576370531), (0.500000000000, 0.276129423)],
    ),
    ("ogee", &[(0.100000000000, 0.793770487), (0.250000000000, 0.542896164), (0.500000000000, 0.237883452)]),
    (
        "soft-ogee",
        &[(0.095000000000, 0.797650741), (0.239000000000, 0.547111158), (0.477000000000, 0.244726656)],
    ),
    (
        "lantern",
        &[(0.098588397548, 0.803733926), (0.245830809471, 0.550673742), (0.492941987741, 0.250097053)],
    ),
    (
        "quatrefoil",
        &[(0.062000000000, 0.827370782), (0.155000000000, 0.606323174), (0.309000000000, 0.314015979)],
    ),
    (
        "interlaced-circles",
        &[(0.041000000000, 0.838343861), (0.104000000000, 0.626179377), (0.207000000000, 0.347756002)],
    ),
    (
        "six-petal",
        &[(0.027000000000, 0.826915708), (0.067000000000, 0.608911839), (0.134000000000, 0.318175979)],
    ),
    (
        "axe-head",
        &[(0.050204581464, 0.847319717), (0.125157900270, 0.638175277), (0.250315800540, 0.339615137)],
    ),
    (
        "three-lobe",
        &[(0.084293139302, 0.830563250), (0.211310198523, 0.602127349), (0.422620397047, 0.294198022)],
    ),
    (
        "swirl-square",
        &[(0.093000000000, 0.813876533), (0.233000000000, 0.566551852), (0.466000000000, 0.245987021)],
    ),
    (
        "swirl-hexagon",
        &[(0.095262794416, 0.809564047), (0.237290960637, 0.559620948), (0.475159271543, 0.238649566)],
    ),
    (
        "star-and-cross",
        &[(0.041000000000, 0.867933045), (0.104000000000, 0.679792957), (0.207000000000, 0.410799985)],
    ),
    (
        "six-point-star",
        &[(0.050229473419, 0.809409013), (0.125285008414, 0.563106722), (0.249992666559, 0.255833450)],
    ),
    (
        "soft-six-point-star",
        &[(0.040991869112, 0.858829531), (0.102190997647, 0.669799112), (0.204381995293, 0.412171983)],
    ),
    (
        "four-point-star",
        &[(0.052000000000, 0.853994686), (0.129000000000, 0.660794893), (0.259000000000, 0.396924943)],
    ),
    (
        "eight-point-star",
        &[(0.029409162928, 0.873318242), (0.073315800540, 0.703640561), (0.146631601080, 0.472246234)],
    ),
    (
        "eight-point-star-fine",
        &[(0.021539105243, 0.894079806), (0.053433549546, 0.749438786), (0.107281312655, 0.538297660)],
    ),
    (
        "eight-point-star-sharp",
        &[(0.016982756057, 0.907513404), (0.043078210487, 0.775445232), (0.085742207411, 0.585738517)],
    ),
    (
        "star-and-squares",
        &[(0.010614736710, 0.922028282), (0.026353829072, 0.813099067), (0.052707658145, 0.648581840)],
    ),
    (
        "twelve-sided-and-star",
        &[(0.037780836133, 0.902012587), (0.094854014121, 0.766300165), (0.189440079049, 0.574008724)],
    ),
    (
        "cane-work",
        &[(0.029000000000, 0.902905053), (0.072000000000, 0.771320684), (0.144500000000, 0.582958317)],
    ),
    (
        "hexagon-and-squares",
        &[(0.021229473419, 0.895692425), (0.052707658145, 0.753413470), (0.105781341694, 0.547019533)],
    ),
    (
        "twelve-sided-and-hexagon",
        &[(0.021132486541, 0.910034365), (0.052831216351, 0.785790994), (0.105662432703, 0.607265590)],
    ),
    (
        "turning-hexagon",
        &[(0.021921939435, 0.862734647), (0.054426884113, 0.682202120), (0.109231732700, 0.440020881)],
    ),
    (
        "square-and-triangle-rows",
        &[(0.058000000000, 0.851075944), (0.144000000000, 0.654136385), (0.289000000000, 0.386672296)],
    ),
    (
        "turning-square",
        &[(0.030023009232, 0.851075944), (0.074539884990, 0.654136385), (0.149597408069, 0.386672296)],
    ),
    (
        "cross-cut-square",
        &[(0.041421356237, 0.810000000), (0.103553390593, 0.562500000), (0.207106781187, 0.250000000)],
    ),
];

#[test]
fn open_part_after_the_bridge_is_as_computed_elsewhere() {
    for &(name, checks) in OPEN {
        let p = find(name).unwrap_or_else(|| panic!("{name}"));
        let arcs = p.shapes.iter().any(|s| s.ring.vertices().any(|c| c.bulge != 0.0));
        let near = if arcs { 1e-5 } else { 1e-6 };
        for &(bridge, open) in checks {
            let got = open_part(&p, bridge);
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
    // Known to have no mirror image of their own kind: six, by name.
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
            p.shapes[0].ring.vertices().map(|c| (c.at.x, c.at.y, c.bulge)).collect();
        let write = |first: &[(f64, f64, f64)]| {
            let mut text =
                format!("title = \"T\"\nrepeat = [[1.0, 0.0], [{:?}, {:?}]]\n", p.repeat[1].x, p.repeat[1].y);
            for (i, s) in p.shapes.iter().enumerate() {
                let own: Vec<_> = s.ring.vertices().map(|c| (c.at.x, c.at.y, c.bulge)).collect();
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
    has("mine/reeds.toml:1:1: ", "did you mean \"title\"");
    has("mine/reeds.toml:1:1: ", "`title` is missing");
    has("mine/reeds.toml:2:10: ", "different ways");
    has("mine/reeds.toml:4:24: ", "plain number");
    has("mine/reeds.toml:4:38: ", "[x, y] or [x, y, rise]");
    has("mine/reeds.toml:6:8: ", "\"opening\", \"crossing\" or \"bridge\"");
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
        let Edge::Arc { radius, .. } = edge else { panic!("straight") };
        assert!((radius - 0.5f64.sqrt()).abs() < 1e-12 && (edge.sweep().abs() - PI / 2.0).abs() < 1e-11);
    }
}

#[test]
fn stars_drawn_on_repeats_are_the_shipped_stars() {
    // The shipped star files were constructed beside this program; open parts of them are in the table above.
    for (on, angle, name) in [
        ("hexagon", 60.0, "six-point-star"),
        ("hexagon", 45.0, "soft-six-point-star"),
        ("square", 60.0, "four-point-star"),
        ("octagon-and-dot", 45.0, "eight-point-star"),
        ("octagon-and-dot", 60.0, "eight-point-star-fine"),
        ("octagon-and-dot", 67.5, "eight-point-star-sharp"),
        ("hexagon-and-squares", 60.0, "star-and-squares"),
    ] {
        let drawn =
            find(on).unwrap_or_else(|| panic!("{on}")).with_stars(angle).unwrap_or_else(|e| panic!("{e}"));
        let shipped = find(name).unwrap_or_else(|| panic!("{name}"));
        assert_eq!(drawn.shapes.len(), shipped.shapes.len(), "{name}");
        // Their middles may lie elsewhere: the widest shape is laid on its like.
        let sizes = |p: &Pattern| {
            let mut sizes: Vec<f64> = p.shapes.iter().map(|s| s.ring.area()).collect();
            sizes.sort_by(f64::total_cmp);
            sizes
        };
        for (a, b) in sizes(&drawn).iter().zip(sizes(&shipped)) {
            assert!((a - b).abs() < 1e-9, "{name}: {a} {b}");
        }
        let rounds = |p: &Pattern| p.shapes.iter().map(|s| s.ring.perimeter()).sum::<f64>();
        assert!((rounds(&drawn) - rounds(&shipped)).abs() < 1e-9, "{name}");
    }
}

#[test]
fn stars_can_be_drawn_at_many_angles_and_keep_the_symmetry() {
    let mut drawn = 0;
    for p in all() {
        for angle in [30.0, 40.0, 52.5, 60.0, 72.0] {
            if let Ok(stars) = p.with_stars(angle) {
                drawn += 1;
                for &Centre { kind, at, order, mirror } in &stars.centres {
                    if order > 1 {
                        assert_eq!(order_at(&stars, at) % order, 0, "{} {angle} {kind:?}", p.name);
                    }
                    assert!(!mirror || mirror_at(&stars, at), "{} {angle} {kind:?}", p.name);
                }
                let area: f64 = stars.shapes.iter().map(|s| s.ring.area()).sum();
                assert!((area / stars.repeat_area() - 1.0).abs() < 1e-9);
            }
        }
    }
    // All the grids of even-sided shapes take all five.
    assert!(drawn >= 50, "{drawn}");
    for (name, angle) in
        [("hexagon", 85.0), ("hexagon", f64::NAN), ("fish-scale", 45.0), ("running-bond", 45.0)]
    {
        assert!(find(name).is_some_and(|p| p.with_stars(angle).is_err()), "{name} {angle}");
    }
}

#[test]
fn a_drawn_motif_is_read_and_kept_apart() {
    let file = |d: &str, step: f64| {
        format!("title = \"Leaf\"\nmotif = true\nrepeat = [[{step}, 0], [0, {step}]]\n[[shapes]]\nname = \"leaf\"\nd = \"{d}\"\n")
    };
    // A leaf of two quarter arcs of radius 4, a chord of 4 sqrt 2 across: area 2 (4 pi - 8).
    let leaf = "M 0 0 A 4 4 0 0 1 4 4 A 4 4 0 0 1 0 0 Z";
    let p = read(&file(leaf, 5.0), "leaf.toml").unwrap_or_else(|e| panic!("{e}"));
    assert!(p.is_motif() && p.shapes.len() == 1);
    assert!((p.shapes[0].ring.area() * 25.0 - 2.0 * (4.0 * PI - 8.0)).abs() < 1e-6);
    // Drawn downwards, shown downwards: its far tip lies at (4, -4).
    assert!(p.shapes[0].ring.vertices().any(|c| (c.at - Point::new(0.8, -0.8)).hypot() < 1e-9));
    let touching = read(&file(leaf, 3.0), "leaf.toml");
    assert!(touching
        .is_err_and(|e| e.to_string().starts_with("leaf.toml:6:5: ") && e.to_string().contains("meets")));
    let torn = read(&file("M 0 0 L 3 0 Q", 5.0), "leaf.toml");
    assert!(torn.is_err_and(|e| e.to_string().starts_with("leaf.toml:6:")));
}
