//! What differs today: the file for the day, with the options above it.

use diagnostic::Place;
use route::model::Wind;
use route::{Choice, Said, Today};

use super::file;
use super::findings::Findings;
use super::world::Disk;
use crate::args::TodayArgs;

/// What differs today. None if the file for the day could not be read, or has mistakes; they have
/// been found.
pub(crate) fn read(disk: &Disk, args: &TodayArgs, findings: &mut Findings) -> Option<Today> {
    let mut today = match &args.today {
        Some(path) => {
            let (today, sources, found) = route::read_today(disk, &file::name(path));
            for source in sources.files() {
                findings.texts.insert(source.name.clone(), source.text.clone());
            }
            let broken = !found.is_empty();
            findings.extend(found);
            today.filter(|_| !broken)?
        }
        None => Today::default(),
    };
    let conditions = &args.conditions;
    let aircraft = args.aircraft.as_ref().map(|path| file::name(path));
    said(&mut today.aircraft, aircraft, "--aircraft");
    said(&mut today.choice.variant, args.variant.clone(), "--variant");
    let languages = (!args.language.is_empty()).then(|| args.language.clone());
    said(&mut today.choice.languages, languages, "--language");
    said(&mut today.choice.altitude, conditions.altitude.clone(), "--altitude");
    said(&mut today.choice.not_above, conditions.not_above.clone(), "--not-above");
    said(&mut today.choice.departure, conditions.departure, "--departure");
    let wind = conditions.wind.map(|wind| Wind { from: wind.0.from, speed: wind.0.speed });
    said(&mut today.wind, wind, "--wind");
    add(&mut today.out_of_service, &conditions.out_of_service, "--out-of-service");
    add(&mut today.not_allowed, &conditions.not_allowed, "--not-allowed");
    Some(today)
}

/// Whether anything differs today.
pub(crate) fn differs(today: &Today) -> bool {
    let Today { aircraft, wind, out_of_service, not_allowed, choice } = today;
    let Choice { variant, languages, altitude, not_above, departure } = choice;
    let tour = aircraft.is_some() || variant.is_some() || languages.is_some();
    let flight = altitude.is_some() || not_above.is_some() || departure.is_some();
    tour || flight || wind.is_some() || !out_of_service.is_empty() || !not_allowed.is_empty()
}

/// An option stands above the file.
fn said<T>(there: &mut Option<Said<T>>, given: Option<T>, option: &str) {
    if let Some(value) = given {
        *there = Some(Said { value, place: Place::whole(option) });
    }
}

/// Cameras add up.
fn add(there: &mut Vec<Said<String>>, given: &[String], option: &str) {
    for name in given {
        if there.iter().all(|said| said.value != *name) {
            there.push(Said { value: name.clone(), place: Place::whole(option) });
        }
    }
}
