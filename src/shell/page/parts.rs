//! The files of the page, built into the program.

use std::path::PathBuf;

/// A file of the page: its place under the page's address, its kind, its bytes.
struct Asset {
    path: &'static str,
    mime: &'static str,
    bytes: &'static [u8],
}

const HTML: &str = "text/html; charset=utf-8";
const CSS: &str = "text/css; charset=utf-8";
const JS: &str = "text/javascript; charset=utf-8";
const JSON: &str = "application/json; charset=utf-8";
const SVG: &str = "image/svg+xml";

macro_rules! part {
    ($path:literal, $mime:expr) => {
        Asset {
            path: $path,
            mime: $mime,
            bytes: include_bytes!(concat!(env!("CARGO_MANIFEST_DIR"), "/page/", $path)),
        }
    };
}

/// Everything the page is made of. The first is the page itself.
const PARTS: &[Asset] = &[
    part!("index.html", HTML),
    part!("js/bringing.js", JS),
    part!("js/engine.js", JS),
    part!("js/eye.js", JS),
    part!("js/first.js", JS),
    part!("js/job-text.js", JS),
    part!("js/life.js", JS),
    part!("js/live-region.js", JS),
    part!("js/main.js", JS),
    part!("js/measured.js", JS),
    part!("js/mending.js", JS),
    part!("js/metal.js", JS),
    part!("js/outline-points.js", JS),
    part!("js/outline.js", JS),
    part!("js/panels.js", JS),
    part!("js/paper.js", JS),
    part!("js/questions.js", JS),
    part!("js/rail.js", JS),
    part!("js/sheet.js", JS),
    part!("js/store.js", JS),
    part!("js/view.js", JS),
    part!("js/words.js", JS),
    part!("js/worn.js", JS),
    part!("style.css", CSS),
    part!("vendor/lit-html.js", JS),
    part!("words/en.json", JSON),
];

/// Where the files come from.
pub(super) struct Parts {
    /// A folder in place of the built-in files, for those who work on the page.
    folder: Option<PathBuf>,
}

impl Parts {
    pub(super) fn new(folder: Option<PathBuf>) -> Self {
        Self { folder }
    }

    /// A file by its path under the page's address; the page itself for the empty path.
    pub(super) fn find(&self, path: &str) -> Option<(&'static str, Vec<u8>)> {
        let path = if path.is_empty() { "index.html" } else { path };
        if let Some(folder) = &self.folder {
            return from_folder(folder, path);
        }
        let part = PARTS.iter().find(|part| part.path == path)?;
        Some((part.mime, part.bytes.to_vec()))
    }
}

/// A file of a folder; only plain names, so that none leads out of it.
fn from_folder(folder: &std::path::Path, path: &str) -> Option<(&'static str, Vec<u8>)> {
    let plain = |name: &str| {
        !name.is_empty()
            && !name.starts_with('.')
            && name.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_' | b'.'))
    };
    if !path.split('/').all(plain) {
        return None;
    }
    let mime = match path.rsplit('.').next()? {
        "html" => HTML,
        "css" => CSS,
        "js" => JS,
        "json" => JSON,
        "svg" => SVG,
        _ => return None,
    };
    Some((mime, std::fs::read(folder.join(path)).ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;
    use std::path::Path;

    #[test]
    fn every_file_of_the_page_is_built_in() {
        fn walk(folder: &Path, under: &str, found: &mut BTreeSet<String>) {
            for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
                let name = format!("{under}{}", entry.file_name().to_string_lossy());
                if entry.path().is_dir() {
                    walk(&entry.path(), &format!("{name}/"), found);
                } else {
                    found.insert(name);
                }
            }
        }
        let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("page");
        let mut found = BTreeSet::new();
        walk(&page, "", &mut found);
        let served = |name: &String| {
            let kind = matches!(name.rsplit('.').next(), Some("html" | "css" | "js" | "json"));
            let here = ["js/", "vendor/", "words/"].iter().any(|folder| name.starts_with(folder));
            // The offline file's own way to its engine is packed with it.
            kind && (here || name == "index.html" || name == "style.css") && name != "js/engine-offline.js"
        };
        let found: BTreeSet<String> = found.into_iter().filter(served).collect();
        let built: BTreeSet<String> = PARTS.iter().map(|part| part.path.to_string()).collect();
        assert_eq!(built, found);
    }

    #[test]
    fn no_path_leads_out_of_the_folder() {
        let parts = Parts::new(Some(Path::new(env!("CARGO_MANIFEST_DIR")).join("page")));
        assert!(parts.find("index.html").is_some());
        for path in [
            "../Cargo.toml",
            "js/../../README.md",
            "/etc/passwd",
            ".git/config",
            "js//x.js",
            "js/%2e%2e/x.js",
        ] {
            assert!(parts.find(path).is_none(), "{path}");
            assert!(Parts::new(None).find(path).is_none(), "{path}");
        }
    }
}
