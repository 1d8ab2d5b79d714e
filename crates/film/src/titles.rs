//! Titles and live values as captions of their own.

use earth::{DegreesTrue, Metres, MetresPerSecond, Millis, Surface, Utc};
use engine::{Change, Event, HeadingFrom, Notice, Sink, State};
use plan::{Place, PlaceKind, Plan};
use timeline::{Flight, Span};

use crate::breaks::wrapped;
use crate::captions::Cue;
use crate::clock::{Clock, Sections};

/// How near a place has to be to be named: two nautical miles, as for `before abeam`.
const NEAR: Metres = Metres::from_nautical_miles(2.0);

/// What can be shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Value {
    /// The title that the plan shows.
    Title,
    /// The nearest place with a title for people, within two nautical miles. A waypoint that has
    /// none, and only a name for the author, is not shown.
    Place,
    /// Height above the place where the flight began.
    Height,
    /// Altitude above mean sea level.
    Altitude,
    /// Groundspeed.
    Groundspeed,
    /// Where the nose points, degrees true; nothing where only the track stands in for it.
    Heading,
    /// Track over the ground, degrees true.
    Track,
    /// The local time.
    LocalTime,
}

/// Units in which heights and speeds are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// Feet and knots.
    #[default]
    Aviation,
    /// Metres and kilometres an hour.
    Metric,
}

/// What is shown, and how.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    /// Which values, in the order in which they are shown. The title and the place have a line of
    /// their own.
    pub values: Vec<Value>,
    /// In which units.
    pub units: Units,
    /// How far local time is ahead of UTC.
    pub offset: Millis,
    /// How often values change.
    pub every: Millis,
    /// How many characters a line may have; longer titles are parted.
    pub line: usize,
}

/// One look at a flight.
#[derive(Clone, Copy, Debug)]
struct Look {
    time: Utc,
    place: Option<usize>,
    height: Option<Metres>,
    altitude: Option<Metres>,
    groundspeed: Option<MetresPerSecond>,
    heading: Option<DegreesTrue>,
    track: Option<DegreesTrue>,
    lost: bool,
}

/// Gathers what is shown: a sink of the engine. Its memory grows with the time flown, at one look
/// every so often, and not with the number of fixes.
#[derive(Debug)]
pub struct Titles {
    shown: Shown,
    places: Vec<Surface>,
    titles: Vec<String>,
    /// By place; none for one that is not shown.
    names: Vec<Option<String>>,
    elevations: Vec<Option<Metres>>,
    looks: Vec<Look>,
    /// The elevation that heights are above, by run and flight.
    ground: Option<((u32, u32), Option<Metres>)>,
}

impl Titles {
    /// Nothing is gathered yet.
    #[must_use]
    pub fn new(plan: &Plan, shown: Shown) -> Self {
        Self {
            shown,
            places: plan.places.iter().map(|place| Surface::from(place.position)).collect(),
            titles: plan.titles.iter().map(|title| title.text.clone()).collect(),
            names: plan.places.iter().map(name).collect(),
            elevations: plan.places.iter().map(|place| place.elevation).collect(),
            looks: Vec::new(),
            ground: None,
        }
    }

    fn wants(&self, value: Value) -> bool {
        self.shown.values.contains(&value)
    }

    fn named(&self, place: usize) -> bool {
        self.names.get(place).is_some_and(Option::is_some)
    }

    /// The nearest place of some kind, and its distance.
    fn nearest(&self, at: &Surface, kind: impl Fn(usize) -> bool) -> Option<(usize, Metres)> {
        let places = self.places.iter().enumerate().filter(|(place, _)| kind(*place));
        places
            .map(|(place, there)| (place, at.distance(there)))
            .min_by(|a, b| a.1.get().total_cmp(&b.1.get()))
    }

    /// The elevation that heights are above: of the nearest place that has one within two nautical
    /// miles of where the flight is first seen, else the altitude there if it stands on the ground.
    fn ground(&mut self, state: &State<'_>) -> Option<Metres> {
        let flight = (state.run, state.flight);
        if let Some((known, ground)) = self.ground
            && known == flight
        {
            return ground;
        }
        let at = Surface::from(state.position);
        let elevation_of = |place: usize| self.elevations.get(place).copied().flatten();
        let near = self.nearest(&at, |place| elevation_of(place).is_some());
        let near = near.filter(|(_, away)| *away <= NEAR);
        let elevation = near.and_then(|(place, _)| elevation_of(place));
        let standing = state.altitude.filter(|_| state.airborne == Some(false));
        let ground = elevation.or(standing);
        self.ground = Some((flight, ground));
        ground
    }

    /// What is shown of a flight, on a clock: a caption for each time in which nothing changes.
    #[must_use]
    pub fn cues(&self, flight: &Flight, clock: Clock) -> Vec<Cue> {
        let sections = Sections::of(flight, clock);
        let mut cues: Vec<Cue> = Vec::new();
        for span in self.spans(flight) {
            let lines = self.lines(flight, span.from);
            if lines.is_empty() {
                continue;
            }
            for (_, (from, to)) in sections.place(span) {
                match cues.last_mut() {
                    Some(last) if last.to == from && last.lines == lines => last.to = to,
                    _ => cues.push(Cue { from, to, lines: lines.clone() }),
                }
            }
        }
        cues
    }

    /// The flight cut wherever something may change.
    fn spans(&self, flight: &Flight) -> Vec<Span> {
        let within = |time: &Utc| flight.span.holds(*time);
        let titles = flight.titles.iter().flat_map(|title| [title.span.from, title.span.to]);
        let mut cuts: Vec<Utc> = titles.filter(within).collect();
        cuts.push(flight.span.from);
        if self.shown.values.iter().any(|value| *value != Value::Title) {
            let every = self.shown.every.0.max(1);
            let first = flight.span.from.0.div_euclid(every) + 1;
            let last = flight.span.to.0.div_euclid(every);
            cuts.extend((first..=last).map(|step| Utc(step * every)).filter(within));
        }
        cuts.sort_unstable();
        cuts.dedup();
        let ends = cuts.iter().copied().skip(1).chain([flight.span.to]);
        cuts.iter().zip(ends).map(|(from, to)| Span { from: *from, to }).collect()
    }

    /// What is shown at a moment: the title, the place, and the values in one line.
    fn lines(&self, flight: &Flight, time: Utc) -> Vec<String> {
        let look = self.looks.partition_point(|look| look.time <= time).checked_sub(1);
        let look = look.and_then(|place| self.looks.get(place)).filter(|look| !look.lost);
        let mut lines = Vec::new();
        let mut values = Vec::new();
        for value in &self.shown.values {
            match value {
                Value::Title => {
                    let title = flight.titles.iter().find(|title| title.span.holds(time));
                    let text = title.and_then(|title| self.titles.get(title.title.index()));
                    lines.extend(text.into_iter().flat_map(|text| wrapped(text, self.shown.line)));
                }
                Value::Place => {
                    let name = look.and_then(|look| self.names.get(look.place?)?.as_ref());
                    lines.extend(name.into_iter().flat_map(|name| wrapped(name, self.shown.line)));
                }
                Value::LocalTime => values.push(self.clock(time)),
                value => values.extend(look.and_then(|look| self.figure(*value, look))),
            }
        }
        lines.dedup();
        if !values.is_empty() {
            lines.push(values.join("   "));
        }
        lines
    }

    fn clock(&self, time: Utc) -> String {
        (time + self.shown.offset).clock()
    }

    fn figure(&self, value: Value, look: &Look) -> Option<String> {
        let metric = self.shown.units == Units::Metric;
        let long = |metres: Metres, what: &str| {
            // To ten: the last figure of a receiver's altitude only flickers.
            let figure = if metric { metres.get() } else { metres.feet() };
            let unit = if metric { "m" } else { "ft" };
            let tens = (figure / 10.0).round() * 10.0;
            // No minus before nought.
            format!("{:.0} {unit}{what}", tens + 0.0)
        };
        let course = |degrees: DegreesTrue, what: &str| {
            format!("{what} {:03.0}°", degrees.get().round() % 360.0)
        };
        match value {
            Value::Height => look.height.map(|height| long(height, "")),
            Value::Altitude => look.altitude.map(|altitude| long(altitude, " above sea level")),
            Value::Groundspeed => look.groundspeed.map(|speed| {
                if metric {
                    format!("{:.0} km/h", speed.get() * 3.6)
                } else {
                    format!("{:.0} kt", speed.knots())
                }
            }),
            Value::Heading => look.heading.map(|heading| course(heading, "heading")),
            Value::Track => look.track.map(|track| course(track, "track")),
            Value::Title | Value::Place | Value::LocalTime => None,
        }
    }
}

impl Sink for Titles {
    fn change(&mut self, change: &Change) {
        // While GPS is lost nothing is known of where and how fast.
        if change.event == Event::GpsLost {
            self.looks.push(Look {
                time: change.effect,
                place: None,
                height: None,
                altitude: None,
                groundspeed: None,
                heading: None,
                track: None,
                lost: true,
            });
        }
    }

    fn state(&mut self, state: &State<'_>) {
        let ground = self.ground(state);
        let every = self.shown.every.0.max(1);
        let step = |time: Utc| time.0.div_euclid(every);
        let at = Surface::from(state.position);
        let wanted = self.wants(Value::Place);
        let nearest = if wanted { self.nearest(&at, |place| self.named(place)) } else { None };
        let heading = state.heading.filter(|(_, from)| *from != HeadingFrom::Track);
        let look = Look {
            time: state.time,
            place: nearest.filter(|(_, away)| *away <= NEAR).map(|(place, _)| place),
            height: state.altitude.zip(ground).map(|(altitude, ground)| altitude - ground),
            altitude: state.altitude,
            groundspeed: state.groundspeed,
            heading: heading.map(|(heading, _)| heading),
            track: state.track,
            lost: false,
        };
        // Of several in one step the last is what the next step shows; one that lies on the step
        // itself stays.
        match self.looks.last_mut() {
            Some(last)
                if !last.lost && step(last.time) == step(look.time) && last.time.0 % every != 0 =>
            {
                *last = look;
            }
            _ => self.looks.push(look),
        }
    }

    fn notice(&mut self, _: &Notice) {}
}

fn name(place: &Place) -> Option<String> {
    let for_people = place.kind == PlaceKind::Sight || place.title != place.name;
    for_people.then(|| place.title.clone())
}
