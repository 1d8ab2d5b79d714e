//! `fulmar explain`.

use std::io::Write;

use diagnostic::{Diagnostic, Page, Place};

use crate::args::{ExplainArgs, MessageFormat};
use crate::input::findings::Findings;
use crate::outcome::{Outcome, Stop};
use crate::pages;
use crate::terminal::Terminal;

/// Prints the page of a finding, or the names of all of them.
pub(super) fn run(
    args: &ExplainArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let Some(name) = &args.name else {
        for page in pages::all() {
            writeln!(terminal.out, "{:<28} {:<8} {}", page.name, page.severity, page.finds)?;
        }
        return Ok(Outcome::Clean);
    };
    let Some(page) = pages::all().into_iter().find(|page| page.name == name) else {
        let mut findings = Findings::default();
        findings.push(unknown(name));
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    };
    print(&mut *terminal.out, page)?;
    Ok(Outcome::Clean)
}

fn print(out: &mut dyn Write, page: &Page) -> std::io::Result<()> {
    writeln!(out, "{} ({})\n", page.name, page.severity)?;
    for (head, text) in [("What it finds", page.finds), ("Why it matters", page.why)] {
        writeln!(out, "{head}\n{}\n", wrapped(text, "  ", 78))?;
    }
    writeln!(out, "Example\n{}\n", indented(page.example))?;
    writeln!(out, "Better\n{}", indented(page.better))
}

fn indented(text: &str) -> String {
    let lines: Vec<String> = text.lines().map(|line| format!("  {line}")).collect();
    lines.join("\n")
}

/// Lines of at most `width` characters where words allow it.
fn wrapped(text: &str, indent: &str, width: usize) -> String {
    let mut lines = Vec::new();
    let mut line = String::from(indent);
    for word in text.split_whitespace() {
        let longer = line.chars().count() + 1 + word.chars().count();
        if line.len() > indent.len() && longer > width {
            lines.push(std::mem::replace(&mut line, String::from(indent)));
        }
        if line.len() > indent.len() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.push(line);
    lines.join("\n")
}

fn unknown(name: &str) -> Diagnostic {
    let nearest = pages::all()
        .into_iter()
        .map(|page| (page.name, strsim::jaro_winkler(page.name, name)))
        .filter(|(_, nearness)| *nearness > 0.8)
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let help = match nearest {
        Some((near, _)) => format!("did you mean `{near}`? `fulmar explain` lists all names"),
        None => "`fulmar explain` lists all names".to_owned(),
    };
    Diagnostic::error(
        "unknown-finding",
        Place::whole("fulmar explain"),
        format!("there is no finding of the name `{name}`"),
    )
    .help(help)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_wrapped_at_words() {
        assert_eq!(wrapped("one two  three", "  ", 9), "  one two\n  three");
        assert_eq!(wrapped("indivisible x", "", 4), "indivisible\nx");
        assert_eq!(wrapped("", "  ", 4), "  ");
    }
}
