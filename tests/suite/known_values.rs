//! One table: what the program works out beside what a published source, a definition or plain arithmetic says.

use sawpierce::geom::{Point, Ring};
use sawpierce::job::Skill;
use sawpierce::plan::{blades_for, ingot, skill_rates, sums};
use sawpierce::trade::models::*;
use sawpierce::trade::{self, fits, Blade, Metal};
use sawpierce::trade::{pace, timed};
use std::f64::consts::PI;

type Check = (&'static str, f64, f64, f64, &'static str);

fn metal(name: &str) -> Metal {
    trade::metal(name).unwrap_or_else(|| panic!("no metal {name}")).clone()
}

fn blade(name: &str) -> Blade {
    trade::blade(name).unwrap_or_else(|| panic!("no blade {name}")).clone()
}

fn drill(name: &str) -> f64 {
    trade::drill(name).unwrap_or_else(|| panic!("no drill {name}")).mm
}

fn inside(size: &str) -> f64 {
    trade::ring_size(size).unwrap_or_else(|e| panic!("{size}: {e}")).inside_mm
}

fn round(size: &str) -> f64 {
    trade::ring_size(size).unwrap_or_else(|e| panic!("{size}: {e}")).round_mm
}

fn paper(name: &str) -> (f64, f64) {
    let p = trade::paper(name).unwrap_or_else(|| panic!("no paper {name}"));
    (p.width, p.height)
}

fn sum(ask: sums::Ask) -> f64 {
    sums::sum(&ask).unwrap_or_else(|e| panic!("{e}")).value
}

fn mixture(parts: &[(f64, f64)]) -> f64 {
    1.0 / parts.iter().map(|(share, density)| share / density).sum::<f64>()
}

/// Sterling as the reference figures of heat and strength took it: solidus 802, E 76 000.
fn reference_sterling() -> Metal {
    Metal { solidus_c: Some(802.0), youngs_mpa: Some(76_000.0), ..metal("sterling-silver") }
}

/// The round rim of the reference figures: 35 mm disc, 0.8 mm sheet, 2 mm border, strip 4 x 0.8.
fn reference_rim(solid: f64) -> RimHeat {
    RimHeat {
        flow_c: 765.0,
        round: PI * 35.0,
        border: 2.0,
        wall_height: 4.0,
        rim_volume: PI * (17.5f64.powi(2) - 15.5f64.powi(2)) * 0.8 + 2.0 * PI * 17.1 * 0.8 * 4.0,
        thickness: 0.8,
        solid,
    }
}

fn gauges() -> Vec<Check> {
    // Rounded to 0.0001 mm.
    const SOURCE: &str = "American wire gauge: from memory, believed ASTM B258";
    [
        ("10 ga", 10, 2.5882),
        ("12 ga", 12, 2.0525),
        ("14 ga", 14, 1.6277),
        ("16 ga", 16, 1.2908),
        ("18 ga", 18, 1.0237),
        ("20 ga", 20, 0.8118),
        ("22 ga", 22, 0.6438),
        ("24 ga", 24, 0.5106),
        ("26 ga", 26, 0.4049),
        ("28 ga", 28, 0.3211),
        ("30 ga", 30, 0.2546),
    ]
    .map(|(name, n, mm)| (name, trade::gauge_mm(n), mm, 5.1e-5, SOURCE))
    .to_vec()
}

fn rings() -> Vec<Check> {
    const US: &str = "Wikipedia, Ring size: table of US sizes";
    // The table rounds the first size to 11.63 before it adds; the formula beside it, in inches, does not.
    const US_INCH: &str = "(0.458 + 0.032 n) in x 25.4; number worked here";
    const UK: &str = "R. Rowlett, How Many? A Dictionary of Units of Measurement, ring size, British letters";
    const ISO: &str = "ISO 8653: size = distance round the inside, D = C / pi";
    const JP: &str = "Japanese sizes: 13 mm and a third of a mm a size, common practice";
    vec![
        ("US 0 inside", inside("US 0"), 11.63, 0.005, US),
        ("US 5 inside", inside("US 5"), (0.458 + 0.16) * 25.4, 1e-9, US_INCH),
        ("US 7 inside", inside("US 7"), 17.32, 0.005, US),
        ("US 9 inside", inside("US 9"), 18.95, 0.005, US),
        ("US 13 inside", inside("US 13"), 22.20, 0.005, US),
        ("US 7 round", round("US 7"), PI * (0.458 + 0.224) * 25.4, 1e-9, US_INCH),
        ("US 11 round", round("US 11"), 64.63, 0.012, "Wikipedia, Ring size (its own rounding)"),
        ("UK A round", round("UK A"), 37.50, 1e-9, UK),
        ("UK H inside", inside("UK H"), 14.72, 0.005, UK),
        ("UK N inside", inside("UK N"), 17.11, 0.005, UK),
        ("UK N½ inside", inside("UK N½"), 17.31, 0.005, "half step 0.625 mm round; number worked here"),
        ("UK Z inside", inside("UK Z"), 21.88, 0.005, UK),
        ("EU 41 inside", inside("EU 41"), 13.05, 0.005, ISO),
        ("EU 54 inside", inside("EU 54"), 17.19, 0.005, ISO),
        ("EU 76 inside", inside("EU 76"), 24.19, 0.005, ISO),
        ("EU 54 by definition", round("EU 54"), 54.0, 1e-12, ISO),
        ("JP 1 inside", inside("JP 1"), 13.0, 1e-12, JP),
        ("JP 13 inside", inside("JP 13"), 17.0, 1e-12, JP),
        ("JP 13 round", round("JP 13"), 53.41, 0.005, JP),
        ("JP 30 inside", inside("JP 30"), 22.67, 0.005, JP),
    ]
}

fn strips() -> Vec<Check> {
    let strip = |across, thickness, round_edge| sum(sums::Ask::Strip { across, thickness, round_edge });
    let band = |size: &str, thickness| sum(sums::Ask::Band { size: size.into(), thickness, width: None });
    let jump = |wire, inside| sum(sums::Ask::JumpRing { wire, inside }) / PI;
    const MIDDLE: &str =
        "formula: pi x (size at the middle of the thickness), common practice; number worked here";
    const STORY: &str = "worked example: pi x 30.5, pi x 29.5, pi x 30.1, pi x 29.1";
    vec![
        ("rim under 28.00 x 0.80", strip(28.0, 0.8, false), 85.4513, 1e-4, MIDDLE),
        ("rim under 30.0 x 0.5", strip(30.0, 0.5, false), 92.68, 0.005, STORY),
        ("rim round 30.0 x 0.5", strip(30.0, 0.5, true), 95.82, 0.005, STORY),
        ("rim round 29.6 x 0.5", strip(29.6, 0.5, true), 94.56, 0.005, STORY),
        ("rim under 29.6 x 0.5", strip(29.6, 0.5, false), 91.42, 0.005, STORY),
        ("band US 7, 1.5", band("US 7", 1.5), PI * ((0.458 + 0.224) * 25.4 + 1.5), 1e-4, MIDDLE),
        ("band ISO 54, 1.2", band("EU 54", 1.2), 57.7699, 1e-4, MIDDLE),
        ("band US 7, 1.0", band("US 7", 1.0), 57.56, 0.01, "pi x (17.32 + 1.0)"),
        ("band UK N, 1.0", band("UK N", 1.0), 56.89, 0.005, "53.75 + pi x 1.0"),
        ("band EU 54, 1.0", band("54", 1.0), 57.14, 0.005, "54 + pi x 1.0"),
        (
            "bezel 10.0, 0.3, play 0.1",
            sum(sums::Ask::Bezel { stone: 10.0, thickness: 0.3, play: None }),
            32.67,
            0.005,
            "pi x (stone + strip + 0.1 of play): common practice; number worked here",
        ),
        ("bezel pad", fits::bezel_pad(10.0, 0.3, 0.1), 12.3, 1e-9, "10.7 + 2 x 0.8"),
        ("bezel window", fits::bezel_window(10.0, 1.0), 8.0, 1e-12, "10 - 2 x 1.0"),
        ("jump ring 1.0 in 4.0", jump(1.0, 4.0), 5.0, 1e-12, "middle of the wire: 4 + 1"),
        ("aspect of 4.38 in 0.81", 4.38 / 0.81, 5.40741, 1e-4, "4.38 / 0.81; number worked here"),
    ]
}

fn forms() -> Vec<Check> {
    let dome = |across, height| fits::dome(across, height);
    let cone = |a, b, h| fits::cone(a, b, h).unwrap_or_else(|| panic!("a plain strip"));
    const CAP: &str = "hypotenuse rule 2 sqrt(a2 + h2), common practice; numbers worked here";
    const CONE: &str = "truncated-cone layout of sheet-metal handbooks; numbers worked here";
    vec![
        ("dome 35 x 3 flat", dome(35.0, 3.0).flat_low, 35.51, 0.005, CAP),
        ("dome 35 x 5 flat", dome(35.0, 5.0).flat_low, 36.40, 0.005, CAP),
        ("dome 35 x 8 flat", dome(35.0, 8.0).flat_low, 38.48, 0.005, CAP),
        ("half a ball 35", dome(35.0, 17.5).flat_low, 49.50, 0.005, CAP),
        ("dome 35 x 5 curve", dome(35.0, 5.0).flat_high, 36.87, 0.005, "arc 2 R theta"),
        ("dome 35 x 5 radius", dome(35.0, 5.0).radius, 33.13, 0.006, "(a2 + h2) / 2h"),
        ("dome 35 x 5 stretch", dome(35.0, 5.0).stretch, 1.0816, 5e-5, "1 + (h / a)2"),
        ("dome 25 x 4 low", dome(25.0, 4.0).flat_low, 26.2, 0.05, CAP),
        ("dome 25 x 4 high", dome(25.0, 4.0).flat_high, 26.7, 0.05, "arc 2 R theta"),
        ("dome 25 x 4 radius", dome(25.0, 4.0).radius, 21.5, 0.05, "(a2 + h2) / 2h"),
        ("cone 10 20 15 side", cone(10.0, 20.0, 15.0).side, 15.81, 0.005, CONE),
        ("cone 10 20 15 outer", cone(10.0, 20.0, 15.0).outer, 31.62, 0.005, CONE),
        ("cone 10 20 15 angle", cone(10.0, 20.0, 15.0).angle, 113.8, 0.06, CONE),
        ("cone 30 35 8 inner", cone(35.0, 30.0, 8.0).inner, 50.29, 0.006, CONE),
        ("cone 30 35 8 outer", cone(30.0, 35.0, 8.0).outer, 58.67, 0.005, CONE),
        ("cone 30 35 8 angle", cone(30.0, 35.0, 8.0).angle, 107.4, 0.05, CONE),
        (
            "cone blank's outer arc is pi d",
            cone(10.0, 20.0, 15.0).outer * cone(10.0, 20.0, 15.0).angle.to_radians(),
            PI * 20.0,
            1e-9,
            "the rim of the cone goes once round",
        ),
    ]
}

fn metals() -> Vec<Check> {
    let sterling = metal("sterling-silver");
    let disc = |m: &str, across, thickness| sum(sums::Ask::Disc { metal: metal(m), across, thickness });
    let own = ingot(&sterling, 60.0, 40.0, 0.8);
    const CASTING: &str = "casting weights, common practice: wax x density";
    const ROLLING: &str = "worked example: 60 x 40 x 0.8 sterling, 25 % trimmed, 2 % lost";
    vec![
        (
            "sterling by its mixture",
            sterling.density,
            mixture(&[(0.925, 10.49), (0.075, 8.96)]),
            0.01,
            "1 / (0.925 / 10.49 + 0.075 / 8.96) = 10.357",
        ),
        ("24 ct density", metal("gold-24k").density, 19.3, 0.03, "element tables: 19.3"),
        ("18 ct density", metal("gold-18k").density, 15.58, 1e-9, CASTING),
        ("14 ct density", metal("gold-14k").density, 13.07, 1e-9, CASTING),
        (
            "platinum by its mixture",
            metal("platinum-950").density,
            mixture(&[(0.95, 21.45), (0.05, 12.45)]),
            0.05,
            "95 Pt, 5 Ru, element tables",
        ),
        (
            "disc 28.00 x 0.8 sterling",
            disc("sterling-silver", 28.0, 0.8),
            5.10335,
            1e-5,
            "pi/4 x 28² x 0.8 x 10.36",
        ),
        (
            "disc 30 x 0.8 copper",
            disc("copper", 30.0, 0.8),
            5.06,
            0.015,
            "5.06 g at 8.94; 8.96 here (element tables)",
        ),
        (
            "sheet 150 x 100 x 0.8 copper",
            sum(sums::Ask::Area { metal: metal("copper"), area: 15_000.0, thickness: 0.8 }),
            107.0,
            0.6,
            "107 g at 8.94 g/cm3",
        ),
        ("14 ct from 5.5 g of wax", 5.5 * metal("gold-14k").density, 71.89, 0.006, CASTING),
        ("ingot net", own.net, 19.9, 0.05, ROLLING),
        ("ingot to pour", own.pour, 27.0, 0.1, ROLLING),
        ("ingot width", own.ingot[0], 25.0, 1e-9, ROLLING),
        ("ingot thickness", own.ingot[1], 4.0, 1e-9, ROLLING),
        ("ingot length", own.ingot[2], 26.0, 0.2, ROLLING),
        ("ingot anneals", own.anneals as f64, 3.0, 0.0, ROLLING),
        (
            "rolled back to what was poured",
            own.ingot.iter().product::<f64>() * sterling.density * 1e-3,
            own.pour,
            1e-9,
            "weight stays in the mill",
        ),
    ]
}

fn tools() -> Vec<Check> {
    const CHART: &str = "metal gauges, bench chart: common practice";
    const NUMBERS: &str = "number drills, from memory, believed ANSI B94.11; inch x 25.4";
    vec![
        ("4/0 teeth in 0.8", blade("4/0").teeth_in(0.8), 2.07874, 0.005, CHART),
        ("4/0 diagonal", blade("4/0").diagonal(), 0.495274, 0.005, CHART),
        ("2/0 diagonal", blade("2/0").diagonal(), 0.5814, 5e-5, "hypot(0.26, 0.52)"),
        ("2/0 start hole", blade("2/0").hole, 0.70, 1e-9, "1.15 x 0.58, up to 0.05: common practice"),
        ("4 start hole", blade("4").hole, 1.05, 1e-9, "1.15 x 0.88, up to 0.05: common practice"),
        ("drill #60", drill("#60"), 1.016, 0.0005, NUMBERS),
        ("drill #75", drill("#75"), 0.533, 0.0005, NUMBERS),
        ("drill #80", drill("#80"), 0.343, 0.0005, NUMBERS),
        ("drill #50", drill("#50"), 1.778, 0.0005, NUMBERS),
        (
            "rpm, 1 mm at 20 m/min",
            sawpierce::plan::drill_speed(trade::metal("sterling-silver").expect("known"), 1.0)[1],
            6366.2,
            0.05,
            "1000 v / (pi d)",
        ),
        (
            "A4 long over short",
            paper("A4").1 / paper("A4").0,
            2f64.sqrt(),
            0.001,
            "ISO 216: root two, whole mm",
        ),
        ("A3 is two A4", paper("A3").0, paper("A4").1, 1e-12, "ISO 216"),
        ("A0 area, m²", paper("A0").0 * paper("A0").1 * 1e-6, 1.0, 0.001, "ISO 216"),
        ("Letter across", paper("Letter").0, 8.5 * 25.4, 1e-9, "8.5 in"),
        ("Tabloid up", paper("Tabloid").1, 17.0 * 25.4, 1e-9, "17 in"),
    ]
}

fn models() -> Vec<Check> {
    let sterling = reference_sterling();
    let base = reference_rim(0.513);
    let power = |m: &Metal| rim_power(m, &base).unwrap_or(f64::NAN);
    let tongue = |m: &Metal, l, w| tongue_rise(m, l, w, 0.8).unwrap_or(f64::NAN);
    const STRENGTH: &str = "worked apart from this program: grid of beams against 3-D elements";
    const HEAT: &str = "worked apart from this program: heat flow of 165 designs";
    let r = skill_rates(Skill::Practised);
    let comb = timed::Entry {
        job: String::new(),
        metal: "sterling-silver".into(),
        thickness: 0.8,
        holes: 121.0,
        line: 121.0 * 6.235,
        corners: 726.0,
        minutes: 1.0,
        filing: None,
        planned: None,
    };
    let wear = 603.6 + 8.0 * 121.0;
    vec![
        ("stress p 2.6 w .8 t .8", bridge_stress(3.0, 2.6, 0.8, 0.8), 27.42, 0.005, STRENGTH),
        ("stress p 4 w .5 t .6", bridge_stress(3.0, 4.0, 0.5, 0.6), 120.0, 1e-9, STRENGTH),
        ("tongue, worst corner", tongue_stress(3.0, 6.0, 0.4, 0.6), 750.0, 1e-9, STRENGTH),
        ("tongue, 3 mm", tongue_stress(3.0, 3.0, 0.8, 0.8), 105.5, 0.05, STRENGTH),
        ("longest tongue, sterling .8", longest_tongue(3.0, 0.8, 0.8, 124.0), 2.352, 1e-3, STRENGTH),
        ("width for sterling p 4 t .6", width_for_strength(3.0, 4.0, 0.6, 124.0), 0.73, 0.005, STRENGTH),
        ("sag p 4 w .6 t .6 at 6 mm", sag(3.0, 6.0, 0.6, 0.2775, 76_000.0, 0.37), 0.01334, 2e-5, STRENGTH),
        (
            "tightest curve 2/0",
            tightest_curve(&blade("2/0")),
            0.7010,
            5e-5,
            "b2 / 8c + c / 2, checked by free search",
        ),
        ("left in a 60° corner", left_in_corner(&blade("2/0"), 60.0), 0.150, 5e-4, "k / tan 60°"),
        ("left in a 30° corner", left_in_corner(&blade("2/0"), 30.0), 0.450, 5e-4, "k / tan 30°"),
        ("rim power, base, W", power(&sterling), 41.31, 0.15, HEAT),
        ("overshoot X, base, K", overshoot(&sterling, &base).unwrap_or(f64::NAN), 34.53, 0.15, HEAT),
        ("room for heat from beneath", wide_window(34.53) - 25.0, 34.4, 0.1, "22 + 0.36 X, plus 25 of spare"),
        ("room for the rim alone", rim_window(34.53) - 8.0, 25.2, 0.1, "20 + 0.15 X, plus 8 of spare"),
        ("tongue tip, sterling 6 mm", tongue(&sterling, 6.0, 0.5), 25.4, 0.05, HEAT),
        ("tongue tip, brass 6 mm", tongue(&metal("brass"), 6.0, 0.5), 62.7, 0.05, HEAT),
        (
            "comb of 121, minutes",
            pace::predict(&comb, r.per_hole, r.cut, r.corner),
            11_367.0 / 60.0,
            0.05,
            "5445 + 3018 + 2904 s",
        ),
        ("blades for the comb", blades_for(wear, 90.0).likely, 17.46, 0.005, "(603.6 + 8 x 121) / 90"),
        ("blades to be safe", blades_for(wear, 90.0).high, 35.0, 0.0, "negative binomial, 90 %"),
        ("blades, 200 mm² in 20", blades_for(360.0, 90.0).likely, 4.0, 1e-9, "(200 + 8 x 20) / 90"),
        ("blades, 200 mm² in 20, safe", blades_for(360.0, 90.0).high, 9.0, 0.0, "negative binomial, 90 %"),
    ]
}

fn shapes() -> Vec<Check> {
    // Open part of perforated sheet against rings of our own.
    let hexagon = |across: f64| {
        let r = across / 3f64.sqrt();
        Ring::polygon((0..6).map(|k| {
            let a = PI / 3.0 * f64::from(k);
            Point::new(r * a.cos(), r * a.sin())
        }))
    };
    let cell60 = |pitch: f64| pitch * pitch * 3f64.sqrt() / 2.0;
    let open = |hole: f64, cell: f64| 100.0 * hole / cell;
    let (round2, round5) = (Ring::circle(Point::ORIGIN, 1.0).area(), Ring::circle(Point::ORIGIN, 2.5).area());
    const FORMULA: &str = "formula: 90.69 d2 / p2, 78.5 d2 / p2; numbers worked here";
    vec![
        ("R 2 T 3 open, %", open(round2, cell60(3.0)), 40.31, 0.005, FORMULA),
        ("R 5 T 8 open, %", open(round5, cell60(8.0)), 35.43, 0.006, FORMULA),
        ("R 5 U 8 open, %", open(round5, 64.0), 30.68, 0.006, FORMULA),
        ("hexagon 6 T 6.7 open, %", open(hexagon(6.0).area(), cell60(6.7)), 80.20, 0.006, FORMULA),
        ("R5 EURO open, %", 4272.0 * round5 * 1e-4, 8.388, 0.0005, "4272 holes of 5 mm a m²"),
        (
            "hexagon keeps 100 w2 / p2",
            open(hexagon(1.8).area(), cell60(2.6)),
            100.0 * (1.8f64 / 2.6).powi(2),
            1e-9,
            FORMULA,
        ),
    ]
}

#[test]
fn every_known_value() {
    let table: Vec<Check> =
        [gauges(), rings(), strips(), forms(), metals(), tools(), models(), shapes()].concat();
    assert!(table.len() >= 60, "only {} checks", table.len());
    let mut names: Vec<&str> = table.iter().map(|c| c.0).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), table.len(), "two checks of one name");
    let wrong: Vec<String> = table
        .iter()
        .filter(|(_, got, want, within, _)| (got - want).abs() > *within || got.is_nan())
        .map(|(name, got, want, within, source)| {
            format!("{name}: {got}, expected {want} ± {within} ({source})")
        })
        .collect();
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), table.len(), wrong.join("\n"));
}
