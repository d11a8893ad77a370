//! Every word that is read. What it is made into is a small document of headings, sentences, tables, charts, lists, actions
//! and folds; text, HTML and SVG are made of that by renderers that know no use case.
//!
//! Below it everything is data: an outcome of a use case ([`outcome`]), an answer ([`words`], [`screens`]), a fault
//! ([`fault`]), what is to be printed ([`paper`]). No decision is made here. Only the program knows this crate.
//!
//! ```
//! use propagule_present::document::{Document, Phrase};
//!
//! let said = Document::new()
//!     .title(Phrase::from("M2 ").name("Morus nigra"))
//!     .main("19 of 24 rooted.")
//!     .section("By pot", |pots| pots.say("P1: 5 of 6."));
//! assert_eq!(
//!     propagule_present::text::render(&said, 80),
//!     "M2 Morus nigra\n\n19 of 24 rooted.\n\nBy pot\n  P1: 5 of 6.\n"
//! );
//! assert!(propagule_present::html::render(&said).into_string().starts_with("<h1>M2 <i>Morus nigra</i></h1>"));
//! ```

pub mod chart;
mod clean;
pub mod contradiction;
pub mod document;
pub mod fault;
pub mod help;
pub mod html;
pub mod kind;
mod lines;
mod markup;
pub mod number;
pub mod outcome;
pub mod pages;
pub mod paper;
mod phrase;
pub mod screens;
mod svg;
mod table;
pub mod text;
pub mod words;
