//! The program as a server: attacked, raced, killed, and walked in a browser.

mod api;
mod approved;
mod attacks;
mod begun;
mod browser;
mod crowd;
mod described;
mod device;
mod disk;
mod hostile;
mod interruptions;
mod intruders;
mod killed;
mod leaving;
mod locked;
mod paths;
mod printed;
mod records;
mod review;
mod server;
mod slow;
mod sweep;
mod trail;
mod walker;
