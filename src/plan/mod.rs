//! The numbers of the bench: holes, saw line, minutes, blades, metal, parts, solder, hang, order.
//!
//! Everything starts from a [`Bench`]: the piece as drawn with what was measured put in place of what was planned.
//! `[measured]` never moves an opening or the printed edge.

mod bench;
pub mod card;
mod finish;
mod formed;
mod hang;
mod metal;
pub mod minutes;
mod order;
mod parts;
mod quote;
mod saw;
mod solder;
mod strips;
pub mod sums;
mod time;

pub use bench::{sharp_corners, Bench, SharpCorner};
pub use finish::{FileUse, Lodging, SHOT};
pub use formed::{band, cone, dome, sizes_near};
pub use hang::{Hang, TopHole};
pub use metal::{ingot, lay_out, Buying, Ingot, Layout, Weights, HOLDING_MARGIN, SAW_GAP, TO_HOLD};
pub use order::{moves, Cut, Turn};
pub use parts::{Part, Size};
pub use quote::{hours, Batch, Line};
pub use saw::{drill_speed, Drill, Sawing};
pub use solder::{ColdJoin, Joins, SolderStep};
pub use time::{blades_for, skill_rates, RateUsed, SkillRates, Spread, Time};

use crate::checks::{BridgeGraph, Verdict};
use crate::job::Job;
use crate::openings::Piece;

/// Everything the bench needs to know after the drawing. Numbers are for one piece unless they are in `batch`.
#[derive(Debug, Clone, Default)]
pub struct Plan {
    /// Start drill first, then the holes that stay.
    pub drills: Vec<Drill>,
    pub saw: Sawing,
    pub time: Time,
    /// For one piece.
    pub blades: Spread,
    pub weights: Weights,
    /// Weights before anything was measured, where something was.
    pub weights_planned: Option<Weights>,
    pub buying: Option<Buying>,
    pub parts: Vec<Part>,
    pub joins: Joins,
    pub order: Vec<Turn>,
    pub files: Vec<FileUse>,
    pub lodging: Vec<Lodging>,
    pub hang: Option<Hang>,
    pub batch: Batch,
    pub maker_page: Vec<Line>,
    pub buyer_page: Vec<Line>,
    /// The job card in working order, ready to be set.
    pub card: Vec<card::Section>,
}

/// The whole plan, and the verdicts that need it: `hang` and `solder-steps`, one each.
pub fn plan(job: &Job, piece: &Piece, graph: &BridgeGraph) -> (Plan, Vec<Verdict>) {
    let bench = Bench::found(job, piece);
    let saw = saw::sawing(&bench);
    let drills = saw::drills(&bench);
    let time = time::time(&bench, &saw);
    let weights = metal::weights(&bench, saw.length());
    let buying = metal::buying(&bench, &weights);
    let mut parts = parts::parts(&bench);
    let mut weights_planned = None;
    if Bench::was_measured(job) {
        let planned = Bench::planned(job, piece);
        parts::mark_changes(&mut parts, &parts::parts(&planned));
        weights_planned = Some(metal::weights(&planned, saw.length()));
    }
    let (joins, solder_verdict) = solder::joins(&bench, &parts);
    let (hang, hang_verdict) = hang::hang(&bench);
    let batch = quote::batch(&bench, &saw, &drills, &time, &weights, &joins.solder);
    let mut plan = Plan {
        blades: time::blades(&bench, &saw, 1),
        maker_page: quote::maker(&bench, &saw, &drills, &time, &batch, &buying),
        buyer_page: quote::buyer(&bench, &weights, &batch),
        order: order::order(&bench),
        files: finish::files(&bench),
        lodging: finish::lodging(&bench),
        drills,
        saw,
        time,
        weights,
        weights_planned,
        buying: Some(buying),
        parts,
        joins,
        hang: Some(hang),
        batch,
        card: Vec::new(),
    };
    plan.card = card::card(&bench, graph, &plan);
    (plan, vec![solder_verdict, hang_verdict])
}
