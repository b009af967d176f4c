//! The signs of the pages: numbers are the order, all of them or none; the legend explains exactly what is there; what is
//! trimmed away carries nothing; a poor photocopy keeps every line and every punch mark.

use crate::made;
use sawpierce::checks::{Bridge, Side};
use sawpierce::geom::{Point, Rect};
use sawpierce::job::{Job, Shade};
use sawpierce::paper::{lay_out, Group, Ink, Mark, Page, PageKind, Sheets};
use sawpierce::plan::Cut;
use sawpierce::render::png;
use sawpierce::work::Work;

/// Jobs that between them use every sign.
fn jobs() -> Vec<(&'static str, Job)> {
    let base = [
        ("plain", ""),
        ("large", "[paper]\nsize = \"A3\"\n"),
        ("metal tinted", "[paper]\nshade = \"metal\"\n"),
        ("six copies", "[paper]\ncopies = 6\n"),
        ("hung", "[[hole]]\nname = \"bail hole\"\ndiameter = 1.8\nat = [0, 20.5]\n"),
        ("stone", "[construction]\nbezel = { stone = 9, thickness = 0.3, height = 3, at = [0, 0], ledge = 1.0, window = true }\n"),
    ];
    let mut jobs: Vec<(&str, Job)> =
        base.into_iter().map(|(name, more)| (name, made::job(&made::disc(&[], more)))).collect();
    jobs.push(("wide openings", made::job(&made::disc(&[("pattern.pitch", "11")], ""))));
    let band = made::DISC
        .replace(
            "shape = \"circle\"\ndiameter = 46\nborder = 2.5",
            "shape = \"band\"\ninside = 17.3\nwidth = 11\nborder = 2.5",
        )
        .replace("at_border = \"trim\"\n", "");
    jobs.push(("band", made::job(&band)));
    jobs.push(("thin border", made::job(&made::disc(&[("outline.border", "2.1")], ""))));
    jobs.push(("thin", made::job(&made::disc(&[("pattern.bridge", "0.7")], ""))));
    jobs
}

fn laid(job: &Job) -> (Work, Sheets) {
    let work = made::done(job);
    let sheets = lay_out(&[(job, &work)]);
    (work, sheets)
}

fn said(page: &Page) -> String {
    page.words().map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ")
}

/// Numbers among a page's words, those of one copy (0: of the page itself).
fn numbers(page: &Page, copy: usize, most: usize) -> Vec<usize> {
    let theirs = page.marks.iter().filter(|m| m.copy == copy);
    let words = theirs.filter_map(|m| if let Ink::Words(w) = &m.ink { w.text.parse().ok() } else { None });
    let mut all: Vec<usize> = words.filter(|n| (1..=most).contains(n)).collect();
    all.sort_unstable();
    all
}

#[test]
fn numbers_are_the_order_and_a_view_has_all_of_them_or_none() {
    for (name, job) in jobs() {
        let (work, sheets) = laid(&job);
        let order: Vec<usize> = work
            .plan
            .order
            .iter()
            .filter_map(|t| if let Cut::Opening(n) = t.cut { Some(n) } else { None })
            .collect();
        let all: Vec<usize> = (1..=work.piece.openings.len()).collect();
        assert_eq!(order, all, "{name}: numbered in the order of piercing");
        let mut anywhere = false;
        for page in sheets.pages.iter().filter(|p| matches!(p.kind, PageKind::Template | PageKind::KeyMap)) {
            for copy in page.copies.iter().map(|c| c.k) {
                let here = numbers(page, copy, all.len());
                assert!(here.is_empty() || here == all, "{name}, copy {copy}: {here:?}");
                anywhere |= here == all;
            }
            // The page's own words hold the numbers of its enlarged view, and a 12 in the legend.
            let here = numbers(page, 0, all.len());
            anywhere |= all.iter().all(|n| here.contains(n));
        }
        assert!(anywhere, "{name}: no view shows the numbers");
    }
}

#[test]
fn like_openings_are_marked_alike() {
    let (work, sheets) = laid(&jobs()[1].1);
    let page = &sheets.pages[0];
    let mut seen: std::collections::BTreeMap<i64, usize> = Default::default();
    for o in &work.piece.openings {
        let marks = page.marks.iter().filter(|m| m.opening == o.n && m.copy == 1 && m.group != Group::Words);
        let count = marks.count();
        let key = (o.area * 1e4).round() as i64;
        assert_eq!(*seen.entry(key).or_insert(count), count, "opening {} of {} mm2", o.n, o.area);
    }
}

#[test]
fn the_legend_has_exactly_the_signs_used() {
    for (name, job) in jobs() {
        let (work, sheets) = laid(&job);
        let page = &sheets.pages[0];
        let said = said(page);
        let theirs = || page.marks.iter().filter(|m| m.copy != 0);
        let dashed = |on: f64, off: f64| {
            theirs().any(|m| match &m.ink {
                Ink::Line { pen, .. } => pen.dash == Some((on, off)),
                Ink::Circle { pen: Some(pen), .. } => pen.dash == Some((on, off)),
                _ => false,
            })
        };
        // Least finished widths of a practised hand: 1.0 mm, 2.0 at the border; pointed out one by one up to 24.
        let limit = |b: &Bridge| if b.between.contains(&Side::Edge) { 2.0 } else { 1.0 };
        // What lies between a hole and the edge is no bridge that is sawn.
        let sawn = |b: &&Bridge| b.between.iter().any(|side| matches!(side, Side::Opening(_)));
        let thin =
            work.graph.bridges.iter().filter(sawn).filter(|b| b.finished.get() < limit(b) - 1e-6).count();
        let thin = (1..=24).contains(&thin);
        let numbered = !numbers(page, 0, work.piece.openings.len()).is_empty()
            || !numbers(page, 1, work.piece.openings.len()).is_empty();
        let band = work.piece.outline.seam.is_some();
        for (sentence, there) in [
            ("A hole that stays", !work.piece.outline.holes.is_empty()),
            ("It hangs along this line", dashed(0.8, 0.5)),
            ("Scribe this ring", dashed(0.3, 0.5)),
            ("Tinted is waste", job.paper.shade == Shade::Waste),
            ("REVERSED", job.paper.shade == Shade::Metal),
            ("The line lies in the waste", true),
            ("Punch in the open middle", true),
            ("The number is the order", numbered),
            ("The saw comes to the line at the dot", numbered),
            ("Thin when finished", thin),
            ("Quarters: measure", !band),
            (": the seam", band),
            ("Dashed end", band),
            ("Top of the piece", true),
            ("Safety glasses on;", true),
            ("Cut the paper along the dashes", true),
        ] {
            // A sentence may run over lines: its words follow each other all the same.
            assert_eq!(said.contains(sentence), there, "{name}: {sentence}\n{said}");
        }
        let bezel = job.construction.bezel.is_some();
        assert_eq!(dashed(0.3, 0.5), bezel, "{name}: the ring the card says to scribe");
    }
}

#[test]
fn nothing_that_is_needed_stands_beyond_the_trim_line() {
    for (name, job) in jobs() {
        let (_, sheets) = laid(&job);
        for page in sheets.pages.iter().filter(|p| p.kind == PageKind::Template) {
            for copy in page.copies.iter().map(|c| c.k) {
                let theirs = || page.marks.iter().filter(|m| m.copy == copy);
                let dashes: Option<Rect> = theirs()
                    .filter(|m| matches!(&m.ink, Ink::Closed { pen, .. } if pen.dash == Some((1.6, 1.0))))
                    .map(Mark::bounds)
                    .reduce(|a, b| a.union(b));
                let trim = dashes.expect("a trim line");
                for m in theirs() {
                    let b = m.bounds();
                    let inside = b.x0 >= trim.x0 - 0.01
                        && b.x1 <= trim.x1 + 0.01
                        && b.y0 >= trim.y0 - 0.01
                        && b.y1 <= trim.y1 + 0.01;
                    assert!(inside, "{name}: {m:?} beyond {trim:?}");
                }
            }
        }
    }
}

/// Found by hand: letters the type has not came out as "??", and Hebrew read from the wrong side, with nothing said.
#[test]
fn a_title_that_cannot_be_set_is_said_and_hebrew_reads_from_the_right() {
    let titled = |title: &str| {
        let job = made::job(&made::disc(&[("title", &format!("\"{title}\""))], ""));
        let (_, sheets) = laid(&job);
        said(&sheets.pages[0])
    };
    for title in ["\u{6708}\u{5149}", "\u{0642}\u{0645}\u{0631}"] {
        let said = titled(title);
        assert!(!said.contains('?') && !said.contains(title), "{said}");
        assert!(said.contains("no type for") && said.contains("Job "), "{said}");
    }
    let said = titled("\u{05d9}\u{05e8}\u{05d7} 12");
    assert!(said.contains("12 \u{05d7}\u{05e8}\u{05d9}"), "{said}");
    assert!(titled("Caf\u{e9} \u{0141}\u{00f3}d\u{017a}").contains("Caf\u{e9} \u{0141}\u{00f3}d\u{017a}"));
}

#[test]
fn every_sheet_says_which_of_how_many_it_is() {
    for (name, job) in jobs() {
        let (_, sheets) = laid(&job);
        let count = sheets.pages.len();
        for (i, page) in sheets.pages.iter().enumerate() {
            let folio = format!("Sheet {} of {count}", i + 1);
            assert_eq!(page.words().filter(|w| w.text == folio).count(), 1, "{name}: {folio}");
        }
    }
}

#[test]
fn the_whole_card_has_the_sums_the_brief_one_leaves_out() {
    let text = |more: &str| {
        let (_, sheets) = laid(&made::job(&made::disc(&[], more)));
        let cards = sheets.pages.iter().filter(|p| p.kind == PageKind::Card);
        cards.map(said).collect::<Vec<_>>().join(" ")
    };
    let (brief, full) = (text(""), text("[paper]\ncard = \"full\"\n"));
    assert!(full.len() > brief.len() + 500, "{} and {} letters", full.len(), brief.len());
    assert!(full.contains("maker's") && !brief.contains("maker's"));
}

#[test]
fn a_quote_is_one_sheet_with_one_price_and_nothing_of_the_bench() {
    let priced = made::disc(&[("sheet.price_per_gram", "0.9"), ("rates.per_hour", "40")], "");
    let (work, sheets) = laid(&made::job(&priced));
    let quotes: Vec<String> = sheets.pages.iter().map(said).filter(|t| t.starts_with("Quote")).collect();
    let [quote] = &quotes[..] else { panic!("{} quotes", quotes.len()) };
    let price = format!("{:.0}", work.plan.batch.price.expect("priced"));
    assert_eq!(quote.split(' ').filter(|w| *w == price).count(), 1, "{quote}");
    for word in ["maker", "buyer", "date", "Disc"] {
        assert!(quote.contains(word), "{quote}");
    }
    for word in ["min", "hour", "blade", "STOP", "thin"] {
        assert!(!quote.split(' ').any(|w| w == word), "{word}: {quote}");
    }
    let (_, sheets) = laid(&jobs()[0].1);
    assert!(sheets.pages.iter().all(|p| !said(p).starts_with("Quote")));
}

/// Found by hand: paper of 100 x 90 mm had no legend and no safety line at all, and on A6 they took a sheet of their own.
#[test]
fn the_smallest_paper_keeps_its_legend_below_the_view_or_on_a_sheet() {
    for (size, most) in [("\"A6\"", 2), ("[100, 90]", 3)] {
        let paper = format!("[paper]\nsize = {size}\n");
        let small = [("outline.diameter", "30"), ("pattern.pitch", "8")];
        let (_, sheets) = laid(&made::job(&made::disc(&small, &paper)));
        let before: Vec<&Page> = sheets.pages.iter().filter(|p| p.kind != PageKind::Card).collect();
        let said = before.iter().map(|p| said(p)).collect::<Vec<_>>().join(" ");
        for sentence in ["Tinted is waste", "Punch in the", "Safety glasses on;", "Cut the paper"] {
            assert!(said.contains(sentence), "{size}: {sentence}\n{said}");
        }
        assert!(before.len() <= most, "{size}: {} sheets before the card", before.len());
    }
}

/// Ink, from 0 to 1, of a page's picture.
struct Picture {
    wide: usize,
    ink: Vec<f32>,
    per_mm: f64,
}

impl Picture {
    fn of(page: &Page, dpi: f64) -> Self {
        let bytes = png::png(page, dpi).expect("a picture");
        let map = tiny_skia::Pixmap::decode_png(&bytes).expect("read back");
        let ink = map.pixels().iter().map(|p| 1.0 - f32::from(p.red()) / 255.0).collect();
        Self { wide: map.width() as usize, ink, per_mm: f64::from(map.width()) / page.width }
    }

    fn at(&self, p: Point) -> f32 {
        let (x, y) = ((p.x * self.per_mm) as usize, (p.y * self.per_mm) as usize);
        self.ink.get(y * self.wide + x).copied().unwrap_or(0.0)
    }

    /// A poor copier: every point takes the mean of the 0.2 mm round it, then turns black or white at the half.
    fn copied(&self) -> Self {
        let r = (0.1 * self.per_mm).round() as isize;
        let (wide, tall) = (self.wide as isize, (self.ink.len() / self.wide) as isize);
        let mean = |line: &dyn Fn(isize) -> f32, at: isize, most: isize| {
            let (a, b) = ((at - r).max(0), (at + r).min(most - 1));
            (a..=b).map(line).sum::<f32>() / (b - a + 1) as f32
        };
        let mut across = vec![0.0; self.ink.len()];
        for y in 0..tall {
            for x in 0..wide {
                across[(y * wide + x) as usize] = mean(&|i| self.ink[(y * wide + i) as usize], x, wide);
            }
        }
        let mut ink = vec![0.0; self.ink.len()];
        for y in 0..tall {
            for x in 0..wide {
                let v = mean(&|i| across[(i * wide + x) as usize], y, tall);
                ink[(y * wide + x) as usize] = if v >= 0.5 { 1.0 } else { 0.0 };
            }
        }
        Self { wide: self.wide, ink, per_mm: self.per_mm }
    }
}

/// The first template alone, moved to a small page so that the picture stays small.
fn template_alone(page: &Page) -> Page {
    let theirs: Vec<&Mark> = page.marks.iter().filter(|m| m.copy == 1).collect();
    let all = theirs.iter().map(|m| m.bounds()).reduce(|a, b| a.union(b)).expect("marks");
    let by = Point::new(2.0, 2.0) - all.origin();
    let mut alone = Page::new(PageKind::Template, (all.width() + 4.0, all.height() + 4.0));
    alone.marks = theirs.iter().map(|m| m.shifted(by, 1)).collect();
    alone
}

#[test]
fn a_poor_photocopy_keeps_every_line_and_every_punch_mark() {
    for drill in ["1.0", "0.5"] {
        let job = made::job(&made::disc(&[("saw.drill", drill)], ""));
        let (_, sheets) = laid(&job);
        let page = template_alone(&sheets.pages[0]);
        let copy = Picture::of(&page, 600.0).copied();
        // Black within 0.12 mm of a point.
        let black = |p: Point| {
            (-2..=2).any(|i| {
                (-2..=2)
                    .any(|j| copy.at(Point::new(p.x + 0.06 * f64::from(i), p.y + 0.06 * f64::from(j))) > 0.5)
            })
        };
        for m in &page.marks {
            match (&m.ink, m.group) {
                (Ink::Closed { rings, .. }, Group::SawLines) => {
                    for p in rings[0].flatten(0.05) {
                        assert!(black(p), "the saw line is lost at {p:?}");
                    }
                }
                (Ink::Circle { at, radius, .. }, Group::DrillPoints) => {
                    let round = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]
                        .map(|(x, y)| Point::new(at.x + x * radius, at.y + y * radius));
                    assert!(round.iter().all(|p| black(*p)), "the mark at {at:?} is lost");
                    assert!(
                        copy.at(*at) < 0.5 || *radius < 0.3,
                        "the middle of the mark at {at:?} ran together"
                    );
                }
                _ => {}
            }
        }
        // Tint drops out: the middle of a bridge and the middle of the waste are both white.
        assert!(copy.ink.iter().filter(|v| **v > 0.5).count() < copy.ink.len() / 5);
    }
}

#[test]
fn the_middle_of_a_small_punch_mark_is_bare_at_1200_dots_to_the_inch() {
    let job = made::job(&made::disc(&[("saw.drill", "0.5"), ("pattern.pitch", "4")], ""));
    let (_, sheets) = laid(&job);
    let page = template_alone(&sheets.pages[0]);
    let picture = Picture::of(&page, 1200.0);
    for m in page.marks.iter().filter(|m| m.group == Group::DrillPoints) {
        let Ink::Circle { at, .. } = &m.ink else { panic!("a circle") };
        // The tint of the waste and no more within 0.125 mm.
        for (x, y) in [(0.0, 0.0), (0.11, 0.0), (0.0, 0.11), (-0.11, 0.0), (0.0, -0.11), (0.08, 0.08)] {
            let ink = picture.at(Point::new(at.x + x, at.y + y));
            assert!(ink < 0.25, "{ink} at {at:?} + ({x}, {y})");
        }
    }
}
