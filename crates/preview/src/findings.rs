//! What is to be looked at on the flight, each finding with its moment and place.
//!
//! What happened on the flight is told by the flight itself. What was found in the tour (by the checks
//! of its planned flight) or in the recording comes with a place in a text, and perhaps with a moment;
//! where it has none and the place is a rule's or a zone's, its moment is when the rule first had an
//! effect or the zone was first entered.

use diagnostic::{Diagnostic, Severity};
use earth::{Millis, Utc};
use engine::HandOutcome;
use plan::{RuleId, Source, ZoneId};
use timeline::{Ending, Untold, words};

use crate::data::{self, Finding};
use crate::pages;
use crate::side::{Making, pose_at};

/// What the flight itself tells, so that it is not told of the tour again.
const TOLD_BY_THE_FLIGHT: &[&str] = &["narration-cut-off", "narration-not-told", "narration-waits"];

/// All of them, in the order of their moments; those without one last.
pub(crate) fn all(making: &Making<'_>) -> Vec<Finding> {
    let mut all = making.sights_missed();
    all.extend(making.narrations_spoilt());
    all.extend(making.filmed_inside());
    all.extend(making.hand_refused());
    all.extend(making.losses());
    let planned = making.given.files.is_empty();
    let found = making.given.findings.iter();
    let found = found.filter(|it| !planned || !TOLD_BY_THE_FLIGHT.contains(&it.name));
    all.extend(found.map(|finding| making.of_the_tour(finding)));
    all.sort_by(|one, other| {
        let key = |it: &Finding| (it.at.is_none(), it.at, it.severity, it.name.clone());
        key(one).cmp(&key(other)).then_with(|| one.headline.cmp(&other.headline))
    });
    all
}

const fn severity(severity: Severity) -> data::Severity {
    match severity {
        Severity::Error => data::Severity::Error,
        Severity::Warning => data::Severity::Warning,
        Severity::Note => data::Severity::Note,
    }
}

impl Making<'_> {
    /// A finding of the flight at a moment of it.
    fn at(&self, time: Option<Utc>, name: &str, how: Severity, headline: String) -> Finding {
        let pose = time.and_then(|time| pose_at(self.poses, time));
        Finding {
            name: name.to_owned(),
            severity: severity(how),
            headline,
            help: String::new(),
            at: time.map(|time| self.clock.at(time)),
            place: pose.map(|pose| self.meridian.place(pose.position)),
            source: String::new(),
        }
    }

    fn caused(&self, finding: Finding, rule: Option<RuleId>) -> Finding {
        let rule = rule.and_then(|rule| self.given.plan.rules.get(rule.index()));
        let source = rule.map(|rule| words::source(self.given.plan, rule.source));
        Finding { source: source.unwrap_or_default(), ..finding }
    }

    fn sights_missed(&self) -> Vec<Finding> {
        let missed = self.given.coverage.sights.iter().filter_map(|seen| {
            let hindrance = seen.hindrance.as_ref()?;
            let place = self.given.plan.places.get(seen.place.index())?;
            let best = seen.best.map(|best| best.time);
            let time = hindrance
                .when()
                .map(|span| span.from)
                .or(best)
                .or_else(|| seen.nearest.map(|(time, _)| time));
            let (how, promised) = if seen.wanted.must_have {
                (Severity::Warning, ", which passengers are promised,")
            } else {
                (Severity::Note, "")
            };
            let why = hindrance.words(self.given.plan, &seen.wanted);
            let headline = format!("{}{promised} is not filmed: {why}", place.title);
            let finding = self.at(time, pages::SIGHT_MISSED, how, headline);
            let help = match hindrance.name() {
                "too_short" => "let that shot last longer, or fly slower there",
                "not_recorded" => "record there",
                "no_filming" => "let the route pass it outside the zone, or tell of it only",
                "other_camera_live" => {
                    "show the camera that had it, or let a rule look at the sight"
                }
                "too_far" => "fly nearer, or take a sight of that size for filmed",
                "heading_not_known" => "give the wind of the day, or a recording with a compass",
                _ => "fly on its other side, or turn a camera that way",
            };
            Some(Finding { help: help.to_owned(), ..finding })
        });
        missed.collect()
    }

    fn narrations_spoilt(&self) -> Vec<Finding> {
        let plan = self.given.plan;
        let flight = self.given.flight;
        let mut all = Vec::new();
        for telling in &flight.narrations {
            let name = words::narration(plan, telling.narration);
            if let Ending::CutOff(by) = telling.ending {
                let headline = format!(
                    "`{name}` is cut off after {:.0} s: {}",
                    telling.played().secs(),
                    words::cut(plan, by)
                );
                let time = Some(telling.span.to);
                let finding = self.at(time, "narration-cut-off", Severity::Warning, headline);
                all.push(self.caused(finding, telling.rule));
                continue;
            }
            let Some((_, told)) = self.room(telling) else { continue };
            let length = plan.narrations.get(telling.narration.index()).map(|it| it.length);
            let over = length.map_or(0.0, |length| (length - told.room).secs());
            // What the checks found too long is told by them, with what is to be done.
            let quoted = format!("`{name}`");
            let known = self.given.findings.iter().any(|finding| {
                finding.name == "narration-too-long" && finding.headline.contains(&quoted)
            });
            if over > 0.0 && !known {
                let spoiler = told.spoiler.words(plan);
                let headline =
                    format!("`{name}` is {over:.1} s too long on this flight: {spoiler}");
                let time = Some(telling.span.from + told.room);
                let finding = self.at(time, "narration-too-long", Severity::Warning, headline);
                all.push(self.caused(finding, telling.rule));
            }
        }
        for untold in &flight.untold {
            let (Untold::Skipped { narration, rule, time, .. }
            | Untold::GivenUp { narration, rule, time, .. }) = untold;
            let why = match untold {
                Untold::Skipped { obstacle, .. } => words::obstacle(plan, *obstacle),
                Untold::GivenUp { why, .. } => words::given_up(*why).to_owned(),
            };
            let told = flight.narrations.iter().any(|it| it.narration == *narration);
            if told {
                continue;
            }
            let name = words::narration(plan, *narration);
            let headline = format!("`{name}` is asked for and not told: {why}");
            let finding = self.at(Some(*time), "narration-not-told", Severity::Warning, headline);
            all.push(self.caused(finding, *rule));
        }
        all
    }

    fn filmed_inside(&self) -> Vec<Finding> {
        let own = self.given.watch.filmed_inside.iter();
        own.filter(|it| it.is_on(self.given.flight))
            .map(|it| {
                let how = if it.what.by_hand {
                    "by hand, which the route allows"
                } else {
                    "before its entry was known"
                };
                let headline = format!(
                    "filmed for {:.1} s inside `{}`, where nothing may be filmed, {how}",
                    it.what.span.length().secs(),
                    words::zone(self.given.plan, it.what.zone)
                );
                let time = Some(it.what.span.from);
                self.at(time, pages::FILMED_INSIDE, Severity::Warning, headline)
            })
            .collect()
    }

    fn hand_refused(&self) -> Vec<Finding> {
        let refused = self.given.watch.hand.iter().filter(|it| {
            it.is_on(self.given.flight)
                && !matches!(it.what.1, HandOutcome::Done | HandOutcome::NoEffect)
        });
        refused
            .map(|it| {
                let plan = self.given.plan;
                let (action, outcome) = it.what;
                let headline = format!(
                    "by hand: {}; {}",
                    words::hand(plan, action),
                    words::hand_outcome(plan, outcome)
                );
                self.at(Some(it.time), pages::HAND_REFUSED, Severity::Note, headline)
            })
            .collect()
    }

    fn losses(&self) -> Vec<Finding> {
        let loss = |span: &timeline::Span| {
            let headline = format!("GPS is lost for {:.0} s", span.length().secs());
            self.at(Some(span.from), pages::GPS_LOST, Severity::Note, headline)
        };
        self.given.flight.lost.iter().map(loss).collect()
    }

    fn of_the_tour(&self, finding: &Diagnostic) -> Finding {
        let time = self.moment(finding);
        let pose = time.and_then(|time| pose_at(self.poses, time));
        Finding {
            name: finding.name.to_owned(),
            severity: severity(finding.severity),
            headline: finding.headline.clone(),
            help: finding.help.clone(),
            at: time.map(|time| self.clock.at(time)),
            place: pose.map(|pose| self.meridian.place(pose.position)),
            source: finding.place.to_string(),
        }
    }

    /// When what a finding speaks of first mattered: the rule, or the zone, in whose text it is.
    fn moment(&self, finding: &Diagnostic) -> Option<Utc> {
        let plan = self.given.plan;
        if let Some(moment) = finding.moment {
            return Some(plan.route.departure + Millis(moment));
        }
        let file = plan.sources.iter().position(|file| **file == *finding.place.file)?;
        let above = |source: &Source| {
            usize::try_from(source.file) == Ok(file) && source.line <= finding.place.line
        };
        let rules = (0..).map(RuleId).zip(&plan.rules);
        let rules = rules.map(|(id, rule)| (rule.source, Entity::Rule(id)));
        let zones = (0..).map(ZoneId).zip(&plan.zones);
        let zones = zones.map(|(id, zone)| (zone.source, Entity::Zone(id)));
        let nearest = rules.chain(zones).filter(|(source, _)| above(source));
        let (_, entity) = nearest.max_by_key(|(source, _)| (source.line, source.column))?;
        let flight = self.given.flight;
        match entity {
            Entity::Rule(rule) => {
                let rule = Some(rule);
                let shots = flight.shots.iter().filter(|it| it.rule == rule).map(|it| it.span.from);
                let told = flight.narrations.iter().filter(|it| it.rule == rule);
                let takes = flight.takes.iter().filter(|it| it.rule == rule).map(|it| it.span.from);
                let music = flight.music.iter().filter(|it| it.rule == rule).map(|it| it.span.from);
                let titles = flight.titles.iter().filter(|it| it.rule == rule);
                let stills = flight.stills.iter().filter(|it| it.rule == rule).map(|it| it.time);
                let told = told.map(|it| it.span.from).chain(titles.map(|it| it.span.from));
                shots.chain(told).chain(takes).chain(music).chain(stills).min()
            }
            Entity::Zone(zone) => {
                flight.visits.iter().find(|visit| visit.zone == zone).map(|visit| visit.entered)
            }
        }
    }
}

#[derive(Clone, Copy)]
enum Entity {
    Rule(RuleId),
    Zone(ZoneId),
}
