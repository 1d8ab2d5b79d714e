//! What the cameras see: sights, and the sun.

use coverage::light::{BeforeLens, OnSight, SightLight, before_lens, on_flight};
use coverage::{Pose, SightSeen};
use earth::Millis;
use plan::CameraId;

use super::Making;
use crate::data::{self, Lit};

impl Making<'_> {
    pub(super) fn sights(&self) -> Vec<data::Sight> {
        let given = self.given;
        let lights = on_flight(given.plan, given.flight, self.poses, given.coverage, Millis::ZERO);
        let light = |seen: &SightSeen| lights.iter().find(|light| light.place == seen.place);
        given.coverage.sights.iter().map(|seen| self.sight(seen, light(seen))).collect()
    }

    fn sight(&self, seen: &SightSeen, light: Option<&SightLight>) -> data::Sight {
        let framed = |span: timeline::Span, camera: CameraId| data::Framed {
            span: self.clock.span(span),
            camera: camera.0,
        };
        data::Sight {
            place: seen.place.0,
            filmed: seen.is_filmed(),
            words: self.sight_words(seen),
            in_any: seen.in_any.0,
            in_live: seen.in_live.0,
            held: seen.filmed.map(|held| framed(held.span, held.camera)),
            hindered: seen.hindrance.as_ref().map(|hindrance| data::Hindered {
                what: hindrance.name(),
                camera: hindrance.had().map(|camera| camera.0),
                span: hindrance.when().map(|span| self.clock.span(span)),
            }),
            best: seen.best.map(|best| data::SightMoment {
                at: self.clock.at(best.time),
                camera: best.camera.0,
                live: best.live,
                distance: best.distance.get().round(),
                size: best.size.map(|size| (size.get() * 1e4).round() / 1e4),
            }),
            nearest: seen.nearest.map(|(time, distance)| data::Nearest {
                at: self.clock.at(time),
                distance: distance.get().round(),
            }),
            light: light.map(|light| data::SightLight {
                at: self.clock.at(light.time),
                camera: light.camera.0,
                lit: match light.on_sight {
                    OnSight::Front => Lit::Front,
                    OnSight::Side => Lit::Side,
                    OnSight::Back => Lit::Back,
                    OnSight::Dark => Lit::Dark,
                },
                sun_in_lens: light.into_lens.0,
                of: light.of.0,
                score: light.score,
            }),
            frames: seen.stretches.iter().map(|it| framed(it.span, it.camera)).collect(),
        }
    }

    /// How a sight was filmed, or what hindered it.
    pub(crate) fn sight_words(&self, seen: &SightSeen) -> String {
        let plan = self.given.plan;
        match (&seen.hindrance, &seen.filmed) {
            (Some(hindrance), _) => format!("Not filmed: {}.", hindrance.words(plan, &seen.wanted)),
            (None, Some(held)) => format!(
                "Filmed by `{}` for {:.1} s in take {}.",
                timeline::words::camera(plan, held.camera),
                held.span.length().secs(),
                held.take.take
            ),
            (None, None) => "Filmed.".to_owned(),
        }
    }

    /// When the sun shines into which lens; of cameras that look outside.
    pub(super) fn sun_in_lens(&self) -> Vec<data::SunInLens> {
        let cameras = (0..).map(CameraId).zip(&self.given.plan.aircraft.cameras);
        let outside: Vec<_> = cameras.filter(|(_, camera)| !camera.cabin).collect();
        let mut open: Vec<Option<data::SunInLens>> = vec![None; outside.len()];
        let mut all = Vec::new();
        for pose in self.poses {
            let sun = pose.sun(Millis::ZERO);
            for (open, (id, camera)) in open.iter_mut().zip(&outside) {
                let before = sun.and_then(|sun| before_lens(self.given.plan, camera, pose, sun));
                let now = before.filter(|before| before.into_lens || before.in_frame);
                self.go_on(open, now, pose, *id, &mut all);
            }
        }
        all.extend(open.into_iter().flatten());
        all.retain(|it| it.span.from < it.span.to);
        all.sort_by_key(|it| (it.span.from, it.camera));
        all
    }

    /// Lengthens a span by what a fix stands for, or ends it and begins another.
    fn go_on(
        &self,
        open: &mut Option<data::SunInLens>,
        now: Option<BeforeLens>,
        pose: &Pose,
        camera: CameraId,
        all: &mut Vec<data::SunInLens>,
    ) {
        let from = self.clock.at(pose.time);
        let span = data::Span { from, to: from + pose.lasts.0 };
        let in_frame = now.map(|before| before.in_frame);
        match open {
            Some(it) if Some(it.in_frame) == in_frame && it.span.to == from => it.span.to = span.to,
            _ => {
                all.extend(open.take());
                *open =
                    in_frame.map(|in_frame| data::SunInLens { span, camera: camera.0, in_frame });
            }
        }
    }
}
