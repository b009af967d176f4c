//! How large an SVG file draws: lengths with their units, view boxes, and the way from user units to millimetres.

use kurbo::{Affine, Vec2};
use roxmltree::Node;
use std::str::FromStr;
use svgtypes::{Align, AspectRatio, Length, LengthUnit, ViewBox};

/// Millimetres in a CSS pixel, which is what a bare number in a file with a stated size means: 96 to the inch.
const MM_PER_PIXEL: f64 = crate::units::MM_PER_INCH / 96.0;

/// From the root's user units to mm, y up, and the size of its view in user units.
pub(super) fn root_place(root: Node) -> Result<(Affine, Vec2), String> {
    let stated = |key: &str| -> Result<Option<f64>, String> {
        let Some(text) = root.attribute(key) else { return Ok(None) };
        let length = length_of(text)?;
        Ok((length.unit != LengthUnit::Percent).then(|| pixels(length, 0.0) * MM_PER_PIXEL))
    };
    let (width, height) = (stated("width")?, stated("height")?);
    let Some(view) = view_box(root)? else {
        let unit = if width.is_some() || height.is_some() { MM_PER_PIXEL } else { 1.0 };
        let size = Vec2::new(width.unwrap_or(100.0), height.unwrap_or(100.0)) / unit;
        return Ok((Affine::scale_non_uniform(unit, -unit), size));
    };
    let (w, h) = match (width, height) {
        (Some(w), Some(h)) => (w, h),
        (Some(w), None) => (w, w * view.h / view.w),
        (None, Some(h)) => (h * view.w / view.h, h),
        (None, None) => (view.w, view.h),
    };
    Ok((Affine::FLIP_Y * fitted(root, view, w, h), Vec2::new(view.w, view.h)))
}

pub(super) fn view_box(node: Node) -> Result<Option<ViewBox>, String> {
    let Some(text) = node.attribute("viewBox") else { return Ok(None) };
    match ViewBox::from_str(text) {
        Ok(v) if [v.x, v.y, v.w, v.h].iter().all(|n| n.is_finite()) && v.w > 0.0 && v.h > 0.0 => Ok(Some(v)),
        _ => Err(format!("the view box \"{text}\" has no size")),
    }
}

/// From a view box into a frame of `w` by `h`, kept in proportion as the node asks.
pub(super) fn fitted(node: Node, view: ViewBox, w: f64, h: f64) -> Affine {
    let asked = node.attribute("preserveAspectRatio").and_then(|t| AspectRatio::from_str(t).ok());
    let (align, slice) = asked.map_or((Align::XMidYMid, false), |a| (a.align, a.slice));
    let (mut x, mut y) = (w / view.w, h / view.h);
    if align != Align::None {
        let both = if slice { x.max(y) } else { x.min(y) };
        (x, y) = (both, both);
    }
    let (across, up) = match align {
        Align::None | Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    };
    let spare = Vec2::new((w - view.w * x) * across, (h - view.h * y) * up);
    Affine::translate(spare) * Affine::scale_non_uniform(x, y) * Affine::translate((-view.x, -view.y))
}

pub(super) fn length_of(text: &str) -> Result<Length, String> {
    match Length::from_str(text.trim()) {
        Ok(l) if l.number.is_finite() => Ok(l),
        _ => Err(format!("the length \"{text}\" cannot be read")),
    }
}

/// A length in pixels; `whole` is what a percentage is of.
pub(super) fn pixels(length: Length, whole: f64) -> f64 {
    let n = length.number;
    match length.unit {
        LengthUnit::None | LengthUnit::Px => n,
        LengthUnit::Mm => n / MM_PER_PIXEL,
        LengthUnit::Cm => n * 10.0 / MM_PER_PIXEL,
        LengthUnit::In => n * 96.0,
        LengthUnit::Pt => n * 96.0 / 72.0,
        LengthUnit::Pc => n * 16.0,
        // Letter sizes: the usual 16 pixels and half of it, since no font is read.
        LengthUnit::Em => n * 16.0,
        LengthUnit::Ex => n * 8.0,
        LengthUnit::Percent => n / 100.0 * whole,
    }
}
