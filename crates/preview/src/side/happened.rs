//! What happened on the flight, channel by channel.

use compiler::fit::{Condition, Telling as FitsTelling};
use earth::{Millis, Utc};
use engine::{CameraWhy, RecordWhy};
use plan::{NarrationId, RuleId};
use timeline::{Ending, Telling, Untold, words};

use super::Making;
use crate::data::{self, ShotWhy, StillWhy};

fn number(rule: Option<RuleId>) -> Option<u32> {
    rule.map(|rule| rule.0)
}

impl Making<'_> {
    pub(super) fn shots(&self) -> Vec<data::Shot> {
        let shot = |shot: &timeline::Shot| data::Shot {
            span: self.clock.span(shot.span),
            camera: shot.camera.0,
            why: match shot.why {
                CameraWhy::Rule(_) => ShotWhy::Rule,
                CameraWhy::DefaultSequence => ShotWhy::DefaultSequence,
                CameraWhy::ShotHold(_) => ShotWhy::ShotHold,
                CameraWhy::Lost => ShotWhy::Lost,
                CameraWhy::Hand => ShotWhy::Hand,
                CameraWhy::NoCamera => ShotWhy::NoCamera,
            },
            rule: number(shot.rule),
        };
        self.given.flight.shots.iter().map(shot).collect()
    }

    pub(super) fn takes(&self) -> Vec<data::Take> {
        let take = |take: &timeline::Take| data::Take {
            span: self.clock.span(take.span),
            number: take.number,
            why: self.record_why(take.why),
            rule: number(take.rule),
            ended: self.record_why(take.ended),
        };
        self.given.flight.takes.iter().map(take).collect()
    }

    fn record_why(&self, why: RecordWhy) -> String {
        match why {
            RecordWhy::Rule(rule) => {
                format!("rule {}", words::rule(self.given.plan, rule))
            }
            why => words::record_why(self.given.plan, why),
        }
    }

    pub(super) fn tellings(&self) -> Vec<data::Telling> {
        let telling = |telling: &Telling| data::Telling {
            span: self.clock.span(telling.span),
            narration: telling.narration.0,
            rule: number(telling.rule),
            waited: telling.waited.map(|waited| data::Waited {
                since: self.clock.at(waited.since),
                obstacle: words::obstacle(self.given.plan, waited.obstacle),
            }),
            stretches: telling
                .stretches
                .iter()
                .map(|stretch| data::Stretch {
                    from: self.clock.at(stretch.span.from),
                    to: self.clock.at(stretch.span.to),
                    into: stretch.into.0,
                    ducked: stretch.ducked,
                })
                .collect(),
            cut_off: match telling.ending {
                Ending::Told => None,
                Ending::CutOff(by) => Some(words::cut(self.given.plan, by)),
            },
            window: self.window(telling),
        };
        self.given.flight.narrations.iter().map(telling).collect()
    }

    /// The room that a telling had, where it is known.
    pub(crate) fn room(&self, telling: &Telling) -> Option<&(Utc, FitsTelling)> {
        let same = |(time, told): &&(Utc, FitsTelling)| {
            *time == telling.span.from && told.version == telling.narration
        };
        self.given.told.iter().find(same)
    }

    fn window(&self, telling: &Telling) -> Option<data::Window> {
        let (starts, told) = self.room(telling)?;
        let length = self.length(telling.narration);
        Some(data::Window {
            from: self.clock.at(*starts - told.free_before),
            to: self.clock.at(*starts + told.room),
            slack: (told.room - length).0,
            spoiler: told.spoiler.words(self.given.plan),
        })
    }

    fn length(&self, narration: NarrationId) -> Millis {
        let told = self.given.plan.narrations.get(narration.index());
        told.map_or(Millis::ZERO, |told| told.length)
    }

    pub(super) fn untold(&self) -> Vec<data::Untold> {
        let plan = self.given.plan;
        let untold = |untold: &Untold| match untold {
            Untold::Skipped { narration, rule, time, obstacle } => data::Untold {
                narration: narration.0,
                rule: number(*rule),
                at: self.clock.at(*time),
                why: format!("skipped: {}", words::obstacle(plan, *obstacle)),
            },
            Untold::GivenUp { narration, rule, time, waited, why } => {
                let behind = waited.map(|it| words::obstacle(plan, it.obstacle));
                let behind = behind.map(|behind| format!(", in its way stood: {behind}"));
                data::Untold {
                    narration: narration.0,
                    rule: number(*rule),
                    at: self.clock.at(*time),
                    why: format!(
                        "given up: {}{}",
                        words::given_up(*why),
                        behind.unwrap_or_default()
                    ),
                }
            }
        };
        self.given.flight.untold.iter().map(untold).collect()
    }

    pub(super) fn fits(&self) -> Vec<data::Fit> {
        let Some(fits) = self.given.fits else { return Vec::new() };
        let told = |told: &FitsTelling| data::FitTelling {
            condition: fits
                .conditions
                .get(told.condition)
                .map_or_else(String::new, Condition::words),
            length: told.length.0,
            room: told.room.0,
            slack: (told.room - told.length).0,
            groundspeed: (told.groundspeed.get() * 10.0).round() / 10.0,
            spoiler: told.spoiler.words(self.given.plan),
        };
        let fit = |fit: &compiler::fit::Fit| data::Fit {
            narration: fit.narration.0,
            planned: fit.planned.as_ref().map(told),
            tightest: fit.tightest.as_ref().map(told),
            missing: fit.missing.len(),
            conditions: fits.conditions.len(),
        };
        fits.narrations.iter().map(fit).collect()
    }

    pub(super) fn music_spans(&self) -> Vec<data::MusicSpan> {
        let span = |music: &timeline::MusicSpan| data::MusicSpan {
            span: self.clock.span(music.span),
            music: music.music.0,
            rule: number(music.rule),
            ducked: self.clock.spans(&music.ducked),
        };
        self.given.flight.music.iter().map(span).collect()
    }

    pub(super) fn title_spans(&self) -> Vec<data::TitleSpan> {
        let span = |title: &timeline::TitleSpan| data::TitleSpan {
            span: self.clock.span(title.span),
            title: title.title.0,
            rule: number(title.rule),
        };
        self.given.flight.titles.iter().map(span).collect()
    }

    pub(super) fn stills(&self) -> Vec<data::Still> {
        let still = |still: &timeline::Still| data::Still {
            camera: still.camera.0,
            at: self.clock.at(still.time),
            place: self.meridian.place(still.position),
            why: match still.why {
                engine::StillWhy::Start => StillWhy::Start,
                engine::StillWhy::Every => StillWhy::Every,
                engine::StillWhy::Closest => StillWhy::Closest,
                engine::StillWhy::Hand => StillWhy::Hand,
            },
            rule: number(still.rule),
        };
        self.given.flight.stills.iter().map(still).collect()
    }

    pub(super) fn visits(&self) -> Vec<data::Visit> {
        let visit = |visit: &timeline::Visit| data::Visit {
            span: self.clock.span(visit.span),
            zone: visit.zone.0,
            pass: visit.pass,
        };
        self.given.flight.visits.iter().map(visit).collect()
    }

    pub(super) fn landings(&self) -> Vec<data::Landing> {
        let landing = |landing: &timeline::Landing| data::Landing {
            at: self.clock.at(landing.time),
            home: landing.home,
        };
        self.given.flight.landings.iter().map(landing).collect()
    }

    pub(super) fn hand(&self) -> Vec<data::HandAction> {
        let own = self.given.watch.hand.iter().filter(|it| it.is_on(self.given.flight));
        own.map(|it| data::HandAction {
            at: self.clock.at(it.time),
            action: words::hand(self.given.plan, it.what.0),
            outcome: words::hand_outcome(self.given.plan, it.what.1),
        })
        .collect()
    }
}
