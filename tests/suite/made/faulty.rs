//! Three hundred seeded jobs with faults, of every kind and up to the limits: what remedies, `mend` and wishes are tried on.

use std::f64::consts::TAU;
use std::fmt::Write;

/// Numbers that look thrown, the same on every machine (SplitMix64, from memory, believed Steele, Lea and Flood 2014).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % n as u64) as usize
    }

    fn one<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }
}

/// Outlines of about one mm, that are made larger: the name, and each key with its share of the size.
const SHAPES: [(&str, &[(&str, f64)]); 12] = [
    ("circle", &[("diameter", 1.0)]),
    ("circle", &[("diameter", 1.0)]),
    ("heart", &[("width", 1.0), ("height", 0.95)]),
    ("crescent", &[("width", 0.9), ("height", 1.1), ("thick", 0.35)]),
    ("teardrop", &[("width", 0.8), ("height", 1.2)]),
    ("rectangle", &[("width", 1.2), ("height", 0.8)]),
    ("cushion", &[("width", 1.0), ("height", 0.8)]),
    ("marquise", &[("width", 0.7), ("height", 1.3)]),
    ("ellipse", &[("width", 1.2), ("height", 0.9)]),
    ("band", &[("inside", 0.5), ("width", 0.25)]),
    ("cone", &[("top", 0.4), ("bottom", 0.7), ("height", 0.5)]),
    ("drawn", &[]),
];
const PATTERNS: [&str; 22] = [
    "hexagon",
    "star-and-cross",
    "kites",
    "fish-scale",
    "running-bond",
    "quatrefoil",
    "ogee",
    "floret",
    "octagon-and-dot",
    "herringbone",
    "interlaced-circles",
    "feather",
    "twelve-sided-and-star",
    "triangle",
    "holes-in-rows",
    "evened-out",
    "sunflower",
    "growing-scale",
    "petal-ring",
    "shrinking-edge",
    "five-fold-diamonds",
    "sun-rays",
];

/// A drawn line with so many teeth.
fn toothed(across: f64, teeth: usize) -> String {
    let point = |k: usize| {
        let angle = TAU * k as f64 / (2 * teeth) as f64;
        let far = across * if k.is_multiple_of(2) { 0.5 } else { 0.46 };
        format!("{:.3} {:.3}", far * angle.cos(), far * angle.sin())
    };
    format!("M{}Z", (0..2 * teeth).map(point).collect::<Vec<_>>().join("L"))
}

/// A piece whose sheet, bridges or borders are thinner than is safe: one in three is plain, others have kept places, windows,
/// holes, rows, lugs, graded bridges, or as many of them as may be.
pub fn faulty(k: usize) -> String {
    let mut dice = Dice(k as u64);
    let pitch = dice.one(&[1.2, 2.2, 3.1, 4.2, 6.0, 9.0]);
    // Mostly some hundred openings, now and then some thousand.
    let cells = dice.one(&[6.0, 8.0, 10.0, 14.0, 20.0, 60.0]);
    let many = dice.below(6) == 0;
    let across = f64::max(pitch * cells, if many { 160.0 } else { 12.0 });
    let (shape, sizes) = dice.one(&SHAPES);
    let bent = matches!(shape, "band" | "cone");
    let mut text = format!(
        "skill = \"{}\"\n[sheet]\nmetal = \"{}\"\nthickness = {}\n[outline]\nshape = \"{shape}\"\nborder = {}\n",
        dice.one(&["first", "practised", "fine-work"]),
        dice.one(&["copper", "sterling-silver", "titanium"]),
        dice.one(&[0.1, 0.3, 0.6, 0.9, 1.6]),
        dice.one(&[0.4, 1.2, 2.5]),
    );
    for (key, share) in sizes {
        let _ = writeln!(text, "{key} = {:.2}", across * share);
    }
    if shape == "drawn" {
        let teeth = dice.one(&[5, 12, 40, 200]);
        let _ = writeln!(text, "d = \"{}\"", toothed(across, teeth));
    }
    let bridge = pitch * dice.one(&[0.08, 0.15, 0.25, 0.4]);
    let _ = write!(
        text,
        "[pattern]\nname = \"{}\"\npitch = {pitch}\nbridge = {:.2}\nat_border = \"{}\"\n",
        dice.one(&PATTERNS),
        f64::max(bridge, 0.05),
        dice.one(&["fit", "fit", "trim", "whole", "join", "ease"])
    );
    if dice.below(3) == 0 {
        let centre = dice.one(&["bridge", "best", "opening", "crossing"]);
        let _ = writeln!(text, "centre = \"{centre}\"");
    }
    if dice.below(8) == 0 {
        let _ = writeln!(text, "bridge_to = {:.2}", f64::max(bridge / 3.0, 0.05));
    }
    let mut places = |section: &str, more: &dyn Fn(usize) -> String, most: usize| {
        let few = if many { most } else { most.min(dice.below(4)) };
        if dice.below(3) > 0 {
            return;
        }
        let side = (few as f64).sqrt().ceil().max(1.0) as usize;
        let step = across * 0.6 / side as f64;
        for i in 0..few {
            let at = |k: usize| (k as f64 - (side as f64 - 1.0) / 2.0) * step;
            let _ = write!(
                text,
                "[[{section}]]\nname = \"{section} {i}\"\n{}at = [{:.2}, {:.2}]\n",
                more(i),
                at(i % side),
                at(i / side)
            );
        }
    };
    let size = f64::max(across * if many { 0.02 } else { 0.08 }, 0.6);
    let round = |_: usize| format!("shape = \"circle\"\ndiameter = {size:.2}\n");
    let square = |i: usize| {
        format!("shape = \"rectangle\"\nwidth = {size:.2}\nheight = {size:.2}\nturn = {}\n", i % 90)
    };
    places("keep_solid", &round, 200);
    if !bent || !many {
        places("hole", &|_| format!("diameter = {:.2}\n", size / 2.0), 200);
        places("window", &square, 100);
    }
    if !bent && dice.below(5) == 0 {
        text += "[[lug]]\nat_angle = 90\nwidth = 4\nheight = 3.4\nhole = 2\n";
    }
    if !bent && shape != "crescent" && shape != "drawn" && dice.below(5) == 0 {
        text += "[[row]]\nshape = \"drop\"\nsize = [1.6, 2.4]\n";
    }
    if !bent && dice.below(6) == 0 {
        let _ =
            write!(text, "[middle]\nshape = \"rosette\"\ndiameter = {:.1}\n", f64::max(across / 5.0, 3.0));
    }
    text + "[saw]\nblade = \"6/0\"\ndrill = 0.5\n"
}
