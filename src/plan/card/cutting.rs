//! The card from the sheet to the pierced plate.

use super::super::measured::Measured;
use super::super::order::Cut;
use super::super::quote::{hours, over_all, pieces};
use super::super::saw::drill_size;
use super::super::{Plan, Weights};
use super::safety::{dust, onto_metal, FIRST};
use super::{CardSection, CardStep, Hazard, Row, TableCell};
use crate::checks::{Bridge, BridgeGraph, Side};
use crate::job::{LengthUnit, Temper};
use crate::trade::{models, nearest_gauge, Gauge};
use crate::units::plain;

/// Thinnest bridges named on the card.
const THINNEST: usize = 3;
/// Bridges whose widths agree to this are one, mm: far over rounding, far below what is printed.
const ALIKE: f64 = 1e-9;

fn grams(g: f64) -> String {
    format!("{} g", plain(g, 2))
}

pub(super) fn piece(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Piece);
    s.caution(FIRST);
    let metal = &bench.job.sheet.metal;
    let temper = match bench.job.sheet.temper {
        Temper::Soft => "soft",
        Temper::HalfHard => "half-hard",
    };
    s.fact("metal", format!("{}, {temper}", metal.title));
    if bench.pieces > 1 {
        s.fact("how many", pieces(bench));
    }
    let nearest = |g: &Gauge| format!(" (nearest: {} ga = {})", g.name, bench.mm(g.mm));
    let gauge = nearest_gauge(bench.thickness).map_or(String::new(), nearest);
    let thickness = format!("{}{gauge}", bench.mm(bench.thickness));
    let planned = bench.job.sheet.thickness.get();
    if (planned - bench.thickness).abs() >= 0.005 {
        s.changed("thickness", bench.mm(planned), thickness, None);
    } else {
        s.fact("thickness", thickness);
    }
    size(&mut s, bench, plan);
    let removed = 1.0 - bench.metal_area() / bench.edge_area;
    s.fact(
        "openings",
        format!("{}; {} % of the metal taken out", bench.piece.openings.len(), plain(100.0 * removed, 0)),
    );
    weight(&mut s, plan);
    s.fact(
        "margin for the hand",
        format!("{} a side, beyond the line", bench.mm(bench.job.saw.clean_up.get())),
    );
    for note in &bench.piece.resolved.notes {
        s.note(note.clone());
    }
    if let Some(care) = &metal.care {
        s.caution(care.trim_end_matches('.'));
    }
    s
}

/// One size: the drawn one, or the measured one in its place; and the finished piece's where it is another.
fn size(s: &mut CardSection, bench: &Measured, plan: &Plan) {
    let (width, height) = bench.piece.outline.size;
    let (drawn, now) = ((width.get(), height.get()), bench.size);
    let off = ((drawn.0 - now.0) / 2.0, (drawn.1 - now.1) / 2.0);
    let label = if bench.domed.is_some() { "size of the flat" } else { "size" };
    if off.0.abs().max(off.1.abs()) >= 0.0025 {
        s.changed(label, over_all(bench, drawn), over_all(bench, now), None);
        let border = bench.piece.outline.border.get();
        let lost = if off.0.abs() > off.1.abs() { off.0 } else { off.1 };
        let sign = if lost < 0.0 { "+" } else { "−" };
        let sum = format!("{} {sign} {} each side", bench.number(border), bench.number(lost.abs()));
        s.changed("border", bench.mm(border), bench.mm(border - lost), Some(sum));
    } else {
        s.fact(label, over_all(bench, now));
    }
    let built = plan.built.size;
    if (built.0 - now.0).abs().max((built.1 - now.1).abs()) >= 0.005 {
        let what = match (bench.piece.outline.seam.is_some(), bench.domed.is_some()) {
            (true, _) => "overall size, bent round",
            (_, true) => "overall size, domed, about",
            _ => "overall size, all of it",
        };
        s.fact(what, over_all(bench, built));
    }
}

fn weight(s: &mut CardSection, plan: &Plan) {
    let now = plan.weights;
    let less = format!("up to {} less where the file runs over", grams(now.overrun));
    let mut row = |label: &str, of: fn(&Weights) -> f64, sum: Option<String>| {
        let value = of(&now);
        match plan.weights_planned.map(|w| of(&w)).filter(|was| (value - was).abs() >= 0.005) {
            Some(was) => s.changed(label, grams(was), grams(value), sum),
            None => s.rows.push(Row::Fact { label: label.into(), value: grams(value), sum }),
        }
    };
    row("openwork", |w| w.piece, Some(less));
    let sum = format!("{} + {} + {}", plain(now.piece, 2), plain(now.scrap, 2), plain(now.filings, 2));
    row("blank it is sawn from", |w| w.blank, Some(sum));
    row("scrap", |w| w.scrap, None);
    row("filings", |w| w.filings, None);
    if plan.built.is_more() {
        s.summed("the piece as built", grams(plan.built.finished()), plan.built.sum());
    }
}

pub(super) fn sheet(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Sheet);
    let Some(buying) = &plan.buying else { return s };
    s.summed("sheet to cut from", format!("{} g", plain(buying.taken, 1)), buying.sum(bench.job.units));
    for note in buying.stock_notes(bench.job.units) {
        s.note(note);
    }
    if plan.built.is_more() {
        let all = format!("{} g", plain(plan.batch.metal_in, 1));
        s.fact("metal for the whole job, strips and wire too", all);
    }
    if let Some(price) = plan.batch.metal_price {
        s.fact("that metal at the price typed", plain(price, 2));
    }
    s.measure("thickness at five places, the thinnest", bench.mm(bench.thickness));
    let metal = &bench.job.sheet.metal;
    if metal.solder_family == "silver" || metal.solder_family.starts_with("gold") {
        let ((w, h), units) = (buying.blank, bench.job.units);
        let own = super::super::ingot(metal, w.max(h), w.min(h), bench.thickness);
        s.longer(|s| {
            s.note(format!(
                "rolling your own, for one: {} g of clean scrap, no solder in it; pour {} × {} × {}, roll across to {}, turn, roll to {}; anneal {} times",
                plain(own.pour, 1),
                units.plain(own.ingot[0], 0),
                units.plain(own.ingot[1], 1),
                units.says(own.ingot[2], 0),
                units.says(own.turn_at, 1),
                bench.mm(bench.thickness),
                own.anneals
            ));
            s.hazard(Hazard::Pour);
            s.hazard(Hazard::Roll);
            s.hazard(Hazard::Anneal);
        });
    }
    s
}

pub(super) fn paper(bench: &Measured) -> CardSection {
    let mut s = CardSection::new(CardStep::Paper);
    let bar = match bench.job.units {
        LengthUnit::Mm => "100.0 mm".to_string(),
        inch => format!("100.0 mm ({})", inch.says(100.0, 1)),
    };
    s.measure("printed bar across", bar.clone());
    s.measure("printed bar up", bar);
    s.tick("bars checked before it goes onto the metal");
    let mut words = onto_metal(bench.job.paper.transfer).iter();
    words.next().into_iter().for_each(|how| s.note(*how));
    words.for_each(|care| s.caution(*care));
    s.tick("square to the sheet, 20 mm bar measured again on the metal");
    s
}

pub(super) fn drill(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Drill);
    if plan.drills.is_empty() {
        return s;
    }
    let rows = plan
        .drills
        .iter()
        .map(|d| {
            [
                drill_size(bench.job.units, d.diameter),
                d.holes.to_string(),
                d.what().to_string(),
                format!("{} to {}", round_hundred(d.speed[0]), round_hundred(d.speed[1])),
                d.spares.to_string(),
            ]
            .map(TableCell::from)
            .into()
        })
        .collect();
    s.rows.push(Row::Table {
        head: ["drill", "holes each", "for", "rpm (estimate)", "have ready"].map(String::from).into(),
        rows,
    });
    s.note("punch in the waste on a steel block, drill everything while the sheet is whole and flat, wax or oil on the drill");
    if bench.stack() > 1 {
        s.note(format!(
            "{} sheets stuck together: touch each mark with a small ball bur instead of the punch, so that they do not slip",
            bench.stack()
        ));
    }
    s.tick("all holes drilled");
    s.tick("de-burred on both faces: a drill about four times the hole, turned in the fingers");
    s.hazard(Hazard::Drill);
    s.longer(|s| {
        s.note("one drill size for all start holes; finished holes have their own");
        s.note("too fast is the commonest fault; lift out to clear the chips");
    });
    s
}

fn round_hundred(turns: f64) -> String {
    plain((turns / 100.0).round() * 100.0, 0)
}

pub(super) fn saw(bench: &Measured, graph: &BridgeGraph, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Saw);
    let (blade, units) = (&bench.job.saw.blade, bench.job.units);
    s.fact(
        "blade",
        format!(
            "{}, cut {} wide; {} teeth in the sheet",
            blade.name,
            bench.mm(blade.kerf),
            plain(plan.saw.teeth, 1)
        ),
    );
    s.fact(
        "blades to have ready",
        format!("about {}, {} to be safe", plain(plan.blades.likely.ceil(), 0), plain(plan.blades.high, 0)),
    );
    s.fact("threadings", plan.saw.threadings.to_string());
    s.summed(
        "line to saw",
        units.says(plan.saw.length(), 0),
        format!(
            "openings {} + windows {} + outer edge {}",
            units.plain(plan.saw.openings, 1),
            units.plain(plan.saw.windows, 1),
            units.plain(plan.saw.outline, 1)
        ),
    );
    s.fact("sharp corners", plan.saw.corners.to_string());
    s.fact("time at drill and saw", hours(plan.time.saw));
    order(&mut s, plan);
    s.note("line in the waste: file until it is gone, and the size is right");
    let back_out = plan.order.iter().map(|t| t.left_for_file).reduce(f64::max).filter(|w| *w > 0.05);
    if let Some(worst) = back_out {
        s.note(format!(
            "sharp corners: saw in, back out, come from the other side; up to {} stays for the file",
            bench.mm(worst)
        ));
    }
    thinnest(&mut s, bench, graph);
    s.tick("all openings sawn");
    s.hazard(Hazard::Saw);
    dust(&bench.job.sheet.metal).into_iter().for_each(|dust| s.caution(dust));
    s.longer(|s| {
        s.note("teeth point down and away from the frame; pattern side up");
        s.note(format!(
            "support the sheet on the pin within about {} of the cut; rest the hands",
            units.says(6.0, 0)
        ));
        s.note(format!(
            "curves tighter than about {}: turn on the spot or back out",
            units.says(models::tightest_curve(blade), 1)
        ));
    });
    s
}

/// The thinnest bridges and the thinnest border, those of one width told together.
fn thinnest(s: &mut CardSection, bench: &Measured, graph: &BridgeGraph) {
    let border = |b: &Bridge| b.between.contains(&Side::Edge);
    let kind = |b: &Bridge| (border(b), bench.mm(b.width.get()), bench.number(b.finished.get()));
    // Bridges of one pattern are alike to the last digits: their words are not worked out again.
    let alike = |a: &Bridge, b: &Bridge| {
        border(a) == border(b)
            && (a.width.get() - b.width.get()).abs() < ALIKE
            && (a.finished.get() - b.finished.get()).abs() < ALIKE
    };
    let mut left = graph.kinds().peekable();
    for _ in 0..THINNEST {
        let Some((first, mut count)) = left.next() else { break };
        let mut last = first;
        while let Some((next, times)) = left.next_if(|(b, _)| alike(&last, b) || kind(&last) == kind(b)) {
            (last, count) = (next, count + times);
        }
        let (border, width, finished) = kind(&first);
        let value = format!("{finished} if filed over both sides");
        let counted = match (border, count) {
            (true, 1) => format!("border of {width}, 1 place"),
            (true, n) => format!("border of {width}, {n} places"),
            (false, 1) => format!("1 bridge of {width}"),
            (false, n) => format!("{n} bridges of {width}"),
        };
        if count > 1 {
            s.fact(counted, value);
        } else {
            let sides = first.between.each_ref().map(|side| side.short());
            let between = format!("{width} between {}", sides.join(" and "));
            s.numbered([between, value.clone()], [counted, value], None);
        }
    }
}

/// The order: as the openings are numbered, then the windows.
fn order(s: &mut CardSection, plan: &Plan) {
    let openings = plan.order.iter().filter(|t| matches!(t.cut, Cut::Opening(_))).count();
    let windows: Vec<String> = plan
        .order
        .iter()
        .filter_map(|t| match t.cut {
            Cut::Window(w) => Some(format!("W{w}")),
            _ => None,
        })
        .collect();
    if openings + windows.len() == 0 {
        return;
    }
    let last = "outer edge last".to_string();
    let numbered = match openings {
        0 => None,
        1 => Some("1".to_string()),
        n => Some(format!("1 to {n}, as numbered")),
    };
    let unnumbered = (openings > 0).then(|| "from the middle outwards in short moves".to_string());
    let told = |openings: Option<String>| {
        let runs = openings.into_iter().chain(windows.iter().cloned()).chain([last.clone()]);
        ["order of piercing".to_string(), runs.collect::<Vec<_>>().join(", ")]
    };
    let way = if plan.order.first().is_some_and(|t| t.clockwise) { "clockwise" } else { "anticlockwise" };
    s.numbered(told(numbered), told(unnumbered), Some(format!("each {way}, starting at the dot")));
}

/// Numbers in rising order, runs of three and more told by their ends: "1 to 12, 15, 20 to 31".
fn runs(numbers: &[usize]) -> String {
    let runs = numbers.chunk_by(|a, b| a + 1 == *b);
    let said = runs.flat_map(|run| match run {
        [first, _, .., last] => vec![format!("{first} to {last}")],
        few => few.iter().map(usize::to_string).collect(),
    });
    said.collect::<Vec<_>>().join(", ")
}

pub(super) fn file(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::File);
    // Every opening is in one of the lists: the longest need not be read out.
    let longest = plan.files.iter().map(|u| u.openings.len()).max().unwrap_or(0);
    let others = plan.files.iter().rposition(|u| u.openings.len() == longest);
    for (i, use_) in plan.files.iter().enumerate() {
        let count = use_.openings.len();
        let label = format!("{} ({count})", use_.file);
        let value = match Some(i) == others {
            true if count == bench.piece.openings.len() => "all of them".to_string(),
            true => "all the others".to_string(),
            false => runs(&use_.openings),
        };
        let counted = if count == 1 { "1 opening".to_string() } else { format!("{count} openings") };
        s.numbered([label, value], [use_.file.to_string(), counted], None);
    }
    if plan.files.is_empty() {
        return s;
    }
    s.fact("time for filing", format!("about {} min (estimate)", plain(plan.time.filing, 0)));
    s.tick("edges drawn over with a fingertip: nothing catches");
    s.hazard(Hazard::File);
    dust(&bench.job.sheet.metal).into_iter().for_each(|dust| s.caution(dust));
    s.longer(|s| s.note("the bridges are what is left: look at both edges of each before the next stroke"));
    s
}

pub(super) fn edge(bench: &Measured) -> CardSection {
    let mut s = CardSection::new(CardStep::Edge);
    s.tick("outer edge sawn last, just outside the line");
    let (width, height) = bench.piece.outline.size;
    let what = if bench.domed.is_some() { "the flat, " } else { "" };
    match bench.across {
        // Where an ear stands, or opposite it, a caliper does not find the disc itself.
        Some(_) if !bench.job.lugs.is_empty() => {
            for place in ["across, clear of the lugs", "again, on a slant", "again, on the other slant"] {
                s.measure(format!("{what}{place}"), bench.mm(width.get()));
            }
        }
        Some(_) => {
            for place in ["across, 12 to 6", "across, 3 to 9", "across, one slant", "across, other slant"] {
                s.measure(format!("{what}{place}"), bench.mm(width.get()));
            }
        }
        None => {
            let lugs = if bench.job.lugs.is_empty() { "" } else { ", without the lugs" };
            s.measure(format!("{what}width{lugs}"), bench.mm(width.get()));
            s.measure(format!("{what}height{lugs}"), bench.mm(height.get()));
        }
    }
    if !bench.job.lugs.is_empty() {
        s.fact("over the lugs", bench.job.units.size(bench.over_all, 2));
    }
    s.note("not as planned? type it under [measured] and print again: strip, back plate and weights follow");
    s.hazard(Hazard::Edge);
    s
}
