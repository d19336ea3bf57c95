//! The pictures and files of a course that its lessons use.

use std::collections::BTreeMap;

use super::drawing::Drawings;
use super::size::size;
use super::target::{Address, read};
use crate::course::Picture;
use crate::finding::{Finding, shown};
use crate::site::{asset_path, relative};
use crate::source::{SourceSet, Span};

/// Looks pictures up for a lesson, and notes which files its pages need.
pub struct Pictures<'s, 'd> {
    sources: &'s SourceSet,
    drawings: &'d Drawings,
    /// Place in the site by path below the course folder.
    published: BTreeMap<String, String>,
}

/// A photograph for a screen has less; so much takes a phone half a minute in a shop with poor reception.
const HEAVY: usize = 2 << 20;

/// A picture as a lesson asks for it.
pub struct Asked<'t> {
    /// As written.
    pub address: &'t str,
    /// Where it is written.
    pub span: Span,
    /// The page that shows it.
    pub page: &'t str,
}

impl<'s, 'd> Pictures<'s, 'd> {
    pub fn new(sources: &'s SourceSet, drawings: &'d Drawings) -> Self {
        Pictures { sources, drawings, published: BTreeMap::new() }
    }

    /// Place in the site to path below the course folder.
    pub fn into_files(self) -> BTreeMap<String, String> {
        self.published.into_iter().map(|(path, place)| (place, path)).collect()
    }

    /// The place in the site of a file of the course that is no lesson, if there is such a file.
    pub fn publish(&mut self, path: &str) -> Option<String> {
        if let Some(place) = self.published.get(path) {
            return Some(place.clone());
        }
        let bytes = match self.sources.find_asset(path) {
            Some(asset) => asset.bytes.as_slice(),
            None => {
                let (_, source) =
                    self.sources.find_text(path).filter(|(_, source)| source.path.ends_with(".csv"))?;
                source.text.as_bytes()
            }
        };
        Some(self.place(path, bytes))
    }

    /// The picture that is asked for. With `inline` (its anchor and its words) a drawing becomes part of the page,
    /// without it stays a file.
    pub fn find(
        &mut self,
        asked: &Asked,
        from: &str,
        inline: Option<(&str, &str)>,
        found: &mut Vec<Finding>,
    ) -> Option<Picture> {
        let path = match read(asked.address, from) {
            Address::Inside { path, anchor: None } if !path.is_empty() => path,
            Address::Outside => {
                found.push(
                    Finding::error(
                        "outside-picture",
                        "this picture stands on another host",
                        asked.span,
                        "refused",
                    )
                    .help("save it in the course folder: a page shows nothing that is not part of the site"),
                );
                return None;
            }
            Address::Inside { .. } => {
                found.push(no_picture(asked, "names no file"));
                return None;
            }
            Address::Refused(..) if asked.address.contains('\\') => {
                let name = asked.address.rsplit('\\').next().unwrap_or_default();
                let message = format!("the picture `{}` has a `\\` in its address", shown(asked.address));
                found.push(Finding::error("no-picture", message, asked.span, "not found").help(format!(
                    "write `/` between folder and file, from this text on: `pictures/{}`",
                    shown(name)
                )));
                return None;
            }
            Address::Refused(problem, _) => {
                found.push(no_picture(asked, problem));
                return None;
            }
        };
        if path.to_ascii_lowercase().ends_with(".svg") && self.sources.find_text(&path).is_some() {
            return self.drawing(&path, asked, inline, found);
        }
        match self.sources.find_asset(&path) {
            Some(asset) if !path.to_ascii_lowercase().ends_with(".pdf") => {
                let size = size(&asset.bytes);
                if size.is_none() {
                    let message = format!("`{}` is no picture of the kind that its name says", shown(&path));
                    found.push(
                        Finding::error("broken-picture", message, asked.span, "cannot be shown")
                            .help("save it anew as PNG, JPEG, GIF or WebP"),
                    );
                    return None;
                }
                if asset.bytes.len() > HEAVY && !self.published.contains_key(&path) {
                    found.push(heavy(&path, asset.bytes.len(), asked.span));
                }
                let place = self.publish(&path)?;
                Some(Picture::File { address: relative(asked.page, &place), size })
            }
            Some(_) => {
                found.push(no_picture(asked, "is a document").help("link to it: `[words](file.pdf)`"));
                None
            }
            None => {
                let texts = self.sources.texts.iter().map(|text| text.path.as_str());
                let pictures = texts.filter(|path| path.ends_with(".svg"));
                let assets = self.sources.assets.iter().map(|asset| asset.path.as_str());
                let message = match path.rsplit_once('.').filter(|(_, kind)| is_other_kind(kind)) {
                    Some((_, kind)) => {
                        format!("`{}` is of a kind, {kind}, that pages do not show", shown(&path))
                    }
                    None => format!("there is no picture `{}`", shown(&path)),
                };
                found.push(
                    Finding::error("no-picture", message, asked.span, "not found")
                        .near(&path, pictures.chain(assets))
                        .help("pictures are SVG, PNG, JPEG, GIF or WebP files below the course folder"),
                );
                None
            }
        }
    }

    fn drawing(
        &mut self,
        path: &str,
        asked: &Asked,
        inline: Option<(&str, &str)>,
        found: &mut Vec<Finding>,
    ) -> Option<Picture> {
        let (file, source) = self.sources.find_text(path)?;
        let checked = self.drawings.checked(file, &source.text);
        let (drawing, told) = checked.as_ref();
        found.extend(told.iter().cloned());
        let drawing = drawing.as_ref()?;
        Some(match inline {
            Some((id, alt)) => Picture::Drawing(drawing.in_page(id, alt)),
            None => {
                let place = match self.published.get(path) {
                    Some(place) => place.clone(),
                    None => self.place(path, source.text.as_bytes()),
                };
                Picture::File { address: relative(asked.page, &place), size: None }
            }
        })
    }

    fn place(&mut self, path: &str, bytes: &[u8]) -> String {
        let place = asset_path(path, bytes);
        self.published.insert(path.to_owned(), place.clone());
        place
    }
}

/// Pictures that cameras and office programs write, and browsers do not show.
fn is_other_kind(kind: &str) -> bool {
    ["heic", "heif", "tif", "tiff", "bmp", "raw", "dng", "psd", "eps", "wmf", "emf"]
        .iter()
        .any(|other| kind.eq_ignore_ascii_case(other))
}

fn heavy(path: &str, bytes: usize, span: Span) -> Finding {
    let megabytes = bytes as f64 / f64::from(1 << 20);
    let message = format!("the picture `{}` has {megabytes:.1} MB", shown(path));
    Finding::warning("heavy-picture", message, span, "a phone waits long for it")
        .help("save it smaller: 1600 pixels wide, as JPEG or WebP, is enough for every screen and for paper")
}

fn no_picture(asked: &Asked, problem: &str) -> Finding {
    let message = format!("the picture `{}` {problem}", shown(asked.address));
    Finding::error("no-picture", message, asked.span, "not found")
        .help("name a file below the course folder: `pictures/bench.svg`")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{FileId, SourceAsset};

    #[test]
    fn a_photograph_as_it_comes_from_a_camera_is_told_once() {
        let mut bytes = b"GIF89a\x01\x00\x01\x00".to_vec();
        bytes.resize(3 << 20, 0);
        let assets = vec![SourceAsset { path: "relay.gif".to_owned(), bytes }];
        let sources = SourceSet { texts: Vec::new(), assets };
        let drawings = Drawings::default();
        let mut pictures = Pictures::new(&sources, &drawings);
        let mut found = Vec::new();
        let asked = Asked { address: "relay.gif", span: Span::new(FileId(0), 0..1), page: "one.html" };
        for _ in 0..2 {
            assert!(pictures.find(&asked, "10-one.md", None, &mut found).is_some(), "{found:?}");
        }
        let said: Vec<_> = found.iter().map(|finding| (finding.code, finding.message.as_str())).collect();
        assert_eq!(said, [("heavy-picture", "the picture `relay.gif` has 3.0 MB")]);
    }
}
