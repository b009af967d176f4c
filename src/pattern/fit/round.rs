//! Bands and cones: one repeat is fitted between the long edges, goes round, and meets itself.

use super::field::Domain;
use super::parts::fields_in;
use super::place::FitRequest;
use super::search::{search, Sought};
use super::tiling::Tiling;
use super::{bent_note, fitted, promised, Budget, Effort, Fitted, Image, Laying};
use crate::catalogue::Pattern;
use crate::geom::{sin_cos_degrees, Point, Rect, Region, Ring, Vec2};
use crate::job::{CentreChoice, Job};
use crate::outline::Outline;
use crate::pattern::conformal::ConformalMap;
use crate::pattern::{band, Cell, DRILL_CLEARANCE};
use crate::units::{LengthUnit, Mm};

/// A repeat is the one that goes round when it is this near to it, in pitches.
const NEAR: f64 = 1e-6;
/// Repeats looked at each way for it.
const AROUND: i64 = 40;

/// Repeats that go all the way round; where the seam divides some of their cells, or something breaks the rounds, also
/// cells laid from end to end, with the seam in a bridge.
pub(super) fn fit(
    pattern: &Pattern,
    job: &Job,
    outline: &Outline,
    pitch: Mm,
    (effort, budget): (Effort, &Budget),
) -> Result<Vec<Fitted>, String> {
    let half = job.pattern.bridge.get() / 2.0;
    let map = ConformalMap::of(outline);
    let flat = outline.room.iter().map(|r| r.outer().bounds()).reduce(|a, b| a.union(b)).unwrap_or_default();
    let strip = map.map_or(flat.inflate(0.0, half), |m| m.strip_beyond(half));
    let Some(run) = map.map(|m| m.run()).or(outline.run.map(Mm::get)) else {
        return Err("the piece has no way round".into());
    };
    let what = if map.is_some() { "the cone, half way up" } else { "the band" };
    let told = band::Circuit { what, units: job.units };
    let closed = band::close(pattern, pitch.get(), job.pattern.turn, run, job.pattern.pitch.is_none(), told);
    let blank = Blank { strip, run, map, closed, units: job.units, budget };
    let clear = outline.windows.is_empty()
        && outline.circles.is_empty()
        && outline.middle.is_none()
        && outline.keeps.is_empty()
        && !outline.holes.iter().any(|h| inside(outline, h.at));
    let rounds = match clear {
        true => blank.rounds(pattern, job, effort),
        false => Err("a window, a hole or a kept place breaks the rounds".into()),
    };
    let (mut good, why) = match rounds {
        Ok((good, 0)) => return Ok(good),
        Ok((good, _)) => (good, None),
        // Nothing but the metal itself can be bent onto a cone.
        Err(why) if map.is_some() && !clear => return Err(why),
        Err(why) => (Vec::new(), Some(why)),
    };
    match (blank.end_to_end(pattern, job, outline, effort), why) {
        (Ok(more), _) => good.extend(more),
        (Err(_), None) => {}
        (Err(end_to_end), Some(_)) if !clear => return Err(end_to_end),
        (Err(_), Some(why)) => return Err(why),
    }
    Ok(good)
}

/// The blank of a band, or of a cone made flat, and how the pattern closes round it.
struct Blank<'a> {
    /// Where the middle lines of bridges may run.
    strip: Rect,
    run: f64,
    map: Option<ConformalMap>,
    closed: band::Closed,
    units: LengthUnit,
    budget: &'a Budget,
}

impl Blank<'_> {
    /// The fits of one repeat, laid all the way round, and how many cells the seam divides at least.
    fn rounds(&self, pattern: &Pattern, job: &Job, effort: Effort) -> Result<(Vec<Fitted>, usize), String> {
        let (closed, strip) = (&self.closed, self.strip);
        let (size, turn) = (closed.pitch, closed.turn);
        let Some(step) = step(pattern, size, turn, closed.repeat) else {
            return Err("its rows climb as they go round".into());
        };
        let tiling = Tiling::of(pattern);
        let kinds: Vec<Ring> = pattern.shapes.iter().map(|s| s.ring.scaled(size).rotated(turn)).collect();
        let reach = kinds.iter().map(|k| k.bounds().width() + k.bounds().height()).fold(0.0, f64::max);
        let field = Domain::band(strip.y0, strip.y1, closed.repeat, 2.0 * reach);
        let starts = crate::pattern::periodic::starts(pattern, job.pattern.centre);
        let ask = FitRequest {
            field: &field,
            tiling: &tiling,
            kinds: &kinds,
            size,
            turn,
            starts: &starts,
            middle: field.middle,
            typed: job.pattern.centre != CentreChoice::Best,
            bridge: job.pattern.bridge.get(),
            least: job.saw.drill.get() + DRILL_CLEARANCE,
            round: Some((step, closed.repeat)),
            budget: self.budget,
        };
        let fits = search(&ask, Sought::Bent(effort));
        if fits.is_empty() {
            return Err("its rows cannot be laid along these edges".into());
        }
        let (mut good, mut why, mut least) = (Vec::new(), String::new(), usize::MAX);
        for fit in &fits {
            if let Err(reason) = promised(fit, fit.faces.len() * closed.count as usize, job) {
                why = if why.is_empty() { reason } else { why };
                continue;
            }
            let mut one = fitted(&[(fit, &[])], pattern, &kinds, &starts, (size, turn), &[]);
            let bent = fit.faces.iter().filter(|face| !face.whole).count();
            let round = |cells: usize| cells * closed.count as usize;
            one.laid.notes = vec![bent_note(round(bent), round(fit.faces.len()), one.quality.narrowest)];
            least = least.min(self.go_round(&mut one));
            self.bend(&mut one);
            good.push(one);
        }
        if good.is_empty() {
            return Err(why);
        }
        Ok((good, least))
    }

    /// The fits of the whole strip, its ends taken as edges: half a bridge on each side of the seam.
    fn end_to_end(
        &self,
        pattern: &Pattern,
        job: &Job,
        outline: &Outline,
        effort: Effort,
    ) -> Result<Vec<Fitted>, String> {
        let Rect { y0, y1, .. } = self.strip;
        let ring = Ring::rectangle(Rect::new(-self.run / 2.0, y0, self.run / 2.0, y1));
        let fields = match self.map {
            None => fields_in(vec![ring], job, outline)?,
            Some(_) => vec![Domain::of(&Region::new(ring, Vec::new()))],
        };
        let Blank { closed, budget, .. } = self;
        let laying =
            Laying { pattern, job, size: closed.pitch, turn: closed.turn, effort, budget, share: 1.0 };
        let mut good = laying.over(&fields)?;
        for one in &mut good {
            one.laid.repeats = vec![self.closed.count];
            one.laid.notes.splice(0..0, self.closed.notes.iter().cloned()).for_each(drop);
            self.bend(one);
        }
        Ok(good)
    }

    /// Bends cells onto the blank of a cone.
    fn bend(&self, one: &mut Fitted) {
        let (laid, Some(map)) = (&mut one.laid, self.map) else { return };
        laid.notes.push(map.note(self.closed.pitch, self.units));
        let rings: Vec<Ring> =
            laid.cells.iter().map(|c| map.ring(&laid.kinds[c.kind].translated(c.at))).collect();
        laid.kinds = rings;
        laid.cells = (0..laid.kinds.len()).map(|kind| Cell { kind, at: Vec2::ZERO, bridge: None }).collect();
        one.images = Image::none(laid.kinds.len());
    }

    /// Lays one fitted repeat all the way round, so that the seam divides as few cells as it can, and says how many.
    fn go_round(&self, one: &mut Fitted) -> usize {
        let (closed, run) = (&self.closed, self.run);
        let laid = &mut one.laid;
        let each = closed.repeat;
        let boxes: Vec<Rect> = (-1..=1)
            .flat_map(|k| {
                let over = Vec2::new(run / 2.0 + f64::from(k) * each, 0.0);
                let at = move |c: &Cell| (c.kind, c.at + over);
                laid.cells.iter().map(at).collect::<Vec<_>>()
            })
            .map(|(kind, at)| laid.kinds[kind].bounds() + at)
            .collect();
        let line = band::seam_line(&boxes, run / 2.0, each, 0.0);
        let count = i64::from(closed.count);
        let mut cells = Vec::with_capacity(laid.cells.len() * closed.count as usize);
        // One more at each end: the seam trims them.
        for k in -1..=count {
            let over = Vec2::new(-run / 2.0 + k as f64 * each + line.shift, 0.0);
            cells.extend(laid.cells.iter().map(|c| Cell { at: c.at + over, ..*c }));
        }
        cells.retain(|c| {
            let b = laid.kinds[c.kind].bounds() + c.at;
            b.x1 > -run / 2.0 && b.x0 < run / 2.0
        });
        laid.cells = cells;
        laid.repeats = vec![closed.count];
        laid.notes.splice(0..0, closed.notes.iter().cloned()).for_each(drop);
        line.cut
    }
}

fn inside(outline: &Outline, at: Point) -> bool {
    outline.room.iter().any(|r| r.outer().contains(at))
}

/// The whole repeats that go once along, as the mesh counts them.
fn step(pattern: &Pattern, size: f64, turn: f64, repeat: f64) -> Option<[i64; 2]> {
    let (s, c) = sin_cos_degrees(turn);
    (-AROUND..=AROUND).flat_map(|m| (-AROUND..=AROUND).map(move |n| [m, n])).find(|[m, n]| {
        let v = pattern.repeat_of(*m, *n) * size;
        let v = Vec2::new(v.x * c - v.y * s, v.x * s + v.y * c);
        (v - Vec2::new(repeat, 0.0)).hypot2().sqrt() < NEAR * size
    })
}
