//! Joins the page's style sheets into one, so that a phone fetches one file.

use std::path::Path;

use lightningcss::bundler::{Bundler, FileProvider};
use lightningcss::printer::PrinterOptions;
use lightningcss::stylesheet::{MinifyOptions, ParserOptions};

/// The sheet in this file with every sheet it imports in the import's place, minified.
///
/// No browsers are targeted, so the syntax stays as it is written. Fails where a file is missing or
/// cannot be parsed; browsers would leave out what they cannot read, and say nothing.
pub fn joined(entry: &Path) -> Result<String, String> {
    let files = FileProvider::new();
    let mut sheet = Bundler::new(&files, None, ParserOptions::default())
        .bundle(entry)
        .map_err(|error| format!("the style sheets cannot be joined: {error}"))?;
    sheet
        .minify(MinifyOptions::default())
        .map_err(|error| format!("the style sheet cannot be minified: {error}"))?;
    let minified = PrinterOptions {
        minify: true,
        ..PrinterOptions::default()
    };
    let css = sheet
        .to_css(minified)
        .map_err(|error| format!("the style sheet cannot be written: {error}"))?;
    Ok(css.code)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;
    use std::fs;
    use std::path::PathBuf;

    use super::*;

    /// The page's own sheets.
    fn styles() -> PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../styles")
    }

    /// A folder of this test's own with these files.
    fn folder(name: &str, files: &[(&str, &str)]) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("seal-{}-{name}", std::process::id()));
        for (file, text) in files {
            let path = folder.join(file);
            let parent = path.parent().expect("in the folder");
            fs::create_dir_all(parent).expect("folders can be made");
            fs::write(path, text).expect("files can be written");
        }
        folder
    }

    #[test]
    fn sheets_are_joined_in_the_order_of_imports() {
        let files = [
            (
                "main.css",
                "@import \"b/two.css\";\n@import \"one.css\";\np { top: 0 }",
            ),
            ("one.css", "/* why */ .one { color: red; inset: 0 auto }"),
            (
                "b/two.css",
                "@import \"three.css\";\n.two:has(p) { left: 0 }",
            ),
            (
                "b/three.css",
                "@media (max-width: 350px) { a { left: min(1rem, 2vw) } }",
            ),
        ];
        let folder = folder("order", &files);
        let css = joined(&folder.join("main.css"));
        fs::remove_dir_all(&folder).expect("the folder can be removed");
        // Nothing is rewritten for old browsers.
        assert_eq!(
            css.expect("all are there"),
            "@media (width<=350px){a{left:min(1rem,2vw)}}.two:has(p){left:0}.one{color:red;inset:0 auto}p{top:0}"
        );
    }

    #[test]
    fn what_cannot_be_read_is_refused() {
        let files = [
            ("missing.css", "@import \"nowhere.css\";"),
            ("broken.css", "@import \"half.css\";"),
            ("half.css", "p { color: red; } }"),
        ];
        let folder = folder("refused", &files);
        let [missing, broken] =
            ["missing.css", "broken.css"].map(|name| joined(&folder.join(name)));
        fs::remove_dir_all(&folder).expect("the folder can be removed");
        assert!(missing.is_err());
        let sentence = broken.expect_err("a bracket too many");
        assert!(sentence.contains("half.css"), "{sentence}");
    }

    /// A sheet that nobody imports would be missing from the page without a word.
    #[test]
    fn every_sheet_of_the_page_is_imported_once() {
        let main = fs::read_to_string(styles().join("main.css")).expect("the sheet is there");
        let imports: Vec<_> = main
            .lines()
            .filter_map(|line| line.strip_prefix("@import \"")?.strip_suffix("\";"))
            .map(str::to_owned)
            .collect();
        let found: BTreeSet<_> = crate::read_folder(&styles())
            .expect("the folder is there")
            .into_keys()
            .filter(|name| name.ends_with(".css") && name != "main.css")
            .collect();
        assert!(found.len() > 20, "{} sheets", found.len());
        assert_eq!(imports.len(), found.len());
        assert_eq!(imports.into_iter().collect::<BTreeSet<_>>(), found);
        let css = joined(&styles().join("main.css")).expect("the page's sheets can be joined");
        assert!(!css.contains("@import"));
    }
}
