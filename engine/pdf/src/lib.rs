//! The page model on paper.
