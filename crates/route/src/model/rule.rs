//! Rules, and what they play and show.

use std::sync::Arc;

use earth::{Metres, Millis};

use super::place::{Band, SpeedBand, Window};
use crate::span::{Name, Spanned};

/// `rules`: what happens while all of some conditions hold.
#[derive(Clone, Debug)]
pub struct Rule {
    /// `when`: in the order in which they are written. A rule without any is always active.
    pub conditions: Vec<Condition>,
    /// `priority`; the higher wins. Nought where it is not said.
    pub priority: i32,
    /// `camera`.
    pub camera: Option<Spanned<CameraEffect>>,
    /// `record`, with `post-roll` and `record on the ground`.
    pub record: Option<Spanned<RecordEffect>>,
    /// `narration`.
    pub narration: Option<Spanned<NarrationEffect>>,
    /// `music`: the name of a piece.
    pub music: Option<Spanned<Name>>,
    /// `title`: the name of a title.
    pub title: Option<Spanned<Name>>,
    /// `still`: one or a list.
    pub stills: Vec<Spanned<Still>>,
}

/// How long before a sight is abeam.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum AbeamBy {
    /// So long.
    Time(Millis),
    /// `sync word`: as long as the narration of the rule takes to reach its sync word.
    SyncWord,
}

/// One condition of a rule: one key below `when`.
#[derive(Clone, Debug)]
pub struct Condition {
    /// What is asked, with its place from the key to the end of the value.
    pub kind: Spanned<ConditionKind>,
    /// The condition as written, on one line, such as `track: 320..040`.
    pub written: Arc<str>,
}

/// What a condition asks.
#[derive(Clone, Debug)]
pub enum ConditionKind {
    /// `in`: inside every one of these zones (of a gate: crossed at this instant).
    In(Vec<Spanned<Name>>),
    /// `not in`: inside none of these zones.
    NotIn(Vec<Spanned<Name>>),
    /// `track` over the ground.
    Track(Window),
    /// `heading` of the nose.
    Heading(Window),
    /// `altitude`.
    Altitude(Band),
    /// `groundspeed`.
    Groundspeed(SpeedBand),
    /// `before abeam`: a sight that is about to be passed.
    BeforeAbeam {
        /// `sight`.
        sight: Spanned<Name>,
        /// `by`: how long before, at the present groundspeed.
        by: Spanned<AbeamBy>,
        /// `within`: how far from the sight at most one passes it; none for the tour's
        /// `abeam within`.
        within: Option<Spanned<Metres>>,
    },
    /// `after`: every one of these rules has fired in this flight.
    After(Vec<Spanned<Name>>),
    /// `pass`: from the nth entry into a zone, or the nth crossing, until the next.
    Pass {
        /// The zone. `pass: 2` means the first zone named by the rule's `in`, which is filled in
        /// here.
        of: Spanned<Name>,
        /// Which one, from 1.
        nth: Spanned<u32>,
    },
    /// `phase`.
    Phase(Phase),
}

/// In the air or not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Phase {
    /// `on the ground`.
    OnTheGround,
    /// `airborne`.
    Airborne,
}

/// `camera`.
#[derive(Clone, Debug)]
pub enum CameraEffect {
    /// One camera, or several in turn; at least one.
    InTurn(Vec<Turn>),
    /// `look at` a sight: the camera that has it nearest to its axis.
    LookAt {
        /// The sight.
        sight: Spanned<Name>,
        /// `from`: the cameras to choose from, the first named first; empty for all cameras of
        /// the aircraft in its order.
        from: Vec<Spanned<Name>>,
    },
}

/// One camera's turn.
#[derive(Clone, Debug)]
pub struct Turn {
    /// The camera.
    pub camera: Spanned<Name>,
    /// For how long; none for the tour's `shot`. A camera alone keeps its turn however long.
    pub time: Option<Spanned<Millis>>,
}

/// `record`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RecordEffect {
    /// On, or off.
    pub on: bool,
    /// `post-roll`: how long recording goes on after the rule has ended. Nought where it is not
    /// said, and with off.
    pub post_roll: Millis,
    /// `record on the ground`.
    pub on_the_ground: bool,
}

/// `narration`: one to be asked for when the rule becomes active.
#[derive(Clone, Debug)]
pub struct NarrationEffect {
    /// `play`, or the name alone.
    pub narration: Spanned<Name>,
    /// `otherwise`: what is done when it cannot start at once; `wait` where it is not said.
    pub otherwise: Otherwise,
    /// `wait`: how long it waits at most; none for as long as the rule stays active. Never set
    /// with `otherwise: skip`.
    pub wait: Option<Spanned<Millis>>,
}

/// What becomes of a narration that cannot start at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Otherwise {
    /// It waits.
    Wait,
    /// It is left out.
    Skip,
    /// It cuts off the one that plays, if that one's priority is no higher; else it waits.
    Interrupt,
}

/// `still`: a photograph.
#[derive(Clone, Debug)]
pub struct Still {
    /// `camera`; none for the one that is live.
    pub camera: Option<Spanned<Name>>,
    /// When.
    pub time: StillTime,
}

/// When a still is taken.
#[derive(Clone, Debug)]
pub enum StillTime {
    /// `once`: when the rule becomes active.
    Once,
    /// `every`: when the rule becomes active and every so often from then on.
    Every(Spanned<Millis>),
    /// `at closest` to a sight, once each time the rule is active.
    AtClosest(Spanned<Name>),
}
