//! The address of a page as a square that a phone reads (ISO/IEC 18004), drawn as one path.

use std::fmt::Write as _;

use qrcodegen::{QrCode, QrCodeEcc};

/// Modules that stay white around the square, as the standard wants.
const QUIET: i32 = 4;

/// The square as SVG; nothing when the text is longer than a square holds.
pub fn square(text: &str, label: &str) -> Option<String> {
    // A quarter of a sheet may be soiled at the bench and the square still reads.
    let code = QrCode::encode_text(text, QrCodeEcc::Quartile).ok()?;
    let size = code.size();
    let mut path = String::new();
    for y in 0..size {
        let mut x = 0;
        while x < size {
            let long = (x..size).take_while(|x| code.get_module(*x, y)).count() as i32;
            if long > 0 {
                let _ = write!(path, "M{} {}h{long}v1h-{long}z", x + QUIET, y + QUIET);
            }
            x += long.max(1);
        }
    }
    let whole = size + 2 * QUIET;
    Some(format!(
        "<svg class=\"square\" viewBox=\"0 0 {whole} {whole}\" role=\"img\" aria-label=\"{label}\" \
         shape-rendering=\"crispEdges\"><path d=\"{path}\"/></svg>",
        label = crate::render::escape::text(label)
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The dark modules of a drawn square, by row and column, and its size with the white around it.
    fn modules(svg: &str) -> (usize, Vec<Vec<bool>>) {
        let part =
            |start: &str| svg.split_once(start).and_then(|(_, rest)| rest.split_once('"')).expect("a part").0;
        let size: usize =
            part("viewBox=\"0 0 ").split(' ').next().and_then(|n| n.parse().ok()).expect("a size");
        let mut rows = vec![vec![false; size]; size];
        for run in part(" d=\"").split('M').skip(1) {
            let (place, rest) = run.split_once('h').expect("a run");
            let (x, y) = place.split_once(' ').expect("a place");
            let (x, y): (usize, usize) = (x.parse().expect("x"), y.parse().expect("y"));
            let long: usize = rest.split('v').next().and_then(|n| n.parse().ok()).expect("a length");
            rows[y][x..x + long].fill(true);
        }
        (size, rows)
    }

    #[test]
    fn another_program_reads_the_square() {
        for address in ["https://school.example/starting/cables/joints.html", "http://a.b/c.html"] {
            let (size, rows) = modules(&square(address, "Square").expect("a square"));
            let edge = QUIET as usize;
            assert!(
                rows.iter()
                    .take(edge)
                    .flatten()
                    .chain(rows.iter().flat_map(|row| &row[..edge]))
                    .all(|dark| !dark)
            );
            // A reader looks for the marks in a picture, where a module has some dots.
            let mut picture = rqrr::PreparedImage::prepare_from_greyscale(size * 4, size * 4, |x, y| {
                if rows[y / 4][x / 4] { 0 } else { 255 }
            });
            let grids = picture.detect_grids();
            assert_eq!(grids.len(), 1);
            assert_eq!(grids[0].decode().expect("readable").1, address);
        }
    }

    #[test]
    fn what_no_square_holds_is_left_out_and_labels_are_escaped() {
        assert_eq!(square(&"x".repeat(5000), ""), None);
        assert!(square("x", "\"<a>").expect("a square").contains("aria-label=\"&quot;&lt;a&gt;\""));
    }
}
