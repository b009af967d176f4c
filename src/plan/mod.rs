//! The numbers of the bench: holes, saw line, minutes, blades, metal, parts, solder, hang, order.

pub mod card;

/// Everything the bench needs to know after the drawing.
#[derive(Debug, Clone, Default)]
pub struct Plan {
    /// The job card in working order, ready to be set.
    pub card: Vec<card::Section>,
}
