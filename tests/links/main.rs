//! Links and files that other phones made, old ones among them, and what is left of them when they
//! are corrupted on the way.
#![cfg(not(target_arch = "wasm32"))]

mod corrupted;
#[path = "../drawn/mod.rs"]
mod drawn;
mod old_forms;

use drawn::{cases, outing};
use proptest::prelude::*;
use tarnlight::outing::share::file::{self, SharedFile};
use tarnlight::outing::share::query;

/// Where the page might be served.
const PAGE: &str = "https://someone.example.org/night/#";

proptest! {
    #![proptest_config(cases(4000))]

    #[test]
    fn an_outing_survives_its_link(outing in outing()) {
        let text = query::write(&outing);
        // an address holds no letters that mail or messengers would end it at
        prop_assert!(text.bytes().all(|byte| byte.is_ascii_graphic() && byte != b'#'), "{}", text);
        let reading = query::read(&text);
        prop_assert_eq!(&reading.errors, &Vec::<String>::new(), "{}", text);
        prop_assert_eq!(&reading.outing, &outing, "{}", text);
        prop_assert_eq!(query::write(&reading.outing), text);
    }
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn outings_kits_and_sites_survive_their_file(outings in proptest::collection::vec(outing(), 1..5)) {
        for text in [
            file::write_outing(&outings[0]),
            format!("{PAGE}{}", query::write(&outings[0])),
            query::write(&outings[0]),
        ] {
            let bundle = file::read(&text);
            let wanted = SharedFile { outing: Some(outings[0].clone()), ..SharedFile::default() };
            prop_assert_eq!(bundle, Ok(wanted), "{}", text);
        }
        let kits: Vec<_> = outings.iter().map(|outing| outing.kit.clone()).collect();
        let sites: Vec<_> = outings.iter().map(|outing| outing.site.clone()).collect();
        let text = file::write_lists(&kits, &sites);
        let wanted = SharedFile { kits, sites, ..SharedFile::default() };
        prop_assert_eq!(file::read(&text), Ok(wanted), "{}", text);
    }
}
