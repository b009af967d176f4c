//! What can hurt at each step, in the usual words of the trade, and how the paper comes onto the metal with the care it
//! wants. One source for the card, the template, the sums and the command line.

use crate::job::Transfer;
use crate::trade::{Dust, Metal};

/// What stands over everything else on the card.
pub const FIRST: &str =
    "Local codes, the makers' safety sheets and qualified practice come first; this card does not replace them.";

/// The same for a template, where there is room for one sentence.
pub const SAFETY: &str = "Safety glasses on; hair, sleeves and cords tied back; clamp the sheet to drill it and wear no gloves at \
     the drill; fingers out of the line of the blade; mask against dust. Local codes, makers' safety sheets and qualified \
     practice come first.";

/// A step at which somebody can be hurt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hazard {
    /// Pouring an ingot.
    Pour,
    /// At the rolling mill.
    Roll,
    /// Punch and drill.
    Drill,
    /// At the saw.
    Saw,
    /// At the file.
    File,
    /// Handling what was just cut.
    Edge,
    /// Heating to soften.
    Anneal,
    /// Hammering into the block.
    Dome,
    /// Flame, flux and fume.
    Solder,
    /// Flame of metals whose solder flows at a heat that blinds: platinum and palladium.
    SolderBright,
    /// Steam in what is closed all round.
    Hollow,
    /// Acid.
    Pickle,
    /// Heat once a stone is set.
    Stone,
    /// The polishing motor.
    Wheel,
    /// The barrel.
    Tumbler,
    /// Darkening.
    Patina,
}

impl Hazard {
    /// The caution, as one sentence without its full point.
    pub fn says(self) -> &'static str {
        match self {
            Hazard::Pour => {
                "pouring: face shield, leather apron and gloves; mould dry and warm, for damp metal and moulds spit; extraction on, \
                 nothing that burns near, never alone"
            }
            Hazard::Roll => {
                "rolling mill: fingers flat on the sheet and well before the rollers, hair and sleeves tied back, no gloves, no \
                 rings; a motor mill wants its stop in reach"
            }
            Hazard::Drill => {
                "glasses on for punch and drill; hair and cords tied back, no gloves at a drill; clamp the sheet: if the drill grabs, \
                 it whips round and cuts"
            }
            Hazard::Saw => {
                "blades snap and fly: glasses; fingers out of the line of the blade; wipe dust up wet, never blow it, and do not eat \
                 at the bench"
            }
            Hazard::File => "file dust: mask; keep copper and brass dust apart from silver filings",
            Hazard::Edge => "fresh edges cut",
            Hazard::Anneal => {
                "annealing: fire-brick, open window or extraction, no synthetic sleeves; tongs and tools dry; hot metal looks like \
                 cold metal; gas off at the cylinder after"
            }
            Hazard::Dome => {
                "doming: glasses and ear defenders; hammer and punch faces sound and clean, the punch held low, fingers clear of \
                 the block"
            }
            Hazard::Solder => {
                "cadmium-free solder only, never unknown old solder; extraction or a through draught, paste flux may give off \
                 fluoride; fire-brick, hair tied, no synthetic sleeves, extinguisher near; gas off at the cylinder after"
            }
            Hazard::SolderBright => {
                "this metal's own solder only, never unknown old solder; welding glasses, for so bright a heat hurts the eyes; \
                 boards and tweezers kept for it, no carbon block; extraction or a through draught, hair tied, no synthetic \
                 sleeves, extinguisher near; gas off at the cylinder after"
            }
            Hazard::Hollow => "never heat a closed hollow: drill a vent first",
            Hazard::Pickle => {
                "pickle warm, never boiling: acid into water, never water into acid; goggles, gloves, lid on; nothing red-hot into \
                 it, copper or plastic tongs; acid hides where two sheets meet: neutralise warm, rinse long"
            }
            Hazard::Stone => "no heat and no hot pickle once the stone is in",
            Hazard::Wheel => {
                "a wheel grabs openwork: hold the work below the wheel's centre, no gloves, never with a chain attached; glasses \
                 and mask; polish by hand if you can"
            }
            Hazard::Tumbler => "tumbler: guard on the belt; open it slowly, gas builds up in a sealed barrel",
            Hazard::Patina => {
                "liver of sulphur with any acid, pickle left in a seam too, gives off a poison gas: rinse well, separate sinks, fume \
                 hood or outdoors"
            }
        }
    }
}

/// What this metal's dust and fume ask for beside the usual, at the saw and the file.
pub(super) fn dust(metal: &Metal) -> Option<&'static str> {
    Some(match metal.dust? {
        Dust::Burns => {
            "its saw dust and filings burn: no sparks or flame near, sweep often, keep them damp in a closed tin; dry sand on a \
             fire of them, never water"
        }
        Dust::Nickel => "nickel dust can set off an allergy: mask, and wash hands and bench",
    })
}

/// What this metal gives off when it is overheated.
pub(super) fn fume(metal: &Metal) -> Option<&'static str> {
    metal.zinc.then_some("overheated brass and zinc-bearing solder give off zinc oxide fume")
}

/// How the paper comes onto the metal, with the care it wants.
pub fn onto_metal(transfer: Transfer) -> &'static [&'static str] {
    match transfer {
        Transfer::Label => &[
            "label: clean the metal, rub down from the middle outwards, no bubble under a bridge; inkjet print runs under oil and \
             wax: cover it with clear tape",
            "peel or soak it off before any heat, never burn it off indoors",
        ],
        Transfer::Glue => &[
            "glue: thin on both faces, let it go tacky, press, let it dry before sawing; wet glue makes paper grow, so measure the \
             20 mm bar again; inkjet print runs: cover it with clear tape",
            "solvent glue: open window, no flame near until it is dry; soak the paper off before any heat, never burn it off indoors",
        ],
        Transfer::Carbon => &[
            "carbon: face down on the metal, this page on top, taped along one side; trace every line once with a hard point, lift \
             a corner and look, then scribe the lines before sawing",
        ],
        Transfer::RubDown => &[
            "rub-down: the print is mirrored, check that it says MIRRORED; lay it face down on clean metal, tape one side, rub every \
             line, lift a corner and look",
            "if heat presses the print over: hot metal looks like cold metal",
        ],
    }
}
