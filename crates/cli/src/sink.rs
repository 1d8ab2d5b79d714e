//! Takes what the engine says while a flight is flown. None of it grows with the track.

pub(crate) mod as_planned;
pub(crate) mod changes;
pub(crate) mod held;
pub(crate) mod notices;
pub(crate) mod states;

#[cfg(test)]
mod tests;
