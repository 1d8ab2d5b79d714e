//! What every name means.

use std::collections::{BTreeMap, BTreeSet};

use route::model::{Project, Table};
use route::{Name, Span, Spanned};

use crate::checks::names;
use crate::findings::Findings;

/// A kind of things that have names of their own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    /// Waypoints and sights together.
    Place,
    LandingSite,
    Zone,
    Rule,
    Narration,
    Music,
    Title,
    Camera,
}

impl Kind {
    const ALL: [Self; 8] = [
        Self::Place,
        Self::LandingSite,
        Self::Zone,
        Self::Rule,
        Self::Narration,
        Self::Music,
        Self::Title,
        Self::Camera,
    ];

    /// In words, with the article.
    pub(crate) const fn one(self) -> &'static str {
        match self {
            Self::Place => "a place",
            Self::LandingSite => "a landing site",
            Self::Zone => "a zone",
            Self::Rule => "a rule",
            Self::Narration => "a narration",
            Self::Music => "a piece of music",
            Self::Title => "a title",
            Self::Camera => "a camera",
        }
    }

    /// In words, without the article.
    pub(crate) fn word(self) -> &'static str {
        self.one().trim_start_matches("a ")
    }
}

/// The names of one kind.
#[derive(Default)]
struct Names<'p> {
    known: BTreeMap<&'p str, (u32, Span)>,
    /// Named, but what it names could not be read, which has been reported.
    broken: BTreeSet<&'p str>,
}

/// All names of a project.
pub(crate) struct Scope<'p> {
    kinds: BTreeMap<Kind, Names<'p>>,
    /// The first number of a sight among the places; waypoints come before.
    first_sight: u32,
    /// Whether names may be given where nothing could be read.
    lost: bool,
}

impl<'p> Scope<'p> {
    /// Takes the names of a project. Those given twice are reported.
    pub(crate) fn new(project: &'p Project, findings: &mut Findings<'_>) -> Self {
        let mut scope = Self {
            kinds: Kind::ALL.into_iter().map(|kind| (kind, Names::default())).collect(),
            first_sight: number(project.waypoints.entries.len()),
            lost: project.names_lost,
        };
        scope.take(Kind::Place, 0, &project.waypoints, findings);
        scope.take(Kind::Place, scope.first_sight, &project.sights, findings);
        scope.take(Kind::LandingSite, 0, &project.landing_sites, findings);
        scope.take(Kind::Zone, 0, &project.zones, findings);
        scope.take(Kind::Rule, 0, &project.rules, findings);
        scope.take(Kind::Narration, 0, &project.narrations, findings);
        scope.take(Kind::Music, 0, &project.music, findings);
        scope.take(Kind::Title, 0, &project.titles, findings);
        if let Some(aircraft) = &project.aircraft {
            scope.take(Kind::Camera, 0, &aircraft.cameras, findings);
        }
        scope
    }

    fn take<T>(
        &mut self,
        kind: Kind,
        first: u32,
        table: &'p Table<T>,
        findings: &mut Findings<'_>,
    ) {
        let names = self.kinds.entry(kind).or_default();
        for (index, entry) in table.entries.iter().enumerate() {
            let (name, span) = (entry.name.value.as_str(), entry.name.span);
            if let Some((_, before)) = names.known.get(name) {
                names::twice(findings, kind, &entry.name, *before);
            } else {
                names.known.insert(name, (first.saturating_add(number(index)), span));
            }
        }
        names.broken.extend(table.broken.iter().map(|broken| broken.value.as_str()));
    }

    /// The number of a name among those of its kind, as its table counts. An unknown one is
    /// reported, unless what it names could not be read.
    pub(crate) fn find(
        &self,
        kind: Kind,
        name: &Spanned<Name>,
        findings: &mut Findings<'_>,
    ) -> Option<u32> {
        let found = self.get(kind, &name.value);
        let lost = self.lost && kind != Kind::Camera;
        if found.is_none() && !lost && !self.is_broken(kind, &name.value) {
            names::unknown(findings, self, kind, name);
        }
        found
    }

    /// The number of a name, if it is known.
    pub(crate) fn get(&self, kind: Kind, name: &str) -> Option<u32> {
        self.kinds.get(&kind)?.known.get(name).map(|(number, _)| *number)
    }

    /// Whether a name is given to something that could not be read.
    pub(crate) fn is_broken(&self, kind: Kind, name: &str) -> bool {
        self.kinds.get(&kind).is_some_and(|names| names.broken.contains(name))
    }

    /// The number of a sight among the places. A waypoint is reported like an unknown name.
    pub(crate) fn find_sight(
        &self,
        name: &Spanned<Name>,
        findings: &mut Findings<'_>,
    ) -> Option<u32> {
        let place = self.find(Kind::Place, name, findings)?;
        if place < self.first_sight {
            names::not_a_sight(findings, name);
            return None;
        }
        Some(place)
    }

    /// Where a name is given, if it is known.
    pub(crate) fn place_of(&self, kind: Kind, name: &str) -> Option<Span> {
        self.kinds.get(&kind)?.known.get(name).map(|(_, span)| *span)
    }

    /// All names of a kind, in alphabetical order.
    pub(crate) fn all(&self, kind: Kind) -> impl Iterator<Item = &'p str> + '_ {
        self.kinds.get(&kind).into_iter().flat_map(|names| names.known.keys().copied())
    }

    /// The other kinds that have this name.
    pub(crate) fn elsewhere(&self, kind: Kind, name: &str) -> Option<(Kind, Span)> {
        Kind::ALL
            .into_iter()
            .filter(|other| *other != kind)
            .find_map(|other| Some((other, self.place_of(other, name)?)))
    }
}

/// An index as the number that a plan keeps; tables are bounded far below the end of it.
pub(crate) fn number(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX)
}
