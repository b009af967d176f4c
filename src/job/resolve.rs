//! From the text of a job file to a [`Job`] with nothing left open.

use super::read::{Reader, Section, TOP_NAME};
use super::{bench, construct, defaults, keys, page, places, repeat, shape};
use super::{Job, LengthUnit, NamedFiles, OutlineSpec, Settings, Shape, Skill};
use crate::error::Error;
use crate::units::limits::{BORDER, OUTLINE, PIECES};
use crate::units::Mm;
use kurbo::Point;
use std::f64::consts::PI;

/// Reads a job and resolves it. `file` is the name for messages; `files` holds the bytes of the files that
/// [`needs`] lists, under the names the job gives them. All problems are reported at once.
pub fn parse(text: &str, file: &str, files: &NamedFiles, settings: &Settings) -> Result<Job, Error> {
    let (reader, table) = Reader::open(file, text.strip_prefix('\u{feff}').unwrap_or(text));
    let top = Section::new(&reader, TOP_NAME, table.get_ref(), 0..0);
    let job = walk(&top, file, files, settings);
    drop(top);
    drop(table);
    reader.finish()?;
    job.ok_or_else(|| Error::job(format!("{file} cannot be used"), "begin anew with `sawpierce begin`"))
}

/// The files a job names, as it names them. An `Err` only if the text does not read as TOML; [`parse`] says where.
pub fn needs(text: &str) -> Result<Vec<String>, Error> {
    let (reader, table) = Reader::open("", text.strip_prefix('\u{feff}').unwrap_or(text));
    let top = Section::new(&reader, TOP_NAME, table.get_ref(), 0..0);
    let mut names: Vec<String> = Vec::new();
    let single = ["pattern", "outline"].into_iter().filter_map(|key| top.table(key));
    let several = ["window", "keep_solid"].into_iter().flat_map(|key| top.tables(key));
    for section in single.chain(several) {
        if let Some(name) = section.text("file") {
            if !names.iter().any(|known| known == name) {
                names.push(name.to_string());
            }
        }
    }
    match reader.reads() {
        true => Ok(names),
        false => {
            Err(Error::job("this does not read as a job file", "see what is said of it when it is drawn"))
        }
    }
}

fn walk(top: &Section, file: &str, files: &NamedFiles, settings: &Settings) -> Option<Job> {
    if top.is_empty() && top.reader.reads() {
        top.refuse("", "there is nothing in this job file", "`sawpierce begin` writes one to start from");
        return None;
    }
    top.knows(keys::TOP);
    let units =
        top.choice("units", &[("mm", LengthUnit::Mm), ("in", LengthUnit::Inch)]).unwrap_or(LengthUnit::Mm);
    top.reader.units.set(units);
    let skills = [("first", Skill::First), ("practised", Skill::Practised), ("fine-work", Skill::FineWork)];
    let skill = top.choice("skill", &skills).unwrap_or(Skill::First);
    let title = top.text("title");
    let pair = top.yes("pair").unwrap_or(false);
    let pieces = pieces(top, pair);

    let sheet_section = top.need("sheet", top.table("sheet"), "add [sheet] with metal = \"copper\"");
    let thickness = sheet_section.as_ref().and_then(bench::thickness);
    let sheet = sheet_section.as_ref().and_then(|s| bench::sheet(s, thickness));
    let thick = thickness.unwrap_or(defaults::THICKNESS);
    let limits = bench::limits(top.table("limits").as_ref(), defaults::limits(skill, thick));
    let saw = bench::saw(top.table("saw").as_ref(), skill);
    let clean_up = saw.as_ref().map_or(defaults::clean_up(skill), |saw| saw.clean_up);
    // Both sides of a bridge and of the border are sawn.
    let (least_bridge, least_border) = (limits.bridge + clean_up * 2.0, limits.border + clean_up * 2.0);

    let outline_section = top.need("outline", top.table("outline"), "add [outline] with shape and size");
    let outline = outline_section.as_ref().and_then(|s| outline(s, least_border, thick, files));
    let area = outline.as_ref().and_then(|o| area(&o.shape));
    let pattern_section = top.need("pattern", top.table("pattern"), "add [pattern] with name = \"hexagon\"");
    let pattern = pattern_section.as_ref().and_then(|s| repeat::pattern(s, files, least_bridge, area));
    let bridge = pattern.as_ref().map_or(least_bridge, |p| p.bridge);

    let mut whole = true;
    let mut kept = |read: bool| whole &= read;
    let mut keep_solid = Vec::new();
    let mut windows = Vec::new();
    let mut holes = Vec::new();
    let mut lugs = Vec::new();
    let mut changes = Vec::new();
    for section in top.tables("keep_solid") {
        let read = places::keep_solid(&section, files)
            .filter(|k| on_piece(&section, k.at, &k.shape, outline.as_ref()));
        kept(read.is_some());
        keep_solid.extend(read);
    }
    for section in top.tables("window") {
        let read = places::window(&section, bridge, files)
            .filter(|w| on_piece(&section, w.at, &w.shape, outline.as_ref()));
        kept(read.is_some());
        windows.extend(read);
    }
    for section in top.tables("lug") {
        let read = places::lug(&section);
        kept(read.is_some());
        lugs.extend(read);
    }
    for section in top.tables("hole") {
        // A hole may stand in a lug, off the outline itself.
        let read = places::hole(&section).filter(|h| {
            let round = Shape::Circle { diameter: h.diameter };
            !lugs.is_empty() || on_piece(&section, h.at, &round, outline.as_ref())
        });
        kept(read.is_some());
        holes.extend(read);
    }
    for section in top.tables("change") {
        let read = places::change(&section);
        kept(read.is_some());
        changes.extend(read);
    }

    let measured = bench::measured(top.table("measured").as_ref(), outline.as_ref().map(|o| &o.shape));
    let construction = construct::construction(top.table("construction").as_ref(), skill, thick);
    let paper = page::paper(top.table("paper").as_ref(), settings);
    let rates = bench::rates(top.table("rates").as_ref(), &settings.rates);
    let wish = top.table("wish").as_ref().and_then(bench::wish);
    whole.then_some(())?;
    Some(Job {
        file: file.to_string(),
        title: title.map_or_else(|| stem(file).to_string(), str::to_string),
        units,
        skill,
        pieces: pieces?,
        pair,
        sheet: sheet?,
        outline: outline?,
        pattern: pattern?,
        keep_solid,
        windows,
        holes,
        lugs,
        changes,
        limits,
        saw: saw?,
        measured: measured?,
        construction: construction?,
        paper: paper?,
        rates,
        wish,
    })
}

/// Single pieces to make. A pair is two of them, so an odd number of a pair is refused.
fn pieces(top: &Section, pair: bool) -> Option<u32> {
    let each = if pair { 2 } else { 1 };
    if !top.has("pieces") {
        return Some(each);
    }
    let pieces = top.whole("pieces", &PIECES)?;
    if pieces % each != 0 {
        let todo = format!("write pieces = {}, or leave pieces out for one pair", 2 * pieces);
        top.refuse("pieces", format!("a pair is two pieces, and pieces = {pieces} is odd"), todo);
        return None;
    }
    Some(pieces)
}

/// `least` is the border of a job that names none.
fn outline(section: &Section, least: Mm, thickness: Mm, files: &NamedFiles) -> Option<OutlineSpec> {
    let shape = shape::shape(section, keys::OUTLINE, &OUTLINE, thickness, files);
    let border = match section.has("border") {
        true => section.length("border", &BORDER),
        false => Some(least),
    };
    let (shape, border) = (shape?, border?);
    if let Some(across) = shape::narrowest(&shape).filter(|across| border * 2.0 >= *across) {
        section.refuse(
            "border",
            format!("a border of {border} on both sides leaves nothing of a piece {across} across"),
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
fn on_piece(section: &Section, at: Point, shape: &Shape, outline: Option<&OutlineSpec>) -> bool {
    let Some((width, height)) = outline.and_then(|o| shape::over_all(&o.shape)) else { return true };
    let (w, h) = shape::over_all(shape).unwrap_or((Mm(0.0), Mm(0.0)));
    // However it is turned, it reaches no farther than half its diagonal.
    let reach = w.0.hypot(h.0) / 2.0;
    if at.x.abs() - reach < width.0 / 2.0 && at.y.abs() - reach < height.0 / 2.0 {
        return true;
    }
    section.refuse(
        "at",
        "this place lies off the piece",
        format!("measure from the middle: the piece reaches {} across and {} up", width / 2.0, height / 2.0),
    );
    false
}

/// The file's name without folder and ending.
fn stem(file: &str) -> &str {
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    name.strip_suffix(".toml").unwrap_or(name)
}
