//! The patterns that come with the program, read when first asked for.

use super::{read, Pattern};
use std::sync::{Arc, LazyLock, OnceLock};

/// A pattern file built in.
struct Shipped {
    name: &'static str,
    text: &'static str,
    read: OnceLock<Option<Arc<Pattern>>>,
}

impl Shipped {
    const fn new(name: &'static str, text: &'static str) -> Self {
        Self { name, text, read: OnceLock::new() }
    }

    /// `None` only for a faulty file, which `tests/suite/catalogue.rs` would not let pass.
    fn pattern(&self) -> Option<Arc<Pattern>> {
        self.read.get_or_init(|| read(self.text, &format!("{}.toml", self.name)).ok().map(Arc::new)).clone()
    }
}

/// Lists the files of `patterns/` by their stems, in the order in which people see them.
macro_rules! shipped {
    ($($name:literal),* $(,)?) => {
        const COUNT: usize = [$($name),*].len();
        static SHIPPED: [Shipped; COUNT] =
            [$(Shipped::new($name, include_str!(concat!("../../patterns/", $name, ".toml")))),*];
    };
}

shipped![
    "hexagon",
    "triangle",
    "square",
    "holes-staggered",
    "holes-in-rows",
    "octagon-and-dot",
    "tumbling-blocks",
    "kites",
    "floret",
    "pentagon-weave",
    "pentagon-weave-even",
    "pentagon-weave-straight",
    "diamond",
    "tall-diamond",
    "running-bond",
    "raking-bond",
    "stack-bond",
    "basket-weave",
    "basket-weave-three",
    "herringbone",
    "herringbone-short",
    "herringbone-long",
    "chevron",
    "windmill",
    "hopscotch",
    "long-hexagon",
    "picket",
    "house",
    "house-even",
    "three-blade",
    "fish-scale",
    "feather",
    "ogee",
    "soft-ogee",
    "lantern",
    "quatrefoil",
    "interlaced-circles",
    "six-petal",
    "axe-head",
    "three-lobe",
    "swirl-square",
    "swirl-hexagon",
    "star-and-cross",
    "six-point-star",
    "soft-six-point-star",
    "four-point-star",
    "eight-point-star",
    "eight-point-star-fine",
    "eight-point-star-sharp",
    "star-and-squares",
    "twelve-sided-and-star",
    "cane-work",
    "hexagon-and-squares",
    "twelve-sided-and-hexagon",
    "turning-hexagon",
    "square-and-triangle-rows",
    "turning-square",
    "cross-cut-square",
];

/// The pattern a job file calls `name`.
pub fn find(name: &str) -> Option<Arc<Pattern>> {
    SHIPPED.iter().find(|s| s.name == name)?.pattern()
}

/// Every pattern that comes with the program, plain grids first.
pub fn all() -> &'static [Arc<Pattern>] {
    static ALL: LazyLock<Vec<Arc<Pattern>>> =
        LazyLock::new(|| SHIPPED.iter().filter_map(Shipped::pattern).collect());
    &ALL
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_file_reads() {
        for shipped in &SHIPPED {
            if let Err(error) = read(shipped.text, shipped.name) {
                panic!("{}: {error}", shipped.name);
            }
        }
        assert_eq!(all().len(), COUNT);
    }
}
