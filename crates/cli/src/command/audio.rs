//! `fulmar audio`.

use indicatif::ProgressBar;

use crate::args::{AudioArgs, MessageFormat, TextFormat};
use crate::input::findings::Findings;
use crate::input::recording::{Cache, Candidate, Recording, candidates, measure};
use crate::outcome::{Outcome, Stop};
use crate::render;
use crate::render::recordings;
use crate::terminal::Terminal;

/// So many recordings, and a person who waits is shown how far it is.
const MANY: usize = 10;

/// Measures recordings and prints what they measure; what is the matter with them goes to standard
/// error.
pub(super) fn run(
    args: &AudioArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut findings = Findings::default();
    let (candidates, all_there) = candidates(&args.paths, &mut findings);
    let cache = Cache::new(&args.cache);
    let measured = measure_watched(&candidates, &cache, terminal);
    findings.extend(cache.finding());
    findings.extend(measured.iter().flat_map(Recording::findings));
    let told = findings.tell(terminal, format)?;
    if !measured.is_empty() {
        match args.format {
            TextFormat::Text => recordings::table(&mut *terminal.out, &measured)?,
            TextFormat::Json => {
                render::json(&mut *terminal.out, &recordings::json(&measured))?;
            }
        }
    }
    let refused = measured.iter().any(|one| one.named && one.measured.is_err());
    Ok(if refused || !all_there { Outcome::CouldNotRun } else { told })
}

/// Measures recordings, with a progress bar if there are many and somebody watches.
pub(super) fn measure_watched(
    candidates: &[Candidate],
    cache: &Cache,
    terminal: &Terminal,
) -> Vec<Recording> {
    let watched = terminal.err_is_watched && candidates.len() >= MANY;
    let bar = watched.then(|| ProgressBar::new(candidates.len() as u64));
    let measured = measure(candidates, cache, || {
        if let Some(bar) = &bar {
            bar.inc(1);
        }
    });
    if let Some(bar) = bar {
        bar.finish_and_clear();
    }
    measured
}
