//! Where a changed text is written.

use route::{Project, Span};

use super::Field;
use crate::document::Version;

/// Where a changed text is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Target {
    /// In the place of the text that is there.
    InPlaceOf(Span),
}

impl Target {
    /// Where a text belongs, `now` being where it stands; else what the author has to do first.
    pub(super) fn of(
        _project: &Project,
        _name: &str,
        _version: Version,
        _field: Field,
        language: &str,
        now: Option<Span>,
    ) -> Result<Self, String> {
        now.map(Self::InPlaceOf)
            .ok_or_else(|| format!("write it into the file once, under `{language}`"))
    }
}
