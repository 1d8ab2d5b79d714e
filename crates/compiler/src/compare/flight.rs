//! What differs on the planned flight: what passengers would notice.

use std::collections::BTreeMap;

use earth::{Metres, Millis, Position, Surface, Utc};
use engine::{Change, Engine, Event, Limits, Notice, RuleActivity, Sink, State};
use plan::{Day, Place, PlaceKind, Plan};

use crate::event::{EventPlanError, whereabouts};
use crate::fly::{PLANNED_EVERY, fly_in, planned};
use crate::near::PlaceIndex;
use crate::picture::{self, View};
use crate::summary::{CameraUse, Flight, Summary};

use super::content::{LengthsTold, music_title};
use super::matching::Fate;
use super::places::title;
use super::{Details, Difference, How, Part, Two, Value, told};

/// Less than this nobody notices; with a fix a second it is not known any better.
const NOTICED: Millis = Millis(500);
/// A sight that is this much longer or shorter in the picture is told: less comes and goes with the
/// turns of the cameras (common practice, no source).
const NOTICED_PICTURE: Millis = Millis::from_secs(3);
/// How far away a sight in the frame is seen: as `before abeam` has it where nothing is written.
const SEEN_WITHIN: Metres = Metres::from_nautical_miles(2.0);
/// Less than this of the distance flown nobody notices.
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
        let fixes = fly_in(plan, PLANNED_EVERY, day.wind)?.fixes;
        let mut engine = Engine::new(plan, day, Limits::of(&plan.settings))?;
        let mut seen = Seen {
            plan,
            sights: sights(plan),
            summary: Summary::new(plan),
            screens: Screens::default(),
        };
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

struct Seen<'a> {
    plan: &'a Plan,
    sights: Vec<(usize, &'a Place, Surface)>,
    summary: Summary,
    screens: Screens,
}

/// The sights of a plan, with their places in it.
fn sights(plan: &Plan) -> Vec<(usize, &Place, Surface)> {
    let places = plan.places.iter().enumerate();
    let sights = places.filter(|(_, place)| place.kind == PlaceKind::Sight);
    sights.map(|(index, sight)| (index, sight, Surface::from(sight.position))).collect()
}

impl Sink for Seen<'_> {
    fn change(&mut self, change: &Change) {
        self.summary.change(change);
        self.screens.change(change);
    }

    fn state(&mut self, state: &State<'_>) {
        self.summary.state(state);
        if state.take.is_none() {
            return;
        }
        let from = Surface::from(state.position);
        let view = View {
            camera: state.camera,
            heading: state.heading.map(|(heading, _)| heading),
            from: &from,
            altitude: state.altitude,
        };
        let screen = self.screens.of.entry((state.run, state.flight)).or_default();
        for (index, sight, at) in &self.sights {
            if picture::holds(self.plan, &view, sight, at, SEEN_WITHIN) {
                let filmed = screen.filmed.entry(*index).or_default();
                *filmed = *filmed + PLANNED_EVERY;
            }
        }
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

/// The picture, music and titles of one flight, by their index in the plan.
#[derive(Clone, Debug, Default)]
struct Screen {
    /// How long a sight is in the frame of the live camera while that is recorded.
    filmed: BTreeMap<usize, Millis>,
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
        told::narrations(two, &old.0, &new.0, &mut told, into);
        filmed(two, &old.1, &new.1, into);
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

pub(super) fn noticed(old: Millis, new: Millis) -> bool {
    (old - new).0.abs() >= NOTICED.0
}

/// A length of time, if it differs so that one would notice.
pub(super) fn noticed_time(
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
pub(super) fn noticed_since(
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

/// What sights are in the film. One counts as filmed if it is in it for the length of a shot.
fn filmed(two: &Two<'_>, old: &Screen, new: &Screen, into: &mut Vec<Difference>) {
    let of = |screen: &Screen, index: Option<usize>| {
        index.and_then(|index| screen.filmed.get(&index)).copied().unwrap_or_default()
    };
    for fate in two.matched.places.all(&two.old.places, &two.new.places) {
        let (sight, in_old, in_new) = match fate {
            Fate::Kept { new, at, .. } => (new, two.matched.places.old(at), Some(at)),
            Fate::Added(new, at) => (new, None, Some(at)),
            Fate::Gone(old, at) => (old, Some(at), None),
        };
        let (was, is) = (of(old, in_old), of(new, in_new));
        let how = match (
            was >= two.old.settings.minimum_shot.max(PLANNED_EVERY),
            is >= two.new.settings.minimum_shot.max(PLANNED_EVERY),
        ) {
            (false, false) => continue,
            (false, true) => How::Added,
            (true, false) => How::Gone,
            (true, true) if (was - is).0.abs() < NOTICED_PICTURE.0 => continue,
            (true, true) => How::Changed,
        };
        let mut details = Details::default();
        details.both("in the film", was, is, Value::Time);
        into.push(details.alone(Part::Filmed, &sight.name, title(sight), how));
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
