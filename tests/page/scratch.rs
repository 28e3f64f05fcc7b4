//! A folder of a test's own for files to open.

use std::path::PathBuf;

/// A folder that goes with the test.
pub struct Scratch(PathBuf);

impl Scratch {
    /// An empty folder; the name tells tests apart.
    pub fn new(name: &str) -> Self {
        let name = format!("tarnlight-{name}-{}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&folder).expect("a folder of our own");
        Self(folder)
    }

    /// Writes a file into it.
    pub fn holding(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let path = self.0.join(name);
        std::fs::write(&path, bytes).expect("a file of our own");
        path
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        // what is left over lies in the machine's folder for such things
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
