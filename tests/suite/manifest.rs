//! What Cargo.toml promises.

use std::process::Command;

/// The Rust version a crate asks for, as numbers that compare; nothing asked is nothing.
fn asked(package: &serde_json::Value) -> Vec<u32> {
    let text = package["rust_version"].as_str().unwrap_or("0");
    let mut numbers: Vec<u32> = text.split('.').map(|part| part.parse().expect("a number")).collect();
    numbers.resize(3, 0);
    numbers
}

/// A compiler older than a dependency asks for cannot build us, whatever we say.
#[test]
fn no_crate_asks_for_a_newer_compiler_than_we_do() {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
    let manifest = concat!(env!("CARGO_MANIFEST_DIR"), "/Cargo.toml");
    let out = Command::new(cargo)
        .args(["metadata", "--format-version", "1", "--locked", "--offline", "--manifest-path", manifest])
        .output()
        .expect("cargo runs");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let tree: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
    let packages = tree["packages"].as_array().expect("packages");
    let ours = packages.iter().find(|p| p["name"] == "sawpierce").map(asked).expect("our own");
    let newer: Vec<&serde_json::Value> =
        packages.iter().filter(|p| asked(p) > ours).map(|p| &p["name"]).collect();
    assert!(packages.len() > 100 && newer.is_empty(), "rust-version is too low for {newer:?}");
}
