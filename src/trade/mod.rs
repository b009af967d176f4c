//! What the trade knows: metals, blades, drills, gauges, solders, ring sizes and papers, each value with its source
//! or the words "common practice". The tables are TOML files beside this one, read once.

mod drills;
pub mod fits;
pub mod joining;
pub mod models;
pub mod pace;
mod rings;
pub mod timed;

pub use drills::{drill, drill_at_least, drills, gauge_mm, gauges, nearest_gauge, Drill, Gauge};
pub use rings::{ring_size, ring_sizes, RingSize};

use crate::error::fault;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// A sheet metal. Temperatures in degrees C; `None` where no value could be found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Metal {
    /// Key in a job file.
    pub name: String,
    /// Bench name.
    pub title: String,
    /// Density, g/cm3.
    pub density: f64,
    /// Starts to melt, C; `None` where nothing sound is published.
    pub solidus_c: Option<f64>,
    /// The highest published figure for the same, where published figures differ enough to matter.
    pub solidus_to_c: Option<f64>,
    /// Is wholly molten, C.
    pub liquidus_c: Option<f64>,
    /// Thermal conductivity near soldering heat, W/mK.
    pub conductivity: Option<f64>,
    /// Specific heat, mean to soldering heat, J/kgK.
    pub specific_heat: Option<f64>,
    /// Young's modulus, MPa.
    pub youngs_mpa: Option<f64>,
    /// Yield strength, annealed, MPa.
    pub yield_mpa: Option<f64>,
    /// Emissivity, fluxed.
    pub emissivity: Option<f64>,
    /// Poisson's ratio.
    pub poisson: f64,
    /// The mark of its fineness, parts in a thousand, for metals that are hallmarked.
    pub fineness: Option<u32>,
    /// Lightest article of it that must be hallmarked in the UK, g.
    pub exempt_g: Option<f64>,
    /// How fast it saws beside sterling (1.0).
    pub saw_factor: f64,
    /// Of a drill's edge in it, m a minute, from and to.
    pub edge_speed: [f64; 2],
    /// Share it may be rolled thinner between anneals.
    pub thinning: f64,
    /// What its saw dust does beside the usual.
    pub dust: Option<Dust>,
    /// It gives off zinc oxide fume when it is overheated.
    #[serde(default)]
    pub zinc: bool,
    /// Family of its solders, or "none" where a torch join is not for this bench.
    pub solder_family: String,
    /// Where it is annealed, from and to.
    pub anneal_c: Option<[f64; 2]>,
    /// A caution that belongs to the metal itself.
    pub care: Option<String>,
    /// Where the density, temperatures and strength come from.
    pub source: String,
}

/// What a metal's saw dust and filings do beside what any do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Dust {
    /// They catch fire.
    Burns,
    /// They hold nickel.
    Nickel,
}

impl Metal {
    /// Whether parts of it are riveted or otherwise joined cold, since it is not soldered at a bench.
    pub fn joined_cold(&self) -> bool {
        self.solder_family == "none"
    }
}

/// A piercing-saw blade. Lengths in mm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Blade {
    /// As written on the packet: "2/0".
    pub name: String,
    /// For people.
    pub title: String,
    /// Of the blade's back, mm.
    pub thickness: f64,
    /// From the teeth to the back, mm.
    pub depth: f64,
    /// Along the blade.
    pub teeth_per_cm: f64,
    /// Width of the cut: the blade and its set.
    pub kerf: f64,
    /// Smallest start hole.
    pub hole: f64,
    /// Where the figures come from.
    pub source: String,
}

impl Blade {
    /// Corner to corner of the blade's section, mm: what must pass the start hole.
    pub fn diagonal(&self) -> f64 {
        libm::hypot(self.thickness, self.depth)
    }

    /// Teeth in the cut through sheet of this thickness, mm.
    pub fn teeth_in(&self, thickness: f64) -> f64 {
        self.teeth_per_cm * thickness / 10.0
    }
}

/// A solder by its trade grade, for one family of metals. Temperatures in degrees C.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Solder {
    /// "it", "hard", "medium", "easy", "extra-easy".
    pub name: String,
    /// "silver", "gold-18k", ...
    pub family: String,
    /// For people.
    pub title: String,
    /// Starts to melt.
    pub solidus_c: f64,
    /// Runs into the seam.
    pub flow_c: f64,
    /// Where the figures come from.
    pub source: String,
}

/// A paper size, portrait, mm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Paper {
    /// Key in a job file: "A4".
    pub name: String,
    /// For people.
    pub title: String,
    /// mm.
    pub width: f64,
    /// mm.
    pub height: f64,
    /// Whose standard it is.
    pub source: String,
}

/// The rows of one table: an array under a single key.
fn rows<T: for<'a> Deserialize<'a>>(text: &str, key: &str) -> Vec<T> {
    read_rows(text, key).unwrap_or_else(|why| fault(format!("its table of {key}s cannot be read: {why}")))
}

fn read_rows<T: for<'a> Deserialize<'a>>(text: &str, key: &str) -> Result<Vec<T>, String> {
    let mut table: BTreeMap<String, Vec<T>> = toml::from_str(text).map_err(|e| e.to_string())?;
    table.remove(key).ok_or_else(|| format!("no rows under {key}"))
}

const METALS: &str = include_str!("metals.toml");
const BLADES: &str = include_str!("blades.toml");
const SOLDERS: &str = include_str!("solders.toml");
const PAPERS: &str = include_str!("papers.toml");

/// Every sheet metal, base metals first.
pub fn metals() -> &'static [Metal] {
    static ROWS: OnceLock<Vec<Metal>> = OnceLock::new();
    ROWS.get_or_init(|| rows(METALS, "metal"))
}

/// A metal by its key.
pub fn metal(name: &str) -> Option<&'static Metal> {
    metals().iter().find(|m| m.name.eq_ignore_ascii_case(name.trim()))
}

/// Every blade, finest first.
pub fn blades() -> &'static [Blade] {
    static ROWS: OnceLock<Vec<Blade>> = OnceLock::new();
    ROWS.get_or_init(|| rows(BLADES, "blade"))
}

/// A blade as written on the packet; "0" and "00" are understood as "1/0" and "2/0".
pub fn blade(name: &str) -> Option<&'static Blade> {
    let name: String = name.chars().filter(|c| !c.is_whitespace()).collect();
    let name = match name.as_str() {
        zeros if !zeros.is_empty() && zeros.bytes().all(|b| b == b'0') => format!("{}/0", zeros.len()),
        other => other.to_string(),
    };
    blades().iter().find(|b| b.name == name)
}

/// Every solder, lowest flow first within a family.
pub fn solders() -> &'static [Solder] {
    static ROWS: OnceLock<Vec<Solder>> = OnceLock::new();
    ROWS.get_or_init(|| rows(SOLDERS, "solder"))
}

/// The solders of a metal's family, lowest flow first; none for metals not joined with a torch.
pub fn solders_for(metal: &Metal) -> Vec<&'static Solder> {
    solders().iter().filter(|s| s.family == metal.solder_family).collect()
}

/// Every paper size.
pub fn papers() -> &'static [Paper] {
    static ROWS: OnceLock<Vec<Paper>> = OnceLock::new();
    ROWS.get_or_init(|| rows(PAPERS, "paper"))
}

/// A paper by its name, in any case.
pub fn paper(name: &str) -> Option<&'static Paper> {
    papers().iter().find(|p| p.name.eq_ignore_ascii_case(name.trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_reads_and_every_row_names_its_source() {
        assert_eq!(read_rows::<Metal>(METALS, "metal").map(|r| r.len()), Ok(19));
        assert_eq!(read_rows::<Blade>(BLADES, "blade").map(|r| r.len()), Ok(16));
        assert_eq!(read_rows::<Solder>(SOLDERS, "solder").map(|r| r.len()), Ok(18));
        assert_eq!(read_rows::<Paper>(PAPERS, "paper").map(|r| r.len()), Ok(10));
        assert!(metals().iter().all(|m| m.source.len() > 10));
        assert!(solders().iter().all(|s| s.solidus_c < s.flow_c && s.source.len() > 10));
        assert!(read_rows::<Metal>("[[metal]]\nname = 3", "metal").is_err());
    }

    #[test]
    fn blades_run_fine_to_coarse_and_pass_their_holes() {
        for pair in blades().windows(2) {
            assert!(pair[0].thickness < pair[1].thickness && pair[0].hole <= pair[1].hole);
        }
        for b in blades() {
            // 1.15 x the diagonal, rounded up to 0.05; the rounded table sizes may be one step out.
            let rule = (1.15 * b.diagonal() / 0.05).ceil() * 0.05;
            assert!(b.hole > b.diagonal() && (b.hole - rule).abs() < 0.0501, "{}", b.name);
        }
        assert_eq!(blade("00").map(|b| b.name.as_str()), Some("2/0"));
        assert_eq!(blade(" 4 / 0 ").map(|b| b.name.as_str()), Some("4/0"));
        assert!(blade("9").is_none());
    }

    #[test]
    fn names_are_found_in_any_case_and_wrong_ones_are_not() {
        assert_eq!(metal("Copper").map(|m| m.density), Some(8.96));
        assert_eq!(metal("sterling-silver").and_then(|m| m.solidus_c), Some(788.0));
        assert_eq!(paper("a4").map(|p| (p.width, p.height)), Some((210.0, 297.0)));
        assert!(metal("tin").is_none() && paper("A9").is_none());
        assert!(metal("titanium").is_some_and(|m| solders_for(m).is_empty()));
    }
}
