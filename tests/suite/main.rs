//! All integration tests in one program: linked once, run side by side.

mod bad_input;
mod catalogue;
mod cones;
mod counts;
mod engine;
mod geometry;
mod graded;
mod grown;
mod imports;
mod job_file;
mod known_values;
mod made;
mod mend;
mod models;
mod net;
mod outlines;
mod paper;
mod paper_files;
mod paper_mix;
mod paper_stories;
mod plan;
mod render;
mod sampler;
mod shell;
mod stories;
mod verdicts;
