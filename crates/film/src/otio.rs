//! An edit as an OpenTimelineIO file.
//!
//! # References
//! OpenTimelineIO, file format of release 0.18: `Timeline.1`, `Stack.1`, `Track.1`, `Clip.2`, `Gap.1`,
//! `ExternalReference.1`, `MissingReference.1`, `Marker.2`, `TimeRange.1`, `RationalTime.1`.

use serde_json::{Value, json};

use crate::edit::{Clip, Edit, Frames, Mark, MarkKind};

/// An edit as the JSON of an `.otio` file.
///
/// One video track for each camera, with gaps where it was not live; one audio track for each
/// language of the narration, and one for the music; marks stand on the stack of tracks. Times are
/// whole frames at the edit's rate. `about` is kept with the timeline, under `fulmar`.
#[must_use]
pub fn otio(edit: &Edit, name: &str, about: &Value) -> Value {
    let writer = Writer { rate: edit.rate.per_second() };
    let mut tracks: Vec<Value> = Vec::new();
    for track in &edit.cameras {
        let about = json!({"camera": track.name, "input": track.input});
        tracks.push(writer.track(&track.name, "Video", &track.clips, edit.length, &about));
    }
    for track in edit.narration.iter().chain([&edit.music]) {
        let about = json!({});
        tracks.push(writer.track(&track.name, "Audio", &track.clips, edit.length, &about));
    }
    let marks: Vec<Value> = edit.marks.iter().map(|mark| writer.mark(mark)).collect();
    json!({
        "OTIO_SCHEMA": "Timeline.1",
        "metadata": {"fulmar": about},
        "name": name,
        "global_start_time": writer.time(edit.start),
        "tracks": {
            "OTIO_SCHEMA": "Stack.1",
            "metadata": {},
            "name": "tracks",
            "source_range": null,
            "effects": [],
            "markers": marks,
            "enabled": true,
            "children": tracks,
        },
    })
}

struct Writer {
    rate: f64,
}

impl Writer {
    #[expect(clippy::cast_precision_loss, reason = "exact below nine thousand years of frames")]
    fn time(&self, frame: i64) -> Value {
        json!({"OTIO_SCHEMA": "RationalTime.1", "rate": self.rate, "value": frame as f64})
    }

    fn range(&self, from: i64, count: i64) -> Value {
        json!({
            "OTIO_SCHEMA": "TimeRange.1",
            "start_time": self.time(from),
            "duration": self.time(count),
        })
    }

    /// A track: clips, with gaps where there is none, up to the end of the edit.
    fn track(&self, name: &str, kind: &str, clips: &[Clip], length: i64, about: &Value) -> Value {
        let mut children = Vec::new();
        let mut laid = 0;
        for clip in clips {
            if clip.at.from > laid {
                children.push(self.gap(clip.at.from - laid));
            }
            children.push(self.clip(clip));
            laid = clip.at.to;
        }
        if laid < length {
            children.push(self.gap(length - laid));
        }
        json!({
            "OTIO_SCHEMA": "Track.1",
            "metadata": {"fulmar": about},
            "name": name,
            "source_range": null,
            "effects": [],
            "markers": [],
            "enabled": true,
            "children": children,
            "kind": kind,
        })
    }

    fn gap(&self, count: i64) -> Value {
        json!({
            "OTIO_SCHEMA": "Gap.1",
            "metadata": {},
            "name": "",
            "source_range": self.range(0, count),
            "effects": [],
            "markers": [],
            "enabled": true,
        })
    }

    fn clip(&self, clip: &Clip) -> Value {
        let mut about = json!({});
        if let Some(about) = about.as_object_mut() {
            if let Some(take) = clip.take {
                about.insert("take".to_owned(), json!(take));
            }
            if let Some(rule) = &clip.rule {
                about.insert("rule".to_owned(), json!(rule));
            }
            if !clip.note.is_empty() {
                about.insert("note".to_owned(), json!(clip.note));
            }
        }
        let available = clip.media.available.map(|Frames { from, to }| self.range(from, to - from));
        let media = match &clip.media.file {
            Some(file) => json!({
                "OTIO_SCHEMA": "ExternalReference.1",
                "metadata": {},
                "name": clip.media.name,
                "available_range": available,
                "available_image_bounds": null,
                "target_url": url(file),
            }),
            None => json!({
                "OTIO_SCHEMA": "MissingReference.1",
                "metadata": {},
                "name": clip.media.name,
                "available_range": available,
                "available_image_bounds": null,
            }),
        };
        json!({
            "OTIO_SCHEMA": "Clip.2",
            "metadata": {"fulmar": about},
            "name": clip.name,
            "source_range": self.range(clip.source, clip.at.count()),
            "effects": [],
            "markers": [],
            "enabled": true,
            "media_references": {"DEFAULT_MEDIA": media},
            "active_media_reference_key": "DEFAULT_MEDIA",
        })
    }

    fn mark(&self, mark: &Mark) -> Value {
        let color = match mark.kind {
            MarkKind::Take => "WHITE",
            MarkKind::Title => "CYAN",
            MarkKind::Sight => "GREEN",
            MarkKind::Still => "RED",
        };
        // Of a take only its beginning is marked.
        let count = if mark.kind == MarkKind::Take { 0 } else { mark.at.count() };
        json!({
            "OTIO_SCHEMA": "Marker.2",
            "metadata": {"fulmar": {"kind": mark.kind.word()}},
            "name": mark.name,
            "color": color,
            "marked_range": self.range(mark.at.from, count),
            "comment": mark.note,
        })
    }
}

/// A path as a URL: what may not stand in one is written as its bytes.
fn url(path: &str) -> String {
    let mut url = String::new();
    for byte in path.bytes() {
        match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' | b':' => {
                url.push(char::from(byte));
            }
            _ => url.push_str(&format!("%{byte:02X}")),
        }
    }
    url
}
