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
                let message = format!("there is no picture `{}`", shown(&path));
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
        let name = path.rsplit('/').next().unwrap_or(path);
        let place = asset_path(name, bytes);
        self.published.insert(path.to_owned(), place.clone());
        place
    }
}

fn no_picture(asked: &Asked, problem: &str) -> Finding {
    let message = format!("the picture `{}` {problem}", shown(asked.address));
    Finding::error("no-picture", message, asked.span, "not found")
        .help("name a file below the course folder: `pictures/bench.svg`")
}
