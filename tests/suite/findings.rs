//! What the checks say and what is offered against it: each fault once found, with its job.

use crate::made::*;
use sawpierce::checks::{Check, Finding, Level, Margin, MetalFinding, Quantity, ToolFinding, Verdict};
use sawpierce::mend::{in_words, look, mend, with_remedies, Change, Remedies};
use sawpierce::render::json::plan_json;
use sawpierce::units::{LengthUnit, Mm};
use sawpierce::work::Work;

/// Sheet, outline and pattern in a few words, and more text.
fn plate(skill: &str, thickness: f64, outline: &str, pattern: &str, more: &str) -> String {
    format!(
        "skill = \"{skill}\"\n[sheet]\nmetal = \"copper\"\nthickness = {thickness}\n[outline]\n{outline}\n[pattern]\n{pattern}\n{more}"
    )
}

fn of(work: &Work, check: Check) -> Vec<&Verdict> {
    work.verdicts.iter().filter(|v| v.check == check).collect()
}

/// The remedies of a job by check, with the changes they are made of.
fn offered(text: &str) -> Vec<(Verdict, Vec<Change>)> {
    let (job, work) = (job(text), done(&job(text)));
    let mut remedies = Remedies::new(&job, &work);
    while remedies.step() {}
    let verdicts = remedies.verdicts();
    remedies.found().into_iter().map(|(i, changes)| (verdicts[i].clone(), changes.to_vec())).collect()
}

/// The window has 0.65 mm beside it: more than fine work asks of a bridge (0.60), and the nearest to any limit there is.
#[test]
fn a_good_line_does_not_pass_over_a_window() {
    let outline = "shape = \"circle\"\ndiameter = 40\nborder = 3";
    let window =
        "[[window]]\nname = \"stone\"\nshape = \"circle\"\ndiameter = 9\nat = [0, 0]\nborder = 0.75\n";
    let text = plate("fine-work", 0.6, outline, "name = \"square\"\npitch = 5\nbridge = 1.4", window);
    let work = done(&job(&text));
    let border = of(&work, Check::BorderWidth)[0];
    assert_eq!(border.level, Level::Good);
    assert!((border.measured.expect("a width").value() - 0.65).abs() < 1e-3, "{border:?}");
    assert!(matches!(
        border.finding,
        Finding::Metal(MetalFinding::MarginsWide { which: Margin::Window, .. })
    ));
    assert!(border.says(LengthUnit::Mm).contains("W1"), "{}", border.says(LengthUnit::Mm));
    let bridges = of(&work, Check::BridgeWidth)[0].says(LengthUnit::Mm);
    assert!(bridges.contains("between openings is 1.40 mm"), "{bridges}");
}

/// A plate whose drawn outline has an inner line: that is W1, the window of the job is W2.
const INNER: &str = "shape = \"drawn\"\nd = \"M -25 -15 L 25 -15 L 25 15 L -25 15 Z M -18 -3 L -12 -3 L -12 3 L -18 3 Z\"\nborder = 3";
const STONE: &str =
    "[[window]]\nname = \"stone\"\nshape = \"circle\"\ndiameter = 7\nat = [10, 0]\nborder = 0.6\n";

/// 0.60 drawn leaves 0.40 of 1.00: a border of 1.20 round W2 is what a jeweller thinks of first.
#[test]
fn windows_keep_their_numbers_beside_inner_lines() {
    let pattern = "name = \"square\"\nat_border = \"trim\"\npitch = 5\nbridge = 1.4";
    let text = plate("practised", 0.8, INNER, pattern, STONE);
    let found = offered(&text);
    let (verdict, changes) =
        found.iter().find(|(v, _)| v.check == Check::BorderWidth).expect("a remedy for the window");
    let remedy = verdict.remedy.clone().expect("tried");
    assert_eq!(changes[..], [Change::WindowBorder(0, Mm(1.2))], "{remedy}");
    assert!(remedy.starts_with("a border of 1.20 mm round W2 (tried: "), "{remedy}");
    let mended = mend(&job(&text), &done(&job(&text)), false);
    let named = |c: &Change| matches!(c, Change::Window(..) | Change::WindowBorder(..));
    for c in mended.candidates.iter().filter(|c| c.changes.iter().any(named)) {
        assert!(!c.says.contains("W1"), "{}", c.says);
    }
}

/// A window made smaller is a change people see, though no opening moves.
#[test]
fn a_changed_window_is_a_changed_drawing() {
    let piece = |diameter: f64| {
        let window = STONE.replace("diameter = 7", &format!("diameter = {diameter}"));
        // A border so wide that no opening comes near either way.
        let window = window.replace("border = 0.6", &format!("border = {}", 2.0 + (7.0 - diameter) / 2.0));
        done(&job(&plate("practised", 0.8, INNER, "name = \"square\"\npitch = 5\nbridge = 1.4", &window)))
            .piece
    };
    let seen = look(&piece(7.0), &piece(4.2));
    assert_eq!((seen.changed, seen.windows_changed, seen.outline_changed), (0, 1, false), "{seen:?}");
    // pi / 4 (7.0 2 - 4.2 2) = 24.63 mm2.
    let moved = seen.area_moved * piece(7.0).open_area();
    assert!((moved - 24.630).abs() < 0.01 && seen.change() > 0.0 && !seen.is_none(), "{moved} {seen:?}");
}

/// 0.45 mm outside H1 of 1.20: moving the hole cures it; drawing in the openings at the border does not.
#[test]
fn a_remedy_cures_what_it_is_offered_for() {
    let outline = "shape = \"circle\"\ndiameter = 40\nborder = 1.9";
    let text = plate(
        "practised",
        0.8,
        outline,
        "name = \"hexagon\"\npitch = 5\nbridge = 1.3",
        "[[hole]]\ndiameter = 1.5\nat = [0, 18.7]\n",
    );
    for (verdict, changes) in offered(&text) {
        let tried = done(&sawpierce::mend::changed(&job(&text), &changes).expect("a job"));
        let left = tried.verdicts.iter().filter(|v| v.level.is_fault());
        let again =
            left.filter(|v| v.check == verdict.check && v.finding.same_cause(&verdict.finding)).count();
        assert_eq!(again, 0, "{:?}", verdict.remedy);
        if let Finding::Metal(MetalFinding::MarginThin { which: Margin::OutsideHole, .. }) = verdict.finding {
            assert!(matches!(changes[..], [Change::Hole(0, _)]), "{changes:?}");
        }
    }
}

/// An ear 4 mm wide with a 2.6 mm hole has 0.7 mm beside it, 0.6 when filed; 0.9 mm sheet wants 1.35.
#[test]
fn thin_metal_round_a_hang_hole_asks_for_a_wider_lug() {
    let text = disc(&[], "[[lug]]\nat_angle = 90\nwidth = 4\nheight = 4\nhole = 2.6\n");
    let found = offered(&text);
    let (verdict, changes) =
        found.iter().find(|(v, _)| v.check == Check::BorderWidth).expect("a remedy for the ear");
    assert_eq!(verdict.level, Level::Caution);
    let [Change::LugSize(0, width, _)] = changes[..] else { panic!("{changes:?}") };
    // Both sides want 0.75 more.
    assert!((width.get() - 5.5).abs() < 0.02, "{width}");
    assert!(
        verdict.remedy.as_deref().is_some_and(|r| r.starts_with("lug 1 made 5.5")),
        "{:?}",
        verdict.remedy
    );
}

/// Squares of 0.9 mm rounded by 0.9 mm vanish: 24 whole cells that nobody asked to be left out.
#[test]
fn whole_cells_rounded_away_are_a_stop() {
    let outline = "shape = \"circle\"\ndiameter = 40\nborder = 3";
    let pattern = "name = \"octagon-and-dot\"\npitch = 6\nbridge = 1.3\ncorner_radius = 0.9";
    let text = plate("practised", 0.8, outline, pattern, "[saw]\nblade = \"6/0\"\ndrill = 0.5\n");
    let work = done(&job(&text));
    let drill = of(&work, Check::DrillFit);
    assert!(
        matches!(drill[0].finding, Finding::Tool(ToolFinding::NothingOpened { .. }))
            && drill[0].level == Level::Stop,
        "{drill:?}"
    );
    assert!(drill[0].count >= 20, "{}", drill[0].count);
    let found = offered(&text);
    assert_eq!(found[0].0.check, Check::DrillFit);
}

/// Corners of twelve-sided openings turn by just 30 degrees, which a blade follows; how the piece is turned changes nothing.
#[test]
fn a_turn_of_just_thirty_degrees_is_no_corner_however_it_lies() {
    let corners = |more: &str| {
        let outline = "shape = \"circle\"\ndiameter = 60\nborder = 3";
        let pattern = format!(
            "name = \"twelve-sided-and-star\"\npitch = 12\nbridge = 1.3\nat_border = \"whole\"\n{more}"
        );
        let work = done(&job(&plate("practised", 0.8, outline, &pattern, "")));
        work.piece.openings.iter().map(|o| o.corners).sum::<usize>()
    };
    let upright = corners("turn = 0");
    assert!(upright > 0);
    assert_eq!(upright, corners("turn = 10"));
    // Rounded by a hair is not rounded.
    assert_eq!(upright, corners("corner_radius = 0.001"));
}

/// A disc of 18 mm with the pitch of a large one: one opening is not openwork, and says so.
#[test]
fn a_piece_with_one_opening_is_told_of() {
    let text = disc(&[("outline.diameter", "14"), ("pattern.pitch", "9")], "");
    let work = done(&job(&text));
    assert_eq!(work.piece.openings.len(), 1);
    let fit = of(&work, Check::BorderFit)[0];
    assert_eq!(fit.level, Level::Caution);
    assert!(fit.says(LengthUnit::Mm).contains("only 1 opening"), "{}", fit.says(LengthUnit::Mm));
    assert_eq!(of(&done(&job(DISC)), Check::BorderFit)[0].level, Level::Good);
}

/// The disc came out 0.4 mm small: the border is 0.2 mm narrower than it should be. Sawn is sawn.
#[test]
fn once_sawn_nothing_is_asked_that_can_no_longer_be_done() {
    let text = disc(
        &[("outline.border", "2.2"), ("outline.diameter", "30"), ("limits.border", "2.0")],
        "[measured]\noutline = 29.4\n",
    );
    let (job, work) = (job(&text), done(&job(&text)));
    assert!(of(&work, Check::BorderWidth)[0].level == Level::Caution, "{:?}", of(&work, Check::BorderWidth));
    for v in with_remedies(&job, &work).iter().filter(|v| v.level.is_fault()) {
        assert!(v.level == Level::Caution && v.remedy.is_none(), "{v:?}");
        assert!(v.no_remedy.starts_with("it is sawn: "), "{}", v.no_remedy);
    }
}

/// Whoever types inches reads inches, in the sentence, the rule and the remedy.
#[test]
fn inch_jobs_read_inches() {
    let text = "units = \"in\"\nskill = \"practised\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.036\n[outline]\nshape = \"circle\"\n\
                diameter = 1.5\nborder = 0.1\n[pattern]\nname = \"hexagon\"\npitch = 0.2\nbridge = 0.035\n[[hole]]\ndiameter = 0.06\nat = [0, 0.66]\n\
                [saw]\nframe_depth = 3\n";
    let (job, work) = (job(text), done(&job(text)));
    let all = with_remedies(&job, &work);
    assert!(all.iter().any(|v| v.level == Level::Stop) && all.iter().any(|v| v.remedy.is_some()));
    let mut inches = 0;
    for v in &all {
        for said in [v.says(job.units), v.because(job.units), v.remedy.clone().unwrap_or_default()] {
            // The packet of a blade or a rule of thumb may be quoted in its own unit.
            assert!(!said.contains(" mm"), "{}: {said}", v.check);
            inches += usize::from(said.contains(" in"));
        }
    }
    assert!(inches > 8, "{inches}");
}

/// Half the metal inside a C-shaped window hangs by the one bridge in the C's opening.
#[test]
fn a_part_that_hangs_by_one_bridge_is_told_of() {
    let (c, s) = ((1.0f64 - 0.04).sqrt(), 0.2);
    let d = format!(
        "M {} {} A 7 7 0 1 0 {} {} L {} {} A 5 5 0 1 1 {} {} Z",
        7.0 * c,
        -7.0 * s,
        7.0 * c,
        7.0 * s,
        5.0 * c,
        5.0 * s,
        5.0 * c,
        -5.0 * s
    );
    let window =
        format!("[[window]]\nname = \"c\"\nshape = \"drawn\"\nd = \"{d}\"\nat = [0, 0]\nborder = 1.2\n");
    let walled = job(&disc(&[], &window));
    let work = done(&walled);
    let held = of(&work, Check::HeldByOne)[0];
    assert_eq!((held.level, held.count), (Level::Caution, 1), "{held:?}");
    // 2 mm of neck as drawn, a tenth off each side.
    assert!((held.measured.expect("a width").value() - 1.8).abs() < 0.03, "{held:?}");
    let json = plan_json(&walled, &work, 1, true);
    let parts = json["bridges"]["held_by_one"].as_array().expect("parts");
    assert!(parts.len() == 1 && parts[0]["inside"] == "W1", "{parts:?}");
    let width = parts[0]["finished_mm"].as_f64().expect("a width");
    assert!((width - held.measured.expect("a width").value()).abs() < 1e-3, "{width}");
    assert_eq!(of(&done(&job(DISC)), Check::HeldByOne)[0].level, Level::Good);
}

/// Foil of a tenth of a millimetre asks for pitches of hundreds of thousands of openings: they are not worked out.
#[test]
fn remedies_are_paid_for_by_the_piece_they_try() {
    let ear = "[[lug]]\nat_angle = 90\nwidth = 4.6\nheight = 3.4\nhole = 1.2\n[saw]\nblade = \"6/0\"\ndrill = 0.6\n";
    let outline = "shape = \"ellipse\"\nwidth = 17\nheight = 34\nborder = 1.5";
    let pattern = "name = \"hexagon\"\npitch = 3.6\nbridge = 0.8\nturn = 90\ncentre = \"best\"";
    let text = plate("fine-work", 0.1, outline, pattern, ear);
    let (job, work) = (job(&text), done(&job(&text)));
    let mut remedies = Remedies::new(&job, &work);
    let mut steps = 0;
    while remedies.step() {
        steps += 1;
    }
    assert!(remedies.spent() <= 40_000, "{} openings in {steps} steps", remedies.spent());
    let strength = remedies.verdicts().into_iter().find(|v| v.check == Check::BridgeStrength);
    assert!(strength.is_some_and(|v| v.level == Level::Caution));
}

/// Found on a plate of stars and crosses that took a minute: each try of a fitted piece was charged as if it had been cut.
#[test]
fn remedies_of_fitted_pieces_are_paid_for_by_what_is_bent() {
    let outline = "shape = \"rectangle\"\nwidth = 90\nheight = 45\nborder = 2.5";
    let pattern = "name = \"star-and-cross\"\npitch = 9\nbridge = 1.3";
    let text = plate("practised", 0.9, outline, pattern, "[limits]\nopening = 4\n");
    let (job, work) = (job(&text), done(&job(&text)));
    let border = work.piece.resolved.border.as_ref().expect("it is to be fitted");
    assert!((1..700_000).contains(&border.bent), "{}", border.bent);
    let mut remedies = Remedies::new(&job, &work);
    let mut tried = 0;
    while remedies.step() {
        tried += 1;
    }
    // What the last of them took is known only when it is done.
    assert!(tried > 0 && remedies.spent() <= 80_000, "{} openings in {tried} steps", remedies.spent());
}

/// Every stop gets its tries, however many cautions come before it in the order of the bench.
#[test]
fn stops_are_tried_first_and_every_verdict_twice() {
    let text = disc(&[("pattern.bridge", "0.9"), ("sheet.temper", "\"soft\""), ("limits.opening", "6")], "");
    let (job, work) = (job(&text), done(&job(&text)));
    let faults = work.verdicts.iter().filter(|v| v.level.is_fault()).count();
    assert!(faults >= 3 && work.verdicts.iter().any(|v| v.level == Level::Stop), "{faults}");
    let mut remedies = Remedies::new(&job, &work);
    assert!(remedies.step() && remedies.step());
    let (first, _) = remedies.found().first().map(|(i, c)| (*i, c.to_vec())).expect("the stop's remedy");
    assert_eq!(work.verdicts[first].level, Level::Stop);
    // Abandoned here, what was found stands.
    assert_eq!(remedies.verdicts().iter().filter(|v| v.remedy.is_some()).count(), 1);
}

/// A neck that no file passes counts as much as an opening that is too small.
#[test]
fn necks_are_files_business_too() {
    // A dumb-bell: two rooms of 5 mm joined by a neck of 0.7 mm.
    let d = "M -6 -2.5 L -1 -2.5 L -1 -0.35 L 1 -0.35 L 1 -2.5 L 6 -2.5 L 6 2.5 L 1 2.5 L 1 0.35 L -1 0.35 L -1 2.5 L -6 2.5 Z";
    let ring = sawpierce::geom::rings_of_svg(d).expect("a ring").remove(0);
    let across = sawpierce::checks::narrowest_neck(&ring, (-3.5, 0.0).into()).expect("a neck").0;
    assert!((across - 0.7).abs() < 0.02, "{across}");
}

/// The plan as JSON has each verdict's count and unit, and says of a check that was not made that it was not.
#[test]
fn verdicts_stand_in_the_plan_with_count_and_unit() {
    let (job, work) = (job(DISC), done(&job(DISC)));
    let plan = plan_json(&job, &work, 1, false);
    assert_eq!(plan["schema"], 2);
    let verdicts = plan["verdicts"].as_array().expect("a list");
    assert_eq!(verdicts.len(), work.verdicts.len());
    let frame = verdicts.iter().find(|v| v["check"] == "frame-reach").expect("frame-reach");
    assert_eq!((&frame["level"], &frame["count"]), (&"unchecked".into(), &0.into()));
    let thin = job_of_thin();
    let plan = plan_json(&thin, &done(&thin), 1, false);
    let verdicts = plan["verdicts"].as_array().expect("a list");
    let bridge = verdicts.iter().find(|v| v["check"] == "bridge-width").expect("bridge-width");
    assert_eq!((&bridge["level"], &bridge["unit"]), (&"stop".into(), &"mm".into()));
    assert!(bridge["count"].as_u64().is_some_and(|n| n > 10), "{bridge}");
}

fn job_of_thin() -> sawpierce::job::Job {
    job(&disc(&[("pattern.bridge", "0.9")], ""))
}

/// Numbers without a name do not pass: every measured quantity has a unit of its own.
#[test]
fn quantities_have_units() {
    for (quantity, unit) in [
        (Quantity::Length(1.0), "mm"),
        (Quantity::Heat(1.0), "C"),
        (Quantity::Stress(1.0), "MPa"),
        (Quantity::Count(1.0, "bits"), "bits"),
    ] {
        assert_eq!((quantity.value(), quantity.unit()), (1.0, unit));
    }
    assert_eq!(in_words(&job(DISC), &[Change::Pitch(Mm(6.4))]), "pitch 6.40 mm");
}

/// Found on a plate of whole repeats round a window: a repeat left solid has its middle in the window, and the window itself
/// was called a heavy patch.
#[test]
fn a_window_is_no_unpierced_patch() {
    let outline = "shape = \"rectangle\"\nwidth = 60\nheight = 60\ncorner_radius = 4\nborder = 3";
    let window =
        "[[window]]\nname = \"light\"\nshape = \"circle\"\ndiameter = 8\nat = [-9, -4]\nborder = 1.5\n";
    for (name, turn) in [("hexagon", 0), ("kites", 31), ("square", 13), ("triangle", 0)] {
        let pattern =
            format!("at_border = \"whole\"\nname = \"{name}\"\nturn = {turn}\npitch = 6.3\nbridge = 0.9");
        let work = done(&job(&plate("fine-work", 0.8, outline, &pattern, window)));
        for patch in of(&work, Check::SolidPatch) {
            let off = patch.at.map(|at| (at - sawpierce::geom::Point::new(-9.0, -4.0)).hypot());
            assert!(off.is_none_or(|off| off > 4.0), "{name}: {patch:?}");
        }
    }
}
