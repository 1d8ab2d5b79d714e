//! What differs today.

use crate::decode::{Keys, Mapping, of};
use crate::lists::one_or_many;
use crate::model::{Altitude, Wind};
use crate::span::{Name, Spanned};
use crate::values::{LanguageTag, Moment, NameText, Text};
use crate::windows::AltitudeText;

/// A file for the day. What could not be read has been reported.
#[derive(Default)]
pub(crate) struct TodayFile {
    pub(crate) aircraft: Option<Spanned<String>>,
    pub(crate) variant: Option<Spanned<Name>>,
    pub(crate) language: Option<Spanned<Vec<Spanned<String>>>>,
    pub(crate) altitude: Option<Spanned<Altitude>>,
    pub(crate) not_above: Option<Spanned<Altitude>>,
    pub(crate) departure: Option<Spanned<earth::Utc>>,
    pub(crate) wind: Option<Spanned<Wind>>,
    pub(crate) out_of_service: Vec<Spanned<Name>>,
    pub(crate) not_allowed: Vec<Spanned<Name>>,
}

impl Mapping for TodayFile {
    const NAME: &'static str = "file for the day";
    const ABOUT: &'static str = "What is different today. Every key has an option of the command line that stands above it.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        // What it says is for the reader of the file; nothing hangs on it.
        let _ = keys.req("today", "which day, and what is the matter", Text);
        let out_of_service = keys.opt(
            "out of service",
            "cameras that do not work; left out of every list and not recorded",
            one_or_many(NameText),
        );
        let not_allowed = keys.opt(
            "not allowed",
            "cameras that must not be used, for instance because a passenger did not agree",
            one_or_many(NameText),
        );
        let names = |cameras: Option<Spanned<Vec<Spanned<Name>>>>| {
            cameras.map(|cameras| cameras.value).unwrap_or_default()
        };
        Some(Self {
            out_of_service: names(out_of_service),
            not_allowed: names(not_allowed),
            aircraft: keys.opt(
                "aircraft",
                "the file of the aircraft that flies instead, relative to this file",
                Text,
            ),
            variant: keys.opt("variant", "the variant of the route that is flown", NameText),
            language: keys.opt(
                "language",
                "in which the tour is told; or a list of languages that are carried at once",
                one_or_many(LanguageTag),
            ),
            altitude: keys.opt("altitude", "of every leg, instead of its own", AltitudeText),
            not_above: keys.opt(
                "not above",
                "legs planned higher are flown at this altitude",
                AltitudeText,
            ),
            departure: keys.opt("departure", "the time of take-off", Moment),
            wind: keys.opt("wind", "on all legs, instead of the planned one", of::<Wind>()),
        })
    }
}
