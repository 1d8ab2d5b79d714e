//! Files read and checked: from what the command line names to what can be run.

pub(crate) mod cues;
pub(crate) mod day;
pub(crate) mod file;
pub(crate) mod findings;
pub(crate) mod flight;
pub(crate) mod flights;
pub(crate) mod grid;
pub(crate) mod hand;
pub(crate) mod map;
pub(crate) mod project;
pub(crate) mod recording;
pub(crate) mod terrain;
pub(crate) mod today;
pub(crate) mod tour;
pub(crate) mod watch;
pub(crate) mod world;
