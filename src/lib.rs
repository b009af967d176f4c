//! Sawpierce: openwork for bench jewellers, from a job file to paper that can be sawn.
//!
//! A *job* says what is to be pierced: the sheet, the outline, the pattern, the saw. From it come the openings with the
//! metal between them measured, verdicts on every width, a plan with the sums of the bench, and true-size pages.
//!
//! ```
//! use sawpierce::{NamedFiles, Settings, parse, run};
//!
//! let text = r#"
//!     skill = "practised"
//!     [sheet]
//!     metal = "copper"
//!     thickness = 0.9
//!     [outline]
//!     shape = "circle"
//!     diameter = 46
//!     [pattern]
//!     name = "hexagon"
//!     pitch = 6.2
//!     bridge = 1.2
//! "#;
//! let job = parse(text, "lantern.toml", &NamedFiles::new(), &Settings::default())?;
//! let product = run(&job)?;
//! let openings = &product.works[0].piece.openings;
//! assert!(openings.len() > 30 && openings[0].area > 10.0);
//! assert!(!product.stops(), "nothing speaks against sawing it");
//! assert!(product.svg()[0].starts_with("<svg") && product.pdf().starts_with(b"%PDF"));
//! # Ok::<(), sawpierce::Error>(())
//! ```
//!
//! What a job may say is listed by `sawpierce list keys`, patterns and metals by `sawpierce list patterns` and
//! `sawpierce list metals`. Lengths are millimetres, x runs right and y up from the middle of the outline, angles are in
//! degrees anticlockwise; areas are mm2.
//!
//! The same job gives the same bytes on every machine. The engine reads neither files nor clock nor environment: files
//! that a job names are listed by [`needs`] and handed to [`parse`] as bytes. The command line that does so is built
//! with the feature `cli` (on by default); without it the engine compiles for wasm32 too.
//!
//! Errors are told, not thrown: [`parse`], [`work()`], [`run`] and every step of a [`Session`] give an [`Error`] that names the
//! place and what to do, or says that Sawpierce itself failed ([`Error::is_our_fault`]): a kernel refused shapes, or a sum
//! came out as no number. Nothing gives an empty result instead. Inside, such a fault unwinds to the step that was asked for;
//! where a build aborts at a panic (wasm32 in a browser), it ends the instance, and the page starts another.
//!
//! Not done: other materials than sheet metal, cutting paths for machines (bare outlines can be handed to a service),
//! pictures turned into patterns.
//!
//! What is promised stands on this page. The modules listed below hold the types it hands out; the others (hidden here) are
//! the engine's inside, open to the program's own tests and benches.
#![deny(missing_docs, unreachable_pub)]

pub use checks::{Level, Verdict};
pub use error::Error;
pub use job::{needs, parse, Job, NamedFiles, Settings};
pub use openings::Piece;
pub use pipeline::{run, Product, Session};
pub use work::{work, Work};

#[doc(hidden)]
pub mod catalogue;
pub mod checks;
pub mod error;
pub mod geom;
pub mod job;
#[doc(hidden)]
pub mod live;
#[doc(hidden)]
pub mod mend;
pub mod openings;
pub mod outline;
#[doc(hidden)]
pub mod paper;
#[doc(hidden)]
pub mod pattern;
pub mod pipeline;
#[doc(hidden)]
pub mod plan;
#[doc(hidden)]
pub mod reader;
#[doc(hidden)]
pub mod render;
#[cfg(feature = "cli")]
#[doc(hidden)]
pub mod shell;
#[doc(hidden)]
pub mod trade;
#[doc(hidden)]
pub mod units;
pub mod work;
