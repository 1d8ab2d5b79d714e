//! What the engine says about its input, as findings.

use diagnostic::{Diagnostic, Place};
use engine::Notice;
use plan::Plan;

use crate::render::words::{self, so_many};
use crate::sink::notices::{Kind, MOST_KEPT, Notices};

/// What stands for a file's name where the planned route is flown.
pub(super) const PLANNED_FLIGHT: &str = "the planned flight";

/// Whether the first rejected fixes are one behind the other, and each earlier than the one before.
fn run_backwards(first: &[Notice]) -> bool {
    let fixes = first.iter().map(|notice| match notice {
        Notice::Rejected { time, number, .. } => Some((*time, *number)),
        _ => None,
    });
    let fixes: Vec<_> = fixes.collect();
    fixes.len() >= MOST_KEPT
        && fixes.windows(2).all(|pair| match pair {
            [Some((time, number)), Some((next, next_number))] => {
                next < time && *next_number == number + 1
            }
            _ => false,
        })
}

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
                Kind::NotLater if run_backwards(first) => {
                    let headline = format!(
                        "the times run backwards: {} are rejected, each earlier than the one before",
                        so_many(number, "fix", "fixes")
                    );
                    Diagnostic::warning("fix-rejected", place(flight), headline).help(
                        "the recording was probably turned round by the program that saved it: \
                         export it in the order in which it was flown",
                    )
                }
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
