//! What a difference is, by name.

/// The kinds of difference, each told in the same words wherever it is found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Acceptance added.
    AcceptanceAdded,
    /// Acceptance dropped.
    AcceptanceDropped,
    /// Act changed.
    ActChanged,
    /// Action added.
    ActionAdded,
    /// Action removed.
    ActionRemoved,
    /// Condition added.
    ConditionAdded,
    /// Condition removed.
    ConditionRemoved,
    /// Disturbance added.
    DisturbanceAdded,
    /// Disturbance dropped.
    DisturbanceDropped,
    /// Effect changed.
    EffectChanged,
    /// Effect order changed.
    EffectOrderChanged,
    /// Emergency added.
    EmergencyAdded,
    /// Emergency dropped.
    EmergencyDropped,
    /// Evidence changed.
    EvidenceChanged,
    /// Figure changed.
    FigureChanged,
    /// Gate added.
    GateAdded,
    /// Gate bypassed.
    GateBypassed,
    /// Gate reaches further.
    GateReachesFurther,
    /// Gate removed.
    GateRemoved,
    /// Gate strengthened.
    GateStrengthened,
    /// Gate weakened.
    GateWeakened,
    /// Hazard added.
    HazardAdded,
    /// Hazard changed.
    HazardChanged,
    /// Hazard removed.
    HazardRemoved,
    /// Instrument changed.
    InstrumentChanged,
    /// Keeping changed.
    KeepingChanged,
    /// Kind changed.
    KindChanged,
    /// Lapse changed.
    LapseChanged,
    /// Level of use lowered.
    LevelOfUseLowered,
    /// Level of use raised.
    LevelOfUseRaised,
    /// Limit narrowed.
    LimitNarrowed,
    /// Limit widened.
    LimitWidened,
    /// No longer proved.
    NoLongerProved,
    /// Normal value changed.
    NormalValueChanged,
    /// Now proved.
    NowProved,
    /// Order changed.
    OrderChanged,
    /// People lowered.
    PeopleLowered,
    /// People raised.
    PeopleRaised,
    /// Precondition strengthened.
    PreconditionStrengthened,
    /// Precondition weakened.
    PreconditionWeakened,
    /// Promise strengthened.
    PromiseStrengthened,
    /// Promise weakened.
    PromiseWeakened,
    /// Protection added.
    ProtectionAdded,
    /// Protection dropped.
    ProtectionDropped,
    /// Releasing role changed.
    ReleasingRoleChanged,
    /// Releasing role dropped.
    ReleasingRoleDropped,
    /// Releasing role named.
    ReleasingRoleNamed,
    /// Rest state strengthened.
    RestStateStrengthened,
    /// Rest state weakened.
    RestStateWeakened,
    /// Role added.
    RoleAdded,
    /// Role changed.
    RoleChanged,
    /// Role dropped.
    RoleDropped,
    /// Rule added.
    RuleAdded,
    /// Rule relaxed.
    RuleRelaxed,
    /// Rule removed.
    RuleRemoved,
    /// Rule tightened.
    RuleTightened,
    /// Seeing changed.
    SeeingChanged,
    /// Settling changed.
    SettlingChanged,
    /// Settling time changed.
    SettlingTimeChanged,
    /// State no longer reached.
    StateNoLongerReached,
    /// State now reached.
    StateNowReached,
    /// Step added.
    StepAdded,
    /// Step removed.
    StepRemoved,
    /// Things changed.
    ThingsChanged,
    /// Type of work added.
    TypeOfWorkAdded,
    /// Type of work changed.
    TypeOfWorkChanged,
    /// Type of work dropped.
    TypeOfWorkDropped,
    /// Type of work removed.
    TypeOfWorkRemoved,
    /// Values changed.
    ValuesChanged,
    /// Variants changed.
    VariantsChanged,
    /// Verification added.
    VerificationAdded,
    /// Verification changed.
    VerificationChanged,
    /// Verification dropped.
    VerificationDropped,
    /// Wait added.
    WaitAdded,
    /// Wait lengthened.
    WaitLengthened,
    /// Wait removed.
    WaitRemoved,
    /// Wait shortened.
    WaitShortened,
    /// Warning added.
    WarningAdded,
    /// Warning dropped.
    WarningDropped,
    /// Warning lowered.
    WarningLowered,
    /// Warning raised.
    WarningRaised,
    /// Way changed.
    WayChanged,
    /// Wording changed.
    WordingChanged,
}

impl What {
    /// The two or three words that people read: "wait shortened".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::AcceptanceAdded => "acceptance added",
            Self::AcceptanceDropped => "acceptance dropped",
            Self::ActChanged => "act changed",
            Self::ActionAdded => "action added",
            Self::ActionRemoved => "action removed",
            Self::ConditionAdded => "condition added",
            Self::ConditionRemoved => "condition removed",
            Self::DisturbanceAdded => "disturbance added",
            Self::DisturbanceDropped => "disturbance dropped",
            Self::EffectChanged => "effect changed",
            Self::EffectOrderChanged => "effect order changed",
            Self::EmergencyAdded => "emergency added",
            Self::EmergencyDropped => "emergency dropped",
            Self::EvidenceChanged => "evidence changed",
            Self::FigureChanged => "figure changed",
            Self::GateAdded => "gate added",
            Self::GateBypassed => "gate bypassed",
            Self::GateReachesFurther => "gate reaches further",
            Self::GateRemoved => "gate removed",
            Self::GateStrengthened => "gate strengthened",
            Self::GateWeakened => "gate weakened",
            Self::HazardAdded => "hazard added",
            Self::HazardChanged => "hazard changed",
            Self::HazardRemoved => "hazard removed",
            Self::InstrumentChanged => "instrument changed",
            Self::KeepingChanged => "keeping changed",
            Self::KindChanged => "kind changed",
            Self::LapseChanged => "lapse changed",
            Self::LevelOfUseLowered => "level of use lowered",
            Self::LevelOfUseRaised => "level of use raised",
            Self::LimitNarrowed => "limit narrowed",
            Self::LimitWidened => "limit widened",
            Self::NoLongerProved => "no longer proved",
            Self::NormalValueChanged => "normal value changed",
            Self::NowProved => "now proved",
            Self::OrderChanged => "order changed",
            Self::PeopleLowered => "people lowered",
            Self::PeopleRaised => "people raised",
            Self::PreconditionStrengthened => "precondition strengthened",
            Self::PreconditionWeakened => "precondition weakened",
            Self::PromiseStrengthened => "promise strengthened",
            Self::PromiseWeakened => "promise weakened",
            Self::ProtectionAdded => "protection added",
            Self::ProtectionDropped => "protection dropped",
            Self::ReleasingRoleChanged => "releasing role changed",
            Self::ReleasingRoleDropped => "releasing role dropped",
            Self::ReleasingRoleNamed => "releasing role named",
            Self::RestStateStrengthened => "rest state strengthened",
            Self::RestStateWeakened => "rest state weakened",
            Self::RoleAdded => "role added",
            Self::RoleChanged => "role changed",
            Self::RoleDropped => "role dropped",
            Self::RuleAdded => "rule added",
            Self::RuleRelaxed => "rule relaxed",
            Self::RuleRemoved => "rule removed",
            Self::RuleTightened => "rule tightened",
            Self::SeeingChanged => "seeing changed",
            Self::SettlingChanged => "settling changed",
            Self::SettlingTimeChanged => "settling time changed",
            Self::StateNoLongerReached => "state no longer reached",
            Self::StateNowReached => "state now reached",
            Self::StepAdded => "step added",
            Self::StepRemoved => "step removed",
            Self::ThingsChanged => "things changed",
            Self::TypeOfWorkAdded => "type of work added",
            Self::TypeOfWorkChanged => "type of work changed",
            Self::TypeOfWorkDropped => "type of work dropped",
            Self::TypeOfWorkRemoved => "type of work removed",
            Self::ValuesChanged => "values changed",
            Self::VariantsChanged => "variants changed",
            Self::VerificationAdded => "verification added",
            Self::VerificationChanged => "verification changed",
            Self::VerificationDropped => "verification dropped",
            Self::WaitAdded => "wait added",
            Self::WaitLengthened => "wait lengthened",
            Self::WaitRemoved => "wait removed",
            Self::WaitShortened => "wait shortened",
            Self::WarningAdded => "warning added",
            Self::WarningDropped => "warning dropped",
            Self::WarningLowered => "warning lowered",
            Self::WarningRaised => "warning raised",
            Self::WayChanged => "way changed",
            Self::WordingChanged => "wording changed",
        }
    }
}
