//! The `fulmar` command.
fn main() -> std::process::ExitCode {
    std::process::ExitCode::from(2)
}
