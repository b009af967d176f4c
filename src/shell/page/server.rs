//! Answers over HTTP, each in a thread of its own.

use super::guard::{admit, Asked, Refusal, Ticket, LARGEST};
use super::own;
use super::parts::Parts;
use super::room::Room;
use crate::error::{Error, Kind, Place};
use std::io::{Cursor, Read, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{channel, Receiver, RecvTimeoutError};
use std::sync::Arc;
use std::time::Duration;
use tiny_http::{Header, Method, Request, Response, Server};

/// Requests answered at the same time; more are turned away, so that nobody can start threads without end.
const AT_ONCE: usize = 64;

/// The server crate gives a connection to a thread that it takes for idle, and errs when several come at once: such a
/// connection waits until another one ends, which in a browser may be minutes. A connection of our own that ends as soon as
/// it is made sets the next of them going: after each file of the page, and this often in any case. Rarer, and a page may
/// stand still for so long; oftener, and the machine is woken for nothing.
const KNOCK: Duration = Duration::from_millis(250);
/// So many each time, as each sets one going: a hundred idle callers are passed in three seconds.
const KNOCKS: usize = 8;
/// Between two of them at least.
const REST: Duration = Duration::from_millis(3);

/// Nothing but the page's own files and what it draws itself: no other site, no script in a text, no frame round it.
const POLICY: &str =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; \
                      connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// What is served.
pub(super) struct Site {
    pub(super) port: u16,
    pub(super) token: String,
    pub(super) ticket: Ticket,
    pub(super) parts: Parts,
    pub(super) room: Room,
}

type Reply = Response<Cursor<Vec<u8>>>;

/// Serves until the program ends.
pub(super) fn serve(listener: TcpListener, site: Site) -> Result<(), Error> {
    let trouble = |why: String| {
        let wrong = format!("the page cannot be served: {why}");
        Error::at(Kind::File, Place::default(), wrong, "start it again")
    };
    let server = Server::from_listener(listener, None).map_err(|why| trouble(why.to_string()))?;
    let (site, busy) = (Arc::new(site), Arc::new(AtomicUsize::new(0)));
    let (part_asked, parts_asked) = channel();
    let port = site.port;
    std::thread::spawn(move || knock(port, &parts_asked));
    loop {
        let request = server.recv().map_err(|why| trouble(super::say::reason(&why)))?;
        if *request.method() == Method::Get {
            let _ = part_asked.send(());
        }
        if busy.load(Ordering::SeqCst) >= AT_ONCE {
            drop(request.respond(turned_away(Refusal::Busy)));
            continue;
        }
        busy.fetch_add(1, Ordering::SeqCst);
        let (site, busy) = (site.clone(), busy.clone());
        std::thread::spawn(move || {
            answer(&site, request);
            busy.fetch_sub(1, Ordering::SeqCst);
        });
    }
}

/// Makes connections that end at once; see [`KNOCK`]. Ends with the server.
fn knock(port: u16, parts_asked: &Receiver<()>) {
    while !matches!(parts_asked.recv_timeout(KNOCK), Err(RecvTimeoutError::Disconnected)) {
        for _ in 0..KNOCKS {
            drop(TcpStream::connect((Ipv4Addr::LOCALHOST, port)));
            std::thread::sleep(REST);
        }
        while parts_asked.try_recv().is_ok() {}
    }
}

fn answer(site: &Site, mut request: Request) {
    // Whoever went away meanwhile wants no answer.
    drop(match reply(site, &mut request) {
        Ok(reply) => in_one_piece(request, reply),
        // Nothing of a question that is turned away was read; the crate answers before it reads on.
        Err(refusal) => request.respond(turned_away(refusal)),
    });
}

/// Sends a reply to a request that was read whole: the crate's own way is a piece for the head and one for every 8 kB, and each
/// wakes the browser.
fn in_one_piece(request: Request, reply: Reply) -> std::io::Result<()> {
    let mut bytes = Vec::new();
    let headless = *request.method() == Method::Head;
    reply.raw_print(&mut bytes, request.http_version().clone(), request.headers(), headless, None)?;
    let mut writer = request.into_writer();
    writer.write_all(&bytes)?;
    writer.flush()
}

fn reply(site: &Site, request: &mut Request) -> Result<Reply, Refusal> {
    Ok(match admit(request, site.port, &site.token, &site.ticket)? {
        Asked::Question => {
            let mut bytes = Vec::new();
            let read = request.as_reader().take(LARGEST as u64 + 1).read_to_end(&mut bytes);
            if read.is_err() || bytes.len() > LARGEST {
                return Err(Refusal::TooLarge);
            }
            let question = String::from_utf8(bytes).map_err(|_| Refusal::Kind)?;
            said(answer_to(&site.room, &question).into_bytes(), "application/json; charset=utf-8", 200)
        }
        Asked::File(kind) => match site.room.file(&unescaped(&kind)) {
            Ok(file) => {
                let plain: String = file.name.chars().map(|c| if is_plain(c) { c } else { '-' }).collect();
                let how =
                    format!("attachment; filename=\"{plain}\"; filename*=UTF-8''{}", percent(&file.name));
                with(said(file.bytes, file.mime, 200), "Content-Disposition", &how)
            }
            Err(error) => said(error.to_string().into_bytes(), "text/plain; charset=utf-8", 409),
        },
        Asked::Entry => {
            let page = format!("/{}/", site.token);
            with(said(Vec::new(), "text/plain; charset=utf-8", 303), "Location", &page)
        }
        Asked::Part(path) => {
            let (mime, bytes) = site.parts.find(&path).ok_or(Refusal::Nothing)?;
            said(bytes, mime, 200)
        }
    })
}

fn turned_away(refusal: Refusal) -> Reply {
    said(Vec::new(), "text/plain; charset=utf-8", refusal.status())
}

fn with(reply: Reply, name: &str, value: &str) -> Reply {
    match Header::from_bytes(name, value) {
        Ok(header) => reply.with_header(header),
        Err(()) => reply,
    }
}

/// A reply with everything that keeps the browser from doing more with it than is meant.
fn said(bytes: Vec<u8>, mime: &str, status: u16) -> Reply {
    let always = [
        ("Content-Type", mime),
        ("Content-Security-Policy", POLICY),
        ("X-Content-Type-Options", "nosniff"),
        ("Cache-Control", "no-store"),
        ("Referrer-Policy", "no-referrer"),
        ("Cross-Origin-Opener-Policy", "same-origin"),
        ("Cross-Origin-Resource-Policy", "same-origin"),
        ("X-Frame-Options", "DENY"),
    ];
    let reply = Response::from_data(bytes).with_status_code(status).with_chunked_threshold(usize::MAX);
    always.into_iter().fold(reply, |reply, (name, value)| with(reply, name, value))
}

/// The kind of a file, with what the address had to write as %20 and the like.
fn unescaped(kind: &str) -> String {
    let all = kind.as_bytes();
    let mut bytes = Vec::with_capacity(all.len());
    let mut at = 0;
    while let Some(&b) = all.get(at) {
        let pair = all.get(at + 1..at + 3).filter(|_| b == b'%').and_then(|p| std::str::from_utf8(p).ok());
        let byte = pair.and_then(|p| u8::from_str_radix(p, 16).ok());
        bytes.push(byte.unwrap_or(b));
        at += if byte.is_some() { 3 } else { 1 };
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Letters that a file's name may carry anywhere.
fn is_plain(c: char) -> bool {
    c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.')
}

/// A name as a header may carry it.
fn percent(name: &str) -> String {
    let one = |b: u8| if is_plain(b.into()) { char::from(b).to_string() } else { format!("%{b:02X}") };
    name.bytes().map(one).collect()
}

/// The answer to a question: the page's own, or one about the piece.
fn answer_to(room: &Room, question: &str) -> String {
    own::answer(room, question).unwrap_or_else(|| room.answer(question))
}
