//! What remedies, `mend` and wishes may cost: counted, not timed, so that it is the same on every machine.
//!
//! A plain opening costs about 20 us where this was measured, so 40,000 are most of a second and 100,000 two.

use crate::made::done;
use crate::made::faulty::faulty;
use sawpierce::checks::Level;
use sawpierce::job::{parse, NamedFiles, Settings};
use sawpierce::mend::{mend, wish, Remedies};
use sawpierce::pipeline::begin::{begin, Answers};

/// What all remedies of a job may spend, and what a whole `mend` or wish may.
const REMEDIES: usize = 40_000;
const SEARCH: usize = 100_000;
/// One try more may go beyond: what a fit takes is known only when it is done, and a fit ends by a budget of its own, 500,000
/// bent vertices, four of which cost as much as an opening.
const ONE_TRY: usize = 125_000;
const JOBS: usize = 300;

#[test]
fn remedies_mend_and_wishes_end_by_their_budget() {
    end((0..JOBS).step_by(60));
}

#[test]
#[ignore = "ten minutes; a share runs on each change"]
fn remedies_mend_and_wishes_of_three_hundred_jobs_end_by_their_budget() {
    end(0..JOBS);
}

fn end(which: impl Iterator<Item = usize>) {
    let (mut tried, mut most, mut searched) = (0, [0; 3], 0);
    for k in which {
        let text = faulty(k);
        let job = match parse(&text, "piece.toml", &NamedFiles::new(), &Settings::default()) {
            Ok(job) => job,
            Err(why) => panic!("{why}\n{text}"),
        };
        let Ok(work) = sawpierce::work::work(&job) else { continue };
        let mut remedies = Remedies::new(&job, &work);
        let mut before = 0;
        while remedies.step() {
            let spent = remedies.spent();
            assert!(
                spent == before || before <= REMEDIES,
                "{before} were spent, and yet more was tried\n{text}"
            );
            most[0] = most[0].max(spent - before);
            (before, tried) = (spent, tried + 1);
        }
        if work.verdicts.iter().any(|v| v.level == Level::Stop) {
            let spent = mend(&job, &work, false).spent;
            (most[1], searched) = (most[1].max(spent), searched + 1);
            // A larger outline, the last resort, is tried whatever was spent before.
            assert!(spent <= SEARCH + 2 * ONE_TRY, "mend spent {spent}\n{text}");
        }
        let wishing = text + "[wish]\nopenings = 60\n";
        let job = parse(&wishing, "piece.toml", &NamedFiles::new(), &Settings::default());
        if let Ok(Ok(Some(wished))) = job.map(|job| wish(&job)) {
            most[2] = most[2].max(wished.spent);
            assert!(wished.spent <= SEARCH + ONE_TRY, "the wish spent {}\n{wishing}", wished.spent);
        }
    }
    println!("{tried} tries, {searched} searched; the dearest try, mend, wish: {most:?}");
    assert!(most[0] <= ONE_TRY && tried > 0 && searched > 0, "{most:?}, {tried} tries, {searched} searched");
}

/// A piece begun for a first hand and wished otherwise: nothing of it takes long.
#[test]
fn wishes_in_begun_pieces_end_by_their_budget() {
    let some = |text: &str| Some(text.to_string());
    for (shape, width, height, wished) in
        [("heart", "40", "38", "openings = 40"), ("crescent", "34", "44", "weight = 6")]
    {
        let answers = Answers {
            shape: some(shape),
            width: some(width),
            height: some(height),
            metal: some("copper"),
            skill: some("practised"),
            ..Answers::default()
        };
        let begun = begin(&answers, "new.toml", |_| NamedFiles::new()).unwrap_or_else(|why| panic!("{why}"));
        let text = format!("{}\n[wish]\n{wished}\n", begun.text);
        let job = parse(&text, "new.toml", &NamedFiles::new(), &Settings::default());
        let job = job.unwrap_or_else(|why| panic!("{why}\n{text}"));
        let spent = wish(&job).unwrap_or_else(|why| panic!("{why}")).expect("a wish").spent;
        assert!(spent > 0 && spent <= SEARCH + ONE_TRY, "{shape} {wished}: {spent}");
        assert!(!done(&job).piece.openings.is_empty());
    }
}
