//! The calculators as one classic script, which starts from a plain file as well as over a network.

use super::embedded::{calculators as built, theme};
use super::letters::lettered;

/// The binder's glue, the module as text and the loader; nothing when the module was not built.
///
/// The bytes are part of the script because a page that was opened from a file may not fetch a file beside it.
pub(super) fn calculators() -> Option<String> {
    let glue = std::str::from_utf8(built("calc.js")?).ok()?;
    let module = lettered(built(".wasm")?);
    let order: Vec<String> = module.order.iter().map(ToString::to_string).collect();
    Some(format!(
        "{glue}\nconst fieldcoil_module = \"{}\";\nconst fieldcoil_order = [{}];\n{}",
        module.text,
        order.join(","),
        theme("js/load.js")
    ))
}
