//! Makes the demo flights: the tours of the demo operator as receivers might have recorded them.
//!
//! ```text
//! cargo run --example flights              # writes examples/flights/
//! cargo run --example flights -- FOLDER    # writes FOLDER
//! ```
//!
//! All of it is invented. Each flight begins as the planned route, flown as planned at one fix a
//! second, and is then made worse in one way that real flights are worse; what that is stands in
//! the name of its track. Positions are kept to 1e-7 degree and altitudes to 0.1 m, as receivers
//! give them. The same plan gives the same bytes on every machine, and a test compares them with
//! the files.
//!
//! | flight | what happens on it |
//! | --- | --- |
//! | `west-coast-planned` | nothing: the tour as planned |
//! | `west-coast-wind` | the wind is nearly twice the planned one and from the north-west; the pilot strays up to 280 m from the line; the receiver is noisy |
//! | `west-coast-dropout` | GPS is lost twice: 9 s between two fixes, which is bridged, and 46 s, which is a gap in which Pell Falls is passed |
//! | `west-coast-off-course` | fog on the coast: both ways the aircraft goes round it, up to 2 NM out to sea, and misses Tinker's Arch, Orrick Light and Long Strand |
//! | `west-coast-day` | three tours on one power-up, four minutes on the ground between them |
//! | `eastern-isles-planned` | nothing: the tour as planned |
//! | `eastern-isles-reversed` | the loop anticlockwise |
//!
//! The hand files beside them are written by hand: `west-coast-hand.csv` belongs to
//! `west-coast-planned`, `eastern-isles-radio.csv` to `eastern-isles-planned`.

#![allow(clippy::print_stdout, reason = "a program that says what it writes")]

use std::collections::BTreeMap;
use std::io::{Cursor, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use diagnostic::Place;
use earth::{DegreesTrue, Fix, Metres, MetresPerSecond, Millis, Position, Utc, geodesic};
use route::model::{Recorded, Recordings};
use route::world::{World, WorldError, join};
use route::{Choice, Project, Said};
use sound::Digest;
use track::synthetic;

/// A file of this program: its name and what is in it.
#[derive(Debug)]
pub(crate) struct Made {
    /// Name below `examples/flights/`.
    pub(crate) name: &'static str,
    /// The GPX text, not compressed even where the name ends in `.gz`.
    pub(crate) gpx: Vec<u8>,
}

/// Why the flights could not be made.
pub(crate) type Failure = Box<dyn std::error::Error>;

const SECOND: Millis = Millis::from_secs(1);

/// Makes the plan of a tour below `routes`, for the aircraft that it names or for another, told in
/// its own language or in another.
///
/// # Errors
/// What is wrong with the tour.
pub(crate) fn compiled(
    routes: &Path,
    tour: &str,
    aircraft: Option<&str>,
    language: Option<&str>,
) -> Result<plan::Plan, Failure> {
    let disk = Disk(routes.to_owned());
    let (project, mut findings) = route::read(&disk, tour, aircraft);
    let plan = project.and_then(|mut project| {
        project.recordings = Some(recordings(&disk, &project));
        let language =
            language.map(|name| Said { value: vec![name.to_owned()], place: Place::whole(tour) });
        let choice = Choice { languages: language, ..Choice::default() };
        let chosen =
            route::choose(&project, &choice).map_err(|found| findings.extend(found)).ok()?;
        let (plan, found) = compiler::compile(&chosen);
        findings.extend(found);
        plan
    });
    if let Some(finding) = findings.first() {
        let place = &finding.place;
        return Err(format!("{}:{}: {}", place.file, place.line, finding.headline).into());
    }
    plan.ok_or_else(|| "there is no plan".into())
}

struct Disk(PathBuf);

impl World for Disk {
    fn resolve(&self, from: &str, named: &str) -> Result<String, WorldError> {
        join(from, named)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, WorldError> {
        std::fs::read(self.0.join(path)).map_err(|error| WorldError(error.to_string()))
    }
}

/// What the recordings that a project names measure. Each file is measured once, however many plans
/// are made.
fn recordings(disk: &Disk, project: &Project) -> Recordings {
    static KNOWN: Mutex<BTreeMap<PathBuf, Recorded>> = Mutex::new(BTreeMap::new());
    let mut known = KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    let mut all = Recordings::new();
    for path in project.audio_paths() {
        let file = disk.0.join(path);
        if !known.contains_key(&file) {
            let Some(recorded) = disk.read(path).ok().and_then(measured) else { continue };
            known.insert(file.clone(), recorded);
        }
        all.extend(known.get(&file).map(|recorded| (path.to_owned(), recorded.clone())));
    }
    all
}

/// What a recording measures; none for one that cannot be used.
fn measured(bytes: Vec<u8>) -> Option<Recorded> {
    let content = Digest::of(Cursor::new(&bytes)).ok()?.to_string();
    let measured = sound::measure(Cursor::new(bytes)).ok()?;
    Some(Recorded {
        content,
        length: measured.length(),
        head: measured.head,
        tail: measured.tail,
        loudness: measured.loudness,
        true_peak: measured.true_peak,
        clipped: measured.clipped,
        channels: measured.channels,
    })
}

/// Moves the fixes to the side, in one direction: not at all at the first time, all the way from
/// the second to the third, and not at all any more at the fourth.
fn push_aside(fixes: &mut [Fix], direction: DegreesTrue, distance: Metres, times: [Utc; 4]) {
    let [begin, there, leave, end] = times;
    let part = |since: Millis, of: Millis| (since.get() / of.get()).clamp(0.0, 1.0);
    for fix in fixes {
        let out = part(fix.time - begin, there - begin);
        let back = part(fix.time - leave, end - leave);
        let moved = distance * (smooth(out) - smooth(back));
        (fix.position, _) = geodesic::direct(fix.position, direction, moved);
        fix.groundspeed = None;
        fix.track = None;
    }
}

/// Strays from the line as pilots do who fly by eye, but not near the field: not in the first and
/// the last minute, and only little by little in the two minutes beside those.
fn stray(fixes: &mut [Fix], most: Metres, seed: u64) {
    let (Some(first), Some(last)) = (fixes.first().copied(), fixes.last().copied()) else { return };
    let (minute, two) = (Millis::from_secs(60), Millis::from_secs(120).get());
    let line: Vec<Position> = fixes.iter().map(|fix| fix.position).collect();
    synthetic::wander(fixes, most, Millis::from_secs(50), seed);
    for (fix, line) in fixes.iter_mut().zip(line) {
        let since = (fix.time - first.time - minute).get() / two;
        let left = (last.time - fix.time - minute).get() / two;
        let part = smooth(since.min(left).clamp(0.0, 1.0));
        let away = geodesic::inverse(line, fix.position);
        (fix.position, _) = geodesic::direct(line, away.azimuth_start, away.distance * part);
    }
}

/// From 0 to 1 without a jerk at either end.
fn smooth(part: f64) -> f64 {
    part * part * (3.0 - 2.0 * part)
}

/// One flight after another on one power-up, with so long on the ground between them.
fn one_after_another(flight: &[Fix], times: u32, on_the_ground: Millis) -> Vec<Fix> {
    let (Some(first), Some(last)) = (flight.first(), flight.last()) else { return Vec::new() };
    let mut day = Vec::new();
    for number in 0..i64::from(times) {
        let every = last.time - first.time + on_the_ground;
        let mut next = flight.to_vec();
        synthetic::shift(&mut next, every * number);
        if let (Some(parked), Some(ready)) = (day.last().copied(), next.first()) {
            let mut parked: Fix = parked;
            while parked.time + SECOND < ready.time {
                parked.time = parked.time + SECOND;
                day.push(parked);
            }
        }
        day.append(&mut next);
    }
    day
}

/// As a receiver gives it: 1e-7 degree, 0.1 m.
fn as_received(mut fixes: Vec<Fix>) -> Vec<Fix> {
    let on_grid = |value: f64, steps: f64| (value * steps).round() / steps;
    for fix in &mut fixes {
        fix.position =
            Position::of(on_grid(fix.position.lat(), 1e7), on_grid(fix.position.lon(), 1e7));
        fix.altitude = fix.altitude.map(|altitude| Metres::of(on_grid(altitude.get(), 10.0)));
    }
    fixes
}

fn made(name: &'static str, about: &str, fixes: Vec<Fix>) -> Result<Made, Failure> {
    let mut gpx = Vec::new();
    track::write_gpx(&mut gpx, &format!("{about} (invented)"), [as_received(fixes)])?;
    Ok(Made { name, gpx })
}

/// All flights, from the plans of the two tours.
///
/// # Errors
/// If a plan cannot be flown or a flight cannot be written.
pub(crate) fn all(
    west_coast: &plan::Plan,
    eastern_isles: &plan::Plan,
) -> Result<Vec<Made>, Failure> {
    let coast = compiler::fly(west_coast, SECOND)?.fixes;
    let loop_flight = compiler::fly(eastern_isles, SECOND)?.fixes;
    let lift_off = west_coast.route.departure;
    let at = |minutes: i64, seconds: i64| lift_off + Millis::from_secs(minutes * 60 + seconds);

    let north_westerly =
        plan::Wind { from: DegreesTrue::of(300.0), speed: MetresPerSecond::from_knots(22.0) };
    let mut wind = compiler::fly_in(west_coast, SECOND, Some(north_westerly))?.fixes;
    stray(&mut wind, Metres::of(280.0), 7);
    synthetic::receiver_noise(&mut wind, Metres::of(0.6), 8);

    let mut dropout = coast.clone();
    synthetic::drop_out(&mut dropout, at(3, 40), at(3, 48));
    synthetic::drop_out(&mut dropout, at(9, 30), at(10, 15));

    let mut off_course = coast.clone();
    let out_to_sea = DegreesTrue::of(270.0);
    let way_out = [at(2, 20), at(3, 50), at(4, 50), at(8, 0)];
    let way_back = [at(19, 10), at(20, 40), at(22, 40), at(24, 40)];
    push_aside(&mut off_course, out_to_sea, Metres::from_nautical_miles(2.0), way_out);
    push_aside(&mut off_course, out_to_sea, Metres::from_nautical_miles(1.8), way_back);

    let mut reversed = loop_flight.clone();
    synthetic::reverse(&mut reversed);

    let day = one_after_another(&coast, 3, Millis::from_secs(240));

    Ok(vec![
        made("west-coast-planned.gpx", "West coast as planned", coast)?,
        made("west-coast-wind.gpx", "West coast in a fresh north-westerly", wind)?,
        made("west-coast-dropout.gpx", "West coast with GPS lost twice", dropout)?,
        made("west-coast-off-course.gpx", "West coast, round a bank of fog", off_course)?,
        made("west-coast-day.gpx.gz", "West coast, three tours on one power-up", day)?,
        made("eastern-isles-planned.gpx", "Eastern isles as planned", loop_flight)?,
        made("eastern-isles-reversed.gpx", "Eastern isles anticlockwise", reversed)?,
    ])
}

fn main() -> Result<(), Failure> {
    let top = Path::new(env!("CARGO_MANIFEST_DIR"));
    let routes = top.join("routes");
    let folder =
        std::env::args_os().nth(1).map_or_else(|| top.join("examples/flights"), PathBuf::from);
    std::fs::create_dir_all(&folder)?;
    let west_coast = compiled(&routes, "tours/west-coast.yaml", None, None)?;
    let eastern_isles = compiled(&routes, "tours/eastern-isles.yaml", None, None)?;
    for made in all(&west_coast, &eastern_isles)? {
        let bytes = if made.name.ends_with(".gz") { compressed(&made.gpx)? } else { made.gpx };
        let path = folder.join(made.name);
        std::fs::write(&path, &bytes)?;
        println!("{} ({} kB)", path.display(), bytes.len() / 1000);
    }
    Ok(())
}

fn compressed(gpx: &[u8]) -> Result<Vec<u8>, Failure> {
    let mut gzip = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    gzip.write_all(gpx)?;
    Ok(gzip.finish()?)
}
