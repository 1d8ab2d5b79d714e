//! Recordings as they come: what they are, how long and how loud, and whether they are whole.
//!
//! A recording is any source of bytes that can be read and moved about in; this crate opens no
//! file. [`measure`] decodes all of it, a piece at a time, and never trusts what a header says
//! about its length. What is the matter with a recording is told as findings, by
//! [`Measurement::review`] and [`Refusal::finding`].
//!
//! Decoding takes time, so what was measured can be kept: [`Digest`] names a content, and a
//! measurement is written to and read from the text of a cache [`entry`].
//!
//! [`takes`] matches a folder of recordings to what is to be said: what is missing, what was
//! recorded anew, and what text has changed since.
//!
//! [`mix`] brings narration and music to their levels and mixes what is heard.
//!
//! # References
//! Loudness and true peak: ITU-R BS.1770-4, with the gates of EBU R 128 and EBU Tech 3341, as the
//! crate `ebur128` reckons them. The published test signals are among this crate's tests.

mod digest;
pub mod entry;
mod findings;
mod kind;
mod level;
mod measure;
pub mod mix;
mod pages;
mod quantity;
mod reader;
mod refusal;
mod structure;
pub mod takes;

pub use digest::Digest;
pub use earth::{Dbtp, Decibels, Lufs};
pub use kind::Kind;
pub use measure::{Coding, Measurement, State, measure};
pub use pages::pages;
pub use quantity::SampleRate;
pub use refusal::Refusal;
