//! The sampler: every pattern on the card, at true size, legible, and the same bytes however it is made.

use sawpierce::catalogue;
use sawpierce::catalogue::GROWN;
use sawpierce::geom::Grow;
use sawpierce::paper::{sampler as set, Group, Ink, MadeFor, Page, Sample, Words};
use sawpierce::pipeline::sampler::{choices, sample as made, sampler, Sampler};
use sawpierce::trade;
use sawpierce::units::Mm;
use std::collections::BTreeSet;
use std::process::Command;
use std::sync::LazyLock;

/// What `sawpierce sampler` takes for granted.
fn card(skill: &str) -> Sampler {
    let text = format!(
        "skill = \"{skill}\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"circle\"\ndiameter = 28\n\
         [pattern]\nat_border = \"trim\"\nname = \"hexagon\"\n"
    );
    sampler(&crate::made::job(&text), false)
}

static PRACTISED: LazyLock<Sampler> = LazyLock::new(|| card("practised"));
/// Wide bridges and large openings: some patterns have no room on so small a disc.
static FIRST: LazyLock<Sampler> = LazyLock::new(|| card("first"));

/// The pages of both cards, and of the first laid out on other papers.
fn pages() -> Vec<(String, Page)> {
    let made_for = MadeFor {
        metal: "Gilding metal (85/15)".into(),
        thickness: Mm(0.812),
        skill: "first piece".into(),
        blade: "2/0".into(),
        drill: Mm(1.0),
        bridge: Mm(1.9),
        least: Mm(1.5),
        border: Mm(3.4),
        own: false,
        against: None,
    };
    let mut all = Vec::new();
    for (name, card) in [("practised", &PRACTISED), ("first", &FIRST)] {
        all.extend(card.pages.iter().map(|p| (name.to_string(), p.clone())));
    }
    for size in ["A3", "A5", "Letter"] {
        let mut paper = crate::made::job(crate::made::DISC).paper;
        paper.size = trade::paper(size).expect("listed").clone();
        all.extend(set(&FIRST.samples, &made_for, &paper).into_iter().map(|p| (size.to_string(), p)));
    }
    all
}

/// The words below one sample, top to bottom.
fn words_of(card: &Sampler, name: &str) -> Vec<Words> {
    let place = card.samples.iter().position(|s| s.name == name).expect("on the card");
    let marks = card.pages.iter().flat_map(|p| &p.marks).filter(|m| m.copy == place + 1);
    marks.filter_map(|m| if let Ink::Words(words) = &m.ink { Some(words.clone()) } else { None }).collect()
}

fn sample<'a>(card: &'a Sampler, name: &str) -> &'a Sample {
    card.samples.iter().find(|s| s.name == name).expect("on the card")
}

#[test]
fn every_pattern_is_on_the_card_once() {
    let listed = catalogue::all().iter().map(|p| p.name.as_str()).chain(GROWN.iter().map(|g| g.name));
    // The second line of a title, in bold, may be a pattern's name too.
    let small = PRACTISED.pages.iter().flat_map(|p| p.words()).filter(|w| !w.bold);
    let printed: Vec<&str> = small.map(|w| w.text.as_str()).collect();
    let mut count = 0;
    for name in listed {
        let times = printed.iter().filter(|text| **text == name).count();
        assert_eq!(times, 1, "{name}");
        count += 1;
    }
    assert_eq!(count, PRACTISED.samples.len());
    let copies: BTreeSet<usize> = PRACTISED.pages.iter().flat_map(|p| &p.copies).map(|c| c.k).collect();
    assert_eq!(copies, (1..=count).collect());
}

#[test]
fn no_two_words_overlap_and_none_is_smaller_than_six_points() {
    for (name, page) in pages() {
        let words: Vec<_> = page.words().map(|w| (w.text.as_str(), w.bounds().shrink(0.01))).collect();
        for (i, (a, ra)) in words.iter().enumerate() {
            for (b, rb) in &words[i + 1..] {
                assert!(!ra.overlaps(*rb), "{name}: {a:?} {ra:?} and {b:?} {rb:?}");
            }
        }
        assert!(page.words().all(|w| w.size >= 6.0), "{name}");
    }
}

#[test]
fn words_stand_clear_of_the_samples() {
    for (name, page) in pages() {
        let lines: Vec<_> = page
            .marks
            .iter()
            .filter(|m| m.group == Group::SawLines && m.opening == 0)
            .map(|m| m.bounds())
            .collect();
        for word in page.words() {
            let r = word.bounds();
            assert!(lines.iter().all(|l| !l.overlaps(r)), "{name}: {:?} covers a sample", word.text);
        }
    }
}

#[test]
fn nothing_stands_in_the_outer_six_millimetres() {
    for (name, page) in pages() {
        for mark in &page.marks {
            let b = mark.bounds();
            let inside = b.x0 >= 6.0 && b.y0 >= 6.0 && b.x1 <= page.width - 6.0 && b.y1 <= page.height - 6.0;
            assert!(inside, "{name}: {:?} {b:?} on {} x {}", mark.ink, page.width, page.height);
        }
    }
}

#[test]
fn samples_are_at_true_size_in_even_rows() {
    for page in &PRACTISED.pages {
        let discs: Vec<_> =
            page.marks.iter().filter(|m| m.group == Group::Outline).map(|m| m.bounds()).collect();
        assert_eq!(discs.len(), page.copies.len());
        for disc in &discs {
            assert!((disc.width() - 28.0).abs() < 1e-9 && (disc.height() - 28.0).abs() < 1e-9, "{disc:?}");
        }
        for row in discs.chunks(6) {
            assert!(row.iter().all(|d| (d.y0 - row[0].y0).abs() < 1e-9));
            assert!(row.windows(2).all(|d| d[1].x0 > d[0].x1));
        }
    }
}

#[test]
fn what_cannot_be_sawn_is_grey_and_says_why() {
    let refused: Vec<&Sample> = FIRST.samples.iter().filter(|s| s.outcome.is_err()).collect();
    assert!(!refused.is_empty() && refused.len() < FIRST.samples.len());
    for sample in refused {
        let why = sample.outcome.as_ref().expect_err("refused");
        let words = words_of(&FIRST, &sample.name);
        assert!(words.iter().all(|w| w.shade < 100), "{}", sample.name);
        let said = words.iter().map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ");
        assert!(said.contains(why.as_str()), "{}: {said:?} does not say {why:?}", sample.name);
        assert!(!said.contains("per cm"), "{said}");
    }
}

#[test]
fn figures_are_those_of_the_bench() {
    // Practised: 1.00 mm finished plus 0.10 on each side as drawn; a honeycomb has one opening for each
    // sqrt(3)/2 pitch squared.
    let hexagon = sample(&PRACTISED, "hexagon").outcome.as_ref().expect("can be sawn");
    let pitch = hexagon.pitch.get();
    assert!((hexagon.per_cm2 - 100.0 / (pitch * pitch * 3.0_f64.sqrt() / 2.0)).abs() < 1e-6, "{hexagon:?}");
    assert!((hexagon.thinnest.expect("bridges").get() - 1.0).abs() < 1e-3, "{hexagon:?}");
    for (sample, words) in PRACTISED.samples.iter().map(|s| (s, words_of(&PRACTISED, &s.name))) {
        let Ok(figures) = &sample.outcome else { continue };
        let said = words.iter().map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ");
        assert!(said.contains(&format!("{:.1} h per 10 cm²", figures.hours_per_10_cm2)), "{said}");
        // Punching, drilling and threading alone take 45 s an opening.
        assert!(figures.hours_per_10_cm2 > figures.per_cm2 * 10.0 * 0.75 / 60.0, "{}", sample.name);
    }
}

#[test]
fn bricks_lie_level() {
    // A raking bond on so small a disc is turned by the bending itself: its courses are no longer level.
    for name in ["running-bond", "stack-bond"] {
        let piece = sample(&PRACTISED, name).piece.as_ref().expect("laid");
        // Bricks by the border are bent to it; most keep their level, and those in the middle are the pattern's own.
        let level = |o: &&sawpierce::openings::Opening| o.ring.bounds().width() > o.ring.bounds().height();
        let count = piece.openings.iter().filter(level).count();
        assert!(2 * count > piece.openings.len(), "{name}: {count} of {}", piece.openings.len());
    }
}

#[test]
fn the_command_writes_the_same_bytes_as_a_second_making() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = |words: &[&str]| {
        Command::new(env!("CARGO_BIN_EXE_sawpierce"))
            .args(["sampler", "--out"])
            .arg(folder.path())
            .args(words)
            .env("SAWPIERCE_SETTINGS", folder.path().join("settings"))
            .output()
            .expect("runs")
    };
    let read = |name: String| std::fs::read(folder.path().join(name)).expect("written");
    for refused in [&["--metal", "cheese"][..], &["--blade", "99"], &["--thickness", "thick"]] {
        let answer = run(refused);
        assert_eq!(answer.status.code(), Some(2), "{refused:?}");
        assert_eq!(std::fs::read_dir(folder.path()).expect("there").count(), 0, "{refused:?}");
    }
    assert_eq!(run(&[]).status.code(), Some(0));
    let numbered = |i: usize, ending: &str| match i {
        0 => format!("sampler.{ending}"),
        i => format!("sampler-{}.{ending}", i + 1),
    };
    for (i, svg) in PRACTISED.svg().into_iter().enumerate() {
        assert!(read(numbered(i, "svg")) == svg.into_bytes(), "page {}", i + 1);
    }
    for (i, png) in PRACTISED.png(300.0).into_iter().enumerate() {
        assert!(read(numbered(i, "png")) == png, "page {}", i + 1);
    }
    assert!(read("sampler.pdf".into()) == PRACTISED.pdf());
    assert!(!folder.path().join(numbered(PRACTISED.pages.len(), "svg")).exists());
}

/// A pendant larger than six side by side, with a window: every pattern in it, as large as three abreast.
#[test]
fn the_makers_own_piece_is_sampled_in_its_outline() {
    let text = "skill = \"practised\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"heart\"\nwidth = 80\nheight = 74\n\
                [pattern]\nname = \"hexagon\"\npitch = 6\n[[window]]\nshape = \"circle\"\ndiameter = 12\n\
                [[change]]\nat = [20, 10]\nclose = true\n[wish]\nopenings = 40\n";
    let job = crate::made::job(text);
    let names = ["hexagon", "kites", "fish-scale", "sunflower", "star-and-cross", "quatrefoil"];
    let choices = sawpierce::pipeline::sampler::choices();
    let chosen = choices.iter().filter(|c| names.contains(&c.name.as_str()));
    let samples: Vec<Sample> = chosen.map(|c| sawpierce::pipeline::sampler::sample(&job, c)).collect();
    let card = Sampler::new(&job, samples, true);
    assert_eq!(card.samples.len(), names.len());
    for sample in &card.samples {
        let said = words_of(&card, &sample.name).iter().map(|w| w.text.clone()).collect::<Vec<_>>().join(" ");
        match &sample.outcome {
            Ok(figures) => {
                assert!(said.contains(&format!("{} openings, ", figures.openings)), "{said}");
                assert!(said.contains(" h") && said.contains("bridge "), "{said}");
                assert_eq!(sample.remark.is_some(), said.contains("not fitted: "), "{said}");
            }
            Err(why) => assert!(said.contains(why.split(' ').next().unwrap_or("")), "{said}: {why}"),
        }
        assert_eq!(sample.piece.as_ref().map(|p| p.outline.windows.len()), Some(1));
    }
    let hexagon = sample(&card, "hexagon");
    assert!(
        hexagon.outcome.is_ok() && hexagon.remark.is_none(),
        "{:?} {:?}",
        hexagon.outcome,
        hexagon.remark
    );
    // Three abreast, drawn smaller by a round step, and the card says so.
    let discs = card.pages[0].marks.iter().filter(|m| m.group == Group::Outline).map(|m| m.bounds());
    let widths: Vec<f64> = discs.map(|b| b.width()).collect();
    let by = widths[0] / 80.0;
    assert!(by < 1.0 && (by * 20.0 - (by * 20.0).round()).abs() < 1e-6, "{by}");
    let words: Vec<&str> = card.pages[0].words().map(|w| w.text.as_str()).collect();
    let told = format!("{:.0} %", by * 100.0);
    assert!(words.iter().any(|w| w.contains(&told)), "{words:?}");
}

/// One border below the limit greyed every sample with the same reason.
#[test]
fn what_is_true_of_every_pattern_is_said_once() {
    let text = "[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"circle\"\ndiameter = 28\nborder = 0.6\n\
                [pattern]\nname = \"hexagon\"\n";
    let job = crate::made::job(text);
    let some = |name: &str| choices().into_iter().find(|c| c.name == name).expect("listed");
    let samples: Vec<Sample> = ["hexagon", "square"].iter().map(|n| made(&job, &some(n))).collect();
    for sample in &samples {
        assert!(sample.outcome.is_ok(), "{}: {:?}", sample.name, sample.outcome);
        assert!(
            sample.against.as_ref().is_some_and(|why| why.starts_with("border ")),
            "{:?}",
            sample.against
        );
    }
    let card = Sampler::new(&job, samples, true);
    let told = |m: &&sawpierce::paper::Mark| matches!(&m.ink, Ink::Words(w) if w.text.contains("True of every pattern: border"));
    assert_eq!(card.pages.iter().flat_map(|p| &p.marks).filter(told).count(), 1);
}
