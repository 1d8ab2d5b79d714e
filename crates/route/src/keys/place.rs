//! Waypoints, sights and landing sites.

use crate::bounds;
use crate::decode::{Keys, Mapping};
use crate::model::{LandingSite, Sight, Waypoint};
use crate::places::{Coordinates, Place};
use crate::values::{Text, metres};

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
        if !keys.could_be_read("elevation") {
            return None;
        }
        Some(Self { at: at?, elevation, height, label })
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
