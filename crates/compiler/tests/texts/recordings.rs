//! Recordings that tests make up.

use earth::{Dbtp, Lufs, Millis};
use route::model::{Recorded, Recordings};

/// What a text says of recordings, in lines such as
///
/// ```text
/// #: arch.flac length=22.5 loudness=-19 peak=-4 head=0.1 tail=0.1 clipped=0 channels=1
/// ```
///
/// Times are in seconds, and what is left out is as here. None where it says nothing, as for a
/// project whose recordings nobody has measured.
pub(crate) fn recordings(text: &str) -> Option<Recordings> {
    let lines = || text.lines().filter_map(|line| line.trim().strip_prefix("#: "));
    lines().next()?;
    Some(lines().map(recording).collect())
}

fn recording(line: &str) -> (String, Recorded) {
    let mut words = line.split_whitespace();
    let path = words.next().unwrap();
    let mut recorded = Recorded {
        content: "0a".repeat(32),
        length: Millis(22_500),
        head: Millis(100),
        tail: Millis(100),
        loudness: Lufs::new(-19.0),
        true_peak: Dbtp::new(-4.0),
        clipped: 0,
        channels: 1,
    };
    for word in words {
        let (key, value) = word.split_once('=').unwrap();
        let value: f64 = value.parse().unwrap();
        match key {
            "length" => recorded.length = Millis::from_secs_f64(value),
            "head" => recorded.head = Millis::from_secs_f64(value),
            "tail" => recorded.tail = Millis::from_secs_f64(value),
            "loudness" => recorded.loudness = Lufs::new(value),
            "peak" => recorded.true_peak = Dbtp::new(value),
            "clipped" => recorded.clipped = value as u64,
            "channels" => recorded.channels = value as u16,
            other => panic!("`{other}` is nothing that is known of a recording"),
        }
    }
    (path.to_owned(), recorded)
}
