//! `fulmar script`.

use std::io::Write;
use std::path::{Path, PathBuf};

use compiler::PLANNED_EVERY;
use diagnostic::{Diagnostic, Place, Severity};
use route::Today;
use script::Document;

use super::fit::fits;
use super::fly::{cannot_be_flown, shorten};
use crate::args::{MessageFormat, ScriptArgs, ScriptFormat};
use crate::input::findings::Findings;
use crate::input::tour::{Load, Loaded, load};
use crate::input::world::Disk;
use crate::input::{day, file, today};
use crate::outcome::{Outcome, Stop};
use crate::output::{Output, files_of};
use crate::terminal::Terminal;

/// Compiles a tour in a language and writes the script of it.
pub(super) fn run(
    args: &ScriptArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut findings = Findings::default();
    let prepared = prepare(args, &mut findings, format, terminal)?;
    let outcome = match prepared {
        Ok((document, form, read)) => match bytes(&document, form) {
            Ok(bytes) => {
                let told = findings.tell(terminal, format)?;
                let read = read.iter().map(PathBuf::as_path).chain(args.today.files());
                let mut output = Output::begin(&args.output, read)?;
                output.write_all(&bytes)?;
                output.finish(format, terminal)?;
                writeln!(terminal.out, "{}", document.summary())?;
                return Ok(told);
            }
            Err(error) => {
                findings.push(*error);
                Outcome::CouldNotRun
            }
        },
        Err(outcome) => outcome,
    };
    findings.tell(terminal, format)?;
    Ok(outcome)
}

type Prepared = (Document, ScriptFormat, Vec<PathBuf>);

fn prepare(
    args: &ScriptArgs,
    findings: &mut Findings,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Result<Prepared, Outcome>, Stop> {
    let Some(form) = args.format.or_else(|| form(&args.output)) else {
        findings.push(
            Diagnostic::error(
                "script-form-unknown",
                Place::whole(file::name(&args.output)),
                "the ending of this name does not say in which form the script is wanted",
            )
            .help("end it in .html, .csv or .xlsx, or give --format"),
        );
        return Ok(Err(Outcome::CouldNotRun));
    };
    let Some(today) = today::read(&Disk::default(), &args.today, findings) else {
        return Ok(Err(Outcome::CouldNotRun));
    };
    let (loaded, missing) = match load(&args.tour, &today, findings) {
        Load::Ready(loaded) => (loaded, None),
        Load::Mistakes => match incomplete(args, &today, findings) {
            Some((loaded, missing)) => (loaded, Some(missing)),
            None => return Ok(Err(Outcome::Findings)),
        },
        Load::Unusable => return Ok(Err(Outcome::CouldNotRun)),
    };
    let Some(project) = loaded.project() else {
        findings.push(
            Diagnostic::error(
                "plan-is-compiled",
                Place::whole(file::name(&args.tour)),
                "a compiled plan has no texts to come back to",
            )
            .help("name the tour itself"),
        );
        return Ok(Err(Outcome::CouldNotRun));
    };
    let day = match day::day(&today, &loaded.plan) {
        Ok(day) => day,
        Err(found) => {
            findings.extend(found);
            return Ok(Err(Outcome::CouldNotRun));
        }
    };
    shorten(findings, &args.tour, &today, format, terminal)?;
    findings.extend(missing);
    let events = match compiler::event_plan(&loaded.plan, &day, PLANNED_EVERY) {
        Ok(events) => events,
        Err(error) => {
            findings.push(cannot_be_flown(&error));
            return Ok(Err(Outcome::CouldNotRun));
        }
    };
    let fits = match fits(project, &loaded.plan, &day) {
        Ok(fits) => fits,
        Err(finding) => {
            findings.push(*finding);
            return Ok(Err(Outcome::CouldNotRun));
        }
    };
    let language = match &today.choice.languages {
        Some(said) => match &said.value[..] {
            [one] => one.clone(),
            several => {
                findings.push(several_languages(several));
                return Ok(Err(Outcome::CouldNotRun));
            }
        },
        None => project.told_in().to_owned(),
    };
    let code = &loaded.identity.code;
    let document = Document::new(project, &loaded.plan, &events, &fits, code, &language);
    Ok(Ok((document, form, files_of(&args.tour, &loaded.plan))))
}

/// The tour in its own language, where all that is wrong with it in the one that is wanted is that
/// texts are missing: they are what somebody is to write into the script.
fn incomplete(
    args: &ScriptArgs,
    today: &Today,
    findings: &mut Findings,
) -> Option<(Box<Loaded>, Diagnostic)> {
    let wanted = today.choice.languages.as_ref()?;
    let errors = findings.list.iter().filter(|one| one.severity == Severity::Error);
    let missing = errors.clone().count();
    if missing == 0 || errors.into_iter().any(|one| one.name != "text-missing") {
        return None;
    }
    let mut own = today.clone();
    own.choice.languages = None;
    let mut found = Findings::default();
    let Load::Ready(loaded) = load(&args.tour, &own, &mut found) else { return None };
    let headline = format!(
        "{} missing in {}: cues and room are those of the tour in {}",
        if missing == 1 { "a text is".to_owned() } else { format!("{missing} texts are") },
        wanted.value.join(", "),
        loaded.plan.languages.join(", ")
    );
    *findings = found;
    let place = Place::whole(file::name(&args.tour));
    let finding = Diagnostic::warning("script-incomplete", place, headline)
        .help("write them into the script, and take them back with `fulmar texts`");
    Some((loaded, finding))
}

fn several_languages(languages: &[String]) -> Diagnostic {
    Diagnostic::error(
        "script-in-several-languages",
        Place::whole("--language"),
        format!("a script is in one language, not in {}", languages.join(" and ")),
    )
    .help("write a script for each")
}

/// The form that the ending of a file's name says.
fn form(path: &Path) -> Option<ScriptFormat> {
    match path.extension()?.to_string_lossy().to_lowercase().as_str() {
        "html" | "htm" => Some(ScriptFormat::Html),
        "csv" => Some(ScriptFormat::Csv),
        "xlsx" => Some(ScriptFormat::Xlsx),
        _ => None,
    }
}

fn bytes(document: &Document, form: ScriptFormat) -> Result<Vec<u8>, Box<Diagnostic>> {
    match form {
        ScriptFormat::Html => Ok(script::page(document).into_bytes()),
        ScriptFormat::Csv => Ok(script::write_csv(document)),
        ScriptFormat::Xlsx => script::write_xlsx(document).map_err(|error| {
            let headline = format!("it cannot be written as a workbook: {error}");
            let place = Place::whole("the script");
            let finding = Diagnostic::error("script-not-a-workbook", place, headline);
            Box::new(finding.help("write it as .csv"))
        }),
    }
}
