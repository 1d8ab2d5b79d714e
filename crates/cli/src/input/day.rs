//! What is said for the day, with the names of cameras found in the plan.

use diagnostic::{Diagnostic, Place};
use plan::{CameraId, Day, Plan};

use crate::args::DayArgs;

/// The day for a plan.
///
/// # Errors
/// A finding for each camera that the plan's aircraft does not have.
pub(crate) fn day(args: &DayArgs, plan: &Plan) -> Result<Day, Vec<Diagnostic>> {
    let mut findings = Vec::new();
    let mut cameras = |option: &str, names: &[String]| -> Vec<CameraId> {
        names
            .iter()
            .filter_map(|name| {
                let found = camera(plan, name);
                if found.is_none() {
                    findings.push(unknown(option, name, plan));
                }
                found
            })
            .collect()
    };
    let out_of_service = cameras("--out-of-service", &args.out_of_service);
    let not_allowed = cameras("--not-allowed", &args.not_allowed);
    if !findings.is_empty() {
        return Err(findings);
    }
    Ok(Day { wind: args.wind.map(|wind| wind.0), out_of_service, not_allowed })
}

/// The day in words; empty where nothing is said.
pub(crate) fn words(args: &DayArgs) -> String {
    let mut parts = Vec::new();
    if let Some(wind) = args.wind {
        parts.push(format!("wind {:03.0}/{:.0} kt", wind.0.from.get(), wind.0.speed.knots()));
    }
    for (what, cameras) in
        [("out of service", &args.out_of_service), ("not allowed", &args.not_allowed)]
    {
        if !cameras.is_empty() {
            parts.push(format!("{what} {}", cameras.join(", ")));
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

fn unknown(option: &str, name: &str, plan: &Plan) -> Diagnostic {
    Diagnostic::error(
        "unknown-camera-for-day",
        Place::whole(option),
        format!("{} has no camera `{name}`", plan.aircraft.name),
    )
    .help(format!("its cameras are {}", camera_names(plan)))
}
