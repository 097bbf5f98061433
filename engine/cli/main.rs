//! The command line: arguments, files, clocks, screens and exit statuses. Everything else lives in the members.

mod approvals;
mod arguments;
mod budget;
mod changes;
mod clock;
mod commands;
mod decide;
mod exit;
mod files;
mod jobs;
mod output;
mod register;
mod repository;
mod review_pages;

use arguments::{Arguments, Command};
use clap::Parser;
use exit::Exit;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return Exit::of_arguments(&error).into(),
    };
    let outcome = match arguments.command {
        Command::Check(options) => commands::check::run(&options),
        Command::Certificate(options) => commands::certificate::run(&options),
        Command::Explain(options) => commands::explain::run(&options),
        Command::Amount(options) => commands::amount::run(&options),
        Command::Card(options) => commands::card::run(&options),
        Command::Matrix(options) => commands::matrix::run(&options),
        Command::Walk(options) => commands::walk::run(&options),
        Command::Resume(options) => commands::resume::run(&options),
        Command::Record(options) => commands::record::run(&options),
        Command::Approve(options) => commands::approve::run(&options),
        Command::List(options) => commands::list::run(&options),
        Command::Compare(options) => commands::compare::run(&options),
        Command::Review(options) => commands::review::run(&options),
        #[cfg(feature = "web")]
        Command::Serve(options) => commands::serve::run(&options),
        Command::People(options) => commands::people::run(&options),
    };
    outcome.unwrap_or_else(|error| exit::report(&error)).into()
}
