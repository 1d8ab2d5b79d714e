//! The words of `fulmar fit`.

use std::path::PathBuf;

use super::{TextFormat, TodayArgs};

/// `fulmar fit`.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
    The planned route is flown in every wind and with every airspeed that the tour says it expects\n\
    (winds expected, airspeed tolerance). Without --language every language of the tour is looked\n\
    at by itself.\n\
    Exit codes: 0 all fit, 1 one is too long or not told, 2 could not run.")]
pub(crate) struct FitArgs {
    /// The tour.
    #[arg(value_name = "TOUR")]
    pub(crate) tour: PathBuf,
    /// How the table is printed.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: TextFormat,
    #[command(flatten)]
    pub(crate) today: TodayArgs,
}
