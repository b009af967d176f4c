//! Throws bred inputs at one target for a while: `cargo run --example fuzz -- TARGET SECONDS [SEED]`.
//!
//! Built as the tests are, with overflow checks. An input that brings a panic, or takes longer than ten seconds, is
//! written to `target/finds`; each becomes a named test and a file of `fuzz/corpus/TARGET`.

mod mutate;
mod targets;

use mutate::{bred, Seed};
use std::collections::HashSet;
use std::panic::{catch_unwind, set_hook};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};
use targets::{Target, TARGETS};

/// Inputs kept to breed from at most; more thin out those that were good.
const MOST_KEPT: usize = 4000;
/// Longest input bred, bytes.
const LONGEST: usize = 20_000;
/// What takes longer is a find.
const SLOW: Duration = Duration::from_secs(10);

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let found = words.first().and_then(|name| TARGETS.iter().find(|t| t.name == name));
    let (Some(target), Some(seconds)) = (found, words.get(1).and_then(|s| s.parse().ok())) else {
        let names: Vec<&str> = TARGETS.iter().map(|t| t.name).collect();
        eprintln!("fuzz TARGET SECONDS [SEED]; targets: {}", names.join(", "));
        std::process::exit(2);
    };
    let seed = words.get(2).and_then(|s| s.parse().ok()).unwrap_or(1);
    throw(target, Duration::from_secs(seconds), seed);
}

fn seeds(target: &Target) -> Vec<Vec<u8>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let own = format!("fuzz/corpus/{}", target.name);
    let folders = std::iter::once(own.as_str()).chain(target.seeds.iter().copied());
    let mut files: Vec<PathBuf> = folders
        .flat_map(|f| std::fs::read_dir(root.join(f)).into_iter().flatten().flatten())
        .map(|e| e.path())
        .collect();
    files.sort();
    files.iter().filter_map(|file| std::fs::read(file).ok()).collect()
}

fn throw(target: &'static Target, time: Duration, seed: u64) {
    let finds = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/finds");
    std::fs::create_dir_all(&finds).expect("a folder for finds");
    set_hook(Box::new(|_| {}));
    let mut known = seeds(target);
    assert!(!known.is_empty(), "fuzz/corpus/{} is empty", target.name);
    let mut random = Seed(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
    let mut answers = HashSet::new();
    let now: Arc<Mutex<(Instant, Vec<u8>)>> = Arc::new(Mutex::new((Instant::now(), Vec::new())));
    watch(target, now.clone(), finds.clone());
    let (start, mut runs, mut found, mut slowest) = (Instant::now(), 0_u64, 0, Duration::ZERO);
    while start.elapsed() < time {
        let input = bred(&mut random, &known, LONGEST);
        let begun = Instant::now();
        *now.lock().expect("no panic while it is held") = (begun, input.clone());
        let ended = catch_unwind(|| (target.run)(&input));
        runs += 1;
        slowest = slowest.max(begun.elapsed());
        match ended {
            Ok(answer) => {
                if known.len() < MOST_KEPT && answers.insert(answer) {
                    known.push(input);
                }
            }
            Err(fault) => {
                let text = fault.downcast_ref::<String>().cloned();
                let said =
                    text.or_else(|| fault.downcast_ref::<&str>().map(|s| s.to_string())).unwrap_or_default();
                // One of each kind of fault is enough.
                let kind: String = said.chars().filter(|c| !c.is_ascii_digit()).take(80).collect();
                if answers.insert(format!("fault {kind}")) {
                    found += 1;
                    let file = finds.join(format!("{}-{seed}-{found}", target.name));
                    std::fs::write(&file, &input).expect("a find is kept");
                    println!("{}: {}: {said}", target.name, file.display());
                }
            }
        }
    }
    println!(
        "{}: {runs} runs in {:.0} s, {} kinds of answers, {found} finds, slowest {:.2} s, seed {seed}",
        target.name,
        start.elapsed().as_secs_f64(),
        answers.len(),
        slowest.as_secs_f64()
    );
}

/// Keeps the input that takes too long, and ends.
fn watch(target: &'static Target, now: Arc<Mutex<(Instant, Vec<u8>)>>, finds: PathBuf) {
    std::thread::spawn(move || loop {
        std::thread::sleep(Duration::from_millis(500));
        let held = now.lock().expect("no panic while it is held");
        if !held.1.is_empty() && held.0.elapsed() > SLOW * 2 {
            let file = finds.join(format!("{}-slow", target.name));
            std::fs::write(&file, &held.1).expect("a find is kept");
            println!("{}: over {} s: {}", target.name, 2 * SLOW.as_secs(), file.display());
            std::process::exit(1);
        }
    });
}
