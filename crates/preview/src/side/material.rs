//! What the plan has: cameras, places, zones, rules, narrations, music, titles.

use earth::Metres;
use plan::{CameraId, Place, PlaceKind, Shape, Source, Test, Zone, ZoneId};
use timeline::words;

use super::Making;
use crate::data::{self, CameraState, WindowOf, ZoneKind};
use crate::outline;

/// To a tenth of a metre, which is what is shown and more.
fn metres(length: Metres) -> f64 {
    (length.get() * 10.0).round() / 10.0
}

impl Making<'_> {
    fn source(&self, source: Source) -> String {
        words::source(self.given.plan, source)
    }

    pub(super) fn cameras(&self) -> Vec<data::Camera> {
        let day = self.given.day;
        let state = |id: CameraId| {
            if day.out_of_service.contains(&id) {
                CameraState::OutOfService
            } else if day.not_allowed.contains(&id) {
                CameraState::NotAllowed
            } else {
                CameraState::Ready
            }
        };
        let cameras = (0..).map(CameraId).zip(&self.given.plan.aircraft.cameras);
        cameras
            .map(|(id, camera)| data::Camera {
                name: camera.name.clone(),
                bearing: camera.bearing.get(),
                depression: camera.depression.get(),
                width: camera.width.get(),
                height: camera.height.map(earth::Degrees::get),
                lens: camera.lens,
                cabin: camera.cabin,
                hidden: camera
                    .hidden
                    .iter()
                    .map(|hidden| data::Hidden {
                        from: hidden.from.get(),
                        to: hidden.to.get(),
                        below: hidden.below.map(earth::Degrees::get),
                        above: hidden.above.map(earth::Degrees::get),
                    })
                    .collect(),
                state: state(id),
            })
            .collect()
    }

    pub(super) fn places(&self) -> Vec<data::PlaceOnMap> {
        let home = self.given.plan.route.home.index();
        let place = |(index, place): (usize, &Place)| data::PlaceOnMap {
            name: place.name.clone(),
            title: place.title.clone(),
            kind: place.kind,
            at: self.meridian.place(place.position),
            elevation: place.elevation.map(metres),
            height: place.height.map(metres),
            home: index == home,
            wanted: place.wanted.filter(|_| place.kind == PlaceKind::Sight).map(|wanted| {
                data::Wanted {
                    must_have: wanted.must_have,
                    lasts: wanted.lasts.0,
                    within: wanted.within.map(metres),
                    size: wanted.size.map(earth::Share::get),
                }
            }),
        };
        self.given.plan.places.iter().enumerate().map(place).collect()
    }

    pub(super) fn zones(&self) -> Vec<data::Zone> {
        let zones = &self.given.plan.zones;
        let areas = outline::areas(zones);
        let zones = (0..).map(ZoneId).zip(zones).zip(&areas);
        zones.map(|((id, zone), areas)| self.zone(id, zone, areas)).collect()
    }

    fn zone(&self, id: ZoneId, zone: &Zone, areas: &[outline::Rings]) -> data::Zone {
        let ring = |ring: &Vec<earth::Position>| self.meridian.line(ring.iter().copied());
        let numbers = |ids: &[ZoneId]| ids.iter().map(|id| id.0).collect();
        let kind = match &zone.shape {
            Shape::Circle { .. } => ZoneKind::Circle,
            Shape::Polygon { .. } => ZoneKind::Polygon,
            Shape::Corridor { .. } => ZoneKind::Corridor,
            Shape::Sector { .. } => ZoneKind::Sector,
            Shape::Gate { .. } => ZoneKind::Gate,
            Shape::Combined { .. } => ZoneKind::Combined,
        };
        let (line, crossed_from) = match &zone.shape {
            Shape::Gate { line, crossed_from } => {
                (Some(self.meridian.line(outline::dense(line))), Some(*crossed_from))
            }
            _ => (None, None),
        };
        let (any_of, all_of, except) = match &zone.shape {
            Shape::Combined { any_of, all_of, except } => {
                (numbers(any_of), numbers(all_of), numbers(except))
            }
            _ => Default::default(),
        };
        data::Zone {
            name: zone.name.clone(),
            kind,
            quiet: zone.quiet,
            no_filming: zone.no_filming,
            band: zone
                .band
                .map(|band| data::Band { from: band.from.map(metres), to: band.to.map(metres) }),
            areas: areas.iter().map(|rings| rings.iter().map(ring).collect()).collect(),
            line,
            crossed_from,
            any_of,
            all_of,
            except,
            windows: self.windows(id),
            source: self.source(zone.source),
        }
    }

    /// The windows of the rules that ask for a zone.
    fn windows(&self, zone: ZoneId) -> Vec<data::ZoneWindow> {
        let rules = self.given.plan.rules.iter().enumerate();
        let asks = |test: &Test| match test {
            Test::In(asked) | Test::Pass { zone: asked, .. } => *asked == zone,
            _ => false,
        };
        let asking = rules.filter(|(_, rule)| rule.conditions.iter().any(|it| asks(&it.test)));
        let windows = asking.flat_map(|(index, rule)| {
            rule.conditions.iter().filter_map(move |condition| {
                let (of, window) = match condition.test {
                    Test::Track(window) => (WindowOf::Track, window),
                    Test::Heading(window) => (WindowOf::Heading, window),
                    _ => return None,
                };
                Some(data::ZoneWindow {
                    rule: index,
                    of,
                    from: window.from.get(),
                    to: window.to.get(),
                    magnetic: window.north == plan::North::Magnetic,
                })
            })
        });
        windows.collect()
    }

    pub(super) fn rules(&self) -> Vec<data::Rule> {
        let rule = |rule: &plan::Rule| data::Rule {
            name: rule.name.clone(),
            source: self.source(rule.source),
            priority: rule.priority,
        };
        self.given.plan.rules.iter().map(rule).collect()
    }

    pub(super) fn narrations(&self) -> Vec<data::Narration> {
        let voice = |voice: &plan::Voice| data::Voice {
            language: voice.language.clone(),
            text: voice.text.clone(),
            length: voice.length.0,
            estimated: voice.estimated,
            sync_word: voice
                .sync_word
                .as_ref()
                .map(|sync| data::SyncWord { word: sync.word.clone(), at: sync.at.0 }),
        };
        let narration = |narration: &plan::Narration| data::Narration {
            name: narration.name.clone(),
            sight: narration.sight.map(|sight| sight.0),
            length: narration.length.0,
            on_ground: narration.on_ground,
            voices: narration.voices.iter().map(voice).collect(),
        };
        self.given.plan.narrations.iter().map(narration).collect()
    }

    pub(super) fn music(&self) -> Vec<data::Music> {
        let music = |music: &plan::Music| data::Music {
            name: music.name.clone(),
            title: music.title.clone(),
            composer: music.composer.clone(),
        };
        self.given.plan.music.iter().map(music).collect()
    }

    pub(super) fn titles(&self) -> Vec<data::Title> {
        let title = |title: &plan::Title| data::Title {
            name: title.name.clone(),
            text: title.text.clone(),
        };
        self.given.plan.titles.iter().map(title).collect()
    }
}
