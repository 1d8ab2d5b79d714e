//! Places, landing sites, altitudes.

use earth::{Metres, Position};
use plan::{AltitudeBand, PlaceId, PlaceKind, Wanted};
use route::model::{Altitude, Band, Film, Project, Spot};
use route::{Span, Spanned};

use crate::checks::{elevation, far_away, names};
use crate::findings::Findings;
use crate::names::{Kind, Scope, number};

/// Within what distance of a landing site a landing counts.
const LANDING_SITE_RADIUS: Metres = Metres::of(1000.0);

/// The places of a plan: waypoints, sights, and landing sites that are no other place.
pub(crate) struct Places<'p> {
    pub(crate) all: Vec<plan::Place>,
    pub(crate) landing_sites: Vec<plan::LandingSite>,
    scope: &'p Scope<'p>,
    /// By landing site: its place and elevation.
    sites: Vec<Option<(PlaceId, Option<Metres>)>>,
}

/// When a sight counts as filmed, what the author did not say filled in.
fn wanted(film: Option<Film>) -> Wanted {
    let usual = Wanted::default();
    let Some(film) = film else { return usual };
    let within = if film.size.is_some() { film.within } else { film.within.or(usual.within) };
    Wanted { lasts: film.lasts.unwrap_or(usual.lasts), within, size: film.size, ..usual }
}

impl<'p> Places<'p> {
    pub(crate) fn new(
        project: &'p Project,
        scope: &'p Scope<'p>,
        findings: &mut Findings<'_>,
    ) -> Self {
        let waypoints = project.waypoints.entries.iter().map(|entry| plan::Place {
            name: entry.name.value.to_string(),
            title: entry.name.value.to_string(),
            kind: PlaceKind::Waypoint,
            position: entry.value.at.value,
            elevation: entry.value.elevation.map(|elevation| elevation.value),
            height: None,
            wanted: None,
        });
        let sights = project.sights.entries.iter().map(|entry| {
            let label = entry.value.label.as_ref().map(|label| label.value.clone());
            plan::Place {
                name: entry.name.value.to_string(),
                title: label.unwrap_or_else(|| entry.name.value.to_string()),
                kind: PlaceKind::Sight,
                position: entry.value.at.value,
                elevation: entry.value.elevation.map(|elevation| elevation.value),
                height: entry.value.height.map(|height| height.value),
                wanted: Some(wanted(entry.value.film.map(|film| film.value))),
            }
        });
        let all = waypoints.chain(sights).collect();
        let mut places = Self { all, landing_sites: Vec::new(), scope, sites: Vec::new() };
        for name in &project.must_have {
            let sight = scope.find_sight(name, findings);
            let place = sight.and_then(|sight| places.all.get_mut(PlaceId(sight).index()));
            if let Some(wanted) = place.and_then(|place| place.wanted.as_mut()) {
                wanted.must_have = true;
            }
        }
        for entry in &project.landing_sites.entries {
            let site = places.landing_site(entry, findings);
            places.sites.push(site);
        }
        places
    }

    fn landing_site(
        &mut self,
        entry: &route::model::Entry<route::model::LandingSite>,
        findings: &mut Findings<'_>,
    ) -> Option<(PlaceId, Option<Metres>)> {
        let own = entry.value.elevation.map(|elevation| elevation.value);
        let (place, elevation) = match &entry.value.at.value {
            Spot::Named(name) => {
                let name = Spanned { value: name.clone(), span: entry.value.at.span };
                let id = PlaceId(self.scope.find(Kind::Place, &name, findings)?);
                // The landing site may know more of the place than the place itself.
                let place = self.all.get_mut(id.index())?;
                place.elevation = place.elevation.or(own);
                (id, own.or(place.elevation))
            }
            Spot::At(position) => {
                if let Some(before) = self.scope.place_of(Kind::Place, &entry.name.value) {
                    names::twice(findings, Kind::Place, &entry.name, before);
                    return None;
                }
                let name = entry.name.value.to_string();
                let title = name.clone();
                let id = PlaceId(number(self.all.len()));
                let (position, kind) = (*position, PlaceKind::Waypoint);
                self.all.push(plan::Place {
                    name,
                    title,
                    kind,
                    position,
                    elevation: own,
                    height: None,
                    wanted: None,
                });
                (id, own)
            }
        };
        self.landing_sites.push(plan::LandingSite { place, radius: LANDING_SITE_RADIUS });
        Some((place, elevation))
    }

    /// Where a spot is.
    pub(crate) fn position(
        &self,
        spot: &Spanned<Spot>,
        findings: &mut Findings<'_>,
    ) -> Option<Position> {
        match &spot.value {
            Spot::At(position) => Some(*position),
            Spot::Named(name) => {
                let name = Spanned { value: name.clone(), span: spot.span };
                let index = self.scope.find(Kind::Place, &name, findings)?;
                self.all.get(index as usize).map(|place| place.position)
            }
        }
    }

    /// A place to take off from or land at: a landing site or another place.
    pub(crate) fn ground(
        &self,
        spot: &Spanned<Spot>,
        findings: &mut Findings<'_>,
    ) -> Option<Ground> {
        let name = match &spot.value {
            Spot::At(position) => {
                return Some(Ground { place: None, position: *position, elevation: None });
            }
            Spot::Named(name) => name,
        };
        if let Some(site) = self.scope.get(Kind::LandingSite, name) {
            let (place, elevation) = self.sites.get(site as usize).copied().flatten()?;
            let position = self.all.get(place.index())?.position;
            return Some(Ground { place: Some(place), position, elevation });
        }
        if self.scope.is_broken(Kind::LandingSite, name) {
            return None;
        }
        let name = Spanned { value: name.clone(), span: spot.span };
        let place = PlaceId(self.scope.find(Kind::Place, &name, findings)?);
        let known = self.all.get(place.index())?;
        Some(Ground { place: Some(place), position: known.position, elevation: known.elevation })
    }

    /// An altitude above mean sea level.
    pub(crate) fn altitude(
        &self,
        altitude: &Altitude,
        findings: &mut Findings<'_>,
    ) -> Option<Metres> {
        let Some(above) = &altitude.above else { return Some(altitude.value) };
        let index = self.scope.find(Kind::Place, above, findings)?;
        let place = self.all.get(index as usize)?;
        let Some(ground) = place.elevation else {
            let why = format!("the elevation of `{}` is not known", above.value);
            elevation::unknown(findings, above.span, &why, "give the place an `elevation`");
            return None;
        };
        Some(altitude.value + ground)
    }

    /// A band of altitudes above mean sea level.
    pub(crate) fn band(
        &self,
        band: &Band,
        span: Span,
        findings: &mut Findings<'_>,
    ) -> Option<AltitudeBand> {
        let from = match &band.from {
            Some(end) => Some(self.altitude(&end.value, findings)?),
            None => None,
        };
        let to = match &band.to {
            Some(end) => Some(self.altitude(&end.value, findings)?),
            None => None,
        };
        if let (Some(from), Some(to)) = (from, to)
            && from > to
        {
            elevation::upside_down(findings, span, from, to);
            return None;
        }
        Some(AltitudeBand { from, to })
    }

    /// Reports places so far from home that a coordinate must be wrong.
    pub(crate) fn check_distances(
        &self,
        project: &Project,
        home: Position,
        findings: &mut Findings<'_>,
    ) {
        let waypoints = project.waypoints.entries.iter().map(|e| (&e.name, e.value.at));
        let sights = project.sights.entries.iter().map(|e| (&e.name, e.value.at));
        let places = waypoints.chain(sights).map(|(name, at)| (&name.value, at));
        far_away::check(findings, places, home);
    }
}

/// Where one takes off or lands.
pub(crate) struct Ground {
    pub(crate) place: Option<PlaceId>,
    pub(crate) position: Position,
    pub(crate) elevation: Option<Metres>,
}
