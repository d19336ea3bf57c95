//! A site made smaller: as one zip file, and with a compressed twin beside each text.
//!
//! The same site gives the same bytes on every machine: files in the order of their paths, no time of day, and a
//! compressor without tricks of one processor.

use std::collections::BTreeMap;
use std::io::{Cursor, Write};

use anyhow::{Context, Result};
use flate2::{Compression, GzBuilder};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::portable;
use crate::site::Site;

/// Texts below this are sent whole in one packet anyway.
const SMALLEST: usize = 1000;
/// What a compressed file is called: the text's name and one of these.
const GZIP: &str = "gz";
const BROTLI: &str = "br";
/// Files that come out much smaller; pictures are packed already.
const TEXTS: [&str; 6] = ["html", "css", "js", "svg", "csv", "xml"];

/// The site as a zip file with one folder in it, named after the course.
pub fn zip(site: &Site, course: &str) -> Result<Vec<u8>> {
    let folder = folder_name(course);
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .compression_level(Some(9))
        .last_modified_time(DateTime::DEFAULT)
        .unix_permissions(0o644);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (path, bytes) in &site.files {
        let name = format!("{folder}/{path}");
        zip.start_file(name, options).with_context(|| format!("`{path}` does not fit into a zip file"))?;
        zip.write_all(bytes).with_context(|| format!("`{path}` does not fit into a zip file"))?;
    }
    Ok(zip.finish().context("the zip file cannot be closed")?.into_inner())
}

/// Letters and figures of plain English alone, since older programs garble all others in a zip file's names.
fn folder_name(course: &str) -> String {
    let words = course.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let mut name = words.collect::<Vec<_>>().join("-").to_ascii_lowercase();
    name.truncate(60);
    let name = name.trim_end_matches('-');
    if name.is_empty() || portable::is_device(name) { "course".to_owned() } else { name.to_owned() }
}

/// The site with compressed twins beside its texts, for servers that send them on wish. A twin that is no smaller is
/// left out.
pub fn with_twins(mut site: Site) -> Result<Site> {
    let mut twins = BTreeMap::new();
    for (path, bytes) in site.files.iter().filter(|(path, bytes)| is_text(path) && bytes.len() >= SMALLEST) {
        for (ending, twin) in [(GZIP, gzip(bytes)?), (BROTLI, brotli(bytes, path)?)] {
            if twin.len() < bytes.len() {
                twins.insert(format!("{path}.{ending}"), twin);
            }
        }
    }
    site.files.append(&mut twins);
    Ok(site)
}

fn is_text(path: &str) -> bool {
    path.rsplit_once('.').is_some_and(|(_, ending)| TEXTS.contains(&ending))
}

fn gzip(bytes: &[u8]) -> Result<Vec<u8>> {
    // No name, no time, and 255 for a system that is not told.
    let mut out = GzBuilder::new().mtime(0).operating_system(255).write(Vec::new(), Compression::best());
    out.write_all(bytes)?;
    Ok(out.finish()?)
}

/// Assets keep their name and are sent for good: they get the most. Pages would take minutes at ten thousand lessons.
fn brotli(bytes: &[u8], path: &str) -> Result<Vec<u8>> {
    let quality = if path.starts_with("assets/") { 11 } else { 9 };
    let params = brotli::enc::BrotliEncoderParams { quality, lgwin: 22, ..Default::default() };
    let mut out = Vec::new();
    brotli::BrotliCompress(&mut &bytes[..], &mut out, &params)?;
    Ok(out)
}

#[cfg(test)]
mod tests {
    use std::io::Read;

    use super::*;

    fn site() -> Site {
        let text = "Two leads, one switch. ".repeat(200);
        let mut site = Site::default();
        for (path, text) in [
            ("index.html", text.as_str()),
            ("cables/joints.html", &text),
            ("assets/sheet-1a2b3c4d.css", &text),
            ("assets/bench-1a2b3c4d.png", &text),
            ("small.html", "short"),
        ] {
            site.files.insert(path.to_owned(), text.as_bytes().to_vec());
        }
        site
    }

    #[test]
    fn a_zip_file_holds_the_site_in_one_folder_and_is_the_same_each_time() {
        let bytes = zip(&site(), "Starting systems & more").expect("made");
        assert_eq!(bytes, zip(&site(), "Starting systems & more").expect("made"));
        let mut archive = zip::ZipArchive::new(Cursor::new(&bytes)).expect("a zip file");
        let names: Vec<String> = archive.file_names().map(|name| name.expect("UTF-8").into_owned()).collect();
        let wanted: Vec<String> =
            site().files.keys().map(|path| format!("starting-systems-more/{path}")).collect();
        assert_eq!(names, wanted);
        for (path, bytes) in &site().files {
            let mut file = archive.by_name(&format!("starting-systems-more/{path}")).expect("there");
            assert_eq!(file.last_modified(), Some(DateTime::DEFAULT));
            let mut read = Vec::new();
            file.read_to_end(&mut read).expect("readable");
            assert_eq!(&read, bytes, "{path}");
        }
    }

    #[test]
    fn folders_are_named_so_that_every_system_takes_them() {
        for (course, folder) in [
            ("Starting systems at the bench", "starting-systems-at-the-bench"),
            ("Anlasser für Anfänger", "anlasser-f-r-anf-nger"),
            ("電", "course"),
            ("CON", "course"),
        ] {
            assert_eq!(folder_name(course), folder);
        }
        assert!(folder_name(&"ab ".repeat(90)).len() <= 60);
    }

    #[test]
    fn twins_hold_the_same_text_and_nothing_packed_gets_one() {
        let whole = with_twins(site()).expect("made");
        assert!(whole == with_twins(site()).expect("made"));
        let added: Vec<&str> =
            whole.files.keys().filter(|path| !site().files.contains_key(*path)).map(String::as_str).collect();
        let texts = ["assets/sheet-1a2b3c4d.css", "cables/joints.html", "index.html"];
        let wanted: Vec<String> =
            texts.iter().flat_map(|path| ["br", "gz"].map(|ending| format!("{path}.{ending}"))).collect();
        assert_eq!(added, wanted);
        for path in texts {
            let mut text = Vec::new();
            let gzip = whole.files[&format!("{path}.gz")].as_slice();
            assert_eq!(gzip[4..8], [0; 4], "no time of day");
            flate2::read::GzDecoder::new(gzip).read_to_end(&mut text).expect("readable");
            assert_eq!(text, whole.files[path]);
            text.clear();
            let mut brotli = whole.files[&format!("{path}.br")].as_slice();
            brotli::BrotliDecompress(&mut brotli, &mut text).expect("readable");
            assert_eq!(text, whole.files[path]);
        }
    }
}
