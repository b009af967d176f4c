//! Work kept as it changes, beside the job file, until it is saved.
//!
//! The job file itself is written only when the maker saves. Until then every change goes to `STEM-kept.toml` beside it,
//! within a second; opened again, the work goes on from there. What another program wrote meanwhile is never written
//! over: the work then goes to a file of another name, and the page says so.

use crate::error::Error;
use crate::shell::output;
use serde_json::{json, Value};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{channel, RecvTimeoutError, Sender};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// Written once nothing has changed for this long, or once the oldest change that is not kept is as old as the second. Longer
/// loses more when the power goes; shorter keeps the disk busy while a hand drags (estimates).
const QUIET: Duration = Duration::from_millis(150);
const LATEST: Duration = Duration::from_millis(600);
/// A file that could not be written is tried again after this.
const AGAIN: Duration = Duration::from_secs(2);
/// Names tried for work that stands beside another's, at most.
const NAMES: usize = 100;

/// Where the work is, and how it stands.
struct KeptWork {
    /// The job file.
    job: PathBuf,
    /// As it was when it was read or saved.
    job_text: String,
    /// Where changes go.
    path: PathBuf,
    /// What was last read from there or written there; `None` while there is none.
    last: Option<String>,
    /// Why it could not be kept.
    trouble: Option<String>,
    /// Work of another program was found in the way, and left as it is.
    aside: Option<PathBuf>,
    /// Work kept earlier under further names, which nobody has looked at since.
    others: Vec<PathBuf>,
}

/// Keeps the work of one job.
pub(super) struct Keeper {
    kept: Arc<Mutex<KeptWork>>,
    /// Each with the moment it was changed.
    texts: Sender<(Instant, String)>,
}

fn lock(kept: &Mutex<KeptWork>) -> MutexGuard<'_, KeptWork> {
    kept.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Keeper {
    /// For a job file that was read as `text`.
    pub(super) fn beside(job: &Path, text: &str) -> Self {
        let path = named(job, 1);
        let last = fs::read_to_string(&path).ok();
        let others = (2..=NAMES).map(|k| named(job, k)).take_while(|other| other.exists()).collect();
        let kept = KeptWork {
            job: job.into(),
            job_text: text.into(),
            path,
            last,
            trouble: None,
            aside: None,
            others,
        };
        let kept = Arc::new(Mutex::new(kept));
        let (texts, changes) = channel::<(Instant, String)>();
        let here = kept.clone();
        std::thread::spawn(move || {
            // Changes that came while the disk was busy have waited since they were made, not since they are looked at.
            while let Ok((since, mut text)) = changes.recv() {
                loop {
                    let rest = LATEST.saturating_sub(since.elapsed()).min(QUIET);
                    match changes.recv_timeout(rest) {
                        Ok((_, newer)) => text = newer,
                        Err(RecvTimeoutError::Timeout) if lock(&here).write(&text) => break,
                        // The disk may have room again soon; newer work comes first.
                        Err(RecvTimeoutError::Timeout) => match changes.recv_timeout(AGAIN) {
                            Ok((_, newer)) => text = newer,
                            Err(RecvTimeoutError::Timeout) => {}
                            Err(RecvTimeoutError::Disconnected) => return,
                        },
                        Err(RecvTimeoutError::Disconnected) => {
                            lock(&here).write(&text);
                            return;
                        }
                    }
                }
            }
        });
        Self { kept, texts }
    }

    /// Work that was kept and never saved.
    pub(super) fn found(&self) -> Option<String> {
        let kept = lock(&self.kept);
        kept.last.clone().filter(|text| *text != kept.job_text)
    }

    /// Whether a job of this name is the one that is kept.
    pub(super) fn keeps(&self, job: &str) -> bool {
        name(&lock(&self.kept).job) == job
    }

    /// Keeps a text soon.
    pub(super) fn keep(&self, text: &str) {
        // The thread lives as long as this does.
        let _ = self.texts.send((Instant::now(), text.to_string()));
    }

    /// Writes the job file, and clears what was kept of it.
    pub(super) fn save(&self, text: &str) -> Result<(), Error> {
        lock(&self.kept).save(text)
    }

    /// Where the work is, in words.
    pub(super) fn says(&self, text: &str) -> Value {
        lock(&self.kept).says(text)
    }
}

/// "moth-kept.toml", "moth-kept-2.toml".
fn named(job: &Path, k: usize) -> PathBuf {
    let stem = job.file_stem().unwrap_or(job.as_os_str()).to_string_lossy();
    let name = if k == 1 { format!("{stem}-kept.toml") } else { format!("{stem}-kept-{k}.toml") };
    job.with_file_name(name)
}

fn name(path: &Path) -> String {
    path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

impl KeptWork {
    /// Writes the work; whether it stands on the disk now.
    fn write(&mut self, text: &str) -> bool {
        if self.last.as_deref() == Some(text) || (self.last.is_none() && text == self.job_text) {
            self.trouble = None;
            return true;
        }
        let _turn = output::turn_beside(&self.job);
        // What stands there is ours, or it is left as it is.
        let mut k = 1;
        while fs::read_to_string(&self.path).ok() != self.last {
            k += 1;
            if k > NAMES {
                self.trouble = Some("there are too many kept files beside this job".into());
                return false;
            }
            self.aside = Some(self.path.clone());
            (self.path, self.last) = (named(&self.job, k), None);
        }
        match output::replace(&self.path, text) {
            Ok(()) => {
                (self.last, self.trouble) = (Some(text.into()), None);
                true
            }
            Err(error) => {
                self.trouble = Some(error.problems.first().map_or(String::new(), |p| p.wrong.clone()));
                false
            }
        }
    }

    fn save(&mut self, text: &str) -> Result<(), Error> {
        let _turn = output::turn_beside(&self.job);
        if fs::read_to_string(&self.job).ok().as_deref() != Some(self.job_text.as_str()) {
            let todo = "take the job file out under another name, or open the changed one anew";
            let wrong = "another program has changed this file since it was opened";
            return Err(crate::shell::faults::about(crate::error::Kind::File, &self.job, wrong, todo));
        }
        output::replace(&self.job, text)?;
        self.job_text = text.into();
        // What was kept says the same now; only our own is cleared.
        if self.last.is_some() && fs::read_to_string(&self.path).ok() == self.last {
            let _ = fs::remove_file(&self.path);
        }
        self.last = None;
        Ok(())
    }

    fn says(&self, text: &str) -> Value {
        let saved = text == self.job_text;
        let here = self.last.as_deref() == Some(text);
        let (job, path) = (name(&self.job), name(&self.path));
        let says = match (&self.trouble, saved, here) {
            (Some(why), ..) => {
                format!("NOT KEPT: {path} cannot be written: {why}; take the job file out to another disk")
            }
            (None, true, _) => format!("saved in {job}"),
            (None, false, true) => match &self.aside {
                Some(other) => format!(
                    "kept in {path}, since another program writes {}; not yet saved in {job}",
                    name(other)
                ),
                None => format!("kept in {path}, not yet saved in {job}"),
            },
            (None, false, false) => format!("being kept in {path}"),
        };
        let others: Vec<String> =
            self.others.iter().filter(|other| **other != self.path).map(|o| name(o)).collect();
        let says = match others.is_empty() {
            true => says,
            false => format!("{says}; earlier work stands in {} too", others.join(", ")),
        };
        json!({
            "says": says,
            "safe": self.trouble.is_none() && (saved || here),
            "saved": saved,
            "job": self.job.display().to_string(),
            "path": self.path.display().to_string(),
        })
    }
}
