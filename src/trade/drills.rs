//! Twist drills, number and metric, and Brown and Sharpe sheet gauges.

use crate::units::{plain, short, MM_PER_INCH};
use serde::{Deserialize, Serialize};
use std::sync::OnceLock;

/// A twist drill.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drill {
    /// "#60" or "0.9".
    pub name: String,
    /// For people, with its mm.
    pub title: String,
    /// Diameter, mm.
    pub mm: f64,
    /// Where the size is published.
    pub source: String,
}

/// A sheet thickness by its Brown and Sharpe (American Wire) number: bigger is thinner.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Gauge {
    /// The number.
    pub name: String,
    /// For people, with its mm.
    pub title: String,
    /// Thickness, mm.
    pub mm: f64,
    /// The same, inches.
    pub inch: f64,
    /// Where the size is published.
    pub source: String,
}

#[derive(Deserialize)]
struct NumberRow {
    number: u32,
    inch: f64,
    source: String,
}

/// Where metric drill steps come from.
const METRIC: &str = "Wikipedia, Drill bit sizes (steps of BS 328)";

fn metric(mm: f64, source: &str) -> Drill {
    let name = plain(mm, if (mm * 10.0 - (mm * 10.0).round()).abs() < 1e-6 { 1 } else { 2 });
    Drill { title: format!("{name} mm"), name, mm, source: source.to_string() }
}

/// Number drills #80 to #50 and metric drills 0.20 to 3.00 mm, thinnest first.
pub fn drills() -> &'static [Drill] {
    static ROWS: OnceLock<Vec<Drill>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let mut all: Vec<Drill> = super::rows::<NumberRow>(include_str!("drills.toml"), "drill")
            .into_iter()
            .map(|row| Drill {
                name: format!("#{}", row.number),
                title: format!("#{} ({} mm)", row.number, plain(row.inch * MM_PER_INCH, 3)),
                mm: row.inch * MM_PER_INCH,
                source: row.source,
            })
            .collect();
        // Below 1 mm: tenths and +0.02, +0.05, +0.08; from 1 mm: steps of 0.05. In hundredths, so that no sum drifts.
        let fine = (2..10).flat_map(|tenth| [0, 2, 5, 8].map(|more| tenth * 10 + more));
        let coarse = (20..=60).map(|twentieth| twentieth * 5);
        all.extend(fine.chain(coarse).map(|h: u32| metric(f64::from(h) / 100.0, METRIC)));
        all.sort_by(|a, b| a.mm.total_cmp(&b.mm));
        all
    })
}

/// A drill from what people write: "#60", "no. 60", "0.9", "0,9 mm". A metric size that no table lists is taken as it
/// stands between 0.1 and 10 mm.
pub fn drill(text: &str) -> Option<Drill> {
    let text = text.trim().to_ascii_lowercase().replace(',', ".");
    let number = ["#", "no.", "no", "number"].iter().find_map(|lead| text.strip_prefix(lead));
    if let Some(number) = number {
        let name = format!("#{}", number.trim());
        return drills().iter().find(|d| d.name == name).cloned();
    }
    let mm: f64 = text.strip_suffix("mm").unwrap_or(&text).trim().parse().ok()?;
    if !(0.1..=10.0).contains(&mm) {
        return None;
    }
    let listed = drills().iter().find(|d| !d.name.starts_with('#') && (d.mm - mm).abs() < 1e-9);
    Some(listed.cloned().unwrap_or_else(|| metric(mm, "as typed")))
}

/// The thinnest metric drill of the table that is at least `mm`.
pub fn drill_at_least(mm: f64) -> Option<&'static Drill> {
    drills().iter().find(|d| !d.name.starts_with('#') && d.mm >= mm - 1e-9)
}

/// Thickness of a Brown and Sharpe gauge, mm: 0.127 x 92^((36 - n) / 39) (ASTM B258, as quoted in published gauge
/// articles). `n` from -3 (4/0) to 40.
pub fn gauge_mm(n: i32) -> f64 {
    crate::units::gauge(n).0
}

fn gauge_row(n: i32) -> Gauge {
    let mm = gauge_mm(n);
    Gauge {
        name: n.to_string(),
        title: format!("{n} ga = {} mm", short(mm, 2)),
        mm,
        inch: mm / MM_PER_INCH,
        source: "0.127 x 92^((36 - n) / 39) mm, ASTM B258".to_string(),
    }
}

/// Gauges 6 to 36.
pub fn gauges() -> &'static [Gauge] {
    static ROWS: OnceLock<Vec<Gauge>> = OnceLock::new();
    ROWS.get_or_init(|| (6..=36).map(gauge_row).collect())
}

/// The gauge nearest to a thickness in mm.
pub fn nearest_gauge(mm: f64) -> Option<&'static Gauge> {
    gauges().iter().min_by(|a, b| (a.mm - mm).abs().total_cmp(&(b.mm - mm).abs()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn drills_are_read_as_people_write_them() {
        assert_eq!(drill("#60").map(|d| plain(d.mm, 3)), Some("1.016".into()));
        assert_eq!(drill(" No. 75 ").map(|d| plain(d.mm, 3)), Some("0.533".into()));
        assert_eq!(drill("0,9 mm").map(|d| d.name), Some("0.9".into()));
        assert_eq!(drill("1.07").map(|d| d.source), Some("as typed".into()));
        assert!(drill("#900").is_none() && drill("-1").is_none() && drill("NaN").is_none());
        assert_eq!(drill_at_least(0.70).map(|d| d.mm), Some(0.70));
        assert_eq!(drill_at_least(0.701).map(|d| d.mm), Some(0.72));
    }

    #[test]
    fn a_bigger_gauge_number_is_thinner() {
        assert!(gauges().windows(2).all(|g| g[0].mm > g[1].mm));
        assert_eq!(nearest_gauge(0.8).map(|g| g.name.as_str()), Some("20"));
    }
}
