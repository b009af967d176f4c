//! How the pages are filled: as few as can be, none nearly empty, nothing over anything else.

use crate::made;
use sawpierce::geom::Rect;
use sawpierce::job::Job;
use sawpierce::paper::{lay_out, Group, Ink, Mark, Page, PageKind, Sheets};
use sawpierce::work::Work;
use std::collections::BTreeSet;

const STONE: &str = "[construction]\nrim = { height = 5, thickness = 0.6, sits = \"under-plate\" }\n\
                     back = { thickness = 0.7, overhang = 1.0 }\n\
                     bezel = { stone = 9, thickness = 0.3, height = 3, at = [0, 0], ledge = 1.0, window = true }\n";
const RIM: &str = "[construction]\nrim = { height = 5, thickness = 0.6, sits = \"under-plate\" }\n";
const BEZEL: &str =
    "[construction]\nbezel = { stone = 9, thickness = 0.3, height = 3, at = [0, 0], ledge = 1.0, window = true }\n";

/// Openings too many and too narrow for numbers on A6.
const UNNUMBERED: [(&str, &str); 5] = [
    ("pattern.pitch", "2.0"),
    ("pattern.bridge", "0.8"),
    ("saw.drill", "0.5"),
    ("limits.opening", "0.5"),
    ("outline.diameter", "60"),
];

fn disc(set: &[(&str, &str)], more: &str) -> Job {
    made::job(&made::disc(set, more))
}

fn on(paper: &str) -> String {
    format!("[paper]\nsize = {paper}\n")
}

/// Jobs drawn together: most of them one alone.
fn jobs() -> Vec<(String, Vec<Job>)> {
    let mut all: Vec<(String, Vec<Job>)> = vec![
        ("plain".into(), vec![disc(&[], "")]),
        ("rim".into(), vec![disc(&[], RIM)]),
        ("bezel".into(), vec![disc(&[], BEZEL)]),
        ("rim, plate and stone".into(), vec![disc(&[], STONE)]),
        ("whole card".into(), vec![disc(&[], &(STONE.to_string() + "[paper]\ncard = \"full\"\n"))]),
        ("few marks".into(), vec![disc(&[], "[paper]\nmarks = \"few\"\n")]),
        ("one opening".into(), vec![disc(&[("outline.diameter", "20"), ("pattern.pitch", "30")], "")]),
        ("dense".into(), vec![disc(&[("pattern.pitch", "2.9"), ("saw.drill", "0.6")], "")]),
        ("without room for numbers".into(), vec![disc(&UNNUMBERED, &on("\"A6\""))]),
        ("five together".into(), five()),
        ("split".into(), vec![split()]),
        ("fills its sheet".into(), vec![filling()]),
    ];
    for paper in ["\"A6\"", "[100, 90]", "\"A5\"", "\"A3\"", "\"Letter\""] {
        all.push((format!("on {paper}"), vec![disc(&[("outline.diameter", "36")], &on(paper))]));
        if paper != "[100, 90]" && paper != "\"A6\"" {
            all.push((format!("stone on {paper}"), vec![disc(&[], &(STONE.to_string() + &on(paper)))]));
        }
    }
    all
}

fn five() -> Vec<Job> {
    let tokens = [("30", "6"), ("34", "5"), ("26", "5"), ("38", "4.6"), ("32", "7")];
    let titled = |(i, (across, pitch)): (usize, &(&str, &str))| {
        let title = format!("\"Token {}\"", i + 1);
        disc(&[("title", &title), ("outline.diameter", across), ("pattern.pitch", pitch)], "")
    };
    tokens.iter().enumerate().map(titled).collect()
}

fn panel(width: &str, height: &str, set: &[(&str, &str)]) -> Job {
    let outline = format!("shape = \"rectangle\"\nwidth = {width}\nheight = {height}");
    made::job(&made::with(&made::DISC.replace("shape = \"circle\"\ndiameter = 46", &outline), set))
}

/// A panel that leaves no room for a legend on A4, its openings wide enough for their numbers.
fn filling() -> Job {
    panel(
        "165",
        "205",
        &[("pattern.pitch", "12"), ("pattern.bridge", "2"), ("pattern.at_border", "\"whole\"")],
    )
}

fn split() -> Job {
    let set = [
        ("outline.border", "12"),
        ("pattern.pitch", "24"),
        ("pattern.bridge", "4"),
        ("paper.split", "true"),
        ("pattern.at_border", "\"whole\""),
    ];
    panel("400", "300", &set)
}

fn laid(jobs: &[Job]) -> (Vec<Work>, Sheets) {
    let works: Vec<Work> = jobs.iter().map(made::done).collect();
    let sheets = lay_out(&jobs.iter().zip(&works).collect::<Vec<_>>());
    (works, sheets)
}

fn kinds(sheets: &Sheets) -> Vec<PageKind> {
    sheets.pages.iter().map(|p| p.kind).collect()
}

/// Share of a page's squares of 10 mm that hold ink, the bars left out.
fn filled(page: &Page) -> f64 {
    let mut squares = BTreeSet::new();
    for m in page.marks.iter().filter(|m| m.group != Group::ScaleBar) {
        let b = m.bounds();
        for x in (b.x0 / 10.0) as i64..=(b.x1 / 10.0) as i64 {
            squares.extend(((b.y0 / 10.0) as i64..=(b.y1 / 10.0) as i64).map(|y| (x, y)));
        }
    }
    squares.len() as f64 / (page.width * page.height / 100.0)
}

#[test]
fn no_sheet_but_the_last_is_nearly_empty() {
    for (name, jobs) in jobs() {
        let (_, sheets) = laid(&jobs);
        for (i, page) in sheets.pages.iter().enumerate().take(sheets.pages.len() - 1) {
            let share = filled(page);
            assert!(share >= 0.25, "{name}: sheet {} ({:?}) is {share:.2} filled", i + 1, page.kind);
        }
    }
}

#[test]
fn a_plain_piece_takes_two_sheets_and_one_with_rim_plate_and_stone_at_most_four() {
    let kinds_of = |job: Job| kinds(&laid(&[job]).1);
    assert_eq!(kinds_of(disc(&[], "")), [PageKind::Template, PageKind::Card]);
    let stone = kinds_of(disc(&[], STONE));
    let [PageKind::Template, PageKind::Parts, PageKind::Card, more @ ..] = &stone[..] else {
        panic!("{stone:?}")
    };
    assert!(more.len() <= 1 && more.iter().all(|k| *k == PageKind::Card), "{more:?}");
    // A strip alone stands on the template's own page.
    for more in [RIM, BEZEL] {
        assert_eq!(kinds_of(disc(&[], more)), [PageKind::Template, PageKind::Card], "{more}");
    }
}

#[test]
fn jobs_together_take_their_templates_and_one_card_each() {
    let jobs = five();
    let (works, sheets) = laid(&jobs);
    let templates = sheets.pages.iter().filter(|p| p.kind == PageKind::Template).count();
    assert!(sheets.pages.len() <= templates + jobs.len(), "{:?}", kinds(&sheets));
    // Each card has its own numbers, unless the template has them.
    let words = |p: &Page| p.words().map(|w| w.text.clone()).collect::<BTreeSet<_>>();
    for (work, page) in works.iter().zip(&sheets.pages[templates..]) {
        let here = words(page);
        let all = 1..=work.piece.openings.len();
        let on_template = all.clone().all(|n| words(&sheets.pages[0]).contains(&n.to_string()));
        assert!(on_template || all.clone().all(|n| here.contains(&n.to_string())), "{here:?}");
    }
}

#[test]
fn a_split_piece_is_explained_on_its_key_plan() {
    let (_, sheets) = laid(&[split()]);
    let [PageKind::KeyPlan, tiles @ .., PageKind::Card] = &kinds(&sheets)[..] else {
        panic!("{:?}", kinds(&sheets))
    };
    assert!(tiles.iter().all(|k| *k == PageKind::Template), "{tiles:?}");
    let said: Vec<&str> = sheets.pages[0].words().map(|w| w.text.as_str()).collect();
    assert!(said.join(" ").contains("Punch in the open middle"), "{said:?}");
}

#[test]
fn no_look_finds_a_fault() {
    for (name, jobs) in jobs() {
        let (_, sheets) = laid(&jobs);
        for page in &sheets.pages {
            let faults = made::page::faults(page, false);
            assert!(faults.is_empty(), "{name}: {faults:#?}");
        }
    }
}

/// Everything the sheets of one kind say.
fn said(sheets: &Sheets, kind: impl Fn(&Page) -> bool) -> String {
    let pages = sheets.pages.iter().filter(|p| kind(p));
    pages.flat_map(|p| p.words().map(|w| w.text.clone())).collect::<Vec<_>>().join(" ")
}

/// Whether a sheet shows all the numbers, and whether the card goes by them.
fn numbered(job: Job) -> (bool, bool) {
    let (works, sheets) = laid(&[job]);
    let count = works[0].piece.openings.len();
    let views = sheets.pages.iter().filter(|p| p.kind != PageKind::Card);
    let (keys, others): (Vec<&Page>, Vec<&Page>) = views.partition(|p| p.kind == PageKind::KeyMap);
    let words = |pages: &[&Page]| {
        let all: BTreeSet<String> = pages.iter().flat_map(|p| p.words().map(|w| w.text.clone())).collect();
        (1..=count).all(|n| all.contains(&n.to_string()))
    };
    let shown = words(&keys) || others.iter().any(|p| words(&[*p]));
    let card = said(&sheets, |p| p.kind == PageKind::Card);
    let excused = card.contains("numbers find no room on");
    let by_numbers = card.contains("as numbered") || card.contains("all the others");
    assert!(count < 2 || excused != by_numbers, "{card}");
    (shown, by_numbers)
}

/// Found by hand: openings too narrow for any number were "as numbered" on the card, and no sheet had a number.
#[test]
fn where_no_number_finds_room_the_card_says_so() {
    assert_eq!(numbered(disc(&UNNUMBERED, &on("\"A6\""))), (false, false));
    assert_eq!(numbered(disc(&[], "")), (true, true));
}

/// What one sheet cannot show large enough goes over several, in strips that say so.
#[test]
fn a_view_too_large_for_a_sheet_goes_over_several() {
    let job = disc(&UNNUMBERED, &on("\"A4\""));
    let (_, sheets) = laid(std::slice::from_ref(&job));
    let strips: Vec<String> = sheets
        .pages
        .iter()
        .filter(|p| p.kind == PageKind::KeyMap)
        .flat_map(|p| p.words().map(|w| w.text.clone()))
        .filter(|text| text.contains("strip"))
        .collect();
    assert!(strips.len() > 1, "{:?}", kinds(&sheets));
    for (i, text) in strips.iter().enumerate() {
        assert_eq!(*text, format!("FRONT, strip {} of {} from the left", i + 1, strips.len()));
    }
    for page in &sheets.pages {
        assert_eq!(made::page::faults(page, false), Vec::<String>::new());
    }
    // Between them they have every number once.
    let keys = sheets.pages.iter().filter(|p| p.kind == PageKind::KeyMap);
    let mut numbers: Vec<usize> = keys.flat_map(|p| p.words().filter_map(|w| w.text.parse().ok())).collect();
    numbers.sort_unstable();
    let count = made::done(&job).piece.openings.len();
    // The legend's own 12 stands for them all.
    let legend = numbers.iter().filter(|n| **n == 12).count();
    numbers.dedup();
    assert_eq!(numbers, (1..=count).collect::<Vec<_>>());
    assert!(legend <= 2, "{legend}");
}

/// Every pattern at the pitch the program chooses for it shows its numbers on A4, and the card goes by them.
#[test]
fn every_pattern_shows_its_numbers_at_its_own_pitch() {
    let sizes = std::env::var("SAWPIERCE_DISCS").unwrap_or("40".into());
    let mut without = Vec::new();
    let repeats = sawpierce::catalogue::all().iter().map(|p| p.name.as_str());
    let names: Vec<&str> = repeats.chain(sawpierce::catalogue::GROWN.iter().map(|g| g.name)).collect();
    for (pattern, size) in names.iter().flat_map(|p| sizes.split(',').map(move |s| (*p, s))) {
        let name = format!("\"{pattern}\"");
        let mut job = disc(&[("pattern.name", &name), ("outline.diameter", size), ("saw.drill", "0.8")], "");
        job.pattern.pitch = None;
        let told = numbered(job);
        if told != (true, true) {
            without.push((pattern, size, told));
        }
    }
    assert!(without.is_empty(), "{without:?}");
}

/// Found by hand: a list of openings to be filed ended in dots after forty.
#[test]
fn no_list_on_a_card_is_cut_off() {
    for pitch in ["3.4", "4.2"] {
        let size = [("outline.diameter", "70"), ("pattern.pitch", pitch), ("saw.drill", "0.6")];
        let (works, sheets) = laid(&[disc(&size, "")]);
        assert!(works[0].plan.files.iter().any(|u| u.openings.len() > 100));
        let card = said(&sheets, |p| p.kind == PageKind::Card);
        assert!(!card.contains("..."), "{card}");
        // What is named by number and the others are all there are.
        let (named, others): (Vec<_>, Vec<_>) = works[0].plan.files.iter().partition(|u| {
            card.contains(&format!("{} ({})", u.file, u.openings.len())) && !u.openings.is_empty()
        });
        assert!(others.is_empty() && named.len() > 1, "{card}");
        assert_eq!(card.matches("all the others").count(), 1, "{card}");
    }
}

/// Found by hand: shot of two sizes lodged "in 80 openings" of a piece that had 60.
#[test]
fn shot_lodges_in_no_more_openings_than_there_are() {
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/grille-brooch.toml"));
    let (works, sheets) = laid(&[made::job(&text.expect("an example"))]);
    assert!(works[0].plan.lodging.iter().map(|l| l.openings).sum::<usize>() > works[0].piece.openings.len());
    let card = said(&sheets, |p| p.kind == PageKind::Card);
    assert!(card.contains("lodges in openings"), "{card}");
}

/// Eight sheets once: the card wanted five.
#[test]
fn the_smallest_paper_takes_seven_sheets_at_most() {
    let job = disc(&[("outline.diameter", "32"), ("pattern.at_border", "\"fit\"")], &on("[100, 90]"));
    let (_, sheets) = laid(&[job]);
    assert!(sheets.pages.len() <= 7, "{:?}", kinds(&sheets));
    for page in &sheets.pages {
        assert_eq!(made::page::faults(page, false), Vec::<String>::new());
    }
}

/// Found by hand: the legend of a piece that fills its sheet had a sheet to itself.
#[test]
fn a_legend_without_room_stands_on_the_card() {
    let (_, sheets) = laid(&[filling()]);
    assert_eq!(kinds(&sheets), [PageKind::Template, PageKind::Card]);
    let said: Vec<&str> = sheets.pages[1].words().map(|w| w.text.as_str()).collect();
    assert!(said.join(" ").contains("Punch in the open middle"), "{said:?}");
}

/// What belongs to the page itself keeps off the templates: the legend, the view, the parts, the title block.
#[test]
fn nothing_of_the_page_lies_on_a_template() {
    for (name, jobs) in jobs() {
        let (_, sheets) = laid(&jobs);
        for page in sheets.pages.iter().filter(|p| p.kind == PageKind::Template && p.window.is_none()) {
            let of = |k: usize| page.marks.iter().filter(move |m| m.copy == k).map(Mark::bounds);
            for copy in &page.copies {
                let Some(template) = of(copy.k).reduce(|a, b| a.union(b)) else { continue };
                let over = of(0).find(|b| b.overlaps(template));
                assert!(over.is_none(), "{name}: {over:?} on {template:?}");
            }
        }
    }
}

/// Found by hand: the card asked for bars of 100.0 mm where the template's page had bars of 70 and 60.
#[test]
fn the_card_asks_for_the_bars_that_are_there() {
    let labels = "[paper]\ncopies = 12\nlabels = { across = 3, down = 4, width = 63, height = 70 }\n";
    for more in [on("\"A4\""), on("\"A6\""), on("[100, 90]"), labels.to_string()] {
        let (_, sheets) = laid(&[disc(&[("outline.diameter", "30")], &more)]);
        let template = sheets.pages.iter().find(|p| p.kind == PageKind::Template).expect("a template");
        let longest = |length: fn(Rect) -> f64| {
            let bars = template.marks.iter().filter(|m| m.group == Group::ScaleBar);
            bars.filter(|m| matches!(m.ink, Ink::Line { .. })).map(|m| length(m.bounds())).fold(0.0, f64::max)
        };
        let bars = [longest(|b| b.width()), longest(|b| b.height())]
            .map(|l| format!("{:.1} mm", (l / 10.0).floor() * 10.0));
        let cards = sheets.pages.iter().filter(|p| p.kind == PageKind::Card);
        let said: Vec<&str> = cards.flat_map(|p| p.words().map(|w| w.text.as_str())).collect();
        let asks = |label: &str| said.iter().position(|t| *t == label).map(|i| said[i + 1].to_string());
        if more == labels {
            assert_eq!(asks("short bar of a template").as_deref(), Some("20.0 mm"), "{said:?}");
            assert_eq!(asks("printed bar across"), None);
        } else {
            assert_eq!(asks("printed bar across"), Some(bars[0].clone()), "{more}");
            assert_eq!(asks("printed bar up"), Some(bars[1].clone()), "{more}");
        }
    }
}

#[test]
fn thin_bridges_of_one_width_are_told_together() {
    let (works, sheets) = laid(&[disc(&[], "")]);
    let card = sheets.pages.last().expect("a card");
    let told: Vec<&str> =
        card.words().map(|w| w.text.as_str()).filter(|t| t.contains("bridges of")).collect();
    let most = works[0].graph.bridges().filter(|b| (b.width.get() - 1.2).abs() < 0.005).count();
    assert!(most > 6 && told == [format!("{most} bridges of 1.20 mm")], "{told:?}");
}

/// Found by hand: ninety letters of a title ended in dots on A5.
#[test]
fn a_title_of_ninety_letters_stands_whole() {
    let title = "A title of ninety letters, longer than any sensible maker would think of putting on a page";
    assert_eq!(title.len(), 90);
    for paper in ["\"A4\"", "\"A5\"", "\"A6\""] {
        let (_, sheets) = laid(&[disc(&[("title", &format!("\"{title}\""))], &on(paper))]);
        let said: Vec<&str> = sheets.pages[0].words().map(|w| w.text.as_str()).collect();
        assert!(said.join(" ").contains(title), "{paper}: {said:?}");
    }
}
