//! What in one plan is what in another.

use std::collections::BTreeMap;

use plan::{
    CameraEffect, CameraId, CameraTurn, Condition, MusicId, NarrationId, PlaceId, Plan, Rule,
    RuleId, Shape, Source, StillMoment, Test, TitleId, Zone, ZoneId,
};

/// Where something is written is no difference.
const NOWHERE: Source = Source { file: 0, line: 0, column: 0 };
/// The index of what the older plan has not: no list of a plan is so long.
const NOT_THERE: u32 = u32::MAX;

/// Which entry of one list is which of another.
#[derive(Debug, Default)]
pub(super) struct Matching {
    /// By an index in the newer list: the index in the older one.
    to_old: Vec<Option<usize>>,
    /// By an index in the older list: the index in the newer one.
    to_new: Vec<Option<usize>>,
}

impl Matching {
    fn by_name<T>(old: &[T], new: &[T], name: impl Fn(&T) -> &str) -> Self {
        let names: BTreeMap<&str, usize> =
            old.iter().enumerate().map(|(index, item)| (name(item), index)).collect();
        let mut matching = Self { to_old: vec![None; new.len()], to_new: vec![None; old.len()] };
        for (index, item) in new.iter().enumerate() {
            if let Some(other) = names.get(name(item)) {
                matching.join(*other, index);
            }
        }
        matching
    }

    fn join(&mut self, old: usize, new: usize) {
        if let (Some(to_new), Some(to_old)) = (self.to_new.get_mut(old), self.to_old.get_mut(new))
            && to_new.is_none()
            && to_old.is_none()
        {
            (*to_new, *to_old) = (Some(new), Some(old));
        }
    }

    /// Joins what has no counterpart of its name and the same content. Says whether any was found.
    fn renamed(
        &mut self,
        of_old: impl Fn(usize) -> String,
        of_new: impl Fn(usize) -> String,
    ) -> bool {
        let mut contents: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        // The first written comes to lie last, where it is taken from.
        for old in free(&self.to_new).rev() {
            contents.entry(of_old(old)).or_default().push(old);
        }
        let mut found = false;
        for new in self.only_new().collect::<Vec<_>>() {
            if let Some(old) = contents.get_mut(&of_new(new)).and_then(Vec::pop) {
                self.join(old, new);
                found = true;
            }
        }
        found
    }

    /// What has no counterpart in the older list.
    fn only_new(&self) -> impl Iterator<Item = usize> {
        free(&self.to_old)
    }

    /// The index in the older list.
    pub(super) fn old(&self, new: usize) -> Option<usize> {
        self.to_old.get(new).copied().flatten()
    }

    /// The index in the newer list.
    pub(super) fn new_of(&self, old: usize) -> Option<usize> {
        self.to_new.get(old).copied().flatten()
    }

    /// The index in the older list as a plan keeps it.
    fn id(&self, new: u32) -> u32 {
        let old = self.old(new as usize).and_then(|old| u32::try_from(old).ok());
        old.unwrap_or(NOT_THERE)
    }

    /// Everything of both lists: first what the newer has, in its order, each with what it was;
    /// then what is gone.
    pub(super) fn all<'a, T>(
        &'a self,
        old: &'a [T],
        new: &'a [T],
    ) -> impl Iterator<Item = Fate<'a, T>> + 'a {
        let in_new = new.iter().enumerate().map(move |(index, item)| {
            match self.old(index).and_then(|index| old.get(index)) {
                Some(was) => Fate::Kept { old: was, new: item, at: index },
                None => Fate::Added(item, index),
            }
        });
        let gone = old.iter().enumerate().filter(|(index, _)| self.new_of(*index).is_none());
        in_new.chain(gone.map(|(index, item)| Fate::Gone(item, index)))
    }
}

fn free(counterparts: &[Option<usize>]) -> impl DoubleEndedIterator<Item = usize> {
    counterparts.iter().enumerate().filter(|(_, other)| other.is_none()).map(|(at, _)| at)
}

/// What has become of something, with its index in the list that has it, of both the newer.
pub(super) enum Fate<'a, T> {
    /// It is in both plans.
    Kept {
        /// As it was.
        old: &'a T,
        /// As it is.
        new: &'a T,
        /// Its index in the newer list.
        at: usize,
    },
    /// Only the newer plan has it.
    Added(&'a T, usize),
    /// Only the older plan had it.
    Gone(&'a T, usize),
}

/// Which is which, for every kind of thing that has a name.
#[derive(Debug, Default)]
pub(super) struct Matchings {
    pub(super) cameras: Matching,
    pub(super) places: Matching,
    pub(super) zones: Matching,
    pub(super) rules: Matching,
    pub(super) narrations: Matching,
    pub(super) music: Matching,
    pub(super) titles: Matching,
}

impl Matchings {
    pub(super) fn new(old: &Plan, new: &Plan) -> Self {
        let (old_craft, new_craft) = (&old.aircraft, &new.aircraft);
        let mut all = Self {
            cameras: Matching::by_name(&old_craft.cameras, &new_craft.cameras, |it| &it.name),
            places: Matching::by_name(&old.places, &new.places, |it| &it.name),
            zones: Matching::by_name(&old.zones, &new.zones, |it| &it.name),
            rules: Matching::by_name(&old.rules, &new.rules, |it| &it.name),
            narrations: Matching::by_name(&old.narrations, &new.narrations, |it| &it.name),
            music: Matching::by_name(&old.music, &new.music, |it| &it.name),
            titles: Matching::by_name(&old.titles, &new.titles, |it| &it.name),
        };
        all.find_renamed(old, new);
        all
    }

    fn find_renamed(&mut self, old: &Plan, new: &Plan) {
        fn content<T: Clone + std::fmt::Debug>(
            list: &[T],
            without_name: impl Fn(&mut T),
        ) -> impl Fn(usize) -> String {
            move |index| {
                let mut item = list.get(index).cloned();
                if let Some(item) = &mut item {
                    without_name(item);
                }
                format!("{item:?}")
            }
        }
        let camera = |it: &mut plan::Camera| it.name.clear();
        let (was, is) = (&old.aircraft.cameras, &new.aircraft.cameras);
        self.cameras.renamed(content(was, camera), content(is, camera));
        let place = |it: &mut plan::Place| {
            // Where no title is given the name stands for it.
            if it.title == it.name {
                it.title.clear();
            }
            it.name.clear();
        };
        self.places.renamed(content(&old.places, place), content(&new.places, place));
        let narration = |it: &mut plan::Narration| {
            it.name.clear();
            it.source = NOWHERE;
            (it.sight, it.short) = (None, None);
            let audio = it.voices.iter_mut().filter_map(|voice| voice.audio.as_mut());
            audio.for_each(|audio| audio.file.clear());
        };
        let (was, is) = (&old.narrations, &new.narrations);
        self.narrations.renamed(content(was, narration), content(is, narration));
        let title = |it: &mut plan::Title| it.name.clear();
        self.titles.renamed(content(&old.titles, title), content(&new.titles, title));
        let music = |it: &mut plan::Music| {
            if it.title == it.name {
                it.title.clear();
            }
            it.name.clear();
            if let Some(audio) = &mut it.audio {
                audio.file.clear();
            }
        };
        self.music.renamed(content(&old.music, music), content(&new.music, music));
        // Zones are made of zones, and rules come after rules: once one is known to have only
        // another name, so may be what names it.
        loop {
            let mut zones = std::mem::take(&mut self.zones);
            let bare = |zone: Option<Zone>| {
                zone.map(|it| Zone { name: String::new(), source: NOWHERE, ..it })
            };
            let mapped = |index: usize| new.zones.get(index).map(|zone| zone_in(&zones, zone));
            let of_new: BTreeMap<usize, String> =
                zones.only_new().map(|at| (at, format!("{:?}", bare(mapped(at))))).collect();
            let found = zones.renamed(
                |index| format!("{:?}", bare(old.zones.get(index).cloned())),
                |index| of_new.get(&index).cloned().unwrap_or_default(),
            );
            self.zones = zones;
            if !found {
                break;
            }
        }
        loop {
            let bare = |rule: Option<Rule>| {
                rule.map(|mut it| {
                    it.name.clear();
                    strip(&mut it);
                    it
                })
            };
            let mapped = |index: usize| new.rules.get(index).map(|rule| self.rule_in_old(rule));
            let of_new: BTreeMap<usize, String> =
                self.rules.only_new().map(|at| (at, format!("{:?}", bare(mapped(at))))).collect();
            let found = self.rules.renamed(
                |index| format!("{:?}", bare(old.rules.get(index).cloned())),
                |index| of_new.get(&index).cloned().unwrap_or_default(),
            );
            if !found {
                break;
            }
        }
    }

    /// A condition of the newer plan in the numbers of the older one.
    pub(super) fn test_in_old(&self, test: &Test) -> Test {
        match test.clone() {
            Test::In(zone) => Test::In(ZoneId(self.zones.id(zone.0))),
            Test::NotIn(zone) => Test::NotIn(ZoneId(self.zones.id(zone.0))),
            Test::BeforeAbeam { sight, by, within } => {
                Test::BeforeAbeam { sight: PlaceId(self.places.id(sight.0)), by, within }
            }
            Test::After(rule) => Test::After(RuleId(self.rules.id(rule.0))),
            Test::Pass { zone, nth } => Test::Pass { zone: ZoneId(self.zones.id(zone.0)), nth },
            other @ (Test::Track(_)
            | Test::Heading(_)
            | Test::Altitude(_)
            | Test::Groundspeed(_)
            | Test::OnGround
            | Test::Airborne) => other,
        }
    }

    /// A rule of the newer plan in the numbers of the older one.
    pub(super) fn rule_in_old(&self, rule: &Rule) -> Rule {
        let mut rule = rule.clone();
        for condition in &mut rule.conditions {
            condition.test = self.test_in_old(&condition.test);
        }
        let camera = |id: CameraId| CameraId(self.cameras.id(id.0));
        match &mut rule.camera {
            None => {}
            Some(CameraEffect::Sequence(turns)) => {
                for turn in turns {
                    *turn = CameraTurn { camera: camera(turn.camera), lasts: turn.lasts };
                }
            }
            Some(CameraEffect::LookAt { sight, from }) => {
                *sight = PlaceId(self.places.id(sight.0));
                from.iter_mut().for_each(|id| *id = camera(*id));
            }
        }
        if let Some(effect) = &mut rule.narration {
            effect.narration = NarrationId(self.narrations.id(effect.narration.0));
        }
        rule.music = rule.music.map(|id| MusicId(self.music.id(id.0)));
        rule.title = rule.title.map(|id| TitleId(self.titles.id(id.0)));
        for still in &mut rule.stills {
            still.camera = still.camera.map(camera);
            if let StillMoment::Closest(place) = still.moment {
                still.moment = StillMoment::Closest(PlaceId(self.places.id(place.0)));
            }
        }
        rule
    }
}

fn zone_in(zones: &Matching, zone: &Zone) -> Zone {
    let mut zone = zone.clone();
    if let Shape::Combined { any_of, all_of, except } = &mut zone.shape {
        for part in any_of.iter_mut().chain(all_of).chain(except) {
            *part = ZoneId(zones.id(part.0));
        }
    }
    zone
}

/// Takes from a rule where and how it is written.
fn strip(rule: &mut Rule) {
    rule.source = NOWHERE;
    for condition in &mut rule.conditions {
        let test = condition.test.clone();
        *condition = Condition { test, written: String::new(), source: NOWHERE };
    }
}
