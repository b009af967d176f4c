//! The page model: what stands where, at true size, and that nothing covers what must be seen.

mod made;

use kurbo::{Point, Rect};
use sawpierce::checks::Level;
use sawpierce::geom::Ring;
use sawpierce::job::*;
use sawpierce::paper::{lay_out, send_out_for, true_size, Group, Ink, Kind, Mark, Page, SAW_LINE};
use sawpierce::trade;
use sawpierce::units::Mm;
use sawpierce::work::{work, Work};

fn disc() -> Job {
    made::job(made::DISC)
}

/// Jobs that between them use every kind of page.
fn jobs() -> Vec<(String, Job)> {
    made_here().into_iter().map(|(n, j)| (n.to_string(), j)).chain(examples()).collect()
}

/// The shipped examples that name no other file.
fn examples() -> Vec<(String, Job)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples");
    let mut files: Vec<_> =
        std::fs::read_dir(folder).expect("examples").map(|e| e.expect("entry").path()).collect();
    files.retain(|p| p.extension().is_some_and(|e| e == "toml"));
    files.sort();
    let texts = files.iter().map(|p| (p.display().to_string(), std::fs::read_to_string(p).expect("text")));
    texts
        .filter(|(_, text)| sawpierce::job::needs(text).is_ok_and(|n| n.is_empty()))
        .map(|(name, text)| (name, made::job(&text)))
        .collect()
}

fn made_here() -> Vec<(&'static str, Job)> {
    let disc = disc();
    let mut all = vec![("disc", disc.clone())];
    let with = |name: &'static str, change: &dyn Fn(&mut Job)| {
        let mut job = disc.clone();
        change(&mut job);
        (name, job)
    };
    all.push(with("large openings", &|j| {
        j.pattern.pitch = Some(Mm(9.0));
        j.outline.shape = Shape::Rectangle { width: Mm(90.0), height: Mm(60.0), corner_radius: Mm(5.0) };
    }));
    all.push(with("small openings", &|j| {
        j.pattern.pitch = Some(Mm(2.8));
        j.saw.drill = Mm(0.6);
    }));
    all.push(with("triangles", &|j| {
        j.pattern.source = PatternSource::Repeat(sawpierce::catalogue::find("triangle").expect("shipped"));
        j.pattern.pitch = Some(Mm(14.0));
        j.outline.shape = Shape::Ellipse { width: Mm(70.0), height: Mm(50.0) };
    }));
    all.push(with("pair", &|j| {
        j.pair = true;
        j.paper.copies = 4;
        j.outline.shape = Shape::Ellipse { width: Mm(20.0), height: Mm(30.0) };
    }));
    all.push(with("window, hole and lug", &|j| {
        j.windows.push(WindowSpec {
            name: "stone window".into(),
            shape: Shape::Circle { diameter: Mm(9.0) },
            turn: 0.0,
            at: Point::new(0.0, -4.0),
            border: Mm(1.2),
        });
        j.holes.push(HoleSpec { name: "rivet".into(), diameter: Mm(1.8), at: Point::new(0.0, 12.0) });
        j.lugs.push(LugSpec { at_angle: 90.0, width: Mm(6.0), height: Mm(4.0), hole: Mm(1.8) });
    }));
    all.push(with("mirrored, on a corrected printer", &|j| {
        j.paper.transfer = Transfer::RubDown;
        j.paper.correction = (97.8, 98.1);
        j.construction.rim = Some(Rim { height: Mm(5.0), thickness: Mm(0.5), sits: RimSits::UnderPlate });
        j.construction.back = Some(Back { thickness: Mm(0.7), overhang: Mm(1.0) });
    }));
    all.push(with("labels", &|j| {
        j.outline.shape = Shape::Circle { diameter: Mm(32.0) };
        j.paper.copies = 14;
        j.paper.labels = Some(LabelGrid {
            across: 3,
            down: 4,
            width: Mm(63.0),
            height: Mm(70.0),
            left: Mm(8.0),
            top: Mm(8.0),
            gap_across: Mm(2.0),
            gap_up: Mm(0.0),
        });
    }));
    all.push(with("split panel", &|j| {
        j.outline.shape = Shape::Rectangle { width: Mm(540.0), height: Mm(500.0), corner_radius: Mm(0.0) };
        j.pattern.pitch = Some(Mm(26.0));
        j.pattern.bridge = Mm(4.0);
        j.outline.border = Mm(12.0);
    }));
    all.push(with("small paper", &|j| {
        j.paper.size = trade::paper("A5").expect("listed").clone();
        j.title = "A title so long that it has to be cut short before it runs into the job's number".into();
    }));
    all.push(with("letter, inches", &|j| {
        j.paper.size = trade::paper("Letter").expect("listed").clone();
        j.units = LengthUnit::Inch;
    }));
    all
}

fn laid(job: &Job) -> (Work, sawpierce::paper::Sheets) {
    let work = work(job).expect("the job can be made");
    let sheets = lay_out(&[(job, &work)]);
    (work, sheets)
}

fn each_page(mut look: impl FnMut(&str, &Job, &Work, &Page)) {
    for (name, job) in jobs() {
        let (work, sheets) = laid(&job);
        assert!(!sheets.pages.is_empty(), "{name}");
        for page in &sheets.pages {
            look(&name, &job, &work, page);
        }
    }
}

fn shrunk(r: Rect) -> Rect {
    r.inset(-0.01)
}

#[test]
fn no_two_words_overlap() {
    each_page(|name, _, _, page| {
        let words: Vec<_> = page.words().map(|w| (w.text.as_str(), shrunk(w.bounds()))).collect();
        for (i, (a, ra)) in words.iter().enumerate() {
            for (b, rb) in &words[i + 1..] {
                assert!(!ra.overlaps(*rb), "{name}, {:?}: {a:?} {ra:?} and {b:?} {rb:?}", page.kind);
            }
        }
    });
}

#[test]
fn nothing_is_printed_where_a_printer_cannot_reach() {
    each_page(|name, job, _, page| {
        // In the corrected file the page is stretched about its middle; what it stretches to must stay inside 6 mm.
        let reach = |v: f64, size: f64, c: f64| size / 2.0 + (v - size / 2.0) * 100.0 / c;
        let labels = job.paper.labels.is_some();
        for mark in &page.marks {
            // On label pages the trial's dashed edges lie where the labels do.
            if labels && mark.group == Group::Guides {
                continue;
            }
            let mut b = mark.bounds();
            if let (Some(w), true) = (page.window, mark.copy != 0) {
                b = b.intersect(w);
            }
            let x0 = reach(b.x0, page.width, page.correction.0);
            let x1 = reach(b.x1, page.width, page.correction.0);
            let y0 = reach(b.y0, page.height, page.correction.1);
            let y1 = reach(b.y1, page.height, page.correction.1);
            let edge = 5.999;
            assert!(
                x0 >= edge && y0 >= edge && x1 <= page.width - edge && y1 <= page.height - edge,
                "{name}, {:?}: {:?} at {b:?}",
                page.kind,
                mark.ink
            );
        }
    });
}

/// Whether a ring's line passes through a box.
fn touches(ring: &Ring, room: Rect) -> bool {
    let points = ring.flatten(0.01);
    points.iter().enumerate().any(|(i, p)| {
        let q = points[(i + 1) % points.len()];
        let n = ((q - *p).hypot() / 0.05).ceil().max(1.0) as usize;
        (0..=n).any(|k| room.contains(*p + (q - *p) * (k as f64 / n as f64)))
    })
}

#[test]
fn words_cover_no_cut_edge_and_no_punch_mark() {
    each_page(|name, _, _, page| {
        if page.kind != Kind::Template {
            return;
        }
        let words: Vec<_> = page.words().map(|w| (w.text.clone(), shrunk(w.bounds()))).collect();
        for mark in &page.marks {
            match (&mark.ink, mark.group) {
                (Ink::Closed { rings, pen }, Group::SawLines) => {
                    for (text, room) in &words {
                        let room = room.inset(pen.width / 2.0 + 0.1);
                        if page.window.is_some_and(|w| !w.overlaps(room)) {
                            continue;
                        }
                        for ring in rings.iter().filter(|r| r.bounds().inset(0.1).overlaps(room)) {
                            assert!(!touches(ring, room), "{name}: {text:?} lies on the saw line");
                        }
                    }
                }
                (_, Group::PunchMarks | Group::DrillPoints | Group::WindowDrillPoints) => {
                    for (text, room) in &words {
                        let b = mark.bounds();
                        // A circle's box is larger than the circle: ask the circle itself.
                        let covers = match &mark.ink {
                            Ink::Circle { at, radius, .. } => {
                                let near =
                                    Point::new(at.x.clamp(room.x0, room.x1), at.y.clamp(room.y0, room.y1));
                                (near - *at).hypot() < *radius
                            }
                            _ => b.overlaps(*room),
                        };
                        assert!(!covers, "{name}: {text:?} covers {:?}", mark.ink);
                    }
                }
                _ => {}
            }
        }
    });
}

#[test]
fn nothing_is_set_too_small_to_read() {
    each_page(|name, _, _, page| {
        for w in page.words() {
            assert!(w.size >= 6.0, "{name}: {:?} at {} points", w.text, w.size);
        }
    });
}

fn lines(page: &Page, group: Group) -> impl Iterator<Item = (Point, Point)> + '_ {
    page.marks.iter().filter(move |m| m.group == group).filter_map(|m| match &m.ink {
        Ink::Line { points, .. } => Some((points[0], points[points.len() - 1])),
        _ => None,
    })
}

#[test]
fn every_template_page_carries_both_bars_and_every_template_the_short_one() {
    each_page(|name, job, _, page| {
        if page.kind != Kind::Template {
            return;
        }
        let spans = |dx: f64, dy: f64| {
            lines(page, Group::ScaleBar)
                .filter(|(a, b)| {
                    ((b.x - a.x).abs() - dx).abs() < 1e-9 && ((b.y - a.y).abs() - dy).abs() < 1e-9
                })
                .count()
        };
        if job.paper.labels.is_none() {
            assert_eq!(spans(100.0, 0.0), 1, "{name}: bar across");
            assert_eq!(spans(0.0, 100.0), 1, "{name}: bar up");
        }
        if page.window.is_none() {
            assert_eq!(spans(20.0, 0.0), page.copies.len(), "{name}: short bars");
        }
    });
}

#[test]
fn the_saw_line_lies_wholly_in_the_waste_with_its_metal_side_on_the_drawn_edge() {
    for (line, inward) in [(SawLine::Waste, SAW_LINE / 2.0), (SawLine::Split, 0.0)] {
        let mut job = disc();
        job.paper.line = line;
        let (work, sheets) = laid(&job);
        let page = &sheets.pages[0];
        let place = page.copies[0].place;
        let mut seen = 0;
        for mark in page.marks.iter().filter(|m| m.group == Group::SawLines) {
            let Ink::Closed { rings, pen } = &mark.ink else { panic!("a saw line is closed") };
            assert_eq!(pen.width, SAW_LINE);
            let ring = &rings[0];
            if mark.opening == 0 {
                let b = ring.bounds();
                assert!((b.width() - (46.0 + 2.0 * inward)).abs() < 1e-6);
                continue;
            }
            let drawn = place.ring(&work.piece.openings[mark.opening - 1].ring);
            // Every corner of the printed line's middle is half a line inside the drawn edge.
            for p in ring.flatten(0.01) {
                let away = drawn.edges().map(|e| (e.nearest(p) - p).hypot()).fold(f64::MAX, f64::min);
                assert!((away - inward).abs() < 1e-6, "opening {}: {away}", mark.opening);
                assert!(inward == 0.0 || drawn.contains(p));
            }
            seen += 1;
        }
        assert_eq!(seen, work.piece.openings.len());
    }
}

#[test]
fn drill_circles_are_true_size_one_to_an_opening_and_marks_go_by_size() {
    let mut job = disc();
    job.pattern.pitch = Some(Mm(7.0));
    let (work, sheets) = laid(&job);
    let page = &sheets.pages[0];
    for o in &work.piece.openings {
        let of = |g: Group| page.marks.iter().filter(move |m| m.group == g && m.opening == o.n);
        let drills: Vec<&Mark> = of(Group::DrillPoints).collect();
        assert_eq!(drills.len(), 1);
        let Ink::Circle { at, radius, .. } = &drills[0].ink else { panic!("a drill mark is a circle") };
        assert_eq!(*radius, job.saw.drill.get() / 2.0);
        assert!((*at - page.copies[0].place.point(o.drill_at)).hypot() < 1e-9);
        // facts of the trade's paper: cross from 4 mm, a dot under it; hatching from 4 mm.
        let crosses = of(Group::PunchMarks).filter(|m| matches!(m.ink, Ink::Line { .. })).count();
        let hatched = of(Group::Shade).count() > 0;
        assert_eq!(hatched, o.widest.get() >= 4.0, "opening {} is {} wide", o.n, o.widest);
        assert_eq!(crosses >= 2, o.widest.get() >= 4.0);
    }
}

#[test]
fn every_opening_has_its_number_on_the_template_or_on_a_key_map() {
    for (name, job) in jobs() {
        let (work, sheets) = laid(&job);
        for o in &work.piece.openings {
            let label = o.n.to_string();
            let numbered = sheets
                .pages
                .iter()
                .filter(|p| matches!(p.kind, Kind::Template | Kind::KeyMap))
                .any(|p| p.words().any(|w| w.text == label));
            assert!(numbered, "{name}: opening {label} has no number");
        }
    }
}

#[test]
fn a_pair_is_a_true_mirror_and_says_which_is_which() {
    let mut job = disc();
    job.pair = true;
    let (work, sheets) = laid(&job);
    let page = &sheets.pages[0];
    assert_eq!(page.copies.iter().map(|c| c.place.mirrored).collect::<Vec<_>>(), [false, true]);
    let texts: Vec<&str> = page.words().map(|w| w.text.as_str()).collect();
    assert!(texts.contains(&"L") && texts.contains(&"R"));
    let o = &work.piece.openings[work.piece.openings.len() - 1];
    let [l, r] = [page.copies[0].place, page.copies[1].place];
    let (a, b) = (l.point(o.drill_at) - l.middle, r.point(o.drill_at) - r.middle);
    assert!((a.x + b.x).abs() < 1e-9 && (a.y - b.y).abs() < 1e-9);
}

#[test]
fn rubbing_down_mirrors_and_says_so_in_large_letters() {
    let mut job = disc();
    job.paper.transfer = Transfer::RubDown;
    let (_, sheets) = laid(&job);
    assert!(sheets.pages[0].copies[0].place.mirrored);
    assert!(sheets.pages[0].words().any(|w| w.text == "MIRRORED" && w.size >= 14.0));
}

#[test]
fn a_piece_too_big_is_refused_with_the_paper_that_would_do() {
    let mut job = disc();
    job.outline.shape = Shape::Circle { diameter: Mm(240.0) };
    job.pattern.pitch = Some(Mm(14.0));
    let (_, sheets) = laid(&job);
    let v = &sheets.verdicts[0];
    assert_eq!((v.check, v.level), ("paper-fit", Level::Stop));
    assert!(v.remedy.as_deref().is_some_and(|r| r.contains("A3")), "{:?}", v.remedy);
    assert!(sheets.pages.iter().all(|p| p.kind == Kind::Card), "the PDF holds the job card only");
    let whole = sheets.oversize.as_ref().expect("one page as large as needed");
    assert!(whole.width > 240.0 && whole.height > 240.0);
    // And that paper does.
    job.paper.size = trade::paper("A3").expect("listed").clone();
    let (_, sheets) = laid(&job);
    assert_eq!(sheets.verdicts[0].level, Level::Good);
    // Something that fits only lying wide is laid wide, not refused.
    job.paper.size = trade::paper("A4").expect("listed").clone();
    job.outline.shape = Shape::Rectangle { width: Mm(250.0), height: Mm(120.0), corner_radius: Mm(0.0) };
    let (_, sheets) = laid(&job);
    assert_eq!(sheets.verdicts[0].level, Level::Good);
    assert!(sheets.pages[0].width > sheets.pages[0].height);
}

#[test]
fn pages_of_a_split_panel_join_to_the_micrometre() {
    let (_, job) = jobs().into_iter().find(|(n, _)| n == "split panel").expect("in the list");
    let (work, sheets) = laid(&job);
    assert_eq!(sheets.verdicts[0].level, Level::Caution);
    let tiles: Vec<&Page> = sheets.pages.iter().filter(|p| p.kind == Kind::Template).collect();
    // 540 x 500 mm on A4: 3 across and 2 down, as the panel's story works out by hand.
    assert_eq!(tiles.len(), 6);
    // The same join mark on two pages lies at the same place of the piece.
    let mut marks: std::collections::BTreeMap<(i64, i64), Vec<Point>> = Default::default();
    for tile in &tiles {
        let middle = tile.copies[0].place.middle;
        let window = tile.window.expect("a tile has a window");
        for m in tile.marks.iter().filter(|m| m.group == Group::Guides && m.copy == 0) {
            if let Ink::Circle { at, radius, .. } = &m.ink {
                assert!(window.contains(*at) && *radius == 2.0);
                let on = *at - middle;
                marks
                    .entry(((on.x * 10.0).round() as i64, (on.y * 10.0).round() as i64))
                    .or_default()
                    .push(on.to_point());
            }
        }
    }
    assert_eq!(marks.len(), 14, "two on each of seven shared edges");
    for spots in marks.values() {
        assert!(spots.len() >= 2, "{spots:?}");
        assert!(spots.iter().all(|s| (*s - spots[0]).hypot() < 1e-6));
    }
    // Every opening is whole in what the pages show together: its drill point is on one of them.
    for o in &work.piece.openings {
        let on =
            tiles.iter().any(|t| t.window.is_some_and(|w| w.contains(t.copies[0].place.point(o.drill_at))));
        assert!(on, "opening {}", o.n);
    }
}

#[test]
fn a_hundred_copies_each_keep_to_themselves() {
    let mut job = disc();
    job.paper.copies = 100;
    let (_, sheets) = laid(&job);
    let mut k = 0;
    for page in sheets.pages.iter().filter(|p| p.kind == Kind::Template) {
        let trims: Vec<Rect> = page
            .copies
            .iter()
            .map(|c| {
                let b: Vec<Rect> = page.marks.iter().filter(|m| m.copy == c.k).map(|m| m.bounds()).collect();
                b.into_iter().reduce(|a, b| a.union(b)).expect("marks")
            })
            .collect();
        for (i, a) in trims.iter().enumerate() {
            assert!(trims[i + 1..].iter().all(|b| !a.overlaps(*b)));
        }
        k += page.copies.len();
    }
    assert_eq!(k, 100);
}

#[test]
fn several_jobs_share_a_page() {
    let (a, mut b) = (disc(), disc());
    b.title = "Second".into();
    b.outline.shape = Shape::Circle { diameter: Mm(30.0) };
    let (wa, wb) = (work(&a).expect("a"), work(&b).expect("b"));
    let sheets = lay_out(&[(&a, &wa), (&b, &wb)]);
    assert_eq!(sheets.pages[0].copies.len(), 2);
    assert!(sheets.pages[0].words().any(|w| w.text.contains("Disc + Second")));
    let cards = sheets.pages.iter().filter(|p| p.kind == Kind::Card).count();
    assert!(cards >= 2);
}

#[test]
fn the_job_number_stays_while_the_job_does() {
    let job = disc();
    let number = sawpierce::paper::job_number(&job);
    assert_eq!(number.len(), 7);
    let mut other = job.clone();
    other.file = "elsewhere.toml".into();
    other.paper.copies = 9;
    assert_eq!(sawpierce::paper::job_number(&other), number);
    other.pattern.bridge = Mm(1.25);
    assert_ne!(sawpierce::paper::job_number(&other), number);
}

#[test]
fn a_corrected_page_says_so_and_what_the_printer_would_have_done() {
    // A 46 mm disc printed at 97.8 and 98.1 %: 46 x 0.9795 = 45.06 mm.
    let mut job = disc();
    job.paper.correction = (97.8, 98.1);
    let (_, sheets) = laid(&job);
    let text: String = sheets.pages[0].words().map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ");
    assert!(text.contains("CORRECTED") && text.contains("97.8") && text.contains("45.06"), "{text}");
    // A US 7 band, 1 mm thick, at 97.8 %: half a US size small, as the trade's story has it.
    let mut ring = disc();
    ring.outline.shape =
        Shape::Band { inside: Mm(17.32), width: Mm(8.0), thickness: Mm(1.0), plain: Mm(0.0) };
    ring.paper.correction = (97.8, 97.8);
    ring.sheet.thickness = Mm(1.0);
    ring.outline.border = Mm(1.2);
    let (_, sheets) = laid(&ring);
    let text: String = sheets.pages[0].words().map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ");
    assert!(text.contains("56.29") || text.contains("56.28"), "{text}");
    assert!(text.contains("0.5 of a US size too small"), "{text}");
    // A wild correction is not applied.
    job.paper.correction = (70.0, 98.0);
    let (_, sheets) = laid(&job);
    assert_eq!(sheets.pages[0].correction, (100.0, 100.0));
}

#[test]
fn the_test_page_holds_bars_square_and_circle() {
    let mut paper = disc().paper;
    let page = true_size(&paper);
    let circle = page
        .marks
        .iter()
        .any(|m| matches!(&m.ink, Ink::Circle { radius, .. } if (*radius - 15.0).abs() < 1e-9));
    let square = page.marks.iter().any(|m| match &m.ink {
        Ink::Closed { rings, .. } => {
            let b = rings[0].bounds();
            (b.width() - 30.0).abs() < 1e-9 && (b.height() - 30.0).abs() < 1e-9
        }
        _ => false,
    });
    assert!(circle && square);
    paper.correction = (97.8, 98.1);
    assert_eq!(true_size(&paper).correction, (97.8, 98.1));
}

#[test]
fn outlines_for_a_cutting_service_are_bare_and_closed() {
    let job = disc();
    let work = work(&job).expect("made");
    let page = &send_out_for(&job, &work, 0.2)[0];
    assert!(page.words().next().is_none());
    assert!(page.marks.iter().all(|m| matches!(m.ink, Ink::Closed { .. })));
    assert_eq!(page.marks.len(), 1 + work.piece.openings.len());
    // The beam takes 0.1 mm on each side: the line stands 0.1 mm in the waste.
    let Ink::Closed { rings, .. } = &page.marks[0].ink else { panic!("closed") };
    assert!((rings[0].bounds().width() - 46.2).abs() < 1e-6);
}

#[test]
fn the_same_job_gives_the_same_marks() {
    let job = disc();
    let (_, a) = laid(&job);
    let (_, b) = laid(&job);
    assert_eq!(format!("{:?}", a.pages), format!("{:?}", b.pages));
}

#[test]
fn odd_papers_and_pieces_still_give_an_answer() {
    let mut job = disc();
    for (width, height) in [(60.0, 60.0), (30.0, 200.0), (105.0, 148.0), (2000.0, 100.0)] {
        job.paper.size = trade::Paper { width, height, ..job.paper.size };
        let (_, sheets) = laid(&job);
        assert_eq!(sheets.verdicts.len(), 1, "{width} x {height}");
        assert!(sheets.oversize.is_some() == (sheets.verdicts[0].level == Level::Stop));
    }
    // Five metres: too many pages to tape, so one page as large as needed, and a stop.
    let mut job = disc();
    job.outline.shape = Shape::Rectangle { width: Mm(5000.0), height: Mm(3000.0), corner_radius: Mm(0.0) };
    job.pattern.pitch = Some(Mm(300.0));
    job.pattern.bridge = Mm(40.0);
    job.outline.border = Mm(100.0);
    let (_, sheets) = laid(&job);
    assert_eq!(sheets.verdicts[0].level, Level::Stop);
    assert!(sheets.oversize.as_ref().is_some_and(|p| p.width > 5000.0));
}
