//! A file as a source of bytes, read in blocks.
//!
//! For the worker only: synchronous reading is available only there.

use std::io::{self, Read, Seek, SeekFrom};

use js_sys::Uint8Array;
use web_sys::{Blob, File, FileReaderSync};

/// Bytes read at once: each read takes the browser some milliseconds.
const PIECE: u64 = 1 << 23;

/// A file open for reading.
pub struct FileSource {
    blob: Blob,
    reader: FileReaderSync,
    length: u64,
    at: u64,
    /// The buffered block and its offset.
    buffered: (u64, Vec<u8>),
}

impl FileSource {
    /// The file from its first byte; `None` where the browser cannot read files in a worker.
    pub fn new(file: &File) -> Option<Self> {
        Some(Self {
            blob: file.clone().into(),
            reader: FileReaderSync::new().ok()?,
            length: file.size() as u64,
            at: 0,
            buffered: (0, Vec::new()),
        })
    }

    /// Length, bytes.
    pub const fn length(&self) -> u64 {
        self.length
    }
}

impl Read for FileSource {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        if self.at >= self.length || into.is_empty() {
            return Ok(0);
        }
        let end = self.buffered.0 + self.buffered.1.len() as u64;
        if !(self.buffered.0..end).contains(&self.at) {
            let broken = |_| io::Error::other("the file cannot be read");
            let to = (self.at + PIECE).min(self.length);
            let piece = self
                .blob
                .slice_with_f64_and_f64(self.at as f64, to as f64)
                .and_then(|piece| self.reader.read_as_array_buffer(&piece))
                .map_err(broken)?;
            self.buffered = (self.at, Uint8Array::new(&piece).to_vec());
        }
        let buffered = &self.buffered.1[(self.at - self.buffered.0) as usize..];
        let count = buffered.len().min(into.len());
        into[..count].copy_from_slice(&buffered[..count]);
        self.at += count as u64;
        Ok(count)
    }
}

impl Seek for FileSource {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        let place = match to {
            SeekFrom::Start(place) => i64::try_from(place).ok(),
            SeekFrom::End(place) => (self.length as i64).checked_add(place),
            SeekFrom::Current(place) => (self.at as i64).checked_add(place),
        };
        match place.and_then(|place| u64::try_from(place).ok()) {
            Some(place) => {
                self.at = place;
                Ok(place)
            }
            None => Err(io::ErrorKind::InvalidInput.into()),
        }
    }
}
