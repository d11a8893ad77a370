//! All words: from outcomes, answers and faults to what screens show.

pub mod fault;
