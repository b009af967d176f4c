//! How the cost grows with the piece: discs of hexagons (pitch 2.6, bridge 0.8, border 2) of about a thousand, ten
//! thousand and a hundred thousand openings, on paper cut to suit. The plan and the files are timed apart. Read the
//! `items` column: openings a second, which should stay level as pieces grow. First comes the program itself, from its start to
//! its end, on a sound piece of about three hundred openings; then the checks and the bridge graph by themselves, with the
//! ratio of their cost per opening at both ends.
//!
//! `cargo bench --bench whole`

use divan::counter::ItemsCount;
use divan::Bencher;
use sawpierce::checks;
use sawpierce::job::{parse, Job, NamedFiles, Settings};
use sawpierce::pipeline;
use sawpierce::work::{work, Work};
use std::time::Instant;

fn main() {
    program();
    growth();
    divan::main();
}

/// Diameters, mm, of sound pieces of 313, about a thousand and ten thousand openings: no fault is found that a remedy is tried for.
const SOUND: [(&str, f64); 3] = [("313", 77.751), ("1,000", 137.0), ("10,000", 430.0)];
/// Times the program is run with each verb on the smallest; on the others fewer.
const RUNS: usize = 50;

/// The job of a sound piece.
fn sound(diameter: f64) -> String {
    format!(
        "skill = \"practised\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.9\ntemper = \"half-hard\"\n[outline]\n\
         shape = \"circle\"\ndiameter = {diameter}\nborder = 2.5\n[pattern]\nname = \"hexagon\"\npitch = 4\nbridge = 1.2\n\
         at_border = \"trim\"\n[saw]\ndrill = 0.8\n[limits]\nopening = 1\n[paper]\nsize = [{}, {}]\n",
        diameter + 80.0,
        diameter + 220.0
    )
}
/// The system counts the time of programs that have ended in hundredths of a second.
const TICKS: f64 = 100.0;

/// Milliseconds of processor time that the whole program takes, its start with it, for each of its main verbs; nothing where
/// the system does not tell.
fn program() {
    let run = || -> std::io::Result<()> {
        let folder = std::env::temp_dir().join(format!("sawpierce-bench-{}", std::process::id()));
        std::fs::create_dir_all(&folder)?;
        let timed = |verb: &str, what: &str, runs: usize| -> std::io::Result<f64> {
            let before = ended()?;
            for _ in 0..runs {
                let mut program = std::process::Command::new(env!("CARGO_BIN_EXE_sawpierce"));
                program
                    .args([verb, what])
                    .current_dir(&folder)
                    .stdout(std::process::Stdio::null())
                    .status()?;
            }
            Ok(1e3 * (ended()? - before) / runs as f64)
        };
        println!("list   {:>6.1} ms, whole process", timed("list", "metals", RUNS)?);
        for (k, (openings, diameter)) in SOUND.into_iter().enumerate() {
            std::fs::write(folder.join("sound.toml"), sound(diameter))?;
            for verb in ["check", "plan", "draw"] {
                let took = timed(verb, "sound.toml", RUNS >> (2 * k))?;
                println!("{verb:<6} {took:>6.1} ms, {openings} openings, nothing to mend, whole process");
            }
        }
        std::fs::remove_dir_all(&folder)
    };
    if let Err(why) = run() {
        println!("the program by itself was not timed: {why}");
    }
}

/// Seconds of processor time of all programs that were run from here and have ended.
fn ended() -> std::io::Result<f64> {
    let told = std::fs::read_to_string("/proc/self/stat")?;
    // After the name in brackets, which may hold anything: the children's user and system time.
    let fields: Vec<&str> = told.rsplit(')').next().unwrap_or_default().split_whitespace().collect();
    let ticks = fields.get(13..15).unwrap_or_default().iter().filter_map(|t| t.parse::<f64>().ok());
    Ok(ticks.sum::<f64>() / TICKS)
}

/// Seconds this thread has really run for, where the system tells; else by the clock.
fn seconds() -> f64 {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let ran = told.and_then(|t| t.split_whitespace().next()?.parse::<f64>().ok());
    static START: std::sync::OnceLock<Instant> = std::sync::OnceLock::new();
    ran.map_or_else(|| START.get_or_init(Instant::now).elapsed().as_secs_f64(), |ns| ns * 1e-9)
}

/// Cost per opening of the checks and of the bridge graph at a hundred thousand openings against a thousand: the middle one
/// of several runs, all sizes in turn, so that a slow spell of the machine meets all of them.
fn growth() {
    let made: Vec<_> = DISCS[1..]
        .iter()
        .map(|&across| {
            let job = job(across);
            let work = work(&job).expect("worked");
            (job, work)
        })
        .collect();
    let table = |title: &str, what: &dyn Fn(&Job, &Work)| {
        let mut runs: Vec<Vec<f64>> = vec![Vec::new(); made.len()];
        for _ in 0..ROUNDS {
            for (runs, (job, work)) in runs.iter_mut().zip(&made) {
                let times = (BATCH / work.piece.openings.len()).max(1);
                let began = seconds();
                (0..times).for_each(|_| what(job, work));
                runs.push((seconds() - began) / times as f64);
            }
        }
        let middle = |mut runs: Vec<f64>| {
            runs.sort_by(f64::total_cmp);
            runs[runs.len() / 2]
        };
        let openings = made.iter().map(|(_, work)| work.piece.openings.len());
        let each: Vec<(usize, f64)> = openings.zip(runs.into_iter().map(middle)).collect();
        for (n, seconds) in &each {
            println!(
                "{title:<14} {n:>7} openings {:>9.2} ms {:>7.2} us each",
                seconds * 1e3,
                seconds * 1e6 / *n as f64
            );
        }
        if let (Some((few, a)), Some((many, b))) = (each.first(), each.last()) {
            println!(
                "{title:<14} cost per opening, {many} against {few}: {:.2}",
                b / *many as f64 / (a / *few as f64)
            );
        }
    };
    table("checks", &|job, work| {
        let graph = checks::graph(job, &work.piece);
        divan::black_box(checks::verdicts(job, &work.piece, &graph));
    });
}

/// Times every size is gone through for the growth of the cost.
const ROUNDS: usize = 7;
/// Openings gone through in one measurement: small pieces as often as it takes, since the system tells a thread's time in
/// steps of some milliseconds.
const BATCH: usize = 60_000;

/// Diameters, mm, that give about 300, 1e3, 1e4 and 1e5 openings.
const DISCS: [u32; 4] = [50, 91, 281, 880];

fn text(across: u32) -> String {
    format!(
        "[sheet]\nmetal = \"sterling-silver\"\nthickness = 0.8\n[outline]\nshape = \"circle\"\ndiameter = {across}\n\
         border = 2\n[pattern]\nat_border = \"trim\"\nname = \"hexagon\"\npitch = 2.6\nbridge = 0.8\n[saw]\nblade = \"4/0\"\ndrill = 0.6\n\
         [paper]\nsize = [{}, {}]\n",
        across + 80,
        across + 160
    )
}

fn job(across: u32) -> Job {
    parse(&text(across), "bench.toml", &NamedFiles::new(), &Settings::default()).expect("a sound job")
}

fn count(across: u32) -> ItemsCount {
    ItemsCount::new(work(&job(across)).expect("worked").piece.openings.len())
}

/// Job text to openings, bridges, verdicts and plan.
#[divan::bench(args = DISCS, sample_count = 7, sample_size = 1)]
fn to_the_plan(bencher: Bencher, across: u32) {
    bencher.counter(count(across)).bench_local(|| work(&job(across)).expect("worked"));
}

/// Pages, SVG, PDF and JSON from a finished plan, in memory.
#[divan::bench(args = DISCS, sample_count = 5, sample_size = 1)]
fn the_files(bencher: Bencher, across: u32) {
    let product = pipeline::run(&job(across)).expect("made");
    bencher
        .counter(ItemsCount::new(product.works[0].piece.openings.len()))
        .bench_local(|| (product.svg(), product.pdf(), product.json(0, &[])));
}

/// Everything, from text to files.
#[divan::bench(args = DISCS, sample_count = 5, sample_size = 1)]
fn text_to_files(bencher: Bencher, across: u32) {
    bencher.counter(count(across)).bench_local(|| {
        let product = pipeline::run(&job(across)).expect("made");
        (product.svg(), product.pdf(), product.json(0, &[]))
    });
}

/// A hundred copies of a small piece, and a panel over sixty pages and more: pages, SVG, PDF and JSON, in memory.
#[divan::bench(args = ["a hundred copies", "sixty pages"], sample_count = 5, sample_size = 1)]
fn much_paper(bencher: Bencher, what: &str) {
    let (shape, pitch, copies) = match what {
        "a hundred copies" => ("\"circle\"\ndiameter = 40", 6.0, 100),
        _ => ("\"rectangle\"\nwidth = 1800\nheight = 1550", 30.0, 1),
    };
    let text = format!(
        "[sheet]\nmetal = \"brass\"\nthickness = 1.0\n[outline]\nshape = {shape}\nborder = 3\n[pattern]\nat_border = \"trim\"\n\
         name = \"hexagon\"\npitch = {pitch}\nbridge = 1.4\n[paper]\ncopies = {copies}\n"
    );
    let job = parse(&text, "bench.toml", &NamedFiles::new(), &Settings::default()).expect("a sound job");
    bencher.bench_local(|| {
        let product = pipeline::run(&job).expect("made");
        (product.svg(), product.pdf(), product.json(0, &[]))
    });
}
