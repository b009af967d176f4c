//! The log of minutes, where it is kept and what it holds.

use super::{say, settings};
use crate::error::{Error, Kind, Place};
use crate::trade::timed::{read, Entry};
use std::path::{Path, PathBuf};

/// The log, if the system has a place for it.
pub(super) fn path_of_log() -> Result<PathBuf, Error> {
    Ok(settings::folder().ok_or_else(settings::homeless)?.join("minutes.txt"))
}

/// A log that cannot be used.
pub(super) fn trouble(path: &Path, why: &str) -> Error {
    let place = Place { file: path.display().to_string(), ..Place::default() };
    let wrong = format!("the log of minutes cannot be used: {why}");
    Error::at(
        Kind::File,
        place,
        wrong,
        "make that folder writable, or choose another with SAWPIERCE_SETTINGS",
    )
}

/// The log's text; bytes that are no letters spoil their own line only.
pub(super) fn text(path: &Path) -> Result<String, Error> {
    Ok(settings::stored_text(path).map_err(|why| trouble(path, &why))?.unwrap_or_default())
}

/// Every entry that reads. A log that cannot be used is told of and teaches nothing: no job waits for it.
pub(super) fn entries() -> Vec<Entry> {
    let Some(path) = settings::folder().map(|folder| folder.join("minutes.txt")) else { return Vec::new() };
    match text(&path) {
        Ok(text) => read(&text).0,
        Err(error) => {
            say::problem(&error);
            Vec::new()
        }
    }
}
