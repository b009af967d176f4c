//! Every pattern at about ten thousand openings, from job text to the bridge graph, on one core; the aim is 150 ms. Patterns
//! of few rounds are as large as they get. Last the evened-out cells with 50 passes, aim 2 s.
//!
//! `cargo bench --bench patterns [NAME...]` prints a table: pattern, openings, ms (the best of five).

use sawpierce::catalogue::{self, GROWN};
use sawpierce::checks::graph;
use sawpierce::job::{parse, NamedFiles, Settings};
use sawpierce::openings::piece;
use sawpierce::outline::outline;
use std::time::Instant;

const WANTED: f64 = 10_000.0;
const RUNS: usize = 5;
/// The largest disc tried, mm.
const LARGEST: f64 = 900.0;

fn text(name: &str, across: f64, extra: &str) -> String {
    format!(
        "[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"circle\"\ndiameter = {across}\nborder = 2\n\
         [pattern]\nat_border = \"trim\"\nname = \"{name}\"\nbridge = 0.8\n{extra}[saw]\nblade = \"4/0\"\ndrill = 0.6\n"
    )
}

/// Openings, and milliseconds for text, outline and pattern, openings, and bridges.
fn once(text: &str) -> Result<(usize, [f64; 3]), String> {
    let start = Instant::now();
    let job =
        parse(text, "bench.toml", &NamedFiles::new(), &Settings::default()).map_err(|e| e.to_string())?;
    let drawn = outline(&job).map_err(|e| e.to_string())?;
    let begun = start.elapsed();
    let made = piece(&job, drawn).map_err(|e| e.to_string())?;
    let opened = start.elapsed();
    let bridges = graph(&job, &made);
    let all = start.elapsed();
    std::hint::black_box(bridges);
    let ms = |d: std::time::Duration| d.as_secs_f64() * 1e3;
    Ok((made.openings.len(), [ms(begun), ms(opened - begun), ms(all - opened)]))
}

fn best(text: &str) -> Result<(usize, [f64; 3]), String> {
    let mut best = once(text)?;
    for _ in 1..RUNS {
        let again = once(text)?;
        if again.1.iter().sum::<f64>() < best.1.iter().sum() {
            best = again;
        }
    }
    Ok(best)
}

fn row(name: &str, extra: &str) {
    // The disc that holds the number wanted, from what a small one and then a nearer one hold.
    let (mut across, mut told) = (60.0, Err(String::new()));
    for _ in 0..4 {
        told = once(&text(name, across, extra));
        let Ok((n, _)) = told else { break };
        if (n as f64 / WANTED - 1.0).abs() < 0.05 || n == 0 {
            break;
        }
        across = (across * (WANTED / n as f64).sqrt()).min(LARGEST);
    }
    match told.and_then(|_| best(&text(name, across, extra))) {
        Ok((n, [a, b, c])) => {
            println!("{name:<26}{n:>9}{a:>9.1}{b:>10.1}{c:>9.1}{:>9.1}", a + b + c);
        }
        Err(why) => println!("{name:<26} {}", why.lines().next().unwrap_or_default()),
    }
}

fn main() {
    let asked: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    println!(
        "{:<26}{:>9}{:>9}{:>10}{:>9}{:>9}",
        "pattern", "openings", "outline", "openings", "bridges", "ms"
    );
    let repeats = catalogue::all().iter().map(|p| p.name.as_str());
    for name in repeats
        .chain(GROWN.iter().map(|g| g.name))
        .filter(|n| asked.is_empty() || asked.iter().any(|a| a == n))
    {
        row(name, "");
    }
    if asked.is_empty() || asked.iter().any(|a| a == "passes") {
        println!("with 50 passes:");
        row("evened-out", "passes = 50\n");
    }
}
