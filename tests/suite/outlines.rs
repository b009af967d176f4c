//! Outlines: every shape against closed forms and brute force, blanks that meet themselves, and shapes somebody drew.

use sawpierce::geom::{rings_of_svg, rings_of_svg_file, Edge, Point, Ring};
use sawpierce::job::{parse, Job, NamedFiles, Settings, Shape};
use sawpierce::outline::{band_length, outline, rings, ConeBlank, Seam};
use sawpierce::pattern::{lay, starts};
use sawpierce::units::Mm;
use std::f64::consts::PI;

/// Numbers that look random and are the same every time (a 64-bit linear congruential generator, Knuth's constants).
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.roll()
    }
}

fn ring(shape: &Shape) -> Ring {
    rings(shape).unwrap_or_else(|e| panic!("{shape:?}: {e}")).remove(0)
}

fn teardrop(w: f64, h: f64, tip: f64) -> Shape {
    Shape::Teardrop { width: Mm(w), height: Mm(h), tip_radius: Mm(tip) }
}
fn heart(w: f64, h: f64, tip: f64) -> Shape {
    Shape::Heart { width: Mm(w), height: Mm(h), tip_radius: Mm(tip) }
}
fn marquise(w: f64, h: f64, tip: f64) -> Shape {
    Shape::Marquise { width: Mm(w), height: Mm(h), tip_radius: Mm(tip) }
}
fn cushion(w: f64, h: f64) -> Shape {
    Shape::Cushion { width: Mm(w), height: Mm(h), corner_radius: Shape::cushion_corner(Mm(w), Mm(h)) }
}
fn crescent(w: f64, h: f64, tip: f64) -> Shape {
    let thick = Shape::crescent_thick(Mm(w), Mm(h));
    Shape::Crescent { width: Mm(w), height: Mm(h), thick, tip_radius: Mm(tip) }
}

/// Every curved shape at many sizes, sharp and with rounded tips, with its count of sharp corners.
fn many() -> Vec<(Shape, usize)> {
    let mut dice = Dice(7);
    let mut all = Vec::new();
    for k in 0..60 {
        let w = dice.between(12.0, 60.0);
        let tip = if k % 2 == 0 { 0.0 } else { dice.between(0.2, 1.0) };
        let tips = |n: usize| if tip > 0.0 { 0 } else { n };
        all.push((teardrop(w, w * dice.between(1.1, 2.5), tip), tips(1)));
        // A heart keeps the notch between its lobes.
        all.push((heart(w, w * dice.between(0.75, 1.4), tip), 1 + tips(1)));
        all.push((marquise(w, w * dice.between(1.3, 3.0), tip), tips(2)));
        all.push((marquise(w, w * dice.between(0.3, 0.8), tip), tips(2)));
        all.push((cushion(w, w * dice.between(0.5, 2.0)), 0));
        all.push((crescent(w, w * dice.between(1.1, 2.4), tip), tips(2)));
        all.push((crescent(w, w * dice.between(0.4, 0.9), tip), tips(2)));
    }
    all
}

fn size_of(shape: &Shape) -> (f64, f64) {
    match *shape {
        Shape::Teardrop { width, height, .. }
        | Shape::Heart { width, height, .. }
        | Shape::Marquise { width, height, .. }
        | Shape::Cushion { width, height, .. }
        | Shape::Crescent { width, height, .. } => (width.get(), height.get()),
        _ => unreachable!("only the curved shapes are asked"),
    }
}

#[test]
fn every_shape_fills_its_size_and_is_simple() {
    for (shape, _) in many() {
        let ring = ring(&shape);
        let bounds = ring.bounds();
        let (w, h) = size_of(&shape);
        let off = [bounds.x0 + w / 2.0, bounds.x1 - w / 2.0, bounds.y0 + h / 2.0, bounds.y1 - h / 2.0];
        assert!(off.iter().all(|d| d.abs() < 1e-9), "{shape:?} {off:?}");
        assert!(ring.area() > 0.0 && ring.self_intersection().is_none(), "{shape:?}");
    }
}

#[test]
fn every_shape_is_smooth_but_at_its_tips() {
    for (shape, tips) in many() {
        let ring = ring(&shape);
        let edges: Vec<Edge> = ring.edges().collect();
        let sharp = (0..edges.len())
            .filter(|&i| {
                let (a, b) = (edges[i].direction(1.0), edges[(i + 1) % edges.len()].direction(0.0));
                a.cross(b).atan2(a.dot(b)).abs() > 1e-6
            })
            .count();
        assert_eq!(sharp, tips, "{shape:?}");
    }
}

/// How far a ring lies from another, by its corners and the middles of its edges.
fn stray(a: &Ring, b: &Ring) -> f64 {
    a.edges().flat_map(|e| [e.from(), e.point(0.5)]).map(|p| (b.nearest(p) - p).hypot()).fold(0.0, f64::max)
}

#[test]
fn every_shape_is_its_own_mirror_image() {
    for (shape, _) in many() {
        let ring = ring(&shape);
        let (w, h) = size_of(&shape);
        let sideways = matches!(shape, Shape::Crescent { .. }) && w < h;
        // A crescent that opens to the right is even about the level line.
        let image = if sideways { ring.rotated(90.0).mirrored().rotated(-90.0) } else { ring.mirrored() };
        assert!(stray(&image, &ring) < 1e-9 && (image.area() - ring.area()).abs() < 1e-9, "{shape:?}");
    }
}

/// Area between a chord and its arc, of an arc of radius `r` over half chord `a` (elementary geometry).
fn segment(r: f64, a: f64) -> f64 {
    let half = (a / r).asin();
    r * r * (half - half.sin() * half.cos())
}

#[test]
fn areas_against_elementary_geometry() {
    let mut dice = Dice(11);
    for _ in 0..200 {
        // Marquise: two circle segments on one chord, sagitta w / 2, half chord h / 2.
        let (w, h) = (dice.between(8.0, 20.0), dice.between(21.0, 60.0));
        let r = (h * h / 4.0 + w * w / 4.0) / w;
        let area = 2.0 * segment(r, h / 2.0);
        assert!((ring(&marquise(w, h, 0.0)).area() - area).abs() < 1e-9 * area);

        // Crescent under half a circle: the segment of the outer arc less that of the inner one.
        let (h, thick) = (dice.between(30.0, 60.0), dice.between(2.0, 6.0));
        let w = dice.between(thick + 1.0, h / 2.0 - 1.0);
        let radius = |deep: f64| (h * h / 4.0 + deep * deep) / (2.0 * deep);
        let area = segment(radius(w), h / 2.0) - segment(radius(w - thick), h / 2.0);
        let shape = Shape::Crescent { width: Mm(w), height: Mm(h), thick: Mm(thick), tip_radius: Mm(0.0) };
        assert!((ring(&shape).area() - area).abs() < 1e-9 * area, "{w} {h} {thick}");

        // Teardrop: between straight flanks (circle and two tangents) and the fullest (half circle and half marquise).
        let (w, h) = (dice.between(10.0, 30.0), dice.between(34.0, 60.0));
        let (r, d) = (w / 2.0, h - w / 2.0);
        let straight = r * r * (PI - (r / d).acos()) + r * (d * d - r * r).sqrt();
        let full = PI * r * r / 2.0 + segment((d * d + r * r) / (2.0 * r), d);
        let area = ring(&teardrop(w, h, 0.0)).area();
        assert!(straight < area && area < full, "{straight} {area} {full}");
    }
}

#[test]
fn a_rounded_tip_has_the_radius_asked_for() {
    for shape in [teardrop(24.0, 38.0, 1.5), heart(36.0, 34.0, 1.5), marquise(18.0, 40.0, 1.5)] {
        let ring = ring(&shape);
        let tip = ring.edges().any(|e| match e {
            Edge::Arc { radius, centre, .. } => (radius - 1.5).abs() < 1e-9 && centre.x.abs() < 1e-9,
            Edge::Line { .. } => false,
        });
        assert!(tip, "{shape:?}");
    }
}

#[test]
fn sizes_that_leave_no_shape_say_so() {
    let cases = [
        (teardrop(30.0, 30.0, 0.0), "taller than it is wide"),
        (heart(40.0, 15.0, 0.0), "too flat"),
        (crescent(30.0, 30.0, 0.0), "no crescent"),
        (
            Shape::Crescent { width: Mm(20.0), height: Mm(30.0), thick: Mm(20.0), tip_radius: Mm(0.0) },
            "no crescent",
        ),
        (Shape::Cushion { width: Mm(20.0), height: Mm(30.0), corner_radius: Mm(12.0) }, "too round"),
        (marquise(20.0, 40.0, 10.0), "too round for this pointed oval"),
        (Shape::Cone { top: Mm(10.0), bottom: Mm(10.0), height: Mm(5.0) }, "same size"),
        (Shape::Cone { top: Mm(4.0), bottom: Mm(40.0), height: Mm(0.5) }, "almost flat"),
        (Shape::Cone { top: Mm(0.0), bottom: Mm(10.0), height: Mm(5.0) }, "of some size"),
    ];
    for (shape, says) in cases {
        let wrong = rings(&shape).expect_err("no shape").to_string();
        assert!(wrong.contains(says), "{shape:?}: {wrong}");
    }
}

// ---- borders ----

fn job(outline: &str) -> Job {
    let text = format!(
        "[sheet]\nmetal = \"copper\"\nthickness = 1.0\n[outline]\n{outline}\n[pattern]\nat_border = \"trim\"\nname = \"square\"\npitch = 4\nbridge = 1\n"
    );
    parse(&text, "test.toml", &NamedFiles::new(), &Settings::default())
        .unwrap_or_else(|e| panic!("{outline}: {e}"))
}

/// Least distance from `p` to chords of the ring cut to 0.02 micrometres: no code in common with what is tested.
fn brute_distance(p: Point, chords: &[Point]) -> f64 {
    let n = chords.len();
    (0..n)
        .map(|i| {
            let (a, b) = (chords[i], chords[(i + 1) % n]);
            let d = b - a;
            let t = ((p - a).dot(d) / d.hypot2()).clamp(0.0, 1.0);
            (a + d * t - p).hypot()
        })
        .fold(f64::INFINITY, f64::min)
}

const SHAPES: [&str; 10] = [
    "shape = \"teardrop\"\nwidth = 28\nheight = 42",
    "shape = \"heart\"\nwidth = 40\nheight = 38",
    "shape = \"heart\"\nwidth = 40\nheight = 38\ntip_radius = 1",
    "shape = \"marquise\"\nwidth = 20\nheight = 44",
    "shape = \"cushion\"\nwidth = 40\nheight = 30",
    "shape = \"crescent\"\nwidth = 30\nheight = 40",
    "shape = \"crescent\"\nwidth = 44\nheight = 20\nthick = 9",
    "shape = \"ellipse\"\nwidth = 40\nheight = 25",
    "shape = \"polygon\"\nsides = 5\nacross = 40\ncorner_radius = 2",
    "shape = \"rectangle\"\nwidth = 40\nheight = 25\ncorner_radius = 3",
];

#[test]
fn the_border_is_as_wide_as_asked_all_round() {
    for shape in SHAPES {
        for border in [1.2, 2.0, 3.0] {
            let built = outline(&job(&format!("{shape}\nborder = {border}")))
                .unwrap_or_else(|e| panic!("{shape}: {e}"));
            let chords = built.edge.flatten(2e-5);
            for region in &built.inside_border {
                assert!(region.outer().self_intersection().is_none(), "{shape} {border}");
                for p in region.outer().edges().flat_map(|e| [0.0, 0.31, 0.67].map(|t| e.point(t))) {
                    let d = brute_distance(p, &chords);
                    assert!((d - border).abs() < 2e-4, "{shape}: {d} at {p:?} for {border}");
                }
            }
            // And nothing wide enough is given away: every point deeper than the border lies in the room.
            let bounds = built.edge.bounds();
            for i in 0..40 {
                for j in 0..40 {
                    let p = Point::new(
                        bounds.x0 + bounds.width() * (f64::from(i) + 0.5) / 40.0,
                        bounds.y0 + bounds.height() * (f64::from(j) + 0.5) / 40.0,
                    );
                    let deep = built.edge.contains(p) && brute_distance(p, &chords) > border + 1e-3;
                    let shallow = !built.edge.contains(p) || brute_distance(p, &chords) < border - 1e-3;
                    let inside = built.inside_border.iter().any(|r| r.outer().contains(p));
                    assert!(!(deep && !inside || shallow && inside), "{shape}: {p:?} for {border}");
                }
            }
        }
    }
}

#[test]
fn a_border_too_wide_for_the_shape_says_so() {
    let wrong = outline(&job("shape = \"crescent\"\nwidth = 20\nheight = 40\nthick = 5\nborder = 3"));
    assert!(wrong.is_err_and(|e| e.to_string().contains("leaves no room")));
}

#[test]
fn kept_places_and_windows_take_any_shape() {
    let text = "[sheet]\nmetal = \"copper\"\nthickness = 1\n[outline]\nshape = \"cushion\"\nwidth = 60\nheight = 60\nborder = 2\n\
        [pattern]\nat_border = \"trim\"\nname = \"square\"\npitch = 4\nbridge = 1\n\
        [[window]]\nname = \"heart\"\nshape = \"heart\"\nwidth = 12\nheight = 11\nat = [0, 10]\nborder = 1.5\n\
        [[keep_solid]]\nname = \"drop\"\nshape = \"teardrop\"\nwidth = 6\nheight = 10\nturn = 90\nat = [5, -12]\n";
    let job =
        parse(text, "test.toml", &NamedFiles::new(), &Settings::default()).unwrap_or_else(|e| panic!("{e}"));
    let built = outline(&job).unwrap_or_else(|e| panic!("{e}"));
    let window = &built.windows[0];
    assert!((window.ring.area() - ring(&heart(12.0, 11.0, 0.0)).area()).abs() < 1e-9);
    assert!((window.ring.bounds().center() - Point::new(0.0, 10.0)).hypot() < 1e-9);
    // Turned a quarter anticlockwise, the tip points left: 10 across, 6 up.
    let bounds = built.keeps[0].ring.bounds();
    assert!((bounds.width() - 10.0).abs() < 1e-9 && (bounds.height() - 6.0).abs() < 1e-9);
    let cut_out = |p: (f64, f64)| {
        !built.field.iter().any(|r| {
            r.outer().contains(Point::from(p)) && !r.holes().iter().any(|h| h.contains(Point::from(p)))
        })
    };
    // In the window, in its border beside the tip, in the kept place, and well clear of all.
    assert!(cut_out((0.0, 10.0)) && cut_out((0.0, 3.2)) && cut_out((5.0, -12.0)) && !cut_out((-20.0, 0.0)));
}

#[test]
fn a_measured_edge_moves_only_what_follows_from_it() {
    let plain = "shape = \"heart\"\nwidth = 40\nheight = 38\nborder = 2";
    let measured = format!("{plain}\n[measured]\noutline = {{ width = 39.6, height = 37.8 }}");
    let text = |o: &str| {
        format!("[sheet]\nmetal = \"copper\"\nthickness = 1\n[pattern]\nat_border = \"trim\"\nname = \"square\"\npitch = 4\nbridge = 1\n[outline]\n{o}\n")
    };
    let read = |o: &str| {
        parse(&text(o), "t.toml", &NamedFiles::new(), &Settings::default()).and_then(|j| outline(&j))
    };
    let (a, b) = (read(plain).expect("planned"), read(&measured).expect("measured"));
    assert_eq!((&a.edge, &a.field), (&b.edge, &b.field));
    let found = b.found.expect("the measured edge").bounds();
    assert!((found.width() - 39.6).abs() < 1e-3 && (found.height() - 37.8).abs() < 1e-3, "{found:?}");
}

// ---- bands and cones ----

#[test]
fn band_lengths_are_pi_times_the_middle() {
    // Inside 17, sheet 1: 18 pi; inside 17.3: 57.49 (worked by hand).
    assert!((band_length(Mm(17.0), Mm(1.0)).get() - 56.548667764616).abs() < 1e-9);
    assert!((band_length(Mm(17.3), Mm(1.0)).get() - 57.49).abs() < 5e-3);
}

#[test]
fn a_bands_blank() {
    let built = outline(&job("shape = \"band\"\ninside = 17\nwidth = 8\nborder = 1.5")).expect("a band");
    let length = 18.0 * PI;
    let (edge, room) = (built.edge.bounds(), built.inside_border[0].outer().bounds());
    assert!((edge.width() - length).abs() < 1e-9 && (edge.height() - 8.0).abs() < 1e-9);
    // Border on the long edges only; half a bridge of 1 mm at each end.
    assert!((room.x1 - (length / 2.0 - 0.5)).abs() < 1e-9 && (room.y1 - 2.5).abs() < 1e-9);
    assert_eq!(built.seam, Some(Seam::Shift(Mm(length))));
    let outside = built.allowance.expect("filing allowance").bounds();
    assert!((outside.width() - length - 0.2).abs() < 1e-9 && (outside.height() - 8.0).abs() < 1e-9);
    let (ends, sides) = built.seam.expect("a seam").part_edges(&built.edge);
    assert_eq!((ends.len(), sides.len()), (2, 2));
    assert!(ends.iter().all(|(e, _)| (e.from().x.abs() - length / 2.0).abs() < 1e-9));
}

#[test]
fn a_plain_back_leaves_its_length_solid() {
    let built =
        outline(&job("shape = \"band\"\ninside = 17\nwidth = 8\nborder = 1.5\nplain = 12")).expect("a band");
    let room = built.inside_border[0].outer().bounds();
    assert!((room.width() - (18.0 * PI - 12.0)).abs() < 1e-9);
    assert!((built.run.expect("a run").get() - (18.0 * PI - 11.0)).abs() < 1e-9);
}

#[test]
fn cone_blanks_against_worked_layouts() {
    // Top, bottom, height: slant, inner and outer radius, angle. Sheet-metal layout of a frustum, worked by hand.
    for (d1, d2, h, s, r1, r2, angle) in [
        (10.0, 20.0, 15.0, 15.81, 15.81, 31.62, 113.8),
        (6.0, 10.0, 6.0, 6.325, 9.487, 15.81, 113.8),
        (30.0, 35.0, 8.0, 8.382, 50.29, 58.67, 107.4),
    ] {
        for (top, bottom) in [(d1, d2), (d2, d1)] {
            let blank = ConeBlank::new(Mm(top), Mm(bottom), Mm(h)).expect("a cone");
            assert!((blank.outer - blank.inner - s).abs() < 6e-3, "{blank:?}");
            assert!((blank.inner - r1).abs() < 6e-3 && (blank.outer - r2).abs() < 6e-3, "{blank:?}");
            assert!((blank.angle - angle).abs() < 0.06, "{blank:?}");
            // Arcs as long as the circles they become; area that of the cone's wall, pi (r1 + r2) s.
            let round = blank.angle.to_radians();
            assert!(
                (round * blank.inner - PI * d1).abs() < 1e-9 && (round * blank.outer - PI * d2).abs() < 1e-9
            );
            let wall = PI * (d1 + d2) / 2.0 * (blank.outer - blank.inner);
            let ring = blank.ring();
            assert!((ring.area() - wall).abs() < 1e-9 * wall && ring.self_intersection().is_none());
            let middle = ring.bounds().center();
            assert!(middle.to_vec2().hypot() < 1e-9, "{middle:?}");
            assert!(stray(&ring.mirrored(), &ring) < 1e-9);
        }
    }
}

#[test]
fn a_cones_room_and_seam() {
    // Shallow enough for its blank to go more than half round, as well as the usual kind.
    for sizes in ["top = 10\nbottom = 20\nheight = 15", "top = 30\nbottom = 14\nheight = 5"] {
        let built = outline(&job(&format!("shape = \"cone\"\n{sizes}\nborder = 1.5"))).expect("a cone");
        let seam = built.seam.expect("a seam");
        let (ends, arcs) = seam.part_edges(&built.edge);
        assert_eq!(ends.len(), 2);
        let chords = built.inside_border[0].outer().flatten(1e-5);
        for (edge, wide) in ends.iter().map(|(e, _)| (e, 0.5)).chain(arcs.iter().map(|e| (e, 1.5))) {
            let near = chords.iter().map(|p| (edge.nearest(*p) - *p).hypot()).fold(f64::INFINITY, f64::min);
            assert!((near - wide).abs() < 1e-3, "{near} for {wide}");
        }
        // Carried over the seam, each end's half bridge meets the other's: one bridge of 1 mm between the two rooms.
        let room = built.inside_border[0].outer();
        let straight = |r: &Ring| r.edges().filter(|e| matches!(e, Edge::Line { .. })).collect::<Vec<_>>();
        for (end, onwards) in &ends {
            let near = |e: &Edge| e.closest(end).distance;
            let own = straight(room).into_iter().min_by(|a, b| near(a).total_cmp(&near(b))).expect("an end");
            let [from, to] = [own.from(), own.to()].map(|p| seam.carry_point(p, *onwards));
            let other = straight(room).into_iter().find(|e| *e != own).expect("the other end");
            let gap = Edge::Line { from, to }.closest(&other);
            assert!((gap.distance - 1.0).abs() < 1e-9, "{gap:?}");
        }
        let allowance = built.allowance.expect("filing allowance");
        let (s1, s2) = (built.edge.area(), allowance.area());
        let end = ends[0].0.length();
        assert!((s2 - s1 - 2.0 * 0.1 * end).abs() < 0.01 * end, "{s1} {s2}");
    }
}

#[test]
fn every_repeat_closes_round_every_band() {
    let names: Vec<String> = sawpierce::catalogue::all().iter().map(|p| p.name.clone()).collect();
    let mut dice = Dice(500);
    for k in 0..500 {
        let name = &names[k % names.len()];
        let turn = [0.0, 90.0, 30.0, 45.0, dice.between(-90.0, 90.0)][(dice.roll() * 5.0) as usize];
        let (inside, width, pitch, bridge) = (
            dice.between(15.0, 60.0),
            dice.between(6.0, 18.0),
            dice.between(2.0, 6.0),
            dice.between(0.6, 1.2),
        );
        let plain = if k % 4 == 0 { dice.between(2.0, 12.0) } else { 0.0 };
        let text = format!(
            "[sheet]\nmetal = \"copper\"\nthickness = 1.2\n[outline]\nshape = \"band\"\ninside = {inside}\nwidth = {width}\nborder = 1\n\
             {}[pattern]\nat_border = \"trim\"\nname = \"{name}\"\npitch = {pitch}\nbridge = {bridge}\nturn = {turn}\n",
            if plain > 0.0 { format!("plain = {plain}\n") } else { String::new() },
        );
        let made = parse(&text, "t.toml", &NamedFiles::new(), &Settings::default())
            .unwrap_or_else(|e| panic!("{text}{e}"));
        let built = outline(&made).unwrap_or_else(|e| panic!("{text}{e}"));
        let run = built.run.expect("a run").get();
        let length = (inside + 1.2) * PI;
        let solid = if plain > bridge { plain - bridge } else { 0.0 };
        assert!((run - (length - solid)).abs() < 1e-9, "{text}");
        let laid = lay(&made, &built, &starts(&made, &built)[0]).unwrap_or_else(|e| panic!("{text}{e}"));
        let count = laid.repeats[0];
        assert!(count >= 1, "{text}");
        // The pitch moves by no more than one part in twice the count, and never far.
        assert!((laid.pitch.get() / pitch - 1.0).abs() < 0.2, "{text}{} for {pitch}", laid.pitch);
        // Every cell on the seam stands at both ends: the same kind, one run apart, to 0.01 mm (here far nearer).
        let room = built.inside_border[0].outer().bounds();
        let seam = -run / 2.0;
        for cell in &laid.cells {
            let bounds = laid.kinds[cell.kind].bounds() + cell.at;
            // It reaches into the room on both sides of the half bridges.
            let half = bridge / 2.0 + 0.01;
            let on_seam = bounds.x0 < seam - half && bounds.x1 > seam + half;
            if on_seam && bounds.y1 > room.y0 && bounds.y0 < room.y1 {
                let there = cell.at + sawpierce::geom::Vec2::new(run, 0.0);
                let off = laid.cells.iter().filter(|c| c.kind == cell.kind).map(|c| (c.at - there).hypot());
                let off = off.fold(f64::INFINITY, f64::min);
                assert!(off < 1e-6, "{text}{off} mm open");
            }
        }
    }
}

#[test]
fn no_opening_crosses_the_seam_and_bridges_hold_over_it() {
    let mut dice = Dice(41);
    let mut over = 0;
    for name in ["hexagon", "square", "triangle"] {
        for turn in [0.0, 90.0, 45.0, 11.0] {
            let (inside, bridge) = (dice.between(16.0, 24.0), 0.8);
            let text = format!(
                "skill = \"fine-work\"\n[sheet]\nmetal = \"copper\"\nthickness = 1\n[outline]\nshape = \"band\"\ninside = {inside}\nwidth = 14\nborder = 1.2\n\
                 [pattern]\nat_border = \"trim\"\nname = \"{name}\"\npitch = 3.6\nbridge = {bridge}\nturn = {turn}\n[saw]\nblade = \"6/0\"\ndrill = 0.5\n"
            );
            let made = parse(&text, "t.toml", &NamedFiles::new(), &Settings::default())
                .unwrap_or_else(|e| panic!("{text}{e}"));
            let work = sawpierce::work::work(&made).unwrap_or_else(|e| panic!("{text}{e}"));
            let length = (inside + 1.0) * PI;
            let end = length / 2.0 - bridge / 2.0;
            for opening in &work.piece.openings {
                let b = opening.ring.bounds();
                assert!(b.x0 > -end - 1e-5 && b.x1 < end + 1e-5, "{text}{b:?}");
            }
            for b in work.graph.bridges() {
                assert!(b.width.get() > bridge - 1e-3, "{text}{b:?}");
                let [p, q] = b.at;
                if p.x.max(q.x) > length / 2.0 {
                    over += 1;
                }
            }
        }
    }
    assert!(over >= 24, "only {over} bridges were measured over the seam");
}

#[test]
fn the_two_nearest_counts_are_told() {
    // 60 mm round, flats along, pitch 4.3: 14 repeats of 4.285714 mm; across (sqrt 3 pitch): 8 of 4.330127 mm.
    // Both worked by hand, L = k |t| s.
    for (turn, count, pitch, says) in
        [(0, 14, 4.285714, "13 would make it 4.62 mm"), (90, 8, 4.330127, "9 would make it 3.85 mm")]
    {
        let inside = 60.0 / PI - 1.0;
        let text = format!(
            "[sheet]\nmetal = \"copper\"\nthickness = 1\n[outline]\nshape = \"band\"\ninside = {inside}\nwidth = 12\nborder = 1\n\
             [pattern]\nat_border = \"trim\"\nname = \"hexagon\"\npitch = 4.3\nbridge = 0.8\nturn = {turn}\n"
        );
        let made = parse(&text, "t.toml", &NamedFiles::new(), &Settings::default())
            .unwrap_or_else(|e| panic!("{text}{e}"));
        let blank = outline(&made).expect("a band");
        let laid = lay(&made, &blank, &starts(&made, &blank)[0]).expect("laid");
        assert_eq!(laid.repeats, [count]);
        assert!((laid.pitch.get() - pitch).abs() < 1e-6, "{}", laid.pitch);
        assert!(laid.notes.iter().any(|n| n.contains(says)), "{:?}", laid.notes);
    }
}

// ---- drawn by somebody ----

fn drawn(d: &str) -> Vec<Ring> {
    rings_of_svg(d).unwrap_or_else(|(at, wrong)| panic!("{d}: character {at}: {wrong}"))
}

#[test]
fn a_drawn_circle_stays_a_circle() {
    let circle = drawn("M 0,20 A 20 20 0 0 1 40 20 A 20 20 0 0 1 0 20 Z");
    assert_eq!(circle.len(), 1);
    assert_eq!(circle[0].vertices().len(), 2);
    assert!((circle[0].area() - PI * 400.0).abs() < 1e-9);
    // y runs down in the drawing, up here.
    assert!((circle[0].centroid() - Point::new(20.0, -20.0)).hypot() < 1e-9);
}

#[test]
fn every_letter_of_path_data_is_read() {
    // The same rounded box in absolute and relative letters.
    let absolute =
        drawn("M10,0 H30 Q40,0 40,10 V20 C40,25 35,30 30,30 L10,30 A10 10 0 0 1 0 20 V10 S0,0 10,0 Z");
    let relative = drawn("m10 0h20q10 0 10 10v10c0 5-5 10-10 10l-20 0a10 10 0 0 1-10-10v-10s0-10 10-10z");
    assert!((absolute[0].area() - relative[0].area()).abs() < 1e-9);
    assert!(stray(&absolute[0], &relative[0]) < 1e-9);
    // Box less its corners: quadratic, cubic, circle, and a smooth curve whose first handle is its start. Areas
    // between a corner and a curve on handles a, b of 10: w h (1/2 - 3/10 ...) worked by kurbo's exact integral.
    let exact: f64 = kurbo::Shape::area(
        &kurbo::BezPath::from_svg(
            "M10,0 H30 Q40,0 40,10 V20 C40,25 35,30 30,30 L10,30 L0,20 V10 S0,0 10,0 Z",
        )
        .expect("data"),
    );
    let quarter = PI * 100.0 / 4.0 - 50.0;
    assert!((absolute[0].area() - exact.abs() - quarter).abs() < 1e-2, "{}", absolute[0].area());
}

#[test]
fn ends_a_drawing_program_rounded_still_meet() {
    // The last arc comes back a hundredth short or long of where the line began: no sliver, no crossing.
    for slip in [-0.004, -0.0005, 0.0005, 0.004] {
        let d = format!("M0 0 H20 V20 H0 A14.142136 14.142136 0 0 0 {slip} {slip} Z");
        let rings = drawn(&d);
        assert_eq!(rings[0].vertices().len(), 4, "{d}");
        assert!((rings[0].area() - (400.0 - (PI * 50.0 - 100.0))).abs() < 0.2, "{}", rings[0].area());
    }
}

#[test]
fn smooth_quadratics_carry_their_handle_on() {
    let wave = drawn("M0,0 Q5,-10 10,0 T20,0 V20 H0 Z");
    // One hump up and one down leave the box as it was: 20 by 20.
    assert!((wave[0].area() - 400.0).abs() < 1e-2, "{}", wave[0].area());
}

#[test]
fn inner_lines_become_windows_and_are_centred_with_the_outline() {
    let lines = drawn("M0 0H40V30H0Z M10 10h8v8h-8z M25 10a5 5 0 0 1 10 0a5 5 0 0 1 -10 0z");
    assert_eq!(lines.len(), 3);
    let placed = rings(&Shape::Drawn { rings: lines }).expect("a shape");
    assert!(placed[0].bounds().center().to_vec2().hypot() < 1e-12);
    assert!((placed[1].centroid() - Point::new(10.0, 5.0)).hypot() < 1e-9, "{:?}", placed[1].centroid());
    assert!((placed[2].centroid() - Point::new(-6.0, 1.0)).hypot() < 1e-9, "{:?}", placed[2].centroid());
}

#[test]
fn what_is_wrong_with_a_drawn_line_is_said_with_its_place() {
    for (d, at, says) in [
        ("", 1, "no closed line"),
        ("M0 0H40V30H0Z M5 5 L10 5 L10 10", 15, "open: it ends at x 10.00, y 10.00 mm, 7.07 mm away"),
        ("M0 0 L20 20 L20 0 L0 20 Z", 1, "crosses or touches itself at x 10.00, y 10.00 mm"),
        ("M0 0H40V30H0Z M30 20h20v5h-20z", 15, "runs into the outer line"),
        ("M0 0H40V30H0Z M50 0h5v5h-5z", 15, "outside the largest one"),
        ("M0 0H40V30H0Z M5 5h20v20h-20z M10 10h5v5h-5z", 31, "would fall out"),
        ("M0 0H40V30H0Z M5 5h10v10h-10z M10 10h10v10h-10z", 31, "would fall out"),
        ("M0 0 L10 0 Z", 1, "crosses or touches itself"),
        ("M0 0 L0.05 0 L0.05 0.05 Z", 1, "nothing that could be sawn"),
        ("M0 0 X", 6, "cannot be read"),
        ("M0 0 L1e300 0 L0 10 Z", 1, "too far away"),
        ("L10 10", 1, "cannot be read"),
    ] {
        let (place, wrong) = rings_of_svg(d).expect_err(d);
        assert!(wrong.contains(says), "{d}: {wrong}");
        assert_eq!(place, at, "{d}: {wrong}");
    }
}

fn file(text: &str) -> Vec<Ring> {
    rings_of_svg_file(text.as_bytes(), None).unwrap_or_else(|e| panic!("{text}: {e}")).0
}

fn svg(head: &str, body: &str) -> String {
    format!("<svg xmlns=\"http://www.w3.org/2000/svg\" {head}>{body}</svg>")
}

#[test]
fn a_file_keeps_its_physical_size() {
    let box_of = |head: &str| {
        let bounds = file(&svg(head, "<rect x='1' y='2' width='10' height='5'/>"))[0].bounds();
        (bounds.width(), bounds.height())
    };
    for (head, w, h) in [
        ("width='40mm' height='30mm' viewBox='0 0 40 30'", 10.0, 5.0),
        ("width='4cm' height='3cm' viewBox='0 0 80 60'", 5.0, 2.5),
        ("width='2in' height='2in' viewBox='0 0 20 20'", 25.4, 12.7),
        ("width='72pt' height='72pt' viewBox='0 0 100 100'", 2.54, 1.27),
        // Bare numbers are pixels of 96 to the inch (CSS).
        ("width='96' height='96'", 25.4 / 9.6, 12.7 / 9.6),
        ("width='96px' viewBox='0 0 40 40'", 6.35, 3.175),
        // No size stated: as drawn, in mm.
        ("viewBox='0 0 24 24'", 10.0, 5.0),
        ("", 10.0, 5.0),
        ("width='100%' height='100%' viewBox='0 0 24 24'", 10.0, 5.0),
        // Kept in proportion unless told otherwise.
        ("width='80mm' height='30mm' viewBox='0 0 40 30'", 10.0, 5.0),
        ("width='80mm' height='30mm' viewBox='0 0 40 30' preserveAspectRatio='none'", 20.0, 5.0),
    ] {
        let (x, y) = box_of(head);
        assert!((x - w).abs() < 1e-9 && (y - h).abs() < 1e-9, "{head}: {x} {y}");
    }
}

const MM: &str = "width='100mm' height='100mm' viewBox='0 0 100 100'";

#[test]
fn groups_placings_and_uses_are_followed() {
    let body = "<defs><circle id='dot' r='2'/><symbol id='eye' viewBox='0 0 10 10'><circle cx='5' cy='5' r='5'/></symbol></defs>\
        <g transform='translate(50 50)'><g transform='rotate(30) scale(2)'><rect x='-10' y='-10' width='20' height='20'/></g>\
        <use href='#dot' x='10'/><use href='#dot' transform='scale(-1 1)' x='10'/>\
        <use href='#eye' x='-4' y='-4' width='8' height='8'/></g>";
    let rings = file(&svg(MM, body));
    assert_eq!(rings.len(), 4);
    assert!((rings[0].area() - 1600.0).abs() < 1e-9);
    // 40 by 40 turned by 30 degrees: 40 (cos 30 + sin 30) over all.
    assert!((rings[0].bounds().width() - 40.0 * (0.5 + 0.75f64.sqrt())).abs() < 1e-9);
    let circles: Vec<_> = rings[1..].iter().map(|r| r.as_circle().expect("a circle")).collect();
    assert!((circles[0].1 - 4.0).abs() < 1e-9 && (circles[0].0 - Point::new(50.0, -50.0)).hypot() < 1e-9);
    let mut across: Vec<f64> = circles[1..].iter().map(|(c, _)| c.x).collect();
    across.sort_by(f64::total_cmp);
    assert!((across[0] - 40.0).abs() < 1e-9 && (across[1] - 60.0).abs() < 1e-9, "{across:?}");
    assert!(circles[1..].iter().all(|(_, r)| (r - 2.0).abs() < 1e-9));
}

#[test]
fn a_leaning_placing_turns_circles_into_ellipses() {
    let rings = file(&svg(MM, "<circle cx='20' cy='20' r='10' transform='matrix(1 0 0.5 2 3 4)'/>"));
    // Area grows by the determinant, 2.
    assert!((rings[0].area() - 2.0 * PI * 100.0).abs() < 1e-2, "{}", rings[0].area());
    let exact = |t: f64| Point::new(20.0 + 10.0 * t.cos(), 20.0 + 10.0 * t.sin());
    for k in 0..97 {
        let p = exact(f64::from(k) * 0.065);
        let q = Point::new(p.x + 0.5 * p.y + 3.0, -(2.0 * p.y + 4.0));
        assert!((rings[0].nearest(q) - q).hypot() < 1e-4, "{q:?}");
    }
}

#[test]
fn every_plain_shape_of_a_file_is_read() {
    for (body, area) in [
        ("<rect width='20' height='10' rx='2'/>", 200.0 - (4.0 - PI) * 4.0),
        ("<rect width='20' height='10' rx='50' ry='50'/>", PI * 50.0),
        ("<circle cx='5' cy='5' r='4'/>", 16.0 * PI),
        ("<circle cx='50%' cy='50%' r='10%'/>", 100.0 * PI),
        ("<ellipse cx='5' cy='5' rx='4' ry='3'/>", 12.0 * PI),
        ("<polygon points='0,0 10,0 10,10 0,10'/>", 100.0),
        ("<polyline points='0,0 10,0 10,10 0,10 0,0'/>", 100.0),
        ("<path d='M0 0h10v10h-10z'/>", 100.0),
        (
            "<svg x='10' y='10' width='50' height='50' viewBox='0 0 5 5'><rect width='2' height='2'/></svg>",
            400.0,
        ),
        // A length with a unit inside a view box counts in pixels of 96 to the inch (SVG 2, units).
        ("<rect width='1in' height='10%'/>", 960.0),
    ] {
        let rings = file(&svg(MM, body));
        assert!((rings[0].area() - area).abs() < 1e-2, "{body}: {} not {area}", rings[0].area());
    }
}

#[test]
fn hidden_parts_and_notes_are_passed_over() {
    let body = "<style>.none{fill:none} .off, .gone{display:none}</style><title>t</title>\
        <rect width='90' height='90' fill='none'/><rect width='80' height='80' class='none'/>\
        <rect width='70' height='70' style='display:none'/><g class='gone'><rect width='60' height='60'/><text>a</text></g>\
        <rect width='50' height='50' visibility='hidden'/><rect width='10' height='10' fill='none' stroke='black'/>\
        <rect width='10' height='10' fill='red'/>";
    let rings = file(&svg(MM, body));
    assert_eq!(rings.len(), 1);
    assert!((rings[0].area() - 100.0).abs() < 1e-9);
}

#[test]
fn one_part_by_its_id() {
    let text = svg(
        MM,
        "<text id='words'>no</text><g id='leaf' transform='translate(5 5)'><rect width='10' height='10'/><circle cx='5' cy='5' r='2'/></g><rect id='big' width='40' height='40'/>",
    );
    let (leaf, _) = rings_of_svg_file(text.as_bytes(), Some("leaf")).expect("a leaf");
    assert_eq!(leaf.len(), 2);
    assert!((leaf[0].bounds().x0 - 5.0).abs() < 1e-9);
    let missing = rings_of_svg_file(text.as_bytes(), Some("stem")).expect_err("none");
    assert!(missing.contains("nothing named \"stem\"; it has words, leaf, big"), "{missing}");
}

#[test]
fn what_a_file_cannot_be_is_said_with_the_reason() {
    let solid = "<rect width='40' height='40'/>";
    for (body, says) in [
        (format!("{solid}<text x='5' y='5'>Anna</text>"), "turn the letters into lines"),
        (format!("{solid}<image href='a.png' width='5' height='5'/>"), "picture"),
        (format!("{solid}<foreignObject/>"), "not drawn with lines"),
        (format!("<g mask='url(#m)'>{solid}</g>"), "mask"),
        (format!("{solid}<rect x='50' width='5' height='5'/>"), "outside the largest one"),
        (format!("{solid}<rect x='35' y='5' width='10' height='5'/>"), "runs into the outer line"),
        ("<polyline points='0,0 10,0 10,10'/>".into(), "open"),
        ("<line x2='10'/>".into(), "open"),
        ("<path d='M0 0h10v10h-1x'/>".into(), "cannot be read here (character 14"),
        ("<use href='other.svg#a'/>".into(), "another file"),
        ("<use href='#nowhere'/>".into(), "does not hold"),
        ("<g id='me'><use href='#me'/></g>".into(), "refers to itself"),
        ("<rect width='ten' height='5'/>".into(), "\"ten\" cannot be read"),
        ("<rect width='10' height='5' transform='spin(4)'/>".into(), "placing"),
        (String::new(), "no lines"),
    ] {
        let wrong = rings_of_svg_file(svg(MM, &body).as_bytes(), None).expect_err(&body);
        assert!(wrong.contains(says), "{body}: {wrong}");
    }
    for (bytes, says) in [
        (&b"\x1f\x8b\x08"[..], "compressed"),
        (b"\xff\xfe", "not an SVG"),
        (b"<svg", "damaged"),
        (b"<html/>", "not an SVG"),
        (b"", "damaged"),
    ] {
        let wrong = rings_of_svg_file(bytes, None).expect_err("not a drawing");
        assert!(wrong.contains(says), "{wrong}");
    }
}

#[test]
fn nothing_typed_in_a_drawing_can_make_it_fall_over() {
    // Random strings of the letters path data is made of.
    let letters: Vec<char> = "MmLlHhVvCcSsQqTtAaZz0123456789.-, e".chars().collect();
    let mut dice = Dice(5);
    for _ in 0..3000 {
        let length = (dice.roll() * 60.0) as usize;
        let mut d: String = "M0 0".into();
        d.extend((0..length).map(|_| letters[(dice.roll() * letters.len() as f64) as usize]));
        if let Ok(rings) = rings_of_svg(&d) {
            assert!(rings.iter().all(|r| r.area() > 0.0 && r.area().is_finite()), "{d}");
        }
    }
}

#[test]
fn a_drawn_shape_is_pierced_like_any_other() {
    let mut made = job("shape = \"circle\"\ndiameter = 40\nborder = 2");
    made.outline.shape =
        Shape::Drawn { rings: drawn("M0 0 C20 -10 40 -10 60 0 L60 40 Q30 60 0 40 Z M25 15h10v10h-10z") };
    let built = outline(&made).expect("an outline");
    assert_eq!(built.windows.len(), 1);
    assert!(built.windows[0].ring.closest(&built.edge).distance > 2.0);
    let window = built.windows[0].ring.clone();
    let clear = built.field.iter().flat_map(|r| r.holes()).map(|h| h.closest(&window).distance);
    assert!(clear.fold(f64::INFINITY, f64::min) > 2.0 - 1e-6);
}
