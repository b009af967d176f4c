//! The engine as the offline page calls it.
//!
//! A browser can hand over numbers and write into our memory, nothing more. So a question goes in like this: `room(n)`
//! makes room for `n` bytes and says where it is; the page writes them there and calls `ask(n)`, which gives the
//! length of the answer; `answer()` says where that is. All bytes are UTF-8 text, save those of a finished file.
//!
//! No pointer is followed here: the page writes into a vector that this side owns and keeps in its place until the next
//! `room`. The one thing the language calls unsafe is to export a function under a plain name, since two of one name would
//! meet; these four names are this crate's alone.

use sawpierce::live::Bench;
use sawpierce::{Error, Settings};
use std::sync::{Mutex, PoisonError};

struct Desk {
    bench: Option<Bench>,
    question: Vec<u8>,
    answer: Vec<u8>,
}

static DESK: Mutex<Desk> = Mutex::new(Desk { bench: None, question: Vec::new(), answer: Vec::new() });

fn with<T>(work: impl FnOnce(&mut Desk) -> T) -> T {
    work(&mut DESK.lock().unwrap_or_else(PoisonError::into_inner))
}

impl Desk {
    fn text(&self, length: usize) -> String {
        String::from_utf8_lossy(&self.question[..length.min(self.question.len())]).into_owned()
    }

    fn bench(&mut self) -> Result<&mut Bench, Error> {
        if self.bench.is_none() {
            self.bench = Some(Bench::new(Settings::default(), Vec::new())?);
        }
        self.bench.as_mut().ok_or_else(|| Error::inside("no bench"))
    }
}

/// Room for `length` bytes of a question; where it is.
#[unsafe(no_mangle)]
pub extern "C" fn room(length: usize) -> *mut u8 {
    with(|desk| {
        desk.question = vec![0; length];
        desk.question.as_mut_ptr()
    })
}

/// Where the last answer is.
#[unsafe(no_mangle)]
pub extern "C" fn answer() -> *const u8 {
    with(|desk| desk.answer.as_ptr())
}

/// Answers the question of `length` bytes; the length of the answer.
#[unsafe(no_mangle)]
pub extern "C" fn ask(length: usize) -> usize {
    with(|desk| {
        let question = desk.text(length);
        let answer = match desk.bench() {
            Ok(bench) => bench.ask(&question),
            Err(error) => {
                serde_json::json!({ "ok": false, "faults": [{ "says": error.to_string() }] }).to_string()
            }
        };
        desk.answer = answer.into_bytes();
        desk.answer.len()
    })
}

/// Makes the file whose kind was written into the room: the length of its head in four bytes, low first; the head as JSON
/// {`name`, `mime`} or {`says`} where there is none; then its bytes.
#[unsafe(no_mangle)]
pub extern "C" fn file(length: usize) -> usize {
    with(|desk| {
        let kind = desk.text(length);
        let made = desk.bench().and_then(|bench| bench.file(&kind));
        let (head, bytes) = match made {
            Ok(file) => (serde_json::json!({ "name": file.name, "mime": file.mime }), file.bytes),
            Err(error) => (serde_json::json!({ "says": error.to_string() }), Vec::new()),
        };
        let head = head.to_string().into_bytes();
        desk.answer = (head.len() as u32).to_le_bytes().to_vec();
        desk.answer.extend(head);
        desk.answer.extend(bytes);
        desk.answer.len()
    })
}
