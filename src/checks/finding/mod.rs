//! What was found, as data, and the one place where sentences are made of it, in the job's units.
//!
//! Each file holds a family of findings beside its sentences. Nothing decides by a sentence: whoever wants to know what
//! was found looks at the data.

mod bench;
mod heat;
mod metal;
mod paper;
mod tools;

pub use bench::BenchFinding;
pub use heat::{HeatFinding, Instead};
pub use metal::{Hold, Margin, MetalFinding, Width};
pub use paper::PaperFinding;
pub use tools::{FileFit, ToolFinding};

use super::Check;
use crate::geom::Point;
use crate::job::{LengthUnit, Temper};
use crate::trade::{Blade, Metal};
use crate::units::{plain, MM_PER_INCH};

/// What a check found.
#[derive(Debug, Clone, PartialEq)]
pub enum Finding {
    /// Drill, blade, frame and file in the openings.
    Tool(ToolFinding),
    /// The metal that is left.
    Metal(MetalFinding),
    /// The torch beside the openwork.
    Heat(HeatFinding),
    /// What the plan of the bench meets: solder, hang, rings, stock, weight, hours.
    Bench(BenchFinding),
    /// The template on its paper.
    Paper(PaperFinding),
}

macro_rules! of_family {
    ($($family:ident $kind:ident;)*) => {
        $(impl From<$kind> for Finding {
            fn from(found: $kind) -> Self {
                Finding::$family(found)
            }
        })*
    };
}

of_family! {
    Tool ToolFinding;
    Metal MetalFinding;
    Heat HeatFinding;
    Bench BenchFinding;
    Paper PaperFinding;
}

impl Finding {
    /// The sentence of a finding made in `count` places, its lengths in the job's units.
    pub fn says(&self, count: usize, units: LengthUnit) -> String {
        let words = Phrasing { units, count };
        match self {
            Finding::Tool(found) => found.says(&words),
            Finding::Metal(found) => found.says(&words),
            Finding::Heat(found) => found.says(&words),
            Finding::Bench(found) => found.says(&words),
            Finding::Paper(found) => found.says(&words),
        }
    }

    /// Which rule binds and where it comes from; empty where the sentence says it all.
    pub fn because(&self, units: LengthUnit) -> String {
        let words = Phrasing { units, count: 0 };
        match self {
            Finding::Tool(found) => found.because(&words),
            Finding::Metal(found) => found.because(&words),
            Finding::Heat(found) => found.because(),
            Finding::Bench(found) => found.because(),
            Finding::Paper(found) => found.because().to_string(),
        }
    }

    /// Two findings of one cause: the same thing at fault, however much of it.
    pub fn same_cause(&self, other: &Finding) -> bool {
        use std::mem::discriminant as kind;
        match (self, other) {
            (Finding::Tool(a), Finding::Tool(b)) => kind(a) == kind(b),
            (
                Finding::Metal(MetalFinding::MarginThin { which: a, .. }),
                Finding::Metal(MetalFinding::MarginThin { which: b, .. }),
            ) => a == b,
            (Finding::Metal(a), Finding::Metal(b)) => kind(a) == kind(b),
            (Finding::Heat(a), Finding::Heat(b)) => kind(a) == kind(b),
            (Finding::Bench(a), Finding::Bench(b)) => kind(a) == kind(b),
            (Finding::Paper(a), Finding::Paper(b)) => kind(a) == kind(b),
            _ => false,
        }
    }
}

/// How a finding that can no longer be mended is lived with once the piece is sawn.
pub fn once_sawn(check: Check) -> &'static str {
    match check {
        Check::BridgeWidth | Check::BridgeStrength | Check::HeldByOne => {
            "it is sawn: file no more off it, hold the piece by its border, and back it with wax or tape before it is bent or polished"
        }
        Check::BorderWidth => {
            "it is sawn: file no more off the edge there; a rim strip or a back plate soldered on stiffens it, with the flame kept off it"
        }
        Check::Tongue => "it is sawn: keep it on the pin, round its tip off with a file, and bend nothing by it",
        Check::SolidPatch | Check::OpeningSize | Check::BorderFit => {
            "it is sawn: it shows but holds; texture, a stone or a patina can use it"
        }
        Check::LooseMetal => "it is sawn: what fell out can only be soldered back",
        Check::Hang | Check::RingFit => {
            "it is sawn: hang it from a second hole, or solder a ring on over the balance point"
        }
        _ => "it is sawn: nothing about the drawing can be changed any more",
    }
}

/// How things are said: the job's units, and in how many places they were found.
pub(super) struct Phrasing {
    units: LengthUnit,
    count: usize,
}

impl Phrasing {
    /// A length to `places` decimals of a millimetre, or two more of an inch.
    fn length(&self, mm: f64, places: usize) -> String {
        self.units.says(mm, places)
    }

    /// To the hundredth of a millimetre.
    fn mm(&self, mm: f64) -> String {
        self.length(mm, 2)
    }

    fn number(&self, mm: f64, places: usize) -> String {
        match self.units {
            LengthUnit::Mm => plain(mm, places),
            LengthUnit::Inch => plain(mm / MM_PER_INCH, places + 1),
        }
    }

    /// "(3.1, -6.0)", in the job's units like every plain number of its file.
    fn place(&self, at: Point) -> String {
        format!("({}, {})", self.number(at.x, 1), self.number(at.y, 1))
    }

    /// "60 x 40 mm".
    fn size(&self, size: (f64, f64), places: usize) -> String {
        self.units.size(size, places)
    }

    /// "1 opening is", "3 openings are".
    fn are(&self, what: &str) -> String {
        format!("{} {}", self.counted(what), if self.count == 1 { "is" } else { "are" })
    }

    /// "1 opening", "3 openings".
    fn counted(&self, what: &str) -> String {
        super::count(self.count, what)
    }

    /// " (2 more like it)" where the sentence tells of one.
    fn more(&self) -> String {
        match self.count {
            0 | 1 => String::new(),
            n => format!(" ({} more like it)", n - 1),
        }
    }
}

/// "2/0 blade", "No. 1 blade".
pub fn blade_name(blade: &Blade) -> String {
    match blade.name.contains('/') {
        true => format!("{} blade", blade.name),
        false => format!("No. {} blade", blade.name),
    }
}

/// "soft copper".
fn sheet(temper: Temper, metal: &str) -> String {
    let temper = if temper == Temper::HalfHard { "half-hard" } else { "soft" };
    format!("{temper} {metal}")
}

/// A metal's name inside a sentence.
pub(super) fn named(metal: &Metal) -> String {
    metal.title.to_lowercase()
}
