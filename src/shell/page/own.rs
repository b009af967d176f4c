//! Questions that only this program can answer, since they are about files: where the work is, and saving it.

use super::room::Room;
use crate::error::Error;
use crate::shell::minutes::{self, Taken};
use crate::shell::settings::{self, ReadOn};
use crate::shell::true_size;
use serde::Deserialize;
use serde_json::{json, Value};

#[derive(Deserialize)]
struct OwnAsked {
    ask: String,
    /// What the bars of a test page read, as typed, and on which printer.
    #[serde(default)]
    printer: String,
    #[serde(default)]
    across: String,
    #[serde(default)]
    up: String,
    /// The page was printed corrected, or not; left out where nobody knows.
    corrected: Option<bool>,
    minutes: Option<f64>,
    filing: Option<f64>,
    openings: Option<u32>,
}

/// The answer to a question of the shell's own; `None` if it is one for the bench.
pub(super) fn answer(room: &Room, question: &str) -> Option<String> {
    let asked: OwnAsked = serde_json::from_str(question).ok()?;
    let answer = match asked.ask.as_str() {
        "where" => Ok(place(room)),
        "save" => save(room),
        "printers" => Ok(printers()),
        "true-size" => measured(room, &asked),
        "minutes" => minutes_taken(room, &asked),
        _ => return None,
    };
    let turn = room.bench().turn();
    let answer = answer.map_or_else(
        |error| {
            let faults: Vec<Value> =
                error.problems.iter().map(|p| json!({ "says": p.to_string() })).collect();
            json!({ "ok": false, "turn": turn, "faults": faults })
        },
        |mut answer| {
            answer["ok"] = json!(true);
            answer["turn"] = json!(turn);
            answer
        },
    );
    Some(answer.to_string())
}

/// Where the work is: `says`, `safe`, `saved`, `job` and `path`.
fn place(room: &Room) -> Value {
    let bench = room.bench();
    match room.keeper_of(&bench) {
        Some(keeper) => keeper.says(bench.text()),
        None => json!({
            "says": "not in a file yet: kept in this browser only; take the job file out to save it",
            "safe": false, "saved": false, "job": null, "path": null,
        }),
    }
}

fn save(room: &Room) -> Result<Value, Error> {
    {
        let bench = room.bench();
        let Some(keeper) = room.keeper_of(&bench) else {
            let todo = "take the job file out; opened with `sawpierce open JOB` it can be saved from here";
            return Err(Error::job("this work has no job file on this machine yet", todo));
        };
        keeper.save(bench.text())?;
    }
    Ok(place(room))
}

/// The printers that are stored: `printers` [{`name`, `across`, `up`}], and `says` where they cannot be read.
fn printers() -> Value {
    let known = settings::load();
    let one = |p: &crate::job::Printer| json!({ "name": p.name, "across": p.across, "up": p.up });
    json!({ "printers": known.printers.iter().map(one).collect::<Vec<_>>(), "says": known.printers_unread })
}

/// Keeps what both bars of a test page read.
fn measured(room: &Room, asked: &OwnAsked) -> Result<Value, Error> {
    if asked.printer.trim().is_empty() {
        return Err(Error::job("the printer has no name yet", "give it one of your own: \"hall inkjet\""));
    }
    let read_on = match asked.corrected {
        Some(true) => ReadOn::Corrected,
        Some(false) => ReadOn::Uncorrected,
        None => ReadOn::NotSaid,
    };
    let says = true_size::stored(asked.printer.trim(), &asked.across, &asked.up, read_on)?;
    room.learn();
    Ok(json!({ "says": says.trim().lines().collect::<Vec<_>>() }))
}

/// Writes down what the job really took, where minutes are given; `says` what the log has taught.
fn minutes_taken(room: &Room, asked: &OwnAsked) -> Result<Value, Error> {
    let job = room.bench().job().clone();
    if let Some(taken) = asked.minutes {
        let taken = Taken { minutes: taken, filing: asked.filing, openings: asked.openings };
        taken.check("minutes", "filing")?;
        taken.note(&job)?;
        room.learn();
    }
    Ok(json!({ "says": minutes::learnt(job.skill) }))
}
