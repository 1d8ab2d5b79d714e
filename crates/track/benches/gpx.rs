//! Reading GPX from memory: plain points, and points with motion in extensions. All invented.

#![allow(missing_docs, reason = "the macros of criterion make public items")]

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::fmt::Write;

fn document(points: usize, extensions: &str) -> String {
    let mut text = String::from(
        "<gpx version=\"1.1\" creator=\"x\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>\n",
    );
    for n in 0..points {
        let (hour, minute, second) = (n / 3600 % 24, n / 60 % 60, n % 60);
        let _ = writeln!(
            text,
            "<trkpt lat=\"60.{:06}\" lon=\"-1.{:06}\"><ele>{}.5</ele>\
             <time>2026-03-01T{hour:02}:{minute:02}:{second:02}Z</time>{extensions}</trkpt>",
            n * 37 % 999_983,
            n * 53 % 999_979,
            100 + n % 400,
        );
    }
    text + "</trkseg></trk></gpx>\n"
}

fn reading(criterion: &mut Criterion) {
    let motion = "<extensions><v:m xmlns:v=\"urn:v\"><v:speed>41.5</v:speed><v:course>12.5</v:course></v:m></extensions>";
    let mut group = criterion.benchmark_group("gpx");
    for (name, extensions) in [("plain", ""), ("extensions", motion)] {
        let text = document(20_000, extensions);
        group.throughput(Throughput::Bytes(text.len() as u64));
        group.bench_function(name, |bencher| {
            bencher.iter(|| {
                track::GpxReader::new(text.as_bytes(), "x", track::Options::default()).count()
            });
        });
        group.bench_function(format!("{name}, bare scan"), |bencher| {
            bencher.iter(|| {
                let mut reader = quick_xml::Reader::from_reader(text.as_bytes());
                let (mut buffer, mut events) = (Vec::new(), 0_u64);
                while !matches!(
                    reader.read_event_into(&mut buffer),
                    Ok(quick_xml::events::Event::Eof) | Err(_)
                ) {
                    buffer.clear();
                    events += 1;
                }
                events
            });
        });
    }
    group.finish();
}

criterion_group!(benches, reading);
criterion_main!(benches);
