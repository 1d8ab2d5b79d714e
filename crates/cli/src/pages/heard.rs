//! Pages about what is heard of a flight.

use diagnostic::Page;

use super::page;

pub(super) const PAGES: &[Page] = &[
    page!(
        "mix-silent",
        Warning,
        "A narration or a piece of music that comes on in a flight and has no recording.",
        "Its time in the mix is silent, and so it would be in the aircraft. Music is lower under a \
         narration all the same, as it will be once there is a recording.",
        "arch: {text: The sea has cut an arch.}",
        "arch: {text: The sea has cut an arch., audio: ../audio/arch.wav}",
    ),
    page!(
        "mix-level",
        Warning,
        "A narration that could not be brought within 1 LU of the loudness that all have, because \
         a few peaks stand far above the rest of it or because it is too short or silent.",
        "Passengers turn the volume up for it and are startled by the next. The limiter holds its \
         peaks, but more than a few of them held is heard.",
        "a voice at -40 LUFS with a bang at full scale in it",
        "the same voice with the bang cut out",
    ),
    page!(
        "mix-too-long",
        Error,
        "A mix that does not fit into a WAV file: the sizes in its header end at 4 GiB.",
        "A file that is longer than its header can say is played in part, or not at all.",
        "fulmar mix west.yaml night-flight.gpx --output mix.wav, of more than four hours",
        "fulmar mix west.yaml night-flight.gpx --output mix.wav --bits 16",
    ),
    page!(
        "recording-changed",
        Warning,
        "A recording that is not the one with which the plan was made: its content is another.",
        "The plan's times are those of the older recording; the newer one may be cut off, or end \
         before its time.",
        "fulmar mix west.plan.json, and arch.wav was recorded again since it was compiled",
        "fulmar plan west.yaml --output west.plan.json, and then the mix",
    ),
    page!(
        "unknown-voice",
        Error,
        "A language to be heard that is not carried on the flight, or more than two of them.",
        "What stands beside each other at once is settled when the tour is compiled: with another \
         language narrations have other lengths.",
        "fulmar mix west.yaml --planned --voice fr --output mix.wav",
        "fulmar mix west.yaml --planned --language en,de --voice de --output mix.wav",
    ),
];
