//! Whether each narration fits, for people and for programs.

mod json;
mod text;

use compiler::Pace;
use compiler::fit::{Condition, Fit, Fits, Verdict, pace};
use earth::{MetresPerSecond, Millis};
use plan::{Plan, Voice};
use route::Project;

use super::identity::Identity;

pub(crate) use json::json;
pub(crate) use text::text;

/// A tour in a language, or in several that are carried at once.
pub(crate) struct Page<'a> {
    /// Which plan.
    pub(crate) identity: &'a Identity,
    /// The plan.
    pub(crate) plan: &'a Plan,
    /// What it was compiled from.
    pub(crate) project: &'a Project,
    /// What was seen.
    pub(crate) fits: &'a Fits,
}

/// A narration in one language.
struct Line<'a> {
    fit: &'a Fit,
    name: &'a str,
    voice: &'a Voice,
    pace: Pace,
    verdict: Verdict,
}

impl Page<'_> {
    /// Whether all fit.
    pub(crate) fn all_fit(&self) -> bool {
        let languages = 0..self.plan.languages.len();
        let mut lines = languages.flat_map(|voice| self.lines(voice));
        lines.all(|line| matches!(line.verdict, Verdict::Fits(_)) && line.fit.missing.is_empty())
    }

    /// The narrations in one of the languages.
    fn lines(&self, voice: usize) -> impl Iterator<Item = Line<'_>> {
        self.fits.narrations.iter().filter_map(move |fit| {
            let told = self.plan.narrations.get(fit.narration.index())?;
            let spoken = told.voices.get(voice)?;
            let pace = pace(self.project, self.plan, fit.narration, voice)?;
            let verdict = fit.verdict(self.plan, voice, pace);
            Some(Line { fit, name: &told.name, voice: spoken, pace, verdict })
        })
    }

    /// A condition in words, such as `wind 250/30 kt, 10 kt faster`.
    fn condition(&self, condition: usize) -> String {
        self.fits.conditions.get(condition).map_or_else(String::new, Condition::words)
    }
}

fn faster(by: MetresPerSecond) -> Option<String> {
    let knots = by.knots();
    let word = if knots > 0.0 { "faster" } else { "slower" };
    (knots != 0.0).then(|| format!("{:.0} kt {word}", knots.abs()))
}

/// Seconds to a tenth.
fn seconds(time: Millis) -> String {
    format!("{:.1} s", time.secs())
}
