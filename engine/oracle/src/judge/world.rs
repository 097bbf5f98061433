//! A machine and a person who acts as written and tells the truth: what the judge believes has to be so of it.

use super::explore::{Explored, explore};
use super::look::Said;
use super::model::{Cube, Judged};
use super::place::Place;
use super::record::Record;
use super::ways::{Deed, Way};
use crate::random::Random;

/// One value for each variable, and for each that settles the time that has counted since it was last set.
struct World<'a> {
    judged: &'a Judged,
    values: Vec<u64>,
    counted: Vec<u64>,
    /// Whether acts that somebody says were done sometimes were not.
    slips: bool,
}

impl World<'_> {
    fn holds(&self, cube: &Cube) -> bool {
        cube.iter().all(|&(var, set)| self.values[var] & set != 0)
    }

    fn one_of(set: u64, random: &mut Random) -> u64 {
        let values: Vec<u64> = (0..64).map(|bit| 1 << bit).filter(|bit| set & bit != 0).collect();
        *random.pick(&values)
    }

    /// Something is set: to any of some values.
    fn set(&mut self, var: usize, set: u64, random: &mut Random) {
        self.become_one_of(var, set, |_| true, random);
        self.change_by_itself(random);
    }

    /// By itself it has one of these values from now on. What held before does not come about thereby.
    fn change(&mut self, var: usize, set: u64, random: &mut Random) {
        let before = self.values.clone();
        let held = |cause: &Cube| cause.iter().all(|&(var, set)| before[var] & set != 0);
        self.become_one_of(var, set, |cause| !held(cause), random);
    }

    /// It has one of these values from now on; evidence whose cause now holds may be anything.
    fn become_one_of(&mut self, var: usize, set: u64, ends: impl Fn(&Cube) -> bool, random: &mut Random) {
        let mut written = vec![var];
        let mut lost = Vec::new();
        self.values[var] = Self::one_of(set, random);
        self.counted[var] = 0;
        loop {
            let due: Vec<usize> =
                self.judged
                    .conditions()
                    .filter(|of| !lost.contains(of))
                    .filter(|&of| {
                        let causes = &self.judged.vars[of].lost;
                        causes.iter().filter(|cause| written != [var] || ends(cause)).any(|cause| {
                            cause.iter().any(|(var, _)| written.contains(var)) && self.holds(cause)
                        })
                    })
                    .collect();
            if due.is_empty() {
                break;
            }
            for of in due {
                lost.push(of);
                written.push(of);
                self.values[of] = Self::one_of(self.judged.all(of), random);
                self.counted[of] = 0;
            }
        }
    }

    /// What settles may do so at any moment, and begins anew where its cause does not hold; what is fed may be anything for as
    /// long as what feeds it is on. Whatever comes about so ends evidence like an act.
    fn change_by_itself(&mut self, random: &mut Random) {
        for var in self.judged.conditions() {
            let of = &self.judged.vars[var];
            let Some(settles) = &of.settles else { continue };
            if of.lost.iter().any(|cause| self.judged.feeds(var, cause) && self.holds(cause))
                && random.percent(30)
            {
                self.change(var, self.judged.all(var), random);
            }
            if self.values[var] != settles.from {
                continue;
            }
            if !self.holds(&settles.holds) {
                self.counted[var] = 0;
            }
            if random.percent(10) {
                self.change(var, settles.to, random);
            }
        }
    }

    fn pass(&mut self, time: u64, random: &mut Random) {
        let counts: Vec<usize> = (0..self.values.len())
            .filter(|&var| {
                self.judged.vars[var].settles.as_ref().is_some_and(|settles| self.holds(&settles.holds))
            })
            .collect();
        for &var in &counts {
            self.counted[var] += time;
        }
        for var in counts {
            let Some(settles) = &self.judged.vars[var].settles else { continue };
            if self.values[var] == settles.from && self.counted[var] >= settles.after {
                self.change(var, settles.to, random);
            }
        }
        self.change_by_itself(random);
    }

    /// Whether a truthful person on this machine goes this way, and what becomes of the machine. A wait until something is so
    /// and a reading see what is so; nobody who can tell says that nobody can.
    fn goes(&mut self, deed: &Deed, random: &mut Random) -> bool {
        match deed {
            Deed::Keep(cube) => return self.holds(cube),
            Deed::Without(cube) => return !self.holds(cube),
            Deed::Time(times) => {
                if let Some(&(_, time)) = times.iter().find(|(cube, _)| self.holds(cube)) {
                    self.pass(time, random);
                }
            }
            &Deed::Look { var, set, said } => {
                return match said {
                    Said::Yes => self.values[var] & set != 0,
                    Said::No => self.values[var] & set == 0,
                    Said::CannotTell => true,
                };
            }
            &Deed::FindOut { var, set } => return self.values[var] & set != 0,
            &Deed::Write { var, set, .. } => {
                if !self.slips || random.percent(70) {
                    self.set(var, set, random);
                }
            }
            Deed::Open(_) | Deed::Looked | Deed::Verified(_) | Deed::ActOver | Deed::AnythingElse => {}
        }
        true
    }

    fn is_in(&self, record: &Record) -> bool {
        record.field.iter().zip(&self.values).all(|(field, value)| field & value != 0)
    }

    fn runs(&self, way: &Way, seed: u64) -> Option<World<'_>> {
        let mut random = Random::new(seed);
        let (values, counted) = (self.values.clone(), self.counted.clone());
        let mut after = World { judged: self.judged, values, counted, slips: self.slips };
        after.change_by_itself(&mut random);
        way.deeds.iter().all(|deed| after.goes(deed, &mut random)).then_some(after)
    }
}

/// Runs of one procedure that the judge finds nothing wrong with.
fn run(judged: &Judged, found: &Explored, random: &mut Random) -> usize {
    let mut place = judged.entry();
    let mut record = found.arrivals[&place].first().expect("a start").clone();
    let values = record.field.iter().map(|&field| World::one_of(field, random)).collect();
    let mut world = World { judged, values, counted: vec![0; judged.vars.len()], slips: false };
    world.change_by_itself(random);
    for step in 0..60 {
        let told = || format!("{} with {:?} believed {record:?}", judged.key(&place), world.values);
        assert!(world.is_in(&record), "at {}", told());
        assert!(
            judged.needs(&place).iter().all(|&(var, set)| world.values[var] & set != 0),
            "needs of {}",
            told()
        );
        if matches!(place, Place::Done | Place::Stop(_)) {
            let promised = place != Place::Done || world.holds(&judged.leaves);
            assert!(promised, "promises at {}", told());
            return step;
        }
        let seed = random.next();
        let ways = judged.ways(&place);
        let open: Vec<&Way> = ways.iter().filter(|way| world.runs(way, seed).is_some()).collect();
        assert!(!open.is_empty(), "no way from {}", told());
        let way = *random.pick(&open);
        let after = world.runs(way, seed).expect("an open way");
        // A rule that comes about by itself, where something was not known, counts when an act writes it.
        let written =
            |of: usize| way.deeds.iter().any(|deed| matches!(deed, Deed::Write { var, .. } if *var == of));
        let concerned = |when: &Cube| when.iter().any(|&(var, _)| written(var));
        for (at, (name, when)) in judged.rules.iter().enumerate() {
            let known = record.found >> at & 1 == 1;
            assert!(
                known || !concerned(when) || !after.holds(when) || world.holds(when),
                "{name} is broken at {}",
                told()
            );
        }
        let (records, faults) = judged.run(&place, &record, way);
        assert!(faults.is_empty(), "{faults:?} at {}", told());
        let next = records.into_iter().find(|(record, _)| after.is_in(record));
        let (next, back) = next
            .unwrap_or_else(|| panic!("after {} nothing holds {:?}: {}", way.label, after.values, told()));
        let (values, counted) = (after.values, after.counted);
        (record, place) = (next, judged.leads_to(&place, way, back));
        assert!(found.arrivals[&place].contains(&record));
        world = World { judged, values, counted, slips: false };
    }
    60
}

/// Runs in which acts are sometimes not done, and every look is truthful: it has a way for what is so, after which the
/// record agrees with what was said.
fn slip(judged: &Judged, found: &Explored, random: &mut Random) -> usize {
    let mut place = judged.entry();
    let mut record = found.arrivals[&place].first().expect("a start").clone();
    let values = record.field.iter().map(|&field| World::one_of(field, random)).collect();
    let mut world = World { judged, values, counted: vec![0; judged.vars.len()], slips: true };
    for looks in 0..60 {
        let told = || format!("{} with {:?} believed {record:?}", judged.key(&place), world.values);
        let seed = random.next();
        let ways = judged.ways(&place);
        let open: Vec<&Way> = ways.iter().filter(|way| world.runs(way, seed).is_some()).collect();
        if matches!(place, Place::Done | Place::Stop(_)) {
            return looks;
        }
        assert!(!open.is_empty(), "no way from {}", told());
        let way = *random.pick(&open);
        let after = world.runs(way, seed).expect("an open way");
        let written =
            |of: usize| way.deeds.iter().any(|deed| matches!(deed, Deed::Write { var, .. } if *var == of));
        let seen = way.deeds.iter().filter_map(|deed| match *deed {
            Deed::Look { var, set, said: Said::Yes } | Deed::FindOut { var, set } => Some((var, set)),
            Deed::Look { var, set, said: Said::No } => Some((var, judged.all(var) & !set)),
            _ => None,
        });
        let seen: Vec<(usize, u64)> = seen.filter(|&(var, _)| !written(var)).collect();
        let (records, faults) = judged.run(&place, &record, way);
        assert!(faults.is_empty(), "{faults:?} at {}", told());
        let variants = (0..judged.vars.len()).filter(|&var| judged.vars[var].variant);
        let variants: Vec<(usize, u64)> = variants.map(|var| (var, after.values[var])).collect();
        let agrees = |(record, _): &&(Record, u64)| {
            seen.iter().chain(&variants).all(|&(var, set)| record.field[var] & set != 0)
        };
        let next = records.iter().find(agrees).cloned();
        let (next, back) = next.unwrap_or_else(|| {
            panic!("after {way:?} nobody believes {:?} but {records:?}: {}", after.values, told())
        });
        let (values, counted) = (after.values, after.counted);
        (record, place) = (next, judged.leads_to(&place, way, back));
        assert!(found.arrivals[&place].contains(&record));
        world = World { judged, values, counted, slips: true };
    }
    60
}

/// Twenty runs of each random procedure with no fault; how many runs, and how many moves in all.
fn each(seeds: u64, run: fn(&Judged, &Explored, &mut Random) -> usize) -> (usize, usize) {
    let (mut runs, mut steps) = (0, 0);
    for seed in 0..seeds {
        let documents = crate::varied::varied_documents(seed);
        let all: Vec<_> = documents.iter().collect();
        let library = crate::documents::library(&all).expect("documents without findings");
        let judged = Judged::new(&library, "main");
        let Ok(found) = explore(&judged, 10_000) else { continue };
        if !found.faults.is_empty() {
            continue;
        }
        let mut random = Random::new(seed);
        for _ in 0..20 {
            runs += 1;
            steps += run(&judged, &found, &mut random);
        }
    }
    (runs, steps)
}

#[test]
fn a_truthful_person_is_where_the_judge_believes() {
    let (runs, steps) = each(400, run);
    assert!(runs > 1_500 && steps > 4 * runs, "{runs} runs of {steps} steps");
}

#[test]
fn whatever_a_truthful_look_shows_has_a_way_and_is_believed() {
    let (runs, steps) = each(400, slip);
    assert!(runs > 1_500 && steps > 4 * runs, "{runs} runs of {steps} steps");
}
