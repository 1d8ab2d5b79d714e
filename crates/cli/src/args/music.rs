//! The words of `fulmar music`.

use std::path::PathBuf;

use clap::ValueEnum;

use super::TodayArgs;

/// `fulmar music`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Heard is what a headset played, in the film what was recorded of it; fades \
    are not reckoned.\nDays and years are those of UTC, of each flight's take-off."
)]
pub(crate) struct MusicArgs {
    /// The tour, or a compiled plan.
    #[arg(value_name = "TOUR-or-PLAN")]
    pub(crate) tour: PathBuf,
    /// Recorded flights: GPX files (gzip is understood), and folders of them. Each file is flown by
    /// itself and may hold many flights.
    #[arg(value_name = "FLIGHT.gpx-or-FOLDER")]
    pub(crate) flights: Vec<PathBuf>,
    /// Fly the route as planned instead of recorded flights.
    #[arg(long, conflicts_with = "flights")]
    pub(crate) planned: bool,
    /// Whether there is a sheet for each flight, or one for all flights of a year.
    #[arg(long, value_name = "SHEET", default_value = "flight", help_heading = "What comes out")]
    pub(crate) per: SheetPer,
    /// Write to this file.
    #[arg(long, short, value_name = "FILE", help_heading = "What comes out")]
    pub(crate) output: Option<PathBuf>,
    /// How the sheets are printed.
    #[arg(long, value_name = "FORMAT", default_value = "text", help_heading = "What comes out")]
    pub(crate) format: SheetFormat,
    #[command(flatten)]
    pub(crate) today: TodayArgs,
}

/// What a cue sheet is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum SheetPer {
    /// One flight.
    Flight,
    /// All flights of a year.
    Year,
}

/// Form of a cue sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum SheetFormat {
    /// For people.
    Text,
    /// Comma separated values, a line for each piece of each sheet.
    Csv,
    /// JSON for programs.
    Json,
}
