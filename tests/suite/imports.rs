//! Imports run one way: a module may use those before it, never those after it, and some crates
//! may be used in one module only. Read from the source text, comments left out.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// The modules in order; two in one place stand side by side.
const ORDER: [&[&str]; 17] = [
    &["units", "error"],
    &["reader"],
    &["geom", "trade"],
    &["catalogue"],
    &["job"],
    &["outline"],
    &["pattern"],
    &["openings"],
    &["checks"],
    &["plan"],
    &["work"],
    &["mend"],
    &["paper"],
    &["render"],
    &["pipeline"],
    &["live"],
    &["shell"],
];

/// Crates and words of the language that only some modules may use.
const ONLY_IN: [(&str, &[&str]); 19] = [
    ("kurbo", &["geom"]),
    ("i_overlay", &["geom"]),
    ("cavalier_contours", &["geom"]),
    ("svgtypes", &["geom"]),
    ("printpdf", &["render"]),
    ("lopdf", &["render"]),
    ("svg::node", &["render"]),
    ("subsetter", &["render"]),
    ("clap", &["shell", "main"]),
    ("tempfile", &["shell"]),
    ("toml::", &["reader", "catalogue", "job", "trade", "shell"]),
    ("serde_json::", &["render", "live", "shell"]),
    ("toml_edit", &["job"]),
    ("std::fs", &["shell", "main"]),
    ("std::env", &["shell", "main"]),
    ("std::time", &["shell", "main"]),
    ("std::thread", &["shell", "main"]),
    ("std::net", &["shell", "main"]),
    ("std::process", &["shell", "main"]),
];

fn sources() -> Vec<(String, PathBuf, String)> {
    fn walk(dir: &Path, found: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(dir).expect("src can be read") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                walk(&path, found);
            } else if path.extension().is_some_and(|e| e == "rs") {
                found.push(path);
            }
        }
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    walk(&root, &mut found);
    found.sort();
    found
        .into_iter()
        .map(|path| {
            let inner = path.strip_prefix(&root).expect("below src");
            let first = inner.components().next().expect("a name").as_os_str().to_string_lossy();
            let module = first.trim_end_matches(".rs").to_string();
            let text = fs::read_to_string(&path).expect("source is text");
            // Comments may name anything.
            let code: Vec<&str> = text.lines().filter(|l| !l.trim_start().starts_with("//")).collect();
            (module, path, code.join("\n"))
        })
        .collect()
}

fn place(module: &str) -> Option<usize> {
    ORDER.iter().position(|names| names.contains(&module))
}

#[test]
fn imports_run_one_way() {
    let sources = sources();
    assert!(sources.len() > 20, "only {} files were read", sources.len());
    let mut wrong = Vec::new();
    for (module, path, code) in &sources {
        if module == "lib" || module == "main" {
            continue;
        }
        let here = place(module).unwrap_or_else(|| panic!("{} is in no module of the order", path.display()));
        for part in code.split("crate::").skip(1) {
            let name: String = part.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            let Some(there) = place(&name) else { continue };
            if there > here || (there == here && name != *module && here > 2) {
                wrong.push(format!("{} uses crate::{name}", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "imports against the order:\n{}", wrong.join("\n"));
}

#[test]
fn some_crates_have_one_module() {
    let mut wrong = Vec::new();
    for (module, path, code) in sources() {
        for (word, modules) in ONLY_IN {
            let used = code.lines().any(|l| {
                l.match_indices(word).any(|(i, _)| {
                    let before = l[..i].chars().next_back();
                    !before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':')
                })
            });
            if used && !modules.contains(&module.as_str()) {
                wrong.push(format!("{} uses {word}", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "crates outside their module:\n{}", wrong.join("\n"));
}

/// Beside each other in a folder, files use each other one way only. A folder's `mod.rs` stands above its files: it names
/// them, and they may use what it holds.
#[test]
fn no_circle_of_files() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut uses: BTreeMap<(PathBuf, String), BTreeSet<String>> = BTreeMap::new();
    let sources = sources();
    for (_, path, code) in &sources {
        let code = code.split("#[cfg(test)]").next().unwrap_or_default();
        // Every folder above the file, with the name of the file or folder inside it, and how that folder is written here.
        let inner = path.strip_prefix(&root).expect("below src").with_extension("");
        let steps: Vec<String> =
            inner.components().map(|c| c.as_os_str().to_string_lossy().to_string()).collect();
        let is_mod = steps.last().is_some_and(|s| s == "mod");
        for depth in 1..steps.len() {
            let own = &steps[depth];
            if own == "mod" {
                continue;
            }
            let up = steps.len() - depth - usize::from(is_mod);
            let by_super = "super::".repeat(up);
            let by_crate = format!("crate::{}::", steps[..depth].join("::"));
            let entry = uses.entry((root.join(steps[..depth].join("/")), own.clone())).or_default();
            for way in [by_super, by_crate] {
                for (at, _) in code.match_indices(&way) {
                    if code[..at].ends_with("::") {
                        continue;
                    }
                    let rest = &code[at + way.len()..];
                    let names = match rest.strip_prefix('{') {
                        Some(list) => list.split('}').next().unwrap_or_default(),
                        None => {
                            rest.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap_or_default()
                        }
                    };
                    let first = |name: &str| name.split("::").next().unwrap_or_default().trim().to_string();
                    entry.extend(names.split(',').map(first));
                }
            }
        }
    }
    let mut circles = Vec::new();
    for start in uses.keys() {
        let (folder, name) = start;
        let mut seen = BTreeSet::new();
        let mut todo: Vec<String> = uses[start].iter().filter(|other| *other != name).cloned().collect();
        while let Some(next) = todo.pop() {
            if next == *name {
                circles.push(format!("{}/{name}", folder.display()));
                break;
            }
            if seen.insert(next.clone()) {
                let further = uses.get(&(folder.clone(), next.clone())).into_iter().flatten();
                todo.extend(further.filter(|other| **other != next).cloned());
            }
        }
    }
    assert!(uses.len() > 100, "only {} files were looked at", uses.len());
    assert!(circles.is_empty(), "files that use each other in a circle:\n{}", circles.join("\n"));
}

/// About 400 lines can be read in one sitting; the bound leaves a little slack.
#[test]
fn files_are_read_in_one_sitting() {
    let long: Vec<String> = sources()
        .into_iter()
        .map(|(_, path, _)| (fs::read_to_string(&path).expect("source").lines().count(), path))
        .filter(|(lines, _)| *lines > 460)
        .map(|(lines, path)| format!("{} has {lines} lines", path.display()))
        .collect();
    assert!(long.is_empty(), "{}", long.join("\n"));
}

#[test]
fn no_drawers() {
    for (_, path, _) in sources() {
        let name = path.file_stem().expect("a stem").to_string_lossy().to_string();
        assert!(
            !["util", "utils", "common", "helpers", "misc"].contains(&name.as_str()),
            "{}",
            path.display()
        );
    }
}
