//! What may be spent on the proof of each procedure, and how it is spent on all cores.

use crate::exit::OurFault;
use crate::jobs;
use anyhow::Result;
use check::{Checked, Fault, Report};
use document::model::Name;
use document::{Diagnostic, Library, Reading};
use std::sync::OnceLock;
use std::time::{Duration, Instant};

/// How much may be spent on each procedure.
pub(crate) struct Budget {
    pub(crate) states: usize,
    pub(crate) seconds: u64,
}

impl Budget {
    /// Checks what was read, giving each procedure the whole budget.
    pub(crate) fn spend(&self, reading: Reading) -> Result<Report> {
        Ok(self.whole(reading)?.0)
    }

    /// The same with the time that each took.
    pub(crate) fn whole(&self, reading: Reading) -> Result<(Report, Vec<Duration>)> {
        self.all(reading, |_| ())
    }

    /// The same for verdicts and findings alone, with the time that each took: what else a proof knows of a large library takes
    /// much memory.
    pub(crate) fn timed(&self, reading: Reading) -> Result<(Report, Vec<Duration>)> {
        self.all(reading, Checked::let_go)
    }

    fn all(&self, reading: Reading, then: fn(&mut Checked)) -> Result<(Report, Vec<Duration>)> {
        let names: Vec<&Name> = reading.library.procedures.keys().collect();
        let (procedures, times) = self.each(&reading.library, &reading.findings, &names, then)?;
        Ok((Report::new(reading, procedures), times))
    }

    /// Checks these procedures on all cores, each with the whole budget; what is done with each `then`.
    pub(crate) fn each(
        &self,
        library: &Library,
        findings: &[Diagnostic],
        names: &[&Name],
        then: fn(&mut Checked),
    ) -> Result<(Vec<Checked>, Vec<Duration>)> {
        let slots: Vec<OnceLock<Result<(Checked, Duration), Fault>>> =
            names.iter().map(|_| OnceLock::new()).collect();
        jobs::side_by_side("proving", names.len(), &|at| {
            let began = Instant::now();
            let end = began + Duration::from_secs(self.seconds);
            let go_on = || Instant::now() < end;
            let budget = ::check::Budget { boxes: self.states, go_on: &go_on };
            let mut checked = ::check::check_one(library, findings, names[at], &budget);
            let _ = checked.as_mut().map(then);
            slots[at].get_or_init(|| checked.map(|checked| (checked, began.elapsed())));
        });
        let results = slots.into_iter().filter_map(OnceLock::into_inner);
        let pairs: Vec<(Checked, Duration)> =
            results.collect::<Result<_, _>>().map_err(|fault| OurFault(fault.to_string()))?;
        Ok(pairs.into_iter().unzip())
    }
}
