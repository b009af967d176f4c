//! How the parts of a metal are joined at a bench: which solders suit it, how much room each leaves before the metal itself
//! melts, and which grade goes on when. Temperatures in C, room in degrees C.

use super::models::{heat_window, overshoot, HeatWindow, RimHeat};
use super::{solders_for, Metal, Solder};

/// Room between a solder's flow and the start of melting below which a seam beside openwork is asking for trouble
/// (common practice). Larger rules out good solders; smaller melts edges.
pub const ROOM_ON_OPENWORK: f64 = 60.0;
/// The same for a seam with no openwork at risk: a strip, a jump ring (common practice: hard solder on sterling leaves 14
/// by the higher published figure for sterling). Larger rules hard solder out of sterling; smaller is no margin at all.
pub const ROOM_ON_STRIP: f64 = 10.0;
/// Less room than this is no margin: makers' solders and alloys differ by more, a flame by far more (estimate).
pub const NO_MARGIN: f64 = 10.0;
/// A seam stays shut while the next one flows if that flows this much lower (estimate).
pub const STEP_DOWN: f64 = 15.0;
/// Solders that flow higher lie outside what [`overshoot`] was worked out for; it is not used for them.
const STUDIED_TO: f64 = 1000.0;
/// Nothing is soldered at the edge with these grades unless they are asked for: made for enamel or for repairs.
const NOT_FIRST: [&str; 2] = ["it", "extra-easy"];

/// What a seam puts at risk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Risk {
    /// Bridges carry the heat: the lowest published melting point counts.
    Openwork,
    /// A strip or ring by itself: the flame comes away as the solder runs, and the highest published figure counts.
    Strip,
}

impl Risk {
    /// The room it needs.
    pub fn need(self) -> f64 {
        match self {
            Risk::Openwork => ROOM_ON_OPENWORK,
            Risk::Strip => ROOM_ON_STRIP,
        }
    }
}

/// Room between a solder's flow and the start of melting; `None` where the start of melting is not known.
pub fn room(metal: &Metal, solder: &Solder, risk: Risk) -> Option<f64> {
    let melts = match risk {
        Risk::Openwork => metal.solidus_c,
        Risk::Strip => metal.solidus_to_c.or(metal.solidus_c),
    };
    melts.map(|melts| melts - solder.flow_c)
}

/// Whether a seam has the room it needs; an unknown melting point is taken on trust.
fn has_room(metal: &Metal, solder: &Solder, risk: Risk) -> bool {
    room(metal, solder, risk).is_none_or(|room| room >= risk.need())
}

/// The grades a bench uses on a metal, highest flow first. Enamelling solder melts nearly where sterling does: only when
/// `asked` for.
pub fn bench_grades(metal: &Metal, asked: Option<&str>) -> Vec<&'static Solder> {
    let mut known = solders_for(metal);
    known.retain(|s| s.name != "it" || asked == Some("it"));
    known.sort_by(|a, b| b.flow_c.total_cmp(&a.flow_c));
    known
}

/// Room of a solder at the edge of openwork, and how far the openwork may run ahead of the rim; `None` where a figure of the
/// metal is missing or the solder flows hotter than was studied.
pub fn edge_room(metal: &Metal, solder: &Solder, rim: &RimHeat) -> Option<(f64, f64)> {
    if solder.flow_c > STUDIED_TO {
        return None;
    }
    let rim = RimHeat { flow_c: solder.flow_c, ..*rim };
    Some((room(metal, solder, Risk::Openwork)?, overshoot(metal, &rim)?))
}

/// The solder of the seam at the edge of openwork: the one `asked` for, else the highest that leaves room to heat the rim
/// alone (60 C where that cannot be worked out), else the lowest there is. `None` for metals that are joined cold.
pub fn edge_solder(metal: &Metal, asked: Option<&str>, rim: Option<&RimHeat>) -> Option<&'static Solder> {
    let known = solders_for(metal);
    if let Some(name) = asked {
        return known.into_iter().find(|s| s.name == name);
    }
    let usual = || known.iter().filter(|s| !NOT_FIRST.contains(&s.name.as_str()));
    let safe = |s: &&&'static Solder| match rim.and_then(|rim| edge_room(metal, s, rim)) {
        Some((room, ahead)) => heat_window(room, ahead) != HeatWindow::Closed,
        None => has_room(metal, s, Risk::Openwork),
    };
    usual().rev().find(safe).or_else(|| usual().next()).copied()
}

/// One grade for each heat, each flowing low enough under `before` and under one another that earlier seams stay shut;
/// `first` names the first grade if the maker chose it. The flag is false where no grade was left that keeps both rules and
/// the lowest is used again. Empty for metals without solder.
pub fn grades(
    metal: &Metal,
    risks: &[Risk],
    first: Option<&str>,
    before: Option<&Solder>,
) -> Vec<(&'static Solder, bool)> {
    let known = bench_grades(metal, first);
    let Some(&lowest) = known.last() else { return Vec::new() };
    let mut under = before.map_or(f64::INFINITY, |s| s.flow_c - STEP_DOWN);
    let mut chosen = Vec::new();
    for (i, &risk) in risks.iter().enumerate() {
        let asked = first.filter(|_| i == 0).and_then(|name| known.iter().find(|s| s.name == name));
        let pick = match asked {
            Some(&solder) => (solder, has_room(metal, solder, risk)),
            None => known
                .iter()
                .find(|s| s.flow_c <= under && has_room(metal, s, risk))
                .map_or((lowest, false), |&solder| (solder, true)),
        };
        under = pick.0.flow_c - STEP_DOWN;
        chosen.push(pick);
    }
    chosen
}

/// Grades where the seam at the edge, with `edge`, leads: `strips` heats before it take a higher grade where one has room,
/// else the same; the heats `after` it flow lower.
pub fn grades_about_edge(
    metal: &Metal,
    edge: &'static Solder,
    strips: usize,
    after: &[Risk],
) -> Vec<(&'static Solder, bool)> {
    let higher = |s: &&&Solder| s.flow_c >= edge.flow_c + STEP_DOWN && has_room(metal, s, Risk::Strip);
    let known = bench_grades(metal, None);
    let strip = known.iter().find(higher).copied().unwrap_or(edge);
    let mut chosen = vec![(strip, true); strips];
    chosen.push((edge, room(metal, edge, Risk::Openwork).is_none_or(|r| r >= NO_MARGIN)));
    chosen.extend(grades(metal, after, None, Some(edge)));
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(name: &str) -> &'static Metal {
        super::super::metal(name).unwrap_or_else(|| panic!("{name}"))
    }

    #[test]
    fn without_figures_for_the_model_the_rule_of_sixty_degrees_decides() {
        // 14 ct melts from 800: hard at 795 leaves 5, easy 70. 9 ct from 835: hard leaves 40, easy 115.
        for name in ["gold-14k", "gold-9k"] {
            assert_eq!(edge_solder(of(name), None, None).map(|s| s.name.as_str()), Some("easy"), "{name}");
        }
        assert_eq!(edge_solder(of("copper"), None, None).map(|s| s.name.as_str()), Some("hard"));
    }

    #[test]
    fn strips_of_sterling_start_hard_and_cold_metals_have_no_grade() {
        let first = |name: &str| {
            grades(of(name), &[Risk::Strip], None, None).first().map(|(s, ok)| (s.name.clone(), *ok))
        };
        assert_eq!(first("sterling-silver"), Some(("hard".into(), true)));
        // 5 C would be left in 14 ct: one grade lower.
        assert_eq!(first("gold-14k"), Some(("easy".into(), true)));
        for cold in ["titanium", "niobium", "aluminium"] {
            assert!(of(cold).joined_cold() && first(cold).is_none(), "{cold}");
        }
        for own in ["platinum-950", "palladium-950"] {
            assert!(first(own).is_some_and(|(_, ok)| ok), "{own}");
            let family = solders_for(of(own))[0].family.clone();
            assert_eq!(family, own.split('-').next().unwrap_or_default());
        }
    }
}
