//! Writes the paper of jobs to a folder so that other people's readers can measure it: `tests/outside/test_paper.py`
//! runs this with `SAWPIERCE_PAPER_OUT` set; without it nothing is written.

use sawpierce::job::{self, NamedFiles, Settings};
use sawpierce::units::LengthUnit;
use sawpierce::{paper, render, work};
use std::path::Path;

#[test]
fn write_for_outside() {
    let (Some(out), Some(jobs)) =
        (std::env::var_os("SAWPIERCE_PAPER_OUT"), std::env::var_os("SAWPIERCE_PAPER_JOBS"))
    else {
        return;
    };
    let out = Path::new(&out);
    let mut files: Vec<_> = std::fs::read_dir(jobs).unwrap().map(|e| e.unwrap().path()).collect();
    files.retain(|p| p.extension().is_some_and(|e| e == "toml"));
    files.sort();
    for file in files {
        let stem = file.file_stem().unwrap().to_string_lossy().to_string();
        let text = std::fs::read_to_string(&file).unwrap();
        let job = job::parse(&text, &stem, &NamedFiles::default(), &Settings::default())
            .unwrap_or_else(|e| panic!("{stem}: {e}"));
        let work = work::work(&job).unwrap_or_else(|e| panic!("{stem}: {e}"));
        let t = std::time::Instant::now();
        let sheets = paper::lay_out(&[(&job, &work)]);
        let t1 = t.elapsed();
        for v in &sheets.verdicts {
            println!("{stem}: {:?} {} {:?}", v.level, v.says(LengthUnit::Mm), v.remedy);
        }
        for (i, page) in sheets.true_size_pages().iter().enumerate() {
            let tail = if i == 0 { String::new() } else { format!("-{}", i + 1) };
            std::fs::write(out.join(format!("{stem}{tail}.svg")), render::svg::svg(page, &job.title))
                .unwrap();
        }
        let t2 = t.elapsed();
        let pages: Vec<_> = sheets.pages.iter().collect();
        let about = render::pdf::About { title: job.title.clone(), language: "en".into() };
        std::fs::write(out.join(format!("{stem}.pdf")), render::pdf::pdf(&pages, &about)).unwrap();
        println!(
            "{stem}: {} openings, laid {t1:?}, svg {t2:?}, all {:?}",
            work.piece.openings.len(),
            t.elapsed()
        );
        if let Some(page) = sheets.pages.first() {
            std::fs::write(out.join(format!("{stem}.png")), render::png::png(page, 150.0).unwrap()).unwrap();
        }
        let words: Vec<String> = sheets
            .pages
            .iter()
            .map(|p| p.words().map(|w| w.text.clone()).collect::<Vec<_>>().join("\n"))
            .collect();
        std::fs::write(out.join(format!("{stem}.words")), words.join("\n\u{c}\n")).unwrap();
    }
}
