//! Files out: each whole or not at all, a set of them all or none, and nothing of the maker's written over.
//!
//! What may be replaced: files that an earlier drawing of the same job wrote. The plan of a job (`STEM.json`) lists the
//! files written with it, so a file that another job's plan lists, or that no drawing made, stays as it is.
//!
//! One program at a time writes into a folder. Finished files stand there under a hidden name first and are moved into
//! place in one step each; what a killed run left under such a name is cleared away by the next.

use super::faults::{about, trouble};
use crate::error::{Error, Kind};
use serde::de::{Deserializer, IgnoredAny, MapAccess, Visitor};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsStr;
use std::fmt::{self, Formatter};
use std::fs::{self, File};
use std::io::{self, BufReader, BufWriter, Read, Write};
use std::path::{Path, PathBuf};
use tempfile::{NamedTempFile, TempPath};

/// How files begin that are not in their place yet.
const HIDDEN: &str = ".sawpierce-";

/// A file to be written, and what writes it: a long one is never whole in memory.
pub(super) struct Output<'a> {
    pub(super) path: PathBuf,
    content: Box<Content<'a>>,
}

type Content<'a> = dyn Fn(&mut dyn Write) -> io::Result<()> + 'a;

impl<'a> Output<'a> {
    pub(super) fn new(path: PathBuf, content: impl Fn(&mut dyn Write) -> io::Result<()> + 'a) -> Self {
        Self { path, content: Box::new(content) }
    }

    /// A file whose bytes are there.
    pub(super) fn of_bytes(path: PathBuf, bytes: Vec<u8>) -> Self {
        Self::new(path, move |to| to.write_all(&bytes))
    }
}

/// Writes the files of one command; what it wrote for one job it does not write over for the next.
#[derive(Default)]
pub(super) struct Writer {
    /// Jobs, and the files they name.
    keep: Vec<PathBuf>,
    written: Vec<PathBuf>,
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

impl Writer {
    /// Nothing in `keep` is ever written over.
    pub(super) fn new(keep: Vec<PathBuf>) -> Self {
        Self { keep, written: Vec::new() }
    }

    /// Writes all files or none. `job` is the stem that the files are named after, where they are those of a job:
    /// files of its earlier drawing that are not made again go.
    pub(super) fn write(&mut self, outputs: &[Output], job: Option<&str>) -> Result<(), Error> {
        let folders: BTreeSet<&Path> = outputs.iter().map(|output| parent(&output.path)).collect();
        let _turns: Vec<Option<File>> = folders.iter().map(|folder| take_turn(folder)).collect();
        let mut lists = Lists::default();
        for (i, output) in outputs.iter().enumerate() {
            if outputs[..i].iter().any(|other| other.path == output.path) {
                let todo = "rename one of the jobs, or draw them apart with --out";
                return Err(about(Kind::File, &output.path, "two jobs would write this file", todo));
            }
            self.may_write(&output.path, job, &mut lists)?;
        }
        let stale = job.map_or_else(Vec::new, |job| self.stale(&folders, job, outputs, &mut lists));
        let ready = outputs.iter().map(prepare).collect::<Result<Vec<_>, _>>()?;
        let mut done: Vec<PlacedFile> = Vec::new();
        for (output, temp) in outputs.iter().zip(ready) {
            match place(&output.path, temp) {
                Ok(placed) => done.push(placed),
                Err(why) => {
                    done.into_iter().rev().for_each(PlacedFile::undo);
                    let wrong = "this file cannot be written";
                    return Err(trouble(&output.path, wrong, &why, "nothing was changed"));
                }
            }
        }
        drop(done);
        stale.iter().for_each(|path| drop(fs::remove_file(path)));
        folders.iter().for_each(|folder| drop(File::open(folder).and_then(|f| f.sync_all())));
        self.written.extend(outputs.iter().map(|output| output.path.clone()));
        Ok(())
    }

    /// Whether a file may be put in this place.
    fn may_write(&self, path: &Path, job: Option<&str>, lists: &mut Lists) -> Result<(), Error> {
        let refuse = |wrong: String, todo: &str| Err(about(Kind::File, path, wrong, todo));
        if self.keep.iter().any(|kept| same(kept, path)) {
            let todo = "rename the job, or draw into another folder with --out";
            return refuse("this is a file of a job and is not written over".into(), todo);
        }
        if self.written.iter().any(|other| same(other, path)) {
            let todo = "rename one of the jobs, or draw them apart with --out";
            return refuse("another job has just written this file".into(), todo);
        }
        if path.is_dir() {
            return refuse("there is a folder of this name".into(), "move it out of the way");
        }
        let Some(job) = job.filter(|_| path.symlink_metadata().is_ok()) else { return Ok(()) };
        let owners = lists.owners(path);
        if let Some(other) = owners.iter().find(|owner| *owner != job) {
            let todo = "rename one of the jobs, or draw into another folder with --out";
            return refuse(format!("this file belongs to the drawing of {other}"), todo);
        }
        if owners.is_empty() && !is_drawing(path) {
            let todo = "move it out of the way, or draw into another folder with --out";
            return refuse("this file was not made by a drawing and is not written over".into(), todo);
        }
        Ok(())
    }

    /// Files that an earlier drawing of this job made and this one does not.
    fn stale(
        &self,
        folders: &BTreeSet<&Path>,
        job: &str,
        outputs: &[Output],
        lists: &mut Lists,
    ) -> Vec<PathBuf> {
        let listed = |folder: &&Path| -> Vec<PathBuf> {
            lists.of(folder.join(format!("{job}.json"))).iter().map(|name| folder.join(name)).collect()
        };
        let files = folders.iter().flat_map(listed).filter(|path| path.is_file());
        // "moth.svg" and "./moth.svg" are one file.
        let whole = |path: &Path| (parent(path).to_path_buf(), path.file_name().map(OsStr::to_os_string));
        let left = files.filter(|path| !outputs.iter().any(|output| whole(&output.path) == whole(path)));
        left.filter(|path| !self.keep.iter().chain(&self.written).any(|kept| same(kept, path))).collect()
    }
}

/// The files that a plan lists as written with it; names only, so that none leads out of the folder. A plan is read as far as
/// its list, near the beginning.
fn listed(plan: &Path) -> Vec<String> {
    struct Files<'a>(&'a mut Vec<Value>);
    impl<'de> Visitor<'de> for Files<'_> {
        type Value = ();
        fn expecting(&self, words: &mut Formatter) -> fmt::Result {
            words.write_str("a plan")
        }
        fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
            while let Some(key) = map.next_key::<String>()? {
                if key == "files" {
                    *self.0 = map.next_value()?;
                    break;
                }
                map.next_value::<IgnoredAny>()?;
            }
            Ok(())
        }
    }
    let Ok(plan) = File::open(plan) else { return Vec::new() };
    let mut files = Vec::new();
    // That it ends too soon is no fault of the plan's.
    let _ = serde_json::Deserializer::from_reader(BufReader::with_capacity(BUFFER, plan))
        .deserialize_map(Files(&mut files));
    let names = files.iter().filter_map(|name| name.as_str());
    names.filter(|name| Path::new(name).file_name().is_some_and(|n| n == *name)).map(str::to_string).collect()
}

/// What plans list, each read once.
#[derive(Default)]
struct Lists(BTreeMap<PathBuf, Vec<String>>);

impl Lists {
    fn of(&mut self, plan: PathBuf) -> &[String] {
        self.0.entry(plan).or_insert_with_key(|plan| listed(plan))
    }

    /// The jobs whose plans list a file: those whose stems it begins with.
    fn owners(&mut self, path: &Path) -> Vec<String> {
        let Some(name) = path.file_name().and_then(|name| name.to_str()) else { return Vec::new() };
        let ends = name.char_indices().filter(|(_, c)| matches!(c, '-' | '.')).map(|(i, _)| i);
        let stems = ends.map(|i| &name[..i]).filter(|stem| !stem.is_empty());
        let mut lists = |stem: &&str| {
            self.of(path.with_file_name(format!("{stem}.json"))).iter().any(|listed| listed == name)
        };
        stems.filter(|stem| lists(stem)).map(str::to_string).collect()
    }
}

/// Whether a file looks like one of a drawing, for those that no plan lists any more.
fn is_drawing(path: &Path) -> bool {
    /// What stands in every file of ours of its kind.
    const MARKS: [&[u8]; 3] = [b"id=\"saw-lines\"", b"(Sawpierce)", b"\"schema\":"];
    /// As much as the longest of them: one may lie across two pieces that are read.
    const LONGEST: usize = 15;
    let Ok(file) = File::open(path) else { return false };
    let mut read = Vec::new();
    loop {
        read.drain(..read.len().saturating_sub(LONGEST));
        match (&file).take(BUFFER as u64).read_to_end(&mut read) {
            Ok(0) => return read.is_empty(),
            Ok(_) if MARKS.iter().any(|mark| read.windows(mark.len()).any(|part| part == *mark)) => {
                return true
            }
            Ok(_) => {}
            Err(_) => return false,
        }
    }
}

fn parent(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Waits until no other program writes into this folder, and clears away what killed ones left. `None` where the system
/// has no such locks: then nothing is cleared either.
fn take_turn(folder: &Path) -> Option<File> {
    let turn = File::open(folder).ok()?;
    turn.lock().ok()?;
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        if entry.file_name().to_string_lossy().starts_with(HIDDEN) {
            let _ = fs::remove_file(entry.path());
        }
    }
    Some(turn)
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
    builder.prefix(HIDDEN);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(parent(path))
}

/// Bytes that are written at a time. Smaller asks the disk more often; larger only takes memory.
const BUFFER: usize = 1 << 17;

/// The whole content on disk, under a name of its own beside the file it will be.
fn prepare(output: &Output) -> Result<NamedTempFile, Error> {
    let write = || -> io::Result<NamedTempFile> {
        let mut temp = temporary(&output.path)?;
        let mut to = BufWriter::with_capacity(BUFFER, &mut temp);
        (output.content)(&mut to)?;
        to.flush()?;
        drop(to);
        temp.as_file().sync_all()?;
        Ok(temp)
    };
    write().map_err(|why| {
        let todo = match why.kind() {
            io::ErrorKind::ReadOnlyFilesystem | io::ErrorKind::PermissionDenied => {
                "make its folder writable or choose another folder; nothing was written"
            }
            _ => "make room or choose another folder; nothing was written",
        };
        trouble(&output.path, "this file cannot be written", &why, todo)
    })
}

/// A file put in its place, with a second name of the one that stood there before.
struct PlacedFile {
    path: PathBuf,
    before: Option<TempPath>,
}

/// Moves the finished file into place in one step: at every moment the old file or the new one stands there.
fn place(path: &Path, temp: NamedTempFile) -> io::Result<PlacedFile> {
    let before = match fs::symlink_metadata(path) {
        Ok(_) => Some(second_name(path)?),
        Err(_) => None,
    };
    let placed = PlacedFile { path: path.to_path_buf(), before };
    temp.persist(path).map_err(|refused| refused.error)?;
    Ok(placed)
}

/// Another hidden name for a file, or a copy of it where the disk has no second names.
fn second_name(path: &Path) -> io::Result<TempPath> {
    let aside = temporary(path)?.into_temp_path();
    fs::remove_file(&aside)?;
    if fs::hard_link(path, &aside).is_err() {
        fs::copy(path, &aside)?;
    }
    Ok(aside)
}

impl PlacedFile {
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

/// A turn to write beside a file, until it is dropped: no other program changes what was read meanwhile.
pub(super) fn turn_beside(path: &Path) -> Option<File> {
    take_turn(parent(path))
}

/// Puts a text in the place of a file of ours or the maker's, in one step, once it stands whole on the disk. The turn is the
/// asker's: another program's would clear away what is not in its place yet.
pub(super) fn replace(path: &Path, text: &str) -> Result<(), Error> {
    let output = Output::of_bytes(path.to_path_buf(), text.as_bytes().to_vec());
    prepare(&output)?.persist(path).map_err(|refused| {
        trouble(path, "this file cannot be written", &refused.error, "choose another folder")
    })?;
    drop(File::open(parent(path)).and_then(|folder| folder.sync_all()));
    Ok(())
}

fn taken(path: &Path) -> Error {
    let todo = "choose another name, or move that file away";
    about(Kind::File, path, "there is a file of this name already", todo)
}

/// Refuses a name that is taken, before anything long is done for a file of that name.
pub(super) fn must_be_new(path: &Path) -> Result<(), Error> {
    match path.symlink_metadata() {
        Ok(_) => Err(taken(path)),
        Err(_) => Ok(()),
    }
}

/// Writes a file that must not be there yet.
pub(super) fn write_new(path: &Path, text: &str) -> Result<(), Error> {
    must_be_new(path)?;
    let _turn = turn_beside(path);
    let output = Output::of_bytes(path.to_path_buf(), text.as_bytes().to_vec());
    prepare(&output)?.persist_noclobber(path).map(|_| ()).map_err(|refused| match refused.error.kind() {
        io::ErrorKind::AlreadyExists => taken(path),
        _ => trouble(path, "this file cannot be written", &refused.error, "choose another folder"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(text: &str) -> TempPath {
        let mut file = NamedTempFile::new().expect("a file");
        file.write_all(text.as_bytes()).expect("room");
        file.into_temp_path()
    }

    /// A plan of a million openings has hundreds of megabytes after its list.
    #[test]
    fn a_plan_is_read_as_far_as_its_list() {
        let plan =
            file("{\"schema\": 2, \"files\": [\"leaf.svg\", \"../moth.svg\", 7], \"openings\": {\"cou");
        assert_eq!(listed(&plan), ["leaf.svg"]);
        let of_old = file("{\"schema\": 2, \"openings\": {\"count\": [1, 2]}, \"files\": [\"leaf.svg\"]}");
        assert_eq!(listed(&of_old), ["leaf.svg"]);
        assert!(listed(&file("[1, 2]")).is_empty() && listed(Path::new("no such plan")).is_empty());
    }

    #[test]
    fn a_mark_that_lies_across_two_reads_is_found() {
        for before in [0, BUFFER - 7, BUFFER, 2 * BUFFER - 1] {
            assert!(is_drawing(&file(&("x".repeat(before) + "\"schema\": 2"))), "{before}");
        }
        assert!(is_drawing(&file("")) && !is_drawing(&file(&"x".repeat(2 * BUFFER))));
    }
}
