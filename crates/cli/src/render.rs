//! Turning results into text and JSON. Nothing here reads or decides anything.

pub(crate) mod against;
pub(crate) mod compare;
pub(crate) mod event_plan;
pub(crate) mod findings;
pub(crate) mod grid;
pub(crate) mod identity;
pub(crate) mod place;
pub(crate) mod recordings;
pub(crate) mod screen;
pub(crate) mod summary;
pub(crate) mod table;
pub(crate) mod takes;
#[cfg(test)]
pub(crate) mod testing;
pub(crate) mod time;
pub(crate) mod why;
pub(crate) mod wire;
pub(crate) mod words;
