//! What is chosen of what a tour offers, and what differs for the day.

mod reverse;

use diagnostic::{Diagnostic, Place};
use earth::Utc;

use crate::decode::{Reader, Reads};
use crate::model::{Altitude, Leg, LegKind, Project, Route, Spot, Table, Variant, Wind};
use crate::near;
use crate::span::{FileId, Name, SourceFile, Sources, Span, Spanned};
use crate::windows::AltitudeText;
use crate::yaml::{Node, NodeKind, Scalar};

/// Something that is said outside the tour: in a file for the day, or as an option.
#[derive(Clone, Debug, PartialEq)]
pub struct Said<T> {
    /// What is said.
    pub value: T,
    /// Where; for an option, its name.
    pub place: Place,
}

/// What is chosen. Nothing: the tour as written.
#[derive(Clone, Debug, Default)]
pub struct Choice {
    /// The variant of the route.
    pub variant: Option<Said<String>>,
    /// The languages in which it is told; several are carried at once.
    pub languages: Option<Said<Vec<String>>>,
    /// The altitude of every leg, instead of its own.
    pub altitude: Option<Said<Altitude>>,
    /// Above which no leg is flown.
    pub not_above: Option<Said<Altitude>>,
    /// The time of take-off.
    pub departure: Option<Said<Utc>>,
}

impl Choice {
    /// What is chosen of heights and times, in words such as `not above 700 ft`; a phrase each.
    #[must_use]
    pub fn conditions(&self) -> Vec<String> {
        let altitude = self.altitude.as_ref();
        let not_above = self.not_above.as_ref();
        let departure = self.departure.as_ref().map(|said| {
            let when = jiff::Timestamp::from_millisecond(said.value.0);
            let when = when.map_or_else(|_| "at another time".to_owned(), |when| when.to_string());
            format!("departure {when}")
        });
        let altitude = altitude.map(|said| format!("all legs at {}", words(&said.value)));
        let not_above = not_above.map(|said| format!("not above {}", words(&said.value)));
        [altitude, not_above, departure].into_iter().flatten().collect()
    }
}

/// What differs today.
#[derive(Clone, Debug, Default)]
pub struct Today {
    /// What is chosen.
    pub choice: Choice,
    /// The path of the file of the aircraft that flies instead.
    pub aircraft: Option<Said<String>>,
    /// The wind on all legs.
    pub wind: Option<Said<Wind>>,
    /// Cameras that do not work.
    pub out_of_service: Vec<Said<String>>,
    /// Cameras that must not be used.
    pub not_allowed: Vec<Said<String>>,
}

/// What was chosen, as a project carries it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Chosen {
    /// The variant; none for the route as written.
    pub variant: Option<Name>,
    /// The languages; none for the tour's own.
    pub languages: Vec<String>,
    /// In what it differs from the tour as written, in words such as `not above 700 ft`; a phrase
    /// each.
    pub differences: Vec<String>,
}

/// The tour as it is flown by a choice: its route, language, heights and departure.
///
/// # Errors
/// All that is chosen and that the tour does not have, or cannot be flown so, each with its place.
pub fn choose(project: &Project, choice: &Choice) -> Result<Project, Vec<Diagnostic>> {
    let mut chosen = project.clone();
    let mut findings = Vec::new();
    if let Some(said) = &choice.variant {
        match variant(project, said) {
            Some(entry) => {
                match vary(project, &entry.value) {
                    Ok(route) => chosen.route = route,
                    Err(finding) => findings.push(*finding),
                }
                let mut checks = entry.value.checks.clone();
                checks.append(chosen.checks);
                chosen.checks = checks;
                chosen.chosen.variant = Some(entry.name.value.clone());
                chosen.chosen.differences.push(format!("variant {}", entry.name.value));
            }
            None => findings.extend(unknown_variant(project, said)),
        }
    }
    if let Some(said) = &choice.languages
        && said.value != project.languages()
    {
        for (at, language) in said.value.iter().enumerate() {
            let place = || Said { value: language.clone(), place: said.place.clone() };
            if *language != project.language && !project.other_languages.names(language) {
                findings.push(unknown_language(project, &place()));
            } else if said.value.iter().take(at).any(|before| before == language) {
                findings.push(language_twice(&place()));
            }
        }
        chosen.chosen.languages.clone_from(&said.value);
        chosen.chosen.differences.push(format!("told in {}", said.value.join(" and ")));
    }
    if let Some(said) = &choice.altitude {
        findings.extend(unknown_place(project, said));
        let altitude = within(&chosen.route, &said.value);
        at(&mut chosen.route, &altitude);
    }
    if let Some(said) = &choice.not_above {
        findings.extend(unknown_place(project, said));
        chosen.route.not_above = Some(within(&chosen.route, &said.value));
    }
    // A departure at the planned time is none that differs.
    let same = |said: &Said<Utc>| said.value == project.departure.value;
    let departure = choice.departure.clone().filter(|said| !same(said));
    if let Some(said) = &departure {
        chosen.departure.value = said.value;
    }
    let conditions = Choice { departure, ..choice.clone() }.conditions();
    chosen.chosen.differences.extend(conditions);
    if findings.is_empty() { Ok(chosen) } else { Err(findings) }
}

/// An altitude in words of the language, such as `700 ft` or `500 ft above PAD`.
///
/// # Errors
/// What is wrong with it and how it is written, in a sentence.
pub fn altitude(text: &str) -> Result<Altitude, String> {
    let file = SourceFile::new("", text);
    let span = Span { file: FileId(0), start: 0, end: text.len() };
    let scalar = Scalar { text: text.to_owned(), verbatim: None, block: None };
    let node = Node { kind: NodeKind::Scalar(scalar), span, head: span };
    let mut findings = Vec::new();
    let read = AltitudeText.read(&node, &mut Reader::new(&file, FileId(0), &mut findings));
    read.ok_or_else(|| {
        let told =
            findings.first().map(|finding| format!("{}; {}", finding.headline, finding.help));
        told.unwrap_or_else(|| "write an altitude such as `700 ft`".to_owned())
    })
}

fn variant<'p>(
    project: &'p Project,
    said: &Said<String>,
) -> Option<&'p crate::model::Entry<Variant>> {
    project.variants.get(&said.value)
}

/// A variant that could not be read has been reported.
fn unknown_variant(project: &Project, said: &Said<String>) -> Option<Diagnostic> {
    if project.variants.names(&said.value) {
        return None;
    }
    let headline = format!("{} has no variant `{}`", project.title.value, said.value);
    let help = listed("its variants are", &said.value, &names(&project.variants));
    let help = help.unwrap_or_else(|| "add it below `variants` of the tour".to_owned());
    Some(Diagnostic::error("unknown-variant", said.place.clone(), headline).help(help))
}

fn unknown_language(project: &Project, said: &Said<String>) -> Diagnostic {
    let headline = format!("{} is not told in `{}`", project.title.value, said.value);
    let mut languages = vec![project.language.as_str()];
    languages.extend(names(&project.other_languages));
    let help = listed("its languages are", &said.value, &languages).unwrap_or_default();
    Diagnostic::error("unknown-language", said.place.clone(), headline).help(help)
}

fn language_twice(said: &Said<String>) -> Diagnostic {
    let headline = format!("`{}` is named twice", said.value);
    let help = "name each language once";
    Diagnostic::error("language-twice", said.place.clone(), headline).help(help)
}

/// The tour's `language` names languages that it does not have, or one twice.
pub(crate) fn carried(project: &Project, sources: &Sources) -> Vec<Diagnostic> {
    let said = project.carried.iter().enumerate().skip(1);
    said.filter_map(|(at, tag)| {
        let said = Said { value: tag.value.clone(), place: sources.place(tag.span) };
        let before = project.carried.iter().take(at);
        if before.into_iter().any(|before| before.value == tag.value) {
            return Some(language_twice(&said));
        }
        let known = project.other_languages.names(&tag.value);
        (!known).then(|| {
            let headline = format!("`{}` is none of the tour's `other languages`", tag.value);
            Diagnostic::error("unknown-language", said.place.clone(), headline)
                .help(format!("add `other languages: {{{}: {{}}}}`", tag.value))
        })
    })
    .collect()
}

fn names<T>(table: &Table<T>) -> Vec<&str> {
    table.entries.iter().map(|entry| entry.name.value.as_str()).collect()
}

fn listed(are: &str, said: &str, known: &[&str]) -> Option<String> {
    if let Some(meant) = near(said, known.iter().copied()) {
        return Some(format!("`{meant}` is probably meant"));
    }
    (!known.is_empty()).then(|| format!("{are} {}", known.join(", ")))
}

/// An altitude above a place that the tour does not have.
fn unknown_place(project: &Project, said: &Said<Altitude>) -> Option<Diagnostic> {
    let above = said.value.above.as_ref()?;
    let name = above.value.as_str();
    let known = project.waypoints.names(name)
        || project.sights.names(name)
        || project.landing_sites.names(name);
    if known {
        return None;
    }
    let headline = format!("{} has no place `{name}`", project.title.value);
    let help = "name a waypoint, sight or landing site of the tour that has an `elevation`";
    Some(Diagnostic::error("unknown-place", said.place.clone(), headline).help(help))
}

fn words(altitude: &Altitude) -> String {
    let feet = altitude.value.feet();
    let above = altitude.above.as_ref().map(|place| format!(" above {}", place.value));
    // Whoever says it in metres reads it in feet, as everything else in the air.
    format!("{:.0} ft{}", feet, above.unwrap_or_default())
}

/// An altitude from outside the tour, with the place of the route as its own.
fn within(route: &Route, altitude: &Altitude) -> Spanned<Altitude> {
    let above = altitude.above.as_ref();
    let above = above.map(|place| Spanned { value: place.value.clone(), span: route.span });
    Spanned { value: Altitude { value: altitude.value, above }, span: route.span }
}

/// Has all legs flown at one altitude.
fn at(route: &mut Route, altitude: &Spanned<Altitude>) {
    route.settings.altitude = Some(altitude.clone());
    for leg in &mut route.legs {
        leg.settings.altitude = None;
    }
}

/// The route of a variant.
///
/// # Errors
/// Why it cannot be flown so.
fn vary(project: &Project, variant: &Variant) -> Result<Route, Box<Diagnostic>> {
    let mut route = project.route.clone();
    if variant.reversed {
        route.legs = reverse::reversed(&route.legs).map_err(|why| {
            let place = project.sources.place(why.span);
            let finding = Diagnostic::error("cannot-be-reversed", place, why.headline);
            Box::new(finding.help(why.help))
        })?;
    }
    if let Some(departure) = &variant.departure {
        let begins = |leg: &Leg| matches!(leg.kind.value, LegKind::From(_));
        let joins = |leg: &Leg| !begins(leg) && about(leg) == Some(&departure.joins.value);
        let first = route.legs.iter().position(joins);
        let first = first.ok_or_else(|| not_on_route(project, &route, &departure.joins))?;
        let mut legs = departure.legs.clone();
        legs.extend(route.legs.drain(first..));
        route.legs = legs;
    }
    if let Some(arrival) = &variant.arrival {
        let leaves = |leg: &Leg| about(leg) == Some(&arrival.leaves.value);
        let last = route.legs.iter().rposition(leaves);
        let last = last.ok_or_else(|| not_on_route(project, &route, &arrival.leaves))?;
        route.legs.truncate(last + 1);
        route.legs.extend(arrival.legs.iter().cloned());
    }
    if let Some(altitude) = &variant.altitude {
        at(&mut route, altitude);
    }
    route.not_above.clone_from(&variant.not_above);
    Ok(route)
}

/// The place with a name that a leg is flown to or round.
fn about(leg: &Leg) -> Option<&Name> {
    let spot = match &leg.kind.value {
        LegKind::From(at) | LegKind::To(at) | LegKind::Land { at, .. } => at,
        LegKind::Hover { at, .. } => &at.as_ref()?.value,
        LegKind::Orbit { around, .. } => &around.value,
    };
    match spot {
        Spot::Named(name) => Some(name),
        Spot::At(_) => None,
    }
}

fn not_on_route(project: &Project, route: &Route, place: &Spanned<Name>) -> Box<Diagnostic> {
    let known = route.legs.iter().filter_map(about).map(Name::as_str);
    let help = match near(&place.value, known) {
        Some(meant) => format!("`{meant}` is probably meant"),
        None => "name the place of one of the legs of `route`".to_owned(),
    };
    let headline = format!("no leg of the route goes to `{}`", place.value);
    let place = project.sources.place(place.span);
    Box::new(Diagnostic::error("variant-off-route", place, headline).help(help))
}
