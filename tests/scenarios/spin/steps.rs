//! The places of one step.

use super::model::{Kind, Step, Target, Test, all, values};
use super::promela::{End, Goto, Scope, Write, Writer};
use std::collections::BTreeMap;

/// One look of several ticks.
struct Look<'a> {
    asked: &'a Test,
    /// Whether it finds out, whatever was believed.
    finds: bool,
    begun: usize,
    pass: (Vec<Write>, Goto),
    /// What leads on where it is not so.
    fail: String,
}

impl Writer<'_> {
    /// What a step leaves and then disturbs, in the order written.
    fn effects(&self, step: &Step) -> Vec<Write> {
        let left = step.leaves.iter().map(|&(at, set)| (at, set, false));
        left.chain(self.disturbed(step)).collect()
    }

    /// What a step disturbs; all that a look writes where it does not pass.
    fn disturbed(&self, step: &Step) -> Vec<Write> {
        step.disturbs.iter().map(|&at| self.opens(at)).collect()
    }

    fn opens(&self, at: usize) -> Write {
        (at, all(&self.model.conditions[at]), true)
    }

    /// `around` is needed on arrival, before it is asked whether the step applies, and then by the step itself: by the repeat
    /// that it begins a round of, and by the block that it is an item of.
    pub(crate) fn step(&mut self, step: &Step, first: usize, scope: &Scope, after: Goto, around: [&Test; 2]) {
        let then = step.then.map_or(after, |target| self.target(target, scope));
        let otherwise = if step.can_fail() { self.target(step.otherwise, scope) } else { then };
        let mut body = first;
        let own = step.needs(self.model);
        let mut asked = [&own[..], around[1]].concat();
        if let Some(tip) = step.only {
            body = self.sibling(first, "body");
            let before = self.needs(first, around[0]);
            let inside = self.pass(first, Goto::to(body));
            let outside = self.pass(first, after);
            self.arrive(first, &format!("{before}if :: tip == {tip} -> {inside} :: else -> {outside} fi;"));
        } else {
            // One place asks for all that it needs at once.
            asked.extend(around[0]);
        }
        let mut needs = self.needs(body, &asked);
        let effects = self.effects(step);
        let here = [body, body];
        let text = match &step.kind {
            Kind::Do => {
                let told_idle = effects.iter().all(|(_, set, opens)| !opens && set.count_ones() == 1);
                // Whether it changes anything is told before its preconditions are.
                let busy = if told_idle { self.busy(body, &effects) } else { String::new() };
                needs = busy + &needs;
                self.writes(here, &effects, End::Act { told_idle }, then)
            }
            Kind::Hold => self.absent(body, "") + &self.writes(here, &effects, End::Left, then),
            Kind::WaitFor(time) => {
                let time = self.time(*time);
                self.absent(body, &time) + &self.writes(here, &effects, End::Left, then)
            }
            Kind::Confirm(asked) => {
                let fail = self.disturbed(step);
                self.look(body, asked, false, (effects, then), (fail, otherwise))
            }
            Kind::WaitUntil { until, time } => {
                let time = time.map(|time| self.time(super::model::Time::Seconds(time)));
                let time = time.map_or_else(String::new, |time| format!("c_code {{ {time} }}; "));
                let fail = self.disturbed(step);
                time + &self.look(body, until, true, (effects, then), (fail, otherwise))
            }
            Kind::Ask(answers) => self.question(step, answers, body, &effects, scope),
            Kind::Measure { shows, retests } => {
                self.readings(step, shows, *retests, body, [then, otherwise], &needs);
                return;
            }
            Kind::AnyOrder(items) => self.group(items, body, &effects, scope, then, &own),
            Kind::Repeat { steps, until, at_most } => {
                let round = self.repeat(step, (steps, until, *at_most), body, scope, [then, otherwise], &own);
                format!("r[{}] = 1; {}", scope.rounds.len(), self.pass(body, round))
            }
            Kind::Perform => {
                let last = if effects.is_empty() {
                    then
                } else {
                    let last = self.sibling(body, "last");
                    let text = self.absent(last, "") + &self.writes([last, last], &effects, End::Left, then);
                    self.arrive(last, &text);
                    Goto::to(last)
                };
                let path = self.path(body);
                let inner = Scope { path, labels: BTreeMap::new(), done: last, ..scope.clone() };
                let entry = self.list(&self.model.inner_steps, &inner, last, &Test::new());
                self.pass(body, entry)
            }
        };
        self.arrive(body, &(needs + &text));
    }

    fn path(&self, place: usize) -> String {
        self.places[place].path.clone()
    }

    /// What is neither a look nor an act has no place while a rule is found broken.
    fn absent(&mut self, place: usize, then: &str) -> String {
        let event = self.unmended(place);
        format!("c_code {{ other({event}); {then} }}; ")
    }

    /// A look at several conditions, ticked one by one; nobody goes back.
    fn look(
        &mut self,
        place: usize,
        asked: &Test,
        finds: bool,
        pass: (Vec<Write>, Goto),
        fail: (Vec<Write>, Goto),
    ) -> String {
        // Where it is not so it leads on from the last tick.
        let last =
            if asked.len() == 1 { place } else { self.sibling(place, &format!("tick {}", asked.len())) };
        let fail = self.writes([last, place], &fail.0, End::Left, fail.1);
        let look = Look { asked, finds, begun: place, pass, fail };
        self.ticks(&look, place, last)
    }

    /// The text of the first place of a look of which the last tick's place is given.
    fn ticks(&mut self, look: &Look<'_>, place: usize, last: usize) -> String {
        // From the last tick backwards: once all so far are yes, once some are not.
        let count = look.asked.len();
        let mut text = [String::new(), String::new()];
        let mut next = [0, 0];
        for tick in (1..=count).rev() {
            let at = match tick {
                1 => [place, place],
                _ if tick == count => [last, self.sibling(last, &format!("tick {tick}"))],
                _ => [0, 0].map(|_| self.sibling(place, &format!("tick {tick}"))),
            };
            for failed in 0..2 {
                let ways: Vec<String> = if tick == count {
                    let yes = match failed {
                        0 => self.writes([at[0], look.begun], &look.pass.0, End::Left, look.pass.1),
                        _ => look.fail.clone(),
                    };
                    vec![yes, look.fail.clone()]
                } else {
                    vec![
                        self.pass(at[failed], Goto::to(next[failed])),
                        self.pass(at[failed], Goto::to(next[1])),
                    ]
                };
                text[failed] = self.tick(look, tick, &ways);
                if tick > 1 {
                    self.arrive(at[failed], &text[failed]);
                }
            }
            next = at;
        }
        let [first, _] = text;
        first
    }

    /// Yes, no, and that nobody can tell.
    fn tick(&mut self, look: &Look<'_>, tick: usize, ways: &[String]) -> String {
        let (at, set) = look.asked[tick - 1];
        let name = self.name;
        let does = if look.finds { "find" } else { "look" };
        let condition = &self.model.conditions[at];
        let other = all(condition) & !set;
        let [yes, no] = ways else { return String::new() };
        let mut text = String::from("if ");
        let asked_on = other.count_ones() > 1 && other & !condition.asked == 0;
        let told = values(other).filter(|_| asked_on).map(|value| (1 << value, no));
        for (seen, way) in [(set, yes), (other, no)].into_iter().chain(told) {
            let seen = self.seen(look.begun, &format!("s = {does}(&{name}, {at}, {seen}); "));
            text += &format!(":: {seen} -> {way} ");
        }
        text + &format!(":: c_code {{ note(&{name}, opened(&{name}, {at})); }} -> {no} fi;")
    }

    /// A look that tells something, by the deeds that put what it touched into `s`: what it finds broken is noted, and an item
    /// of the group around it that it contradicts is offered again.
    fn seen(&mut self, at: usize, deeds: &str) -> String {
        let name = self.name;
        let mut text = format!("int s = 0; against = 0; {deeds}note(&{name}, s); ");
        let owns = self.places[at].block.map(|block| self.owns[block].clone()).unwrap_or_default();
        for (item, own) in owns.into_iter().enumerate().filter(|&(_, own)| own != 0) {
            let event = self.events.one(&self.places[at], |key| format!("offered again at {key}"));
            text += &format!("again({item}, {own}, {event}); ");
        }
        format!("c_code {{ {text}}}")
    }

    fn question(
        &mut self,
        step: &Step,
        answers: &[(Test, Target)],
        place: usize,
        effects: &[Write],
        scope: &Scope,
    ) -> String {
        let name = self.name;
        let mut text = String::from("if ");
        let mut shown = vec![0; self.model.conditions.len()];
        for (shows, target) in answers {
            let to = self.target(*target, scope);
            let writes = self.writes([place, place], effects, End::Left, to);
            // An answer that shows nothing is a look all the same; one that shows something shows one condition.
            let seen =
                shows.first().map_or(String::new(), |(at, set)| format!("s = look(&{name}, {at}, {set}); "));
            let seen = self.seen(place, &seen);
            for &(at, set) in shows {
                shown[at] |= set;
            }
            text += &format!(":: {seen} -> {writes} ");
        }
        let named: Vec<String> = (0..shown.len())
            .filter(|&at| shown[at] != 0)
            .map(|at| format!("opened(&{name}, {at})"))
            .collect();
        if !named.is_empty() {
            let disturbed = self.disturbed(step);
            let stop = self.target(Target::Stop, scope);
            let fail = self.writes([place, place], &disturbed, End::Left, stop);
            // One after the other: `|` in C has no order.
            let opened: String = named.iter().map(|deed| format!("s |= {deed}; ")).collect();
            text += &format!(":: c_code {{ int s = 0; {opened} note(&{name}, s); }} -> {fail} ");
        }
        text += "fi;";
        if answers.iter().any(|(shows, _)| shows.is_empty()) {
            return text;
        }
        let event = self.events.one(&self.places[place], |key| format!("unanswered {key}"));
        let shown: Vec<String> = shown.iter().map(ToString::to_string).collect();
        format!(
            "c_code {{ const int shown[] = {{ {} }}; if (unanswered(&{name}, shown)) seen[{event}] = 1; }}; {text}",
            shown.join(", ")
        )
    }

    fn readings(
        &mut self,
        step: &Step,
        shows: &Test,
        retests: u32,
        first: usize,
        to: [Goto; 2],
        needs: &str,
    ) {
        let [then, otherwise] = to;
        let (effects, disturbed) = (self.effects(step), self.disturbed(step));
        let own = step.needs(self.model);
        let (mut place, mut before) = (first, needs.to_owned());
        for attempt in 0..=retests {
            let again = if attempt == retests {
                otherwise
            } else {
                Goto::to(self.sibling(first, &format!("attempt {}", attempt + 2)))
            };
            let pass = self.writes([place, place], &effects, End::Left, then);
            let fail = self.writes([place, place], &disturbed, End::Left, again);
            let name = self.name;
            let conditions = &self.model.conditions;
            let mut each = |deed: &dyn Fn(usize, u8) -> String| -> String {
                let deeds: String =
                    shows.iter().map(|&(at, set)| format!("s |= {}; ", deed(at, set))).collect();
                self.seen(place, &deeds)
            };
            let text = if shows.is_empty() {
                // A reading that shows nothing is a look all the same: what can no longer hold is found broken no more.
                let seen = self.seen(place, "");
                format!("{seen}; if :: true -> {pass} :: true -> {fail} fi;")
            } else {
                let yes = each(&|at, set| format!("find(&{name}, {at}, {set})"));
                let open = each(&|at, _| format!("opened(&{name}, {at})"));
                let other = match shows[..] {
                    [(at, set)] => {
                        let other = all(&conditions[at]) & !set;
                        let no = each(&|at, _| format!("find(&{name}, {at}, {other})"));
                        format!(":: {no} -> {fail} ")
                    }
                    _ => String::new(),
                };
                format!("if :: {yes} -> {pass} {other}:: {open} -> {fail} fi;")
            };
            self.arrive(place, &(before + &text));
            place = again.place;
            before = if attempt == retests { String::new() } else { self.needs(place, &own) };
        }
    }

    fn group(
        &mut self,
        items: &[Step],
        place: usize,
        effects: &[Write],
        scope: &Scope,
        then: Goto,
        own: &Test,
    ) -> String {
        let choose = self.sibling(place, "choose");
        let block = Some(self.owns.len());
        self.owns.push(self.owned(items, effects));
        self.places[choose].block = block;
        let inner = Scope { block, path: self.path(place), ..scope.clone() };
        let mut text = String::from("if ");
        for (at, item) in items.iter().enumerate() {
            let entry = self.first(item, &inner);
            self.step(item, entry, &inner, Goto { place: choose, item: Some(at) }, [&Test::new(), own]);
            text += &format!(":: !(m & {}) -> {} ", 1 << at, self.pass(choose, Goto::to(entry)));
        }
        let absent = if effects.is_empty() { String::new() } else { self.absent(choose, "") };
        let left = absent + &self.writes([choose, choose], effects, End::Left, then);
        self.arrive(choose, &format!("{text}:: m == {} -> {left} fi;", (1 << items.len()) - 1));
        self.pass(place, Goto::to(choose))
    }

    /// For every item what it writes or opens by its steps and no other one does, nor the group itself.
    fn owned(&self, items: &[Step], left: &[Write]) -> Vec<u8> {
        let each: Vec<u8> = items.iter().map(|item| self.written(item)).collect();
        let by_group = left.iter().fold(0u8, |all, (at, ..)| all | 1 << at);
        let own = |(at, written): (usize, &u8)| {
            let beside = each.iter().enumerate().filter(|&(of, _)| of != at);
            written & !beside.fold(by_group, |all, (_, written)| all | written)
        };
        each.iter().enumerate().map(own).collect()
    }

    fn written(&self, step: &Step) -> u8 {
        let inside = match &step.kind {
            Kind::AnyOrder(steps) | Kind::Repeat { steps, .. } => &steps[..],
            Kind::Perform => &self.model.inner_steps,
            Kind::Do
            | Kind::Hold
            | Kind::Confirm(_)
            | Kind::Ask(_)
            | Kind::Measure { .. }
            | Kind::WaitFor(_)
            | Kind::WaitUntil { .. } => &[],
        };
        let own = self.effects(step).iter().fold(0u8, |all, (at, ..)| all | 1 << at);
        inside.iter().fold(own, |all, inner| all | self.written(inner))
    }

    fn repeat(
        &mut self,
        step: &Step,
        (steps, until, at_most): (&[Step], &Test, u32),
        place: usize,
        scope: &Scope,
        to: [Goto; 2],
        own: &Test,
    ) -> Goto {
        let [then, otherwise] = to;
        let question = self.sibling(place, "until");
        self.places[question].rounds.push(at_most);
        self.places[question].ends_round = true;
        let rounds = self.places[question].rounds.clone();
        let inner = Scope { rounds, path: self.path(place), ..scope.clone() };
        let entry = self.list(steps, &inner, Goto::to(question), own);
        let counter = format!("r[{}]", scope.rounds.len());
        let (effects, disturbed) = (self.effects(step), self.disturbed(step));
        let count = until.len();
        let last = if count == 1 { question } else { self.sibling(question, &format!("tick {count}")) };
        // Another round begins once all that the look disturbs is opened.
        let next = self.sibling(last, "next");
        let over = self.pass(next, otherwise);
        let again = self.pass(next, entry);
        self.texts[next] = format!(
            "if :: {counter} < {at_most} -> {counter} = {counter} + 1; {again} :: else -> {over} fi;"
        );
        let fail = self.writes([last, question], &disturbed, End::Left, Goto::to(next));
        let look = Look { asked: until, finds: false, begun: question, pass: (effects, then), fail };
        let needs = self.needs(question, own);
        let text = self.ticks(&look, question, last);
        self.arrive(question, &(needs + &text));
        entry
    }
}
