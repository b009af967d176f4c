//! What keeps a job from becoming paper at all. A metal that may suffer is not an [`Error`] but a verdict (`checks`).

use std::cell::RefCell;
use std::fmt;
use std::panic::{catch_unwind, resume_unwind, AssertUnwindSafe};
use std::rc::Rc;

/// Where in a file a problem stands. Lines and columns count from 1; 0 means the whole file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Place {
    /// The file as the user named it.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// What kind of trouble it is, which decides the exit status of the shell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The job itself cannot be used (exit 2).
    Job,
    /// A file cannot be read or written (exit 3).
    File,
    /// Sawpierce itself failed; nothing in the job need be wrong (exit 70).
    Inside,
}

/// One problem: where, what is wrong, what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Where it stands.
    pub place: Place,
    /// What is wrong.
    pub wrong: String,
    /// What to do about it; empty where the wrong says it.
    pub todo: String,
}

/// Why no paper can be made: every problem found, not only the first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Error {
    /// What kind of trouble it is.
    pub kind: Kind,
    /// Every problem found, in the order of the file.
    pub problems: Vec<Problem>,
}

impl Error {
    /// An error about a job as a whole.
    pub fn job(wrong: impl Into<String>, todo: impl Into<String>) -> Self {
        Self::at(Kind::Job, Place::default(), wrong, todo)
    }

    /// A fault of our own, from what went wrong inside.
    pub fn inside(what: impl fmt::Display) -> Self {
        let wrong = format!("Sawpierce itself failed: {what}");
        let todo = "nothing in your job need be wrong: please send the job file to those who make Sawpierce";
        Self::at(Kind::Inside, Place::default(), wrong, todo)
    }

    /// Whether Sawpierce itself failed, and nothing in the job need be wrong.
    pub fn is_our_fault(&self) -> bool {
        self.kind == Kind::Inside
    }

    /// An error with one problem at a place.
    pub fn at(kind: Kind, place: Place, wrong: impl Into<String>, todo: impl Into<String>) -> Self {
        Self { kind, problems: vec![Problem { place, wrong: wrong.into(), todo: todo.into() }] }
    }
}

impl Error {
    /// The same error with the file named where no place was known.
    pub fn in_file(mut self, file: &str) -> Self {
        for problem in self.problems.iter_mut().filter(|p| p.place.file.is_empty()) {
            problem.place.file = file.to_string();
        }
        self
    }
}

/// Stops at a fault of our own that no job can bring about: better no paper than a wrong one. Whoever called the library
/// gets it as [`Error::inside`], by [`guarded`].
pub fn fault(what: impl fmt::Display) -> ! {
    panic!("{what}")
}

/// Words for a terminal: signs that cannot be printed are shown as the sign for such.
pub fn printable(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { char::REPLACEMENT_CHARACTER } else { c }).collect()
}

/// Does something; a fault of our own on the way comes back as [`Error::inside`]. A build that ends at a panic (wasm32 in a
/// browser) ends there all the same.
pub fn guarded<T>(work: impl FnOnce() -> Result<T, Error>) -> Result<T, Error> {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|said| {
        if said.is::<GivenUp>() {
            resume_unwind(said);
        }
        let text = said.downcast_ref::<String>().map(String::as_str);
        Err(Error::inside(text.or_else(|| said.downcast_ref::<&str>().copied()).unwrap_or("unknown")))
    })
}

/// What unwinds from work that nobody waits for any more.
struct GivenUp;

thread_local! {
    /// Says whether nobody waits any more for what this thread works out.
    static UNWANTED: RefCell<Option<Rc<dyn Fn() -> bool>>> = const { RefCell::new(None) };
}

/// Does something that may be given up on the way: `None` where `unwanted`, asked by [`give_way`] as it goes, said so. What
/// the work changed until then is half done.
pub fn while_wanted<T>(unwanted: Rc<dyn Fn() -> bool>, work: impl FnOnce() -> T) -> Option<T> {
    let before = UNWANTED.replace(Some(unwanted));
    let done = catch_unwind(AssertUnwindSafe(work));
    UNWANTED.set(before);
    match done {
        Ok(done) => Some(done),
        Err(why) if why.is::<GivenUp>() => None,
        Err(why) => resume_unwind(why),
    }
}

/// Called between the small steps of long work: ends it where nobody waits for it any more. Does nothing outside of
/// [`while_wanted`].
pub fn give_way() {
    if UNWANTED.with_borrow(|unwanted| unwanted.as_ref().is_some_and(|unwanted| unwanted())) {
        resume_unwind(Box::new(GivenUp));
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.file.is_empty(), self.line) {
            (true, 0) => Ok(()),
            (true, _) => write!(f, "{}:{}: ", self.line, self.column),
            (false, 0) => write!(f, "{}: ", self.file),
            (false, _) => write!(f, "{}:{}:{}: ", self.file, self.line, self.column),
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let end = if self.todo.is_empty() { String::new() } else { format!("; {}", self.todo) };
        let line = format!("{}{}{end}", self.place, self.wrong);
        // One line, whatever stands in a name or a key: no sign of it moves the cursor.
        f.write_str(&printable(&line))
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.problems.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Error {}
