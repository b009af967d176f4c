//! What is kept between jobs, in plain files of the maker's own config folder.

use super::output::{Output, Writer};
use super::say::reason;
use crate::error::{Error, Kind, Place};
use crate::job::{Printer, Settings};
use serde::{Deserialize, Serialize};
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// Names the folder to use instead of the usual one (for tests, or a stick that goes from bench to bench).
const FOLDER: &str = "SAWPIERCE_SETTINGS";

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PrinterFile {
    #[serde(default)]
    printer: Vec<PrinterRow>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PrinterRow {
    name: String,
    /// What the 100 mm bar measured.
    across: f64,
    up: f64,
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

/// Reads what is stored; nothing stored is no trouble.
pub(super) fn load() -> Result<Settings, Error> {
    let mut settings = Settings::default();
    if let Some(path) = folder().map(|f| f.join("printers.toml")) {
        settings.printers = printers(&path)?;
    }
    Ok(settings)
}

/// Stores a printer, in place of one of the same name. Gives the file it stands in.
pub(super) fn store(known: &Settings, printer: Printer) -> Result<PathBuf, Error> {
    let folder = folder().ok_or_else(homeless)?;
    let path = folder.join("printers.toml");
    let others = known.printers.iter().filter(|p| p.name != printer.name);
    let rows =
        others.chain([&printer]).map(|p| PrinterRow { name: p.name.clone(), across: p.across, up: p.up });
    let file = PrinterFile { printer: rows.collect() };
    let place = || Place { file: path.display().to_string(), ..Place::default() };
    let cannot = |wrong: String| {
        Error::at(Kind::File, place(), wrong, "choose another folder with SAWPIERCE_SETTINGS")
    };
    let text = toml::to_string(&file).map_err(|_| cannot("the printer cannot be stored".into()))?;
    let head = "# What the 100 mm bars of the test page measured on each printer.\n\n";
    std::fs::create_dir_all(&folder)
        .map_err(|why| cannot(format!("the printer cannot be stored: {}", reason(&why))))?;
    Writer::default()
        .write(&[Output { path: path.clone(), bytes: format!("{head}{text}").into_bytes() }], None)?;
    Ok(path)
}

fn printers(path: &Path) -> Result<Vec<Printer>, Error> {
    let place = || Place { file: path.display().to_string(), ..Place::default() };
    let text = match std::fs::read_to_string(path) {
        Ok(text) => text,
        Err(why) if why.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(why) => {
            let wrong = format!("the stored printers cannot be read: {}", reason(&why));
            return Err(Error::at(Kind::File, place(), wrong, "mend or remove this file"));
        }
    };
    let file: PrinterFile = toml::from_str(&text).map_err(|_| {
        let wrong = "the stored printers do not read";
        Error::at(Kind::File, place(), wrong, "mend or remove this file, and measure a test page again")
    })?;
    Ok(file.printer.into_iter().map(|p| Printer { name: p.name, across: p.across, up: p.up }).collect())
}
