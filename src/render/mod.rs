//! Pages written out as SVG, PDF and PNG. Siblings that decide nothing: what is seen was settled in `paper`.

mod font;
mod numbers;
pub mod pdf;
pub mod png;
pub mod svg;
