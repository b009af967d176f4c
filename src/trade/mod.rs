//! What the trade knows: metals, blades, drills, gauges, solders, ring sizes and papers, each value with its source
//! or the words "common practice". The tables are TOML files beside this one, read once.

use serde::Serialize;

/// A sheet metal. Temperatures in degrees C; `None` where no value could be found.
#[derive(Debug, Clone, PartialEq, Serialize, serde::Deserialize)]
pub struct Metal {
    /// Key in a job file.
    pub name: String,
    /// Bench name.
    pub title: String,
    /// Density, g/cm3.
    pub density: f64,
    pub solidus_c: Option<f64>,
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
    /// How fast it saws beside sterling (1.0).
    pub saw_factor: f64,
    /// Where the density, temperatures and strength come from.
    pub source: String,
}

/// A piercing-saw blade. Lengths in mm.
#[derive(Debug, Clone, PartialEq, Serialize, serde::Deserialize)]
pub struct Blade {
    /// As written on the packet: "2/0".
    pub name: String,
    pub thickness: f64,
    pub depth: f64,
    pub teeth_per_cm: f64,
    /// Width of the cut: the blade and its set.
    pub kerf: f64,
    /// Smallest start hole.
    pub hole: f64,
    pub source: String,
}

impl Blade {
    /// Corner to corner of the blade's section, mm: what must pass the start hole.
    pub fn diagonal(&self) -> f64 {
        self.thickness.hypot(self.depth)
    }
}

/// A solder by its trade grade, for one family of metals. Temperatures in degrees C.
#[derive(Debug, Clone, PartialEq, Serialize, serde::Deserialize)]
pub struct Solder {
    /// "hard", "medium", "easy", "extra-easy".
    pub name: String,
    /// "silver", "gold-18k", ...
    pub family: String,
    pub title: String,
    pub solidus_c: f64,
    pub flow_c: f64,
    pub source: String,
}

/// A paper size, portrait, mm.
#[derive(Debug, Clone, PartialEq, Serialize, serde::Deserialize)]
pub struct Paper {
    pub name: String,
    pub title: String,
    pub width: f64,
    pub height: f64,
    pub source: String,
}
