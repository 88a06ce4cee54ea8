//! Names and sentences as people write them.

/// A recipe's name in words.
pub(crate) fn words(name: &str) -> String {
    name.replace('_', " ")
}

/// With a capital, and without the full stop, which follows where it is shown.
pub(crate) fn sentence(text: &str) -> String {
    let text = text.trim_end_matches('.');
    let mut c = text.chars();
    c.next()
        .map_or_else(String::new, |f| f.to_uppercase().collect::<String>() + c.as_str())
}
