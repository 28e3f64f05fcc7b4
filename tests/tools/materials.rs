//! The bill of materials: every crate and set of data in the built folder, and the tools that made it,
//! in CycloneDX 1.6 (ECMA-424, 2nd edition), for programs that look for known flaws.
//!
//! It has neither a time nor a serial number, so that the same source and tools give the same bytes.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

use serde_json::{Value, json};

use super::notices::{TARGET, crates, linked};
use super::open_data::{OPEN_DATA, OpenData, Terms};

/// Programs that make the folder, asked for their version.
const TOOLS: [&str; 4] = ["rustc", "cargo", "trunk", "wasm-bindgen"];

/// The bill for the crate with this manifest.
///
/// Fails when cargo does, and when a crate has no hash in `Cargo.lock`.
pub fn bill(manifest: &Path) -> Result<String, String> {
    let metadata = crates(manifest)?;
    let root = metadata
        .root_package()
        .ok_or("the manifest is no crate's")?;
    let lock = metadata.workspace_root.join("Cargo.lock");
    let lock =
        std::fs::read_to_string(&lock).map_err(|error| format!("cannot read {lock}: {error}"))?;
    let hashes = lock_hashes(&lock);
    let mut components = Vec::new();
    for package in linked(manifest, &metadata)? {
        let version = package.version.to_string();
        let hash = hashes.get(&(package.name.as_str(), version.as_str()));
        let hash = hash.ok_or_else(|| format!("{} has no hash in Cargo.lock", package.name))?;
        components.push(component(
            &package.name,
            &version,
            package.license.as_deref().unwrap_or_default(),
            hash,
        ));
    }
    components.extend(OPEN_DATA.iter().map(data));
    let bill = json!({
        "$schema": "http://cyclonedx.org/schema/bom-1.6.schema.json",
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {
            "component": {
                "type": "application",
                "bom-ref": "tarnlight",
                "name": root.name.as_str(),
                "version": root.version.to_string(),
                "licenses": [{"license": {"id": "MIT"}}],
            },
            "tools": {"components": tools()},
            "properties": [{"name": "target", "value": TARGET}],
        },
        "components": components,
    });
    let text = serde_json::to_string_pretty(&bill);
    text.map(|text| text + "\n")
        .map_err(|error| format!("the bill of materials cannot be written: {error}"))
}

/// The tools by name, each with the version it gives, as it prints it.
pub fn tool_versions() -> Vec<(&'static str, String)> {
    let version = |tool: &&'static str| {
        let printed = Command::new(tool).arg("--version").output().ok()?;
        let text = String::from_utf8_lossy(&printed.stdout);
        let version = text.trim().strip_prefix(*tool)?.trim().to_owned();
        Some((*tool, version))
    };
    TOOLS.iter().filter_map(version).collect()
}

fn tools() -> Vec<Value> {
    let tool = |(name, version)| json!({"type": "application", "name": name, "version": version});
    tool_versions().into_iter().map(tool).collect()
}

/// A crate, by its package URL.
fn component(name: &str, version: &str, terms: &str, hash: &str) -> Value {
    let purl = format!("pkg:cargo/{name}@{version}");
    json!({
        "type": "library",
        "bom-ref": purl,
        "name": name,
        "version": version,
        "purl": purl,
        // older crates write a slash where SPDX has OR
        "licenses": [{"expression": terms.replace('/', " OR ")}],
        "hashes": [{"alg": "SHA-256", "content": hash}],
    })
}

fn data(data: &OpenData) -> Value {
    let licence = match data.terms {
        Terms::Spdx(id) => json!({"id": id}),
        Terms::PublicDomain => json!({"name": "public domain"}),
    };
    let files = data.files.iter().map(|(file, hash)| {
        json!({
            "type": "file",
            "name": file,
            "hashes": [{"alg": "SHA-256", "content": hash}],
        })
    });
    json!({
        "type": "data",
        "bom-ref": data.name,
        "name": data.name,
        "licenses": [{"license": licence}],
        "components": files.collect::<Vec<_>>(),
    })
}

/// The hashes in a `Cargo.lock`, by name and version.
fn lock_hashes(lock: &str) -> BTreeMap<(&str, &str), &str> {
    lock.split("[[package]]")
        .filter_map(|package| {
            let field = |name: &str| {
                let line = package.lines().find_map(|line| line.strip_prefix(name))?;
                Some(line.trim_start_matches(" = ").trim_matches('"'))
            };
            Some(((field("name")?, field("version")?), field("checksum")?))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hashes_are_read_from_a_lock() {
        let lock = "version = 4\n\n[[package]]\nname = \"a\"\nversion = \"1.0.0\"\n\
            checksum = \"ab\"\ndependencies = [\n \"b\",\n]\n\n[[package]]\nname = \"own\"\n\
            version = \"0.1.0\"\n";
        assert_eq!(lock_hashes(lock), BTreeMap::from([(("a", "1.0.0"), "ab")]));
    }

    #[test]
    fn the_bill_names_crates_and_data() {
        let manifest = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../Cargo.toml");
        let text = bill(&manifest).expect("cargo knows the crates");
        assert_eq!(bill(&manifest), Ok(text.clone()), "the same each time");
        let bill: Value = serde_json::from_str(&text).expect("JSON");
        let components = bill["components"].as_array().expect("a list");
        let named = |name: &str| {
            let mut all = components.iter();
            all.any(|one| one["name"] == name)
        };
        for name in ["yew", "chrono", "sofars", "GeoNames", "Hipparcos"] {
            assert!(named(name), "{name}");
        }
        for name in ["proptest", "seal", "tarnlight"] {
            assert!(!named(name), "{name}");
        }
        for one in components.iter().filter(|one| one["type"] == "library") {
            let hash = one["hashes"][0]["content"].as_str().unwrap_or_default();
            assert_eq!(hash.len(), 64, "{one}");
            let terms = one["licenses"][0]["expression"]
                .as_str()
                .unwrap_or_default();
            assert!(spdx::Expression::parse(terms).is_ok(), "{one}");
        }
    }
}
