//! Errors about files.

use super::say::reason;
use crate::error::{Error, Kind, Place};
use std::io;
use std::path::Path;

/// A file that the system will not read or write.
pub(super) fn trouble(path: &Path, wrong: &str, why: &io::Error, todo: &str) -> Error {
    let place = Place { file: path.display().to_string(), ..Place::default() };
    Error::at(Kind::File, place, format!("{wrong}: {}", reason(why)), todo)
}

/// What is wrong with a file.
pub(super) fn about(kind: Kind, path: &Path, wrong: impl Into<String>, todo: impl Into<String>) -> Error {
    Error::at(kind, Place { file: path.display().to_string(), ..Place::default() }, wrong, todo)
}
