//! The torch beside the openwork. Temperatures in °C.

use super::Phrasing;
use crate::units::{heat, heat_apart};

/// What a torch does to the openwork.
#[derive(Debug, Clone, PartialEq)]
pub enum HeatFinding {
    /// The job has no rim strip, back plate or bezel.
    NothingSoldered,
    /// The metal is joined cold, or with solders that are not known here.
    NotSolderedHere {
        /// Name of the metal, as inside a sentence.
        metal: String,
    },
    /// A rim strip is soldered on, but how much room the solder leaves cannot be worked out.
    HeatUnknown {
        /// Name of the metal, as inside a sentence.
        metal: String,
        /// Where it starts to melt is known; how it carries heat at this solder's flow is not.
        melting: bool,
    },
    /// A rim strip's solder leaves room enough for even heat, and no tongue gets too hot.
    WideWindow {
        /// Its grade.
        solder: String,
    },
    /// A back plate or bezel is soldered on, but no strip to the edge, and no tongue gets too hot.
    NoStrip,
    /// There is room as long as only the rim and its strip are heated.
    RimOnly {
        /// Grade of the rim's seam.
        solder: String,
        /// Name of the metal, as inside a sentence.
        metal: String,
        /// From the solder's flow to where the metal starts to melt, °C.
        headroom: f64,
        /// How much hotter than the rim the openwork may run, °C.
        ahead: f64,
    },
    /// The alloy alone leaves no room, whatever the pattern.
    NoWindow {
        /// Grade of the rim's seam.
        solder: String,
        /// Name of the metal, as inside a sentence.
        metal: String,
        /// Where the metal starts to melt, °C.
        melts: f64,
        /// Where the solder flows, °C.
        flows: f64,
        /// What would do in its place.
        instead: Instead,
    },
    /// The solder would leave room by itself, but not with this rim's heat in the openwork.
    WindowClosed {
        /// Grade of the rim's seam.
        solder: String,
        /// From the solder's flow to where the metal starts to melt, °C.
        headroom: f64,
        /// Room this rim wants, °C.
        wanted: f64,
        /// What would do in its place.
        instead: Instead,
    },
    /// Tongues of metal whose tips get much hotter than their roots.
    HotTongue {
        /// How much hotter the worst tip gets, °C.
        rise: f64,
    },
}

/// What would do in a solder's place.
#[derive(Debug, Clone, PartialEq)]
pub enum Instead {
    /// A grade that is sold, and where it flows, °C.
    Grade(String, f64),
    /// Only one that flows as low as this, °C.
    FlowsAt(f64),
}

impl Instead {
    fn says(&self) -> String {
        match self {
            Instead::Grade(name, flows) => format!("use {name} solder (flows at about {})", heat(*flows)),
            Instead::FlowsAt(c) => {
                format!("it would need a solder that flows at {} or lower, or a lighter strip", heat(*c))
            }
        }
    }
}

impl HeatFinding {
    pub(super) fn says(&self, w: &Phrasing) -> String {
        use HeatFinding::*;
        match self {
            NothingSoldered => "nothing is soldered to the openwork".into(),
            NotSolderedHere { metal } => format!("{metal} is not soldered at this bench"),
            HeatUnknown { metal, melting: false } => format!("where {metal} starts to melt is not known"),
            HeatUnknown { metal, .. } => {
                format!("how {metal} carries heat where its solder flows is not known: keep the flame off the openwork")
            }
            WideWindow { solder } => format!("{solder} solder leaves a wide window; keep the flame moving"),
            NoStrip => {
                "no strip is soldered to the edge; heat the plate or the heavy part, not the openwork".into()
            }
            RimOnly { solder, metal, headroom, ahead } => format!(
                "{solder} solder flows about {} below where {metal} starts to melt, and the openwork may run about {} ahead: heat \
                 the rim and its strip only, never rest the flame on the openwork",
                heat_apart(*headroom),
                heat_apart(*ahead)
            ),
            NoWindow { solder, metal, melts, flows, instead } => format!(
                "{metal} starts to melt at about {} and {solder} solder flows at about {}: there is no real window, whatever the \
                 pattern; {}",
                heat(*melts),
                heat(*flows),
                instead.says()
            ),
            WindowClosed { solder, headroom, wanted, instead } => format!(
                "{solder} solder leaves {} and this rim wants about {}: the openwork may melt before the seam flows; {}",
                heat_apart(*headroom),
                heat_apart(*wanted),
                instead.says()
            ),
            HotTongue { rise } => format!(
                "{} held at one end may get about {} hotter at the tip than at the root: keep the flame off the tip, or cool it \
                 with a heat sink",
                w.counted("tongue"),
                heat_apart(*rise)
            ),
        }
    }

    pub(super) fn because(&self) -> String {
        match self {
            HeatFinding::NothingSoldered | HeatFinding::NotSolderedHere { .. } => String::new(),
            _ => "about: fitted to computed designs, sure to some 15 °C, never measured at a bench; solders differ by maker, so the \
                  packet comes first (estimate)"
                .into(),
        }
    }
}
