//! Whether a plan is sound: after this nothing downstream has to ask again.

mod material;
mod route;
mod rule;
mod zone;

use std::collections::BTreeSet;

use earth::{Degrees, Metres, MetresPerSecond, Millis};

use crate::bounds::{self, Bound};
use crate::error::{Fault, PlanError};
use crate::model::{
    Aircraft, AltitudeBand, Approval, Camera, Lens, ManualCamera, Plan, Settings, Source,
    SpeedBand, Wind, Window,
};

impl Plan {
    /// Whether the plan is sound: every index exists, every value is within [`crate::bounds`],
    /// combined zones name only earlier zones that are no gates, names are unique in their kind,
    /// and `after` makes no circle.
    ///
    /// # Errors
    /// The first fault found, with the part of the plan that has it.
    pub fn check(&self) -> Result<(), PlanError> {
        let top = At::of("plan");
        top.name(&self.title, Naming::ForPeople)?;
        top.within(&bounds::REVISION, f64::from(self.revision))?;
        check_approval(&self.approval)?;
        top.count(&bounds::LANGUAGES, self.languages.len())?;
        for language in &self.languages {
            At::of("languages").name(language, Naming::ForPeople)?;
        }
        top.count(&bounds::DIFFERENCES, self.differences.len())?;
        for difference in &self.differences {
            At::of("differences").name(difference, Naming::ForPeople)?;
        }
        top.count(&bounds::SOURCES, self.sources.len())?;
        for (index, file) in self.sources.iter().enumerate() {
            At::of(format!("source file {index}")).name(file, Naming::ForPeople)?;
        }
        check_settings(&self.settings)?;
        if let Some(wind) = &self.wind {
            At::of("wind").wind(wind)?;
        }
        At::of("light").angle(&bounds::INTO_LENS, self.light.into_lens)?;
        check_aircraft(&self.aircraft)?;
        route::check_places(self)?;
        route::check_route(self)?;
        zone::check_zones(self)?;
        rule::check_rules(self)?;
        material::check(self)
    }
}

/// Whether a name is one that rules use or a text for people.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Naming {
    /// Used by rules; unique in its kind.
    ForRules,
    /// Read by people.
    ForPeople,
}

/// A part of the plan under check, so that every fault says where it was found.
struct At {
    place: String,
    written: Option<Source>,
}

impl At {
    fn of(place: impl Into<String>) -> Self {
        Self { place: place.into(), written: None }
    }

    fn named(kind: &str, name: &str) -> Self {
        Self::of(format!("{kind} `{name}`"))
    }

    fn written(mut self, source: Source) -> Self {
        self.written = Some(source);
        self
    }

    /// A part of this part.
    fn part(&self, name: &str) -> Self {
        Self { place: format!("{}, {name}", self.place), written: self.written }
    }

    fn error(&self, fault: Fault) -> PlanError {
        PlanError { place: self.place.clone(), written: self.written, fault }
    }

    fn broken<T>(&self, rule: &'static str) -> Result<T, PlanError> {
        Err(self.error(Fault::Broken(rule)))
    }

    fn within(&self, bound: &'static Bound, value: f64) -> Result<(), PlanError> {
        if bound.allows(value) {
            return Ok(());
        }
        Err(self.error(Fault::OutOfBounds { bound, value }))
    }

    #[expect(clippy::cast_precision_loss, reason = "a count beyond 2^53 is out of bounds anyway")]
    fn count(&self, bound: &'static Bound, count: usize) -> Result<(), PlanError> {
        self.within(bound, count as f64)
    }

    fn time(&self, bound: &'static Bound, time: Millis) -> Result<(), PlanError> {
        self.within(bound, time.secs())
    }

    fn metres(&self, bound: &'static Bound, length: Metres) -> Result<(), PlanError> {
        self.within(bound, length.get())
    }

    fn speed(&self, bound: &'static Bound, speed: MetresPerSecond) -> Result<(), PlanError> {
        self.within(bound, speed.get())
    }

    fn angle(&self, bound: &'static Bound, angle: Degrees) -> Result<(), PlanError> {
        self.within(bound, angle.get())
    }

    fn exists(&self, kind: &'static str, index: u32, count: usize) -> Result<(), PlanError> {
        if (index as usize) < count {
            return Ok(());
        }
        Err(self.error(Fault::NoSuch { kind, index, count }))
    }

    /// A name or one-line text: neither empty, too long nor with control characters, which would
    /// tear the lines and tables in which it is printed.
    fn name(&self, name: &str, naming: Naming) -> Result<(), PlanError> {
        if name.trim().is_empty() {
            return self.broken(match naming {
                Naming::ForRules => "its name is empty",
                Naming::ForPeople => "its text is empty",
            });
        }
        if name.chars().any(char::is_control) {
            return self.broken("a name or title has no line breaks or control characters");
        }
        match naming {
            Naming::ForRules => self.count(&bounds::NAME_LENGTH, name.chars().count()),
            Naming::ForPeople => self.text(name),
        }
    }

    fn text(&self, text: &str) -> Result<(), PlanError> {
        self.count(&bounds::TEXT_LENGTH, text.chars().count())
    }

    fn source(&self, plan: &Plan, source: Source) -> Result<(), PlanError> {
        self.exists("source file", source.file, plan.sources.len())?;
        self.within(&bounds::SOURCE_COUNT, f64::from(source.line))?;
        self.within(&bounds::SOURCE_COUNT, f64::from(source.column))
    }

    fn wind(&self, wind: &Wind) -> Result<(), PlanError> {
        self.speed(&bounds::WIND_SPEED, wind.speed)
    }

    /// A clockwise window of directions; only 0 to 360 may have equal ends.
    fn clockwise(&self, from: Degrees, to: Degrees) -> Result<(), PlanError> {
        self.angle(&bounds::AROUND, from)?;
        self.angle(&bounds::AROUND, to)?;
        let (from, to) = (from.get(), to.get());
        let whole = from == 0.0 && to == 360.0;
        if !whole && from % 360.0 == to % 360.0 {
            return self.broken("the ends of a window are equal; every direction is 0 to 360");
        }
        Ok(())
    }

    fn window(&self, window: &Window) -> Result<(), PlanError> {
        self.clockwise(window.from, window.to)
    }

    fn altitude_band(&self, band: &AltitudeBand) -> Result<(), PlanError> {
        for end in [band.from, band.to].into_iter().flatten() {
            self.metres(&bounds::ALTITUDE, end)?;
        }
        self.ends(band.from.map(Metres::get), band.to.map(Metres::get))
    }

    fn speed_band(&self, band: &SpeedBand) -> Result<(), PlanError> {
        for end in [band.from, band.to].into_iter().flatten() {
            self.speed(&bounds::GROUNDSPEED, end)?;
        }
        self.ends(band.from.map(MetresPerSecond::get), band.to.map(MetresPerSecond::get))
    }

    fn ends(&self, from: Option<f64>, to: Option<f64>) -> Result<(), PlanError> {
        match (from, to) {
            (None, None) => self.broken("a band has at least one end"),
            (Some(from), Some(to)) if from > to => {
                self.broken("the lower end of a band is above its upper end")
            }
            _ => Ok(()),
        }
    }
}

/// Whether names are unique; the second of two is reported.
fn unique<'a>(
    kind: &'static str,
    names: impl Iterator<Item = (&'a str, Option<Source>)>,
) -> Result<(), PlanError> {
    let mut seen = BTreeSet::new();
    for (name, written) in names {
        let at = At { place: format!("{kind} `{name}`"), written };
        at.name(name, Naming::ForRules)?;
        if !seen.insert(name) {
            return Err(at.error(Fault::Twice(name.to_owned())));
        }
    }
    Ok(())
}

fn check_approval(approval: &Approval) -> Result<(), PlanError> {
    let Approval::Approved { by, on } = approval else { return Ok(()) };
    let at = At::of("approval");
    at.name(by, Naming::ForPeople)?;
    if !is_date(on) {
        return at.broken("its day is not a date written YYYY-MM-DD");
    }
    Ok(())
}

/// Whether a text is a day of the calendar, `YYYY-MM-DD`.
fn is_date(text: &str) -> bool {
    let mut parts = text.split('-');
    let mut number = |digits: usize| {
        let part = parts.next().filter(|p| p.len() == digits)?;
        if part.bytes().all(|b| b.is_ascii_digit()) { part.parse::<u32>().ok() } else { None }
    };
    let (Some(year), Some(month), Some(day)) = (number(4), number(2), number(2)) else {
        return false;
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        1..=12 => 31,
        _ => return false,
    };
    parts.next().is_none() && (1..=days).contains(&day)
}

fn check_settings(settings: &Settings) -> Result<(), PlanError> {
    let at = At::of("settings");
    at.speed(&bounds::MINIMUM_SPEED, settings.minimum_speed)?;
    at.speed(&bounds::GREATEST_SPEED, settings.greatest_speed)?;
    if settings.minimum_speed >= settings.greatest_speed {
        return at.broken("the minimum speed is not below the greatest speed");
    }
    at.time(&bounds::LOST_AFTER, settings.lost_after)?;
    at.time(&bounds::BRIDGE, settings.bridge)?;
    if settings.bridge < settings.lost_after {
        return at.broken("bridge is less than lost after");
    }
    at.time(&bounds::LATE_ALLOWANCE, settings.late_allowance)?;
    at.time(&bounds::TURNAROUND, settings.turnaround)?;
    at.time(&bounds::CAMERA_TURN, settings.default_turn)?;
    at.time(&bounds::MINIMUM_SHOT, settings.minimum_shot)?;
    at.time(&bounds::SHOT_HOLD, settings.shot_hold)?;
    if let ManualCamera::For(time) = settings.manual_camera {
        at.time(&bounds::MANUAL_CAMERA, time)?;
    }
    at.time(&bounds::BREATH, settings.breath)?;
    at.angle(&bounds::DIRECTION_SLACK, settings.direction_slack)?;
    at.metres(&bounds::ALTITUDE_SLACK, settings.altitude_slack)?;
    at.speed(&bounds::GROUNDSPEED_SLACK, settings.groundspeed_slack)?;
    at.time(&bounds::LONGEST_PAUSE, settings.longest_pause)
}

fn check_aircraft(aircraft: &Aircraft) -> Result<(), PlanError> {
    let at = At::of("aircraft");
    at.name(&aircraft.name, Naming::ForPeople)?;
    if let Some(registration) = &aircraft.registration {
        at.part("registration").name(registration, Naming::ForPeople)?;
    }
    at.count(&bounds::CAMERAS, aircraft.cameras.len())?;
    unique("camera", aircraft.cameras.iter().map(|camera| (camera.name.as_str(), None)))?;
    for camera in &aircraft.cameras {
        check_camera(camera)?;
    }
    let recorder = &aircraft.recorder;
    let at = At::of("recorder");
    at.within(&bounds::STREAMS, f64::from(recorder.streams))?;
    at.within(&bounds::BIT_RATE, as_float(recorder.bits_per_second))?;
    match recorder.card_bytes {
        Some(bytes) => at.within(&bounds::CARD, as_float(bytes)),
        None => Ok(()),
    }
}

#[expect(clippy::cast_precision_loss, reason = "only compared with a bound far below 2^53")]
fn as_float(value: u64) -> f64 {
    value as f64
}

fn check_camera(camera: &Camera) -> Result<(), PlanError> {
    let at = At::named("camera", &camera.name);
    at.angle(&bounds::AROUND, camera.bearing)?;
    if camera.bearing.get() >= 360.0 {
        return at.broken("its bearing is 360; straight ahead is 0");
    }
    at.angle(&bounds::UP_OR_DOWN, camera.depression)?;
    let field = match camera.lens {
        Lens::Rectilinear => &bounds::RECTILINEAR_FIELD,
        Lens::Equidistant => &bounds::FIELD_OF_VIEW,
    };
    at.angle(field, camera.width)?;
    if let Some(height) = camera.height {
        at.angle(field, height)?;
    }
    at.count(&bounds::HIDDEN, camera.hidden.len())?;
    for hidden in &camera.hidden {
        at.clockwise(hidden.from, hidden.to)?;
        for end in [hidden.below, hidden.above].into_iter().flatten() {
            at.angle(&bounds::UP_OR_DOWN, end)?;
        }
    }
    Ok(())
}
