//! Rows of openings and the motif in the middle: whole counts, evenly spaced, as far apart as is promised.

use crate::made::{done, job};
use sawpierce::geom::{Boundary, Edge, Point, Ring};
use sawpierce::job::{parse, AtBorder, Job, NamedFiles, Settings};
use sawpierce::outline::Track;
use sawpierce::work::{work, Work};

const MICRON: f64 = 1e-3;

fn text(outline: &str, rest: &str) -> String {
    format!(
        "skill = \"practised\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\n{outline}\n{rest}"
    )
}

fn pierced(outline: &str, rest: &str) -> (Job, Work) {
    let job = job(&text(outline, rest));
    let work = done(&job);
    (job, work)
}

const DISC: &str = "shape = \"circle\"\ndiameter = 46";

/// Arc lengths of places along a line, by adding up many short chords.
fn along(line: &[Edge], places: &[Point]) -> (Vec<f64>, f64) {
    const CHORDS: usize = 4000;
    let mut best = vec![(f64::INFINITY, 0.0); places.len()];
    let mut far = 0.0;
    for edge in line {
        let mut from = edge.from();
        for k in 1..=CHORDS {
            let to = edge.point(k as f64 / CHORDS as f64);
            let (way, length) = (to - from, (to - from).hypot());
            for (place, found) in places.iter().zip(&mut best) {
                let t = ((*place - from).dot(way) / way.hypot2()).clamp(0.0, 1.0);
                let off = (from + way * t - *place).hypot();
                if off < found.0 - 1e-9 {
                    *found = (off, far + t * length);
                }
            }
            (from, far) = (to, far + length);
        }
    }
    for (off, _) in &best {
        assert!(*off < 1e-5, "a place lies {off} mm beside its line");
    }
    (best.into_iter().map(|(_, at)| at).collect(), far)
}

/// Steps from each place to the next along a track, mm.
fn steps(track: &Track, places: &[Point]) -> Vec<f64> {
    let (mut at, length) = along(&track.middle, places);
    at.sort_by(f64::total_cmp);
    let around = at[0] + length - at[at.len() - 1];
    at.windows(2).map(|w| w[1] - w[0]).chain([around]).collect()
}

/// Where a line turns by more than 25 degrees at a point.
fn corners(line: &[Edge]) -> usize {
    let n = line.len();
    let turn = |i: usize| line[(i + n - 1) % n].direction(1.0).dot(line[i].direction(0.0));
    (0..n).filter(|&i| turn(i) < 25.0_f64.to_radians().cos()).count()
}

/// Small whole numbers from a seed, the same on every machine.
struct Dice(u64);

impl Dice {
    fn of(&mut self, sides: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % sides
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.of(1000) as f64 / 1000.0
    }
}

#[test]
fn two_hundred_rows_have_whole_counts_and_even_steps() {
    let outlines = [
        "shape = \"circle\"\ndiameter = 44",
        "shape = \"ellipse\"\nwidth = 56\nheight = 40",
        "shape = \"rectangle\"\nwidth = 60\nheight = 44",
        "shape = \"rectangle\"\nwidth = 48\nheight = 48\ncorner_radius = 6",
        "shape = \"polygon\"\nsides = 6\nacross = 52",
        "shape = \"cushion\"\nwidth = 46\nheight = 40",
        "shape = \"heart\"\nwidth = 56\nheight = 52",
        "shape = \"teardrop\"\nwidth = 44\nheight = 60",
        "shape = \"marquise\"\nwidth = 44\nheight = 74",
        "shape = \"band\"\nring_size = \"US 9\"\nwidth = 16",
    ];
    let (mut rows, mut evenly, mut cornered) = (0, 0, 0);
    let mut dice = Dice(14);
    while rows < 200 {
        let outline = outlines[dice.of(outlines.len() as u64) as usize];
        let shape = ["round", "drop", "brick", "petal", "lozenge", "fish-scale"][dice.of(6) as usize];
        let across = dice.between(1.6, 3.0);
        let wide = if shape == "drop" { across * dice.between(0.5, 0.9) } else { dice.between(1.4, 3.0) };
        let inset = dice.between(1.4, 2.4);
        let bridge = dice.between(1.0, 1.4);
        let more = match dice.of(4) {
            0 => format!("pitch = {:.2}\n", wide + bridge + dice.between(0.3, 2.0)),
            1 => format!("count = {}\n", 12 + 2 * dice.of(4)),
            _ => String::new(),
        };
        let rest = format!(
            "border = 1.4\n[pattern]\nbridge = {bridge:.2}\n[[row]]\nshape = \"{shape}\"\nsize = [{wide:.2}, {across:.2}]\ninset = {inset:.2}\n{more}\
             [saw]\ndrill = 0.8\nblade = \"4/0\"\n"
        );
        let (job, work) = pierced(outline, &rest);
        let piece = &work.piece;
        let (set, lane) = (&piece.resolved.rows[0], &piece.outline.lanes[0]);
        let told = format!("{outline}\n{rest}{}", set.note);
        rows += 1;
        assert_eq!(set.stations.len(), piece.openings.len() + set.left.len(), "{told}");
        let each = set.stations.len() / lane.tracks.len();
        for (track, places) in lane.tracks.iter().zip(set.stations.chunks(each)) {
            let steps = steps(track, places);
            let (least, most) =
                steps.iter().fold((f64::INFINITY, 0.0_f64), |(l, m), s| (l.min(*s), m.max(*s)));
            let corners = if track.open.is_some() { 0 } else { corners(&track.middle) };
            if set.step.1 - set.step.0 < MICRON {
                assert!(most - least < MICRON, "{told}: steps from {least} to {most}");
                evenly += 1;
            } else {
                // Sides of different lengths each have whole steps of their own.
                assert!(corners > 0, "{told}: uneven without a corner");
                assert!((least - set.step.0).abs() < MICRON && (most - set.step.1).abs() < MICRON, "{told}");
                cornered += 1;
            }
        }
        // What is told of the gap is what is measured.
        let rings: Vec<&Ring> = piece.openings.iter().map(|o| &o.ring).collect();
        let gap = |i: usize, j: usize| rings[i].closest(rings[j]).distance;
        let nearest = (0..rings.len()).flat_map(|i| (0..i).map(move |j| (i, j))).map(|(i, j)| gap(i, j));
        let nearest = nearest.fold(f64::INFINITY, f64::min);
        assert!((nearest - set.gap).abs() < MICRON || nearest > set.gap, "{told}: {nearest}");
        if more.is_empty() {
            assert!(nearest >= bridge - 0.005 - MICRON, "{told}: {nearest} for a bridge of {bridge}");
            assert!(job.rows[0].spacing == sawpierce::job::Spacing::Most);
        }
        // Round openings keep the inset to the micrometre.
        if shape == "round" && (wide - across).abs() < 0.005 {
            let edge = Boundary::of_ring(&piece.outline.edge);
            let far = |r: &&Ring| edge.closest(r, 20.0).map_or(20.0, |c| c.distance);
            let least = rings.iter().map(far).fold(f64::INFINITY, f64::min);
            assert!(least > job.rows[0].inset.expect("along the edge").get() - MICRON, "{told}: {least}");
        }
    }
    assert!(evenly > 100 && cornered > 10, "{evenly} even, {cornered} with sides of their own");
}

/// The farthest that any opening's vertex lies from all openings' lines once it is carried to its image.
fn asymmetry(work: &Work, image: impl Fn(Point) -> Point) -> f64 {
    let lines = Boundary::of_edges(work.piece.openings.iter().flat_map(|o| o.ring.edges()).collect());
    let vertices = work.piece.openings.iter().flat_map(|o| o.ring.vertices());
    vertices.map(|v| lines.distance(image(v.at))).fold(0.0, f64::max)
}

#[test]
fn rows_are_as_symmetrical_as_their_outline() {
    for outline in [
        DISC,
        "shape = \"heart\"\nwidth = 56\nheight = 52",
        "shape = \"rectangle\"\nwidth = 60\nheight = 44",
        "shape = \"polygon\"\nsides = 5\nacross = 54",
        "shape = \"crescent\"\nwidth = 50\nheight = 60\nthick = 26",
    ] {
        for shape in ["round", "drop", "brick", "petal", "lozenge"] {
            let (_, work) = pierced(outline, &format!("[[row]]\nshape = \"{shape}\"\n"));
            let upright = !outline.contains("crescent");
            let image = |p: Point| if upright { Point::new(-p.x, p.y) } else { Point::new(p.x, -p.y) };
            let off = asymmetry(&work, image);
            assert!(off < 1e-6, "{outline} {shape}: {off}");
            assert!(work.piece.openings.len() >= 8, "{outline} {shape}");
        }
    }
    // The first stands at the top.
    let (_, work) = pierced(DISC, "[[row]]\ncount = 17\n");
    let first = work.piece.resolved.rows[0].stations[0];
    assert!(first.x.abs() < 1e-9 && first.y > 15.0, "{first:?}");
    // Corners have an opening each.
    let (_, work) = pierced("shape = \"rectangle\"\nwidth = 60\nheight = 44", "[[row]]\n");
    let corner = Point::new(30.0 - 2.2 - 1.0, 22.0 - 2.2 - 1.0);
    assert!(work.piece.openings.iter().any(|o| (o.drill_at - corner).hypot() < 1e-6));
}

#[test]
fn the_pattern_is_fitted_within_the_rows_and_round_the_middle() {
    let rest =
        "[pattern]\nname = \"hexagon\"\npitch = 4.4\nbridge = 1.2\n[[row]]\nshape = \"drop\"\napart = 1.5\n\
                [middle]\nshape = \"rosette\"\ndiameter = 11\npetals = 6\napart = 1.3\n";
    let (job, work) = pierced(DISC, rest);
    let piece = &work.piece;
    let border = piece.resolved.border.as_ref().expect("asked to fit");
    assert_eq!((border.used, border.why.clone()), (AtBorder::Fit, None));
    let set = &piece.resolved.rows[0];
    let petals = piece.outline.middle.as_ref().expect("a middle").openings.len();
    assert_eq!(petals, 6);
    // The row's lane ends so deep, and the field begins `apart` farther in.
    let deep = job.rows[0].inset.expect("an inset").get() + job.rows[0].size.1.get() + 1.5;
    let of_pattern: Vec<&Ring> = piece
        .openings
        .iter()
        .map(|o| &o.ring)
        .filter(|r| r.centroid().to_vec2().hypot() > 7.0 && r.centroid().to_vec2().hypot() < 23.0 - deep)
        .collect();
    assert_eq!(of_pattern.len() + petals + set.openings.len(), piece.openings.len());
    let far = |r: &&Ring| r.vertices().map(|v| v.at.to_vec2().hypot()).fold(0.0, f64::max);
    let reach = of_pattern.iter().map(far).fold(0.0, f64::max);
    assert!((reach - (23.0 - deep)).abs() < 1e-3, "{reach} for {}", 23.0 - deep);
    let near = |r: &&Ring| r.nearest(Point::ORIGIN).to_vec2().hypot();
    let inner = of_pattern.iter().map(near).fold(f64::INFINITY, f64::min);
    assert!((inner - 6.8).abs() < 1e-3, "{inner}");
    // Petals stand exactly a bridge apart.
    let openings = &piece.outline.middle.as_ref().expect("a middle").openings;
    let gap = openings[0].closest(&openings[1]).distance;
    assert!((gap - 1.2).abs() < 1e-6, "{gap}");
    assert!(piece.left_solid.is_empty(), "{:?}", piece.left_solid);
}

#[test]
fn rows_stand_inside_each_other_round_windows_and_on_circles() {
    let rest = "[pattern]\nname = \"none\"\nbridge = 1.2\n[[window]]\nname = \"light\"\nshape = \"circle\"\ndiameter = 8\n\
                [[row]]\nshape = \"brick\"\n[[row]]\nshape = \"round\"\n[[row]]\nalong = \"light\"\nshape = \"drop\"\n";
    let (job, work) = pierced("shape = \"circle\"\ndiameter = 54", rest);
    let [bricks, rounds, drops] = &work.piece.resolved.rows[..] else { panic!("three rows") };
    let least = |a: &[Ring], b: &[Ring]| {
        let all = a.iter().flat_map(|one| b.iter().map(move |two| one.closest(two).distance));
        all.fold(f64::INFINITY, f64::min)
    };
    // The second row keeps the bridge to the first.
    assert!((least(&bricks.openings, &rounds.openings) - 1.2).abs() < 1e-6);
    // Bricks are bent with the line: along it they keep one bridge from end to end.
    assert!((bricks.gap - (bricks.step.0 - job.rows[0].size.0.get())).abs() < 1e-3, "{bricks:?}");
    let window = &work.piece.outline.windows[0].ring;
    assert!((least(&drops.openings, std::slice::from_ref(window)) - 1.2).abs() < 1e-3);
    assert!(
        work.piece.openings.len() == bricks.openings.len() + rounds.openings.len() + drops.openings.len()
    );

    let circle = "[pattern]\nname = \"hexagon\"\n[[row]]\nalong = { diameter = 16 }\ncount = 9\n";
    let (_, work) = pierced(DISC, circle);
    let row = &work.piece.resolved.rows[0];
    assert_eq!(row.openings.len(), 9);
    assert!(row.stations.iter().all(|p| (p.to_vec2().hypot() - 8.0).abs() < 1e-9));
}

#[test]
fn a_row_leaves_out_what_stands_on_kept_metal() {
    let rest =
        "[[row]]\n[[keep_solid]]\nname = \"bail tab\"\nshape = \"circle\"\ndiameter = 5\nat = [0, 19]\n\
                [[hole]]\ndiameter = 1.8\nat = [0, 19]\n";
    let (_, work) = pierced(DISC, rest);
    let row = &work.piece.resolved.rows[0];
    assert!(
        !row.left.is_empty() && row.left.iter().all(|(_, why)| why == "bail tab is kept solid"),
        "{row:?}"
    );
    assert!(work.piece.left_solid.len() == row.left.len());
    assert!(work.verdicts.iter().all(|v| v.level < sawpierce::checks::Level::Stop));
}

#[test]
fn every_shape_may_stand_in_the_middle() {
    for shape in [
        "shape = \"rosette\"\ndiameter = 14\neye = 3",
        "shape = \"star\"\ndiameter = 14\npetals = 5",
        "shape = \"heart\"\nwidth = 12\nheight = 11",
        "shape = \"circle\"\ndiameter = 10",
        "shape = \"drawn\"\nd = \"M 0 0 L 8 0 L 4 7 Z\"",
    ] {
        let (_, work) = pierced(DISC, &format!("[pattern]\nname = \"hexagon\"\n[middle]\n{shape}\n"));
        let middle = work.piece.outline.middle.as_ref().expect("a middle");
        assert!(work.piece.openings.len() > middle.openings.len() + 15, "{shape}");
        let stops = work.verdicts.iter().filter(|v| v.level == sawpierce::checks::Level::Stop);
        assert_eq!(stops.count(), 0, "{shape}");
    }
}

#[test]
fn what_has_no_room_is_refused_at_its_key() {
    let wrong = |rest: &str| {
        let text = text(DISC, rest);
        let read = parse(&text, "mine.toml", &NamedFiles::new(), &Settings::default());
        read.and_then(|job| work(&job)).map(|_| ()).expect_err(rest).to_string()
    };
    for (rest, says) in [
        ("[[row]]\nsize = [2, 22]\n", "mine.toml:9:8: row 1 has no room"),
        ("[[row]]\nsize = [2, 22]\n", "make its openings at most"),
        ("[[row]]\nsize = [2, 20]\n", "mine.toml:9:8: row 1: openings"),
        ("[[row]]\nalong = \"light\"\n", "mine.toml:9:9: there is no window called \"light\""),
        ("[[row]]\ncount = 400\n", "mine.toml:9:9: row 1: 400 openings"),
        ("[[row]]\ncount = 400\n", "hold at most"),
        ("[[row]]\ncount = 20\npitch = 4\n", "both count and pitch"),
        ("[[row]]\nshape = \"drop\"\nsize = [3, 2]\n", "has no point"),
        ("[[row]]\nshape = \"stra\"\n", "mine.toml:9:9: shape \"stra\" is not known"),
        ("[[row]]\nshape = \"sunflower\"\n", "is grown and has no shape"),
        ("[[row]]\ntips = \"out\"\n", "tips says which way drops point"),
        ("[[row]]\nalong = { diameter = 20 }\ninset = 2\n", "inset means nothing"),
        ("[[row]]\n[[row]]\nalong = { diameter = 39 }\n", "stand on those of"),
        (
            "[pattern]\nname = \"hexagon\"\n[[row]]\nsize = [3, 18]\napart = 4\n",
            "leave no room for the pattern",
        ),
        ("[pattern]\nname = \"none\"\n", "nothing to open"),
        ("[pattern]\nname = \"none\"\n[[row]]\n[wish]\nopenings = 40\n", "this job has none"),
        (
            "[pattern]\nname = \"hexagon\"\n[middle]\nshape = \"rosette\"\ndiameter = 6\npetals = 20\n",
            "no room for 20 petals",
        ),
    ] {
        let told = wrong(rest);
        assert!(told.contains(says), "{rest}\n{told}\nwanted: {says}");
    }
}

#[test]
fn gaps_that_are_too_narrow_are_a_verdict() {
    let (_, work) = pierced(DISC, "[[row]]\ncount = 46\n");
    let said = work.verdicts.iter().find(|v| v.check == sawpierce::checks::Check::BridgeWidth).expect("told");
    assert_eq!(said.level, sawpierce::checks::Level::Stop);
}

#[test]
fn rows_and_the_middle_are_drawn_from_pattern_files_too() {
    let own = sawpierce::catalogue::find("quatrefoil").expect("shipped");
    let (_, work) = pierced(DISC, "[[row]]\nshape = \"quatrefoil\"\nsize = [3, 3]\n");
    assert!(work.piece.openings.len() > 12 && !own.shapes.is_empty());
    let size = work.piece.openings[0].ring.bounds();
    assert!(size.width().max(size.height()) < 3.0 * 1.5);
}

#[test]
fn a_crowded_row_is_mended_by_fewer() {
    let (job, work) = pierced(DISC, "[[row]]\ncount = 46\n");
    let mended = sawpierce::mend::mend(&job, &work, false);
    let told = format!("{mended:?}");
    assert!(told.contains("RowCount(0)") || told.contains("as many as leave a bridge"), "{told}");
}
