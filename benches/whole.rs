//! How the cost grows with the piece: discs of hexagons (pitch 2.6, bridge 0.8, border 2) of about a thousand, ten
//! thousand and a hundred thousand openings, on paper cut to suit. The plan and the files are timed apart. Read the
//! `items` column: openings a second, which should stay level as pieces grow.
//!
//! `cargo bench --bench whole`

use divan::counter::ItemsCount;
use divan::Bencher;
use sawpierce::job::{parse, Job, NamedFiles, Settings};
use sawpierce::pipeline;
use sawpierce::work::work;

fn main() {
    divan::main();
}

/// Diameters, mm, that give about 300, 1e3, 1e4 and 1e5 openings.
const DISCS: [u32; 4] = [50, 91, 281, 880];

fn text(across: u32) -> String {
    format!(
        "[sheet]\nmetal = \"sterling-silver\"\nthickness = 0.8\n[outline]\nshape = \"circle\"\ndiameter = {across}\n\
         border = 2\n[pattern]\nname = \"hexagon\"\npitch = 2.6\nbridge = 0.8\n[saw]\nblade = \"4/0\"\ndrill = 0.6\n\
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
        .bench_local(|| (product.svg(), product.pdf(), product.json(0, false)));
}

/// Everything, from text to files.
#[divan::bench(args = DISCS, sample_count = 5, sample_size = 1)]
fn text_to_files(bencher: Bencher, across: u32) {
    bencher.counter(count(across)).bench_local(|| {
        let product = pipeline::run(&job(across)).expect("made");
        (product.svg(), product.pdf(), product.json(0, false))
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
        "[sheet]\nmetal = \"brass\"\nthickness = 1.0\n[outline]\nshape = {shape}\nborder = 3\n[pattern]\n\
         name = \"hexagon\"\npitch = {pitch}\nbridge = 1.4\n[paper]\ncopies = {copies}\n"
    );
    let job = parse(&text, "bench.toml", &NamedFiles::new(), &Settings::default()).expect("a sound job");
    bencher.bench_local(|| {
        let product = pipeline::run(&job).expect("made");
        (product.svg(), product.pdf(), product.json(0, false))
    });
}
