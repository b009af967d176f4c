//! Sizes found at the bench, given beside the job file: `outline=29.6`, `outline=40.1x29.8`, `thickness=0.88`.

use super::bench::implausible;
use super::values::Value;
use super::{Edit, Job, MeasuredOutline, Shape};
use crate::error::Error;
use crate::units::limits::{Limit, OUTLINE, THICKNESS};
use crate::units::{length, LengthUnit, Mm, Unread};

/// Puts measured sizes in place of those of the job. Several readings of a disc may be given one after the other.
pub fn measure(job: &mut Job, found: &[String]) -> Result<(), Error> {
    let mut across = Vec::new();
    let mut edits = Vec::new();
    for given in found {
        let refused = |unread: Unread| Error::job(format!("measured {given}: {}", unread.wrong), unread.todo);
        let (what, size) = given.split_once('=').ok_or_else(|| refused(form()))?;
        let read = |text: &str, name: &'static str, limit: &Limit| size_of(text, name, limit, job.units);
        match what.trim() {
            "thickness" => {
                let mm = read(size, "thickness", &THICKNESS).map_err(refused)?;
                edits.push(Edit::mm("measured.thickness", mm.get()));
            }
            "outline" => {
                let outline = match (size.split_once(['x', '\u{d7}']), &job.outline.shape) {
                    (None, Shape::Circle { .. }) => {
                        across.push(read(size, "outline", &OUTLINE).map_err(refused)?);
                        MeasuredOutline::Across(across.clone())
                    }
                    (Some((width, height)), shape) => {
                        let width = read(width, "width", &OUTLINE).map_err(refused)?;
                        let height = read(height, "height", &OUTLINE).map_err(refused)?;
                        match shape {
                            Shape::Circle { .. } => MeasuredOutline::Across(vec![width, height]),
                            _ => MeasuredOutline::Size { width, height },
                        }
                    }
                    (None, _) => {
                        let todo = "write it like outline=40.1x29.8";
                        return Err(refused(Unread::new(
                            "this outline is measured by its overall size",
                            todo,
                        )));
                    }
                };
                implausible(&job.outline.shape, &outline).map_or(Ok(()), |unread| Err(refused(unread)))?;
                edits.push(Edit::set("measured.outline", as_typed(&outline)));
            }
            _ => return Err(refused(form())),
        }
    }
    *job = job.with(&edits)?;
    Ok(())
}

fn as_typed(outline: &MeasuredOutline) -> Value {
    match outline {
        MeasuredOutline::Across(readings) => Value::List(readings.iter().map(|mm| mm.get()).collect()),
        MeasuredOutline::Size { width, height } => Value::Size(width.get(), height.get()),
    }
}

fn form() -> Unread {
    Unread::new("not understood", "write it like outline=29.6, outline=40.1x29.8 or thickness=0.88")
}

fn size_of(text: &str, name: &'static str, limit: &Limit, units: LengthUnit) -> Result<Mm, Unread> {
    Limit { name, ..*limit }.check_in(length(text, units)?.0, units).map(Mm)
}
