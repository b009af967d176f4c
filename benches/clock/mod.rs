//! The clock of the benches.

use std::sync::OnceLock;
use std::time::Instant;

/// Milliseconds this thread has really run for, where the system tells; else by the clock.
pub fn now() -> f64 {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let ran = told.and_then(|t| t.split_whitespace().next()?.parse::<f64>().ok());
    static START: OnceLock<Instant> = OnceLock::new();
    ran.map_or_else(|| START.get_or_init(Instant::now).elapsed().as_secs_f64() * 1e3, |ns| ns * 1e-6)
}
