//! Rows of openings: whole counts, evenly spaced along their lanes, as symmetrical as the line they follow.
//!
//! `stations` says where along the middle line of a lane openings may stand, `shape` draws one there; here the count is found
//! and the gaps are measured.

mod shape;
mod stations;

use super::fit::curve::Curve;
use crate::error::Error;
use crate::geom::{box_distance2, Boundary, Bounded, Grid, Point, Rect, Ring};
use crate::job::{Job, RowSpec, Spacing};
use crate::outline::{Lane, Outline, Track};
use shape::Shaped;
use stations::{Arrangement, StationPlan};

/// A gap that is short of the bridge by less than this is as wide as it, mm: far below what is printed.
const AS_WIDE: f64 = 1e-6;
/// Steps by which a row is spread until its narrowest gap is a bridge, and how many. Larger leaves gaps wider than they need
/// be, smaller takes longer on lines with tight corners.
const SPREAD: f64 = 1.005;
const SPREADS: usize = 200;
/// A line of which so many in so many openings have to be left out has no room for the row.
const MOSTLY: (usize, usize) = (2, 3);
/// An arrangement whose openings come nearer to the edge than another's by this, mm, sticks out at the corners.
const STICKS_OUT: f64 = 0.05;

/// A row as it came out.
#[derive(Debug, Clone)]
pub struct RowSet {
    /// Which `[[row]]`, from 0.
    pub row: usize,
    /// Their edges, in order along the line.
    pub openings: Vec<Ring>,
    /// Where they stand on the line, mm; those left solid too.
    pub stations: Vec<Point>,
    /// Openings that were left solid, and why.
    pub left: Vec<(Point, String)>,
    /// Least and largest step along the line, mm.
    pub step: (f64, f64),
    /// The narrowest metal between neighbours, mm.
    pub gap: f64,
    /// In a sentence, for the job card.
    pub note: String,
}

/// A track with openings set on it.
struct PlacedRow {
    rings: Vec<Ring>,
    /// Those that stand too near to others over a pointed corner, and are left out.
    crowded: Vec<bool>,
    stations: Vec<Point>,
    step: (f64, f64),
    gap: f64,
    /// Least distance to the line beside, mm.
    clear: f64,
}

/// All rows of a job. Errors when a row has no room for its openings, or two stand on each other.
pub fn set_rows(job: &Job, outline: &Outline) -> Result<Vec<RowSet>, Error> {
    let mut rows: Vec<RowSet> = Vec::new();
    for lane in &outline.lanes {
        let row = &job.rows[lane.row];
        let mut sets = Vec::new();
        for track in &lane.tracks {
            sets.push(set_track(job, row, lane, track)?);
        }
        let set = finished(job, outline, row, lane, sets);
        apart_from_others(job, outline, lane, &set, &rows)?;
        rows.push(set);
    }
    Ok(rows)
}

/// One track: of the arrangements that suit its line, the first that leaves a bridge between neighbours and sticks out nowhere.
fn set_track(job: &Job, row: &RowSpec, lane: &Lane, track: &Track) -> Result<PlacedRow, Error> {
    let bridge = job.pattern.bridge.get();
    let shaped = Shaped::new(row, track, job.pattern.corner_radius.get());
    let curve = shaped.middle();
    let wide = row.size.0.get();
    let mut found: Vec<PlacedRow> = Vec::new();
    for arrangement in Arrangement::all(curve, track, wide + bridge) {
        let mut plan = match row.spacing {
            Spacing::Most => arrangement.by_step(wide + bridge, f64::floor),
            Spacing::Pitch(pitch) => arrangement.by_step(pitch.get(), f64::round),
            Spacing::Count(count) => match arrangement.by_count(count) {
                Some(plan) => plan,
                None => continue,
            },
        };
        let mut set = laid(&shaped, curve, track, &plan, bridge);
        if row.spacing == Spacing::Most {
            let mut step = wide + bridge;
            for _ in 0..SPREADS {
                if set.as_ref().is_some_and(|set| set.gap >= bridge - AS_WIDE) {
                    break;
                }
                step *= SPREAD;
                let next = arrangement.by_step(step, f64::floor);
                if next != plan {
                    plan = next;
                    set = laid(&shaped, curve, track, &plan, bridge);
                }
            }
        }
        found.extend(set.filter(|set| set.rings.len() >= 2));
    }
    let apart = |set: &&PlacedRow| set.gap >= bridge - AS_WIDE;
    let clear = found.iter().filter(apart).map(|set| set.clear).fold(f64::NEG_INFINITY, f64::max);
    let good = |set: &PlacedRow| apart(&set) && set.clear >= clear - STICKS_OUT;
    let whole = |set: &PlacedRow| good(set) && !set.crowded.contains(&true);
    if let Some(i) = found.iter().position(whole).or_else(|| found.iter().position(good)) {
        return Ok(found.swap_remove(i));
    }
    // What is typed is kept: that it is too close is for the checks to tell.
    let widest = |a: &PlacedRow, b: &PlacedRow| a.gap.total_cmp(&b.gap);
    let typed = row.spacing != Spacing::Most;
    found
        .into_iter()
        .filter(|set| typed && set.gap > 0.0)
        .max_by(widest)
        .ok_or_else(|| no_room(job, row, lane, curve.length()))
}

/// Openings at the stations of a plan, measured; `None` where hardly any has room.
fn laid(shaped: &Shaped, curve: &Curve, track: &Track, plan: &StationPlan, bridge: f64) -> Option<PlacedRow> {
    let stations = plan.stations(curve);
    let n = stations.len();
    let (rings, drawn): (Vec<Ring>, Vec<bool>) = shaped.along(&stations, &plan.gaps()).into_iter().unzip();
    let mut crowded = crowded(&rings, track.open.is_none(), bridge);
    crowded.iter_mut().zip(drawn).for_each(|(crowded, drawn)| *crowded |= !drawn);
    if MOSTLY.1 * crowded.iter().filter(|c| **c).count() >= MOSTLY.0 * n {
        return None;
    }
    let gap_of = |i: usize| {
        let next = (i + 1) % n;
        let beside = next != i && (next > i || track.open.is_none()) && !crowded[i] && !crowded[next];
        if beside {
            rings[i].closest(&rings[next]).distance
        } else {
            f64::INFINITY
        }
    };
    let gap = (0..n).map(gap_of).fold(f64::INFINITY, f64::min);
    let crossed = (0..n).any(|i| rings[i].contains(curve.point(stations[(i + 1) % n])) && n > 1);
    let clear = match &track.beside {
        Some(line) => {
            let beside = Boundary::of_ring(line);
            let reach = line.perimeter();
            let far = |ring: &Ring| beside.closest(ring, reach).map_or(reach, |c| c.distance);
            rings.iter().map(far).fold(f64::INFINITY, f64::min)
        }
        None => f64::INFINITY,
    };
    let gap = if crossed { 0.0 } else { gap };
    Some(PlacedRow {
        crowded,
        stations: stations.iter().map(|s| curve.point(*s)).collect(),
        rings,
        step: plan.step(),
        gap,
        clear,
    })
}

/// Which openings stand nearer than a bridge to others that do not follow them on the line: both sides of a pointed corner.
fn crowded(rings: &[Ring], closed: bool, bridge: f64) -> Vec<bool> {
    let n = rings.len();
    let mut boxes: Vec<(Rect, usize)> = rings.iter().map(Ring::bounds).zip(0..).collect();
    boxes.sort_by(|a, b| a.0.x0.total_cmp(&b.0.x0).then(a.1.cmp(&b.1)));
    let mut crowded = vec![false; n];
    for (k, (b, i)) in boxes.iter().enumerate() {
        for (c, j) in boxes[k + 1..].iter().take_while(|(c, _)| c.x0 <= b.x1 + bridge) {
            let apart = i.abs_diff(*j);
            let follows = apart == 1 || (closed && apart == n - 1);
            let near = |limit: f64| rings[*i].closest(&rings[*j]).distance < limit;
            if !follows && box_distance2(*b, *c) < bridge * bridge && near(bridge - AS_WIDE) {
                (crowded[*i], crowded[*j]) = (true, true);
            }
        }
    }
    crowded
}

/// The openings of a lane with those left out that stand where metal is kept.
fn finished(job: &Job, outline: &Outline, row: &RowSpec, lane: &Lane, sets: Vec<PlacedRow>) -> RowSet {
    let fold = |of: fn(&PlacedRow) -> f64, with: fn(f64, f64) -> f64, from: f64| {
        sets.iter().map(of).fold(from, with)
    };
    let step = (fold(|s| s.step.0, f64::min, f64::INFINITY), fold(|s| s.step.1, f64::max, 0.0));
    let gap = fold(|s| s.gap, f64::min, f64::INFINITY);
    let (mut openings, mut left, mut stations) = (Vec::new(), Vec::new(), Vec::new());
    for set in sets {
        for ((ring, crowded), at) in set.rings.into_iter().zip(set.crowded).zip(set.stations) {
            stations.push(at);
            if crowded {
                left.push((at, "no room for it beside the corner".to_string()));
                continue;
            }
            match kept_there(job, outline, lane, &ring) {
                Some(name) => left.push((at, format!("{name} is kept solid"))),
                None => openings.push(ring),
            }
        }
    }
    let mm = |v: f64| job.units.plain(v, 2);
    let steps = match step.1 - step.0 < 0.005 {
        true => mm(step.0),
        false => format!("{} to {}", mm(step.0), mm(step.1)),
    };
    let what = shape::called(&row.shape);
    let note = format!(
        "row {} along {}: {} {what} of {} by {}, {steps} from one to the next, {} of metal between",
        lane.row + 1,
        lane.along,
        openings.len(),
        mm(row.size.0.get()),
        job.units.says(row.size.1.get(), 2),
        job.units.says(gap, 2)
    );
    RowSet { row: lane.row, openings, stations, left, step, gap, note }
}

/// What is kept solid where an opening of a row would stand.
fn kept_there(job: &Job, outline: &Outline, lane: &Lane, ring: &Ring) -> Option<String> {
    let own = ring.bounds();
    let beside = |bounds: Rect, grown: f64| box_distance2(bounds.inflate(grown, grown), own) > 0.0;
    let meets = |other: &Ring| {
        ring.closest(other).distance <= 0.0 || other.contains(ring.centroid()) || ring.contains(other.first())
    };
    if let Some(keep) = outline.keeps.iter().find(|k| !beside(k.bounds, 0.0) && meets(&k.ring)) {
        return Some(keep.name.clone());
    }
    let window = outline.windows.iter().find(|w| {
        let border = w.border.get();
        w.name != lane.along && !beside(w.bounds, border) && meets(&w.ring.grow(border))
    });
    if let Some(w) = window {
        return Some(format!("the border of {} ({})", w.label, w.name));
    }
    let wall = job.pattern.most_bridge().get();
    let hole = outline.holes.iter().find(|h| meets(&Ring::circle(h.at, h.diameter.get() / 2.0 + wall)));
    hole.map(|h| format!("the metal round {} ({})", h.label, h.name))
}

/// Refuses a row whose openings stand on those of another or of the middle.
fn apart_from_others(
    job: &Job,
    outline: &Outline,
    lane: &Lane,
    set: &RowSet,
    rows: &[RowSet],
) -> Result<(), Error> {
    let middle = outline.middle.iter().flat_map(|m| &m.openings).map(|ring| ("the middle".to_string(), ring));
    let others =
        rows.iter().flat_map(|r| r.openings.iter().map(move |ring| (format!("row {}", r.row + 1), ring)));
    let own = set.openings.iter().map(|ring| Bounded { item: ring, bounds: ring.bounds() });
    let own = Grid::new(own.collect());
    for (name, other) in middle.chain(others) {
        let on = |ring: &Ring| {
            ring.closest(other).distance <= 0.0
                || other.contains(ring.centroid())
                || ring.contains(other.centroid())
        };
        if own.meeting(other.bounds()).any(|near| on(near.item)) {
            let wrong = format!("openings of row {} stand on those of {name}", lane.row + 1);
            return Err(job.refused(
                &format!("row[{}].along", lane.row),
                wrong,
                "move one of them, or make it smaller",
            ));
        }
    }
    Ok(())
}

/// A row whose openings do not stand apart, with the size or the count that would do.
fn no_room(job: &Job, row: &RowSpec, lane: &Lane, length: f64) -> Error {
    let (wide, bridge) = (row.size.0.get(), job.pattern.bridge.get());
    let mm = |v: f64| job.units.says(v, 2);
    let (key, wrong) = match row.spacing {
        Spacing::Count(count) => {
            ("count", format!("{count} openings, {} along the row, would stand on each other", mm(wide)))
        }
        Spacing::Pitch(pitch) => (
            "pitch",
            format!(
                "openings {} along the row stand on each other at a pitch of {}",
                mm(wide),
                mm(pitch.get())
            ),
        ),
        Spacing::Most => (
            "size",
            format!("openings {} along the row stand nowhere a bridge of {} apart", mm(wide), mm(bridge)),
        ),
    };
    let fits = (length / (wide + bridge) + 1e-9).floor();
    let narrow = ((length / 3.0 - bridge) * 10.0).floor() / 10.0;
    let todo = if fits >= 3.0 {
        format!("{} of line hold at most {fits:.0} with bridges of {}", mm(length), mm(bridge))
    } else if narrow > job.saw.drill.get() {
        format!("make them at most {} along the row", mm(narrow))
    } else {
        format!("the line is only {} long: leave the row out, or make it longer", mm(length))
    };
    job.refused(&format!("row[{}].{key}", lane.row), format!("row {}: {wrong}", lane.row + 1), todo)
}
