#![allow(
    missing_docs,
    clippy::all,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a look"
)]
use document::{InputFile, read};
fn main() {
    let dir = std::env::args().nth(1).unwrap();
    let out = std::env::args().nth(2).unwrap();
    let mut files: Vec<_> = std::fs::read_dir(&dir).unwrap().map(|e| e.unwrap().path()).collect();
    files.sort();
    let files: Vec<_> = files
        .iter()
        .map(|p| InputFile { name: p.display().to_string(), bytes: std::fs::read(p).unwrap() })
        .collect();
    let reading = read(&files);
    println!(
        "{}",
        card::report::text(
            &reading.library.sources,
            &reading.findings,
            card::report::Style { colour: false, width: 100 }
        )
    );
    println!("{}", card::report::summary(&reading.findings));
    let standing = card::page::Standing {
        content: "sha256:4be1f0c2d7a94c0e8f6f0f1a2b3c4d5e6f708192a3b4c5d6e7f8091a2b3c4d5e".into(),
        approval: card::page::Approval::NotApproved,
    };
    for name in reading.library.procedures.keys() {
        match card::page::build(
            &reading.library,
            name,
            &standing,
            Some(&card::page::ProofNote { obligations: 123 }),
        ) {
            Ok(page) => {
                std::fs::write(
                    format!("{out}/{name}.html"),
                    card::html::html(&page).map_err(|e| format!("{e:#}")).unwrap(),
                )
                .unwrap();
                std::fs::write(format!("{out}/{name}.txt"), card::text::text(&page)).unwrap();
            }
            Err(e) => println!("{name}: {e}"),
        }
    }
}
