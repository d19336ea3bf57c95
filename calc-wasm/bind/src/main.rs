//! Binds a compiled module: `fieldcoil-bind MODULE.wasm FOLDER` writes `calc.js` and `calc.wasm` into the folder.
//!
//! The binder is used as a library so that its version stands in `Cargo.lock` beside that of `wasm-bindgen`: the two
//! must be the same, and nothing has to be installed.

use std::path::Path;

use anyhow::{Context, Result, bail};
use wasm_bindgen_cli_support::Bindgen;

/// The name under which a page finds the module.
const GLOBAL: &str = "fieldcoil_calc";

fn main() -> Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [module, folder] = arguments.as_slice() else { bail!("usage: fieldcoil-bind MODULE.wasm FOLDER") };
    bind(Path::new(module), Path::new(folder))
}

fn bind(module: &Path, folder: &Path) -> Result<()> {
    let mut binder = Bindgen::new();
    binder
        .input_path(module)
        .out_name("calc")
        .typescript(false)
        // A page hands the bytes over itself; a default path would be one that no page uses.
        .omit_default_module_path(true)
        .remove_name_section(true)
        .remove_producers_section(true);
    // Chromium loads no ES modules from `file://`, so the glue is a classic script with one global.
    binder.no_modules(true)?;
    binder.no_modules_global(GLOBAL)?;
    binder.generate_output().context("the module cannot be bound")?.emit(folder)?;
    std::fs::rename(folder.join("calc_bg.wasm"), folder.join("calc.wasm"))
        .with_context(|| format!("{} has no bound module", folder.display()))
}
