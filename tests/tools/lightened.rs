//! Scripts without what only their readers here need.

/// A script, or a page with its scripts, without indentation, and without the lines that hold nothing
/// but a script's comment: they are for its readers here, and a phone need not fetch them. A line
/// inside a text of several lines would lose its indentation too; the page's own scripts have no such
/// text. (Trunk's minifier puts functions in another order every time, so that no two builds of one
/// source would be the same.)
pub fn lightened(text: &str) -> String {
    let mut light = String::with_capacity(text.len());
    let mut in_comment = false;
    for line in text.lines().map(str::trim_start) {
        in_comment |= line.starts_with("/**");
        if !in_comment && !line.starts_with("//") && !line.is_empty() {
            light.push_str(line);
            light.push('\n');
        }
        in_comment &= !line.ends_with("*/");
    }
    light
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_indentation_stay_here() {
        let script = "// why\nconst A = 1; // kept\n  // why\n/** a\n * b */\n    run(A);\n\n/** c */\nend();";
        assert_eq!(lightened(script), "const A = 1; // kept\nrun(A);\nend();\n");
    }
}
