//! What has to agree at the bench: one size, all the metal, money, joins and safety. Every figure is worked a second way
//! here, from the job's own numbers.

use sawpierce::checks::{Check, Level, Verdict};
use sawpierce::error::Error;
use sawpierce::job::{parse, Job, NamedFiles, Settings};
use sawpierce::plan::card::{CardStep, Row, TableCell};
use sawpierce::plan::Plan;
use sawpierce::render::json::plan_json;
use sawpierce::units::LengthUnit;
use sawpierce::work::{work, Work};
use std::f64::consts::PI;

fn read(text: &str) -> Result<Job, Error> {
    parse(text, "bench.toml", &NamedFiles::default(), &Settings::default())
}

fn job(text: &str) -> Job {
    read(text).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

fn done(text: &str) -> (Job, Work) {
    let job = job(text);
    let work = work(&job).unwrap_or_else(|e| panic!("{e}\n{text}"));
    (job, work)
}

#[track_caller]
fn near(what: &str, got: f64, want: f64, within: f64) {
    assert!((got - want).abs() <= within, "{what}: {got}, expected {want} ± {within}");
}

fn verdict(work: &Work, check: Check) -> &Verdict {
    work.verdicts.iter().find(|v| v.check == check).unwrap_or_else(|| panic!("no {check}"))
}

fn says(work: &Work, check: Check) -> String {
    verdict(work, check).says(LengthUnit::Mm)
}

/// Everything the card says, step by step.
fn words(plan: &Plan) -> String {
    let row = |row: &Row| match row {
        Row::Fact { label, value, sum } | Row::Numbered { label, value, sum, .. } => {
            format!("{label}: {value} {}", sum.clone().unwrap_or_default())
        }
        Row::Measure { label, planned, .. } => format!("{label}: {planned}"),
        Row::Changed { label, was, now, sum } => {
            format!("{label}: was {was}, now {now} {}", sum.clone().unwrap_or_default())
        }
        Row::Tick(text) | Row::Caution(text) | Row::Note(text) => text.clone(),
        Row::Table { head, rows } => format!(
            "{} {}",
            head.join(" "),
            rows.concat().iter().map(TableCell::to_string).collect::<Vec<_>>().join(" ")
        ),
    };
    let sections = plan.card.iter();
    sections
        .flat_map(|s| std::iter::once(s.title.clone()).chain(s.all().map(row)))
        .collect::<Vec<_>>()
        .join("\n")
}

fn cautions(plan: &Plan, step: CardStep) -> String {
    let sections = plan.card.iter().filter(|s| s.step == step);
    let texts = sections.flat_map(|s| s.all()).filter_map(|r| match r {
        Row::Caution(text) => Some(text.clone()),
        _ => None,
    });
    texts.collect::<Vec<_>>().join("\n")
}

/// A disc of `diameter` in `metal`, with more after it.
fn disc(metal: &str, diameter: f64, more: &str) -> String {
    format!(
        "title = \"Disc\"\nskill = \"practised\"\n[sheet]\nmetal = \"{metal}\"\nthickness = 0.8\n[outline]\nshape = \"circle\"\n\
         diameter = {diameter}\nborder = 3\n[pattern]\nname = \"hexagon\"\npitch = 4.6\nbridge = 1.3\nat_border = \"whole\"\n{more}"
    )
}

const RIM: &str = "[construction]\nrim = { height = 3, thickness = 0.5, sits = \"round-edge\" }\nback = { thickness = 0.6, \
                   overhang = 0.8 }\n";

// ---- one size

#[test]
fn the_piece_is_the_drawn_size_and_nothing_else_is_called_finished() {
    let (job, done) = done(&disc("sterling-silver", 30.0, "[saw]\nclean_up = 0.1\n"));
    let said = words(&done.plan);
    assert!(said.contains("size: 30.00 mm across"), "{said}");
    assert!(said.contains("across, 12 to 6: 30.00 mm"), "{said}");
    for wrong in ["29.8", "29.6", "after clean-up", "finished, about", "finished plate"] {
        assert!(!said.contains(wrong), "\"{wrong}\" is said:\n{said}");
    }
    // The weight is that of the drawn metal; what the file may take is said beside it.
    let open: f64 = done.piece.openings.iter().map(|o| o.area).sum();
    let round: f64 = done.piece.openings.iter().map(|o| o.perimeter.get()).sum();
    let weights = done.plan.weights;
    near("weight", weights.piece, (PI * 225.0 - open) * 0.8 * 10.36e-3, 1e-6);
    near("overrun", weights.overrun, (round + PI * 30.0) * 0.1 * 0.8 * 10.36e-3, 1e-6);
    assert!(
        said.contains(&format!("up to {:.2} g less where the file runs over", weights.overrun)),
        "{said}"
    );
    // JSON says the same.
    let json = plan_json(&job, &done, 1, false);
    near("drawn", json["sizes"]["drawn_mm"][0].as_f64().unwrap_or(0.0), 30.0, 1e-9);
    assert!(json["sizes"]["measured_mm"].is_null());
    near("json weight", json["weights"]["piece_g"].as_f64().unwrap_or(0.0), weights.piece, 1e-6);
}

#[test]
fn a_measured_edge_replaces_the_drawn_one_for_all_that_follows_and_not_before() {
    let text = disc("sterling-silver", 30.0, RIM);
    let (_, planned) = done(&text);
    let (job, found) = done(&format!("{text}[measured]\noutline = 29.6\n"));
    let said = words(&found.plan);
    assert!(said.contains("size: was 30.00 mm across, now 29.60 mm across"), "{said}");
    // It is measured against what was drawn, and the strip follows what was found: pi (29.6 + 0.5).
    assert!(said.contains("across, 12 to 6: 30.00 mm"), "{said}");
    assert!(said.contains("94.56 mm"), "{said}");
    assert_eq!(planned.plan.saw.outline, found.plan.saw.outline);
    // A filed edge gives nothing more to the file.
    let edge = PI * 30.0 * 0.10 * 0.8 * 10.36e-3;
    near("overrun", planned.plan.weights.overrun - found.plan.weights.overrun, edge, 1e-6);
    near("over all", found.plan.built.size.0, 29.6 + 1.0, 1e-9);
    assert_eq!(plan_json(&job, &found, 1, false)["sizes"]["measured_mm"][0], 29.6);
    // A larger piece gains border: no minus a minus.
    let (_, larger) = done(&format!("{text}[measured]\noutline = 31\n"));
    let said = words(&larger.plan);
    assert!(said.contains("3.00 + 0.50 each side") && !said.contains("− -"), "{said}");
}

#[test]
fn lugs_count_in_the_overall_size_and_in_how_it_is_measured() {
    let lug = "[[lug]]\nat_angle = 90\nwidth = 6\nheight = 5\nhole = 1.8\n";
    let (_, done) = done(&disc("copper", 34.0, lug));
    let said = words(&done.plan);
    assert!(said.contains("overall size, all of it: 34.00 × 39.00 mm"), "{said}");
    assert!(said.contains("over the lugs: 34.00 × 39.00 mm"), "{said}");
    assert!(said.contains("across, clear of the lugs: 34.00 mm") && !said.contains("12 to 6"), "{said}");
    let buyer: Vec<String> =
        done.plan.buyer_page.iter().map(|l| format!("{}: {}", l.label, l.value)).collect();
    assert!(buyer.contains(&"overall size: about 34.00 × 39.00 mm".to_string()), "{buyer:?}");
}

// ---- domes

/// Length of the curve over the top of a cap, worked from its radius: r = (a2 + h2) / 2h, arc = 2 r asin(a / r).
fn over_the_top(across: f64, height: f64) -> f64 {
    let a = across / 2.0;
    let r = (a * a + height * height) / (2.0 * height);
    2.0 * r * (a / r).asin()
}

#[test]
fn a_domed_piece_is_drawn_sawn_weighed_and_measured_as_its_flat() {
    let text = disc("copper", 25.0, "[construction]\ndome = 4\n");
    let (job, domed) = done(&text);
    let flat = over_the_top(25.0, 4.0);
    near("the flat", flat, 26.67, 0.01);
    let outline = &domed.piece.outline;
    near("drawn", outline.size.0.get(), flat, 1e-9);
    near("sawn", domed.plan.saw.outline, PI * flat, 1e-6);
    let open: f64 = domed.piece.openings.iter().map(|o| o.area).sum();
    near("weight", domed.plan.weights.piece, (PI / 4.0 * flat * flat - open) * 0.8 * 8.96e-3, 1e-6);
    near("blank", domed.plan.weights.blank, (flat + 2.0).powi(2) * 0.8 * 8.96e-3, 1e-6);
    let finished = outline.domed.as_ref().unwrap_or_else(|| panic!("not domed"));
    near("finished ring", finished.finished.bounds().width(), 25.0, 1e-9);
    near("over all", domed.plan.built.size.0, 25.0, 1e-9);
    let said = words(&domed.plan);
    assert!(said.contains("size of the flat: 26.67 mm across"), "{said}");
    assert!(said.contains("the flat, across, 12 to 6: 26.67 mm"), "{said}");
    assert!(said.contains("overall size, domed, about: 25.00 mm across"), "{said}");
    assert_eq!(verdict(&domed, Check::Doming).level, Level::Caution);
    assert_eq!(plan_json(&job, &domed, 1, false)["sizes"]["over_all_mm"][0], 25.0);
    // The flat came out as drawn: nothing grows again.
    let (_, found) = done(&format!("{text}[measured]\noutline = 26.67\n"));
    near("still 26.7 to cut", part(&found.plan, "flat for the dome", "high_mm"), flat, 1e-9);
    near("and the flat is what was found", part(&found.plan, "flat for the dome", "flat_mm"), 26.67, 1e-9);
    near("which domes to 25", found.plan.built.size.0, 25.0, 0.01);
}

#[test]
fn a_dome_that_is_not_round_grows_each_way_by_its_own_curve_and_half_a_ball_is_the_most() {
    let oval = "[sheet]\nmetal = \"copper\"\n[outline]\nshape = \"ellipse\"\nwidth = 30\nheight = 20\n[pattern]\nname = \"hexagon\"\n\
                [construction]\ndome = 3\n";
    let (_, domed) = done(oval);
    near("wide", domed.piece.outline.size.0.get(), over_the_top(30.0, 3.0), 1e-6);
    near("high", domed.piece.outline.size.1.get(), over_the_top(20.0, 3.0), 1e-6);
    for wrong in [
        oval.replace("dome = 3", "dome = 10.1"),
        oval.replace("ellipse", "band").replace("width = 30\nheight = 20", "inside = 17\nwidth = 8"),
    ] {
        let refused = work(&job(&wrong));
        assert!(refused.is_err(), "{wrong}");
    }
    assert!(verdict(&domed, Check::Doming).says(LengthUnit::Mm).contains("pierced flat and then domed"));
}

fn part(plan: &Plan, name: &str, key: &str) -> f64 {
    let part = plan.parts.iter().find(|p| p.part.words() == name).unwrap_or_else(|| panic!("no {name}"));
    part.get(key).unwrap_or_else(|| panic!("{name} has no {key}"))
}

// ---- pairs and pieces

#[test]
fn pieces_counts_pieces_and_a_pair_is_two() {
    let pair = |top: &str| format!("{top}pair = true\n{}", disc("sterling-silver", 22.0, ""));
    for (top, pieces, said) in [
        ("", 2, "1 pair, 2 pieces"),
        ("pieces = 2\n", 2, "1 pair, 2 pieces"),
        ("pieces = 6\n", 6, "3 pairs, 6 pieces"),
    ] {
        let (job, done) = done(&pair(top));
        assert_eq!((job.pieces, done.plan.batch.pieces), (pieces, pieces));
        let buyer: Vec<&str> = done.plan.buyer_page.iter().map(|l| l.value.as_str()).collect();
        assert!(buyer.contains(&said), "{buyer:?}");
        near("metal", done.plan.batch.openwork, f64::from(pieces) * done.plan.weights.piece, 1e-9);
        assert!(!words(&done.plan).contains("1 pairs"));
    }
    let refused = read(&pair("pieces = 3\n")).err().map(|e| e.to_string()).unwrap_or_default();
    assert!(refused.contains("1:10: a pair is two pieces") && refused.contains("pieces = 6"), "{refused}");
}

// ---- all the metal

#[test]
fn metal_weight_and_price_take_in_rim_and_back() {
    let text = disc("sterling-silver", 30.0, RIM)
        .replace("thickness = 0.8", "thickness = 0.8\nprice_per_gram = 1.5");
    let (job, built) = done(&format!("{text}[rates]\nper_hour = 30\n"));
    let plan = &built.plan;
    let rho = 10.36e-3;
    let rim = PI * 30.5 * 3.0 * 0.5 * rho;
    let back = PI / 4.0 * 31.0 * 31.0 * 0.6 * rho;
    near("the piece", plan.built.finished(), plan.weights.piece + rim + back, 1e-4);
    near("over all", plan.built.size.0, 31.0, 1e-9);
    // Cut from: a 32 mm square with 5 mm to hold by, 0.5 mm more of strip, a square round 32.6 mm of back.
    let sheet = 37.0 * 32.0 * 0.8 * rho;
    let taken = sheet + (PI * 30.5 + 0.5) * 1.5 * rho + 34.6 * 34.6 * 0.6 * rho;
    near("metal in", plan.batch.metal_in, taken, 1e-4);
    near(
        "it all goes somewhere",
        plan.batch.metal_in,
        plan.batch.metal_out + plan.batch.scrap + plan.batch.filings,
        1e-9,
    );
    near("price of metal", plan.batch.metal_price.unwrap_or(0.0), 1.5 * taken, 1e-3);
    let price = (1.5 * taken + plan.batch.minutes.likely / 60.0 * 30.0).ceil();
    assert_eq!(plan.batch.price, Some(price));
    // The openwork's own part stays visible.
    let said = words(plan);
    assert!(said.contains(&format!("openwork: {:.2} g", plan.weights.piece)), "{said}");
    assert!(said.contains(&format!("the piece as built: {:.2} g", plan.built.finished())), "{said}");
    // The buyer's sheet: one price, no ranges, no hours.
    let buyer: Vec<String> = plan.buyer_page.iter().map(|l| format!("{}: {}", l.label, l.value)).collect();
    assert!(buyer.contains(&format!("price: {price:.0}")), "{buyer:?}");
    assert!(
        buyer.iter().all(|l| !l.contains("likely") && !l.contains(" min") && !l.contains(" h,")),
        "{buyer:?}"
    );
    let json = plan_json(&job, &built, 1, false);
    near("json", json["weights"]["built_g"].as_f64().unwrap_or(0.0), plan.built.finished(), 1e-5);
    assert_eq!(json["metal_of_one"].as_array().map(Vec::len), Some(3));
}

#[test]
fn the_stock_really_cut_from_is_what_is_paid_for() {
    let stock = |size: &str, pieces: u32| {
        format!("pieces = {pieces}\n{}", disc("copper", 30.0, ""))
            .replace("thickness = 0.8", &format!("thickness = 0.8\nstock = {size}"))
    };
    let grams = |area: f64| area * 0.8 * 8.96e-3;
    // Two blanks of 32 side by side with a 1 mm gap: 65 x 32, and 5 mm to hold by along the long side is less than at its end.
    let (_, two) = done(&stock("[150, 100]", 2));
    near(
        "of one sheet",
        two.plan.batch.metal_in,
        grams((65.0f64 + 5.0) * 32.0).min(grams(65.0 * 37.0)),
        1e-6,
    );
    // A sheet that holds four of six: one whole, and of the second what two take.
    let (_, six) = done(&stock("[66, 66]", 6));
    let second = (65.0f64 + 1.0) * 32.0;
    near("of two sheets", six.plan.batch.metal_in, grams(66.0 * 66.0 + second), 1e-6);
    assert_eq!(verdict(&six, Check::StockFit).level, Level::Caution);
    assert!(words(&six.plan).contains("holds 4 of 6 blanks: 1 more sheet is wanted"), "{}", words(&six.plan));
}

#[test]
fn fineness_and_exemption_go_by_the_built_piece_and_name_gold_platinum_and_palladium() {
    // UK weights below which no mark is asked (from memory, believed the Hallmarking Act 1973 as amended).
    for (metal, mark, exempt) in [
        ("sterling-silver", 925, "7.78 g"),
        ("gold-18k", 750, "1.00 g"),
        ("gold-9k", 375, "1.00 g"),
        ("platinum-950", 950, "0.50 g"),
        ("palladium-950", 950, "1.00 g"),
    ] {
        let said = words(&done(&disc(metal, 30.0, "")).1.plan);
        assert!(said.contains(&format!("mark {mark}")) && said.contains(exempt), "{metal}: {said}");
    }
    assert!(!words(&done(&disc("copper", 30.0, "")).1.plan).contains("hallmark"));
    // 4 g of openwork alone is under 7.78 g; with rim and back it is not.
    let alone = words(&done(&disc("sterling-silver", 30.0, "")).1.plan);
    let built = words(&done(&disc("sterling-silver", 30.0, RIM)).1.plan);
    assert!(alone.contains("is under the 7.78") && built.contains("is 7.78 g or more"), "{alone}\n{built}");
}

// ---- what the plan finds

#[test]
fn what_the_plan_finds_is_a_verdict() {
    let ring = "[[hole]]\nname = \"bail hole\"\ndiameter = 1.8\nat = [0, 13]\n[construction]\njump_rings = [ { wire = 1.0, inside = 2.0, count = 1 } ]\n";
    let (_, tight) = done(&disc("copper", 30.0, ring));
    // Wall 15 - 13 - 0.9 = 1.1, sheet 0.8, play 0.3: 2.2 of a ring 2.0 inside.
    let fit = verdict(&tight, Check::RingFit);
    assert_eq!(fit.level, Level::Caution);
    near("has", fit.measured.map_or(0.0, |q| q.value()), 2.0, 1e-9);
    near("needs", fit.limit.map_or(0.0, |q| q.value()), 2.2, 1e-6);
    let (_, thick) =
        done(&disc("copper", 30.0, &ring.replace("wire = 1.0, inside = 2.0", "wire = 1.8, inside = 6")));
    assert!(says(&thick, Check::RingFit).contains("does not go through the bail hole"));
    let (_, good) = done(&disc("copper", 30.0, &ring.replace("inside = 2.0", "inside = 4.0")));
    assert_eq!(verdict(&good, Check::RingFit).level, Level::Good);

    let (_, small) =
        done(&disc("copper", 30.0, "").replace("thickness = 0.8", "thickness = 0.8\nstock = [30, 90]"));
    assert!(says(&small, Check::StockFit).contains("does not hold one blank"));
    assert_eq!(verdict(&small, Check::StockFit).level, Level::Caution);
    assert_eq!(verdict(&good, Check::StockFit).level, Level::Unchecked);

    // Two hours a hole: more than forty for one piece, with twenty openings and more.
    let (_, week) = done(&disc("copper", 44.0, "[rates]\nper_hole = 120\n"));
    assert!(week.piece.openings.len() > 20);
    assert_eq!(verdict(&week, Check::Hours).level, Level::Caution);
    assert!(says(&week, Check::Hours).contains("more than a working week"));
    assert_eq!(verdict(&good, Check::Hours).level, Level::Good);

    let ear = "[[hole]]\nname = \"hook\"\ndiameter = 1.2\nat = [0, 26]\n";
    let (_, heavy) = done(&format!("pair = true\n{}", disc("sterling-silver", 56.0, ear)));
    let weight = verdict(&heavy, Check::Weight);
    assert!(weight.level == Level::Caution && says(&heavy, Check::Weight).contains("heavy on an ear"));
    near("grams", weight.measured.map_or(0.0, |q| q.value()), heavy.plan.built.finished(), 1e-9);
}

// ---- joining

#[test]
fn sterling_without_openwork_at_risk_starts_hard() {
    let band = "[sheet]\nmetal = \"sterling-silver\"\nthickness = 1.0\n[outline]\nshape = \"band\"\nring_size = \"US 7\"\nwidth = 8\n\
                [pattern]\nname = \"square\"\n";
    let (_, ring) = done(band);
    assert_eq!(ring.plan.joins.solder[0].grade.name, "hard");
    assert_eq!(verdict(&ring, Check::SolderSteps).level, Level::Good);
    assert_eq!(says(&ring, Check::SolderSteps), "1 heat: hard");
    let (_, rim) = done(&disc("sterling-silver", 30.0, RIM));
    let grades: Vec<&str> = rim.plan.joins.solder.iter().map(|s| s.grade.name.as_str()).collect();
    // The strip by itself hard, at the openwork's edge medium (50 below 788), the back lower.
    assert_eq!(grades[..2], ["hard", "medium"]);
    assert!(rim.plan.joins.solder.windows(2).all(|w| w[1].grade.flow_c < w[0].grade.flow_c), "{grades:?}");
}

#[test]
fn five_degrees_are_no_margin() {
    let (_, gold) = done(&disc(
        "gold-14k",
        30.0,
        &RIM.replace("[construction]\n", "[construction]\nsolder = \"hard\"\n"),
    ));
    let steps = verdict(&gold, Check::SolderSteps);
    assert_eq!(steps.level, Level::Stop);
    near("margin", steps.measured.map_or(0.0, |q| q.value()), 800.0 - 795.0, 1e-9);
    assert!(
        says(&gold, Check::SolderSteps).contains("795 °C (1463 °F)"),
        "{}",
        says(&gold, Check::SolderSteps)
    );
    // Chosen by the program: easy, 70 below, in 14 ct; easy beside openwork in 9 ct as well.
    for metal in ["gold-14k", "gold-9k"] {
        let (_, chosen) = done(&disc(metal, 30.0, RIM));
        assert_ne!(verdict(&chosen, Check::SolderSteps).level, Level::Stop, "{metal}");
        let edge = chosen.plan.joins.solder.iter().find(|s| s.seam.starts_with("rim to"));
        assert_eq!(edge.map(|s| s.grade.name.as_str()), Some("easy"), "{metal}");
    }
}

#[test]
fn metals_not_soldered_at_a_bench_get_cold_joins_and_nothing_of_the_torch() {
    let all = RIM.replace(
        "[construction]\n",
        "[construction]\nbezel = { stone = 8, thickness = 0.3, height = 4 }\ndome = 0\n",
    );
    for metal in ["titanium", "niobium", "aluminium"] {
        let (job, cold) = done(&disc(metal, 40.0, &all));
        let joins = &cold.plan.joins;
        assert!(joins.solder.is_empty() && joins.cold.len() == 5, "{metal}: {joins:?}");
        assert_eq!(cold.plan.batch.pallions, 0);
        let said = words(&cold.plan).to_lowercase();
        for wrong in
            ["pallion", "flux", "pickle", "torch", "anneal", "flow point", "heat the", "liver of sulphur"]
        {
            assert!(!said.contains(wrong), "{metal}: {wrong}\n{said}");
        }
        assert!(said.contains("join cold") && said.contains("rivet"), "{said}");
        // Its dust burns: at the saw, at the file and at the wheel.
        for step in [CardStep::Saw, CardStep::File, CardStep::Finish] {
            assert!(cautions(&cold.plan, step).contains("filings burn"), "{metal} {step:?}");
        }
        let json = plan_json(&job, &cold, 1, false);
        assert_eq!(json["solder"].as_array().map(Vec::len), Some(0));
        assert_eq!(json["cold_joins"].as_array().map(Vec::len), Some(5));
    }
    for metal in ["platinum-950", "palladium-950"] {
        let (_, own) = done(&disc(metal, 40.0, RIM));
        let family = metal.split('-').next().unwrap_or_default();
        assert!(own.plan.joins.solder.iter().all(|s| s.grade.family == family), "{metal}");
        assert!(own.plan.joins.solder.len() == 3 && own.plan.joins.cold.is_empty());
    }
}

#[test]
fn heat_is_said_both_ways() {
    let said = words(&done(&disc("sterling-silver", 30.0, RIM)).1.plan);
    assert!(said.contains("hard: 788 °C (1450 °F)") && said.contains("50 °C (90 °F)"), "{said}");
    let domed = words(&done(&disc("sterling-silver", 30.0, "[construction]\ndome = 3\n")).1.plan);
    assert!(domed.contains("593 °C (1099 °F) to 649 °C (1200 °F)"), "{domed}");
    assert!(!said.contains(" C ") && !domed.contains(" C "), "a bare C");
}

// ---- safety

#[test]
fn each_step_carries_what_can_hurt_there() {
    let all = "[construction]\nrim = { height = 3, thickness = 0.5, sits = \"under-plate\" }\nback = { thickness = 0.6 }\nbezel = { stone = \
               8, thickness = 0.3, height = 4 }\ndome = 3\n";
    let (_, done) = done(&disc("brass", 40.0, all));
    for (step, words) in [
        (CardStep::Piece, &["qualified practice come first"][..]),
        (CardStep::Sheet, &["face shield", "rolling mill", "annealing"]),
        (CardStep::Paper, &["never burn it off"]),
        (CardStep::Drill, &["glasses", "no gloves", "clamp"]),
        (CardStep::Saw, &["blades snap", "glasses", "dust"]),
        (CardStep::File, &["mask"]),
        (CardStep::Edge, &["fresh edges cut"]),
        (CardStep::Form, &["annealing: fire-brick", "doming: glasses and ear defenders", "zinc oxide"]),
        (CardStep::Solder, &["cadmium-free", "draught", "vent", "extinguisher"]),
        (CardStep::Clean, &["acid into water", "goggles", "lid"]),
        (CardStep::Stone, &["no heat"]),
        (CardStep::Finish, &["below the wheel's centre", "glasses and mask", "poison gas", "sealed barrel"]),
    ] {
        let said = cautions(&done.plan, step);
        for word in words {
            assert!(said.contains(word), "{step:?} does not warn of \"{word}\":\n{said}");
        }
    }
}

// ---- minutes

#[test]
fn the_printed_rates_give_the_printed_minutes() {
    // The factor of the metal is printed with the rate.
    let (_, copper) = done(&disc("copper", 30.0, ""));
    let said = words(&copper.plan);
    assert!(said.contains("12 mm² of cut a minute in sterling (estimate; copper 0.9 times)"), "{said}");
    let (saw, time) = (&copper.plan.saw, &copper.plan.time);
    let by_hand =
        saw.threadings as f64 * 0.75 + saw.length() * 0.8 / (12.0 * 0.9) + saw.corners as f64 * 4.0 / 60.0;
    near("minutes", time.saw.likely, by_hand, 1e-9);
    assert!(!said.contains("common practice"), "an estimate is not common practice:\n{said}");
}

#[test]
fn a_stack_that_does_not_come_out_even_is_counted_by_its_runs() {
    // Five pieces in twos are three runs: each piece bears three fifths of a hole, not half.
    let text = format!("pieces = 5\n{}", disc("sterling-silver", 30.0, "[saw]\nstack = 2\n"));
    let (_, five) = done(&text);
    let n = five.piece.openings.len() as f64;
    assert_eq!(five.plan.batch.runs, 3);
    near("drilling", five.plan.time.drilling * 5.0, 3.0 * n * 0.75, 1e-9);
    assert_eq!(five.plan.batch.threadings as f64, 3.0 * n);
}

// ---- strips

#[test]
fn a_strip_round_the_edge_bends_in_the_middle_of_each_corner() {
    let text = |sits: &str| {
        disc(
            "copper",
            30.0,
            &format!("[construction]\nrim = {{ height = 4, thickness = 0.5, sits = \"{sits}\" }}\n"),
        )
        .replace("shape = \"circle\"\ndiameter = 30", "shape = \"rectangle\"\nwidth = 40\nheight = 30")
    };
    let bends = |sits: &str| {
        let (_, done) = done(&text(sits));
        done.plan
            .parts
            .iter()
            .find(|p| p.part.words() == "rim strip")
            .map(|p| p.bends.clone())
            .unwrap_or_default()
    };
    // From the middle of a long side: half of it, then half of the arc round each corner.
    let quarter = PI / 2.0 * 0.25;
    let round = [20.0 + quarter / 2.0, 30.0 + quarter, 40.0 + quarter, 30.0 + quarter];
    let mut at = 0.0;
    for (found, step) in bends("round-edge").iter().zip(round) {
        at += step;
        near("bend", *found, at, 1e-6);
    }
    let mut at = 0.0;
    for (found, step) in bends("under-plate").iter().zip([19.75, 29.5, 39.5, 29.5]) {
        at += step;
        near("bend under the plate", *found, at, 1e-6);
    }
}
