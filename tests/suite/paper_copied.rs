//! What is left of a template on a poor photocopy, and how open a punch mark is in a fine picture.

use crate::made;
use crate::paper_signs::{jobs, laid};
use sawpierce::geom::Point;
use sawpierce::paper::{Group, Ink, Mark, Page, PageKind};
use sawpierce::render::png;

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
    alone.marks = theirs.iter().map(|m| (*m).clone().shifted(by, 1)).collect();
    alone
}

#[test]
fn a_poor_photocopy_keeps_every_line_and_every_punch_mark() {
    let mut copied = jobs();
    for (name, drill) in [("drill of 0.5", "0.5"), ("drill of 0.35", "0.35"), ("drill of 1.6", "1.6")] {
        copied.push((name, made::job(&made::disc(&[("saw.drill", drill), ("pattern.pitch", "7")], ""))));
    }
    let fine = [
        ("pattern.pitch", "3.2"),
        ("pattern.bridge", "0.9"),
        ("saw.drill", "0.5"),
        ("outline.diameter", "30"),
    ];
    copied.push(("fine openings", made::job(&made::disc(&fine, ""))));
    let petals = [("pattern.name", "\"six-petal\""), ("pattern.pitch", "9"), ("saw.drill", "0.6")];
    copied.push(("petals", made::job(&made::disc(&petals, ""))));
    for (name, job) in copied {
        let (work, sheets) = laid(&job);
        let page = template_alone(&sheets.pages[0]);
        let copy = Picture::of(&page, 600.0).copied();
        // Black within 0.12 mm of a point.
        let black = |p: Point| {
            (-2..=2).any(|i| {
                (-2..=2)
                    .any(|j| copy.at(Point::new(p.x + 0.06 * f64::from(i), p.y + 0.06 * f64::from(j))) > 0.5)
            })
        };
        let (mut lines, mut marks) = (0, 0);
        for m in &page.marks {
            match (&m.ink, m.group) {
                (Ink::Closed { rings, .. }, Group::SawLines) => {
                    for ring in rings {
                        lines += 1;
                        for p in ring.flatten(0.05) {
                            assert!(black(p), "{name}: the saw line is lost at {p:?}");
                        }
                    }
                }
                (Ink::Circle { at, radius, .. }, Group::DrillPoints | Group::WindowDrillPoints) => {
                    marks += 1;
                    let round = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]
                        .map(|(x, y)| Point::new(at.x + x * radius, at.y + y * radius));
                    assert!(round.iter().all(|p| black(*p)), "{name}: the mark at {at:?} is lost");
                    assert!(
                        copy.at(*at) < 0.5 || *radius < 0.3,
                        "{name}: the middle of the mark at {at:?} ran together"
                    );
                }
                _ => {}
            }
        }
        let outline = &work.piece.outline;
        let sawn = work.piece.openings.len() + outline.windows.len();
        assert!(lines > sawn && marks == sawn, "{name}: {lines} lines, {marks} marks of {sawn}");
        // Tint drops out: the middle of a bridge and the middle of the waste are both white.
        let share = copy.ink.iter().filter(|v| **v > 0.5).count() as f64 / copy.ink.len() as f64;
        assert!(share < 0.3, "{name}: {share:.2} is black");
    }
}

#[test]
fn the_middle_of_a_punch_mark_is_bare_at_1200_dots_to_the_inch() {
    let jobs =
        [("0.5", "4", ""), ("0.35", "4", ""), ("1.0", "8", ""), ("0.5", "4", "[paper]\nmarks = \"few\"\n")];
    for (drill, pitch, more) in jobs {
        let job = made::job(&made::disc(
            &[("saw.drill", drill), ("pattern.pitch", pitch), ("outline.diameter", "30")],
            more,
        ));
        let (work, sheets) = laid(&job);
        let page = template_alone(&sheets.pages[0]);
        let picture = Picture::of(&page, 1200.0);
        let mut looked_at = 0;
        for m in page.marks.iter().filter(|m| m.group == Group::DrillPoints) {
            let Ink::Circle { at, .. } = &m.ink else { panic!("a circle") };
            looked_at += 1;
            // The tint of the waste and no more within 0.125 mm, of a finer drill within its circle: every dot.
            let open = (drill.parse::<f64>().expect("a number") / 2.0 - 0.11).min(0.125);
            let step = 25.4 / 1200.0;
            for (i, j) in (-6..=6).flat_map(|i| (-6..=6).map(move |j| (i, j))) {
                let off = Point::new(step * f64::from(i), step * f64::from(j));
                if off.x.hypot(off.y) < open - 0.5 * step {
                    let ink = picture.at(Point::new(at.x + off.x, at.y + off.y));
                    assert!(ink < 0.25, "drill {drill}: {ink} at {at:?} + {off:?}");
                }
            }
        }
        assert_eq!(looked_at, work.piece.openings.len());
    }
}
