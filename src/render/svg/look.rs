//! How shapes are inked, as properties of SVG.

use super::number;
use crate::paper::{Group, Ink, Mark, Pen, Stamp};

/// How a shape is inked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PathLook {
    fill: Option<u8>,
    pen: Option<Pen>,
    evenodd: bool,
}

/// Groups of fewer marks say at each how it is inked.
const FEW: usize = 8;

/// How most of a group's marks are inked, so that it is said once; `None` where words or few marks stand in it.
pub(super) fn usual_look<'a>(
    marks: impl Iterator<Item = &'a Mark>,
    stamps: &[&Stamp],
    group: Group,
) -> Option<PathLook> {
    let mut looks: Vec<(PathLook, usize)> = Vec::new();
    let stamped = stamps.iter().flat_map(|stamp| stamp.of(group).map(|mark| (mark, stamp.places.len())));
    for (mark, times) in marks.map(|mark| (mark, 1)).chain(stamped) {
        let look = PathLook::of(mark)?;
        match looks.iter_mut().find(|(known, _)| *known == look) {
            Some((_, count)) => *count += times,
            None => looks.push((look, times)),
        }
    }
    let (look, count) = looks.into_iter().rev().max_by_key(|(_, count)| *count)?;
    (count >= FEW).then_some(look)
}

impl PathLook {
    /// Of words there is none.
    pub(super) fn of(mark: &Mark) -> Option<PathLook> {
        Some(match &mark.ink {
            Ink::Area { rings, shade, pen } => {
                PathLook { fill: Some(*shade), pen: *pen, evenodd: rings.len() > 1 }
            }
            Ink::Closed { pen, .. } | Ink::Line { pen, .. } => {
                PathLook { fill: None, pen: Some(*pen), evenodd: false }
            }
            Ink::Circle { fill, pen, .. } => PathLook { fill: *fill, pen: *pen, evenodd: false },
            Ink::Words(_) => return None,
        })
    }

    /// Each property with its value; those that are as they are without a word are left out unless `usual` says otherwise.
    pub(super) fn properties(&self, usual: Option<&PathLook>) -> Vec<(&'static str, String)> {
        let pen = |pen: &Pen| (grey(pen.shade), number(pen.width), pen.dash);
        let dash = |(on, off): (f64, f64)| format!("{} {}", number(on), number(off));
        let mut all = Vec::new();
        if usual.is_none_or(|u| u.fill != self.fill) {
            all.push(("fill", self.fill.map_or("none".to_string(), grey)));
        }
        match (self.pen.as_ref().map(pen), usual.and_then(|u| u.pen.as_ref()).map(pen)) {
            (None, None) => {}
            (None, Some(_)) => all.push(("stroke", "none".into())),
            (Some((ink, width, dashes)), theirs) => {
                let (their_ink, their_width, their_dashes) = theirs.unwrap_or_default();
                if ink != their_ink {
                    all.push(("stroke", ink));
                }
                if width != their_width {
                    all.push(("stroke-width", width));
                }
                if dashes != their_dashes {
                    all.push(("stroke-dasharray", dashes.map_or("none".into(), dash)));
                }
            }
        }
        if self.evenodd && usual.is_none_or(|u| !u.evenodd) {
            all.push(("fill-rule", "evenodd".into()));
        }
        all
    }

    pub(super) fn style(&self) -> String {
        let properties = self.properties(None).into_iter().map(|(name, value)| format!("{name}:{value}"));
        properties.collect::<Vec<_>>().join(";")
    }
}

/// Percent of black as a hexadecimal grey.
pub(super) fn grey(shade: u8) -> String {
    let v = 255 - (u32::from(shade.min(100)) * 255 + 50) / 100;
    match v {
        0 => "#000".to_string(),
        255 => "#fff".to_string(),
        _ => format!("#{v:02x}{v:02x}{v:02x}"),
    }
}
