//! The files of the page, built into the program.

use std::path::PathBuf;

/// A file of the page: its place under the page's address, its kind, its bytes.
struct Part {
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
        Part {
            path: $path,
            mime: $mime,
            bytes: include_bytes!(concat!(env!("CARGO_MANIFEST_DIR"), "/page/", $path)),
        }
    };
}

/// Everything the page is made of. The first is the page itself.
const PARTS: &[Part] = &[part!("index.html", HTML)];

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
