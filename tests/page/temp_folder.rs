//! A temporary folder of a test's own, for files to open.

use std::path::PathBuf;

/// A folder that is removed with this value.
pub struct TempFolder(PathBuf);

impl TempFolder {
    /// An empty folder; the name tells tests apart.
    pub fn new(name: &str) -> Self {
        let name = format!("tarnlight-{name}-{}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&folder).expect("a temporary folder can be made");
        Self(folder)
    }

    /// Writes a file into it.
    pub fn write(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let path = self.0.join(name);
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
