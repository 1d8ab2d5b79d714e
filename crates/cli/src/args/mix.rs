//! The words of `fulmar mix`.

use std::path::PathBuf;

use clap::ValueEnum;

use super::{FlightArgs, TextFormat};

/// `fulmar mix`.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
    The recordings are not touched. What a narration or a piece lacks is told, and stays silent.")]
pub(crate) struct MixArgs {
    /// Which flight of the recording, from 1.
    #[arg(long, value_name = "NUMBER", default_value = "1",
        value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) flight_number: u32,
    /// Which of the languages that are carried at once is heard; without it the first. Given twice,
    /// one is on the left and the other on the right, each with the music.
    #[arg(long, value_name = "LANGUAGE")]
    pub(crate) voice: Vec<String>,
    /// Where the names of the recordings begin, where that is not the folder of the tour or plan.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) recordings: Option<PathBuf>,
    /// Write the mix to this file: WAV, 48 kHz, two channels.
    #[arg(long, short, value_name = "MIX.wav", help_heading = "What comes out")]
    pub(crate) output: PathBuf,
    /// Bits of a sample.
    #[arg(long, value_name = "BITS", default_value = "24", help_heading = "What comes out")]
    pub(crate) bits: MixBits,
    /// How it is told what was mixed.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: TextFormat,
    #[command(flatten)]
    pub(crate) flight: FlightArgs,
}

/// Bits of a sample.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum MixBits {
    /// For what is listened to as it is: 12 MB a minute.
    #[value(name = "16")]
    Sixteen,
    /// For what is worked on further: 17 MB a minute.
    #[value(name = "24")]
    TwentyFour,
}
