//! Prints what speed and memory cost, side by side, from one run on one core:
//!
//! ```text
//! cargo run --release --example speed            # everything but the 1 GB file
//! cargo run --release --example speed -- engine  # the engine alone
//! cargo run --release --example speed -- memory  # the peak of memory over a 1 GB file
//! cargo build --release && cargo run --release --example speed -- check  # checking the demo
//! cargo build --release && cargo run --release --example speed -- grid   # a season's grid
//! cargo build --release && cargo run --release --example speed -- card   # the pilot's card
//! ```
//!
//! The flight is invented: a loop of 80 km, half an hour long, flown over and over at one fix a second. Thirty zones, one
//! rule for each, lie along it, and any more beside it. No zone is left out of the figures, and every state is counted.

#![allow(clippy::print_stdout, reason = "printing is what this program is for")]

use std::io::{BufReader, Read, Write};
use std::time::{Duration, Instant};

use earth::{Degrees, DegreesTrue, Fix, Metres, Millis, Position, Utc, geodesic};
use engine::{Change, Engine, Limits, Notice, Sink, State};
use plan::{
    Aircraft, Approval, Camera, CameraEffect, CameraId, CameraTurn, Condition, Day, Lens, Mix,
    Narration, NarrationEffect, NarrationId, Otherwise, Place, PlaceId, PlaceKind, Plan,
    PlannedRoute, RecordEffect, Recorder, Rule, Settings, Shape, Source, Test, Voice, Window, Zone,
    ZoneId,
};

type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

/// Metres round the loop.
const LOOP: f64 = 80_000.0;
const FIXES: u64 = 1_000_000;
const SOURCE: Source = Source { file: 0, line: 1, column: 1 };

fn main() -> Outcome<()> {
    match std::env::args().nth(1).as_deref() {
        Some("memory") => return memory(),
        Some("check") => return check(),
        Some("grid") => return grid(),
        Some("card") => return card(),
        Some("engine") => return engine_alone(&(0..FIXES).map(fix).collect::<Vec<Fix>>()),
        Some(other) => return Err(format!("there is no part '{other}'").into()),
        None => {}
    }
    let path = std::env::temp_dir().join(format!("fulmar-speed-{}.gpx", std::process::id()));
    let outcome = measure(&path);
    let _ = std::fs::remove_file(&path);
    outcome
}

fn measure(path: &std::path::Path) -> Outcome<()> {
    let mut file = std::io::BufWriter::new(std::fs::File::create(path)?);
    std::io::copy(&mut Recording::of(FIXES), &mut file)?;
    file.flush()?;
    drop(file);
    let bytes = std::fs::metadata(path)?.len();
    println!(
        "file to state: {FIXES} fixes, {} MB, 30 zones and 30 rules, one core",
        bytes / 1_000_000
    );
    let scan = best(|| scan(path))?;
    let states = best(|| fly_file(path, &loop_plan(30)))?;
    let general = best(|| general_crate(path))?;
    show("bare quick-xml scan", scan, scan);
    show("file to every state", states, scan);
    show("gpx crate, reading only", general, scan);
    println!(
        "file to state is {:.2} times the scan (bar: at most 4) and {:.1} times faster than the gpx crate reads (bar: at least 8)",
        ratio(states, scan),
        ratio(general, states)
    );

    println!();
    engine_alone(&(0..FIXES).map(fix).collect::<Vec<Fix>>())
}

fn engine_alone(fixes: &[Fix]) -> Outcome<()> {
    println!("engine alone, {FIXES} fixes in memory");
    for (zones, bar) in [(30, 200.0), (300, 400.0), (3_000, 400.0), (10_000, 400.0)] {
        let plan = loop_plan(zones);
        let took = best(|| fly(&plan, fixes))?;
        println!(
            "{zones:>7} zones and rules {:8.1} ns a fix (bar: at most {bar})",
            took.as_secs_f64() * 1e9 / as_float(FIXES)
        );
    }
    Ok(())
}

/// Flies a recording of 1 GB that is made as it is read, and tells the peak of memory.
fn memory() -> Outcome<()> {
    let fixes = 10_500_000;
    let mut counted = Counted { inner: Recording::of(fixes), bytes: 0 };
    let started = Instant::now();
    let states = fly_gpx(&mut counted, &loop_plan(30))?;
    println!(
        "{} MB, {states} states, {:.1} s; peak of memory {} MB (bar: under 64)",
        counted.bytes / 1_000_000,
        started.elapsed().as_secs_f64(),
        peak_of_memory()?
    );
    Ok(())
}

/// Checks both demo tours, each time as a process of its own.
fn check() -> Outcome<()> {
    let tours = ["check", "routes/tours/west-coast.yaml", "routes/tours/eastern-isles.yaml"];
    let median = median_of_processes(&tours)?;
    println!(
        "checking both demo tours: {:.1} ms, the median of 21 (bar: under 30)",
        median.as_secs_f64() * 1e3
    );
    Ok(())
}

/// The pilot's card of a demo tour on a day of low cloud, in both forms, each time as a process of
/// its own.
fn card() -> Outcome<()> {
    for form in ["pdf", "html"] {
        let name = format!("fulmar-card-{}.{form}", std::process::id());
        let path = std::env::temp_dir().join(name);
        let output = path.to_string_lossy();
        let day = ["--today", "routes/days/low-cloud.yaml", "--output", &output];
        let args = [["briefing", "routes/tours/west-coast.yaml"].as_slice(), &day].concat();
        let median = median_of_processes(&args);
        let _ = std::fs::remove_file(&path);
        println!(
            "the pilot's card as {form}: {:.0} ms, the median of 21 (bar: under 1000)",
            median?.as_secs_f64() * 1e3
        );
    }
    Ok(())
}

/// The grid of a made-up season: 10 tours on 3 aircraft in 2 directions and 3 languages, each time
/// as a process of its own. The tours are the demo's, five times over.
fn grid() -> Outcome<()> {
    let folder = std::env::temp_dir().join(format!("fulmar-season-{}", std::process::id()));
    let outcome = season(&folder).and_then(|cells| {
        let path = folder.to_string_lossy().into_owned();
        let aircraft =
            ["dunlin", "whimbrel", "third"].map(|name| format!("{path}/aircraft/{name}.yaml"));
        let mut args = vec!["grid", &path, "--variant", "as-written", "--variant", "reversed"];
        args.extend(aircraft.iter().flat_map(|path| ["--aircraft", path.as_str()]));
        let median = median_of_processes(&args)?;
        println!(
            "grid of {cells} cells: {:.0} ms, the median of 21 (bar: under 1000)",
            median.as_secs_f64() * 1e3
        );
        Ok(())
    });
    let _ = std::fs::remove_dir_all(&folder);
    outcome
}

/// Writes the season, and says how many cells it has.
fn season(folder: &std::path::Path) -> Outcome<u32> {
    for part in ["tours", "library", "aircraft"] {
        let to = folder.join(part);
        std::fs::create_dir_all(&to)?;
        for file in std::fs::read_dir(std::path::Path::new("routes").join(part))? {
            let file = file?;
            std::fs::copy(file.path(), to.join(file.file_name()))?;
        }
    }
    let dunlin = std::fs::read_to_string(folder.join("aircraft/dunlin.yaml"))?;
    let third = dunlin.replace("aircraft: Dunlin 6", "aircraft: Third");
    std::fs::write(folder.join("aircraft/third.yaml"), third)?;
    for name in ["west-coast", "eastern-isles"] {
        let path = folder.join(format!("tours/{name}.yaml"));
        let mut text = std::fs::read_to_string(&path)?;
        std::fs::remove_file(&path)?;
        if !text.contains("\n  reversed:") {
            text = text.replace("\nvariants:\n", "\nvariants:\n  reversed: {reversed: true}\n");
        }
        let third = "other languages:\n  nn: {fallback: en}\n";
        text = if text.contains("\nother languages:\n") {
            text.replace("other languages:\n", third)
        } else {
            text.replace(
                "\nlanguage: en\n",
                &format!("\nlanguage: en\n{third}  de: {{fallback: en}}\n"),
            )
        };
        for number in 1..=5 {
            std::fs::write(folder.join(format!("tours/{name}-{number}.yaml")), &text)?;
        }
    }
    Ok(10 * 3 * 2 * 3)
}

/// Runs the program 21 times and gives the median of the times from start to end.
fn median_of_processes(args: &[&str]) -> Outcome<Duration> {
    let here = std::env::current_exe()?;
    let program = here.ancestors().nth(2).ok_or("no folder above")?.join("fulmar");
    let mut took = Vec::new();
    for _ in 0..21 {
        let started = Instant::now();
        let status = std::process::Command::new(&program)
            .args(args)
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .status()
            .map_err(|error| {
                format!("{}: {error}; cargo build --release first", program.display())
            })?;
        took.push(started.elapsed());
        if status.code() == Some(2) {
            return Err(format!("fulmar {} could not be run", args.join(" ")).into());
        }
    }
    took.sort();
    Ok(took.get(took.len() / 2).copied().unwrap_or_default())
}

fn peak_of_memory() -> Outcome<u64> {
    let status = std::fs::read_to_string("/proc/self/status")?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:")).ok_or("no VmHWM line")?;
    let kilobytes: u64 = line.split_whitespace().nth(1).ok_or("no figure")?.parse()?;
    Ok(kilobytes / 1000)
}

#[derive(Default)]
struct Count {
    states: u64,
    changes: u64,
}

impl Sink for Count {
    fn change(&mut self, _: &Change) {
        self.changes += 1;
    }
    fn state(&mut self, _: &State<'_>) {
        self.states += 1;
    }
    fn notice(&mut self, _: &Notice) {}
}

fn fly(plan: &Plan, fixes: &[Fix]) -> Outcome<()> {
    let mut count = Count::default();
    let mut engine = Engine::new(plan, &Day::default(), Limits::of(&plan.settings))?;
    for fix in fixes {
        engine.fix(fix, &mut count);
    }
    engine.finish(&mut count);
    if count.states == u64::try_from(fixes.len())? { Ok(()) } else { Err("a fix was lost".into()) }
}

fn fly_file(path: &std::path::Path, plan: &Plan) -> Outcome<()> {
    let states = fly_gpx(std::fs::File::open(path)?, plan)?;
    if states == FIXES { Ok(()) } else { Err("a fix was lost".into()) }
}

fn fly_gpx(file: impl Read, plan: &Plan) -> Outcome<u64> {
    let mut count = Count::default();
    let mut engine = Engine::new(plan, &Day::default(), Limits::of(&plan.settings))?;
    let mut reader = track::GpxReader::new(file, "loop.gpx", track::Options::default());
    while let Some(fix) = reader.next_fix() {
        engine.fix(&fix, &mut count);
    }
    engine.finish(&mut count);
    Ok(count.states)
}

fn scan(path: &std::path::Path) -> Outcome<()> {
    let file = BufReader::with_capacity(1 << 16, std::fs::File::open(path)?);
    let mut reader = quick_xml::Reader::from_reader(file);
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        if let quick_xml::events::Event::Eof = reader.read_event_into(&mut buffer)? {
            return Ok(());
        }
    }
}

fn general_crate(path: &std::path::Path) -> Outcome<()> {
    let gpx = gpx::read(BufReader::new(std::fs::File::open(path)?))?;
    let points: usize =
        gpx.tracks.iter().flat_map(|track| &track.segments).map(|s| s.points.len()).sum();
    if u64::try_from(points)? == FIXES { Ok(()) } else { Err("a point was lost".into()) }
}

/// The best of three.
fn best(mut run: impl FnMut() -> Outcome<()>) -> Outcome<Duration> {
    let mut best = Duration::MAX;
    for _ in 0..3 {
        let started = Instant::now();
        run()?;
        best = best.min(started.elapsed());
    }
    Ok(best)
}

fn ratio(one: Duration, other: Duration) -> f64 {
    one.as_secs_f64() / other.as_secs_f64()
}

fn show(name: &str, took: Duration, scan: Duration) {
    println!("{name:>24} {:8.3} s {:6.2} × scan", took.as_secs_f64(), ratio(took, scan));
}

#[expect(clippy::cast_precision_loss, reason = "counts well below 2^53")]
fn as_float(count: u64) -> f64 {
    count as f64
}

/// The place so many metres round the loop: a circle of 80 km in mid-ocean, a little uneven.
fn along_the_loop(metres: f64) -> Position {
    let turn = metres / LOOP * std::f64::consts::TAU;
    let radius = LOOP / std::f64::consts::TAU * (1.0 + 0.05 * libm::sin(5.0 * turn));
    Position::of(
        -40.0 + radius * libm::cos(turn) / 111_000.0,
        -20.0 + radius * libm::sin(turn) / 85_000.0,
    )
}

/// A place of a grid of 100 by 100 about a kilometre apart, moved outwards where the loop would
/// come within its zone: the loop crosses the same thirty zones however many there are.
fn beside_the_loop(row: f64, column: f64) -> Position {
    let (north, east) = ((row - 50.0) * 1000.0, (column - 50.0) * 1000.0);
    let out = libm::hypot(north, east);
    let on_the_loop = (out * std::f64::consts::TAU / LOOP - 1.0).abs() < 0.1;
    let far = if on_the_loop { 1.0 + 8000.0 / out } else { 1.0 };
    Position::of(-40.0 + far * north / 111_000.0, -20.0 + far * east / 85_000.0)
}

fn fix(number: u64) -> Fix {
    let position = along_the_loop(as_float(number) * 50.0 % LOOP);
    Fix {
        altitude: Some(Metres::of(300.0 + 40.0 * libm::sin(as_float(number) / 50.0))),
        ..Fix::at(Utc(1_780_000_000_000 + i64::try_from(number).unwrap_or(0) * 1000), position)
    }
}

/// A plan with so many zones: the first thirty round the loop, the others beside it.
fn loop_plan(zones: u32) -> Plan {
    let place = Place {
        name: "PAD".into(),
        title: "Pad".into(),
        kind: PlaceKind::Waypoint,
        position: along_the_loop(0.0),
        elevation: Some(Metres::ZERO),
        height: None,
        wanted: None,
    };
    let cameras = [("left", 270.0), ("right", 90.0), ("nose", 0.0)];
    Plan {
        title: "Loop".into(),
        revision: 1,
        approval: Approval::Draft,
        languages: vec!["en".into()],
        mix: Mix::default(),
        light: plan::Light::default(),
        differences: Vec::new(),
        sources: vec!["loop.yaml".into()],
        settings: Settings::default(),
        wind: None,
        aircraft: Aircraft {
            name: "Tern".into(),
            registration: None,
            heading_source: false,
            cameras: cameras.map(|(name, bearing)| camera(name, bearing)).into(),
            recorder: Recorder { streams: 1, bits_per_second: 25_000_000, card_bytes: None },
        },
        places: vec![place],
        landing_sites: Vec::new(),
        route: PlannedRoute {
            departure: Utc(0),
            utc_offset: earth::Millis(0),
            departures: Vec::new(),
            home: PlaceId(0),
            legs: Vec::new(),
        },
        zones: (0..zones).map(zone).collect(),
        rules: (0..zones).map(rule).collect(),
        narrations: (0..zones).map(narration).collect(),
        music: Vec::new(),
        titles: Vec::new(),
    }
}

fn camera(name: &str, bearing: f64) -> Camera {
    Camera {
        name: name.into(),
        input: 1,
        bearing: Degrees::of(bearing),
        depression: Degrees::of(15.0),
        width: Degrees::of(90.0),
        height: None,
        lens: Lens::Rectilinear,
        cabin: false,
        hidden: Vec::new(),
    }
}

fn zone(number: u32) -> Zone {
    let middle = if number < 30 {
        along_the_loop(f64::from(number) * LOOP / 30.0)
    } else {
        beside_the_loop(f64::from(number / 100), f64::from(number % 100))
    };
    let radius = if number < 30 { 500.0 } else { 300.0 };
    let corner =
        |bearing: f64| geodesic::direct(middle, DegreesTrue::of(bearing), Metres::of(radius)).0;
    let shape = match number % 4 {
        0 => Shape::Circle { centre: middle, radius: Metres::of(radius) },
        1 => Shape::Polygon {
            outer: [10.0, 80.0, 170.0, 200.0, 300.0].map(corner).into(),
            holes: Vec::new(),
        },
        2 => Shape::Corridor {
            line: [40.0, 130.0, 240.0].map(corner).into(),
            half_width: Metres::of(radius * 0.5),
        },
        _ => Shape::Sector {
            centre: middle,
            radius: Metres::of(radius),
            from: Degrees::of(300.0),
            to: Degrees::of(160.0),
        },
    };
    Zone {
        name: format!("zone-{number}"),
        shape,
        band: None,
        margin: Metres::of(50.0),
        quiet: false,
        no_filming: None,
        source: SOURCE,
    }
}

fn rule(number: u32) -> Rule {
    let condition =
        |test, written: &str| Condition { test, written: written.into(), source: SOURCE };
    let window =
        Window { from: Degrees::of(0.0), to: Degrees::of(300.0), north: plan::North::True };
    Rule {
        name: format!("rule-{number}"),
        source: SOURCE,
        priority: 0,
        conditions: vec![
            condition(Test::In(ZoneId(number)), "in: zone"),
            condition(Test::Track(window), "track: 000..300"),
        ],
        camera: Some(CameraEffect::Sequence(vec![CameraTurn {
            camera: CameraId(number % 3),
            lasts: None,
        }])),
        record: Some(RecordEffect { on: true, post_roll: Millis(5000), on_ground: false }),
        narration: Some(NarrationEffect {
            narration: NarrationId(number),
            otherwise: Otherwise::Wait,
            waits: None,
            room: None,
        }),
        music: None,
        title: None,
        stills: Vec::new(),
    }
}

fn narration(number: u32) -> Narration {
    let voice = Voice::unrecorded("en", "Invented.", Millis(15_000));
    let name = format!("story-{number}");
    Narration { again: true, ..Narration::new(&name, vec![voice], SOURCE) }
}

/// A GPX file that is made as it is read.
struct Recording {
    next: u64,
    count: u64,
    text: Vec<u8>,
    given: usize,
}

impl Recording {
    fn of(count: u64) -> Self {
        let text = b"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"speed\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>\n".to_vec();
        Self { next: 0, count, text, given: 0 }
    }

    fn make_more(&mut self) -> std::io::Result<()> {
        self.text.clear();
        self.given = 0;
        while self.next < self.count && self.text.len() < 60_000 {
            let fix = fix(self.next);
            let time =
                jiff::Timestamp::from_millisecond(fix.time.0).map_err(std::io::Error::other)?;
            let (lat, lon) = (fix.position.lat(), fix.position.lon());
            let altitude = fix.altitude.map_or(0.0, Metres::get);
            writeln!(
                self.text,
                "<trkpt lat=\"{lat:.7}\" lon=\"{lon:.7}\"><ele>{altitude:.1}</ele><time>{time}</time></trkpt>"
            )?;
            self.next += 1;
            if self.next == self.count {
                writeln!(self.text, "</trkseg></trk></gpx>")?;
            }
        }
        Ok(())
    }
}

impl Read for Recording {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        if self.given == self.text.len() {
            self.make_more()?;
        }
        let left = self.text.get(self.given..).unwrap_or_default();
        let count = left.len().min(into.len());
        for (to, from) in into.iter_mut().zip(left.iter().take(count)) {
            *to = *from;
        }
        self.given += count;
        Ok(count)
    }
}

struct Counted<R> {
    inner: R,
    bytes: u64,
}

impl<R: Read> Read for Counted<R> {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        let count = self.inner.read(into)?;
        self.bytes += u64::try_from(count).unwrap_or(0);
        Ok(count)
    }
}
