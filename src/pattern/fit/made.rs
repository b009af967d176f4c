//! What the fits of all parts of a field come to: kinds, cells, their images, and what is told of them.

use super::bend::Fit;
use super::field::Horn;
use super::{Fitted, Image, Quality, SAME_PLACE};
use crate::catalogue::Pattern;
use crate::geom::{Isometry, Point, Ring, Vec2};
use crate::pattern::{Cell, Laid, Start};
use crate::units::{plain, Mm};

/// How many of the cells the border cuts, how many of those are one with a neighbour, and how narrow the narrowest became.
fn cut_note(cut: usize, joined: usize, cells: usize, narrowest: f64) -> String {
    let one = match joined {
        0 => String::new(),
        _ => format!(", {joined} of them one with what was left of a neighbour"),
    };
    let narrowest = plain(narrowest, 2);
    format!("nothing is bent: {cut} of {cells} cells end at the border{one}; the narrowest is {narrowest} of its own width")
}

/// How many of the cells are bent, and how narrow the narrowest became.
pub(super) fn bent_note(bent: usize, cells: usize, narrowest: f64) -> String {
    format!(
        "fitted to the border: {bent} of {cells} cells are bent, the narrowest is {} of its own width",
        plain(narrowest, 2)
    )
}

/// What became of the ends of horns.
fn horn_note(tips: usize, drops: usize) -> Option<String> {
    let ends = |n: usize| if n == 1 { "1 horn ends".to_string() } else { format!("{n} horns end") };
    let drop = (drops > 0).then(|| format!("{} in a drop of its own", ends(drops)));
    let solid =
        (tips > drops).then(|| format!("{} in solid metal, too narrow for a cell", ends(tips - drops)));
    match (drop, solid) {
        (Some(drop), Some(solid)) => Some(format!("{drop}, {solid}")),
        (drop, solid) => drop.or(solid),
    }
}

/// The drops at the ends of horns, and of which they are images: the first kind has number `before`.
fn drops_of(horns: &[Horn], fit: &Fit, before: usize) -> Vec<(Ring, Image)> {
    let mut drops: Vec<(&Horn, Ring, Image)> = Vec::new();
    for horn in horns {
        let onto_this =
            |from: &Horn, by: &Isometry| (by.carry(from.tip) - horn.tip).hypot2() < SAME_PLACE * SAME_PLACE;
        let of = |from: &Horn| {
            fit.group.iter().map(|(by, _)| *by).filter(|by| onto_this(from, by)).collect::<Vec<_>>()
        };
        let first = drops
            .iter()
            .enumerate()
            .find_map(|(k, (from, ring, _))| of(from).first().map(|by| (k, by.ring(ring), *by)));
        if let Some((k, ring, by)) = first {
            let of = drops[k].2.of;
            // Images of images do not come up: the first of them is found first.
            drops.push((horn, ring, Image { of, by, bent: true, stays: Vec::new() }));
        } else if let Some(ring) = &horn.drop {
            let stays = of(horn);
            let stays = if stays.len() > 1 { stays } else { Vec::new() };
            let image = Image { of: before + drops.len(), by: Isometry::IDENTITY, bent: true, stays };
            drops.push((horn, ring.clone(), image));
        }
    }
    drops.into_iter().map(|(_, ring, image)| (ring, image)).collect()
}

/// What the fits of all parts of the field come to.
pub(super) fn fitted(
    parts: &[(&Fit, &[Horn])],
    pattern: &Pattern,
    own: &[Ring],
    starts: &[Start],
    (size, turn): (f64, f64),
    left: &[(Point, String)],
) -> Fitted {
    let (mut kinds, mut cells, mut images) = (Vec::new(), Vec::new(), Vec::new());
    let (mut drops, mut tips) = (0, 0);
    for (fit, horns) in parts {
        // The kind of every face, and where it stands.
        let mut whole: Vec<Option<usize>> = vec![None; own.len()];
        let mut at = Vec::with_capacity(fit.faces.len());
        let before = kinds.len();
        for face in &fit.faces {
            if face.whole && whole[face.shape].is_some() {
                at.extend(whole[face.shape].map(|kind| (kind, face.at)));
                continue;
            }
            let place = if face.whole { face.at } else { Vec2::ZERO };
            at.push((kinds.len(), place));
            if face.whole {
                whole[face.shape] = Some(kinds.len());
            }
            kinds.push(if face.whole { own[face.shape].clone() } else { face.ring.clone() });
        }
        images.extend(images_of(fit, &at, &kinds, before));
        cells.extend(at.into_iter().map(|(kind, at)| Cell { kind, at, bridge: None }));
        let before = kinds.len();
        for (ring, image) in drops_of(horns, fit, before) {
            cells.push(Cell { kind: kinds.len(), at: Vec2::ZERO, bridge: None });
            kinds.push(ring);
            images.push(image);
        }
        drops += kinds.len() - before;
        tips += horns.len();
    }
    let fits = || parts.iter().map(|(fit, _)| *fit);
    let all = || fits().flat_map(|fit| &fit.faces);
    let narrowest = fits().flat_map(|f| &f.judged.rho).copied().fold(f64::INFINITY, f64::min);
    let bent = all().filter(|f| !f.whole).count();
    let (origin, centre) = match parts {
        [(fit, _), ..] => (Some(Point::ORIGIN + fit.origin), starts[fit.start].name),
        [] => (None, Start::MIDDLE.name),
    };
    let laid = Laid {
        kinds,
        cells,
        motif: pattern.is_motif(),
        pitch: Mm(size),
        turn,
        origin,
        centre: centre.into(),
        order: fits().map(|fit| fit.order).min().unwrap_or(1) as u32,
        repeats: Vec::new(),
        left: left.to_vec(),
        notes: [match fits().map(|fit| fit.joined).sum::<Option<usize>>() {
            Some(joined) => cut_note(bent, joined, all().count(), narrowest),
            None => bent_note(bent, all().count(), narrowest),
        }]
        .into_iter()
        .chain(horn_note(tips, drops))
        .collect(),
    };
    let judged = || fits().map(|fit| &fit.judged);
    let quality = Quality {
        score: judged().map(|j| j.score).fold(0.0, f64::max),
        cut: fits().any(|fit| fit.joined.is_some()),
        narrowest,
        spread: judged().map(|j| j.spread).fold(0.0, f64::max),
        sharpest: judged().map(|j| j.sharpest).fold(180.0, f64::min),
        stretched: judged().map(|j| j.stretched).fold(1.0, f64::max),
        symmetries: match parts {
            [(fit, _)] => fit.group.iter().map(|(by, _)| *by).collect(),
            _ => Vec::new(),
        },
    };
    Fitted { laid, quality, images }
}

/// Which kinds, from number `before` on, are images of which. `at`: kind and place of every face.
fn images_of(fit: &Fit, at: &[(usize, Vec2)], kinds: &[Ring], before: usize) -> Vec<Image> {
    let mut face_of = vec![None; kinds.len() - before];
    at.iter().enumerate().rev().for_each(|(k, (kind, _))| face_of[kind - before] = Some(k));
    let mut images: Vec<Option<Image>> = vec![None; face_of.len()];
    for kind in 0..face_of.len() {
        if images[kind].is_some() {
            continue;
        }
        let Some(face) = face_of[kind] else { continue };
        let bent = !fit.faces[face].whole;
        images[kind] = Some(Image { of: before + kind, by: Isometry::IDENTITY, bent, stays: Vec::new() });
        let mut stays = Vec::new();
        for (by, tiles) in &fit.group {
            let image = tiles[fit.faces[face].tile];
            let Ok(k) = fit.faces.binary_search_by_key(&image, |f| f.tile) else { continue };
            let by = by.between(at[face].1, at[k].1);
            let onto = at[k].0 - before;
            let carried = by.ring(&kinds[before + kind]).bounds().center();
            if (carried - kinds[before + onto].bounds().center()).hypot2() > SAME_PLACE * SAME_PLACE {
                continue; // On a band an image may lie a repeat farther on.
            }
            if onto == kind {
                stays.push(by);
            } else if images[onto].is_none() {
                images[onto] = Some(Image { of: before + kind, by, bent, stays: Vec::new() });
            }
        }
        if stays.len() > 1 {
            images[kind].iter_mut().for_each(|image| image.stays.clone_from(&stays));
        }
    }
    images.into_iter().flatten().collect()
}
