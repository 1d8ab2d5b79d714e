//! Names resolved, the planned route flown, the event plan made.
//!
//! [`compile`] makes a plan of a project, [`fly()`] flies the planned route of a plan, and
//! [`event_plan`] takes down what happens on that flight.

mod checks;
pub mod compare;
mod effect;
mod event;
mod findings;
pub mod fit;
mod fly;
mod leg;
mod material;
mod names;
mod near;
mod pace;
mod picture;
mod places;
mod review;
mod rules;
mod settings;
mod sources;
pub mod summary;
mod zones;

use diagnostic::{Diagnostic, Severity};
use earth::flight::Flight;
use plan::{Approval, Plan, Source};
use route::model::Project;
use route::{Sources, Span};

use findings::Findings;
use names::Scope;
use places::Places;
use rules::Rules;

pub use checks::{pages, settable};
pub use effect::{Effect, effect};
pub use event::{EventPlan, EventPlanError, Row, event_plan, whereabouts};
pub use fit::Flights;
pub use fly::{LegTimes, PLANNED_EVERY, PlannedFlight, fly, fly_in, planned};
pub use near::{Near, PlaceIndex};
pub use pace::Pace;
pub use review::{checks, review, review_flight};

/// Makes a plan of a project: all names looked up, the planned route flown, everything checked.
///
/// All mistakes come out at once, sorted by place. There is no plan if one of them is an error, or
/// if the project is not complete; then what was found in it adds to what its reader has reported.
/// Warnings travel with the plan, at the level that the tour sets. A plan that comes out is sound by [`Plan::check`].
#[must_use]
pub fn compile(project: &Project) -> (Option<Plan>, Vec<Diagnostic>) {
    let mut findings = Findings::new(&project.sources);
    let parts = parts(project, &mut findings);
    let parts = parts.filter(|_| project.complete && !findings.broken());
    let mut plan = parts.map(|(plan, flight)| fit::with_room(project, plan, flight.as_ref()));
    if let Some(plan) = &mut plan {
        checks::approval::settle(project, plan, &mut findings);
    }
    let plan = plan.filter(|plan| match plan.check() {
        Ok(()) => true,
        Err(error) => {
            findings.put(checks::soundness::refused(plan, &project.sources, &error));
            false
        }
    });
    let found = findings.sorted();
    let Some(plan) = plan else { return (None, found) };
    let found = checks::levels::apply(project, found, checks::can_be_set_when_made);
    let refused = found.iter().any(|finding| finding.severity == Severity::Error);
    ((!refused).then_some(plan), found)
}

/// A plan, but for the room of its narrations, and the flight of its route.
fn parts(project: &Project, findings: &mut Findings<'_>) -> Option<(Plan, Option<Flight>)> {
    let scope = Scope::new(project, findings);
    let places = Places::new(project, &scope, findings);
    let route = leg::compile(project, &places, findings);
    let zones = zones::compile(project, &scope, &places, &route, findings);
    let rules = Rules { project, scope: &scope, places: &places, zones: zones.as_ref() };
    let rules = rules.compile(findings);
    let narrations = material::narrations(project, &scope, findings);
    let aircraft = project.aircraft.as_ref().map(|a| settings::aircraft(a, project, findings));
    checks::approval::check(project, findings);
    checks::languages::check(project, findings);
    checks::languages::unknown_fallback(project, findings);
    checks::variants::check(project, &places, findings);
    checks::levels::unknown(project, findings);
    let plan = Plan {
        title: project.title.value.clone(),
        revision: project.revision.value,
        // Until it is seen whether this plan is the one approved.
        approval: Approval::Draft,
        languages: project.languages().into_iter().map(str::to_owned).collect(),
        differences: project.chosen.differences.clone(),
        sources: sources::names(&project.sources),
        settings: settings::settings(&project.defaults),
        mix: settings::mix(&project.mix),
        light: settings::light(project),
        wind: settings::tour_wind(project),
        aircraft: aircraft?,
        landing_sites: places.landing_sites,
        places: places.all,
        route: route.route?,
        zones: zones?.all,
        rules: rules?,
        narrations: narrations?,
        music: material::music(project, findings),
        titles: material::titles(project),
    };
    Some((plan, route.flight))
}

/// Where something is written, as a plan keeps it.
fn source(sources: &Sources, span: Span) -> Source {
    let place = sources.place(span);
    Source { file: span.file.0, line: place.line, column: place.column }
}
