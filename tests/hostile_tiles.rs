//! Files that are no tiles, or corrupted ones: each gives a skyline or an error, and nothing falls
//! over.
#![cfg(not(target_arch = "wasm32"))]

#[allow(dead_code, reason = "other tests make more of it")]
mod tiles;

use proptest::prelude::*;
use tiff::encoder::Compression;
use tiles::{Sheet, eye, hgt, seen};

fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// The error message of a file, which must not be empty.
fn error_message(name: &str, bytes: Vec<u8>) -> Option<String> {
    let at = eye(46.5, 9.5, None);
    let message = seen(&[(name.to_owned(), bytes)], at, 0.13);
    message.err().map(|why| why.to_string())
}

fn small(compression: Compression) -> Vec<u8> {
    let sheet = Sheet {
        rows: 61,
        columns: 61,
        north: 46.53,
        west: 9.47,
        step: 0.001,
        area: true,
        compression,
    };
    sheet
        .whole(|latitude, longitude| ((latitude + longitude) * 37.0) as i16)
        .1
}

#[test]
fn what_cannot_be_used_is_told_in_a_sentence() {
    let (name, whole) = hgt(46, 9, 1201, |_, _| 500);
    assert_eq!(error_message(&name, whole.clone()), None);
    let mut message = vec![
        error_message(&name, Vec::new()),
        error_message(&name, whole[..whole.len() - 1].to_vec()),
        error_message(&name, vec![0; 1000]),
        error_message("N46E009.tif", b"II*\0".to_vec()),
        error_message("N46E009.tif", b"not a picture at all".to_vec()),
        error_message("notes.hgt", whole.clone()),
        // another place, and only voids
        error_message("N10E020.hgt", whole),
        error_message("N46E009.hgt", hgt(46, 9, 1201, |_, _| i16::MIN).1),
    ];
    // an image that claims to be far larger than it is: 4 000 000 000 points wide
    let mut absurd = small(Compression::Uncompressed);
    // the directory is at the file's end: tag 256, the type of a long, one of them
    let tag = [0x00, 0x01, 0x04, 0x00, 1, 0, 0, 0];
    let wide = absurd.windows(8).rposition(|entry| entry == tag);
    let wide = wide.expect("the tag of the width");
    absurd[wide + 8..wide + 12].copy_from_slice(&4_000_000_000_u32.to_le_bytes());
    message.push(error_message("ground.tif", absurd));
    for (place, sentence) in message.into_iter().enumerate() {
        let sentence = sentence.unwrap_or_else(|| panic!("file {place} was taken"));
        assert!(
            sentence.len() > 15 && !sentence.contains("Error"),
            "{sentence}"
        );
    }
    assert!(seen(&[], eye(46.5, 9.5, None), 0.13).is_err());
}

proptest! {
    #![proptest_config(cases(400))]

    /// Any bytes at all, under any of the names.
    #[test]
    fn any_bytes_are_survived(
        name in prop::sample::select(vec!["N46E009.hgt", "ground.tif", "x", ".hgt", "S99W999.hgt"]),
        start in prop::sample::select(vec![b"II*\0".to_vec(), b"MM\0*".to_vec(), Vec::new()]),
        bytes in prop::collection::vec(any::<u8>(), 0..600),
    ) {
        let all = start.into_iter().chain(bytes).collect();
        let _ = error_message(name, all);
    }

    /// A good picture with some bytes changed or its end cut off.
    #[test]
    fn a_spoilt_picture_is_survived(
        packed in any::<bool>(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let way = if packed { Compression::Lzw } else { Compression::Uncompressed };
        let mut bytes = small(way);
        for (place, byte) in changes {
            let place = place.index(bytes.len());
            bytes[place] = byte;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        let _ = error_message("ground.tif", bytes);
    }
}
