//! Exit statuses.

use crate::output;
use std::fmt;
use std::process::ExitCode;

/// How the program ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Exit {
    /// Nothing at or above the chosen severity; the work is done.
    Clean = 0,
    /// Findings at or above the chosen severity; a gate stayed shut; a record does not hold together.
    Findings = 1,
    /// The input or the arguments cannot be used.
    Unusable = 2,
    /// A fault of our own.
    Fault = 3,
}

impl Exit {
    /// Prints what the argument parser has to say.
    pub(crate) fn of_arguments(error: &clap::Error) -> Self {
        let asked = !error.use_stderr();
        // Nothing is left to do if the terminal is gone.
        let _ = error.print();
        if asked { Self::Clean } else { Self::Unusable }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit as u8)
    }
}

/// An error that is ours, told apart from unusable input.
#[derive(Debug)]
pub(crate) struct OurFault(pub(crate) String);

impl fmt::Display for OurFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "this is a fault of the program, not of the input: {}", self.0)
    }
}

impl std::error::Error for OurFault {}

/// Tells an error and gives the status it ends with.
pub(crate) fn report(error: &anyhow::Error) -> Exit {
    if error.downcast_ref::<output::Closed>().is_some() {
        // Whoever read the output has seen enough.
        return Exit::Clean;
    }
    output::complain(&format!("gatewright: {error:#}\n"));
    if error.downcast_ref::<OurFault>().is_some() { Exit::Fault } else { Exit::Unusable }
}
