//! What the safety officer's commands can be asked for.

use clap::{Args, ValueEnum};
use review::Day;
use std::path::PathBuf;

#[derive(Args)]
pub(crate) struct Approve {
    /// Name of the procedure
    pub(crate) procedure: String,
    /// Who approves, returns or withdraws
    #[arg(long)]
    pub(crate) by: String,
    /// In which role
    #[arg(long)]
    pub(crate) role: String,
    /// The day of it [default: today]
    #[arg(long)]
    pub(crate) date: Option<Day>,
    /// The last day on which the approval holds
    #[arg(long, required_unless_present_any = ["withdraw", "returned"])]
    pub(crate) until: Option<Day>,
    /// The walkthrough on the machine: "who, when, where"
    #[arg(long)]
    pub(crate) walkthrough: Option<String>,
    /// A finding that is accepted: CODE@step=reason, or CODE=reason for one about no step
    #[arg(long)]
    pub(crate) accept: Vec<String>,
    /// Private key in the OpenSSH form that signs the approval
    #[arg(long)]
    pub(crate) sign: Option<PathBuf>,
    /// Take the approval back, for this reason
    #[arg(long, value_name = "REASON", conflicts_with_all = ["until", "walkthrough", "accept", "returned"])]
    pub(crate) withdraw: Option<String>,
    /// Return the procedure to its author, for this reason
    #[arg(long = "return", value_name = "REASON", conflicts_with_all = ["until", "walkthrough", "accept", "sign"])]
    pub(crate) returned: Option<String>,
    /// A remark on a step of a returned procedure: step=text
    #[arg(long, requires = "returned")]
    pub(crate) remark: Vec<String>,
    /// Files and folders to read
    #[arg(long = "from", default_value = crate::files::DEFAULT_FOLDER)]
    pub(crate) from: Vec<PathBuf>,
}

#[derive(Args)]
pub(crate) struct List {
    /// What is due on each machine, and which are out of service, in place of the procedures (1 if something is due)
    #[arg(long)]
    pub(crate) due: bool,
    /// The day by which approvals, and what is due, are judged [default: today]
    #[arg(long)]
    pub(crate) on: Option<Day>,
    /// Form of the output
    #[arg(long, value_enum, default_value_t = ListForm::Text)]
    pub(crate) form: ListForm,
    /// Files and folders to read
    #[arg(long = "from", default_value = crate::files::DEFAULT_FOLDER)]
    pub(crate) from: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) journal: super::journal_file::JournalFile,
}

/// How a list is given.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ListForm {
    /// Plain text
    Text,
    /// One file for a browser; of the procedures
    Html,
    /// For paper, tagged, with embedded fonts; of the procedures
    #[cfg(feature = "pdf")]
    Pdf,
    /// A file for a calendar (iCalendar, RFC 5545); of what is due
    Ical,
}

/// A page for people, in one of several forms.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum PageForm {
    /// Plain text
    Text,
    /// One file for a browser
    Html,
    /// For paper, tagged, with embedded fonts
    #[cfg(feature = "pdf")]
    Pdf,
}

#[derive(Args)]
pub(crate) struct Compare {
    /// The old revision: a file, or REVISION:FILE of the repository
    pub(crate) old: String,
    /// The new revision
    pub(crate) new: Option<String>,
    /// Two revisions of the repository, for one file: OLD..NEW
    #[arg(long, value_name = "OLD..NEW")]
    pub(crate) git: Option<String>,
    /// Form of the output
    #[arg(long, value_enum, default_value_t = CompareForm::Text)]
    pub(crate) form: CompareForm,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum CompareForm {
    /// For people
    Text,
    /// For people, in a browser
    Html,
    /// For paper, tagged, with embedded fonts
    #[cfg(feature = "pdf")]
    Pdf,
    /// For programs
    Json,
}

#[derive(Args)]
pub(crate) struct Review {
    /// Name of the procedure
    pub(crate) procedure: String,
    /// Form of the page
    #[arg(long, value_enum, default_value_t = PageForm::Text)]
    pub(crate) form: PageForm,
    /// The day by which the approval is judged [default: today]
    #[arg(long)]
    pub(crate) on: Option<Day>,
    /// Files and folders to read
    #[arg(long = "from", default_value = crate::files::DEFAULT_FOLDER)]
    pub(crate) from: Vec<PathBuf>,
}
