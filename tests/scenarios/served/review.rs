//! The officer's desk in a browser: who may decide, what is refused, what is written and what it is worth.

use super::device::{Device, Reply};
use super::server::{PEOPLE, SMALL, Server};
use crate::walks::root;
use std::path::Path;
use tempfile::TempDir;

const PATH: &str = "/review/strainer-clean";

pub(super) fn folder() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for file in [SMALL[0], SMALL[1], "procedures/oskerry-22/people.yaml"] {
        let to = folder.path().join(Path::new(file).file_name().expect("a name"));
        std::fs::copy(root().join(file), to).expect("copied");
    }
    folder
}

pub(super) fn serve(folder: &TempDir) -> Server {
    Server::start(&[folder.path().to_str().expect("a path")])
}

/// Fields of a form, a PIN, and what is told.
type Case<'a> = (&'a [(&'a str, &'a str)], &'a str, &'a str);

/// Sends a decision with this PIN, as a form of the page would.
fn decide(device: &mut Device, pin: &str, more: &[(&str, &str)]) -> Reply {
    let content = device.get(PATH).field("approve", "content");
    decide_on(device, &content, pin, more)
}

fn decide_on(device: &mut Device, content: &str, pin: &str, more: &[(&str, &str)]) -> Reply {
    let csrf = device.get(PATH).field("", "csrf");
    device.post(PATH, &[&[("csrf", csrf.as_str()), ("content", content), ("pin", pin)], more].concat())
}

fn pin_of(name: &str) -> &'static str {
    PEOPLE.iter().find(|(known, ..)| *known == name).expect("a person").1
}

#[test]
fn the_officer_approves_returns_and_withdraws_and_nobody_else_does() {
    let folder = folder();
    let server = serve(&folder);
    let mut officer = Device::signed_in(&server, "Gwen Adeyi");
    let mut reader = Device::signed_in(&server, "Tomas Reeve");
    let pin = pin_of("Gwen Adeyi");
    let file = |name: &str| std::fs::read_to_string(folder.path().join(name)).ok();

    // Others read it, and have no form; one of their own making is refused.
    let page = reader.get(PATH);
    assert_eq!(page.status, 200);
    for shown in ["Gaps come first", "Preconditions of steps", "Longest wait in one run", "If work stops"] {
        assert!(page.body.contains(shown), "{shown}");
    }
    assert!(page.body.contains("You can read this page and not decide"), "{}", page.body);
    assert!(!page.body.contains("value=\"approve\""));
    let csrf = page.field("", "csrf");
    let content = officer.get(PATH).field("approve", "content");
    assert_eq!(content.len(), 64);
    let sneaked = [
        ("csrf", csrf.as_str()),
        ("content", &content),
        ("say", "approve"),
        ("until", "2099-12-31"),
        ("pin", pin_of("Tomas Reeve")),
    ];
    assert_eq!(reader.post(PATH, &sneaked).status, 403);

    // What the command refuses is refused here, in the same words; and nothing is written.
    let until = ("until", "2099-12-31");
    let walk = |by| {
        [("say", "approve"), until, ("walked-by", by), ("walked-on", "2026-11-05"), ("walked-at", "Depot")]
    };
    let cases: [Case<'_>; 7] = [
        (&[("say", "approve"), until], "000000", "not your PIN"),
        (&[("say", "approve"), ("until", "2020-01-01")], pin, "before it begins"),
        (&[("say", "approve"), ("until", "soon")], pin, "is no day"),
        (&walk("Ilse Marrow"), pin, "somebody else walks it through"),
        (&walk("Nobody Atall"), pin, "not among the people"),
        (&[("say", "approve"), until, ("walked-at", "Depot")], pin, "who, when and where"),
        (&[("say", "withdraw"), ("reason", "Old.")], pin, "was never approved"),
    ];
    for (fields, pin, expected) in cases {
        let reply = decide(&mut officer, pin, fields);
        assert_eq!(reply.status, 422, "{expected}: {}", reply.body);
        assert!(reply.body.contains(expected), "{expected}: {}", reply.body);
    }
    let stale = decide_on(&mut officer, "0", pin, &[("say", "approve"), until]);
    assert!(stale.status == 422 && stale.body.contains("changed after this page was opened"));
    let forged = officer.post(PATH, &[("content", &content), ("say", "approve"), until, ("pin", pin)]);
    assert_eq!(forged.status, 403, "a form without the token of the sign-in");
    assert_eq!((file("strainer-clean.approval.yaml"), file("strainer-clean.returned.yaml")), (None, None));

    let returned = decide(
        &mut officer,
        pin,
        &[("say", "return"), ("reason", "Hard to see."), ("remark:drain", "Who times it?")],
    );
    assert!(returned.status == 200 && returned.body.contains("Returned to the author"), "{}", returned.body);
    let text = file("strainer-clean.returned.yaml").expect("remarks");
    let read = review::Returned::parse(&text).expect("it reads");
    assert_eq!((&*read.remarks[0].step, &*read.remarks[0].text), ("drain", "Who times it?"));
    assert!(reader.get(PATH).body.contains("Who times it?"), "everybody sees the remark");

    let approved = decide(&mut officer, pin, &walk("Tomas Reeve"));
    assert!(
        approved.status == 200 && approved.body.contains("Approved until 2099-12-31"),
        "{}",
        approved.body
    );
    let text = file("strainer-clean.approval.yaml").expect("an approval");
    let approval = review::Approval::parse(&text).expect("it reads");
    assert!(approval.is_sealed() && approval.content == content && approval.by == "Gwen Adeyi");
    assert!(reader.get("/").body.contains("approved"));
    let withdrawn =
        decide(&mut officer, pin, &[("say", "withdraw"), ("reason", "The seal ring was changed.")]);
    assert!(withdrawn.body.contains("The approval is withdrawn"), "{}", withdrawn.body);
    assert!(reader.get("/library").body.contains("The seal ring was changed."));
}

#[test]
fn the_card_and_the_paper_are_there_and_only_the_card_may_bring_a_style() {
    let folder = folder();
    let server = serve(&folder);
    assert_eq!(Device::new(&server).get(PATH).status, 303, "nobody reads it without signing in");
    let mut reader = Device::signed_in(&server, "Tomas Reeve");
    let card = reader.get("/review/strainer-clean/card");
    assert!(card.status == 200 && card.body.contains("<h1>Clean the tank strainer</h1>"));
    let policy = card.header("content-security-policy").expect("a policy");
    assert!(policy.starts_with("default-src 'none'; style-src 'unsafe-inline'"), "{policy}");
    let page = reader.get(PATH);
    let policy = page.header("content-security-policy").expect("a policy");
    assert!(policy.contains("style-src 'self'") && !policy.contains("unsafe"), "{policy}");
    let paper = reader.get("/review/strainer-clean/paper.pdf");
    assert_eq!(paper.header("content-type"), Some("application/pdf"));
    assert!(paper.body.starts_with("%PDF-1.7"));
    for path in ["/review/nothing", "/review/nothing/card", "/review/nothing/paper.pdf"] {
        assert_eq!(reader.get(path).status, 404, "{path}");
    }
}

/// A name that leads where even the system's administrator makes no file.
#[cfg(unix)]
#[test]
fn where_nothing_can_be_written_the_page_says_so() {
    let folder = folder();
    let server = serve(&folder);
    std::os::unix::fs::symlink("/sys/gatewright", folder.path().join("strainer-clean.approval.yaml"))
        .expect("a link");
    let mut officer = Device::signed_in(&server, "Gwen Adeyi");
    let approve = [("say", "approve"), ("until", "2099-12-31")];
    let reply = decide(&mut officer, pin_of("Gwen Adeyi"), &approve);
    assert_eq!(reply.status, 422, "{}", reply.body);
    for shown in ["may not write beside the procedures", "gatewright approve", "value=\"2099-12-31\""] {
        assert!(reply.body.contains(shown), "{shown}: {}", reply.body);
    }
}

#[test]
fn the_library_tells_where_people_stumble() {
    let folder = folder();
    let server = serve(&folder);
    let mut walker = Device::signed_in(&server, "Tomas Reeve");
    let walk = walker.begin("strainer-clean");
    walker.walk(&walk, 30);
    let path = format!("/walks/{walk}/stop");
    let page = walker.get(&path);
    let fields = ["csrf", "position", "key"].map(|name| (name, page.field("", name)));
    let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
    let reply = walker.post(&path, &[&fields[..], &[("reason", "The lever sticks.")]].concat());
    assert_eq!(reply.status, 303, "{}", reply.body);
    let library = walker.get("/library").body;
    for shown in ["Clean the tank strainer", "never approved", "work stopped: The lever sticks.", "OSK-0117"]
    {
        assert!(library.contains(shown), "{shown}: {library}");
    }
    assert!(library.contains("<a href=\"&#x2f;review&#x2f;strainer-clean\">"));
}
