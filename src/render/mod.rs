//! Pages written out as SVG, PDF and PNG, the plan as JSON. Siblings that decide nothing: what is seen was settled in
//! `paper`, what is said in the modules before it.

mod font;
pub mod json;
pub(crate) mod numbers;
mod outflow;
pub mod pdf;
pub mod png;
mod stream;
pub mod svg;
