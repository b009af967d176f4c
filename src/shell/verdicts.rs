//! The verdicts and the thinnest bridges, set for the terminal.

use super::table::Table;
use super::Outcome;
use crate::checks::{BridgeGraph, Level, Side, Verdict};
use crate::job::Job;
use crate::units::plain;

/// Bridges shown, thinnest first. More would hide the ones that matter; all are in the JSON.
const WORST: usize = 10;

/// Stop if any verdict says so.
pub(super) fn outcome(verdicts: &[Verdict]) -> Outcome {
    match verdicts.iter().any(|v| v.level == Level::Stop) {
        true => Outcome::Stop,
        false => Outcome::Good,
    }
}

/// What the piece is, every verdict with stops first, then the thinnest bridges.
pub(super) fn text(job: &Job, openings: usize, verdicts: &[Verdict], graph: &BridgeGraph) -> String {
    let mut text = format!(
        "{}: {}, {}, {} {}\n\n",
        job.file,
        job.title,
        counted(openings, "opening"),
        job.sheet.metal.title,
        job.sheet.thickness
    );
    let mut sorted: Vec<&Verdict> = verdicts.iter().collect();
    sorted.sort_by_key(|v| std::cmp::Reverse(v.level));
    for verdict in &sorted {
        text += &one(verdict);
    }
    if !graph.bridges.is_empty() {
        text += &format!("\nthinnest bridges, of {}\n{}", graph.bridges.len(), bridges(graph).text(2));
    }
    text + &format!("\n{}\n", summary(verdicts))
}

fn one(verdict: &Verdict) -> String {
    let level = match verdict.level {
        Level::Good => "good",
        Level::Caution => "caution",
        Level::Stop => "STOP",
    };
    let mut text = format!("{level:<8}{:<17}{}\n", verdict.check, verdict.says);
    if verdict.level != Level::Good {
        let further = match &verdict.remedy {
            Some(remedy) => format!("remedy: {remedy}"),
            None => verdict.because.clone(),
        };
        if !further.is_empty() {
            text += &format!("{:25}{further}\n", "");
        }
    }
    text
}

fn bridges(graph: &BridgeGraph) -> Table {
    let mut table = Table::new(&["", "finished mm", "drawn mm", "between", "at mm"]);
    for (i, bridge) in graph.bridges.iter().take(WORST).enumerate() {
        let [a, b] = bridge.between;
        let middle = bridge.at[0].midpoint(bridge.at[1]);
        table.row(vec![
            (i + 1).to_string(),
            plain(bridge.finished.0, 2),
            plain(bridge.width.0, 2),
            format!("{} and {}", side(a), side(b)),
            format!("{}, {}", plain(middle.x, 1), plain(middle.y, 1)),
        ]);
    }
    table
}

/// A side of a bridge as people call it.
fn side(side: Side) -> String {
    match side {
        Side::Opening(n) => n.to_string(),
        Side::Edge => "the edge".to_string(),
        Side::Window(n) => format!("W{n}"),
        Side::Hole(n) => format!("H{n}"),
    }
}

fn summary(verdicts: &[Verdict]) -> String {
    let count = |level: Level| verdicts.iter().filter(|v| v.level == level).count();
    match (count(Level::Stop), count(Level::Caution)) {
        (0, 0) => "nothing speaks against it".to_string(),
        (0, cautions) => format!("no stop, {}", counted(cautions, "caution")),
        (stops, cautions) => format!("{}, {}", counted(stops, "stop"), counted(cautions, "caution")),
    }
}

fn counted(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}
