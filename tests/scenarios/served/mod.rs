//! The program as a server: attacked, raced, killed, and walked in a browser.

mod api;
mod approved;
mod attacks;
mod browser;
mod device;
mod interruptions;
mod records;
mod server;
