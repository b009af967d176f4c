//! What is always in sight: size, thinnest bridge, openings, hours, grams, and how many findings.

use crate::checks::{bridge_limit, Level};
use crate::job::{Job, LengthUnit};
use crate::units::{plain, short};
use crate::work::Work;
use serde_json::{json, Value};

/// Minutes in an hour.
const HOUR: f64 = 60.0;

/// The numbers of a job worked out: `sized` in words; `bridge` {`drawn`, `finished`, `limit`, `says`}; `openings`; `hours`
/// {`low`, `likely`, `high`, `says`} for all pieces; `grams` {`piece`, `says`}; `blades`; `findings` by their levels.
pub(super) fn numbers(job: &Job, work: &Work) -> Value {
    let units = job.units;
    let plan = &work.plan;
    let thinnest = work.graph.bridges().find(|b| b.is_between_openings());
    let limit = bridge_limit(job).mm;
    let bridge = thinnest.map(|b| {
        let says = format!(
            "thinnest bridge {} as drawn, {} once filed; at least {} is asked",
            units.says(b.width.get(), 2),
            units.says(b.finished.get(), 2),
            units.says(limit, 2)
        );
        json!({ "drawn": round(b.width.get()), "finished": round(b.finished.get()), "limit": round(limit), "says": says })
    });
    let minutes = plan.batch.minutes;
    let n = plan.batch.pieces;
    let each = if n > 1 { format!(" for {n} pieces") } else { String::new() };
    let piece = plan.built.finished();
    let count = |level: Level| work.verdicts.iter().filter(|v| v.level == level).count();
    json!({
        "sized": sized(job, work),
        "bridge": bridge,
        "openings": work.piece.openings.len(),
        "left_solid": work.piece.left_solid.len(),
        "hours": {
            "low": round(minutes.low / HOUR),
            "likely": round(minutes.likely / HOUR),
            "high": round(minutes.high / HOUR),
            "says": format!("{}{each}", spell(minutes.low, minutes.high)),
        },
        "grams": { "piece": round(piece), "says": format!("{} g", plain(piece, if piece < 10.0 { 2 } else { 1 })) },
        "blades": round(plan.blades.likely),
        "findings": {
            "stop": count(Level::Stop),
            "caution": count(Level::Caution),
            "good": count(Level::Good),
            "unchecked": count(Level::Unchecked),
        },
        "notes": work.piece.resolved.notes,
    })
}

/// "0.7 to 1.8 hours", or minutes where it is less than one hour.
pub(super) fn spell(low: f64, high: f64) -> String {
    if high < HOUR {
        return format!("{} to {} minutes", plain(low, 0), plain(high, 0));
    }
    let places = if high < 20.0 * HOUR { 1 } else { 0 };
    format!("{} to {} hours", plain(low / HOUR, places), plain(high / HOUR, places))
}

/// "30 × 30 mm, copper 0.8 mm".
fn sized(job: &Job, work: &Work) -> String {
    let size = work.piece.outline.size;
    let (one, unit, places) = match job.units {
        LengthUnit::Mm => (1.0, "mm", 2),
        LengthUnit::Inch => (crate::units::MM_PER_INCH, "in", 3),
    };
    let n = |mm: f64| short(mm / one, places);
    let (w, h) = (n(size.0.get()), n(size.1.get()));
    let thick = job.measured.thickness.unwrap_or(job.sheet.thickness).get();
    format!("{w} × {h} {unit}, {} {}", job.sheet.metal.title.to_lowercase(), job.units.says(thick, 2))
}

fn round(value: f64) -> f64 {
    (value * 1e4).round() / 1e4 + 0.0
}
