//! The parts a piece is built from, each with its own number and its sum.

use super::bench::{sharp_corners, Bench};
use crate::geom::Ring;
use crate::job::{RimSits, Shape};
use crate::trade::{fits, ring_sizes};
use crate::units::{plain, short};

/// One size of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// Key in JSON: "length_mm".
    pub key: &'static str,
    /// On paper: "length".
    pub label: &'static str,
    pub value: f64,
    /// What was planned, where a measured size changed it.
    pub was: Option<f64>,
}

/// A part to cut, with how its sizes were worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    pub part: String,
    pub count: u32,
    pub sizes: Vec<Size>,
    pub sum: String,
    pub source: &'static str,
    /// Where bends fall, mm from the seam, for strips round corners.
    pub bends: Vec<f64>,
    pub notes: Vec<String>,
}

impl Part {
    pub(crate) fn new(
        part: impl Into<String>,
        count: u32,
        sum: impl Into<String>,
        source: &'static str,
    ) -> Self {
        Self {
            part: part.into(),
            count,
            sizes: Vec::new(),
            sum: sum.into(),
            source,
            bends: Vec::new(),
            notes: Vec::new(),
        }
    }

    fn size(mut self, key: &'static str, label: &'static str, value: f64) -> Self {
        self.sizes.push(Size { key, label, value, was: None });
        self
    }

    fn note(mut self, note: impl Into<String>) -> Self {
        self.notes.push(note.into());
        self
    }

    /// The value under a key.
    pub fn get(&self, key: &str) -> Option<f64> {
        self.sizes.iter().find(|s| s.key == key).map(|s| s.value)
    }
}

const STRIP: &str =
    "J. Burton, Accurately size rings, jewellers' forum: length at the middle of the thickness";
const BEZEL: &str = "supplier formula table: bezel length = (stone + strip) x pi; play: common practice";
const PRACTICE: &str = "common practice";
const DOME: &str = "cap of a ball: the hypotenuse rule of sheet-metal handbooks, and the curve over the top";
const CONE: &str = "truncated-cone layout as published in sheet-metal handbooks";
const WIDE: &str = "B. G. Knuth, Jeweler's Resource, ring blank lengths: add 0.5 mm over 4 mm wide";

/// Band wider than this gets the wide-band allowance, mm.
pub const WIDE_BAND: f64 = 4.0;
/// The allowance, mm of length.
pub const WIDE_BAND_ADDS: f64 = 0.5;
/// Filed from each end of a strip before the seam is closed, mm (common practice).
pub const END_FILING: f64 = 0.1;
/// Cut strips this much long and file to fit, mm (common practice 0.3 to 0.6).
pub const CUT_LONG: f64 = 0.5;

/// Every part, in the order they are made.
pub fn parts(bench: &Bench) -> Vec<Part> {
    let mut parts = Vec::new();
    parts.extend(blanks(bench));
    parts.extend(rim(bench));
    parts.extend(back(bench));
    parts.extend(seat(bench));
    parts.extend(jump_rings(bench));
    for part in &mut parts {
        part.count *= bench.pieces;
    }
    parts
}

/// Flat shapes that are bent: band, cone, dome.
fn blanks(bench: &Bench) -> Vec<Part> {
    let mut parts = Vec::new();
    match bench.job.outline.shape {
        Shape::Band { inside, width, thickness, .. } => {
            parts.push(band(inside.get(), thickness.get(), width.get(), &bench.piece.resolved.repeats));
        }
        Shape::Cone { top, bottom, height } => parts.push(cone(top.get(), bottom.get(), height.get())),
        _ => {}
    }
    let height = bench.job.construction.dome.get();
    if height > 0.0 && height <= bench.size.0.min(bench.size.1) / 2.0 {
        parts.push(dome(bench.size.0.min(bench.size.1), height));
    }
    parts
}

/// A band's blank with both faces and the other systems beside it.
pub fn band(inside: f64, thickness: f64, width: f64, repeats: &[u32]) -> Part {
    let length = fits::band_blank(inside, thickness);
    let (outer, inner) = ((inside + 2.0 * thickness) / (inside + thickness), inside / (inside + thickness));
    let mut part = Part::new(
        "band blank",
        1,
        format!("π × ({} + {}) = {}", plain(inside, 2), plain(thickness, 2), plain(length, 2)),
        STRIP,
    )
    .size("length_mm", "length", length)
    .size("width_mm", "width", width)
    .size("outside_face_mm", "round the outside face", length * outer)
    .size("inside_face_mm", "round the inside face", length * inner);
    if width > WIDE_BAND {
        part = part.size("wide_band_adds_mm", "wide-band allowance, if wanted", WIDE_BAND_ADDS).note(format!(
            "over {WIDE_BAND:.0} mm wide: many makers add {WIDE_BAND_ADDS} mm of length, as plain metal at the seam; it is not in the length above ({WIDE})"
        ));
    }
    if let Some(&count) = repeats.first().filter(|n| **n > 0) {
        let pitch = length / f64::from(count);
        part = part.note(format!(
            "{count} repeats of {} mm flat; {} mm on the outside face, {} mm on the inside",
            plain(pitch, 2),
            plain(pitch * outer, 2),
            plain(pitch * inner, 2)
        ));
    }
    part.note(format!("seam in a solid bridge: file {END_FILING} mm from each end to close it"))
        .note(sizes_near(inside))
}

/// What each system calls this inside, with how far off its nearest size is.
pub fn sizes_near(inside: f64) -> String {
    let all = ring_sizes();
    let near = |system: &str| {
        all.iter()
            .filter(|s| s.system == system)
            .min_by(|a, b| (a.inside_mm - inside).abs().total_cmp(&(b.inside_mm - inside).abs()))
            .map(|s| {
                let off = s.inside_mm - inside;
                match off.abs() < 0.005 {
                    true => s.name.clone(),
                    false => format!("{} ({}{} mm)", s.name, if off > 0.0 { "+" } else { "" }, plain(off, 2)),
                }
            })
    };
    let names: Vec<String> = ["US", "UK", "EU", "JP"].iter().filter_map(|s| near(s)).collect();
    format!("{} mm inside; nearest sizes: {}. They are not the same ring", plain(inside, 2), names.join(", "))
}

/// A cone's blank, or the plain strip when its ends are alike.
pub fn cone(top: f64, bottom: f64, height: f64) -> Part {
    match fits::cone(top, bottom, height) {
        Some(cone) => {
            let (small, large) = (top.min(bottom), top.max(bottom));
            Part::new(
                "cone blank",
                1,
                format!(
                    "side √({}² + {}²) = {}; outer {} × {} / {} = {}; inner {}; turn 180 × {} / {} = {}°",
                    short(height, 2),
                    short((large - small) / 2.0, 2),
                    plain(cone.side, 2),
                    plain(cone.side, 2),
                    short(large, 2),
                    short(large - small, 2),
                    plain(cone.outer, 2),
                    plain(cone.inner, 2),
                    short(large - small, 2),
                    plain(cone.side, 2),
                    plain(cone.angle, 1)
                ),
                CONE,
            )
            .size("side_mm", "length up the side", cone.side)
            .size("inner_radius_mm", "radius of the inner curve", cone.inner)
            .size("outer_radius_mm", "radius of the outer curve", cone.outer)
            .size("angle_degrees", "turn of the blank, degrees", cone.angle)
        }
        None => {
            let length = std::f64::consts::PI * top;
            Part::new("cone blank", 1, format!("π × {} = {}", short(top, 2), plain(length, 2)), CONE)
                .size("length_mm", "length", length)
                .size("width_mm", "width", height)
        }
    }
}

/// The flat a dome is made from, as a range.
pub fn dome(across: f64, height: f64) -> Part {
    let d = fits::dome(across, height);
    let a = across / 2.0;
    Part::new(
        "flat for the dome",
        1,
        format!(
            "2 × √({a}² + {h}²) = {} if the metal keeps its area; {} along the curve over the top",
            plain(d.flat_low, 1),
            plain(d.flat_high, 1),
            a = short(a, 2),
            h = short(height, 2)
        ),
        DOME,
    )
    .size("low_mm", "at least across", d.flat_low)
    .size("high_mm", "at most across", d.flat_high)
    .size("curve_radius_mm", "radius of block and punch", d.radius)
    .note(format!("about: cut {} mm across and trim; it hangs on how hard the metal is driven", plain(d.flat_high, 1)))
    .note(format!(
        "pierced first: openings near the edge close up by as much as {} %, and come out up to {} times as long as wide; bridges there crowd and the thinnest stretch",
        plain(100.0 * d.closes, 0),
        plain(d.stretch, 2)
    ))
    .note("domed first: truer openings, harder sawing; lay the pattern in petals so that it lies on the dome")
    .note("try a strip of the same sheet first and write down what it came out at")
}

/// A line drawn in (`by` < 0) or out, longest ring.
fn drawn(ring: &Ring, by: f64) -> Ring {
    if by < 0.0 {
        ring.shrink(-by).into_iter().max_by(|a, b| a.area().total_cmp(&b.area())).unwrap_or_default()
    } else {
        ring.grow(by)
    }
}

/// The strip round or under the plate: through the middle of its thickness.
pub fn rim_line(bench: &Bench) -> Option<Ring> {
    let rim = bench.job.construction.rim?;
    let half = rim.thickness.get() / 2.0;
    Some(match rim.sits {
        RimSits::UnderPlate => drawn(&bench.base, -half),
        RimSits::RoundEdge => drawn(&bench.base, half),
    })
}

fn rim(bench: &Bench) -> Option<Part> {
    let rim = bench.job.construction.rim?;
    let t = rim.thickness.get();
    let (where_, sign) = match rim.sits {
        RimSits::UnderPlate => ("under the plate, outside flush with the edge", "−"),
        RimSits::RoundEdge => ("round the edge", "+"),
    };
    let line = rim_line(bench)?;
    let (length, sum) = match bench.across {
        Some(across) => {
            let length = match rim.sits {
                RimSits::UnderPlate => fits::strip_under(across, t),
                RimSits::RoundEdge => fits::strip_round(across, t),
            };
            (length, format!("π × ({} {sign} {}) = {}", plain(across, 2), plain(t, 2), plain(length, 2)))
        }
        None => {
            let round = bench.base.length();
            let length = line.length();
            let way = if rim.sits == RimSits::UnderPlate { "in" } else { "out" };
            (
                length,
                format!(
                    "distance round the edge {}, drawn {way} by half the strip ({}): {}",
                    plain(round, 2),
                    plain(t / 2.0, 2),
                    plain(length, 2)
                ),
            )
        }
    };
    let mut part = Part::new("rim strip", 1, sum, STRIP)
        .size("length_mm", "length", length)
        .size("height_mm", "height", rim.height.get())
        .size("thickness_mm", "thickness", t)
        .note(format!("stands {where_}"))
        .note(format!(
            "cut {} mm ({CUT_LONG} more) and file both ends square until it closes",
            plain(length + CUT_LONG, 2)
        ));
    let corners = sharp_corners(&bench.base);
    if !corners.is_empty() {
        part.bends = bends(&bench.base, &line);
        if !part.bends.is_empty() {
            let at: Vec<String> = part.bends.iter().map(|b| plain(*b, 1)).collect();
            part = part.note(format!(
                "score and bend at {} mm from the seam, which falls in the middle of a side",
                at.join(", ")
            ));
        }
    }
    if !bench.job.lugs.is_empty() {
        part = part.note("the lugs stand outside the strip and are not in its length");
    }
    Some(part)
}

/// Where along the strip each sharp corner falls, from a seam in the middle of the longest side.
fn bends(base: &Ring, strip: &Ring) -> Vec<f64> {
    let corners = sharp_corners(base);
    let total = strip.length();
    // Along the strip: the point of its line nearest to each corner.
    let mut along: Vec<f64> = corners.iter().map(|corner| along_nearest(strip, corner.at)).collect();
    along.sort_by(f64::total_cmp);
    along.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let n = along.len();
    if n < 2 {
        return along.iter().map(|_| total / 2.0).collect();
    }
    let gap = |i: usize| if i + 1 < n { along[i + 1] - along[i] } else { along[0] + total - along[n - 1] };
    let longest = (0..n).fold(0, |best, i| if gap(i) > gap(best) + 1e-6 { i } else { best });
    let seam = along[longest] + gap(longest) / 2.0;
    let mut bends: Vec<f64> = along.iter().map(|a| (a - seam).rem_euclid(total)).collect();
    bends.sort_by(f64::total_cmp);
    bends
}

/// How far along a ring its point nearest to `p` lies.
fn along_nearest(ring: &Ring, p: crate::geom::Point) -> f64 {
    let mut best = (f64::INFINITY, 0.0);
    let mut start = 0.0;
    for edge in ring.edges() {
        let q = edge.nearest(p);
        let apart = (q - p).hypot();
        if apart < best.0 {
            let from = (q - edge.from()).hypot();
            let chord = (edge.to() - edge.from()).hypot();
            let share = if chord > 0.0 { (from / chord).min(1.0) } else { 0.0 };
            best = (apart, start + share * edge.length());
        }
        start += edge.length();
    }
    best.1
}

fn back(bench: &Bench) -> Option<Part> {
    let back = bench.job.construction.back?;
    let overhang = back.overhang.get();
    let (rim_adds, outside) = match bench.job.construction.rim {
        Some(rim) if rim.sits == RimSits::RoundEdge => (rim.thickness.get(), "outside of the rim"),
        Some(_) => (0.0, "outside of the rim"),
        None => (0.0, "edge"),
    };
    let grown = drawn(&bench.base, rim_adds + overhang);
    let grams = grown.area() * back.thickness.get() * bench.job.sheet.metal.density * 1e-3;
    let part = match bench.across {
        Some(across) => {
            let rim_outside = across + 2.0 * rim_adds;
            let whole = rim_outside + 2.0 * overhang;
            Part::new(
                "back plate",
                1,
                format!(
                    "{outside} {} + 2 × {} = {}",
                    plain(rim_outside, 2),
                    plain(overhang, 2),
                    plain(whole, 2)
                ),
                PRACTICE,
            )
            .size("diameter_mm", "across", whole)
        }
        None => {
            let adds = 2.0 * (rim_adds + overhang);
            Part::new(
                "back plate",
                1,
                format!(
                    "size over all {} × {}, and {} more each way",
                    plain(bench.size.0, 2),
                    plain(bench.size.1, 2),
                    plain(adds, 2)
                ),
                PRACTICE,
            )
            .size("width_mm", "width", bench.size.0 + adds)
            .size("height_mm", "height", bench.size.1 + adds)
        }
    };
    Some(
        part.size("thickness_mm", "thickness", back.thickness.get())
            .size("weight_g", "weight, g", grams)
            .note(format!("trim the overhang of {} mm after soldering", plain(overhang, 2))),
    )
}

/// Bezel, pad and window from the stone.
fn seat(bench: &Bench) -> Vec<Part> {
    let Some(bezel) = bench.job.construction.bezel else { return Vec::new() };
    let (stone, t, play) = (bezel.stone.get(), bezel.thickness.get(), fits::BEZEL_PLAY);
    let length = fits::bezel_strip(stone, t, play);
    let outside = fits::bezel_outside(stone, t, play);
    let pad = fits::bezel_pad(stone, t, play);
    let window = fits::bezel_window(stone, bezel.ledge.get());
    let mut parts = vec![
        Part::new(
            "bezel strip",
            1,
            format!(
                "π × ({} + {} + {}) = {}",
                plain(stone, 2),
                plain(play, 2),
                plain(t, 2),
                plain(length, 2)
            ),
            BEZEL,
        )
        .size("length_mm", "length", length)
        .size("height_mm", "height", bezel.height.get())
        .size("thickness_mm", "thickness", t)
        .note(format!("cut {} mm, close it round the stone, trim at the seam", plain(length + CUT_LONG, 2))),
        Part::new(
            "bezel pad",
            1,
            format!(
                "outside of the bezel {} + {} + 2 × {} = {}; + 2 × {} = {} solid",
                plain(stone, 2),
                plain(play, 2),
                plain(t, 2),
                plain(outside, 2),
                fits::PAD_BEYOND_BEZEL,
                plain(pad, 2)
            ),
            PRACTICE,
        )
        .size("diameter_mm", "solid across, at least", pad)
        .size("scribe_mm", "scribe a ring at", outside),
    ];
    if bezel.window && window > 0.0 {
        parts.push(
            Part::new(
                "stone window",
                1,
                format!("{} − 2 × {} = {}", plain(stone, 2), plain(bezel.ledge.get(), 2), plain(window, 2)),
                PRACTICE,
            )
            .size("diameter_mm", "across, at most", window)
            .size("ledge_mm", "ledge the stone rests on", bezel.ledge.get())
            .note("leave it out behind a soft or backed stone"),
        );
    }
    parts
}

/// Jump rings: wire to cut, and whether they go round the wall they hang from.
fn jump_rings(bench: &Bench) -> Vec<Part> {
    let hole = super::hang::top_hole(bench);
    bench
        .job
        .construction
        .jump_rings
        .iter()
        .map(|ring| {
            let (wire, inside) = (ring.wire.get(), ring.inside.get());
            let length = fits::ring_cut(wire, inside);
            let ratio = inside / wire;
            let mut part = Part::new(
                "jump ring",
                ring.count,
                format!(
                    "π × ({} + {}) = {} of wire each; inside / wire = {}",
                    plain(inside, 2),
                    plain(wire, 2),
                    plain(length, 2),
                    plain(ratio, 2)
                ),
                "How to control the fit of your chain mail weave, jewellery magazine (2017): inside / wire",
            )
            .size("length_mm", "wire for each", length)
            .size("wire_mm", "wire", wire)
            .size("inside_mm", "inside", inside)
            .size("aspect", "inside / wire", ratio);
            if ratio < 3.0 {
                part = part.note("inside / wire under 3: stiff to open and close, and tight on a bail");
            }
            if let Some(hole) = &hole {
                let wall = bench.piece.outline.edge.depth(hole.at) - hole.diameter / 2.0;
                let need = wall + bench.thickness + fits::RING_PLAY;
                let goes_in = wire + 0.1 <= hole.diameter;
                part = part.note(match (goes_in, inside + 1e-9 >= need) {
                    (false, _) => format!(
                        "does not fit: wire {} mm is too thick for the {} mm hole {}",
                        plain(wire, 2),
                        plain(hole.diameter, 2),
                        hole.name
                    ),
                    (true, false) => format!(
                        "does not fit: {} mm inside, but the wall at {} ({} mm), the sheet and {} mm of play need {} mm",
                        plain(inside, 2),
                        hole.name,
                        plain(wall, 2),
                        fits::RING_PLAY,
                        plain(need, 2)
                    ),
                    (true, true) => format!(
                        "fits {}: wall {} + sheet {} + play {} = {} mm",
                        hole.name,
                        plain(wall, 2),
                        plain(bench.thickness, 2),
                        fits::RING_PLAY,
                        plain(need, 2)
                    ),
                });
            }
            part
        })
        .collect()
}

/// Marks in `found` what each size was in `planned`, part by part.
pub fn mark_changes(found: &mut [Part], planned: &[Part]) {
    for (now, before) in found.iter_mut().zip(planned) {
        if now.part != before.part {
            continue;
        }
        for size in &mut now.sizes {
            let was = before.get(size.key).filter(|was| (was - size.value).abs() >= 0.005);
            size.was = was;
            if let (Some(was), "length_mm") = (was, size.key) {
                let off = was - size.value;
                now.notes.push(if off > 0.0 {
                    format!(
                        "strip already cut at {}: {} mm too long, saw out {} at the seam",
                        plain(was, 2),
                        plain(off, 2),
                        plain(off, 2)
                    )
                } else {
                    format!(
                        "strip already cut at {}: {} mm too short; soft metal stretches by 1 or 2 % under the planishing hammer ({} mm here), else cut a new one",
                        plain(was, 2),
                        plain(-off, 2),
                        plain(was * 0.015, 2)
                    )
                });
            }
        }
    }
}
