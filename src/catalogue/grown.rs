//! Patterns that are grown or set out round a point and have no file: what people are told of them. How they grow is told
//! in `pattern::grown`.

/// How a grown pattern goes round a band or a cone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AroundRule {
    /// Its cells follow both ends, with one straight bridge at the seam.
    Follows,
    /// Whole squares go round, and on a cone are bent with it.
    Whole,
    /// It covers the strip from a middle; openings at the ends are cut straight, a bridge apart.
    Cut,
    /// Round the point a cone's blank is struck from, meeting across the seam; not round a band.
    ConeOnly,
    /// It is one round by itself.
    Not,
}

/// A grown pattern that a job may name.
#[derive(Debug)]
pub struct Grown {
    /// Key in a job file.
    pub name: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// What it looks like.
    pub about: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// What `pitch` measures.
    pub pitch: &'static str,
    /// Width of a smallest usual opening before the bridge, in pitches, from which a suited pitch follows.
    pub across: f64,
    /// What it does on a blank that is bent to meet itself.
    pub round: AroundRule,
    /// Cells dwindle towards the middle or the edge, so that the smallest are left out by `least`.
    pub dwindles: bool,
}

/// All grown patterns, in the order in which people see them.
pub const GROWN: &[Grown] = &[
    Grown {
        name: "evened-out",
        title: "Evened-out cells",
        about: "Cells like dried mud or a dragonfly's wing, all about the same size; they follow the border.",
        source: "own construction: nearest-point cells, each point moved to its cell's centroid (Lloyd 1982, from memory)",
        pitch: "usual distance between neighbouring openings, middle to middle",
        across: 0.78,
        round: AroundRule::Follows,
        dwindles: false,
    },
    Grown {
        name: "sunflower",
        title: "Sunflower",
        about: "Seeds of a sunflower head: spirals both ways from the middle, even openings.",
        source: "spiral of Vogel 1979 (r = c sqrt n, 137.5 degrees, as quoted); cells are own construction",
        pitch: "usual distance between neighbouring openings, middle to middle",
        across: 0.88,
        round: AroundRule::Cut,
        dwindles: false,
    },
    Grown {
        name: "five-fold-diamonds",
        title: "Five-fold diamonds",
        about: "Wide and narrow diamonds round a five-pointed middle; never repeats.",
        source: "crossed sets of parallel lines (de Bruijn 1981, from memory)",
        pitch: "side of a diamond before the bridge",
        across: 0.587,
        round: AroundRule::Cut,
        dwindles: false,
    },
    Grown {
        name: "eight-fold-diamonds",
        title: "Eight-fold squares and diamonds",
        about: "Squares and slim diamonds round an eight-pointed middle; never repeats.",
        source: "crossed sets of parallel lines (de Bruijn 1981, from memory)",
        pitch: "side of a diamond before the bridge",
        across: 0.707,
        round: AroundRule::Cut,
        dwindles: false,
    },
    Grown {
        name: "many-fold-diamonds",
        title: "Many-fold diamonds",
        about: "Diamonds of several widths round a star of as many points as you like (fold = 3 to 15).",
        source: "crossed sets of parallel lines (de Bruijn 1981, from memory)",
        pitch: "side of a diamond before the bridge",
        across: 0.434,
        round: AroundRule::Cut,
        dwindles: true,
    },
    Grown {
        name: "pentagon-round",
        title: "Pentagon round",
        about: "Five-sided openings, all alike, in six turning arms.",
        source: "equal-sided pentagon of 140, 60, 160, 80 and 100 degrees (Hirschhorn and Hunt 1985, from memory); arrangement found by own search",
        pitch: "side of a pentagon before the bridge",
        across: 0.98,
        round: AroundRule::Cut,
        dwindles: false,
    },
    Grown {
        name: "petal-ring",
        title: "Petal rings",
        about: "Rings of pointed petals like a daisy, larger towards the border; bridges even along their narrowest.",
        source: "own construction: petals of two arcs",
        pitch: "petal to petal at the outer ring, middle to middle",
        across: 1.0,
        round: AroundRule::Not,
        dwindles: true,
    },
    Grown {
        name: "circle-rosette",
        title: "Circle rosette",
        about: "Equal circles through one middle, as on an engine-turned watch; the hub stays solid.",
        source: "own construction: equal circles through one point",
        pitch: "opening to opening half way out, middle to middle",
        across: 0.8,
        round: AroundRule::Not,
        dwindles: true,
    },
    Grown {
        name: "sun-rays",
        title: "Sun rays",
        about: "Rings of four-sided openings set like bricks, growing towards the border.",
        source: "own construction: rings cut by rays",
        pitch: "opening to opening in the outermost ring, middle to middle",
        across: 0.9,
        round: AroundRule::Not,
        dwindles: true,
    },
    Grown {
        name: "brick-rounds",
        title: "Brick rounds",
        about: "Rings of four-sided openings, all of one size, like a well's lining.",
        source: "own construction: rings cut by rays, each ring by itself",
        pitch: "width of a ring, and nearly the length of an opening",
        across: 0.9,
        round: AroundRule::Cut,
        dwindles: true,
    },
    Grown {
        name: "diamond-rosette",
        title: "Diamond rosette",
        about: "Diamonds round a star, widest half way out; together they fill an even many-sided shape.",
        source: "own construction: equal-sided diamonds in rings",
        pitch: "side of a diamond before the bridge",
        across: 0.7,
        round: AroundRule::Not,
        dwindles: true,
    },
    Grown {
        name: "quarter-circles",
        title: "Quarter-circles",
        about: "Squares with two corners rounded off by bridges, turned this way or that as the variation has it.",
        source: "own construction after Truchet's two-way tile (1704, from memory), with the squares' own lines kept so that nothing falls out",
        pitch: "side of a square before the bridge",
        across: 0.414,
        round: AroundRule::Whole,
        dwindles: false,
    },
    Grown {
        name: "shrinking-edge",
        title: "Shrinking to the edge",
        about: "A large opening in the middle, ever smaller ones round it towards the border.",
        source: "own construction: even shapes of the hyperbolic plane in Poincare's disc (published geometry)",
        pitch: "width of the opening in the middle before the bridge",
        across: 1.0,
        round: AroundRule::Not,
        dwindles: true,
    },
    Grown {
        name: "growing-hexagon",
        title: "Growing honeycomb",
        about: "Honeycomb bent into rounds, openings growing towards the border.",
        source: "own construction: hexagon pattern bent into rounds that keep every angle",
        pitch: "opening to opening along the border, middle to middle",
        across: 1.0,
        round: AroundRule::ConeOnly,
        dwindles: true,
    },
    Grown {
        name: "growing-scale",
        title: "Growing scales",
        about: "Fish scales bent into rounds, growing towards the border.",
        source: "own construction: fish-scale pattern bent into rounds that keep every angle",
        pitch: "scale to scale along the border, middle to middle",
        across: 0.667,
        round: AroundRule::ConeOnly,
        dwindles: true,
    },
    Grown {
        name: "growing-kites",
        title: "Growing kites",
        about: "Flowers of kites bent into rounds, growing towards the border.",
        source: "own construction: kites pattern bent into rounds that keep every angle",
        pitch: "flower to flower along the border, middle to middle",
        across: 0.366,
        round: AroundRule::ConeOnly,
        dwindles: true,
    },
    Grown {
        name: "growing-diamond",
        title: "Growing diamonds",
        about: "A diamond trellis bent into rounds, growing towards the border: spirals both ways.",
        source: "own construction: square pattern set on its corner and bent into rounds that keep every angle",
        pitch: "diamond to diamond along the border, middle to middle",
        across: 0.7,
        round: AroundRule::ConeOnly,
        dwindles: true,
    },
];

/// The grown pattern a job calls `name`.
pub fn grown(name: &str) -> Option<&'static Grown> {
    GROWN.iter().find(|g| g.name == name)
}

/// The keys under `[pattern]` that one of [`GROWN`] uses beside those that every pattern uses.
pub fn grown_takes(name: &str) -> &'static [&'static str] {
    match name {
        "evened-out" => &["variation", "passes", "grade"],
        "sunflower" => &["grade"],
        "quarter-circles" => &["variation"],
        "shrinking-edge" => &["sides"],
        "many-fold-diamonds" | "petal-ring" | "circle-rosette" | "sun-rays" | "diamond-rosette" => &["fold"],
        name if name.starts_with("growing-") => &["fold"],
        _ => &[],
    }
}
