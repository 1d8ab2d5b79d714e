//! The words of what is handed on of a flight: captions and edits.

use std::path::PathBuf;

use clap::ValueEnum;
use earth::Millis;
use film::Rate;

use super::{FlightArgs, clock};

/// `fulmar captions`.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
    Characters are counted with blanks and punctuation; a full-width one counts two, a mark that\n\
    stands on another none.")]
pub(crate) struct CaptionsArgs {
    #[command(flatten)]
    pub(crate) flight: FlightArgs,
    #[command(flatten)]
    pub(crate) times: TimesArgs,
    /// The format that is written.
    #[arg(long, value_name = "FORMAT", default_value = "vtt", help_heading = "What comes out")]
    pub(crate) format: CaptionFormat,
    /// Write to this file; then a summary is printed.
    #[arg(long, short, value_name = "FILE", help_heading = "What comes out")]
    pub(crate) output: Option<PathBuf>,
    /// Of several languages carried at once, the one that is written; the first if none is said.
    #[arg(
        long = "in",
        value_name = "TAG",
        conflicts_with = "titles",
        help_heading = "What comes out"
    )]
    pub(crate) spoken: Option<String>,
    /// Titles and live values instead of what is said, such as `title,place,height,time`.
    #[arg(long, value_name = "VALUES", value_delimiter = ',', help_heading = "What comes out")]
    pub(crate) titles: Vec<ShownValue>,
    /// How often live values change, in seconds.
    #[arg(long, value_name = "SECONDS", default_value = "1", requires = "titles",
        value_parser = clap::value_parser!(u16).range(1..=60), help_heading = "What comes out")]
    pub(crate) every: u16,
    /// Heights in metres and speeds in kilometres an hour, instead of feet and knots.
    #[arg(long, requires = "titles", help_heading = "What comes out")]
    pub(crate) metric: bool,
    /// How far local time is ahead of UTC, such as -02:00; without it, as the tour's departure says.
    #[arg(long, value_name = "-02:00", value_parser = utc_offset, allow_hyphen_values = true,
        requires = "titles", help_heading = "What comes out")]
    pub(crate) utc_offset: Option<Millis>,
    /// How many characters a line may have.
    #[arg(long, value_name = "CHARACTERS", default_value = "42",
        value_parser = clap::value_parser!(u16).range(10..=100), help_heading = "How captions read")]
    pub(crate) line: u16,
    /// How many lines a caption may have.
    #[arg(long, value_name = "NUMBER", default_value = "2",
        value_parser = clap::value_parser!(u16).range(1..=4), help_heading = "How captions read")]
    pub(crate) lines: u16,
    /// How many characters a second can be read: 17 by adults, 13 by children.
    #[arg(long, value_name = "CHARACTERS", default_value = "17",
        value_parser = clap::value_parser!(u16).range(5..=50), help_heading = "How captions read")]
    pub(crate) speed: u16,
    /// Frames a second of the film; between two captions there are two frames.
    #[arg(long, value_name = "RATE", default_value = "25", help_heading = "How captions read")]
    pub(crate) rate: Rate,
}

/// `fulmar edit`.
#[derive(Debug, clap::Args)]
pub(crate) struct EditArgs {
    #[command(flatten)]
    pub(crate) flight: FlightArgs,
    #[command(flatten)]
    pub(crate) times: TimesArgs,
    /// The format that is written.
    #[arg(long, value_name = "FORMAT", default_value = "otio", help_heading = "What comes out")]
    pub(crate) format: EditFormat,
    /// Write to this file; then a summary is printed.
    #[arg(long, short, value_name = "FILE", help_heading = "What comes out")]
    pub(crate) output: Option<PathBuf>,
    /// Frames a second; 29.97 and 59.94 have drop-frame timecode, 29.97ndf and 59.94ndf do not.
    #[arg(long, value_name = "RATE", default_value = "25", help_heading = "What comes out")]
    pub(crate) rate: Rate,
    /// The timecode at which the edit begins.
    #[arg(
        long,
        value_name = "TIMECODE",
        default_value = "01:00:00:00",
        help_heading = "What comes out"
    )]
    pub(crate) start: String,
    /// How far the recorder's clock, whose timecode is the time of day, is ahead of UTC: +00:02.5
    /// (minutes and seconds), -02:00:00 where it runs on local time.
    #[arg(long, value_name = "+00:02.5", value_parser = clock_offset, allow_hyphen_values = true,
        default_value = "+00:00", help_heading = "The recorder's files")]
    pub(crate) clock_offset: Millis,
    /// What the files are called, with {camera} or {input}, and {take}, in it, such as
    /// card/{camera}_{take}.mov; without it the edit names cameras and takes and no files.
    #[arg(long, value_name = "PATTERN", value_parser = media, help_heading = "The recorder's files")]
    pub(crate) media: Option<String>,
}

/// Which flight, and from when its time is counted.
#[derive(Clone, Copy, Debug, clap::Args)]
#[command(next_help_heading = "From when time is counted")]
pub(crate) struct TimesArgs {
    /// Which flight of the recording, from 1.
    #[arg(long, value_name = "NUMBER", default_value = "1",
        value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) flight_number: u32,
    /// From when time is counted.
    #[arg(long, value_name = "CLOCK", default_value = "film")]
    pub(crate) clock: ClockName,
    /// Only this take of the film, its time from 0.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) take: Option<u32>,
}

impl TimesArgs {
    /// The clock that is meant.
    pub(crate) fn clock(&self) -> film::Clock {
        match (self.take, self.clock) {
            (Some(take), _) => film::Clock::Take(take),
            (None, ClockName::Film) => film::Clock::Film,
            (None, ClockName::Flight) => film::Clock::Flight,
            (None, ClockName::TakeOff) => film::Clock::TakeOff,
        }
    }
}

/// From when time is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum ClockName {
    /// The film's own clock: all takes, one after the other.
    Film,
    /// From the first fix of the flight.
    Flight,
    /// From take-off.
    TakeOff,
}

/// A format of captions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum CaptionFormat {
    /// WebVTT.
    Vtt,
    /// SubRip.
    Srt,
}

/// A format of edits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum EditFormat {
    /// OpenTimelineIO.
    Otio,
    /// A plain edit decision list.
    Edl,
}

/// What can be shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum ShownValue {
    /// The title that the plan shows.
    Title,
    /// The nearest place, within 2 NM.
    Place,
    /// Height above the place where the flight began.
    Height,
    /// Altitude above mean sea level.
    Altitude,
    /// Groundspeed.
    Groundspeed,
    /// Heading, degrees true.
    Heading,
    /// Track over the ground, degrees true.
    Track,
    /// Local time.
    Time,
}

/// An offset from UTC as `-02:00`.
fn utc_offset(text: &str) -> Result<Millis, String> {
    let wrong = || format!("`{text}` is no offset from UTC, such as -02:00 or +05:30");
    let (sign, rest) = signed(text).ok_or_else(wrong)?;
    let minutes_as_seconds = clock(rest).filter(|it| it.0 % 1000 == 0).ok_or_else(wrong)?;
    let offset = minutes_as_seconds * 60;
    let colons = rest.matches(':').count();
    if colons == 1 && offset <= Millis::from_secs(15 * 3600) {
        Ok(offset * sign)
    } else {
        Err(wrong())
    }
}

/// How far a clock is off, as `+00:02.5` or `-02:00:00`.
fn clock_offset(text: &str) -> Result<Millis, String> {
    let wrong =
        || format!("`{text}` is no difference of two clocks, such as +00:02.5 or -02:00:00");
    let (sign, rest) = signed(text).ok_or_else(wrong)?;
    let off = clock(rest).ok_or_else(wrong)?;
    // More than a day is another day, which timecode does not tell.
    if off > Millis::from_secs(86_400) {
        return Err(format!("`{text}` is more than a day, which timecode does not tell"));
    }
    Ok(off * sign)
}

fn signed(text: &str) -> Option<(i64, &str)> {
    text.strip_prefix('+')
        .map(|rest| (1, rest))
        .or_else(|| text.strip_prefix('-').map(|it| (-1, it)))
}

/// What files are called.
fn media(text: &str) -> Result<String, String> {
    let mut rest = text.to_owned();
    let apart = rest.contains("{camera}") || rest.contains("{input}");
    for known in ["{camera}", "{input}", "{take}"] {
        rest = rest.replace(known, "");
    }
    if rest.contains(['{', '}']) {
        return Err("only {camera}, {input} and {take} stand for something".to_owned());
    }
    if !apart {
        return Err("all cameras would have one file: put {camera} or {input} in it".to_owned());
    }
    Ok(text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offsets() {
        assert_eq!(utc_offset("-02:00"), Ok(Millis::from_secs(-7200)));
        assert_eq!(utc_offset("+05:30"), Ok(Millis::from_secs(19_800)));
        for wrong in ["02:00", "+2", "+25:00", "+02:00:00", "-x", "+02:00.5", ""] {
            assert!(utc_offset(wrong).is_err(), "{wrong}");
        }
        assert_eq!(clock_offset("+00:02.5"), Ok(Millis(2500)));
        assert_eq!(clock_offset("-02:00:00"), Ok(Millis::from_secs(-7200)));
        for wrong in ["00:02", "+2.5", "+25:00:00", ""] {
            assert!(clock_offset(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn names_of_files_tell_cameras_apart() {
        assert!(media("card/{camera}_{take}.mov").is_ok());
        assert!(media("{input}.mov").is_ok());
        for wrong in ["a.mov", "{take}.mov", "{camera}{day}.mov", "{camera"] {
            assert!(media(wrong).is_err(), "{wrong}");
        }
    }
}
