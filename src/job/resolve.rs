//! From the text of a job file to a [`Job`] with nothing left open.

use super::part::SectionReader;
use super::shape::{self, OutlineSpec, Shape};
use super::values::Value;
use super::walk::Walk;
use super::{bench, construct, page, places, repeat, rows};
use super::{Job, LengthUnit, NamedFiles, Settings, Skill, Source};
use crate::error::{guarded, Error};
use crate::geom::Point;
use crate::reader::Reader;
use crate::units::Mm;
use std::f64::consts::PI;
use std::sync::Arc;

/// Reads a job and resolves it. `file` is the name for messages; `files` holds the bytes of the files that
/// [`needs`] lists, under the names the job gives them. All problems are reported at once.
pub fn parse(text: &str, file: &str, files: &NamedFiles, settings: &Settings) -> Result<Job, Error> {
    guarded(|| resolve(text, file, &Arc::new(files.clone()), &Arc::new(settings.clone()), None))
}

/// The same, with what is known of the job before an edit.
pub(super) fn resolve(
    text: &str,
    file: &str,
    files: &Arc<NamedFiles>,
    settings: &Arc<Settings>,
    before: Option<&Job>,
) -> Result<Job, Error> {
    let (reader, table) = Reader::open(file, text);
    if table.get_ref().is_empty() && reader.reads() {
        let todo = "`sawpierce begin` writes one to start from";
        reader.problem(0..0, "there is nothing in this job file", todo);
    } else {
        let walk = Walk::over(&reader, table.get_ref(), settings);
        let job = job(&walk, text, files, settings, before);
        if reader.is_clean() {
            return job.ok_or_else(|| {
                Error::job(format!("{file} cannot be used"), "begin anew with `sawpierce begin`")
            });
        }
    }
    drop(table);
    let wrong = reader.finish();
    wrong.and(Err(Error::job(format!("{file} cannot be used"), "begin anew with `sawpierce begin`")))
}

/// The files a job names, as it names them. An `Err` only if the text may name one and cannot be read as TOML; [`parse`] says where.
pub fn needs(text: &str) -> Result<Vec<String>, Error> {
    // Most jobs name none: a key is written out, or as a string with escapes.
    if !text.contains("file") && !text.contains('\\') {
        return Ok(Vec::new());
    }
    let (reader, table) = Reader::open("", text);
    let settings = Settings::default();
    let walk = Walk::over(&reader, table.get_ref(), &settings);
    let mut names: Vec<String> = Vec::new();
    for (path, value) in walk.values.typed() {
        match value {
            Value::Word(name) if path.ends_with(".file") && !names.iter().any(|known| known == name) => {
                names.push(name.to_string());
            }
            _ => {}
        }
    }
    match reader.reads() {
        true => Ok(names),
        false => {
            Err(Error::job("this cannot be read as a job file", "see what is said of it when it is drawn"))
        }
    }
}

fn job(
    walk: &Walk,
    text: &str,
    files: &Arc<NamedFiles>,
    settings: &Arc<Settings>,
    before: Option<&Job>,
) -> Option<Job> {
    let top = walk.part("");
    let sheet = bench::sheet(walk);
    let thick = walk.part("sheet").mm("thickness").unwrap_or(Mm(0.0));
    let outline = outline(walk, thick, files);
    let area = outline.as_ref().and_then(|o| area(&o.shape));
    let pattern = repeat::pattern(walk, files, area, before);

    let lugs = all(walk, "lug", places::lug);
    let has_lugs = walk.parts("lug").next().is_some();
    let keep_solid = all(walk, "keep_solid", |part| {
        places::keep_solid(part, files).filter(|k| on_piece(part, k.at, &k.shape, outline.as_ref()))
    });
    let windows = all(walk, "window", |part| {
        places::window(part, files).filter(|w| on_piece(part, w.at, &w.shape, outline.as_ref()))
    });
    let holes = all(walk, "hole", |part| {
        // A hole may stand in a lug, off the outline itself.
        places::hole(part).filter(|h| {
            let round = Shape::Circle { diameter: h.diameter };
            has_lugs || on_piece(part, h.at, &round, outline.as_ref())
        })
    });
    let changes = all(walk, "change", places::change);
    let rows_read = all(walk, "row", |part| rows::row(part, files));
    let middle = part_there(walk, "middle").map(|part| rows::middle(&part, files));

    let measured = bench::measured(walk, outline.as_ref().map(|o| &o.shape));
    let construction = construct::construction(walk);
    let paper = page::paper(walk);
    let wish = bench::wish(walk, pattern.as_ref().map(|p| &p.source));
    let pieces = pieces(&top);
    let file = walk.reader.file();
    Some(Job {
        file: file.to_string(),
        title: top
            .word("title")
            .map_or_else(|| in_one_line(crate::reader::stem(file)), |title| title.to_string()),
        units: top.choice("units", &[("mm", LengthUnit::Mm), ("in", LengthUnit::Inch)])?,
        skill: Skill::named(&top.word("skill")?)?,
        pieces: pieces?,
        pair: top.yes("pair")?,
        sheet: sheet?,
        outline: outline?,
        pattern: pattern?,
        rows: rows_read?,
        middle: match middle {
            Some(read) => Some(read?),
            None => None,
        },
        keep_solid: keep_solid?,
        windows: windows?,
        holes: holes?,
        lugs: lugs?,
        changes: changes?,
        limits: bench::limits(walk)?,
        saw: bench::saw(walk)?,
        measured: measured?,
        construction: construction?,
        paper: paper?,
        rates: bench::rates(walk),
        wish,
        source: Source {
            text: text.into(),
            files: files.clone(),
            settings: settings.clone(),
            values: Arc::new(walk.values.clone()),
        },
    })
}

/// Single pieces to make. A pair is two of them, so an odd number of a pair is refused.
fn pieces(top: &SectionReader) -> Option<u32> {
    let pieces = top.whole("pieces")?;
    if top.yes("pair")? && pieces % 2 != 0 {
        let todo = format!("write pieces = {}, or leave pieces out for one pair", 2 * pieces);
        top.refuse("pieces", format!("a pair is two pieces, and pieces = {pieces} is odd"), todo);
        return None;
    }
    Some(pieces)
}

/// A section, if it stands in the file.
fn part_there<'w, 'a>(walk: &'w Walk<'a>, path: &str) -> Option<SectionReader<'w, 'a>> {
    Some(walk.part(path)).filter(SectionReader::is_there)
}

/// Every section of a list; `None` if one cannot be used.
fn all<T>(walk: &Walk, path: &str, read: impl Fn(&SectionReader) -> Option<T>) -> Option<Vec<T>> {
    let read: Vec<Option<T>> = walk.parts(path).map(|part| read(&part)).collect();
    read.into_iter().collect()
}

fn outline(walk: &Walk, thickness: Mm, files: &NamedFiles) -> Option<OutlineSpec> {
    let part = walk.part("outline");
    let shape = shape::shape(&part, thickness, files);
    let (shape, border) = (shape?, part.mm("border")?);
    if let Some(across) = shape::narrowest(&shape).filter(|across| border * 2.0 >= *across) {
        part.refuse(
            "border",
            format!(
                "a border of {} on both sides leaves nothing of a piece {} across",
                part.says(border),
                part.says(across)
            ),
            "make the border narrower or the piece larger",
        );
        return None;
    }
    Some(OutlineSpec { shape, border })
}

/// Area inside the outline, mm2, where it is simply known.
fn area(shape: &Shape) -> Option<f64> {
    let (width, height) = shape::over_all(shape)?;
    let round = matches!(shape, Shape::Circle { .. } | Shape::Ellipse { .. });
    Some(width.0 * height.0 * if round { PI / 4.0 } else { 1.0 })
}

/// Whether something at `at` can touch the piece at all.
fn on_piece(part: &SectionReader, at: Point, shape: &Shape, outline: Option<&OutlineSpec>) -> bool {
    let Some((width, height)) = outline.and_then(|o| shape::over_all(&o.shape)) else { return true };
    let (w, h) = shape::over_all(shape).unwrap_or((Mm(0.0), Mm(0.0)));
    // However it is turned, it reaches no farther than half its diagonal.
    let reach = (w.0 * w.0 + h.0 * h.0).sqrt() / 2.0;
    if at.x.abs() - reach < width.0 / 2.0 && at.y.abs() - reach < height.0 / 2.0 {
        return true;
    }
    part.refuse(
        "at",
        "this place lies off the piece",
        format!("measure from the middle: the piece reaches {} across and {} up", width / 2.0, height / 2.0),
    );
    false
}

/// A file's name as a title: what would break a line is a space.
fn in_one_line(name: &str) -> String {
    name.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}
