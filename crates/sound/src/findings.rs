//! What is the matter with a recording, said to people.

use diagnostic::{Diagnostic, Place};
use earth::Millis;

use crate::measure::{Measurement, State};
use crate::quantity::SampleRate;
use crate::refusal::Refusal;

/// More silence than this before the first sound is told: the narration would seem to begin late
/// (common practice, no source).
const LONG_HEAD: Millis = Millis(500);
/// More silence than this behind the last sound is told: music stays ducked and the next narration
/// waits for nothing (common practice, no source).
const LONG_TAIL: Millis = Millis(1000);

const EXPORT: &str = "export it as WAV or FLAC, 48 kHz, 24 bit";

impl Measurement {
    /// What is the matter with this recording, whose file has this name.
    #[must_use]
    pub fn review(&self, file: &str) -> Vec<Diagnostic> {
        let at = || Place::whole(file);
        let mut found = Vec::new();
        found.extend(self.state_finding(file));
        found.extend(self.not_numbers_finding(file));
        if let Some(ending) = ending(file)
            && !self.kind.endings().contains(&ending.as_str())
        {
            let [usual, ..] = self.kind.endings() else { return found };
            found.push(
                Diagnostic::warning(
                    "recording-ending",
                    at(),
                    format!("the name ends in .{ending}, and the file is {}", self.kind),
                )
                .help(format!("let its name end in .{usual}")),
            );
        }
        if self.is_silent() {
            found.push(
                Diagnostic::error("recording-silent", at(), "there is no sound in it")
                    .help("look whether the right track was exported, and not muted"),
            );
            return found;
        }
        found.extend(self.silence_finding(file));
        if self.clipped > 0 {
            let times = if self.clipped == 1 { "once" } else { "several times" };
            found.push(
                Diagnostic::warning(
                    "recording-clipped",
                    at(),
                    format!("it is clipped {times}: {} in all", runs(self.clipped)),
                )
                .help("record it anew at a lower level; turning it down does not mend it"),
            );
        }
        if self.rate < SampleRate::SPEECH {
            found.push(
                Diagnostic::warning(
                    "recording-rate",
                    at(),
                    format!("it is sampled at {} only, like a telephone", self.rate),
                )
                .help(format!("record at {} or more", SampleRate::SPEECH)),
            );
        }
        if self.channels > 2 {
            found.push(
                Diagnostic::warning(
                    "recording-channels",
                    at(),
                    format!("it has {} channels, and a headset plays two", self.channels),
                )
                .help("mix it down to one channel or two"),
            );
        }
        found
    }

    fn state_finding(&self, file: &str) -> Option<Diagnostic> {
        let at = Place::whole(file);
        let length = seconds(self.length());
        let promised = self.stated_length().filter(|stated| *stated > self.length());
        let promised = promised.map(seconds);
        Some(match self.state {
            State::Whole => {
                let stated = self.stated_length().filter(|stated| *stated != self.length())?;
                Diagnostic::warning(
                    "recording-header",
                    at,
                    format!("its header says {}, and {length} can be heard", seconds(stated)),
                )
                .help("export it again: a player that trusts the header stops or waits")
            }
            State::CutOff => Diagnostic::error(
                "recording-cut-off",
                at,
                match promised {
                    Some(stated) => format!("it is cut off: {length} of {stated} are there"),
                    None => format!("it is cut off after {length}"),
                },
            )
            .help("copy it again from where it was recorded"),
            State::NeverClosed => Diagnostic::error(
                "recording-never-closed",
                at,
                format!("its header was never completed; {length} of sound follow it"),
            )
            .help("open it in an editor for sound, listen to its end, and export it again"),
            State::Damaged => Diagnostic::error(
                "recording-damaged",
                at,
                match promised {
                    Some(stated) => {
                        format!("it is damaged: {length} of {stated} can be decoded")
                    }
                    None => "it is damaged: not all of it is what was recorded".to_owned(),
                },
            )
            .help("copy it again from where it was recorded"),
        })
    }

    fn not_numbers_finding(&self, file: &str) -> Option<Diagnostic> {
        (self.not_numbers > 0).then(|| {
            Diagnostic::error(
                "recording-damaged",
                Place::whole(file),
                format!("{} samples in it are no numbers", self.not_numbers),
            )
            .help(EXPORT)
        })
    }

    fn silence_finding(&self, file: &str) -> Option<Diagnostic> {
        let long = |there: Millis, most: Millis, word: &str| {
            (there > most).then(|| format!("{} of silence {word}", seconds(there)))
        };
        let parts: Vec<String> = [
            long(self.head, LONG_HEAD, "before its first sound"),
            long(self.tail, LONG_TAIL, "behind its last"),
        ]
        .into_iter()
        .flatten()
        .collect();
        (!parts.is_empty()).then(|| {
            Diagnostic::warning("recording-silence", Place::whole(file), parts.join(", "))
                .help("cut it off, and leave a tenth of a second at each end")
        })
    }
}

impl Refusal {
    /// Why the file of this name is not measured, and what to do.
    #[must_use]
    pub fn finding(&self, file: &str) -> Diagnostic {
        let at = Place::whole(file);
        match self {
            Self::Unreadable(error) => Diagnostic::error(
                "recording-unreadable",
                at,
                format!("the recording cannot be read: {error}"),
            )
            .help("check the disk or card it is on, or copy it again"),
            Self::Empty => Diagnostic::error("not-a-recording", at, "the file is empty")
                .help("export it again"),
            Self::NotSound(what) => {
                Diagnostic::error("not-a-recording", at, format!("this is no sound: {what}"))
                    .help("name a recording: WAV, FLAC, MP3 or Ogg Vorbis")
            }
            Self::Foreign(name) => Diagnostic::error(
                "recording-kind",
                at,
                format!("this is {name}, which is not decoded here"),
            )
            .help(EXPORT),
            Self::Coding(name) => Diagnostic::error(
                "recording-kind",
                at,
                format!("this is a WAV file with {name} in it, which is not decoded here"),
            )
            .help(EXPORT),
            Self::Broken { kind, what } => {
                Diagnostic::error("recording-broken", at, format!("this {kind} file {what}"))
                    .help("copy it again from where it was recorded, or export it anew")
            }
            Self::NoSound(kind) => Diagnostic::error(
                "recording-broken",
                at,
                format!("nothing can be decoded from this {kind} file"),
            )
            .help("copy it again from where it was recorded, or export it anew"),
            Self::Rate(hertz) => Diagnostic::error(
                "recording-unusual",
                at,
                format!(
                    "it is sampled at {hertz} Hz, and only {} to {} are measured",
                    SampleRate::LEAST,
                    SampleRate::MOST
                ),
            )
            .help(EXPORT),
            Self::Channels(count) => Diagnostic::error(
                "recording-unusual",
                at,
                format!(
                    "it has {count} channels, and at most {} are measured",
                    Self::MOST_CHANNELS
                ),
            )
            .help("mix it down to one channel or two"),
            Self::TooLong => Diagnostic::error(
                "recording-unusual",
                at,
                format!("it is longer than {} hours", Self::MOST_HOURS),
            )
            .help("cut out what is to be played"),
        }
    }
}

/// The ending of a file's name in lower case; `None` for a name without one.
fn ending(file: &str) -> Option<String> {
    let name = file.rsplit(['/', '\\']).next()?;
    let (stem, ending) = name.rsplit_once('.')?;
    (!stem.is_empty() && !ending.is_empty()).then(|| ending.to_lowercase())
}

fn runs(number: u64) -> String {
    if number == 1 { "1 place".to_owned() } else { format!("{number} places") }
}

/// As people read it: `12.3 s`.
fn seconds(length: Millis) -> String {
    format!("{:.1} s", length.0 as f64 / 1000.0)
}
