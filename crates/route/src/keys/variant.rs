//! Variants of the route, and other languages.

use crate::bounds;
use crate::decode::{Keys, Mapping, of};
use crate::lists::{list, one_or_many, table};
use crate::model::{Arrival, CheckLevel, Departure, Leg, LegKind, OtherLanguage, Variant};
use crate::values::{Flag, NameText, Text, number};
use crate::windows::AltitudeText;

impl Mapping for Variant {
    const NAME: &'static str = "variant";
    const ABOUT: &'static str = "Another way in which the planned route may be flown. What it does not say stays as the \
         route has it.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let about = keys.opt("about", "what it is for", Text);
        let reversed = keys.or(
            "reversed",
            "false",
            "the other way round: the legs back to front, each with the airspeed of its stretch and \
             the altitude of its place; orbits turn to the other side, hovers face as they did",
            Flag,
        );
        let departure = keys.opt(
            "departure",
            "other first legs, in the direction in which the variant is flown",
            of::<Departure>(),
        );
        let arrival = keys.opt(
            "arrival",
            "other last legs, in the direction in which the variant is flown",
            of::<Arrival>(),
        );
        let altitude = keys.opt("altitude", "of every leg, instead of its own", AltitudeText);
        let not_above =
            keys.opt("not above", "legs planned higher are flown at this altitude", AltitudeText);
        let without = keys.opt(
            "without",
            "zones, rules and sights that are not met on this variant and are not meant to be: the \
             checks do not ask for them",
            one_or_many(NameText),
        );
        let checks = keys.opt(
            "checks",
            "how checks are to be taken on this variant, by the name of the check; above what the \
             tour says",
            table(of::<CheckLevel>()),
        );
        Some(Self {
            about,
            reversed: reversed.unwrap_or_default(),
            departure: departure.map(|departure| departure.value),
            arrival: arrival.map(|arrival| arrival.value),
            altitude,
            not_above,
            without: without.map(|without| without.value).unwrap_or_default(),
            checks: checks.map(|checks| checks.value).unwrap_or_default(),
        })
    }
}

impl Mapping for Departure {
    const NAME: &'static str = "departure legs";
    const ABOUT: &'static str = "Legs flown instead of the first ones of the route.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let legs = keys.req("legs", "in the order in which they are flown", list(1, of::<Leg>()));
        let joins = keys.req(
            "joins",
            "the place of a leg of the route: that leg is the first one flown again",
            NameText,
        );
        let legs = legs?;
        let begins = legs.span.start;
        let legs: Vec<Leg> = legs.value.into_iter().map(|leg| leg.value).collect();
        first_from(&legs, Some(begins), keys);
        Some(Self { legs, joins: joins? })
    }
}

impl Mapping for Arrival {
    const NAME: &'static str = "arrival legs";
    const ABOUT: &'static str = "Legs flown instead of the last ones of the route.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let leaves = keys.req(
            "leaves",
            "the place of a leg of the route: that leg is the last one still flown",
            NameText,
        );
        let legs = keys.req("legs", "in the order in which they are flown", list(1, of::<Leg>()));
        let legs: Vec<Leg> = legs?.value.into_iter().map(|leg| leg.value).collect();
        first_from(&legs, None, keys);
        Some(Self { leaves: leaves?, legs })
    }
}

/// Sees that of some legs the first, or none, is where a flight begins. Where one should, `begins`
/// says at which byte the list does: a first leg that could not be read is left out of it.
pub(super) fn first_from(legs: &[Leg], begins: Option<usize>, keys: &mut Keys<'_, '_>) {
    for (at, leg) in legs.iter().enumerate() {
        let from = matches!(leg.kind.value, LegKind::From(_));
        let start = begins.filter(|_| at == 0);
        let left_out = start.is_some_and(|start| !keys.nothing_found(start, leg.span.start));
        if from == start.is_some() || (left_out && !from) {
            continue;
        }
        let (what, help) = if from {
            ("only the first leg begins with `from`", "write `to: PLACE`")
        } else {
            ("the first leg does not say where the flight begins", "write `from: PLACE`")
        };
        keys.error("route-order", leg.kind.span, what, help);
    }
}

impl Mapping for OtherLanguage {
    const NAME: &'static str = "other language";
    const ABOUT: &'static str = "A language besides the tour's own.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let fallback = keys.opt(
            "fallback",
            "the language in which a text is told that is missing in this one; where it is not \
             written, none may be missing",
            NameText,
        );
        let words_per_minute = keys.opt(
            "words per minute",
            "the pace of narrations in this language; where it is not written, that of the \
             `defaults`",
            number(bounds::WORDS_PER_MINUTE),
        );
        let characters_per_minute = keys.opt(
            "characters per minute",
            "the same, for a script that puts no blanks between words",
            number(bounds::CHARACTERS_PER_MINUTE),
        );
        if let (Some(words), Some(characters)) =
            (keys.key_span("words per minute"), keys.key_span("characters per minute"))
        {
            keys.error_with(
                "keys-clash",
                characters,
                "`characters per minute` cannot stand beside `words per minute`",
                "leave one of them out",
                (words, "the other is here"),
            );
        }
        Some(Self { fallback, words_per_minute, characters_per_minute })
    }
}
