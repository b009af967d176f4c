//! A job worked out step by step: after any edit it is what a fresh start would give, and only what must be is done again.

use crate::made::{self, disc, with};
use sawpierce::checks::{Check, Finding, PaperFinding, Verdict};
use sawpierce::job::{edit, fields, Edit, Value};
use sawpierce::paper::PageKind;
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
    let mut untouched = Session::new(start.clone());
    let before = told(&mut untouched);
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
            let mut session = untouched.clone();
            let Ok(after) = start.with(&edits) else {
                assert!(session.edit(&edits).is_err());
                refused.push(path);
                continue;
            };
            session.edit(&edits).expect("the same reading");
            let mut fresh = Session::new(after);
            assert_eq!(session.work().is_ok(), fresh.work().is_ok(), "{path}");
            if fresh.work().is_ok() {
                assert_eq!(told(&mut session), told(&mut fresh), "{path}");
            }
            // Taken back, it is the start again.
            let (_, back) = edit::undoable(&start.source.text, &edits).expect("edited");
            session.edit(&back).expect("taken back");
            assert_eq!(told(&mut session), before, "{path} taken back");
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
        Some(Stage::Cells)
    );
    assert_eq!(kept(&mut session), (false, false));
    // A default that follows from what was typed counts as changed too.
    let text = with(&full(), &[("skill", "\"first\"")]);
    let mut session = Session::new(made::job(&text));
    assert_eq!(session.edit(&[Edit::typed("skill", "fine-work")]).expect("read"), Some(Stage::Cells));
}

#[test]
fn an_edit_that_cannot_be_read_changes_nothing() {
    let mut session = Session::new(made::job(&full()));
    let before = (session.text().to_string(), told(&mut session));
    let wrong = session.edit(&[Edit::typed("pattern.name", "nosuch")]).expect_err("unknown").to_string();
    assert!(wrong.contains("nosuch"), "{wrong}");
    assert_eq!((session.text().to_string(), told(&mut session)), before);
}

#[test]
fn cells_are_kept_while_only_what_is_opened_changes() {
    let mut session = Session::new(made::job(&full()));
    let (cells, piece) = (session.cells().expect("cells"), session.piece().expect("a piece"));
    assert!(cells.first().is_some_and(|laid| laid.cells.len() >= piece.openings.len()));
    let rounder = [Edit::mm("pattern.corner_radius", 0.3)];
    assert_eq!(session.edit(&rounder).expect("read"), Some(Stage::Openings));
    assert!(Arc::ptr_eq(&cells, &session.cells().expect("cells")));
    assert!(!Arc::ptr_eq(&piece, &session.piece().expect("a piece")));
    assert_eq!(session.edit(&[Edit::mm("saw.drill", 0.9)]).expect("read"), Some(Stage::Cells));
    assert!(!Arc::ptr_eq(&cells, &session.cells().expect("cells")));
}

/// Whoever waits for remedies may stop waiting: what was found stands, and an edit lets the rest go.
#[test]
fn remedies_are_stepped_and_may_be_abandoned() {
    let thin = disc(&[("pattern.bridge", "0.9"), ("limits.opening", "6")], "");
    let mut session = Session::new(made::job(&thin));
    let remedied = |session: &mut Session| {
        let found = session.findings_so_far().expect("found");
        found.iter().filter(|v| v.remedy.is_some()).count()
    };
    assert_eq!(remedied(&mut session), 0);
    let mut steps = 0;
    while remedied(&mut session) == 0 {
        assert!(session.step_remedies().expect("stepped"), "nothing was found in {steps} steps");
        steps += 1;
    }
    let (all, so_far) =
        (session.clone().findings().expect("found"), session.findings_so_far().expect("found"));
    assert_eq!(all.len(), so_far.len());
    assert!(all.iter().filter(|v| v.remedy.is_some()).count() > remedied(&mut session));
    // Left there, for a piece that has no faults to mend: nothing of the search is left over.
    session.edit(&[Edit::mm("pattern.bridge", 1.6)]).expect("read");
    let fresh = Session::new(session.typed().clone()).findings().expect("found");
    assert_eq!(session.findings().expect("found"), fresh);
}

/// What `paper-fit` says of pages nobody has laid out is what lies on the table when they are.
#[test]
fn paper_is_told_without_laying_it_out() {
    let pages_told = |v: &Verdict| match &v.finding {
        Finding::Paper(PaperFinding::Fits { pages, .. } | PaperFinding::Split { pages, .. }) => Some(*pages),
        _ => None,
    };
    let mut kinds = [0; 3];
    for paper in [
        "size = \"A4\"",
        "size = \"A5\"\ncopies = 7",
        "size = \"A4\"\nname_line = true\ncopies = 12",
        "size = \"A6\"\nsplit = true",
        "size = [90, 100]",
        "size = [95, 90]\nsplit = true\ncopies = 2",
        "size = \"A6\"",
        "labels = { across = 2, down = 3, width = 90, height = 90, left = 10, top = 10 }\ncopies = 8",
    ] {
        let mut session = Session::new(made::job(&disc(&[], &format!("[paper]\n{paper}\n"))));
        let found = session.findings().expect("found");
        let fit = found.iter().find(|v| v.check == Check::PaperFit).expect("paper-fit");
        let sheets = session.sheets().expect("pages");
        assert_eq!(&sheets.verdicts, std::slice::from_ref(fit), "{paper}");
        let laid = sheets.pages.iter().filter(|p| p.kind == PageKind::Template).count();
        let told = sheets.oversize.is_none().then_some(laid);
        assert_eq!(pages_told(fit), told, "{paper}: {fit:?}");
        match &fit.finding {
            Finding::Paper(PaperFinding::Fits { .. }) => kinds[0] += 1,
            Finding::Paper(PaperFinding::Split { .. }) => kinds[1] += 1,
            _ => kinds[2] += 1,
        }
    }
    assert!(kinds.iter().all(|k| *k > 0), "{kinds:?}");
}
