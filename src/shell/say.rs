//! What goes to the terminal: answers to stdout, problems to stderr.

use crate::error::{Error, Kind, Place};
use std::io::{ErrorKind, Write};
use std::path::Path;

/// Writes an answer. A reader that has heard enough (`| head`) is no trouble; a full disk is. Signs that a terminal would
/// obey, from a file's or a printer's name, are shown as signs that cannot be printed.
pub(super) fn answer(text: &str) -> Result<(), Error> {
    let obeyed = |c: char| c.is_control() && c != '\n';
    let text = text.replace(obeyed, "\u{fffd}");
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(why) if why.kind() != ErrorKind::BrokenPipe => Err(Error::at(
            Kind::File,
            Place::default(),
            format!("the answer cannot be written: {}", reason(&why)),
            "make room, or send it elsewhere",
        )),
        _ => Ok(()),
    }
}

/// Writes problems, one a line. If even that cannot be written there is nobody left to tell.
pub(super) fn problem(error: &Error) {
    let _ = writeln!(std::io::stderr().lock(), "{error}");
}

/// A file's name as it can be typed after the program's: in quotation marks if a shell would take it apart, and never like an
/// option.
pub(super) fn typed(path: &Path) -> String {
    let name = path.display().to_string();
    let name = if name.starts_with('-') { format!("./{name}") } else { name };
    match name.chars().all(|c| c.is_alphanumeric() || "._-+/:".contains(c)) {
        true => name,
        false => format!("'{}'", name.replace('\'', "'\\''")),
    }
}

/// Why a file could not be read or written, in plain words.
pub(super) fn reason(why: &std::io::Error) -> String {
    match why.kind() {
        ErrorKind::NotFound => "there is no such file or folder".into(),
        ErrorKind::PermissionDenied => "it is not allowed here".into(),
        ErrorKind::StorageFull => "the disk is full".into(),
        ErrorKind::QuotaExceeded => "your share of the disk is used up".into(),
        ErrorKind::FileTooLarge => "there is no room for it".into(),
        ErrorKind::ReadOnlyFilesystem => "the disk is read-only".into(),
        ErrorKind::IsADirectory => "it is a folder".into(),
        ErrorKind::NotADirectory => "it is not a folder".into(),
        ErrorKind::InvalidFilename => "no file can have that name".into(),
        _ => {
            // The system's own sentence, without its number.
            let text = why.to_string();
            text.split(" (os ").next().unwrap_or_default().to_lowercase()
        }
    }
}
