//! Waypoints, sights and landing sites.

use crate::bounds;
use crate::decode::{Keys, Mapping, of};
use crate::model::{Film, LandingSite, Sight, Waypoint};
use crate::places::{Coordinates, Place};
use crate::values::{Text, metres, millis, share};

impl Mapping for Waypoint {
    const NAME: &'static str = "waypoint";
    const ABOUT: &'static str = "A place that the route, a zone or an altitude refers to.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let at = keys.req("at", "where it is", Coordinates);
        let elevation = keys.opt(
            "elevation",
            "of the ground above mean sea level; needed where something is `above` this place",
            metres(bounds::ELEVATION),
        );
        if !keys.could_be_read("elevation") {
            return None;
        }
        Some(Self { at: at?, elevation })
    }
}

impl Mapping for Sight {
    const NAME: &'static str = "sight";
    const ABOUT: &'static str = "A place that is filmed. It can be used like a waypoint.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let at = keys.req("at", "where it is", Coordinates);
        let elevation = keys.opt(
            "elevation",
            "of the ground it stands on, above mean sea level",
            metres(bounds::ELEVATION),
        );
        let height =
            keys.opt("height", "of the thing itself above its ground", metres(bounds::HEIGHT));
        let label = keys.opt("name", "what people call it, such as `The Sea Arch`", Text);
        let film = keys.opt(
            "film",
            "when it counts as filmed; 6 s within 2 NM unless it says otherwise",
            of::<Film>(),
        );
        if !keys.could_be_read("elevation") {
            return None;
        }
        Some(Self { at: at?, elevation, height, label, film })
    }
}

impl Mapping for Film {
    const NAME: &'static str = "film";
    const ABOUT: &'static str = "When a sight counts as filmed: held in one shot of the live camera, \
                                 while it is recorded, for so long, near enough or large enough.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let lasts = keys.opt("for", "how long; 6 s unless written", millis(bounds::WANTED_TIME));
        let within = keys.opt(
            "within",
            "how near; where neither this nor `size` is written, 2 NM",
            metres(bounds::WANTED_DISTANCE),
        );
        let size = keys.opt(
            "size",
            "or how large: a share of the picture's height, for a sight whose `height` is known",
            share(bounds::WANTED_SIZE),
        );
        Some(Self {
            lasts: lasts.map(|lasts| lasts.value),
            within: within.map(|within| within.value),
            size: size.map(|size| size.value),
        })
    }
}

impl Mapping for LandingSite {
    const NAME: &'static str = "landing site";
    const ABOUT: &'static str = "A place besides home where a landing counts as one.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let at = keys.req("at", "where it is", Place);
        let elevation = keys.opt(
            "elevation",
            "above mean sea level; where it is not written, that of the place named by `at`",
            metres(bounds::ELEVATION),
        );
        if !keys.could_be_read("elevation") {
            return None;
        }
        Some(Self { at: at?, elevation })
    }
}
