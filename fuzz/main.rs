//! Throws bred inputs at one target: `cargo run --profile fuzz --example fuzz -- TARGET RUNS [SEED]`.
//!
//! The profile is as quick as a release, with overflow checks and debug assertions. An input that brings a panic, or takes
//! longer than ten seconds, is written to `target/finds`; each becomes a named test and a file of `fuzz/corpus/TARGET`.
//! Inputs that brought new answers lie in `target/bred/TARGET` afterwards, and the next run breeds from them too.

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
/// What takes longer is a find.
const SLOW: Duration = Duration::from_secs(10);
/// How often it says how far it is.
const TOLD: Duration = Duration::from_secs(60);

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let found = words.first().and_then(|name| TARGETS.iter().find(|t| t.name == name));
    let (Some(target), Some(runs)) = (found, words.get(1).and_then(|s| s.parse().ok())) else {
        let names: Vec<&str> = TARGETS.iter().map(|t| t.name).collect();
        eprintln!("fuzz TARGET RUNS [SEED]; targets: {}", names.join(", "));
        std::process::exit(2);
    };
    let seed = words.get(2).and_then(|s| s.parse().ok()).unwrap_or(1);
    throw(target, runs, seed);
}

fn seeds(target: &Target) -> Vec<Vec<u8>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let own = [format!("fuzz/corpus/{}", target.name), format!("target/bred/{}", target.name)];
    let folders = own.iter().map(String::as_str).chain(target.seeds.iter().copied());
    let mut files: Vec<PathBuf> = folders
        .flat_map(|f| std::fs::read_dir(root.join(f)).into_iter().flatten().flatten())
        .map(|e| e.path())
        .collect();
    files.sort();
    files.iter().filter_map(|file| std::fs::read(file).ok()).collect()
}

fn throw(target: &'static Target, most: u64, seed: u64) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("target");
    let (finds, bred_here) = (root.join("finds"), root.join("bred").join(target.name));
    for folder in [&finds, &bred_here] {
        std::fs::create_dir_all(folder).expect("a folder");
    }
    set_hook(Box::new(|_| {}));
    let mut known = seeds(target);
    assert!(!known.is_empty(), "fuzz/corpus/{} is empty", target.name);
    let mut random = Seed(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
    let mut answers = HashSet::new();
    let now: Arc<Mutex<(Instant, Vec<u8>)>> = Arc::new(Mutex::new((Instant::now(), Vec::new())));
    watch(target, now.clone(), finds.clone());
    let (start, mut runs, mut found, mut slowest) = (Instant::now(), 0_u64, 0, Duration::ZERO);
    let mut told = TOLD;
    for input in &known {
        answers.extend(catch_unwind(|| (target.run)(input)));
    }
    while runs < most {
        if start.elapsed() > told {
            told += TOLD;
            println!("{}: {runs} runs, {found} finds, {} answers", target.name, answers.len());
        }
        let input = bred(&mut random, &known, target.longest);
        let begun = Instant::now();
        *now.lock().expect("no panic while it is held") = (begun, input.clone());
        let ended = catch_unwind(|| (target.run)(&input));
        runs += 1;
        let took = begun.elapsed();
        if took > slowest {
            slowest = took;
            std::fs::write(finds.join(format!("{}-slowest", target.name)), &input)
                .expect("the slowest is kept");
        }
        match ended {
            Ok(answer) => {
                if known.len() < MOST_KEPT && answers.insert(answer) {
                    let file = bred_here.join(format!("{seed}-{}", answers.len()));
                    std::fs::write(file, &input).expect("a new input is kept");
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
