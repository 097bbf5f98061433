//! From the place of a step to the step.

use super::{Procedure, Step};

impl Procedure {
    /// The step at a JSON pointer such as `/steps/3/any_order/1`.
    #[must_use]
    pub fn step_at(&self, pointer: &str) -> Option<&Step> {
        let mut indices = pointer.split('/').filter_map(|segment| segment.parse::<usize>().ok());
        let mut step = self.steps.get(indices.next()?)?;
        for index in indices {
            let (_, inner) = step.inner()?;
            step = inner.get(index)?;
        }
        Some(step)
    }
}
