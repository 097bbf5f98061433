//! Pairs of revisions that differ in one thing, with what it is and which way it goes, written by hand.

use crate::support::edit::{rewritten, swap, swapped, without};
use review::Class::{self, Neutral, Strengthened, Weakened};

/// How the text of a file is changed.
pub(super) enum Edit {
    /// A step goes.
    Without(&'static str),
    /// Two steps change places.
    Swapped(&'static str, &'static str),
    /// Something inside a step is written otherwise.
    Step(&'static str, &'static str, &'static str),
    /// Something that stands once in the file is written otherwise.
    Once(&'static str, &'static str),
}

impl Edit {
    pub(super) fn apply(&self, text: &str) -> String {
        match self {
            Self::Without(id) => without(text, id),
            Self::Swapped(first, second) => swapped(text, first, second),
            Self::Step(id, from, to) => rewritten(text, id, from, to),
            Self::Once(from, to) => swap(text, from, to),
        }
    }
}

/// One pair: the procedure compared, the file that differs, the edit, what the comparison calls it, which way that
/// goes, and what all differences come to.
pub(super) struct Pair {
    pub(super) procedure: &'static str,
    pub(super) file: &'static str,
    pub(super) edit: Edit,
    pub(super) what: &'static str,
    pub(super) class: Class,
    pub(super) whole: Class,
}

fn pair(procedure: &'static str, edit: Edit, what: &'static str, class: Class, whole: Class) -> Pair {
    Pair { procedure, file: procedure, edit, what, class, whole }
}

fn rule(procedure: &'static str, edit: Edit, what: &'static str, class: Class, whole: Class) -> Pair {
    Pair { procedure, file: "equipment", edit, what, class, whole }
}

const STRAINER: &str = "strainer-clean";
const WAND: &str = "wand-reassembly";
const BATTERY: &str = "battery-replacement";

pub(super) fn pairs() -> Vec<Pair> {
    use Edit::{Once, Step, Swapped, Without};
    vec![
        // Gates.
        pair(STRAINER, Without("confirm-isolated"), "gate removed", Weakened, Weakened),
        pair(STRAINER, Without("confirm-no-pressure"), "gate removed", Weakened, Weakened),
        pair(
            STRAINER,
            Step("confirm-isolated", ", trigger: released", ""),
            "gate weakened",
            Weakened,
            Weakened,
        ),
        pair(
            STRAINER,
            Step("confirm-no-pressure", "{ pressure: relieved }", "{ pressure: relieved, castors: locked }"),
            "gate strengthened",
            Strengthened,
            Strengthened,
        ),
        pair(
            STRAINER,
            Step("leak-check", "otherwise: shut-again", "otherwise: empty-bucket"),
            "gate bypassed",
            Weakened,
            Weakened,
        ),
        pair(STRAINER, Swapped("confirm-no-pressure", "eye-protection"), "gate bypassed", Weakened, Weakened),
        pair(WAND, Without("count-parts"), "gate removed", Weakened, Weakened),
        pair(WAND, Without("measure-strip"), "gate removed", Weakened, Weakened),
        pair(WAND, Without("inspect-new"), "gate removed", Weakened, Weakened),
        pair(BATTERY, Without("release-cover"), "gate removed", Weakened, Weakened),
        pair(
            STRAINER,
            Once(
                "  - id: open-plug\n",
                "  - id: look-again\n    confirm: { outlet-valve: closed }\n    otherwise: stop\n  - id: open-plug\n",
            ),
            "gate added",
            Strengthened,
            Strengthened,
        ),
        pair(
            STRAINER,
            Step(
                "leak-check",
                "confirm: { leak-check: dry }",
                "do: Look at the bowl, the plug and the valve.",
            ),
            "gate removed",
            Weakened,
            Weakened,
        ),
        // Waits and limits.
        pair(STRAINER, Step("drain", "for: 30 s", "for: 20 s"), "wait shortened", Weakened, Weakened),
        pair(
            STRAINER,
            Step("drain", "for: 30 s", "for: 40 s"),
            "wait lengthened",
            Strengthened,
            Strengthened,
        ),
        pair(STRAINER, Step("leak-time", "for: 60 s", "for: 1 min"), "no difference", Neutral, Neutral),
        pair(STRAINER, Without("drain"), "wait removed", Weakened, Weakened),
        pair("tip-swap", Step("decay", "for: 45 s", "for: 40 s"), "wait shortened", Weakened, Weakened),
        pair(
            "first-flush",
            Step("purge-time", "for: $purge-time", "for: 60 s"),
            "wait shortened",
            Weakened,
            Weakened,
        ),
        pair(
            WAND,
            Step("measure-strip", "at_most: 2 ohm", "at_most: 3 ohm"),
            "limit widened",
            Weakened,
            Weakened,
        ),
        pair(
            WAND,
            Step("measure-strip", "at_most: 2 ohm", "at_most: 1 ohm"),
            "limit narrowed",
            Strengthened,
            Strengthened,
        ),
        pair(WAND, Step("measure-strip", "retests: 1", "retests: 2"), "limit widened", Weakened, Weakened),
        pair(
            WAND,
            Step("measure-strip", "      retests: 1\n", ""),
            "limit narrowed",
            Strengthened,
            Strengthened,
        ),
        pair(
            BATTERY,
            Step("new-voltage", "at_most: 26.4 V", "at_most: 26.5 V"),
            "limit widened",
            Weakened,
            Weakened,
        ),
        pair(
            BATTERY,
            Step("new-voltage", "at_least: 25.2 V", "at_least: 25300 mV"),
            "limit narrowed",
            Strengthened,
            Strengthened,
        ),
        pair("first-flush", Step("purge", "at_most: 2", "at_most: 3"), "limit widened", Weakened, Weakened),
        // Verifications, roles, protection, preconditions.
        pair(
            BATTERY,
            Step("both-capped", "    verified_by: second-person\n", ""),
            "verification dropped",
            Weakened,
            Weakened,
        ),
        pair(
            "unboxing",
            Once("    verified_by: second-person\n", ""),
            "verification dropped",
            Weakened,
            Weakened,
        ),
        pair(
            BATTERY,
            Step(
                "clamp-tighten",
                "    work: clamp-work",
                "    verified_by: second-person\n    work: clamp-work",
            ),
            "verification added",
            Strengthened,
            Strengthened,
        ),
        pair(
            BATTERY,
            Once("second-person: 1 }", "second-person: 2 }"),
            "role added",
            Strengthened,
            Strengthened,
        ),
        pair(
            BATTERY,
            Once(
                "wear: [eye-protection, insulating-gloves, safety-shoes]",
                "wear: [eye-protection, insulating-gloves]",
            ),
            "protection dropped",
            Weakened,
            Weakened,
        ),
        pair(
            "tip-swap",
            Once("level_of_use: continuous", "level_of_use: reference"),
            "level of use lowered",
            Weakened,
            Weakened,
        ),
        pair(
            STRAINER,
            Step("open-bowl", ", drain-plug: open", ""),
            "precondition weakened",
            Weakened,
            Weakened,
        ),
        pair(
            STRAINER,
            Step("wash-screen", "{ strainer: removed }", "{ strainer: removed, supply: isolated }"),
            "precondition strengthened",
            Strengthened,
            Strengthened,
        ),
        pair(
            STRAINER,
            Step("open-bowl", "    work: open-wet-part\n", ""),
            "type of work dropped",
            Weakened,
            Weakened,
        ),
        pair("tip-swap", Once(" area: clear,", ""), "precondition weakened", Weakened, Weakened),
        pair(
            WAND,
            Once(", earth-path: pass, line: rinse }", ", line: rinse }"),
            "promise weakened",
            Weakened,
            Weakened,
        ),
        pair(
            STRAINER,
            Once(
                "tank: rinse, line: rinse, outlet-valve: open }\nleaves",
                "tank: [rinse, product], line: rinse, outlet-valve: open }\nleaves",
            ),
            "state now reached",
            Weakened,
            Weakened,
        ),
        pair(
            BATTERY,
            Once("performers: { technician: 1, second-person: 1 }", "performers: { technician: 1 }"),
            "role dropped",
            Weakened,
            Weakened,
        ),
        pair(
            BATTERY,
            Once("released_by: second-person", "released_by: trainer"),
            "role changed",
            Neutral,
            Neutral,
        ),
        pair(
            "unboxing",
            Once("verified_by: second-person", "verified_by: trainer"),
            "verification changed",
            Neutral,
            Neutral,
        ),
        pair(
            STRAINER,
            Once(
                "  - id: wipe-bowl\n",
                "  - id: run-off\n    wait: { for: 10 s, why: The water runs off. }\n  - id: wipe-bowl\n",
            ),
            "wait added",
            Strengthened,
            Strengthened,
        ),
        // Warnings.
        pair(
            STRAINER,
            Step("open-plug", "    warn: [chemical]\n", ""),
            "warning dropped",
            Weakened,
            Weakened,
        ),
        pair(
            STRAINER,
            Step("open-bowl", "    work: open-wet-part\n", "    work: open-wet-part\n    warn: [spill]\n"),
            "warning added",
            Strengthened,
            Strengthened,
        ),
        rule(
            STRAINER,
            Once(WORST_CHEMICAL, "  chemical:\n    worst: minor"),
            "warning lowered",
            Weakened,
            Weakened,
        ),
        rule(
            STRAINER,
            Once(WORST_CHEMICAL, "  chemical:\n    worst: death"),
            "warning raised",
            Strengthened,
            Strengthened,
        ),
        pair(STRAINER, Once(EMERGENCY, ""), "emergency dropped", Weakened, Weakened),
        pair(
            STRAINER,
            Step("open-valve", "\n    expect: The outlet valve lever stands in line with the pipe.", ""),
            "acceptance dropped",
            Weakened,
            Weakened,
        ),
        // Rules of the machine.
        rule(
            STRAINER,
            Once(
                "{ outlet-valve: open, bowl: open, tank: [rinse, product] }",
                "{ outlet-valve: open, bowl: open }",
            ),
            "rule tightened",
            Strengthened,
            Strengthened,
        ),
        rule(
            BATTERY,
            Once(
                "negative-lead: bare, positive-lead: bare }\n    hazard: battery-short\n",
                "negative-lead: bare, positive-lead: bare }\n    hazard: charged-parts\n",
            ),
            "hazard changed",
            Neutral,
            Neutral,
        ),
        rule(
            BATTERY,
            Once(
                "  both-leads-bare:\n    when: { negative-lead: bare, positive-lead: bare }\n    hazard: battery-short\n",
                "",
            ),
            "rule removed",
            Weakened,
            Weakened,
        ),
        rule(
            BATTERY,
            Once(
                "{ negative-lead: bare, positive-lead: bare }",
                "{ negative-lead: bare, positive-lead: bare, battery: loose }",
            ),
            "rule relaxed",
            Weakened,
            Weakened,
        ),
        rule(
            STRAINER,
            Once(
                "  frame-up-tank-full:\n",
                "  frame-up-latched:\n    when: { tank-frame: raised, trigger: latched }\n    hazard: pinch\n  frame-up-tank-full:\n",
            ),
            "rule added",
            Strengthened,
            Strengthened,
        ),
        rule(
            STRAINER,
            Once("      pressure: relieved\n      line: [drained,", "      line: [drained,"),
            "precondition weakened",
            Weakened,
            Weakened,
        ),
        rule(
            STRAINER,
            Once(
                "preservative]\n      gloves: 'on'\n    wear: [chemical-gloves, eye-protection]\n    hazard: chemical",
                "preservative]\n      gloves: 'on'\n    wear: [eye-protection]\n    hazard: chemical",
            ),
            "protection dropped",
            Weakened,
            Weakened,
        ),
        rule(
            "tip-swap",
            Once("to: dissipated, after: 45 s,", "to: dissipated, after: 40 s,"),
            "settling time changed",
            Weakened,
            Weakened,
        ),
        rule(
            STRAINER,
            Once("    lost_when: [{ bowl: open }, { pump-head: open }]\n", ""),
            "evidence changed",
            Weakened,
            Weakened,
        ),
        rule(
            STRAINER,
            Once("release: safety-officer # ", "# "),
            "releasing role dropped",
            Weakened,
            Weakened,
        ),
        rule(
            STRAINER,
            Once("release: safety-officer", "release: technician"),
            "releasing role changed",
            Neutral,
            Neutral,
        ),
        rule(
            STRAINER,
            Once("  castors: locked\n\nroles", "\nroles"),
            "rest state weakened",
            Weakened,
            Weakened,
        ),
        rule(
            "first-flush",
            Once("    volumes: 3\n", "    volumes: 2\n"),
            "wait shortened",
            Weakened,
            Weakened,
        ),
        // Order, figures, words.
        pair(STRAINER, Swapped("shut-valve", "bucket"), "order changed", Neutral, Neutral),
        pair(STRAINER, Once("time: 20 min", "time: 25 min"), "figure changed", Neutral, Neutral),
        pair(
            STRAINER,
            Step("leak-time", "tools: [timer]", "tools: [timer, steel-bucket]"),
            "things changed",
            Neutral,
            Neutral,
        ),
        pair(
            STRAINER,
            Step("open-plug", "Unscrew the drain plug", "Undo the drain plug"),
            "wording changed",
            Neutral,
            Neutral,
        ),
        pair(
            STRAINER,
            Once("title: Clean the tank strainer", "title: Clean the strainer of the tank"),
            "wording changed",
            Neutral,
            Neutral,
        ),
        pair(
            STRAINER,
            Once(
                "  - id: wipe-bowl\n",
                "  - id: look-up\n    do: Look up at the tank outlet.\n    expect: The outlet is dry.\n  - id: wipe-bowl\n",
            ),
            "step added",
            Neutral,
            Neutral,
        ),
        pair(STRAINER, Without("eye-protection"), "step removed", Weakened, Weakened),
    ]
}

const WORST_CHEMICAL: &str = "  chemical:\n    worst: serious";
const EMERGENCY: &str = "emergency: |
  - If liquid gets in an eye, flush the eye with clean water for 15 min.
    Get medical help, with the safety data sheet.
  - If liquid runs on the floor, turn the outlet valve lever across the pipe. Keep people off the wet floor.
";
