//! The data in the built folder that others made: whose they are, on what terms, and the files that
//! hold them, each with its hash, so that no other data are built into the page unseen.

use std::fs;
use std::path::Path;

use sha2::{Digest, Sha256};

/// A set of data.
#[derive(Debug)]
pub struct OpenData {
    /// What it is called.
    pub name: &'static str,
    /// Its terms: an SPDX expression, or the words for terms that SPDX does not list.
    pub terms: Terms,
    /// Whose it is, and on what terms, for the notices.
    pub notice: &'static str,
    /// The files made from it, with their SHA-256.
    pub files: &'static [(&'static str, &'static str)],
}

/// Terms of data.
#[derive(Debug, Clone, Copy)]
pub enum Terms {
    /// An identifier of SPDX's list.
    Spdx(&'static str),
    /// Public domain.
    PublicDomain,
}

/// All of it.
pub const OPEN_DATA: [OpenData; 6] = [
    OpenData {
        name: "GeoNames",
        terms: Terms::Spdx("CC-BY-4.0"),
        notice: r#"Places and their time zones: <a href="https://www.geonames.org">GeoNames</a>, <a href="https://creativecommons.org/licenses/by/4.0/">CC BY 4.0</a>; a selection."#,
        files: &[(
            "styles/places.txt",
            "056dd90e0138ced8cef108e4d047bb560f61ed2c661a9ed2ba73f4ee3fd1552f",
        )],
    },
    OpenData {
        name: "OpenNGC",
        terms: Terms::Spdx("CC-BY-SA-4.0"),
        notice: r#"Targets: <a href="https://github.com/mattiaverga/OpenNGC">OpenNGC</a>, by Mattia Verga and others, <a href="https://creativecommons.org/licenses/by-sa/4.0/">CC BY-SA 4.0</a>; a selection, with sizes changed. The selection is under the same licence."#,
        files: &[(
            "src/sky/targets_table.rs",
            "0f3aaa9c575727b2441e2f3aa34672b085c051dc2c342c88fae7a96a77c0c40d",
        )],
    },
    OpenData {
        name: "Hipparcos",
        terms: Terms::PublicDomain,
        notice: "Stars: the Hipparcos catalogue (ESA 1997, SP-1200) in the reduction of F. van Leeuwen 2007, public domain.",
        files: &[
            (
                "src/sky/stars.bin",
                "582859be05cb8d331755b960d7e449de8d572a1a3a93fe7e36662cfa27ed6f78",
            ),
            (
                "src/astrometry/catalogue.bin",
                "c69c91dbaf6cae6c17bbefee9e191f32f74fd0701b388131f6a6659a33b034f5",
            ),
        ],
    },
    OpenData {
        name: "Ysabeau Office",
        terms: Terms::Spdx("OFL-1.1"),
        notice: r#"Typeface of figures and headlines: Ysabeau Office, copyright 2023 The Ysabeau Project Authors, <a href="https://openfontlicense.org">SIL Open Font License 1.1</a>; a selection of its letters."#,
        files: &[(
            "styles/figures.woff2",
            "60ff23ce49cadd2d673827f40fb873072c53c8553d2b72e1ac08c7f03c734b4f",
        )],
    },
    OpenData {
        name: "Gaia DR3",
        terms: Terms::Spdx("CC-BY-SA-3.0-IGO"),
        notice: r#"The Milky Way: made from counts of stars of Gaia DR3, <a href="https://www.cosmos.esa.int/web/gaia/dpac/consortium">ESA/Gaia/DPAC</a>, <a href="https://creativecommons.org/licenses/by-sa/3.0/igo/">CC BY-SA 3.0 IGO</a>, and the dust map of D. J. Schlegel, D. P. Finkbeiner and M. Davis 1998. The map made from them is under the same licence."#,
        files: &[(
            "src/sky/milky_way.bin",
            "1e54c5b604199af084de278c58636171dad7b54a88ac06859a47bfbb4c67370c",
        )],
    },
    OpenData {
        name: "World Magnetic Model 2025",
        terms: Terms::PublicDomain,
        notice: "Magnetic declination: the World Magnetic Model 2025 of NOAA's National Centers for Environmental Information and the British Geological Survey, public domain.",
        files: &[(
            "src/land/wmm2025.rs",
            "98882fb7afaca843896e7bb05b16f1c9cfce0124e18a50fd9882a7e737945664",
        )],
    },
];

/// Checks that the files below this folder are the ones that are listed.
pub fn check(source: &Path) -> Result<(), String> {
    for (file, hash) in OPEN_DATA.iter().flat_map(|data| data.files) {
        let bytes =
            fs::read(source.join(file)).map_err(|error| format!("cannot read {file}: {error}"))?;
        let found = super::hex(&Sha256::digest(bytes));
        if found != *hash {
            return Err(format!(
                "{file} is not the file that is listed; look what changed, then write {found} in \
                 tests/tools/open_data.rs"
            ));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_data_are_those_that_are_listed() {
        let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
        assert_eq!(check(&source), Ok(()));
        assert!(check(&source.join("tests")).is_err(), "no data there");
    }
}
