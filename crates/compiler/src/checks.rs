//! What is looked for beyond each value by itself. One file a check, or a family of them; each
//! has a page for every finding it can make: what it finds, why it matters, an example, and the
//! same better.

pub(crate) mod after_circle;
pub(crate) mod approval;
pub(crate) mod audio_faults;
pub(crate) mod audio_length;
pub(crate) mod audio_level;
pub(crate) mod audio_missing;
pub(crate) mod both_sides;
pub(crate) mod camera_live;
pub(crate) mod captions;
pub(crate) mod elevation;
pub(crate) mod equal_priority;
pub(crate) mod far_away;
pub(crate) mod films_near;
pub(crate) mod fits;
pub(crate) mod gate_alone;
pub(crate) mod gate_use;
pub(crate) mod languages;
pub(crate) mod legs;
pub(crate) mod levels;
pub(crate) mod licence;
pub(crate) mod look_at;
pub(crate) mod low_leg;
pub(crate) mod music_ends;
pub(crate) mod music_loop;
pub(crate) mod names;
pub(crate) mod narration;
pub(crate) mod no_effect;
pub(crate) mod no_heading;
pub(crate) mod outranked;
pub(crate) mod recorded;
pub(crate) mod recorder;
mod recordings;
pub(crate) mod side_words;
pub(crate) mod sight_filmed;
pub(crate) mod sight_framed;
pub(crate) mod silence;
pub(crate) mod soundness;
pub(crate) mod sync_word;
pub(crate) mod told;
pub(crate) mod turns;
pub(crate) mod unused;
pub(crate) mod variants;
pub(crate) mod window_met;
pub(crate) mod window_narrow;
pub(crate) mod without;
pub(crate) mod zone_circle;
pub(crate) mod zone_flown;
pub(crate) mod zone_narrow;
pub(crate) mod zone_shape;
pub(crate) mod zone_size;

use diagnostic::{Page, Severity};

use crate::findings::Findings;
use crate::review::Flown;

/// The pages of what is found while a plan is made, by check.
const MADE: &[&[Page]] = &[
    names::PAGES,
    elevation::PAGES,
    far_away::PAGES,
    zone_shape::PAGES,
    zone_size::PAGES,
    zone_circle::PAGES,
    gate_use::PAGES,
    after_circle::PAGES,
    look_at::PAGES,
    turns::PAGES,
    no_effect::PAGES,
    narration::PAGES,
    sync_word::PAGES,
    music_loop::PAGES,
    languages::PAGES,
    recorder::PAGES,
    legs::PAGES,
    soundness::PAGES,
];

/// The pages of what is found about approvals, and about what is said of checks.
const ABOUT: &[&[Page]] = &[approval::PAGES, levels::PAGES, without::PAGES];

/// The pages of all findings that the compiler can make, by check.
#[must_use]
pub fn pages() -> Vec<&'static Page> {
    let reviews = REVIEWS.iter().map(|(pages, _)| *pages);
    MADE.iter().chain(ABOUT).copied().chain(reviews).flatten().collect()
}

/// Whether a tour can set the level of what is found under this name while a plan is made: of
/// everything without which there is a plan all the same.
pub(crate) fn can_be_set_when_made(name: &str) -> bool {
    set_when_made().any(|page| page.name == name)
}

/// The pages of what is found while a plan is made and has a level that a tour can set.
fn set_when_made() -> impl Iterator<Item = &'static Page> {
    MADE.iter().copied().flatten().filter(|page| page.severity != Severity::Error)
}

/// The pages of all checks whose levels a tour can set: of the planned flight first, then of what is
/// found before it is flown.
#[must_use]
pub fn settable() -> Vec<&'static Page> {
    let reviews = REVIEWS.iter().flat_map(|(pages, _)| *pages);
    reviews.chain(set_when_made()).collect()
}

/// A check of the tour as it is flown.
pub(crate) type Review = fn(&Flown<'_>, &mut Findings<'_>);

/// All checks of a tour that compiles, each with its pages. Their levels can be set.
pub(crate) const REVIEWS: &[(&[Page], Review)] = &[
    (unused::PAGES, unused::check),
    (zone_narrow::PAGES, zone_narrow::check),
    (window_narrow::PAGES, window_narrow::check),
    (gate_alone::PAGES, gate_alone::check),
    (both_sides::PAGES, both_sides::check),
    (equal_priority::PAGES, equal_priority::check),
    (zone_flown::PAGES, zone_flown::check),
    (window_met::PAGES, window_met::check),
    (outranked::PAGES, outranked::check),
    (camera_live::PAGES, camera_live::check),
    (sight_framed::PAGES, sight_framed::check),
    (sight_filmed::PAGES, sight_filmed::check),
    (told::PAGES, told::check),
    (fits::PAGES, fits::check),
    (silence::PAGES, silence::check),
    (recorded::PAGES, recorded::check),
    (films_near::PAGES, films_near::check),
    (low_leg::PAGES, low_leg::check),
    (no_heading::PAGES, no_heading::check),
    (side_words::PAGES, side_words::check),
    (audio_missing::PAGES, audio_missing::check),
    (audio_length::PAGES, audio_length::check),
    (audio_level::PAGES, audio_level::check),
    (audio_faults::PAGES, audio_faults::check),
    (captions::PAGES, captions::check),
    (music_ends::PAGES, music_ends::check),
    (licence::PAGES, licence::check),
];
