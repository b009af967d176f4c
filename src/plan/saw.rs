//! Drilling and sawing: holes, threadings, line, corners.

use super::measured::{sharp_corners, Measured};
use crate::trade::Metal;
use crate::units::{short, LengthUnit};

/// Holes drilled with one drill.
#[derive(Debug, Clone, PartialEq)]
pub struct Drilling {
    /// mm.
    pub diameter: f64,
    /// In one piece.
    pub holes: usize,
    /// The names of the holes that stay; none for the start holes.
    pub stay: Option<String>,
    /// rpm, from and to.
    pub speed: [f64; 2],
    /// Drills to have ready for all pieces.
    pub spares: usize,
}

impl Drilling {
    /// "start holes", or the names of the holes that stay.
    pub fn what(&self) -> &str {
        self.stay.as_deref().unwrap_or("start holes")
    }
}

/// What the saw does to one piece.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sawing {
    /// Line of the openings, of the windows, of the outer edge, mm.
    pub openings: f64,
    /// The same of the windows.
    pub windows: f64,
    /// The same of the outer edge.
    pub outline: f64,
    /// Times the blade is passed through a hole.
    pub threadings: usize,
    /// Sharp corners to turn at.
    pub corners: usize,
    /// Teeth in the thickness, for one sheet and for the stack.
    pub teeth: f64,
    /// Of the sheets sawn together.
    pub teeth_in_stack: f64,
}

impl Sawing {
    /// All line, mm.
    pub fn length(&self) -> f64 {
        self.openings + self.windows + self.outline
    }
}

/// Holes that one drill makes before it is blunt (estimate, sheet up to about 1 mm). More spares lie unused;
/// fewer stop the work.
const HOLES_PER_DRILL: usize = 150;

/// rpm: 1000 v / (pi d).
pub fn drill_speed(metal: &Metal, diameter: f64) -> [f64; 2] {
    metal.edge_speed.map(|v| 1000.0 * v / (std::f64::consts::PI * diameter))
}

/// The drills of the job: the start drill first, then the holes that stay, thinnest first.
pub(super) fn drills(bench: &Measured) -> Vec<Drilling> {
    let outline = &bench.piece.outline;
    let start = bench.piece.openings.len() + outline.windows.len();
    let mut sizes: Vec<(f64, usize, Option<String>)> = vec![(bench.job.saw.drill.get(), start, None)];
    let mut stay: Vec<_> = outline.holes.iter().collect();
    stay.sort_by(|a, b| a.diameter.get().total_cmp(&b.diameter.get()));
    for hole in stay {
        let name = if hole.name.is_empty() { &hole.label } else { &hole.name };
        match sizes.last_mut() {
            Some((diameter, count, Some(names))) if *diameter == hole.diameter.get() => {
                *count += 1;
                if !names.split(", ").any(|known| known == name) {
                    names.push_str(", ");
                    names.push_str(name);
                }
            }
            _ => sizes.push((hole.diameter.get(), 1, Some(name.clone()))),
        }
    }
    let runs = bench.runs() as usize;
    sizes
        .into_iter()
        .filter(|(_, holes, _)| *holes > 0)
        .map(|(diameter, holes, stay)| Drilling {
            diameter,
            holes,
            stay,
            speed: drill_speed(&bench.job.sheet.metal, diameter),
            spares: (holes * runs).div_ceil(HOLES_PER_DRILL) + 1,
        })
        .collect()
}

/// Line, threadings and corners of one piece. The line printed stays the line sawn, whatever was measured afterwards.
pub(super) fn sawing(bench: &Measured) -> Sawing {
    let (piece, outline) = (bench.piece, &bench.piece.outline);
    let in_windows: usize = outline.windows.iter().map(|w| sharp_corners(&w.ring).len()).sum();
    let in_openings: usize = piece.openings.iter().map(|o| o.corners).sum();
    let teeth = bench.job.saw.blade.teeth_in(bench.thickness);
    Sawing {
        openings: piece.openings.iter().map(|o| o.perimeter.get()).sum(),
        windows: bench.windows_line(),
        outline: outline.edge.perimeter(),
        threadings: piece.openings.len() + outline.windows.len(),
        corners: in_openings + in_windows + sharp_corners(&outline.edge).len(),
        teeth,
        teeth_in_stack: teeth * f64::from(bench.stack()),
    }
}

/// A drill by its size; in inches with the millimetres it is sold by.
pub(super) fn drill_size(units: LengthUnit, across: f64) -> String {
    match units {
        LengthUnit::Mm => format!("{} mm", short(across, 3)),
        LengthUnit::Inch => format!("{} in ({} mm)", units.plain(across, 2), short(across, 3)),
    }
}
