//! `fulmar grid`.

use std::path::PathBuf;

use super::TextFormat;
use super::today::Conditions;

/// The word for the route as written, where variants are named.
pub(crate) const AS_WRITTEN: &str = "as-written";

/// `fulmar grid`.
#[derive(Debug, clap::Args)]
pub(crate) struct GridArgs {
    /// Tours, and folders: all tours in a folder and the folders in it.
    #[arg(required = true, value_name = "TOUR-or-FOLDER")]
    pub(crate) places: Vec<PathBuf>,
    /// How the grid is printed.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: TextFormat,
    /// An aircraft file; may be given several times. Without it every tour is looked at on the
    /// aircraft that it names, its `other aircraft` included.
    #[arg(long, value_name = "FILE", help_heading = "Which cells")]
    pub(crate) aircraft: Vec<PathBuf>,
    /// A variant, or `as-written`; may be given several times. Without it all that a tour has.
    #[arg(long, value_name = "NAME", help_heading = "Which cells")]
    pub(crate) variant: Vec<String>,
    /// A language; may be given several times. Without it all that a tour is told in.
    #[arg(long, value_name = "TAG", help_heading = "Which cells")]
    pub(crate) language: Vec<String>,
    /// A file that says what differs today. The aircraft, variant and language that it names stand
    /// for those of all cells.
    #[arg(long, value_name = "FILE", help_heading = "What differs today")]
    pub(crate) today: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) conditions: Conditions,
}
