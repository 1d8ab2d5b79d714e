//! The `fulmar` command.

fn main() -> std::process::ExitCode {
    cli::run()
}
