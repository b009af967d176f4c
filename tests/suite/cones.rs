//! Repeats bent onto a cone's blank: they meet across its seam, keep their angles and their bridges.

use crate::made::{done, job};
use sawpierce::checks::{Bridge, Side};
use sawpierce::geom::{Point, Ring, Vec2};
use sawpierce::job::Job;
use sawpierce::outline::{outline, Outline, Seam};
use sawpierce::pattern::{lay, starts, Laid};
use std::f64::consts::PI;

struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as f64 / f64::from(1u32 << 31)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.roll()
    }
}

fn cone(sizes: (f64, f64, f64), pattern: &str) -> Job {
    let (top, bottom, height) = sizes;
    job(&format!(
        "skill = \"fine-work\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"cone\"\ntop = {top}\n\
         bottom = {bottom}\nheight = {height}\nborder = 1.4\n[pattern]\nat_border = \"trim\"\n{pattern}\n[saw]\nblade = \"6/0\"\ndrill = 0.5\n"
    ))
}

fn laid(job: &Job) -> (Outline, Laid, f64, Point) {
    let built = outline(job).expect("a cone");
    let Some(Seam::Turn { degrees, centre, .. }) = built.seam else { panic!("no seam") };
    let laid = lay(job, &built, &starts(job, &built)[0]).expect("laid");
    (built, laid, degrees, centre)
}

/// Farthest of the corners of one ring from those of the other, taken from their lowest angle on.
fn apart(a: &Ring, b: &Ring) -> f64 {
    a.vertices()
        .map(|p| b.vertices().map(|q| (p.at - q.at).hypot()).fold(f64::INFINITY, f64::min))
        .fold(0.0, f64::max)
}

#[test]
fn every_repeat_closes_round_every_cone() {
    let names: Vec<String> = sawpierce::catalogue::all().iter().map(|p| p.name.clone()).collect();
    let mut dice = Dice(500);
    let mut met = 0;
    for k in 0..3 * names.len() {
        let name = &names[k % names.len()];
        let turn = [0.0, 90.0, 30.0, 45.0, dice.between(-90.0, 90.0)][(dice.roll() * 5.0) as usize];
        let (small, more, height) =
            (dice.between(10.0, 30.0), dice.between(2.0, 25.0), dice.between(12.0, 40.0));
        let sizes = if k % 2 == 0 { (small, small + more, height) } else { (small + more, small, height) };
        let (pitch, bridge) = (dice.between(2.5, 6.0), dice.between(0.6, 1.0));
        let said = format!("name = \"{name}\"\npitch = {pitch}\nbridge = {bridge}\nturn = {turn}");
        let made = cone(sizes, &said);
        let (built, laid, degrees, centre) = laid(&made);
        let seam = built.seam.expect("a seam");
        assert!(laid.repeats[0] >= 1, "{said}");
        assert!((laid.pitch.get() / pitch - 1.0).abs() < 0.2, "{said} {}", laid.pitch);
        // Half way between the borders the repeats make the whole round.
        let radii = |r: &Ring| r.vertices().map(|c| (c.at - centre).hypot()).collect::<Vec<_>>();
        let field = radii(built.inside_border[0].outer());
        let (near, far) = field.iter().fold((f64::MAX, 0.0f64), |(n, f), r| (n.min(*r), f.max(*r)));
        let round = (near + far) / 2.0 * degrees.to_radians();
        assert!((round - PI * (small + small + more) / 2.0).abs() < 0.5 * more, "{said}");
        // A cell that lies across one end is there again across the other.
        let ends = seam.part_edges(&built.edge).0;
        for ring in &laid.kinds {
            for (end, onwards) in &ends {
                let side = |p: Point| (end.to() - end.from()).cross(p - end.from());
                let (low, high) = ring
                    .vertices()
                    .map(|c| side(c.at))
                    .fold((f64::MAX, f64::MIN), |(l, h), s| (l.min(s), h.max(s)));
                let across = 0.05 * end.length();
                let over_field = radii(ring).iter().any(|r| *r > near && *r < far);
                let beside = ring.vertices().all(|c| (end.nearest(c.at) - c.at).hypot() < 12.0);
                if low < -across && high > across && over_field && beside {
                    let there = seam.carry(ring, *onwards);
                    let off = laid.kinds.iter().map(|r| apart(&there, r)).fold(f64::INFINITY, f64::min);
                    assert!(off < 1e-6, "{said} {sizes:?}: {off} mm open");
                    met += 1;
                }
            }
        }
    }
    assert!(met > 300, "{met}");
}

#[test]
fn bridges_hold_on_a_cone_and_over_its_seam() {
    let mut dice = Dice(7);
    let mut over = 0;
    for name in ["hexagon", "square", "triangle", "fish-scale", "tumbling-blocks", "kites", "star-and-cross"]
    {
        for turn in [0.0, 90.0, 17.0] {
            let small = dice.between(14.0, 22.0);
            let sizes = (small, small + dice.between(4.0, 16.0), dice.between(14.0, 26.0));
            let made = cone(sizes, &format!("name = \"{name}\"\npitch = 5.5\nbridge = 0.9\nturn = {turn}"));
            let work = done(&made);
            assert!(work.piece.openings.len() > 20, "{name} {turn}");
            let built = &work.piece.outline;
            let ends = built.seam.expect("a seam").part_edges(&built.edge).0;
            for o in &work.piece.openings {
                let near =
                    |p: Point| ends.iter().map(|(e, _)| (e.nearest(p) - p).hypot()).fold(9.0, f64::min);
                let least = o.ring.flatten(1e-4).into_iter().map(near).fold(9.0, f64::min);
                assert!(least > 0.45 - 1e-3, "{name} {turn}: {least} from the seam");
            }
            let edge = sawpierce::geom::Boundary::of_ring(&built.edge);
            let mut thinnest = f64::INFINITY;
            for b in work.graph.bridges().filter(|b| b.is_between_openings()) {
                assert!(b.width.get() > 0.9 - 1e-3, "{name} {turn} {sizes:?}: {b:?}");
                thinnest = thinnest.min(b.width.get());
                over += usize::from(b.at.iter().any(|p| !edge.contains(*p)));
            }
            assert!((thinnest - 0.9).abs() < 1e-3, "{name}: {thinnest}");
        }
    }
    assert!(over > 60, "only {over} bridges were measured over the seam");
}

#[test]
fn bending_keeps_angles_and_sizes_grow_with_the_radius() {
    let made = cone((16.0, 28.0, 20.0), "name = \"hexagon\"\npitch = 3\nbridge = 0.6");
    let (_, laid, degrees, centre) = laid(&made);
    let count = f64::from(laid.repeats[0]);
    for ring in &laid.kinds {
        let edges: Vec<_> = ring.edges().collect();
        let corners: Vec<f64> = (0..edges.len())
            .map(|i| {
                let (a, b) =
                    (edges[(i + edges.len() - 1) % edges.len()].direction(1.0), edges[i].direction(0.0));
                a.cross(b).atan2(a.dot(b)).to_degrees()
            })
            .filter(|t| t.abs() > 1.0)
            .collect();
        assert_eq!(corners.len(), 6);
        assert!(corners.iter().all(|t| (t - 60.0).abs() < 1e-4), "{corners:?}");
        // As wide as its share of the round at its own radius, to the second order.
        let r = (ring.centroid() - centre).hypot();
        let pitch = r * degrees.to_radians() / count;
        let area = 0.75f64.sqrt() * pitch * pitch;
        assert!((ring.area() / area - 1.0).abs() < 0.02, "{} {area}", ring.area());
    }
}

#[test]
fn the_other_way_up_is_the_mirror_image() {
    // Narrow end up or down, the same blank turned over: an upright pattern that is its own mirror image both ways.
    let up = done(&cone((14.0, 24.0, 18.0), "name = \"hexagon\"\npitch = 4\nbridge = 0.8"));
    let down = done(&cone((24.0, 14.0, 18.0), "name = \"hexagon\"\npitch = 4\nbridge = 0.8"));
    let areas = |w: &sawpierce::work::Work| {
        let mut all: Vec<f64> = w.piece.openings.iter().map(|o| o.area).collect();
        all.sort_by(f64::total_cmp);
        all
    };
    let (a, b) = (areas(&up), areas(&down));
    assert_eq!(a.len(), b.len());
    assert!(a.iter().zip(&b).all(|(x, y)| (x - y).abs() < 1e-4));
    // And about its own middle: what stands left stands right.
    for o in &up.piece.openings {
        let there = Point::new(-o.centroid.x, o.centroid.y);
        let off =
            up.piece.openings.iter().map(|p| (p.centroid - there).hypot()).fold(f64::INFINITY, f64::min);
        assert!(off < 1e-3, "{off}");
    }
}

#[test]
fn the_pitch_at_both_ends_and_the_next_count_are_told() {
    let made = cone((16.0, 28.0, 20.0), "name = \"hexagon\"\npitch = 3.1\nbridge = 0.6");
    let notes = done(&made).piece.resolved.notes.clone();
    let said = notes.join("\n");
    assert!(said.contains("whole repeats round the cone") && said.contains("would make it"), "{said}");
    assert!(said.contains("at the narrow end") && said.contains("at the wide one"), "{said}");
    assert!(!said.contains("do not meet"), "{said}");
}

// ---- grown patterns, kept places and windows on blanks that meet themselves ----

fn band(pattern: &str, more: &str) -> String {
    format!(
        "skill = \"fine-work\"\n[sheet]\nmetal = \"copper\"\nthickness = 1\n[outline]\nshape = \"band\"\ninside = 18\nwidth = 14\n\
         border = 1.4\n[pattern]\nat_border = \"trim\"\n{pattern}\n[saw]\nblade = \"6/0\"\ndrill = 0.5\n{more}"
    )
}

#[test]
fn whole_quarter_circles_go_round_bands_and_cones() {
    let mut dice = Dice(3);
    for k in 0..12 {
        let said = format!(
            "name = \"quarter-circles\"\npitch = {}\nbridge = 0.8\nvariation = {k}",
            dice.between(5.0, 9.0)
        );
        let made = if k % 2 == 0 { job(&band(&said, "")) } else { cone((17.0, 24.0, 16.0), &said) };
        let work = done(&made);
        assert!(work.piece.resolved.repeats[0] >= 5);
        let built = &work.piece.outline;
        let ends = built.seam.expect("a seam").part_edges(&built.edge).0;
        let mut at_ends = 0;
        for o in &work.piece.openings {
            let near = |p: Point| ends.iter().map(|(e, _)| (e.nearest(p) - p).hypot()).fold(9.0, f64::min);
            let least = o.ring.flatten(1e-4).into_iter().map(near).fold(9.0, f64::min);
            assert!(least > 0.4 - 1e-3, "{least} from the seam");
            at_ends += usize::from(least < 0.401);
        }
        assert!(at_ends >= 4, "openings stand along both ends: {at_ends}");
        for b in work.graph.bridges().filter(|b| b.is_between_openings()) {
            assert!(b.width.get() > 0.8 - 1e-3, "{b:?}");
        }
        if k % 2 == 0 {
            // The squares' own lines stand a whole number of pitches apart.
            let round = work.piece.resolved.pitch.get() * f64::from(work.piece.resolved.repeats[0]);
            assert!((round - 19.0 * PI).abs() < 1e-9, "{round}");
        }
    }
}

#[test]
fn what_has_one_middle_is_refused_round_a_band_and_the_rest_is_laid() {
    for name in sawpierce::catalogue::GROWN.iter().map(|g| g.name) {
        for text in [
            band(&format!("name = \"{name}\"\nbridge = 0.8"), ""),
            band(&format!("name = \"{name}\"\nbridge = 0.8"), "").replace(
                "shape = \"band\"\ninside = 18\nwidth = 14",
                "shape = \"cone\"\ntop = 18\nbottom = 30\nheight = 22",
            ),
        ] {
            let on_cone = text.contains("cone");
            let one_round = ["petal-ring", "circle-rosette", "sun-rays", "diamond-rosette", "shrinking-edge"];
            let refused = one_round.contains(&name) || (name.starts_with("growing") && !on_cone);
            match sawpierce::work::work(&job(&text)) {
                Ok(work) => {
                    assert!(!refused, "{name} {on_cone}");
                    assert!(work.piece.openings.len() > 5, "{name} {on_cone}");
                    for b in work.graph.bridges().filter(|b| b.is_between_openings()) {
                        assert!(b.width.get() > 0.8 - 1e-3, "{name} {on_cone}: {b:?}");
                    }
                }
                Err(e) => {
                    assert!(refused, "{name} {on_cone}: {e}");
                    assert!(e.to_string().contains("quarter-circles"), "{e}");
                }
            }
        }
    }
}

#[test]
fn what_reaches_over_the_seam_is_carried_to_the_other_end() {
    let length = 19.0 * PI;
    let place = |kind: &str, at: f64, size: f64| {
        format!("[[{kind}]]\nname = \"place\"\nshape = \"circle\"\ndiameter = {size}\nat = [{at}, 0]\n")
    };
    let pattern = "name = \"hexagon\"\npitch = 3\nbridge = 0.8";
    let clear = |text: &str, at: Point, least: f64| {
        let work = done(&job(text));
        let near = |o: &sawpierce::openings::Opening| (o.ring.nearest(at) - at).hypot();
        let found = work.piece.openings.iter().map(near).fold(f64::INFINITY, f64::min);
        assert!(found > least - 1e-3 && found < least + 3.0, "{found} {least}\n{text}");
    };
    // A kept place half over the right end keeps the left end clear as well.
    let text = band(pattern, &place("keep_solid", length / 2.0 - 1.0, 6.0));
    clear(&text, Point::new(length / 2.0 - 1.0, 0.0), 3.0);
    clear(&text, Point::new(-length / 2.0 - 1.0, 0.0), 3.0);
    // A window near the end: its border reaches over.
    let window = place("window", length / 2.0 - 3.0, 5.0) + "border = 2.5\n";
    let text = band(pattern, &window);
    clear(&text, Point::new(-length / 2.0 - 3.0, 0.0), 5.0);
    // One across the seam is refused.
    let across = band(pattern, &(place("window", length / 2.0 - 1.0, 5.0) + "border = 1.2\n"));
    let wrong = sawpierce::work::work(&job(&across)).expect_err("across the seam").to_string();
    assert!(wrong.contains("across the seam") && wrong.contains("move it"), "{wrong}");
}

/// The turn a note says would clear the seam; `None` where it says that none would.
fn clearing_turn(notes: &[String]) -> Option<Option<f64>> {
    let note = notes.iter().find(|n| n.starts_with("no straight seam"))?;
    let turn = note.split("turn = ").nth(1).and_then(|rest| rest.split(' ').next());
    Some(turn.map(|t| t.parse().unwrap_or_else(|_| panic!("{note}"))))
}

#[test]
fn no_seam_cuts_an_opening_and_what_clears_it_is_told() {
    let (mut told, mut cleared) = (0, 0);
    for pattern in sawpierce::catalogue::all() {
        for on_cone in [false, true] {
            let at = |turn: f64| {
                let said = format!("name = \"{}\"\nbridge = 0.8\nturn = {turn}", pattern.name);
                done(&if on_cone { cone((17.0, 24.0, 16.0), &said) } else { job(&band(&said, "")) })
            };
            let work = at(pattern.upright);
            let (built, name) = (&work.piece.outline, &pattern.name);
            let ends = built.seam.expect("a seam").part_edges(&built.edge).0;
            let mut trimmed = 0;
            for o in &work.piece.openings {
                let points = o.ring.flatten(1e-4);
                let near =
                    |p: &Point| ends.iter().map(|(e, _)| (e.nearest(*p) - *p).hypot()).fold(9.0, f64::min);
                let least = points.iter().map(near).fold(9.0, f64::min);
                assert!(least > 0.4 - 1e-3, "{name} {on_cone}: {least} from the seam");
                // Trimmed at the seam and nowhere else.
                let borders = built.edge.edges().filter(|e| !ends.iter().any(|(f, _)| f == e));
                let borders: Vec<_> = borders.collect();
                let to_border =
                    |p: &Point| borders.iter().map(|e| (e.nearest(*p) - *p).hypot()).fold(9.0, f64::min);
                let clear = points.iter().map(to_border).fold(9.0, f64::min) > 1.4 + 1e-2;
                trimmed += usize::from(o.trimmed && clear && least < 0.41);
            }
            let note = clearing_turn(&work.piece.resolved.notes);
            assert!(trimmed == 0 || note.is_some(), "{name} {on_cone}: {trimmed} trimmed, nothing said");
            told += usize::from(note.is_some());
            if let Some(Some(turn)) = note {
                let again = at(turn);
                assert_eq!(clearing_turn(&again.piece.resolved.notes), None, "{name} {on_cone} at {turn}");
                cleared += 1;
            }
        }
    }
    assert!(told > 20 && cleared > 10, "{told} told, {cleared} of them with a turn that clears");
    for name in ["square", "stack-bond"] {
        let work = done(&job(&band(&format!("name = \"{name}\"\nbridge = 0.8"), "")));
        assert_eq!(clearing_turn(&work.piece.resolved.notes), None, "{name} is named as one that clears");
    }
}

/// Found on seeded cones and bands: a hole 1.13 mm from an end of the blank was told to be 1.13 from the outer edge, where the
/// two ends meet and the rim is farther away.
#[test]
fn a_hole_beside_the_seam_is_as_far_from_the_edge_as_from_the_rims() {
    let hole = |at: Point| {
        format!("name = \"hexagon\"\nbridge = 0.8\n[[hole]]\ndiameter = 1.2\nat = [{}, {}]", at.x, at.y)
    };
    let to_edge = |job: &Job| {
        let work = done(job);
        let bridges = work.graph.bridges();
        let between = |b: &Bridge| b.between.contains(&Side::Edge) && b.between.contains(&Side::Hole(1));
        bridges.filter(between).map(|b| b.width.get()).fold(f64::INFINITY, f64::min)
    };
    // 1.2 mm from the rim of a band 14 mm wide, 0.9 from its end: 19 mm across half way, 59.69 mm long.
    let on_band = |x: f64| to_edge(&job(&band(&hole(Point::new(x, 5.2)), "")));
    let end = PI * 19.0 / 2.0;
    assert!(
        (on_band(0.0) - 1.2).abs() < 1e-6 && (on_band(end - 1.5) - 1.2).abs() < 1e-6,
        "{}",
        on_band(end - 1.5)
    );
    // The same of a cone, carried round it along its rim.
    let sizes = (17.0, 24.0, 16.0);
    let built = outline(&cone(sizes, "name = \"hexagon\"")).expect("a cone");
    let Some(Seam::Turn { degrees, centre, middle }) = built.seam else { panic!("no seam") };
    let slant = built.edge.vertices().map(|v| (v.at - centre).hypot()).fold(0.0, f64::max) - 1.8;
    let beside = |mm: f64| {
        let way = (middle + degrees / 2.0).to_radians() - mm / slant;
        centre + slant * Vec2::new(way.cos(), way.sin())
    };
    for mm in [1.5, 2.5, 9.0] {
        let least = to_edge(&cone(sizes, &hole(beside(mm))));
        assert!((least - 1.2).abs() < 1e-6, "{least}, {mm} mm beside the seam");
    }
}
