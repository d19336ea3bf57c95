//! The program: runs one command and chooses the exit status.

use std::process::ExitCode;

use clap::Parser;
use fieldcoil::cli::{Cli, Command};
use fieldcoil::command;

fn main() -> ExitCode {
    // Help and version leave with 0, mistakes in the call with 2; the parser does both by itself.
    let result = match Cli::parse().command {
        Command::Site(args) => command::site::run(&args.into_options()),
        Command::Preview(args) => command::preview::run(&args.into_options()),
        Command::Draft(args) => command::draft::run(&args.into_options()),
        Command::Proof(args) => {
            let (course, format) = args.into_options();
            command::proof::run(&course, format)
        }
        Command::Grade(args) => command::grade::run(&args.into_options()),
        Command::Handouts(args) => command::handouts::run(&args.into_options()),
        Command::Work(args) => command::work::run(&args.into_options()),
    };
    match result {
        Ok(outcome) => ExitCode::from(outcome.status()),
        Err(error) => {
            command::complain(&error);
            ExitCode::from(2)
        }
    }
}
