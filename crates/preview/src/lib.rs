//! A page that shows a flight: one HTML file that carries its data and its program.
//!
//! The data's format is described in `FORMAT.md`; the program is in `web` and is bundled by
//! `build.rs`.

/// The page's program, bundled.
pub const PROGRAM: &str = include_str!(concat!(env!("OUT_DIR"), "/web/dist/page.js"));

/// The page's looks, bundled.
pub const STYLE: &str = include_str!(concat!(env!("OUT_DIR"), "/web/dist/page.css"));

/// The licences of what is bundled in [`PROGRAM`] and [`STYLE`], which ask to be handed on.
pub const NOTICES: &str = include_str!(concat!(env!("OUT_DIR"), "/web/dist/notices.txt"));
