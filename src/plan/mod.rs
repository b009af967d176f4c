//! The numbers of the bench: holes, saw line, minutes, blades, metal, parts, joins, hang, order.
//!
//! Everything starts from a [`Measured`]: the piece as drawn with what was measured put in place of what was planned.
//! `[measured]` never moves an opening or the printed edge. There is one size: the line lies in the waste, and filed until it
//! is gone the piece *is* the drawn size, or the measured one. What a hand runs over the line is a margin of its own
//! ([`Weights::overrun`]) and changes no size.

mod built;
pub mod card;
mod finish;
mod formed;
mod found;
mod hang;
mod measured;
mod metal;
mod number;
mod order;
mod part;
mod parts;
mod quote;
mod rings;
mod rolling;
mod saw;
mod sheet;
mod solder;
mod strips;
pub mod sums;
mod time;
mod timing;

pub use built::{Built, Share};
pub use finish::{FileUse, Lodging, SHOT};
pub use formed::{band, cone, dome, sizes_near};
pub use hang::{Hang, TopHole};
pub use measured::{sharp_corners, Measured, SharpCorner};
pub use metal::{Weights, HOLDING_MARGIN};
pub use order::{moves, Cut, Turn};
pub use part::{Part, PartName, Size};
pub use quote::{hours, money, Batch, QuoteKind, QuoteLine};
pub use rings::{ring_fits, RingFit};
pub use rolling::{ingot, Ingot};
pub use saw::{drill_speed, Drilling, Sawing};
pub use sheet::{lay_out, Buying, Layout, OnStock, SAW_GAP, TO_HOLD};
pub use solder::{ColdJoin, Joins, SolderStep};
pub use time::{blades_for, skill_rates, RateUsed, Spread, Time};
pub use timing::{entry, learnt_rates};

use crate::checks::{BridgeGraph, Verdict};
use crate::job::Job;
use crate::openings::Piece;

/// Everything the bench needs to know after the drawing. Numbers are for one piece unless they are in `batch`.
#[derive(Debug, Clone, Default)]
pub struct Plan {
    /// Names the print: the same as long as the drawing is.
    pub number: String,
    /// Start drill first, then the holes that stay.
    pub drills: Vec<Drilling>,
    /// Line, threadings, corners, teeth.
    pub saw: Sawing,
    /// Minutes of one piece with their range.
    pub time: Time,
    /// For one piece.
    pub blades: Spread,
    /// The pierced plate alone.
    pub weights: Weights,
    /// Weights before anything was measured, where something was.
    pub weights_planned: Option<Weights>,
    /// The whole piece: everything built on the plate.
    pub built: Built,
    /// Sheet to buy or to cut from; `None` before the plan is worked out.
    pub buying: Option<Buying>,
    /// What else is cut: strips, blanks, plates, rings.
    pub parts: Vec<Part>,
    /// Seams and how they are held.
    pub joins: Joins,
    /// The cuts, in the order they are sawn.
    pub order: Vec<Turn>,
    /// Which file goes into which opening.
    pub files: Vec<FileUse>,
    /// Shot that would stick in openings when it is tumbled.
    pub lodging: Vec<Lodging>,
    /// How it hangs; `None` before the plan is worked out.
    pub hang: Option<Hang>,
    /// Totals of all pieces.
    pub batch: Batch,
    /// Time and money, for the maker alone.
    pub maker_page: Vec<QuoteLine>,
    /// What a buyer is handed.
    pub buyer_page: Vec<QuoteLine>,
    /// The job card in working order, ready to be set.
    pub card: Vec<card::CardSection>,
}

/// The whole plan, and the verdicts that need it.
pub fn plan(job: &Job, piece: &Piece, graph: &BridgeGraph) -> (Plan, Vec<Verdict>) {
    let bench = Measured::found(job, piece);
    let saw = saw::sawing(&bench);
    let drills = saw::drills(&bench);
    let time = time::time(&bench, &saw);
    let weights = metal::weights(&bench, saw.length());
    let buying = sheet::buying(&bench);
    let mut parts = parts::parts(&bench);
    let built = built::built(&bench, &weights, &parts, buying.taken / f64::from(bench.pieces));
    let mut weights_planned = None;
    if Measured::was_measured(job) {
        let planned = Measured::planned(job, piece);
        part::mark_changes(&mut parts, &parts::parts(&planned), job.units);
        weights_planned = Some(metal::weights(&planned, saw.length()));
    }
    let (joins, joining) = solder::joins(&bench, &parts);
    let (hang, hanging) = hang::hang(&bench);
    let batch = quote::batch(&bench, &saw, &drills, &time, (&weights, &built), &joins.solder);
    let mut verdicts = vec![joining, hanging];
    verdicts.extend(found::doming(&bench));
    verdicts.extend([
        rings::verdict(&bench),
        sheet::stock_fit(&buying),
        found::weight(&bench, &built),
        found::hours(&time, bench.pieces),
    ]);
    let mut plan = Plan {
        number: number::number(bench.job, bench.piece),
        blades: time::blades(&bench, &saw, 1),
        maker_page: quote::maker(&bench, &saw, &drills, &time, &batch, (&buying, &built)),
        buyer_page: quote::buyer(&bench, &built, &batch),
        order: order::order(&bench),
        files: finish::files(&bench),
        lodging: finish::lodging(&bench),
        drills,
        saw,
        time,
        weights,
        weights_planned,
        built,
        buying: Some(buying),
        parts,
        joins,
        hang: Some(hang),
        batch,
        card: Vec::new(),
    };
    plan.card = card::card(&bench, graph, &plan);
    (plan, verdicts)
}
