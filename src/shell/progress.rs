//! A word on the terminal when the work takes longer than a breath.

use std::io::{IsTerminal, Write};
use std::sync::mpsc::{channel, RecvTimeoutError, Sender};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// Work shorter than this says nothing.
const QUIET: Duration = Duration::from_millis(500);

/// Tells on stderr what is being done, from half a second on, until dropped. Silent if stderr is not a terminal.
pub(super) struct Progress {
    watch: Option<(Sender<()>, JoinHandle<()>)>,
}

impl Progress {
    pub(super) fn start(what: impl Into<String>) -> Self {
        if !std::io::stderr().is_terminal() {
            return Self { watch: None };
        }
        let what = what.into();
        let (stop, stopped) = channel::<()>();
        let began = Instant::now();
        let teller = std::thread::Builder::new().spawn(move || {
            let mut told = false;
            while stopped.recv_timeout(QUIET) == Err(RecvTimeoutError::Timeout) {
                told = true;
                let _ = write!(std::io::stderr(), "\r{what} ... {} s\u{1b}[K", began.elapsed().as_secs());
            }
            if told {
                let _ = write!(std::io::stderr(), "\r\u{1b}[K");
            }
        });
        Self { watch: teller.ok().map(|teller| (stop, teller)) }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((stop, teller)) = self.watch.take() {
            drop(stop);
            let _ = teller.join();
        }
    }
}
