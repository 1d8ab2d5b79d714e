//! The words of `fulmar page`.

use std::path::PathBuf;

use clap::ValueEnum;

use super::seen::WhichArgs;
use super::{FlightArgs, TerrainArgs};

/// `fulmar page`.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
    The page is one file that any browser opens without a network; nothing in it is loaded from\n\
    elsewhere, except pictures of a map where an address is given. Without a recorded flight the\n\
    planned route is flown.")]
pub(crate) struct PageArgs {
    #[command(flatten)]
    pub(crate) flight: FlightArgs,
    #[command(flatten)]
    pub(crate) which: WhichArgs,
    /// Write to this file.
    #[arg(long, short, value_name = "FILE.html", help_heading = "What comes out")]
    pub(crate) output: PathBuf,
    /// The page, or the data that it shows.
    #[arg(long, value_name = "FORMAT", default_value = "html", help_heading = "What comes out")]
    pub(crate) format: PageFormat,
    /// What is heard on the flight, as `fulmar mix` writes it or turned into Ogg or MP3: it plays
    /// along. It is kept in the page, which grows by a third more than its size.
    #[arg(long, value_name = "FILE", help_heading = "What comes out")]
    pub(crate) sound: Option<PathBuf>,
    /// Another flight of the same tour (recorded: GPX), or another tour or plan for the same flight,
    /// laid beside it.
    #[arg(long, value_name = "OTHER", num_args = 1.., help_heading = "Side by side")]
    pub(crate) beside: Vec<PathBuf>,
    /// Which flight of the other recording; without --beside, which other flight of the same one.
    #[arg(long, value_name = "NUMBER", help_heading = "Side by side",
        value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) beside_number: Option<u32>,
    /// Files of shapes to be drawn beneath the flight (GeoJSON), instead of those the tour names.
    #[arg(long, value_name = "FILE", help_heading = "The map")]
    pub(crate) shapes: Vec<PathBuf>,
    /// The address of pictures of a map, with {z}, {x} and {y} in it. The page then asks the network
    /// for them.
    #[arg(long, value_name = "ADDRESS", help_heading = "The map")]
    pub(crate) tiles: Option<String>,
    /// To whom the map is owed, to be shown on it.
    #[arg(long, value_name = "WORDS", help_heading = "The map")]
    pub(crate) attribution: Option<String>,
    #[command(flatten)]
    pub(crate) terrain: TerrainArgs,
}

/// What is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum PageFormat {
    /// The page.
    Html,
    /// Its data, as crates/preview/FORMAT.md describes it.
    Json,
}
