//! `fulmar fit`.

use compiler::fit::Fits;
use diagnostic::{Diagnostic, Place};
use plan::{Day, Plan};
use route::{Said, Today};

use super::fly::shorten;
use crate::args::{FitArgs, MessageFormat, TextFormat};
use crate::input::findings::Findings;
use crate::input::tour::{Load, Loaded, load_from};
use crate::input::world::Disk;
use crate::input::{day, file, today};
use crate::outcome::{Outcome, Stop};
use crate::render;
use crate::render::fit::{Page, json, text};
use crate::terminal::Terminal;

/// Flies the planned route in all that the tour expects, and says which narration fits.
pub(super) fn run(
    args: &FitArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut findings = Findings::default();
    let disk = Disk::default();
    let Some(today) = today::read(&disk, &args.today, &mut findings) else {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    };
    let looked = look(args, &disk, &today, &mut findings);
    let looked = match looked {
        Ok(looked) => looked,
        Err(outcome) => {
            findings.tell(terminal, format)?;
            return Ok(outcome);
        }
    };
    shorten(&mut findings, &args.tour, &today, format, terminal)?;
    let day = day::words(&today);
    let pages: Vec<Page<'_>> = looked
        .iter()
        .map(|(loaded, fits, project)| Page {
            identity: &loaded.identity,
            plan: &loaded.plan,
            project,
            fits,
        })
        .collect();
    match args.format {
        TextFormat::Text => text(&mut *terminal.out, &pages, &day)?,
        TextFormat::Json => {
            render::json(&mut *terminal.out, &json(&pages, &day))?;
        }
    }
    let all_fit = pages.iter().all(Page::all_fit);
    Ok(if all_fit { Outcome::Clean } else { Outcome::Findings })
}

type Looked = (Box<Loaded>, Fits, route::Project);

/// The tour in each language that is wanted.
fn look(
    args: &FitArgs,
    disk: &Disk,
    today: &Today,
    findings: &mut Findings,
) -> Result<Vec<Looked>, Outcome> {
    let first = one(args, disk, today, findings)?;
    if today.choice.languages.is_some() {
        return Ok(vec![first]);
    }
    let project = &first.2;
    let others = project.other_languages.entries.iter();
    let carried = project.languages();
    let others: Vec<String> = others
        .map(|entry| entry.name.value.to_string())
        .filter(|language| !carried.contains(&language.as_str()))
        .collect();
    let mut all = vec![first];
    for language in others {
        let mut in_it = today.clone();
        in_it.choice.languages =
            Some(Said { value: vec![language], place: Place::whole("--language") });
        // What is wrong with it in the first language as well has been found.
        let mut more = Findings::default();
        let read = one(args, disk, &in_it, &mut more);
        let known = |finding: &Diagnostic| findings.list.contains(finding);
        let fresh: Vec<Diagnostic> = more.list.into_iter().filter(|it| !known(it)).collect();
        findings.extend(fresh);
        findings.texts.extend(more.texts);
        all.push(read?);
    }
    Ok(all)
}

fn one(
    args: &FitArgs,
    disk: &Disk,
    today: &Today,
    findings: &mut Findings,
) -> Result<Looked, Outcome> {
    let loaded = match load_from(disk, &args.tour, today, findings) {
        Load::Ready(loaded) => loaded,
        Load::Mistakes => return Err(Outcome::Findings),
        Load::Unusable => return Err(Outcome::CouldNotRun),
    };
    let Some(project) = loaded.project().cloned() else {
        findings.push(
            Diagnostic::error(
                "plan-is-compiled",
                Place::whole(file::name(&args.tour)),
                "a compiled plan does not say which winds and airspeeds are expected",
            )
            .help("name the tour that it was made of"),
        );
        return Err(Outcome::CouldNotRun);
    };
    let day = day::day(today, &loaded.plan).map_err(|found| {
        findings.extend(found);
        Outcome::CouldNotRun
    })?;
    let fits = fits(&project, &loaded.plan, &day).map_err(|finding| {
        findings.push(*finding);
        Outcome::CouldNotRun
    })?;
    Ok((loaded, fits, project))
}

/// Whether the narrations of a tour fit.
///
/// # Errors
/// A finding where the planned route cannot be flown on the day.
pub(super) fn fits(
    project: &route::Project,
    plan: &Plan,
    day: &Day,
) -> Result<Fits, Box<Diagnostic>> {
    compiler::fit::fit(project, plan, day).ok_or_else(|| {
        Box::new(
            Diagnostic::error(
                "planned-flight",
                Place::whole("the planned route"),
                "it cannot be flown in the wind of the day",
            )
            .help("give another wind for the day, or a higher airspeed in the tour"),
        )
    })
}
