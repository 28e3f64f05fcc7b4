//! Text files of outings, kits and sites, and what is pasted in their place.

use tarnlight::outing::plan::Outing;
use tarnlight::outing::plan::kit::Kit;
use tarnlight::outing::plan::site::Site;
use tarnlight::outing::share::file;

use super::links::{EVERY_KEY, settled};
use super::{MB, MemoryLimit, Target, text};

pub const TARGET: Target = Target {
    name: "files",
    seeds,
    run,
    memory: MemoryLimit {
        least: MB,
        per_byte: 2000,
        most: 256 * MB,
    },
};

fn seeds() -> Vec<Vec<u8>> {
    let lists = file::write_lists(
        &[Kit::default(), Kit::default()],
        &[Site::default(), Site::default()],
    );
    let files = [
        file::write_outing(&Outing::default()),
        format!("tarnlight 1\nouting {EVERY_KEY}\nkit {EVERY_KEY}\nsite {EVERY_KEY}\n"),
        format!("https://example.org/night/#{EVERY_KEY}"),
        lists,
    ];
    files.map(String::into_bytes).to_vec()
}

fn run(input: &[u8]) {
    match file::read(&text(input)) {
        Ok(read) => {
            if let Some(outing) = &read.outing {
                settled(outing);
            }
            for kit in &read.kits {
                settled(&Outing {
                    kit: kit.clone(),
                    ..Outing::default()
                });
            }
            for site in &read.sites {
                settled(&Outing {
                    site: site.clone(),
                    ..Outing::default()
                });
            }
            let lists = file::write_lists(&read.kits, &read.sites);
            if !read.kits.is_empty() || !read.sites.is_empty() {
                assert!(file::read(&lists).is_ok(), "{lists}");
            }
        }
        Err(why) => assert!(!why.is_empty()),
    }
}
