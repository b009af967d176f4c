//! The least change that clears every stop: what it may touch, in which order it is offered, what is written.

use crate::made::*;
use sawpierce::checks::Level;
use sawpierce::mend::{changed, mend, mend_while, wish, wish_while, Candidate, Change};

use sawpierce::units::Mm;
use std::cell::Cell;

/// The text of a job with changes made to it.
fn write(text: &str, changes: &[Change]) -> Result<String, sawpierce::error::Error> {
    Ok(changed(&job(text), changes)?.source.text.to_string())
}

fn stops(text: &str) -> usize {
    done(&job(text)).verdicts.iter().filter(|v| v.level == Level::Stop).count()
}

/// 30 mm disc, drawn 0.8, clean-up 0.1 a side: 0.6 left, 0.9 wanted.
fn s9() -> String {
    disc(
        &[
            ("sheet.thickness", "0.8"),
            ("outline.diameter", "30"),
            ("pattern.pitch", "3.2"),
            ("pattern.bridge", "0.8"),
            ("limits.bridge", "0.9"),
            ("saw.clean_up", "0.1"),
        ],
        "",
    )
}

#[test]
fn the_story_of_bridges_too_thin() {
    let text = s9();
    let job = job(&text);
    let work = done(&job);
    let mended = mend(&job, &work, false);
    println!("{}", mended.says);
    for c in &mended.candidates {
        println!("  {} {}", c.clears, c.says);
    }
    // Drawn 0.8 leaves 0.60.
    assert!((mended.candidates[0].before.thinnest.expect("bridges") - 0.6).abs() < 1e-6);
    let has = |ask: &dyn Fn(&Candidate) -> bool| mended.candidates.iter().position(ask);
    let is = |c: &Candidate, change: Change| c.changes == [change];
    // 0.15 mm a side on every opening is a bridge of 1.1; drawn in one by one it is the same 0.15.
    let bridge = has(&|c| is(c, Change::Bridge(Mm(1.1)))).expect("a wider bridge");
    let singles = has(&|c| {
        !c.changes.is_empty()
            && c.changes
                .iter()
                .all(|x| matches!(x, Change::DrawIn { by, .. } if (by.get() - 0.15).abs() < 1e-9))
    });
    let singles = singles.expect("openings drawn in by 0.15");
    // Fewer repeats.
    let fewer =
        has(&|c| c.changes.iter().any(|x| matches!(x, Change::Pitch(p) if p.get() > 3.4)) && c.clears);
    let fewer = fewer.expect("fewer repeats");
    // All of it bigger: x 1.375, a 41.25 mm disc, so last.
    let bigger = has(&|c| is(c, Change::Bigger(1.375))).expect("everything bigger");
    assert!((30.0_f64 * 1.375 - 41.25).abs() < 1e-9);
    assert!(bridge.max(singles) < fewer && fewer < bigger, "{bridge} {singles} {fewer} {bigger}");
    assert!(mended.candidates[bigger].clears);
    // A finer hand alone, 0.05 a side, gives only 0.70.
    assert!(mended.finer_hand.is_some_and(|s| s.contains("0.70 mm") && s.contains("not enough")));
    let best = mended.best.expect("it can be mended");
    assert!(best.clears && (best.after.thinnest.expect("bridges") - 0.9).abs() < 1e-3);
    assert_eq!(best.after.openings, best.before.openings);
}

/// Each candidate's text, read again, is the piece that was tried: no stop is left.
#[test]
fn what_is_written_is_what_was_tried() {
    let text = s9();
    let job1 = job(&text);
    let mended = mend(&job1, &done(&job1), false);
    for c in mended.candidates.iter().filter(|c| c.clears) {
        let written = write(&text, &c.changes).expect("written");
        assert_eq!(stops(&written), 0, "{}\n{written}", c.says);
        let again = done(&job(&written));
        assert_eq!(again.piece.openings.len(), c.after.openings, "{}", c.says);
    }
}

#[test]
fn comments_are_kept() {
    let text = "# the maker's own words\n[sheet]\nmetal = \"copper\" # from the drawer\nthickness = 0.8\n\n[outline]\nshape = \
                \"circle\"\ndiameter = 40\nborder = 2.5\n\n[pattern]\nat_border = \"trim\"\nname = \"hexagon\"\npitch = 6 # as on the old one\nbridge = \
                1.0 # thin?\n# the end\n";
    let changes = [
        Change::Bridge(Mm(1.25)),
        Change::Drill(Mm(0.9)),
        Change::DrawIn { at: sawpierce::geom::Point::new(1.5, -2.0), by: Mm(0.15) },
        Change::Close { at: sawpierce::geom::Point::new(6.0, 0.0) },
    ];
    let written = write(text, &changes).expect("written");
    for kept in [
        "# the maker's own words",
        "# from the drawer",
        "pitch = 6 # as on the old one",
        "# thin?",
        "# the end",
    ] {
        assert!(written.contains(kept), "{kept} is gone:\n{written}");
    }
    for new in ["bridge = 1.25 # thin?", "drill = 0.9", "[[change]]", "draw_in = 0.15", "close = true"] {
        assert!(written.contains(new), "{new} is missing:\n{written}");
    }
    assert!(!written.contains("bridge = 1.0"));
    let mended = job(&written);
    assert_eq!(mended.pattern.bridge, Mm(1.25));
    assert_eq!(mended.changes.len(), 2);
    assert!(sawpierce::job::edit::written("[pattern\n", &[]).is_err());
}

/// In a job in inches the changes are written in inches, to a quarter of a micrometre.
#[test]
fn inches_stay_inches() {
    let text = "units = \"in\"\n[sheet]\nmetal = \"copper\"\nthickness = \"20 ga\"\n[outline]\nshape = \"circle\"\ndiameter = \
                1.5\nborder = 0.1\n[pattern]\nat_border = \"trim\"\nname = \"hexagon\"\npitch = 0.25\nbridge = 0.03\n";
    let written = write(text, &[Change::Bridge(Mm(1.3)), Change::Bigger(1.1)]).expect("written");
    assert!(!written.contains("mm"), "{written}");
    let mended = job(&written);
    assert!((mended.pattern.bridge.get() - 1.43).abs() < 5e-4, "{written}");
    match mended.outline.shape {
        sawpierce::job::Shape::Circle { diameter } => {
            assert!((diameter.get() - 41.91).abs() < 5e-4, "{written}")
        }
        other => panic!("{other:?}"),
    }
}

/// Numbers from a seed, the same on every machine (the generator of Knuth's MMIX).
struct Seed(u64);

impl Seed {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (self.0 >> 33) as f64 / (1u64 << 31) as f64
    }
    fn within(&mut self, low: f64, high: f64) -> f64 {
        ((low + self.next() * (high - low)) * 100.0).round() / 100.0
    }
    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[(self.next() * of.len() as f64) as usize % of.len()]
    }
}

/// A job with something too thin: a bridge, a border or an opening for its drill.
fn thin(seed: u64) -> String {
    let mut s = Seed(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) + 1);
    s.next();
    let pattern = s.one(&["hexagon", "triangle", "square"]);
    let size = s.within(30.0, 50.0);
    let outline = match s.one(&["circle", "ellipse", "rectangle", "polygon"]) {
        "circle" => format!("shape = \"circle\"\ndiameter = {size}"),
        "ellipse" => format!("shape = \"ellipse\"\nwidth = {size}\nheight = {}", s.within(25.0, 40.0)),
        "rectangle" => format!(
            "shape = \"rectangle\"\nwidth = {size}\nheight = {}\ncorner_radius = 3",
            s.within(25.0, 40.0)
        ),
        _ => format!("shape = \"polygon\"\nsides = 6\nacross = {size}\ncorner_radius = 2"),
    };
    let (bridge, border, drill) = match s.one(&["bridge", "bridge", "border", "drill", "both"]) {
        "bridge" => (s.within(0.5, 1.15), 2.5, 0.8),
        "border" => (1.3, s.within(1.2, 2.1), 0.8),
        "drill" => (1.3, 2.5, s.within(1.2, 2.0)),
        _ => (s.within(0.6, 1.1), s.within(1.4, 2.1), 1.0),
    };
    let least = if pattern == "triangle" { 7.5 } else { 4.0 };
    let pitch = s.within(least, least + 3.0);
    let mut text = format!(
        "skill = \"practised\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\n{outline}\nborder = {border}\n[pattern]\nat_border = \"trim\"\nname = \
         \"{pattern}\"\npitch = {pitch}\nbridge = {bridge}\nturn = {}\n[limits]\nopening = 1.0\n[saw]\nblade = \"3/0\"\ndrill = {drill}\n",
        s.within(0.0, 60.0)
    );
    if s.next() < 0.3 {
        let d = s.within(4.0, 9.0);
        text += &format!(
            "[[window]]\nname = \"w\"\nshape = \"circle\"\ndiameter = {d}\nat = [0, 2]\nborder = 1.3\n"
        );
    }
    if s.next() < 0.3 {
        text += "[[hole]]\nname = \"h\"\ndiameter = 1.6\nat = [3, -6]\n";
    }
    text
}

#[test]
fn thin_jobs_are_mended() {
    thin_jobs((0..100).step_by(10));
}

#[test]
#[ignore = "a minute; a share runs on each change"]
fn a_hundred_thin_jobs_are_mended() {
    thin_jobs(0..100);
}

fn thin_jobs(seeds: impl Iterator<Item = u64>) {
    let mut count = 0;
    let (mut thin_ones, mut mended_ones) = (0, 0);
    let mut not: Vec<String> = Vec::new();
    for seed in seeds {
        count += 1;
        let text = thin(seed);
        let job1 = job(&text);
        let work = done(&job1);
        let had = work.verdicts.iter().filter(|v| v.level == Level::Stop).count();
        let mended = mend(&job1, &work, false);
        assert_eq!(mended.sound, had == 0, "seed {seed}");
        if had == 0 {
            continue;
        }
        thin_ones += 1;
        let Some(best) = &mended.best else {
            not.push(format!("seed {seed}: {}\n{text}", mended.says));
            continue;
        };
        mended_ones += 1;
        // The first changes the look no more than the others, and leaves the outline its size if any other way does.
        let grows = |c: &Candidate| c.changes.iter().any(|x| matches!(x, Change::Bigger(_)));
        let others: Vec<&Candidate> = mended.candidates.iter().filter(|c| c.clears).collect();
        if others.iter().any(|c| !grows(c)) {
            assert!(!grows(best), "seed {seed}: {}", best.says);
        }
        for other in others.iter().filter(|c| !grows(c)) {
            assert!(
                best.look.change() <= other.look.change() + 1e-6,
                "seed {seed}: {} / {}",
                best.says,
                other.says
            );
        }
        let written = write(&text, &best.changes).expect("written");
        assert_eq!(stops(&written), 0, "seed {seed}: {}\n{written}", best.says);
    }
    println!("{thin_ones} thin, {mended_ones} mended");
    assert!(thin_ones * 10 >= count * 8, "only {thin_ones} jobs were thin");
    assert!(not.is_empty(), "{} not mended:\n{}", not.len(), not.join("\n"));
}

/// A change of one figure.
type Made = fn(f64) -> Change;

/// The figure of a way that changes one figure alone, with what the job has, the finest step it is offered in, and the
/// change with another figure.
fn figure(j: &sawpierce::job::Job, pitch: f64, change: &Change) -> Option<(f64, f64, f64, Made)> {
    Some(match change {
        Change::Bridge(mm) => (j.pattern.bridge.get(), mm.get(), 0.01, |v| Change::Bridge(Mm(v))),
        Change::Border(mm) => (j.outline.border.get(), mm.get(), 0.01, |v| Change::Border(Mm(v))),
        Change::CornerRadius(mm) => {
            (j.pattern.corner_radius.get(), mm.get(), 0.01, |v| Change::CornerRadius(Mm(v)))
        }
        Change::WindowBorder(0, mm) => {
            (j.windows[0].border.get(), mm.get(), 0.01, |v| Change::WindowBorder(0, Mm(v)))
        }
        Change::Pitch(mm) => (pitch, mm.get(), 0.01, |v| Change::Pitch(Mm(v))),
        Change::Turn(degrees) => (j.pattern.turn, *degrees, 1.0, Change::Turn),
        _ => return None,
    })
}

/// Of thin jobs: no less change of the same key clears all that the first way clears and changes the look less; of a
/// bridge, a border or a radius no less change clears at all.
#[test]
fn no_less_change_of_its_key_beats_the_first_way() {
    let (mut scanned, mut beaten) = (0, Vec::new());
    for seed in 100..118 {
        let text = thin(seed);
        let j = job(&text);
        let work = done(&j);
        let mended = mend(&j, &work, false);
        let singles = mended.candidates.iter().filter(|c| c.clears && c.changes.len() == 1);
        // The first that has a figure is the one that is made least.
        let Some((way, (was, is, step, with))) = singles
            .filter_map(|c| Some((c, figure(&j, work.piece.resolved.pitch.get(), &c.changes[0])?)))
            .next()
        else {
            continue;
        };
        scanned += 1;
        let wanders = matches!(way.changes[0], Change::Pitch(_) | Change::Turn(_));
        let towards = step * (is - was).signum();
        for k in 1..((is - was) / towards).ceil() as usize {
            let less = with(((is - k as f64 * towards) * 1e4).round() / 1e4);
            let Ok(tried) = changed(&j, std::slice::from_ref(&less)) else { continue };
            let Ok(tried) = sawpierce::work::work(&tried) else { continue };
            let clears =
                !tried.piece.openings.is_empty() && tried.verdicts.iter().all(|v| v.level < Level::Stop);
            let look = sawpierce::mend::look(&work.piece, &tried.piece).change();
            if clears && (!wanders || look < way.look.change() - 1e-6) {
                beaten.push(format!("seed {seed}: {less:?} for {}\n{text}", way.says));
                break;
            }
        }
    }
    println!("{scanned} scanned");
    assert!(scanned >= 9, "only {scanned} of 18 have a way of one figure");
    assert!(beaten.is_empty(), "{} of {scanned} beaten:\n{}", beaten.len(), beaten.join("\n"));
}

#[test]
fn nothing_to_mend_is_said() {
    let j = job(DISC);
    let mended = mend(&j, &done(&j), false);
    assert!(mended.sound && mended.candidates.is_empty() && mended.says.contains("nothing to mend"));
}

/// No frame is 400 mm deep, and no drawing shortens the way: it is said, not hidden.
#[test]
fn what_cannot_be_mended_is_said() {
    let j =
        job(&disc(&[("outline.diameter", "800"), ("pattern.pitch", "60"), ("saw.frame_depth", "100")], ""));
    let mended = mend(&j, &done(&j), false);
    assert!(mended.best.is_none() && !mended.sound);
    assert!(mended.says.contains("frame-reach"), "{}", mended.says);
}

#[test]
fn wishes_come_true() {
    let wishes = [("{ openings = 60 }", "openings"), ("{ hours = 2.0 }", "hours"), ("{ weight = 8.5 }", "g")];
    for (wanted, unit) in wishes {
        let j = job(&disc(&[("wish", wanted)], ""));
        let wished = wish(&j).expect("works out").expect("a wish");
        println!("{}", wished.says);
        assert_eq!((wished.unit, wished.solutions.len()), (unit, 2));
        for s in &wished.solutions {
            let work = done(&changed(&j, &s.changes).expect("a job"));
            assert!(work.verdicts.iter().all(|v| v.level < Level::Stop));
            assert_eq!(work.piece.openings.len(), s.openings);
            // About k repeats of opening and bridge between the borders, one bridge less.
            let span = 46.0 - 2.0 * 2.5 + s.bridge.get();
            assert!((span / s.pitch.get() - f64::from(s.repeats)).abs() <= 0.5 + 1e-9, "{s:?}");
        }
        // The first is the nearer.
        let off = |i: usize| (wished.solutions[i].value - wished.target).abs() / wished.target;
        assert!(off(0) <= off(1) + 0.01, "{}", wished.says);
    }
    assert!(wish(&job(DISC)).expect("works out").is_none());
}

/// A disc with a wish drawn from a seed: outline, pattern, bridge and what is wished for.
fn wishing(seed: u64) -> String {
    let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
    let mut draw = |from: f64, to: f64| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        from + (to - from) * (state >> 11) as f64 / (1u64 << 53) as f64
    };
    let names = ["hexagon", "square", "triangle", "diamond", "octagon-and-dot"];
    let name = names[draw(0.0, 4.999) as usize];
    let across = (draw(26.0, 60.0) * 10.0).round() / 10.0;
    let pitch = (draw(4.0, 7.0) * 100.0).round() / 100.0;
    let wanted = match draw(0.0, 3.0) as u32 {
        0 => format!("{{ openings = {} }}", draw(7.0, 160.0) as u32),
        1 => format!("{{ hours = {:.1} }}", draw(0.8, 6.0)),
        _ => format!("{{ weight = {:.1} }}", across * across * draw(0.0025, 0.005)),
    };
    let set = [
        ("outline.diameter", format!("{across}")),
        ("pattern.name", format!("\"{name}\"")),
        ("pattern.pitch", format!("{pitch}")),
        ("wish", wanted),
    ];
    let set: Vec<(&str, &str)> = set.iter().map(|(k, v)| (*k, v.as_str())).collect();
    disc(&set, "")
}

/// No pitch of a scan in steps of a fiftieth comes nearer to the wish by more than one part in a hundred of it.
fn beaten_by_a_scan(seed: u64) -> Option<String> {
    let j = job(&wishing(seed));
    let wished = wish(&j).ok()??;
    let value = |work: &sawpierce::work::Work| match wished.unit {
        "openings" => work.piece.openings.len() as f64,
        "hours" => work.plan.time.whole.likely / 60.0,
        _ => work.plan.weights.piece,
    };
    let off = |v: f64| (v - wished.target).abs() / wished.target;
    // What is half of the wish away is refused: then nothing nearer may be there.
    let ours = wished.solutions.first().map_or(0.51, |s| off(s.value));
    let mut pitch = 2.0;
    while pitch < 25.0 {
        let tried = changed(&j, &[Change::Pitch(Mm((pitch * 100.0f64).round() / 100.0))]).ok()?;
        if let Ok(work) = sawpierce::work::work(&tried) {
            let passes =
                !work.piece.openings.is_empty() && work.verdicts.iter().all(|v| v.level < Level::Stop);
            if passes && off(value(&work)) < ours - 0.01 {
                let (is, says) = (value(&work), &wished.says);
                return Some(format!(
                    "seed {seed}: pitch {pitch:.2} gives {is:.2}; {says}\n{}",
                    wishing(seed)
                ));
            }
        }
        pitch *= 1.02;
    }
    None
}

#[test]
fn wishes_find_the_nearest() {
    let beaten: Vec<String> = (1..=3).filter_map(beaten_by_a_scan).collect();
    assert!(beaten.is_empty(), "{}", beaten.join("\n"));
}

/// The rest of two hundred; run with `cargo test -- --ignored`.
#[test]
#[ignore = "minutes; a share runs on each change"]
fn two_hundred_wishes_find_the_nearest() {
    let beaten: Vec<String> = (4..=200).filter_map(beaten_by_a_scan).collect();
    assert!(beaten.is_empty(), "{} beaten\n{}", beaten.len(), beaten.join("\n"));
}

/// Says yes so often, then no.
fn yes_times(times: usize) -> impl Fn() -> bool {
    let left = Cell::new(times);
    move || left.replace(left.get().saturating_sub(1)) > 0
}

#[test]
fn what_nobody_waits_for_is_given_up_before_the_next_try() {
    let text = s9();
    let job1 = job(&text);
    let work = done(&job1);
    let ways = |awaited: &dyn Fn() -> bool| mend_while(&job1, &work, false, awaited).candidates.len();
    let all = mend(&job1, &work, false).candidates.len();
    assert_eq!((ways(&|| false), ways(&yes_times(usize::MAX))), (0, all));
    assert!(ways(&yes_times(3)) < all, "three tries do not find all {all} ways");
    let j = job(&disc(&[("wish", "{ openings = 60 }")], ""));
    let found = |awaited: &dyn Fn() -> bool| {
        let wished = wish_while(&j, awaited).expect("works out").expect("a wish");
        wished.solutions.len()
    };
    assert_eq!((found(&|| false), found(&|| true)), (0, 2));
}
