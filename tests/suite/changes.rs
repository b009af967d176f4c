//! What is added often is added in few places: rows of tables, patterns and checks are named by three files at most.

use sawpierce::checks::Check;
use sawpierce::pipeline::sampler::choices;
use sawpierce::trade;
use std::fs;
use std::path::{Path, PathBuf};

/// The files of `src` with their code: comments and the tests in them left out.
fn sources() -> Vec<(PathBuf, String)> {
    fn walk(dir: &Path, found: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(dir).expect("src can be read") {
            let path = entry.expect("an entry").path();
            let ext = path.extension().and_then(|e| e.to_str());
            if path.is_dir() {
                walk(&path, found);
            } else if ext == Some("toml") || ext == Some("rs") && !path.ends_with("tests.rs") {
                found.push(path);
            }
        }
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    walk(&root.join("src"), &mut found);
    walk(&root.join("patterns"), &mut found);
    found.sort();
    found
        .into_iter()
        .map(|path| {
            let text = fs::read_to_string(&path).expect("source is text");
            let text = text.split("#[cfg(test)]").next().unwrap_or_default();
            let code: Vec<&str> = text.lines().filter(|l| !l.trim_start().starts_with("//")).collect();
            (path.strip_prefix(root).expect("below the root").to_path_buf(), code.join("\n"))
        })
        .collect()
}

fn naming<'a>(sources: &'a [(PathBuf, String)], word: &str) -> Vec<&'a Path> {
    sources.iter().filter(|(_, code)| code.contains(word)).map(|(path, _)| path.as_path()).collect()
}

#[test]
fn a_metal_a_paper_and_a_pattern_are_named_by_three_files_at_most() {
    let sources = sources();
    // What the program begins with when nothing is asked for, and the shapes that others are described by.
    let demonstrated = ["copper", "A4", "hexagon", "square", "triangle"];
    let metals = trade::metals().iter().map(|m| m.name.clone());
    let papers = trade::papers().iter().map(|p| p.name.clone());
    let patterns = choices().into_iter().map(|c| c.name);
    let names: Vec<String> = metals.chain(papers).chain(patterns).collect();
    assert!(names.len() > 100, "only {} names", names.len());
    for name in names.iter().filter(|n| !demonstrated.contains(&n.as_str())) {
        let files = naming(&sources, &format!("\"{name}\""));
        // A pattern's own file is called as it is and does not name it; one that is a row of shapes may name others.
        let files: Vec<_> = files.into_iter().filter(|f| !f.starts_with("patterns")).collect();
        assert!((1..=3).contains(&files.len()), "{name}: {files:?}");
    }
}

/// Its row in `checks/mod.rs`, the check, and its sentence where that asks which check it is.
#[test]
fn a_check_is_made_and_told_in_three_files_at_most() {
    let sources = sources();
    for check in Check::ALL {
        let files = naming(&sources, &format!("Check::{check:?}"));
        let made = ["src/checks", "src/plan", "src/paper"];
        let files: Vec<_> = files.into_iter().filter(|f| made.iter().any(|m| f.starts_with(m))).collect();
        assert!((1..=2).contains(&files.len()), "{check}: {files:?}");
    }
}
