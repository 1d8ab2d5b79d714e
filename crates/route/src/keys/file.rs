//! The files of a tour.

use crate::bounds;
use crate::decode::{Keys, Mapping, of};
use crate::lists::{one_or_many, table};
use crate::model::{
    Aircraft, CheckLevel, Defaults, LandingSite, Map, Mix, Music, Narration, OtherLanguage, Route,
    Rule, Sight, Status, Table, Title, Variant, Waypoint, Wind, Zone,
};
use crate::span::{Name, Span, Spanned};
use crate::values::{LanguageTag, LocalMoment, NameText, Text, TimeOfDay, count, speed};

use super::tour::{Light, StatusChoice};

/// An aircraft file.
pub(crate) struct AircraftFile(pub(crate) Aircraft);

/// A library file.
pub(crate) struct LibraryFile {
    pub(crate) contents: Contents,
}

/// A tour file. What is missing has been reported.
pub(crate) struct TourFile {
    pub(crate) title: Option<Spanned<String>>,
    pub(crate) revision: Option<Spanned<u32>>,
    pub(crate) status: Status,
    pub(crate) languages: Vec<Spanned<String>>,
    pub(crate) other_languages: Table<OtherLanguage>,
    pub(crate) aircraft: Option<Spanned<String>>,
    pub(crate) other_aircraft: Vec<Spanned<String>>,
    pub(crate) departure: Option<Spanned<(earth::Utc, earth::Millis)>>,
    pub(crate) departures: Vec<Spanned<earth::Millis>>,
    pub(crate) must_have: Vec<Spanned<Name>>,
    pub(crate) into_lens: Option<earth::Degrees>,
    pub(crate) terrain: Vec<Spanned<String>>,
    pub(crate) map: Map,
    pub(crate) wind: Option<Spanned<Wind>>,
    pub(crate) winds_expected: Vec<Spanned<Wind>>,
    pub(crate) airspeed_tolerance: Option<Spanned<earth::MetresPerSecond>>,
    pub(crate) defaults: Defaults,
    pub(crate) mix: Mix,
    pub(crate) checks: Table<CheckLevel>,
    pub(crate) route: Option<Route>,
    pub(crate) variants: Table<Variant>,
    pub(crate) contents: Contents,
}

/// What a tour and a library both hold.
#[derive(Default)]
pub(crate) struct Contents {
    /// Where the `include` key stands.
    pub(crate) include_at: Option<Span>,
    pub(crate) include: Vec<Spanned<String>>,
    pub(crate) waypoints: Option<Spanned<Table<Waypoint>>>,
    pub(crate) sights: Option<Spanned<Table<Sight>>>,
    pub(crate) landing_sites: Option<Spanned<Table<LandingSite>>>,
    pub(crate) zones: Option<Spanned<Table<Zone>>>,
    pub(crate) rules: Option<Spanned<Table<Rule>>>,
    pub(crate) narrations: Option<Spanned<Table<Narration>>>,
    pub(crate) music: Option<Spanned<Table<Music>>>,
    pub(crate) titles: Option<Spanned<Table<Title>>>,
    /// Whether names may be given in a part that could not be read.
    pub(crate) names_lost: bool,
}

impl Contents {
    /// The keys under which names are given.
    pub(crate) const TABLES: [&'static str; 8] =
        ["waypoints", "sights", "landing sites", "zones", "rules", "narrations", "music", "titles"];
}

fn contents(keys: &mut Keys<'_, '_>) -> Contents {
    let include = keys.opt(
        "include",
        "libraries, relative to this file; their rules stand where this key stands among the keys \
         of this file",
        one_or_many(Text),
    );
    let mut contents = Contents {
        include_at: keys.key_span("include"),
        include: include.map(|include| include.value).unwrap_or_default(),
        waypoints: keys.opt("waypoints", "places by name", table(of::<Waypoint>())),
        sights: keys.opt("sights", "places that are filmed, by name", table(of::<Sight>())),
        landing_sites: keys.opt(
            "landing sites",
            "places besides home where a landing counts, by name",
            table(of::<LandingSite>()),
        ),
        zones: keys.opt("zones", "parts of the air, by name", table(of::<Zone>())),
        rules: keys.opt(
            "rules",
            "what happens when, by name; between equals the earlier wins",
            table(of::<Rule>()),
        ),
        narrations: keys.opt("narrations", "what is said, by name", table(of::<Narration>())),
        music: keys.opt("music", "pieces of music, by name", table(of::<Music>())),
        titles: keys.opt("titles", "texts on the picture, by name", table(of::<Title>())),
        names_lost: false,
    };
    let read = [
        contents.waypoints.is_some(),
        contents.sights.is_some(),
        contents.landing_sites.is_some(),
        contents.zones.is_some(),
        contents.rules.is_some(),
        contents.narrations.is_some(),
        contents.music.is_some(),
        contents.titles.is_some(),
    ];
    contents.names_lost = !keys.could_be_read("include")
        || Contents::TABLES.into_iter().zip(read).any(|(key, read)| keys.has(key) && !read);
    contents
}

impl Mapping for TourFile {
    const NAME: &'static str = "tour file";
    const ABOUT: &'static str = "A tour: the planned flight and all that happens on it.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let title = keys.req("tour", "its title", Text);
        let revision = keys.req(
            "revision",
            "a whole number from 1, one more each time",
            count(bounds::REVISION),
        );
        let status = keys.or("status", "draft", "`draft`, or who approved it when", StatusChoice);
        let language = keys.or(
            "language",
            "en",
            "of the texts that name none, as a language tag; or a list of languages that are carried \
             at once, each on a channel of its own, that one first",
            one_or_many(LanguageTag),
        );
        let other_languages = keys.opt(
            "other languages",
            "in which the tour is told as well, by language tag",
            table(of::<OtherLanguage>()),
        );
        let aircraft = keys.opt(
            "aircraft",
            "the file of the aircraft, relative to this file; another can be given on the command \
             line",
            Text,
        );
        let other_aircraft = keys.opt(
            "other aircraft",
            "files of other aircraft on which the tour may be flown, relative to this file",
            one_or_many(Text),
        );
        let departure = keys.req(
            "departure",
            "the planned time of take-off; its offset from UTC is that of local time",
            LocalMoment,
        );
        let departures = keys.opt(
            "departures",
            "the local times of take-off that are sold",
            one_or_many(TimeOfDay),
        );
        let must_have = keys.opt(
            "must have",
            "sights that passengers are promised; every other is nice to have",
            one_or_many(NameText),
        );
        let light = keys.opt("light", "how the light is judged", of::<Light>());
        let terrain = keys.opt(
            "terrain",
            "files of the heights of the ground, relative to this file: GeoTIFF, or `.hgt` as of SRTM",
            one_or_many(Text),
        );
        let map = keys.opt("map", "what is drawn beneath the flight", of::<Map>());
        let wind = keys.opt("wind", "for the whole tour", of::<Wind>());
        let winds_expected = keys.opt(
            "winds expected",
            "other winds in which the tour is flown: whether each narration fits is asked in all of \
             them",
            one_or_many(of::<Wind>()),
        );
        let airspeed_tolerance = keys.opt(
            "airspeed tolerance",
            "how much slower or faster than planned it is flown, for the same question",
            speed(bounds::AIRSPEED_TOLERANCE),
        );
        let mix = keys.opt("mix", "how voice and music are balanced", of::<Mix>());
        let defaults = keys.opt("defaults", "settings of the rules", of::<Defaults>());
        let checks = keys.opt(
            "checks",
            "how checks are to be taken in this tour, by the name of the check",
            table(of::<CheckLevel>()),
        );
        let route = keys.req("route", "the planned flight", of::<Route>());
        let variants = keys.opt(
            "variants",
            "other ways in which the route may be flown, by name",
            table(of::<Variant>()),
        );
        let contents = contents(keys);
        Some(Self {
            title,
            revision,
            status: status.unwrap_or(Status::Draft),
            languages: language.unwrap_or_default(),
            other_languages: other_languages.map(|others| others.value).unwrap_or_default(),
            aircraft,
            other_aircraft: other_aircraft.map(|others| others.value).unwrap_or_default(),
            departure,
            departures: departures.map(|departures| departures.value).unwrap_or_default(),
            must_have: must_have.map(|sights| sights.value).unwrap_or_default(),
            into_lens: light.map(|light| light.value.0),
            terrain: terrain.map(|files| files.value).unwrap_or_default(),
            map: map.map(|map| map.value).unwrap_or_default(),
            wind,
            winds_expected: winds_expected.map(|winds| winds.value).unwrap_or_default(),
            airspeed_tolerance,
            defaults: defaults.map(|defaults| defaults.value).unwrap_or_default(),
            mix: mix.map(|mix| mix.value).unwrap_or_default(),
            checks: checks.map(|checks| checks.value).unwrap_or_default(),
            route: route.map(|route| route.value),
            variants: variants.map(|variants| variants.value).unwrap_or_default(),
            contents,
        })
    }
}

impl Mapping for LibraryFile {
    const NAME: &'static str = "library file";
    const ABOUT: &'static str = "What several tours share.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        // The title is for the reader of the file; nothing hangs on it.
        let _ = keys.req("library", "its title", Text);
        Some(Self { contents: contents(keys) })
    }
}
