//! The single file that is kept in the repository, `page/built/sawpierce.html`: made from a commit, told beside it with its
//! hash, and compared with what that commit gives when it is built again.

use super::{hex, page, read, root, run, write, Outcome};
use sha2::{Digest, Sha256};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// What goes into the file.
const SOURCES: [&str; 9] = [
    "Cargo.toml",
    "Cargo.lock",
    "src",
    "patterns",
    "page/engine",
    "page/js",
    "page/offline",
    "page/vendor",
    "xtask",
];
const MORE: [&str; 3] = ["page/index.html", "page/style.css", "page/words"];

/// What is told of the file, a line each: `name: value`.
struct Told {
    commit: String,
    compiler: String,
    sha256: String,
}

fn file(root: &Path) -> PathBuf {
    root.join("page/built/sawpierce.html")
}

fn telling(root: &Path) -> PathBuf {
    root.join("page/built/README.md")
}

fn git(root: &Path, words: &[&str]) -> Outcome<String> {
    run(Command::new("git").current_dir(root).args(words))
}

/// Whether the sources of the file are the same in a commit and on the disk.
fn as_in(root: &Path, commit: &str) -> bool {
    let told = Command::new("git")
        .current_dir(root)
        .args(["diff", "--quiet", commit, "--"])
        .args(SOURCES)
        .args(MORE)
        .status();
    told.is_ok_and(|told| told.success())
}

fn compiler() -> Outcome<String> {
    run(Command::new(std::env::var("RUSTC").unwrap_or("rustc".into())).arg("-V"))
}

/// Builds the file and puts it into `page/built`, with its telling. Errors: sources that are not committed.
pub(super) fn keep() -> Outcome<String> {
    let root = root();
    let commit = git(&root, &["rev-parse", "HEAD"])?;
    if !as_in(&root, &commit) {
        return Err("commit the sources first: the kept file tells the commit it was made from".into());
    }
    let (_, bytes) = page()?;
    let sha256 = hex(&Sha256::digest(&bytes));
    write(&file(&root), &bytes)?;
    let compiler = compiler()?;
    let text = format!(
        "# The bench page as one file\n\n\
         `sawpierce.html` is the whole bench page with its engine inside, for people who cannot install anything: load it\n\
         down, double-click it. It asks nothing of any other place, and keeps the work in the browser.\n\n\
         Made by `cargo xtask built`. The same commit and compiler give the same bytes in any folder;\n\
         `cargo xtask built --check` builds that commit again and compares.\n\n\
         commit: {commit}\n\
         compiler: {compiler}\n\
         bytes: {}\n\
         sha256: {sha256}\n",
        bytes.len()
    );
    write(&telling(&root), text.as_bytes())?;
    Ok(format!("page/built/sawpierce.html, {} bytes, sha256 {sha256}, of {commit}", bytes.len()))
}

fn told(root: &Path) -> Outcome<Told> {
    let path = telling(root);
    let text = read(&path)?;
    let value = |name: &str| {
        let found = text.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix(": "));
        found.map(str::to_string).ok_or_else(|| format!("{} has no line \"{name}: ...\"", path.display()))
    };
    Ok(Told { commit: value("commit")?, compiler: value("compiler")?, sha256: value("sha256")? })
}

/// Builds the commit that the kept file was made from, and compares. Where its sources have not changed since, they are built
/// where they are; else in a working tree of their own below `target`.
pub(super) fn check() -> Outcome<String> {
    let root = root();
    let told = told(&root)?;
    let bytes = fs::read(file(&root)).map_err(|why| why.to_string())?;
    let same = |bytes: &[u8]| hex(&Sha256::digest(bytes)) == told.sha256;
    if !same(&bytes) {
        return Err("page/built/sawpierce.html is not the file that its README.md tells of".into());
    }
    let now = compiler()?;
    if now != told.compiler {
        let want = told.compiler.split(' ').nth(1).unwrap_or_default();
        return Err(format!(
            "it was made with {}, and here is {now}: RUSTUP_TOOLCHAIN={want} cargo xtask built --check",
            told.compiler
        ));
    }
    let again = match as_in(&root, &told.commit) {
        true => page()?.1,
        false => elsewhere(&root, &told.commit)?,
    };
    match same(&again) {
        true => Ok(format!(
            "page/built/sawpierce.html is what {} gives: {} bytes, sha256 {}",
            told.commit,
            bytes.len(),
            told.sha256
        )),
        false => Err(format!(
            "{} gives other bytes than page/built/sawpierce.html: sha256 {}",
            told.commit,
            hex(&Sha256::digest(&again))
        )),
    }
}

/// What a commit gives, built in a working tree of its own.
fn elsewhere(root: &Path, commit: &str) -> Outcome<Vec<u8>> {
    let place = root.join("target/page/at");
    let named = place.to_string_lossy().into_owned();
    let gone = || {
        drop(Command::new("git").current_dir(root).args(["worktree", "remove", "--force", &named]).output())
    };
    gone();
    git(root, &["worktree", "add", "--detach", &named, commit])
        .map_err(|why| format!("{why}\nthe commit is not in this clone: git fetch --unshallow"))?;
    let built = run(Command::new(std::env::var("CARGO").unwrap_or("cargo".into()))
        .current_dir(&place)
        .env_remove("CARGO_TARGET_DIR")
        .args(["run", "--quiet", "--locked", "--package", "xtask", "--", "page"]));
    let bytes =
        built.and_then(|_| fs::read(place.join("target/page/sawpierce.html")).map_err(|why| why.to_string()));
    gone();
    bytes
}
