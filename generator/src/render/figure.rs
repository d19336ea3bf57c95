//! Pictures with captions.

use super::typeset::tied;
use super::view::{FigureView, PictureView};
use super::words::Words;
use crate::course::{Figure, Picture};

/// A figure as its component sees it; nothing while its file is missing or unfit, which `resolve` reports.
pub fn view(figure: &Figure, words: &Words) -> Option<FigureView> {
    let (drawing, file) = match figure.picture.as_ref()? {
        Picture::Drawing(svg) => (svg.clone(), None),
        Picture::File { address, size } => {
            let (width, height) = size.unzip();
            (String::new(), Some(PictureView { address: address.clone(), width, height }))
        }
    };
    // Figures are counted by the parse stage, which makes their anchors; the number shown is the same.
    let number = figure.id.rsplit('-').next().unwrap_or_default();
    Some(FigureView {
        id: figure.id.clone(),
        alt: figure.alt.clone(),
        number: words.fill("lesson.figure", &[("number", number)]),
        caption: figure.caption.as_deref().map(tied).unwrap_or_default().into_owned(),
        drawing,
        file,
    })
}
