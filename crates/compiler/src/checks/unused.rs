//! Names that nothing uses.

use std::collections::BTreeSet;

use diagnostic::{Page, Severity};
use route::model::{
    Altitude, Band, ConditionKind, Leg, LegKind, LegSettings, Line, Project, Rule, Spot, StillTime,
    Table, Zone, ZoneKind,
};
use route::{Name, Spanned};

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "name-unused",
    severity: Severity::Warning,
    finds: "A zone, waypoint, narration, piece of music or title of the tour's own file that \
            nothing uses. Libraries are shared, so what one tour leaves unused there is not found.",
    why: "Most often the rule that should use it was forgotten or names something else.",
    example: "titles:\n  arch: {text: The Arch}\nrules:\n  arch: {when: {in: arch}, title: gate}",
    better: "titles:\n  arch: {text: The Arch}\nrules:\n  arch: {when: {in: arch}, title: arch}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let project = flown.project;
    let used = Used::of(project);
    let unused_zone = |zone: &Zone| !zone.quiet && !zone.no_filming;
    table("zone", &project.zones, &used.zones, unused_zone, findings);
    // A variant flies past some of the waypoints of the route as written.
    let written = project.chosen.variant.is_none();
    table("waypoint", &project.waypoints, &used.places, |_| written, findings);
    table("narration", &project.narrations, &used.narrations, |_| true, findings);
    table("piece of music", &project.music, &used.music, |_| true, findings);
    table("title", &project.titles, &used.titles, |_| true, findings);
}

fn table<T>(
    word: &str,
    table: &Table<T>,
    used: &BTreeSet<&str>,
    wants_use: impl Fn(&T) -> bool,
    findings: &mut Findings<'_>,
) {
    for entry in &table.entries {
        let own = entry.name.span.file.0 == 0;
        if !own || used.contains(entry.name.value.as_str()) || !wants_use(&entry.value) {
            continue;
        }
        let headline = format!("nothing uses the {word} `{}`", entry.name.value);
        let finding = findings
            .warning("name-unused", entry.name.span, headline)
            .help("use it, or take it out");
        findings.put(finding);
    }
}

#[derive(Default)]
struct Used<'p> {
    zones: BTreeSet<&'p str>,
    places: BTreeSet<&'p str>,
    narrations: BTreeSet<&'p str>,
    music: BTreeSet<&'p str>,
    titles: BTreeSet<&'p str>,
}

impl<'p> Used<'p> {
    fn of(project: &'p Project) -> Self {
        let mut used = Self::default();
        for entry in &project.rules.entries {
            used.rule(&entry.value);
        }
        for entry in &project.zones.entries {
            used.zone(&entry.value);
        }
        for entry in &project.narrations.entries {
            used.places.extend(entry.value.sight.iter().map(|sight| sight.value.as_str()));
        }
        for entry in &project.landing_sites.entries {
            used.spot(&entry.value.at.value);
        }
        used.altitudes(&project.route.settings);
        for leg in &project.route.legs {
            used.leg(leg);
        }
        for entry in &project.variants.entries {
            let variant = &entry.value;
            let departure = variant.departure.iter().flat_map(|departure| &departure.legs);
            let arrival = variant.arrival.iter().flat_map(|arrival| &arrival.legs);
            departure.chain(arrival).for_each(|leg| used.leg(leg));
            let altitudes = variant.altitude.iter().chain(&variant.not_above);
            altitudes.for_each(|altitude| used.altitude(&altitude.value));
        }
        used
    }

    fn rule(&mut self, rule: &'p Rule) {
        for condition in &rule.conditions {
            match &condition.kind.value {
                ConditionKind::In(zones) | ConditionKind::NotIn(zones) => {
                    self.zones.extend(names(zones));
                }
                ConditionKind::Pass { of, .. } => {
                    self.zones.insert(of.value.as_str());
                }
                ConditionKind::Altitude(band) => self.band(band),
                ConditionKind::BeforeAbeam { sight, .. } => {
                    self.places.insert(sight.value.as_str());
                }
                _ => {}
            }
        }
        self.narrations.extend(rule.narration.iter().map(|it| it.value.narration.value.as_str()));
        self.music.extend(rule.music.iter().map(|name| name.value.as_str()));
        self.titles.extend(rule.title.iter().map(|name| name.value.as_str()));
        for still in &rule.stills {
            if let StillTime::AtClosest(sight) = &still.value.time {
                self.places.insert(sight.value.as_str());
            }
        }
    }

    fn zone(&mut self, zone: &'p Zone) {
        if let Some(band) = &zone.band {
            self.band(&band.value);
        }
        match &zone.kind.value {
            ZoneKind::Circle { centre, .. } | ZoneKind::Sector { centre, .. } => {
                self.spot(&centre.value);
            }
            ZoneKind::Polygon { points, holes } => {
                points.iter().chain(holes.iter().flatten()).for_each(|at| self.spot(&at.value));
            }
            ZoneKind::Corridor { line, .. } => {
                if let Line::Through(line) = &line.value {
                    line.iter().for_each(|at| self.spot(&at.value));
                }
            }
            ZoneKind::Gate { line, .. } => line.iter().for_each(|at| self.spot(&at.value)),
            ZoneKind::AnyOf { zones, except } | ZoneKind::AllOf { zones, except } => {
                self.zones.extend(names(zones).chain(names(except)));
            }
        }
    }

    fn leg(&mut self, leg: &'p Leg) {
        self.altitudes(&leg.settings);
        match &leg.kind.value {
            LegKind::From(at) | LegKind::To(at) | LegKind::Land { at, .. } => self.spot(at),
            LegKind::Hover { at, .. } => at.iter().for_each(|at| self.spot(&at.value)),
            LegKind::Orbit { around, .. } => self.spot(&around.value),
        }
    }

    fn altitudes(&mut self, settings: &'p LegSettings) {
        settings.altitude.iter().for_each(|altitude| self.altitude(&altitude.value));
    }

    fn spot(&mut self, spot: &'p Spot) {
        if let Spot::Named(name) = spot {
            self.places.insert(name.as_str());
        }
    }

    fn band(&mut self, band: &'p Band) {
        let ends = band.from.iter().chain(&band.to);
        ends.for_each(|end| self.altitude(&end.value));
    }

    fn altitude(&mut self, altitude: &'p Altitude) {
        self.places.extend(altitude.above.iter().map(|place| place.value.as_str()));
    }
}

fn names(names: &[Spanned<Name>]) -> impl Iterator<Item = &str> {
    names.iter().map(|name| name.value.as_str())
}
