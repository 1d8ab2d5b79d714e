//! Which plan an output was made with. Every output carries it.

use plan::{Approval, Plan};
use serde_json::{Value, json};

/// What has to stand on every page that a pilot may read.
pub(crate) const NOT_FOR_NAVIGATION: &str = "not for navigation";

/// Which plan it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Identity {
    /// The tour's title.
    pub(crate) title: String,
    /// The aircraft's name, with its registration if it has one.
    pub(crate) aircraft: String,
    /// The plan's short code.
    pub(crate) code: String,
    /// The author's revision.
    pub(crate) revision: u32,
    /// Whether somebody has approved it.
    pub(crate) approval: Approval,
    /// In what it differs from the tour as written.
    pub(crate) differences: Vec<String>,
}

impl Identity {
    /// Of a plan and its short code.
    pub(crate) fn new(plan: &Plan, code: String) -> Self {
        let aircraft = match &plan.aircraft.registration {
            Some(registration) => format!("{} {registration}", plan.aircraft.name),
            None => plan.aircraft.name.clone(),
        };
        Self {
            title: plan.title.clone(),
            aircraft,
            code,
            revision: plan.revision,
            approval: plan.approval.clone(),
            differences: plan.differences.clone(),
        }
    }

    /// `draft` or `approved`.
    pub(crate) fn status(&self) -> &'static str {
        match self.approval {
            Approval::Draft => "draft",
            Approval::Approved { .. } => "approved",
        }
    }

    /// Which plan, in a line: its code, revision, approval, and in what it differs from the tour as
    /// written.
    pub(crate) fn plan(&self) -> String {
        let status = match &self.approval {
            Approval::Draft => "draft".to_owned(),
            Approval::Approved { by, on } => format!("approved by {by} on {on}"),
        };
        let mut line = format!("plan {}, revision {}, {status}", self.code, self.revision);
        if !self.differences.is_empty() {
            let differences = self.differences.join("; ");
            line.push_str(&format!("; differs from the tour as written: {differences}"));
        }
        line
    }

    /// The lines at the top of a text.
    pub(crate) fn head(&self) -> String {
        format!("{}, {}\n{}; {NOT_FOR_NAVIGATION}", self.title, self.aircraft, self.plan())
    }

    /// The `plan` member of JSON outputs.
    pub(crate) fn json(&self) -> Value {
        let (by, on) = match &self.approval {
            Approval::Draft => (None, None),
            Approval::Approved { by, on } => (Some(by), Some(on)),
        };
        json!({
            "title": self.title,
            "aircraft": self.aircraft,
            "code": self.code,
            "revision": self.revision,
            "status": self.status(),
            "approved_by": by,
            "approved_on": on,
            "differences": self.differences,
            "use": NOT_FOR_NAVIGATION,
        })
    }
}
