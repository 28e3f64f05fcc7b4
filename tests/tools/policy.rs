//! The page's content policy: its own files, the inline scripts and styles it holds, by
//! their hashes, and nothing else.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

/// Stands in `index.html` where the policy goes: above every script and style, since a policy
/// binds only what follows it.
const POLICY_MARK: &str = "<meta name=content-policy>";

/// The page with its policy in the place of the mark.
pub fn with_policy(html: &str) -> Result<String, String> {
    let inline = inline_blocks(html)?;
    if html.matches(POLICY_MARK).count() != 1 {
        return Err(format!("the page must hold {POLICY_MARK} exactly once"));
    }
    let policy = policy(&inline);
    let meta = format!(r#"<meta http-equiv="Content-Security-Policy" content="{policy}">"#);
    Ok(html.replace(POLICY_MARK, &meta))
}

/// Contents of the inline scripts and styles of a page.
#[derive(Debug, Default, PartialEq)]
struct Inline<'a> {
    scripts: Vec<&'a str>,
    styles: Vec<&'a str>,
}

/// Finds the inline scripts and styles. Reads as much HTML as a page of our own needs: comments,
/// tags with quoted attributes, and elements whose text runs to their closing tag.
fn inline_blocks(html: &str) -> Result<Inline<'_>, String> {
    let mut found = Inline::default();
    let mut rest = html;
    while let Some(start) = rest.find('<') {
        rest = &rest[start..];
        if let Some(comment) = rest.strip_prefix("<!--") {
            rest = after(comment, "-->").ok_or("a comment is not closed")?.1;
            continue;
        }
        let (tag, body) = split_tag(rest).ok_or("a tag is not closed")?;
        rest = body;
        let name = tag_name(tag);
        if name != "script" && name != "style" {
            continue;
        }
        let (text, tail) = after(body, &format!("</{name}>"))
            .ok_or_else(|| format!("a <{name}> is not closed"))?;
        rest = tail;
        if name == "style" {
            found.styles.push(text);
        } else if !has_attribute(tag, "src") {
            found.scripts.push(text);
        }
    }
    Ok(found)
}

/// What stands before and behind the first `end`.
fn after<'a>(text: &'a str, end: &str) -> Option<(&'a str, &'a str)> {
    text.split_once(end)
}

/// A tag without its `<` and `>`, and what follows it. `text` begins with `<`.
fn split_tag(text: &str) -> Option<(&str, &str)> {
    let mut quote = None;
    for (at, letter) in text.char_indices().skip(1) {
        match (quote, letter) {
            (None, '>') => return Some((&text[1..at], &text[at + 1..])),
            (None, '"' | '\'') => quote = Some(letter),
            (Some(open), _) if open == letter => quote = None,
            _ => {}
        }
    }
    None
}

fn tag_name(tag: &str) -> String {
    let end = tag.find(|c: char| c.is_whitespace() || c == '/');
    tag[..end.filter(|&end| end > 0).unwrap_or(tag.len())].to_ascii_lowercase()
}

fn has_attribute(tag: &str, wanted: &str) -> bool {
    let mut quote = None;
    // Blanks what is quoted, so that only names and unquoted values are left to look at.
    let bare: String = tag
        .chars()
        .map(|letter| match quote {
            Some(open) => {
                if letter == open {
                    quote = None;
                }
                '"'
            }
            None => {
                if letter == '"' || letter == '\'' {
                    quote = Some(letter);
                }
                letter
            }
        })
        .collect();
    bare.split_whitespace()
        .skip(1)
        .any(|word| word.split('=').next() == Some(wanted))
}

fn policy(inline: &Inline) -> String {
    let scripts = sources("'self' 'wasm-unsafe-eval'", &inline.scripts);
    let styles = sources("'self'", &inline.styles);
    [
        "default-src 'none'",
        &format!("script-src {scripts}"),
        &format!("style-src {styles}"),
        "img-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
    ]
    .join("; ")
}

fn sources(always: &str, inline: &[&str]) -> String {
    inline.iter().fold(always.to_owned(), |list, text| {
        // A browser hashes the text as it has read it, and it reads every line end as one LF.
        let text = text.replace("\r\n", "\n");
        let hash = STANDARD.encode(Sha256::digest(text.as_bytes()));
        format!("{list} 'sha256-{hash}'")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_inline_blocks_and_nothing_else() {
        let html = r#"<!DOCTYPE html><head><!-- <script>no</script> -->
            <style media="a > b">s1</style><link rel="x" href="<style>">
            <script src="a.js"></script><script data-src="b">one</script>
            <SCRIPT type='module'>two("<style>")</script><noscript>no</noscript></head>"#;
        let lower = html.replace("SCRIPT", "script");
        for html in [html, &lower] {
            let found = inline_blocks(html).expect("well-formed");
            assert_eq!(found.styles, ["s1"]);
            assert_eq!(found.scripts, ["one", "two(\"<style>\")"]);
        }
    }

    #[test]
    fn odd_html_is_a_sentence_and_not_a_panic() {
        for html in [
            "<", "<!--", "<script", "<script>", "<style>x", "<a b='>", "é<é", "</", "< >",
        ] {
            let _ = inline_blocks(html);
        }
        assert!(inline_blocks("<script>alert(1)").is_err());
        assert_eq!(inline_blocks("").expect("empty is fine"), Inline::default());
    }

    /// The hash of `alert('Hello, world.');` is the example of the standard: W3C, Content
    /// Security Policy Level 2, 2016, section 4.2.5.
    #[test]
    fn hashes_as_the_standard_does() {
        let list = sources("'self'", &["alert('Hello, world.');"]);
        assert_eq!(
            list,
            "'self' 'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"
        );
        assert_eq!(sources("", &["a\r\nb"]), sources("", &["a\nb"]));
    }

    #[test]
    fn the_policy_stands_where_the_mark_stood() {
        let html = format!("<head>{POLICY_MARK}<style>x</style></head>");
        let sealed = with_policy(&html).expect("one mark");
        assert!(sealed.starts_with(r#"<head><meta http-equiv="Content-Security-Policy""#));
        assert!(sealed.contains("default-src 'none'"));
        assert!(!sealed.contains("unsafe-inline"));
        assert!(with_policy("<head></head>").is_err());
        assert!(with_policy(&format!("{POLICY_MARK}{POLICY_MARK}")).is_err());
    }
}
