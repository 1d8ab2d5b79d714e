//! The pilot's briefing card: one A4 page, made of a plan, a day, the planned flight and what its
//! cameras see.
//!
//! It tells where it is silent, where filming is forbidden, which side films where, what will not be
//! filmed and why, where the sun is in a lens, what each hand control does and what a loss of GPS
//! does. It names times and landmarks; no course, no distance, no altitude, no frequency: it is not
//! for navigation and asks nobody to fly anything.
//!
//! [`Card`] is what the card says, [`fit`] what of it has room on one page, [`html`] and [`pdf`] the
//! two forms of that. Nothing is smaller than [`SMALLEST`].

mod compose;
mod html;
mod layout;
mod pdf;

use coverage::light::SightLight;
use coverage::{Coverage, Pose};
use plan::{Day, Plan};
use timeline::Flight;

pub use compose::compose;
pub use html::html;
pub use layout::{Fitted, SMALLEST, fit};
pub use pdf::{PdfError, pdf};

/// What a card is made of.
pub struct Facts<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Its short code.
    pub code: &'a str,
    /// The day.
    pub day: &'a Day,
    /// The day in words; empty where nothing differs.
    pub day_words: &'a str,
    /// The planned flight.
    pub flight: &'a Flight,
    /// Where the aircraft is on it.
    pub poses: &'a [Pose],
    /// What its cameras see.
    pub coverage: &'a Coverage,
    /// The light on its sights.
    pub lights: &'a [SightLight],
}

/// What the card says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Card {
    /// The tour.
    pub title: String,
    /// Aircraft, day, departure, wind: a line each.
    pub about: Vec<String>,
    /// Which plan, and who approved it.
    pub plan: String,
    /// In the order of the page.
    pub sections: Vec<Section>,
    /// What it defers to.
    pub cautions: Vec<String>,
}

/// A part of the card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// Its heading.
    pub title: String,
    /// Its items, in the order of their weight or of the flight.
    pub items: Vec<Item>,
    /// What is said where it has none.
    pub none: String,
    /// How many of its first items are never left out.
    pub keep: usize,
}

/// An item: a few words that stand out, and the rest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// When or what.
    pub lead: String,
    /// What of it.
    pub text: String,
}

impl Item {
    pub(crate) fn new(lead: impl Into<String>, text: impl Into<String>) -> Self {
        Self { lead: lead.into(), text: text.into() }
    }
}
