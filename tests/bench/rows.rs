//! Times and table rows.

use std::time::{Duration, Instant};

/// Prints a line of the report.
#[expect(clippy::print_stdout, reason = "the report is what this program is for")]
pub(crate) fn say(line: &str) {
    println!("{line}");
}

/// Starts a table.
pub(crate) fn table(title: &str, columns: &[&str]) {
    say(&format!("\n## {title}\n"));
    row(&columns.iter().map(|column| (*column).to_owned()).collect::<Vec<_>>());
    row(&columns.iter().map(|_| "---".to_owned()).collect::<Vec<_>>());
}

/// One row of a table.
pub(crate) fn row(cells: &[String]) {
    say(&format!("| {} |", cells.join(" | ")));
}

/// The least time of several runs, and what the last of them gave. Work that takes long runs once.
pub(crate) fn timed<T>(work: impl Fn() -> T) -> (Duration, T) {
    let mut least = Duration::MAX;
    let began = Instant::now();
    loop {
        let start = Instant::now();
        let result = work();
        least = least.min(start.elapsed());
        if began.elapsed() > Duration::from_millis(300) {
            return (least, result);
        }
    }
}

/// A time with a unit that suits it.
pub(crate) fn time(time: Duration) -> String {
    let millis = time.as_secs_f64() * 1000.0;
    match millis {
        0.0..1.0 => format!("{:.0} µs", millis * 1000.0),
        1.0..10.0 => format!("{millis:.1} ms"),
        10.0..1000.0 => format!("{millis:.0} ms"),
        _ => format!("{:.1} s", millis / 1000.0),
    }
}

/// How many times longer than ours.
pub(crate) fn ratio(theirs: Duration, ours: Duration) -> String {
    let ratio = theirs.as_secs_f64() / ours.as_secs_f64();
    if ratio < 10.0 { format!("{ratio:.1}x") } else { format!("{ratio:.0}x") }
}
