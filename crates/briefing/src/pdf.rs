//! The card as a PDF file, with its letters in it.

use krilla::Document;
use krilla::color::luma;
use krilla::geom::{PathBuilder, Point, Rect};
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::Fill;
use krilla::text::{Font, TextDirection};

use crate::Fitted;
use crate::layout::{PAGE, Weight};

/// The file could not be made.
#[derive(Debug)]
pub struct PdfError(String);

impl std::fmt::Display for PdfError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the PDF file cannot be made: {}", self.0)
    }
}

impl std::error::Error for PdfError {}

/// The bytes of the file: one page of A4.
///
/// # Errors
/// [`PdfError`] where the letters that are carried along cannot be used.
pub fn pdf(fitted: &Fitted) -> Result<Vec<u8>, PdfError> {
    let wrong = |what: &str| PdfError(what.to_owned());
    let face = |bytes: &'static [u8]| {
        Font::new(bytes.to_vec().into(), 0).ok_or_else(|| wrong("its letters are damaged"))
    };
    let regular = face(dejavu::sans_condensed::regular())?;
    let bold = face(dejavu::sans_condensed::bold())?;
    let mut document = Document::new();
    document.set_metadata(Metadata::new().title(format!("Film briefing: {}", fitted.card.title)));
    let settings =
        PageSettings::from_wh(PAGE.0, PAGE.1).ok_or_else(|| wrong("the page has no size"))?;
    let mut page = document.start_page_with(settings);
    let mut surface = page.surface();
    surface.set_fill(Some(Fill { paint: luma::Color::black().into(), ..Fill::default() }));
    for set in &fitted.texts {
        let font = match set.weight {
            Weight::Regular => regular.clone(),
            Weight::Bold => bold.clone(),
        };
        let at = Point::from_xy(set.x, set.y);
        surface.draw_text(at, font, set.size, &set.text, false, TextDirection::Auto);
    }
    for rule in &fitted.rules {
        let (x, y) = rule.from;
        let Some(bar) = Rect::from_xywh(x, y, rule.wide, rule.thick) else { continue };
        let mut path = PathBuilder::new();
        path.push_rect(bar);
        if let Some(path) = path.finish() {
            surface.draw_path(&path);
        }
    }
    surface.finish();
    page.finish();
    document.finish().map_err(|error| PdfError(format!("{error:?}")))
}
