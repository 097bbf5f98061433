//! What is wrong with an amount, and where.

/// One thing wrong with an amount.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct AmountFault {
    pub(crate) code: &'static str,
    /// Pointer from the amount to the place.
    pub(crate) at: String,
    /// Whether it is the key at that place that is wrong.
    pub(crate) key: bool,
    pub(crate) message: String,
    pub(crate) help: Option<String>,
}

impl AmountFault {
    pub(super) fn new(code: &'static str, at: impl Into<String>, message: impl Into<String>) -> Self {
        Self { code, at: at.into(), key: false, message: message.into(), help: None }
    }

    pub(super) fn of_key(self) -> Self {
        Self { key: true, ..self }
    }

    pub(super) fn help(self, help: impl Into<String>) -> Self {
        Self { help: Some(help.into()), ..self }
    }
}
