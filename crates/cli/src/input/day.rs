//! What is said for the day, with the names of cameras found in the plan.

use diagnostic::Diagnostic;
use plan::{CameraId, Day, Plan};
use route::{Project, Said, Today};

/// The day for a plan.
///
/// # Errors
/// A finding for each camera that the plan's aircraft does not have.
pub(crate) fn day(today: &Today, plan: &Plan) -> Result<Day, Vec<Diagnostic>> {
    let mut findings = Vec::new();
    let mut cameras = |names: &[Said<String>]| -> Vec<CameraId> {
        names
            .iter()
            .filter_map(|name| {
                let found = camera(plan, &name.value);
                if found.is_none() {
                    findings.push(unknown(name, plan));
                }
                found
            })
            .collect()
    };
    let out_of_service = cameras(&today.out_of_service);
    let not_allowed = cameras(&today.not_allowed);
    if !findings.is_empty() {
        return Err(findings);
    }
    let wind = today.wind.as_ref().map(|wind| wind.value);
    let wind = wind.map(|wind| plan::Wind { from: wind.from, speed: wind.speed });
    Ok(Day { wind, out_of_service, not_allowed })
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

fn unknown(name: &Said<String>, plan: &Plan) -> Diagnostic {
    no_camera(name, &plan.aircraft.name, &camera_names(plan))
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
