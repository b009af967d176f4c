//! Works out seeded pieces for the outside referees and says what the engine measured, without paper or remedies.
//!
//! Each line read is a job as JSON, `{"text": "...", "files": {"leaf.svg": "..."}}`; each line written is `{"refused": "..."}`
//! or the rings, `[x, y, bulge]` in mm a corner, with every bridge, area and widest drill that is told.

use sawpierce::checks::{Bridge, Side};
use sawpierce::error::Error;
use sawpierce::geom::Ring;
use sawpierce::job::{parse, NamedFiles, Settings};
use sawpierce::outline::Seam;
use sawpierce::pipeline::Session;
use serde_json::{json, Value};
use std::io::{stdin, stdout, BufRead, Write};

fn corners(ring: &Ring) -> Value {
    ring.vertices().map(|v| json!([v.at.x, v.at.y, v.bulge])).collect()
}

/// An opening by its number; 0 for the edge; "W1", "H1".
fn side(side: Side) -> Value {
    match side {
        Side::Opening(n) => n.into(),
        Side::Edge => 0.into(),
        other => other.short().into(),
    }
}

fn bridge(b: &Bridge) -> Value {
    json!({"between": b.between.map(side), "width": b.width.get()})
}

fn measured(text: &str, files: &NamedFiles) -> Result<Value, Error> {
    let mut session = Session::new(parse(text, "piece.toml", files, &Settings::default())?);
    let piece = session.piece()?;
    let graph = session.bridges()?;
    let outline = &piece.outline;
    let openings = piece.openings.iter().map(|o| {
        json!({"n": o.n, "ring": corners(&o.ring), "at": [o.drill_at.x, o.drill_at.y], "widest": o.widest.get(),
            "area": o.area, "round": o.perimeter.get()})
    });
    let holes = outline.holes.iter().map(|h| Ring::circle(h.at, h.diameter.get() / 2.0));
    let seam = outline.seam.map(|seam| match seam {
        Seam::Shift(run) => json!({"shift": run.get()}),
        Seam::Turn { degrees, centre, middle } => {
            json!({"turn": degrees, "centre": [centre.x, centre.y], "middle": middle})
        }
    });
    Ok(json!({
        "edge": corners(&outline.edge),
        "border": outline.border.get(),
        "openings": openings.collect::<Vec<_>>(),
        "windows": outline.windows.iter().map(|w| corners(&w.ring)).collect::<Vec<_>>(),
        "window_borders": outline.windows.iter().map(|w| w.border.get()).collect::<Vec<_>>(),
        "holes": holes.map(|ring| corners(&ring)).collect::<Vec<_>>(),
        "seam": seam,
        "bridge": piece.resolved.bridge.get(),
        "fitted": piece.resolved.border.as_ref().is_some_and(|border| border.bent > 0),
        "bridges": graph.bridges().map(bridge).collect::<Vec<_>>(),
    }))
}

fn main() {
    let mut out = stdout().lock();
    for line in stdin().lock().lines().map_while(Result::ok) {
        let asked: Value = serde_json::from_str(&line).unwrap_or_default();
        let files = asked["files"].as_object().into_iter().flatten();
        let files = files.map(|(name, text)| (name.clone(), text.as_str().unwrap_or_default().into()));
        let text = asked["text"].as_str().unwrap_or_default();
        let told = measured(text, &files.collect()).unwrap_or_else(|e| json!({"refused": e.to_string()}));
        if writeln!(out, "{told}").and_then(|()| out.flush()).is_err() {
            return;
        }
    }
}
