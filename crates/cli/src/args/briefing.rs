//! The words of `fulmar briefing`.

use std::path::PathBuf;

use super::{TerrainArgs, TodayArgs};

/// `fulmar briefing`.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
    One A4 page, nothing smaller than 11 points, made of the planned flight on the day that is said:\n\
    local times, minutes after take-off and landmarks; no courses, distances or frequencies.")]
pub(crate) struct BriefingArgs {
    /// The tour, or a compiled plan.
    #[arg(value_name = "TOUR-or-PLAN")]
    pub(crate) tour: PathBuf,
    /// Write the card to this file: HTML or PDF, as its name ends.
    #[arg(long, short, value_name = "FILE.html-or-FILE.pdf", help_heading = "What comes out")]
    pub(crate) output: PathBuf,
    #[command(flatten)]
    pub(crate) terrain: TerrainArgs,
    #[command(flatten)]
    pub(crate) today: TodayArgs,
}
