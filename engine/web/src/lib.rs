//! The walk, the cards and the records in a browser.
