//! What is chosen for a new job: a hole to hang it from, the pitch, how the pattern meets the border.

use super::small;
use super::sturdy::sturdier;
use super::tried::{at_border, first_fitted, free_of, larger, pitch_of, tried, Suited, BAND_ROOM, FEWEST};
use crate::catalogue::Fills;
use crate::checks::{Check, Level};
use crate::error::Error;
use crate::geom::Point;
use crate::job::{Edit, Job, PatternSource, Shape, Value};
use crate::pattern::half_open_bridge;
use crate::units::Mm;
use crate::work::{work, Work};

/// An edge row is called evener when it is by this much (1 is as even as can be): less is not seen at arm's length.
const CLEARLY: f64 = 0.02;
/// Bridges are written down where half of the pattern open asks for bridges so many times as wide as the hand's own. Less
/// writes down what hardly shows.
const WIDER: f64 = 1.1;
/// Pieces up to this height get a hole to hang from, mm; larger ones are seldom worn.
const WORN: f64 = 70.0;
/// A hole that takes a jump ring of 1 mm wire, mm (common practice).
const BAIL_HOLE: f64 = 1.8;
/// Metal round that hole: times the sheet, and at least mm (estimate). Less pulls through.
const BAIL_WALL: (f64, f64) = (1.5, 1.2);
/// Borders tried on a band that the skill's own leaves no room in, finished mm (estimate).
const BAND_BORDERS: [f64; 5] = [1.5, 1.2, 1.0, 0.8, 0.7];
/// Bridges tried on a band, finished mm: a ring is short work, held on a mandrel or between fingers (estimate).
const BAND_BRIDGES: [f64; 2] = [1.0, 0.8];

/// Start hole and clean-up of fine work, mm.
const FINE: (f64, f64) = (0.5, 0.05);

/// The job with a pitch for the piece written down, so that it stays when something else is changed.
/// `free`: the maker asked for no pattern in particular.
pub(super) fn suited(plain: &Job, hang: bool, free: bool) -> Result<Suited, Error> {
    if let Shape::Band { width, .. } = plain.outline.shape {
        return band(plain, width.get(), free);
    }
    let hung = if hang { hanging(plain)? } else { None };
    chosen(&hung.unwrap_or_else(|| plain.clone())).map(sturdier)
}

/// The pitch, and how the pattern meets the border; smaller sizes where the piece is too small for the hand's own.
fn chosen(base: &Job) -> Result<Suited, Error> {
    let first = work(base)?;
    let pitch = first.piece.resolved.pitch.get();
    let mut edits = vec![pitch_of(pitch)];
    edits.extend(wider_bridge(base, first.piece.resolved.pitch));
    let edits: Vec<Edit> = edits.into_iter().map(|edit| edit.round_in(base.units)).collect();
    let start = base.with(&edits).unwrap_or_else(|_| base.clone());
    if let Some(fitted) = fitted(&start, pitch) {
        return Ok(Suited::of(fitted));
    }
    let (mut best, mut done) = best_at_border(&start)?;
    // Openings too small to clean up ask for a larger pitch; a heavy patch at the border is let pass before they are.
    for checks in [&[Check::OpeningSize, Check::SolidPatch][..], &[Check::OpeningSize]] {
        if free_of(&done, checks) {
            break;
        }
        let tries = larger(pitch)
            .flat_map(|mm| ["trim", "whole", "join"].map(|how| vec![pitch_of(mm), at_border(how)]));
        let fits = |w: &Work| free_of(w, checks) && w.piece.openings.len() >= FEWEST;
        let found = tries.into_iter().find_map(|edits| tried(&start, &edits).filter(|(_, w)| fits(w)));
        if let Some((job, work)) = found {
            (best, done) = (job, work);
            break;
        }
    }
    let suited = Suited::of((best, done));
    Ok(if small::is_too_small(&suited) { small::suited(base, suited) } else { suited })
}

/// The least pitch from `pitch` mm up, not much larger, at which the pattern is fitted and nothing speaks against it.
fn fitted(start: &Job, pitch: f64) -> Option<(Job, Work)> {
    if !matches!(&start.pattern.source, PatternSource::Repeat(pattern) if pattern.fills == Fills::Plane) {
        return None;
    }
    let mut sharp = None;
    let tried_at = |mm| tried(start, &[pitch_of(mm), at_border("fit")]);
    first_fitted(larger(pitch), &mut sharp, tried_at).or(sharp)
}

/// On a large piece openings are large so that they can be counted: bridges grow with them, and half of the pattern stays open.
fn wider_bridge(job: &Job, pitch: Mm) -> Option<Edit> {
    let PatternSource::Repeat(pattern) = &job.pattern.source else { return None };
    let half = half_open_bridge(pattern, pitch)?.get();
    (half > WIDER * job.pattern.bridge.get())
        .then(|| Edit::mm("pattern.bridge", (half * 10.0).floor() / 10.0))
}

/// Where it cannot be fitted: the way with the border that leaves the evenest edge row.
fn best_at_border(job: &Job) -> Result<(Job, Work), Error> {
    let mark = |done: &Work| (free_of(done, &[]), done.piece.evenness());
    let trimmed = job.with(&[at_border("trim")])?;
    let done = work(&trimmed)?;
    let mut best_mark = mark(&done);
    let mut best = (trimmed, done);
    for how in ["ease", "join", "whole"] {
        let Some(next) = tried(job, &[at_border(how)]) else { continue };
        let (sound, even) = mark(&next.1);
        if (sound && !best_mark.0) || (sound == best_mark.0 && even > best_mark.1 + CLEARLY) {
            (best, best_mark) = (next, (sound, even));
        }
    }
    Ok(best)
}

/// A hole near the top with solid metal round it, for a piece small enough to be worn; `None` where there is no room.
fn hanging(job: &Job) -> Result<Option<Job>, Error> {
    let upright = !matches!(job.outline.shape, Shape::Cone { .. } | Shape::Crescent { .. });
    let done = work(job)?;
    let (edge, high) = (&done.piece.outline.edge, done.piece.outline.size.1.get());
    if !upright || high > WORN {
        return Ok(None);
    }
    let wall = (BAIL_WALL.0 * job.sheet.thickness.get()).max(BAIL_WALL.1) + 2.0 * job.saw.clean_up.get();
    let reach = ((BAIL_HOLE / 2.0 + wall) * 10.0).ceil() / 10.0;
    let top = edge.bounds().y1;
    let mut y = ((top - reach) * 10.0).floor() / 10.0;
    while edge.signed_distance(Point::new(0.0, y)) < reach - 1e-6 {
        y -= 0.1;
        if y < 0.2 * high {
            return Ok(None);
        }
    }
    let at = || ("at", Value::List(vec![0.0, y]));
    let tab = vec![
        ("name", Value::word("bail tab")),
        ("shape", Value::word("circle")),
        ("diameter", Value::Mm(2.0 * reach)),
        at(),
    ];
    let hole = vec![("name", Value::word("bail hole")), ("diameter", Value::Mm(BAIL_HOLE)), at()];
    let edits = [Edit::set("keep_solid[0]", Value::Row(tab)), Edit::set("hole[0]", Value::Row(hole))];
    // On a piece too small for it there is no hole.
    Ok(tried(job, &edits)
        .filter(|(_, w)| free_of(w, &[]) && w.piece.openings.len() >= FEWEST)
        .map(|(job, _)| job))
}

/// A band's pattern: as many rows as there is room for, with the border and bridge of the skill if they leave room, else
/// narrower ones that a ring bears. Refused with what would do where no row fits. `free`: no pattern was asked for.
fn band(plain: &Job, width: f64, free: bool) -> Result<Suited, Error> {
    let clean = 2.0 * plain.saw.clean_up.get();
    let usual = (plain.limits.border.get(), plain.limits.bridge.get());
    let narrower = BAND_BORDERS
        .iter()
        .flat_map(|border| BAND_BRIDGES.iter().map(move |bridge| (border.min(usual.0), bridge.min(usual.1))));
    let pairs = std::iter::once(usual).chain(narrower);
    let patterns = if free { vec![Some("hexagon"), Some("square")] } else { vec![None] };
    for (border, bridge) in pairs {
        let inside = width - 2.0 * (border + clean);
        let mut start = vec![Edit::clear("outline.border")];
        if (border, bridge) != usual {
            start.push(Edit::mm("limits.border", border));
            start.push(Edit::mm("limits.bridge", bridge));
        }
        // The openings' size comes first, then rows: three, two or one.
        let mut best: Option<(usize, Suited)> = None;
        for rows in [3.0, 2.0, 1.0] {
            let opening = (inside - (rows - 1.0) * (bridge + clean)) / rows;
            if opening < plain.saw.drill.get() + BAND_ROOM - 1e-9 {
                continue;
            }
            let least = plain.limits.opening.get().min((opening * 10.0 + 1e-6).floor() / 10.0);
            for pattern in &patterns {
                let mut edits = start.clone();
                edits.extend(pattern.map(|name| Edit::set("pattern.name", Value::word(name))));
                if least < plain.limits.opening.get() {
                    edits.push(Edit::mm("limits.opening", least));
                }
                edits.push(pitch_of(opening + bridge + clean));
                let Some((mut job, mut work)) = tried(plain, &edits) else { continue };
                // Whole repeats round the band are a little narrower than the pitch asked for.
                let narrowest = work.piece.narrowest_opening().map_or(least, |o| o.widest.get());
                if narrowest < least {
                    edits.push(Edit::mm("limits.opening", (narrowest * 20.0 + 1e-6).floor() / 20.0));
                    let Some(again) = tried(plain, &edits) else { continue };
                    (job, work) = again;
                }
                if !free_of(&work, &[]) || work.piece.openings.len() < FEWEST {
                    continue;
                }
                let against = work.verdicts.iter().filter(|v| v.level > Level::Unchecked).count();
                let against = against + usize::from(!work.piece.left_solid.is_empty());
                if best.as_ref().is_none_or(|(least, _)| against < *least) {
                    best = Some((against, Suited::of((job, work))));
                }
            }
        }
        if let Some((_, best)) = best {
            return Ok(best);
        }
    }
    let say = |mm: f64| format!("{} {}", plain.units.short(mm, 2), plain.units.sign());
    let drill = plain.saw.drill.get();
    let least =
        |drill: f64, clean: f64| ((2.0 * (BAND_BORDERS[4] + clean) + drill + BAND_ROOM) * 10.0).ceil() / 10.0;
    let here = least(drill, clean);
    let fine = format!(
        "let a finer hand saw it (--skill fine-work, from {}), or leave it plain",
        say(least(FINE.0, 2.0 * FINE.1))
    );
    Err(Error::job(
        format!(
            "a band {} wide has no room for a row of openings: two borders of {} and a start hole of {} ask for \
             {}; so narrow a band is better plain",
            say(width),
            say(BAND_BORDERS[4]),
            say(drill),
            say(here)
        ),
        format!("make it at least {} wide, {fine}", say(here.max((width * 10.0 + 1.0).floor() / 10.0))),
    ))
}
