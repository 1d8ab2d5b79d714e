//! The words of the command line. Parsing them opens no file.

mod briefing;
mod film;
mod fit;
mod grid;
mod mix;
mod music;
mod page;
mod seen;
mod today;
mod value;

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

pub(crate) use briefing::BriefingArgs;
use earth::MetresPerSecond;
pub(crate) use film::{CaptionFormat, CaptionsArgs, EditArgs, EditFormat, ShownValue, TimesArgs};
pub(crate) use fit::FitArgs;
pub(crate) use grid::{AS_WRITTEN, GridArgs};
pub(crate) use mix::{MixArgs, MixBits};
pub(crate) use music::{MusicArgs, SheetFormat, SheetPer};
pub(crate) use page::{PageArgs, PageFormat};
pub(crate) use seen::{CoverageArgs, CoverageFormat, LightArgs, TerrainArgs};
pub(crate) use today::{SidesArgs, TodayArgs};
pub(crate) use value::{Moment, clock, utc};

/// Ground tool for filmed sightseeing flights: tours as text, proved before anyone boards.
#[derive(Debug, Parser)]
#[command(name = "fulmar", version, disable_help_subcommand = true, max_term_width = 100)]
#[command(after_help = "Media equipment, not for navigation.\n\
    Exit codes: 0 nothing to complain of; 1 an error or a warning was told (check tells of the \
    tour; plan, simulate and why of what happens on it); 2 could not run.")]
pub(crate) struct Args {
    /// How findings are printed.
    #[arg(long, global = true, value_name = "FORMAT", default_value = "full")]
    pub(crate) message_format: MessageFormat,
    /// What is to be done.
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// How findings are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum MessageFormat {
    /// With the text underlined and what to do.
    Full,
    /// One line each.
    Concise,
    /// One JSON object a line.
    Json,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Find all mistakes of tours and of every file they use.
    Check(CheckArgs),
    /// Judge every tour on every aircraft, in every variant and language: green or red, and why.
    Grid(GridArgs),
    /// Compile a tour and print what happens when, as planned.
    Plan(PlanArgs),
    /// Fly a recorded flight, or the planned one, through a tour.
    Simulate(SimulateArgs),
    /// Say why a channel is as it is at a moment of a flight.
    Why(WhyArgs),
    /// Say which sights the cameras film on a flight, for how long, and what hinders the others.
    Coverage(CoverageArgs),
    /// Write the pilot's briefing card for a day: one page, HTML or PDF.
    Briefing(BriefingArgs),
    /// Say what light the sights have at each departure that is sold.
    Light(LightArgs),
    /// Say whether each narration fits, at every groundspeed that the tour expects.
    Fit(FitArgs),
    /// Measure recordings: length, silence, loudness, and whether they are whole.
    Audio(AudioArgs),
    /// Match a folder of takes to a tour's narrations: what is missing and what to record again.
    Takes(TakesArgs),
    /// Mix what is heard on a flight: narrations and music at their levels, to a WAV file.
    Mix(MixArgs),
    /// Say what music was played on flights, how long and by what right: a cue sheet.
    Music(MusicArgs),
    /// Write the script of a tour in a language: a page to print, or a sheet that comes back.
    Script(ScriptArgs),
    /// Say what an edited sheet changes in a tour's texts, and write it into their files.
    Texts(TextsArgs),
    /// Write captions of a flight: what is said, or titles and live values (WebVTT, SubRip).
    Captions(CaptionsArgs),
    /// Write what a flight is cut to, for a cutting room (OpenTimelineIO, edit decision list).
    Edit(EditArgs),
    /// Write a page to look at: a flight on a map and along its time, in one file.
    Page(PageArgs),
    /// Say what two plans differ in, for whoever approves the newer one.
    Compare(CompareArgs),
    /// Print the page of a finding: what it means and what to do.
    Explain(ExplainArgs),
    /// Print the JSON Schema of a kind of file, for editors.
    Schema(SchemaArgs),
    /// Print completions for a shell.
    Completions(CompletionsArgs),
}

/// `fulmar check`.
#[derive(Debug, clap::Args)]
pub(crate) struct CheckArgs {
    /// The tours.
    #[arg(required = true, value_name = "TOUR")]
    pub(crate) tours: Vec<PathBuf>,
    /// Mend what can only have been meant one way, say what was changed, and check again.
    ///
    /// A slip of the pen in a name or key, latitude and longitude swapped, a number whose unit can
    /// only be one. Comments and layout stay as they are, in the tours and in every file they use.
    #[arg(long)]
    pub(crate) fix: bool,
    /// Show what --fix would change, as a unified diff, and write nothing.
    ///
    /// Ends with 0 where nothing would be changed, 1 where something would, 2 where a tour cannot
    /// be read.
    #[arg(long, conflicts_with = "fix")]
    pub(crate) diff: bool,
    /// Check again whenever a file of the tours is saved, until Ctrl-C.
    ///
    /// On a terminal the list is drawn anew each time, errors first, and is never longer than the
    /// screen; elsewhere each check ends with a line that begins with `checked at`. Ends as the last
    /// check did.
    #[arg(long, conflicts_with_all = ["fix", "diff"])]
    pub(crate) watch: bool,
    #[command(flatten)]
    pub(crate) today: TodayArgs,
}

/// `fulmar plan`.
#[derive(Debug, clap::Args)]
pub(crate) struct PlanArgs {
    /// The tour, or a compiled plan.
    #[arg(value_name = "TOUR-or-PLAN")]
    pub(crate) tour: PathBuf,
    /// Write the compiled plan, which is all that a flight needs, to this file.
    #[arg(long, short, value_name = "PLAN.json")]
    pub(crate) output: Option<PathBuf>,
    /// How the event plan is printed.
    #[arg(long, value_name = "FORMAT", default_value = "table")]
    pub(crate) format: PlanFormat,
    #[command(flatten)]
    pub(crate) today: TodayArgs,
}

/// How the event plan is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum PlanFormat {
    /// A table to read.
    Table,
    /// JSON for programs.
    Json,
}

/// Which flight is flown.
#[derive(Clone, Debug, clap::Args)]
pub(crate) struct FlightArgs {
    /// The tour, or a compiled plan.
    #[arg(value_name = "TOUR-or-PLAN")]
    pub(crate) tour: PathBuf,
    /// The recorded flight: GPX files (gzip is understood), flown one after the other.
    #[arg(value_name = "FLIGHT.gpx")]
    pub(crate) flights: Vec<PathBuf>,
    /// Fly the route as planned instead of a recorded flight.
    #[arg(long, conflicts_with = "flights")]
    pub(crate) planned: bool,
    /// Actions of the pilot's hand to play along: a CSV file `time,action,camera`.
    ///
    /// A time is UTC as 2026-06-01T10:35:00Z, or +05:30 from the first fix. The actions are camera
    /// (with its name), automatic, record on, record off, still, voice off, voice on, skip, radio
    /// busy, radio clear. Lines that begin with # are left out.
    #[arg(long, value_name = "FILE")]
    pub(crate) hand: Option<PathBuf>,
    /// For a flight without times: the groundspeed to fly it at.
    #[arg(long, value_name = "80kt", value_parser = value::speed, conflicts_with = "planned")]
    pub(crate) groundspeed: Option<MetresPerSecond>,
    #[command(flatten)]
    pub(crate) today: TodayArgs,
}

impl FlightArgs {
    /// The route as planned.
    pub(crate) fn planned(tour: PathBuf, today: TodayArgs) -> Self {
        Self { tour, flights: Vec::new(), planned: true, hand: None, groundspeed: None, today }
    }
}

/// `fulmar simulate`.
#[derive(Debug, clap::Args)]
pub(crate) struct SimulateArgs {
    #[command(flatten)]
    pub(crate) flight: FlightArgs,
    /// Print the list of changes instead of the summary.
    #[arg(long, conflicts_with = "states", help_heading = "What comes out")]
    pub(crate) changes: bool,
    /// Print the state at every fix instead of the summary.
    #[arg(long, value_name = "FORMAT", help_heading = "What comes out")]
    pub(crate) states: Option<StatesFormat>,
    /// Write to this file; with --changes or --states the summary is then printed too.
    #[arg(long, short, value_name = "FILE", help_heading = "What comes out")]
    pub(crate) output: Option<PathBuf>,
    /// How the summary and the list of changes are printed.
    #[arg(long, value_name = "FORMAT", default_value = "text", help_heading = "What comes out")]
    pub(crate) format: TextFormat,
}

/// Form of the states.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum StatesFormat {
    /// Comma separated values, one line a fix.
    Csv,
    /// One JSON object a fix, a line each.
    Json,
}

/// Text for people or JSON for programs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum TextFormat {
    /// For people.
    Text,
    /// For programs.
    Json,
}

/// `fulmar why`.
#[derive(Debug, clap::Args)]
pub(crate) struct WhyArgs {
    /// The moment: since take-off as T+05:30 (T-00:20 before it), or UTC as 2026-06-01T10:35:30Z.
    #[arg(long, value_name = "MOMENT", allow_hyphen_values = true)]
    pub(crate) at: Moment,
    /// The channel.
    #[arg(long, value_name = "CHANNEL")]
    pub(crate) channel: ChannelName,
    /// Which flight of the recording a moment since take-off belongs to, from 1.
    #[arg(long, value_name = "NUMBER", default_value = "1",
        value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) flight_number: u32,
    /// How the answer is printed.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: TextFormat,
    #[command(flatten)]
    pub(crate) flight: FlightArgs,
}

/// The channels a rule can speak to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum ChannelName {
    /// Which camera is live.
    Camera,
    /// Whether it records.
    Record,
    /// What is said.
    Narration,
    /// What music plays.
    Music,
    /// What title shows.
    Title,
    /// Stills.
    Still,
}

/// `fulmar audio`.
#[derive(Debug, clap::Args)]
pub(crate) struct AudioArgs {
    /// Recordings (WAV, FLAC, MP3 or Ogg Vorbis), and folders of them.
    #[arg(required = true, value_name = "FILE-or-FOLDER")]
    pub(crate) paths: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) cache: CacheArgs,
    /// How what was measured is printed.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: TextFormat,
}

/// `fulmar takes`.
#[derive(Debug, clap::Args)]
#[command(after_help = "A take is named by number, narration, language and take, such as \
    012_arch_de_t2.wav;\nnumber and take may be left out, and a folder may give the language. A short version is\n\
    called as its narration is, with -short behind it: 012_arch-short_de_t2.wav.")]
pub(crate) struct TakesArgs {
    /// The tour.
    #[arg(value_name = "TOUR")]
    pub(crate) tour: PathBuf,
    /// The folder of takes.
    #[arg(value_name = "FOLDER")]
    pub(crate) folder: PathBuf,
    /// One of the tour's languages; may be given several times. Without any, all of them.
    #[arg(long, value_name = "LANGUAGE")]
    pub(crate) language: Vec<String>,
    /// Note in the folder's takes.json which text each new take was recorded for.
    #[arg(long)]
    pub(crate) note: bool,
    /// Note that the take in use still fits the text of now; may be given several times.
    #[arg(long, value_name = "NARRATION/LANGUAGE")]
    pub(crate) accept: Vec<String>,
    #[command(flatten)]
    pub(crate) cache: CacheArgs,
    /// How the takes are printed.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: TextFormat,
}

/// `fulmar script`.
#[derive(Debug, clap::Args)]
pub(crate) struct ScriptArgs {
    /// The tour.
    #[arg(value_name = "TOUR")]
    pub(crate) tour: PathBuf,
    /// Write to this file; its ending says in which form: .html to be printed, .csv or .xlsx to be
    /// edited and taken back with `fulmar texts`.
    #[arg(long, short, value_name = "FILE")]
    pub(crate) output: PathBuf,
    /// The form, where the ending does not say it.
    #[arg(long, value_name = "FORMAT")]
    pub(crate) format: Option<ScriptFormat>,
    #[command(flatten)]
    pub(crate) today: TodayArgs,
}

/// The form of a script.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum ScriptFormat {
    /// A page that prints on A4.
    Html,
    /// Comma separated values in UTF-8, for any spreadsheet program.
    Csv,
    /// A workbook.
    Xlsx,
}

/// `fulmar texts`.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
    Texts and notes on pronunciation are taken, and nothing else. While there is an error nothing is\n\
    written.\n\
    Exit codes: 0 nothing to change, or all of it written; 1 something would be changed, or an error\n\
    or a warning was told; 2 could not run.")]
pub(crate) struct TextsArgs {
    /// The tour.
    #[arg(value_name = "TOUR")]
    pub(crate) tour: PathBuf,
    /// The sheet that `fulmar script` wrote and somebody has edited, as .csv or .xlsx.
    #[arg(value_name = "SHEET")]
    pub(crate) sheet: PathBuf,
    /// Write what was changed into the files of the tour. Comments and layout stay as they are.
    #[arg(long)]
    pub(crate) write: bool,
    /// Show what --write would change in the files, as a unified diff, and write nothing.
    #[arg(long, conflicts_with = "write")]
    pub(crate) diff: bool,
    /// How what the sheet changes is printed.
    #[arg(long, value_name = "FORMAT", default_value = "text", conflicts_with = "diff")]
    pub(crate) format: TextFormat,
}

/// Where what was measured is kept, so that it is not measured again.
#[derive(Debug, clap::Args)]
pub(crate) struct CacheArgs {
    /// Keep what was measured in this folder and not in the user's cache.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) cache: Option<PathBuf>,
    /// Measure everything anew and keep nothing.
    #[arg(long, conflicts_with = "cache")]
    pub(crate) no_cache: bool,
}

/// `fulmar compare`.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
    Both planned routes are flown. First comes what differs on the flight, then what was changed in\n\
    the plan.\n\
    Exit codes: 0 nothing differs, 1 something differs, 2 could not compare.")]
pub(crate) struct CompareArgs {
    /// The older tour, or a compiled plan.
    #[arg(value_name = "OLD")]
    pub(crate) old: PathBuf,
    /// The newer tour, or a compiled plan.
    #[arg(value_name = "NEW")]
    pub(crate) new: PathBuf,
    /// How the comparison is printed.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: TextFormat,
    #[command(flatten)]
    pub(crate) sides: SidesArgs,
}

/// `fulmar explain`.
#[derive(Debug, clap::Args)]
pub(crate) struct ExplainArgs {
    /// The name of the finding, such as `unknown-key`; without one, all names are listed.
    #[arg(value_name = "NAME")]
    pub(crate) name: Option<String>,
}

/// `fulmar schema`.
#[derive(Debug, clap::Args)]
pub(crate) struct SchemaArgs {
    /// Which kind of file.
    #[arg(value_name = "KIND")]
    pub(crate) kind: SchemaKind,
}

/// The kinds of authored files.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum SchemaKind {
    /// A tour.
    Tour,
    /// An aircraft.
    Aircraft,
    /// A library of sights, zones and so on.
    Library,
    /// A file that says what differs today.
    Today,
}

/// `fulmar completions`.
#[derive(Debug, clap::Args)]
pub(crate) struct CompletionsArgs {
    /// Which shell.
    #[arg(value_name = "SHELL")]
    pub(crate) shell: clap_complete::Shell,
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use clap::CommandFactory;

    use super::*;

    #[test]
    fn the_arguments_are_sound() {
        Args::command().debug_assert();
    }

    #[test]
    fn the_help_puts_below_what_differs_today_nothing_else() {
        let today = [
            "today",
            "aircraft",
            "variant",
            "language",
            "altitude",
            "not_above",
            "departure",
            "wind",
            "out_of_service",
            "not_allowed",
        ];
        for command in Args::command().get_subcommands() {
            for arg in command.get_arguments() {
                let heading = arg.get_help_heading() == Some("What differs today");
                let known = today.contains(&arg.get_id().as_str());
                assert!(known || !heading, "{} {}", command.get_name(), arg.get_id());
            }
        }
    }

    #[test]
    fn a_flight_is_a_file_or_the_planned_one_and_never_both() {
        assert!(Args::try_parse_from(["fulmar", "simulate", "t.yaml", "--planned"]).is_ok());
        let both = ["fulmar", "simulate", "t.yaml", "f.gpx", "--planned"];
        assert!(Args::try_parse_from(both).is_err());
    }

    #[test]
    fn a_moment_before_take_off_is_no_option() {
        let words = ["fulmar", "why", "t.yaml", "f.gpx", "--at", "T-00:20", "--channel", "camera"];
        let Command::Why(why) = Args::try_parse_from(words).unwrap().command else {
            panic!("not why");
        };
        assert_eq!(why.at, Moment::SinceTakeoff(earth::Millis(-20_000)));
    }
}
