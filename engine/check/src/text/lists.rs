//! Words by what they do in an instruction. The lists are ours; where a standard names a word, its rule says so.

use std::collections::HashMap;
use std::sync::OnceLock;

/// What a word can be; several at once.
pub(crate) type Class = u16;

pub(crate) const VERB: Class = 1;
/// A verb that names a thing as well.
pub(crate) const NOUN_TOO: Class = 1 << 1;
pub(crate) const DETERMINER: Class = 1 << 2;
pub(crate) const VAGUE: Class = 1 << 3;
pub(crate) const MODAL: Class = 1 << 4;
pub(crate) const NEGATIVE: Class = 1 << 5;
pub(crate) const CONDITION: Class = 1 << 6;
/// The first word of one of [`PHRASES`].
pub(crate) const PHRASE: Class = 1 << 7;
pub(crate) const BE: Class = 1 << 8;
pub(crate) const PARTICIPLE: Class = 1 << 9;
pub(crate) const STANDING: Class = 1 << 11;
pub(crate) const VAGUE_VERB: Class = 1 << 12;
pub(crate) const ACTOR: Class = 1 << 13;
pub(crate) const APPROXIMATE: Class = 1 << 14;

const VERBS: &str = "add adjust align apply assemble attach bleed block blow bolt bring brush clean close collect compare \
    confirm connect cut detach disassemble discard disconnect dismantle drive empty energise energize \
    engage examine exchange fasten fill find fit flush fold get give grease hang hold insert inspect \
    install isolate keep lay let lift loosen lower lubricate make measure mount move notify obtain open \
    operate pour prepare press pull push put raise read reenergise reenergize release remove replace \
    roll rotate run screw secure see select separate set shut slide sprinkle stand start stick stop stay \
    store take tell thread tighten tilt torque touch transfer turn twist unbox unclip unfold unhook \
    unlock unplug unscrew untie use vent verify wait warn wash wear wind wipe write";
const NOUNS_TOO: &str = "bend cap charge check clamp clip count cover cycle drain drill dry file fix grip handle hook inform \
    label latch light line load lock look mark mix name note oil pack park patch place plug power pump \
    record report rest rinse sand seal ship sign space spray spread stack step strap switch tag tap test \
    tie time tip tool top unload vacuum weigh work";
const DETERMINERS: &str = "the a an this that these those all both each every its their it them any one two three four five six \
    seven eight nine ten new old";
const VAGUES: &str = "adequate adequately appropriate appropriately suitable suitably sufficient sufficiently properly \
    periodically frequently occasionally regularly slowly quickly carefully gently firmly securely \
    tightly thoroughly excessive excessively reasonable reasonably satisfactory satisfactorily normally \
    generally usually typically etc approx";
const MODALS: &str = "should may might could can would ought";
const NEGATIVES: &str = "not never no cannot neither nor nothing none";
const CONDITIONS: &str = "if when while after before unless whenever once during in-case until provided";
const BES: &str = "is are be been being was were";
const PARTICIPLES: &str = "bent blown bought broken brought built cut driven drawn found given held hung kept laid left let \
    made put read run set shut taken thrown torn turned wound worn written";
const STANDINGS: &str = "do never keep stay wear avoid make no always remain";
const VAGUE_VERBS: &str = "ensure handle manage process address perform service maintain deal conduct accomplish execute \
    facilitate attempt try consider";
const ACTORS: &str = "you we i he she they technician technicians operator operators user users personnel mechanic person \
    worker workers employee employees";
const APPROXIMATES: &str = "approximately about roughly circa around ca";

/// Beginnings of words that name harm to people or things.
const HARMS: &[&str] = &[
    "kill",
    "death",
    "dead",
    "die",
    "fatal",
    "injur",
    "burn",
    "shock",
    "crush",
    "blind",
    "wound",
    "sever",
    "amputat",
    "poison",
    "suffocat",
    "drown",
    "fall",
    "slip",
    "trip",
    "explo",
    "fire",
    "ignit",
    "scald",
    "freez",
    "deaf",
    "choke",
    "sick",
    "ill",
    "hurt",
    "harm",
    "damage",
    "destroy",
    "break",
    "wear",
    "crack",
    "jam",
    "leak",
    "overheat",
    "fail",
    "lose",
    "loss",
    "ruin",
    "corro",
    "bruise",
    "trap",
    "pinch",
    "cut",
    "strike",
    "hit",
    "irritat",
    "stain",
    "bend",
    "contaminat",
];

/// Phrases by what is wrong with them.
pub(crate) const PHRASES: &[(Phrase, &str)] = &[
    (Phrase::Vague, "as required"),
    (Phrase::Vague, "as necessary"),
    (Phrase::Vague, "as needed"),
    (Phrase::Vague, "as appropriate"),
    (Phrase::Vague, "as applicable"),
    (Phrase::Vague, "as far as possible"),
    (Phrase::Vague, "as soon as possible"),
    (Phrase::Vague, "if necessary"),
    (Phrase::Vague, "if required"),
    (Phrase::Vague, "if needed"),
    (Phrase::Vague, "if possible"),
    (Phrase::Vague, "if applicable"),
    (Phrase::Vague, "where necessary"),
    (Phrase::Vague, "where applicable"),
    (Phrase::Vague, "when necessary"),
    (Phrase::Vague, "when required"),
    (Phrase::Vague, "and so on"),
    (Phrase::Quantity, "a few"),
    (Phrase::Quantity, "a little"),
    (Phrase::Quantity, "a bit"),
    (Phrase::Quantity, "a while"),
    (Phrase::Quantity, "a short time"),
    (Phrase::Quantity, "a moment"),
    (Phrase::Quantity, "a couple"),
    (Phrase::Quantity, "several times"),
    (Phrase::Quantity, "some time"),
    (Phrase::Quantity, "for some"),
    (Phrase::Care, "be careful"),
    (Phrase::Care, "take care"),
    (Phrase::Care, "use caution"),
    (Phrase::Care, "exercise caution"),
    (Phrase::Care, "exercise care"),
    (Phrase::Care, "with care"),
    (Phrase::Care, "with caution"),
    (Phrase::Care, "use common sense"),
    (Phrase::Reference, "refer to"),
    (Phrase::Reference, "as per"),
    (Phrase::Reference, "in accordance with"),
    (Phrase::Reference, "see manual"),
    (Phrase::Reference, "see the manual"),
    (Phrase::Open, "less than"),
    (Phrase::Open, "more than"),
    (Phrase::Open, "greater than"),
    (Phrase::Open, "smaller than"),
    (Phrase::Open, "no more than"),
    (Phrase::Open, "up to about"),
    (Phrase::Placeholder, "to be determined"),
    (Phrase::Placeholder, "to be defined"),
    (Phrase::Placeholder, "to be confirmed"),
    (Phrase::Placeholder, "to be written"),
    (Phrase::Idle, "please"),
    (Phrase::Idle, "in order to"),
    (Phrase::Idle, "it is important to"),
    (Phrase::Idle, "it is necessary to"),
    (Phrase::Idle, "note that"),
    (Phrase::Idle, "be sure to"),
    (Phrase::Idle, "due to the fact that"),
    (Phrase::Idle, "at this point in time"),
];

/// What is wrong with a phrase.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Phrase {
    /// Leaves a decision to the reader without saying what decides.
    Vague,
    /// An amount without a figure.
    Quantity,
    /// Asks for care without an act.
    Care,
    /// Sends the reader elsewhere.
    Reference,
    /// A limit of which nobody knows whether it counts.
    Open,
    /// Holds a place for something not yet known.
    Placeholder,
    /// Says nothing.
    Idle,
}

/// What a word in lower case can be.
pub(super) fn class(word: &str) -> Class {
    static CLASSES: OnceLock<HashMap<&'static str, Class>> = OnceLock::new();
    CLASSES.get_or_init(classes).get(word).copied().unwrap_or(0)
}

/// Whether a word in lower case names harm.
pub(crate) fn harm(word: &str) -> bool {
    HARMS.iter().any(|beginning| word.starts_with(beginning))
}

fn classes() -> HashMap<&'static str, Class> {
    let lists = [
        (VERBS, VERB),
        (NOUNS_TOO, VERB | NOUN_TOO),
        (DETERMINERS, DETERMINER),
        (VAGUES, VAGUE),
        (MODALS, MODAL),
        (NEGATIVES, NEGATIVE),
        (CONDITIONS, CONDITION),
        (BES, BE),
        (PARTICIPLES, PARTICIPLE),
        (STANDINGS, STANDING),
        (VAGUE_VERBS, VERB | VAGUE_VERB),
        (ACTORS, ACTOR),
        (APPROXIMATES, APPROXIMATE),
    ];
    let listed =
        lists.into_iter().flat_map(|(words, class)| words.split_whitespace().map(move |word| (word, class)));
    let begun = PHRASES.iter().filter_map(|(_, phrase)| Some((phrase.split(' ').next()?, PHRASE)));
    let mut classes = HashMap::new();
    for (word, class) in listed.chain(begun) {
        *classes.entry(word).or_insert(0) |= class;
    }
    classes
}
