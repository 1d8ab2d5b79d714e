//! The script for a voice artist: what a tour says in one language, as a document that prints well
//! and as sheets that come back, edited.
//!
//! [`Document`] is what is in a script. It is written as a page ([`page`]), as CSV ([`write_csv`])
//! and as a workbook ([`write_xlsx`]). [`Sheet::read`] reads either of the two again, whatever a
//! spreadsheet program made of it, and [`compare`] says which texts of a project it changes.

mod columns;
mod document;
mod import;
mod page;
mod pages;
mod planned;
mod sheet;
mod text;
mod when;
mod write;

pub use document::{Document, LengthFrom, Line, Version, numbered, pace, take_name};
pub use import::{Change, Field, Import, Remark, compare, written};
pub use page::page;
pub use pages::pages;
pub use planned::{Planned, Room};
pub use sheet::Sheet;
pub use write::{write_csv, write_xlsx};
