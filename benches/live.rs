//! What an edit on the bench page costs the engine: a changed value to its drawing and numbers as JSON, for pieces of 37 to
//! 5,000 openings, fitted to the border and trimmed. Milliseconds this thread really ran for: the middle one and the
//! one in twenty; then where they go.
//!
//! `cargo bench --bench live`

use sawpierce::checks::graph;
use sawpierce::job::{parse, NamedFiles, Settings};
use sawpierce::live::Bench;
use sawpierce::openings::piece;
use sawpierce::outline::outline;
use sawpierce::pipeline::Session;
use sawpierce::work::judged;
use std::sync::Arc;
use std::time::Instant;

#[path = "clock/mod.rs"]
mod clock;
use clock::now;

/// Across the disc of hexagons, mm, for about so many openings.
const DISCS: [(&str, f64); 4] = [("37", 20.0), ("300", 50.0), ("1,000", 90.0), ("5,000", 198.0)];
/// Edits timed, at most, and seconds spent on one row.
const EDITS: usize = 200;
const SPENT: f64 = 12.0;

fn text(across: f64, how: &str) -> String {
    format!(
        "skill = \"fine-work\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"circle\"\ndiameter = \
         {across}\nborder = 2\n[pattern]\nname = \"hexagon\"\npitch = 2.6\nbridge = 0.8\nat_border = \"{how}\"\n[paper]\nsize = \
         [400, 400]\n"
    )
}

fn p(times: &mut [f64], share: f64) -> f64 {
    times.sort_by(f64::total_cmp);
    times[((times.len() - 1) as f64 * share) as usize]
}

fn main() {
    println!(
        "{:<8}{:<6}{:<7}{:>9}{:>10}{:>10}{:>12}",
        "about", "edge", "first", "openings", "p50 ms", "p95 ms", "answer kB"
    );
    for (about, across) in DISCS {
        for how in ["fit", "trim"] {
            for quick in [true, false] {
                if quick && how == "trim" {
                    continue;
                }
                row(about, across, how, quick);
            }
        }
    }
    println!("\nwhere it goes, trimmed, ms of one run");
    for (about, across) in DISCS {
        parts(about, across);
    }
}

fn row(about: &str, across: f64, how: &str, quick: bool) {
    let bench =
        Bench::with(&text(across, how), "disc.toml", NamedFiles::new(), Settings::default(), Vec::new());
    let mut bench = bench.expect("it reads");
    let mut times = Vec::new();
    let mut length = 0;
    let since = Instant::now();
    for i in 0..EDITS {
        let bridge = 0.8 + 0.01 * (i % 7) as f64;
        let question = format!(
            "{{\"ask\":\"edit\",\"quick\":{quick},\"gesture\":\"drag\",\"edits\":[{{\"path\":\"pattern.bridge\",\"value\":{bridge}}}]}}"
        );
        let began = now();
        let answer = bench.ask(&question);
        times.push(now() - began);
        assert!(answer.starts_with("{\"ok\":true"), "{answer}");
        length = answer.len();
        if since.elapsed().as_secs_f64() > SPENT {
            break;
        }
    }
    let n = bench.up_to_date().piece().expect("a piece").openings.len();
    let first = if quick { "first" } else { "best" };
    println!(
        "{about:<8}{how:<6}{first:<7}{n:>9}{:>10.1}{:>10.1}{:>12}",
        p(&mut times, 0.5),
        p(&mut times, 0.95),
        length / 1000
    );
}

/// Milliseconds of each step of one piece.
fn parts(about: &str, across: f64) {
    let job = parse(&text(across, "trim"), "disc.toml", &NamedFiles::new(), &Settings::default())
        .expect("it reads");
    let mut at = now();
    let mut lap = |what: &str| {
        let next = now();
        print!("  {what} {:.1}", next - at);
        at = next;
    };
    print!("{about:<8}");
    let outline = outline(&job).expect("an outline");
    lap("outline");
    let piece = Arc::new(piece(&job, outline).expect("a piece"));
    lap("openings");
    let graph = Arc::new(graph(&job, &piece));
    lap("bridges");
    let work = judged(&job, piece, graph);
    lap("findings and plan");
    drop(work);
    lap("freed");
    let mut session = Session::new(job.clone());
    session.work().expect("worked");
    lap("(all again)");
    let copy = session.clone();
    lap("copied");
    session.replace(job);
    lap("compared");
    drop(copy);
    println!();
}
