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
