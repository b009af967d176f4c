//! The inputs kept in `fuzz/corpus`, and some bred from them, through each target.

#[path = "../../fuzz/mutate.rs"]
mod mutate;
#[path = "../../fuzz/targets.rs"]
mod targets;

use mutate::{bred, Seed};
use std::fs;
use std::path::Path;
use targets::TARGETS;

/// Inputs bred for each target on each change, and by the ignored test.
const BRED: usize = 300;
const BRED_WHOLE: usize = 3000;

fn kept(folder: &str) -> Vec<(String, Vec<u8>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let entries = fs::read_dir(&folder).unwrap_or_else(|why| panic!("{}: {why}", folder.display()));
    let mut files: Vec<(String, Vec<u8>)> = entries
        .flatten()
        .map(|e| (e.file_name().to_string_lossy().into_owned(), fs::read(e.path()).expect("read")))
        .collect();
    files.sort();
    files
}

#[test]
fn every_kept_input_holds() {
    throw(BRED);
}

#[test]
#[ignore = "a minute; a share runs on each change"]
fn three_thousand_bred_inputs_hold() {
    throw(BRED_WHOLE);
}

/// All that is kept, and so many inputs bred from it for each target.
fn throw(bred_of_each: usize) {
    for target in TARGETS {
        let files = kept(&format!("fuzz/corpus/{}", target.name));
        assert!(!files.is_empty(), "{}: nothing is kept", target.name);
        for (name, bytes) in &files {
            println!("{} {name}: {}", target.name, (target.run)(bytes));
        }
        let more = target.seeds.iter().flat_map(|folder| kept(folder));
        let known: Vec<Vec<u8>> = files.into_iter().chain(more).map(|(_, bytes)| bytes).collect();
        let mut seed = Seed(0x5eed);
        // A whole piece or page takes a hundred times as long as the others.
        let slow = ["piece", "page"].contains(&target.name);
        for _ in 0..if slow { bred_of_each / 100 } else { bred_of_each } {
            (target.run)(&bred(&mut seed, &known, target.longest));
        }
    }
}
