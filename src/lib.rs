//! Sawpierce: from a job file to paper that can be sawn. (Front door to be written.)
#![forbid(unsafe_code)]

pub mod catalogue;
pub mod checks;
pub mod error;
pub mod geom;
pub mod job;
pub mod mend;
pub mod openings;
pub mod outline;
pub mod paper;
pub mod pattern;
pub mod pipeline;
pub mod plan;
pub mod reader;
pub mod render;
pub mod shell;
pub mod trade;
pub mod units;
pub mod work;
