//! What is answered.

use crate::day::clock;
use crate::fault::{Detail, Fault};
use crate::standing::Standing;
use crate::view::{self, PromptView, TimerView};
use axum::Json;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use records::leaving::{self, Next};
use records::{Damaged, Walked};
use schemars::JsonSchema;
use serde::Serialize;

/// A value as a reply.
pub(super) fn json(status: StatusCode, value: &impl Serialize) -> Result<Response, Fault> {
    let value = serde_json::to_value(value).map_err(Fault::ours)?;
    Ok((status, Json(value)).into_response())
}

/// Something that is not taken, with the reason and what would help.
pub(super) fn refused(status: StatusCode, reason: &str, opens: &str) -> Result<Response, Fault> {
    json(status, &Refused { reason: reason.to_owned(), opens: opens.to_owned() })
}

/// A fault, told as JSON.
pub(super) struct ApiFault(pub(super) Fault);

impl IntoResponse for ApiFault {
    fn into_response(self) -> Response {
        let (status, reason, opens) = match &self.0 {
            Fault::SignIn(_) => (StatusCode::UNAUTHORIZED, "Nobody is signed in", "Sign in"),
            Fault::Locked(_) => (StatusCode::UNAUTHORIZED, "The sign-in is locked", "Sign in"),
            Fault::NotThere => (StatusCode::NOT_FOUND, "It is not there", "Name another"),
            Fault::Unusable(why) => {
                (StatusCode::BAD_REQUEST, why.as_str(), "Send it as the description says")
            }
            Fault::Forbidden(why) => (StatusCode::FORBIDDEN, why.as_str(), "Send the token of the sign-in"),
            Fault::TooLarge => (StatusCode::PAYLOAD_TOO_LARGE, "More was sent than is taken", "Send less"),
            Fault::Incomplete(why) => {
                (StatusCode::INTERNAL_SERVER_ERROR, why.as_str(), "Tell whoever runs this program")
            }
            Fault::Damaged(why) => (
                StatusCode::INTERNAL_SERVER_ERROR,
                why.as_str(),
                "Nobody goes on with this walk: stop work by the card",
            ),
            Fault::Ours(_) => (
                StatusCode::INTERNAL_SERVER_ERROR,
                "A fault of the program or the disk",
                "Try again; what was recorded before is kept",
            ),
        };
        let mut response =
            (status, Json(Refused { reason: reason.to_owned(), opens: opens.to_owned() })).into_response();
        if let Fault::Ours(detail) | Fault::Damaged(detail) = self.0 {
            response.extensions_mut().insert(Detail(detail));
        }
        response
    }
}

/// Why something is not taken, and what would help.
#[derive(Serialize, JsonSchema)]
pub(super) struct Refused {
    reason: String,
    opens: String,
}

/// A walk in a list: in a line, or as damaged.
#[derive(Serialize, JsonSchema)]
#[serde(untagged)]
pub(super) enum ListedReply {
    Walked(Box<Walked>),
    Damaged(DamagedReply),
}

/// A walk that is damaged. Which others are wanted does not matter: it may be one of them.
#[derive(Serialize, JsonSchema)]
pub(super) struct DamagedReply {
    id: String,
    /// It is no standing of a walk that can be relied on.
    #[schemars(extend("const" = "damaged"))]
    standing: &'static str,
    /// The equipment; none where the records do not tell.
    equipment: Option<String>,
    /// The serial number of the machine; none where the records do not tell.
    serial: Option<String>,
    /// What follows for the machine.
    doubt: String,
}

impl DamagedReply {
    pub(super) fn new(damaged: Damaged) -> Self {
        let doubt = damaged.doubt();
        let Damaged { walk, why: _, machine } = damaged;
        let (equipment, serial) = machine.unzip();
        Self { id: walk, standing: "damaged", equipment, serial, doubt }
    }
}

/// Who is signed in, and the token that changes carry.
#[derive(Serialize, JsonSchema)]
pub(super) struct SignedIn {
    pub(super) person: String,
    pub(super) csrf: String,
}

/// A procedure.
#[derive(Serialize, JsonSchema)]
pub(super) struct ProcedureReply {
    pub(super) name: String,
    pub(super) title: String,
    pub(super) equipment: String,
    pub(super) revision: u32,
    /// The hash of its content.
    pub(super) content: Option<String>,
    /// Whether a walk of it may be begun: it is proved under what is written now and is not only performed by others.
    pub(super) walkable: bool,
    /// Why it is not proved: the first finding.
    pub(super) not_proved: Option<String>,
}

/// Whether the records hold together.
#[derive(Serialize, JsonSchema)]
pub(super) struct VerificationReply {
    pub(super) intact: bool,
    pub(super) fault: Option<String>,
    /// How many there are.
    pub(super) records: u64,
    /// The hash of the last.
    #[schemars(regex(pattern = "^[0-9a-f]{64}$"))]
    pub(super) head: String,
}

/// A walk as it stands.
#[derive(Serialize, JsonSchema)]
pub(super) struct WalkReply {
    id: String,
    procedure: String,
    revision: u32,
    content: String,
    /// The hash of the certificate that it carries; without one what is believed is compared with nothing that was proved.
    certificate: Option<String>,
    equipment: String,
    serial: String,
    /// What whoever walks has to know of the machine, a sentence each: that it is out of service, that the register does not
    /// list it, and which walks are damaged and may tell of more. Nothing once the walk has ended.
    machine: Vec<String>,
    walker: String,
    #[schemars(extend("enum" = records::STATUSES))]
    standing: &'static str,
    ended: bool,
    training: bool,
    rehearsal: bool,
    /// Whether the caller may answer; otherwise the walk is taken up first.
    attends: bool,
    /// What answers refer to.
    position: u64,
    /// Whether the procedure was revised or recalled meanwhile.
    changed: Option<String>,
    step: Option<StepReply>,
    /// Where the last answer contradicted the record: what is told of it.
    surprise: Option<String>,
    /// The rules found broken, a sentence each: the next act has to end one of them.
    found_broken: Vec<String>,
    /// Where an act was done otherwise than written: that what follows was not proved from there.
    not_proved_from_here: Option<String>,
    prompt: PromptView,
    /// The answer that can be taken back, in words.
    take_back: Option<String>,
    stopped: Option<String>,
    /// What to do before the machine is left, after a stop.
    leaving: Option<Next>,
    /// Where a wait is next there: what is left of it.
    leaving_timer: Option<TimerView>,
    returned: bool,
}

/// The step the walk is at.
#[derive(Serialize, JsonSchema)]
struct StepReply {
    number: String,
    id: String,
    text: String,
    expect: Option<String>,
}

impl WalkReply {
    pub(super) fn new(id: &str, standing: &Standing, machine: Vec<String>, changed: Option<String>) -> Self {
        let Standing { walk, judged, footing: _, attends, page } = standing;
        let (attends, begin) = (*attends, walk.begin());
        let step = view::step(walk, page);
        let prompt = standing.asked(step.as_ref());
        let step = step.filter(|_| view::is_laid_open(&prompt));
        let is_stopped = walk.status() == walk::Status::Stopped;
        let leaving =
            is_stopped.then(|| leaving::next_for(walk, judged.ground.as_ref(), attends, clock(walk)));
        Self {
            id: id.to_owned(),
            procedure: begin.procedure.clone(),
            revision: begin.revision,
            content: begin.content.clone(),
            certificate: begin.certificate.clone(),
            equipment: begin.equipment.clone(),
            serial: begin.serial.clone(),
            machine,
            walker: walk.person().to_owned(),
            standing: walk.status().words(),
            ended: walk.status().is_ended(),
            training: begin.training,
            rehearsal: begin.rehearsal,
            attends,
            position: walk.position(),
            changed,
            surprise: walk.surprise().map(str::to_owned),
            found_broken: view::found_broken(walk),
            not_proved_from_here: walk.not_proved_from_here(),
            prompt,
            take_back: walk.can_take_back().filter(|_| attends).map(str::to_owned),
            step: step.map(|step| StepReply {
                number: step.number,
                id: step.id,
                text: step.text.text(),
                expect: step.expect.map(|expect| expect.text()),
            }),
            stopped: walk.stop_reason().map(str::to_owned),
            leaving_timer: leaving.as_ref().and_then(|next| view::leaving_timer(walk, next)),
            leaving,
            returned: walk.is_returned(),
        }
    }
}
