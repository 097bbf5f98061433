//! What can be asked for.

mod journal_file;
mod officer;

pub(crate) use journal_file::JournalFile;
pub(crate) use officer::{Approve, Compare, CompareForm, List, ListForm, PageForm, Review};

use clap::{Args, Parser, Subcommand, ValueEnum};
use document::Severity;
use review::Day;
use std::path::PathBuf;

/// Maintenance procedures as graphs of steps: proved on every path, printed as cards, walked behind gates.
///
/// Exit status: 0 nothing found at or above the chosen severity, 1 findings, 2 unusable input, 3 a fault of the program.
#[derive(Parser)]
#[command(name = "gatewright", version)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Subcommand)]
pub(crate) enum Command {
    /// Read documents and prove their procedures on every path
    Check(Check),
    /// Check a certificate that `check` wrote
    Certificate(CertificateOf),
    /// Tell what a finding's code means, how a method works, or which units there are
    Explain(Explain),
    /// Work an amount out, with its working; list the methods without one
    Amount(Amount),
    /// Write the cards of procedures without errors
    Card(Card),
    /// Show every hazard with the steps that expose to it and the controls found there
    Matrix(Matrix),
    /// Walk through a procedure step by step
    Walk(Walk),
    /// Go on with a walk that was interrupted
    Resume(Resume),
    /// Read the records of walks
    Record(Record),
    /// Approve a procedure, return it to its author, or withdraw an approval
    Approve(Approve),
    /// All procedures with their standing
    List(List),
    /// What changed between two revisions of a procedure, for safety first
    Compare(Compare),
    /// Everything a safety officer looks at before approving
    Review(Review),
    /// Walk and read records in a browser
    #[cfg(feature = "web")]
    Serve(Serve),
    /// Say who can sign in in the browser, and in which roles
    People(People),
}

#[derive(Args)]
pub(crate) struct Check {
    /// Files and folders to read [default: procedures]
    pub(crate) paths: Vec<PathBuf>,
    /// Form of the output
    #[arg(long, value_enum, default_value_t = CheckForm::Text)]
    pub(crate) form: CheckForm,
    /// Least severity that counts for the exit status
    #[arg(long, value_enum, default_value_t = Least::Warning)]
    pub(crate) least: Least,
    /// Sets of states that may be explored for each procedure, and with them the work
    #[arg(long, default_value_t = 2_000_000)]
    pub(crate) states: usize,
    /// Seconds after which a procedure is given up, however far it is
    #[arg(long, default_value_t = 60)]
    pub(crate) seconds: u64,
    /// Look for the smallest change that makes each refuted procedure proved: a step put in or moved, a longer wait, another
    /// way for a look
    #[arg(long)]
    pub(crate) mend: bool,
    /// Stay, and check again what a saved file touches
    #[arg(long, conflicts_with_all = ["mend", "form"])]
    pub(crate) watch: bool,
    /// Write what was proved, place by place, for whoever checks it with another program
    #[arg(long, value_name = "FILE", conflicts_with = "watch")]
    pub(crate) certificate: Option<PathBuf>,
    /// Put the mends found into the files
    #[arg(long, requires = "mend")]
    pub(crate) write: bool,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum CheckForm {
    /// For people
    Text,
    /// For programs
    Json,
    /// For programs that take SARIF 2.1.0
    Sarif,
    /// For solvers that take SMT-LIB 2.6: needs, rules and promises as constrained Horn clauses; proved where every answer is sat
    Smt2,
}

#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum Least {
    /// Everything
    Advice,
    /// Warnings and errors
    Warning,
    /// Errors alone
    Error,
}

impl From<Least> for Severity {
    fn from(least: Least) -> Self {
        match least {
            Least::Advice => Self::Advice,
            Least::Warning => Self::Warning,
            Least::Error => Self::Error,
        }
    }
}

#[derive(Args)]
pub(crate) struct CertificateOf {
    #[command(subcommand)]
    pub(crate) action: CertificateAction,
}

#[derive(Subcommand)]
pub(crate) enum CertificateAction {
    /// Check every certificate of a file against the documents, with the second program alone: nothing is proved anew
    Verify {
        /// The file
        file: PathBuf,
        /// Files and folders to read [default: procedures]
        paths: Vec<PathBuf>,
    },
}

#[derive(Args)]
pub(crate) struct Explain {
    /// Code of a finding such as P01, a method such as line-purge, or `units`; all codes without one
    pub(crate) code: Option<String>,
}

#[derive(Args)]
pub(crate) struct Amount {
    /// The method; all methods without one
    pub(crate) method: Option<String>,
    /// Its inputs, such as `length=12m` or "length=12 m"
    #[arg(value_name = "NAME=VALUE")]
    pub(crate) inputs: Vec<String>,
}

#[derive(Args)]
pub(crate) struct Card {
    /// Names of procedures
    #[arg(required_unless_present_any = ["all", "verify"])]
    pub(crate) procedures: Vec<String>,
    /// Every procedure that was read
    #[arg(long, conflicts_with = "procedures")]
    pub(crate) all: bool,
    /// Forms to write [default: all of them]
    #[arg(long, value_enum, value_delimiter = ',', default_values_t = CardForm::value_variants(), hide_default_value = true)]
    pub(crate) form: Vec<CardForm>,
    /// The machine the card is for, such as "hose=4 m,tip=fine"; without it the card is for all
    #[arg(long, value_name = "NAME=VALUE", value_delimiter = ',')]
    pub(crate) variant: Vec<String>,
    /// Say whether a card in hand is the current and approved one, by the text of its mark (0 it is, 1 it is not)
    #[arg(long, value_name = "MARK", conflicts_with_all = ["procedures", "all", "form", "variant", "out"])]
    pub(crate) verify: Option<String>,
    /// Files and folders to read
    #[arg(long = "from", default_value = crate::files::DEFAULT_FOLDER)]
    pub(crate) from: Vec<PathBuf>,
    /// Folder to write to
    #[arg(long, default_value = "out")]
    pub(crate) out: PathBuf,
    /// The day by which approvals are judged [default: today]
    #[arg(long)]
    pub(crate) on: Option<Day>,
    #[cfg(feature = "pdf")]
    #[command(flatten)]
    pub(crate) paper: Paper,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum CardForm {
    /// For a screen, and for paper through a browser
    Html,
    /// Plain text, 78 columns wide
    Text,
    /// CommonMark with tables
    Markdown,
    /// The steps as bare challenges and responses by pause points, in HTML, plain text and PDF
    Checklist,
    /// The map of the steps alone, as SVG
    Map,
    /// The hazards and controls, in HTML, plain text, CSV and PDF
    Matrix,
    /// For paper, tagged, with embedded fonts
    #[cfg(feature = "pdf")]
    Pdf,
}

/// What PDF cards are printed on.
#[cfg(feature = "pdf")]
#[derive(Args)]
pub(crate) struct Paper {
    /// Paper of PDF cards
    #[arg(long, value_enum, default_value_t = PaperSize::A4)]
    pub(crate) paper: PaperSize,
    /// Four pocket pages to a sheet, to be cut or folded [default sheet: a4]
    #[arg(long, value_enum, value_name = "SHEET", num_args = 0..=1, default_missing_value = "a4")]
    pub(crate) n_up: Option<SheetSize>,
    /// Pocket pages as a booklet, four to a side [default sheet: a4]. Print on both sides, turned over the long edge; cut
    /// all sheets across the middle; lay the upper halves on the lower ones as they are; fold with page 1 outside
    #[arg(long, value_enum, value_name = "SHEET", num_args = 0..=1, default_missing_value = "a4", conflicts_with = "n_up")]
    pub(crate) booklet: Option<SheetSize>,
}

#[cfg(feature = "pdf")]
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum PaperSize {
    /// 210 × 297 mm
    A4,
    /// 215.9 × 279.4 mm
    Letter,
    /// 105 × 148 mm
    Pocket,
}

#[cfg(feature = "pdf")]
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum SheetSize {
    /// 210 × 297 mm
    A4,
    /// 215.9 × 279.4 mm
    Letter,
}

#[derive(Args)]
pub(crate) struct Matrix {
    /// Names of procedures
    #[arg(required_unless_present = "all")]
    pub(crate) procedures: Vec<String>,
    /// Every procedure that was read
    #[arg(long, conflicts_with = "procedures")]
    pub(crate) all: bool,
    /// Form of the output
    #[arg(long, value_enum, default_value_t = MatrixForm::Text)]
    pub(crate) form: MatrixForm,
    /// Paper of a PDF, which lies on its long side
    #[cfg(feature = "pdf")]
    #[arg(long, value_enum, default_value_t = SheetSize::A4)]
    pub(crate) paper: SheetSize,
    /// Files and folders to read
    #[arg(long = "from", default_value = crate::files::DEFAULT_FOLDER)]
    pub(crate) from: Vec<PathBuf>,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum MatrixForm {
    /// For people
    Text,
    /// For a browser and for paper
    Html,
    /// One line a control (RFC 4180)
    Csv,
    /// For paper, tagged, with embedded fonts
    #[cfg(feature = "pdf")]
    Pdf,
}

#[derive(Args)]
pub(crate) struct Walk {
    /// Name of the procedure
    pub(crate) procedure: String,
    /// Who walks
    #[arg(long)]
    pub(crate) person: Option<String>,
    /// Serial number of the machine worked on
    #[arg(long)]
    pub(crate) serial: Option<String>,
    /// Name of the walk in the records; made from the procedure and the day without it
    #[arg(long)]
    pub(crate) name: Option<String>,
    /// Practise: the clock jumps over waits, and the record says so and counts for nothing
    #[arg(long)]
    pub(crate) rehearsal: bool,
    /// Walk for training: nothing is done for real, and the record says so
    #[arg(long)]
    pub(crate) training: bool,
    /// Files and folders to read
    #[arg(long = "from", default_value = crate::files::DEFAULT_FOLDER)]
    pub(crate) from: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) journal: JournalFile,
}

#[derive(Args)]
pub(crate) struct Resume {
    /// The walk, as `record list` names it; the last one that has not ended without it
    pub(crate) walk: Option<String>,
    /// Who walks from here
    #[arg(long)]
    pub(crate) person: Option<String>,
    #[command(flatten)]
    pub(crate) journal: JournalFile,
}

#[derive(Args)]
pub(crate) struct Record {
    #[command(subcommand)]
    pub(crate) command: RecordCommand,
    #[command(flatten)]
    pub(crate) journal: JournalFile,
}

#[derive(Subcommand)]
pub(crate) enum RecordCommand {
    /// All walks, a line each; every filter that is given must fit
    List(Wanted),
    /// One walk, event by event
    Show {
        /// The walk
        walk: String,
    },
    /// Make sure that no record was altered, removed or put out of order
    Verify(Verify),
    /// Everything recorded, for other programs
    Export {
        /// One walk; all that are wanted without it
        walk: Option<String>,
        #[command(flatten)]
        wanted: Wanted,
        /// Form of the output
        #[arg(long, value_enum, default_value_t = ExportForm::Json)]
        form: ExportForm,
    },
}

/// The role that allows deviations and releases machines, where nobody says.
pub(crate) const RELEASING_ROLE: &str = "safety-officer";

/// What is done with the head of the records beside verifying them.
#[derive(Args)]
pub(crate) struct Verify {
    /// Write the head to --head FILE and sign it into FILE.sig with this private key in the OpenSSH form
    #[arg(long, value_name = "KEYFILE", requires = "head")]
    pub(crate) sign: Option<PathBuf>,
    /// A file that holds, or is to hold, the head of the records at some time
    #[arg(long, value_name = "FILE")]
    pub(crate) head: Option<PathBuf>,
    /// Whether --head FILE was signed by --by with a key that this file lists, and the records still hold what it says
    #[arg(long, value_name = "FILE", requires_all = ["head", "by"], conflicts_with = "sign")]
    pub(crate) allowed_signers: Option<PathBuf>,
    /// Who signed, as the list of keys names them
    #[arg(long, value_name = "PRINCIPAL")]
    pub(crate) by: Option<String>,
    /// The day on which the key must have been valid [default: today]
    #[arg(long, value_name = "DATE")]
    pub(crate) on: Option<Day>,
}

/// Which walks are wanted. Of several values, parted by commas, any may fit.
#[derive(Args, Default)]
pub(crate) struct Wanted {
    /// Serial numbers
    #[arg(long, default_value = "")]
    pub(crate) serial: String,
    /// Procedures
    #[arg(long, default_value = "")]
    pub(crate) procedure: String,
    /// Revisions of the procedure
    #[arg(long, default_value = "")]
    pub(crate) revision: String,
    /// People who walked or signed
    #[arg(long, default_value = "")]
    pub(crate) person: String,
    /// States, such as `stopped` or "awaiting verification"
    #[arg(long, default_value = "", value_parser = states)]
    pub(crate) state: String,
    /// The first day on which a walk was begun
    #[arg(long, value_name = "DATE")]
    pub(crate) since: Option<Day>,
    /// The last day on which a walk was begun
    #[arg(long, value_name = "DATE")]
    pub(crate) until: Option<Day>,
    /// Files and folders beside which a register says in which zone days are meant
    #[arg(long = "from", value_name = "PATH", default_value = crate::files::DEFAULT_FOLDER)]
    pub(crate) from: Vec<PathBuf>,
}

/// Words of states; one that no walk has would find nothing and not say why.
fn states(given: &str) -> Result<String, String> {
    for word in given.split(',').map(str::trim).filter(|word| !word.is_empty()) {
        if !records::STATUSES.contains(&word) {
            return Err(format!("`{word}` is no state; there are {}", records::STATUSES.join(", ")));
        }
    }
    Ok(given.to_owned())
}

#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum ExportForm {
    /// For people
    Text,
    /// One array of records
    Json,
    /// One line a record (RFC 4180)
    Csv,
    /// One walk on paper, tagged, with embedded fonts
    #[cfg(feature = "pdf")]
    Pdf,
}

#[cfg(feature = "web")]
#[derive(Args)]
pub(crate) struct Serve {
    /// Files and folders to read [default: procedures]
    pub(crate) from: Vec<PathBuf>,
    /// Address to listen on; other machines reach it only if it is not a loopback address
    #[arg(long, default_value = "127.0.0.1:8080")]
    pub(crate) listen: std::net::SocketAddr,
    /// Name by which browsers may reach it, besides addresses and `localhost`; may be given several times
    #[arg(long = "host")]
    pub(crate) hosts: Vec<String>,
    /// Minutes without use after which a sign-in locks
    #[arg(long, default_value_t = 10, value_parser = clap::value_parser!(u32).range(1..=480))]
    pub(crate) lock_after: u32,
    /// Role that allows deviations and releases machines after a stop, where the equipment names none
    #[arg(long, default_value = RELEASING_ROLE)]
    pub(crate) releasing_role: String,
    #[command(flatten)]
    pub(crate) journal: JournalFile,
}

#[derive(Args)]
pub(crate) struct People {
    #[command(subcommand)]
    pub(crate) command: PeopleCommand,
    #[command(flatten)]
    pub(crate) journal: JournalFile,
}

#[derive(Subcommand)]
pub(crate) enum PeopleCommand {
    /// Everybody who can sign in, with their roles
    List,
    /// Add somebody; the PIN is asked, or read from standard input
    Add {
        /// The name
        name: String,
        /// A role, `technician`, or with its last day, `technician:2027-11-02`; may be given several times
        #[arg(long = "role")]
        roles: Vec<String>,
    },
    /// Give somebody a role, or change until when it holds
    Grant {
        /// The name
        name: String,
        /// The role, with its last day after a colon where it ends
        role: String,
    },
    /// Take a role from somebody
    Revoke {
        /// The name
        name: String,
        /// The role
        role: String,
    },
    /// Give somebody a new PIN; it is asked, or read from standard input
    Pin {
        /// The name
        name: String,
    },
    /// Remove somebody; records keep the name
    Remove {
        /// The name
        name: String,
    },
}
