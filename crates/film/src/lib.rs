//! What is handed on of a flight: captions and titles to show, an edit for a cutting room.
//!
//! [`split`] parts a narration's text into captions that can be read; [`Captions::of`] gives those
//! of a flight their times, on a [`Clock`] of one's choice; [`write()`] makes a WebVTT or SubRip file
//! of them. [`Titles`] makes titles and live values into captions of their own. [`Edit`] is what a
//! flight is cut to, and is written as an OpenTimelineIO file ([`otio`]) or as an edit decision list
//! ([`edl`]).
//!
//! Nothing here opens a file. Times are whole milliseconds until they become frames, and each frame
//! is reckoned from its own time, never from the frame before.

mod breaks;
mod captions;
mod clock;
mod edit;
mod edl;
mod findings;
mod guidelines;
mod otio;
mod rate;
mod sights;
mod split;
mod titles;
mod write;

pub use breaks::columns;
pub use captions::{Captions, Cue, Outside, spoken};
pub use clock::{Clock, Section, Sections};
pub use edit::{CameraTrack, Clip, Edit, EditOptions, Frames, Mark, MarkKind, Media, SoundTrack};
pub use edl::{MOST_EVENTS, edl};
pub use findings::{CAPTION_PAGES, outside, pages, review, review_one};
pub use guidelines::Guidelines;
pub use otio::otio;
pub use rate::Rate;
pub use sights::{Pass, Sights};
pub use split::{Phrase, Spoken, split};
pub use titles::{Shown, Titles, Units, Value};
pub use write::{Format, write};
