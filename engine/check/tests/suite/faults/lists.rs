//! The faults of each bundled procedure.

use super::At::{Leaves, Step};
use super::Slip::{Swapped, Without, Written};
use super::{Fault, fault};

type Faults = fn() -> Vec<Fault>;

/// The bundled procedures with their faults.
pub(super) const ALL: [(&str, Faults); 7] = [
    ("battery-replacement", battery_replacement),
    ("first-flush", first_flush),
    ("pump-head", pump_head),
    ("strainer-clean", strainer_clean),
    ("tip-swap", tip_swap),
    ("unboxing", unboxing),
    ("wand-reassembly", wand_reassembly),
];

fn battery_replacement() -> Vec<Fault> {
    vec![
        fault(Without("cover-loosen"), "P01", Step("cover-off")),
        fault(Without("cover-off"), "P01", Step("look-in")),
        fault(Swapped("negative-off", "positive-off"), "P01", Step("positive-off")),
        fault(Without("negative-cap"), "P01", Step("positive-off")),
        fault(Without("clamp-loosen"), "P01", Step("clamp-off")),
        fault(Written("old-case", "yes: lift-out", "yes: look-well"), "P01", Step("look-well")),
        fault(Without("tray-home"), "P01", Step("clamp-tighten")),
        fault(
            Written(
                "tray-home",
                "has stopped.\n    otherwise: close-up",
                "has stopped.\n    otherwise: clamp-seat",
            ),
            "P01",
            Step("clamp-tighten"),
        ),
        fault(Without("clamp-tighten"), "P01", Step("verify")),
        fault(Written("pull", "yes: verify", "yes: positive-uncap"), "P01", Step("positive-uncap")),
        fault(
            Written("verify", "otherwise: close-up", "otherwise: positive-uncap"),
            "P01",
            Step("positive-uncap"),
        ),
        fault(Without("positive-uncap"), "P01", Step("positive-on")),
        fault(Swapped("positive-on", "negative-on"), "P01", Step("negative-on")),
        fault(Without("cover-on"), "P01", Step("cover-seat")),
        fault(Without("cover-tighten"), "P01", Step("frame-down")),
        fault(Without("frame-up"), "P01", Step("cover-loosen")),
        fault(Without("frame-tighten"), "P01", Step("switch-on")),
        fault(Written("charge-lamp", "then: isolate }", "then: last-decay }"), "P04", Leaves("supply")),
        fault(
            Written("charge-lamp", "part }, then: isolate-low", "part }, then: isolate"),
            "P04",
            Leaves("charge"),
        ),
        fault(Without("decay"), "P01", Step("frame-loosen")),
        fault(Without("last-decay"), "P05", Step("isolate")),
        fault(Written("last-decay", "45 s", "44 s"), "P05", Step("isolate")),
    ]
}

fn first_flush() -> Vec<Fault> {
    vec![
        fault(Without("gloves"), "P01", Step("latch")),
        fault(Without("fill"), "P01", Step("latch")),
        fault(Without("open-valve"), "P01", Step("leak-time")),
        fault(Without("first-decay"), "P01", Step("fill")),
        fault(Without("leak-check"), "P01", Step("latch")),
        fault(Written("leak-check", "otherwise: shut-leak", "otherwise: earth-bucket"), "P01", Step("latch")),
        fault(Without("earth-bucket"), "P01", Step("latch")),
        fault(Without("area"), "P01", Step("switch-on")),
        fault(Without("latch"), "P01", Step("purge-time")),
        fault(Without("release"), "P01", Step("relieve")),
        fault(Without("decay"), "P01", Step("open-lid")),
        fault(Written("decay", "45 s", "44 s"), "P01", Step("open-lid")),
        fault(Swapped("isolate", "decay"), "P01", Step("open-lid")),
        fault(Without("relieve"), "P05", Step("latch")),
        fault(Without("look-tank"), "P04", Leaves("tank")),
        fault(
            Written("purge", "tank.\n    otherwise: tag-out", "tank.\n    otherwise: look-joints"),
            "P04",
            Leaves("line"),
        ),
    ]
}

fn pump_head() -> Vec<Fault> {
    vec![
        fault(Without("decay"), "P01", Step("frame-loosen")),
        fault(Written("decay", "45 s", "44 s"), "P01", Step("frame-loosen")),
        fault(Without("gloves"), "P01", Step("strap-off")),
        fault(Without("frame-loosen"), "P01", Step("frame-up")),
        fault(Without("frame-up"), "P01", Step("strap-off")),
        fault(Without("strap-off"), "P01", Step("head-off")),
        fault(Without("hose-off"), "P01", Step("head-off")),
        fault(Without("head-loosen"), "P01", Step("head-off")),
        fault(Written("look-groove", "yes: match-seal", "yes: head-on"), "P01", Step("head-on")),
        fault(
            Written(
                "seal-in",
                "whole length.\n    otherwise: tag-out",
                "whole length.\n    otherwise: head-on",
            ),
            "P01",
            Step("head-on"),
        ),
        fault(Without("head-on"), "P01", Step("head-seat")),
        fault(Without("head-tighten"), "P01", Step("frame-down")),
        fault(
            Written(
                "joined",
                "the socket.\n    otherwise: tag-out",
                "the socket.\n    otherwise: look-under",
            ),
            "P01",
            Step("frame-down"),
        ),
        fault(Without("frame-down"), "P01", Step("frame-seat")),
        fault(Without("frame-tighten"), "P04", Leaves("tank-frame")),
        fault(Without("measure-path"), "P04", Leaves("earth-path")),
        fault(Without("leak-check"), "P04", Leaves("leak-check")),
    ]
}

fn strainer_clean() -> Vec<Fault> {
    vec![
        fault(Without("decay"), "P01", Step("open-plug")),
        fault(Written("decay", "45 s", "44 s"), "P01", Step("open-plug")),
        fault(Without("gloves"), "P01", Step("open-plug")),
        fault(Without("shut-valve"), "P01", Step("open-plug")),
        fault(Without("open-plug"), "P01", Step("drain")),
        fault(Written("close-bowl", "bowl: tight", "bowl: open"), "P01", Step("open-valve")),
        fault(Without("lift-screen"), "P01", Step("wash-screen")),
        fault(Swapped("refit", "close-bowl"), "P01", Step("close-bowl")),
        fault(Written("look", "yes: refit", "yes: close-bowl"), "P01", Step("close-bowl")),
        fault(Without("close-bowl"), "P01", Step("open-valve")),
        fault(Without("close-plug"), "P01", Step("open-valve")),
        fault(Without("open-valve"), "P01", Step("leak-time")),
        fault(Without("leak-check"), "P04", Leaves("leak-check")),
        fault(
            Written("leak-check", "otherwise: shut-again", "otherwise: record"),
            "P04",
            Leaves("leak-check"),
        ),
    ]
}

fn tip_swap() -> Vec<Fault> {
    vec![
        fault(Without("isolate"), "P01", Step("relieve")),
        fault(Without("decay"), "P01", Step("guard-off")),
        fault(Written("decay", "45 s", "44 s"), "P01", Step("guard-off")),
        fault(Swapped("isolate", "decay"), "P01", Step("guard-off")),
        fault(Without("gloves"), "P01", Step("tip-off")),
        fault(Without("guard-off"), "P01", Step("tip-off")),
        fault(Without("tip-off"), "P01", Step("wipe-seat")),
        fault(Written("look-seal", "yes: fit-fine", "yes: guard-on"), "P01", Step("guard-on")),
        fault(Without("fit-medium"), "P01", Step("guard-on")),
        fault(Written("fit-fine", "tip: fine", "tip: medium"), "P01", Step("guard-on")),
        fault(Without("guard-on"), "P01", Step("switch-on")),
        fault(Without("earth-bucket"), "P01", Step("spray")),
        fault(Without("release"), "P01", Step("relieve-again")),
        fault(Without("isolate-again"), "P01", Step("relieve-again")),
        fault(Written("decay-again", "45 s", "44 s"), "P05", Step("isolate-again")),
        fault(Without("relieve-again"), "P05", Step("spray")),
    ]
}

fn unboxing() -> Vec<Fault> {
    vec![
        fault(Written("look-machine", "yes: decay", "yes: roll-down"), "P01", Step("roll-down")),
        fault(Written("decay", "45 s", "44 s"), "P01", Step("wand-on")),
        fault(Without("lock-castors"), "P05", Step("free-castors")),
        fault(Without("clear-packing"), "P04", Leaves("packing")),
        fault(Without("count-parts"), "P04", Leaves("parts-count")),
        fault(
            Written("count-parts", "otherwise: tag-out", "otherwise: gloves"),
            "P04",
            Leaves("parts-count"),
        ),
        fault(Without("gloves"), "P01", Step("wand-on")),
        fault(Without("wand-on"), "P04", Leaves("wand")),
        fault(Without("fit-medium"), "P01", Step("guard-on")),
        fault(Written("fit-fine", "tip: fine", "tip: medium"), "P01", Step("guard-on")),
        fault(Without("guard-on"), "P04", Leaves("guard")),
        fault(Without("measure-path"), "P04", Leaves("earth-path")),
        fault(
            Written("measure-path", "otherwise: tag-out", "otherwise: charge-lamp"),
            "P04",
            Leaves("earth-path"),
        ),
    ]
}

fn wand_reassembly() -> Vec<Fault> {
    vec![
        fault(Without("first-decay"), "P01", Step("wand-off")),
        fault(Without("gloves"), "P01", Step("wand-off")),
        fault(Without("wand-off"), "P01", Step("loosen")),
        fault(Without("loosen"), "P01", Step("cover-off")),
        fault(
            Written(
                "look-gasket",
                "whole: { shows: { gasket: seated }, then: wipe-strip }",
                "whole: wipe-strip",
            ),
            "P01",
            Step("cover-on"),
        ),
        fault(Written("inspect-new", "gasket: seated", "gasket: removed"), "P01", Step("cover-on")),
        fault(Without("inspect-new"), "P01", Step("cover-on")),
        fault(Without("measure-strip"), "P01", Step("cover-on")),
        fault(
            Written("measure-strip", "otherwise: tag-out", "otherwise: count-parts"),
            "P01",
            Step("cover-on"),
        ),
        fault(Without("count-parts"), "P01", Step("cover-on")),
        fault(Swapped("measure-strip", "cover-on"), "P01", Step("cover-on")),
        fault(Without("tighten"), "P01", Step("wand-on")),
        fault(Written("look-joint", "yes: wand-on", "yes: tug"), "P01", Step("switch-on")),
        fault(Written("tug", "yes: measure-path", "yes: earth-bucket"), "P01", Step("spray")),
        fault(Without("earth-bucket"), "P01", Step("spray")),
        fault(Without("area"), "P01", Step("switch-on")),
        fault(Without("release"), "P01", Step("relieve")),
        fault(Without("decay"), "P01", Step("look-leak")),
        fault(Written("decay", "45 s", "44 s"), "P01", Step("look-leak")),
        fault(Without("relieve"), "P05", Step("spray")),
    ]
}
