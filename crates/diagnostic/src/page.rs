//! What is known about a finding beyond the one place where it came up.

use crate::Severity;

/// The page of a finding's name, to be read on its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Page {
    /// The stable name, in kebab-case.
    pub name: &'static str,
    /// How much it matters where it comes up.
    pub severity: Severity,
    /// What it finds.
    pub finds: &'static str,
    /// Why that matters.
    pub why: &'static str,
    /// Text that has it.
    pub example: &'static str,
    /// The same, mended.
    pub better: &'static str,
}

impl Page {
    /// Whether all there is to say is said, and the name is in kebab-case.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        let kebab = self.name.split('-').all(|part| {
            !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
        });
        let texts = [self.finds, self.why, self.example, self.better];
        kebab && texts.iter().all(|text| !text.trim().is_empty()) && self.example != self.better
    }
}
