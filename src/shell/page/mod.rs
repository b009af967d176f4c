//! `sawpierce open`: the bench page, served to this machine's own browser.

mod gate;
mod guard;
mod keep;
mod own;
mod parts;
mod room;
mod server;

use super::{files, log, say, settings, Outcome};
use crate::error::{Error, Kind, Place};
use crate::live::Bench;
use clap::Args;
use keep::Keeper;
use room::Room;
use std::net::{Ipv4Addr, TcpListener};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The port that is tried first, so that the browser finds what it kept for this page; a few more after it where that is
/// taken, then any.
const PORT: u16 = 47129;
const MORE_PORTS: u16 = 9;
/// Letters of the token: 32 of 16 kinds are 128 bits, beyond guessing.
const TOKEN_BYTES: usize = 16;

#[derive(Args, Default)]
pub(super) struct OpenArgs {
    /// Job file; without it, a first piece lies on the bench
    #[arg(value_name = "JOB")]
    job: Option<PathBuf>,
    /// Port to serve the page from; else the usual one, or the next that is free
    #[arg(long)]
    port: Option<u16>,
    /// Print the address only
    #[arg(long)]
    no_browser: bool,
    /// Serve the page's files from a folder, while the page itself is worked on
    #[arg(long, value_name = "DIR", hide = true)]
    page_dir: Option<PathBuf>,
}

/// Serves the page until the program is ended.
pub(super) fn open(asked: &OpenArgs) -> Result<Outcome, Error> {
    let settings = settings::load();
    let (bench, keeper) = match &asked.job {
        Some(path) => {
            let text = files::text(path)?;
            let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
            let mut bench = Bench::with(&text, &name, files::beside(&text, path), settings, log::entries())
                .map_err(|error| named(error, &name, path))?;
            let keeper = Keeper::beside(path, &text);
            // Work that was kept and not saved goes on where it was left; undo leads back to the job file.
            if let Some(kept) = keeper.found() {
                bench.go_on_with(kept);
            }
            (bench, Some(keeper))
        }
        None => (Bench::new(settings, log::entries())?, None),
    };
    let listener = listen(asked.port)?;
    let port = listener.local_addr().map_err(|why| no_port(asked.port, &why))?.port();
    let token = token()?;
    let address = format!("http://127.0.0.1:{port}/{token}/");
    say::answer(&format!("{address}\n"))?;
    let ticket = if asked.no_browser { None } else { Some(self::token()?) };
    if let Some(ticket) = &ticket {
        show(&format!("http://127.0.0.1:{port}/{ticket}/"));
    }
    let parts = parts::Parts::new(asked.page_dir.clone());
    let ticket = guard::Ticket::new(ticket);
    server::serve(listener, server::Site { port, token, ticket, parts, room: Room::new(bench, keeper) })?;
    Ok(Outcome::Good)
}

/// The error with the file as it was named on the command line.
fn named(mut error: Error, name: &str, path: &Path) -> Error {
    for problem in error.problems.iter_mut().filter(|p| p.place.file == name) {
        problem.place.file = path.display().to_string();
    }
    error
}

fn no_port(port: Option<u16>, why: &std::io::Error) -> Error {
    let wrong = match port {
        Some(port) => format!("the page cannot be served from port {port}: {}", say::reason(why)),
        None => format!("the page cannot be served: {}", say::reason(why)),
    };
    Error::at(Kind::File, Place::default(), wrong, "name another port with --port, or leave --port away")
}

/// Listens on this machine alone.
fn listen(port: Option<u16>) -> Result<TcpListener, Error> {
    let on = |port: u16| -> std::io::Result<TcpListener> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        // What is accepted takes this over: the end of an answer does not wait for a receipt of its beginning. Where the
        // system has no such thing, answers are only slower.
        let _ = socket2::SockRef::from(&listener).set_tcp_nodelay(true);
        Ok(listener)
    };
    if let Some(port) = port {
        return on(port).map_err(|why| no_port(Some(port), &why));
    }
    let usual = (PORT..=PORT + MORE_PORTS).chain([0]);
    let mut why = None;
    for port in usual {
        match on(port) {
            Ok(listener) => return Ok(listener),
            Err(refused) => why = Some(refused),
        }
    }
    let why = why.unwrap_or_else(|| std::io::ErrorKind::AddrInUse.into());
    Err(no_port(None, &why))
}

/// A name nobody can guess, new each time.
fn token() -> Result<String, Error> {
    let mut bytes = [0u8; TOKEN_BYTES];
    getrandom::fill(&mut bytes).map_err(|why| {
        let todo = "start it again";
        Error::at(Kind::File, Place::default(), format!("this system gives no random numbers: {why}"), todo)
    })?;
    Ok(bytes.iter().map(|b| format!("{b:02x}")).collect())
}

/// Asks the system to show the page. Where it cannot, the address stands on the screen.
fn show(address: &str) {
    let (program, words): (&str, &[&str]) = match std::env::consts::OS {
        "macos" => ("open", &[]),
        "windows" => ("rundll32", &["url.dll,FileProtocolHandler"]),
        _ => ("xdg-open", &[]),
    };
    let quiet = Stdio::null;
    let started =
        Command::new(program).args(words).arg(address).stdin(quiet()).stdout(quiet()).stderr(quiet()).spawn();
    if let Ok(mut child) = started {
        // Waited for, so that it leaves nothing behind.
        std::thread::spawn(move || child.wait());
    }
}
