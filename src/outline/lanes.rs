//! Lanes: where rows of openings run, and the ground that they and the middle take from the pattern.

use super::strip::{band_length, ConeBlank};
use super::{rectangle, Window};
use crate::error::Error;
use crate::geom::{inscribed_circle, sin_cos_degrees, Edge, Point, Region, Ring, Vec2};
use crate::job::{Along, Job, RowSpec, Shape};
use crate::units::Mm;

/// The lane of one row.
#[derive(Debug, Clone)]
pub struct Lane {
    /// Which `[[row]]`, from 0.
    pub row: usize,
    /// "the outline", "stone window": what it runs along, for people.
    pub along: String,
    /// One closed line, or both long edges of a band or a cone.
    pub tracks: Vec<Track>,
}

/// A strip as wide as the row's openings: the lines on its right and its left, and that through their middles. The middle of a
/// closed one lies on its left.
#[derive(Debug, Clone)]
pub struct Track {
    /// The line on its right: the outer one of a closed track.
    pub right: Vec<Edge>,
    /// The line that the middles of the openings stand on.
    pub middle: Vec<Edge>,
    /// The line on its left.
    pub left: Vec<Edge>,
    /// For a line whose ends meet once the blank is bent: the step from one end to the other on the flat.
    pub open: Option<Vec2>,
    /// The line is mirrored, if at all, in a line through this point, upright or turned by so many degrees.
    pub centre: Point,
    /// Degrees, of that line from upright.
    pub turn: f64,
    /// The line that the metal beside the row is measured from; none along a circle of its own.
    pub beside: Option<Ring>,
}

/// What rows and the middle leave to the pattern.
#[derive(Debug, Clone, Default)]
pub(super) struct Lanes {
    pub lanes: Vec<Lane>,
    /// The pattern begins so deep inside the edge, mm; 0 without a row there.
    pub depth: f64,
    /// And so far from each window.
    pub from_window: Vec<f64>,
    /// Ground of circles.
    pub circles: Vec<Region>,
}

impl Lanes {
    /// Errors where a row has no room, at the key that says how large it is.
    pub(super) fn of(job: &Job, base: &Ring, windows: &[Window]) -> Result<Lanes, Error> {
        let mut all = Lanes { from_window: vec![0.0; windows.len()], ..Lanes::default() };
        let mut edge = 0.0;
        let mut beyond = vec![0.0; windows.len()];
        for (i, row) in job.rows.iter().enumerate() {
            let (across, inset) = (row.size.1.get(), row.inset.unwrap_or_default().get());
            let apart = row.apart.get();
            let (along, tracks) = match &row.along {
                Along::Outline => {
                    let from = edge + inset;
                    edge = from + across;
                    all.depth = all.depth.max(edge + apart);
                    ("the outline".to_string(), inside_edge(job, base, i, (from, edge))?)
                }
                Along::Window(name) => {
                    let Some(w) = windows.iter().position(|w| w.name == *name || w.label == *name) else {
                        return Err(no_window(job, i, name, windows));
                    };
                    let from = beyond[w] + inset;
                    beyond[w] = from + across;
                    all.from_window[w] = f64::max(all.from_window[w], beyond[w] + apart);
                    let lines = [beyond[w], from + across / 2.0, from].map(|by| windows[w].ring.grow(by));
                    let turn =
                        job.windows.iter().find(|spec| spec.name == *name).map_or(0.0, |spec| spec.turn);
                    (
                        windows[w].name.clone(),
                        vec![Track { turn, ..Track::round(lines, Some(windows[w].ring.clone())) }],
                    )
                }
                Along::Circle { diameter, at } => {
                    let (radius, half) = (diameter.get() / 2.0, across / 2.0);
                    if half >= radius {
                        let wrong =
                            format!("openings {} across have no room on a circle of {diameter}", row.size.1);
                        let todo =
                            format!("make the circle larger than {}, or the openings smaller", row.size.1);
                        return Err(job.refused(&format!("row[{i}].along"), wrong, todo));
                    }
                    let circle = |r: f64| Ring::circle(*at, r);
                    let (outer, inner) = (circle(radius + half + apart), radius - half - apart);
                    // The room inside is left to the pattern where nothing else stands in it.
                    let used = inner <= 0.0 || stands_within(job, i, *at, radius);
                    let holes = if used { Vec::new() } else { vec![circle(inner).reversed()] };
                    all.circles.push(Region::new(outer, holes));
                    let lines = [radius + half, radius, radius - half].map(circle);
                    ("its circle".to_string(), vec![Track::round(lines, None)])
                }
            };
            all.lanes.push(Lane { row: i, along, tracks });
        }
        Ok(all)
    }
}

impl Track {
    /// Along three closed lines, from the outermost in.
    fn round([right, middle, left]: [Ring; 3], beside: Option<Ring>) -> Track {
        Track {
            centre: middle.bounds().center(),
            right: right.edges().collect(),
            middle: middle.edges().collect(),
            left: left.edges().collect(),
            open: None,
            turn: 0.0,
            beside,
        }
    }
}

/// Whether the middle or another circle stands within a circle.
fn stands_within(job: &Job, row: usize, at: Point, radius: f64) -> bool {
    let middle = job.middle.as_ref().is_some_and(|m| (m.at - at).hypot() < radius);
    let within = |other: &RowSpec| matches!(other.along, Along::Circle { diameter, at: o } if (o - at).hypot() + diameter.get() / 2.0 < radius);
    middle || job.rows.iter().enumerate().any(|(j, other)| j != row && within(other))
}

fn no_window(job: &Job, row: usize, name: &str, windows: &[Window]) -> Error {
    let names: Vec<String> = windows.iter().map(|w| format!("\"{}\"", w.name)).collect();
    let todo = match names.is_empty() {
        true => "write along = \"outline\", or add a [[window]] with this name".to_string(),
        false => format!("write \"outline\", or a window that is there: {}", names.join(", ")),
    };
    job.refused(&format!("row[{row}].along"), format!("there is no window called \"{name}\""), todo)
}

/// Tracks between two depths inside the outer edge.
fn inside_edge(job: &Job, base: &Ring, row: usize, (from, to): (f64, f64)) -> Result<Vec<Track>, Error> {
    let depths = [from, (from + to) / 2.0, to];
    let tracks = match job.outline.shape {
        Shape::Band { inside, width, thickness, plain } => {
            let length = band_length(inside, thickness);
            let run = match plain > Mm(0.0) {
                true => (length - plain + job.pattern.least_bridge()).get(),
                false => length.get(),
            };
            let (half, x) = (width.get() / 2.0, run / 2.0);
            let line = |low: bool, by: f64| {
                let y = half - by;
                let (a, b) = if low { ((-x, -y), (x, -y)) } else { ((x, y), (-x, y)) };
                vec![Edge::Line { from: Point::from(a), to: Point::from(b) }]
            };
            let beside = Some(rectangle(length.get() + 4.0 * width.get(), width.get(), 0.0));
            let track = |low: bool| {
                let [right, middle, left] = depths.map(|by| line(low, by));
                let step = Vec2::new(if low { run } else { -run }, 0.0);
                Track {
                    right,
                    middle,
                    left,
                    open: Some(step),
                    centre: Point::ORIGIN,
                    turn: 0.0,
                    beside: beside.clone(),
                }
            };
            (to < half).then(|| vec![track(true), track(false)])
        }
        Shape::Cone { top, bottom, height } => {
            let blank = ConeBlank::new(top, bottom, height)?;
            // In two halves: an arc of more than half a turn is hard to ask for its places.
            let half = libm::tan(blank.angle.to_radians() / 8.0);
            let arc = |radius: f64, out: bool| {
                let [a, middle, b] = [-0.5, 0.0, 0.5].map(|share| {
                    let (s, c) = sin_cos_degrees(blank.middle + share * blank.angle);
                    blank.apex + Vec2::new(c, s) * radius
                });
                match out {
                    true => vec![Edge::between(a, half, middle), Edge::between(middle, half, b)],
                    false => vec![Edge::between(b, -half, middle), Edge::between(middle, -half, a)],
                }
            };
            let track = |out: bool| {
                let at = |by: f64| if out { blank.outer - by } else { blank.inner + by };
                let [right, middle, left] = depths.map(|by| arc(at(by), out));
                Track {
                    right,
                    middle,
                    left,
                    open: Some(Vec2::ZERO),
                    centre: blank.apex,
                    turn: 0.0,
                    beside: Some(base.clone()),
                }
            };
            (2.0 * to < blank.outer - blank.inner).then(|| vec![track(true), track(false)])
        }
        _ => {
            let lines = depths.map(|by| base.shrink(by));
            match &lines {
                [a, b, c] if [a, b, c].iter().all(|lines| lines.len() == 1) => {
                    let lines = [a, b, c].map(|lines| lines[0].clone());
                    Some(vec![Track::round(lines, Some(base.clone()))])
                }
                _ => None,
            }
        }
    };
    tracks.ok_or_else(|| no_room(job, base, row, from))
}

/// A row that does not go into the piece, with the size that would.
fn no_room(job: &Job, base: &Ring, row: usize, from: f64) -> Error {
    let (across, inset) = (job.rows[row].size.1.get(), job.rows[row].inset.unwrap_or_default().get());
    let half = match job.outline.shape {
        Shape::Band { width, .. } => width.get() / 2.0,
        Shape::Cone { top, bottom, height } => {
            ConeBlank::new(top, bottom, height).map_or(0.0, |blank| (blank.outer - blank.inner) / 2.0)
        }
        _ => inscribed_circle(base).radius,
    };
    let least = job.saw.drill.get();
    // Three openings stand round a line so far from the middle of the piece.
    let row_of_three = (job.rows[row].size.0.get() + job.pattern.bridge.get()) / 2.0;
    let room = ((half - from - row_of_three) * 10.0).floor() / 10.0;
    let todo = if room >= least {
        format!("make its openings at most {} across, or the piece larger", job.units.says(room, 1))
    } else {
        "leave this row out, bring it nearer to the edge with inset, or make the piece larger".to_string()
    };
    let wrong = format!(
        "row {} has no room: behind {} of metal its openings, {} across, would meet in the middle of the piece",
        row + 1,
        job.units.says(inset, 2),
        job.units.says(across, 2)
    );
    job.refused(&format!("row[{row}].size"), wrong, todo)
}
