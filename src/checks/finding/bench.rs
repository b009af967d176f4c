//! What the plan of the bench meets: solder, hang, rings, stock, weight, hours. Lengths in mm, temperatures in °C.

use super::Phrasing;
use crate::geom::Point;
use crate::units::{heat, heat_apart, plain, short};

/// What the plan of the bench meets.
#[derive(Debug, Clone, PartialEq)]
pub enum BenchFinding {
    /// The metal can be soldered and nothing of the piece is joined.
    NothingToSolder,
    /// The metal is joined cold and nothing of the piece is joined.
    NothingToJoin,
    /// The metal is not soldered at a bench, and parts are to be joined.
    JoinedCold {
        /// Title of the metal.
        metal: String,
        /// Seams to make cold.
        joins: usize,
        /// A caution of the metal itself; may be empty.
        care: String,
    },
    /// Every heat has a grade of solder with room, none flowing higher than the one before.
    Heats {
        /// Grade of each heat, in order.
        grades: Vec<String>,
    },
    /// A solder flows too near to where the metal starts to melt, or above it.
    NoMargin {
        /// The first such heat, from 1.
        heat: usize,
        /// Grade of that heat.
        solder: String,
        /// Name of the metal, as inside a sentence.
        metal: String,
        /// Where the solder flows, °C.
        flows: f64,
        /// From there to where the metal starts to melt, °C; under 0 where it melts first.
        room: f64,
    },
    /// A heat's grade leaves some room before the metal starts to melt, less than is usual.
    LittleRoom {
        /// The first such heat, from 1.
        heat: usize,
        /// Grade of that heat.
        solder: String,
        /// Name of the metal, as inside a sentence.
        metal: String,
        /// From flow to the start of melting, °C.
        room: f64,
        /// Room that is usual beside openwork, °C.
        usual: f64,
    },
    /// No grade both leaves room and flows low enough under the heat before: one is used again.
    GradesRunOut {
        /// Heats in all.
        heats: usize,
        /// Heats, from the first, that have a grade with room.
        right: usize,
        /// Grade used again, in the heat after those.
        solder: String,
    },
    /// The piece has no round hole; nothing is amiss.
    NoHangHole {
        /// Balance point, mm from the outline's middle.
        balance: Point,
    },
    /// A blank to be bent round: how the closed piece hangs is not looked at.
    BentRound,
    /// It hangs from one hole with no tilt that shows.
    HangsStraight {
        /// The hole, as inside a sentence: "H1", "the bail hole".
        from: String,
    },
    /// It hangs from two holes at one height, its balance point between them.
    HangsBetween,
    /// It hangs from two holes at one height, its balance point to one side of both.
    HangsOutside {
        /// Balance point, mm from the outline's middle.
        balance: Point,
    },
    /// The hole it hangs from is no higher than the balance point.
    TurnsOver {
        /// The hole, as inside a sentence.
        from: String,
        /// Balance point, mm from the outline's middle.
        balance: Point,
    },
    /// It hangs from one hole with a tilt that shows.
    Tilts {
        /// The hole, as inside a sentence.
        from: String,
        /// Degrees it turns before it is at rest, anticlockwise positive.
        tilt: f64,
        /// The hole is so far right of the balance point, mm; under 0 it is left of it.
        aside: f64,
    },
    /// The job has no jump rings.
    NoRings,
    /// The job has jump rings, but no hole for them: not checked.
    NoHoleForRings,
    /// Every kind of ring goes through the hole and closes round the metal; the first is told of.
    RingsFit {
        /// Thickness of its wire, mm.
        wire: f64,
        /// Its inside diameter, mm.
        inside: f64,
        /// The hole, as inside a sentence.
        hole: String,
    },
    /// A ring's wire does not go through the hole.
    RingTooThick {
        /// Thickness of the wire, mm.
        wire: f64,
        /// The hole, as inside a sentence.
        hole: String,
        /// Diameter of the hole, mm.
        across: f64,
    },
    /// A ring goes through the hole but does not close round the metal there.
    RingTooSmall {
        /// Inside diameter of the ring, mm.
        inside: f64,
        /// The hole, as inside a sentence.
        hole: String,
        /// Metal between the hole and the outer edge, mm.
        wall: f64,
        /// Least inside diameter: wall, sheet and play, mm.
        need: f64,
    },
    /// The job names no sheet in stock: not checked.
    NoStock,
    /// One sheet in stock holds every blank.
    StockHolds {
        /// Blanks wanted.
        pieces: u32,
        /// Share of the sheet taken, 0 to 1.
        share: f64,
    },
    /// The sheet in stock does not hold a single blank.
    StockTooSmall {
        /// One blank, across and up, mm.
        blank: (f64, f64),
        /// The sheet, across and up, mm.
        stock: (f64, f64),
    },
    /// The job wants more than one sheet of the size in stock.
    StockHoldsSome {
        /// Blanks one sheet holds.
        holds: u32,
        /// Blanks wanted.
        pieces: u32,
        /// Sheets wanted beyond the first.
        more: u32,
    },
    /// What the piece weighs; nothing is amiss.
    Weighs {
        /// One finished piece, g.
        grams: f64,
    },
    /// One of a pair with a hole to hang from, heavier than is worn without noticing.
    HeavyOnEar {
        /// One finished piece, g.
        grams: f64,
        /// Heaviest that is not noticed, g.
        limit: f64,
    },
    /// One piece, and all of them, take no more than a working week.
    Takes {
        /// One piece, likely, hours.
        hours: f64,
        /// How many are made.
        pieces: u32,
        /// All of them, likely, hours.
        all: f64,
    },
    /// One piece fits a working week, all of them do not.
    LongOrder {
        /// How many are made.
        pieces: u32,
        /// All of them at the least, hours.
        low: f64,
        /// All of them, likely, hours.
        likely: f64,
        /// All of them at the most, hours.
        high: f64,
        /// A working week, hours.
        week: f64,
    },
    /// One piece alone takes more than a working week.
    LongWork {
        /// One piece at the least, hours.
        low: f64,
        /// One piece, likely, hours.
        likely: f64,
        /// One piece at the most, hours.
        high: f64,
        /// A working week, hours.
        week: f64,
    },
    /// A piece pierced flat and domed after: its openings change.
    Domed {
        /// Share by which openings near the edge close up, 0 to 1.
        closes: f64,
        /// Long way over short way of an opening at the edge that was round, from 1.
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
