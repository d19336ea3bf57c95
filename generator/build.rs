//! Puts the theme and the built calculators into the program, so that an installed program needs no file beside it.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

use walkdir::WalkDir;

fn main() -> io::Result<()> {
    let workspace = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").expect("cargo sets it")).join("..");
    let theme = workspace.join("theme");
    let calculators = workspace.join("calc-wasm/dist");
    let mut table = String::new();
    write_table(&mut table, "THEME", "str", "include_str", &theme)?;
    write_table(&mut table, "CALCULATORS", "[u8]", "include_bytes", &calculators)?;
    let sources = ["Cargo.lock", "calc-wasm/src", "generator/src", "theme"];
    let all: Vec<PathBuf> = sources.iter().map(|path| workspace.join(path)).collect();
    println!("cargo::rustc-env=FIELDCOIL_SOURCES={:016x}", digest(&workspace, &all)?);
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo sets it")).join("embedded.rs");
    fs::write(out, table)
}

/// A number that is another one for another program: what is made by one is not taken for what is made by the other.
/// Fowler, Noll and Vo's hash (FNV-1a, 64 bits), since nothing here has an interest in two that are the same.
fn digest(workspace: &Path, places: &[PathBuf]) -> io::Result<u64> {
    let mut digest: u64 = 0xcbf2_9ce4_8422_2325;
    let mut take = |bytes: &[u8]| {
        for byte in bytes {
            digest = (digest ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        }
    };
    for place in places {
        println!("cargo::rerun-if-changed={}", place.display());
        for file in WalkDir::new(place).sort_by_file_name() {
            let file = file?;
            if file.file_type().is_file() {
                let path = file.path().strip_prefix(workspace).unwrap_or(file.path());
                take(path.as_os_str().as_encoded_bytes());
                take(&fs::read(file.path())?);
            }
        }
    }
    Ok(digest)
}

/// One line for each file below `folder`, sorted by path; a folder that is not there gives an empty table.
fn write_table(out: &mut String, name: &str, kind: &str, include: &str, folder: &Path) -> io::Result<()> {
    println!("cargo::rerun-if-changed={}", folder.display());
    writeln!(out, "pub static {name}: &[(&str, &{kind})] = &[").expect("a string takes all text");
    let files = WalkDir::new(folder).sort_by_file_name().into_iter().filter_map(Result::ok);
    for file in files.filter(|entry| entry.file_type().is_file()) {
        let path = file.path().strip_prefix(folder).expect("the walk stays below its folder");
        let path =
            path.components().map(|part| part.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/");
        let full = fs::canonicalize(file.path())?;
        writeln!(out, "    ({path:?}, {include}!({:?})),", full.display().to_string())
            .expect("a string takes all text");
    }
    writeln!(out, "];").expect("a string takes all text");
    Ok(())
}
