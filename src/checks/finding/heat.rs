//! The torch beside the openwork. Temperatures in °C.

use super::Phrasing;
use crate::units::{heat, heat_apart};

/// What a torch does to the openwork.
#[derive(Debug, Clone, PartialEq)]
pub enum HeatFinding {
    NothingSoldered,
    /// The metal is joined cold, or with solders that are not known here.
    NotSolderedHere {
        metal: String,
    },
    HeatUnknown {
        metal: String,
        /// Where it starts to melt is known.
        melting: bool,
    },
    WideWindow {
        solder: String,
    },
    NoStrip,
    RimOnly {
        solder: String,
        metal: String,
        headroom: f64,
        ahead: f64,
    },
    /// The alloy alone leaves no room, whatever the pattern.
    NoWindow {
        solder: String,
        metal: String,
        melts: f64,
        flows: f64,
        instead: Instead,
    },
    WindowClosed {
        solder: String,
        headroom: f64,
        wanted: f64,
        instead: Instead,
    },
    HotTongue {
        rise: f64,
    },
}

/// What would do in a solder's place.
#[derive(Debug, Clone, PartialEq)]
pub enum Instead {
    /// A grade that is sold, and where it flows.
    Grade(String, f64),
    /// Only one that flows as low as this.
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
