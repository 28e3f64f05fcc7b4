//! A temporary folder of a test's own, for files to open.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

/// A folder that is removed with this value.
pub struct TempFolder(PathBuf);

impl TempFolder {
    /// An empty folder; the name tells tests apart.
    pub fn new(name: &str) -> Self {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let name = format!("tarnlight-{name}-{}-{number}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&folder).expect("a temporary folder can be made");
        Self(folder)
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.0
    }

    /// Writes a file into it.
    pub fn write(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let path = self.path().join(name);
        std::fs::write(&path, bytes).expect("a temporary file can be written");
        path
    }
}

impl Drop for TempFolder {
    fn drop(&mut self) {
        // what cannot be removed lies where the system clears up
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
