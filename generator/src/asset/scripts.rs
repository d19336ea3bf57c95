//! The calculators as one classic script, which starts from a plain file as well as over a network.

use super::embedded::{calculators as built, theme};
use super::letters::lettered;

/// The script with the module that was built; nothing when it was not.
pub(super) fn calculators() -> Option<String> {
    Some(script_of(std::str::from_utf8(built("calc.js")?).ok()?, built(".wasm")?))
}

/// The binder's glue, the module as text and the loader.
///
/// The bytes are part of the script because a page that was opened from a file may not fetch a file beside it.
pub fn script_of(glue: &str, module: &[u8]) -> String {
    let module = lettered(module);
    let order: Vec<String> = module.order.iter().map(ToString::to_string).collect();
    format!(
        "{glue}\nconst fieldcoil_module = \"{}\";\nconst fieldcoil_order = [{}];\n{}",
        module.text,
        order.join(","),
        theme("js/load.js")
    )
}
