//! Music and titles.

use engine::{Event, MusicWhy};
use plan::{MusicId, RuleId, TitleId};

use super::film::Scene;
use super::without::Without;

pub struct Sound {
    pub music: Option<MusicId>,
    pub title: Option<TitleId>,
    ducked: bool,
}

impl Sound {
    pub fn new() -> Self {
        Self { music: None, title: None, ducked: false }
    }

    pub fn settle(&mut self, scene: &mut Scene<'_>) {
        let wants = scene
            .by_priority()
            .into_iter()
            .find_map(|rule| scene.plan().rules[rule.index()].music.map(|music| (rule, music)));
        let quiet = scene.quiet();
        let before = self.music;
        let wanted = wants.filter(|_| quiet.is_none());
        let to = wanted.map(|(_, music)| music);
        if to != self.music {
            let why = if let Some((rule, _)) = wanted {
                MusicWhy::Rule(rule)
            } else if let Some(zone) = quiet {
                MusicWhy::Quiet(zone)
            } else {
                MusicWhy::NoRule
            };
            self.change_music(scene, to, why, wanted.map(|(rule, _)| rule));
        }
        let ducked = self.music.is_some() && scene.radio_busy && !scene.off(Without::MusicDucked);
        // Other music that starts while the line is busy is ducked from its beginning.
        let fresh = ducked && self.music != before;
        if let Some(music) = self.music
            && (ducked != self.ducked || fresh)
        {
            scene.say(Event::MusicDucked { music, ducked }, None);
        }
        self.ducked = ducked;

        let rules = if scene.hold_is_over() { vec![] } else { scene.by_priority() };
        let wants = rules
            .into_iter()
            .find_map(|rule| scene.plan().rules[rule.index()].title.map(|title| (rule, title)));
        let to = wants.map(|(_, title)| title);
        if to != self.title {
            let from = std::mem::replace(&mut self.title, to);
            scene.say(Event::Title { from, to }, wants.map(|(rule, _)| rule));
        }
    }

    fn change_music(
        &mut self,
        scene: &mut Scene<'_>,
        to: Option<MusicId>,
        why: MusicWhy,
        rule: Option<RuleId>,
    ) {
        let from = std::mem::replace(&mut self.music, to);
        scene.say(Event::Music { from, to, why }, rule);
    }

    pub fn end_of_run(&mut self, scene: &mut Scene<'_>) {
        if self.music.is_some() {
            self.change_music(scene, None, MusicWhy::RunEnded, None);
        }
    }
}
