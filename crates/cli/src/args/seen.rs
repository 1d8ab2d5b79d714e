//! The words of what is seen on a flight: coverage and light.

use std::path::PathBuf;

use clap::ValueEnum;
use earth::Millis;

use super::{FlightArgs, TextFormat};

/// Where heights of the ground come from.
#[derive(Debug, Default, clap::Args)]
pub(crate) struct TerrainArgs {
    /// Files of the heights of the ground, instead of those the tour names: GeoTIFF in degrees, or
    /// tiles of the SRTM (`.hgt`). Without any, no hill hides a sight.
    #[arg(long, value_name = "FILE", help_heading = "The ground")]
    pub(crate) terrain: Vec<PathBuf>,
}

/// Which of several flights is meant.
#[derive(Debug, clap::Args)]
pub(crate) struct WhichArgs {
    /// Which flight of the recording, from 1; those that never took off are not counted.
    #[arg(long, value_name = "NUMBER", default_value = "1", help_heading = "Which flight",
        value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) flight_number: u32,
}

/// `fulmar coverage`.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
    In the picture is not filmed: a sight is filmed when the live camera, while recording, holds it in\n\
    one shot for as long as the tour wants (6 s unless it says otherwise), near or large enough. The\n\
    bank of the aircraft in turns is a model, reckoned from groundspeed and rate of turn.\n\
    Exit codes: 0 all must-have sights are filmed, 1 one is not, 2 could not run.")]
pub(crate) struct CoverageArgs {
    #[command(flatten)]
    pub(crate) flight: FlightArgs,
    #[command(flatten)]
    pub(crate) which: WhichArgs,
    #[command(flatten)]
    pub(crate) terrain: TerrainArgs,
    /// How it is printed.
    #[arg(long, value_name = "FORMAT", default_value = "text", help_heading = "What comes out")]
    pub(crate) format: CoverageFormat,
    /// Write to this file.
    #[arg(long, short, value_name = "FILE", help_heading = "What comes out")]
    pub(crate) output: Option<PathBuf>,
}

/// Form of what is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum CoverageFormat {
    /// A line for each sight, for people.
    Text,
    /// The same for programs.
    Json,
    /// Comma separated values: a line for each fix, camera and sight.
    Csv,
}

/// `fulmar light`.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
    Everything but the sun stays as the flight is flown. A score is 100 for a sight lit from the\n\
    front, 80 from the side, 40 from behind, 0 in the dark, and less by up to half for the time in\n\
    which the sun shines into the lens: it orders departures and measures nothing. In the sum a\n\
    must-have sight counts twice.")]
pub(crate) struct LightArgs {
    #[command(flatten)]
    pub(crate) flight: FlightArgs,
    #[command(flatten)]
    pub(crate) which: WhichArgs,
    #[command(flatten)]
    pub(crate) terrain: TerrainArgs,
    /// The local day; without it, that of the planned departure.
    #[arg(long, value_name = "2026-06-14", help_heading = "When")]
    pub(crate) date: Option<jiff::civil::Date>,
    /// Local times of take-off, instead of those that the tour sells.
    #[arg(long, value_name = "09:00,10:30", value_delimiter = ',', value_parser = time_of_day,
        help_heading = "When")]
    pub(crate) at: Vec<Millis>,
    /// How it is printed.
    #[arg(long, value_name = "FORMAT", default_value = "text", help_heading = "What comes out")]
    pub(crate) format: TextFormat,
    /// Draw a chart of the departures into this file (`.svg`).
    #[arg(long, value_name = "FILE.svg", help_heading = "What comes out")]
    pub(crate) chart: Option<PathBuf>,
}

/// A local time as `09:30`.
fn time_of_day(text: &str) -> Result<Millis, String> {
    let wrong = || format!("`{text}` is no time of day, such as 09:30");
    if text.len() != 5 {
        return Err(wrong());
    }
    let time: jiff::civil::Time = text.parse().map_err(|_| wrong())?;
    Ok(Millis::from_secs((i64::from(time.hour()) * 60 + i64::from(time.minute())) * 60))
}
