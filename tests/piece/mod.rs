//! Jobs for tests, built by hand: a plain 46 mm copper disc of hexagons that every check is content with.
#![allow(dead_code)]

use kurbo::Point;
use sawpierce::checks::{Level, Verdict};
use sawpierce::job::*;
use sawpierce::trade;
use sawpierce::units::Mm;
use sawpierce::work::{work, Work};

pub fn pattern(name: &str) -> PatternSource {
    PatternSource::Repeat(sawpierce::catalogue::find(name).expect("a shipped pattern"))
}

pub fn metal(name: &str) -> trade::Metal {
    trade::metal(name).expect("a listed metal").clone()
}

pub fn blade(name: &str) -> trade::Blade {
    trade::blade(name).expect("a listed blade").clone()
}

/// A practised hand, 46 mm of 0.9 mm copper, hexagons at 6.2 mm, bridges 1.2 mm, border 2.5 mm, blade 2/0, drill 1.0.
pub fn disc() -> Job {
    Job {
        file: "disc.toml".into(),
        title: "Disc".into(),
        units: LengthUnit::Mm,
        skill: Skill::Practised,
        pieces: 1,
        pair: false,
        sheet: Sheet {
            metal: metal("copper"),
            thickness: Mm(0.9),
            temper: Temper::HalfHard,
            stock: None,
            price_per_gram: None,
        },
        outline: OutlineSpec { shape: Shape::Circle { diameter: Mm(46.0) }, border: Mm(2.5) },
        pattern: PatternSpec {
            source: pattern("hexagon"),
            pitch: Some(Mm(6.2)),
            bridge: Mm(1.2),
            turn: 0.0,
            centre: CentreChoice::Opening,
            at_border: AtBorder::Trim,
            corner_radius: Mm(0.0),
            variation: 1,
            grown: Default::default(),
        },
        keep_solid: Vec::new(),
        windows: Vec::new(),
        holes: Vec::new(),
        lugs: Vec::new(),
        changes: Vec::new(),
        limits: Limits { bridge: Mm(1.0), opening: Mm(1.0), border: Mm(2.0) },
        saw: Saw {
            blade: blade("2/0"),
            drill: Mm(1.0),
            clean_up: Mm(0.10),
            frame_depth: None,
            left_handed: false,
            stack: 1,
        },
        measured: Measured::default(),
        construction: Construction::default(),
        paper: PaperSpec {
            size: trade::paper("A4").expect("A4").clone(),
            copies: 1,
            mirror: false,
            line: SawLine::Waste,
            transfer: Transfer::Label,
            labels: None,
            correction: (100.0, 100.0),
            printer: None,
        },
        rates: Rates::default(),
        wish: None,
    }
}

pub fn rim(height: f64, thickness: f64, sits: RimSits) -> Option<Rim> {
    Some(Rim { height: Mm(height), thickness: Mm(thickness), sits })
}

pub fn window(shape: Shape, at: (f64, f64), border: f64) -> WindowSpec {
    WindowSpec { name: "window".into(), shape, turn: 0.0, at: Point::from(at), border: Mm(border) }
}

pub fn done(job: &Job) -> Work {
    work(job).expect("the job works out")
}

/// The verdicts of one check that are not good.
pub fn said<'a>(work: &'a Work, check: &str) -> Vec<&'a Verdict> {
    work.verdicts.iter().filter(|v| v.check == check && v.level > Level::Good).collect()
}
