//! Who may ask: only this machine's own browser, on the page's own address. Everything else is turned away before a word
//! of it is read.

use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};
use tiny_http::{Header, Method, Request};

/// The largest question, bytes: a job with the files it names. Larger would let a page fill the memory.
pub(super) const LARGEST: usize = 24_000_000;

/// Why a request is turned away, with its status.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Refusal {
    /// It names another host: a name that was made to point here.
    Host,
    /// It comes from another site's page.
    Origin,
    /// It does not know the address.
    Token,
    /// There is nothing of this name.
    Nothing,
    Method,
    /// A question that is not JSON: a form of another site can send nothing else.
    Kind,
    TooLarge,
    /// Its length is not told.
    Length,
    Busy,
}

impl Refusal {
    pub(super) fn status(self) -> u16 {
        match self {
            Refusal::Host => 421,
            Refusal::Origin => 403,
            // The same as for a wrong name: nobody learns which part was right.
            Refusal::Token | Refusal::Nothing => 404,
            Refusal::Method => 405,
            Refusal::Kind => 415,
            Refusal::TooLarge => 413,
            Refusal::Length => 411,
            Refusal::Busy => 503,
        }
    }
}

/// What is asked for, once it may be.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Asked {
    Question,
    File(String),
    /// A file of the page.
    Part(String),
    /// The page itself, by the ticket that the browser was started with.
    Entry,
}

/// An address that is good once and not for long. A browser is started with it, since every user of a shared machine may
/// list what programs were started with; the lasting address is only ever told to the browser that came first.
pub(super) struct Ticket(Mutex<Option<(String, Instant)>>);

/// A browser that is started for the first time after a while needs a few seconds; later than this nobody comes any more.
const TICKET_LASTS: Duration = Duration::from_secs(60);

impl Ticket {
    pub(super) fn new(name: Option<String>) -> Self {
        Self(Mutex::new(name.map(|name| (name, Instant::now()))))
    }

    /// Whether this is it. It is used up then.
    fn taken(&self, given: &str) -> bool {
        let mut left = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let good =
            |(name, since): &mut (String, Instant)| same(given, name) && since.elapsed() < TICKET_LASTS;
        left.take_if(good).is_some()
    }
}

/// The values of a header; a second one of the same name is as telling as the first.
fn values<'r>(headers: &'r [Header], name: &'static str) -> impl Iterator<Item = &'r str> {
    headers.iter().filter(move |h| h.field.equiv(name)).map(|h| h.value.as_str())
}

/// Lets a request in or turns it away. `port`, `token` and `ticket` are the page's.
pub(super) fn admit(request: &Request, port: u16, token: &str, ticket: &Ticket) -> Result<Asked, Refusal> {
    let headers = request.headers();
    let hosts = [format!("127.0.0.1:{port}"), format!("localhost:{port}")];
    let mut named = values(headers, "Host").peekable();
    if named.peek().is_none() || !named.all(|host| hosts.iter().any(|own| own == host)) {
        return Err(Refusal::Host);
    }
    let own =
        |origin: &str| origin.strip_prefix("http://").is_some_and(|host| hosts.iter().any(|own| own == host));
    if !values(headers, "Origin").all(own) {
        return Err(Refusal::Origin);
    }
    // "none" is what a person types or a program opens.
    if !values(headers, "Sec-Fetch-Site").all(|site| matches!(site, "same-origin" | "none")) {
        return Err(Refusal::Origin);
    }
    let path = request.url().split(['?', '#']).next().unwrap_or("");
    let rest = path.strip_prefix('/').and_then(|path| path.split_once('/'));
    let (given, rest) = rest.ok_or(Refusal::Token)?;
    if !same(given, token) {
        let enters = *request.method() == Method::Get && rest.is_empty() && ticket.taken(given);
        return if enters { Ok(Asked::Entry) } else { Err(Refusal::Token) };
    }
    match (request.method(), rest) {
        (Method::Post, "ask") => question(request).map(|()| Asked::Question),
        (Method::Get, "ask") | (Method::Post, _) => Err(Refusal::Method),
        (Method::Get, rest) => Ok(match rest.strip_prefix("file/") {
            Some(kind) => Asked::File(kind.to_string()),
            None => Asked::Part(rest.to_string()),
        }),
        _ => Err(Refusal::Method),
    }
}

/// A question has to be JSON of a told length that is not too long.
fn question(request: &Request) -> Result<(), Refusal> {
    let kind = values(request.headers(), "Content-Type").next().unwrap_or("");
    if kind.split(';').next().map(str::trim) != Some("application/json") {
        return Err(Refusal::Kind);
    }
    match request.body_length() {
        None => Err(Refusal::Length),
        Some(length) if length > LARGEST => Err(Refusal::TooLarge),
        Some(_) => Ok(()),
    }
}

/// Compared to the last letter whatever the first is, so that the time taken tells nothing.
fn same(given: &str, token: &str) -> bool {
    given.len() == token.len()
        && given.bytes().zip(token.bytes()).fold(0, |differ, (a, b)| differ | (a ^ b)) == 0
}
