//! What the plan of the bench meets: solder, hang, rings, stock, weight, hours. Lengths in mm, temperatures in °C.

use super::Phrasing;
use crate::geom::Point;
use crate::units::{heat, heat_apart, plain, short};

/// What the plan of the bench meets.
#[derive(Debug, Clone, PartialEq)]
pub enum BenchFinding {
    NothingToSolder,
    NothingToJoin,
    JoinedCold {
        metal: String,
        joins: usize,
        /// A caution of the metal itself.
        care: String,
    },
    Heats {
        grades: Vec<String>,
    },
    NoMargin {
        /// From 1.
        heat: usize,
        solder: String,
        metal: String,
        flows: f64,
        room: f64,
    },
    LittleRoom {
        heat: usize,
        solder: String,
        metal: String,
        room: f64,
        usual: f64,
    },
    GradesRunOut {
        heats: usize,
        /// Heats that have a grade with room.
        right: usize,
        solder: String,
    },
    NoHangHole {
        balance: Point,
    },
    BentRound,
    HangsStraight {
        from: String,
    },
    HangsBetween,
    HangsOutside {
        balance: Point,
    },
    TurnsOver {
        from: String,
        balance: Point,
    },
    Tilts {
        from: String,
        /// Degrees.
        tilt: f64,
        /// The hole is so far right of the balance point.
        aside: f64,
    },
    NoRings,
    NoHoleForRings,
    RingsFit {
        wire: f64,
        inside: f64,
        hole: String,
    },
    RingTooThick {
        wire: f64,
        hole: String,
        across: f64,
    },
    RingTooSmall {
        inside: f64,
        hole: String,
        wall: f64,
        need: f64,
    },
    NoStock,
    StockHolds {
        pieces: u32,
        /// Share of the sheet taken, 0 to 1.
        share: f64,
    },
    StockTooSmall {
        blank: (f64, f64),
        stock: (f64, f64),
    },
    StockHoldsSome {
        holds: u32,
        pieces: u32,
        more: u32,
    },
    Weighs {
        grams: f64,
    },
    HeavyOnEar {
        grams: f64,
        limit: f64,
    },
    Takes {
        /// One piece.
        hours: f64,
        pieces: u32,
        /// All of them, hours.
        all: f64,
    },
    LongOrder {
        pieces: u32,
        low: f64,
        likely: f64,
        high: f64,
        week: f64,
    },
    LongWork {
        low: f64,
        likely: f64,
        high: f64,
        week: f64,
    },
    Domed {
        /// Shares, 0 to 1 and from 1.
        closes: f64,
        stretch: f64,
    },
}

impl BenchFinding {
    pub(super) fn says(&self, w: &Phrasing) -> String {
        use BenchFinding::*;
        match self {
            NothingToSolder => "nothing to solder".into(),
            NothingToJoin => "nothing to join".into(),
            JoinedCold { metal, joins, .. } => format!(
                "{metal} is not soldered at a bench: {} to make cold, by rivets, tabs or claws",
                super::super::count(*joins, "join")
            ),
            Heats { grades } => {
                format!("{}: {}", super::super::count(grades.len(), "heat"), grades.join(", then "))
            }
            NoMargin { heat: n, solder, metal, flows, room } => format!(
                "heat {n}: {solder} solder flows at {} and {metal} starts to melt at {}: {} is no margin; take a grade that \
                 flows lower",
                heat(*flows),
                heat(flows + room),
                heat_apart(*room)
            ),
            LittleRoom { heat: n, solder, metal, room, usual } => format!(
                "heat {n}: {solder} solder leaves {} before {metal} starts to melt; beside openwork {} is usual",
                heat_apart(*room),
                heat_apart(*usual)
            ),
            GradesRunOut { heats, right, solder } => format!(
                "{}, but grades that flow low enough for {right} only: {solder} is used again from heat {}; join more seams in one \
                 heat, keep earlier seams cool, or join cold",
                super::super::count(*heats, "heat"),
                right + 1
            ),
            NoHangHole { balance } => {
                format!("no hole to hang it from; the balance point is at {}", w.place(*balance))
            }
            BentRound => "the blank is bent round and balances elsewhere once it is closed".into(),
            HangsStraight { from } => format!("it hangs straight from {from}"),
            HangsBetween => "it hangs from two holes with its balance point between them".into(),
            HangsOutside { balance } => format!(
                "its balance point {} lies outside the two holes it hangs from: it will hang crooked",
                w.place(*balance)
            ),
            TurnsOver { from, balance } => {
                format!("{from} is below the balance point {}: the piece will turn over", w.place(*balance))
            }
            Tilts { from, tilt, aside } => format!(
                "hung from {from} it tilts {}°: move {from} {} {}",
                plain(tilt.abs(), 1),
                w.mm(aside.abs()),
                if *aside > 0.0 { "left" } else { "right" }
            ),
            NoRings => "no jump rings".into(),
            NoHoleForRings => "there is no hole for the jump rings".into(),
            RingsFit { wire, inside, hole } => {
                format!("rings of {} wire, {} inside, go through {hole}", w.mm(*wire), w.mm(*inside))
            }
            RingTooThick { wire, hole, across } => format!(
                "a jump ring of {} wire does not go through {hole}, {} across: take thinner wire or a larger hole",
                w.mm(*wire),
                w.mm(*across)
            ),
            RingTooSmall { inside, hole, wall, need } => format!(
                "a jump ring {} inside does not close round the metal at {hole}, {} wide: it wants {} inside",
                w.mm(*inside),
                w.mm(*wall),
                w.mm(*need)
            ),
            NoStock => "the job names no sheet to cut from (stock)".into(),
            StockHolds { pieces, share } => format!(
                "the sheet in stock holds {} and {} % of it is used",
                super::super::count(*pieces as usize, "blank"),
                plain(100.0 * share, 0)
            ),
            StockTooSmall { blank, stock } => format!(
                "the sheet in stock, {}, does not hold one blank of {}: take a larger sheet or make the piece smaller",
                w.size(*stock, 1),
                w.size(*blank, 1)
            ),
            StockHoldsSome { holds, pieces, more } => format!(
                "the sheet in stock holds {holds} of {pieces} blanks: {} wanted",
                if *more == 1 { "1 more sheet is".into() } else { format!("{more} more sheets are") }
            ),
            Weighs { grams } => format!("the piece weighs about {} g", plain(*grams, 1)),
            HeavyOnEar { grams, limit } => format!(
                "{} g is heavy on an ear: most people wear {} g without noticing; thinner sheet, a smaller piece or more open \
                 area would do",
                plain(*grams, 1),
                short(*limit, 1)
            ),
            Takes { hours, pieces, all } => {
                let all = match pieces {
                    0 | 1 => String::new(),
                    n => format!(", {} h for all {n}", plain(*all, 1)),
                };
                format!("likely {} h at the bench for one piece{all}", plain(*hours, 1))
            }
            LongOrder { pieces, low, likely, high, week } => format!(
                "all {pieces} pieces take {} to {} h at the bench, likely {}: more than a working week of {} h; sheets stacked, or \
                 fewer openings, save the most",
                plain(*low, 0),
                plain(*high, 0),
                plain(*likely, 0),
                short(*week, 0)
            ),
            LongWork { low, likely, high, week } => format!(
                "one piece takes {} to {} h at the bench, likely {}: more than a working week of {} h; a larger pitch has fewer \
                 openings",
                plain(*low, 0),
                plain(*high, 0),
                plain(*likely, 0),
                short(*week, 0)
            ),
            Domed { closes, stretch } => format!(
                "pierced flat and then domed, openings near the edge close up by as much as {} % and are stretched to about {} \
                 times their width; bridges there crowd and the thinnest stretch: dome a test strip first, or dome before piercing",
                plain(100.0 * closes, 0),
                plain(*stretch, 2)
            ),
        }
    }

    pub(super) fn because(&self) -> String {
        use BenchFinding::*;
        match self {
            NothingToSolder | NothingToJoin | BentRound | NoRings | NoHoleForRings | NoStock | Weighs { .. } | Takes { .. } => {
                String::new()
            }
            JoinedCold { care, .. } => care.trim_end_matches('.').to_string(),
            Heats { .. } | NoMargin { .. } | LittleRoom { .. } | GradesRunOut { .. } => {
                "each heat flows lower than the one before, 60 °C of room beside openwork (common practice), and less than 10 °C \
                 is no margin (estimate); the packet's own figures come first"
                    .into()
            }
            NoHangHole { .. }
            | HangsStraight { .. }
            | HangsBetween
            | HangsOutside { .. }
            | TurnsOver { .. }
            | Tilts { .. } => "a tilt of more than about 2° shows when worn (estimate)".into(),
            RingsFit { .. } | RingTooThick { .. } | RingTooSmall { .. } => {
                "wire a tenth of a millimetre under the hole; inside: the wall, the sheet and 0.3 mm of play (estimate)".into()
            }
            StockHolds { .. } | StockTooSmall { .. } | StockHoldsSome { .. } => {
                "blanks laid in rows with gaps to saw and an edge to hold by".into()
            }
            HeavyOnEar { .. } => "weight of one earring without its findings (estimate)".into(),
            LongWork { .. } | LongOrder { .. } => "at your rates, or the ones for this hand (estimate)".into(),
            Domed { .. } => "sums of an even raising; it depends on how hard the metal is driven (estimate)".into(),
        }
    }
}
