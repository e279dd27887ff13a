//! Any text → Markdown that says it.

/// Makes any text safe to stand inside a line of Markdown, a table cell or a fact.
///
/// What Markdown could take for its own is written as a character reference; line ends and
/// control characters become spaces; characters that reorder what follows are dropped.
pub fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => {}
            _ if is_blank(c) => {
                if !safe.ends_with(' ') {
                    safe.push(' ');
                }
            }
            ',' | ';' | '\'' | '/' | '%' | '?' | ':' | '@' | '$' => safe.push(c),
            _ if c.is_ascii_punctuation() => safe.push_str(&format!("&#{};", u32::from(c))),
            _ => safe.push(c),
        }
    }
    safe.trim().to_string()
}

/// Space that Markdown or a terminal would act on. A no-break space is a character like any.
pub(super) fn is_blank(c: char) -> bool {
    c == ' ' || c.is_control() || matches!(c, '\u{2028}' | '\u{2029}')
}
