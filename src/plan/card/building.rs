//! The card from the pierced plate to the finished piece.

use super::super::measured::Measured;
use super::super::solder::PALLION_EVERY;
use super::super::Plan;
use super::safety::{dust, fume};
use super::{CardSection, CardStep, Hazard, Row, TableCell};
use crate::job::Shape;
use crate::units::{heat, heat_apart};

/// Solder that flows above this, °C, is so bright that it hurts the eyes (common practice: welding glasses for platinum and
/// palladium).
const BRIGHT: f64 = 1000.0;

fn bent(bench: &Measured) -> bool {
    matches!(bench.job.outline.shape, Shape::Band { .. } | Shape::Cone { .. })
}

pub(super) fn form(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Form);
    for part in plan.parts.iter().filter(|p| p.part.is_formed()) {
        s.part(part, bench.job.units);
    }
    if s.rows.is_empty() {
        return s;
    }
    let metal = &bench.job.sheet.metal;
    let cold = metal.joined_cold();
    if let Some([low, high]) = metal.anneal_c.filter(|_| !cold) {
        s.note(format!("anneal first: {} to {}; dim light shows the colour", heat(low), heat(high)));
        s.hazard(Hazard::Anneal);
        fume(metal).into_iter().for_each(|fume| s.caution(fume));
    }
    if bent(bench) {
        s.note("it kinks where most metal has been cut away: bend round a mandrel, a little at a time");
    }
    if bench.domed.is_some() {
        s.hazard(Hazard::Dome);
    }
    s
}

pub(super) fn parts(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Parts);
    for part in plan.parts.iter().filter(|p| !p.part.is_formed() && !p.part.is_seat()) {
        s.part(part, bench.job.units);
        if let Some(size) = part.sizes.first() {
            s.measure(format!("{}: {}", part.part, size.label), bench.mm(size.value));
        }
    }
    s
}

pub(super) fn cold_joins(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Cold);
    for join in &plan.joins.cold {
        s.summed(join.seam.clone(), bench.job.units.says(join.length, 1), join.how);
    }
    if !plan.joins.cold.is_empty() {
        s.caution(
            "glasses on to drill and rivet; rivet holes in solid metal only, well clear of the openings",
        );
    }
    s
}

pub(super) fn solder(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Solder);
    let steps = &plan.joins.solder;
    if steps.is_empty() {
        return s;
    }
    let rows = steps
        .iter()
        .enumerate()
        .map(|(i, step)| {
            [
                (i + 1).to_string(),
                step.seam.clone(),
                bench.job.units.says(step.length, 1),
                format!("{}: {}", step.grade.name, heat(step.grade.flow_c)),
                step.room.map_or("not known".into(), heat_apart),
                step.pallions.to_string(),
            ]
            .map(TableCell::from)
            .into()
        })
        .collect();
    s.rows.push(Row::Table {
        head: ["", "seam", "length", "solder (flow point)", "margin below melting", "pallions"]
            .map(String::from)
            .into(),
        rows,
    });
    for (i, step) in steps.iter().enumerate() {
        let more: String = step.notes.iter().map(|note| format!("; {note}")).collect();
        s.note(format!("{}. {}: pallions {}. Heat: {}{more}", i + 1, step.seam, step.place, step.heat));
    }
    let units = bench.job.units;
    s.note(format!(
        "pallions {0} × {0} × {1}, one for every {2} of seam; makers' solders differ: their packet comes first",
        units.short(1.0, 1),
        units.says(0.3, 1),
        units.says(PALLION_EVERY, 0)
    ));
    let bright = steps.iter().any(|step| step.grade.flow_c > BRIGHT);
    s.hazard(if bright { Hazard::SolderBright } else { Hazard::Solder });
    if bench.job.construction.back.is_some() {
        s.hazard(Hazard::Hollow);
    }
    fume(&bench.job.sheet.metal).into_iter().for_each(|fume| s.caution(fume));
    s
}

pub(super) fn clean(bench: &Measured) -> CardSection {
    let mut s = CardSection::new(CardStep::Clean);
    let build = &bench.job.construction;
    if let Some(back) = build.back {
        s.tick(format!("overhang of {} trimmed and filed flush", bench.mm(back.overhang.get())));
    }
    let joined = build.rim.is_some() || build.back.is_some() || build.bezel.is_some();
    let heated = joined || !build.jump_rings.is_empty() || bench.domed.is_some() || bent(bench);
    if heated && !bench.job.sheet.metal.joined_cold() {
        s.tick("quenched in water, then pickled warm; rinsed and neutralised");
        s.hazard(Hazard::Pickle);
    } else {
        s.title = "Trim".into();
    }
    s
}

pub(super) fn stone(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Stone);
    for part in plan.parts.iter().filter(|p| p.part.is_seat()) {
        s.part(part, bench.job.units);
    }
    if bench.job.construction.bezel.is_some() && !bench.job.sheet.metal.joined_cold() {
        s.hazard(Hazard::Stone);
    }
    s
}

pub(super) fn finish(bench: &Measured, plan: &Plan) -> CardSection {
    let mut s = CardSection::new(CardStep::Finish);
    // One line: most pieces are not tumbled.
    let units = bench.job.units;
    if let (Some(first), Some(last)) = (plan.lodging.first(), plan.lodging.last()) {
        let shot: Vec<String> = plan.lodging.iter().map(|l| units.says(l.shot, 1)).collect();
        let (from, to) = (units.plain(first.from, 1), units.says(last.to, 1));
        let wide = if to.starts_with(&from) { to } else { format!("{from} to {to}") };
        // Two sizes of shot may lodge in one opening: their counts are not added up.
        let openings = match &plan.lodging[..] {
            [one] if one.openings == 1 => "an opening".to_string(),
            [one] => format!("{} openings", one.openings),
            _ => "openings".to_string(),
        };
        s.note(format!(
            "if it is tumbled, not with shot of {}: it lodges in {openings} {wide} wide",
            shot.join(", ")
        ));
    }
    s.hazard(Hazard::Wheel);
    dust(&bench.job.sheet.metal).into_iter().for_each(|dust| s.caution(dust));
    let darkens = bench.job.sheet.metal.solder_family == "silver";
    if darkens {
        s.hazard(Hazard::Patina);
    }
    s.longer(|s| {
        s.note("tumbling hardens the skin only");
        s.hazard(Hazard::Tumbler);
    });
    s
}
