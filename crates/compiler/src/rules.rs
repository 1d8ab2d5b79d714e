//! Rules: conditions and effects with their names looked up.

use earth::Degrees;
use plan::{
    CameraId, CameraTurn, Condition, MusicId, NarrationEffect, NarrationId, PlaceId, RecordEffect,
    RuleId, SpeedBand, StillEffect, StillMoment, Test, TitleId, Window,
};
use route::Name;
use route::Spanned;
use route::model::{self, ConditionKind, Entry, Project, StillTime};

use crate::checks::{after_circle, gate_use, look_at, no_effect, sync_word, turns};
use crate::findings::Findings;
use crate::material;
use crate::names::{Kind, Scope, number};
use crate::places::Places;
use crate::source;
use crate::zones::Zones;

/// What rules are compiled with.
pub(crate) struct Rules<'a, 'p> {
    pub(crate) project: &'p Project,
    pub(crate) scope: &'a Scope<'p>,
    pub(crate) places: &'a Places<'p>,
    /// None where a zone could not be compiled; names are looked up all the same.
    pub(crate) zones: Option<&'a Zones>,
}

impl Rules<'_, '_> {
    pub(crate) fn compile(&self, findings: &mut Findings<'_>) -> Option<Vec<plan::Rule>> {
        let entries = &self.project.rules.entries;
        let rules: Vec<_> = entries.iter().map(|entry| self.rule(entry, findings)).collect();
        self.check_after(findings);
        rules.into_iter().collect()
    }

    fn check_after(&self, findings: &mut Findings<'_>) {
        let entries = &self.project.rules.entries;
        let mut named = vec![false; entries.len()];
        let mut after = Vec::new();
        for entry in entries {
            let mut of_this = Vec::new();
            for condition in &entry.value.conditions {
                let ConditionKind::After(names) = &condition.kind.value else { continue };
                for name in names {
                    let Some(rule) = self.scope.get(Kind::Rule, &name.value) else { continue };
                    of_this.push((rule as usize, name.span));
                    if let Some(named) = named.get_mut(rule as usize) {
                        *named = true;
                    }
                }
            }
            after.push(of_this);
        }
        after_circle::check(self.project, &after, findings);
        for (entry, named) in entries.iter().zip(named) {
            let rule = &entry.value;
            let idle = rule.camera.is_none()
                && rule.record.is_none()
                && rule.narration.is_none()
                && rule.music.is_none()
                && rule.title.is_none()
                && rule.stills.is_empty();
            if idle && !named && self.project.could_be_read(entry.span) {
                no_effect::report(&entry.name, findings);
            }
        }
    }

    fn rule(&self, entry: &Entry<model::Rule>, findings: &mut Findings<'_>) -> Option<plan::Rule> {
        let rule = &entry.value;
        // Everything is looked at before anything missing stops the rule.
        let conditions = self.conditions(rule, findings);
        let camera = rule.camera.as_ref().map(|camera| self.camera(camera, findings));
        let narration = rule.narration.as_ref().map(|n| self.narration(&n.value, findings));
        let music = rule.music.as_ref().map(|music| self.scope.find(Kind::Music, music, findings));
        let title = rule.title.as_ref().map(|title| self.scope.find(Kind::Title, title, findings));
        let stills: Vec<_> =
            rule.stills.iter().map(|still| self.still(&still.value, findings)).collect();
        let record = rule.record.map(|record| RecordEffect {
            on: record.value.on,
            post_roll: record.value.post_roll,
            on_ground: record.value.on_the_ground,
        });
        Some(plan::Rule {
            name: entry.name.value.to_string(),
            source: source(findings.sources(), entry.name.span),
            priority: rule.priority,
            conditions: conditions?,
            camera: optional(camera)?,
            record,
            narration: optional(narration)?,
            music: optional(music)?.map(MusicId),
            title: optional(title)?.map(TitleId),
            stills: stills.into_iter().collect::<Option<_>>()?,
        })
    }

    fn conditions(
        &self,
        rule: &model::Rule,
        findings: &mut Findings<'_>,
    ) -> Option<Vec<Condition>> {
        let mut all = Vec::new();
        let mut whole = true;
        for condition in &rule.conditions {
            let span = condition.kind.span;
            let mut put = |test: Option<Test>, at, findings: &Findings<'_>| match test {
                Some(test) => all.push(Condition {
                    test,
                    written: condition.written.to_string(),
                    source: source(findings.sources(), at),
                }),
                None => whole = false,
            };
            match &condition.kind.value {
                ConditionKind::In(names) => {
                    for name in names {
                        let zone = self.zone(name, findings).map(Test::In);
                        put(zone, name.span, findings);
                    }
                }
                ConditionKind::NotIn(names) => {
                    for name in names {
                        if let Some(zone) = self.scope.get(Kind::Zone, &name.value) {
                            gate_use::not_in(self.project, zone, name, findings);
                        }
                        let zone = self.zone(name, findings).map(Test::NotIn);
                        put(zone, name.span, findings);
                    }
                }
                ConditionKind::After(names) => {
                    for name in names {
                        let rule = self.scope.find(Kind::Rule, name, findings);
                        put(rule.map(|rule| Test::After(RuleId(rule))), name.span, findings);
                    }
                }
                other => {
                    let test = self.single(rule, other, span, findings);
                    put(test, span, findings);
                }
            }
        }
        whole.then_some(all)
    }

    /// A condition that makes one test.
    fn single(
        &self,
        rule: &model::Rule,
        kind: &ConditionKind,
        span: route::Span,
        findings: &mut Findings<'_>,
    ) -> Option<Test> {
        Some(match kind {
            // These make several and are split before.
            ConditionKind::In(_) | ConditionKind::NotIn(_) | ConditionKind::After(_) => {
                return None;
            }
            ConditionKind::Track(to) => Test::Track(window(*to)),
            ConditionKind::Heading(to) => Test::Heading(window(*to)),
            ConditionKind::Altitude(band) => {
                Test::Altitude(self.places.band(band, span, findings)?)
            }
            ConditionKind::Groundspeed(band) => {
                Test::Groundspeed(SpeedBand { from: band.from, to: band.to })
            }
            ConditionKind::BeforeAbeam { sight, by, within } => Test::BeforeAbeam {
                sight: PlaceId(self.scope.find_sight(sight, findings)?),
                by: self.abeam_by(rule, *by, findings)?,
                within: within.map_or(self.project.defaults.abeam_within, |within| within.value),
            },
            ConditionKind::Pass { of, nth } => {
                Test::Pass { zone: self.zone(of, findings)?, nth: nth.value }
            }
            ConditionKind::Phase(model::Phase::OnTheGround) => Test::OnGround,
            ConditionKind::Phase(model::Phase::Airborne) => Test::Airborne,
        })
    }

    fn zone(&self, name: &Spanned<Name>, findings: &mut Findings<'_>) -> Option<plan::ZoneId> {
        let written = self.scope.find(Kind::Zone, name, findings)?;
        self.zones?.id(written)
    }

    fn find_camera(&self, name: &Spanned<Name>, findings: &mut Findings<'_>) -> Option<CameraId> {
        // Without an aircraft every camera would be unknown; that it is missing has been said.
        self.project.aircraft.as_ref()?;
        self.scope.find(Kind::Camera, name, findings).map(CameraId)
    }

    fn camera(
        &self,
        effect: &Spanned<model::CameraEffect>,
        findings: &mut Findings<'_>,
    ) -> Option<plan::CameraEffect> {
        match &effect.value {
            model::CameraEffect::InTurn(in_turn) => {
                let alone = in_turn.len() == 1;
                let defaults = &self.project.defaults;
                let mut sequence = Vec::new();
                for turn in in_turn {
                    if let (Some(time), false) = (turn.time, alone) {
                        turns::check(time, defaults.minimum_shot, findings);
                    }
                    let time = turn.time.map_or(defaults.shot, |time| time.value);
                    let camera = self.find_camera(&turn.camera, findings);
                    let lasts = (!alone).then_some(time);
                    sequence.push(camera.map(|camera| CameraTurn { camera, lasts }));
                }
                let sequence = sequence.into_iter().collect::<Option<_>>()?;
                Some(plan::CameraEffect::Sequence(sequence))
            }
            model::CameraEffect::LookAt { sight, from } => {
                let sight = self.scope.find_sight(sight, findings);
                let from = self.look_from(from, effect.span, findings);
                Some(plan::CameraEffect::LookAt { sight: PlaceId(sight?), from: from? })
            }
        }
    }

    /// The cameras that `look at` chooses from: those named, else all that look out.
    fn look_from(
        &self,
        named: &[Spanned<Name>],
        at: route::Span,
        findings: &mut Findings<'_>,
    ) -> Option<Vec<CameraId>> {
        let cameras = &self.project.aircraft.as_ref()?.cameras.entries;
        let is_cabin =
            |id: CameraId| cameras.get(id.index()).is_some_and(|camera| camera.value.cabin);
        if named.is_empty() {
            let all = (0..number(cameras.len())).map(CameraId);
            let out: Vec<CameraId> = all.filter(|camera| !is_cabin(*camera)).collect();
            if out.is_empty() {
                look_at::nobody(at, findings);
                return None;
            }
            return Some(out);
        }
        let mut from = Vec::new();
        for name in named {
            let camera = self.find_camera(name, findings);
            if camera.is_some_and(is_cabin) {
                look_at::cabin(name, findings);
            }
            from.push(camera);
        }
        from.into_iter().collect()
    }

    fn narration(
        &self,
        effect: &model::NarrationEffect,
        findings: &mut Findings<'_>,
    ) -> Option<NarrationEffect> {
        Some(NarrationEffect {
            narration: NarrationId(self.scope.find(
                Kind::Narration,
                &effect.narration,
                findings,
            )?),
            otherwise: match effect.otherwise {
                model::Otherwise::Wait => plan::Otherwise::Wait,
                model::Otherwise::Skip => plan::Otherwise::Skip,
                model::Otherwise::Interrupt => plan::Otherwise::Interrupt,
            },
            waits: effect.wait.map(|wait| wait.value),
            room: None,
        })
    }

    /// How long before abeam: for a sync word, as long as the narration of the rule takes to reach
    /// it in the first of the languages that are carried. What is missing may be what could not be
    /// read, which has been told: then it is not told again.
    fn abeam_by(
        &self,
        rule: &model::Rule,
        by: Spanned<model::AbeamBy>,
        findings: &mut Findings<'_>,
    ) -> Option<earth::Millis> {
        let model::AbeamBy::Time(time) = by.value else {
            let Some(effect) = &rule.narration else {
                if self.project.complete {
                    sync_word::nothing_said(by.span, findings);
                }
                return None;
            };
            // That there is no such narration is said elsewhere.
            let entry = self.project.narrations.get(&effect.value.narration.value)?;
            let told = &entry.value.told;
            let told_in = self.project.text(&told.text).map(|told| told.language)?;
            let word = material::in_language(self.project, told.sync_word.as_ref(), told_in);
            let at = word.map(|word| word.value.at).filter(|at| at.0 > 0);
            if at.is_none() && self.project.complete {
                sync_word::missing(by.span, &entry.name, told_in, findings);
            }
            return at;
        };
        Some(time)
    }

    fn still(&self, still: &model::Still, findings: &mut Findings<'_>) -> Option<StillEffect> {
        let camera = still.camera.as_ref().map(|camera| self.find_camera(camera, findings));
        let moment = match &still.time {
            StillTime::Once => Some(StillMoment::Start),
            StillTime::Every(time) => Some(StillMoment::Every(time.value)),
            StillTime::AtClosest(sight) => {
                let cameras = self.project.aircraft.as_ref().map(|aircraft| &aircraft.cameras);
                let inside = |name: &Name| {
                    cameras.and_then(|all| all.get(name)).is_some_and(|camera| camera.value.cabin)
                };
                if let Some(name) = still.camera.as_ref().filter(|name| inside(&name.value)) {
                    look_at::cabin_still(name, findings);
                }
                let sight = self.scope.find_sight(sight, findings);
                sight.map(|sight| StillMoment::Closest(PlaceId(sight)))
            }
        };
        Some(StillEffect { camera: optional(camera)?, moment: moment? })
    }
}

/// Nothing asked for is fine; something asked for and not found is not.
fn optional<T>(found: Option<Option<T>>) -> Option<Option<T>> {
    match found {
        None => Some(None),
        Some(found) => found.map(Some),
    }
}

fn window(window: model::Window) -> Window {
    match window {
        model::Window::Every => {
            Window { from: Degrees::ZERO, to: Degrees::of(360.0), north: plan::North::True }
        }
        model::Window::Between { from, to, north } => Window {
            from,
            to,
            north: match north {
                model::North::True => plan::North::True,
                model::North::Magnetic => plan::North::Magnetic,
            },
        },
    }
}
