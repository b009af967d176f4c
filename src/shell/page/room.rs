//! The bench behind the page: one job, many questions at the same time.

use super::gate::Gate;
use super::keep::Keeper;
use crate::error::Error;
use crate::live::{Bench, FileMade, NewJob, Reached, Task};
use crate::shell::{log, settings, true_size};
use std::any::Any;
use std::panic::{catch_unwind, AssertUnwindSafe};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// One job with all who ask about it.
pub(super) struct Room {
    bench: Mutex<Bench>,
    /// The turn of the job, for those who only want to know whether they are still wanted.
    turn: Arc<AtomicU64>,
    gate: Gate,
    keeper: Option<Keeper>,
}

impl Room {
    pub(super) fn new(bench: Bench, keeper: Option<Keeper>) -> Self {
        let turn = Arc::new(AtomicU64::new(bench.turn()));
        Self { bench: Mutex::new(bench), turn, gate: Gate::default(), keeper }
    }

    pub(super) fn bench(&self) -> MutexGuard<'_, Bench> {
        self.bench.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Who keeps the job on the bench: nobody once another job was opened than the one the program was started with.
    pub(super) fn keeper_of(&self, bench: &Bench) -> Option<&Keeper> {
        self.keeper.as_ref().filter(|keeper| keeper.keeps(bench.name()))
    }

    /// What has to happen after anything that may have changed the job.
    fn noted(&self, bench: &Bench) {
        let before = self.turn.swap(bench.turn(), Ordering::SeqCst);
        if before != bench.turn()
            && let Some(keeper) = self.keeper_of(bench)
        {
            keeper.keep(bench.text());
        }
    }

    /// The answer to a question about the piece.
    pub(super) fn answer(&self, question: &str) -> String {
        let mut reached = self.on_bench(|bench| bench.take(question));
        loop {
            reached = match reached {
                Reached::Answer(answer) => return answer,
                Reached::NewJob(new) => self.begun(*new),
                Reached::Work(task) => Reached::Answer(self.worked(*task)),
            }
        }
    }

    /// Does something with the bench, and what has to happen after it.
    fn on_bench<T>(&self, does: impl FnOnce(&mut Bench) -> T) -> T {
        let mut bench = self.bench();
        let done = does(&mut bench);
        self.noted(&bench);
        done
    }

    fn begun(&self, new: NewJob) -> Reached {
        let turn = new.turn();
        let newest = self.turn.clone();
        let unwanted = move || newest.load(Ordering::SeqCst) > turn;
        let leave = self.gate.enter(false, turn, || self.turn.load(Ordering::SeqCst), || false);
        let chosen = new.choose(unwanted);
        drop(leave);
        self.on_bench(|bench| bench.begun(chosen))
    }

    fn worked(&self, task: Task) -> String {
        let (turn, changes) = (task.turn(), task.changes());
        let newest = self.turn.clone();
        let unwanted = move || newest.load(Ordering::SeqCst) > turn;
        let now = || self.turn.load(Ordering::SeqCst);
        let done = match self.gate.enter(task.is_quick(), turn, now, &unwanted) {
            None => Ok(task.given_up()),
            Some(_leave) => catch_unwind(AssertUnwindSafe(|| task.run(unwanted))),
        };
        self.on_bench(|bench| match done {
            Ok(done) => bench.finish(done),
            Err(fault) => bench.failed(turn, changes, Error::inside(said(&*fault))),
        })
    }

    /// Goes by what is stored now: printers, minutes.
    pub(super) fn learn(&self) {
        self.on_bench(|bench| bench.learn(settings::load(), log::entries()));
    }

    /// A finished file of the job as it is now.
    pub(super) fn file(&self, kind: &str) -> Result<FileMade, Error> {
        if let Some(printer) = kind.strip_prefix("true-size") {
            return self.test_page(printer.strip_prefix('/'));
        }
        let (mut session, turn) = {
            let bench = self.bench();
            (bench.up_to_date(), bench.turn())
        };
        // A file that was asked for is wanted whatever happens to the job meanwhile.
        let _leave = self.gate.enter(false, turn, || self.turn.load(Ordering::SeqCst), || false);
        let made = catch_unwind(AssertUnwindSafe(|| crate::live::file(&mut session, kind)));
        made.unwrap_or_else(|fault| Err(Error::inside(said(&*fault))))
    }
}

impl Room {
    /// The page to measure a printer with, on the job's paper; corrected for a stored printer if one is named.
    fn test_page(&self, printer: Option<&str>) -> Result<FileMade, Error> {
        let paper = self.bench().job().paper.size.name.clone();
        let known = crate::trade::paper(&paper).map_or("A4", |paper| &paper.name);
        let bytes = true_size::page(known, &settings::load(), printer)?;
        Ok(FileMade { name: "true-size.pdf".into(), mime: "application/pdf", bytes })
    }
}

/// What a fault of our own says of itself.
fn said(fault: &(dyn Any + Send)) -> String {
    let text = fault.downcast_ref::<String>().map(String::as_str);
    text.or_else(|| fault.downcast_ref::<&str>().copied()).unwrap_or("unknown").to_string()
}
