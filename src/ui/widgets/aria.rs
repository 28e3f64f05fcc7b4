//! Values of accessibility attributes.

/// A boolean as ARIA attributes write it: the word, since an absent attribute means "unknown".
pub const fn aria_bool(value: bool) -> &'static str {
    if value { "true" } else { "false" }
}
