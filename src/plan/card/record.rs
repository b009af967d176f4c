//! The card's last pages: how it hangs, what was really found, the money.

use super::super::measured::Measured;
use super::super::quote::{hours, money, rate};
use super::super::Plan;
use super::{CardSection, CardStep};
use crate::checks::Finding;
use crate::units::plain;

pub(super) fn hang(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Hang);
    let Some(hang) = plan.hang.as_ref().filter(|_| bench.piece.outline.seam.is_none()) else { return s };
    let Some(hole) = &hang.hole else { return s };
    s.fact(
        "balance point, from the middle",
        format!(
            "{} across, {} up ({})",
            bench.number(hang.balance.x),
            bench.number(hang.balance.y),
            bench.job.units.sign()
        ),
    );
    if hang.two {
        s.note("it hangs from two holes at one height");
    } else {
        s.fact(format!("{} is off the hang line by", hole.name), bench.mm(hang.aside.abs()));
        if hang.aside.abs() >= 0.05 {
            s.note(Finding::from(hang.tilts(hole)).says(1, bench.job.units));
        }
    }
    if bench.job.pair {
        let units = bench.job.units;
        s.note(format!(
            "ear wires: {} or {} wire, about {} for each, bent alike and mirrored (estimate)",
            units.short(0.8, 1),
            units.says(0.9, 1),
            units.says(50.0, 0)
        ));
    }
    s
}

pub(super) fn record(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Record);
    s.measure("openwork, weighed", format!("{} g", plain(plan.weights.piece, 2)));
    if plan.built.is_more() {
        s.measure("the piece as built, weighed", format!("{} g", plain(plan.built.finished(), 2)));
    }
    s.measure("time at drill and saw, planned", hours(plan.time.saw));
    s.measure("blades used, planned", format!("about {}", plain(plan.blades.likely.ceil(), 0)));
    if bench.job.pair {
        s.measure("left and right differ by", "0.00 g, at most 0.05");
    }
    let metal = &bench.job.sheet.metal;
    if let (Some(fineness), Some(exempt)) = (metal.fineness, metal.exempt_g) {
        let grams = plan.built.finished();
        let (grams, exempt, is_exempt) = (plain(grams, 2), plain(exempt, 2), grams < exempt);
        let law = match is_exempt {
            true => format!("under the {exempt} g below which an article of this metal needs no UK hallmark"),
            false => format!("{exempt} g or more: sold in the UK under its metal's name it needs a hallmark"),
        };
        let each = if bench.job.pair { "; each of a pair is an article" } else { "" };
        s.note(format!(
            "mark {fineness}: this piece, {grams} g as built, is {law}{each}; confirm your own law"
        ));
    }
    s
}

/// Time and money: everything when a price or an hour is typed or several are made, else how the minutes are made up.
pub(super) fn maker(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Maker);
    if is_sold(bench) {
        s.lines(&plan.maker_page);
    } else {
        s.fact("time at drill, saw and file, with handling", hours(plan.batch.minutes));
        for used in &plan.time.rates {
            s.fact(used.what, rate(bench, used));
        }
    }
    s.note("soldering, setting and polishing are not in the time; it is an estimate until your own minutes are in it");
    if let Some(price) = plan.batch.price {
        s.note(format!(
            "the buyer's sheet says {}: findings, solder, setting and the shop's share are not in it; put them into per_hour, or write your own price over it",
            money(price)
        ));
    }
    s
}

/// Whether there is money to talk about.
fn is_sold(bench: &Measured) -> bool {
    let typed = |money: Option<f64>| money.is_some_and(|m| m > 0.0);
    bench.pieces > 2 || typed(bench.job.sheet.price_per_gram) || typed(bench.job.rates.per_hour)
}

pub(super) fn buyer(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Quote);
    if is_sold(bench) {
        s.lines(&plan.buyer_page);
    }
    s
}
