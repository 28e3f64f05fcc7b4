//! The service worker, with its version and the list of all files.

use std::collections::BTreeMap;

use sha2::{Digest, Sha256};

use super::hashed_names::renamed_once;
use super::hex;
use super::lightened::lightened;

/// The service worker as it stands among the sources.
pub const TEMPLATE: &str = include_str!("../../src/browser/service-worker.js");

/// Where it has the version and the list.
const VERSION_MARK: &str = r#"const VERSION = "unsealed";"#;
const FILES_MARK: &str = "const FILES = {};";

/// The version: a hash of all files, the page still without it, and of the service worker, so that
/// no two workers ever share a cache.
pub fn version(template: &str, hashes: &BTreeMap<&str, String>) -> Result<String, String> {
    let all = [lightened(template), written(hashes)?].concat();
    Ok(hex(&Sha256::digest(all.as_bytes()))[..12].to_owned())
}

fn written(hashes: &BTreeMap<&str, String>) -> Result<String, String> {
    serde_json::to_string(hashes)
        .map_err(|error| format!("the list of files cannot be written: {error}"))
}

/// The worker's text with its version and its list.
pub fn worker(
    template: &str,
    version: &str,
    hashes: &BTreeMap<&str, String>,
) -> Result<String, String> {
    for name in hashes.keys() {
        let (_, ending) = name.rsplit_once('.').unwrap_or(("", name));
        if !template.contains(&format!("\n  {ending}: \"")) {
            return Err(format!("the service worker knows no type for {name}"));
        }
    }
    let list = written(hashes)?;
    let version = format!("const VERSION = \"{version}\";");
    let text = renamed_once(&lightened(template), VERSION_MARK, &version)?;
    renamed_once(&text, FILES_MARK, &format!("const FILES = {list};"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Files, hashes};

    #[test]
    fn a_changed_file_makes_a_new_version() {
        let with = |text: &str| {
            let files = Files::from([("a/b.css".to_owned(), text.into())]);
            let version = version(TEMPLATE, &hashes(&files)).expect("a list");
            worker(TEMPLATE, &version, &hashes(&files)).expect("the template holds both marks")
        };
        assert_eq!(with("x"), with("x"));
        assert_ne!(with("x"), with("y"));
        // SHA-256 of "abc": FIPS 180-4, example in NIST's SHA_All, 1 block.
        assert!(with("abc").contains(
            r#""a/b.css":"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad""#
        ));
        assert!(!with("x").contains("unsealed"));
        assert!(worker("nothing", "1", &BTreeMap::new()).is_err());
        let odd = BTreeMap::from([("a.odd", String::new())]);
        assert!(worker(TEMPLATE, "1", &odd).is_err(), "no type");
        // another worker for the same files has a cache of its own
        let of = |template| version(template, &BTreeMap::new());
        assert_ne!(of("a();"), of("b();"));
    }
}
