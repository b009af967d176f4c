//! A job worked out step by step: after any edit it is what a fresh start would give, and only what must be is done again.

use crate::made::{self, disc, with};
use sawpierce::job::{edit, fields, Edit, Value};
use sawpierce::pipeline::{Session, Stage};
use sawpierce::render::{json, svg};
use std::sync::Arc;

/// A job with something in most sections.
fn full() -> String {
    disc(
        &[],
        "[[keep_solid]]\nname = \"tab\"\nshape = \"circle\"\ndiameter = 6\nat = [0, 15]\n\
         [[window]]\nname = \"light\"\nshape = \"circle\"\ndiameter = 6\nat = [-8, 0]\n\
         [[row]]\nalong = \"light\"\n[middle]\nshape = \"circle\"\ndiameter = 4\nat = [9, 0]\n[[hole]]\nname = \"bail\"\ndiameter = 1.8\nat = [0, 15]\n[[lug]]\nat_angle = 90\nwidth = 6\nheight = 4\nhole = 1.8\n\
         [measured]\nthickness = 0.9\n[construction]\nrim = { height = 5, thickness = 0.6, sits = \"under-plate\" }\n\
         back = { thickness = 0.7, overhang = 1.0 }\n[paper]\nsize = \"A4\"\n[rates]\nper_hour = 30\n",
    )
}

/// Everything of a session that anybody reads, as text.
fn told(session: &mut Session) -> String {
    let work = session.work().expect("worked out").clone();
    let job = session.job().expect("a job").0.clone();
    let pages: Vec<String> =
        session.sheets().expect("pages").pages.iter().map(|page| svg::svg(page, &job.title)).collect();
    format!("{:#}{}", json::plan_json(&job, &work, pages.len(), true), pages.concat())
}

#[test]
fn every_edit_gives_what_a_fresh_start_gives() {
    let start = made::job(&full());
    let (mut tried, mut refused) = (0, Vec::new());
    for section in fields::sections() {
        let head = match (section.path, section.many) {
            ("", _) => String::new(),
            (path, true) => format!("{path}[0]."),
            (path, false) => format!("{path}."),
        };
        for field in section.all_fields() {
            let path = format!("{head}{}", field.key);
            let edits = [Edit::set(&path, Value::Raw(field.example.into()))];
            let mut session = Session::new(start.clone());
            told(&mut session);
            let Ok(after) = start.with(&edits) else {
                assert!(session.edit(&edits).is_err());
                refused.push(path);
                continue;
            };
            session.edit(&edits).expect("the same reading");
            let fresh = Session::new(after).work().is_ok();
            assert_eq!(session.work().is_ok(), fresh, "{path}");
            if fresh {
                let mut again = Session::new(start.with(&edits).expect("read"));
                assert_eq!(told(&mut session), told(&mut again), "{path}");
            }
            // Taken back, it is the start again.
            let (_, back) = edit::undoable(&start.source.text, &edits).expect("edited");
            session.edit(&back).expect("taken back");
            assert_eq!(told(&mut session), told(&mut Session::new(start.clone())), "{path} taken back");
            tried += 1;
        }
    }
    // Keys that do not go with a disc, or with each other, are refused.
    assert!(tried >= 60, "{tried} edits were tried; refused: {refused:?}");
}

#[test]
fn steps_that_read_nothing_of_an_edit_are_kept() {
    let mut session = Session::new(made::job(&full()));
    session.findings().expect("found");
    let (piece, bridges) = (session.piece().expect("a piece"), session.bridges().expect("bridges"));
    let kept = |session: &mut Session| {
        let same = Arc::ptr_eq(&piece, &session.piece().expect("a piece"));
        (same, Arc::ptr_eq(&bridges, &session.bridges().expect("bridges")))
    };
    assert_eq!(
        session.edit(&[Edit::set("rates.per_hour", Value::Number(40.0))]).expect("read"),
        Some(Stage::Findings)
    );
    assert_eq!(kept(&mut session), (true, true));
    assert_eq!(session.edit(&[Edit::typed("paper.size", "A5")]).expect("read"), Some(Stage::Paper));
    assert_eq!(kept(&mut session), (true, true));
    assert_eq!(session.edit(&[Edit::mm("saw.clean_up", 0.15)]).expect("read"), Some(Stage::Bridges));
    assert_eq!(kept(&mut session), (true, false));
    assert_eq!(
        session.edit(&[Edit::set("pattern.turn", Value::Number(5.0))]).expect("read"),
        Some(Stage::Openings)
    );
    assert_eq!(kept(&mut session), (false, false));
    // A default that follows from what was typed counts as changed too.
    let text = with(&full(), &[("skill", "\"first\"")]);
    let mut session = Session::new(made::job(&text));
    assert_eq!(session.edit(&[Edit::typed("skill", "fine-work")]).expect("read"), Some(Stage::Openings));
}

#[test]
fn an_edit_that_cannot_be_read_changes_nothing() {
    let mut session = Session::new(made::job(&full()));
    let before = (session.text().to_string(), told(&mut session));
    let wrong = session.edit(&[Edit::typed("pattern.name", "nosuch")]).expect_err("unknown").to_string();
    assert!(wrong.contains("nosuch"), "{wrong}");
    assert_eq!((session.text().to_string(), told(&mut session)), before);
}
