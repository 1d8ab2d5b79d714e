//! Rules, and what they play and show.

use std::sync::Arc;

use earth::Millis;

use crate::bounds;
use crate::decode::{Keys, Mapping, Reader, Reads, near, of};
use crate::lists::one_or_many;
use crate::model::{
    AbeamBy, CameraEffect, Condition, ConditionKind, NarrationEffect, Otherwise, Phase,
    RecordEffect, Rule, Still, StillTime, Turn,
};
use crate::shape::{Shape, Shapes};
use crate::span::{Name, Spanned};
use crate::values::{Flag, NameText, count, metres, millis, name_of, whole, word};
use crate::windows::{BandText, SpeedBandText, WindowText};
use crate::yaml::{Node, NodeKind, Pair};

impl Mapping for Rule {
    const NAME: &'static str = "rule";
    const ABOUT: &'static str = "What happens while all of some conditions hold. A rule without effects is one that others \
         come `after`.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let when = keys.opt(
            "when",
            "the conditions, all of which must hold; where it is not written, the rule is always \
             active",
            of::<When>(),
        );
        let priority = keys.or(
            "priority",
            "0",
            "the active rule with the highest wins; between equals, the one written first",
            whole(bounds::PRIORITY),
        );
        let camera = keys.opt(
            "camera",
            "which is live: one camera; several in turn, such as `[left, nose: 4 s]`, each for its \
             time or else the `shot` of the `defaults`; or `look at` a sight",
            CameraChoice,
        );
        let record = keys.opt("record", "whether it records", word(ON_OFF));
        let post_roll = keys.or(
            "post-roll",
            "0 s",
            "how long it records on after the rule has ended; with `record: on`",
            millis(bounds::POST_ROLL),
        );
        let on_the_ground = keys.or(
            "record on the ground",
            "false",
            "whether it records on the ground too; with `record: on`",
            Flag,
        );
        let narration = keys.opt(
            "narration",
            "what is said: its name, or a mapping that also says what is done when it cannot \
             start at once",
            Played,
        );
        let music = keys.opt("music", "the piece that plays", NameText);
        let title = keys.opt("title", "the text that shows", NameText);
        let stills = keys.opt("still", "a photograph, or a list of them", one_or_many(StillChoice));

        let on = record.as_ref().is_some_and(|record| record.value);
        if !on && keys.could_be_read("record") {
            let why = "the rule does not say `record: on`";
            keys.without_effect("post-roll", why);
            keys.without_effect("record on the ground", why);
        }
        let record = record.map(|record| {
            let effect = RecordEffect {
                on,
                post_roll: if on { post_roll.unwrap_or_default() } else { Millis::ZERO },
                on_the_ground: on && on_the_ground.unwrap_or_default(),
            };
            record.map(|_| effect)
        });
        Some(Self {
            conditions: when.map(|when| when.value.0).unwrap_or_default(),
            priority: priority.unwrap_or_default(),
            camera,
            record,
            narration,
            music,
            title,
            stills: stills.map(|stills| stills.value).unwrap_or_default(),
        })
    }
}

/// Words for a switch.
const ON_OFF: &[(&str, bool)] = &[("on", true), ("off", false)];

/// The conditions in the order written.
struct When(Vec<Condition>);

impl Mapping for When {
    const NAME: &'static str = "conditions";
    const ABOUT: &'static str = "All must hold. An active rule is not ended by a track, heading, altitude or groundspeed \
         that is out of its window or band by no more than the slack of the `defaults`.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        use ConditionKind as Kind;
        let inside = keys.opt("in", "inside all of these zones", one_or_many(NameText));
        let outside = keys.opt("not in", "inside none of these zones", one_or_many(NameText));
        let track = keys.opt("track", "the direction over the ground", WindowText);
        let heading = keys.opt("heading", "where the nose points", WindowText);
        let altitude = keys.opt("altitude", "above mean sea level or a place", BandText);
        let groundspeed = keys.opt("groundspeed", "the speed over the ground", SpeedBandText);
        let before_abeam =
            keys.opt("before abeam", "a sight is about to be passed", of::<BeforeAbeam>());
        let after = keys.opt(
            "after",
            "all of these rules have fired in this flight",
            one_or_many(NameText),
        );
        let pass = keys.opt(
            "pass",
            "from the nth entry into a zone, or the nth crossing, until the next; a number alone \
             means the first zone of `in`",
            PassOf,
        );
        let phase = keys.opt(
            "phase",
            "in the air or not",
            word(&[("on the ground", Phase::OnTheGround), ("airborne", Phase::Airborne)]),
        );

        let first = inside.as_ref().and_then(|zones| zones.value.first().cloned());
        let pass = pass.and_then(|pass| {
            let Pass { of, nth } = pass.value;
            let of = of.or(first);
            if of.is_none() && !keys.has("in") {
                keys.error(
                    "pass-of-nothing",
                    pass.span,
                    "the zone that this pass counts is missing",
                    "name it: `pass: {of: ZONE, nth: 2}`, or add `in: ZONE`",
                );
            }
            Some(Kind::Pass { of: of?, nth })
        });
        let found = [
            ("in", inside.map(|zones| Kind::In(zones.value))),
            ("not in", outside.map(|zones| Kind::NotIn(zones.value))),
            ("track", track.map(|window| Kind::Track(window.value))),
            ("heading", heading.map(|window| Kind::Heading(window.value))),
            ("altitude", altitude.map(|band| Kind::Altitude(band.value))),
            ("groundspeed", groundspeed.map(|band| Kind::Groundspeed(band.value))),
            ("before abeam", before_abeam.map(|sight| sight.value.0)),
            ("after", after.map(|rules| Kind::After(rules.value))),
            ("pass", pass),
            ("phase", phase.map(|phase| Kind::Phase(phase.value))),
        ];
        let mut conditions: Vec<Condition> = found
            .into_iter()
            .filter_map(|(key, value)| {
                let value = value?;
                let (span, written) = keys.written(key)?;
                Some(Condition { kind: Spanned { value, span }, written: Arc::from(written) })
            })
            .collect();
        conditions.sort_by_key(|condition| condition.kind.span.start);
        Some(Self(conditions))
    }
}

struct BeforeAbeam(ConditionKind);

impl Mapping for BeforeAbeam {
    const NAME: &'static str = "before abeam";
    const ABOUT: &'static str =
        "From so many seconds before the sight is abeam, at the present groundspeed, until it is.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let sight = keys.req("sight", "the sight", NameText);
        let by = keys.req(
            "by",
            "how long before; or `sync word`, so that the sync word of its narration falls on the \
             sight",
            AbeamByText,
        );
        let within = keys.opt(
            "within",
            "how far away it may be passed; where it is not written, the `abeam within` of the \
             `defaults`",
            metres(bounds::ABEAM_WITHIN),
        );
        Some(Self(ConditionKind::BeforeAbeam { sight: sight?, by: by?, within }))
    }
}

/// `by` of `before abeam`.
struct AbeamByText;

impl Reads for AbeamByText {
    type Out = AbeamBy;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let time = millis(bounds::BEFORE_ABEAM).shape(shapes);
        Shape::Any(vec![time, Shape::Words(vec!["sync word"])])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<AbeamBy> {
        match &node.kind {
            NodeKind::Scalar(scalar) if scalar.text == "sync word" => Some(AbeamBy::SyncWord),
            _ => millis(bounds::BEFORE_ABEAM).read(node, reader).map(AbeamBy::Time),
        }
    }
}

/// `pass: 2`, or `pass: {of: ZONE, nth: 2}`.
struct PassOf;

struct Pass {
    of: Option<Spanned<Name>>,
    nth: Spanned<u32>,
}

impl Mapping for Pass {
    const NAME: &'static str = "pass";
    const ABOUT: &'static str = "A certain entry into a zone, or crossing of a gate.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let of = keys.req("of", "the zone", NameText);
        let nth = keys.req("nth", "which one, from 1", count(bounds::PASS));
        Some(Self { of: Some(of?), nth: nth? })
    }
}

impl Reads for PassOf {
    type Out = Pass;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        Shape::Any(vec![count(bounds::PASS).shape(shapes), of::<Pass>().shape(shapes)])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Pass> {
        if matches!(node.kind, NodeKind::Map(_)) {
            return of::<Pass>().read(node, reader);
        }
        let value = count(bounds::PASS).read(node, reader)?;
        Some(Pass { of: None, nth: Spanned { value, span: node.span } })
    }
}

/// `camera`.
struct CameraChoice;

impl Reads for CameraChoice {
    type Out = CameraEffect;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let mut any = vec![of::<LookAt>().shape(shapes)];
        any.push(one_or_many(TurnChoice).shape(shapes));
        Shape::Any(any)
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<CameraEffect> {
        if let NodeKind::Map(pairs) = &node.kind
            && (pairs.len() != 1 || pairs.iter().any(|pair| near(&pair.key, ["look at"]).is_some()))
        {
            return of::<LookAt>().read(node, reader).map(|LookAt(effect)| effect);
        }
        let turns = one_or_many(TurnChoice).read(node, reader)?;
        Some(CameraEffect::InTurn(turns.into_iter().map(|turn| turn.value).collect()))
    }
}

struct LookAt(CameraEffect);

impl Mapping for LookAt {
    const NAME: &'static str = "look at";
    const ABOUT: &'static str = "The camera that has a sight nearest to its axis.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let sight = keys.req("look at", "the sight", NameText);
        let from = keys.opt(
            "from",
            "the cameras to choose from, between equals the first named; where it is not written, \
             all of the aircraft's",
            one_or_many(NameText),
        );
        let from = from.map(|from| from.value).unwrap_or_default();
        Some(Self(CameraEffect::LookAt { sight: sight?, from }))
    }
}

/// A camera's name, alone or with its time.
struct TurnChoice;

impl Reads for TurnChoice {
    type Out = Turn;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let time = millis(bounds::SHOT).shape(shapes);
        Shape::Any(vec![NameText.shape(shapes), Shape::OneName(Box::new(time))])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Turn> {
        match &node.kind {
            NodeKind::Map(pairs) => {
                let [Pair { key, key_span, value }] = pairs.as_slice() else {
                    reader.wrong_kind(node, "one camera with its time such as `{left: 6 s}`");
                    return None;
                };
                let camera = Spanned { value: name_of(key, *key_span, reader)?, span: *key_span };
                let time = millis(bounds::SHOT).read(value, reader)?;
                Some(Turn { camera, time: Some(Spanned { value: time, span: value.span }) })
            }
            NodeKind::Scalar(_) => {
                let camera = NameText.read(node, reader)?;
                Some(Turn { camera: Spanned { value: camera, span: node.span }, time: None })
            }
            _ => {
                reader.wrong_kind(node, "a camera or a camera with its time");
                None
            }
        }
    }
}

/// `narration` of a rule.
struct Played;

impl Mapping for NarrationEffect {
    const NAME: &'static str = "narration effect";
    const ABOUT: &'static str = "What is said, and what is done when it cannot start at once.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let narration = keys.req("play", "the narration", NameText);
        let otherwise = keys.or(
            "otherwise",
            "wait",
            "what is done when it cannot start at once: it waits, it is left out, or it cuts off \
             one of no higher priority",
            word(&[
                ("wait", Otherwise::Wait),
                ("skip", Otherwise::Skip),
                ("interrupt", Otherwise::Interrupt),
            ]),
        );
        let wait = keys.opt(
            "wait",
            "how long it waits at most; where it is not written, as long as the rule stays active",
            millis(bounds::WAIT),
        );
        let otherwise = otherwise.unwrap_or(Otherwise::Wait);
        if otherwise == Otherwise::Skip {
            keys.without_effect("wait", "what is skipped does not wait");
        }
        let wait = wait.filter(|_| otherwise != Otherwise::Skip);
        Some(Self { narration: narration?, otherwise, wait })
    }
}

impl Reads for Played {
    type Out = NarrationEffect;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        Shape::Any(vec![NameText.shape(shapes), of::<NarrationEffect>().shape(shapes)])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<NarrationEffect> {
        if matches!(node.kind, NodeKind::Map(_)) {
            return of::<NarrationEffect>().read(node, reader);
        }
        let narration = Spanned { value: NameText.read(node, reader)?, span: node.span };
        Some(NarrationEffect { narration, otherwise: Otherwise::Wait, wait: None })
    }
}

/// `still`.
struct StillChoice;

impl Mapping for Still {
    const NAME: &'static str = "still";
    const ABOUT: &'static str = "A photograph: when the rule becomes active, and with `every` again and again from then \
         on; or once at the closest point to a sight.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let camera = keys.opt(
            "camera",
            "which camera takes it; where it is not written, the one that is live",
            NameText,
        );
        let every = keys.opt("every", "so often", millis(bounds::STILL_EVERY));
        let at_closest = keys.opt("at closest", "at the closest point to this sight: taken once the distance has grown 25 m past its least, or when the rule ends, and told with the time and place of the least", NameText);
        if let (Some(every), Some(at)) = (keys.key_span("every"), keys.key_span("at closest")) {
            keys.error_with(
                "keys-clash",
                at,
                "`at closest` cannot stand beside `every`",
                "write two stills: `still: [{…}, {…}]`",
                (every, "the other is here"),
            );
            return None;
        }
        let time = match (every, at_closest) {
            (Some(every), _) => StillTime::Every(every),
            (None, Some(sight)) => StillTime::AtClosest(sight),
            (None, None) if keys.has("every") || keys.has("at closest") => return None,
            (None, None) => StillTime::Once,
        };
        Some(Self { camera, time })
    }
}

impl Reads for StillChoice {
    type Out = Still;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        Shape::Any(vec![Shape::Words(vec!["once"]), of::<Still>().shape(shapes)])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Still> {
        if matches!(node.kind, NodeKind::Map(_)) {
            return of::<Still>().read(node, reader);
        }
        word(&[("once", ())]).read(node, reader)?;
        Some(Still { camera: None, time: StillTime::Once })
    }
}
