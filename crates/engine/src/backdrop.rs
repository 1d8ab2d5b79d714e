//! Music and titles: the winner's, or none.

use plan::{MusicId, Plan, TitleId, ZoneId};

use crate::outbox::Outbox;
use crate::output::{Event, MusicWhy};
use crate::rules::{Rules, winner};

/// The music and title channels.
#[derive(Debug, Default)]
pub(crate) struct Backdrop {
    pub(crate) music: Option<MusicId>,
    pub(crate) ducked: bool,
    pub(crate) title: Option<TitleId>,
}

impl Backdrop {
    pub(crate) fn begin_run(&mut self) {
        *self = Self::default();
    }

    /// Settles the music: none in a quiet zone, ducked while the radio is busy.
    pub(crate) fn settle_music(
        &mut self,
        plan: &Plan,
        rules: &Rules,
        quiet: Option<ZoneId>,
        radio_busy: bool,
        out: &mut Outbox,
    ) {
        let winner = winner(plan, rules, |rule| rule.music.is_some());
        let wanted =
            winner.and_then(|rule| plan.rules.get(rule.index())).and_then(|rule| rule.music);
        let (to, why) = match (quiet, winner) {
            (Some(zone), _) => (None, MusicWhy::Quiet(zone)),
            (None, Some(rule)) => (wanted, MusicWhy::Rule(rule)),
            (None, None) => (None, MusicWhy::NoRule),
        };
        if to != self.music {
            let rule = winner.filter(|_| quiet.is_none());
            out.push(Event::Music { from: self.music, to, why }, rule);
            self.music = to;
            self.ducked = false;
        }
        if let Some(music) = self.music
            && self.ducked != radio_busy
        {
            self.ducked = radio_busy;
            out.push(Event::MusicDucked { music, ducked: radio_busy }, None);
        }
    }

    /// Settles the title: none once GPS has been lost for longer than the shot hold.
    pub(crate) fn settle_title(
        &mut self,
        plan: &Plan,
        rules: &Rules,
        hold_over: bool,
        out: &mut Outbox,
    ) {
        let winner = winner(plan, rules, |rule| rule.title.is_some()).filter(|_| !hold_over);
        let to = winner.and_then(|rule| plan.rules.get(rule.index())).and_then(|rule| rule.title);
        if to != self.title {
            out.push(Event::Title { from: self.title, to }, winner);
            self.title = to;
        }
    }

    /// The run is over: music is cut here.
    pub(crate) fn end_run(&mut self, out: &mut Outbox) {
        if let Some(music) = self.music.take() {
            out.push(Event::Music { from: Some(music), to: None, why: MusicWhy::RunEnded }, None);
        }
        self.ducked = false;
    }
}
