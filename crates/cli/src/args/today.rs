//! What differs today: options that several commands share.

use std::path::{Path, PathBuf};

use earth::Utc;
use route::model::Altitude;

use super::value::{self, WindValue};

/// What differs today. An option stands above what the file for the day says.
#[derive(Clone, Debug, Default, clap::Args)]
#[command(next_help_heading = "What differs today")]
pub(crate) struct TodayArgs {
    /// A file that says what differs today.
    #[arg(long, value_name = "FILE")]
    pub(crate) today: Option<PathBuf>,
    /// Another aircraft file than the one the tour names.
    #[arg(long, value_name = "FILE")]
    pub(crate) aircraft: Option<PathBuf>,
    /// The variant of the route that is flown, one of the tour's.
    #[arg(long, value_name = "NAME")]
    pub(crate) variant: Option<String>,
    /// The language in which the tour is told, one of the tour's; several with commas are carried at
    /// once, each on a channel of its own.
    #[arg(long, value_name = "TAG,...", value_delimiter = ',')]
    pub(crate) language: Vec<String>,
    #[command(flatten)]
    pub(crate) conditions: Conditions,
}

/// The weather, the time and the cameras of the day.
#[derive(Clone, Debug, Default, clap::Args)]
#[command(next_help_heading = "What differs today")]
pub(crate) struct Conditions {
    /// The altitude of every leg, instead of its own; also above a place, as "700 ft above PAD".
    #[arg(long, value_name = "900ft", value_parser = altitude)]
    pub(crate) altitude: Option<Altitude>,
    /// Above which no leg is flown, for instance because of cloud.
    #[arg(long, value_name = "700ft", value_parser = altitude)]
    pub(crate) not_above: Option<Altitude>,
    /// The time of take-off, with its offset from UTC.
    #[arg(long, value_name = "2026-06-01T14:00:00Z", value_parser = departure)]
    pub(crate) departure: Option<Utc>,
    /// The wind of the day: whence it blows, degrees true, and how fast.
    #[arg(long, value_name = "240/12kt")]
    pub(crate) wind: Option<WindValue>,
    /// A camera that is out of service; may be given several times.
    #[arg(long, value_name = "CAMERA")]
    pub(crate) out_of_service: Vec<String>,
    /// A camera that is not allowed today; may be given several times.
    #[arg(long, value_name = "CAMERA")]
    pub(crate) not_allowed: Vec<String>,
}

impl TodayArgs {
    /// The files that are named.
    pub(crate) fn files(&self) -> impl Iterator<Item = &Path> {
        self.today.as_deref().into_iter().chain(self.aircraft.as_deref())
    }
}

/// What differs on each side of a comparison.
#[derive(Clone, Debug, Default, clap::Args)]
#[command(next_help_heading = "How each is flown")]
pub(crate) struct SidesArgs {
    /// A file that says what differs for OLD from the tour as written.
    #[arg(long, value_name = "FILE")]
    old_today: Option<PathBuf>,
    /// The same for NEW.
    #[arg(long, value_name = "FILE")]
    new_today: Option<PathBuf>,
    /// Another aircraft file for OLD than the one the tour names.
    #[arg(long, value_name = "FILE")]
    old_aircraft: Option<PathBuf>,
    /// The same for NEW.
    #[arg(long, value_name = "FILE")]
    new_aircraft: Option<PathBuf>,
    /// The variant of the route that OLD is flown as, one of the tour's.
    #[arg(long, value_name = "NAME")]
    old_variant: Option<String>,
    /// The same for NEW.
    #[arg(long, value_name = "NAME")]
    new_variant: Option<String>,
    /// The language in which OLD is told, one of the tour's.
    #[arg(long, value_name = "TAG,...", value_delimiter = ',')]
    old_language: Vec<String>,
    /// The same for NEW.
    #[arg(long, value_name = "TAG,...", value_delimiter = ',')]
    new_language: Vec<String>,
}

impl SidesArgs {
    /// What differs for the older plan.
    pub(crate) fn of_old(&self) -> TodayArgs {
        TodayArgs {
            today: self.old_today.clone(),
            aircraft: self.old_aircraft.clone(),
            variant: self.old_variant.clone(),
            language: self.old_language.clone(),
            conditions: Conditions::default(),
        }
    }

    /// What differs for the newer plan.
    pub(crate) fn of_new(&self) -> TodayArgs {
        TodayArgs {
            today: self.new_today.clone(),
            aircraft: self.new_aircraft.clone(),
            variant: self.new_variant.clone(),
            language: self.new_language.clone(),
            conditions: Conditions::default(),
        }
    }
}

fn altitude(text: &str) -> Result<Altitude, String> {
    route::altitude(text)
}

fn departure(text: &str) -> Result<Utc, String> {
    value::utc(text).ok_or_else(|| {
        format!("`{text}` is no date and time with its offset, such as 2026-06-01T14:00:00Z")
    })
}
