//! `check --watch`: stays, and checks again what a saved file touches.

use super::verdicts;
use crate::budget::Budget;
use crate::changes::Changes;
use crate::exit::Exit;
use crate::{files, jobs, output};
use anyhow::Result;
use document::model::{Kind, Name, Procedure, Step};
use document::{InputFile, Severity};
use notify::RecursiveMode;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

pub(super) fn run(paths: &[PathBuf], budget: &Budget) -> Result<Exit> {
    let roots = if paths.is_empty() { vec![PathBuf::from(files::DEFAULT_FOLDER)] } else { paths.to_vec() };
    let mut changes = Changes::new()?;
    for root in &roots {
        changes.watch(root, RecursiveMode::Recursive)?;
    }
    let mut watched = Watched::read(&roots, budget)?;
    loop {
        let changed = changes.next(Duration::MAX)?;
        let began = Instant::now();
        let told = match changed {
            Some(changed) => watched.again(&changed, budget)?,
            None => watched.everything(budget)?,
        };
        if let Some(told) = told {
            let millis = began.elapsed().as_secs_f64() * 1000.0;
            output::say(&format!("{told}checked again in {millis:.1} ms\n"))?;
        }
    }
}

/// What was read last, and what hangs on what.
struct Watched {
    roots: Vec<PathBuf>,
    /// Files by their full path.
    files: BTreeMap<PathBuf, InputFile>,
    /// Where each document stands.
    procedures: BTreeMap<Name, PathBuf>,
    equipment: BTreeMap<Name, PathBuf>,
    /// For each procedure, those that perform it.
    performers: BTreeMap<Name, BTreeSet<Name>>,
    /// For each equipment, the procedures that work on it.
    workers: BTreeMap<Name, BTreeSet<Name>>,
}

impl Watched {
    /// Reads and checks everything.
    fn read(roots: &[PathBuf], budget: &Budget) -> Result<Self> {
        let all = files::read_all(roots)?;
        let reading = jobs::read(&all);
        let mut watched = Self {
            roots: roots.to_vec(),
            files: BTreeMap::new(),
            procedures: BTreeMap::new(),
            equipment: BTreeMap::new(),
            performers: BTreeMap::new(),
            workers: BTreeMap::new(),
        };
        let places: Vec<PathBuf> = all.iter().map(|file| full(Path::new(&file.name))).collect();
        for (name, document) in &reading.library.procedures {
            watched.procedures.insert(name.clone(), places[document.source.0 as usize].clone());
            watched.hangs_on(name, &document.model);
        }
        for (name, document) in &reading.library.equipment {
            watched.equipment.insert(name.clone(), places[document.source.0 as usize].clone());
        }
        watched.files = places.into_iter().zip(all).collect();
        let (report, times) = budget.timed(reading)?;
        output::say(&verdicts::text(&report, &report.findings(), &times))?;
        drop(report);
        // Memory that a large library leaves behind is sorted out at the next use: now, and not at the first save.
        if let Some(name) = watched.procedures.keys().next() {
            watched.touched(&BTreeSet::from([name.clone()]), budget)?;
        }
        Ok(watched)
    }

    /// Notes what a procedure hangs on.
    fn hangs_on(&mut self, name: &Name, procedure: &Procedure) {
        for inner in performed(&procedure.steps) {
            self.performers.entry(inner).or_default().insert(name.clone());
        }
        self.workers.entry(procedure.equipment.clone()).or_default().insert(name.clone());
    }

    /// Checks again what a change touches; everything, if it is more than the text of one document. `None` if nothing that is
    /// read has changed.
    fn again(&mut self, changed: &BTreeSet<PathBuf>, budget: &Budget) -> Result<Option<String>> {
        let changed: Vec<PathBuf> =
            changed.iter().map(|path| full(path)).filter(|path| is_document(path)).collect();
        let [path] = &changed[..] else {
            return if changed.is_empty() { Ok(None) } else { self.everything(budget) };
        };
        let Some(known) = self.files.get(path) else { return self.everything(budget) };
        let Ok(mut fresh) = files::read_all(std::slice::from_ref(path)) else {
            return self.everything(budget);
        };
        fresh[0].name.clone_from(&known.name);
        if fresh[0].bytes == known.bytes {
            return Ok(None);
        }
        let alone = document::read(&fresh).library;
        let procedure = named_at(&self.procedures, path);
        let equipment = named_at(&self.equipment, path);
        if !is_as_before(&procedure, alone.procedures.keys())
            || !is_as_before(&equipment, alone.equipment.keys())
        {
            // Another document than before, or none of the name that others know.
            return self.everything(budget);
        }
        let touched = match (procedure, equipment) {
            (Some(name), None) => {
                if let Some(document) = alone.procedures.get(&name) {
                    for those in self.performers.values_mut().chain(self.workers.values_mut()) {
                        those.remove(&name);
                    }
                    self.hangs_on(&name, &document.model);
                }
                BTreeSet::from([name])
            }
            (None, Some(name)) if self.workers.contains_key(&name) => self.workers[&name].clone(),
            (None, Some(_) | None) | (Some(_), Some(_)) => return self.everything(budget),
        };
        self.files.insert(path.clone(), fresh.swap_remove(0));
        self.touched(&touched, budget).map(Some)
    }

    fn everything(&mut self, budget: &Budget) -> Result<Option<String>> {
        // A folder without documents is a moment between two saves.
        if let Ok(watched) = Self::read(&self.roots, budget) {
            *self = watched;
        }
        Ok(Some(String::new()))
    }

    /// Checks procedures and those that perform them, directly or not, with what they rely on.
    fn touched(&self, names: &BTreeSet<Name>, budget: &Budget) -> Result<String> {
        let mut affected = names.clone();
        let mut open: Vec<Name> = names.iter().cloned().collect();
        while let Some(name) = open.pop() {
            for performer in self.performers.get(&name).into_iter().flatten() {
                if affected.insert(performer.clone()) {
                    open.push(performer.clone());
                }
            }
        }
        let mut paths: BTreeSet<&PathBuf> =
            affected.iter().filter_map(|name| self.procedures.get(name)).collect();
        let reading = loop {
            let part: Vec<InputFile> =
                paths.iter().filter_map(|path| self.files.get(*path)).cloned().collect();
            let reading = jobs::read(&part);
            let before = paths.len();
            for document in reading.library.procedures.values() {
                paths.extend(self.equipment.get(&document.model.equipment));
                paths.extend(
                    performed(&document.model.steps).iter().filter_map(|name| self.procedures.get(name)),
                );
            }
            if paths.len() == before {
                break reading;
            }
        };
        let names: Vec<&Name> =
            reading.library.procedures.keys().filter(|name| affected.contains(*name)).collect();
        let (procedures, times) =
            budget.each(&reading.library, &reading.findings, &names, ::check::Checked::let_go)?;
        let report = ::check::Report::new(reading, procedures);
        let findings = report.findings();
        let mut text = verdicts::text(&report, &findings, &times);
        if findings.iter().all(|finding| finding.severity < Severity::Error)
            && names_are_missing(&report, &affected)
        {
            text.push_str("some procedures could not be read\n");
        }
        Ok(text)
    }
}

fn names_are_missing(report: &::check::Report, affected: &BTreeSet<Name>) -> bool {
    affected.iter().any(|name| !report.library.procedures.contains_key(name))
}

/// The procedures that steps perform, at any depth.
fn performed(steps: &[Step]) -> BTreeSet<Name> {
    let mut names = BTreeSet::new();
    for step in steps {
        if let Kind::Perform(name) = &step.kind {
            names.insert(name.clone());
        }
        if let Some((_, inner)) = step.inner() {
            names.extend(performed(inner));
        }
    }
    names
}

/// The document that stands in a file.
fn named_at(documents: &BTreeMap<Name, PathBuf>, path: &Path) -> Option<Name> {
    documents.iter().find(|(_, place)| *place == path).map(|(name, _)| name.clone())
}

/// Whether a file holds the document that it held, or one that cannot be read as yet.
fn is_as_before<'n>(before: &Option<Name>, mut now: impl Iterator<Item = &'n Name>) -> bool {
    now.all(|name| before.as_ref() == Some(name))
}

fn is_document(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending == "yaml" || ending == "yml")
}

/// The path from the root of the file system; as it is, where the file is gone.
fn full(path: &Path) -> PathBuf {
    std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
}
