//! (being built)
