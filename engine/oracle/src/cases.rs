//! Small documents with the faults that they have, written by hand from what "proved" means: for the judge, and for
//! whatever else proves.

mod acts;
mod found;
mod hidden;
mod looks;
mod resuming;
mod rigs;
mod starts;
mod stopping;

/// One small procedure, what it works on, and what goes wrong with it.
#[derive(Clone, Debug)]
pub struct Case {
    /// What is tried, in words.
    pub name: &'static str,
    /// The equipment document.
    pub equipment: String,
    /// The procedures; the first is the one that is started.
    pub procedures: Vec<String>,
    /// The faults, as [`crate::judge::Fault`] prints them, in the order of that type.
    pub expected: Vec<&'static str>,
}

/// All of them.
#[must_use]
pub fn cases() -> Vec<Case> {
    let groups = [
        looks::cases(),
        acts::cases(),
        hidden::cases(),
        found::cases(),
        resuming::cases(),
        starts::cases(),
        stopping::cases(),
    ];
    groups.into_iter().flatten().collect()
}

/// A case of one procedure: its `requires`, `leaves` and `steps`.
fn case(name: &'static str, rig: &str, steps: &str, expected: &[&'static str]) -> Case {
    with_inner(name, rig, steps, None, expected)
}

/// A case of a procedure `main` that may perform `inner`.
fn with_inner(
    name: &'static str,
    rig: &str,
    steps: &str,
    inner: Option<&str>,
    expected: &[&'static str],
) -> Case {
    let procedure = |name: &str, steps: &str| {
        format!(
            "procedure: {name}\ntitle: A procedure\nequipment: rig\nrevision: 1\npurpose: Work.\nscope: The rig.\n\
             performers: {{ technician: 1 }}\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
             spares: none\nwear: none\n{steps}\n"
        )
    };
    let main = procedure("main", steps);
    Case {
        name,
        equipment: format!("{}{rig}", rigs::EVERY),
        procedures: [main].into_iter().chain(inner.map(|steps| procedure("inner", steps))).collect(),
        expected: expected.to_vec(),
    }
}

#[cfg(test)]
mod tests {
    use super::cases;
    use crate::judge::{Judged, explore};
    use document::{InputFile, Severity};

    #[test]
    fn every_case_has_the_faults_that_the_page_says() {
        let all = cases();
        assert!(all.len() >= 60, "only {} cases", all.len());
        let mut wrong = Vec::new();
        for case in &all {
            let texts = [&case.equipment].into_iter().chain(&case.procedures);
            let file = |(at, text): (usize, &String)| InputFile {
                name: format!("{at}.yaml"),
                bytes: text.clone().into(),
            };
            let reading = document::read(&texts.enumerate().map(file).collect::<Vec<_>>());
            if let Some(finding) = reading.findings.iter().find(|finding| finding.severity == Severity::Error)
            {
                wrong.push(format!("{}: {} {} {:?}", case.name, finding.code, finding.message, finding.help));
                continue;
            }
            let found = explore(&Judged::new(&reading.library, "main"), 50_000).expect("a small case");
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
