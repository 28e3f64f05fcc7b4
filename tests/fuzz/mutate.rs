//! Mutations of sound input, the same ones for the same seed.
//!
//! Without the compiler's coverage (`make fuzz` has it) the kinds of harm are chosen by hand: bits and
//! bytes, numbers at the ends of their ranges, parts cut, doubled and swapped, parts of another
//! input, and words that parsers stumble over.

use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};

/// Words and bytes that parsers stumble over.
const WORDS: [&[u8]; 26] = [
    b"%",
    b"%FF",
    b"%E2%98%83",
    "☃".as_bytes(),
    "\u{202e}".as_bytes(),
    "e\u{301}".as_bytes(),
    "−".as_bytes(),
    b"\0",
    "\u{feff}".as_bytes(),
    b"\r\n",
    b"\n\n",
    b"&",
    b"=",
    b"#",
    b"1e999",
    b"-1e-999",
    b"NaN",
    b"-",
    b"99999999999999999999999999",
    b"0.00000000001",
    b"_*_",
    b"<b>",
    b"[[[[[[[[",
    b"{\"id\":",
    b"null",
    b"\xFF\xD8\xFF",
];

/// Numbers at the ends of their ranges.
const NUMBERS: [u64; 12] = [
    0,
    1,
    0x7F,
    0x80,
    0xFF,
    0x7FFF,
    0x8000,
    0xFFFF,
    0x7FFF_FFFF,
    0x8000_0000,
    0xFFFF_FFFF,
    u64::MAX,
];

/// Most bytes that headers take, where a changed byte counts most.
const HEADER: usize = 400;

/// Draws mutations.
pub struct Mutator {
    random: Pcg64Mcg,
}

impl Mutator {
    pub fn new(seed: u64) -> Self {
        Self {
            random: Pcg64Mcg::seed_from_u64(seed),
        }
    }

    /// Below `limit`, or 0.
    pub fn below(&mut self, limit: usize) -> usize {
        (self.random.next_u64() >> 16) as usize % limit.max(1)
    }

    /// One of the inputs, changed in one to eight places.
    pub fn mutated(&mut self, inputs: &[Vec<u8>]) -> Vec<u8> {
        let mut bytes = inputs[self.below(inputs.len())].clone();
        for _ in 0..1_usize << self.below(4) {
            self.mutate(&mut bytes, inputs);
        }
        bytes
    }

    /// A place in the bytes; every other one in their header.
    fn place(&mut self, bytes: &[u8]) -> usize {
        let limit = match self.below(2) {
            0 => bytes.len().min(HEADER),
            _ => bytes.len(),
        };
        self.below(limit)
    }

    fn mutate(&mut self, bytes: &mut Vec<u8>, inputs: &[Vec<u8>]) {
        if bytes.is_empty() {
            bytes.push(self.below(256) as u8);
            return;
        }
        let at = self.place(bytes);
        let length = 1 + self.below(32.min(bytes.len() - at));
        match self.below(10) {
            0 => bytes[at] ^= 1 << self.below(8),
            1 => bytes[at] = self.below(256) as u8,
            2 => bytes.truncate(at),
            3 => drop(bytes.drain(at..at + length)),
            4 => {
                let part = bytes[at..at + length].to_vec();
                let to = self.place(bytes);
                bytes.splice(to..to, part.repeat(1 + self.below(4)));
            }
            5 => {
                let word = WORDS[self.below(WORDS.len())];
                bytes.splice(at..at, word.iter().copied());
            }
            6 => {
                let number = NUMBERS[self.below(NUMBERS.len())];
                let width = 1 << self.below(4);
                let (little, big) = (number.to_le_bytes(), number.to_be_bytes());
                let written = match self.below(2) {
                    0 => &little[..width],
                    _ => &big[8 - width..],
                };
                for (byte, new) in bytes[at..].iter_mut().zip(written) {
                    *byte = *new;
                }
            }
            7 => {
                let other = &inputs[self.below(inputs.len())];
                let from = self.below(other.len());
                let part = &other[from..other.len().min(from + 4 * length)];
                bytes.splice(at..at, part.iter().copied());
            }
            8 => {
                let digits = "0123456789".repeat(1 + self.below(4));
                bytes.splice(at..at, digits.bytes());
            }
            _ => {
                let fill = [0, 0xFF, b'9'][self.below(3)];
                bytes[at..at + length].fill(fill);
            }
        }
    }
}
