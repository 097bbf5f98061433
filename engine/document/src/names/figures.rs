//! Figures are figures with a unit of the right dimension.

use super::scope::Scope;
use crate::codes::{A06, A07, N16, N21};
use crate::diagnostic::Diagnostic;
use crate::figures::{Case, FigureError, figure_cases};
use crate::model::{Figure, Instrument, Name, Stated};
use crate::places::pointer;
use crate::words::meant;
use calc::quantity::{Dimension, Duration, Quantity, QuantityError};
use std::rc::Rc;

/// What a time that has to pass is there for.
#[derive(Clone, Copy)]
pub(super) enum Passing {
    /// A wait.
    Wait,
    /// The longest time of a wait.
    Limit,
    /// The time in which a condition settles.
    Settling,
    /// How long a look counts.
    Lapse,
}

impl Scope<'_> {
    /// A time in plain writing, such as `15 min`.
    pub(super) fn time(&mut self, at: &str, time: &Stated<Duration>) -> Option<Duration> {
        time.read().map_err(|error| self.no_figure(at, error)).ok().copied()
    }

    /// A time that may be an amount; every case of it has to be a time, and more than nothing.
    pub(super) fn time_figure(&mut self, at: &str, figure: &Figure, time: Passing) -> Option<Rc<[Case]>> {
        let cases = self.cases(at, figure)?;
        for case in cases.iter() {
            match Duration::from_quantity(&case.quantity) {
                Ok(length) => self.passes(at, length, time),
                Err(error) => {
                    self.no_figure(at, &error);
                    return None;
                }
            }
        }
        Some(cases)
    }

    /// A time that has to pass is more than nothing: what takes no time needs no wait, and proves nothing.
    pub(super) fn passes(&mut self, at: &str, length: Duration, time: Passing) {
        if length.as_millis() > 0 {
            return;
        }
        let (message, help) = match time {
            Passing::Wait => {
                ("a wait of `0 s` is none", "write how long it takes, such as `45 s`, or take the step out")
            }
            Passing::Limit => (
                "a limit of `0 s` ends the wait before anybody can look",
                "write the longest time to wait, such as `10 min`",
            ),
            Passing::Settling => (
                "a condition that settles after `0 s` has never the value that it settles from",
                "write how long it surely takes, such as `45 s`, or take `settles` out",
            ),
            Passing::Lapse => (
                "what lapses after `0 s` never counts",
                "write how long a look counts, such as `15 min`, or take `lapses` out",
            ),
        };
        self.tell(Diagnostic::error(N21, self.at(at), message).help(help));
    }

    /// A figure in plain writing, of one of these dimensions.
    pub(super) fn quantity<'q>(
        &mut self,
        at: &str,
        stated: &'q Stated<Quantity>,
        dimensions: &[Dimension],
    ) -> Option<&'q Quantity> {
        let quantity = stated.read().map_err(|error| self.no_figure(at, error)).ok()?;
        is_one_of(quantity, dimensions).map_err(|error| self.no_figure(at, &error)).ok()?;
        self.unit_read(at, stated.text());
        Some(quantity)
    }

    /// Tells how a unit with more than one meaning was read.
    pub(super) fn unit_read(&mut self, at: &str, text: &str) {
        if let Some(how) = Quantity::how_read(text) {
            let (message, help) = how.split_once("; ").unwrap_or((&how, ""));
            self.tell(Diagnostic::warning(A07, self.at(at), message).help(help));
        }
    }

    /// A figure of a dimension, with all its cases; none if something is wrong, which is told.
    pub(super) fn figure(&mut self, at: &str, figure: &Figure, dimension: Dimension) -> Option<Rc<[Case]>> {
        let cases = self.cases(at, figure)?;
        match cases.iter().find_map(|case| is_one_of(&case.quantity, &[dimension]).err()) {
            Some(error) => {
                self.no_figure(at, &error);
                None
            }
            None => Some(cases),
        }
    }

    /// An instrument's unit, resolution and uncertainty go together.
    pub(super) fn instrument(&mut self, name: &Name, instrument: &Instrument) {
        let at = pointer("/instruments", name);
        match instrument.unit.read() {
            Err(error) => self.no_figure(&format!("{at}/unit"), error),
            Ok(unit) => {
                let mut dimensions = vec![unit.dimension()];
                if unit.dimension() == Dimension::Temperature {
                    dimensions.push(Dimension::TemperatureDifference);
                }
                let figures = [
                    ("resolution", Some(&instrument.resolution)),
                    ("uncertainty", instrument.uncertainty.as_ref()),
                ];
                for (key, stated) in figures {
                    let at = format!("{at}/{key}");
                    let Some(quantity) = stated.and_then(|stated| self.quantity(&at, stated, &dimensions))
                    else {
                        continue;
                    };
                    if quantity.value() <= 0.0 {
                        self.tell(
                            Diagnostic::error(
                                N16,
                                self.at(&at),
                                format!("`{key}` is `{quantity}`, and has to be more than zero"),
                            )
                            .help("take it from the maker's data sheet or the calibration certificate"),
                        );
                    }
                }
            }
        }
    }

    fn cases(&mut self, at: &str, figure: &Figure) -> Option<Rc<[Case]>> {
        if let Some(cases) = figure.reference().and_then(|name| self.worked.get(name)) {
            return Some(cases.clone());
        }
        match figure_cases(&self.equipment.model, self.procedure, figure) {
            Ok(cases) => {
                let cases: Rc<[Case]> = cases.into();
                match figure {
                    Figure::Amount(name) => {
                        self.worked.insert(name.clone(), cases.clone());
                    }
                    Figure::Plain(stated) => self.unit_read(at, stated.text()),
                }
                return Some(cases);
            }
            Err(FigureError::Unreadable(error)) => self.no_figure(at, &error),
            Err(FigureError::Unknown { name, .. }) => {
                let own = self.procedure.map(|procedure| &procedure.amounts);
                let known =
                    own.into_iter().chain([&self.equipment.model.amounts]).flat_map(|amounts| amounts.keys());
                let finding = Diagnostic::error(N16, self.at(at), format!("no amount is named `{name}`"));
                self.tell_with(finding, || meant(&name, known.map(|name| &**name)));
            }
            Err(FigureError::Label { name, .. }) => self.tell(
                Diagnostic::error(
                    A06,
                    self.at(at),
                    format!(
                        "the amount `{name}` needs a figure of the product's label, which nobody knows before the \
                         walk, so that nothing can be proved with it"
                    ),
                )
                .help(
                    "name the amount in a text, where the walk asks for the figure, and let a `confirm` or a second \
                     person vouch for what it is for",
                ),
            ),
            // Told at the amount itself.
            Err(FigureError::Amount { .. }) => {}
        }
        None
    }

    fn no_figure(&mut self, at: &str, error: &QuantityError) {
        self.tell(Diagnostic::error(N16, self.at(at), error.to_string()));
    }
}

fn is_one_of(quantity: &Quantity, dimensions: &[Dimension]) -> Result<(), QuantityError> {
    match dimensions.first() {
        Some(&first) if !dimensions.contains(&quantity.dimension()) => quantity.expect_dimension(first),
        _ => Ok(()),
    }
}
