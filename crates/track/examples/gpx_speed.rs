//! Measures how fast GPX is read, against a bare scan of the same bytes for XML events and against
//! the general `gpx` crate, in one run on one core:
//!
//! ```text
//! cargo run --release -p fulmar-track --example gpx_speed [points]
//! ```
//!
//! A file of a million points (about 100 MB, invented) is written to the temporary directory and
//! removed at the end. Each figure is the best of three; each reader opens the file anew.

#![allow(clippy::print_stdout, reason = "printing is what this program is for")]

use std::fs::File;
use std::io::{BufReader, BufWriter, Write};
use std::path::Path;
use std::time::{Duration, Instant};

use quick_xml::events::Event;

type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

fn main() -> Outcome<()> {
    let points = match std::env::args().nth(1) {
        Some(text) => text.parse()?,
        None => 1_000_000,
    };
    let path = std::env::temp_dir().join(format!("fulmar-gpx-speed-{}.gpx", std::process::id()));
    write_flight(&path, points)?;
    let outcome = measure(&path, points);
    std::fs::remove_file(&path)?;
    outcome
}

fn measure(path: &Path, points: u64) -> Outcome<()> {
    let bytes = std::fs::metadata(path)?.len();
    println!("{points} points, {:.1} MB", megabytes(bytes));
    let scan = best(|| scan(path))?;
    show("bare scan", scan, bytes, scan);
    let ours = best(|| fixes(path, points))?;
    show("fulmar", ours, bytes, scan);
    let general = best(|| general_crate(path, points))?;
    show("gpx crate", general, bytes, scan);
    println!(
        "fulmar takes {:.2} times the bare scan; the gpx crate takes {:.1} times fulmar",
        ours.as_secs_f64() / scan.as_secs_f64(),
        general.as_secs_f64() / ours.as_secs_f64()
    );
    Ok(())
}

fn show(name: &str, took: Duration, bytes: u64, scan: Duration) {
    println!(
        "{name:10} {:8.3} s {:8.1} MB/s {:6.2} × scan",
        took.as_secs_f64(),
        megabytes(bytes) / took.as_secs_f64(),
        took.as_secs_f64() / scan.as_secs_f64()
    );
}

#[expect(clippy::cast_precision_loss, reason = "a figure to be read")]
fn megabytes(bytes: u64) -> f64 {
    bytes as f64 / 1e6
}

fn best(run: impl Fn() -> Outcome<()>) -> Outcome<Duration> {
    let mut best = Duration::MAX;
    for _ in 0..3 {
        let start = Instant::now();
        run()?;
        best = best.min(start.elapsed());
    }
    Ok(best)
}

/// Every event of the file, and nothing done with it.
fn scan(path: &Path) -> Outcome<()> {
    let mut reader =
        quick_xml::Reader::from_reader(BufReader::with_capacity(65_536, File::open(path)?));
    let mut buffer = Vec::new();
    let mut events = 0_u64;
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer)? {
            Event::Eof => break,
            event => {
                std::hint::black_box(&event);
                events += 1;
            }
        }
    }
    std::hint::black_box(events);
    Ok(())
}

fn fixes(path: &Path, points: u64) -> Outcome<()> {
    let mut reader =
        track::GpxReader::new(File::open(path)?, "flight.gpx", track::Options::default());
    while let Some(fix) = reader.next_fix() {
        std::hint::black_box(&fix);
    }
    let report = reader.report();
    if report.fixes == points && report.diagnostics.is_empty() {
        Ok(())
    } else {
        Err(format!("read {} of {points}: {:?}", report.fixes, report.diagnostics).into())
    }
}

fn general_crate(path: &Path, points: u64) -> Outcome<()> {
    let document = gpx::read(BufReader::with_capacity(65_536, File::open(path)?))?;
    let read: usize =
        document.tracks.iter().flat_map(|t| &t.segments).map(|s| s.points.len()).sum();
    if u64::try_from(read)? == points { Ok(()) } else { Err(format!("read {read}").into()) }
}

/// A flight of a fix a second about an invented place, with altitude.
fn write_flight(path: &Path, points: u64) -> Outcome<()> {
    let mut out = BufWriter::new(File::create(path)?);
    out.write_all(
        b"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"example\" \
          xmlns=\"http://www.topografix.com/GPX/1/1\">\n<trk><trkseg>\n",
    )?;
    for n in 0..points {
        let (lat, lon) = (60_000_000 + n * 37 % 999_983, 1_000_000 + n * 53 % 999_979);
        let (day, second) = (1 + n / 86_400 % 28, n % 86_400);
        let (hour, minute) = (second / 3600, second / 60 % 60);
        writeln!(
            out,
            "<trkpt lat=\"{}.{:06}\" lon=\"-{}.{:06}\"><ele>{}.{}</ele>\
             <time>2026-{:02}-{day:02}T{hour:02}:{minute:02}:{:02}Z</time></trkpt>",
            lat / 1_000_000,
            lat % 1_000_000,
            lon / 1_000_000,
            lon % 1_000_000,
            100 + n % 400,
            n % 10,
            1 + n / 2_419_200 % 12,
            second % 60
        )?;
    }
    out.write_all(b"</trkseg></trk></gpx>\n")?;
    out.flush()?;
    Ok(())
}
