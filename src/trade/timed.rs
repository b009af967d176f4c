//! The log of minutes really taken: plain text, one job a line, and it may be edited by hand:
//!
//! ```text
//! minutes 240 | holes 60 | line 812 | thickness 0.9 | metal copper | corners 180 | filing 45 | planned 210 | job Reed lantern
//! ```
//!
//! `minutes` at drill and saw, `filing` apart if it was timed. The job's name ends the line: a line without it was cut
//! short, and a number at its end may be cut short too. Lines that cannot be read are reported and otherwise left alone.

use crate::units::limits::MINUTES_TAKEN;
use crate::units::short;
use std::collections::BTreeMap;

/// One timed job, or a few timed openings of one.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its name, for people.
    pub job: String,
    /// Key of the metal.
    pub metal: String,
    /// mm, of everything sawn together.
    pub thickness: f64,
    /// Holes drilled and threaded.
    pub holes: f64,
    /// mm of line.
    pub line: f64,
    /// Sharp corners turned.
    pub corners: f64,
    /// Minutes at drill and saw.
    pub minutes: f64,
    /// Minutes of filing, where they were timed apart.
    pub filing: Option<f64>,
    /// What the plan had said for drill and saw.
    pub planned: Option<f64>,
}

/// A line of the log that could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadLine {
    /// From 1.
    pub line: usize,
    /// What is wrong with it and what would do.
    pub why: String,
}

/// The entry as its line of the log, without a line end.
pub fn write(entry: &Entry) -> String {
    let mut fields = vec![
        format!("minutes {}", short(entry.minutes, 2)),
        format!("holes {}", short(entry.holes, 2)),
        format!("line {}", short(entry.line, 2)),
        format!("thickness {}", short(entry.thickness, 3)),
        format!("metal {}", entry.metal),
        format!("corners {}", short(entry.corners, 2)),
    ];
    if let Some(filing) = entry.filing {
        fields.push(format!("filing {}", short(filing, 2)));
    }
    if let Some(planned) = entry.planned {
        fields.push(format!("planned {}", short(planned, 2)));
    }
    // No title at all still ends the line.
    let title: String = entry.job.chars().map(|c| if c == '|' || c.is_control() { ' ' } else { c }).collect();
    fields.push(format!("job {}", if title.trim().is_empty() { "untitled" } else { title.trim() }));
    fields.join(" | ")
}

/// Reads a log: what can be read, and what cannot with its line. Empty lines and lines that begin with # are skipped.
pub fn read(text: &str) -> (Vec<Entry>, Vec<BadLine>) {
    let mut entries = Vec::new();
    let mut bad = Vec::new();
    for (i, line) in text.lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        match read_line(line) {
            Ok(entry) => entries.push(entry),
            Err(why) => bad.push(BadLine { line: i + 1, why }),
        }
    }
    (entries, bad)
}

/// The most that is believed of each number of a line in the log: more is a damaged line, and would spoil every later estimate.
/// No limits of a job: the program writes these lines, from jobs that kept to theirs.
const MOST: [(&str, f64); 7] = [
    ("minutes", MINUTES_TAKEN.most),
    ("filing", 1e5),
    ("planned", 1e5),
    ("holes", 1e6),
    ("line", 1e7),
    ("corners", 1e7),
    ("thickness", 100.0),
];

fn read_line(line: &str) -> Result<Entry, String> {
    let fields: BTreeMap<String, &str> = line
        .split('|')
        .filter_map(|field| field.trim().split_once(char::is_whitespace))
        .map(|(key, value)| (key.to_ascii_lowercase(), value.trim()))
        .collect();
    let number = |key: &str| -> Result<Option<f64>, String> {
        let Some(text) = fields.get(key) else { return Ok(None) };
        let most = MOST.iter().find(|(name, _)| *name == key).map_or(0.0, |(_, most)| *most);
        // To a thousandth, about as it is written: less is no time and no line.
        let rounded = |n: f64| (n * 1000.0).round() / 1000.0;
        match text.replace(',', ".").parse::<f64>().map(rounded) {
            Ok(n) if (0.0..=most).contains(&n) => Ok(Some(n)),
            Ok(_) => Err(format!("{key} {text} is not between 0 and {}", short(most, 0))),
            Err(_) => Err(format!("{key} \"{text}\" is no number")),
        }
    };
    let job = fields.get("job").ok_or("it was cut short: the job's name at its end is missing")?;
    let minutes = number("minutes")?.filter(|m| *m >= MINUTES_TAKEN.least).ok_or("minutes are missing")?;
    let (holes, line) = (number("holes")?.unwrap_or(0.0), number("line")?.unwrap_or(0.0));
    if holes < 0.01 && line < 0.01 {
        return Err("neither holes nor line: nothing was sawn".into());
    }
    let metal = fields.get("metal").copied().unwrap_or("sterling-silver").to_string();
    if super::metal(&metal).is_none() {
        return Err(format!("metal \"{metal}\" is not known"));
    }
    Ok(Entry {
        job: job.to_string(),
        metal,
        thickness: number("thickness")?.filter(|t| *t > 0.0).unwrap_or(0.8),
        holes,
        line,
        corners: number("corners")?.unwrap_or(0.0),
        minutes,
        filing: number("filing")?.filter(|f| *f >= 0.01),
        planned: number("planned")?.filter(|p| *p >= 0.01),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_comes_back_as_it_went_and_bad_lines_survive() {
        let entry = Entry {
            job: "Reed | lantern".into(),
            metal: "sterling-silver".into(),
            thickness: 0.8,
            holes: 60.0,
            line: 812.5,
            corners: 180.0,
            minutes: 240.0,
            filing: Some(45.0),
            planned: None,
        };
        let text = format!(
            "# my log\n\nnonsense\n{}\nminutes NaN | holes 3 | job a\nminutes 5 | holes 2 | metal tin | job b",
            write(&entry)
        );
        let (read, bad) = read(&text);
        assert_eq!(read, vec![Entry { job: "Reed   lantern".into(), ..entry }]);
        assert_eq!(bad.iter().map(|b| b.line).collect::<Vec<_>>(), [3, 5, 6]);
    }

    #[test]
    fn a_line_cut_inside_a_number_is_not_read_as_a_smaller_number() {
        let whole =
            "minutes 240 | holes 60 | line 812.5 | thickness 0.9 | metal copper | corners 180 | job Reed";
        assert_eq!(read(whole).0.len(), 1);
        for cut in 0..whole.find("job").unwrap_or(0) {
            let (read, bad) = read(&whole[..cut]);
            assert!(read.is_empty() && bad.len() == usize::from(cut > 0), "{}", &whole[..cut]);
        }
    }

    #[test]
    fn a_time_that_rounds_to_nothing_is_none() {
        let (read, bad) =
            read("minutes 1e-300 | holes 3 | job a\nminutes 5 | holes 1e-9 | line 1e-300 | job b");
        assert!(read.is_empty() && bad.len() == 2, "{read:?}");
    }

    #[test]
    fn numbers_no_job_can_have_are_refused() {
        for line in [
            "minutes 1e300 | holes 3 | job a",
            "minutes 5 | holes 1e9 | job a",
            "minutes 5 | line 1e308 | job a",
        ] {
            let (read, bad) = read(line);
            assert!(read.is_empty() && bad[0].why.contains("is not between 0 and"), "{line}: {bad:?}");
        }
    }
}
