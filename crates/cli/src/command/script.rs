//! `fulmar script`.

use std::io::Write;
use std::path::{Path, PathBuf};

use compiler::PLANNED_EVERY;
use diagnostic::{Diagnostic, Place};
use script::Document;

use super::fly::{cannot_be_flown, shorten};
use crate::args::{MessageFormat, ScriptArgs, ScriptFormat};
use crate::input::findings::Findings;
use crate::input::tour::{Load, load};
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
                findings.tell(terminal, format)?;
                let read = read.iter().map(PathBuf::as_path).chain(args.today.files());
                let mut output = Output::begin(&args.output, read)?;
                output.write_all(&bytes)?;
                output.finish(format, terminal)?;
                writeln!(terminal.out, "{}", document.summary())?;
                return Ok(Outcome::Clean);
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
    let loaded = match load(&args.tour, &today, findings) {
        Load::Ready(loaded) => loaded,
        Load::Mistakes => return Ok(Err(Outcome::Findings)),
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
    let events = match compiler::event_plan(&loaded.plan, &day, PLANNED_EVERY) {
        Ok(events) => events,
        Err(error) => {
            findings.push(cannot_be_flown(&error));
            return Ok(Err(Outcome::CouldNotRun));
        }
    };
    let document = Document::new(project, &loaded.plan, &events, &loaded.identity.code);
    Ok(Ok((document, form, files_of(&args.tour, &loaded.plan))))
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
