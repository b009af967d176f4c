//! One edit after another through a `Session`, as a live page makes them: from the edit to new openings, bridges and
//! findings, at about three hundred and five thousand openings. A row a kind of edit: the middle of several, then where the
//! time goes, step by step. The edit itself is read, written into the maker's text and compared; remedies and paper are not
//! asked for. Of fitted pieces there follows how soon a page has something to show while a value is being moved: cells trimmed
//! where they lay last, and the first candidate of the fit.
//!
//! `cargo bench --bench session`

use sawpierce::job::{parse, Edit, Job, NamedFiles, Settings, Value};
use sawpierce::openings::first_piece;
use sawpierce::pipeline::Session;
use std::hint::black_box;
use std::time::Instant;

/// Edits of each kind: an odd count, so that one is the middle.
const ROUNDS: usize = 15;

/// Diameters, mm, that give about 300 and 5,000 openings, with the aim for one edit, ms.
const DISCS: [(u32, f64); 2] = [(50, 3.0), (200, 40.0)];

/// A kind of edit: what it is called, its key, its two values in turn.
const EDITS: [(&str, &str, [f64; 2]); 11] = [
    ("pitch", "pattern.pitch", [2.61, 2.6]),
    ("bridge", "pattern.bridge", [0.81, 0.8]),
    ("turn", "pattern.turn", [3.0, 0.0]),
    ("rounded corners", "pattern.corner_radius", [0.2, 0.1]),
    ("border", "outline.border", [2.1, 2.0]),
    ("diameter", "outline.diameter", [0.1, 0.0]),
    ("drill", "saw.drill", [0.65, 0.6]),
    ("clean-up", "saw.clean_up", [0.04, 0.05]),
    ("least bridge", "limits.bridge", [0.62, 0.6]),
    ("thickness", "sheet.thickness", [0.9, 0.8]),
    ("price an hour", "rates.per_hour", [31.0, 30.0]),
];

fn job(across: u32, at_border: &str) -> Job {
    let text = format!(
        "skill = \"practised\" # the bench's own\n[sheet]\nmetal = \"sterling-silver\"\nthickness = 0.8\n[outline]\nshape = \"circle\"\n\
         diameter = {across}\nborder = 2\n[pattern]\nat_border = \"{at_border}\"\nname = \"hexagon\"\npitch = 2.6\nbridge = 0.8\n\
         corner_radius = 0.1\n[saw]\nblade = \"4/0\"\ndrill = 0.6\nclean_up = 0.05\n[limits]\nbridge = 0.6\n[rates]\nper_hour = 30\n"
    );
    parse(&text, "bench.toml", &NamedFiles::new(), &Settings::default()).expect("a sound job")
}

/// Milliseconds of each step: the edit, outline, cells, openings, bridges, findings and plan.
fn step_by_step(session: &mut Session, edit: Edit) -> [f64; 6] {
    let mut last = Instant::now();
    let mut lap = || {
        let now = Instant::now();
        1e3 * (now - std::mem::replace(&mut last, now)).as_secs_f64()
    };
    session.edit(&[edit]).expect("read");
    let edited = lap();
    black_box(session.outline().expect("outline"));
    let outline = lap();
    black_box(session.cells().expect("cells"));
    let cells = lap();
    black_box(session.piece().expect("openings"));
    let openings = lap();
    black_box(session.bridges().expect("bridges"));
    let bridges = lap();
    black_box(session.work().expect("findings"));
    [edited, outline, cells, openings, bridges, lap()]
}

/// Milliseconds from an edit to what is shown at once, and from the outline to the first candidate of the fit.
fn first_shown(session: &mut Session, edit: Edit) -> [f64; 2] {
    let mut last = Instant::now();
    let mut lap = || 1e3 * std::mem::replace(&mut last, Instant::now()).elapsed().as_secs_f64();
    session.edit(&[edit]).expect("read");
    black_box(session.at_once().expect("shown"));
    let at_once = lap();
    let (outline, job) = (session.outline().expect("outline").clone(), session.typed().clone());
    lap();
    black_box(first_piece(&job, outline).expect("bent"));
    [at_once, lap()]
}

fn main() {
    // A test run of the benches asks only whether they run.
    let rounds = if std::env::args().any(|a| a == "--test") { 1 } else { ROUNDS };
    for (across, aim) in DISCS {
        for at_border in ["trim", "fit"] {
            let mut session = Session::new(job(across, at_border));
            let count = session.work().expect("worked").piece.openings.len();
            println!("\n{count} openings, at_border = \"{at_border}\"; aim {aim} ms\n");
            println!(
                "{:<16}{:>9}   edit, outline, cells, openings, bridges, findings and plan",
                "edit", "ms"
            );
            for (name, key, values) in EDITS {
                let edit = |k: usize| {
                    let by = values[k % 2];
                    let value = if key == "outline.diameter" { f64::from(across) + by } else { by };
                    Edit::set(key, Value::Number(value))
                };
                let mut runs: Vec<[f64; 6]> =
                    (0..2 * rounds).map(|k| step_by_step(&mut session, edit(k))).collect();
                let sum = |run: &[f64; 6]| run.iter().sum::<f64>();
                runs.sort_by(|a, b| sum(a).total_cmp(&sum(b)));
                let middle = runs[runs.len() / 2];
                let steps = middle.map(|ms| format!("{ms:.2}")).join(", ");
                println!("{name:<16}{:>9.2}   {steps}", sum(&middle));
                if at_border == "fit" && name == "pitch" {
                    let shown: Vec<[f64; 2]> =
                        (0..2 * rounds).map(|k| first_shown(&mut session, edit(k))).collect();
                    for (which, title) in ["  shown at once", "  first fit"].into_iter().enumerate() {
                        let mut times: Vec<f64> = shown.iter().map(|run| run[which]).collect();
                        times.sort_by(f64::total_cmp);
                        println!("{title:<16}{:>9.2}", times[times.len() / 2]);
                    }
                }
            }
        }
    }
}
