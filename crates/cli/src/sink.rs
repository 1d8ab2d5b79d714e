//! Takes what the engine says while a flight is flown. None of it grows with the track.

pub(crate) mod changes;
pub(crate) mod compare;
pub(crate) mod held;
pub(crate) mod notices;
pub(crate) mod states;
pub(crate) mod summary;

#[cfg(test)]
mod tests;
