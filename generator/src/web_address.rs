//! Addresses on the web: the one list of the kinds that a page may lead to.

/// What an address that leads out of a site may begin with. A scheme that runs something is none of them.
pub const SCHEMES: [&str; 4] = ["https", "http", "mailto", "tel"];

/// The word before the first colon, when it is the scheme of an address.
pub fn scheme(address: &str) -> Option<&str> {
    let (scheme, _) = address.split_once(':')?;
    let is_scheme = scheme.starts_with(|c: char| c.is_ascii_alphabetic())
        && scheme.bytes().all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'+' | b'-' | b'.'));
    is_scheme.then_some(scheme)
}

/// May a page lead to an address of this scheme?
pub fn is_allowed(scheme: &str) -> bool {
    SCHEMES.iter().any(|allowed| allowed.eq_ignore_ascii_case(scheme))
}

/// Is this a character that makes an address another one than it looks like? Browsers drop tabs and line ends and take
/// a backslash for a slash: `java\tscript:` is a script. Others turn the direction of writing or cannot be seen.
pub fn misleads(c: char) -> bool {
    c.is_control()
        || matches!(c, '\\' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}')
        || c == '\u{feff}'
}
