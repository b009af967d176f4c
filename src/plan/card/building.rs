//! The card from the pierced plate to the finished piece.

use super::super::bench::Bench;
use super::super::Plan;
use super::{Row, Section};
use crate::job::Shape;
use crate::units::{heat, heat_apart, plain};

/// Names of parts that belong to forming and to the stone; the rest are cut with the strips.
const FORMED: [&str; 3] = ["band blank", "cone blank", "flat for the dome"];
const STONE: [&str; 3] = ["bezel strip", "bezel pad", "stone window"];

pub(super) fn form(bench: &Bench, plan: &Plan) -> Section {
    let mut s = Section::new("Form");
    for part in plan.parts.iter().filter(|p| FORMED.contains(&p.part.as_str())) {
        s.part(part);
    }
    if s.rows.is_empty() {
        return s;
    }
    if let Some([low, high]) = bench.job.sheet.metal.anneal_c {
        s.note(format!("anneal first: {} to {}", heat(low), heat(high)));
    }
    if matches!(bench.job.outline.shape, Shape::Band { .. } | Shape::Cone { .. }) {
        s.note("it kinks where most metal is gone: bend round a mandrel, a little at a time");
    }
    s.caution("anneal in dim light to see the colour; tongs and tools dry");
    s
}

pub(super) fn parts(_bench: &Bench, plan: &Plan) -> Section {
    let mut s = Section::new("Strips, back plate and rings");
    let rest = |name: &str| !FORMED.contains(&name) && !STONE.contains(&name);
    for part in plan.parts.iter().filter(|p| rest(&p.part)) {
        s.part(part);
        if let Some(size) = part.sizes.first() {
            s.measure(format!("{}: {}", part.part, size.label), format!("{} mm", plain(size.value, 2)));
        }
    }
    s
}

pub(super) fn cold_joins(_bench: &Bench, plan: &Plan) -> Section {
    let mut s = Section::new("Join cold");
    for join in &plan.joins.cold {
        s.summed(join.seam.clone(), format!("{} mm", plain(join.length, 1)), join.how);
    }
    s
}

pub(super) fn solder(bench: &Bench, plan: &Plan) -> Section {
    let mut s = Section::new("Solder");
    if plan.joins.solder.is_empty() {
        return s;
    }
    let rows = plan
        .joins
        .solder
        .iter()
        .enumerate()
        .map(|(i, step)| {
            vec![
                (i + 1).to_string(),
                step.seam.clone(),
                format!("{} mm", plain(step.length, 1)),
                format!("{}: {}", step.grade.name, heat(step.grade.flow_c)),
                step.room.map_or(String::new(), heat_apart),
                step.pallions.to_string(),
            ]
        })
        .collect();
    s.rows.push(Row::Table {
        head: ["", "seam", "length", "solder (flow point)", "margin below melting", "pallions"]
            .map(String::from)
            .into(),
        rows,
    });
    for (i, step) in plan.joins.solder.iter().enumerate() {
        s.note(format!("{}. {}: pallions {}. Heat: {}", i + 1, step.seam, step.place, step.heat));
        for note in &step.notes {
            s.note(format!("{}. {note}", i + 1));
        }
    }
    s.note("pallions 1 × 1 × 0.3 mm, one for every 6 mm of seam; makers' solders differ: their packet comes first");
    s.caution("cadmium-free solder only; never heat unknown old solder or scrap");
    s.caution(
        "extraction or a through draught; do not lean over the flame; paste flux may give off fluoride",
    );
    s.caution("fire-brick on the bench, hair tied, no synthetic sleeves, extinguisher near; gas off at the cylinder after");
    s.caution("never heat a closed hollow: drill a vent first");
    if matches!(bench.job.sheet.metal.name.as_str(), "brass" | "gilding-metal" | "nickel-silver") {
        s.caution("overheated brass and zinc-bearing solder give off zinc oxide fume");
    }
    s
}

pub(super) fn clean(bench: &Bench) -> Section {
    let mut s = Section::new("Pickle and trim");
    let build = &bench.job.construction;
    let heated = build.rim.is_some() || build.back.is_some() || build.bezel.is_some();
    let heated = heated || !build.jump_rings.is_empty() || build.dome.get() > 0.0;
    let heated = heated || matches!(bench.job.outline.shape, Shape::Band { .. } | Shape::Cone { .. });
    if !heated || bench.job.sheet.metal.joined_cold() {
        return s;
    }
    s.tick("quenched in water, then pickled warm, never boiling; rinsed and neutralised");
    if let Some(back) = build.back {
        s.tick(format!("overhang of {} mm trimmed and filed flush", plain(back.overhang.get(), 2)));
    }
    s.caution("acid into water, never water into acid; goggles, gloves, lid on the pot");
    s.caution("no red-hot work into the pickle; copper or plastic tongs, no steel or binding wire");
    s.caution("acid hides where two sheets meet: neutralise warm and rinse long");
    s
}

pub(super) fn stone(bench: &Bench, plan: &Plan) -> Section {
    let mut s = Section::new("Stone");
    for part in plan.parts.iter().filter(|p| STONE.contains(&p.part.as_str())) {
        s.part(part);
    }
    if bench.job.construction.bezel.is_some() {
        s.caution("no heat and no hot pickle once the stone is in");
    }
    s
}

pub(super) fn finish(bench: &Bench, plan: &Plan) -> Section {
    let mut s = Section::new("Finish");
    for lodging in &plan.lodging {
        let (from, to) = (plain(lodging.from, 1), plain(lodging.to, 1));
        let wide = if from == to { from } else { format!("{from} to {to}") };
        s.note(format!(
            "{} openings are {wide} mm wide: do not tumble with {} mm shot, it would lodge",
            lodging.openings,
            plain(lodging.shot, 1)
        ));
    }
    s.note("tumbling hardens the skin only");
    s.caution("openwork on a polishing wheel is the worst catch in the shop: below the middle, no gloves, no chain; hand polish if you can");
    s.caution("tumbler: guard on the belt, open it slowly: gas builds up in a sealed barrel");
    if bench.job.sheet.metal.solder_family != "none" {
        s.caution("liver of sulphur with any acid, pickle left in a seam too, gives off a poison gas: rinse well, separate sinks, fume hood or outdoors");
    }
    s
}
