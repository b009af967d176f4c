//! Every pattern that repeats, fitted to eleven outlines at two pitches: how it looks beside the pattern's own cells.
//!
//! `cargo bench --bench fit [WORD...]` prints a table; only patterns and outlines named are made, if any are.
//! `--cells N` makes them of about so many cells in the circle instead, with bridges and drill as much finer.
//! `--sheet FILE.svg` draws them all on one sheet to be looked at, `--border trim` in another way, `--fine`, `--coarse` at one
//! pitch only, `--each` a line for each piece, `--pairs FILE` only the pieces listed in it (`PATTERN OUTLINE`, one a line).
//! `--speed` prints what the first good fit and the best cost in discs of 300 to 5,000 cells, whole and with a place kept solid
//! beside the middle, which leaves no symmetry.
//!
//! Milliseconds are those this thread really ran for, where the system tells.

use sawpierce::catalogue::{self, Fills, Pattern};
use sawpierce::geom::{inscribed_circle, Boundary, Isometry, Ring};
use sawpierce::job::{parse, NamedFiles, Settings};
use sawpierce::openings::{first_piece, piece, Piece, DRILL_CLEARANCE};
use sawpierce::outline::outline;
use std::fmt::Write;

#[path = "clock/mod.rs"]
mod clock;
use clock::now;

/// Outlines of about the same size, border 2.2 mm.
const OUTLINES: [(&str, &str); 11] = [
    ("circle", "shape = \"circle\"\ndiameter = 40"),
    ("ellipse", "shape = \"ellipse\"\nwidth = 44\nheight = 32"),
    ("heart", "shape = \"heart\"\nwidth = 42\nheight = 40"),
    ("teardrop", "shape = \"teardrop\"\nwidth = 32\nheight = 44"),
    ("marquise", "shape = \"marquise\"\nwidth = 28\nheight = 46"),
    ("crescent", "shape = \"crescent\"\nwidth = 38\nheight = 46"),
    ("hexagon-edge", "shape = \"polygon\"\nsides = 6\nacross = 42"),
    ("rectangle", "shape = \"rectangle\"\nwidth = 42\nheight = 29"),
    ("cushion", "shape = \"cushion\"\nwidth = 37\nheight = 37"),
    ("ring", "shape = \"circle\"\ndiameter = 44"),
    ("pad", "shape = \"ellipse\"\nwidth = 44\nheight = 38"),
];

/// Area of the circle's field, mm2.
const CIRCLE_FIELD: f64 = 1058.0;
/// Mean area of a cell, mm2: about 50 and 30 in the circle.
const CELLS: [(&str, f64); 2] = [("fine", 20.5), ("coarse", 33.0)];

/// The drill goes into this part of the pattern's own narrowest opening: a maker would not take a wider one.
const SPARE: f64 = 0.7;
/// Nor a finer one than this for cells of the usual size, mm.
const LEAST_DRILL: f64 = 0.3;
/// Bridges are drawn for cells of this area, mm2; smaller cells get as much finer ones.
const USUAL: f64 = 20.0;

fn text(pattern: &Pattern, name: &str, edge: &str, cell: f64, border: &str) -> String {
    let finer = (cell / USUAL).sqrt().min(1.0);
    let bridge = 1.1 * finer;
    let mean = pattern.repeat_area() / pattern.shapes.len() as f64;
    let pitch = (cell / mean).sqrt();
    let across = |ring: &Ring| 2.0 * inscribed_circle(&ring.scaled(pitch)).radius - bridge;
    let narrowest = pattern.shapes.iter().map(|s| across(&s.ring)).fold(f64::INFINITY, f64::min);
    let drill = (SPARE * narrowest - DRILL_CLEARANCE).clamp(LEAST_DRILL * finer, finer);
    let more = match name {
        "ring" => {
            "[[window]]\nname = \"stone\"\nshape = \"circle\"\ndiameter = 12\nat = [0, 0]\nborder = 2.2\n"
        }
        "pad" => "[[keep_solid]]\nname = \"pad\"\nshape = \"circle\"\ndiameter = 8\nat = [7, 3]\n",
        _ => "",
    };
    format!(
        "[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\n{edge}\nborder = 2.2\n[pattern]\nname = \"{}\"\n\
         pitch = {pitch:.3}\nbridge = {bridge:.3}\nturn = {}\nat_border = \"{border}\"\ncentre = \"best\"\n{more}[saw]\nblade = \"4/0\"\ndrill = {drill:.2}\n",
        pattern.name, pattern.upright
    )
}

struct Made {
    piece: Piece,
    ms: f64,
    /// Of the first good fit.
    first_ms: f64,
}

fn make(text: &str) -> Result<Made, String> {
    let job =
        parse(text, "bench.toml", &NamedFiles::new(), &Settings::default()).map_err(|e| e.to_string())?;
    let drawn = outline(&job).map_err(|e| e.to_string())?;
    let again = drawn.clone();
    let start = now();
    let piece = piece(&job, drawn).map_err(|e| e.to_string())?;
    let ms = now() - start;
    let start = now();
    first_piece(&job, again).map_err(|e| e.to_string())?;
    Ok(Made { piece, ms, first_ms: now() - start })
}

/// The farthest that any vertex of the openings lies from the openings' lines once it is carried to its image, mm, for the
/// symmetries that are kept.
fn asymmetry(piece: &Piece, symmetries: &[Isometry]) -> f64 {
    let lines = Boundary::of_edges(piece.openings.iter().flat_map(|o| o.ring.edges()).collect());
    let vertices = || piece.openings.iter().flat_map(|o| o.ring.vertices());
    let far = |by: &Isometry| vertices().map(|v| lines.distance(by.carry(v.at))).fold(0.0, f64::max);
    symmetries.iter().map(far).fold(0.0, f64::max)
}

/// What is told of one pattern, and of all.
#[derive(Default)]
struct Row {
    pieces: usize,
    /// Those that the border cuts in place of bending them.
    cut: usize,
    rho: Vec<f64>,
    score: Vec<f64>,
    spread: Vec<f64>,
    sharpest: Vec<f64>,
    stretched: Vec<f64>,
    asymmetry: Vec<f64>,
    ms: Vec<f64>,
    first_ms: Vec<f64>,
}

impl Row {
    fn add(&mut self, made: &Made) {
        self.ms.push(made.ms);
        let Some(q) = made.piece.resolved.border.as_ref().and_then(|b| b.quality.as_ref()) else { return };
        self.first_ms.push(made.first_ms);
        self.cut += usize::from(q.cut);
        self.rho.push(q.narrowest);
        self.score.push(q.score);
        self.spread.push(q.spread);
        self.sharpest.push(q.sharpest);
        self.stretched.push(q.stretched);
        self.asymmetry.push(asymmetry(&made.piece, &q.symmetries));
    }

    fn join(&mut self, other: Row) {
        self.pieces += other.pieces;
        self.cut += other.cut;
        self.rho.extend(other.rho);
        self.score.extend(other.score);
        self.spread.extend(other.spread);
        self.sharpest.extend(other.sharpest);
        self.stretched.extend(other.stretched);
        self.asymmetry.extend(other.asymmetry);
        self.ms.extend(other.ms);
        self.first_ms.extend(other.first_ms);
    }

    fn line(&self, name: &str) -> String {
        let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len().max(1) as f64;
        let most = |v: &[f64]| v.iter().copied().fold(0.0, f64::max);
        let least = |v: &[f64]| v.iter().copied().fold(f64::INFINITY, f64::min);
        if self.rho.is_empty() {
            return format!(
                "| {name} | 0 of {} | | | | | | | | | {:.0} / {:.0} |",
                self.pieces,
                mean(&self.ms),
                most(&self.ms)
            );
        }
        format!(
            "| {name} | {} of {} | {} | {:.2} / {:.2} | {:.2} / {:.2} | {:.2} | {:.0} | {:.2} / {:.2} | {:.0e} | {:.0} / {:.0} | {:.0} / {:.0} |",
            self.rho.len(),
            self.pieces,
            self.cut,
            least(&self.rho),
            mean(&self.rho),
            mean(&self.score),
            most(&self.score),
            mean(&self.spread),
            least(&self.sharpest),
            mean(&self.stretched),
            most(&self.stretched),
            most(&self.asymmetry),
            mean(&self.first_ms),
            most(&self.first_ms),
            mean(&self.ms),
            most(&self.ms)
        )
    }
}

/// A piece drawn at `(x, y)` of a sheet, its middle there.
fn draw(sheet: &mut String, piece: &Piece, x: f64, y: f64, label: &str) {
    let _ = write!(sheet, "<g transform=\"translate({x} {y}) scale(1 -1)\"><path fill=\"#b8b8b8\" stroke=\"#333\" stroke-width=\"0.15\" fill-rule=\"evenodd\" d=\"{}", piece.outline.edge.to_path().to_svg());
    for window in &piece.outline.windows {
        let _ = write!(sheet, " {}", window.ring.to_path().to_svg());
    }
    sheet.push_str("\"/><path fill=\"#fff\" stroke=\"#333\" stroke-width=\"0.1\" d=\"");
    for opening in &piece.openings {
        let _ = write!(sheet, " {}", opening.ring.to_path().to_svg());
    }
    let _ = write!(
        sheet,
        "\"/></g><text x=\"{x}\" y=\"{}\" font-size=\"2.6\" text-anchor=\"middle\">{label}</text>",
        y - 25.0
    );
}

/// Patterns whose cost is told, and of how many cells.
const TIMED: [&str; 6] = ["hexagon", "square", "kites", "running-bond", "fish-scale", "star-and-cross"];
const TIMED_CELLS: [f64; 3] = [300.0, 1000.0, 5000.0];

fn speed(words: &[String]) {
    println!("| pattern | cells | first, ms | best, ms | vertices bent | score |\n|---|---|---|---|---|---|");
    for name in TIMED.iter().filter(|n| words.is_empty() || words.iter().any(|w| w == **n)) {
        let Some(pattern) = catalogue::find(name) else { continue };
        for (cells, pad) in TIMED_CELLS.iter().flat_map(|c| [(*c, false), (*c, true)]) {
            let across = (CELLS[0].1 * cells * 4.0 / std::f64::consts::PI).sqrt() + 3.3;
            let edge = format!("shape = \"circle\"\ndiameter = {across:.1}");
            let text = text(&pattern, if pad { "pad" } else { "disc" }, &edge, CELLS[0].1, "fit");
            match make(&text) {
                Err(wrong) => println!("| {name} | {cells} | {wrong} |"),
                Ok(made) => {
                    let how = made.piece.resolved.border.as_ref();
                    let score = how.and_then(|h| h.quality.as_ref()).map_or("refused".into(), |q| {
                        format!("{:.2}{}", q.score, if q.cut { " cut" } else { "" })
                    });
                    println!(
                        "| {name} | {}{} | {:.0} | {:.0} | {} | {score} |",
                        made.piece.openings.len(),
                        if pad { " beside a pad" } else { "" },
                        made.first_ms,
                        made.ms,
                        how.map_or(0, |h| h.bent)
                    );
                }
            }
        }
    }
}

fn main() {
    let mut words: Vec<String> = std::env::args().skip(1).filter(|a| a != "--bench").collect();
    let mut option = |name: &str, value: bool| {
        let k = words.iter().position(|w| w == name)?;
        let taken = words.remove(k);
        Some(if value && k < words.len() { words.remove(k) } else { taken })
    };
    let sheet_file = option("--sheet", true);
    if option("--speed", false).is_some() {
        return speed(&words);
    }
    let border = option("--border", true).unwrap_or("fit".into());
    let (fine, coarse) = (option("--fine", false).is_some(), option("--coarse", false).is_some());
    let each = option("--each", false).is_some();
    let pairs = option("--pairs", true);
    let count: Option<f64> = option("--cells", true).and_then(|n| n.parse().ok());
    let cells = match count {
        Some(n) => vec![("as asked", CIRCLE_FIELD / n)],
        None => CELLS
            .iter()
            .copied()
            .filter(|(w, _)| !(fine && *w == "coarse" || coarse && *w == "fine"))
            .collect(),
    };
    let is_outline = |w: &String| OUTLINES.iter().any(|(n, _)| n == w);
    let outlines: Vec<_> = OUTLINES
        .iter()
        .filter(|(n, _)| !words.iter().any(is_outline) || words.iter().any(|w| w == n))
        .collect();
    let named = |p: &Pattern| words.iter().all(is_outline) || words.contains(&p.name);
    let pairs: Option<Vec<(String, String)>> = pairs.map(|file| {
        let text = std::fs::read_to_string(&file).unwrap_or_default();
        text.lines().filter_map(|l| l.split_once(' ')).map(|(p, o)| (p.into(), o.trim().into())).collect()
    });
    let paired =
        |p: &str, o: &str| pairs.as_ref().is_none_or(|all| all.iter().any(|(a, b)| a == p && b == o));
    let patterns: Vec<_> = catalogue::all().iter().filter(|p| p.fills == Fills::Plane && named(p)).collect();

    let (mut sheet, mut row) = (String::new(), 0);
    let (mut all, mut refused) = (Row::default(), Vec::new());
    println!("| pattern | fitted | of them cut | rho least / mean | score mean / worst | area spread | least angle | stretch mean / worst | asymmetry, mm | first, ms mean / most | best, ms mean / most |");
    println!("|---|---|---|---|---|---|---|---|---|---|---|");
    for pattern in &patterns {
        let mut told = Row::default();
        for (which, cell) in &cells {
            for (k, (name, edge)) in outlines.iter().filter(|(o, _)| paired(&pattern.name, o)).enumerate() {
                let text = text(pattern, name, edge, *cell, &border);
                told.pieces += 1;
                let made = match make(&text) {
                    Ok(made) => made,
                    Err(wrong) => {
                        refused.push(format!("{} {name} {which}: {wrong}", pattern.name));
                        continue;
                    }
                };
                told.add(&made);
                let how = made.piece.resolved.border.as_ref();
                let mut label = format!("{} {name} n{}", pattern.name, made.piece.openings.len());
                if let Some(q) = how.and_then(|how| how.quality.as_ref()) {
                    let cut = if q.cut { " cut" } else { "" };
                    let _ = write!(label, "{cut} r{:.2} E{:.2}", q.narrowest, q.score);
                }
                if let Some(why) = how.and_then(|how| how.why.as_ref()) {
                    refused.push(format!("{} {name} {which}: {why}", pattern.name));
                    label.push_str(" REFUSED");
                }
                if each {
                    let bent = how.map_or(0, |how| how.bent);
                    println!("    {label} {:.0} ms, {bent} bent", made.ms);
                }
                if sheet_file.is_some() {
                    draw(&mut sheet, &made.piece, 26.0 + 52.0 * k as f64, 30.0 + 54.0 * row as f64, &label);
                }
            }
            row += 1;
        }
        println!("{}", told.line(&pattern.name));
        all.join(told);
    }
    println!("{}", all.line("all"));
    println!("\nNot fitted:\n");
    refused.iter().for_each(|refused| println!("- {refused}"));
    if let Some(file) = sheet_file {
        let (width, height) = (52 * outlines.len(), 54 * row + 6);
        let head = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\"><rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>");
        if let Err(wrong) = std::fs::write(&file, head + &sheet + "</svg>") {
            eprintln!("{file}: {wrong}");
        }
    }
}
