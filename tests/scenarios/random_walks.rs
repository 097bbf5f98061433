//! What is proved is what runs: random runs of the bundled procedures, both sides of every look, through the one step function.

use crate::support::demo;
use check::Budget;
use machine::{AbstractState, Conjunct, Cube, DONE, Machine, STOP, VarOrigin};
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
        let mut state = self.machine.start();
        for var in self.machine.layout.ids() {
            if self.machine.layout.var(var).origin == VarOrigin::Variant {
                let values: Vec<u64> =
                    (0..self.machine.layout.var(var).values.len()).map(|at| 1 << at).collect();
                let cube = Cube(vec![Conjunct { var, set: *self.random.pick(&values) }]);
                state = self.machine.narrow(&state, &cube).ok_or("it cannot start so")?;
            }
        }
        for moves in 0..MOST_MOVES {
            self.look(&state)?;
            if state.place.node == DONE || state.place.node == STOP {
                return Ok((state.place.node, moves));
            }
            state = self.moved(&state)?;
        }
        Err(format!("more than {MOST_MOVES} moves"))
    }

    /// What was proved of a place holds there.
    fn look(&mut self, state: &AbstractState) -> Result<(), String> {
        let (id, node) = (state.place.node, self.machine.node(state.place.node));
        self.seen[id.0 as usize] = true;
        if !self.proof.reached[id.0 as usize] {
            return Err(format!("`{}` was said not to be reached", node.path));
        }
        if let Some(&need) = self.machine.unmet(state).first() {
            let var = node.needs[need].conjunct.var;
            return Err(format!("`{}` needs `{}`", node.path, self.machine.layout.var(var).name));
        }
        let unkept = if id == DONE { self.machine.unkept(state) } else { Vec::new() };
        unkept.first().map_or(Ok(()), |&at| {
            let var = self.machine.promises[at].conjunct.var;
            Err(format!("`{}` was promised", self.machine.layout.var(var).name))
        })
    }

    /// A random way on, whatever a look says.
    fn moved(&mut self, state: &AbstractState) -> Result<AbstractState, String> {
        let open: Vec<usize> = self.machine.open(state.place).collect();
        // A way may be for other variants; one at least is not.
        for _ in 0..1000 {
            // Mostly the way on: a run in which every second look fails is over soon.
            let outcome = if self.random.percent(75) { open[0] } else { *self.random.pick(&open) };
            let steps = self.machine.step(state, outcome);
            let Some(next) = steps.first() else { continue };
            let node = self.machine.node(state.place.node);
            if let Some(&rule) = next.broken.first() {
                return Err(format!(
                    "`{}` may break the rule `{}`",
                    node.path, self.machine.rules[rule].name
                ));
            }
            if next.unmended {
                return Err(format!("`{}` does not end what was found broken", node.path));
            }
            return Ok(next.state.clone());
        }
        Err("nothing leads on".to_owned())
    }
}
