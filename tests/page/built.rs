//! The built page as files in memory, and other builds made from it.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

/// The page itself.
pub const INDEX: &str = "index.html";

/// The service worker, which lists all other files.
pub const WORKER: &str = "sw.js";

/// Brotli's usual setting. The strongest gains a twentieth and takes twenty times as long, half a
/// minute for an unoptimised test.
const QUALITY: i32 = 9;

/// Brotli's strongest setting, as files are packed that are packed once.
const STRONGEST: i32 = 11;

/// File names relative to the served folder, and the files. Builds made from one another share the
/// files that are the same.
#[derive(Clone)]
pub struct Built {
    files: BTreeMap<String, Arc<File>>,
}

/// A file's bytes, and what brotli makes of them once that is asked for.
struct File {
    bytes: Vec<u8>,
    quality: i32,
    packed: OnceLock<Vec<u8>>,
}

impl File {
    fn new(bytes: Vec<u8>) -> Arc<Self> {
        Self::with_quality(bytes, QUALITY)
    }

    fn with_quality(bytes: Vec<u8>, quality: i32) -> Arc<Self> {
        Arc::new(Self {
            bytes,
            quality,
            packed: OnceLock::new(),
        })
    }
}

impl Built {
    /// The build in `dist`, or in the folder that `TARNLIGHT_DIST` names; read once.
    pub fn from_dist() -> Self {
        static DIST: OnceLock<Built> = OnceLock::new();
        DIST.get_or_init(Self::read_dist).clone()
    }

    fn read_dist() -> Self {
        let usual = || Path::new(env!("CARGO_MANIFEST_DIR")).join("dist");
        let folder = std::env::var_os("TARNLIGHT_DIST").map_or_else(usual, PathBuf::from);
        let mut files = BTreeMap::new();
        read_folder(&folder, "", &mut files);
        let built = Self { files };
        let sealed = built.files.contains_key(WORKER) && built.files.contains_key(INDEX);
        assert!(
            sealed,
            "no built page in {}: run make build",
            folder.display()
        );
        built
    }

    /// The same page as a version of this name, with a mark in its front and in its style, sealed
    /// anew. Style, worker and list of towns get other names, as all that changes does.
    pub fn marked(&self, word: &str) -> Self {
        let mut marked = self.clone();
        let mark = format!("\n:root{{--build:{word}}}");
        let style = self.style_name();
        let hash = STANDARD.encode(Sha256::digest(self.get(&style).unwrap_or_default()));
        let new_hash = marked.extend(&style, &format!("main-{word}.css"), &mark);
        marked.replace_in_front(&hash, &new_hash);
        let loader = self.name_of("tarnlight-worker-loader");
        let comment = format!("\n// {word}");
        marked.extend(
            &loader,
            &format!("tarnlight-worker-loader-{word}.js"),
            &comment,
        );
        marked.extend(&self.name_of("places"), &format!("places-{word}.txt"), "");
        let mark = format!("</title><meta name=\"build\" content=\"{word}\">");
        marked.replace_in_front("</title>", &mark);
        marked.seal(word);
        marked
    }

    /// A version of this name whose program begins with a statement of its own.
    pub fn beginning_with(&self, word: &str, statement: &str) -> Self {
        let mut changed = self.marked(word);
        let front = changed.text(INDEX);
        let (_, rest) = front
            .split_once("<script type=\"module\">")
            .expect("a module");
        let (module, _) = rest.split_once("</script>").expect("its end");
        let name = changed.name_of_page_script();
        let new_name = format!("tarnlight-page-{word}.js");
        let hash = |text: &str| STANDARD.encode(Sha256::digest(text.as_bytes()));
        let new_module = module.replace(&name, &new_name);
        let front = front.replace(&name, &new_name);
        let front = front.replace(&hash(module), &hash(&new_module));
        let script = format!("{statement}\n{}", changed.text(&name));
        changed.files.remove(&name);
        changed
            .files
            .insert(new_name, File::new(script.into_bytes()));
        changed
            .files
            .insert(INDEX.to_owned(), File::new(front.into_bytes()));
        changed.seal(word);
        changed
    }

    /// This version, whose service worker gives up a connection after so many milliseconds.
    pub fn impatient(&self, stall_ms: u32) -> Self {
        let worker = self.text(WORKER);
        let stall_ms = stall_ms.to_string();
        let worker = replace_between(&worker, "const STALL_MS = ", ";", &stall_ms);
        self.clone().with(WORKER, worker.as_bytes())
    }

    /// Gives a file a longer text and another name, also in the front; the hash of it.
    fn extend(&mut self, name: &str, new_name: &str, more: &str) -> String {
        let file = self.files.remove(name);
        let file = file.unwrap_or_else(|| panic!("the build has no {name}"));
        let bytes = [file.bytes.as_slice(), more.as_bytes()].concat();
        let hash = STANDARD.encode(Sha256::digest(&bytes));
        self.files.insert(new_name.to_owned(), File::new(bytes));
        self.replace_in_front(name, new_name);
        hash
    }

    fn replace_in_front(&mut self, old: &str, new: &str) {
        let front = self.text(INDEX);
        assert_eq!(front.matches(old).count(), 1, "{old} in the front");
        let front = front.replace(old, new);
        self.files
            .insert(INDEX.to_owned(), File::new(front.into_bytes()));
    }

    /// Name of the file whose name begins so and goes on with its hash.
    pub fn name_of(&self, beginning: &str) -> String {
        let mut names = self.files.keys();
        let found = names.find(|name| {
            let rest = name
                .strip_prefix(beginning)
                .and_then(|rest| rest.strip_prefix('-'));
            rest.is_some_and(|rest| !rest.contains('-'))
        });
        found
            .unwrap_or_else(|| panic!("the build has no {beginning}"))
            .clone()
    }

    /// Name of the page's script.
    pub fn name_of_page_script(&self) -> String {
        let mut names = self.files.keys();
        let script = |name: &&String| name.starts_with("tarnlight-page-") && name.ends_with(".js");
        names.find(script).expect("the page has a script").clone()
    }

    /// This build, packed as well as can be: for measuring how long it takes to load.
    pub fn packed_strongest(mut self) -> Self {
        for file in self.files.values_mut() {
            *file = File::with_quality(file.bytes.clone(), STRONGEST);
        }
        self
    }

    /// All files by name.
    pub fn files(&self) -> impl Iterator<Item = (&str, &[u8])> {
        let files = self.files.iter();
        files.map(|(name, file)| (name.as_str(), file.bytes.as_slice()))
    }

    /// A file's bytes.
    pub fn get(&self, name: &str) -> Option<&[u8]> {
        self.files.get(name).map(|file| file.bytes.as_slice())
    }

    /// A file's bytes after brotli.
    pub fn packed(&self, name: &str) -> Option<&[u8]> {
        let file = self.files.get(name)?;
        Some(file.packed.get_or_init(|| pack(&file.bytes, file.quality)))
    }

    /// This build with one file replaced and the list left as it was.
    pub fn with(mut self, name: &str, bytes: &[u8]) -> Self {
        self.files
            .insert(name.to_owned(), File::new(bytes.to_vec()));
        self
    }

    /// Name of the style sheet.
    pub fn style_name(&self) -> String {
        let mut names = self.files.keys();
        let found = names.find(|name| name.starts_with("main-") && name.ends_with(".css"));
        found.expect("the build has a style").clone()
    }

    /// A file that is text.
    pub fn text(&self, name: &str) -> String {
        let bytes = self
            .get(name)
            .unwrap_or_else(|| panic!("the build has no {name}"));
        String::from_utf8(bytes.to_vec()).expect("text is UTF-8")
    }

    /// Writes the version into front and worker, and the worker's list for the files as they are.
    pub fn seal(&mut self, version: &str) {
        let front = self.text(INDEX);
        let front = replace_between(&front, r#"<meta name="version" content=""#, "\"", version);
        self.files
            .insert(INDEX.to_owned(), File::new(front.into_bytes()));
        let others = self.files.iter().filter(|(name, _)| *name != WORKER);
        let hashes: BTreeMap<_, _> = others
            .map(|(name, file)| (name, hex(&file.bytes)))
            .collect();
        let list = serde_json::to_string_pretty(&hashes).expect("text becomes JSON");
        let worker = self.text(WORKER);
        let worker = replace_between(&worker, "const VERSION = ", ";", &format!("\"{version}\""));
        let worker = replace_between(&worker, "const FILES = ", ";", &list);
        let worker = File::new(worker.into_bytes());
        self.files.insert(WORKER.to_owned(), worker);
    }
}

/// Puts a text between the first `start` and the next `end`.
fn replace_between(text: &str, start: &str, end: &str, new: &str) -> String {
    let (before, rest) = text
        .split_once(start)
        .unwrap_or_else(|| panic!("no {start:?}"));
    let (_, after) = rest.split_once(end).unwrap_or_else(|| panic!("no {end:?}"));
    format!("{before}{start}{new}{end}{after}")
}

fn pack(bytes: &[u8], quality: i32) -> Vec<u8> {
    let params = brotli::enc::BrotliEncoderParams {
        quality,
        ..Default::default()
    };
    let mut out = Vec::new();
    brotli::BrotliCompress(&mut &bytes[..], &mut out, &params).expect("memory does not fail");
    out
}

fn hex(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn read_folder(folder: &Path, prefix: &str, files: &mut BTreeMap<String, Arc<File>>) {
    let entries = fs::read_dir(folder).unwrap_or_else(|why| panic!("{}: {why}", folder.display()));
    for entry in entries {
        let path = entry.expect("the folder can be listed").path();
        let name = path
            .file_name()
            .expect("an entry has a name")
            .to_string_lossy();
        if name.starts_with('.') {
            continue;
        }
        let name = format!("{prefix}{name}");
        if path.is_dir() {
            read_folder(&path, &format!("{name}/"), files);
        } else {
            let bytes = fs::read(&path).expect("a built file can be read");
            files.insert(name, File::new(bytes));
        }
    }
}
