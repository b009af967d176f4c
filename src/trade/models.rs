//! Formulas of strength and heat that both the checks and the plan lean on. Compiled estimates, never measured at a
//! bench: what they say may caution, never stop.
