//! What differs on the planned flight: what passengers would notice.

use std::collections::BTreeMap;

use earth::{Metres, Millis, Position, Utc};
use engine::{
    Change, Cut, Engine, Event, GivenUp, Limits, Notice, Obstacle, RuleActivity, Sink, State,
};
use plan::{Day, Plan, ZoneId};

use crate::event::{EventPlanError, whereabouts};
use crate::fly::{fly_in, planned};
use crate::near::PlaceIndex;
use crate::summary::{CameraUse, Flight, NarrationUse, Summary};

use super::content::{LengthsTold, music_title};
use super::matching::Fate;
use super::words::beginning;
use super::{Details, Difference, How, Part, Two, Value};

/// With a fix a second, as a receiver gives them.
const EVERY: Millis = Millis::from_secs(1);
/// Less than this nobody notices; with a fix a second it is not known any better.
const NOTICED: Millis = Millis(500);
/// The same, of the distance flown.
const NOTICED_WAY: Metres = Metres::of(10.0);

/// A plan, its planned route flown.
#[derive(Debug)]
pub struct FlownPlan<'a> {
    pub(super) plan: &'a Plan,
    places: PlaceIndex,
    line: Vec<Position>,
    length: Metres,
    flights: Vec<(Flight, Screen)>,
}

impl<'a> FlownPlan<'a> {
    /// Flies the planned route of a plan on a day.
    ///
    /// # Errors
    /// [`EventPlanError`]; none for a plan that was compiled and a day without a wind of its own.
    pub fn new(plan: &'a Plan, day: &Day) -> Result<Self, EventPlanError> {
        let route = planned(plan, day.wind)?;
        let fixes = fly_in(plan, EVERY, day.wind)?.fixes;
        let mut engine = Engine::new(plan, day, Limits::of(&plan.settings))?;
        let mut seen = Seen { summary: Summary::new(plan), screens: Screens::default() };
        for fix in &fixes {
            engine.fix(fix, &mut seen);
        }
        engine.finish(&mut seen);
        let flights = seen.summary.flights.into_iter().filter(Flight::flew).map(|flight| {
            let screen = seen.screens.of.remove(&(flight.run, flight.number));
            (flight, screen.unwrap_or_default())
        });
        Ok(Self {
            plan,
            places: PlaceIndex::new(plan),
            line: route.line().to_vec(),
            length: route.length(),
            flights: flights.collect(),
        })
    }

    /// The line of the planned route.
    pub(super) fn line(&self) -> &[Position] {
        &self.line
    }

    /// Where something is, in words.
    pub(super) fn whereabouts(&self, at: Position) -> String {
        whereabouts(self.plan, at, self.places.near(at))
    }
}

struct Seen {
    summary: Summary,
    screens: Screens,
}

impl Sink for Seen {
    fn change(&mut self, change: &Change) {
        self.summary.change(change);
        self.screens.change(change);
    }

    fn state(&mut self, state: &State<'_>) {
        self.summary.state(state);
    }

    fn notice(&mut self, notice: &Notice) {
        self.summary.notice(notice);
    }

    fn rule(&mut self, activity: &RuleActivity) {
        self.summary.rule(activity);
    }
}

/// Music or a title over one flight.
#[derive(Clone, Copy, Debug)]
struct Spell {
    first: Utc,
    lasted: Millis,
    since: Option<Utc>,
}

/// The music and titles of one flight, by their index in the plan.
#[derive(Clone, Debug, Default)]
struct Screen {
    music: BTreeMap<usize, Spell>,
    titles: BTreeMap<usize, Spell>,
}

/// The music and titles of every flight, by run and number.
#[derive(Debug, Default)]
struct Screens {
    of: BTreeMap<(u32, u32), Screen>,
    now: (u32, u32),
}

fn turn(spells: &mut BTreeMap<usize, Spell>, from: Option<usize>, to: Option<usize>, at: Utc) {
    if let Some(spell) = from.and_then(|from| spells.get_mut(&from))
        && let Some(since) = spell.since.take()
    {
        spell.lasted = spell.lasted + (at - since);
    }
    if let Some(to) = to {
        let begun = Spell { first: at, lasted: Millis::ZERO, since: None };
        spells.entry(to).or_insert(begun).since = Some(at);
    }
}

impl Screens {
    fn change(&mut self, change: &Change) {
        let flight = (change.run, change.flight);
        let at = change.effect;
        if flight != self.now {
            // What goes on into the next flight is counted in each for its part.
            let last = self.of.entry(self.now).or_default();
            let playing = |spells: &BTreeMap<usize, Spell>| {
                spells.iter().find(|(_, spell)| spell.since.is_some()).map(|(index, _)| *index)
            };
            let (music, title) = (playing(&last.music), playing(&last.titles));
            turn(&mut last.music, music, None, at);
            turn(&mut last.titles, title, None, at);
            self.now = flight;
            let next = self.of.entry(flight).or_default();
            turn(&mut next.music, None, music, at);
            turn(&mut next.titles, None, title, at);
        }
        let screen = self.of.entry(flight).or_default();
        match change.event {
            Event::Music { from, to, .. } => {
                let index = |id: Option<plan::MusicId>| id.map(plan::MusicId::index);
                turn(&mut screen.music, index(from), index(to), at);
            }
            Event::Title { from, to } => {
                let index = |id: Option<plan::TitleId>| id.map(plan::TitleId::index);
                turn(&mut screen.titles, index(from), index(to), at);
            }
            Event::RunEnded => {
                for spells in [&mut screen.music, &mut screen.titles] {
                    let on = spells.iter().find(|(_, spell)| spell.since.is_some());
                    let on = on.map(|(index, _)| *index);
                    turn(spells, on, None, at);
                }
            }
            _ => {}
        }
    }
}

/// Tells what differs on the planned flights, and of which narrations the length has been told.
pub(super) fn compare(
    two: &Two<'_>,
    old: &FlownPlan<'_>,
    new: &FlownPlan<'_>,
    into: &mut Vec<Difference>,
) -> LengthsTold {
    let mut details = Details::default();
    let (was, is) = (two.old.route.departure, two.new.route.departure);
    details.both("planned take-off", was, is, Value::Moment);
    let (was, is) = (old.flights.len(), new.flights.len());
    details.both("flights", was, is, |flights| Value::Count(super::shape::count(flights)));
    let (was, is) = (air_time(old), air_time(new));
    noticed_time(&mut details, "in the air", Some(was), Some(is));
    if (old.length - new.length).abs() > NOTICED_WAY {
        details.both("distance flown", old.length, new.length, Value::Length);
    }
    into.extend(details.changed(Part::Flight, "", None));
    let mut told = LengthsTold::new();
    for (index, (old, new)) in old.flights.iter().zip(&new.flights).enumerate() {
        let before = into.len();
        narrations(two, &old.0, &new.0, &mut told, into);
        cameras(two, &old.0, &new.0, into);
        recording(two, &old.0, &new.0, into);
        screens(two, old, new, into);
        if index > 0 {
            for difference in into.iter_mut().skip(before) {
                let number = index + 1;
                let of = format!("in flight {number}");
                difference.name = match difference.name.as_str() {
                    "" => of,
                    name => format!("{name}, {of}"),
                };
            }
        }
    }
    into.sort_by_key(|difference| difference.part);
    told
}

/// From take-off to the last landing, or the end, of all flights.
fn air_time(flown: &FlownPlan<'_>) -> Millis {
    let of_one = |(flight, _): &(Flight, Screen)| {
        let end = flight.landings.last().map_or(flight.last, |(time, _)| *time);
        flight.since(end).unwrap_or_default()
    };
    flown.flights.iter().map(of_one).fold(Millis::ZERO, |sum, time| sum + time)
}

fn noticed(old: Millis, new: Millis) -> bool {
    (old - new).0.abs() >= NOTICED.0
}

/// A length of time, if it differs so that one would notice.
fn noticed_time(
    details: &mut Details,
    what: &'static str,
    old: Option<Millis>,
    new: Option<Millis>,
) {
    if noticed(old.unwrap_or_default(), new.unwrap_or_default()) {
        details.value(what, old.map(Value::Time), new.map(Value::Time));
    }
}

/// A moment since take-off, if it differs so that one would notice.
fn noticed_since(
    details: &mut Details,
    what: &'static str,
    old: Option<Millis>,
    new: Option<Millis>,
) {
    let differs = match (old, new) {
        (Some(old), Some(new)) => noticed(old, new),
        (old, new) => old != new,
    };
    if differs {
        details.value(what, old.map(Value::Since), new.map(Value::Since));
    }
}

fn narrations(
    two: &Two<'_>,
    old_flight: &Flight,
    new_flight: &Flight,
    told: &mut LengthsTold,
    into: &mut Vec<Difference>,
) {
    let nothing = NarrationUse::default();
    let mut found = Vec::new();
    for fate in two.matched.narrations.all(&two.old.narrations, &two.new.narrations) {
        let (narration, in_old, in_new, lengths) = match fate {
            Fate::Kept { old, new, at } => {
                let lengths = Some((old.length, new.length));
                (new, two.matched.narrations.old(at), Some(at), lengths)
            }
            Fate::Added(new, at) => (new, None, Some(at), None),
            Fate::Gone(old, at) => (old, Some(at), None, None),
        };
        let was = in_old.and_then(|index| old_flight.narrations.get(index));
        let is = in_new.and_then(|index| new_flight.narrations.get(index));
        let how = match (was.map_or(0, |was| was.started), is.map_or(0, |is| is.started)) {
            (0, 0) => continue,
            (0, _) => How::Added,
            (_, 0) => How::Gone,
            _ => How::Changed,
        };
        let starts = |flight: &Flight, of: Option<&NarrationUse>| {
            of.and_then(|of| of.first_started).and_then(|time| flight.since(time))
        };
        let mut details = Details::default();
        let (old_start, new_start) = (starts(old_flight, was), starts(new_flight, is));
        noticed_since(&mut details, "starts", old_start, new_start);
        match how {
            How::Added => {
                details.value(
                    "not told",
                    Some(Value::Words(why_not(two.old, old_flight, in_old))),
                    None,
                );
            }
            How::Gone => {
                details.value(
                    "not told",
                    None,
                    Some(Value::Words(why_not(two.new, new_flight, in_new))),
                );
            }
            _ => {
                let times = |of: &NarrationUse| Value::Count(of.started.into());
                details.both("times told", was.unwrap_or(&nothing), is.unwrap_or(&nothing), times);
                if let (Some((old, new)), Some(at)) = (lengths, in_new) {
                    noticed_time(&mut details, "lasts", Some(old), Some(new));
                    if noticed(old, new) {
                        told.insert(at);
                    }
                }
            }
        }
        let (old_end, new_end) = (end(two.old, was), end(two.new, is));
        // That one is told to its end goes without saying where it is told in one of them only.
        let ends_otherwise = match how {
            How::Added => cut_short(is),
            How::Gone => cut_short(was),
            _ => is_other_end(was, is),
        };
        if ends_otherwise {
            details.value("told", old_end.map(Value::Words), new_end.map(Value::Words));
        }
        let known_as = Some(beginning(&narration.text));
        let difference = match &how {
            How::Changed => details.changed(Part::Told, &narration.name, known_as),
            how => Some(details.alone(Part::Told, &narration.name, known_as, how.clone())),
        };
        // First what is missed most.
        let rank = match how {
            How::Gone => 0,
            How::Added => 1,
            _ if ends_otherwise => 2,
            _ => 3,
        };
        found.extend(difference.map(|difference| (rank, new_start.or(old_start), difference)));
    }
    found.sort_by_key(|(rank, start, _)| (*rank, *start));
    into.extend(found.into_iter().map(|(_, _, difference)| difference));
}

/// Whether it was cut off and never told to its end.
fn cut_short(of: Option<&NarrationUse>) -> bool {
    of.is_some_and(|of| of.cut_offs > 0 && of.ended == 0)
}

/// Whether one that is told in both flights ends otherwise.
fn is_other_end(was: Option<&NarrationUse>, is: Option<&NarrationUse>) -> bool {
    if cut_short(was) != cut_short(is) {
        return true;
    }
    let played = |of: Option<&NarrationUse>| {
        of.and_then(|of| of.cut_off.first()).map_or(Millis::ZERO, |(_, played)| *played)
    };
    cut_short(was) && noticed(played(was), played(is))
}

/// How a narration that was told came to its end.
fn end(plan: &Plan, of: Option<&NarrationUse>) -> Option<String> {
    let of = of.filter(|of| of.started > 0)?;
    let cut = of.cut_off.first().filter(|_| cut_short(Some(of)));
    Some(cut.map_or_else(
        || "to its end".to_owned(),
        |(by, played)| {
            let seconds = (played.secs()).round();
            format!("{seconds} s of it, then cut off: {}", cut_by(plan, *by))
        },
    ))
}

fn narration_name(plan: &Plan, index: usize) -> &str {
    plan.narrations.get(index).map_or("", |narration| &narration.name)
}

fn zone_name(plan: &Plan, id: ZoneId) -> &str {
    plan.zones.get(id.index()).map_or("", |zone| &zone.name)
}

fn cut_by(plan: &Plan, by: Cut) -> String {
    match by {
        Cut::Interrupted(id) => format!("{} interrupts it", narration_name(plan, id.index())),
        Cut::Quiet(zone) => format!("the quiet zone {} is entered", zone_name(plan, zone)),
        Cut::TookOff => "take-off".into(),
        Cut::Radio | Cut::PausedTooLong => "the radio".into(),
        Cut::Skipped | Cut::VoiceOff => "by hand".into(),
        Cut::NewFlight => "the next flight begins".into(),
        Cut::RunEnded => "the flight is over".into(),
    }
}

/// Why a narration was not told, by its index in the plan.
fn why_not(plan: &Plan, flight: &Flight, narration: Option<usize>) -> String {
    let found = narration.and_then(|index| Some((index, flight.narrations.get(index)?)));
    let Some((index, of)) = found else { return "it is not in the plan".to_owned() };
    let asks = plan.rules.iter().filter_map(|rule| rule.narration);
    let asks = asks.map(|asked| asked.narration.index()).any(|asked| asked == index);
    if let Some(why) = of.given_up_for {
        let waited = of
            .waited_for
            .map_or_else(String::new, |by| format!("waited for {} and was ", obstacle(plan, by)));
        let why = match why {
            GivenUp::RuleEnded => "its rule ended",
            GivenUp::WaitedLongEnough => "it had waited long enough",
            GivenUp::PlayedAlready => "it had been told for another rule",
            GivenUp::NewFlight => "the next flight began",
            GivenUp::RunEnded => "the flight was over",
        };
        return format!("{waited}given up: {why}");
    }
    if let Some(by) = of.skipped_for {
        return format!("left out for {}", obstacle(plan, by));
    }
    if of.waited > 0 {
        return "it still waits at the end".to_owned();
    }
    if asks { "its rule does not come up" } else { "no rule asks for it" }.to_owned()
}

fn obstacle(plan: &Plan, by: Obstacle) -> String {
    match by {
        Obstacle::Playing(id) => {
            format!("{}, which was playing,", narration_name(plan, id.index()))
        }
        Obstacle::Breath => "the breath after the one before".into(),
        Obstacle::Quiet(zone) => format!("the quiet zone {}", zone_name(plan, zone)),
        Obstacle::Radio => "the radio".into(),
        Obstacle::VoiceOff => "the voice, which was off,".into(),
        Obstacle::NotOnGround => "a landing, being for the ground,".into(),
        Obstacle::Lost => "GPS, which was lost,".into(),
    }
}

fn cameras(two: &Two<'_>, old: &Flight, new: &Flight, into: &mut Vec<Difference>) {
    let mut stills = Details::default();
    stills.both("stills", old.stills(), new.stills(), |stills| Value::Count(stills.into()));
    into.extend(stills.changed(Part::Stills, "", None));
    let (old_cameras, new_cameras) = (&two.old.aircraft.cameras, &two.new.aircraft.cameras);
    for fate in two.matched.cameras.all(old_cameras, new_cameras) {
        let (camera, was, is) = match fate {
            Fate::Kept { new: camera, at, .. } => {
                let was = two.matched.cameras.old(at).and_then(|was| old.cameras.get(was));
                (camera, was, new.cameras.get(at))
            }
            Fate::Added(camera, at) => (camera, None, new.cameras.get(at)),
            Fate::Gone(camera, at) => (camera, old.cameras.get(at), None),
        };
        let mut live = Details::default();
        let time = |of: Option<&CameraUse>| of.map(|of| of.live);
        noticed_time(&mut live, "live", time(was), time(is));
        into.extend(live.changed(Part::Live, &camera.name, None));
        let mut stills = Details::default();
        let number = |of: Option<&CameraUse>| of.map_or(0, |of| of.stills);
        let count = |number: u32| Value::Count(number.into());
        stills.both("stills", number(was), number(is), count);
        into.extend(stills.changed(Part::Stills, &camera.name, None));
    }
}

fn recording(two: &Two<'_>, old: &Flight, new: &Flight, into: &mut Vec<Difference>) {
    let mut details = Details::default();
    noticed_time(&mut details, "recorded", Some(old.recorded), Some(new.recorded));
    details.both("takes", old.takes, new.takes, |takes| Value::Count(takes.into()));
    into.extend(details.changed(Part::Recorded, "", None));
    let inside = |flight: &Flight, zone: usize| {
        let times = flight.filmed_inside.iter().filter(|inside| inside.zone.index() == zone);
        times.map(|inside| inside.to - inside.from).fold(Millis::ZERO, |sum, time| sum + time)
    };
    for fate in two.matched.zones.all(&two.old.zones, &two.new.zones) {
        let (zone, was, is) = match fate {
            Fate::Kept { new: zone, at, .. } => {
                let was = two.matched.zones.old(at);
                let was = was.map_or(Millis::ZERO, |was| inside(old, was));
                (zone, was, inside(new, at))
            }
            Fate::Added(zone, at) => (zone, Millis::ZERO, inside(new, at)),
            Fate::Gone(zone, at) => (zone, inside(old, at), Millis::ZERO),
        };
        let mut details = Details::default();
        noticed_time(
            &mut details,
            "filmed inside, before the entry was known",
            Some(was),
            Some(is),
        );
        into.extend(details.changed(Part::FilmedInside, &zone.name, None));
    }
}

/// A flight with its music and titles.
type Film = (Flight, Screen);

fn screens(two: &Two<'_>, old: &Film, new: &Film, into: &mut Vec<Difference>) {
    for fate in two.matched.music.all(&two.old.music, &two.new.music) {
        let (music, was, is) = match fate {
            Fate::Kept { new, at, .. } => (new, two.matched.music.old(at), Some(at)),
            Fate::Added(new, at) => (new, None, Some(at)),
            Fate::Gone(old, at) => (old, Some(at), None),
        };
        let was = was.and_then(|was| old.1.music.get(&was));
        let is = is.and_then(|is| new.1.music.get(&is));
        let known_as = music_title(music);
        into.extend(spell(Part::Played, &music.name, known_as, (&old.0, was), (&new.0, is)));
    }
    for fate in two.matched.titles.all(&two.old.titles, &two.new.titles) {
        let (title, was, is) = match fate {
            Fate::Kept { new, at, .. } => (new, two.matched.titles.old(at), Some(at)),
            Fate::Added(new, at) => (new, None, Some(at)),
            Fate::Gone(old, at) => (old, Some(at), None),
        };
        let was = was.and_then(|was| old.1.titles.get(&was));
        let is = is.and_then(|is| new.1.titles.get(&is));
        let known_as = Some(title.text.clone());
        into.extend(spell(Part::Shown, &title.name, known_as, (&old.0, was), (&new.0, is)));
    }
}

fn spell(
    part: Part,
    name: &str,
    known_as: Option<String>,
    (old_flight, old): (&Flight, Option<&Spell>),
    (new_flight, new): (&Flight, Option<&Spell>),
) -> Option<Difference> {
    let mut details = Details::default();
    let first =
        |flight: &Flight, spell: Option<&Spell>| spell.and_then(|spell| flight.since(spell.first));
    noticed_since(&mut details, "starts", first(old_flight, old), first(new_flight, new));
    let lasted = |spell: Option<&Spell>| spell.map(|spell| spell.lasted);
    noticed_time(&mut details, "lasts", lasted(old), lasted(new));
    let how = match (old, new) {
        (None, None) => return None,
        (None, Some(_)) => How::Added,
        (Some(_), None) => How::Gone,
        (Some(_), Some(_)) => return details.changed(part, name, known_as),
    };
    Some(details.alone(part, name, known_as, how))
}
