//! Questions that only this program can answer, since they are about files: where the work is, and saving it.

use super::room::Room;
use crate::error::Error;
use serde::Deserialize;
use serde_json::{json, Value};

#[derive(Deserialize)]
struct Asked {
    ask: String,
}

/// The answer to a question of the shell's own; `None` if it is one for the bench.
pub(super) fn answer(room: &Room, question: &str) -> Option<String> {
    let asked: Asked = serde_json::from_str(question).ok()?;
    let answer = match asked.ask.as_str() {
        "where" => Ok(place(room)),
        "save" => save(room),
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
