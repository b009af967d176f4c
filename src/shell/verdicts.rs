//! The verdicts and the thinnest bridges, set for the terminal.

use super::table::{wrapped, TextTable};
use crate::checks::{BridgeGraph, Level, Verdict};
use crate::job::{Job, LengthUnit};
use crate::units::{plain, MM_PER_INCH};
use crate::work::Work;

/// Bridges shown, thinnest first. More would hide the ones that matter; all are in the JSON.
const WORST: usize = 10;

/// What the piece is, in one line.
pub(super) fn head(job: &Job, work: &Work) -> String {
    let openings = counted(work.piece.openings.len(), "opening");
    let thick = job.units.says(job.measured.thickness.unwrap_or(job.sheet.thickness).get(), 2);
    format!("{}: {}, {openings}, {} {thick}\n", job.file, job.title, job.sheet.metal.title)
}

/// What the piece is, every verdict with stops first, what the pattern came out as, then the thinnest bridges.
pub(super) fn text(job: &Job, work: &Work) -> String {
    let mut text = format!("{}\n", head(job, work));
    let mut sorted: Vec<&Verdict> = work.verdicts.iter().collect();
    sorted.sort_by_key(|v| std::cmp::Reverse(v.level));
    for verdict in &sorted {
        text += &one(verdict, job.units);
    }
    for note in &work.piece.resolved.notes {
        text += &wrapped(&format!("{:<13}{:<17}{note}", "note", "pattern"), 30);
    }
    let all = work.graph.len();
    if all > 0 {
        text += &format!("\nthinnest bridges, of {all}\n{}", bridges(&work.graph, WORST, job.units).text(2));
    }
    text + &format!("\n{}\n", summary(&work.verdicts))
}

/// The stops alone, as `draw` repeats them.
pub(super) fn stops(verdicts: &[Verdict], units: LengthUnit) -> String {
    verdicts.iter().filter(|v| v.level == Level::Stop).map(|v| one(v, units)).collect()
}

fn one(verdict: &Verdict, units: LengthUnit) -> String {
    let says = verdict.says(units);
    let mut text = wrapped(&format!("{:<13}{:<17}{says}", verdict.level, verdict.check), 30);
    if verdict.level.is_fault() {
        let further = match (&verdict.remedy, verdict.no_remedy.as_str()) {
            (Some(remedy), _) => format!("remedy: {remedy}"),
            (None, "") => verdict.because(units),
            (None, why) => format!("{}; {why}", verdict.because(units)),
        };
        if !further.is_empty() {
            text += &wrapped(&format!("{:30}{further}", ""), 30);
        }
    }
    text
}

/// The thinnest bridges, at most `most`.
pub(super) fn bridges(graph: &BridgeGraph, most: usize, units: LengthUnit) -> TextTable {
    let (heads, one, places) = match units {
        LengthUnit::Mm => (["", "finished mm", "drawn mm", "between", "at mm"], 1.0, (2, 1)),
        LengthUnit::Inch => (["", "finished in", "drawn in", "between", "at in"], MM_PER_INCH, (4, 2)),
    };
    let mut table = TextTable::new(&heads);
    for (i, bridge) in graph.bridges().take(most).enumerate() {
        let [a, b] = bridge.between;
        let middle = bridge.at[0].midpoint(bridge.at[1]);
        table.row(vec![
            (i + 1).to_string(),
            plain(bridge.finished.0 / one, places.0),
            plain(bridge.width.0 / one, places.0),
            format!("{} and {}", a.short(), b.short()),
            format!("{}, {}", plain(middle.x / one, places.1), plain(middle.y / one, places.1)),
        ]);
    }
    table
}

/// How many stops and cautions there are.
pub(super) fn summary(verdicts: &[Verdict]) -> String {
    let count = |level: Level| verdicts.iter().filter(|v| v.level == level).count();
    match (count(Level::Stop), count(Level::Caution)) {
        (0, 0) => "no faults found".to_string(),
        (0, cautions) => format!("no stop, {}", counted(cautions, "caution")),
        (stops, cautions) => format!("{}, {}", counted(stops, "stop"), counted(cautions, "caution")),
    }
}

fn counted(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}
