//! What `simulate` and `why` share: everything read and checked before a flight is flown, and the
//! flying.

use std::path::{Path, PathBuf};

use compiler::{PLANNED_EVERY, PlannedFlight};
use diagnostic::{Diagnostic, Place};
use earth::{Fix, Utc};
use engine::{Engine, Limits, Sink};
use indicatif::{ProgressBar, ProgressStyle};
use plan::{Day, Hand};
use route::Today;
use track::MadeTimes;

use crate::args::{FlightArgs, MessageFormat};
use crate::input::findings::Findings;
use crate::input::flight::{Flown, Go, Measure, Recording};
use crate::input::hand::{self, HandActions};
use crate::input::tour::{Load, Loaded, load};
use crate::input::world::Disk;
use crate::input::{day, file, today};
use crate::outcome::{Outcome, Stop};
use crate::output::files_of;
use crate::render::summary::Raised;
use crate::render::time::Length;
use crate::terminal::Terminal;

/// A recording of fewer bytes is flown too quickly for a progress bar.
const LONG: u64 = 20_000_000;

/// What is flown.
pub(super) enum Source<'a> {
    /// Files.
    Recorded(Recording<'a>, Measure),
    /// The planned route.
    Planned(Vec<Fix>),
}

/// Everything a flight needs, read and checked.
pub(super) struct Ready<'a> {
    /// The plan.
    pub(super) loaded: Loaded,
    /// The day.
    pub(super) day: Day,
    /// The day in words.
    pub(super) day_words: String,
    /// What is flown.
    pub(super) source: Source<'a>,
    /// The names of the files flown.
    pub(super) files: Vec<String>,
    /// When GPS is lost and what is bridged.
    pub(super) limits: Limits,
    /// Whether those were raised.
    pub(super) raised: Option<Raised>,
    /// How a command ends that has no more to tell than what was told already.
    pub(super) told: Outcome,
    hand: HandActions,
}

/// Reads and checks everything; what is found is told, and with an error among it the command ends.
///
/// # Errors
/// Where standard error cannot be written.
pub(super) fn prepare<'a>(
    args: &'a FlightArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Result<Ready<'a>, Outcome>, Stop> {
    let mut findings = Findings::default();
    if args.flights.is_empty() && !args.planned {
        findings.push(
            Diagnostic::error("no-flight", Place::whole("the command"), "no flight is given")
                .help("name the GPX files of a recorded flight, or give --planned"),
        );
        findings.tell(terminal, format)?;
        return Ok(Err(Outcome::CouldNotRun));
    }
    let Some(today) = today::read(&Disk::default(), &args.today, &mut findings) else {
        findings.tell(terminal, format)?;
        return Ok(Err(Outcome::CouldNotRun));
    };
    let loaded = match load(&args.tour, &today, &mut findings) {
        Load::Ready(loaded) => loaded,
        Load::Mistakes => {
            findings.tell(terminal, format)?;
            return Ok(Err(Outcome::Findings));
        }
        Load::Unusable => {
            findings.tell(terminal, format)?;
            return Ok(Err(Outcome::CouldNotRun));
        }
    };
    shorten(&mut findings, &args.tour, &today, format, terminal)?;
    let day = day::day(&today, &loaded.plan).unwrap_or_else(|found| {
        findings.extend(found);
        Day::default()
    });
    let hand = match &args.hand {
        Some(path) => hand::read(path, &loaded.plan, &mut findings),
        None => HandActions::default(),
    };
    let limits = Limits::of(&loaded.plan.settings);
    let (source, limits, raised) = if args.planned {
        let fixes = planned_flight(&loaded.plan, &day).map_or_else(
            |finding| {
                findings.push(*finding);
                Vec::new()
            },
            |flight| flight.fixes,
        );
        (Source::Planned(fixes), limits, None)
    } else {
        let recording = Recording::new(&args.flights, made_times(args, &mut findings));
        let measure = recording.measure().unwrap_or_else(|found| {
            findings.extend(found);
            Measure::default()
        });
        let (limits, raised) = raise(limits, &measure, &args.flights, &mut findings);
        (Source::Recorded(recording, measure), limits, raised)
    };
    let failed = findings.has_errors();
    let told = findings.tell(terminal, format)?;
    if failed {
        return Ok(Err(Outcome::CouldNotRun));
    }
    let files = args.flights.iter().map(|path| file::name(path)).collect();
    let day_words = day::words(&today);
    Ok(Ok(Ready { loaded: *loaded, day, day_words, source, files, limits, raised, told, hand }))
}

/// Warnings about a tour that can be flown are shown in full by `check`; here they would stand
/// before every answer, so their number is enough. They do not count for how the command ends.
pub(super) fn shorten(
    findings: &mut Findings,
    tour: &Path,
    today: &Today,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<(), Stop> {
    if findings.list.is_empty() {
        return Ok(());
    }
    if format == MessageFormat::Json {
        return findings.tell(terminal, format).map(|_| ());
    }
    let count = findings.count().words();
    findings.list.clear();
    let today = if today::differs(today) { " under the same conditions" } else { "" };
    let tour = file::name(tour);
    terminal.complain(&format!("{count} about the tour, which fulmar check {tour} shows{today}"));
    Ok(())
}

fn made_times(args: &FlightArgs, findings: &mut Findings) -> Option<MadeTimes> {
    let made = MadeTimes::at(args.groundspeed?);
    made.map_err(|error| {
        findings.push(
            Diagnostic::error(
                "groundspeed-unusable",
                Place::whole("--groundspeed"),
                error.to_string(),
            )
            .help("give a speed that an aircraft flies, such as 80kt"),
        );
    })
    .ok()
}

/// A recorded flight is measured before it is flown, and that is said first of all.
pub(super) fn raise(
    limits: Limits,
    measure: &Measure,
    flights: &[PathBuf],
    findings: &mut Findings,
) -> (Limits, Option<Raised>) {
    let Some(usual_interval) = measure.usual_interval else { return (limits, None) };
    let now = limits.raised_for(usual_interval);
    if now == limits {
        return (limits, None);
    }
    let name = flights.first().map_or_else(String::new, |path| file::name(path));
    findings.push(
        Diagnostic::note(
            "limits-raised",
            Place::whole(name),
            format!(
                "the recording has a fix every {} as a rule, so GPS counts as lost after {} and up \
                 to {} are bridged",
                Length(usual_interval),
                Length(now.lost_after),
                Length(now.bridge)
            ),
        )
        .help("record a fix a second to see what happens in flight"),
    );
    let Limits { lost_after, bridge } = now;
    (now, Some(Raised { usual_interval, lost_after, bridge }))
}

impl Ready<'_> {
    /// An engine for this plan and day.
    ///
    /// # Errors
    /// A plan that is not sound is refused; one that was read or compiled is sound.
    pub(super) fn engine(&self) -> Result<Engine, Stop> {
        Engine::new(&self.loaded.plan, &self.day, self.limits)
            .map_err(|error| Stop::Found(Box::new(cannot_be_flown(&error))))
    }

    /// Every file that is read for the flight: what is written may not lie over one of them.
    pub(super) fn read_files(&self, args: &FlightArgs) -> Vec<PathBuf> {
        let mut files = files_of(&args.tour, &self.loaded.plan);
        files.extend(args.flights.iter().chain(&args.hand).cloned());
        files.extend(args.today.files().map(Path::to_path_buf));
        files
    }

    /// The pilot's actions with their times.
    pub(super) fn hand(&self) -> Vec<(Utc, Hand)> {
        let first = match &self.source {
            Source::Recorded(_, measure) => measure.first,
            Source::Planned(fixes) => fixes.first().map(|fix| fix.time),
        };
        first.map_or_else(Vec::new, |first| self.hand.timed(first))
    }

    /// Hands out every fix until `each` says to stop, with a progress bar on a long recording if
    /// somebody watches.
    pub(super) fn fixes(&self, watched: bool, mut each: impl FnMut(&Fix) -> Go) -> Flown {
        match &self.source {
            Source::Planned(fixes) => {
                let mut flown = Flown::default();
                for fix in fixes {
                    flown.points += 1;
                    flown.fixes += 1;
                    if each(fix) == Go::Stop {
                        break;
                    }
                }
                flown
            }
            Source::Recorded(recording, measure) => {
                let bar = (watched && measure.bytes >= LONG).then(|| progress_bar(measure.bytes));
                let flown = recording.fly(each, |bytes| {
                    if let Some(bar) = &bar {
                        bar.set_position(bytes);
                    }
                });
                if let Some(bar) = bar {
                    bar.finish_and_clear();
                }
                flown
            }
        }
    }
}

fn progress_bar(bytes: u64) -> ProgressBar {
    // Draws on standard error.
    let bar = ProgressBar::new(bytes);
    if let Ok(style) =
        ProgressStyle::with_template("{bar:40} {percent:>3} %  {bytes}/{total_bytes}  {eta} left")
    {
        bar.set_style(style);
    }
    bar
}

/// Flies a list of fixes to the end.
pub(super) fn fly_all(engine: &mut Engine, fixes: &[Fix], sink: &mut impl Sink) {
    for fix in fixes {
        engine.fix(fix, sink);
    }
    engine.finish(sink);
}

/// The planned flight of a plan, in the wind of the day if one is said.
///
/// # Errors
/// A finding where that wind is too strong for the planned airspeeds.
pub(super) fn planned_flight(
    plan: &plan::Plan,
    day: &Day,
) -> Result<PlannedFlight, Box<Diagnostic>> {
    compiler::fly_in(plan, PLANNED_EVERY, day.wind)
        .map_err(|error| Box::new(cannot_be_flown(&error)))
}

/// Says why the planned route cannot be flown on this day.
pub(super) fn cannot_be_flown(error: &dyn std::error::Error) -> Diagnostic {
    Diagnostic::error(
        "planned-flight",
        Place::whole("the planned route"),
        format!("it cannot be flown: {error}"),
    )
    .help("give another wind for the day, or a higher airspeed in the tour")
}
