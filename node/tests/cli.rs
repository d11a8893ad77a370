//! The commands as a person meets them: what they print, what they refuse, and with which exit code.

#[path = "cli/home.rs"]
mod home;

#[path = "cli/answers.rs"]
mod answers;
#[path = "cli/bad_homes.rs"]
mod bad_homes;
#[path = "cli/bad_tables.rs"]
mod bad_tables;
#[path = "cli/season.rs"]
mod season;
