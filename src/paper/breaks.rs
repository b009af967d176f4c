//! Where the job card breaks into pages: as few as can be, sections whole where they can be, and no line or two of one left
//! alone at a head or a foot.

/// A section as the breaking sees it, mm: where its rows start below its top, how far down its title alone reaches, the air
/// below it, and the heights of its rows.
pub(super) struct SectionBreaks {
    pub head: f64,
    pub least: f64,
    pub gap: f64,
    pub blocks: Vec<f64>,
}

/// A page more costs this much; everything else is weighed against it and never adds up to it on one page.
const PAGE: f64 = 1000.0;
/// A section torn apart.
const TORN: f64 = 20.0;
/// Fewer rows than this of a torn section on one of its two pages look lost.
const FEW: usize = 3;
const LOST: f64 = 60.0;
/// A page left empty costs this much, one half empty a quarter of it: pages come out evenly filled.
const EMPTY: f64 = 100.0;
/// A last page filled less than this looks like a mistake.
const BARE: f64 = 0.2;
const NEARLY_EMPTY: f64 = 40.0;

/// After which block each page ends, counted over all sections. `room` gives the height of page 0, 1...
pub(super) fn breaks(sections: &[SectionBreaks], room: impl Fn(usize) -> f64) -> Vec<usize> {
    let owner: Vec<(usize, usize)> =
        sections.iter().enumerate().flat_map(|(s, x)| (0..x.blocks.len()).map(move |b| (s, b))).collect();
    let total = owner.len();
    // best[k]: the least cost of pages that end before block k, with the block the last of them starts at and their count.
    let mut best: Vec<Option<(f64, usize, usize)>> = vec![None; total + 1];
    best[0] = Some((0.0, 0, 0));
    for from in 0..total {
        let Some((cost, _, pages)) = best[from] else { continue };
        let most = room(pages);
        let mut filled = 0.0;
        let mut below = 0.0;
        for to in from + 1..=total {
            let (s, b) = owner[to - 1];
            let section = &sections[s];
            if to == from + 1 || b == 0 {
                filled += below;
                below = 0.0;
                filled += section.head;
            }
            filled += section.blocks[b];
            // Where the title reaches further down than the rows, it counts.
            let first = to - 1 - b.min(to - 1 - from);
            let rows: f64 = section.blocks[owner[first].1..=b].iter().sum();
            let title = (section.least - section.head - rows).max(0.0);
            // A row taller than a page stands alone on one.
            if filled + title > most && to > from + 1 {
                break;
            }
            if to == total || owner[to].0 != s {
                below = title + section.gap;
            }
            let empty = if to == total { 0.0 } else { (1.0 - filled / most).clamp(0.0, 1.0) };
            let mut more = PAGE + EMPTY * empty * empty;
            if to < total && owner[to].0 == s {
                let after = section.blocks.len() - owner[to].1;
                more += TORN;
                more += if b + 1 < FEW { LOST } else { 0.0 } + if after < FEW { LOST } else { 0.0 };
            }
            if to == total && from > 0 && filled < BARE * most {
                more += NEARLY_EMPTY;
            }
            if best[to].is_none_or(|(c, _, _)| cost + more < c) {
                best[to] = Some((cost + more, from, pages + 1));
            }
        }
    }
    let mut ends = Vec::new();
    let mut at = total;
    while at > 0 {
        ends.push(at);
        at = best[at].map_or(0, |(_, from, _)| from);
    }
    ends.reverse();
    ends
}

/// Whether a section is torn so that a row or two of it stand alone at a head or a foot.
pub(super) fn loses_rows(sections: &[SectionBreaks], ends: &[usize]) -> bool {
    let mut first = 0;
    sections.iter().any(|section| {
        let (from, to) = (first, first + section.blocks.len());
        first = to;
        let mut cuts = ends.iter().filter(|end| **end > from && **end < to).peekable();
        let torn = cuts.peek().is_some();
        let bounds = std::iter::once(from).chain(cuts.copied()).chain([to]);
        let bounds: Vec<usize> = bounds.collect();
        torn && bounds.windows(2).any(|pair| pair[1] - pair[0] < FEW)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn section(blocks: &[f64]) -> SectionBreaks {
        SectionBreaks { head: 1.0, least: 1.0, gap: 1.0, blocks: blocks.to_vec() }
    }

    #[test]
    fn a_section_that_would_lose_a_line_goes_over_whole() {
        let sections = [section(&[1.0; 10]), section(&[1.0; 10])];
        // Room for the first and one row of the second: rather not.
        assert_eq!(breaks(&sections, |_| 14.5), [10, 20]);
        // Everything on one page.
        assert_eq!(breaks(&sections, |_| 24.0), [20]);
    }

    #[test]
    fn rows_left_alone_are_seen() {
        let sections = [section(&[1.0; 4]), section(&[1.0; 6])];
        for (ends, lost) in [
            (vec![4, 10], false),
            (vec![5, 10], true),
            (vec![7, 10], false),
            (vec![9, 10], true),
            (vec![3, 10], true),
        ] {
            assert_eq!(loses_rows(&sections, &ends), lost, "{ends:?}");
        }
    }

    #[test]
    fn as_few_pages_as_can_be_and_a_tall_row_alone() {
        let sections = [section(&[1.0; 30])];
        assert_eq!(breaks(&sections, |_| 16.0).len(), 2);
        assert_eq!(breaks(&[section(&[1.0, 50.0, 1.0])], |_| 10.0), [1, 2, 3]);
        assert!(breaks(&[], |_| 10.0).is_empty());
    }
}
