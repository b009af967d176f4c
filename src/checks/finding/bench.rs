//! What the plan of the bench meets: solder, hang, rings, stock, weight, hours. Lengths in mm, temperatures in °C.

use super::Words;
use crate::geom::Point;
use crate::units::{heat, heat_apart, plain};

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
    RingsFit,
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
    },
    StockTooSmall {
        blank: (f64, f64),
        stock: (f64, f64),
    },
    LittleToHold {
        spare: f64,
    },
    StockHoldsSome {
        holds: u32,
        pieces: u32,
        sheets: u32,
    },
    Weighs {
        grams: f64,
        /// As built, not the plate alone.
        built: bool,
        /// On an ear.
        worn: bool,
        heavy: bool,
    },
    Takes {
        /// "1.2 to 3.4 h, likely 2.0".
        hours: String,
        pieces: u32,
        long: bool,
    },
    Domed {
        /// Share by which openings near the edge close up, 0 to 1.
        closes: f64,
    },
}

impl BenchFinding {
    pub(super) fn says(&self, w: &Words) -> String {
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
            RingsFit => "every jump ring goes through its hole and round its wall".into(),
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
            StockHolds { pieces } => format!("the sheet in stock holds the {pieces} wanted"),
            StockTooSmall { blank, stock } => format!(
                "the sheet in stock, {}, does not hold one blank of {}: take a larger sheet or make the piece smaller",
                w.size(*stock, 1),
                w.size(*blank, 1)
            ),
            LittleToHold { spare } => format!(
                "the blanks leave {} of the sheet to hold by: drill and pierce before cutting apart",
                w.length(*spare, 1)
            ),
            StockHoldsSome { holds, pieces, sheets } => {
                format!("the sheet in stock holds {holds} of {pieces}: it takes {sheets} such sheets")
            }
            Weighs { grams, built, heavy, .. } => format!(
                "{} weighs about {} g{}",
                if *built { "the piece as built, stone and solder apart," } else { "the piece" },
                plain(*grams, 1),
                if *heavy { ": heavy on an ear; thinner sheet, larger openings or a smaller piece" } else { "" }
            ),
            Takes { hours, pieces, long } => format!(
                "drill, saw and file: {hours}{}{}",
                if *pieces == 1 { String::new() } else { format!(" for {pieces} pieces") },
                if *long { ": more than a working week at the bench" } else { "" }
            ),
            Domed { closes } => format!(
                "drawn as the flat to be domed. Pierced first, openings near the edge close up by up to about {} % and the bridges \
                 there crowd and stretch; keep {} solid round the edge, or dome first",
                plain(100.0 * closes, 0),
                w.length(2.0, 0)
            ),
        }
    }

    pub(super) fn because(&self) -> String {
        use BenchFinding::*;
        match self {
            NothingToSolder | NothingToJoin | BentRound | NoRings | NoHoleForRings | NoStock => String::new(),
            JoinedCold { care, .. } => care.clone(),
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
            RingsFit | RingTooThick { .. } | RingTooSmall { .. } => {
                "wire and wall against the hole, with play for the ring to move (estimate)".into()
            }
            StockHolds { .. } | StockTooSmall { .. } | LittleToHold { .. } | StockHoldsSome { .. } => {
                "blanks with room to saw them out by, saw gaps, and an edge to hold by (estimate)".into()
            }
            Weighs { worn: false, .. } => "area, thickness and density".into(),
            Weighs { .. } => "up to about 7 g on an ear (estimate)".into(),
            Takes { .. } => "rates of drilling and sawing are estimates until your own minutes are in them".into(),
            Domed { .. } => "cap of a ball; how the metal moves: estimate".into(),
        }
    }
}
