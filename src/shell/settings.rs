//! What is kept between jobs, in plain files of the maker's own config folder.

use super::output;
use super::say::reason;
use crate::error::{Error, Kind, Place};
use crate::job::{Printer, Settings};
use crate::units::limits::CORRECTION;
use crate::units::short;
use serde::{Deserialize, Serialize};
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// Names the folder to use instead of the usual one (for tests, or a stick that goes from bench to bench).
const FOLDER: &str = "SAWPIERCE_SETTINGS";

/// Larger than this no store of ours grows, bytes: more is some other file.
const LARGEST: u64 = 8_000_000;
/// Stored and read this near to 100, mm, a page may have been corrected or not: the next one tells.
const UNCORRECTED: f64 = 0.3;

#[derive(Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PrinterFile {
    #[serde(default)]
    printer: Vec<PrinterRow>,
}

#[derive(Clone, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PrinterRow {
    name: String,
    /// What the 100 mm bar of an uncorrected page measures: the readings multiplied.
    across: f64,
    up: f64,
    /// What was read, across and up, oldest first: the first on an uncorrected page, each later one on a page corrected by
    /// those before it.
    #[serde(default)]
    readings: Vec<[f64; 2]>,
}

impl PrinterFile {
    fn bare(self) -> Vec<Printer> {
        self.printer.into_iter().map(|p| Printer { name: p.name, across: p.across, up: p.up }).collect()
    }
}

/// The folder of settings, if the system has a place for one.
pub(super) fn folder() -> Option<PathBuf> {
    let from = |name: &str| std::env::var_os(name).filter(|v: &OsString| !v.is_empty()).map(PathBuf::from);
    from(FOLDER)
        .or_else(|| from("XDG_CONFIG_HOME").map(|p| p.join("sawpierce")))
        .or_else(|| from("APPDATA").map(|p| p.join("sawpierce")))
        .or_else(|| from("HOME").map(|p| p.join(".config").join("sawpierce")))
}

/// There is no folder for settings at all.
pub(super) fn homeless() -> Error {
    let todo = "set SAWPIERCE_SETTINGS to a folder";
    Error::at(Kind::File, Place::default(), "there is no folder to keep settings in", todo)
}

/// Reads what is stored; nothing stored is no trouble, and what cannot be read troubles only a job that names a printer.
pub(super) fn load() -> Settings {
    let mut settings = Settings::default();
    if let Some(path) = printers_file() {
        match printers(&path) {
            Ok(file) => settings.printers = file.bare(),
            Err(why) => settings.printers_unread = Some(format!("{}: {why}", path.display())),
        }
    }
    settings
}

fn printers_file() -> Option<PathBuf> {
    folder().map(|f| f.join("printers.toml"))
}

/// The text of a store; `None` where there is none. Never waits on what is not a plain file.
pub(super) fn stored_text(path: &Path) -> Result<Option<String>, String> {
    let found = match std::fs::metadata(path) {
        Ok(found) => found,
        Err(why) if why.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(why) => return Err(reason(&why)),
    };
    if !found.is_file() || found.len() > LARGEST {
        return Err("it is not a file of ours".into());
    }
    let bytes = std::fs::read(path).map_err(|why| reason(&why))?;
    Ok(Some(String::from_utf8_lossy(&bytes).into_owned()))
}

fn printers(path: &Path) -> Result<PrinterFile, String> {
    let text = stored_text(path).map_err(|why| format!("the stored printers cannot be read: {why}"))?;
    let Some(text) = text else { return Ok(PrinterFile::default()) };
    read(&text)
}

fn read(text: &str) -> Result<PrinterFile, String> {
    toml::from_str(text).map_err(|_| "the stored printers cannot be read: the file is damaged".into())
}

/// The printers in the text of a store, as jobs see them.
pub fn stored_printers(text: &str) -> Result<Vec<Printer>, String> {
    Ok(read(text)?.bare())
}

/// Which kind of page a reading was taken from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ReadOn {
    /// A page corrected by what is stored: the reading multiplies it. Where nothing is stored it is the first reading.
    Corrected,
    /// An uncorrected page: what is stored is forgotten.
    Uncorrected,
    /// Not said: as a corrected page, unless the reading looks like an uncorrected one.
    NotSaid,
}

/// What became of a reading.
pub(super) struct StoredReading {
    pub(super) path: PathBuf,
    /// Across and up as they were, where they were.
    pub(super) before: Option<(f64, f64)>,
    pub(super) now: (f64, f64),
    /// All readings that lead to it.
    pub(super) readings: Vec<[f64; 2]>,
    /// Where a damaged store was moved.
    pub(super) aside: Option<PathBuf>,
}

/// Keeps a reading: on a corrected page it multiplies what is stored (97.8, then 99.6, is 97.4).
pub(super) fn keep(reading: &Printer, read_on: ReadOn) -> Result<StoredReading, Error> {
    let path = printers_file().ok_or_else(homeless)?;
    let place = || Place { file: path.display().to_string(), ..Place::default() };
    let cannot = |wrong: String| {
        Error::at(Kind::File, place(), wrong, "choose another folder with SAWPIERCE_SETTINGS")
    };
    let folder = path.parent().unwrap_or(Path::new(""));
    std::fs::create_dir_all(folder)
        .map_err(|why| cannot(format!("the printer cannot be stored: {}", reason(&why))))?;
    // Two readings at once are kept one after the other.
    let _turn = output::turn_beside(&path);
    let (mut file, aside) = match printers(&path) {
        Ok(file) => (file, None),
        Err(_) => {
            let aside = path.with_file_name("printers-unreadable.toml");
            std::fs::rename(&path, &aside).map_err(|why| {
                cannot(format!("the damaged store cannot be moved aside: {}", reason(&why)))
            })?;
            (PrinterFile::default(), Some(aside))
        }
    };
    let row = next(file.printer.iter().find(|p| p.name == reading.name), reading, read_on)?;
    let before = file.printer.iter().find(|p| p.name == row.name).map(|p| (p.across, p.up));
    file.printer.retain(|p| p.name != row.name);
    file.printer.push(row.clone());
    let text = toml::to_string(&file).map_err(|_| cannot("the printer cannot be stored".into()))?;
    let head = "# What the 100 mm bars of the test page measure on each printer, uncorrected: its readings multiplied.\n\n";
    output::replace(&path, &format!("{head}{text}"))?;
    Ok(StoredReading { path, before, now: (row.across, row.up), readings: row.readings, aside })
}

/// The row after a reading.
fn next(stored: Option<&PrinterRow>, reading: &Printer, read_on: ReadOn) -> Result<PrinterRow, Error> {
    let first = PrinterRow {
        name: reading.name.clone(),
        across: reading.across,
        up: reading.up,
        readings: vec![[reading.across, reading.up]],
    };
    let usable = |p: &&PrinterRow| CORRECTION.check(p.across).is_ok() && CORRECTION.check(p.up).is_ok();
    let Some(stored) = stored.filter(usable).filter(|_| read_on != ReadOn::Uncorrected) else {
        return Ok(first);
    };
    let away = |from: (f64, f64)| (reading.across - from.0).abs().max((reading.up - from.1).abs());
    let far = (stored.across - 100.0).abs().max((stored.up - 100.0).abs()) > UNCORRECTED;
    if read_on == ReadOn::NotSaid && far && away((stored.across, stored.up)) < away((100.0, 100.0)) {
        return Err(Error::job(
            format!(
                "{} × {} reads like an uncorrected page: \"{}\" is stored with {} × {}, and a page corrected for it reads near 100",
                short(reading.across, 2),
                short(reading.up, 2),
                stored.name,
                short(stored.across, 2),
                short(stored.up, 2)
            ),
            "add --afresh if the page was uncorrected, or --corrected if it was printed for this printer",
        ));
    }
    let (across, up) = (stored.across * reading.across / 100.0, stored.up * reading.up / 100.0);
    let refused = |unread: crate::units::Unread| Error::job(unread.wrong, unread.todo);
    CORRECTION.check(across).map_err(refused)?;
    CORRECTION.check(up).map_err(refused)?;
    let mut readings = match stored.readings.is_empty() {
        true => vec![[stored.across, stored.up]],
        false => stored.readings.clone(),
    };
    readings.extend(first.readings);
    Ok(PrinterRow { name: first.name, across: rounded(across), up: rounded(up), readings })
}

/// To a thousandth of a millimetre: no caliper reads more.
fn rounded(mm: f64) -> f64 {
    (mm * 1000.0).round() / 1000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(across: f64, up: f64) -> Printer {
        Printer { name: "hall".into(), across, up }
    }

    fn after(stored: &PrinterRow, across: f64, up: f64, on: ReadOn) -> Option<(f64, f64)> {
        next(Some(stored), &read(across, up), on).ok().map(|row| (row.across, row.up))
    }

    #[test]
    fn a_reading_of_a_corrected_page_multiplies_what_is_stored() {
        let first = next(None, &read(97.8, 98.1), ReadOn::NotSaid).unwrap_or_else(|e| panic!("{e}"));
        let second = next(Some(&first), &read(99.6, 99.8), ReadOn::NotSaid).unwrap_or_else(|e| panic!("{e}"));
        // By hand: 97.8 x 99.6 / 100 = 97.4088, 98.1 x 99.8 / 100 = 97.9038.
        assert_eq!((second.across, second.up), (97.409, 97.904));
        assert_eq!(second.readings, [[97.8, 98.1], [99.6, 99.8]]);
    }

    #[test]
    fn what_reads_like_an_uncorrected_page_is_asked_about() {
        let stored = next(None, &read(97.8, 98.1), ReadOn::NotSaid).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(after(&stored, 97.7, 98.2, ReadOn::NotSaid), None);
        assert_eq!(after(&stored, 97.7, 98.2, ReadOn::Uncorrected), Some((97.7, 98.2)));
        assert_eq!(after(&stored, 97.7, 98.2, ReadOn::Corrected), Some((95.551, 96.334)));
        // A store that was spoilt by hand is replaced by the next reading.
        for bad in [0.0, f64::NAN, -97.0] {
            let spoilt = PrinterRow { across: bad, ..stored.clone() };
            assert_eq!(after(&spoilt, 97.7, 98.2, ReadOn::NotSaid), Some((97.7, 98.2)));
        }
    }
}
