//! From the job's outline to the field the pattern may fill.

use super::domed::Domed;
use super::lanes::Lanes;
use super::motif::Middle;
use super::seat::{cut_outs_in_metal, key_of_window, Seat};
use super::shape::no_line;
use super::strip::{band_length, ConeBlank, FILING};
use super::{rectangle, rings, Hole, KeptPlace, Outline, Seam, Window};
use crate::error::Error;
use crate::geom::{boolean, inscribed_circle, sin_cos_degrees, BooleanOp, Point, Region, Ring, Vec2, Vertex};
use crate::job::{Job, LugSpec, MeasuredOutline, PatternSource, Shape};
use crate::trade::fits;
use crate::units::Mm;

/// The outline of a job: drawn edge with its lugs, kept places, windows, holes, and the field inside the border.
/// Errors when the border leaves no room or a lug misses the edge.
pub fn outline(job: &Job) -> Result<Outline, Error> {
    let domed = Domed::of(job)?;
    let flat = |ring: Ring| match &domed {
        Some(domed) => ring.stretched(domed.grows.0, domed.grows.1),
        None => ring,
    };
    let shape = rings(&job.outline.shape).map_err(|e| job.placed("outline.shape", e))?;
    let mut drawn = shape.into_iter().map(flat);
    let base = drawn.next().ok_or_else(no_line)?;
    let bounds = base.bounds();
    let border = job.outline.border;

    let mut windows = Vec::new();
    let mut holes = Vec::new();
    for inner in drawn {
        let name = format!("inner line {}", windows.len() + 1);
        windows.push(window(windows.len(), name, inner, border));
    }
    for (i, spec) in job.windows.iter().enumerate() {
        let lines = placed(&spec.shape, spec.turn, spec.at);
        let mut lines = lines.map_err(|e| job.placed(&format!("window[{i}].shape"), e))?.into_iter();
        let line = lines.next().ok_or_else(no_line)?;
        let mut window = window(windows.len(), spec.name.clone(), line, spec.border);
        window.islands = lines.collect();
        windows.push(window);
    }
    let mut keeps = Vec::new();
    for (k, spec) in job.keep_solid.iter().enumerate() {
        let lines = placed(&spec.shape, spec.turn, spec.at);
        let lines = lines.map_err(|e| job.placed(&format!("keep_solid[{k}].shape"), e))?;
        let [ring] = &lines[..] else {
            return Err(job.refused(
                &format!("keep_solid[{k}]"),
                format!(
                    "the kept place \"{}\" is drawn with {} lines, one inside the other",
                    spec.name,
                    lines.len()
                ),
                "draw it as one closed line: all within it stays solid",
            ));
        };
        keeps.push(KeptPlace::new(spec.name.clone(), ring.clone()));
    }
    if let Some(bezel) = &job.construction.bezel {
        let seat = Seat::of(bezel).map_err(|e| job.placed("construction.bezel.stone", e))?;
        if bezel.window {
            let border = fits::bezel_beyond(bezel.thickness.get(), fits::BEZEL_PLAY) + bezel.ledge.get();
            windows.extend(
                seat.window.map(|ring| window(windows.len(), "stone window".into(), ring, Mm(border))),
            );
        }
        keeps.push(KeptPlace::new("stone pad".into(), seat.pad));
    }
    for spec in &job.holes {
        let label = format!("H{}", holes.len() + 1);
        holes.push(Hole { label, name: spec.name.clone(), at: spec.at, diameter: spec.diameter });
    }
    let mut ears = Vec::new();
    for (k, spec) in job.lugs.iter().enumerate() {
        let Some((ear, at)) = ear(&base, spec, border) else {
            let wrong = format!("the lug at {} degrees does not meet the outline", spec.at_angle);
            return Err(job.refused(&format!("lug[{k}].at_angle"), wrong, "turn it to where there is metal"));
        };
        ears.push(Region::new(ear, Vec::new()));
        if spec.hole.get() > 0.0 {
            let label = format!("H{}", holes.len() + 1);
            holes.push(Hole { label, name: "lug hole".into(), at, diameter: spec.hole });
        }
    }
    let edge = joined(&base, &ears)?;
    cut_outs_in_metal(job, &edge, &windows, &holes)?;

    let lanes = Lanes::of(job, &base, &windows)?;
    for (window, from) in windows.iter_mut().zip(&lanes.from_window) {
        window.pattern_from = window.border.max(Mm(*from));
    }
    let middle = job.middle.as_ref().map(|spec| Middle::of(job, spec)).transpose()?;
    let room = InsideBorder::of(job, &base, border)?;
    let inside_border: Vec<Region> = room.inside.into_iter().map(|r| Region::new(r, Vec::new())).collect();
    if inside_border.is_empty() {
        let border = job.units.says(border.get(), 2);
        let wrong = format!("a border of {border} leaves no room inside the outline");
        return Err(job.refused("outline.border", wrong, "make the border narrower or the piece bigger"));
    }
    let pattern_from = border.max(Mm(lanes.depth));
    let pattern_room = match pattern_from > border {
        true => InsideBorder::of(job, &base, pattern_from)?
            .inside
            .into_iter()
            .map(|r| Region::new(r, Vec::new()))
            .collect(),
        false => inside_border.clone(),
    };
    if pattern_room.is_empty() && !matches!(job.pattern.source, PatternSource::None) {
        let todo =
            "make the rows narrower or the piece bigger, or write name = \"none\": then the rows are all";
        let wrong = "the rows along the outline leave no room for the pattern";
        return Err(job.refused("pattern.name", wrong, todo));
    }
    if let Some(seam) = room.seam {
        whole_on_the_blank(job, &windows, &seam)?;
    }
    let mut taken: Vec<Region> = Vec::new();
    // What reaches over the seam is carried to the other end.
    let mut take = |ring: Ring| {
        let over = room
            .seam
            .iter()
            .flat_map(|seam| seam.reaches_over(&ring).map(|onwards| seam.carry(&ring, onwards)));
        taken.extend(over.map(|r| Region::new(r, Vec::new())));
        taken.push(Region::new(ring, Vec::new()));
    };
    windows.iter().for_each(|w| take(w.ring.grow(w.pattern_from.get())));
    keeps.iter().for_each(|k| take(k.ring.clone()));
    let wall = job.pattern.most_bridge().get();
    holes.iter().for_each(|h| take(Ring::circle(h.at, h.diameter.get() / 2.0 + wall)));
    middle.iter().for_each(|m| take(m.ground.clone()));
    taken.extend(lanes.circles.iter().cloned());
    let field = if taken.is_empty() {
        pattern_room.clone()
    } else {
        boolean(&pattern_room, BooleanOp::Difference, &taken)
    };

    Ok(Outline {
        found: found(job, &edge, (bounds.width(), bounds.height())),
        edge,
        base,
        domed,
        size: (Mm(bounds.width()), Mm(bounds.height())),
        border,
        field,
        room: pattern_room,
        inside_border,
        pattern_from,
        lanes: lanes.lanes,
        circles: lanes.circles,
        middle,
        keeps,
        windows,
        holes,
        seam: room.seam,
        run: room.run,
        allowance: room.allowance,
    })
}

/// A window across the seam would be sawn as two notches, and the seam would have nothing to hold by there.
fn whole_on_the_blank(job: &Job, windows: &[Window], seam: &Seam) -> Result<(), Error> {
    let across = |(_, w): &(usize, &Window)| seam.reaches_over(&w.ring).next().is_some();
    match windows.iter().enumerate().find(across) {
        None => Ok(()),
        Some((i, w)) => Err(job.refused(
            &key_of_window(job, i),
            format!("{} ({}) lies across the seam", w.label, w.name),
            "move it along until it stands clear of both ends: the seam may lie anywhere round the piece",
        )),
    }
}

/// What the border leaves of the outline, and for blanks that meet themselves, how they meet.
struct InsideBorder {
    inside: Vec<Ring>,
    seam: Option<Seam>,
    run: Option<Mm>,
    allowance: Option<Ring>,
}

impl InsideBorder {
    /// `border`: solid metal inside the edge.
    fn of(job: &Job, base: &Ring, border: Mm) -> Result<InsideBorder, Error> {
        let border = border.get();
        let bridge = job.pattern.least_bridge();
        let with_area = |r: &Ring| r.area() > 0.0;
        Ok(match job.outline.shape {
            Shape::Band { inside, width, thickness, plain } => {
                let length = band_length(inside, thickness);
                // Between the ends lies solid metal: one bridge, half on each end, or the plain length.
                let solid = plain.max(bridge);
                let (along, up) = (length - solid, width.get() - 2.0 * border);
                let room = along.get() > 0.0 && up > 0.0;
                InsideBorder {
                    inside: room.then(|| rectangle(along.get(), up, 0.0)).into_iter().collect(),
                    seam: Some(Seam::Shift(length)),
                    run: Some(along + bridge),
                    allowance: Some(rectangle(length.get() + 2.0 * FILING, width.get(), 0.0)),
                }
            }
            Shape::Cone { top, bottom, height } => {
                let blank = ConeBlank::new(top, bottom, height)?;
                InsideBorder {
                    inside: blank.part(border, bridge.get() / 2.0).filter(with_area).into_iter().collect(),
                    seam: Some(Seam::Turn { degrees: blank.angle, centre: blank.apex, middle: blank.middle }),
                    run: None,
                    allowance: blank.part(0.0, -FILING).filter(with_area),
                }
            }
            _ => InsideBorder { inside: base.shrink(border), seam: None, run: None, allowance: None },
        })
    }
}

/// An edge with its ears joined on.
fn joined(base: &Ring, ears: &[Region]) -> Result<Ring, Error> {
    if ears.is_empty() {
        return Ok(base.clone());
    }
    let joined = boolean(&[Region::new(base.clone(), Vec::new())], BooleanOp::Union, ears);
    joined
        .into_iter()
        .max_by(|a, b| a.area().total_cmp(&b.area()))
        .map(Region::into_outer)
        .ok_or_else(no_line)
}

/// The measured outer edge: a circle of the mean reading, or the drawn edge stretched to the measured bounding box.
fn found(job: &Job, edge: &Ring, (width, height): (f64, f64)) -> Option<Ring> {
    match job.measured.outline.as_ref()? {
        MeasuredOutline::Across(readings) if !readings.is_empty() => {
            let mean = readings.iter().map(|r| r.get()).sum::<f64>() / readings.len() as f64;
            Some(edge.stretched(mean / width, mean / height))
        }
        MeasuredOutline::Across(_) => None,
        MeasuredOutline::Size { width: w, height: h } => {
            Some(edge.stretched(w.get() / width, h.get() / height))
        }
    }
}

/// Every line of a shape at its place, the outer one first.
fn placed(shape: &Shape, turn: f64, at: Point) -> Result<Vec<Ring>, Error> {
    Ok(rings(shape)?.into_iter().map(|ring| ring.rotated(turn).translated(at.to_vec2())).collect())
}

fn window(count: usize, name: String, ring: Ring, border: Mm) -> Window {
    let ring = ring.anticlockwise();
    let widest = inscribed_circle(&ring);
    Window {
        label: format!("W{}", count + 1),
        name,
        bounds: ring.bounds(),
        ring,
        border,
        pattern_from: border,
        islands: Vec::new(),
        drill_at: widest.at,
        widest: Mm(2.0 * widest.radius),
    }
}

/// An ear with a round end, and the middle of its hole. It starts inside the edge, by half the border or half its
/// width, whichever is less, so that it is joined along its whole foot; `None` if it misses the outline.
fn ear(base: &Ring, spec: &LugSpec, border: Mm) -> Option<(Ring, Point)> {
    let (s, c) = sin_cos_degrees(spec.at_angle);
    let out = Vec2::new(c, s);
    let side = Vec2::new(-s, c);
    let reach = base.bounds().width() + base.bounds().height();
    // Where the direction leaves the outline: the farthest crossing from the middle.
    let ray = crate::geom::Edge::Line { from: Point::ORIGIN, to: (out * reach).to_point() };
    let foot =
        crossings(base, &ray).into_iter().map(|p| p.to_vec2().dot(out)).fold(f64::NEG_INFINITY, f64::max);
    if !foot.is_finite() {
        return None;
    }
    let (w, h) = (spec.width.get(), spec.height.get());
    let r = w / 2.0;
    // The foot of a curved edge falls away to the sides: start low enough to join along the whole width.
    let sink = (border.get() / 2.0).max(0.3).min(reach);
    let low = foot - sink - fall(base, out, side, r, foot);
    let end = foot + (h - r).max(0.0);
    let at = |x: f64, y: f64| (out * y + side * x).to_point();
    let ring = Ring::new(vec![
        Vertex { at: at(r, low), bulge: 0.0 },
        Vertex { at: at(-r, low), bulge: 0.0 },
        Vertex { at: at(-r, end), bulge: (h / r).clamp(0.0, 1.0) },
        Vertex { at: at(r, end), bulge: 0.0 },
    ]);
    Some((ring, at(0.0, end)))
}

/// How far the edge lies below `foot` at the ear's two sides, mm, within its width.
fn fall(base: &Ring, out: Vec2, side: Vec2, half: f64, foot: f64) -> f64 {
    [-half, half]
        .into_iter()
        .map(|x| {
            let start = (side * x).to_point();
            let ray = crate::geom::Edge::Line { from: start, to: start + out * (2.0 * foot.abs() + 10.0) };
            let top = crossings(base, &ray).into_iter().map(|p| p.to_vec2().dot(out)).fold(0.0, f64::max);
            (foot - top).clamp(0.0, foot.abs())
        })
        .fold(0.0, f64::max)
}

fn crossings(base: &Ring, ray: &crate::geom::Edge) -> Vec<Point> {
    base.edges().flat_map(|e| e.crossings(ray)).collect()
}
