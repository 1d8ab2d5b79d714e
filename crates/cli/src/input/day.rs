//! What is said for the day, with the names of cameras found in the plan.

use diagnostic::Diagnostic;
use plan::{CameraId, Day, Plan};
use route::{Project, Said, Today};

/// The day for a plan.
///
/// # Errors
/// A finding for each camera that the plan's aircraft does not have.
pub(crate) fn day(today: &Today, plan: &Plan) -> Result<Day, Vec<Diagnostic>> {
    let cameras = today.out_of_service.iter().chain(&today.not_allowed);
    let unknown = cameras.filter(|name| camera(plan, &name.value).is_none());
    let findings: Vec<Diagnostic> =
        unknown.map(|name| no_camera(name, &plan.aircraft.name, &camera_names(plan))).collect();
    if findings.is_empty() { Ok(of_known_cameras(today, plan)) } else { Err(findings) }
}

/// The day for one of several plans: a camera that its aircraft does not have is another's.
pub(crate) fn of_known_cameras(today: &Today, plan: &Plan) -> Day {
    let cameras = |names: &[Said<String>]| {
        names.iter().filter_map(|name| camera(plan, &name.value)).collect()
    };
    let wind = today.wind.as_ref().map(|wind| wind.value);
    Day {
        wind: wind.map(|wind| plan::Wind { from: wind.from, speed: wind.speed }),
        out_of_service: cameras(&today.out_of_service),
        not_allowed: cameras(&today.not_allowed),
    }
}

/// The day in words; empty where nothing is said.
pub(crate) fn words(today: &Today) -> String {
    let mut parts = Vec::new();
    if let Some(wind) = &today.wind {
        let wind = wind.value;
        parts.push(format!("wind {:03.0}/{:.0} kt", wind.from.get(), wind.speed.knots()));
    }
    for (what, cameras) in
        [("out of service", &today.out_of_service), ("not allowed", &today.not_allowed)]
    {
        if !cameras.is_empty() {
            let names: Vec<&str> = cameras.iter().map(|name| name.value.as_str()).collect();
            parts.push(format!("{what} {}", names.join(", ")));
        }
    }
    parts.join("; ")
}

/// The camera of that name.
pub(crate) fn camera(plan: &Plan, name: &str) -> Option<CameraId> {
    let index = plan.aircraft.cameras.iter().position(|camera| camera.name == name)?;
    u32::try_from(index).ok().map(CameraId)
}

/// The cameras an aircraft has, for advice.
pub(crate) fn camera_names(plan: &Plan) -> String {
    let names: Vec<&str> =
        plan.aircraft.cameras.iter().map(|camera| camera.name.as_str()).collect();
    names.join(", ")
}

fn no_camera(name: &Said<String>, aircraft: &str, cameras: &str) -> Diagnostic {
    Diagnostic::error(
        "unknown-camera-for-day",
        name.place.clone(),
        format!("{aircraft} has no camera `{}`", name.value),
    )
    .help(format!("its cameras are {cameras}"))
}

/// A finding for each camera that the aircraft of a tour does not have, where no plan comes out.
pub(crate) fn unknown_cameras(today: &Today, project: &Project) -> Vec<Diagnostic> {
    let Some(aircraft) = &project.aircraft else { return Vec::new() };
    let cameras = &aircraft.cameras;
    let known: Vec<&str> = cameras.entries.iter().map(|entry| entry.name.value.as_str()).collect();
    let said = today.out_of_service.iter().chain(&today.not_allowed);
    said.filter(|name| !cameras.names(&name.value))
        .map(|name| no_camera(name, &aircraft.model.value, &known.join(", ")))
        .collect()
}
