//! The page's content policy: its own files, the inline scripts and styles it holds, by
//! their hashes, and nothing else.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use lol_html::html_content::ContentType;
use lol_html::{RewriteStrSettings, element, end_tag, rewrite_str, text};
use sha2::{Digest, Sha256};

/// Stands in `index.html` where the policy goes: above every script and style, since a policy
/// binds only what follows it.
pub const POLICY_MARK: &str = "<meta name=content-policy>";

/// The same as a selector.
const MARK: &str = "meta[name=content-policy]";

/// The page with its policy in the place of the mark.
///
/// Fails when the page has no mark or several, when a script or style is not closed, and where the
/// page is so broken that browsers might read it in different ways.
pub fn with_policy(html: &str) -> Result<String, String> {
    let inline = inline_blocks(html)?;
    let policy = policy(&inline);
    let meta = format!(r#"<meta http-equiv="Content-Security-Policy" content="{policy}">"#);
    let mut marks = 0;
    let page = RewriteStrSettings::new().append_element_content_handler(element!(MARK, |mark| {
        marks += 1;
        mark.replace(&meta, ContentType::Html);
        Ok(())
    }));
    let page = rewrite_str(html, page).map_err(unreadable)?;
    match marks {
        1 => Ok(page),
        _ => Err(format!("the page must hold {POLICY_MARK} exactly once")),
    }
}

fn unreadable(error: impl std::fmt::Display) -> String {
    format!("the page cannot be read: {error}")
}

/// Contents of the inline scripts and styles of a page.
#[derive(Debug, Default, PartialEq)]
struct Inline {
    scripts: Vec<String>,
    styles: Vec<String>,
}

/// Finds the inline scripts and styles.
fn inline_blocks(html: &str) -> Result<Inline, String> {
    let found = RefCell::new(Inline::default());
    // handlers of end tags outlive the settings, so they share the count
    let open = Rc::new(Cell::new(0));
    // a text may come in pieces
    let add = |list: &mut [String], piece: &str| {
        if let Some(last) = list.last_mut() {
            last.push_str(piece);
        }
    };
    let settings = RewriteStrSettings::new()
        .append_element_content_handler(element!("script, style", |block| {
            open.set(open.get() + 1);
            let open = Rc::clone(&open);
            block.on_end_tag(end_tag!(move |_| {
                open.set(open.get() - 1);
                Ok(())
            }))?;
            let mut found = found.borrow_mut();
            if block.tag_name() == "style" {
                found.styles.push(String::new());
            } else if !block.has_attribute("src") {
                found.scripts.push(String::new());
            }
            Ok(())
        }))
        .append_element_content_handler(text!("script:not([src])", |piece| {
            add(&mut found.borrow_mut().scripts, piece.as_str());
            Ok(())
        }))
        .append_element_content_handler(text!("style", |piece| {
            add(&mut found.borrow_mut().styles, piece.as_str());
            Ok(())
        }));
    rewrite_str(html, settings).map_err(unreadable)?;
    match open.get() {
        0 => Ok(found.into_inner()),
        _ => Err("a script or style is not closed".to_owned()),
    }
}

fn policy(inline: &Inline) -> String {
    let scripts = sources("'self' 'wasm-unsafe-eval'", &inline.scripts);
    let styles = sources("'self'", &inline.styles);
    [
        "default-src 'none'",
        &format!("script-src {scripts}"),
        &format!("style-src {styles}"),
        "img-src 'self'",
        "font-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
    ]
    .join("; ")
}

fn sources(always: &str, inline: &[impl AsRef<str>]) -> String {
    inline.iter().fold(always.to_owned(), |list, text| {
        // A browser hashes the text as it has read it, and it reads every line end as one LF.
        let text = text.as_ref().replace("\r\n", "\n");
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
