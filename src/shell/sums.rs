//! `sawpierce sums`: one sum of the bench, without a job.

use super::{say, Outcome};
use crate::error::Error;
use crate::job::{suggestion, suggestion_of, LengthUnit};
use crate::plan::sums::{sum, Ask, Sum};
use crate::trade;
use crate::units::length;
use clap::{Args, Subcommand, ValueEnum};

#[derive(Args)]
pub(super) struct Sums {
    #[command(subcommand)]
    which: Which,
    /// As JSON
    #[arg(long, global = true)]
    json: bool,
}

/// Sizes are typed as in a job file: 0.8, "0,8", "20 ga", "1/32 in".
#[derive(Subcommand)]
enum Which {
    /// Rim strip for a disc
    #[command(
        after_help = "Example:\n  sawpierce sums strip --across 28 --thickness 0.8 --sits under-plate"
    )]
    Strip {
        /// Across the disc
        #[arg(long)]
        across: String,
        /// Of the strip
        #[arg(long)]
        thickness: String,
        /// Where the strip goes
        #[arg(long)]
        sits: Sits,
    },
    /// Blank for a ring
    #[command(after_help = "Example:\n  sawpierce sums band --size \"US 7\" --thickness 1.5 --width 8")]
    Band {
        /// "US 7", "UK N½", "EU 54", "JP 13"
        #[arg(long)]
        size: String,
        #[arg(long)]
        thickness: String,
        #[arg(long)]
        width: Option<String>,
    },
    /// A ring size in mm, with its neighbours in other systems
    #[command(name = "ring-size", after_help = "Example:\n  sawpierce sums ring-size \"UK N\"")]
    RingSize {
        /// "US 7", "UK N", 54 or "JP 13"
        #[arg(required = true, value_name = "SIZE")]
        size: Vec<String>,
    },
    /// A B&S gauge in mm
    #[command(after_help = "Example:\n  sawpierce sums gauge 20")]
    Gauge {
        /// 20, or 0, 00, 000, 0000 for the thick ones
        #[arg(allow_hyphen_values = true)]
        number: String,
    },
    /// Weight of a disc, or of any area
    #[command(after_help = "Example:\n  sawpierce sums weight --metal copper --across 28 --thickness 0.8")]
    Weight {
        #[arg(long)]
        metal: String,
        /// Across a disc
        #[arg(long, required_unless_present = "area", conflicts_with = "area")]
        across: Option<String>,
        /// Any area, in mm²
        #[arg(long)]
        area: Option<f64>,
        #[arg(long)]
        thickness: String,
    },
    /// Metal to pour for a sheet you roll yourself
    #[command(
        after_help = "Example:\n  sawpierce sums ingot --metal sterling-silver --length 60 --width 40 --thickness 0.8"
    )]
    Ingot {
        #[arg(long)]
        metal: String,
        #[arg(long)]
        length: String,
        #[arg(long)]
        width: String,
        #[arg(long)]
        thickness: String,
    },
    /// Flat disc for a dome
    #[command(after_help = "Example:\n  sawpierce sums dome --across 25 --height 4")]
    Dome {
        #[arg(long)]
        across: String,
        #[arg(long)]
        height: String,
    },
    /// Blank for a cone
    #[command(after_help = "Example:\n  sawpierce sums cone --top 10 --bottom 20 --height 15")]
    Cone {
        #[arg(long)]
        top: String,
        #[arg(long)]
        bottom: String,
        #[arg(long)]
        height: String,
    },
    /// Wire for a jump ring
    #[command(name = "jump-ring", after_help = "Example:\n  sawpierce sums jump-ring --wire 1 --inside 4")]
    JumpRing {
        #[arg(long)]
        wire: String,
        #[arg(long)]
        inside: String,
    },
    /// Strip for a bezel
    #[command(after_help = "Example:\n  sawpierce sums bezel --stone 10 --thickness 0.3")]
    Bezel {
        #[arg(long)]
        stone: String,
        #[arg(long)]
        thickness: String,
        /// Between stone and wall
        #[arg(long)]
        play: Option<String>,
    },
    /// Least drill for a blade
    #[command(after_help = "Example:\n  sawpierce sums drill --blade 2/0")]
    Drill {
        #[arg(long)]
        blade: String,
    },
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Sits {
    /// The plate lies on the strip
    UnderPlate,
    /// The strip goes round the edge
    RoundEdge,
}

pub(super) fn sums(asked: &Sums) -> Result<Outcome, Error> {
    let sum = sum(&ask(&asked.which)?).map_err(|why| Error::job(why, ""))?;
    say::answer(&match asked.json {
        true => json(&sum)?,
        false => text(&sum),
    })?;
    Ok(Outcome::Good)
}

fn json(sum: &Sum) -> Result<String, Error> {
    let value = serde_json::to_string_pretty(sum);
    value.map(|text| text + "\n").map_err(|_| Error::job("this sum has no number", "type the sizes again"))
}

/// The sum in one line, its source below.
fn text(sum: &Sum) -> String {
    let notes = sum.notes.iter().map(|note| format!("  {note}\n"));
    let care = sum.care.iter().map(|care| format!("  ! {care}\n"));
    std::iter::once(format!("{}\n", sum.sum))
        .chain(notes)
        .chain(care)
        .chain([format!("  source: {}\n", sum.source)])
        .collect()
}

fn mm(name: &str, said: &str) -> Result<f64, Error> {
    let read = length(said, LengthUnit::Mm);
    read.map(|mm| mm.0).map_err(|unread| Error::job(format!("{name}: {}", unread.wrong), unread.todo))
}

fn maybe(name: &str, said: &Option<String>) -> Result<Option<f64>, Error> {
    said.as_deref().map(|said| mm(name, said)).transpose()
}

fn metal(name: &str) -> Result<trade::Metal, Error> {
    let known = || trade::metals().iter().map(|m| (m.name.as_str(), m.title.as_str())).collect::<Vec<_>>();
    let unknown = || Error::job(format!("metal \"{name}\" is not known"), suggestion_of(name, &known()));
    trade::metal(name).cloned().ok_or_else(unknown)
}

fn blade(name: &str) -> Result<trade::Blade, Error> {
    let known = || trade::blades().iter().map(|b| b.name.as_str()).collect::<Vec<_>>();
    let unknown = || Error::job(format!("blade \"{name}\" is not known"), suggestion(name, &known()));
    trade::blade(name).cloned().ok_or_else(unknown)
}

/// A gauge number as it is written: "20", "00", "2/0", "-1".
fn gauge(said: &str) -> Result<i32, Error> {
    let said = said.trim();
    let zeros = !said.is_empty() && said.bytes().all(|b| b == b'0');
    let read = match said.strip_suffix("/0") {
        Some(count) => count.parse::<i32>().ok().filter(|n| (1..=4).contains(n)).map(|n| 1 - n),
        None if zeros => i32::try_from(said.len()).ok().map(|n| 1 - n),
        None => said.parse().ok(),
    };
    let todo = "gauges are whole numbers, bigger is thinner: 20, or 0, 00, 000, 0000";
    read.ok_or_else(|| Error::job(format!("\"{said}\" is not a B&S gauge"), todo))
}

fn ask(which: &Which) -> Result<Ask, Error> {
    Ok(match which {
        Which::Strip { across, thickness, sits } => Ask::Strip {
            across: mm("across", across)?,
            thickness: mm("thickness", thickness)?,
            round_edge: *sits == Sits::RoundEdge,
        },
        Which::Band { size, thickness, width } => Ask::Band {
            size: size.clone(),
            thickness: mm("thickness", thickness)?,
            width: maybe("width", width)?,
        },
        Which::RingSize { size } => Ask::RingSize { size: size.join(" ") },
        Which::Gauge { number } => Ask::Gauge { number: gauge(number)? },
        Which::Weight { metal: name, across, area, thickness } => {
            let (metal, thickness) = (metal(name)?, mm("thickness", thickness)?);
            match (across, area) {
                (Some(across), _) => Ask::Disc { metal, across: mm("across", across)?, thickness },
                (None, area) => Ask::Area { metal, area: area.unwrap_or(0.0), thickness },
            }
        }
        Which::Ingot { metal: name, length, width, thickness } => Ask::Ingot {
            metal: metal(name)?,
            length: mm("length", length)?,
            width: mm("width", width)?,
            thickness: mm("thickness", thickness)?,
        },
        Which::Dome { across, height } => {
            Ask::Dome { across: mm("across", across)?, height: mm("height", height)? }
        }
        Which::Cone { top, bottom, height } => {
            Ask::Cone { top: mm("top", top)?, bottom: mm("bottom", bottom)?, height: mm("height", height)? }
        }
        Which::JumpRing { wire, inside } => {
            Ask::JumpRing { wire: mm("wire", wire)?, inside: mm("inside", inside)? }
        }
        Which::Bezel { stone, thickness, play } => Ask::Bezel {
            stone: mm("stone", stone)?,
            thickness: mm("thickness", thickness)?,
            play: maybe("play", play)?,
        },
        Which::Drill { blade: name } => Ask::Drill { blade: blade(name)? },
    })
}
