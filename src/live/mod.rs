//! The bench page's questions and answers: JSON text in, JSON text out, files as bytes. The program answers them over a
//! socket, the single offline file through WebAssembly; both ask the same [`Bench`].
//!
//! A question is `{"ask": "...", ...}`. An answer is `{"ok": true, "turn": N, ...}`, or `{"ok": false, "turn": N, "faults":
//! [{"line", "column", "key", "says"}]}` with the job left as it was. `turn` counts the changes of the job. Lengths are
//! millimetres and y runs up, except in SVG path data (`d`), where y runs down. In a question a number stands for mm where
//! the key is a length; a text stands for what a person types, in the job's own units. Texts for people come ready-made,
//! their lengths in the job's units.
//!
//! | ask | with | answer |
//! |---|---|---|
//! | `open` | `text`, `name`, `files` {name: base64} | state, `needs`: files the job names that were not given |
//! | `begin` | `answers` as [`Answers`](crate::pipeline::begin::Answers) names them | state, `remarks` |
//! | `state` | | `text`, `name`, `title`, `can_undo`, `can_redo`, `units`, `skill` |
//! | `whole` | | state, and the `files` the job names |
//! | `edit` | `edits` [{`path`, `value`}], `gesture` | state, `drawing`, `numbers` |
//! | `add`, `remove` | `section`, `at` or `index` | as `edit` |
//! | `text` | `text` | as `edit` |
//! | `undo`, `redo` | | as `edit` |
//! | `form` | | `groups` of fields, from the one table of keys |
//! | `drawing` | `quick` | see `drawing.rs` |
//! | `numbers` | | see `numbers.rs` |
//! | `findings` | `remedies` | `findings`, stops first |
//! | `at` | `x`, `y` | what is there, in words, and what can be done to it |
//! | `patterns` | | `patterns`: all there are |
//! | `sample` | `name`, or `title` and `edits` | one pattern on this piece, or whatever the edits bring about |
//! | `mend` | `cautions` | `changes` in words, `edits`, `before`, `after` |
//! | `wish` | `openings`, `hours` or `weight` | `says`, `edits`, `after`, `numbers` |
//! | `paper` | | `pages` as SVG, `names` |
//! | `plan` | | `sections` of the job card |
//! | `worn` | | `svg`: a band or a pair as it is worn |
//!
//! Questions that change the job may carry `window`, a name of the asker's own, and `turn`, the last one it knows: they
//! are refused with `"stale": true` where another window has changed the job since. They may carry `with`, a list of what
//! the answer should hold besides state: `drawing`, `numbers`, `form`, `findings`; the first two are usual. With `quick` a
//! pattern that is fitted to the border is shown trimmed, and of a large piece the openings alone: the drawing then says
//! `"final": false`, and numbers are left out: ask for both again. A question that brings about a drawing may carry `has`, the
//! name of the openings it holds (`drawing.tiles`): those parts of `openings` that are the same come as null.
//!
//! Whatever takes long is a [`Task`], or a [`NewJob`]: it can be worked out anywhere, while the bench answers on, and is given
//! back to [`Bench::finish`] or [`Bench::begun`]. A task whose turn has passed when it ends is answered with `"superseded": true`.

mod at;
mod change;
mod drawing;
mod ended;
mod findings;
mod form;
mod history;
mod new_job;
mod new_row;
mod numbers;
mod out;
mod patterns;
mod question;
mod refused;
mod task;
mod worn;

use drawing::Tiles;
pub use new_job::{NewJob, NewJobChosen};
pub use out::{file, FileMade};
pub use task::{Done, Task};

use crate::error::Error;
use crate::job::{self, Job, NamedFiles, Settings};
use crate::pipeline::{self, begin, Session};
use crate::trade::timed::Entry;
use history::{History, Snapshot};
use question::Question;
use refused::Refused;
use serde_json::{json, Map, Value};
use std::collections::BTreeMap;
use std::sync::Arc;

/// The piece that lies on the bench when no job was opened: a first piece, as `begin` would make it.
const FIRST: &str = include_str!("first.toml");
/// What it is called.
const FIRST_NAME: &str = "piece.toml";

/// An object of an answer.
type Answer = Map<String, Value>;

/// One job on the bench, with all that was done to it.
pub struct Bench {
    /// As far as it has been worked out, perhaps for an earlier turn.
    session: Session,
    worked: u64,
    /// As it is now.
    job: Job,
    settings: Settings,
    /// Minutes really taken, which teach the rates.
    log: Vec<Entry>,
    history: History,
    turn: u64,
    /// The openings that were shown last.
    shown: Option<Arc<Tiles>>,
    /// The last turn each window made.
    windows: BTreeMap<String, u64>,
}

/// What a question leads to.
pub enum Reached {
    /// It is answered.
    Answer(String),
    /// It has to be worked out, and given to [`Bench::finish`].
    Work(Box<Task>),
    /// A new job has to be chosen, and given to [`Bench::begun`].
    NewJob(Box<NewJob>),
}

impl Bench {
    /// A bench with a first piece on it.
    pub fn new(settings: Settings, log: Vec<Entry>) -> Result<Self, Error> {
        Self::with(FIRST, FIRST_NAME, NamedFiles::new(), settings, log)
    }

    /// A bench with a job on it. Errors are those of reading it.
    pub fn with(
        text: &str,
        name: &str,
        files: NamedFiles,
        settings: Settings,
        log: Vec<Entry>,
    ) -> Result<Self, Error> {
        let job = pipeline::read(text, name, &files, &settings, &log)?;
        let session = Session::new(job.clone());
        let kept = Snapshot { text: text.into(), name: name.into(), files: Arc::new(files), gesture: None };
        let history = History::new(kept);
        Ok(Self {
            session,
            worked: 0,
            job,
            settings,
            log,
            history,
            turn: 0,
            shown: None,
            windows: BTreeMap::new(),
        })
    }

    /// Answers a question, working it out here and now.
    pub fn ask(&mut self, question: &str) -> String {
        let mut reached = self.take(question);
        loop {
            reached = match reached {
                Reached::Answer(answer) => return answer,
                Reached::NewJob(new) => self.begun(new.choose(|| false)),
                Reached::Work(task) => Reached::Answer(self.finish(task.run(|| false))),
            }
        }
    }

    /// A file made from the job as it is now, worked out here and now. Errors: no such kind, or the job makes no paper.
    pub fn file(&mut self, kind: &str) -> Result<FileMade, Error> {
        file(&mut self.up_to_date(), kind)
    }

    /// The job worked out as far as it is, ready for steps that take long.
    pub fn up_to_date(&self) -> Session {
        let mut session = self.session.clone();
        session.replace(self.job.clone());
        session
    }

    /// How often the job was changed.
    pub fn turn(&self) -> u64 {
        self.turn
    }

    /// The text of the job.
    pub fn text(&self) -> &str {
        &self.history.now().text
    }

    /// The name of the job's file.
    pub fn name(&self) -> &str {
        &self.history.now().name
    }

    /// The job as it is now.
    pub fn job(&self) -> &Job {
        &self.job
    }

    /// Goes on with work that was kept: as one step more, so that undo leads back. What does not read is left.
    pub fn go_on_with(&mut self, text: String) {
        let kept = Snapshot { text: text.into(), gesture: None, ..self.history.now().clone() };
        if let Ok(job) = pipeline::read(&kept.text, &kept.name, &kept.files, &self.settings, &self.log) {
            self.history.add(kept);
            self.job = job;
            self.turn += 1;
        }
    }

    /// Puts what the shell learnt since in place of what it knew: printers, minutes.
    pub fn learn(&mut self, settings: Settings, log: Vec<Entry>) {
        (self.settings, self.log) = (settings, log);
        let kept = self.history.now().clone();
        if let Ok(job) = pipeline::read(&kept.text, &kept.name, &kept.files, &self.settings, &self.log) {
            self.job = job;
            self.turn += 1;
        }
    }

    /// Takes a question: answers it, or says what has to be worked out for it.
    pub fn take(&mut self, question: &str) -> Reached {
        let step = Question::read(question).map_err(Refused::from).and_then(|q| match q.ask() {
            "begin" => {
                self.fresh(&q)?;
                Ok(Reached::NewJob(Box::new(NewJob::read(q, self.turn)?)))
            }
            _ => self.step(&q),
        });
        self.reached(step)
    }

    /// Puts a new job on the bench.
    pub fn begun(&mut self, new: NewJobChosen) -> Reached {
        let NewJobChosen { question: q, chosen } = new;
        let step = self
            .fresh(&q)
            .and(chosen)
            .and_then(|(kept, says)| self.change(&q, kept).map(|step| step.with("remarks", json!([says]))));
        self.reached(step)
    }

    fn reached(&self, step: Result<Reached, Refused>) -> Reached {
        step.unwrap_or_else(|refused| Reached::Answer(self.refusal(refused)))
    }

    /// Takes back what was worked out, and gives the answer. A change that turned out to make no piece is taken back.
    pub fn finish(&mut self, done: Done) -> String {
        let Done { session, turn, made, changes, answer, shows } = done;
        if let Some(shows) = shows {
            self.shown = Some(shows);
        }
        if turn >= self.worked && answer.is_ok() {
            (self.session, self.worked) = (session, turn);
        }
        if made && turn == self.turn {
            self.history.prove();
        }
        match answer {
            Ok(answer) => self.answer(answer),
            Err(None) => self.refusal(Refused::superseded()),
            Err(Some(error)) if made => self.refusal(Refused::from(error)),
            Err(Some(error)) => self.failed(turn, changes, error),
        }
    }

    /// The answer where the job turned out to make no piece: the change that led to it is taken back.
    pub fn failed(&mut self, turn: u64, changes: bool, error: Error) -> String {
        if changes && turn != self.turn {
            return self.refusal(Refused::superseded());
        }
        if turn == self.turn && self.history.take_back() {
            self.turn += 1;
            self.reread();
        }
        self.refusal(Refused::from(error))
    }

    /// The job read again from what history holds, which read before.
    fn reread(&mut self) {
        let kept = self.history.now().clone();
        match pipeline::read(&kept.text, &kept.name, &kept.files, &self.settings, &self.log) {
            Ok(job) => self.job = job,
            Err(wrong) => crate::error::fault(wrong),
        }
    }

    fn step(&mut self, q: &Question) -> Result<Reached, Refused> {
        let answered = |answer: Answer| Ok(Reached::Answer(Value::Object(answer).to_string()));
        match q.ask() {
            "open" => {
                let text = q.needed("text")?.to_string();
                let name = q.text("name").unwrap_or("job.toml").to_string();
                let files = q.files()?;
                let needs = job::needs(&text).unwrap_or_default();
                let missing: Vec<String> = needs.into_iter().filter(|n| !files.contains_key(n)).collect();
                if !missing.is_empty() {
                    return Err(Refused::needs(missing));
                }
                self.fresh(q)?;
                let kept = Snapshot { text: text.into(), name, files: Arc::new(files), gesture: None };
                self.change(q, kept)
            }
            "edit" => self.edit(q, &q.edits(&self.job)?),
            "add" => {
                let edit = new_row::added(&self.job, q)?;
                self.edit(q, &[edit])
            }
            "remove" => {
                let edit = new_row::removed(q)?;
                self.edit(q, &[edit])
            }
            "text" => {
                self.fresh(q)?;
                let text = q.needed("text")?.into();
                let kept = Snapshot { text, gesture: q.gesture(), ..self.history.now().clone() };
                self.change(q, kept)
            }
            "undo" | "redo" => {
                self.fresh(q)?;
                let moved = if q.ask() == "undo" { self.history.undo() } else { self.history.redo() };
                if moved {
                    self.changed_by(q);
                    self.reread();
                }
                Ok(self.shown(q))
            }
            "state" => answered(self.state()),
            "whole" => {
                let mut answer = self.state();
                answer.insert("files".into(), question::files_json(&self.history.now().files));
                answered(answer)
            }
            "form" => {
                let mut answer = self.state();
                answer.insert("groups".into(), form::groups(&self.job));
                answered(answer)
            }
            "patterns" => {
                let mut answer = self.head();
                answer.insert("patterns".into(), patterns::all());
                answered(answer)
            }
            _ => {
                let what = task::What::read(q, &self.job)?;
                let task = Task::new(self.up_to_date(), self.turn, self.head(), what);
                Ok(Reached::Work(Box::new(task.after(self.has(q)))))
            }
        }
    }

    /// Refuses what was asked on the ground of an older job, which another window has changed since.
    fn fresh(&self, q: &Question) -> Result<(), Refused> {
        let Some(known) = q.turn() else { return Ok(()) };
        let others = self.windows.iter().filter(|(window, _)| *window != q.window());
        match others.map(|(_, turn)| *turn).max() {
            Some(turn) if turn > known => Err(Refused::stale()),
            _ => Ok(()),
        }
    }

    fn changed_by(&mut self, q: &Question) {
        self.turn += 1;
        self.windows.insert(q.window().to_string(), self.turn);
    }

    fn edit(&mut self, q: &Question, edits: &[job::Edit]) -> Result<Reached, Refused> {
        self.fresh(q)?;
        let after = self.job.with(edits).map_err(begin::without_lines)?;
        let text = after.source.text.clone();
        // What the log teaches hangs on the skill.
        let learns = !self.log.is_empty() && after.skill != self.job.skill;
        let kept = Snapshot { text, gesture: q.gesture(), ..self.history.now().clone() };
        if learns {
            return self.change(q, kept);
        }
        self.put(q, kept, after);
        Ok(self.shown(q))
    }

    /// Reads a job's new text and puts it in place of the old one.
    fn change(&mut self, q: &Question, kept: Snapshot) -> Result<Reached, Refused> {
        let job = pipeline::read(&kept.text, &kept.name, &kept.files, &self.settings, &self.log);
        let job = job.map_err(|error| Refused::in_text(error, kept.text.clone()))?;
        self.put(q, kept, job);
        Ok(self.shown(q))
    }

    fn put(&mut self, q: &Question, kept: Snapshot, job: Job) {
        self.history.add(kept);
        self.job = job;
        self.changed_by(q);
    }

    /// State, and what else the asker wants to see of a changed job.
    fn shown(&self, q: &Question) -> Reached {
        let mut state = self.state();
        let wanted = q.with();
        if wanted.form {
            state.insert("groups".into(), form::groups(&self.job));
        }
        if !(wanted.drawing || wanted.numbers || wanted.findings) {
            return Reached::Answer(Value::Object(state).to_string());
        }
        let task = Task::new(self.up_to_date(), self.turn, state, task::What::Shown(wanted));
        Reached::Work(Box::new(task.after(self.has(q))))
    }

    /// The openings that the asker has, if they are those that were shown last.
    fn has(&self, q: &Question) -> Option<Arc<Tiles>> {
        self.shown.clone().filter(|shown| q.text("has") == Some(&shown.name))
    }

    fn head(&self) -> Answer {
        Answer::from_iter([("ok".to_string(), json!(true)), ("turn".to_string(), json!(self.turn))])
    }

    fn state(&self) -> Answer {
        let mut state = self.head();
        let (kept, job) = (self.history.now(), &self.job);
        let words = [
            ("text", json!(&*kept.text)),
            ("name", json!(kept.name)),
            ("title", json!(job.title)),
            ("units", json!(if job.units == job::LengthUnit::Inch { "in" } else { "mm" })),
            ("skill", json!(job.skill)),
            ("can_undo", json!(self.history.can_undo())),
            ("can_redo", json!(self.history.can_redo())),
        ];
        state.extend(words.map(|(key, value)| (key.to_string(), value)));
        state
    }

    fn answer(&self, answer: Answer) -> String {
        Value::Object(answer).to_string()
    }

    fn refusal(&self, refused: Refused) -> String {
        refused.told(self.turn)
    }
}

impl Reached {
    /// With one thing more in its answer.
    fn with(mut self, key: &str, value: Value) -> Self {
        if let Reached::Work(task) = &mut self {
            task.says(key, value);
        }
        self
    }
}
