//! Versions that must agree or must not move by themselves.

use crate::tree;

fn version_in_lock(lock: &str, name: &str) -> Option<String> {
    let lock: toml::Table = lock.parse().expect("a lock file");
    let packages = lock["package"].as_array().expect("packages");
    let package = packages.iter().find(|package| package["name"].as_str() == Some(name))?;
    Some(package["version"].as_str()?.to_owned())
}

#[test]
fn bindings_and_their_maker_have_one_version() {
    let lock = tree::read("Cargo.lock");
    let bindings = version_in_lock(&lock, "wasm-bindgen").expect("wasm-bindgen is used");
    let maker = version_in_lock(&lock, "wasm-bindgen-cli-support").expect("the maker is used");
    assert_eq!(bindings, maker, "run cargo update for both together");
}

#[test]
fn the_mathematics_is_pinned() {
    let manifest: toml::Table = tree::read("Cargo.toml").parse().expect("a manifest");
    let libm = manifest["workspace"]["dependencies"]["libm"].as_str().expect("a plain version");
    assert!(libm.starts_with('='), "libm = \"{libm}\": another version may give other bits; pin it with =");
}

#[test]
fn packages_of_the_browser_tests_are_exact() {
    let manifest: serde_json::Value =
        serde_json::from_str(&tree::read("tests/browser/package.json")).expect("a package file");
    assert!(manifest.get("dependencies").is_none(), "the page itself uses no packages");
    for (name, version) in manifest["devDependencies"].as_object().expect("packages") {
        let version = version.as_str().expect("a version");
        assert!(
            version.starts_with(|c: char| c.is_ascii_digit()),
            "{name} {version}: give one exact version"
        );
    }
}
