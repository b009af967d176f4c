//! Files in, and files out whole or not at all.

use super::minutes;
use super::say::reason;
use crate::error::{Error, Kind, Place};
use crate::job::{self, Job, NamedFiles, Settings};
use crate::plan::{learnt_rates, skill_rates};
use crate::trade::pace::refit;
use crate::units::limits::JOB_FILE;
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use tempfile::{NamedTempFile, TempPath};

fn trouble(path: &Path, wrong: &str, why: &io::Error, todo: &str) -> Error {
    let place = Place { file: path.display().to_string(), ..Place::default() };
    Error::at(Kind::File, place, format!("{wrong}: {}", reason(why)), todo)
}

fn about(kind: Kind, path: &Path, wrong: impl Into<String>, todo: impl Into<String>) -> Error {
    Error::at(kind, Place { file: path.display().to_string(), ..Place::default() }, wrong, todo)
}

/// The bytes of a plain file of sensible size.
fn bytes(path: &Path) -> Result<Vec<u8>, Error> {
    let cannot =
        |why: &io::Error| trouble(path, "this file cannot be read", why, "check its name and folder");
    let found = fs::metadata(path).map_err(|why| cannot(&why))?;
    if !found.is_file() {
        let what = if found.is_dir() { "this is a folder" } else { "this is not a file on disk" };
        return Err(about(Kind::File, path, what, "name a file in it"));
    }
    let most = (JOB_FILE.most * 1e6) as u64;
    let mut read = Vec::new();
    File::open(path).and_then(|f| f.take(most + 1).read_to_end(&mut read)).map_err(|why| cannot(&why))?;
    if read.len() as u64 > most {
        let wrong = format!("this file is larger than {} {}", JOB_FILE.most, JOB_FILE.unit);
        return Err(about(Kind::Job, path, wrong, format!("name a job file: {}", JOB_FILE.why)));
    }
    Ok(read)
}

/// The text of a job file.
pub(super) fn text(path: &Path) -> Result<String, Error> {
    match String::from_utf8(bytes(path)?) {
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
    let read = |settings: &Settings| job::parse(text, name, files, settings);
    let job = read(settings)?;
    // What the log teaches depends on the job's skill, so it is known only now.
    let entries = minutes::entries();
    if entries.is_empty() {
        return Ok(job);
    }
    let rates = learnt_rates(&refit(&entries, &skill_rates(job.skill)));
    read(&Settings { rates, ..settings.clone() })
}

/// A file to be written.
pub(super) struct Output {
    pub(super) path: PathBuf,
    pub(super) bytes: Vec<u8>,
}

/// A folder that is there, for files to be written into.
pub(super) fn folder(path: &Path) -> Result<(), Error> {
    match fs::metadata(path) {
        Ok(found) if found.is_dir() => Ok(()),
        Ok(_) => Err(about(Kind::File, path, "this is not a folder", "give --out a folder")),
        Err(why) => {
            Err(trouble(path, "this folder cannot be used", &why, "make it first, or leave --out away"))
        }
    }
}

/// Writes all files or none. Files of the same name are replaced, except those in `keep`: a job is never written over.
pub(super) fn write(outputs: &[Output], keep: &[PathBuf]) -> Result<(), Error> {
    for (i, output) in outputs.iter().enumerate() {
        if keep.iter().any(|kept| same(kept, &output.path)) {
            return Err(about(
                Kind::File,
                &output.path,
                "this is a job file and is not written over",
                "rename the job",
            ));
        }
        if outputs[..i].iter().any(|other| other.path == output.path) {
            let todo = "rename one of the jobs, or draw them apart with --out";
            return Err(about(Kind::File, &output.path, "two jobs would write this file", todo));
        }
        if output.path.is_dir() {
            return Err(about(
                Kind::File,
                &output.path,
                "there is a folder of this name",
                "move it out of the way",
            ));
        }
    }
    let ready = outputs.iter().map(prepare).collect::<Result<Vec<_>, _>>()?;
    let mut done: Vec<Placed> = Vec::new();
    for (output, temp) in outputs.iter().zip(ready) {
        match place(&output.path, temp) {
            Ok(placed) => done.push(placed),
            Err(why) => {
                done.into_iter().rev().for_each(Placed::undo);
                return Err(trouble(
                    &output.path,
                    "this file cannot be written",
                    &why,
                    "nothing was changed",
                ));
            }
        }
    }
    Ok(())
}

/// Whether two names mean the same file on disk.
fn same(a: &Path, b: &Path) -> bool {
    match (fs::canonicalize(a), fs::canonicalize(b)) {
        (Ok(a), Ok(b)) => a == b,
        _ => a == b,
    }
}

/// A new file in the folder of `path`, with the rights any new file gets.
fn temporary(path: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".sawpierce-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => builder.tempfile_in(folder),
        _ => builder.tempfile_in("."),
    }
}

/// The whole content on disk, under a name of its own beside the file it will be.
fn prepare(output: &Output) -> Result<NamedTempFile, Error> {
    let write = || -> io::Result<NamedTempFile> {
        let mut temp = temporary(&output.path)?;
        temp.write_all(&output.bytes)?;
        temp.as_file().sync_all()?;
        Ok(temp)
    };
    write().map_err(|why| {
        let todo = "make room or choose another folder with --out; nothing was written";
        trouble(&output.path, "this file cannot be written", &why, todo)
    })
}

/// A file put in its place, with the one that stood there before.
struct Placed {
    path: PathBuf,
    before: Option<TempPath>,
}

/// Moves the finished file into place. What stood there is kept aside until all are placed.
fn place(path: &Path, temp: NamedTempFile) -> io::Result<Placed> {
    let mut before = None;
    if path.exists() {
        let aside = temporary(path)?.into_temp_path();
        fs::rename(path, &aside)?;
        before = Some(aside);
    }
    let placed = Placed { path: path.to_path_buf(), before };
    match temp.persist(path) {
        Ok(_) => Ok(placed),
        Err(refused) => {
            placed.undo();
            Err(refused.error)
        }
    }
}

impl Placed {
    /// Puts back what stood here, or nothing. If even this cannot be done, the old file keeps its name beside it.
    fn undo(self) {
        match self.before {
            Some(before) => {
                if let Err(refused) = before.persist(&self.path) {
                    let _ = refused.path.keep();
                }
            }
            None => {
                let _ = fs::remove_file(&self.path);
            }
        }
    }
}

/// Writes a file that must not be there yet.
pub(super) fn write_new(path: &Path, text: &str) -> Result<(), Error> {
    let taken = || about(Kind::File, path, "there is a file of this name already", "choose another name");
    if path.symlink_metadata().is_ok() {
        return Err(taken());
    }
    let output = Output { path: path.to_path_buf(), bytes: text.as_bytes().to_vec() };
    prepare(&output)?.persist_noclobber(path).map(|_| ()).map_err(|refused| match refused.error.kind() {
        io::ErrorKind::AlreadyExists => taken(),
        _ => trouble(path, "this file cannot be written", &refused.error, "choose another folder"),
    })
}
