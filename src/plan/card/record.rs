//! The card's last pages: how it hangs, what was really found, the quote.

use super::super::bench::Bench;
use super::super::quote::hours;
use super::super::Plan;
use super::Section;
use crate::units::plain;

pub(super) fn hang(bench: &Bench, plan: &Plan) -> Section {
    let mut s = Section::new("How it hangs");
    let Some(hang) = plan.hang.as_ref().filter(|_| bench.piece.outline.seam.is_none()) else { return s };
    s.fact(
        "balance point, from the middle",
        format!("{} across, {} up (mm)", plain(hang.balance.x, 2), plain(hang.balance.y, 2)),
    );
    match &hang.hole {
        Some(hole) if !hang.two => {
            s.fact(
                format!("{}: aside of the hang line", hole.name),
                format!("{} mm", plain(hang.aside.abs(), 2)),
            );
            if hang.aside.abs() >= 0.05 {
                let way = if hang.aside > 0.0 { "left" } else { "right" };
                s.note(format!(
                    "it turns {}° before it is at rest; to hang straight the hole moves {} mm to the {way}",
                    plain(hang.tilt.abs(), 1),
                    plain(hang.aside.abs(), 2)
                ));
            }
        }
        Some(_) => s.note("it hangs from two holes at one height"),
        None => s.note(
            "no hole: a brooch pin goes above the balance point, a third of the height down from the top",
        ),
    }
    if bench.job.pair && hang.hole.is_some() {
        s.note("ear wires: 0.8 or 0.9 mm wire, about 50 mm for each, bent alike and mirrored");
    }
    s
}

pub(super) fn record(bench: &Bench, plan: &Plan) -> Section {
    let mut s = Section::new("Weigh and write down");
    s.measure("finished plate", format!("{} g", plain(plan.weights.piece, 2)));
    s.measure("time really taken", hours(plan.time.saw));
    s.measure("blades used", format!("about {}", plain(plan.blades.likely.ceil(), 0)));
    if bench.job.pair {
        s.measure("left and right differ by", "0.00 g, at most 0.05");
    }
    let metal = &bench.job.sheet.metal;
    if let (Some(fineness), Some(exempt)) = (metal.fineness, metal.exempt_g) {
        s.note(format!(
            "hallmark: {fineness}. In the UK an article of this metal under {exempt} g is exempt, and a pair counts as two; confirm your own law"
        ));
    }
    s
}

pub(super) fn maker(plan: &Plan) -> Section {
    let mut s = Section::new("Time and money: the maker's page");
    s.lines(&plan.maker_page);
    s.note("soldering, setting and polishing are not in the time; it is an estimate until your own minutes are in it");
    s
}

pub(super) fn buyer(plan: &Plan) -> Section {
    let mut s = Section::new("Quote: the buyer's page");
    s.lines(&plan.buyer_page);
    s
}
