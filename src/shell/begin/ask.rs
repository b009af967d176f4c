//! Questions at a terminal for what was not said beforehand.

use super::Wishes;
use crate::error::Error;
use crate::shell::say;
use std::io::BufRead;

/// Five questions at most; an empty answer takes what stands in brackets.
pub(super) fn ask() -> Result<Wishes, Error> {
    let shape = question("Which shape? circle, ellipse, rectangle, polygon", "circle")?;
    let mut wishes = Wishes::default();
    match shape.as_str() {
        "circle" => wishes.diameter = Some(question("How far across, in mm?", "30")?),
        "polygon" => wishes.across = Some(question("How far from corner to corner, in mm?", "30")?),
        _ => {
            let size = question("How wide and how high, in mm?", "40 x 30")?;
            let (width, height) = size.split_once('x').unwrap_or((&size, &size));
            wishes.width = Some(width.trim().to_string());
            wishes.height = Some(height.trim().to_string());
        }
    }
    wishes.shape = Some(shape);
    wishes.metal = Some(question("Which metal?", "copper")?);
    wishes.thickness = Some(question("How thick is the sheet?", "0.8")?);
    wishes.skill = Some(question("Have you pierced before? first, practised, fine-work", "first")?);
    Ok(wishes)
}

fn question(what: &str, usual: &str) -> Result<String, Error> {
    say::answer(&format!("{what} [{usual}] "))?;
    let mut line = String::new();
    match std::io::stdin().lock().read_line(&mut line) {
        Ok(_) if !line.trim().is_empty() => Ok(line.trim().to_string()),
        _ => Ok(usual.to_string()),
    }
}
