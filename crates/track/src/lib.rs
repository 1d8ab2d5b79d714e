//! Recorded flights: GPX in and out, and flights made from other flights.
//!
//! [`GpxReader`] hands out the track points of a GPX file (1.0 or 1.1, plain or gzip) as
//! [`earth::Fix`]es, in file order, with a memory that does not grow with the file. Everything else
//! it found is in its [`Report`].
//!
//! # What is read, and what happens to what is wrong
//!
//! GPX is read here for the flights in it, so the reading recovers at each point: what is against
//! the rules of GPX but can only mean one thing is accepted and counted; what means nothing, or
//! could mean two things, is not. Elements are told by their local names, under any prefix.
//!
//! | found | what happens |
//! | --- | --- |
//! | latitude or longitude missing, not a decimal number (NaN, a decimal comma), outside −90..90 or −180..180 | point rejected |
//! | time missing, or empty, while other points have one | point rejected |
//! | time that is a date alone, has a blank for its `T`, a second 60, a month 13, a zone beyond 14 hours, a year outside 1..9999 | point rejected |
//! | point within a point, or cut off by the end of what can be read | point rejected |
//! | altitude, speed, course, heading or variation not a decimal number or outside what can be (−1000..100,000 m, 0..1000 m/s, 0..360°, −180..360°) | value left out, point flown |
//! | speed in a unit that is not known; magnetic course | value left out, point flown |
//! | empty element | as if it were not there |
//! | longitude 180 in GPX 1.1; a number with an exponent; a negative variation; elements in another order; speed, course or heading in GPX's own namespace where it has none; a value given twice | accepted, counted |
//! | time without a zone | taken as UTC, counted |
//! | small `t` or `z`, a decimal comma in the seconds, an offset without colon | accepted, counted |
//! | course or heading 360 | taken as 0 |
//! | fractions of a second beyond milliseconds | rounded to the nearest |
//! | two points of one time, or times that go back | handed out as they stand: whoever flies them decides |
//! | wrong, missing or contradictory namespace, version or creator | reported once, read all the same |
//! | elements, attributes and values that say nothing of the flight (fix, satellites, station, metadata, bounds) | not looked at |
//! | waypoints, routes and their points | counted, not flown; [`read_waypoints`] gives them |
//! | a second GPX document in the same file | read on, reported |
//! | byte order mark of UTF-8 | left out |
//! | bytes that are not UTF-8; NUL bytes | read as `?` and as blanks, counted |
//! | declared ISO-8859-1, ISO-8859-15, Windows-1252 or US-ASCII | read as far as all bytes are ASCII, then refused by name |
//! | any other encoding, by its first bytes or its declaration; zip | refused by name |
//! | document type | read over; no entity is ever put in |
//! | no longer well-formed XML, cut short, damaged gzip, more than 1000 elements deep, a tag or text above 4 MiB | what came before is kept; an error with its place ends the reading |
//! | no point has a time | refused, unless [`Options::made_times`] says how to make times |
//! | no track points | refused |
//!
//! Which elements give speed, track and heading:
#![doc = include_str!("fields.md")]

mod document;
mod faults;
mod fields;
mod interval;
mod made_times;
mod number;
mod plain;
mod point;
mod reader;
mod report;
mod source;
pub mod synthetic;
#[cfg(test)]
mod tests;
mod timestamp;
mod write;

pub use interval::usual_interval;
pub use made_times::{GroundspeedError, MadeTimes};
pub use reader::{GpxReader, MOST_WAYPOINTS, Options, Waypoint, read_waypoints};
pub use report::{Class, Kind, NAMES_KEPT, REPORTED_ONE_BY_ONE, Report, Version};
pub use write::{WriteError, write_gpx};
