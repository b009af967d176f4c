//! The bench's sums without a job: each prints its sum in one line and its source below.

use super::card::Hazard;
use super::formed;
use super::part::{Part, CUT_LONG};
use crate::trade::{self, fits, Blade, Metal};
use crate::units::limits::OUTLINE;
use crate::units::{plain, short, LengthUnit, MM_PER_INCH};
use serde::Serialize;

/// A sum: what it comes to, how, and by whose rule.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sum {
    /// What it comes to.
    pub value: f64,
    /// "mm", "g".
    pub unit: &'static str,
    /// How, on one line.
    pub sum: String,
    /// By whose rule.
    pub source: String,
    /// Further lines worth reading.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// What can hurt at this step, and whose word comes first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub care: Vec<&'static str>,
}

/// What is asked. Lengths mm, areas mm2.
#[derive(Debug, Clone, PartialEq)]
pub enum Ask {
    /// Strip on a round plate; `round_edge`: it goes round the edge, else it stands under the plate.
    Strip {
        /// Diameter of the plate.
        across: f64,
        /// Of the strip.
        thickness: f64,
        /// Round the edge rather than under the plate.
        round_edge: bool,
    },
    /// Band blank from a ring size as people write it.
    Band {
        /// As people write it: "US 7", "N", "54".
        size: String,
        /// Of the sheet.
        thickness: f64,
        /// Of the band; `None` leaves its weight out.
        width: Option<f64>,
    },
    /// A ring size in mm.
    RingSize {
        /// As people write it: "US 7", "N", "54".
        size: String,
    },
    /// Brown and Sharpe gauge number.
    Gauge {
        /// -3 (written 0000) to 40.
        number: i32,
    },
    /// Weight of a disc.
    Disc {
        /// What it is of.
        metal: Metal,
        /// Diameter.
        across: f64,
        /// Of the sheet.
        thickness: f64,
    },
    /// Weight of any area.
    Area {
        /// What it is of.
        metal: Metal,
        /// mm2.
        area: f64,
        /// Of the sheet.
        thickness: f64,
    },
    /// What to pour for a sheet of one's own.
    Ingot {
        /// What it is of.
        metal: Metal,
        /// Of the trimmed sheet.
        length: f64,
        /// Of the trimmed sheet.
        width: f64,
        /// Of the rolled sheet.
        thickness: f64,
    },
    /// The flat for a dome.
    Dome {
        /// Of the dome at its rim.
        across: f64,
        /// Over the rim, half of `across` at most.
        height: f64,
    },
    /// The blank of a cone.
    Cone {
        /// Diameter at the middle of the thickness.
        top: f64,
        /// Diameter at the middle of the thickness.
        bottom: f64,
        /// Upright, not along the side.
        height: f64,
    },
    /// Wire for one ring.
    JumpRing {
        /// Thickness of the wire.
        wire: f64,
        /// Inside diameter.
        inside: f64,
    },
    /// Strip round a stone.
    Bezel {
        /// Diameter.
        stone: f64,
        /// Of the strip.
        thickness: f64,
        /// Room between stone and wall; `None` takes the usual.
        play: Option<f64>,
    },
    /// Start hole for a blade.
    Drill {
        /// What has to pass the hole.
        blade: Blade,
    },
}

/// Longest size that is taken, mm: more is a slip of the keys.
const LONGEST: f64 = OUTLINE.most;

fn sound(name: &str, value: f64) -> Result<f64, String> {
    match value {
        v if v.is_finite() && v > 0.0 && v <= LONGEST => Ok(v),
        _ => Err(format!("{name} must be more than 0 and at most {LONGEST:.0} mm")),
    }
}

fn plain_sum(value: f64, unit: &'static str, sum: String, source: impl Into<String>) -> Result<Sum, String> {
    Ok(Sum { value, unit, sum, source: source.into(), notes: Vec::new(), care: Vec::new() })
}

/// A part's first size as a sum.
fn of_part(part: Part, key: &str, unit: &'static str) -> Result<Sum, String> {
    let value = part.get(key).or_else(|| part.sizes.first().map(|s| s.value)).unwrap_or(0.0);
    Ok(Sum {
        value,
        unit,
        sum: part.sum,
        source: part.source.to_string(),
        notes: part.notes,
        care: Vec::new(),
    })
}

/// Works out a sum; the error says which size is wrong.
pub fn sum(ask: &Ask) -> Result<Sum, String> {
    let hazards: &[Hazard] = match ask {
        Ask::Ingot { .. } => &[Hazard::Pour, Hazard::Roll, Hazard::Anneal],
        Ask::Dome { .. } => &[Hazard::Anneal, Hazard::Dome],
        Ask::Strip { .. } | Ask::Band { .. } | Ask::Cone { .. } | Ask::Bezel { .. } => {
            &[Hazard::Edge, Hazard::Anneal, Hazard::Solder]
        }
        Ask::JumpRing { .. } => &[Hazard::Saw, Hazard::Solder],
        Ask::Drill { .. } => &[Hazard::Drill],
        Ask::Disc { .. } | Ask::Area { .. } | Ask::RingSize { .. } | Ask::Gauge { .. } => &[],
    };
    let mut sum = worked_out(ask)?;
    sum.care.extend(hazards.iter().map(|h| h.says()));
    if !hazards.is_empty() {
        sum.care.push("local codes, the makers' safety sheets and qualified practice come first");
    }
    Ok(sum)
}

fn worked_out(ask: &Ask) -> Result<Sum, String> {
    match ask {
        Ask::Strip { across, thickness, round_edge } => strip(*across, *thickness, *round_edge),
        Ask::Band { size, thickness, width } => band(size, *thickness, *width),
        Ask::RingSize { size } => ring_size(size),
        Ask::Gauge { number } => gauge(*number),
        Ask::Disc { metal, across, thickness } => disc(metal, *across, *thickness),
        Ask::Area { metal, area, thickness } => area_weight(metal, *area, *thickness),
        Ask::Ingot { metal, length, width, thickness } => ingot(metal, *length, *width, *thickness),
        Ask::Dome { across, height } => dome(*across, *height),
        Ask::Cone { top, bottom, height } => cone(*top, *bottom, *height),
        Ask::JumpRing { wire, inside } => jump_ring(*wire, *inside),
        Ask::Bezel { stone, thickness, play } => bezel(*stone, *thickness, *play),
        Ask::Drill { blade } => drill(blade),
    }
}

/// Strip round or under a round plate.
pub fn strip(across: f64, thickness: f64, round_edge: bool) -> Result<Sum, String> {
    let (across, thickness) = (sound("across", across)?, sound("thickness", thickness)?);
    if !round_edge && thickness >= across {
        return Err("the strip is thicker than the plate is wide".into());
    }
    let (value, sign, where_) = match round_edge {
        true => (fits::strip_round(across, thickness), "+", "round the edge"),
        false => (fits::strip_under(across, thickness), "−", "under the plate"),
    };
    let mut sum = plain_sum(
        value,
        "mm",
        format!(
            "π × ({} {sign} {}) = {} mm, {where_}",
            plain(across, 2),
            plain(thickness, 2),
            plain(value, 2)
        ),
        super::part::STRIP,
    )?;
    let other =
        if round_edge { fits::strip_under(across, thickness) } else { fits::strip_round(across, thickness) };
    let how = if round_edge { "under the plate" } else { "round the edge" };
    sum.notes.push(format!("{how} it would be {} mm", plain(other, 2)));
    sum.notes.push(format!("cut {} mm and file to fit", plain(value + CUT_LONG, 2)));
    Ok(sum)
}

/// Band blank.
pub fn band(size: &str, thickness: f64, width: Option<f64>) -> Result<Sum, String> {
    let ring = trade::ring_size(size)?;
    let thickness = sound("thickness", thickness)?;
    let width = width.map(|w| sound("width", w)).transpose()?;
    let mut sum = of_part(
        formed::band(ring.inside_mm, thickness, width.unwrap_or(0.0), (0.0, &[]), LengthUnit::Mm),
        "length_mm",
        "mm",
    )?;
    sum.sum = format!("{}: {} mm", ring.name, sum.sum);
    sum.notes.insert(0, ring.sum);
    // What a careless print would do, in sizes.
    let short_by = sum.value * 0.022 / std::f64::consts::PI;
    sum.notes.push(format!(
        "printed at 97.8 % it would be {} mm: {} of a US size small",
        plain(sum.value * 0.978, 2),
        plain(short_by / 0.8128, 1)
    ));
    Ok(sum)
}

/// A ring size in mm, with the others beside it.
pub fn ring_size(size: &str) -> Result<Sum, String> {
    let ring = trade::ring_size(size)?;
    let mut sum = plain_sum(ring.inside_mm, "mm", format!("{}: {}", ring.name, ring.sum), ring.source)?;
    sum.notes.push(format!("{} mm round the inside", plain(ring.round_mm, 2)));
    sum.notes.push(formed::sizes_near(ring.inside_mm, LengthUnit::Mm));
    Ok(sum)
}

/// Brown and Sharpe gauge.
pub fn gauge(number: i32) -> Result<Sum, String> {
    if !(-3..=40).contains(&number) {
        return Err("gauges run from 0000 to 40".into());
    }
    let mm = trade::gauge_mm(number);
    let mut sum = plain_sum(
        mm,
        "mm",
        format!("0.127 × 92^((36 − {number}) / 39) = {} mm", plain(mm, 3)),
        "American wire (Brown and Sharpe) gauge: from memory, believed ASTM B258",
    )?;
    sum.notes.push(format!(
        "{} in; a bigger number is thinner; steel and UK gauges differ",
        plain(mm / MM_PER_INCH, 4)
    ));
    Ok(sum)
}

/// Weight of a disc.
pub fn disc(metal: &Metal, across: f64, thickness: f64) -> Result<Sum, String> {
    let (across, thickness) = (sound("across", across)?, sound("thickness", thickness)?);
    let grams = super::measured::disc(across) * thickness * metal.density * 1e-3;
    plain_sum(
        grams,
        "g",
        format!(
            "π / 4 × {}² × {} × {} / 1000 = {} g of {}",
            short(across, 2),
            short(thickness, 2),
            short(metal.density, 2),
            plain(grams, 2),
            metal.title.to_lowercase()
        ),
        metal.source.clone(),
    )
}

/// Weight of any area.
pub fn area_weight(metal: &Metal, area: f64, thickness: f64) -> Result<Sum, String> {
    let thickness = sound("thickness", thickness)?;
    if !(area.is_finite() && area > 0.0 && area <= LONGEST * LONGEST) {
        return Err("area must be more than 0 mm²".into());
    }
    let grams = area * thickness * metal.density * 1e-3;
    plain_sum(
        grams,
        "g",
        format!(
            "{} × {} × {} / 1000 = {} g of {}",
            short(area, 2),
            short(thickness, 2),
            short(metal.density, 2),
            plain(grams, 2),
            metal.title.to_lowercase()
        ),
        metal.source.clone(),
    )
}

/// What to pour for a sheet, and how to roll it.
pub fn ingot(metal: &Metal, length: f64, width: f64, thickness: f64) -> Result<Sum, String> {
    let (length, width) = (sound("length", length)?, sound("width", width)?);
    let plan = super::ingot(metal, length, width, sound("thickness", thickness)?);
    let mut sum = plain_sum(
        plan.pour,
        "g",
        format!(
            "{} × {} × {} × {} / 1000 = {} g; with 25 % trimmed and 2 % lost: {} / 0.75 / 0.98 = {} g to pour",
            short(length, 2),
            short(width, 2),
            short(thickness, 2),
            short(metal.density, 2),
            plain(plan.net, 1),
            plain(plan.net, 1),
            plain(plan.pour, 1)
        ),
        "25 % trimmed and 2 % lost: estimate",
    )?;
    sum.notes.push(format!(
        "pour {} × {} × {} mm; roll across to {} mm (about {} wide); turn; roll to {} (about {} × {}); trim to {} × {}",
        plain(plan.ingot[0], 0),
        plain(plan.ingot[1], 1),
        plain(plan.ingot[2], 0),
        plain(plan.turn_at, 1),
        plain(plan.turn_width, 0),
        short(thickness, 2),
        plain(plan.rough.0, 0),
        plain(plan.rough.1, 0),
        short(length, 2),
        short(width, 2)
    ));
    let passes: Vec<String> = plan
        .passes
        .iter()
        .map(|(mm, anneal)| format!("{}{}", plain(*mm, 2), if *anneal { " anneal" } else { "" }))
        .collect();
    sum.notes.push(format!("passes: {}", passes.join(", ")));
    sum.notes.push("clean scrap, no solder in it; measure at five places, the thinnest counts".into());
    Ok(sum)
}

/// Flat for a dome: the larger of the two, to cut and trim.
pub fn dome(across: f64, height: f64) -> Result<Sum, String> {
    let (across, height) = (sound("across", across)?, sound("height", height)?);
    if height > across / 2.0 {
        return Err("a dome higher than half its width is more than half a ball".into());
    }
    of_part(formed::dome(across, height, LengthUnit::Mm), "high_mm", "mm")
}

/// Cone blank: radius of the outer curve.
pub fn cone(top: f64, bottom: f64, height: f64) -> Result<Sum, String> {
    let (top, bottom, height) = (sound("top", top)?, sound("bottom", bottom)?, sound("height", height)?);
    of_part(formed::cone(top, bottom, height, LengthUnit::Mm), "outer_radius_mm", "mm")
}

/// Wire for a jump ring.
pub fn jump_ring(wire: f64, inside: f64) -> Result<Sum, String> {
    let (wire, inside) = (sound("wire", wire)?, sound("inside", inside)?);
    let length = fits::ring_cut(wire, inside);
    let mut sum = plain_sum(
        length,
        "mm",
        format!("π × ({} + {}) = {} mm of wire", plain(inside, 2), plain(wire, 2), plain(length, 2)),
        "length at the middle of the wire: common practice",
    )?;
    sum.notes.push(format!("inside / wire = {} (3 or more for a bail)", plain(inside / wire, 2)));
    Ok(sum)
}

/// Bezel strip.
pub fn bezel(stone: f64, thickness: f64, play: Option<f64>) -> Result<Sum, String> {
    let (stone, thickness) = (sound("stone", stone)?, sound("thickness", thickness)?);
    let play = play.unwrap_or(fits::BEZEL_PLAY);
    if !(0.0..=5.0).contains(&play) {
        return Err("play must be 0 to 5 mm".into());
    }
    let length = fits::bezel_strip(stone, thickness, play);
    let mut sum = plain_sum(
        length,
        "mm",
        format!(
            "π × ({} + {} + {}) = {} mm",
            plain(stone, 2),
            plain(play, 2),
            plain(thickness, 2),
            plain(length, 2)
        ),
        super::part::BEZEL,
    )?;
    sum.notes.push(format!(
        "outside {} mm; solid pad at least {} mm across",
        plain(fits::bezel_outside(stone, thickness, play), 2),
        plain(fits::bezel_pad(stone, thickness, play), 2)
    ));
    Ok(sum)
}

/// Start hole for a blade.
pub fn drill(blade: &Blade) -> Result<Sum, String> {
    let mut sum = plain_sum(
        blade.hole,
        "mm",
        format!(
            "1.15 × √({}² + {}²) = 1.15 × {}, rounded up to 0.05: {} mm",
            plain(blade.thickness, 2),
            plain(blade.depth, 2),
            plain(blade.diagonal(), 2),
            plain(blade.hole, 2)
        ),
        blade.source.clone(),
    )?;
    if let Some(drill) = trade::drill_at_least(blade.hole) {
        let number = trade::drills().iter().find(|d| d.name.starts_with('#') && d.mm >= blade.hole - 1e-9);
        let beside = number.map_or(String::new(), |n| format!(", or {}", n.title));
        sum.notes.push(format!("drill {}{beside}", drill.title));
    }
    Ok(sum)
}
