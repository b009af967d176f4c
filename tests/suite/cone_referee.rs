//! Cones bent into space: what the program measures on the flat blank has to be what lies between the openings there.

use crate::made::job;
use sawpierce::checks::{Bridge, Side};
use sawpierce::geom::{Boundary, Point, Ring};
use sawpierce::outline::{Outline, Seam};
use sawpierce::work::{work, Work};
use std::f64::consts::{PI, TAU};

struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * (self.0 >> 33) as f64 / f64::from(1u32 << 31)
    }
}

/// A cone stood on its apex, and where every place of its blank comes to lie.
struct Bent {
    apex: Point,
    /// Angle of the blank over a whole turn.
    share: f64,
}

impl Bent {
    fn of(outline: &Outline) -> Bent {
        let Some(Seam::Turn { degrees, centre, .. }) = outline.seam else { panic!("no cone") };
        Bent { apex: centre, share: degrees / 360.0 }
    }

    /// Slant and angle from the blank's middle, which points straight down.
    fn polar(&self, p: Point) -> (f64, f64) {
        let v = p - self.apex;
        (v.hypot(), v.x.atan2(-v.y))
    }

    /// Place in space. The blank's angles spread over the whole turn; slant lengths stay.
    fn place(&self, slant: f64, angle: f64) -> [f64; 3] {
        let (out, round) = (slant * self.share, angle / self.share);
        [out * round.cos(), out * round.sin(), slant * (1.0 - self.share * self.share).sqrt()]
    }

    /// Distance along the surface, from the two places in space alone: unrolled between them, the shorter way round.
    fn along(&self, [ax, ay, az]: [f64; 3], [bx, by, bz]: [f64; 3]) -> f64 {
        let apart = (ax * by - ay * bx).atan2(ax * bx + ay * by).abs() * self.share;
        let slant = |x: f64, y: f64, z: f64| (x * x + y * y + z * z).sqrt();
        let (r, s) = (slant(ax, ay, az), slant(bx, by, bz));
        if apart >= PI {
            r + s
        } else {
            ((r - s).powi(2) + 4.0 * r * s * (apart / 2.0).sin().powi(2)).sqrt()
        }
    }

    fn distance(&self, p: Point, q: Point) -> f64 {
        let place = |p| {
            let (slant, angle) = self.polar(p);
            self.place(slant, angle)
        };
        self.along(place(p), place(q))
    }

    /// The same for places one of which may have been drawn beyond an end of the blank: past half a turn the flat does not
    /// tell which way round it came, so both are tried.
    fn distance_drawn(&self, at: [Point; 2], said: f64) -> f64 {
        let most = PI * self.share + 1.2;
        let ways = |p| {
            let (slant, angle) = self.polar(p);
            let all = [0.0, TAU, -TAU].map(|t| angle + t);
            all.into_iter()
                .filter(move |a| a.abs() < most)
                .map(move |a| self.place(slant, a))
                .collect::<Vec<_>>()
        };
        let (ours, theirs) = (ways(at[0]), ways(at[1]));
        let all = ours.iter().flat_map(|p| theirs.iter().map(|q| self.along(*p, *q)));
        all.min_by(|a, b| (a - said).abs().total_cmp(&(b - said).abs())).unwrap_or(f64::NAN)
    }

    /// The nearest two places of two rings, looked for between many, then slid along both rings until nothing is nearer.
    fn apart(&self, a: &Ring, b: &Ring) -> f64 {
        let spread = |r: &Ring| -> Vec<Point> {
            r.edges()
                .flat_map(|e| {
                    let pieces = (e.length() / 0.35).ceil().max(1.0);
                    (0..pieces as usize).map(move |k| e.point(k as f64 / pieces))
                })
                .collect()
        };
        let (ours, theirs) = (spread(a), spread(b));
        let pairs = ours.iter().flat_map(|p| theirs.iter().map(move |q| (*p, *q)));
        let pairs: Vec<(f64, Point, Point)> = pairs.map(|(p, q)| (self.distance(p, q), p, q)).collect();
        let nearest = pairs.iter().map(|pair| pair.0).fold(f64::INFINITY, f64::min);
        // Any of those nearly as near may slide to the nearest of all.
        let slid = pairs.iter().filter(|pair| pair.0 < nearest + 0.03).map(|&(_, mut p, mut q)| {
            for _ in 0..30 {
                q = b.nearest(self.beside(q, p));
                p = a.nearest(self.beside(p, q));
            }
            self.distance(p, q)
        });
        slid.fold(nearest, f64::min)
    }

    /// The place at whose turn round the apex, by whole rounds of the cone, `other` lies nearest to `home` on the flat.
    fn beside(&self, home: Point, other: Point) -> Point {
        let ((_, h), (slant, o)) = (self.polar(home), self.polar(other));
        // Around the cone, not around the flat: a whole round is `whole`.
        let whole = TAU * self.share;
        let apart = (o - h) / whole;
        let angle = h + (apart - apart.round()) * whole;
        Point::new(self.apex.x + slant * angle.sin(), self.apex.y - slant * angle.cos())
    }
}

/// A seeded cone whose blank goes `degrees` round, with a window, a hole and a kept place anywhere on it.
fn made(dice: &mut Dice, degrees: f64) -> String {
    // The flattest have to be large to be 2 mm tall.
    let large = if degrees > 355.0 { 23.0 } else { 0.0 };
    let (slant, small) = (dice.between(16.0, 26.0) + large, dice.between(5.0, 14.0));
    let more = degrees / 180.0 * slant;
    let height = (slant * slant - more * more / 4.0).sqrt();
    let (inner, outer) = (slant * small / more, slant * (small + more) / more);
    let half = degrees.to_radians() / 2.0;
    // Where the blank's apex lies when its middle points down and its box is centred; angles from there.
    let low = -outer;
    let high = if half >= PI / 2.0 { -outer * half.cos() } else { -inner * half.cos() };
    let apex = -(low + high) / 2.0;
    let mut taken: Vec<(Point, f64)> = Vec::new();
    let mut at = |room: f64| loop {
        let r = dice.between(inner + room, outer - room);
        let most = half - ((room + 0.2) / r).min(1.0).asin();
        let a = dice.between(-most.max(0.0), most.max(0.0));
        let p = Point::new(r * a.sin(), apex - r * a.cos());
        // Clear of each other on the flat; then they are on the cone, but over the seam.
        if taken.iter().all(|(q, other)| (*q - p).hypot() > room + other) {
            taken.push((p, room));
            return format!("[{:.3}, {:.3}]", p.x, p.y);
        }
    };
    let (window, hole, keep) = (at(3.6), at(1.5), at(2.5));
    let (pitch, bridge) = (dice.between(4.0, 7.0), dice.between(0.8, 1.3));
    format!(
        "skill = \"fine-work\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"cone\"\ntop = {small}\n\
         bottom = {}\nheight = {height}\nborder = 1.4\n[pattern]\nname = \"{}\"\nat_border = \"trim\"\npitch = {pitch}\n\
         bridge = {bridge}\n[saw]\nblade = \"6/0\"\ndrill = 0.5\n[[window]]\nname = \"w\"\nshape = \"circle\"\ndiameter = 4\n\
         at = {window}\nborder = 1.5\n[[hole]]\nname = \"h\"\ndiameter = 1.6\nat = {hole}\n[[keep_solid]]\nname = \"k\"\n\
         shape = \"circle\"\ndiameter = 5\nat = {keep}\n",
        small + more,
        ["hexagon", "square", "triangle"][(dice.between(0.0, 3.0)) as usize % 3],
    )
}

/// Every cut-out with what the program calls it.
fn cut_outs(work: &Work) -> Vec<(Side, Ring)> {
    let outline = &work.piece.outline;
    let openings = work.piece.openings.iter().map(|o| (Side::Opening(o.n), o.ring.clone()));
    let windows = outline.windows.iter().zip(1..).map(|(w, n)| (Side::Window(n), w.ring.clone()));
    let holes = outline.holes.iter().zip(1..);
    let holes = holes.map(|(h, n)| (Side::Hole(n), Ring::circle(h.at, h.diameter.get() / 2.0)));
    openings.chain(windows).chain(holes).collect()
}

fn check(text: &str, degrees: f64, faults: &mut Vec<String>) -> usize {
    let job = job(text);
    let work = match work(&job) {
        Ok(work) => work,
        Err(why) => {
            faults.push(format!("{degrees:.1} degrees refused: {why}\n{text}"));
            return 0;
        }
    };
    let outline = &work.piece.outline;
    let bent = Bent::of(outline);
    let all = cut_outs(&work);
    let mut fault = |what: String| faults.push(format!("{degrees:.1} degrees: {what}\n{text}"));
    // Every bridge is as wide in space as it is said to be.
    for Bridge { between, width, at, .. } in work.graph.bridges() {
        let there = bent.distance_drawn(at, width.get());
        if (there - width.get()).abs() > 1e-3 {
            fault(format!("{between:?} is said to be {width}, in space it is {there}"));
        }
    }
    // And nothing is nearer to an opening than the nearest that is told of it.
    for (side, ring) in all.iter().filter(|(side, _)| matches!(side, Side::Opening(_))) {
        let told = work.graph.bridges().filter(|b| b.between.contains(side)).map(|b| b.width.get());
        let told = told.fold(f64::INFINITY, f64::min);
        let middle = ring.centroid();
        let near = |other: &Ring| {
            let reach = |r: &Ring, c: Point| r.vertices().map(|v| (v.at - c).hypot()).fold(0.0, f64::max);
            let far = other.centroid();
            bent.distance(middle, far) < reach(ring, middle) + reach(other, far) + told + 0.1
        };
        let others = all.iter().filter(|(other, r)| other != side && near(r));
        let nearest = others.map(|(_, r)| bent.apart(ring, r)).fold(f64::INFINITY, f64::min);
        let slants = outline.edge.vertices().map(|v| (v.at - bent.apex).hypot());
        let rims = slants.map(|slant| Ring::circle(bent.apex, slant).closest(ring).distance);
        let nearest = rims.fold(nearest, f64::min);
        if (nearest - told).abs() > 1e-3 {
            fault(format!("{side:?}: nearest told {told}, in space {nearest}"));
        }
    }
    // Metal is kept solid where a window, a hole or a kept place asks for it in space, and nowhere else.
    let field = Boundary::new(&outline.field);
    let inside = Boundary::new(&outline.inside_border);
    let wall = job.pattern.most_bridge().get();
    let window = outline.windows.iter().map(|w| (w.drill_at, w.widest.get() / 2.0 + w.border.get()));
    let hole = outline.holes.iter().map(|h| (h.at, h.diameter.get() / 2.0 + wall));
    let keep = outline.keeps.iter().map(|k| (k.ring.centroid(), k.ring.bounds().width() / 2.0));
    let taken: Vec<(Point, f64)> = window.chain(hole).chain(keep).collect();
    let bounds = outline.edge.bounds();
    for k in 0..900 {
        let (i, j) = (f64::from(k % 30) + 0.5, f64::from(k / 30) + 0.5);
        let p = Point::new(bounds.x0 + bounds.width() * i / 30.0, bounds.y0 + bounds.height() * j / 30.0);
        let apart = |(at, radius): &(Point, f64)| bent.distance(p, *at) - radius;
        let clear = taken.iter().map(apart).fold(f64::INFINITY, f64::min);
        if inside.contains(p) && clear.abs() > 1e-2 && (clear > 0.0) != field.contains(p) {
            fault(format!("{p:?} lies {clear} mm from what is kept solid"));
        }
    }
    work.graph.len()
}

#[test]
fn seeded_cones_agree_with_themselves_in_space() {
    cones(30);
}

#[test]
#[ignore = "a minute; a share runs on each change"]
fn three_hundred_seeded_cones_agree_with_themselves_in_space() {
    cones(300);
}

/// So many cones, from nearly straight ones to nearly flat ones.
fn cones(count: u32) {
    let mut dice = Dice(17);
    let (mut faults, mut bridges) = (Vec::new(), 0);
    for k in 0..count {
        let degrees = 5.0 + 354.0 * f64::from(k) / f64::from(count - 1);
        let text = made(&mut dice, degrees);
        bridges += check(&text, degrees, &mut faults);
    }
    assert!(faults.is_empty(), "{} faults\n{}", faults.len(), faults[..faults.len().min(4)].join("\n"));
    // Seventy a cone and more: a blank that comes out nearly bare proves nothing.
    assert!(bridges > 67 * count as usize, "{bridges}");
}

/// Found on a cone of 317 degrees: openings 25 and 23 were told 0.36 mm apart, a stop, where nothing is nearer than 1.5 mm.
#[test]
fn no_gap_is_measured_across_the_mouth_of_the_blank() {
    for (top, bottom, height, least) in [(5, 46, 11, 1.499), (8, 38, 15, 1.499), (6, 42, 14, 1.499)] {
        let text = format!(
            "skill = \"practised\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"cone\"\ntop = {top}\n\
             bottom = {bottom}\nheight = {height}\nborder = 2.2\n[pattern]\nname = \"hexagon\"\nat_border = \"trim\"\n\
             pitch = 6\nbridge = 1.5\n"
        );
        let made = work(&job(&text)).expect("made");
        let thinnest = made.graph.bridges().map(|b| b.width.get()).fold(f64::INFINITY, f64::min);
        assert!(thinnest >= least, "{top} {bottom} {height}: {thinnest}");
    }
}
