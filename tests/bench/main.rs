//! `cargo bench`: how long a proof takes, beside SPIN in the same run. Prints Markdown.

mod alone;
mod carried;
mod certificates;
mod compared;
mod documents;
mod library;
mod parted;
mod rows;
mod sequence;
mod spin;
mod unknown;

/// `cargo bench --bench proof -- certificates` prints that table alone; so does `compared`.
fn main() {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    rows::say(&format!("{cores} cores; each time is the least of several runs.\n"));
    if std::env::args().any(|argument| argument == "certificates") {
        certificates::run();
        carried::run();
        return;
    }
    if std::env::args().any(|argument| argument == "compared") {
        compared::run();
        return;
    }
    sequence::run();
    unknown::run();
    unknown::any_order();
    parted::run();
    alone::growth();
    alone::worst();
    library::run();
    certificates::run();
    carried::run();
    compared::run();
}
