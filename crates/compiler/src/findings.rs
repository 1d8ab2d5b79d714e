//! What has been found so far, and the texts it points into.

use std::collections::BTreeMap;

use diagnostic::{Diagnostic, Place, Related, Severity};
use route::{Sources, Span};

/// Collects findings. A finding is described, then put down with [`Findings::put`].
pub(crate) struct Findings<'p> {
    sources: &'p Sources,
    list: Vec<Diagnostic>,
    /// By name and headline: the first of the list.
    first: BTreeMap<(&'static str, String), usize>,
    looks_for_near_names: usize,
}

/// For how many unknown names a near one is looked for. With more of them something else is wrong,
/// such as a library that is not included, and looking through every name for each would take long.
const NEAR_NAMES: usize = 100;

/// What is said at the further places of a finding.
const AND_HERE: &str = "and here";

impl<'p> Findings<'p> {
    pub(crate) fn new(sources: &'p Sources) -> Self {
        Self { sources, list: Vec::new(), first: BTreeMap::new(), looks_for_near_names: 0 }
    }

    /// An error at a place, not put down yet.
    pub(crate) fn error(
        &self,
        name: &'static str,
        at: Span,
        headline: impl Into<String>,
    ) -> Diagnostic {
        Diagnostic::error(name, self.sources.place(at), headline)
    }

    /// A warning at a place, not put down yet.
    pub(crate) fn warning(
        &self,
        name: &'static str,
        at: Span,
        headline: impl Into<String>,
    ) -> Diagnostic {
        Diagnostic::warning(name, self.sources.place(at), headline)
    }

    /// A note at a place, not put down yet.
    pub(crate) fn note(
        &self,
        name: &'static str,
        at: Span,
        headline: impl Into<String>,
    ) -> Diagnostic {
        Diagnostic::note(name, self.sources.place(at), headline)
    }

    pub(crate) fn sources(&self) -> &'p Sources {
        self.sources
    }

    /// Whether a near name may be looked for once more.
    pub(crate) fn may_look_for_near_name(&mut self) -> bool {
        self.looks_for_near_names += 1;
        self.looks_for_near_names <= NEAR_NAMES
    }

    pub(crate) fn put(&mut self, finding: Diagnostic) {
        let of_this_kind = (finding.name, finding.headline.clone());
        self.first.entry(of_this_kind).or_insert(self.list.len());
        self.list.push(finding);
    }

    /// A finding already put down, to be added to: the first with this name and headline.
    pub(crate) fn same(&mut self, name: &'static str, headline: &str) -> Option<&mut Diagnostic> {
        let at = self.first.get(&(name, headline.to_owned()))?;
        self.list.get_mut(*at)
    }

    /// Whether the same has been found already.
    pub(crate) fn has(&self, finding: &Diagnostic) -> bool {
        self.list.contains(finding)
    }

    /// Puts a finding down or, where the same is told of other places already, adds its places to
    /// that one.
    pub(crate) fn put_or_join(&mut self, finding: Diagnostic) {
        let Some(first) = self.same(finding.name, &finding.headline) else {
            self.put(finding);
            return;
        };
        let own = Related { place: finding.place, label: AND_HERE.to_owned() };
        let given = |place: &Place| first.related.iter().any(|known| known.place == *place);
        let new: Vec<Related> = std::iter::once(own)
            .chain(finding.related)
            .filter(|more| more.place != first.place && !given(&more.place))
            .collect();
        if !new.is_empty() {
            // What is the matter at several places is no slip of the pen at one.
            first.edits.clear();
        }
        first.related.extend(new);
    }

    /// Whether an error is among them.
    pub(crate) fn broken(&self) -> bool {
        self.list.iter().any(|finding| finding.severity == Severity::Error)
    }

    /// All of them, sorted.
    pub(crate) fn sorted(mut self) -> Vec<Diagnostic> {
        diagnostic::sort(&mut self.list);
        self.list
    }
}
