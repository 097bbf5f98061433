//! `cargo bench`: how long a proof takes, beside SPIN in the same run. Prints Markdown.

mod alone;
mod documents;
mod library;
mod parted;
mod rows;
mod sequence;
mod spin;
mod unknown;

fn main() {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    rows::say(&format!("{cores} cores; each time is the least of several runs.\n"));
    sequence::run();
    unknown::run();
    unknown::any_order();
    parted::run();
    alone::growth();
    alone::worst();
    library::run();
}
