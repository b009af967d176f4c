//! The pitch of a pattern where none is typed: for the eye and the hand, or the finest that can be pierced.
//!
//! One rule for new jobs, for jobs that leave the pitch out and for the sampler: about half of the pattern open, the smallest
//! opening as wide as the hand's files ask, and on the whole piece as many openings as show the pattern and are sawn in
//! reasonable time.

use crate::catalogue::{Fills, Pattern};
use crate::geom::{inscribed_circle, Region, Ring};
use crate::job::{Job, Skill};
use crate::outline::Outline;
use crate::units::Mm;

/// Share of the pattern that is open (by eye): less looks heavy and is much metal for few holes, more looks like wire.
const OPEN: f64 = 0.5;
/// Room in an opening beyond the drill for the finest pitch, mm over the diameter. The least that can be pierced is
/// 0.20; a little more leaves the punch a target, and cells fitted to the border room to be a little smaller.
const DRILL_ROOM: f64 = 0.4;
/// A chosen pitch is rounded up to this step, mm, so that it can be read and typed.
const STEP: f64 = 0.1;
/// Fewer openings than this show no pattern: on a small piece they are made smaller, down to what can be pierced.
const FEWEST: f64 = 7.0;
/// Openings at most, by skill (estimate): more on one piece is days of sawing, which want to be asked for.
const MOST: [f64; 3] = [100.0, 180.0, 300.0];
/// Area of a grown pattern's usual cell over the square of the width it is told by: between a square (1) and a disc (0.79).
const CELL: f64 = 0.9;
/// Repeats looked at each way for a motif's nearest neighbour: more than enough for steps that are not far longer than the
/// shortest repeat.
const AROUND: i64 = 3;
/// Shapes are enlarged by this much before their widest circle is looked for, so that its error is small in repeats.
const ENLARGED: f64 = 100.0;
/// Halvings when the pitch is looked for that leaves a share open: to well below a hundredth of a millimetre.
const HALVINGS: usize = 30;

/// What a rule for the pitch has to know of a pattern, in pitches.
struct Counted<'a> {
    /// Widest circle of the smallest opening, before the bridge.
    across: f64,
    /// Area of ground for each opening.
    each: f64,
    /// Nothing is taken off for the bridge.
    motif: bool,
    /// Share that a bridge, in pitches, leaves open.
    open: &'a dyn Fn(f64) -> f64,
}

/// The pitch for a repeat on a piece, with its reason.
pub fn suited_pitch(pattern: &Pattern, job: &Job, outline: &Outline) -> (Mm, String) {
    let narrowest =
        pattern.shapes.iter().map(|s| inscribed_circle(&s.ring.scaled(ENLARGED)).radius / ENLARGED);
    let open = |bridge: f64| open_share(pattern, bridge);
    let cells = Counted {
        across: 2.0 * narrowest.fold(f64::INFINITY, f64::min),
        each: pattern.repeat_area() / pattern.shapes.len().max(1) as f64,
        motif: pattern.fills == Fills::Motif,
        open: &open,
    };
    let (pitch, sum) = cells.pitch(job, outline);
    if !cells.motif {
        return (pitch, sum);
    }
    // Motifs stand apart as they are drawn: the pitch alone makes the bridge.
    let (bridge, gap) = (job.pattern.least_bridge().get(), least_gap(pattern));
    let exact = bridge / gap;
    if exact <= pitch.get() || !exact.is_finite() {
        return (pitch, sum);
    }
    let pitch = stepped(exact);
    let units = job.units;
    let sum = format!(
        "pitch {}: chosen so that {} of metal stands between the openings ({} / {gap:.4} = {}, rounded up)",
        units.says(pitch, 2),
        units.says(bridge, 2),
        units.plain(bridge, 2),
        units.plain(exact, 2)
    );
    (Mm(pitch), sum)
}

/// The bridge that leaves `OPEN` of a repeat open at a pitch, mm; `None` for motifs, which are as open at any.
pub fn half_open_bridge(pattern: &Pattern, pitch: Mm) -> Option<Mm> {
    if pattern.is_motif() {
        return None;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let bridge = (low + high) / 2.0;
        match open_share(pattern, bridge) > OPEN {
            true => low = bridge,
            false => high = bridge,
        }
    }
    Some(pitch * low)
}

/// Share of a repeat that a bridge, in pitches, leaves open.
fn open_share(pattern: &Pattern, bridge: f64) -> f64 {
    let left = |ring: &Ring| ring.shrink(bridge / 2.0).iter().map(Ring::area).sum::<f64>();
    pattern.shapes.iter().map(|s| left(&s.ring)).sum::<f64>() / pattern.repeat_area()
}

/// The pitch for a grown pattern whose smallest usual opening is `across` pitches wide before the bridge.
pub(super) fn grown_pitch(across: f64, job: &Job, outline: &Outline) -> (Mm, String) {
    let open = |bridge: f64| (1.0 - bridge / across).max(0.0).powi(2);
    Counted { across, each: CELL * across * across, motif: false, open: &open }.pitch(job, outline)
}

impl Counted<'_> {
    fn pitch(&self, job: &Job, outline: &Outline) -> (Mm, String) {
        let bridge = if self.motif { 0.0 } else { job.pattern.most_bridge().get() };
        let for_opening = |wide: f64| (wide + bridge) / self.across;
        let finest = for_opening(job.saw.drill.get() + DRILL_ROOM);
        if job.pattern.finest {
            let pitch = stepped(finest);
            let wide = job.units.says(pitch * self.across - bridge, 2);
            let pitched = job.units.says(pitch, 2);
            let why = "the finest that can be pierced, the smallest opening";
            return (Mm(pitch), format!("pitch {pitched}: {why} {wide} across"));
        }
        let by_file = for_opening(job.limits.opening.get());
        let by_eye = self.half_open(bridge);
        // Half a bridge round the field belongs to the cells in it.
        let area: f64 = outline.field.iter().map(|r| with_bridge(r, bridge)).sum();
        let for_count = |count: f64| (area / (count * self.each)).sqrt();
        let most = MOST[match job.skill {
            Skill::First => 0,
            Skill::Practised => 1,
            Skill::FineWork => 2,
        }];
        let (fewer, enough) = (for_count(most), for_count(FEWEST));
        // The rounds of a band or a cone have to lie between its edges.
        let round = match outline.seam {
            Some(_) => {
                for_opening((outline.room.iter().map(|r| across_of(r, outline)).fold(0.0, f64::max)).max(0.0))
            }
            None => f64::INFINITY,
        };
        let exact = by_file.max(by_eye).max(fewer).min(enough.min(round).max(finest));
        let pitch = stepped(exact);
        let wide = job.units.says(pitch * self.across - bridge, 2);
        let count = area / (self.each * pitch * pitch);
        let why = if exact == finest {
            "the finest that can be pierced: there is no room for more".to_string()
        } else if exact == enough {
            format!("small enough for about {FEWEST:.0} openings to show it")
        } else if exact == round {
            "as large as the room between the edges lets it be".to_string()
        } else if exact == fewer {
            format!("large enough that about {most:.0} openings fill the piece")
        } else if exact == by_eye {
            "about half of the pattern open".to_string()
        } else {
            "openings that a file goes into".to_string()
        };
        let about = if count < 20.0 { count.round() } else { (count / 10.0).round() * 10.0 };
        let sum = format!(
            "pitch {}: {why}; about {about:.0} openings with bridges of {}, the smallest {wide} across",
            job.units.says(pitch, 2),
            job.units.says(job.pattern.bridge.get(), 2)
        );
        (Mm(pitch), sum)
    }

    /// The pitch at which [`OPEN`] of the pattern is open; 0 for motifs, which are as open at any.
    fn half_open(&self, bridge: f64) -> f64 {
        if self.motif || (self.open)(0.0) <= OPEN {
            return 0.0;
        }
        let (mut low, mut high) = (bridge, 100.0 * bridge / self.across);
        for _ in 0..HALVINGS {
            let pitch = (low * high).sqrt();
            match (self.open)(bridge / pitch) < OPEN {
                true => low = pitch,
                false => high = pitch,
            }
        }
        high
    }
}

/// Area of a part of the field with half a bridge all round it, mm2.
fn with_bridge(region: &Region, bridge: f64) -> f64 {
    let round = region.outer().perimeter() + region.holes().iter().map(Ring::perimeter).sum::<f64>();
    region.area() + round * bridge / 2.0
}

/// Width between the long edges of a band's or a cone's field, mm: its area over half the way round it.
fn across_of(region: &Region, outline: &Outline) -> f64 {
    let along = outline.run.map(Mm::get).unwrap_or(region.outer().perimeter() / 2.0);
    region.outer().area() / along.max(1e-9)
}

/// Rounded up to a pitch that can be read and typed, mm.
fn stepped(exact: f64) -> f64 {
    ((exact / STEP) - 1e-9).ceil() * STEP
}

/// Metal between a motif and its nearest neighbour, in shortest repeats.
fn least_gap(pattern: &Pattern) -> f64 {
    let shapes: Vec<Ring> = pattern.shapes.iter().map(|s| s.ring.scaled(ENLARGED)).collect();
    let mut least = f64::INFINITY;
    for (i, one) in shapes.iter().enumerate() {
        for (j, other) in shapes.iter().enumerate() {
            for (m, n) in (-AROUND..=AROUND).flat_map(|m| (-AROUND..=AROUND).map(move |n| (m, n))) {
                if i != j || (m, n) != (0, 0) {
                    let moved = other.translated(pattern.repeat_of(m, n) * ENLARGED);
                    least = least.min(one.closest(&moved).distance / ENLARGED);
                }
            }
        }
    }
    least
}
