//! The metal that is left: bridges, borders, loose bits, tongues, solid patches.

use super::{sheet, Phrasing};
use crate::checks::widths::WidthLimit;
use crate::checks::Side;
use crate::geom::Point;
use crate::job::{AtBorder, Temper};
use crate::trade::models::SAW_PUSH_N;
use crate::units::plain;

/// A width as drawn, and when the hand has overrun its lines by the clean-up, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Width {
    /// Between the two lines as drawn, mm.
    pub drawn: f64,
    /// After clean-up on each sawn side, mm; 0 or less where nothing is left.
    pub finished: f64,
}

/// Which metal beside the openwork.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Margin {
    /// Between openings and the outer edge.
    Edge,
    /// Round a window.
    Window,
    /// Between a hole and an opening.
    RoundHole,
    /// Between a hole and the outer edge.
    OutsideHole,
}

impl Margin {
    fn says(self) -> &'static str {
        match self {
            Margin::Edge => "the border",
            Margin::Window => "the border of a window",
            Margin::RoundHole => "the metal between a hole and an opening",
            Margin::OutsideHole => "the metal outside a hole",
        }
    }
}

/// What would hold a loose bit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hold {
    /// Metal kept where two edges meet.
    Here(Point),
    /// A bridge from one point to the other, `length` mm.
    Bridge {
        /// Shortest way from the one to the other, mm.
        length: f64,
        /// On the metal that stays.
        from: Point,
        /// On the loose bit.
        to: Point,
    },
}

/// What became of the metal. Lengths in mm, places in mm from the outline's middle, angles in degrees.
#[derive(Debug, Clone, PartialEq)]
pub enum MetalFinding {
    /// No two openings are neighbours across a bridge.
    NoBridges {
        /// Least finished bridge, had there been one.
        limit: WidthLimit,
    },
    /// Every bridge between openings is wide enough.
    BridgesWide {
        /// The thinnest.
        width: Width,
        /// Least finished width.
        limit: WidthLimit,
    },
    /// Bridges between openings that are under their limit; the thinnest is told of.
    BridgesThin {
        /// The openings at its ends.
        between: [Side; 2],
        /// Its middle.
        at: Point,
        /// How wide it is.
        width: Width,
        /// Least finished width.
        limit: WidthLimit,
    },
    /// No border, and no metal round a window or hole, was there to be measured.
    NoMargins,
    /// Every margin is wide enough; the one nearest its limit is told of.
    MarginsWide {
        /// What kind of margin it is.
        which: Margin,
        /// The edges it runs between.
        between: [Side; 2],
        /// How wide it is.
        width: Width,
        /// Least finished width.
        limit: WidthLimit,
    },
    /// A kind of margin that is under its limit, in one place or more; the thinnest is told of.
    MarginThin {
        /// The kind.
        which: Margin,
        /// The edges it runs between.
        between: [Side; 2],
        /// Its middle.
        at: Point,
        /// How wide it is.
        width: Width,
        /// Least finished width.
        limit: WidthLimit,
    },
    /// The metal left after piercing hangs together.
    OnePiece,
    /// Openings, windows and holes take all the metal away.
    NothingLeft,
    /// Bits of metal that nothing holds once they are sawn round.
    FallsOut {
        /// Of the largest bit, across and up, mm.
        size: (f64, f64),
        /// Middle of the largest bit.
        at: Point,
        /// What would hold it.
        hold: Hold,
    },
    /// No part of the metal is lost by the break of one bridge.
    HeldFirm,
    /// A part of the metal that is lost if its one bridge breaks.
    HangsByOne {
        /// The cut-out that goes round it.
        inside: Side,
        /// Middle of the bridge.
        at: Point,
        /// Width of the bridge.
        width: Width,
        /// Openings, windows and holes in it.
        carries: usize,
    },
    /// No tongue is too long for its width, no tip of metal too sharp.
    NoTongues,
    /// Tongues of metal, held at one end, that are too long for their width; the worst is told of.
    TongueLong {
        /// Its farthest point from the root.
        tip: Point,
        /// From root to tip as drawn, mm.
        length: f64,
        /// At the root when finished, mm.
        width: f64,
        /// How far the tip gives under the saw, mm, where that is felt.
        gives: Option<f64>,
        /// It is likely to bend; else it may.
        likely: bool,
        /// Longest that is safe at that width, mm.
        safe: f64,
    },
    /// Tips of metal that catch and bend; the sharpest is told of.
    TipSharp {
        /// The tip.
        at: Point,
        /// How sharp it is, degrees.
        angle: f64,
        /// Tips sharper than this are told of, degrees.
        below: f64,
    },
    /// Bridges are not checked: the metal's strength is not known.
    StrengthUnknown {
        /// Name of the metal, as inside a sentence.
        metal: String,
    },
    /// There is no bridge between openings to bend.
    NoBridgesToBend,
    /// Every bridge stands the push of the saw with strength to spare; the most loaded is told of.
    BridgesStrong {
        /// Share of the load that would bend the metal, 0 to 1.
        share: f64,
        /// The share above which a bridge is called weak, 0 to 1.
        caution: f64,
        /// Of the sheet.
        temper: Temper,
        /// Name of the metal, as inside a sentence.
        metal: String,
    },
    /// Bridges that may bend under the saw; the most loaded is told of.
    BridgesWeak {
        /// Its middle.
        at: Point,
        /// Its finished width, mm.
        finished: f64,
        /// Share of the load that would bend the metal; may be over 1.
        share: f64,
        /// It is likely to bend; else it may.
        likely: bool,
        /// Of the sheet.
        temper: Temper,
        /// Name of the metal, as inside a sentence.
        metal: String,
        /// Finished width that would hold, mm; `None` where none in this pitch does.
        wanted: Option<f64>,
    },
    /// No unpierced patch was found inside the border.
    NoPatches,
    /// No unpierced patch is wider than twice the border or three bridges; the widest is told of.
    PatchSmall {
        /// Widest circle of solid metal, mm across.
        across: f64,
    },
    /// Unpierced patches that look heavy and draw heat; the widest is told of.
    PatchLarge {
        /// Widest circle of solid metal in it, mm across.
        across: f64,
        /// Middle of that circle.
        at: Point,
    },
    /// The pattern gives two openings or more, and fitting to the border was not asked for.
    PatternFits {
        /// How many.
        openings: usize,
    },
    /// The pattern gives one opening or none, which is hardly openwork.
    FewOpenings {
        /// 0 or 1.
        openings: usize,
    },
    /// Laid another way than was asked for.
    NotFitted {
        /// The way it was laid.
        used: AtBorder,
        /// Why it is not fitted, for people.
        why: String,
    },
    /// The pattern is fitted: whole cells run along the border, or end at it with none that is hardly one.
    Fitted {
        /// The narrowest opening's width, as a share of the pattern's own.
        narrowest: f64,
        /// Nothing is bent: cells end at the border.
        cut: bool,
    },
    /// Grown patterns need no fitting.
    OwnBorder,
}

impl MetalFinding {
    pub(super) fn says(&self, w: &Phrasing) -> String {
        use MetalFinding::*;
        match self {
            NoBridges { .. } => "no two openings share a bridge".into(),
            BridgesWide { width, limit } => format!(
                "the thinnest bridge between openings is {}; at least {} is asked",
                both(width, w),
                w.mm(limit.mm)
            ),
            BridgesThin { between: [a, b], at, width, limit } => format!(
                "{} too thin: the thinnest, between openings {} and {} at {}, is {}; it should be at least {}",
                w.are("bridge"),
                a.short(),
                b.short(),
                w.place(*at),
                both(width, w),
                w.mm(limit.mm)
            ),
            NoMargins => "every border is as wide as it should be".into(),
            MarginsWide { which: Margin::Edge, width, limit, .. } => {
                format!("the border is at least {}; at least {} is asked", both(width, w), w.mm(limit.mm))
            }
            MarginsWide { which, between: [a, b], width, limit } => format!(
                "every border is wide enough; the nearest to its limit is {}, between {a} and {b}: {}; at least {} is asked",
                which.says(),
                both(width, w),
                w.mm(limit.mm)
            ),
            MarginThin { which, between: [a, b], at, width, limit } => format!(
                "{} is too narrow in {}: at {}, between {a} and {b}, it is {}; it should be at least {}",
                which.says(),
                w.counted("place"),
                w.place(*at),
                both(width, w),
                w.mm(limit.mm)
            ),
            OnePiece => "the metal that is left is one piece".into(),
            NothingLeft => "nothing of the metal is left".into(),
            FallsOut { size, at, hold } => {
                let hold = match hold {
                    Hold::Here(at) => format!("keep metal at {}, where the edges meet", w.place(*at)),
                    Hold::Bridge { length, from, to } => format!(
                        "the shortest bridge that would hold it is {} long, from {} to {}",
                        w.mm(*length),
                        w.place(*from),
                        w.place(*to)
                    ),
                };
                format!(
                    "{} will fall out: {} {} over all at {}; {hold}",
                    if w.count == 1 { "1 bit of metal".into() } else { format!("{} bits of metal", w.count) },
                    if w.count == 1 { "it is" } else { "the largest is" },
                    w.size(*size, 1),
                    w.place(*at)
                )
            }
            HeldFirm => "no part of the metal hangs by a single bridge".into(),
            HangsByOne { inside, at, width, carries } => format!(
                "{} by a single bridge inside {inside}: at {} it is {}{}; if it breaks the part is lost. Widen it or leave a second \
                 bridge, and saw round it last",
                if w.count == 1 {
                    "1 part of the metal hangs".to_string()
                } else {
                    format!("{} parts of the metal hang", w.count)
                },
                w.place(*at),
                both(width, w),
                match carries {
                    0 => String::new(),
                    n => format!(", and carries {}", super::super::count(*n, "cut-out")),
                }
            ),
            NoTongues => "no tongue of metal is too long for its width, and no tip is sharp".into(),
            TongueLong { tip, length, width, gives, likely, safe } => format!(
                "{} held at one end: the one with its tip at {} is about {} long and {} wide at the root when finished{} and {}; at \
                 that width about {} is safe. Saw towards its root, cut its tip free last and keep it on the pin",
                if w.count == 1 {
                    "1 tongue of metal is".to_string()
                } else {
                    format!("{} tongues of metal are", w.count)
                },
                w.place(*tip),
                w.length(*length, 1),
                w.length(*width, 1),
                gives.map_or(String::new(), |mm| format!(", gives about {} at its tip under the saw", w.mm(mm))),
                if *likely { "is likely to bend" } else { "may bend" },
                w.length(*safe, 1)
            ),
            TipSharp { at, angle, below } => format!(
                "{} sharper than {below}°: at {} it is about {}°; it will catch and bend, so round it off",
                if w.count == 1 {
                    "1 tip of metal is".to_string()
                } else {
                    format!("{} tips of metal are", w.count)
                },
                w.place(*at),
                plain(*angle, 0)
            ),
            StrengthUnknown { metal } => format!("no strength is known for {metal}"),
            NoBridgesToBend => "there are no bridges between openings to bend".into(),
            BridgesStrong { share, caution, temper, metal } => format!(
                "all bridges should stand up to sawing; the most heavily loaded reaches about {} % of the load that would bend {} \
                 ({} % is the caution line)",
                plain(100.0 * share, 0),
                sheet(*temper, metal),
                plain(100.0 * caution, 0)
            ),
            BridgesWeak { at, finished, share, likely, temper, metal, wanted } => format!(
                "{} {} under a firm stroke. The worst, at {}, is {} finished and reaches about {} % of the load that would bend \
                 {}. {} thicker{} sheet, or support it on the pin beside the cut",
                w.counted("bridge"),
                if *likely { if w.count == 1 { "is likely to bend" } else { "are likely to bend" } } else { "may bend" },
                w.place(*at),
                w.mm(*finished),
                plain(100.0 * share, 0),
                sheet(*temper, metal),
                match wanted {
                    Some(mm) => format!("Make it at least {} finished, use", w.mm(*mm)),
                    None => "No bridge in this pitch would hold: use".into(),
                },
                if *temper == Temper::Soft { " or half-hard" } else { "" }
            ),
            NoPatches => "no unpierced patch inside the border".into(),
            PatchSmall { across } => format!(
                "the widest unpierced patch away from kept places is about {} across",
                w.length(*across, 1)
            ),
            PatchLarge { across, at } => {
                let (across, at) = (w.length(*across, 1), w.place(*at));
                let which = match w.count {
                    1 => format!("an unpierced patch about {across} across at {at} looks"),
                    n => format!("{n} unpierced patches, the widest about {across} across at {at}, look"),
                };
                let draws = if w.count == 1 { "draws" } else { "draw" };
                format!(
                    "{which} heavy beside the openwork and {draws} heat; shift or turn the pattern, trim at the border, or keep \
                     it on purpose"
                )
            }
            PatternFits { openings } => match openings {
                1 => "1 opening".into(),
                n => format!("{n} openings"),
            },
            NotFitted { used, why } => {
                let instead = match used {
                    AtBorder::Ease => "eased",
                    AtBorder::Join => "joined",
                    AtBorder::Whole => "left whole",
                    AtBorder::Trim | AtBorder::Fit => "trimmed",
                };
                format!("the pattern is {instead} at the border, not fitted: {why}")
            }
            Fitted { narrowest, cut: true } => format!(
                "the pattern runs out to the border with no crumb of an opening; the narrowest has {} of its own width",
                plain(*narrowest, 2)
            ),
            Fitted { narrowest, cut: false } => format!(
                "every opening along the border is a whole one; the narrowest has {} of its own width",
                plain(*narrowest, 2)
            ),
            OwnBorder => "this pattern meets the border by its own means".into(),
            FewOpenings { openings: 0 } => {
                "the pattern leaves no opening in this outline: take a smaller pitch, or a narrower border".into()
            }
            FewOpenings { openings } => format!(
                "the pattern leaves only {} in this outline: take a smaller pitch, or call it a window",
                super::super::count(*openings, "opening")
            ),
        }
    }

    pub(super) fn because(&self, w: &Phrasing) -> String {
        use MetalFinding::*;
        match self {
            NoBridges { limit }
            | BridgesWide { limit, .. }
            | BridgesThin { limit, .. }
            | MarginsWide { limit, .. }
            | MarginThin { limit, .. } => limit.because(|mm| w.mm(mm)),
            OnePiece | NothingLeft | FallsOut { .. } => "what is left must hang together, as drawn".into(),
            TipSharp { .. } => "sharp tips catch, bend and scratch (common practice)".into(),
            HeldFirm | HangsByOne { .. } => "metal that only one bridge holds, up to three times the least bridge wide (estimate)".into(),
            NoTongues | TongueLong { .. } => {
                format!("about: a push of {SAW_PUSH_N} N at the tip, never measured at a bench (estimate)")
            }
            StrengthUnknown { .. } | NoBridgesToBend | BridgesStrong { .. } | BridgesWeak { .. } => format!(
                "about: a push of {SAW_PUSH_N} N on openwork computed as a grid of beams, never measured at a bench (estimate)"
            ),
            NoPatches | PatchSmall { .. } | PatchLarge { .. } => {
                "twice the border or three bridges across (estimate)".into()
            }
            NotFitted { .. } | Fitted { .. } | OwnBorder => {
                "fitted pieces are measured cell by cell before they are used".into()
            }
            NoMargins | PatternFits { .. } | FewOpenings { .. } => String::new(),
        }
    }
}

fn both(width: &Width, w: &Phrasing) -> String {
    if width.finished <= 0.0 {
        return format!("{} as drawn and gone when finished", w.mm(width.drawn));
    }
    format!("{} as drawn, {} finished", w.mm(width.drawn), w.mm(width.finished))
}
