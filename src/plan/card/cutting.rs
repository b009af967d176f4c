//! The card from the sheet to the pierced plate.

use super::super::bench::Bench;
use super::super::order::Cut;
use super::super::quote::hours;
use super::super::{Plan, Turn};
use super::{Row, Section, FIRST};
use crate::checks::BridgeGraph;
use crate::job::{Temper, Transfer};
use crate::trade::{models, nearest_gauge};
use crate::units::{plain, short};

/// Thinnest bridges named on the card.
const THINNEST: usize = 5;
/// Longest list of numbers printed in full; past it the numbers on the pattern say the order.
const NUMBERS: usize = 240;

pub(super) fn piece(bench: &Bench, plan: &Plan) -> Section {
    let mut s = Section::new("The piece");
    s.caution(FIRST);
    let metal = &bench.job.sheet.metal;
    let gauge = nearest_gauge(bench.thickness).map_or(String::new(), |g| format!(" (nearest: {})", g.title));
    let temper = match bench.job.sheet.temper {
        Temper::Soft => "soft",
        Temper::HalfHard => "half-hard",
    };
    s.fact("metal", format!("{}, {temper}", metal.title));
    let thickness = format!("{} mm{gauge}", plain(bench.thickness, 2));
    let planned = bench.job.sheet.thickness.get();
    if (planned - bench.thickness).abs() >= 0.005 {
        s.changed("thickness", format!("{} mm", plain(planned, 2)), thickness, None);
    } else {
        s.fact("thickness", thickness);
    }
    let (width, height) = bench.piece.outline.size;
    let now = (bench.size.0, bench.size.1);
    let show = |w: f64, h: f64| match bench.across {
        Some(_) => format!("{} mm across", plain(w, 2)),
        None => format!("{} × {} mm", plain(w, 2), plain(h, 2)),
    };
    if (now.0 - width.get()).abs() >= 0.005 || (now.1 - height.get()).abs() >= 0.005 {
        s.changed("size over all", show(width.get(), height.get()), show(now.0, now.1), None);
        let lost = ((width.get() - now.0) / 2.0).max((height.get() - now.1) / 2.0);
        let border = bench.piece.outline.border.get();
        s.changed(
            "border",
            format!("{} mm", plain(border, 2)),
            format!("{} mm", plain(border - lost, 2)),
            Some(format!("{} − {} each side", plain(border, 2), plain(lost, 2))),
        );
    } else {
        let clean_up = bench.job.saw.clean_up.get();
        s.fact("size over all, as drawn", show(now.0, now.1));
        s.fact(
            "size over all, after clean-up",
            format!("about {}", show(now.0 - 2.0 * clean_up, now.1 - 2.0 * clean_up)),
        );
    }
    let removed = 1.0 - bench.metal_area() / bench.edge_area;
    s.fact("openings", bench.piece.openings.len().to_string());
    s.fact("metal taken out", format!("{} %", plain(100.0 * removed, 0)));
    weight(&mut s, plan);
    for note in &bench.piece.resolved.notes {
        s.note(note.clone());
    }
    if let Some(care) = &metal.care {
        s.caution(care.clone());
    }
    s
}

fn weight(s: &mut Section, plan: &Plan) {
    let grams = |g: f64| format!("{} g", plain(g, 2));
    let now = plan.weights;
    let rows = |w: &super::super::Weights| {
        [
            ("finished plate", w.piece),
            ("blank it is sawn from", w.blank),
            ("scrap", w.scrap),
            ("filings", w.filings),
        ]
    };
    let before = plan.weights_planned.unwrap_or(now);
    for ((label, value), (_, was)) in rows(&now).into_iter().zip(rows(&before)) {
        let sum = (label == "blank it is sawn from").then(|| {
            format!("{} + {} + {}", plain(now.piece, 2), plain(now.scrap, 2), plain(now.filings, 2))
        });
        if (value - was).abs() >= 0.005 {
            s.changed(label, grams(was), grams(value), sum);
        } else {
            s.rows.push(Row::Fact { label: label.into(), value: grams(value), sum });
        }
    }
}

pub(super) fn sheet(bench: &Bench, plan: &Plan) -> Section {
    let mut s = Section::new("The sheet");
    let Some(buying) = &plan.buying else { return s };
    s.fact("one blank", format!("{} × {} mm", plain(buying.blank.0, 1), plain(buying.blank.1, 1)));
    for note in &buying.notes {
        s.note(note.clone());
    }
    s.fact("metal for the whole job", format!("{} g", plain(plan.batch.metal_in, 1)));
    if let Some(price) = buying.price {
        s.fact("that sheet at the price typed", plain(price, 2));
    }
    let (w, h) = buying.blank;
    let own = super::super::ingot(&bench.job.sheet.metal, w.max(h), w.min(h), bench.thickness);
    if bench.job.sheet.metal.solder_family != "none" && bench.pieces == 1 {
        s.note(format!(
            "rolling your own: {} g of clean scrap, no solder in it; pour {} × {} × {} mm, roll across to {} mm, turn, roll to {} mm; anneal {} times",
            plain(own.pour, 1),
            plain(own.ingot[0], 0),
            plain(own.ingot[1], 1),
            plain(own.ingot[2], 0),
            plain(own.turn_at, 1),
            plain(bench.thickness, 2),
            own.anneals
        ));
    }
    s.measure("thickness at five places, the thinnest", format!("{} mm", plain(bench.thickness, 2)));
    s
}

pub(super) fn paper(bench: &Bench) -> Section {
    let mut s = Section::new("Paper on the metal");
    s.measure("printed bar across", "100.0 mm");
    s.measure("printed bar up", "100.0 mm");
    s.tick("bar checked before sticking: if it is not 100.0, type what it measures and print again");
    match bench.job.paper.transfer {
        Transfer::Label => {
            s.note("label paper: clean the metal, rub down from the middle, no bubble under a bridge")
        }
        Transfer::Glue => {
            s.note("glue: both faces thin, let it go tacky; wet glue makes paper grow, so measure the small bar again");
            s.caution("solvent glue: open window, and away from any flame until it is dry");
        }
        Transfer::Carbon => {
            s.note("carbon paper: tape both down at one edge, trace with a hard point, then scribe")
        }
        Transfer::RubDown => s.note("rub-down: the print must be mirrored; check that it says MIRRORED"),
    }
    s.tick("stuck down, square to the sheet");
    s.tick("20 mm bar inside the pattern measured again on the metal");
    s.note("inkjet runs: cover it with clear tape");
    s.caution("do not burn the paper off indoors: soak or peel it before any heat");
    s
}

pub(super) fn drill(bench: &Bench, plan: &Plan) -> Section {
    let mut s = Section::new("Punch and drill");
    if plan.drills.is_empty() {
        return s;
    }
    s.note(
        "punch every mark on a steel block, in the waste; drill everything while the sheet is whole and flat",
    );
    let stacked = bench.stack() > 1;
    if stacked {
        s.note(format!(
            "{} sheets stuck together: touch each mark with a small ball bur instead of the punch, so that they do not slip",
            bench.stack()
        ));
    }
    let rows = plan
        .drills
        .iter()
        .map(|d| {
            vec![
                format!("{} mm", short(d.diameter, 3)),
                d.holes.to_string(),
                d.what.clone(),
                format!("{} to {}", round_hundred(d.speed[0]), round_hundred(d.speed[1])),
                d.spares.to_string(),
            ]
        })
        .collect();
    s.rows.push(Row::Table {
        head: ["drill", "holes each", "for", "turns a minute", "have ready"].map(String::from).into(),
        rows,
    });
    s.note("one start drill for every opening; the holes that stay have their own");
    s.note("too fast is the commonest fault: wax or oil, and lift out to clear the chips");
    s.tick("all holes drilled");
    s.tick("de-burred on both faces: a drill about four times the hole, turned in the fingers");
    s.caution("glasses on; hair and cord tied back; no gloves at a drill");
    s.caution("clamp the sheet: one caught by a drill spins like a propeller");
    s
}

fn round_hundred(turns: f64) -> String {
    plain((turns / 100.0).round() * 100.0, 0)
}

pub(super) fn saw(bench: &Bench, graph: &BridgeGraph, plan: &Plan) -> Section {
    let mut s = Section::new("Saw the openings");
    let blade = &bench.job.saw.blade;
    s.fact(
        "blade",
        format!(
            "{}, cut {} mm wide; {} teeth in the sheet",
            blade.name,
            plain(blade.kerf, 2),
            plain(plan.saw.teeth, 1)
        ),
    );
    s.fact("threadings", plan.saw.threadings.to_string());
    s.summed(
        "line to saw",
        format!("{} mm", plain(plan.saw.length(), 0)),
        format!(
            "openings {} + windows {} + outer edge {}",
            plain(plan.saw.openings, 1),
            plain(plan.saw.windows, 1),
            plain(plan.saw.outline, 1)
        ),
    );
    s.fact("sharp corners", plan.saw.corners.to_string());
    s.fact("time", hours(plan.time.saw));
    s.fact(
        "blades to have ready",
        format!("about {}, {} to be safe", plain(plan.blades.likely.ceil(), 0), plain(plan.blades.high, 0)),
    );
    s.note("teeth point down and away from the frame; pattern side up; line in the waste: file until the line is gone");
    s.note("support the sheet on the pin within about 6 mm of the cut");
    order(&mut s, plan);
    s.note(format!(
        "curves tighter than about {} mm: turn on the spot or back out",
        plain(models::tightest_curve(blade), 1)
    ));
    if let Some(worst) = plan.order.iter().map(|t| t.left_for_file).reduce(f64::max).filter(|w| *w > 0.05) {
        s.note(format!(
            "sharp corners: saw in, back out, come from the other side; up to {} mm stays for the file",
            plain(worst, 2)
        ));
    }
    for bridge in graph.bridges.iter().take(THINNEST) {
        let side = |side| match side {
            crate::checks::Side::Opening(n) => n.to_string(),
            crate::checks::Side::Edge => "the edge".into(),
            crate::checks::Side::Window(w) => format!("W{w}"),
            crate::checks::Side::Hole(h) => format!("H{h}"),
        };
        s.fact(
            format!("thin: bridge between {} and {}", side(bridge.between[0]), side(bridge.between[1])),
            format!(
                "{} mm as drawn, {} after clean-up",
                plain(bridge.width.get(), 2),
                plain(bridge.finished.get(), 2)
            ),
        );
    }
    s.tick("all openings sawn");
    s.caution("blades snap and fly: glasses; fingers out of the line of the blade; rest the hands");
    dust(&mut s, bench);
    s
}

fn dust(s: &mut Section, bench: &Bench) {
    let metal = &bench.job.sheet.metal;
    if metal.name == "nickel-silver" {
        s.caution("nickel dust can set off an allergy: mask, and wash hands and bench");
    }
    s.caution("wipe dust up wet, never blow it; do not eat at the bench");
}

/// The order in runs of numbers, or in words when it is too long to print.
fn order(s: &mut Section, plan: &Plan) {
    let openings: Vec<String> = plan
        .order
        .iter()
        .filter_map(|t: &Turn| match t.cut {
            Cut::Opening(n) => Some(n.to_string()),
            Cut::Window(w) => Some(format!("W{w}")),
            Cut::Outline => None,
        })
        .collect();
    if openings.is_empty() {
        return;
    }
    let way = if plan.order.first().is_some_and(|t| t.clockwise) { "clockwise" } else { "anticlockwise" };
    s.note(format!(
        "saw each opening {way}, in at the marked corner; windows after the openings, outer edge last"
    ));
    if openings.len() <= NUMBERS {
        s.fact("order of piercing", openings.join(" "));
    } else {
        s.fact("order of piercing", "from the middle outwards, ring by ring, going round one way");
    }
}

pub(super) fn file(bench: &Bench, plan: &Plan) -> Section {
    let mut s = Section::new("File the openings");
    for use_ in &plan.files {
        let numbers = use_.openings.iter().take(40).map(usize::to_string).collect::<Vec<_>>().join(" ");
        let more = if use_.openings.len() > 40 { " ..." } else { "" };
        s.fact(format!("{} ({})", use_.file, use_.openings.len()), format!("{numbers}{more}"));
    }
    if !plan.files.is_empty() {
        s.fact("time for filing", format!("about {} min", plain(plan.time.filing, 0)));
        s.note("the bridges are what is left: look at both edges of each before the next stroke");
        s.caution("file dust: mask; keep copper and brass dust apart from silver filings");
        s.tick("edges drawn over with a fingertip: nothing catches");
    }
    if bench.job.sheet.metal.name == "titanium" || bench.job.sheet.metal.name == "niobium" {
        s.caution("filings burn: no sparks, no flame near them");
    }
    s
}

pub(super) fn outline(bench: &Bench) -> Section {
    let mut s = Section::new("Saw the outer edge and measure");
    s.tick("outer edge sawn last, just outside the line");
    match bench.across {
        Some(_) => {
            let planned = format!("{} mm", plain(bench.piece.outline.size.0.get(), 2));
            for place in ["across, 12 to 6", "across, 3 to 9", "across, one slant", "across, other slant"] {
                s.measure(place, planned.clone());
            }
        }
        None => {
            s.measure("width over all", format!("{} mm", plain(bench.piece.outline.size.0.get(), 2)));
            s.measure("height over all", format!("{} mm", plain(bench.piece.outline.size.1.get(), 2)));
        }
    }
    s.note("not as planned? type it under [measured] and print again: strip, back plate and weights follow");
    s.caution("fresh edges cut");
    s
}
