//! The fulmar command: arguments, files, printing, exit codes.
