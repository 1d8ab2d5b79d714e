//! What the engine says about its input, as findings.

use diagnostic::{Diagnostic, Place};
use plan::Plan;

use crate::render::words;
use crate::sink::notices::{Kind, Notices};

/// What stands for a file's name where the planned route is flown.
pub(super) const PLANNED_FLIGHT: &str = "the planned flight";

/// What the engine said about its input, as findings: the first few of each kind, the rest counted.
pub(super) fn notice_findings(
    plan: &Plan,
    notices: &Notices,
    flight: &str,
    hand: Option<&str>,
) -> Vec<Diagnostic> {
    notices
        .each()
        .map(|(kind, number, first)| {
            let words: Vec<String> =
                first.iter().map(|notice| words::notice(plan, notice)).collect();
            let mut headline = words.join("; ");
            let more = number - first.len() as u64;
            if more > 0 {
                headline.push_str(&format!("; and {more} more"));
            }
            let place = |name: &str| Place::whole(name);
            match kind {
                Kind::NotLater | Kind::TooLate | Kind::TooFast => {
                    Diagnostic::warning("fix-rejected", place(flight), headline)
                        .help("they change nothing; look at the recording at these times")
                }
                Kind::Believed => Diagnostic::warning("fixes-believed", place(flight), headline)
                    .help("look whether the recording holds more than one flight or receiver"),
                Kind::TrackStandsIn => Diagnostic::note("track-stands-in", place(flight), headline)
                    .help("give the wind of the day, as in --wind 240/12kt"),
                Kind::MagneticModelDate => {
                    Diagnostic::note("magnetic-model-date", place(flight), headline)
                        .help("magnetic windows may be off by the drift of the field since then")
                }
                Kind::HandAfterEnd => {
                    Diagnostic::warning("hand-after-end", place(hand.unwrap_or(flight)), headline)
                        .help("check the times against those of the recording")
                }
            }
        })
        .collect()
}
