//! Zones: places looked up, combined zones put behind their parts.

use earth::{Degrees, Metres, Position};
use plan::{HandFilming, Shape, Side, ZoneId};
use route::model::{CrossedFrom, Line, Project, Spot, ZoneKind};
use route::{Name, Spanned};

use crate::checks::{gate_use, zone_circle, zone_shape, zone_size};
use crate::findings::Findings;
use crate::leg::{self, Compiled};
use crate::names::{Kind, Scope, number};
use crate::places::Places;
use crate::source;

/// The zones of a plan, and where each zone of the project has gone among them.
pub(crate) struct Zones {
    pub(crate) all: Vec<plan::Zone>,
    /// By the number of a zone in the project: its number in the plan.
    new_numbers: Vec<ZoneId>,
}

impl Zones {
    /// The zone in the plan, by its number in the project.
    pub(crate) fn id(&self, written: u32) -> Option<ZoneId> {
        self.new_numbers.get(written as usize).copied()
    }
}

pub(crate) fn compile(
    project: &Project,
    scope: &Scope<'_>,
    places: &Places<'_>,
    route: &Compiled,
    findings: &mut Findings<'_>,
) -> Option<Zones> {
    let parts = parts(project, scope, findings);
    let order = zone_circle::order(project, &parts, findings);
    let mut new_numbers = vec![ZoneId(0); project.zones.entries.len()];
    for (new, written) in order.iter().enumerate() {
        if let Some(slot) = new_numbers.get_mut(*written) {
            *slot = ZoneId(number(new));
        }
    }
    let mut zones = Zones { all: Vec::new(), new_numbers };
    let mut whole = true;
    for written in &order {
        let zone = zone(*written, project, scope, places, route, &zones, findings);
        whole &= zone.is_some();
        zones.all.extend(zone);
    }
    whole.then_some(zones)
}

/// By zone: the numbers of the zones it is combined of, and where it names them.
fn parts(
    project: &Project,
    scope: &Scope<'_>,
    findings: &mut Findings<'_>,
) -> Vec<Vec<(usize, route::Span)>> {
    let mut all = Vec::new();
    for entry in &project.zones.entries {
        let mut found = Vec::new();
        if let ZoneKind::AnyOf { zones, except } | ZoneKind::AllOf { zones, except } =
            &entry.value.kind.value
        {
            for name in zones.iter().chain(except) {
                let Some(part) = scope.find(Kind::Zone, name, findings) else { continue };
                gate_use::in_combination(project, part, name, findings);
                found.push((part as usize, name.span));
            }
        }
        all.push(found);
    }
    all
}

fn zone(
    written: usize,
    project: &Project,
    scope: &Scope<'_>,
    places: &Places<'_>,
    route: &Compiled,
    zones: &Zones,
    findings: &mut Findings<'_>,
) -> Option<plan::Zone> {
    let entry = project.zones.entries.get(written)?;
    let (zone, name) = (&entry.value, &entry.name);
    let band = match &zone.band {
        Some(band) => Some(places.band(&band.value, band.span, findings)?),
        None => None,
    };
    let combined = matches!(zone.kind.value, ZoneKind::AnyOf { .. } | ZoneKind::AllOf { .. });
    let margin = match zone.margin {
        _ if combined => Metres::ZERO,
        Some(margin) => margin.value,
        None => project.defaults.exit_margin,
    };
    // Points that could not be read are left out, and the others alone are another zone.
    let whole = project.could_be_read(zone.kind.span);
    let shape = match &zone.kind.value {
        ZoneKind::Circle { centre, radius } => {
            zone_size::check_radius(name, *radius, findings);
            Shape::Circle { centre: places.position(centre, findings)?, radius: radius.value }
        }
        ZoneKind::Sector { centre, radius, from, to } => {
            zone_size::check_radius(name, *radius, findings);
            Shape::Sector {
                centre: places.position(centre, findings)?,
                radius: radius.value,
                from: Degrees::of(from.value.get()),
                to: Degrees::of(to.value.get()),
            }
        }
        ZoneKind::Polygon { points, holes } => {
            let outer = positions(points, places, findings);
            let holes: Vec<_> =
                holes.iter().map(|hole| positions(hole, places, findings)).collect();
            let holes = holes.into_iter().collect::<Option<Vec<_>>>();
            polygon(name, outer.filter(|_| whole)?, holes?, findings)?
        }
        ZoneKind::Corridor { line, half_width } => {
            let points = match &line.value {
                Line::Through(points) => {
                    let points = positions(points, places, findings).filter(|_| whole)?;
                    zone_shape::line(findings, name, points)?
                }
                Line::Route => leg::line(route, project, line.span, findings)?,
            };
            zone_size::check_points(name, &points, findings)?;
            Shape::Corridor {
                line: points.iter().map(|point| point.value).collect(),
                half_width: half_width.value,
            }
        }
        ZoneKind::Gate { line, crossed_from } => {
            let points = positions(line, places, findings).filter(|_| whole)?;
            let points = zone_shape::line(findings, name, points)?;
            zone_size::check_points(name, &points, findings)?;
            let crossed_from = match crossed_from {
                CrossedFrom::Left => Side::Left,
                CrossedFrom::Right => Side::Right,
                CrossedFrom::Either => Side::Either,
            };
            Shape::Gate { line: points.iter().map(|point| point.value).collect(), crossed_from }
        }
        ZoneKind::AnyOf { zones: any_of, except } => Shape::Combined {
            any_of: ids(any_of, scope, zones)?,
            all_of: Vec::new(),
            except: ids(except, scope, zones)?,
        },
        ZoneKind::AllOf { zones: all_of, except } => Shape::Combined {
            any_of: Vec::new(),
            all_of: ids(all_of, scope, zones)?,
            except: ids(except, scope, zones)?,
        },
    };
    let no_filming = zone.no_filming.then_some(if zone.hand_filming {
        HandFilming::Allowed
    } else {
        HandFilming::Refused
    });
    let name_text = name.value.to_string();
    let source = source(findings.sources(), name.span);
    Some(plan::Zone { name: name_text, shape, band, margin, quiet: zone.quiet, no_filming, source })
}

/// Zones by name. Unknown ones have been reported when the order was found.
fn ids(names: &[Spanned<Name>], scope: &Scope<'_>, zones: &Zones) -> Option<Vec<ZoneId>> {
    names.iter().map(|name| zones.id(scope.get(Kind::Zone, &name.value)?)).collect()
}

fn positions(
    spots: &[Spanned<Spot>],
    places: &Places<'_>,
    findings: &mut Findings<'_>,
) -> Option<Vec<Spanned<Position>>> {
    let found: Vec<_> = spots
        .iter()
        .map(|spot| {
            let position = places.position(spot, findings)?;
            Some(Spanned { value: position, span: spot.span })
        })
        .collect();
    found.into_iter().collect()
}

fn polygon(
    name: &Spanned<Name>,
    outer: Vec<Spanned<Position>>,
    holes: Vec<Vec<Spanned<Position>>>,
    findings: &mut Findings<'_>,
) -> Option<Shape> {
    let outer = zone_shape::ring(findings, name, outer)?;
    zone_size::check_points(name, &outer, findings)?;
    let holes: Vec<_> =
        holes.into_iter().map(|hole| zone_shape::ring(findings, name, hole)).collect();
    let holes = holes.into_iter().collect::<Option<Vec<_>>>()?;
    zone_shape::check(findings, name, &outer, &holes)?;
    let bare = |ring: &[Spanned<Position>]| ring.iter().map(|point| point.value).collect();
    Some(Shape::Polygon {
        outer: bare(&outer),
        holes: holes.iter().map(|hole| bare(hole)).collect(),
    })
}
