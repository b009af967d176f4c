//! Files in: jobs, with the files they name.

use super::faults::{about, trouble};
use super::log;
use crate::error::{Error, Kind};
use crate::job::{self, Job, NamedFiles, Settings};
use crate::pipeline;
use crate::units::limits::{DRAWING_FILE, JOB_FILE};
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// The bytes of a plain file; of one too large, a few more than are taken of any.
fn bytes(path: &Path) -> Result<Vec<u8>, Error> {
    let cannot =
        |why: &io::Error| trouble(path, "this file cannot be read", why, "check its name and folder");
    let found = fs::metadata(path).map_err(|why| cannot(&why))?;
    if !found.is_file() {
        let what = if found.is_dir() { "this is a folder" } else { "this is not a file on disk" };
        return Err(about(Kind::File, path, what, "name a file in it"));
    }
    let most = (JOB_FILE.most.max(DRAWING_FILE.most) * 1e6) as u64;
    let mut read = Vec::new();
    File::open(path).and_then(|f| f.take(most + 1000).read_to_end(&mut read)).map_err(|why| cannot(&why))?;
    Ok(read)
}

/// The text of a job file.
pub(super) fn text(path: &Path) -> Result<String, Error> {
    let bytes = bytes(path)?;
    if JOB_FILE.counted(bytes.len() as f64 / 1e6).is_err() {
        let wrong = format!("this file is larger than {} {}", JOB_FILE.most, JOB_FILE.unit);
        return Err(about(Kind::Job, path, wrong, format!("name a job file: {}", JOB_FILE.why)));
    }
    match String::from_utf8(bytes) {
        Ok(text) if !text.contains('\0') => Ok(text),
        _ => Err(about(
            Kind::Job,
            path,
            "this is not a text file",
            "name a job file, as `sawpierce begin` writes it",
        )),
    }
}

/// Reads a job with all the files it names, which stand beside it.
pub(super) fn job(path: &Path, settings: &Settings) -> Result<Job, Error> {
    let text = text(path)?;
    read(&text, &path.display().to_string(), &beside(&text, path), settings)
}

/// The files a job's text names, which stand beside it.
pub(super) fn beside(text: &str, path: &Path) -> NamedFiles {
    let beside = path.parent().unwrap_or(Path::new(""));
    let mut files = NamedFiles::new();
    // A job that does not read names no files; `parse` says what is wrong with it.
    for name in job::needs(text).unwrap_or_default() {
        // What cannot be read is left out, and `parse` says so at its key.
        if let Ok(found) = bytes(&beside.join(&name)) {
            files.insert(name, found);
        }
    }
    files
}

/// Reads a job's text, with the rates learnt from minutes really taken.
pub(super) fn read(text: &str, name: &str, files: &NamedFiles, settings: &Settings) -> Result<Job, Error> {
    pipeline::read(text, name, files, settings, &log::entries())
}

/// The files a job keeps: its own and those it names, which nothing is written over.
pub(super) fn kept(path: &Path) -> Vec<PathBuf> {
    let beside = path.parent().unwrap_or(Path::new(""));
    let named = text(path).ok().and_then(|text| job::needs(&text).ok()).unwrap_or_default();
    std::iter::once(path.to_path_buf()).chain(named.into_iter().map(|name| beside.join(name))).collect()
}
