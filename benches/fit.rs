//! Every pattern that repeats, fitted to eleven outlines at two pitches: how it looks beside the pattern's own cells.
//!
//! `cargo bench --bench fit [WORD...]` prints a table; only patterns and outlines named are made, if any are.
//! `--sheet FILE.svg` draws them all on one sheet to be looked at, `--border trim` in another way, `--fine`, `--coarse` at one
//! pitch only, `--each` a line for each piece.

use sawpierce::catalogue::{self, Fills, Pattern};
use sawpierce::job::{parse, NamedFiles, Settings};
use sawpierce::openings::{piece, Piece};
use sawpierce::outline::outline;
use std::fmt::Write;
use std::time::Instant;

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

/// Mean area of a cell, mm2: about 50 and 30 in the circle.
const CELLS: [(&str, f64); 2] = [("fine", 20.5), ("coarse", 33.0)];

fn text(pattern: &Pattern, name: &str, edge: &str, cell: f64, border: &str) -> String {
    let mean = pattern.repeat_area() / pattern.shapes.len() as f64;
    let pitch = (cell / mean).sqrt();
    let more = match name {
        "ring" => {
            "[[window]]\nname = \"stone\"\nshape = \"circle\"\ndiameter = 12\nat = [0, 0]\nborder = 2.2\n"
        }
        "pad" => "[[keep_solid]]\nname = \"pad\"\nshape = \"circle\"\ndiameter = 8\nat = [7, 3]\n",
        _ => "",
    };
    format!(
        "[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\n{edge}\nborder = 2.2\n[pattern]\nname = \"{}\"\n\
         pitch = {pitch:.3}\nbridge = 1.1\nturn = {}\nat_border = \"{border}\"\ncentre = \"best\"\n{more}[saw]\nblade = \"4/0\"\ndrill = 1.0\n",
        pattern.name, pattern.upright
    )
}

struct Made {
    piece: Piece,
    ms: f64,
}

fn make(text: &str) -> Result<Made, String> {
    let job =
        parse(text, "bench.toml", &NamedFiles::new(), &Settings::default()).map_err(|e| e.to_string())?;
    let drawn = outline(&job).map_err(|e| e.to_string())?;
    let start = Instant::now();
    let piece = piece(&job, drawn).map_err(|e| e.to_string())?;
    Ok(Made { piece, ms: start.elapsed().as_secs_f64() * 1e3 })
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

fn main() {
    let mut words: Vec<String> = std::env::args().skip(1).filter(|a| a != "--bench").collect();
    let mut option = |name: &str, value: bool| {
        let k = words.iter().position(|w| w == name)?;
        let taken = words.remove(k);
        Some(if value && k < words.len() { words.remove(k) } else { taken })
    };
    let sheet_file = option("--sheet", true);
    let border = option("--border", true).unwrap_or("fit".into());
    let (fine, coarse) = (option("--fine", false).is_some(), option("--coarse", false).is_some());
    let each = option("--each", false).is_some();
    let is_outline = |w: &String| OUTLINES.iter().any(|(n, _)| n == w);
    let outlines: Vec<_> = OUTLINES
        .iter()
        .filter(|(n, _)| !words.iter().any(is_outline) || words.iter().any(|w| w == n))
        .collect();
    let named = |p: &Pattern| words.iter().all(is_outline) || words.contains(&p.name);
    let patterns: Vec<_> = catalogue::all().iter().filter(|p| p.fills == Fills::Plane && named(p)).collect();

    let (mut sheet, mut row) = (String::new(), 0);
    let (mut pieces, mut accepted, mut sum_rho, mut times) = (0, 0, 0.0, Vec::new());
    println!("pattern                     pieces  fit  rho least  mean   E worst  mean   ms mean  most");
    for pattern in &patterns {
        let (mut rhos, mut scores, mut ms, mut count) = (Vec::new(), Vec::new(), Vec::new(), 0);
        let mut refused = Vec::new();
        for (which, cell) in CELLS.iter().filter(|(w, _)| !(fine && *w == "coarse" || coarse && *w == "fine"))
        {
            for (k, (name, edge)) in outlines.iter().enumerate() {
                let text = text(pattern, name, edge, *cell, &border);
                count += 1;
                let made = match make(&text) {
                    Ok(made) => made,
                    Err(wrong) => {
                        refused.push(format!("{name} {which}: {wrong}"));
                        continue;
                    }
                };
                ms.push(made.ms);
                let how = made.piece.resolved.border.as_ref();
                let mut label = format!("{} {name} n{}", pattern.name, made.piece.openings.len());
                if let Some(how) = how {
                    if let (Some(score), Some(narrowest)) = (how.score, how.narrowest) {
                        rhos.push(narrowest);
                        scores.push(score);
                        let _ = write!(label, " r{narrowest:.2} E{score:.2}");
                    }
                    if let Some(why) = &how.why {
                        refused.push(format!("{name} {which}: {why}"));
                        label.push_str(" REFUSED");
                    }
                }
                if each {
                    println!("    {label} {:.0} ms", made.ms);
                }
                if sheet_file.is_some() {
                    draw(&mut sheet, &made.piece, 26.0 + 52.0 * k as f64, 30.0 + 54.0 * row as f64, &label);
                }
            }
            row += 1;
        }
        let least = rhos.iter().copied().fold(f64::INFINITY, f64::min);
        let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len().max(1) as f64;
        let most = |v: &[f64]| v.iter().copied().fold(0.0, f64::max);
        println!(
            "{:<28}{count:>4} {:>5}      {least:.2}  {:.2}     {:.2}  {:.2}     {:>5.0} {:>5.0}",
            pattern.name,
            rhos.len(),
            mean(&rhos),
            most(&scores),
            mean(&scores),
            mean(&ms),
            most(&ms)
        );
        for refused in refused {
            println!("        {refused}");
        }
        pieces += count;
        accepted += rhos.len();
        sum_rho += rhos.iter().sum::<f64>();
        times.extend(ms);
    }
    times.sort_by(f64::total_cmp);
    println!(
        "{accepted} of {pieces} pieces fitted, smallest rho {:.2} on average; {:.0} ms each on average, {:.0} ms median, {:.0} ms most",
        sum_rho / accepted.max(1) as f64,
        times.iter().sum::<f64>() / times.len().max(1) as f64,
        times.get(times.len() / 2).copied().unwrap_or(0.0),
        times.last().copied().unwrap_or(0.0)
    );
    if let Some(file) = sheet_file {
        let (width, height) = (52 * outlines.len(), 54 * row + 6);
        let head = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\"><rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>");
        if let Err(wrong) = std::fs::write(&file, head + &sheet + "</svg>") {
            eprintln!("{file}: {wrong}");
        }
    }
}
