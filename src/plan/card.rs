//! The job card as plain sections: what stands on it is decided here, how it is set on paper in `paper`.

/// One step of the job with what is needed at it.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    pub title: String,
    pub rows: Vec<Row>,
}

/// A line of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Row {
    /// A named number, with its sum where it has one.
    Fact {
        label: String,
        value: String,
        sum: Option<String>,
    },
    /// A size planned here and measured at the bench: printed with an empty column for what was found.
    Measure {
        label: String,
        planned: String,
        sum: Option<String>,
    },
    /// A size that changed because something was measured: the old one is struck through.
    Changed {
        label: String,
        was: String,
        now: String,
        sum: Option<String>,
    },
    /// Something to do, with a box to tick.
    Tick(String),
    /// The trade's usual caution at this step.
    Caution(String),
    Note(String),
    Table {
        head: Vec<String>,
        rows: Vec<Vec<String>>,
    },
}
