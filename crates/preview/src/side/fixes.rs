//! The fixes of a flight, column by column.

use coverage::Pose;
use earth::Millis;
use earth::sun::Sun;
use engine::HeadingFrom;

use super::Making;
use crate::columns::{Column, Meridian, Runs};
use crate::data::{self, Gps, InTheAir};

/// Parts of a metre, of a metre a second and of a degree to which columns are written.
const TENTHS: u32 = 10;
/// Parts of a degree to which places are written.
const MILLIONTHS: u32 = 1_000_000;

impl Making<'_> {
    pub(super) fn fixes(&self) -> data::Fixes {
        let poses = self.poses;
        let column = |scale: u32, number: &dyn Fn(&Pose) -> Option<f64>| {
            Column::of(scale, poses.iter().map(number))
        };
        let mut before = self.meridian;
        let longitudes: Vec<f64> = poses
            .iter()
            .map(|pose| {
                let here = before.place(pose.position).0;
                before = Meridian(here);
                here
            })
            .collect();
        let suns: Vec<Option<Sun>> = poses.iter().map(|pose| pose.sun(Millis::ZERO)).collect();
        let sun_known = suns.iter().any(Option::is_some);
        let column_of = |number: &dyn Fn(Sun) -> f64| {
            Column::of(TENTHS, suns.iter().map(|sun| sun.map(number)))
        };
        data::Fixes {
            count: poses.len(),
            time: column(1, &|pose| Some(self.clock.at(pose.time) as f64)),
            longitude: Column::of(MILLIONTHS, longitudes.into_iter().map(Some)),
            latitude: column(MILLIONTHS, &|pose| Some(pose.position.lat())),
            altitude: column(TENTHS, &|pose| Some(pose.altitude?.get())),
            height: self
                .given
                .coverage
                .ground_known
                .then(|| column(TENTHS, &|pose| self.height(pose))),
            groundspeed: column(TENTHS, &|pose| Some(pose.groundspeed?.get())),
            track: column(TENTHS, &|pose| Some(pose.track?.get())),
            heading: column(TENTHS, &|pose| Some(pose.heading?.0.get())),
            bank: column(TENTHS, &|pose| Some(pose.bank?.get())),
            heading_from: Runs::of(poses.iter().map(heading_from)),
            gps: Runs::of(poses.iter().map(|pose| match pose.gps {
                engine::Gps::First => Gps::First,
                engine::Gps::Good => Gps::Good,
                engine::Gps::Back => Gps::Back,
                engine::Gps::Gap => Gps::Gap,
            })),
            airborne: Runs::of(poses.iter().map(|pose| match pose.airborne {
                Some(true) => InTheAir::Airborne,
                Some(false) => InTheAir::Ground,
                None => InTheAir::Unknown,
            })),
            sun_azimuth: sun_known.then(|| column_of(&|sun| sun.azimuth.get())),
            sun_elevation: sun_known.then(|| column_of(&|sun| sun.elevation.get())),
        }
    }
}

impl Making<'_> {
    /// How high above the ground.
    fn height(&self, pose: &Pose) -> Option<f64> {
        let ground = self.given.ground?.height(pose.position)?;
        Some(pose.altitude?.get() - ground.get())
    }
}

fn heading_from(pose: &Pose) -> data::HeadingFrom {
    match pose.heading {
        None => data::HeadingFrom::Unknown,
        Some((_, HeadingFrom::Source)) => data::HeadingFrom::Source,
        Some((_, HeadingFrom::Wind)) => data::HeadingFrom::Wind,
        Some((_, HeadingFrom::Held)) => data::HeadingFrom::Held,
        Some((_, HeadingFrom::Track)) => data::HeadingFrom::Track,
    }
}
