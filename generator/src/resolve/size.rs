//! Width and height of a picture from its first bytes, so that a page keeps its place while the picture comes.

/// Width and height in pixels; nothing when the bytes are no PNG, GIF, JPEG or WebP.
pub fn size(bytes: &[u8]) -> Option<(u32, u32)> {
    let found = png(bytes).or_else(|| gif(bytes)).or_else(|| webp(bytes)).or_else(|| jpeg(bytes));
    found.filter(|(width, height)| *width > 0 && *height > 0)
}

fn png(bytes: &[u8]) -> Option<(u32, u32)> {
    let rest = bytes.strip_prefix(b"\x89PNG\r\n\x1a\n")?;
    (rest.get(4..8)? == b"IHDR").then_some(())?;
    Some((big(rest.get(8..12)?), big(rest.get(12..16)?)))
}

fn gif(bytes: &[u8]) -> Option<(u32, u32)> {
    let rest = bytes.strip_prefix(b"GIF87a").or_else(|| bytes.strip_prefix(b"GIF89a"))?;
    Some((little(rest.get(0..2)?), little(rest.get(2..4)?)))
}

fn webp(bytes: &[u8]) -> Option<(u32, u32)> {
    let rest = bytes.strip_prefix(b"RIFF")?.get(4..)?.strip_prefix(b"WEBP")?;
    match rest.get(0..4)? {
        b"VP8X" => Some((little(rest.get(12..15)?) + 1, little(rest.get(15..18)?) + 1)),
        b"VP8L" => {
            let bits = little(rest.get(9..13)?);
            Some(((bits & 0x3fff) + 1, ((bits >> 14) & 0x3fff) + 1))
        }
        b"VP8 " => Some((little(rest.get(14..16)?) & 0x3fff, little(rest.get(16..18)?) & 0x3fff)),
        _ => None,
    }
}

/// A JPEG is a row of segments; the one that starts a frame has the size.
fn jpeg(bytes: &[u8]) -> Option<(u32, u32)> {
    let mut rest = bytes.strip_prefix(b"\xff\xd8")?;
    loop {
        let [0xff, marker, high, low, ..] = rest else { return None };
        match marker {
            // Fill bytes may stand before a marker.
            0xff => rest = &rest[1..],
            0xc0..=0xcf if !matches!(marker, 0xc4 | 0xc8 | 0xcc) => {
                return Some((big(rest.get(7..9)?), big(rest.get(5..7)?)));
            }
            _ => rest = rest.get(2 + usize::from(u16::from_be_bytes([*high, *low]))..)?,
        }
    }
}

fn big(bytes: &[u8]) -> u32 {
    bytes.iter().fold(0, |number, byte| number << 8 | u32::from(*byte))
}

fn little(bytes: &[u8]) -> u32 {
    bytes.iter().rev().fold(0, |number, byte| number << 8 | u32::from(*byte))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_from_the_first_bytes() {
        let png = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\0\x02\x80\0\0\x01\xe0\x08\x02";
        assert_eq!(size(png), Some((640, 480)));
        assert_eq!(size(b"GIF89a\x80\x02\xe0\x01"), Some((640, 480)));
        let jpeg = b"\xff\xd8\xff\xe0\0\x04ab\xff\xff\xc2\0\x0b\x08\x01\xe0\x02\x80\x03";
        assert_eq!(size(jpeg), Some((640, 480)));
        let lossless = b"RIFF\0\0\0\0WEBPVP8L\0\0\0\0\x2f\x7f\xc2\x77\0";
        assert_eq!(size(lossless), Some((640, 480)));
        let extended = b"RIFF\0\0\0\0WEBPVP8X\x0a\0\0\0\0\0\0\0\x7f\x02\0\xdf\x01\0";
        assert_eq!(size(extended), Some((640, 480)));
    }

    #[test]
    fn other_bytes_have_none() {
        for bytes in [
            &b""[..],
            b"\x89PNG\r\n\x1a\n",
            b"GIF89a",
            b"\xff\xd8\xff",
            b"\xff\xd8\xff\xe0\xff\xff",
            b"<svg>",
        ] {
            assert_eq!(size(bytes), None);
        }
    }
}
