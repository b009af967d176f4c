//! `sawpierce list`: what can be named in a job.

use super::table::{self, TextTable};
use super::{say, Outcome};
use crate::catalogue::GROWN;
use crate::error::Error;
use crate::job::fields;
use crate::units::{plain, short, LengthUnit};
use crate::{catalogue, job, trade};
use clap::ValueEnum;
use serde::Serialize;
use serde_json::{json, Value};

/// What can be listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum ListKind {
    Patterns,
    Outlines,
    Metals,
    Blades,
    Drills,
    Gauges,
    Solders,
    Papers,
    RingSizes,
    /// Every key of a job file
    Keys,
}

pub(super) fn list(
    kind: ListKind,
    as_json: bool,
    as_page: bool,
    units: Option<&str>,
) -> Result<Outcome, Error> {
    let text = match kind {
        _ if as_json => format!("{:#}\n", Value::Array(rows(kind))),
        ListKind::Keys if as_page => fields::page(),
        ListKind::Keys => keys(if units == Some("in") { LengthUnit::Inch } else { LengthUnit::Mm }),
        kind => text(kind).text(0),
    };
    say::answer(&text)?;
    Ok(Outcome::Good)
}

/// The rows as they are kept, each with its `name` and `title`.
fn rows(kind: ListKind) -> Vec<Value> {
    match kind {
        ListKind::Patterns => patterns()
            .map(|[name, title, about, pitch, source]| {
                json!({ "name": name, "title": title, "about": about, "pitch": pitch, "source": source })
            })
            .collect(),
        ListKind::Outlines => job::outlines()
            .map(|o| json!({ "name": o.name, "title": o.title, "keys": o.keys }))
            .collect(),
        ListKind::Metals => values(trade::metals()),
        ListKind::Blades => trade::blades()
            .iter()
            .filter_map(|blade| {
                let mut row = serde_json::to_value(blade).ok()?;
                row.as_object_mut()?.insert("title".into(), json!(format!("piercing blade {}", blade.name)));
                Some(row)
            })
            .collect(),
        ListKind::Drills => values(trade::drills()),
        ListKind::Gauges => values(trade::gauges()),
        ListKind::Solders => values(trade::solders()),
        ListKind::Papers => values(trade::papers()),
        ListKind::RingSizes => values(&trade::ring_sizes()),
        ListKind::Keys => fields::listings()
            .map(|row| {
                json!({ "name": row.path, "title": row.says, "may_be": row.may_be, "left_out": row.left_out })
            })
            .collect(),
    }
}

/// Name, title, description, what the pitch measures, source: first what repeats, then what is grown.
fn patterns() -> impl Iterator<Item = [&'static str; 5]> {
    let repeating =
        catalogue::all().iter().map(|p| [p.name.as_str(), &p.title, &p.about, &p.pitch, &p.source]);
    repeating.chain(GROWN.iter().map(|g| [g.name, g.title, g.about, g.pitch, g.source]))
}

fn values<T: Serialize>(rows: &[T]) -> Vec<Value> {
    rows.iter().filter_map(|row| serde_json::to_value(row).ok()).collect()
}

/// The few columns worth reading in a terminal.
fn text(kind: ListKind) -> TextTable {
    match kind {
        ListKind::Patterns => table(&["name", "title"], patterns(), |[name, title, ..]| {
            vec![name.to_string(), title.to_string()]
        }),
        ListKind::Outlines => table(&["name", "title", "sizes"], job::outlines(), |o| {
            vec![o.name.to_string(), o.title.to_string(), o.keys.join(", ")]
        }),
        ListKind::Metals => {
            table(&["name", "title", "g/cm3", "starts to melt °C (solidus)"], trade::metals(), |m| {
                let solidus = m.solidus_c.map_or("-".to_string(), |c| plain(c, 0));
                vec![m.name.clone(), m.title.clone(), short(m.density, 2), solidus]
            })
        }
        ListKind::Blades => {
            let head = ["name", "thickness mm", "depth mm", "teeth/cm", "cut mm", "least drill mm"];
            table(&head, trade::blades(), |b| {
                let numbers = [b.thickness, b.depth, b.teeth_per_cm, b.kerf, b.hole];
                let places = [2, 2, 1, 2, 2];
                let cells = numbers.iter().zip(places).map(|(n, p)| plain(*n, p));
                std::iter::once(b.name.clone()).chain(cells).collect()
            })
        }
        ListKind::Drills => table(&["name", "mm", "inch"], trade::drills(), |d| {
            vec![d.name.clone(), plain(d.mm, 3), plain(d.mm / crate::units::MM_PER_INCH, 4)]
        }),
        ListKind::Gauges => table(&["B&S gauge", "mm", "inch"], trade::gauges(), |g| {
            vec![g.name.clone(), plain(g.mm, 2), plain(g.inch, 4)]
        }),
        ListKind::Solders => table(&["name", "for", "title", "flows at °C"], trade::solders(), |s| {
            vec![s.name.clone(), s.family.clone(), s.title.clone(), plain(s.flow_c, 0)]
        }),
        ListKind::Papers => table(&["name", "title", "width mm", "height mm"], trade::papers(), |p| {
            vec![p.name.clone(), p.title.clone(), plain(p.width, 1), plain(p.height, 1)]
        }),
        ListKind::Keys => TextTable::new(&[]),
        ListKind::RingSizes => {
            let rows = trade::ring_sizes();
            table(&["name", "inside mm", "round mm"], &rows, |r| {
                vec![r.name.clone(), plain(r.inside_mm, 2), plain(r.round_mm, 2)]
            })
        }
    }
}

/// Letters a key is given before what it is: the longest is `corner_radius`.
const KEY: usize = 16;

/// Every key under the head of its section, each in a line or two.
fn keys(units: LengthUnit) -> String {
    let mut text = String::new();
    let line = |key: &str, rest: &str| table::wrapped(&format!("  {key:<KEY$}{rest}"), 2 + KEY);
    for section in fields::sections() {
        let head = match section.path {
            "" => "top of the file".to_string(),
            path if path.contains('.') => format!("{} in [{}]", section.key(), section.parent()),
            _ => section.title(),
        };
        text += &table::wrapped(&format!("{head}  {}", section.says), 2);
        let whole = section.path == "outline";
        for f in section.all_fields().filter(|f| whole || section.fields.iter().any(|own| own.key == f.key)) {
            text += &line(f.key, &format!("{}; {}", f.says, f.kind.words(units)));
            let usual = f.usual.words(units);
            text += &line("", &if usual == "needed" { usual } else { format!("left out: {usual}") });
        }
        if section.shape.is_some() {
            let of =
                if whole { "which sizes a shape has" } else { "and the sizes of its shape, as in [outline]" };
            text += &line("", &format!("{of}: see `sawpierce list outlines`"));
        }
        text.push('\n');
    }
    text
}

fn table<T>(
    head: &[&str],
    rows: impl IntoIterator<Item = T>,
    cells: impl Fn(&T) -> Vec<String>,
) -> TextTable {
    let mut table = TextTable::new(head);
    for row in rows {
        table.row(cells(&row));
    }
    table
}
