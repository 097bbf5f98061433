//! What is proved is what runs: random runs of the bundled procedures, one value a variable, through the one step function.

use crate::support::demo;
use check::Budget;
use machine::{AbstractState, Bits, DONE, Machine, STOP, VarId};
use oracle::Random;
use proof::Proof;

/// Runs of each procedure.
const RUNS: u64 = 1000;
/// A run of a bundled procedure is shorter than this.
const MOST_MOVES: usize = 500;

#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn random_runs_meet_nothing_that_was_proved_away() {
    for procedure in demo::PROCEDURES {
        let reading = demo::reading(procedure, &demo::text(procedure));
        let budget = Budget { boxes: 100_000, go_on: &|| true };
        let checked = check::check_one(&reading.library, &reading.findings, &procedure.into(), &budget)
            .expect("no fault of ours");
        let (machine, proof) = (checked.machine.expect("a machine"), checked.proof.expect("a proof"));
        assert!(proof.refuted.is_empty() && proof.ended.is_none());
        let mut seen = vec![false; machine.nodes.len()];
        let (mut moves, mut done) = (0, 0);
        for seed in 0..RUNS {
            let run = Run { machine: &machine, proof: &proof, random: Random::new(seed), seen: &mut seen };
            let (end, length) =
                run.follow().unwrap_or_else(|error| panic!("{procedure}, seed {seed}: {error}"));
            moves += length;
            done += usize::from(end == DONE);
        }
        let met = seen.iter().filter(|seen| **seen).count();
        let reached = proof.reached.iter().filter(|reached| **reached).count();
        println!(
            "{procedure}: {RUNS} runs, {done} to done, {moves} moves, {met} of {reached} places reached were met"
        );
        assert!(done > 0 && met * 10 > reached * 9, "{procedure}: the runs do not get far");
    }
}

struct Run<'a> {
    machine: &'a Machine,
    proof: &'a Proof,
    random: Random,
    seen: &'a mut [bool],
}

impl Run<'_> {
    /// Follows a random run and gives its end, or what should not have been.
    fn follow(mut self) -> Result<(machine::NodeId, usize), String> {
        let start = self.machine.start();
        let mut values = start.bits.clone();
        for var in self.machine.layout.ids() {
            self.choose(&mut values, var, start.bits.field(&self.machine.layout, var));
        }
        let mut state = self.machine.pinned(&start, &values).ok_or("it cannot start so")?;
        self.permitted(&values)?;
        for moves in 0..MOST_MOVES {
            self.look(&state, &values)?;
            if state.place.node == DONE || state.place.node == STOP {
                return Ok((state.place.node, moves));
            }
            (state, values) = self.moved(&state, &values).ok_or("nothing leads on")?;
            self.permitted(&values)?;
        }
        Err(format!("more than {MOST_MOVES} moves"))
    }

    fn choose(&mut self, values: &mut Bits, var: VarId, from: u64) {
        let each: Vec<u64> = (0..64).map(|at| 1 << at).filter(|value| from & value != 0).collect();
        values.set_field(&self.machine.layout, var, *self.random.pick(&each));
    }

    /// No rule holds, whatever a move has to do with it.
    fn permitted(&self, values: &Bits) -> Result<(), String> {
        let mut broken =
            self.machine.rules.iter().filter(|rule| rule.when.holds(&self.machine.layout, values));
        broken.next().map_or(Ok(()), |rule| Err(format!("the rule `{}` is broken", rule.name)))
    }

    /// What was proved of a place holds there.
    fn look(&mut self, state: &AbstractState, values: &Bits) -> Result<(), String> {
        let layout = &self.machine.layout;
        let (id, node) = (state.place.node, self.machine.node(state.place.node));
        self.seen[id.0 as usize] = true;
        if !self.proof.reached[id.0 as usize] {
            return Err(format!("`{}` was said not to be reached", node.path));
        }
        let fails = |conjunct: &machine::Conjunct| values.field(layout, conjunct.var) & !conjunct.set != 0;
        if let Some(need) = node.needs.iter().find(|need| fails(&need.conjunct)) {
            return Err(format!("`{}` needs `{}`", node.path, layout.var(need.conjunct.var).name));
        }
        let mut broken =
            self.machine.promises.iter().filter(|promise| id == DONE && fails(&promise.conjunct));
        broken.next().map_or(Ok(()), |promise| {
            Err(format!("`{}` was promised", layout.var(promise.conjunct.var).name))
        })
    }

    /// A random outcome with random values that it may leave.
    fn moved(&mut self, state: &AbstractState, values: &Bits) -> Option<(AbstractState, Bits)> {
        let layout = &self.machine.layout;
        let open: Vec<usize> = self.machine.open(state.place).collect();
        // An outcome may be impossible with these values; one at least is not.
        for _ in 0..1000 {
            // Mostly the way on: a run in which every second gate fails is over soon.
            let outcome = if self.random.percent(75) { open[0] } else { *self.random.pick(&open) };
            let steps = self.machine.step(state, outcome);
            if steps.is_empty() {
                continue;
            }
            let step = self.random.pick(&steps);
            let mut after = values.clone();
            for &var in &step.changed {
                self.choose(&mut after, var, step.state.bits.field(layout, var));
            }
            for settling in
                self.machine.settling.iter().filter(|settling| !step.changed.contains(&settling.var))
            {
                let kept = step.state.bits.field(layout, settling.var)
                    & (values.field(layout, settling.var) | settling.to);
                self.choose(&mut after, settling.var, kept);
            }
            let followed = self.machine.follow(std::slice::from_ref(state), values, outcome, &after);
            if let Some((next, _)) = followed.into_iter().next() {
                return Some((next, after));
            }
        }
        None
    }
}
