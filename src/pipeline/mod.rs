//! (being built)
pub mod json;
