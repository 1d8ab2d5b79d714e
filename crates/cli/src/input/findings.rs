//! What is found while files are read.

use diagnostic::{Diagnostic, Severity};

use crate::args::MessageFormat;
use crate::outcome::{Outcome, Stop};
use crate::render::findings::{Count, Texts, print};
use crate::terminal::Terminal;

/// Findings, and the texts they point into.
#[derive(Debug, Default)]
pub(crate) struct Findings {
    /// The findings.
    pub(crate) list: Vec<Diagnostic>,
    /// The texts of the files that can be quoted.
    pub(crate) texts: Texts,
}

impl Findings {
    /// Adds one.
    pub(crate) fn push(&mut self, finding: Diagnostic) {
        self.list.push(finding);
    }

    /// Adds several.
    pub(crate) fn extend(&mut self, findings: impl IntoIterator<Item = Diagnostic>) {
        self.list.extend(findings);
    }

    /// Whether there is an error among them.
    pub(crate) fn has_errors(&self) -> bool {
        self.list.iter().any(|finding| finding.severity == Severity::Error)
    }

    /// Sorts and counts them.
    pub(crate) fn count(&mut self) -> Count {
        diagnostic::sort(&mut self.list);
        Count::of(&self.list)
    }

    /// Prints them on standard error and forgets them. Says how a command ends that goes on after
    /// this: with findings if an error or a warning was told.
    ///
    /// # Errors
    /// Where standard error cannot be written.
    pub(crate) fn tell(
        &mut self,
        terminal: &mut Terminal,
        format: MessageFormat,
    ) -> Result<Outcome, Stop> {
        let count = self.count();
        let list = std::mem::take(&mut self.list);
        print(&mut *terminal.err, &list, &self.texts, format, terminal.colour_err)?;
        Ok(count.outcome())
    }
}
