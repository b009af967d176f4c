//! `cargo xtask page`: the bench page with its engine as one file that works from a double click.
//!
//! The engine is built as a static library for wasm32-unknown-unknown and linked with the toolchain's own rust-lld, its four
//! functions exported by name: no imports, no binding generator. esbuild joins the page's modules into one. Everything is put
//! into `target/page/sawpierce.html`; the same sources, compiler and esbuild give the same bytes in any folder.

mod built;

use base64::prelude::{Engine, BASE64_STANDARD};
use flate2::{Compression, GzBuilder};
use sha2::{Digest, Sha256};
use std::env;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

const TARGET: &str = "wasm32-unknown-unknown";
/// The engine's functions, as `page/engine` names them.
const EXPORTS: [&str; 4] = ["room", "ask", "answer", "file"];

type Outcome<T> = Result<T, String>;

fn main() -> ExitCode {
    let words: Vec<String> = env::args().skip(1).collect();
    let done = match words.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["page"] => page().map(|(path, bytes)| {
            let (size, hash) = (bytes.len(), hex(&Sha256::digest(&bytes)));
            println!("{}\n{size} bytes, sha256 {hash}", path.display());
        }),
        ["engine"] => engine(&root()).map(|path| println!("{}", path.display())),
        ["built"] => built::keep().map(|said| println!("{said}")),
        ["built", "--check"] => built::check().map(|said| println!("{said}")),
        _ => Err("say `cargo xtask page`; `engine` for the WebAssembly alone; `built` to put the page into page/built, `built \
                  --check` to compare it"
            .into()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

/// The repository.
fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here).to_path_buf()
}

fn read(path: &Path) -> Outcome<String> {
    fs::read_to_string(path).map_err(|why| format!("{}: {why}", path.display()))
}

fn write(path: &Path, bytes: &[u8]) -> Outcome<()> {
    let folder = path.parent().unwrap_or(path);
    fs::create_dir_all(folder)
        .and_then(|()| fs::write(path, bytes))
        .map_err(|why| format!("{}: {why}", path.display()))
}

fn run(command: &mut Command) -> Outcome<String> {
    let told = command.stderr(std::process::Stdio::inherit()).output();
    let told = told.map_err(|why| format!("{command:?}: {why}"))?;
    match told.status.success() {
        true => Ok(String::from_utf8_lossy(&told.stdout).trim().to_string()),
        false => Err(format!("{command:?} ended with {}", told.status)),
    }
}

/// The engine as WebAssembly.
fn engine(root: &Path) -> Outcome<PathBuf> {
    let rustc = env::var("RUSTC").unwrap_or("rustc".into());
    let sysroot = PathBuf::from(run(Command::new(&rustc).args(["--print", "sysroot"]))?);
    let host = run(Command::new(&rustc).arg("-vV"))?;
    let host =
        host.lines().find_map(|line| line.strip_prefix("host: ")).ok_or("rustc names no host")?.to_string();
    if !sysroot.join("lib/rustlib").join(TARGET).is_dir() {
        return Err(format!("the compiler lacks {TARGET}: rustup target add {TARGET}"));
    }
    // Nothing in the file may tell where it was built.
    let home = env::var("CARGO_HOME")
        .map(PathBuf::from)
        .or_else(|_| env::var("HOME").map(|h| Path::new(&h).join(".cargo")));
    let from = |path: &Path, to: &str| format!("--remap-path-prefix={}={to}", path.display());
    let mut flags = vec![from(root, "/sawpierce"), from(&sysroot, "/rust")];
    flags.extend(home.ok().map(|home| from(&home, "/cargo")));
    let target = root.join("target");
    run(Command::new(env::var("CARGO").unwrap_or("cargo".into()))
        .current_dir(root)
        .args(["build", "--locked", "--package", "sawpierce-engine", "--profile", "page", "--target", TARGET])
        .env("CARGO_TARGET_DIR", &target)
        .env("CARGO_ENCODED_RUSTFLAGS", flags.join("\u{1f}")))?;
    let library = target.join(TARGET).join("page/libsawpierce_engine.a");
    let out = target.join("page/engine.wasm");
    fs::create_dir_all(target.join("page")).map_err(|why| why.to_string())?;
    let mut link = Command::new(sysroot.join("lib/rustlib").join(host).join("bin/rust-lld"));
    link.args(["-flavor", "wasm", "--no-entry", "--gc-sections", "--strip-all", "-z", "stack-size=4194304"]);
    link.args(EXPORTS.map(|name| format!("--export={name}")));
    run(link.arg("-o").arg(&out).arg(&library))?;
    Ok(out)
}

/// The whole page; where it is, and its bytes.
fn page() -> Outcome<(PathBuf, Vec<u8>)> {
    let root = root();
    let engine = fs::read(engine(&root)?).map_err(|why| why.to_string())?;
    let script = joined(&root)?.replace("</script", "<\\/script");
    let style = read(&root.join("page/style.css"))?;
    let mut packed = GzBuilder::new().mtime(0).operating_system(255).write(Vec::new(), Compression::best());
    packed.write_all(&engine).map_err(|why| why.to_string())?;
    let packed = BASE64_STANDARD.encode(packed.finish().map_err(|why| why.to_string())?);
    // Nothing but the two texts below and the engine; nothing from elsewhere.
    let policy = format!(
        "default-src 'none'; script-src 'sha256-{}' 'wasm-unsafe-eval' blob:; worker-src blob:; style-src 'sha256-{}'; img-src \
         data: blob:; base-uri 'none'; form-action 'none'",
        BASE64_STANDARD.encode(Sha256::digest(&script)),
        BASE64_STANDARD.encode(Sha256::digest(&style))
    );
    let html = read(&root.join("page/index.html"))?;
    let html =
        instead(&html, "<link rel=\"stylesheet\" href=\"style.css\" />", &format!("<style>{style}</style>"))?;
    let tail = format!("<script type=\"application/octet-stream\" id=\"engine\">{packed}</script>");
    let html = instead(&html, "<script type=\"module\" src=\"js/main.js\"></script>", "")?;
    let first = format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\" />");
    let html =
        instead(&html, "<meta charset=\"utf-8\" />", &format!("<meta charset=\"utf-8\" />\n    {first}"))?;
    let html =
        instead(&html, "</body>", &format!("{tail}\n<script type=\"module\">{script}</script>\n  </body>"))?;
    let out = root.join("target/page/sawpierce.html");
    write(&out, html.as_bytes())?;
    println!(
        "engine {} bytes, {} packed; script {}; style {}",
        engine.len(),
        packed.len(),
        script.len(),
        style.len()
    );
    Ok((out, html.into_bytes()))
}

/// A text with one part of it replaced, which has to be there.
fn instead(text: &str, part: &str, by: &str) -> Outcome<String> {
    match text.split_once(part) {
        Some((before, after)) => Ok(format!("{before}{by}{after}")),
        None => Err(format!("page/index.html has no {part}")),
    }
}

/// The page's modules as one, with the offline engine in place of the one that speaks to the program.
fn joined(root: &Path) -> Outcome<String> {
    let tool = root.join("xtask/node_modules/.bin/esbuild");
    if !tool.exists() {
        run(Command::new("npm").args(["ci", "--silent", "--prefix"]).arg(root.join("xtask")))?;
    }
    let work = root.join("target/page/source");
    if work.exists() {
        fs::remove_dir_all(&work).map_err(|why| why.to_string())?;
    }
    for folder in ["js", "vendor", "words"] {
        copy(&root.join("page").join(folder), &work.join(folder))?;
    }
    // The worker is a text inside the script: it is started from there.
    let worker = read(&root.join("page/offline/worker.js"))?;
    write(&work.join("js/engine.js"), read(&root.join("page/offline/engine.js"))?.as_bytes())?;
    write(&work.join("js/worker.js"), format!("export default {};\n", text_of(&worker)).as_bytes())?;
    run(Command::new(&tool).current_dir(&work).args([
        "js/main.js",
        "--bundle",
        "--format=esm",
        "--minify",
        "--charset=utf8",
        "--legal-comments=inline",
        "--target=es2022",
        "--log-level=warning",
    ]))
}

/// A text as a script writes it.
fn text_of(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out += "\\\"",
            '\\' => out += "\\\\",
            '\n' => out += "\\n",
            c => out.push(c),
        }
    }
    out + "\""
}

fn copy(from: &Path, to: &Path) -> Outcome<()> {
    let entries = fs::read_dir(from).map_err(|why| format!("{}: {why}", from.display()))?;
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_file() {
            let bytes = fs::read(&path).map_err(|why| why.to_string())?;
            write(&to.join(entry.file_name()), &bytes)?;
        }
    }
    Ok(())
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}
