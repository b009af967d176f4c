//! Drill, blade, frame and file.

use super::{blade_name as named, Phrasing};
use crate::checks::Side;
use crate::geom::Point;
use crate::openings::DRILL_CLEARANCE;
use crate::trade::Blade;
use crate::units::plain;

/// The largest kind of file that gets in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileFit {
    /// No file: under 0.8 mm across.
    None,
    /// A fine escapement file: from 0.8 mm across.
    Escapement,
    /// A needle file: from 1.5 mm across.
    Needle,
}

impl FileFit {
    fn says(self) -> &'static str {
        match self {
            FileFit::None => "no file gets in: leave it as the saw does, with a fine blade",
            FileFit::Escapement => "only a fine escapement file gets in",
            FileFit::Needle => "a needle file gets in",
        }
    }
}

/// What drill, blade, frame and file meet. Lengths in mm, places in mm from the outline's middle, angles in degrees.
#[derive(Debug, Clone, PartialEq)]
pub enum ToolFinding {
    /// The piece has no opening and no window.
    NothingToPierce,
    /// Every opening and window takes the start hole.
    DrillGoesIn {
        /// Diameter of the drill, mm.
        drill: f64,
        /// Widest circle in the narrowest opening or window, mm across.
        across: f64,
    },
    /// Openings or windows too narrow for the start hole; the narrowest is told of.
    TooSmallForDrill {
        /// Diameter of the drill, mm.
        drill: f64,
        /// The narrowest opening or window.
        who: Side,
        /// Its drill point.
        at: Point,
        /// Widest circle in it, mm across.
        across: f64,
        /// The drill and its clearance, mm.
        wanted: f64,
        /// A drill that fits and takes the blade, mm.
        instead: Option<f64>,
        /// The job's blade.
        blade: Blade,
    },
    /// Whole cells that bridge and rounding leave nothing of.
    NothingOpened {
        /// Middle of the first.
        at: Point,
        /// Diameter of the drill, mm.
        drill: f64,
    },
    /// The blade goes through the start hole and round every opening.
    BladeGoesRound {
        /// The job's blade.
        blade: Blade,
        /// Radius of the tightest curve it saws without stopping, about, mm.
        radius: f64,
        /// Curves it does not saw in one go.
        tighter: usize,
    },
    /// Openings no wider than the blade is thick.
    BladeTooThick {
        /// The job's blade.
        blade: Blade,
        /// Drill point of the first.
        at: Point,
    },
    /// Openings with a neck that the blade cannot pass.
    NeckShut {
        /// Number of the first.
        n: usize,
        /// Middle of the part beyond its neck.
        at: Point,
        /// The job's blade.
        blade: Blade,
    },
    /// Openings with a neck that the blade passes straight but cannot turn in.
    NeckTight {
        /// Number of the first.
        n: usize,
        /// Middle of the part beyond its neck.
        at: Point,
        /// The job's blade.
        blade: Blade,
    },
    /// Openings with a corner so sharp that the saw leaves waste in it, to be filed.
    CornersToFile {
        /// Corners sharper than this are told of, degrees.
        below: f64,
        /// The sharpest, degrees.
        sharpest: f64,
        /// Number of the opening it is in.
        n: usize,
        /// The corner.
        at: Point,
        /// Waste left from the corner along each line, mm.
        left: f64,
        /// The job's blade.
        blade: Blade,
    },
    /// The blade's section does not go through the start hole.
    BladeNotThrough {
        /// The job's blade.
        blade: Blade,
        /// Diameter of the start hole, mm.
        drill: f64,
    },
    /// The blade goes through a start hole smaller than is usual for it.
    BladeTightInHole {
        /// The job's blade.
        blade: Blade,
        /// Diameter of the start hole, mm.
        drill: f64,
    },
    /// The blade has teeth enough in the metal, or nearly.
    Teeth {
        /// The job's blade.
        blade: Blade,
        /// How many are in the metal.
        teeth: f64,
        /// As many as are aimed at; else it is sawn lightly.
        good: bool,
    },
    /// So few teeth are in the metal that the blade is likely to snag.
    FewTeeth {
        /// The job's blade.
        blade: Blade,
        /// How many are in the metal.
        teeth: f64,
        /// Of the metal, all sheets of a stack together, mm.
        thickness: f64,
        /// A blade with teeth enough, and how many it has.
        finer: Option<(Blade, f64)>,
    },
    /// The job gives no depth of saw frame: not checked.
    NoFrame,
    /// There is no opening and no window for the frame to reach.
    NothingInside,
    /// The frame reaches every cut.
    FrameReaches {
        /// Throat of the frame, mm.
        depth: f64,
        /// From the outer edge to the place of a cut farthest from it, mm.
        deepest: f64,
    },
    /// Openings or windows that the frame does not reach; the deepest is told of.
    FrameShort {
        /// Throat of the frame, mm.
        depth: f64,
        /// Box about what is out of reach, across and up, mm.
        middle: Option<(f64, f64)>,
        /// The deepest opening or window.
        who: Side,
        /// Its place farthest from the outer edge.
        at: Point,
        /// How far that is, mm.
        deepest: f64,
    },
    /// There is no opening to file.
    NoOpenings,
    /// Every opening and neck is wide enough to clean up; the narrowest is told of.
    FileGoesIn {
        /// How wide it is, mm.
        across: f64,
        /// It is a neck of an opening, not an opening itself.
        neck: bool,
        /// The largest kind of file that it takes.
        file: FileFit,
    },
    /// Openings or necks too narrow to clean up; the narrowest is told of.
    TooSmallToFile {
        /// Number of the opening.
        n: usize,
        /// Its drill point, or the middle of the part beyond the neck.
        at: Point,
        /// How wide it is, mm.
        across: f64,
        /// It is a neck of the opening, not the opening itself.
        neck: bool,
        /// Least width that is advised, mm.
        wanted: f64,
        /// The largest kind of file that it takes.
        file: FileFit,
        /// The limit is the hand's, not the file's.
        by_hand: bool,
    },
}

impl ToolFinding {
    pub(super) fn says(&self, w: &Phrasing) -> String {
        use ToolFinding::*;
        match self {
            NothingToPierce => "there is nothing to pierce".into(),
            DrillGoesIn { drill, across } => format!(
                "the {} drill goes into every opening; the narrowest is {} across",
                w.mm(*drill),
                w.mm(*across)
            ),
            TooSmallForDrill { drill, who, at, across, wanted, instead, blade } => {
                let instead = match instead {
                    Some(mm) => format!("a {} drill fits and still takes the {}", w.mm(*mm), named(blade)),
                    None => format!("no drill that takes the {} fits", named(blade)),
                };
                format!(
                    "{} too small for the {} drill: {who} at {} is {} across, {} is wanted; {instead}",
                    w.are("opening"),
                    w.mm(*drill),
                    w.place(*at),
                    w.mm(*across),
                    w.mm(*wanted)
                )
            }
            NothingOpened { at, .. } => format!(
                "{} of the pattern {} nothing left to pierce once the bridge and the rounding are taken off, first at {}: take a \
                 larger pitch, a thinner bridge or a smaller corner_radius",
                w.counted("whole opening"),
                if w.count == 1 { "has" } else { "have" },
                w.place(*at)
            ),
            BladeGoesRound { blade, radius, tighter } => {
                let tighter = match tighter {
                    0 => String::new(),
                    1 => "; 1 curve is tighter: turn on the spot or nibble".into(),
                    n => format!("; {n} curves are tighter: turn on the spot or nibble"),
                };
                format!(
                    "the {} goes through the start hole and round every opening; it saws curves down to a radius of about {} \
                     without stopping{tighter}",
                    named(blade),
                    w.length(*radius, 1)
                )
            }
            BladeTooThick { blade, at } => format!(
                "{} narrower than the {} is thick, {}: first at {}",
                w.are("opening"),
                named(blade),
                w.mm(blade.thickness),
                w.place(*at)
            ),
            NeckShut { n, at, blade } => format!(
                "opening {n} has a neck that the {} cannot pass, {}: the part at {} cannot be reached from its start hole{}",
                named(blade),
                w.mm(blade.thickness),
                w.place(*at),
                w.more()
            ),
            NeckTight { n, at, blade } => format!(
                "opening {n} has a neck where the {} passes straight but cannot turn, towards {}{}; back out the way it came",
                named(blade),
                w.place(*at),
                w.more()
            ),
            CornersToFile { below, sharpest, n, at, left, .. } => format!(
                "{} sharper than {below}°, the sharpest {}° in opening {n} at {}: sawn in from both sides, about {} of waste is \
                 left to file along each line",
                if w.count == 1 {
                    "1 opening has a corner".to_string()
                } else {
                    format!("{} openings have corners", w.count)
                },
                plain(*sharpest, 0),
                w.place(*at),
                w.mm(*left)
            ),
            BladeNotThrough { blade, drill } => format!(
                "the {} does not go through a {} hole: it is {} corner to corner",
                named(blade),
                w.mm(*drill),
                w.mm(blade.diagonal())
            ),
            BladeTightInHole { blade, drill } => format!(
                "the {} will be tight in a {} hole; {} is usual for it",
                named(blade),
                w.mm(*drill),
                w.mm(blade.hole)
            ),
            Teeth { blade, teeth, good } => format!(
                "the {} has {} teeth in the metal{}",
                named(blade),
                plain(*teeth, 1),
                if *good { "" } else { "; saw lightly" }
            ),
            FewTeeth { blade, teeth, thickness, finer } => format!(
                "the {} has only {} teeth in {} of metal and is likely to snag; {}",
                named(blade),
                plain(*teeth, 1),
                w.mm(*thickness),
                match finer {
                    Some((finer, teeth)) => format!("a {} has {}", named(finer), plain(*teeth, 1)),
                    None => "use very light strokes, or stack sheets".into(),
                }
            ),
            NoFrame => "the job does not say how deep the saw frame is (frame_depth, its throat)".into(),
            NothingInside => "there is nothing inside to saw".into(),
            FrameReaches { depth, deepest } => format!(
                "a frame {} deep reaches every cut; the deepest is {} from the edge",
                w.length(*depth, 0),
                w.length(*deepest, 0)
            ),
            FrameShort { depth, middle, who, at, deepest } => format!(
                "a frame {} deep does not reach {}{}: {who} at {} is {} from the nearest outer edge; use a deeper frame, or saw \
                 panels and join them by a riveted or soldered border",
                w.length(*depth, 0),
                w.counted("cut-out"),
                middle.map_or(String::new(), |size| format!(" in the middle {}", w.size(size, 0))),
                w.place(*at),
                w.length(*deepest, 0)
            ),
            NoOpenings => "there are no openings to file".into(),
            FileGoesIn { across, neck, file } => {
                let what = if *neck { "the narrowest neck of an opening" } else { "the smallest opening" };
                format!("{what} is {} across; {}", w.mm(*across), file.says())
            }
            TooSmallToFile { n, at, across, neck, wanted, file, .. } => {
                let what = if *neck { "the neck of opening" } else { "opening" };
                format!(
                    "{} small to clean up: {what} {n} at {} is {} across, {} is advised; {}",
                    w.are(if *neck { "opening or neck" } else { "opening" }),
                    w.place(*at),
                    w.mm(*across),
                    w.mm(*wanted),
                    file.says()
                )
            }
        }
    }

    pub(super) fn because(&self, w: &Phrasing) -> String {
        use ToolFinding::*;
        match self {
            NothingToPierce | NoOpenings | NothingInside => String::new(),
            DrillGoesIn { drill, .. } | TooSmallForDrill { drill, .. } | NothingOpened { drill, .. } => format!(
                "the start hole and {} on each side: {} + {} (estimate)",
                w.mm(DRILL_CLEARANCE / 2.0),
                w.mm(*drill),
                w.mm(DRILL_CLEARANCE)
            ),
            NeckShut { blade, .. } => {
                format!("drawn in by half the blade's thickness it falls apart; {}", section(blade, w))
            }
            NeckTight { blade, .. } => {
                format!("turning on the spot wants about {}; {}", w.mm(blade.diagonal()), section(blade, w))
            }
            CornersToFile { blade, .. } => format!(
                "a {} blade leaves its thickness over the corner's slope standing (estimate)",
                w.mm(blade.thickness)
            ),
            BladeGoesRound { blade, .. }
            | BladeTooThick { blade, .. }
            | BladeNotThrough { blade, .. }
            | BladeTightInHole { blade, .. } => section(blade, w),
            Teeth { .. } | FewTeeth { .. } => {
                "two to three teeth in the metal, never a hard rule (common practice)".into()
            }
            NoFrame | FrameReaches { .. } | FrameShort { .. } => {
                "the frame goes round the nearest outer edge".into()
            }
            TooSmallToFile { by_hand: true, .. } => {
                "least opening for this hand, as drawn, since the file goes in before it takes anything off (estimate)".into()
            }
            FileGoesIn { .. } | TooSmallToFile { .. } => {
                format!("a fine escapement file wants about {}, a needle file {} (estimate)", w.length(0.8, 1), w.length(1.5, 1))
            }
        }
    }
}

fn section(blade: &Blade, w: &Phrasing) -> String {
    format!("a {} is {} ({})", named(blade), w.size((blade.thickness, blade.depth), 2), blade.source)
}
