//! Small documents with the faults that they have, written by hand from what "proved" means: for the judge, and for
//! whatever else proves.

mod acts;
mod asking;
mod case;
mod found;
mod hidden;
mod lasting;
mod looks;
mod offered;
mod resuming;
mod rigs;
mod sight;
mod starts;
mod stopping;

pub use case::Case;

/// All of them.
#[must_use]
pub fn cases() -> Vec<Case> {
    let groups = [
        looks::cases(),
        sight::cases(),
        acts::cases(),
        hidden::cases(),
        lasting::cases(),
        found::cases(),
        resuming::cases(),
        starts::cases(),
        stopping::cases(),
        asking::cases(),
        offered::cases(),
    ];
    groups.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::cases;
    use crate::judge::{Judged, explore};

    #[test]
    fn every_case_has_the_faults_that_the_page_says() {
        let all = cases();
        assert!(all.len() >= 60, "only {} cases", all.len());
        let mut wrong = Vec::new();
        for case in &all {
            let library = match case.library() {
                Ok(library) => library,
                Err(error) => {
                    wrong.push(format!("{}: {error}", case.name));
                    continue;
                }
            };
            let found = explore(&Judged::new(&library, "main"), 50_000).expect("a small case");
            let mut expected: Vec<String> = case.expected.iter().map(|&fault| fault.to_owned()).collect();
            let mut faults: Vec<String> = found.faults.iter().map(ToString::to_string).collect();
            expected.sort();
            faults.sort();
            if faults != expected {
                let paths: Vec<String> = found
                    .paths
                    .iter()
                    .map(|(fault, path)| format!("    {fault}: {}", path.join(" > ")))
                    .collect();
                wrong.push(format!("{}:\n  {expected:?}\n  {faults:?}\n{}", case.name, paths.join("\n")));
            }
        }
        assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), all.len(), wrong.join("\n"));
    }

    #[test]
    fn every_case_has_a_name_of_its_own() {
        let all = cases();
        let names: std::collections::BTreeSet<&str> = all.iter().map(|case| case.name).collect();
        assert_eq!(names.len(), all.len());
    }
}
